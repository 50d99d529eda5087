//! Pictures of the day, measurements beside stated hours, and the day on a line: nothing is compared that cannot be, nothing
//! is left out unsaid.

use logassay::case::Case;
use logassay::examine;
use logassay::rehearsal::fault::{fault, rehearse};
use logassay::report::document::{Block, Document, Edition, Figure};
use logassay::report::html;
use logassay::report::picture::{Drawn, INKS, Picture};
use logassay::report::{Layout, terminal};
use logassay::syntax::Log;
use logassay::unit::UnitDescription;

use crate::hours::told;
use crate::pages::{corpus, frame, logs};

type Read = (Vec<Log>, Case);

/// A planted deviation of the catalogue, by its number and seed.
fn planted(number: &str, seed: u64) -> Read {
    let fault = fault(number).unwrap();
    let life = rehearse(&[(fault, fault.size(None).unwrap())], seed, None).unwrap().life;
    (logs("life", life.log.as_bytes()), Case::read("case", &life.case).unwrap().case)
}

fn demonstration(name: &str) -> Read {
    let name = format!("demonstration/{name}");
    let (_, logs, case) = corpus().into_iter().find(|(known, _, _)| *known == name).unwrap();
    (logs, case)
}

fn document((logs, case): &Read, edition: Edition) -> Document {
    let unit = UnitDescription::kestrane();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, case, &unit)).collect();
    Document::of(&examinations, &frame(false), edition)
}

fn page(read: &Read, edition: Edition) -> String {
    html::page(&document(read, edition))
}

fn report((logs, case): &Read, width: usize) -> String {
    let unit = UnitDescription::kestrane();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, case, &unit)).collect();
    terminal::report(&examinations, &frame(false), Layout::plain(width))
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn figures(document: &Document) -> Vec<&Figure> {
    document
        .all_blocks()
        .filter_map(|block| if let Block::Figure(one) = block { Some(one) } else { None })
        .collect()
}

fn days(document: &Document) -> Vec<&Figure> {
    figures(document).into_iter().filter(|figure| figure.anchor.as_str().contains("day-")).collect()
}

/// The display of these lives was more than a minute behind, so that the difference of display and hour has the wrong sign.
#[test]
fn a_displayed_time_is_never_set_beside_a_stated_hour() {
    for (number, seed, said) in [("4", 11, "15 s to 25 s after"), ("19", 5, "20 s to 31 s after")] {
        let told = flat(&report(&planted(number, seed), 140));
        let row = format!("{said} the stated hour of opening, 2031-05-10 07:00:00, in true time");
        assert!(told.contains(&row), "{told}");
        assert!(!told.contains("to the stated hour of opening") && !told.contains("from the stated hour of"));
    }
    let (log, mut case) = planted("4", 11);
    case.readings.clear();
    let told = flat(&report(&(log, case), 140));
    assert!(
        told.contains("displayed at 2031-05-10 06:58:48 (line 49); the hour of opening is not set"),
        "{told}"
    );
}

/// A ring that wrote over the morning: 707 votes lie before the first that the log holds.
#[test]
fn where_the_opening_is_not_seen_nothing_is_measured_from_it() {
    let told = flat(&report(&demonstration("busy-unit"), 140));
    assert!(
        told.contains("opening and close") && !told.contains("the first enable that the log holds"),
        "{told}"
    );
    assert!(!told.contains("the first vote that this log holds"), "{told}");
}

#[test]
fn a_day_of_a_reset_clock_stands_in_the_order_of_the_record_and_says_when_it_was() {
    let read = planted("19", 5);
    let document = document(&read, Edition::Full);
    let days = days(&document);
    let titles: Vec<&str> = days.iter().map(|figure| figure.title.as_str()).collect();
    let reset = "The unit's day, displayed 2020-01-01, after the display went back";
    assert_eq!(titles, ["The unit's day, 2031-05-10", reset]);
    let caption = days[1].caption.words();
    assert!(
        caption.contains("these votes were recorded between 2031-05-10 1")
            && caption.contains("behind true time"),
        "{caption}"
    );
    assert!(!caption.contains("no reading of the clock binds"), "{caption}");
    assert!(
        days[0]
            .alternative
            .words()
            .contains("5 more votes of this log are displayed on 2020-01-01, not drawn here")
    );
    assert!(days[0].picture.elements().contains("Not drawn: 5 votes displayed on 2020-01-01"));
    assert!(days[0].caption.words().contains("the display was 1 min 3 s to 1 min 19 s behind true time"));
}

#[test]
fn acts_of_one_half_hour_stand_in_the_order_of_the_record_in_the_public_edition() {
    let document = document(&demonstration("disputed-unit"), Edition::Public);
    let day = days(&document)[0];
    let half_hour = "06:30\u{2013}07:00";
    let acts = ["close", "result", "clear"].map(|act| format!("{act} {half_hour}")).join("; ");
    assert!(day.alternative.words().contains(&acts), "{}", day.alternative.words());
    assert!(day.caption.words().contains("in the middle of its half hour"));
}

#[test]
fn findings_that_lie_near_each_other_stand_in_a_close_up() {
    let read = demonstration("disputed-unit");
    let full = document(&read, Edition::Full);
    let marks = days(&full)[0].picture.elements();
    assert!(marks.contains("Close-up of the frame: 17:58 to 18:08"), "{marks}");
    assert!(marks.contains(">4, 9</text>") && marks.contains(">4</text>") && marks.contains(">9</text>"));
    // Where a vote lies in its half hour is not drawn in the public edition.
    assert!(!days(&document(&read, Edition::Public))[0].picture.elements().contains("Close-up"));
    let said = "5 findings are about a record of this day. 4 findings are about no record of this day and are not drawn; all \
                stand under the findings.";
    assert!(days(&full)[0].alternative.words().ends_with(said));
}

/// A short day of the public edition has no mark on its axis between two half hours: told by the half hour, all would be one.
#[test]
fn the_axis_of_the_public_edition_has_no_mark_within_a_half_hour() {
    let name = "faulted/poll-day-not-displayed";
    let (_, logs, case) = corpus().into_iter().find(|(known, _, _)| known == name).unwrap();
    let document = document(&(logs, case), Edition::Public);
    assert_eq!(days(&document).len(), 2);
    for day in days(&document) {
        let marks = day.picture.elements();
        let texts = marks.split("</text>").filter_map(|element| element.rsplit('>').next());
        let within: Vec<&str> = texts.filter(|text| text.len() == 13 && text.contains('\u{2013}')).collect();
        assert!(within.is_empty(), "{within:?}");
    }
}

#[test]
fn the_states_say_which_records_their_numbers_leave_out() {
    let full = document(&demonstration("disputed-unit"), Edition::Full);
    let figure =
        figures(&full).into_iter().find(|figure| figure.anchor.as_str().ends_with("states")).unwrap();
    let caption = figure.caption.words();
    assert!(caption.contains("those of tests and mock polls with those of the poll"), "{caption}");
    assert!(caption.contains(": 20 (") && caption.contains("close \u{d7}1"), "{caption}");
}

#[test]
fn no_word_stands_twice_in_a_picture() {
    for name in ["disputed-unit", "busy-unit", "clean-life"] {
        let full = document(&demonstration(name), Edition::Full);
        for figure in figures(&full) {
            let marks = figure.picture.elements();
            for hour in ["opens 07:00 (stated)", "not in this log:"] {
                let close_ups = marks.matches("Close-up").count();
                let gaps = marks.matches("k-unknown").count().max(1);
                assert!(marks.matches(hour).count() <= gaps + close_ups, "{name}: {hour}");
            }
            assert!(!marks.contains("k-halo"), "{name}");
        }
    }
}

#[test]
fn what_the_pace_leaves_out_is_said() {
    let told = flat(&report(&demonstration("disputed-unit"), 140));
    assert!(
        told.contains("23 intervals, ") && told.contains("left out: 3 intervals, inside which"),
        "{told}"
    );
    let read = planted("4", 11);
    let full = document(&read, Edition::Full);
    let tables =
        full.all_blocks().filter_map(|block| if let Block::Table(one) = block { Some(one) } else { None });
    let table = tables
        .into_iter()
        .find(|table| table.caption.as_str().starts_with("Votes by the half hour"))
        .unwrap();
    let noted: Vec<String> =
        table.rows.iter().map(|row| row.cells[3].words()).filter(|cell| !cell.is_empty()).collect();
    assert_eq!(noted.first().map(String::as_str), Some("9 at 09:39"));
}

#[test]
fn the_public_edition_leaves_no_sentence_without_its_length() {
    for read in
        [demonstration("disputed-unit"), demonstration("busy-unit"), planted("4", 11), planted("19", 5)]
    {
        let public = page(&read, Edition::Public);
        assert!(
            !public.contains("[length left out]"),
            "{}",
            &public[public.find("[length left out]").unwrap() - 200..][..300]
        );
        assert!(!flat(&public).contains("between 2031-05-"), "bounds of true time");
    }
    let public = page(&demonstration("disputed-unit"), Edition::Public);
    assert!(public.contains("Half hours with few votes. Of the "));
}

#[test]
fn the_line_of_the_day_draws_gaps_and_says_what_it_leaves_out() {
    let told = report(&demonstration("disputed-unit"), 80);
    let from = told.find("Each column is an hour.").unwrap();
    let line = &told[from..];
    let row = |label: &str| line.lines().find(|line| line.starts_with(label)).unwrap().to_owned();
    // Two hours with missing records, from 12:53 to 14:23.
    assert!(row("log ").contains("------------////////////----"), "{}", row("log "));
    // The number of every finding stands in the line itself.
    for number in ["6", "3", "7", "4,9"] {
        assert!(row("finding ").split_whitespace().any(|one| one == number), "{}", row("finding "));
    }
    let words = flat(line);
    // Only as far as the next record that something places: the rest the order of the log puts behind that one.
    let behind = "Behind it, and before the record on line 85, stand 4 records that the order of the log alone places, \
                  because they lie in a conflict.";
    assert!(words.contains(behind), "{words}");
    assert!(words.contains("Records are missing or unread between lines "), "{words}");
    // The later end is 06:29:25: rounded outwards; and what lies on another day has its date.
    assert!(words.contains("When the record of each finding may lie: 6 from 06:26 to 06:30; "), "{words}");
    assert!(words.contains("; 4 from 18:00 to 2031-05-11 02:14; 9 from 18:00 to 18:04."), "{words}");
    let absent = "Not on this line: findings 1, 2 and 5, whose records lie before or behind it; finding 8, which is about \
                  the log as a whole.";
    assert!(words.contains(absent), "{words}");
}

/// Line 80, of the half hour from six, is bound; line 82 lies in a conflict.
#[test]
fn a_half_hour_says_of_how_many_votes_the_true_time_is_known() {
    let read = demonstration("disputed-unit");
    let row = "2 votes; in true time 1 of them not before 2031-05-10 18:00:58 and not after 2031-05-10 18:03:02; \
               1 not known, because it lies in conflict 2.";
    let told = flat(&report(&read, 80));
    assert!(told.contains(row), "{told}");
    assert!(told.contains("as the unit displayed them, but where it is said that they are true time"));
    let cell = "1 of them from 18:00:58 to 18:03:02; 1 not known, because it lies in conflict 2";
    assert!(page(&read, Edition::Full).contains(cell));
    assert!(!page(&read, Edition::Public).contains("18:00:58"));
}

/// The page says of a record what the terminal says: a conflict is no lack of readings.
#[test]
fn the_page_names_the_conflict_that_leaves_a_record_without_true_time() {
    let page = page(&demonstration("disputed-unit"), Edition::Full);
    let said =
        "When record 286 (2031-05-10 18:03:10) was made in true time cannot be told: it lies in conflict 2, ";
    assert!(page.contains(said));
    assert!(!page.contains("nothing bounds it") && page.contains("2031-05-26 15:23:23 (if 2, 3, 6, 7)"));
}

/// The least height of letters in a picture, in its pixels.
fn least_letters(marks: &[Drawn]) -> Option<f64> {
    let one = |mark: &Drawn| match mark {
        Drawn::Words(_, _, ink, _) => {
            let look = INKS.iter().find(|look| look.ink == *ink).unwrap();
            let (font, _) = look.light.split_once("px ").unwrap();
            font.rsplit([':', ' ']).next().unwrap().parse().ok()
        }
        Drawn::Link(_, _, marks) => least_letters(marks),
        _ => None,
    };
    marks.iter().filter_map(one).reduce(f64::min)
}

/// On A4 a picture is as wide as the text: 210 mm less the margins of the template.
#[test]
fn the_letters_of_every_picture_are_seven_points_high_on_paper() {
    assert!(
        include_str!("../../src/report/pdf/document.typ")
            .contains("paper: \"a4\",\n  margin: (top: 27mm, bottom: 21mm, x: 18mm)")
    );
    let wide = (210.0 - 2.0 * 18.0) * 72.0 / 25.4;
    let points = |picture: &Picture| least_letters(&picture.marks).unwrap() * wide / f64::from(picture.width);
    let mut seen = 0;
    for (name, logs, case) in corpus() {
        let read = (logs, case);
        for edition in [Edition::Full, Edition::Public] {
            for figure in figures(&document(&read, edition)) {
                assert!(points(&figure.picture) >= 7.0, "{name}: {}", figure.title);
                seen += 1;
            }
        }
    }
    assert!(seen > 200, "{seen}");
}

/// A reading with its own zone binds true time; the hours of the poll are stated in none, so that nothing says where on the
/// line of the poll a true time lies.
#[test]
fn without_a_zone_of_the_poll_the_line_stands_as_displayed() {
    let text = "unit-event-log 1\n1 2031-05-10 06:45:07 power-on\n2 2031-05-10 11:58:31 enable\n\
                3 2031-05-10 11:59:01 vote\n4 2031-05-10 14:02:00 close\n5 2031-05-10 15:01:00 power-off\n";
    let row = |table: &str, keys: &str| {
        format!("[[{table}]]\n{keys}\nsource = \"Diary\"\nby = \"Presiding officer\"\n")
    };
    let papers = [
        row("poll", "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\""),
        row("setting", "drift-ppm = 100"),
        row(
            "reading",
            "displayed = \"2031-05-10 14:00:30\"\nreference = \"2031-05-10 14:00:30\"\nwithin-seconds = 3\nzone = \"+02:00\"\nafter-record = 3",
        ),
        row("end", "closed = \"front\""),
        row("end", "closed = \"back\""),
    ];
    let (report, _) = told(text, &papers.concat(), 140);
    let words = flat(&report);
    assert!(
        words.contains("as the unit displayed it: readings tie it to true time, but no zone is stated"),
        "{words}"
    );
    let line = report.lines().find(|line| line.starts_with("votes ")).unwrap();
    assert!(line.contains('1'), "the vote at 11:59 stands on the line: {line}");
}

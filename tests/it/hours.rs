//! The hours and the clock: faults of the catalogue of `methods.md`, 10, that no rule's example holds, the day on a line, and
//! what the rules cite.

use logassay::case::Case;
use logassay::examine;
use logassay::finding::Verdict;
use logassay::report::{Frame, Layout, json, terminal};
use logassay::rules::{Basis, Family, RULES, clock::SILENCE};
use logassay::source::Shown;
use logassay::syntax::Stamp;
use logassay::unit::UnitDescription;
use logassay::zone::DATA;

use crate::lives::{file, log};

pub(crate) const POLL: &str = "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\n\
                    source = \"Notice of poll\"\nby = \"Registrar\"\n\n\
                    [[phase]]\nwas = \"poll\"\nrecords = \"101-108\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n\n\
                    [[setting]]\ndrift-ppm = 100\nsource = \"Data sheet\"\nby = \"Registrar\"\n\n";

fn case(text: &str) -> Case {
    Case::read("case", text).unwrap_or_else(|troubles| panic!("{troubles:?}")).case
}

pub(crate) fn reading(displayed: &str, reference: &str, within: u32, after: u32) -> String {
    format!(
        "[[reading]]\ndisplayed = \"2031-05-10 {displayed}\"\nreference = \"2031-05-10 {reference}\"\n\
         within-seconds = {within}\nafter-record = {after}\nsource = \"Diary\"\nby = \"Presiding officer\"\n\n"
    )
}

pub(crate) fn frame() -> Frame {
    Frame::of(Shown::inert("examine"))
}

/// The report on a log and its case file, and the answer of each rule.
pub(crate) fn told(text: &str, papers: &str, width: usize) -> (String, Vec<(&'static str, Verdict)>) {
    let (log, case, unit) = (log(text), case(papers), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    let answers = examination.answers.iter().map(|answer| (answer.rule, answer.verdict)).collect();
    (terminal::report(&[examination], &frame(), Layout::plain(width)), answers)
}

fn answer(answers: &[(&'static str, Verdict)], id: &str) -> Verdict {
    answers.iter().find(|(rule, _)| *rule == id).unwrap().1
}

/// Four voters; `pause` true seconds more before the third, and a clock that is set forward by `step` seconds there.
fn day(pause: i64, step: i64) -> String {
    let mut lines = Vec::new();
    let begin = 1_936_162_800_i64 + 4 * 3600 + 300;
    for voter in 0..4_i64 {
        let late = voter >= 2;
        let truly = begin + voter * 67 + i64::from(late) * pause;
        let shown = truly + i64::from(late) * step;
        for (after, event) in [(0, "enable"), (13, "vote")] {
            let stamp = Stamp::new((shown + after) * 1000, 0);
            lines.push(format!("{} {stamp} {event}", 101 + lines.len()));
        }
    }
    file(&lines, true)
}

/// `methods.md`, 10, faults 22 and 23: a forward step that is not recorded and a pause leave the same records. Both get the
/// same text, word for word, and it says so.
#[test]
fn a_forward_step_and_a_pause_get_the_same_text() {
    let (paused, set) = (day(600, 0), day(0, 600));
    assert_eq!(paused, set, "the records are the same");
    assert_ne!(paused, day(0, 0));
    for papers in [POLL.to_owned(), format!("{POLL}{}", reading("11:05:30", "11:05:31", 2, 102))] {
        let (one, answers) = told(&paused, &papers, 140);
        let (other, _) = told(&set, &papers, 140);
        assert_eq!(one, other);
        let words: Vec<&str> = one.split_whitespace().collect();
        assert!(words.join(" ").contains(SILENCE), "{one}");
        assert!(answers.iter().all(|(_, verdict)| *verdict != Verdict::NotKept), "{answers:?}");
    }
}

/// Fault 12: the clock is four minutes slow and nobody read it. Every rule on hours stays open; those on order do not care.
#[test]
fn without_a_reading_every_rule_on_hours_stays_open_and_says_the_least_error() {
    let text = day(0, 0);
    let (report, answers) = told(&text, POLL, 140);
    for id in ["vote-before-opening", "vote-after-hour"] {
        assert_eq!(answer(&answers, id), Verdict::CannotBeTold, "{id}");
    }
    assert_eq!(answer(&answers, "two-enables"), Verdict::CannotBeTold, "its front is open");
    let words = report.split_whitespace().collect::<Vec<_>>().join(" ");
    let least = "an error of that clock of little more than 4 h 5 min 13 s would put the one displayed at 2031-05-10 11:05:13 on the \
                 other side";
    assert!(words.contains(least), "{words}");
}

/// Fault 6: twenty seconds about the hour, and a reading to the minute.
#[test]
fn twenty_seconds_about_the_hour_are_not_told_by_a_reading_to_the_minute() {
    let lines = [
        "101 2031-05-10 17:59:23 enable",
        "102 2031-05-10 17:59:41 vote",
        "103 2031-05-10 18:00:07 enable",
        "104 2031-05-10 18:00:20 vote",
        "105 2031-05-10 18:03:00 close",
        "106 2031-05-10 18:05:00 power-off",
    ];
    let text = file(&lines.map(str::to_owned), true);
    let (_, wide) = told(&text, &format!("{POLL}{}", reading("18:04:30", "18:04", 0, 105)), 80);
    assert_eq!(answer(&wide, "vote-after-hour"), Verdict::CannotBeTold);
    // A reading to the second decides.
    let (_, narrow) = told(&text, &format!("{POLL}{}", reading("18:04:00", "18:04:00", 2, 105)), 80);
    assert_eq!(answer(&narrow, "vote-after-hour"), Verdict::NotKept);
    let (_, fast) = told(&text, &format!("{POLL}{}", reading("18:04:00", "18:03:10", 2, 105)), 80);
    assert_ne!(answer(&fast, "vote-after-hour"), Verdict::NotKept);
}

/// Fault 18: an hour that the clocks of the place showed twice keeps both candidates. Berlin, 2024-10-27 (published: IANA
/// time zone database, `europe`); a poll that closes at 02:30 of that night is closed surely only after the second.
#[test]
fn a_repeated_hour_keeps_both_candidates() {
    let papers = |reference: &str, zone: &str| {
        format!(
            "[[poll]]\ndate = \"2024-10-27\"\nopens = \"00:30\"\ncloses = \"02:30\"\nzone = \"Europe/Berlin\"\n\
             source = \"Notice of poll\"\nby = \"Registrar\"\n\n\
             [[phase]]\nwas = \"poll\"\nrecords = \"101-103\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n\n\
             [[setting]]\ndrift-ppm = 100\nsource = \"Data sheet\"\nby = \"Registrar\"\n\n\
             [[reading]]\ndisplayed = \"2024-10-27 02:41:00\"\nreference = \"{reference}\"\nzone = \"{zone}\"\n\
             within-seconds = 2\nafter-record = 102\nsource = \"Diary\"\nby = \"Presiding officer\"\n"
        )
    };
    let lines =
        ["101 2024-10-27 02:40:01 enable", "102 2024-10-27 02:40:17 vote", "103 2024-10-27 02:45:00 close"];
    let text = file(&lines.map(str::to_owned), true);
    // 00:41 UTC is after the first 02:30 and before the second; 01:41 UTC is after both.
    let (_, between) = told(&text, &papers("2024-10-27 00:41:00", "+00:00"), 80);
    assert_eq!(answer(&between, "vote-after-hour"), Verdict::CannotBeTold);
    let (report, late) = told(&text, &papers("2024-10-27 01:41:00", "+00:00"), 80);
    assert_eq!(answer(&late, "vote-after-hour"), Verdict::NotKept);
    let words = report.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains(&format!("IANA time zone database {DATA}")), "{words}");
    // The same reading by a clock of the place is one of the two hours, and it is not said which.
    let (_, local) = told(&text, &papers("2024-10-27 02:41:00", "Europe/Berlin"), 80);
    assert_eq!(answer(&local, "vote-after-hour"), Verdict::CannotBeTold);
}

/// `standards.md`, 1.0 and 7, 6: VVSG 2.0 sets no limit for clocks; what is cited for them is VVSG 1.1.
#[test]
fn no_rule_on_the_clock_cites_vvsg_2() {
    let clock = RULES.iter().filter(|rule| rule.family == Family::Clock);
    let mut cited = 0;
    for basis in clock.flat_map(|rule| rule.basis) {
        if let Basis::Comparable(text) = basis {
            assert!(
                text.contains("VVSG 1.1") && text.contains("2.1.5.1") && !text.contains("VVSG 2.0"),
                "{text}"
            );
            cited += 1;
        }
    }
    assert!(cited >= 2);
}

/// The picture of a day, to the character: at 80 columns by hours, at 140 by half hours.
#[test]
fn the_day_on_a_line() {
    let text = day(0, 0);
    let papers = format!("{POLL}{}", reading("11:05:30", "11:05:31", 2, 102));
    let picture = |width| {
        let (report, _) = told(&text, &papers, width);
        let from = report.find("2031-05-10, in true time").unwrap();
        report[from..].lines().take(5).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(
        picture(80),
        [
            "2031-05-10, in true time, by the readings of the unit's clock",
            "Each column is an hour.",
            "          05  06  07  08  09  10  11  12  13  14  15  16  17  18  19",
            "hours             ============================================",
            "log       ????????????????????????~~~~????????????????????????????????",
        ]
    );
    assert_eq!(
        picture(140),
        [
            "2031-05-10, in true time, by the readings of the unit's clock",
            "Each column is half an hour.",
            "          05      06      07      08      09      10      11      12      13      14      15      16      17      18      \
             19",
            "hours                     ========================================================================================",
            &format!("log       {}~~~~{}", "?".repeat(48), "?".repeat(68)),
        ]
    );
    let (log, case, unit) = (log(&text), case(&papers), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    let value: serde_json::Value = serde_json::from_str(&json::report(&[examination], &frame())).unwrap();
    let day = &value["examinations"][0]["days"][0];
    assert_eq!((&day["scale"], &day["votes_between"]), (&"true time".into(), &0.into()));
    let halves = day["half_hours"].as_array().unwrap();
    let votes: Vec<_> = halves
        .iter()
        .filter(|half| half["votes"] != 0)
        .map(|half| (&half["begins"], &half["votes"]))
        .collect();
    assert_eq!(votes, [(&"2031-05-10 11:00:00".into(), &4.into())]);
}

/// A part per million over three minutes is less than a millisecond: the later end goes outwards all the same.
#[test]
fn no_end_on_the_line_is_cut_inwards() {
    let papers =
        format!("{}{}", POLL.replace("ppm = 100", "ppm = 1"), reading("11:05:30", "11:05:31", 2, 102));
    let (log, case, unit) = (log(&day(0, 0)), case(&papers), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    let value: serde_json::Value = serde_json::from_str(&json::report(&[examination], &frame())).unwrap();
    let words = value["examinations"][0]["coverage"]["in_words"].as_array().unwrap();
    let of = |about: &str| words.iter().find(|one| one["about"] == about).unwrap()["text"].as_str().unwrap();
    let ends = value["examinations"][0]["days"][0]["ends"].as_array().unwrap();
    for (about, end) in ["first record", "last vote"].into_iter().zip(ends) {
        let (from, to) = (end["earliest"].as_str().unwrap(), end["latest"].as_str().unwrap());
        let said = format!("was made from {from} to {to}");
        assert!(of(about).contains(&said), "{said}: {}", of(about));
    }
}

/// An interruption that ends on the day after says so.
#[test]
fn an_hour_of_another_day_has_its_date() {
    let papers = format!(
        "{POLL}{}[[interruption]]\nfrom = \"2031-05-10 16:05:00\"\nto = \"2031-05-11 09:00:00\"\nsource = \"Diary\"\nby = \
         \"Presiding officer\"\n",
        reading("11:05:30", "11:05:31", 2, 102)
    );
    let (report, _) = told(&day(0, 0), &papers, 140);
    assert!(report.contains("An interruption is stated from 16:05 to 2031-05-11 09:00."), "{report}");
}

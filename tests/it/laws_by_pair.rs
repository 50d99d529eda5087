//! The law of less knowledge on pairs that once broke it, and on unread lines that the record numbers leave no room for.

use std::cell::Cell;

use logassay::examine;
use logassay::finding::Verdict;
use logassay::report::{Layout, terminal};
use logassay::rules::{Family, rule};
use logassay::unit::UnitDescription;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::hours::frame;
use crate::lives::{Life, case, file, life, log};

fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"diary\"\nby = \"presiding officer\"\n")
}

fn poll(day: u32) -> String {
    let hours = "opens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"";
    row("poll", &format!("date = \"2031-05-{day}\"\n{hours}"))
}

fn was(phase: &str, records: &str) -> String {
    row("phase", &format!("was = \"{phase}\"\nrecords = \"{records}\""))
}

fn count(of: &str, value: u32) -> String {
    row("count", &format!("of = \"{of}\"\nvalue = {value}"))
}

/// A clock that was right to two seconds at this moment.
fn right(at: &str, after: u32) -> String {
    let keys =
        format!("displayed = \"{at}\"\nreference = \"{at}\"\nwithin-seconds = 2\nafter-record = {after}");
    row("reading", &keys)
}

fn verdict(lines: &[&str], rows: &[String], id: &str) -> Verdict {
    let lines: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    let (log, case, unit) = (log(&file(&lines, false)), case(rows), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    examination.answers.iter().find(|answer| answer.rule == id).unwrap().verdict
}

/// Votes after the hour that stand before the first record are not seen, whatever the tokens say.
#[test]
fn tokens_and_a_record_that_begins_after_the_hour() {
    let lines = [
        "501 2031-05-10 17:50:00 enable",
        "502 2031-05-10 17:50:10 vote",
        "503 2031-05-10 18:01:00 enable",
        "504 2031-05-10 18:01:10 vote",
        "505 2031-05-10 18:04:00 enable",
        "506 2031-05-10 18:04:10 vote",
        "507 2031-05-10 18:08:00 close total=3",
        "508 2031-05-10 18:12:00 power-off",
    ];
    let papers = |tokens| {
        let drift = row("setting", "drift-ppm = 100");
        vec![
            poll(10),
            was("poll", "501-507"),
            right("2031-05-10 18:08:30", 507),
            drift,
            count("tokens", tokens),
        ]
    };
    let told = |lines: &[&str], tokens| verdict(lines, &papers(tokens), "tokens-differ");
    assert_eq!(told(&lines, 1), Verdict::NotKept);
    assert_eq!(told(&lines, 2), Verdict::Kept);
    assert_eq!(told(&lines[2..], 2), Verdict::CannotBeTold);
    assert_eq!(told(&lines[4..], 1), Verdict::CannotBeTold);
}

/// A close on a day for which no poll is stated: the poll may have been adjourned to it, and its hour is not known.
#[test]
fn a_close_on_a_day_that_the_case_file_does_not_state() {
    let day = |close: &'static str| {
        [
            "1 2031-05-10 06:00:00 power-on",
            "2 2031-05-10 08:00:10 enable",
            "3 2031-05-10 08:00:20 vote",
            "4 2031-05-10 08:10:00 power-off",
            "5 2031-05-11 06:00:00 power-on",
            "6 2031-05-11 16:50:00 enable",
            "7 2031-05-11 16:56:00 vote",
            close,
            "9 2031-05-11 18:59:00 power-off",
        ]
    };
    let papers = |days: &[u32]| {
        let mut rows: Vec<String> = days.iter().map(|day| poll(*day)).collect();
        rows.extend([was("poll", "2-9"), row("setting", "drift-ppm = 20\nclose-within-minutes = 30")]);
        rows.extend([right("2031-05-10 06:00:30", 1), right("2031-05-11 18:58:00", 8)]);
        rows.push(row("end", "closed = \"back\""));
        rows
    };
    let early = day("8 2031-05-11 16:58:00 close total=2");
    assert_eq!(verdict(&early, &papers(&[10, 11]), "closed-early"), Verdict::NotKept);
    assert_eq!(verdict(&early, &papers(&[10]), "closed-early"), Verdict::CannotBeTold);
    let late = day("8 2031-05-11 18:00:10 close total=2");
    assert_eq!(verdict(&late, &papers(&[10, 11]), "closed-late"), Verdict::Kept);
    assert_eq!(verdict(&late, &papers(&[10]), "closed-late"), Verdict::CannotBeTold);
    let very_late = day("8 2031-05-11 18:50:10 close total=2");
    assert_eq!(verdict(&very_late, &papers(&[10, 11]), "closed-late"), Verdict::NotKept);
    assert_eq!(verdict(&very_late, &papers(&[10]), "closed-late"), Verdict::CannotBeTold);
}

/// The mock poll of a day on which nobody had voted yet is one of the mock polls.
#[test]
fn a_mock_poll_before_a_poll_without_a_vote() {
    let lines = [
        "1 2031-05-10 05:00:00 power-on",
        "2 2031-05-10 05:01:00 enable",
        "3 2031-05-10 05:01:10 vote",
        "4 2031-05-10 05:01:20 enable",
        "5 2031-05-10 05:01:30 vote",
        "6 2031-05-10 05:02:00 close total=2",
        "7 2031-05-10 05:03:00 result total=2",
        "8 2031-05-10 05:04:00 clear",
        "9 2031-05-10 07:00:10 enable",
        "10 2031-05-10 07:00:20 vote",
        "11 2031-05-10 18:00:20 close total=1",
        "12 2031-05-11 09:00:00 result total=1",
        "13 2031-05-17 05:00:00 clear",
        "14 2031-05-17 05:01:00 enable",
        "15 2031-05-17 05:01:10 vote",
        "16 2031-05-17 05:02:00 close total=1",
        "17 2031-05-17 05:03:00 result total=1",
        "18 2031-05-17 05:04:00 clear",
        "19 2031-05-17 08:25:00 enable",
    ];
    let papers = |second: u32| {
        let of = |value: u32, day: u32| {
            row("count", &format!("of = \"mock-votes\"\nvalue = {value}\npoll = \"2031-05-{day}\""))
        };
        let labels = [was("mock-poll", "2-8"), was("poll", "9-11"), was("count", "12-12")];
        let later = [was("mock-poll", "14-18"), was("poll", "19-90")];
        [poll(10), poll(17)]
            .into_iter()
            .chain(labels)
            .chain(later)
            .chain([of(2, 10), of(second, 17)])
            .collect()
    };
    let told = |second| {
        let rows: Vec<String> = papers(second);
        verdict(&lines, &rows, "mock-votes-differ")
    };
    assert_eq!(told(1), Verdict::Kept);
    assert_eq!(told(7), Verdict::NotKept);
}

/// A result that agrees with the close, and the close with the votes recorded it does not: which is right is not known.
#[test]
fn a_result_that_the_votes_recorded_do_not_make() {
    let told = |close: &str, id: &str| {
        let result = format!("6 2031-05-12 09:00:00 result total={close}");
        let close = format!("5 2031-05-10 18:00:00 close total={close}");
        let lines = [
            "1 2031-05-10 06:30:00 power-on",
            "2 2031-05-10 06:31:00 total shown=0",
            "3 2031-05-10 07:00:05 enable",
            "4 2031-05-10 07:00:31 vote",
            close.as_str(),
            result.as_str(),
        ];
        verdict(&lines, &[was("poll", "2-5"), row("end", "closed = \"back\"")], id)
    };
    assert_eq!((told("1", "total-differs"), told("1", "result-differs")), (Verdict::Kept, Verdict::Kept));
    assert_eq!(told("2", "total-differs"), Verdict::NotKept);
    assert_eq!(told("2", "result-differs"), Verdict::CannotBeTold);
}

/// Whether the register holds those who cast a tendered ballot is not known where no paper says how many there were.
#[test]
fn a_register_without_a_word_on_tendered_ballots() {
    let told = |tendered: Option<u32>, signed| {
        let lines = [
            "1 2031-05-10 06:31:00 total shown=0",
            "2 2031-05-10 07:00:05 enable",
            "3 2031-05-10 07:00:31 vote",
            "4 2031-05-10 18:00:00 close total=1",
            "5 2031-05-12 09:00:00 result total=1",
        ];
        let mut rows = vec![was("poll", "1-4"), was("count", "5-5")];
        rows.extend([count("register", signed), count("unsigned", 0)]);
        rows.extend([count("refused", 0), count("left-after-enable", 0)]);
        rows.extend(tendered.map(|value| count("tendered", value)));
        verdict(&lines, &rows, "register-differs")
    };
    assert_eq!(told(Some(0), 1), Verdict::Kept);
    assert_eq!(told(Some(2), 1), Verdict::CannotBeTold);
    assert_eq!(told(None, 1), Verdict::CannotBeTold);
    assert_eq!(told(None, 0), Verdict::NotKept);
}

/// A slip of the clock that does not explain all readings, and a line between them that cannot be read.
#[test]
fn readings_on_both_sides_of_an_unread_line() {
    let told = |middle: &str, second: &str| {
        let lines = [
            "501 2031-05-10 06:00:00 power-on",
            "502 2031-05-10 07:00:00 enable",
            middle,
            "504 2031-05-10 09:00:00 total shown=1",
            "505 2031-05-10 09:30:00 power-off",
        ];
        let reading = |displayed: &str, reference: &str, after: u32| {
            let times =
                format!("displayed = \"2031-05-10 {displayed}\"\nreference = \"2031-05-10 {reference}\"");
            row("reading", &format!("{times}\nwithin-seconds = 2\nafter-record = {after}"))
        };
        let rows = [poll(10), reading("06:10:00", "07:10:00", 501), reading("09:10:00", second, 504)];
        verdict(&lines, &rows, "clock-slip")
    };
    let (vote, unread) = ("503 2031-05-10 07:00:20 vote", "503 2031-05-10 07:0?:20 vote");
    // An hour behind, then two hours behind: no slip makes both, and two would, had the clock been set between.
    assert_eq!(told(vote, "11:10:00"), Verdict::CannotBeTold);
    assert_eq!(told(unread, "11:10:00"), Verdict::CannotBeTold);
    // An hour behind on both sides: a slip, whether the clock was set between or not.
    assert_eq!(told(vote, "10:10:00"), Verdict::NotKept);
    assert_eq!(told(unread, "10:10:00"), Verdict::NotKept);
}

/// The log of a life whose record at a place has no number of its own, whole and with that line unread; `None` where the
/// life has none there. `how`: it loses its number, repeats the number before it, or keeps its own.
fn unread(life: &Life, at: usize, how: u8) -> Option<(String, String)> {
    let event = life.events.get(at)?.clone();
    // An unread record is taken for one of known kinds; an unknown event is none.
    if matches!(event.as_str(), "lamp-test" | "?") || (how == 1 && at == 0) {
        return None;
    }
    let mut rest = Life { holes: Vec::new(), ..life.clone() };
    if how < 2 {
        rest.events.remove(at);
    }
    let lines = rest.lines();
    let number = match how {
        0 => "-".to_owned(),
        1 => (life.first + at - 1).to_string(),
        _ => (life.first + at).to_string(),
    };
    let with = |time: &str| {
        let mut lines = lines.clone();
        let line = format!("{number} {time} {event}");
        if how < 2 {
            lines.insert(at, line);
        } else {
            lines[at] = line;
        }
        file(&lines, life.closed)
    };
    Some((with("-"), with("2031-05-10 07:0?:30")))
}

#[test]
fn an_unread_line_that_the_numbers_leave_no_room_for_says_no_more_than_the_record_in_it() {
    let config = Config { cases: 4000, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[23; 32]);
    let unit = UnitDescription::kestrane();
    let (told, weaker, conflicts) = (Cell::new(0_u32), Cell::new(0_u32), Cell::new(0_u32));
    let add = |cell: &Cell<u32>| cell.set(cell.get() + 1);
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), any::<prop::sample::Index>(), 0_u8..3), |(life, at, how)| {
            let at = at.index(life.events.len().max(1));
            let Some((whole, less)) = unread(&life, at, how) else { return Ok(()) };
            let (log1, log2, case) = (log(&whole), log(&less), case(&life.rows));
            prop_assert_eq!(log2.records().len() + 1, log1.records().len(), "{}", less);
            let (known, lesser) = (examine(&log1, &case, &unit), examine(&log2, &case, &unit));
            if !known.replay.deviations.is_empty() {
                add(&conflicts);
                return Ok(());
            }
            prop_assert!(lesser.replay.deviations.is_empty(), "{}\n{}", whole, less);
            for (more, fewer) in known.answers.iter().zip(&lesser.answers) {
                if rule(more.rule).map(|rule| rule.family) != Some(Family::Procedure) {
                    continue;
                }
                add(if more.verdict == fewer.verdict { &told } else { &weaker });
                prop_assert!(
                    fewer.verdict == more.verdict || fewer.verdict == Verdict::CannotBeTold,
                    "{}: {} becomes {}\n{whole}\n{less}\n{}",
                    more.rule,
                    more.verdict.words(),
                    fewer.verdict.words(),
                    life.rows.join("\n")
                );
            }
            Ok(())
        })
        .unwrap();
    let (told, weaker, conflicts) = (told.get(), weaker.get(), conflicts.get());
    assert!(told > 1000 && weaker > 300 && conflicts > 100, "{told} {weaker} {conflicts}");
}

/// Between two numbers that follow each other there is no room for a line: it speaks against the numbers, and is a gap.
#[test]
fn an_unread_line_between_two_numbers_that_follow_each_other_is_a_gap() {
    for line in ["4 2031-05-10 07:0?:30 enable", "- 2031-05-10 07:0?:30 enable", "page 2 of 3"] {
        let lines = [
            "1 2031-05-10 07:00:00 power-on",
            "2 2031-05-10 07:00:01 link-up bu=BU-1",
            "3 2031-05-10 07:01:00 enable",
            "4 2031-05-10 07:01:10 vote bu=BU-1",
            line,
            "5 2031-05-10 07:02:10 vote bu=BU-1",
        ];
        assert_eq!(verdict(&lines, &[], "vote-without-enable"), Verdict::CannotBeTold, "{line}");
        let lines: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
        let (log, case, unit) = (log(&file(&lines, false)), case(&[]), UnitDescription::kestrane());
        let examination = examine(&log, &case, &unit);
        let gaps: Vec<_> = examination.replay.gaps().map(|(_, gap)| (gap.least, gap.most)).collect();
        assert_eq!(gaps, [(0, None)], "{line}");
        let report = terminal::report(&[examination], &frame(), Layout::plain(160));
        assert!(report.contains("1 place with lines that could not be read"), "{report}");
    }
}

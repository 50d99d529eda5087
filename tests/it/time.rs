//! What the clock allows to be said, from end to end: every rule on hours without a reading, readings that conflict, a
//! line across settings, and the demonstration.

use logassay::case::Case;
use logassay::clock::{Instant, Premise, When};
use logassay::examine;
use logassay::finding::Verdict;
use logassay::report::{Frame, Layout, terminal};
use logassay::source::Shown;
use logassay::syntax::Stamp;
use logassay::unit::UnitDescription;

use crate::clock::{POLL, noted, with_clock};
use crate::corpus::folder;
use crate::hours::{POLL as DAY_OF_POLL, reading, told};
use crate::lives::{file, log};

fn words(report: &str) -> String {
    report.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Without a reading each of the eight rules on hours says the least error of the clock that would change its answer. The
/// numbers are differences of the displayed time and the hour; one second of the display counts where the record lies
/// before it, a minute of the paper where the period is written to the minute.
#[test]
fn without_a_reading_every_rule_on_hours_says_the_least_error() {
    let lines = [
        "101 2031-05-10 06:20:07 enable",
        "102 2031-05-10 06:20:30 vote",
        "103 2031-05-10 06:22:00 close",
        "104 2031-05-10 06:22:30 result",
        "105 2031-05-10 06:23:00 clear",
        "106 2031-05-10 07:10:00 enable",
        "107 2031-05-10 07:10:20 vote",
        "108 2031-05-10 17:50:00 enable",
        "109 2031-05-10 17:50:31 vote",
        "110 2031-05-10 18:04:00 close",
        "111 2031-05-10 18:05:10 power-off",
        "112 2031-05-12 09:20:11 power-on",
        "113 2031-05-12 09:21:03 result",
    ];
    let row = |table: &str, keys: &str| {
        format!("[[{table}]]\n{keys}\nsource = \"Diary\"\nby = \"Presiding officer\"\n")
    };
    let papers = [
        row("poll", "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\""),
        row("phase", "was = \"mock-poll\"\nrecords = \"101-105\""),
        row("phase", "was = \"poll\"\nrecords = \"106-111\""),
        row("phase", "was = \"count\"\nrecords = \"112-113\""),
        row("storage", "from = \"2031-05-10 19:00\"\nto = \"2031-05-12 09:00\""),
        row("interruption", "from = \"2031-05-10 12:00\"\nto = \"2031-05-10 12:30\""),
        row("setting", "close-within-minutes = 15"),
    ];
    let (log, case) =
        (log(&file(&lines.map(str::to_owned), true)), Case::read("case", &papers.concat()).unwrap().case);
    let unit = UnitDescription::kestrane();
    let examination = examine(&log, &case, &unit);
    for (rule, least, displayed) in [
        ("vote-before-opening", "10 min 20 s", "2031-05-10 07:10:20"),
        ("vote-after-hour", "9 min 28 s", "2031-05-10 17:50:31"),
        ("closed-early", "4 min", "2031-05-10 18:04:00"),
        ("closed-late", "10 min 59 s", "2031-05-10 18:04:00"),
        ("mock-poll-in-hours", "36 min 59 s", "2031-05-10 06:23:00"),
        ("result-outside-count", "20 min 3 s", "2031-05-12 09:21:03"),
        ("vote-in-interruption", "4 h 48 min 39 s", "2031-05-10 07:10:20"),
        ("activity-in-storage", "19 min 11 s", "2031-05-12 09:20:11"),
    ] {
        let answer = examination.answers.iter().find(|answer| answer.rule == rule).unwrap();
        assert_eq!(answer.verdict, Verdict::CannotBeTold, "{rule}");
        let text = format!(
            "an error of that clock of little more than {least} would put the one displayed at {displayed}"
        );
        assert!(answer.why.iter().any(|why| why.contains(&text)), "{rule}: {:?}", answer.why);
        let asked = answer.asks.iter().map(|ask| ask.what.as_str()).collect::<Vec<_>>().join(" ");
        let near = format!(
            "a note, made then, of what the unit displayed about {displayed} beside a reference clock"
        );
        assert!(asked.contains(&near), "{rule}: {asked}");
    }
}

/// The disputed demonstration: one vote surely after the hour, one of which it cannot be told, with the reason, and the one
/// reading that would decide with how precise it must be.
#[test]
fn the_disputed_demonstration_has_a_vote_outside_and_one_that_cannot_be_told() {
    let path = folder("demonstration").join("disputed-unit.log");
    let text = std::fs::read_to_string(&path).unwrap();
    let case =
        Case::read("case", &std::fs::read_to_string(path.with_extension("case.toml")).unwrap()).unwrap().case;
    let (log, unit) = (log(&text), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    let finding = examination.findings.iter().find(|finding| finding.rule == "vote-after-hour").unwrap();
    assert!(
        finding.shows.contains("record 285") || finding.shows.contains("Record 285"),
        "{}",
        finding.shows
    );
    assert!(!finding.shows.contains("283"), "{}", finding.shows);
    let frame = Frame { demonstration: true, ..Frame::of(Shown::inert("examine")) };
    let report = words(&terminal::report(&[examination], &frame, Layout::plain(140)));
    for said in [
        "record 283 (2031-05-10 17:59:50) was made between 2031-05-10 17:59:28 and 2031-05-10 18:01:32, and 18:00 lies in it",
        // The bounds leave 124 s open. A note right to P leaves 2 P, a second and two steps of the display about the hour: by
        // 20 s all of the 32 s before it and 44 s behind it, more than half; by 10 s 24 s to either side.
        "a note, made then, of what the unit displayed about 2031-05-10 17:59:50 beside a reference clock, right to 10 s or \
         better (case file: [[reading]]): it tells on which side of 18:00 on 2031-05-10 record 283 (2031-05-10 17:59:50) lies, unless \
         the true time of that record lies within 24 s of it",
    ] {
        assert!(report.contains(said), "{said}");
    }
}

/// `methods.md`, 10, fault 26: every smallest conflict is listed, and the reading that stands in all of them is named as
/// such, and no more said.
#[test]
fn all_smallest_conflicts_are_listed_and_the_reading_in_every_one_is_named() {
    let lines = [
        "101 2031-05-10 06:40:01 power-on",
        "102 2031-05-10 07:05:00 enable",
        "103 2031-05-10 07:05:20 vote",
        "104 2031-05-10 17:30:00 close",
    ];
    let text = file(&lines.map(str::to_owned), true);
    let rows = [
        reading("06:46:00", "06:50:00", 30, 101),
        reading("07:55:50", "08:00:00", 30, 103),
        reading("14:26:40", "14:26:40", 30, 103),
        reading("17:28:58", "17:33:20", 30, 103),
    ];
    let papers = format!("{DAY_OF_POLL}{}", rows.concat());
    let (report, answers) = told(&text, &papers, 140);
    let report = words(&report);
    let heads: Vec<usize> =
        papers.lines().enumerate().filter(|(_, line)| *line == "[[reading]]").map(|(at, _)| at + 1).collect();
    let of = |row: usize| heads[row];
    let pairs = [(0, 2), (1, 2), (2, 3)].map(|(a, b)| format!("lines {} and {}", of(a), of(b))).join("; ");
    assert!(
        report.contains(&format!(
            "If what is assumed here holds, these readings of the case file cannot all be right: {pairs}."
        )),
        "{report}"
    );
    let every = format!(
        "The reading on line {} stands in every one of them; which reading is wrong does not follow.",
        of(2)
    );
    assert!(report.contains(&every), "{report}");
    assert!(answers.contains(&("readings-conflict", Verdict::NotKept)));
    // Without it nothing conflicts.
    let three = format!("{DAY_OF_POLL}{}{}{}", rows[0], rows[1], rows[3]);
    let (_, answers) = told(&text, &three, 140);
    assert!(
        answers.iter().all(|(rule, verdict)| *rule != "readings-conflict" || *verdict != Verdict::NotKept)
    );
}

/// A display written down wrongly contradicts the records beside it before any true time is asked. The reading binds
/// nothing, and the others do.
#[test]
fn a_display_that_does_not_fit_between_its_records_is_a_conflict_by_itself() {
    let log = "unit-event-log 1\n1 2031-05-10 06:40:01 power-on\n2 2031-05-10 07:30:00 total\n3 2031-05-10 18:00:00 total\n";
    let right = noted("06:46:00", "06:46:00", 5, 1);
    let alone = with_clock(log, &format!("{POLL}{right}"), |clock, _| clock.when(2));
    for wrong in [noted("09:46:00", "07:00:00", 5, 1), noted("07:29:58", "07:40:00", 5, 2)] {
        with_clock(log, &format!("{POLL}{right}{wrong}"), |clock, _| {
            let sets: Vec<&[usize]> = clock.conflicts().iter().map(|one| one.readings.as_slice()).collect();
            assert_eq!(sets, [[1]]);
            let rests = &clock.conflicts()[0].rests_on;
            assert!(rests.iter().any(|one| matches!(one, Premise::NoStep { .. })), "{rests:?}");
            assert_eq!(clock.when(2), alone);
        });
    }
    // As near as the display's own step it fits.
    for near in [noted("07:30:00", "07:30:00", 5, 1), noted("07:30:00", "07:30:00", 5, 2)] {
        with_clock(log, &format!("{POLL}{right}{near}"), |clock, _| assert!(clock.conflicts().is_empty()));
    }
    // Two readings that went back between them, with a record between that fits both: displays of minutes.
    let minutes = "unit-event-log 1\n1 2031-05-10 06:40:00 power-on\n2 2031-05-10 07:30:00 total\n3 2031-05-10 18:00:00 total\n";
    let pair = [noted("07:30:50", "07:30:50", 59, 1), noted("07:29:10", "07:30:50", 59, 2)].concat();
    with_clock(minutes, &format!("{POLL}{pair}"), |clock, _| {
        let sets: Vec<&[usize]> = clock.conflicts().iter().map(|one| one.readings.as_slice()).collect();
        assert_eq!(sets, [[0, 1]]);
    });
}

/// Numbers from a seed, by the constants of Knuth's MMIX (The Art of Computer Programming, volume 2, 3.3.4).
fn draw(state: &mut u64, below: i64) -> i64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    i64::try_from(*state >> 33).unwrap() % below
}

/// A clock of one constant rate that was set twice, each time with a record that states both times. The line runs across
/// the settings: its bounds hold the true times, are never wider than those of bounded drift, and are narrower where one
/// segment has a single reading.
#[test]
fn a_line_runs_across_settings_that_state_both_times() {
    const MIDNIGHT: i64 = 1_936_137_600_000; // 2031-05-10 00:00:00 as a civil time
    let straight = "[[setting]]\nclock-line = true\nsource = \"Order\"\nby = \"Court\"\n";
    let poll = POLL.replace("drift-ppm = 100\n", "drift-ppm = 1000\n");
    let (mut state, mut narrower, mut crossed) = (1976, 0, 0);
    for _ in 0..200 {
        let rate = draw(&mut state, 1801) - 900;
        let mut ahead = draw(&mut state, 1_200_000) - 600_000;
        let (mut lines, mut rows, mut truths) = (Vec::new(), String::new(), Vec::new());
        for hour in 6..19 {
            let truly = MIDNIGHT + hour * 3_600_000 + draw(&mut state, 3_000_000);
            let shows = |truly: i64, ahead: i64| {
                let ran = truly - MIDNIGHT;
                Stamp::new((truly + ahead + (ran * rate).div_euclid(1_000_000)).div_euclid(1000) * 1000, 0)
            };
            let number = lines.len() + 1;
            if hour == 10 || hour == 14 {
                let before = shows(truly, ahead);
                ahead += draw(&mut state, 900_000) - 450_000;
                let after = shows(truly, ahead);
                let form = |stamp: Stamp| stamp.to_string().replace(' ', "T");
                lines.push(format!(
                    "{number} {after} clock-set before={} after={}",
                    form(before),
                    form(after)
                ));
            } else {
                lines.push(format!("{number} {} total", shows(truly, ahead)));
            }
            truths.push(truly);
            if matches!(hour, 6 | 8 | 12 | 17) {
                let read = truly + 1000;
                let (shown, reference) = (shows(read, ahead), Stamp::new(read - read.rem_euclid(1000), 0));
                rows.push_str(
                    &noted(&shown.time_of_day(), &reference.time_of_day(), 2, 0)
                        .replace("after-record = 0", &format!("after-record = {number}")),
                );
            }
        }
        let text = format!("unit-event-log 1\n{}\n", lines.join("\n"));
        let bounds = |papers: &str| -> (Vec<When>, bool) {
            with_clock(&text, papers, |clock, _| {
                assert!(clock.conflicts().is_empty(), "{text}{papers}");
                let crosses = |when: &When| {
                    let ends = [when.earliest.as_ref(), when.latest.as_ref()];
                    let mut rests = ends.into_iter().flatten().flat_map(|end| &end.rests_on);
                    rests.any(|one| matches!(one, Premise::ClockSet { .. }))
                };
                let all: Vec<When> = (0..13).map(|step| clock.when(step)).collect();
                let crosses = all.iter().any(crosses);
                (all, crosses && clock.line().is_some_and(|line| line.holds))
            })
        };
        let (drift, _) = bounds(&format!("{poll}{rows}"));
        let (line, crosses) = bounds(&format!("{poll}{straight}{rows}"));
        crossed += usize::from(crosses);
        for ((drift, line), truly) in drift.iter().zip(&line).zip(&truths) {
            let truly = Instant::of_stamp(Stamp::new(*truly, 3), 120);
            let ends = |when: &When| (when.earliest.as_ref().unwrap().at, when.latest.as_ref().unwrap().at);
            let ((wide_from, wide_to), (from, to)) = (ends(drift), ends(line));
            assert!(from <= truly && truly <= to, "{from} {truly} {to}\n{text}");
            assert!(wide_from <= from && to <= wide_to);
            narrower += usize::from((wide_from, wide_to) != (from, to));
        }
    }
    assert!(crossed > 150 && narrower > 1500, "{crossed} lives, {narrower} of 2600 records");
}

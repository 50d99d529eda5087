//! The law of less knowledge over clock readings: a reading dropped or widened never turns an answer round; and what the
//! clock says is never wrong about a day whose true times are known.

use std::cell::Cell;
use std::collections::BTreeMap;

use logassay::examine;
use logassay::finding::Verdict;
use logassay::rules::{Family, rule};
use logassay::syntax::Stamp;
use logassay::unit::UnitDescription;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::lives::{case, file, log};

/// 2031-05-10 07:00 and 18:00 in Kestrane, as seconds since 1970-01-01 00:00:00 of the place's civil time.
const OPENS: i64 = 1_936_162_800;
const CLOSES: i64 = OPENS + 11 * 3600;

/// A day: votes near the hours by a clock with a constant error and rate, and readings of it.
#[derive(Debug, Clone)]
struct Day {
    /// How far the clock is ahead at the opening, in milliseconds.
    ahead: i64,
    /// By how much it gains, in millionths.
    ppm: i64,
    /// True times of the votes of the poll in milliseconds, in their order.
    votes: Vec<i64>,
    /// True time of the close.
    close: i64,
    readings: Vec<Reading>,
}

#[derive(Debug, Clone)]
struct Reading {
    /// After which vote it was taken; the last is the close.
    after: usize,
    /// So many milliseconds after it.
    later: i64,
    /// How far the reference was off, in seconds, and what is stated for it.
    off: i64,
    within: i64,
}

fn day() -> impl Strategy<Value = Day> {
    let near = prop_oneof![(OPENS - 90..OPENS + 90), (CLOSES - 90..CLOSES + 90), (OPENS..CLOSES)];
    let reading = (any::<prop::sample::Index>(), 1_i64..20_000, -30_i64..=30, 0_i64..90);
    (
        -300_000_i64..300_000,
        -100_i64..=100,
        prop::collection::vec((near, 0_i64..1000), 1..8),
        0_i64..400,
        prop::collection::vec(reading, 0..4),
    )
        .prop_map(|(ahead, ppm, votes, close, readings)| {
            let mut votes: Vec<i64> = votes.into_iter().map(|(second, ms)| second * 1000 + ms).collect();
            votes.sort_unstable();
            votes.dedup_by_key(|vote| *vote / 60_000);
            let last = *votes.last().unwrap();
            let close = last.max(CLOSES * 1000 - 120_000) + 40_000 + close * 1000;
            let readings = readings
                .into_iter()
                .map(|(after, later, off, within)| {
                    let after = after.index(votes.len() + 1);
                    Reading { after, later, off: off.signum() * off.abs().min(within), within }
                })
                .collect();
            Day { ahead, ppm, votes, close, readings }
        })
}

/// What the clock displays, cut to the second.
fn shows(day: &Day, truly: i64) -> Stamp {
    let ran = truly - OPENS * 1000;
    let gained = i64::try_from(i128::from(ran) * i128::from(day.ppm) / 1_000_000).unwrap();
    let shown = truly + day.ahead + gained;
    Stamp::new(shown - shown.rem_euclid(1000), 0)
}

fn civil(ms: i64) -> String {
    Stamp::new(ms - ms.rem_euclid(1000), 0).to_string()
}

fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"diary\"\nby = \"presiding officer\"\n")
}

/// The records and the rows; all displayed times moved by so many milliseconds.
fn papers(day: &Day, moved: i64) -> (String, Vec<String>) {
    let shown = |truly: i64| {
        let stamp = shows(day, truly);
        Stamp::new(stamp.ms() + moved, 0)
    };
    // Two records of odd seconds first, so that the display is not taken for coarse.
    let mut lines = Vec::new();
    let mut number = 101;
    let mut push = |lines: &mut Vec<String>, truly: i64, event: &str| {
        lines.push(format!("{number} {} {event}", shown(truly)));
        number += 1;
    };
    let first = day.votes[0].min(OPENS * 1000) - 3_600_000;
    for second in 0..8 {
        push(&mut lines, first + second * 1000, "total");
    }
    let mut record = Vec::new();
    for vote in &day.votes {
        push(&mut lines, vote - 5000, "enable");
        record.push(100 + lines.len() + 1);
        push(&mut lines, *vote, "vote");
    }
    record.push(100 + lines.len() + 1);
    push(&mut lines, day.close, "close");
    let mut rows = vec![
        row("poll", "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\""),
        row("setting", "drift-ppm = 100"),
        row("setting", "close-within-minutes = 3"),
        row("setting", "queue-minutes = 1"),
        row("count", "of = \"tokens\"\nvalue = 0"),
        row("interruption", "from = \"2031-05-10 11:00\"\nto = \"2031-05-10 13:00\""),
        row("storage", "from = \"2031-05-10 18:03\"\nto = \"2031-05-11 10:00\""),
        row("phase", &format!("was = \"poll\"\nrecords = \"101-{}\"", 100 + lines.len())),
        row("end", "closed = \"front\""),
        row("end", "closed = \"back\""),
    ];
    for reading in &day.readings {
        let base = day.votes.get(reading.after).copied().unwrap_or(day.close);
        // Before the next record.
        let next = day.votes.get(reading.after + 1).map(|vote| vote - 5001);
        let next = if reading.after + 1 == day.votes.len() { Some(day.close - 1) } else { next };
        let truly = next.map_or(base + reading.later, |next| (base + reading.later).min(next));
        rows.push(row(
            "reading",
            &format!(
                "displayed = \"{}\"\nreference = \"{}\"\nwithin-seconds = {}\nafter-record = {}",
                shown(truly),
                civil(truly + reading.off * 1000),
                reading.within,
                record[reading.after]
            ),
        ));
    }
    (file(&lines, true), rows)
}

fn answers(text: &str, rows: &[String]) -> BTreeMap<&'static str, Verdict> {
    let (log, case) = (log(text), case(rows));
    let unit = UnitDescription::kestrane();
    examine(&log, &case, &unit).answers.iter().map(|answer| (answer.rule, answer.verdict)).collect()
}

/// Rules about one reading or about the readings among themselves: they fall away with them (`domain.md`).
const OF_READINGS: &[&str] = &["clock-offset", "clock-rate", "readings-conflict", "clock-slip"];

fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]))
}

#[test]
fn a_reading_dropped_or_widened_never_turns_an_answer_round() {
    let (same, weaker) = (Cell::new(0_u32), Cell::new(0_u32));
    runner(1500)
        .run(
            &(day(), any::<prop::sample::Index>(), prop_oneof![Just(None), (1_i64..120).prop_map(Some)]),
            |(day, at, widen)| {
                if day.readings.is_empty() {
                    return Ok(());
                }
                let mut lesser = day.clone();
                let at = at.index(day.readings.len());
                match widen {
                    Some(by) => lesser.readings[at].within += by,
                    None => drop(lesser.readings.remove(at)),
                }
                let ((text, rows), (_, fewer)) = (papers(&day, 0), papers(&lesser, 0));
                let (known, less) = (answers(&text, &rows), answers(&text, &fewer));
                prop_assert_eq!(known["readings-conflict"], Verdict::Kept, "true readings never conflict");
                for (id, verdict) in &less {
                    if OF_READINGS.contains(id) {
                        continue;
                    }
                    prop_assert!(
                        *verdict == known[id] || *verdict == Verdict::CannotBeTold,
                        "{}: {:?} became {:?}",
                        id,
                        known[id],
                        verdict
                    );
                    let of_hours =
                        rule(id).unwrap().family == Family::Hours && known[id] != Verdict::CannotBeTold;
                    let cell = if *verdict == known[id] { &same } else { &weaker };
                    cell.set(cell.get() + u32::from(of_hours));
                }
                Ok(())
            },
        )
        .unwrap();
    assert!(same.get() > 500 && weaker.get() > 100, "{} the same, {} weaker", same.get(), weaker.get());
}

/// Every vote is held against its true time: 0 wrong answers.
#[test]
fn no_answer_on_the_hours_is_wrong_about_a_day_whose_true_times_are_known() {
    let told: Cell<[u32; 3]> = Cell::new([0; 3]);
    runner(2000)
        .run(&day(), |day| {
            let (text, rows) = papers(&day, 0);
            let answers = answers(&text, &rows);
            let any = |is: &dyn Fn(i64) -> bool| day.votes.iter().any(|vote| is(*vote));
            let truth = [
                ("vote-before-opening", any(&|vote| vote < OPENS * 1000)),
                ("vote-after-hour", any(&|vote| vote > CLOSES * 1000)),
                // Each voter was released five seconds before the vote.
                ("vote-after-queue", any(&|vote| vote - 5000 > (CLOSES + 60) * 1000)),
                ("tokens-differ", any(&|vote| vote - 5000 > CLOSES * 1000)),
                ("closed-early", day.close < CLOSES * 1000),
                ("closed-late", day.close > day.votes.last().copied().unwrap().max(CLOSES * 1000) + 180_000),
            ];
            for (id, offends) in truth {
                let mut counts = told.get();
                match answers[id] {
                    Verdict::NotKept => {
                        prop_assert!(offends, "{} is not kept, and nothing offends", id);
                        counts[0] += 1;
                    }
                    Verdict::Kept => {
                        prop_assert!(!offends, "{} is kept, and something offends", id);
                        counts[1] += 1;
                    }
                    _ => counts[2] += 1,
                }
                told.set(counts);
            }
            Ok(())
        })
        .unwrap();
    let counts = told.get();
    println!("not kept {}, kept {}, cannot be told {}", counts[0], counts[1], counts[2]);
    assert!(counts.iter().all(|count| *count > 300), "{counts:?}");
}

/// All displayed times moved together, on the log and in the readings: only what depends on the displayed date and time
/// itself may change.
#[test]
fn moving_all_displayed_times_changes_no_answer_on_the_hours() {
    const OF_THE_DISPLAY: &[&str] = &["clock-offset", "clock-slip", "clock-reset", "poll-day-not-displayed"];
    runner(300)
        .run(&(day(), -2000_i64..2000), |(day, hours)| {
            let ((text, rows), (moved, moved_rows)) = (papers(&day, 0), papers(&day, hours * 3_600_000));
            let (here, there) = (answers(&text, &rows), answers(&moved, &moved_rows));
            for (id, verdict) in here.iter().filter(|(id, _)| !OF_THE_DISPLAY.contains(id)) {
                prop_assert_eq!(verdict, &there[id], "{}", id);
            }
            Ok(())
        })
        .unwrap();
}

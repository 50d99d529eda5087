//! The law of less knowledge, over every rule about events: whoever knows less may only be told as much, or that it
//! cannot be told.

use std::cell::Cell;

use logassay::counts::Doubt;
use logassay::finding::Verdict;
use logassay::replay::{Deviation, Replay};
use logassay::rules::{Family, Known, rule, run};
use logassay::syntax::Log;
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::lives::{Life, case, file, life, log};

/// A way to know less about a life.
#[derive(Debug, Clone)]
pub(crate) enum Less {
    /// Records cut off at the front and at the back, the cut marked open.
    Cut(prop::sample::Index, prop::sample::Index),
    /// One record marked unreadable.
    Unreadable(prop::sample::Index),
    /// The number of one record dropped.
    Unnumbered(prop::sample::Index),
    /// One row of the case file dropped.
    Dropped(prop::sample::Index),
}

pub(crate) fn less() -> impl Strategy<Value = Less> {
    prop_oneof![
        (any::<prop::sample::Index>(), any::<prop::sample::Index>()).prop_map(|(a, b)| Less::Cut(a, b)),
        any::<prop::sample::Index>().prop_map(Less::Unreadable),
        any::<prop::sample::Index>().prop_map(Less::Unnumbered),
        any::<prop::sample::Index>().prop_map(Less::Dropped),
    ]
}

/// Whether a part of a life still shows, if the whole does, that the unit records events of kinds not known. Where it
/// shows none, missing records are taken for known kinds, and that assumption is printed; the whole would refute it.
fn keeps_unknown_events(life: &Life, from: usize, to: usize) -> bool {
    let shows = |events: &[String]| events.iter().any(|event| event == "lamp-test");
    !shows(&life.events) || shows(&life.events[from..to])
}

/// Text and case rows of what is left; `None` where there is nothing to take away.
pub(crate) fn apply(life: &Life, less: &Less) -> Option<(String, Vec<String>)> {
    let mut lines = life.lines();
    let mut rows = life.rows.clone();
    match less {
        Less::Cut(a, b) => {
            let (a, b) = (a.index(lines.len() + 1), b.index(lines.len() + 1));
            let (from, to) = (a.min(b), a.max(b));
            if from > 0 {
                rows.retain(|row| !row.contains("closed = \"front\""));
            }
            if to < lines.len() {
                rows.retain(|row| !row.contains("closed = \"back\""));
            }
            if !keeps_unknown_events(life, from, to) {
                return None;
            }
            let whole = from == 0 && to == lines.len();
            let lines: Vec<String> = lines.drain(from..to).collect();
            Some((file(&lines, life.closed && whole), rows))
        }
        Less::Unreadable(at) => {
            let at = at.index(lines.len());
            // An unread record is taken for one of known kinds; an unknown event is none.
            if life.events[at] == "lamp-test" {
                return None;
            }
            "?????".clone_into(&mut lines[at]);
            Some((file(&lines, life.closed), rows))
        }
        Less::Unnumbered(at) => {
            let at = at.index(lines.len());
            lines[at] = format!("- - {}", life.events[at]);
            Some((file(&lines, life.closed), rows))
        }
        Less::Dropped(at) => {
            if rows.is_empty() {
                return None;
            }
            // A fact that excuses replaces a printed assumption ("the case file states none"). Withdrawing it brings
            // the assumption back: that is another knowledge, not less of it.
            // So does a count that explains a difference: without it, that there was none is taken for granted.
            let row = rows.remove(at.index(rows.len()));
            let explains = ["[[fact]]", "test-votes", "unsigned"].iter().any(|word| row.contains(word));
            let deducted = rows.iter().any(|row| row.contains("mock-votes-deducted"));
            if explains || (deducted && row.contains("\"mock-votes\"")) {
                return None;
            }
            Some((life.text(), rows))
        }
    }
}

/// First and last line of a contradiction, counted in the whole life when `from` lines were cut off before.
fn lines_of(log: &Log, replay: &Replay, deviation: &Deviation, from: usize) -> (usize, usize) {
    let line = |step: usize| {
        let record = log.records().get(replay.record(step)?)?;
        Some(log.line_number(record.line) + from)
    };
    let mut lines = (deviation.first..=deviation.last).filter_map(line);
    let first = lines.next().unwrap();
    (first, lines.next_back().unwrap_or(first))
}

#[test]
fn whoever_knows_less_is_told_as_much_or_that_it_cannot_be_told() {
    let config = Config { cases: 4000, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let unit = UnitDescription::kestrane();
    let (same, weaker, conflicts) = (Cell::new(0_u32), Cell::new(0_u32), Cell::new(0_u32));
    let numbers = Cell::new(0_u32);
    let count = |cell: &Cell<u32>| cell.set(cell.get() + 1);
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), less()), |(life, less)| {
            let Some((text, rows)) = apply(&life, &less) else { return Ok(()) };
            let (log1, case1) = (log(&life.text()), case(&life.rows));
            let (log2, case2) = (log(&text), case(&rows));
            let (known, lesser) = (examine(&log1, &case1, &unit), examine(&log2, &case2, &unit));
            let papers = life.rows.join("\n");
            // Nothing fits what is known less: then nothing fits what is known, and not in the very same lines.
            let from = match &less {
                Less::Cut(a, b) => a.index(life.events.len() + 1).min(b.index(life.events.len() + 1)),
                _ => 0,
            };
            for deviation in &lesser.replay.deviations {
                let (first, last) = lines_of(&log2, &lesser.replay, deviation, from);
                let inside = known.replay.deviations.iter().any(|other| {
                    let (begin, end) = lines_of(&log1, &known.replay, other, 0);
                    first <= begin && end <= last
                });
                prop_assert!(inside, "{less:?}\n{}\n{text}\n{papers}", life.text());
            }
            if !known.replay.deviations.is_empty() {
                count(&conflicts);
                return Ok(());
            }
            let counts_conflict = counts_are_in_conflict(&known);
            for (more, fewer) in known.answers.iter().zip(&lesser.answers) {
                let family = rule(more.rule).map(|rule| rule.family);
                if !matches!(family, Some(Family::Procedure | Family::Counts)) {
                    continue;
                }
                if family == Some(Family::Counts) && counts_conflict {
                    continue;
                }
                if more.rule == "declared-differs" && more.verdict != Verdict::CannotBeTold {
                    count(&numbers);
                }
                if more.verdict == fewer.verdict {
                    count(&same);
                } else {
                    count(&weaker);
                }
                prop_assert!(
                    fewer.verdict == more.verdict || fewer.verdict == Verdict::CannotBeTold,
                    "{}: {} becomes {} when {less:?}\n{}\n{text}\n{papers}",
                    more.rule,
                    more.verdict.words(),
                    fewer.verdict.words(),
                    life.text()
                );
            }
            Ok(())
        })
        .unwrap();
    // The law was put to the test: answers did change, and most lives were without contradiction or with one.
    let (same, weaker, conflicts) = (same.get(), weaker.get(), conflicts.get());
    assert!(same > 1000 && weaker > 300 && conflicts > 100, "{same} {weaker} {conflicts}");
    // Numbers on paper were set against the log.
    assert!(numbers.get() > 20, "{}", numbers.get());
}

/// Whether no course of events fits the numbers: those that the unit showed, or the papers beside them, are at odds. Then
/// which of them is told to differ may change with what is known. And where a log shows several polls, it refutes the
/// printed assumption that there was one.
fn counts_are_in_conflict(known: &Examination<'_>) -> bool {
    let of_counts = |id: &str| rule(id).is_some_and(|rule| rule.family == Family::Counts);
    let not_kept =
        known.answers.iter().any(|answer| of_counts(answer.rule) && answer.verdict == Verdict::NotKept);
    not_kept || known.ledgers.iter().any(|(_, ledger)| ledger.unclear == Some(Doubt::WhichPoll))
}

/// A number that differs in a part of the log differs, or some other does, in the whole: a conflict under less knowledge
/// stays one under more.
#[test]
fn numbers_that_differ_for_whoever_knows_less_differ_for_whoever_knows_more() {
    let config = Config { cases: 3000, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[17; 32]);
    let (unit, met) = (UnitDescription::kestrane(), Cell::new(0_u32));
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), less()), |(life, less)| {
            let Some((text, rows)) = apply(&life, &less) else { return Ok(()) };
            let (log1, case1) = (log(&life.text()), case(&life.rows));
            let (log2, case2) = (log(&text), case(&rows));
            let (known, lesser) = (examine(&log1, &case1, &unit), examine(&log2, &case2, &unit));
            if !known.replay.deviations.is_empty() {
                return Ok(());
            }
            let differs = |all: &Examination<'_>| {
                all.answers.iter().any(|answer| {
                    answer.verdict == Verdict::NotKept
                        && rule(answer.rule).is_some_and(|rule| rule.family == Family::Counts)
                })
            };
            if differs(&lesser) {
                met.set(met.get() + 1);
                prop_assert!(
                    differs(&known) || counts_are_in_conflict(&known),
                    "{less:?}\n{}\n{text}\n{}",
                    life.text(),
                    life.rows.join("\n")
                );
            }
            Ok(())
        })
        .unwrap();
    assert!(met.get() > 50, "{}", met.get());
}

#[test]
fn a_contradiction_in_a_part_of_a_log_is_one_in_the_whole() {
    let config = Config { cases: 1000, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]);
    let unit = UnitDescription::kestrane();
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), any::<prop::sample::Index>()), |(life, at)| {
            let none = case(&[]);
            let lines = life.lines();
            let cut = at.index(lines.len());
            if !keeps_unknown_events(&life, cut, lines.len()) {
                return Ok(());
            }
            let (whole, part) = (log(&file(&lines, false)), log(&file(&lines[cut..], false)));
            let (all, some) = (Replay::of(&whole, &none, &unit), Replay::of(&part, &none, &unit));
            for deviation in &some.deviations {
                let lines = lines_of(&part, &some, deviation, cut);
                let found = all.deviations.iter().any(|d| lines_of(&whole, &all, d, 0) == lines);
                prop_assert!(found, "lines {lines:?} of\n{}", life.text());
            }
            Ok(())
        })
        .unwrap();
}

/// A fact that excuses stands in the place of a printed assumption: without it a finding may appear, and then it names
/// what the case file does not state.
#[test]
fn without_an_excusing_fact_a_finding_names_what_is_not_stated() {
    let config = Config { cases: 1500, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[13; 32]);
    let (unit, appeared) = (UnitDescription::kestrane(), Cell::new(0_u32));
    TestRunner::new_with_rng(config, rng)
        .run(&life(), |life| {
            let rows: Vec<String> =
                life.rows.iter().filter(|row| !row.contains("[[fact]]")).cloned().collect();
            let log = log(&life.text());
            let (stated, silent) = (case(&life.rows), case(&rows));
            let (known, lesser) = (examine(&log, &stated, &unit), examine(&log, &silent, &unit));
            for (more, fewer) in known.answers.iter().zip(&lesser.answers) {
                let weaker = fewer.verdict == more.verdict || fewer.verdict == Verdict::CannotBeTold;
                if weaker {
                    continue;
                }
                // Facts that excuse a difference leave a number open; without them it may be found right.
                let of_counts = rule(fewer.rule).is_some_and(|rule| rule.family == Family::Counts);
                if of_counts && fewer.verdict == Verdict::Kept {
                    continue;
                }
                appeared.set(appeared.get() + 1);
                prop_assert_eq!(fewer.verdict, Verdict::NotKept, "{}\n{}", fewer.rule, life.text());
                for finding in lesser.findings_of(fewer.rule) {
                    let named = finding.assumptions.iter().any(|a| a.0.contains("the case file"));
                    prop_assert!(named, "{}\n{}", fewer.rule, life.text());
                }
            }
            Ok(())
        })
        .unwrap();
    assert!(appeared.get() > 20, "{}", appeared.get());
}

/// Papers that call the same records mock poll and poll decide nothing: no rule about the poll is kept by that.
#[test]
fn records_with_two_labels_leave_the_rules_about_the_poll_open() {
    let lines: Vec<String> = ["power-on", "enable", "vote", "close", "result", "export"]
        .iter()
        .enumerate()
        .map(|(at, event)| format!("{} - {event}", at + 1))
        .collect();
    let row = |was: &str, records: &str| {
        format!("[[phase]]\nwas = \"{was}\"\nrecords = \"{records}\"\nsource = \"diary\"\nby = \"officer\"\n")
    };
    let unit = UnitDescription::kestrane();
    let log = log(&file(&lines, true));
    let case = case(&[row("poll", "1-6"), row("mock-poll", "2-6")]);
    let replay = Replay::of(&log, &case, &unit);
    assert!(replay.front.is_closed() && replay.back.is_closed());
    let clock = logassay::clock::Clock::of(&log, &case, &unit, &replay);
    let known = Known::of(&log, &unit, &case, &replay, &clock);
    for id in ["zero-not-shown", "no-close", "no-mock-poll", "memory-cleared-before-count", "cover-opened"] {
        let outcome = run(rule(id).unwrap(), &known);
        assert_eq!(outcome.answer.verdict, Verdict::CannotBeTold, "{id}: {:?}", outcome.answer);
    }
}

//! The law of less knowledge, over every rule about events: whoever knows less may only be told as much, or that it
//! cannot be told.

use std::cell::Cell;

use logassay::examine;
use logassay::finding::Verdict;
use logassay::replay::Replay;
use logassay::rules::{Family, rule};
use logassay::unit::UnitDescription;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::lives::{Life, case, file, life, log};

/// A way to know less about a life.
#[derive(Debug, Clone)]
enum Less {
    /// Records cut off at the front and at the back, the cut marked open.
    Cut(prop::sample::Index, prop::sample::Index),
    /// One record marked unreadable.
    Unreadable(prop::sample::Index),
    /// One row of the case file dropped.
    Dropped(prop::sample::Index),
}

fn less() -> impl Strategy<Value = Less> {
    prop_oneof![
        (any::<prop::sample::Index>(), any::<prop::sample::Index>()).prop_map(|(a, b)| Less::Cut(a, b)),
        any::<prop::sample::Index>().prop_map(Less::Unreadable),
        any::<prop::sample::Index>().prop_map(Less::Dropped),
    ]
}

/// Text and case rows of what is left; `None` where there is nothing to take away.
fn apply(life: &Life, less: &Less) -> Option<(String, Vec<String>)> {
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
        Less::Dropped(at) => {
            if rows.is_empty() {
                return None;
            }
            // A fact that excuses replaces a printed assumption ("the case file states none"). Withdrawing it brings
            // the assumption back: that is another knowledge, not less of it.
            if rows.remove(at.index(rows.len())).contains("[[fact]]") {
                return None;
            }
            Some((life.text(), rows))
        }
    }
}

#[test]
fn whoever_knows_less_is_told_as_much_or_that_it_cannot_be_told() {
    let config = Config { cases: 1500, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let unit = UnitDescription::kestrane();
    let (same, weaker, conflicts) = (Cell::new(0_u32), Cell::new(0_u32), Cell::new(0_u32));
    let count = |cell: &Cell<u32>| cell.set(cell.get() + 1);
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), less()), |(life, less)| {
            let Some((text, rows)) = apply(&life, &less) else { return Ok(()) };
            let (log1, case1) = (log(&life.text()), case(&life.rows));
            let (log2, case2) = (log(&text), case(&rows));
            let (known, lesser) = (examine(&log1, &case1, &unit), examine(&log2, &case2, &unit));
            let papers = life.rows.join("\n");
            // Nothing fits what is known less: then nothing fits what is known.
            if !lesser.replay.deviations.is_empty() {
                prop_assert!(
                    !known.replay.deviations.is_empty(),
                    "{less:?}\n{}\n{text}\n{papers}",
                    life.text()
                );
            }
            if !known.replay.deviations.is_empty() {
                count(&conflicts);
                return Ok(());
            }
            for (more, fewer) in known.answers.iter().zip(&lesser.answers) {
                if rule(more.rule).is_none_or(|rule| rule.family != Family::Procedure) {
                    continue;
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
}

#[test]
fn a_contradiction_in_a_part_of_a_log_is_one_in_the_whole() {
    let config = Config { cases: 400, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]);
    let unit = UnitDescription::kestrane();
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), any::<prop::sample::Index>()), |(life, at)| {
            let none = case(&[]);
            let lines = life.lines();
            let cut = at.index(lines.len());
            let (whole, part) = (log(&file(&lines, false)), log(&file(&lines[cut..], false)));
            let (whole, part) = (Replay::of(&whole, &none, &unit), Replay::of(&part, &none, &unit));
            for deviation in &part.deviations {
                let (first, last) = (deviation.first + cut, deviation.last + cut);
                // The window may begin later in the whole, never elsewhere.
                let found = whole.deviations.iter().any(|d| (d.first, d.last) == (first, last));
                prop_assert!(found, "records {first} to {last} of\n{}", life.text());
            }
            Ok(())
        })
        .unwrap();
}

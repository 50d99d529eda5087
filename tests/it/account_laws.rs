//! Laws of the least-assumption account, and what reports say of it.

use std::cell::Cell;

use logassay::case::Case;
use logassay::event::Event;
use logassay::examine;
use logassay::replay::account::{Chart, Item, least};
use logassay::replay::{Edit, Machine, Replay, State};
use logassay::report::{Layout, json, terminal};
use logassay::unit::UnitDescription;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::laws::{Less, apply, less};
use crate::lives::{case, life, log};
use crate::pages::frame;

const ALL: u32 = (1 << State::COUNT) - 1;

fn chart() -> Chart {
    Chart::of(&Machine::of(&UnitDescription::kestrane()))
}

fn cost(chart: &Chart, word: &[usize], start: u32) -> u64 {
    let items: Vec<Item> = word.iter().map(|letter| Item::Letter(*letter)).collect();
    least(chart, &items, start, ALL).unwrap().cost
}

/// A lawful word: from some state, always a letter that the unit takes.
fn lawful(chart: &Chart, start: usize, choices: &[Index]) -> Vec<usize> {
    let mut state = start;
    let mut word = Vec::new();
    for choice in choices {
        let moves: Vec<(usize, u32)> = (0..chart.letters())
            .map(|letter| (letter, chart.reached(letter, state)))
            .filter(|(_, reached)| *reached != 0)
            .collect();
        let (letter, reached) = moves[choice.index(moves.len())];
        word.push(letter);
        state = reached.trailing_zeros() as usize;
    }
    word
}

fn edit(word: &mut Vec<usize>, (at, letter, take): &(Index, usize, bool)) {
    if *take && !word.is_empty() {
        word.remove(at.index(word.len()));
    } else {
        word.insert(at.index(word.len() + 1), *letter);
    }
}

fn edits() -> impl Strategy<Value = Vec<(Index, usize, bool)>> {
    prop::collection::vec((any::<Index>(), 0..Event::KNOWN, any::<bool>()), 0..6)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn as_many_edits_cost_at_most_as_much(start in 0..State::COUNT, choices in prop::collection::vec(any::<Index>(), 0..40), edits in edits()) {
        let chart = chart();
        let mut word = lawful(&chart, start, &choices);
        prop_assert_eq!(cost(&chart, &word, 1 << start), 0);
        edits.iter().for_each(|one| edit(&mut word, one));
        prop_assert!(cost(&chart, &word, 1 << start) <= edits.len() as u64);
    }

    #[test]
    fn one_record_less_changes_the_cost_by_one_at_most(start in 0..State::COUNT, choices in prop::collection::vec(any::<Index>(), 1..40), edits in edits(), at in any::<Index>(), any in any::<bool>()) {
        let chart = chart();
        let mut word = lawful(&chart, start, &choices);
        edits.iter().for_each(|one| edit(&mut word, one));
        prop_assume!(!word.is_empty());
        let from = if any { ALL } else { 1 << start };
        let before = cost(&chart, &word, from);
        word.remove(at.index(word.len()));
        prop_assert!(before.abs_diff(cost(&chart, &word, from)) <= 1);
    }

    #[test]
    fn an_unknown_start_costs_no_more_than_any(word in prop::collection::vec(0..Event::KNOWN, 0..30)) {
        let chart = chart();
        let singles: Vec<u64> = (0..State::COUNT).map(|start| cost(&chart, &word, 1 << start)).collect();
        let open = cost(&chart, &word, ALL);
        prop_assert_eq!(Some(open), singles.into_iter().min());
        // And nothing is missing before the first record.
        let items: Vec<Item> = word.iter().map(|letter| Item::Letter(*letter)).collect();
        let account = least(&chart, &items, ALL, ALL).unwrap();
        let before_the_first = account.possible().any(|edit| matches!(edit, Edit::Missing { before: 0, .. }));
        prop_assert!(!before_the_first);
    }
}

/// Over lives with gaps, closed ends and unknown events: cost 0 exactly where replay finds no stretch; every stretch has
/// a group that exists; stretches of one cluster share it; and whoever knows less needs no more changes.
#[test]
fn the_account_and_the_replay_agree() {
    let config = Config { cases: 3000, failure_persistence: None, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[17; 32]);
    let unit = UnitDescription::kestrane();
    let (with_cost, fewer) = (Cell::new(0_u32), Cell::new(0_u32));
    let count = |cell: &Cell<u32>| cell.set(cell.get() + 1);
    TestRunner::new_with_rng(config, rng)
        .run(&(life(), less()), |(life, less)| {
            let replay = Replay::of(&log(&life.text()), &case(&life.rows), &unit);
            prop_assert_eq!(replay.account.is_some(), !replay.deviations.is_empty());
            let known = replay.account.as_ref().map_or(0, |account| account.cost);
            prop_assert_eq!(known == 0, replay.deviations.is_empty(), "{}", life.text());
            if let Some(account) = &replay.account {
                count(&with_cost);
                for deviation in &replay.deviations {
                    let touched = account.clusters.iter().filter(|cluster| {
                        let edits = &mut cluster.possible.iter();
                        edits.any(|edit| edit.touches(deviation.first, deviation.last))
                    });
                    let groups: Vec<usize> = touched.map(|cluster| cluster.group).collect();
                    prop_assert!(!groups.is_empty(), "{}", life.text());
                    prop_assert!(groups.iter().all(|group| *group == deviation.group), "{}", life.text());
                }
                let numbers: Vec<usize> = account.clusters.iter().map(|cluster| cluster.group).collect();
                prop_assert!(numbers.first() == Some(&1) && numbers.is_sorted());
            }
            let Some((text, rows)) = apply(&life, &less) else { return Ok(()) };
            // Without its number a record can be put in another order; that is another reading, not less of this one.
            if matches!(less, Less::Unnumbered(_)) {
                return Ok(());
            }
            let lesser = Replay::of(&log(&text), &case(&rows), &unit);
            let lesser = lesser.account.as_ref().map_or(0, |account| account.cost);
            prop_assert!(lesser <= known, "{lesser} > {known} when {less:?}\n{}\n{text}", life.text());
            if lesser < known {
                count(&fewer);
            }
            Ok(())
        })
        .unwrap();
    assert!(with_cost.get() > 300 && fewer.get() > 100, "{} {}", with_cost.get(), fewer.get());
}

/// A replay of some events in a log that numbers none.
fn replay(events: &str) -> Replay {
    let lines: String = events.split(' ').map(|event| format!("- - {event}\n")).collect();
    Replay::of(&log(&format!("unit-event-log 1\n{lines}")), &Case::default(), &UnitDescription::kestrane())
}

#[test]
fn findings_of_one_cause_share_a_group() {
    // A result in the midst of voting stands against what is before it and what is behind it.
    let found = replay("enable vote result enable vote close result");
    assert_eq!(found.deviations.iter().map(|d| d.group).collect::<Vec<_>>(), [1, 1]);
    // Forty votes behind one close are one conflict.
    let many = format!("enable vote close{} result", " vote".repeat(40));
    let found = replay(&many);
    assert!(found.deviations.len() >= 40 && found.deviations.iter().all(|d| d.group == 1));
    // Far apart and each resolved by itself: two.
    let found = replay("enable vote vote close result clear enable vote vote close");
    assert_eq!(found.deviations.iter().map(|d| d.group).collect::<Vec<_>>(), [1, 2]);
}

/// A file of nothing but contradictions is counted to the end of counting, and no alternative is lost.
#[test]
fn counting_has_an_end() {
    let found = replay("vote ".repeat(6000).trim_end());
    let account = found.account.unwrap();
    assert_eq!(account.cost, 5999);
    assert_eq!(account.accounts.bits(), logassay::replay::account::COUNTED_TO + 1);
    let [cluster] = account.clusters.as_slice() else { panic!("{} clusters", account.clusters.len()) };
    assert_eq!(cluster.alternatives.len(), 6);
}

fn reports(events: &str) -> (String, serde_json::Value) {
    let lines: Vec<String> =
        events.split(' ').enumerate().map(|(at, event)| format!("{} - {event}\n", 501 + at)).collect();
    let log = log(&format!("unit-event-log 1\n{}", lines.concat()));
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examinations = [examine(&log, &case, &unit)];
    let frame = frame(false);
    let page = terminal::report(&examinations, &frame, Layout::plain(100));
    let json = serde_json::from_str(&json::report(&examinations, &frame)).unwrap();
    (page.split_whitespace().collect::<Vec<_>>().join(" "), json)
}

/// 'enable vote vote': a record too many or one missing, and no report chooses.
#[test]
fn no_report_chooses_among_equals() {
    let (page, json) = reports("enable vote vote enable vote close result");
    for part in [
        "Fewest changes: 1. There are 3 accounts of this size, and the records do not choose among them.",
        "No change stands in all of them.",
        "Conflict 1, lines 3 to 4",
        "Either - without record 503 (line 4), a 'vote'; or - with one more 'enable' between record 502 (line 3) and record 503 (line 4); or - without record 502 (line 3), a 'vote'.",
        "Least need not be likeliest.",
        "Cannot be told for this reason and others:",
    ] {
        assert!(page.contains(part), "{part}\n{page}");
    }
    let least = &json["examinations"][0]["least"];
    assert_eq!((&least["changes"], &least["accounts"]), (&1.into(), &"3".into()));
    assert_eq!(least["common"], serde_json::json!([]));
    let part = &least["conflicts"][0]["parts"][0];
    assert_eq!(part["alternatives"].as_array().unwrap().len(), 3);
    assert_eq!(least["conflicts"][0]["findings"], serde_json::json!([1]));
    assert_eq!(json["examinations"][0]["findings"][0]["group"], 1);
}

#[test]
fn a_log_without_a_conflict_is_told_so_in_one_sentence() {
    let (page, json) = reports("enable vote close result");
    assert!(page.contains("Nothing, as far as the kinds of the records and their order go:"), "{page}");
    assert!(!page.contains("What this is not"));
    assert_eq!(json["examinations"][0]["least"]["changes"], 0);
}

/// Forty findings of one conflict: four are printed, the others named by line; the JSON form holds all.
#[test]
fn a_long_conflict_is_shortened_on_the_page() {
    let (page, json) = reports(&format!("enable vote close{} result", " vote".repeat(40)));
    let findings = json["examinations"][0]["findings"].as_array().unwrap().len();
    assert!(findings >= 40);
    assert!(page.contains(&format!("Conflict 1, lines 4 to 45: findings 1 to {findings}")), "{page}");
    assert!(page.contains("Finding 4.") && !page.contains("Finding 5."));
    assert!(page.contains(&format!("{} further findings of the same conflict: 5 (line ", findings - 4)));
}

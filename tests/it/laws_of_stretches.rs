//! The replay against brute force: the filter over all start states, and the minimal stretches.

use logassay::case::Case;
use logassay::event::Event;
use logassay::replay::{Belief, Mode, Replay, State};
use logassay::unit::UnitDescription;
use proptest::prelude::*;

use crate::lives::log;

/// What one state does with one event, written down a second time from the domain's words for the Kestrane unit.
fn next(state: State, event: Event) -> Option<State> {
    use Mode::{Between, Cleared, Closed, EnabledAgain, EnabledFirst, ResultShown};
    let rest = match state.mode {
        EnabledFirst => Cleared,
        EnabledAgain => Between,
        other => other,
    };
    let on = |mode| Some(State { mode, on: true });
    match event {
        Event::Export => return Some(state),
        // Power can go away unrecorded, so power-on may follow anything; a waiting enable is gone after it.
        Event::PowerOn => return on(rest),
        _ if !state.on => return None,
        Event::PowerOff => return Some(State { mode: rest, on: false }),
        _ => {}
    }
    match (event, state.mode) {
        (Event::Enable, Cleared) => on(EnabledFirst),
        (Event::Enable, Between) => on(EnabledAgain),
        (Event::Vote, EnabledFirst | EnabledAgain) => on(Between),
        (Event::EnableLapsed, EnabledFirst | EnabledAgain) => on(rest),
        (Event::Close, Cleared | Between | EnabledFirst | EnabledAgain) => on(Closed),
        (Event::Result, Closed | ResultShown) => on(ResultShown),
        (Event::Clear, ResultShown | Cleared) | (Event::CandidateSet, Cleared) => on(Cleared),
        (
            Event::Enable
            | Event::Vote
            | Event::EnableLapsed
            | Event::Close
            | Event::Result
            | Event::Clear
            | Event::CandidateSet,
            _,
        ) => None,
        (_, mode) => on(mode),
    }
}

fn run(mut state: State, word: &[Event]) -> Option<State> {
    for event in word {
        state = next(state, *event)?;
    }
    Some(state)
}

/// Whether no state can run a word.
fn impossible(word: &[Event]) -> bool {
    State::all().all(|state| run(state, word).is_none())
}

fn word(longest: usize) -> impl Strategy<Value = Vec<Event>> {
    let any = prop::sample::select(Event::all().collect::<Vec<_>>());
    let busy = prop::sample::select(vec![
        Event::Enable,
        Event::Vote,
        Event::Close,
        Event::Result,
        Event::Clear,
        Event::PowerOn,
        Event::PowerOff,
    ]);
    prop::collection::vec(prop_oneof![any, busy], 1..longest)
}

fn replay(word: &[Event], first: Option<usize>) -> Replay {
    let lines: String = word
        .iter()
        .enumerate()
        .map(|(at, event)| match first {
            Some(first) => format!("{} - {}\n", first + at, event.word()),
            None => format!("- - {}\n", event.word()),
        })
        .collect();
    Replay::of(&log(&format!("unit-event-log 1\n{lines}")), &Case::default(), &UnitDescription::kestrane())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_filter_is_brute_force_over_the_start_states(word in word(30)) {
        let found = replay(&word, None);
        prop_assert_eq!(found.deviations.is_empty(), !impossible(&word));
        if found.deviations.is_empty() {
            for at in 0..=word.len() {
                // A state before the record at `at` counts if some start leads there and the rest can follow.
                let expected = State::all()
                    .filter_map(|start| run(start, &word[..at]))
                    .filter(|state| run(*state, &word[at..]).is_some())
                    .fold(Belief::NONE, |sum, state| sum.or(Belief::of(state)));
                let states = found.before.get(at).copied().unwrap_or(found.at_end);
                prop_assert_eq!(states, expected, "before {} of {:?}", at, word);
            }
        }
    }

    #[test]
    fn a_new_unit_starts_with_an_empty_memory(word in word(12)) {
        let found = replay(&word, Some(1));
        let starts: Vec<bool> = match word[0] {
            Event::PowerOn => vec![false],
            Event::Export => vec![false, true],
            _ => vec![true],
        };
        let can = |word: &[Event]| starts.iter().any(|on| run(State { mode: Mode::Cleared, on: *on }, word).is_some());
        prop_assert_eq!(found.deviations.is_empty(), can(&word), "{:?}", word);
        for deviation in &found.deviations {
            let (first, last) = (deviation.first, deviation.last);
            let stretch = &word[first..=last];
            // Where the stretch needs the new unit's start it begins there, and neither shortening is impossible.
            if deviation.needs_closed_front {
                prop_assert!(first == 0 && !can(stretch) && !impossible(stretch), "{:?} ..={}", word, last);
                prop_assert!(can(&word[..last]) || found.deviations.iter().any(|d| d.last < last), "{:?}", word);
            } else {
                prop_assert!(impossible(stretch) && !impossible(&word[first + 1..=last]), "{:?}", word);
                prop_assert!(!impossible(&word[first..last]), "{:?}", word);
            }
        }
    }

    #[test]
    fn stretches_are_minimal_and_none_is_left_out(word in word(25)) {
        let found = replay(&word, None);
        for deviation in &found.deviations {
            let (first, last) = (deviation.first, deviation.last);
            prop_assert!(impossible(&word[first..=last]), "{:?} {}..={}", word, first, last);
            prop_assert!(!impossible(&word[first + 1..=last]));
            prop_assert!(!impossible(&word[first..last]));
            prop_assert!(!deviation.needs_closed_front && !deviation.needs_numbering);
        }
        for first in 0..word.len() {
            for last in first..word.len() {
                if impossible(&word[first..=last]) {
                    let inside = found.deviations.iter().any(|d| first <= d.first && d.last <= last);
                    prop_assert!(inside, "{:?} {}..={}", word, first, last);
                }
            }
        }
    }
}

//! Faults in the order of events: an event left out, put in, or in the wrong place.

use super::injection::Injection;
use super::{Fault, Level, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Id;
use crate::rehearsal::setting::Setting;
use crate::rehearsal::unwritten::Print;
use crate::unit::Unlogged;

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        number: "1",
        id: "enable-left-out",
        injected: "One enable between two votes was never recorded",
        concludes: "A contradiction: two votes with no enable between. An enable is missing or a vote is one too many; \
                    the log cannot say which.",
        size: None,
        level: Level::Easy,
        touches: Touches::Order,
        setting: |_| {},
        inject: enable_left_out,
    },
    Fault {
        number: "2a",
        id: "vote-left-out",
        injected: "One vote between two enables was never recorded, though the unit counted it",
        concludes: "A contradiction: two enables with nothing between. A vote is missing, or one of two enables is one too \
                    many; the log cannot say which. The unit's total is one more than its vote records.",
        size: None,
        level: Level::Easy,
        touches: Touches::Order,
        setting: |_| {},
        inject: |i| vote_left_out(i, false),
    },
    Fault {
        number: "2b",
        id: "vote-left-out-lapse-unlogged",
        injected: "As 2a, on a unit whose enables may lapse without a record",
        concludes: "Nothing about the order: an enable that lapsed gives the same records. Only the total differs.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: |setting| setting.unit.unlogged = vec![Unlogged::EnableLapse],
        inject: |i| vote_left_out(i, true),
    },
    Fault {
        number: "3",
        id: "record-twice",
        injected: "One vote record stands in the file twice, byte for byte",
        concludes: "The repetition is named with its line; a fault in the transfer explains it too, so that it counts as \
                    one record and the order of events stays as it is.",
        size: None,
        level: Level::Easy,
        touches: Touches::Line,
        setting: |_| {},
        inject: record_twice,
    },
    Fault {
        number: "4",
        id: "vote-behind-close",
        injected: "A vote is recorded after the close and before the clear",
        concludes: "A contradiction, whatever account of the records is chosen: no vote follows a close before the memory \
                    is cleared.",
        size: None,
        level: Level::Easy,
        touches: Touches::Order,
        setting: |_| {},
        inject: vote_behind_close,
    },
    Fault {
        number: "48",
        id: "result-in-the-poll",
        injected: "The result is recorded in mid-poll, before the close",
        concludes: "A contradiction: a result before the close.",
        size: None,
        level: Level::Easy,
        touches: Touches::Order,
        setting: |_| {},
        inject: result_in_the_poll,
    },
    Fault {
        number: "49",
        id: "clear-before-its-result",
        injected: "The memory is cleared after the mock poll's close and before its result",
        concludes: "A contradiction: a clear between close and result. The result behind it stands without a close, and \
                    belongs to the same group.",
        size: None,
        level: Level::Middle,
        touches: Touches::Order,
        setting: |_| {},
        inject: clear_before_its_result,
    },
];

fn enable_left_out(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, vote) = (i.id(at - 1)?, i.id(at + 1)?);
    i.remove(at)?;
    i.key.did("An enable was left out before this vote", &[Spot::Of(vote)]);
    i.key.find(
        "vote-without-enable",
        &[Contradiction],
        &[Spot::Of(vote)],
        &[before, vote],
        "Two votes stand with no enable between.",
    );
    Some(())
}

/// Enables in the poll that are followed by their vote and then by another enable.
fn enables_whose_vote_is_followed(i: &Injection) -> Vec<usize> {
    let Some(poll) = i.phase(Phase::Poll) else { return Vec::new() };
    let is = |at: usize, event| i.event(at) == Some(event);
    i.places(poll, Event::Enable)
        .into_iter()
        .filter(|at| is(*at + 1, Event::Vote) && is(*at + 2, Event::Enable))
        .collect()
}

fn vote_left_out(i: &mut Injection, lapses: bool) -> Option<()> {
    let sites = enables_whose_vote_is_followed(i);
    let at = i.pick(&sites)?;
    let (first, second) = (i.id(at)?, i.id(at + 2)?);
    i.remove(at + 1)?;
    i.key.did("A vote was left out between these two enables", &[Spot::Of(first), Spot::Of(second)]);
    if lapses {
        let because = "An enable that lapsed without a record gives the same two enables.";
        i.silent(&["two-enables", "no-lawful-course", "vote-without-enable"], because);
    } else {
        i.key.find(
            "two-enables",
            &[Contradiction],
            &[Spot::Of(second)],
            &[first, second],
            "Two enables stand with nothing between.",
        );
        let because = "The two enables contradict each other, so that the vote may stand in their place.";
        i.silent(&["turnout-differs", "lapses-differ"], because);
    }
    // What follows the second enable tells whether it was one, or may itself be the vote.
    let waits = [Event::Vote, Event::EnableLapsed, Event::KeyRefused];
    if lapses || i.event(at + 2).is_some_and(|event| waits.contains(&event)) {
        // Without a record that says that no voter was released, the first enable may be the vote that the unit counted.
        let says = |at: &usize| matches!(i.event(*at), Some(Event::Vote | Event::Clear));
        let before = (0..at).rfind(says).and_then(|at| i.id(at));
        let needs = if lapses { None } else { before };
        total_differs(i, first, needs, "The unit counted a vote that it did not record.");
    } else {
        let because =
            "One of the two enables may be the vote that the unit counted: what follows fits either.";
        i.open(&["total-differs"], because);
    }
    Some(())
}

/// A record, and the last one before it that states what stands in the memory: a clear or a total.
pub(super) fn since_cleared(i: &Injection, at: Id) -> Vec<Id> {
    let before = i.entries().iter().take_while(|entry| entry.id != at);
    let clear = before.filter(|entry| matches!(entry.event, Event::Clear | Event::Total)).last();
    clear.map(|entry| entry.id).into_iter().chain([at]).collect()
}

/// The unit's total and its vote records differ; the rule may say so at the close, at the result, or at each of them.
fn total_differs(i: &mut Injection, at: Id, needs: Option<Id>, because: &str) {
    // The next number that the unit shows behind the vote that is missing.
    let behind = i.entries().iter().skip_while(|entry| entry.id != at);
    let next = behind
        .filter(|entry| matches!(entry.event, Event::Close | Event::Total))
        .map(|entry| entry.id)
        .next();
    let needs: Vec<Id> = since_cleared(i, at).into_iter().chain(next).chain(needs).collect();
    if i.entries().iter().any(|entry| entry.event == Event::Unknown) {
        i.key.free("total-differs", "An unknown event may have changed the votes in the memory.");
        return;
    }
    i.key.find("total-differs", &[Contradiction, Shown, Conditional], &[], &needs, because);
}

fn record_twice(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let sites = i.places(poll, Event::Vote);
    let at = i.pick(&sites)?;
    let id = i.id(at)?;
    i.print(Print::Twice(id));
    i.key.did("This line stands a second time behind itself", &[Spot::Again(id)]);
    i.key.find("record-repeated", &[Shown], &[Spot::Again(id)], &[id], "A line stands twice, byte for byte.");
    i.silent(&["vote-without-enable", "number-repeated"], "The same record twice is one record.");
    Some(())
}

fn vote_behind_close(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let close = i.places(poll, Event::Close);
    let at = i.pick(&close)?;
    let close = i.id(at)?;
    let attributes = i.vote_attributes();
    let vote = i.insert_between(at + 1, Event::Vote, attributes)?;
    i.key.did("A vote was put in behind the close", &[Spot::Of(vote)]);
    i.key.find(
        "vote-after-close",
        &[Contradiction],
        &[Spot::Of(vote)],
        &[close, vote],
        "A vote stands between close and clear.",
    );
    result_behind(i, at + 1, vote);
    let because =
        "Close, vote and result stand in one conflict, and the numbers on both sides of it are the same.";
    i.silent(&["total-differs", "result-differs"], because);
    Some(())
}

/// What cannot be between close and result leaves the result without its close, whatever came before: a second stretch of
/// the same group.
pub(super) fn result_behind(i: &mut Injection, at: usize, odd: Id) {
    let result = i.entries().iter().skip(at + 1).find(|entry| entry.event == Event::Result);
    if let Some(result) = result.map(|entry| entry.id) {
        let because =
            "The result behind it has no close between, whatever came before; it belongs to the same group.";
        i.key.find("result-before-close", &[Contradiction], &[Spot::Of(result)], &[odd, result], because);
    }
}

fn result_in_the_poll(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, enable) = (i.id(at - 1)?, i.id(at)?);
    let votes = i.votes_before(at);
    let result = i.insert_between(at, Event::Result, vec![("total", votes.to_string())])?;
    i.key.did("A result was put in between two voters", &[Spot::Of(result)]);
    i.key.find(
        "result-before-close",
        &[Contradiction],
        &[Spot::Of(result)],
        &[before, result],
        "A result stands where the unit was not closed.",
    );
    i.key.find(
        "enable-after-close",
        &[Contradiction],
        &[Spot::Of(enable)],
        &[result, enable],
        "After a result the unit takes no enable, whatever came before; it belongs to the same group.",
    );
    let because = "A result in mid-poll stands in a conflict, and one rule speaks for it already.";
    i.silent(&["result-outside-count"], because);
    Some(())
}

fn clear_before_its_result(i: &mut Injection) -> Option<()> {
    let mock = i.phase(Phase::MockPoll)?;
    let sites = i.places(mock, Event::Result);
    let at = i.pick(&sites)?;
    let result = i.id(at)?;
    // Only the close itself says that no result was shown: what stands behind it may stand behind a result as well.
    let close = i.id((0..at).rfind(|at| i.event(*at) == Some(Event::Close))?)?;
    let clear = i.insert_between(at, Event::Clear, Vec::new())?;
    i.key.did("A clear was put in between the mock poll's close and its result", &[Spot::Of(clear)]);
    i.key.find(
        "clear-before-result",
        &[Contradiction],
        &[Spot::Of(clear)],
        &[close, clear],
        "A clear stands between close and result.",
    );
    i.key.find(
        "result-before-close",
        &[Contradiction],
        &[Spot::Of(result)],
        &[clear, result],
        "The result behind the clear stands without a close.",
    );
    let because = "What stands in a conflict counts as unreadable for the mock poll.";
    i.silent(&["mock-votes-differ"], because);
    Some(())
}

pub(super) fn nothing(_: &mut Setting) {}

//! Stretches: the shortest runs of records that no state of the unit can explain, and what stands against each.

use crate::event::Event;
use crate::replay::belief::{Belief, Machine};
use crate::replay::order::{Cause, Gap, Step};
use crate::replay::table::Reason;
use crate::syntax::Log;

/// A minimal contradictory stretch of steps: impossible from every state it may have begun in, and no shorter one is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Deviation {
    /// First step of the stretch.
    pub first: usize,
    /// Last step of the stretch: the record that cannot follow.
    pub last: usize,
    /// The steps that the contradiction rests on: the ends, and what lies between and could have changed the state.
    pub core: Vec<usize>,
    /// What stands against the last record, when it is the same in every state that the stretch leaves open.
    pub reason: Reason,
    /// It follows only if nothing was recorded before the log's first record.
    pub needs_closed_front: bool,
    /// It follows only if record numbers step as the description says and missing records are of known kinds.
    pub needs_numbering: bool,
    /// Deviations that one cluster of the account can explain, or clusters that a deviation links, have the same group,
    /// counted from 1.
    pub group: usize,
}

/// The event of a step, or the gap.
pub(super) enum Seen {
    Event(Event),
    Gap(Gap),
}

pub(super) fn seen(log: &Log, step: Step) -> Seen {
    match step {
        Step::Record(place) => {
            Seen::Event(log.records().get(place).map_or(Event::Unknown, |record| record.event))
        }
        Step::Gap(gap) => Seen::Gap(gap),
    }
}

pub(super) fn forward(machine: &Machine, log: &Log, belief: Belief, step: Step) -> Belief {
    match seen(log, step) {
        Seen::Event(event) => machine.after(belief, event),
        Seen::Gap(gap) => machine.after_gap(belief, gap.least, gap.most),
    }
}

pub(super) fn backward(machine: &Machine, log: &Log, belief: Belief, step: Step) -> Belief {
    match seen(log, step) {
        Seen::Event(event) => machine.before(belief, event),
        Seen::Gap(gap) => machine.before_gap(belief, gap.least, gap.most),
    }
}

/// All minimal stretches of the steps, each decided from its own lines. `start` is the belief before the first step;
/// where it is less than [`Belief::ANY`], the stretches that need it say so.
pub(super) fn deviations(machine: &Machine, log: &Log, steps: &[Step], start: Belief) -> Vec<Deviation> {
    let mut found: Vec<Deviation> = Vec::new();
    let mut belief = start;
    let mut at = 0usize;
    while let Some(step) = steps.get(at) {
        let next = forward(machine, log, belief, *step);
        if !next.is_empty() {
            belief = next;
            at += 1;
            continue;
        }
        // The record at `at` cannot follow: find the latest beginning from which it still cannot, whatever came before.
        let begin = latest_beginning(machine, log, steps, at);
        let from = begin.unwrap_or(0);
        let initial = if begin.is_some() { Belief::ANY } else { start };
        let before = steps
            .get(from..at)
            .unwrap_or_default()
            .iter()
            .fold(initial, |belief, step| forward(machine, log, belief, *step));
        found.push(Deviation {
            first: from,
            last: at,
            core: core(machine, log, steps, from, at),
            reason: reason(machine, log, before, *step),
            needs_closed_front: begin.is_none(),
            needs_numbering: steps
                .get(from..=at)
                .unwrap_or_default()
                .iter()
                .any(|s| matches!(s, Step::Gap(_))),
            group: 0,
        });
        // No state is carried across: go on from the step behind the beginning, knowing nothing.
        belief = steps
            .get(from + 1..=at)
            .unwrap_or_default()
            .iter()
            .fold(Belief::ANY, |belief, step| forward(machine, log, belief, *step));
        at += 1;
    }
    found
}

fn latest_beginning(machine: &Machine, log: &Log, steps: &[Step], at: usize) -> Option<usize> {
    let mut belief = Belief::ANY;
    for (place, step) in steps.get(..=at)?.iter().enumerate().rev() {
        belief = backward(machine, log, belief, *step);
        if belief.is_empty() {
            return Some(place);
        }
        // Behind a gap of any number of records nothing is known, so no earlier step can matter.
        if belief.is_any() && matches!(step, Step::Gap(gap) if gap.most.is_none()) {
            return None;
        }
    }
    None
}

fn core(machine: &Machine, log: &Log, steps: &[Step], first: usize, last: usize) -> Vec<usize> {
    (first..=last)
        .filter(|place| {
            *place == first
                || *place == last
                || steps.get(*place).is_some_and(|step| match seen(log, *step) {
                    Seen::Event(event) => !machine.is_neutral(event),
                    Seen::Gap(_) => false,
                })
        })
        .collect()
}

/// What stands against a record, when every state gives the same reason; else only that no lawful course exists.
fn reason(machine: &Machine, log: &Log, before: Belief, step: Step) -> Reason {
    let Seen::Event(event) = seen(log, step) else {
        return Reason::NoLawfulCourse;
    };
    let mut reasons = before.states().map(|state| machine.against(event, state));
    match reasons.next().flatten() {
        Some(first) if reasons.all(|other| other == Some(first)) => first,
        _ => Reason::NoLawfulCourse,
    }
}

/// The steps with the core of every deviation turned into gaps, for questions that must not rest on a conflict.
pub(super) fn without_conflicts(steps: &[Step], deviations: &[Deviation]) -> Vec<Step> {
    let mut without = steps.to_vec();
    for place in deviations.iter().flat_map(|deviation| &deviation.core) {
        if let Some(step) = without.get_mut(*place)
            && matches!(step, Step::Record(_))
        {
            *step = Step::Gap(Gap { least: 0, most: None, line: None, cause: Cause::Conflict });
        }
    }
    without
}

//! Replay: what the unit must have been doing, from a start that is not known, given a description of the unit.

pub mod account;
pub mod belief;
pub mod cycle;
pub mod graph;
pub mod order;
mod stretch;
pub mod table;

use crate::case::{Case, End};
use crate::event::Event;
use crate::syntax::Log;
use crate::unit::UnitDescription;

pub use account::{Account, Cluster, Edit};
pub use belief::{Belief, Machine};
pub use cycle::{Bound, Cycle, PhaseSet};
pub use order::{Cause, Gap, Order, Step};
pub use stretch::Deviation;
pub use table::{Mode, Reason, State};

/// Whether anything may have been recorded beyond an end of the log, and why that is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Nothing was: the first record has the first number that the description knows.
    FirstNumber,
    /// Nothing was: the closing line is intact and the last record is an export.
    ExportRecord,
    /// Nothing was: the case file says so.
    Stated,
    /// Not known.
    Open,
}

impl Ending {
    /// Whether nothing was recorded beyond it.
    #[must_use]
    pub fn is_closed(self) -> bool {
        self != Ending::Open
    }

    /// That nothing was recorded beyond an end of the log, and why that is said, as a part of a sentence; `None` where it is not
    /// known.
    #[must_use]
    pub fn said(self, end: End, case: &Case) -> Option<String> {
        let nothing = match end {
            End::Front => "nothing was recorded before the first record of this log",
            End::Back => "nothing was recorded after the last record of this log",
        };
        let why = match self {
            Ending::Open => return None,
            Ending::FirstNumber => ": it has the first number that the unit description knows".to_owned(),
            Ending::ExportRecord => ": it is an export, and the closing line is intact".to_owned(),
            Ending::Stated => {
                let stated = case.ends.iter().find(|stated| stated.value == end)?;
                format!(", {}", stated.basis.said())
            }
        };
        Some(format!("{nothing}{why}"))
    }
}

/// A log replayed. All places in it are steps, in the order of [`Replay::steps`].
#[derive(Debug)]
pub struct Replay {
    /// Records and gaps in the order of replay.
    pub steps: Vec<Step>,
    /// Which order that is.
    pub order: Order,
    /// Records that repeat an earlier one word for word: (first, again), places in the log's records.
    pub repeated: Vec<(usize, usize)>,
    /// The end before the first record.
    pub front: Ending,
    /// The end after the last record.
    pub back: Ending,
    /// Minimal contradictory stretches, in the order of their last record.
    pub deviations: Vec<Deviation>,
    /// The least that must be assumed; only where there is a contradiction, for without one it is nothing.
    pub account: Option<Account>,
    /// Per step: whether a contradiction rests on it, so that other questions take it as unreadable.
    pub in_conflict: Vec<bool>,
    /// Per step: the states before it that fit everything outside conflicts, on both sides of it.
    pub before: Vec<Belief>,
    /// The states after the last step.
    pub at_end: Belief,
    /// What lies between clears.
    pub cycles: Vec<Cycle>,
    /// Per record: the phases that the case file states; empty where it states none.
    pub labels: Vec<PhaseSet>,
}

impl Replay {
    /// Replays a log.
    #[must_use]
    pub fn of(log: &Log, case: &Case, unit: &UnitDescription) -> Replay {
        Replay::with(&Machine::of(unit), log, case, unit)
    }

    /// Replays a log with a table that was worked out before, for many logs of one kind of unit.
    #[must_use]
    pub fn with(machine: &Machine, log: &Log, case: &Case, unit: &UnitDescription) -> Replay {
        let sequence = order::Sequence::of(log, unit);
        let steps = sequence.steps;
        let front = front(log, case, unit, &steps);
        let back = back(log, case, unit, &steps);
        let start = if front.is_closed() { new_unit(log, &steps) } else { Belief::ANY };
        let mut deviations = stretch::deviations(machine, log, &steps, start);
        let account = (!deviations.is_empty()).then(|| {
            let mut account = Account::of(machine, log, &steps, start);
            account.group(&mut deviations);
            account
        });
        let readable = stretch::without_conflicts(&steps, &deviations);
        let mut in_conflict = vec![false; steps.len()];
        for place in deviations.iter().flat_map(|deviation| &deviation.core) {
            if let Some(flag) = in_conflict.get_mut(*place) {
                *flag = true;
            }
        }
        let start =
            if deviations.iter().any(|deviation| deviation.needs_closed_front) { Belief::ANY } else { start };
        let (before, at_end) = beliefs(machine, log, &readable, start);
        let labels = cycle::labels(log, case);
        let cycles = cycle::cycles(log, &labels, &readable, front.is_closed(), back.is_closed());
        Replay {
            steps,
            order: sequence.order,
            repeated: sequence.repeated,
            front,
            back,
            deviations,
            account,
            in_conflict,
            before,
            at_end,
            cycles,
            labels,
        }
    }

    /// The place in the log's records of a step, `None` for a gap.
    #[must_use]
    pub fn record(&self, step: usize) -> Option<usize> {
        match self.steps.get(step) {
            Some(Step::Record(place)) => Some(*place),
            _ => None,
        }
    }

    /// The states after a step.
    #[must_use]
    pub fn after(&self, step: usize) -> Belief {
        self.before.get(step + 1).copied().unwrap_or(self.at_end)
    }

    /// Gaps that the log itself has: unread lines, holes, numbers that go back.
    pub fn gaps(&self) -> impl Iterator<Item = (usize, Gap)> {
        self.steps.iter().enumerate().filter_map(|(at, step)| match step {
            Step::Gap(gap) => Some((at, *gap)),
            Step::Record(_) => None,
        })
    }
}

/// The states of a unit that has recorded nothing yet: nothing is in its memory of votes. It was off if power-on is its
/// first record, on if anything else is; only an export can be written out either way.
fn new_unit(log: &Log, steps: &[Step]) -> Belief {
    let first = match steps.first() {
        Some(Step::Record(place)) => log.records().get(*place).map(|record| record.event),
        _ => None,
    };
    let off = Belief::of(State { mode: Mode::Cleared, on: false });
    let on = Belief::of(State { mode: Mode::Cleared, on: true });
    match first {
        Some(Event::PowerOn) => off,
        Some(Event::Export) | None => off.or(on),
        Some(_) => on,
    }
}

fn front(log: &Log, case: &Case, unit: &UnitDescription, steps: &[Step]) -> Ending {
    let first = match steps.first() {
        Some(Step::Record(place)) => log.records().get(*place).and_then(|record| record.number),
        _ => None,
    };
    if first.is_some_and(|number| unit.is_first(number)) {
        Ending::FirstNumber
    } else if is_ordered(steps) && case.ends.iter().any(|end| end.value == End::Front) {
        Ending::Stated
    } else {
        Ending::Open
    }
}

/// Whether it is known which record is the unit's first and which its last: no numbers go back.
fn is_ordered(steps: &[Step]) -> bool {
    !steps.iter().any(|step| matches!(step, Step::Gap(gap) if gap.cause == Cause::NumbersGoBack))
}

fn back(log: &Log, case: &Case, unit: &UnitDescription, steps: &[Step]) -> Ending {
    let last = match steps.last() {
        Some(Step::Record(place)) => log.records().get(*place),
        _ => None,
    };
    let exported = last.is_some_and(|record| record.event == Event::Export);
    if !is_ordered(steps) {
        Ending::Open
    } else if exported && unit.export_recorded && log.closing().is_some_and(crate::syntax::Closing::is_intact)
    {
        Ending::ExportRecord
    } else if log.lines_not_read() == 0 && case.ends.iter().any(|end| end.value == End::Back) {
        Ending::Stated
    } else {
        Ending::Open
    }
}

/// The states before each step and at the end, narrowed from both sides (forward and backward pass).
fn beliefs(machine: &Machine, log: &Log, steps: &[Step], start: Belief) -> (Vec<Belief>, Belief) {
    let mut before = Vec::with_capacity(steps.len());
    let mut belief = start;
    for step in steps {
        before.push(belief);
        belief = stretch::forward(machine, log, belief, *step);
    }
    let at_end = belief;
    let mut after = at_end;
    for (slot, step) in before.iter_mut().zip(steps).rev() {
        *slot = slot.and(stretch::backward(machine, log, after, *step));
        after = *slot;
    }
    (before, at_end)
}

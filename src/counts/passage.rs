//! What may have happened to the memory of votes while nothing could be read: how many votes, and whether it was cleared.

use crate::event::Event;
use crate::replay::table::State;
use crate::replay::{Belief, Machine};
use crate::unit::UnitDescription;

/// Gaps of more records than this are not walked through one by one.
const WALKED: u64 = 48;

/// What may have happened at one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Passage {
    /// Votes added where the memory was not cleared, least and most; `None` where it must have been.
    pub(super) kept: Option<(u64, Option<u64>)>,
    /// Votes since the last clear where it was cleared; `None` where it cannot have been.
    pub(super) cleared: Option<(u64, Option<u64>)>,
    /// Whether this rests on the numbering of the records.
    pub(super) by_number: bool,
}

impl Passage {
    /// Anything at all.
    pub(super) const ANY: Passage =
        Passage { kept: Some((0, None)), cleared: Some((0, None)), by_number: false };

    /// The same, or what a record says that stands there; `None` where that is held already.
    #[must_use]
    pub(super) fn or(self, event: Event) -> Option<Passage> {
        let one = |ends: Option<(u64, Option<u64>)>, number: u64| match ends {
            None => (number, Some(number)),
            Some((least, most)) => (least.min(number), most.map(|most| most.max(number))),
        };
        let wider = match event {
            Event::Vote => Passage { kept: Some(one(self.kept, 1)), ..self },
            Event::Clear => Passage { cleared: Some(one(self.cleared, 0)), ..self },
            _ => self,
        };
        (wider != self).then_some(wider)
    }

    /// Whether anything may have happened that counts.
    #[must_use]
    pub(super) fn is_blind(self) -> bool {
        self.cleared.is_some() || self.kept != Some((0, Some(0)))
    }
}

/// Walks through gaps, record by record, with the unit's own table.
#[derive(Debug)]
pub(super) struct Passages<'u> {
    unit: &'u UnitDescription,
    /// The table is worked out when the first gap asks for it.
    machine: std::cell::OnceCell<Machine>,
}

/// Per state: least and most votes, in courses without a clear and with one.
type Reached = [[Option<(u64, u64)>; 2]; State::COUNT];

impl<'u> Passages<'u> {
    /// For one unit.
    #[must_use]
    pub(super) fn of(unit: &'u UnitDescription) -> Passages<'u> {
        Passages { unit, machine: std::cell::OnceCell::new() }
    }

    /// The states after a record.
    pub(super) fn after(&self, before: Belief, event: Event) -> Belief {
        self.machine.get_or_init(|| Machine::of(self.unit)).after(before, event)
    }

    /// What may have happened between two sets of states while so many records could not be read, and the states after.
    #[must_use]
    pub(super) fn through(
        &self,
        before: Belief,
        after: Belief,
        least: u64,
        most: Option<u64>,
    ) -> (Passage, Belief) {
        let Some(most) = most else { return (Passage::ANY, after) };
        if most == 0 {
            return (Passage { kept: Some((0, Some(0))), cleared: None, by_number: true }, after);
        }
        if most > WALKED {
            let all = Some((0, Some(most)));
            return (Passage { kept: all, cleared: all, by_number: true }, after);
        }
        let machine = self.machine.get_or_init(|| Machine::of(self.unit));
        let mut at: Reached = [[None; 2]; State::COUNT];
        for state in before.states() {
            put(&mut at, state, 0, (0, 0));
        }
        let (mut found, mut reached) = ([None; 2], Belief::NONE);
        for records in 0..=most {
            if records >= least {
                for state in after.states() {
                    if at.get(state.index()).is_some_and(|ends| ends.iter().any(Option::is_some)) {
                        reached = reached.or(Belief::of(state));
                    }
                    for (found, here) in
                        found.iter_mut().zip(at.get(state.index()).copied().unwrap_or_default())
                    {
                        *found = join(*found, here);
                    }
                }
            }
            if records < most {
                at = one_more(machine, &at);
            }
        }
        let [kept, cleared] = found.map(|ends| ends.map(|(least, most)| (least, Some(most))));
        if kept.is_none() && cleared.is_none() {
            return (Passage::ANY, after);
        }
        (Passage { kept, cleared, by_number: true }, reached)
    }
}

/// One record of any kind further on.
fn one_more(machine: &Machine, at: &Reached) -> Reached {
    let mut next: Reached = [[None; 2]; State::COUNT];
    for (state, ends) in State::all().zip(at) {
        if ends.iter().all(Option::is_none) {
            continue;
        }
        for event in Event::all() {
            for to in machine.after(Belief::of(state), event).states() {
                for (cleared, here) in ends.iter().enumerate() {
                    let Some((least, most)) = *here else { continue };
                    match event {
                        Event::Vote => put(&mut next, to, cleared, (least + 1, most + 1)),
                        Event::Clear => put(&mut next, to, 1, (0, 0)),
                        _ => put(&mut next, to, cleared, (least, most)),
                    }
                }
            }
        }
    }
    next
}

fn put(at: &mut Reached, state: State, cleared: usize, ends: (u64, u64)) {
    if let Some(slot) = at.get_mut(state.index()).and_then(|slots| slots.get_mut(cleared)) {
        *slot = join(*slot, Some(ends));
    }
}

fn join(one: Option<(u64, u64)>, other: Option<(u64, u64)>) -> Option<(u64, u64)> {
    match (one, other) {
        (Some((a, b)), Some((c, d))) => Some((a.min(c), b.max(d))),
        (one, other) => one.or(other),
    }
}

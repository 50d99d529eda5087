//! Charts: a small automaton as masks of states, with the price of taking a letter out or putting one in.

use crate::event::Event;
use crate::replay::belief::{Belief, Machine};
use crate::replay::table::State;

/// A set of states, one bit each.
pub type Mask = u32;

/// No way leads there.
pub(super) const NEVER: u32 = u32::MAX;

/// An automaton whose letters are numbered, and what it costs to take one out of a word or to put one in.
#[derive(Debug, Clone)]
pub struct Chart {
    states: usize,
    /// Per letter and state: the states it leads to.
    reach: Vec<Vec<Mask>>,
    /// Per letter: the price of one too many.
    extra: Vec<u32>,
    /// Per letter: the price of one that is missing.
    missing: Vec<u32>,
    /// Per state and state: the least price of letters put in between.
    closure: Vec<u32>,
}

/// One item of a word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Item {
    /// A letter.
    Letter(usize),
    /// Anything that leads from each state to one of these states, at no cost.
    Wild(Vec<Mask>),
}

impl Chart {
    /// A chart in which every change costs one. `reach` has, per letter and state, the states it leads to; states beyond
    /// the 32nd are not looked at.
    #[must_use]
    pub fn new(states: usize, reach: Vec<Vec<Mask>>) -> Chart {
        let ones = vec![1; reach.len()];
        Chart { states: states.min(32), reach, extra: ones.clone(), missing: ones, closure: Vec::new() }
            .closed()
    }

    /// The chart of a unit: its states in the order of [`State::all`], its letters in that of [`Event::all`].
    #[must_use]
    pub fn of(machine: &Machine) -> Chart {
        let from = |event| State::all().map(|state| mask(machine.after(Belief::of(state), event))).collect();
        Chart::new(State::COUNT, Event::all().map(from).collect())
    }

    /// The same automaton with other prices per letter: one too many, one missing. No price is less than one.
    #[must_use]
    pub fn priced(mut self, extra: impl Fn(usize) -> u32, missing: impl Fn(usize) -> u32) -> Chart {
        self.extra = (0..self.reach.len()).map(|letter| extra(letter).clamp(1, NEVER / 4)).collect();
        self.missing = (0..self.reach.len()).map(|letter| missing(letter).clamp(1, NEVER / 4)).collect();
        self.closed()
    }

    /// Works out the least prices of letters put in, from every state to every other (Floyd and Warshall).
    fn closed(mut self) -> Chart {
        let states = self.states;
        let mut closure = vec![NEVER; states * states];
        let at = |from: usize, to: usize| from * states + to;
        for from in 0..states {
            set(&mut closure, at(from, from), 0);
            for letter in 0..self.reach.len() {
                for to in members(self.reached(letter, from)) {
                    set(&mut closure, at(from, to), self.price_missing(letter));
                }
            }
        }
        for (via, from) in (0..states).flat_map(|via| (0..states).map(move |from| (via, from))) {
            for to in 0..states {
                let sum = get(&closure, at(from, via)).saturating_add(get(&closure, at(via, to)));
                set(&mut closure, at(from, to), sum);
            }
        }
        self.closure = closure;
        self
    }

    /// Number of states.
    #[must_use]
    pub fn states(&self) -> usize {
        self.states
    }

    /// Number of letters.
    #[must_use]
    pub fn letters(&self) -> usize {
        self.reach.len()
    }

    /// The states that a letter leads to.
    #[must_use]
    pub fn reached(&self, letter: usize, from: usize) -> Mask {
        self.reach.get(letter).and_then(|of| of.get(from)).copied().unwrap_or(0)
    }

    /// The states that an item leads to.
    pub(super) fn passed(&self, item: &Item, from: usize) -> Mask {
        match item {
            Item::Letter(letter) => self.reached(*letter, from),
            Item::Wild(reach) => reach.get(from).copied().unwrap_or(0),
        }
    }

    /// The price of an item that is one too many; `None` for what is no letter.
    pub(super) fn price_extra(&self, item: &Item) -> Option<u32> {
        match item {
            Item::Letter(letter) => self.extra.get(*letter).copied(),
            Item::Wild(_) => None,
        }
    }

    /// The price of a letter that is missing.
    pub(super) fn price_missing(&self, letter: usize) -> u32 {
        self.missing.get(letter).copied().unwrap_or(NEVER)
    }

    /// The least price of letters put in between two states.
    pub(super) fn between(&self, from: usize, to: usize) -> u32 {
        get(&self.closure, from * self.states + to)
    }
}

/// A belief as a mask.
pub(super) fn mask(belief: Belief) -> Mask {
    belief.states().fold(0, |sum, state| sum | 1 << state.index())
}

/// The states in a mask, from the first.
pub(super) fn members(mut mask: Mask) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let first = mask.trailing_zeros();
        mask &= mask.wrapping_sub(1);
        (first < Mask::BITS).then_some(first as usize)
    })
}

fn get(table: &[u32], at: usize) -> u32 {
    table.get(at).copied().unwrap_or(NEVER)
}

fn set(table: &mut [u32], at: usize, price: u32) {
    if let Some(slot) = table.get_mut(at) {
        *slot = price.min(*slot);
    }
}

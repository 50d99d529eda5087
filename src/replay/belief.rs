//! Beliefs: sets of states that the unit may have been in, and how a record narrows them.

use crate::event::Event;
use crate::replay::table::{self, Reason, State};
use crate::unit::UnitDescription;

/// A set of states. Empty means: no state can explain the records.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Belief(u16);

impl Belief {
    /// Every state: nothing is known.
    pub const ANY: Belief = Belief((1 << State::COUNT) - 1);
    /// No state.
    pub const NONE: Belief = Belief(0);

    /// The set of one state.
    #[must_use]
    pub fn of(state: State) -> Belief {
        Belief(1 << state.index())
    }

    /// Whether no state is left.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether nothing is known.
    #[must_use]
    pub fn is_any(self) -> bool {
        self == Belief::ANY
    }

    /// Number of states.
    #[must_use]
    pub fn len(self) -> u32 {
        self.0.count_ones()
    }

    /// The one state, when only one is left.
    #[must_use]
    pub fn only(self) -> Option<State> {
        if self.len() == 1 { self.states().next() } else { None }
    }

    /// Whether the set holds this state.
    #[must_use]
    pub fn has(self, state: State) -> bool {
        self.0 & (1 << state.index()) != 0
    }

    /// Whether at least one state is left and all fulfil a condition.
    pub fn all(self, condition: impl Fn(State) -> bool) -> bool {
        !self.is_empty() && self.states().all(condition)
    }

    /// Whether some state fulfils a condition.
    pub fn some(self, condition: impl Fn(State) -> bool) -> bool {
        self.states().any(condition)
    }

    /// The states, in the fixed order of [`State::all`].
    pub fn states(self) -> impl Iterator<Item = State> {
        State::all().filter(move |state| self.has(*state))
    }

    /// The states in either set.
    #[must_use]
    pub fn or(self, other: Belief) -> Belief {
        Belief(self.0 | other.0)
    }

    /// The states in both sets.
    #[must_use]
    pub fn and(self, other: Belief) -> Belief {
        Belief(self.0 & other.0)
    }

    /// The belief in plain words.
    #[must_use]
    pub fn words(self) -> String {
        if self.is_any() {
            return "not known".to_owned();
        }
        if self.is_empty() {
            return "no state is possible".to_owned();
        }
        let on: Vec<&str> = self.states().filter(|s| s.on).map(|s| s.mode.words()).collect();
        let off: Vec<&str> = self.states().filter(|s| !s.on).map(|s| s.mode.words()).collect();
        let side = |modes: &[&str], power: &str| match modes.len() {
            0 => None,
            6 => Some(format!("power {power}, memory not known")),
            _ => Some(format!("power {power}: {}", modes.join(", or "))),
        };
        [side(&on, "on"), side(&off, "off")].into_iter().flatten().collect::<Vec<_>>().join("; or ")
    }
}

impl std::fmt::Debug for Belief {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_set().entries(self.states().map(State::name)).finish()
    }
}

/// The table of one unit description, worked out for look-ups.
#[derive(Debug, Clone)]
pub struct Machine {
    /// Per known event: where it leads, after unlogged moves and the event.
    moves: Vec<Move>,
    /// Per known event and state: what stands against the event in that very state.
    against: Vec<[Option<Reason>; State::COUNT]>,
    /// Where any one event of the vocabulary leads.
    wild: Move,
}

/// Where one event leads from a set of states, and from where it leads into one.
#[derive(Debug, Clone)]
struct Move {
    forward: Map,
    backward: Map,
}

impl Move {
    /// From the states reached by each state.
    fn of(reached: &[Belief; State::COUNT]) -> Move {
        let mut from = [Belief::NONE; State::COUNT];
        for (to, from) in State::all().zip(&mut from) {
            let leads = State::all().zip(reached).filter(|(_, reached)| reached.has(to));
            *from = leads.fold(Belief::NONE, |sum, (state, _)| sum.or(Belief::of(state)));
        }
        Move { forward: Map::of(reached), backward: Map::of(&from) }
    }
}

/// A map from sets of states to sets of states that is known by what it does to each state: worked out for every half of
/// a set, those with the power on and those with it off, so that two look-ups do for any set.
#[derive(Debug, Clone)]
struct Map {
    on: [Belief; 1 << HALF],
    off: [Belief; 1 << HALF],
}

const HALF: usize = State::COUNT / 2;

impl Map {
    fn of(images: &[Belief; State::COUNT]) -> Map {
        let (on, off) = images.split_at(HALF);
        Map { on: Map::half(on), off: Map::half(off) }
    }

    /// The image of every set of the states whose images are given.
    fn half(images: &[Belief]) -> [Belief; 1 << HALF] {
        std::array::from_fn(|set| {
            let members = images.iter().enumerate().filter(|(place, _)| set & (1 << place) != 0);
            members.fold(Belief::NONE, |sum, (_, image)| sum.or(*image))
        })
    }

    #[inline]
    fn image(&self, set: Belief) -> Belief {
        let half = |half: &[Belief; 1 << HALF], set: u16| {
            half.get(usize::from(set) & ((1 << HALF) - 1)).copied().unwrap_or_default()
        };
        half(&self.on, set.0).or(half(&self.off, set.0 >> HALF))
    }
}

impl Machine {
    /// Works out the table of a unit.
    #[must_use]
    pub fn of(unit: &UnitDescription) -> Machine {
        let (mut moves, mut against_all) = (Vec::new(), Vec::new());
        let mut wild = [Belief::NONE; State::COUNT];
        for event in Event::all() {
            let mut forward = [Belief::NONE; State::COUNT];
            let mut against = [None; State::COUNT];
            for ((state, reached), (reason, wild)) in
                State::all().zip(&mut forward).zip(against.iter_mut().zip(&mut wild))
            {
                *reason = table::step(unit, event, state).err();
                for from in std::iter::once(state).chain(table::unlogged_from(unit, state)) {
                    if let Ok(to) = table::step(unit, event, from) {
                        *reached = reached.or(Belief::of(to));
                    }
                }
                *wild = wild.or(*reached);
            }
            moves.push(Move::of(&forward));
            against_all.push(against);
        }
        Machine { moves, against: against_all, wild: Move::of(&wild) }
    }

    /// The states reached from a belief by one event. An unknown event may lead anywhere.
    #[must_use]
    pub fn after(&self, belief: Belief, event: Event) -> Belief {
        match self.moves.get(event as usize) {
            Some(moves) => moves.forward.image(belief),
            None if belief.is_empty() => Belief::NONE,
            None => Belief::ANY,
        }
    }

    /// The states from which one event leads into a belief.
    #[must_use]
    pub fn before(&self, belief: Belief, event: Event) -> Belief {
        match self.moves.get(event as usize) {
            Some(moves) => moves.backward.image(belief),
            None if belief.is_empty() => Belief::NONE,
            None => Belief::ANY,
        }
    }

    /// The states reached by any number of records from `least` to `most` (`None`: without limit).
    #[must_use]
    pub fn after_gap(&self, belief: Belief, least: u64, most: Option<u64>) -> Belief {
        through_gap(belief, least, most, |b| self.wild.forward.image(b))
    }

    /// The states from which any number of records from `least` to `most` leads into a belief.
    #[must_use]
    pub fn before_gap(&self, belief: Belief, least: u64, most: Option<u64>) -> Belief {
        through_gap(belief, least, most, |b| self.wild.backward.image(b))
    }

    /// What stands against an event in a state; `None` when the unit takes it, and for unknown events.
    #[must_use]
    pub fn against(&self, event: Event, state: State) -> Option<Reason> {
        self.against.get(event as usize)?.get(state.index()).copied().flatten()
    }

    /// Whether an event changes nothing in any state that takes it with the power on.
    #[must_use]
    pub fn is_neutral(&self, event: Event) -> bool {
        self.moves.get(event as usize).is_some_and(|moves| {
            let stays = |state| moves.forward.image(Belief::of(state)) == Belief::of(state);
            State::all().filter(|state| state.on).all(stays)
        })
    }
}

fn through_gap(belief: Belief, least: u64, most: Option<u64>, one: impl Fn(Belief) -> Belief) -> Belief {
    if belief.is_empty() {
        return Belief::NONE;
    }
    let Some(most) = most else { return Belief::ANY };
    // After at most one step per state the set repeats or has run into a cycle; it grows from then on no more,
    // because every state can stay where it is (a total with the power on, an export with the power off).
    let mut at = belief;
    let mut steps = 0;
    let mut reached = if least == 0 { belief } else { Belief::NONE };
    while steps < most {
        let next = one(at);
        steps += 1;
        if steps >= least {
            reached = reached.or(next);
        }
        if next == at {
            return reached.or(next);
        }
        at = next;
    }
    reached
}

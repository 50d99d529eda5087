//! The least-assumption account: the fewest records that must be missing or too many for a log to be one that the unit
//! could have written, how many such accounts there are, and what they have in common.
//!
//! Least is parsimony, not likelihood: the account says how little has to be assumed and never what happened. It looks
//! at the kinds of events and their order alone, not at times, numbers, counts or papers. Edit distance to a regular
//! language: Wagner 1974; alignments: Adriansyah, van Dongen and van der Aalst 2011 (both cited from memory).

mod bundle;
mod chart;
mod course;

use std::collections::BTreeSet;

use num_bigint::BigUint;

use crate::event::Event;
use crate::replay::belief::{Belief, Machine};
use crate::replay::order::Step;
use crate::replay::stretch::{Deviation, Seen, seen};
use crate::replay::table::State;
use crate::syntax::Log;

pub use chart::{Chart, Item, Mask};

/// Accounts are counted up to two to this power; a number that reaches it stands for itself and all above.
pub const COUNTED_TO: u64 = 4096;

/// One change to the sequence of records. Places are steps of the replay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edit<L = Event> {
    /// A record is missing directly before a step; behind the last one where the step is their number.
    Missing {
        /// The step before which it is missing.
        before: usize,
        /// What is missing.
        what: L,
    },
    /// The record at a step is one too many.
    Extra {
        /// The step.
        at: usize,
    },
}

impl<L> Edit<L> {
    /// Whether the change lies within a stretch of steps, so that it can resolve it.
    #[must_use]
    pub fn touches(&self, first: usize, last: usize) -> bool {
        match self {
            Edit::Extra { at } => (first..=last).contains(at),
            // Only before the very first step can something be missing that a stretch from there on needs.
            Edit::Missing { before: 0, .. } => first == 0,
            Edit::Missing { before, .. } => first < *before && *before <= last,
        }
    }

    /// The step that the change stands at or before.
    #[must_use]
    pub fn place(&self) -> usize {
        match self {
            Edit::Extra { at } => *at,
            Edit::Missing { before, .. } => *before,
        }
    }

    fn with<M>(self, name: &impl Fn(L) -> M) -> Edit<M> {
        match self {
            Edit::Extra { at } => Edit::Extra { at },
            Edit::Missing { before, what } => Edit::Missing { before, what: name(what) },
        }
    }
}

/// Changes that depend on each other, and on no others: accounts of different clusters combine freely.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cluster<L = Event> {
    /// What its changes cost: with unit prices, their number.
    pub cost: u64,
    /// How many equally small accounts there are for it.
    pub accounts: BigUint,
    /// The changes that stand in every one of them.
    pub common: Vec<Edit<L>>,
    /// The changes that stand in one or more of them, those common to all included.
    pub possible: Vec<Edit<L>>,
    /// At most six of the accounts, in a fixed order that says nothing about which is right.
    pub alternatives: Vec<Vec<Edit<L>>>,
    /// Clusters that one contradiction links have the same group, counted from 1; 0 where nothing was grouped.
    pub group: usize,
}

impl<L> Cluster<L> {
    /// Whether one of its changes lies within a stretch of steps.
    fn touches(&self, first: usize, last: usize) -> bool {
        let from = self.possible.partition_point(|edit| edit.place() < first);
        let mut near = self.possible.iter().skip(from).take_while(|edit| edit.place() <= last);
        near.any(|edit| edit.touches(first, last))
    }
}

/// The least that must be assumed about a sequence of records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Account<L = Event> {
    /// What it costs: with unit prices, the number of changes.
    pub cost: u64,
    /// How many equally small accounts there are.
    pub accounts: BigUint,
    /// The independent parts, in the order of replay.
    pub clusters: Vec<Cluster<L>>,
}

impl<L: Copy + Ord> Account<L> {
    /// The changes that stand in every equally small account.
    pub fn common(&self) -> impl Iterator<Item = Edit<L>> + '_ {
        self.clusters.iter().flat_map(|cluster| cluster.common.iter().copied())
    }

    /// The changes that stand in one or more of them.
    pub fn possible(&self) -> impl Iterator<Item = Edit<L>> + '_ {
        self.clusters.iter().flat_map(|cluster| cluster.possible.iter().copied())
    }

    /// The changes that stand in every account that is least here, and in every one that is least by other prices.
    #[must_use]
    pub fn common_under_both(&self, other: &Account<L>) -> Vec<Edit<L>> {
        let others: BTreeSet<Edit<L>> = other.common().collect();
        self.common().filter(|edit| others.contains(edit)).collect()
    }

    fn with<M>(self, name: &impl Fn(L) -> M) -> Account<M> {
        let edits = |edits: Vec<Edit<L>>| edits.into_iter().map(|edit| edit.with(name)).collect::<Vec<_>>();
        let clusters = self.clusters.into_iter().map(|cluster| Cluster {
            cost: cluster.cost,
            accounts: cluster.accounts,
            common: edits(cluster.common),
            possible: edits(cluster.possible),
            alternatives: cluster.alternatives.into_iter().map(edits).collect(),
            group: cluster.group,
        });
        Account { cost: self.cost, accounts: self.accounts, clusters: clusters.collect() }
    }
}

/// The least account of a word: from a state in `start` to one in `end`. `None` where no change leads there.
#[must_use]
pub fn least(chart: &Chart, word: &[Item], start: Mask, end: Mask) -> Option<Account<usize>> {
    let course = course::Course::of(chart, word, start, end)?;
    Some(bundle::account(&course, start))
}

impl Account<Event> {
    /// The least account of the steps of a log. It may end in any state: a log can be written out at any moment.
    #[must_use]
    pub fn of(machine: &Machine, log: &Log, steps: &[Step], start: Belief) -> Account {
        Account::priced(&Chart::of(machine), machine, log, steps, start)
    }

    /// The same with the prices of a chart of the unit.
    #[must_use]
    pub fn priced(chart: &Chart, machine: &Machine, log: &Log, steps: &[Step], start: Belief) -> Account {
        let items: Vec<Item> = steps.iter().map(|step| item(machine, log, *step)).collect();
        let events: Vec<Event> = Event::all().collect();
        let name = |letter: usize| events.get(letter).copied().unwrap_or(Event::Unknown);
        match least(chart, &items, chart::mask(start), chart::mask(Belief::ANY)) {
            Some(account) => account.with(&name),
            // From no state nothing follows; a replay never begins with none.
            None => Account { cost: 0, accounts: BigUint::ZERO, clusters: Vec::new() },
        }
    }

    /// Gives clusters that one contradiction links the same group, and every contradiction the group it lies in: each
    /// account must change something within every contradiction, so each lies in one.
    pub(super) fn group(&mut self, deviations: &mut [Deviation]) {
        // Contradictions and clusters stand in the order of replay, and so do the changes of a cluster.
        let mut linked = vec![false; self.clusters.len()];
        let mut of_each = Vec::with_capacity(deviations.len());
        for deviation in &*deviations {
            let from = self.clusters.partition_point(|cluster| {
                cluster.possible.last().is_some_and(|edit| edit.place() < deviation.first)
            });
            let touched = self
                .clusters
                .iter()
                .enumerate()
                .skip(from)
                .take_while(|(_, cluster)| {
                    cluster.possible.first().is_some_and(|edit| edit.place() <= deviation.last)
                })
                .filter(|(_, cluster)| cluster.touches(deviation.first, deviation.last))
                .map(|(place, _)| place);
            let touched: Vec<usize> = touched.collect();
            let (first, last) = (touched.first().copied(), touched.last().copied());
            for place in first.unwrap_or(0)..last.unwrap_or(0) {
                if let Some(link) = linked.get_mut(place + 1) {
                    *link = true;
                }
            }
            of_each.push(last.unwrap_or(0));
        }
        let mut group = 0;
        for (cluster, linked) in self.clusters.iter_mut().zip(&linked) {
            group += usize::from(!linked);
            cluster.group = group;
        }
        for (deviation, place) in deviations.iter_mut().zip(of_each) {
            deviation.group = self.clusters.get(place).map_or(0, |cluster| cluster.group);
        }
    }
}

/// A step as an item of a word. A gap and an event that the vocabulary does not hold stand for what replay takes them
/// for, and cost nothing.
fn item(machine: &Machine, log: &Log, step: Step) -> Item {
    let wild = |reach: &dyn Fn(Belief) -> Belief| {
        Item::Wild(State::all().map(|state| chart::mask(reach(Belief::of(state)))).collect())
    };
    match seen(log, step) {
        Seen::Event(Event::Unknown) => wild(&|belief| machine.after(belief, Event::Unknown)),
        Seen::Event(event) => Item::Letter(event as usize),
        Seen::Gap(gap) => wild(&|belief| machine.after_gap(belief, gap.least, gap.most)),
    }
}

//! Courses: the least cost of every state before every item of a word, and which of them lie on a cheapest course.

use super::chart::{Chart, Item, Mask, NEVER, members};

/// What every state costs before every item and behind the last, and whether a cheapest course leads through it.
#[derive(Debug)]
pub(super) struct Course<'c> {
    pub(super) chart: &'c Chart,
    pub(super) items: &'c [Item],
    /// The states in which the word may end.
    pub(super) end: Mask,
    /// The least cost of a whole course.
    pub(super) least: u32,
    /// Per place and state: the least cost up to there.
    cost: Vec<u32>,
    /// Per place: the states through which a cheapest course leads.
    cheapest: Vec<Mask>,
}

impl<'c> Course<'c> {
    /// Works out all places; `None` where no change of the word leads from a start to an end.
    pub(super) fn of(chart: &'c Chart, items: &'c [Item], start: Mask, end: Mask) -> Option<Course<'c>> {
        let states = chart.states();
        let mut cost = Vec::with_capacity((items.len() + 1) * states);
        let first: Vec<u32> =
            (0..states).map(|state| if start & 1 << state == 0 { NEVER } else { 0 }).collect();
        let mut here = relaxed(chart, &first);
        for item in items {
            cost.extend_from_slice(&here);
            let mut next = vec![NEVER; states];
            let extra = chart.price_extra(item);
            for (state, price) in here.iter().enumerate().filter(|(_, price)| **price != NEVER) {
                for to in members(chart.passed(item, state)) {
                    lower(&mut next, to, *price);
                }
                if let Some(extra) = extra {
                    lower(&mut next, state, price.saturating_add(extra));
                }
            }
            here = relaxed(chart, &next);
        }
        cost.extend_from_slice(&here);
        let ends = members(end).filter_map(|state| here.get(state).copied());
        let least = ends.min().filter(|least| *least != NEVER)?;
        let mut course = Course { chart, items, end, least, cost, cheapest: vec![0; items.len() + 1] };
        course.mark();
        Some(course)
    }

    /// The least cost of a state before an item.
    pub(super) fn cost(&self, place: usize, state: usize) -> u32 {
        self.cost.get(place * self.chart.states() + state).copied().unwrap_or(NEVER)
    }

    /// The states before an item through which a cheapest course leads.
    pub(super) fn cheapest(&self, place: usize) -> Mask {
        self.cheapest.get(place).copied().unwrap_or(0)
    }

    /// Those of some states that stand on a cheapest course before an item at this very cost.
    pub(super) fn kept(&self, place: usize, states: Mask, cost: u32) -> Mask {
        let fits = |state: &usize| self.cost(place, *state) == cost;
        members(states & self.cheapest(place)).filter(fits).fold(0, |sum, state| sum | 1 << state)
    }

    /// Whether a cheapest course leads through a state before an item at a higher cost: only then are letters put in.
    pub(super) fn has_dearer(&self, place: usize, cost: u32) -> bool {
        members(self.cheapest(place)).any(|state| self.cost(place, state) > cost)
    }

    /// Marks the cheapest courses, from the end to the beginning.
    fn mark(&mut self) {
        let mut marked = members(self.end).filter(|state| self.cost(self.items.len(), *state) == self.least);
        let mut here: Mask = marked.by_ref().fold(0, |sum, state| sum | 1 << state);
        drop(marked);
        for place in (0..=self.items.len()).rev() {
            if let Some(item) = self.items.get(place) {
                let behind = self.cheapest(place + 1);
                let extra = self.chart.price_extra(item);
                here = 0;
                for state in 0..self.chart.states() {
                    let cost = self.cost(place, state);
                    let agrees = || self.kept(place + 1, self.chart.passed(item, state), cost) != 0;
                    let drops = || {
                        extra.is_some_and(|extra| {
                            behind & 1 << state != 0
                                && cost.saturating_add(extra) == self.cost(place + 1, state)
                        })
                    };
                    if cost != NEVER && (agrees() || drops()) {
                        here |= 1 << state;
                    }
                }
            }
            here = self.with_insertions(place, here);
            if let Some(slot) = self.cheapest.get_mut(place) {
                *slot = here;
            }
        }
    }

    /// The states marked, and those from which letters put in lead to one of them at least cost.
    fn with_insertions(&self, place: usize, marked: Mask) -> Mask {
        let leads = |from: &usize| {
            let cost = self.cost(place, *from);
            cost != NEVER
                && members(marked)
                    .any(|to| cost.saturating_add(self.chart.between(*from, to)) == self.cost(place, to))
        };
        (0..self.chart.states()).filter(leads).fold(marked, |sum, state| sum | 1 << state)
    }
}

/// The costs with letters put in where that is cheaper.
fn relaxed(chart: &Chart, costs: &[u32]) -> Vec<u32> {
    (0..chart.states())
        .map(|to| {
            let by_way = |(from, cost): (usize, &u32)| cost.saturating_add(chart.between(from, to));
            costs.iter().enumerate().map(by_way).min().unwrap_or(NEVER)
        })
        .collect()
}

fn lower(costs: &mut [u32], state: usize, cost: u32) {
    if let Some(slot) = costs.get_mut(state) {
        *slot = cost.min(*slot);
    }
}

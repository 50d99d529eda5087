//! The network of one log: order, displays and readings as statements; the bounds that follow, and readings that conflict.

use std::collections::BTreeMap;

use super::network::{Edge, Length, Network, ORIGIN, Row, Why};
use super::segment::{self, Layout};
use super::{Clock, Conflict, Placement, Premise, Reading};

impl Clock<'_> {
    /// Binds the records by the readings; readings that conflict bind nothing.
    pub(super) fn bind(&mut self, layout: &Layout) {
        if !self.readings.iter().any(Reading::is_placed) {
            return;
        }
        self.doubt(self.misread(layout));
        let network = self.network(layout);
        self.doubt(self.find_conflicts(&network));
        self.conflicts.sort_by(|one, other| one.readings.cmp(&other.readings));
        let mut bound = network.clone();
        for (place, reading) in self.readings.iter().enumerate() {
            bound.edges.extend(self.edges_of(place, reading));
        }
        if self.line.is_some() && self.rate.is_some() {
            self.lay_line(&mut bound, layout);
        }
        if self.bounds.is_none()
            && let (Ok(from), Ok(to)) = (bound.reach(ORIGIN), bound.reversed().reach(ORIGIN))
        {
            self.bounds = Some((from, to));
        }
    }

    /// The readings of these conflicts bind nothing.
    fn doubt(&mut self, conflicts: Vec<Conflict>) {
        self.doubted.resize(self.readings.len(), false);
        for place in conflicts.iter().flat_map(|conflict| &conflict.readings) {
            self.doubted.iter_mut().skip(*place).take(1).for_each(|doubted| *doubted = true);
        }
        self.conflicts.extend(conflicts);
    }

    /// The edges of a reading to and from the origin.
    fn edges_of(&self, place: usize, reading: &Reading) -> Vec<Edge> {
        if !reading.is_placed() || self.is_doubted(place) {
            return Vec::new();
        }
        let (node, why) = (self.node_of(place, reading), Why::Reading(place));
        vec![
            Edge { from: ORIGIN, to: node, most: Length::reached(reading.latest.ns()), why },
            Edge { from: node, to: ORIGIN, most: Length::reached(-reading.earliest.ns()), why },
        ]
    }

    /// The network without the true times of the readings: order, rows of displays, and where the readings stand.
    fn network(&self, layout: &Layout) -> Network {
        let mut network =
            Network { nodes: segment::node(self.records.len()) + self.readings.len(), ..Network::default() };
        let later = |from, to| Edge { from, to, most: Length::ZERO, why: Why::Order };
        for steps in &layout.ordered {
            for pair in steps.windows(2) {
                if let [first, second] = pair {
                    network.edges.push(later(segment::node(*second), segment::node(*first)));
                }
            }
        }
        let mut rows = layout.shown.clone();
        for (place, reading) in self.readings.iter().enumerate().filter(|(place, _)| !self.is_doubted(*place))
        {
            let node = self.node_of(place, reading);
            let segment = match reading.placement {
                Placement::After { step, segment } => {
                    for steps in &layout.ordered {
                        let next = steps.partition_point(|other| *other <= step);
                        if steps.get(next.wrapping_sub(1)) == Some(&step) {
                            network.edges.push(later(node, segment::node(step)));
                            let next = steps.get(next);
                            network.edges.extend(next.map(|next| later(segment::node(*next), node)));
                        }
                    }
                    segment
                }
                Placement::Throughout => Some(0),
                Placement::Record(_) | Placement::Nowhere(_) => None,
            };
            if let (Some(row), Some(stamp)) = (segment.and_then(|at| rows.get_mut(at)), reading.displayed) {
                row.push(segment::shown(node, stamp, self.grain()));
            }
        }
        if let Some(rate) = &self.rate {
            network.rows = rows.into_iter().map(|shown| Row { ppm: rate.ppm, shown }).collect();
        }
        network
    }

    /// Every pair of readings that contradict each other. A contradiction of the network is a ring through the origin,
    /// which one reading enters and one leaves: two always suffice. What a pair rests on is worked out for the first of
    /// them.
    fn find_conflicts(&self, network: &Network) -> Vec<Conflict> {
        let mut all = network.clone();
        for (place, reading) in self.readings.iter().enumerate() {
            all.edges.extend(self.edges_of(place, reading));
        }
        if all.reach(ORIGIN).is_ok() {
            return Vec::new();
        }
        let placed: Vec<(usize, &Reading)> = self
            .readings
            .iter()
            .enumerate()
            .filter(|(place, reading)| reading.is_placed() && !self.is_doubted(*place))
            .collect();
        let plan = network.plan();
        // One search at a time: a log may be long and the readings many. Per pair: the reading whose search shows it.
        let mut pairs: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (from, early) in &placed {
            let Ok(reach) = network.reach_by(self.node_of(*from, early), &plan) else { continue };
            for (to, late) in placed.iter().filter(|(to, _)| to != from) {
                let most = reach.most.get(self.node_of(*to, late)).copied().flatten();
                if most.is_some_and(|most| most < Length::reached((late.earliest - early.latest).ns())) {
                    pairs.entry((*from.min(to), *from.max(to))).or_insert(*from);
                }
            }
        }
        let mut searches: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
        for (pair, from) in pairs.iter().take(super::MOST_EXPLAINED) {
            searches.entry(*from).or_default().push(*pair);
        }
        let mut explained: BTreeMap<(usize, usize), Vec<Premise>> = BTreeMap::new();
        let node = |place: usize| self.readings.get(place).map(|reading| self.node_of(place, reading));
        for (from, of) in searches {
            let Some(Ok(reach)) = node(from).map(|from| network.reach_by(from, &plan)) else { continue };
            for (one, other) in of {
                let to = if from == one { other } else { one };
                let mut rests_on = node(to).map(|to| self.premises(&reach.way(to))).unwrap_or_default();
                rests_on.extend([one, other].into_iter().flat_map(|reading| self.reading_premises(reading)));
                rests_on.sort();
                rests_on.dedup();
                explained.insert((one, other), rests_on);
            }
        }
        let conflict = |(one, other): (usize, usize)| Conflict {
            readings: vec![one, other],
            rests_on: explained.remove(&(one, other)).unwrap_or_default(),
        };
        pairs.into_keys().map(conflict).collect()
    }
}

//! The network of one log: order, displays and readings as statements; the bounds that follow, and readings that conflict.

use super::line::{self, Stab};
use super::network::{Edge, Length, Network, ORIGIN, Reach, Row, Why};
use super::segment::{self, Layout};
use super::{Clock, Conflict, Placement, Reading};

impl Clock<'_> {
    /// Binds the records by the readings; readings that conflict bind nothing.
    pub(super) fn bind(&mut self, layout: &Layout) {
        if !self.readings.iter().any(|reading| !matches!(reading.placement, Placement::Nowhere(_))) {
            return;
        }
        let network = self.network(layout);
        self.conflicts = self.find_conflicts(&network);
        let in_conflict = |place: usize| self.conflicts.iter().any(|one| one.readings.contains(&place));
        let mut bound = network.clone();
        for (place, reading) in self.readings.iter().enumerate() {
            if !in_conflict(place) {
                bound.edges.extend(self.edges_of(place, reading));
            }
        }
        if self.line.is_some() && self.rate.is_some() {
            self.lay_line(&mut bound);
        }
        if self.bounds.is_none()
            && let (Ok(from), Ok(to)) = (bound.reach(ORIGIN), bound.reversed().reach(ORIGIN))
        {
            self.bounds = Some((from, to));
        }
    }

    /// Bounds the displays of every row by the straight lines that fit its readings. Where none fits, or the lines do not
    /// fit the order of the records, the line is wrong and binds nothing.
    fn lay_line(&mut self, network: &mut Network) {
        let Some(mut line) = self.line.take() else { return };
        let drift = network.edges.len();
        let taken = |place: usize| !self.conflicts.iter().any(|one| one.readings.contains(&place));
        for row in &network.rows {
            let stabs: Vec<Stab> = self
                .readings
                .iter()
                .enumerate()
                .filter(|(place, reading)| {
                    taken(*place) && !matches!(reading.placement, Placement::Nowhere(_))
                })
                .filter_map(|(place, reading)| {
                    let node = self.node_of(place, reading);
                    let shown = row.shown.iter().find(|shown| shown.node == node)?;
                    let (earliest, latest) = (reading.earliest.ns(), reading.latest.ns());
                    Some(Stab { reading: place, from: shown.from, to: shown.to, earliest, latest })
                })
                .collect();
            if stabs.len() < 2 || stabs.len() > line::MOST_READINGS {
                continue;
            }
            let Some(polygon) = line::polygon(&stabs, row.ppm) else {
                line.conflicts.extend(line::conflicts(&stabs, row.ppm));
                continue;
            };
            for shown in &row.shown {
                let Some((least, greatest)) = polygon.ends(shown.from, shown.to) else { continue };
                let mut bind = |from, to, most, readings| {
                    let why = Why::Line(line.ends.len());
                    line.ends.push(readings);
                    network.edges.push(Edge { from, to, most, why });
                };
                // Fractions are rounded outward, to the next nanosecond.
                let floor = least.over.div_euclid(least.by);
                let ceiling = -(-greatest.over).div_euclid(greatest.by);
                let open = shown.to > shown.from && ceiling * greatest.by == greatest.over;
                bind(shown.node, ORIGIN, Length::reached(-floor), least.readings);
                bind(ORIGIN, shown.node, Length::of(ceiling, open), greatest.readings);
            }
        }
        if line.conflicts.is_empty()
            && !line.ends.is_empty()
            && let (Ok(from), Ok(to)) = (network.reach(ORIGIN), network.reversed().reach(ORIGIN))
        {
            line.holds = true;
            self.bounds = Some((from, to));
        } else {
            network.edges.truncate(drift);
        }
        self.line = Some(line);
    }

    /// The edges of a reading to and from the origin.
    fn edges_of(&self, place: usize, reading: &Reading) -> Vec<Edge> {
        if matches!(reading.placement, Placement::Nowhere(_)) {
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
        for (place, reading) in self.readings.iter().enumerate() {
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
    /// which one reading enters and one leaves: two always suffice.
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
            .filter(|(_, reading)| !matches!(reading.placement, Placement::Nowhere(_)))
            .collect();
        let reaches: Vec<Option<Reach>> =
            placed.iter().map(|(place, reading)| network.reach(self.node_of(*place, reading)).ok()).collect();
        let mut conflicts = Vec::new();
        for (at, (one, first)) in placed.iter().enumerate() {
            for (behind, (other, second)) in placed.iter().enumerate().skip(at + 1) {
                let ring = |from: usize, early: &Reading, late: (usize, &Reading)| {
                    let reach = reaches.get(from)?.as_ref()?;
                    let node = self.node_of(late.0, late.1);
                    let most = reach.most.get(node).copied().flatten()?;
                    let apart = Length::reached((late.1.earliest - early.latest).ns());
                    (most < apart).then(|| self.premises(&reach.way(node)))
                };
                let rests = ring(at, first, (*other, second)).or_else(|| ring(behind, second, (*one, first)));
                if let Some(mut rests_on) = rests {
                    rests_on.extend([self.reading_premise(*one), self.reading_premise(*other)]);
                    rests_on.sort();
                    rests_on.dedup();
                    conflicts.push(Conflict { readings: vec![*one, *other], rests_on });
                }
            }
        }
        conflicts
    }
}

//! The simple temporal network: statements that one instant is at most so much later than another, their tightest
//! consequences, and the statements that contradict each other.
//!
//! Source of the method: Dechter, Meiri and Pearl 1991, Artificial Intelligence 49, 61-95. A node is an instant; node
//! [`ORIGIN`] is 1970-01-01 00:00:00 UTC. Every statement `t(to) - t(from) <= most` is an edge; the least sum over all ways
//! from one node to another is the tightest bound that follows, and a way back to itself with a sum below zero is a
//! contradiction.
//!
//! Between any two displays of one segment the drift bound makes an edge each way. They are not laid one by one: a *row*
//! holds the displays of a segment, and one sweep over the sorted row relaxes all of its pairs, because each edge costs a
//! part that depends on its beginning alone and one that depends on its end alone. So the whole network of methods.md 3.3,
//! all pairs included, costs a few passes over the records. Edges between neighbours only would be looser: each would add
//! the step of the display once more.

/// The node that is 1970-01-01 00:00:00 UTC.
pub(super) const ORIGIN: usize = 0;

/// Why an edge holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Why {
    /// A reading, by its place in the list of readings.
    Reading(usize),
    /// The bound on the rate inside a row.
    Rate(usize),
    /// The order of the records.
    Order,
    /// The straight line through the readings of a row, by the place of its ends in the list of those.
    Line(usize),
}

/// `t(to) - t(from) <= most`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) most: Length,
    pub(super) why: Why,
}

/// A difference of instants, and whether it is reached itself: nanoseconds, with so many ends left out on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Length(i128);

/// More ends than any way through a network leaves out.
const ENDS: i128 = 1 << 24;

impl Length {
    pub(super) const ZERO: Length = Length(0);

    pub(super) fn reached(ns: i128) -> Length {
        Length(ns * ENDS)
    }

    pub(super) fn of(ns: i128, open: bool) -> Length {
        Length(ns * ENDS - i128::from(open))
    }

    fn and(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }

    /// The length, and whether it is reached itself.
    pub(super) fn split(self) -> (i128, bool) {
        let ns = -(-self.0).div_euclid(ENDS);
        (ns, ns * ENDS == self.0)
    }
}

/// What a clock displayed at a node: it had come to at least `from` and not yet to `to`, in milliseconds. Where both are
/// equal, it showed exactly that.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shown {
    pub(super) node: usize,
    pub(super) from: i64,
    pub(super) to: i64,
}

/// The displays of one segment, whose rate lies within 1 ± `ppm` / 1,000,000.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) ppm: u32,
    pub(super) shown: Vec<Shown>,
}

/// A network.
#[derive(Debug, Clone, Default)]
pub(super) struct Network {
    pub(super) nodes: usize,
    pub(super) edges: Vec<Edge>,
    pub(super) rows: Vec<Row>,
}

/// The tightest bounds from one node to every other.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    /// Per node: how much later than the beginning it is at most; `None` where nothing bounds it.
    pub(super) most: Vec<Option<Length>>,
    /// Per node: the node before it on the tightest way, and why.
    before: Vec<Option<(usize, Why)>>,
}

impl Network {
    /// The tightest bounds from one node.
    ///
    /// # Errors
    /// Where statements contradict each other: the edges of the contradiction, in their order.
    pub(super) fn reach(&self, start: usize) -> Result<Reach, Vec<(usize, usize, Why)>> {
        self.reach_by(start, &self.plan())
    }

    /// The order in which a search goes over the statements: once for many searches. Records stand in the order of their
    /// nodes, and rows follow each other in it. So what leads from row to row is looked at between the two: a bound that
    /// passes through a hundred thousand rows takes one pass, not one for each.
    pub(super) fn plan(&self) -> Plan {
        let mut row_of: Vec<Option<usize>> = vec![None; self.nodes];
        for (place, row) in self.rows.iter().enumerate() {
            for shown in &row.shown {
                if let Some(slot) = row_of.get_mut(shown.node) {
                    *slot = Some(place);
                }
            }
        }
        // A node that displays nothing goes with the record before it.
        let mut last = 0;
        let row_of: Vec<usize> = row_of
            .into_iter()
            .map(|row| {
                last = row.unwrap_or(last);
                last
            })
            .collect();
        let mut stages: Vec<Stage> =
            self.rows.iter().map(|row| Stage { edges: Vec::new(), row: Sorted::of(row) }).collect();
        if stages.is_empty() {
            stages.push(Stage::default());
        }
        let row = |node: usize| if node == ORIGIN { 0 } else { row_of.get(node).copied().unwrap_or(0) };
        for edge in &self.edges {
            if let Some(stage) = stages.get_mut(row(edge.from).max(row(edge.to))) {
                stage.edges.push(*edge);
            }
        }
        Plan { stages }
    }

    /// The same as [`Network::reach`], by a plan that is made already.
    pub(super) fn reach_by(&self, start: usize, plan: &Plan) -> Result<Reach, Vec<(usize, usize, Why)>> {
        let mut reach = Reach { most: vec![None; self.nodes], before: vec![None; self.nodes] };
        reach.improve(start, Length::ZERO, None);
        // Each pass finds every way of one edge more; a way that visits no node twice has fewer edges than nodes.
        for pass in 0..=self.nodes {
            let mut changed = false;
            for place in (0..plan.stages.len()).chain((0..plan.stages.len()).rev()) {
                let Some(stage) = plan.stages.get(place) else { continue };
                changed |= reach.follow(&stage.edges);
                if let Some(row) = self.rows.get(place)
                    && reach.sweep(row, &stage.row, Why::Rate(place))
                {
                    changed = true;
                    reach.follow(&stage.edges);
                }
            }
            if !changed {
                return Ok(reach);
            }
            if pass > 0
                && let Some(cycle) = reach.cycle()
            {
                return Err(cycle);
            }
        }
        Err(reach.cycle().unwrap_or_default())
    }

    /// The same statements read backwards: where this says `t(to) - t(from) <= most`, the other says it of `-t`.
    pub(super) fn reversed(&self) -> Network {
        let edges = self.edges.iter().map(|edge| Edge { from: edge.to, to: edge.from, ..*edge }).collect();
        let turned = |shown: &Shown| Shown { node: shown.node, from: -shown.to, to: -shown.from };
        let rows = self
            .rows
            .iter()
            .map(|row| Row { ppm: row.ppm, shown: row.shown.iter().map(turned).collect() })
            .collect();
        Network { nodes: self.nodes, edges, rows }
    }
}

/// The statements in the order in which a search goes over them.
#[derive(Debug)]
pub(super) struct Plan {
    stages: Vec<Stage>,
}

/// A row, and the edges that lead into it from those before it, or lie within it.
#[derive(Debug, Default)]
struct Stage {
    edges: Vec<Edge>,
    row: Sorted,
}

/// Places of a row in the order of `from` and of `to`.
#[derive(Debug, Default)]
struct Sorted {
    by_from: Vec<Shown>,
    by_to: Vec<Shown>,
}

impl Sorted {
    fn of(row: &Row) -> Sorted {
        let (mut by_from, mut by_to) = (row.shown.clone(), row.shown.clone());
        by_from.sort_by_key(|shown| shown.from);
        by_to.sort_by_key(|shown| shown.to);
        Sorted { by_from, by_to }
    }
}

/// How long a stretch of the unit's own time lasts at most, in nanoseconds at this rate.
pub(super) fn at_rate(ms: i64, per_million: i64) -> i128 {
    i128::from(ms) * i128::from(per_million)
}

impl Reach {
    fn most(&self, node: usize) -> Option<Length> {
        self.most.get(node).copied().flatten()
    }

    fn improve(&mut self, node: usize, most: Length, by: Option<(usize, Why)>) -> bool {
        let (Some(slot), Some(before)) = (self.most.get_mut(node), self.before.get_mut(node)) else {
            return false;
        };
        if slot.is_some_and(|known| known <= most) {
            return false;
        }
        *slot = Some(most);
        *before = by;
        true
    }

    /// Relaxes edges, there and back, so that a chain of them is followed whichever way it runs.
    fn follow(&mut self, edges: &[Edge]) -> bool {
        let mut changed = false;
        for edge in edges.iter().chain(edges.iter().rev()) {
            if let Some(most) = self.most(edge.from) {
                changed |= self.improve(edge.to, most.and(edge.most), Some((edge.from, edge.why)));
            }
        }
        changed
    }

    /// Relaxes every pair of a row: from each display to each other, the true time that passed is at most the longest
    /// time that the display can have run, at the rate that makes most of it.
    fn sweep(&mut self, row: &Row, sorted: &Sorted, why: Why) -> bool {
        let (fast, slow) = (1_000_000 + i64::from(row.ppm), 1_000_000 - i64::from(row.ppm));
        let mut changed = false;
        // Forward: the display ran on, so the greater rate makes most of it.
        let mut best: Option<(Length, usize)> = None;
        let mut next = sorted.by_from.iter().peekable();
        for end in &sorted.by_to {
            while let Some(begin) = next.next_if(|begin| begin.from <= end.to) {
                best = self.better(best, begin, fast);
            }
            changed |= self.arrive(best, end, fast, why);
        }
        // Backward: it cannot have run less far back than this, and the smaller rate makes least of that.
        let mut best: Option<(Length, usize)> = None;
        let mut next = sorted.by_from.iter().rev().peekable();
        for end in sorted.by_to.iter().rev() {
            while let Some(begin) = next.next_if(|begin| begin.from > end.to) {
                best = self.better(best, begin, slow);
            }
            changed |= self.arrive(best, end, slow, why);
        }
        changed
    }

    fn better(&self, best: Option<(Length, usize)>, begin: &Shown, rate: i64) -> Option<(Length, usize)> {
        let Some(most) = self.most(begin.node) else { return best };
        let from_here = most.and(Length::reached(-at_rate(begin.from, rate)));
        if best.is_some_and(|(known, _)| known <= from_here) { best } else { Some((from_here, begin.node)) }
    }

    fn arrive(&mut self, best: Option<(Length, usize)>, end: &Shown, rate: i64, why: Why) -> bool {
        let Some((from_there, node)) = best else { return false };
        if node == end.node {
            return false;
        }
        let most = from_there.and(Length::of(at_rate(end.to, rate), end.to > end.from));
        self.improve(end.node, most, Some((node, why)))
    }

    /// The node before one on the tightest way to it, and why.
    pub(super) fn before(&self, node: usize) -> Option<(usize, Why)> {
        self.before.get(node).copied().flatten()
    }

    /// The tightest way to a node: its edges, from the beginning on.
    pub(super) fn way(&self, node: usize) -> Vec<(usize, usize, Why)> {
        let mut way = Vec::new();
        let mut at = node;
        while let Some((from, why)) = self.before(at) {
            way.push((from, at, why));
            at = from;
            if way.len() > self.before.len() {
                break;
            }
        }
        way.reverse();
        way
    }

    /// A ring among the edges that bind: only a contradiction makes one.
    fn cycle(&self) -> Option<Vec<(usize, usize, Why)>> {
        // Per node: the search in which it was met.
        let mut met: Vec<usize> = vec![0; self.before.len()];
        for start in 0..self.before.len() {
            let mut at = start;
            while met.get(at).copied() == Some(0) {
                if let Some(mark) = met.get_mut(at) {
                    *mark = start + 1;
                }
                match self.before.get(at).copied().flatten() {
                    Some((from, _)) => at = from,
                    None => break,
                }
            }
            let open = self.before.get(at).copied().flatten().is_none();
            if !open && met.get(at).copied() == Some(start + 1) && self.comes_back(at) {
                return Some(self.ring(at));
            }
        }
        None
    }

    fn comes_back(&self, node: usize) -> bool {
        let mut at = node;
        for _ in 0..self.before.len() {
            match self.before.get(at).copied().flatten() {
                Some((from, _)) if from == node => return true,
                Some((from, _)) => at = from,
                None => return false,
            }
        }
        false
    }

    fn ring(&self, node: usize) -> Vec<(usize, usize, Why)> {
        let mut ring = Vec::new();
        let mut at = node;
        while let Some((from, why)) = self.before.get(at).copied().flatten() {
            ring.push((from, at, why));
            at = from;
            if at == node || ring.len() > self.before.len() {
                break;
            }
        }
        ring.reverse();
        ring
    }
}

#[cfg(test)]
#[path = "network_tests.rs"]
pub(super) mod tests;

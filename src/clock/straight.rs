//! The straight lines of one log: which segments one line runs through, and the bounds that it gives their records.

use std::collections::BTreeMap;

use super::line::{self, Chain, Polygon, Stab};
use super::network::{Edge, Length, Network, ORIGIN, Row, Shown, Why};
use super::segment::{self, Begins, Layout};
use super::{Clock, Line};

/// An end of a straight line's bounds: the readings that bind it, and the steps of the settings between them and the
/// record.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct LineEnd {
    pub(super) readings: Vec<usize>,
    pub(super) sets: Vec<usize>,
}

/// Segments that one line runs through: the first of them, what settings did to the display, and their steps.
struct Joined {
    first: usize,
    chain: Chain,
    sets: Vec<usize>,
}

impl Joined {
    fn rows(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.chain.set.len()
    }

    /// What an end rests on: readings, and the settings between their segments and that of the record.
    fn end(&self, segment: usize, readings: Vec<usize>, stabs: &[Stab]) -> LineEnd {
        let of =
            |reading: &usize| stabs.iter().find(|stab| stab.reading == *reading).map(|stab| stab.segment);
        let segments = || readings.iter().filter_map(of).chain([segment]);
        let (from, to) = (segments().min().unwrap_or(segment), segments().max().unwrap_or(segment));
        let sets = self.sets.get(from..to).unwrap_or_default().to_vec();
        LineEnd { readings, sets }
    }
}

/// The segments, those together that settings join whose record states both times.
fn joined(layout: &Layout, rows: &[Row]) -> Vec<Joined> {
    let mut all: Vec<Joined> = Vec::new();
    for (place, begun) in layout.segments.iter().enumerate() {
        let step = match begun.begins {
            Begins::ClockSet { step, joined: true } => Some(step),
            _ => None,
        };
        let by = step.and_then(|step| {
            let of = |row: Option<&Row>| shown_at(row?, segment::node(step));
            let (before, after) = (of(rows.get(place.checked_sub(1)?))?, of(rows.get(place))?);
            Some((after.from.checked_sub(before.to)?, after.to.checked_sub(before.from)?))
        });
        let last = all.last_mut().filter(|last| last.chain.set.len() < line::MOST_SEGMENTS);
        let from = last.as_ref().and_then(|last| last.chain.set.last().copied());
        if let (Some((least, most)), Some(step), Some(last), Some((from, to))) = (by, step, last, from) {
            last.chain.set.push((from.saturating_add(least), to.saturating_add(most)));
            last.sets.push(step);
        } else {
            all.push(Joined { first: place, chain: Chain::single(), sets: Vec::new() });
        }
    }
    all
}

/// What a row shows at the node of a setting: the time before it or the time after it.
fn shown_at(row: &Row, node: usize) -> Option<Shown> {
    row.shown.iter().find(|shown| shown.node == node).copied()
}

impl Clock<'_> {
    /// Bounds the displays of every segment by the straight lines that fit the readings of it and of those that settings
    /// join to it. Where none fits, or the lines do not fit the order of the records, the line is wrong and binds nothing.
    pub(super) fn lay_line(&mut self, network: &mut Network, layout: &Layout) {
        let Some(mut line) = self.line.take() else { return };
        let drift = network.edges.len();
        let stabs = self.stabs(network);
        for joined in joined(layout, &network.rows) {
            let of = |(row, stab): (&usize, &Vec<Stab>)| {
                let segment = row - joined.first;
                stab.iter().map(move |stab| Stab { segment, ..*stab }).collect::<Vec<_>>()
            };
            let mut stabs: Vec<Stab> = stabs.range(joined.rows()).flat_map(of).collect();
            stabs.sort_by_key(|stab| (stab.reading, stab.segment));
            stabs.dedup_by_key(|stab| stab.reading);
            if stabs.len() > line::MOST_READINGS {
                line.too_many = true;
                continue;
            }
            if stabs.len() < 2 {
                continue;
            }
            for (segment, row) in joined.rows().enumerate() {
                let Some(row) = network.rows.get(row) else { continue };
                let Some(polygon) = line::polygon(&stabs, &joined.chain, segment, row.ppm) else {
                    line.conflicts.extend(line::conflicts(&stabs, &joined.chain, row.ppm));
                    break;
                };
                for shown in &row.shown {
                    let end = |readings| joined.end(segment, readings, &stabs);
                    network.edges.extend(bound(&mut line, &polygon, shown, end).into_iter().flatten());
                }
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

    /// Per row: what its readings display, those in conflict left out.
    fn stabs(&self, network: &Network) -> BTreeMap<usize, Vec<Stab>> {
        // A record may have been read more than once.
        let mut of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (place, one) in self.readings.iter().enumerate() {
            if one.is_placed() && !self.is_doubted(place) {
                of.entry(self.node_of(place, one)).or_default().push(place);
            }
        }
        let mut stabs: BTreeMap<usize, Vec<Stab>> = BTreeMap::new();
        for (row, Row { shown, .. }) in network.rows.iter().enumerate() {
            for Shown { node, from, to } in shown {
                for place in of.get(node).into_iter().flatten() {
                    let Some(reading) = self.readings.get(*place) else { continue };
                    let (earliest, latest) = (reading.earliest.ns(), reading.latest.ns());
                    let stab = Stab { reading: *place, segment: 0, from: *from, to: *to, earliest, latest };
                    stabs.entry(row).or_default().push(stab);
                }
            }
        }
        stabs
    }
}

/// The edges by which a line bounds a display.
fn bound(
    line: &mut Line,
    polygon: &Polygon,
    shown: &Shown,
    end: impl Fn(Vec<usize>) -> LineEnd,
) -> Option<[Edge; 2]> {
    let (least, greatest) = polygon.ends(shown.from, shown.to)?;
    // Fractions are rounded outward, to the next nanosecond.
    let floor = least.over.div_euclid(least.by);
    let ceiling = -(-greatest.over).div_euclid(greatest.by);
    let open = shown.to > shown.from && ceiling * greatest.by == greatest.over;
    let why = Why::Line(line.ends.len());
    line.ends.extend([end(least.readings), end(greatest.readings)]);
    let later = Why::Line(line.ends.len() - 1);
    Some([
        Edge { from: shown.node, to: ORIGIN, most: Length::reached(-floor), why },
        Edge { from: ORIGIN, to: shown.node, most: Length::of(ceiling, open), why: later },
    ])
}

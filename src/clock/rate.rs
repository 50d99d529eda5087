//! What readings say of the clock itself: its rate between two of them.

use super::instant::{Instant, MS};
use super::{Clock, Placement, Premise, segment};

/// A stretch of a quantity: not less than `least`, not more than `most`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// Not less than this.
    pub least: Instant,
    /// Not more than this.
    pub most: Instant,
}

/// How the clock ran between two readings of one segment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// The places of the two in [`Clock::readings`], the earlier on the display first.
    pub readings: (usize, usize),
    /// How long the unit's display ran between them.
    pub unit: Spread,
    /// How long it took in true time; not below zero.
    pub truly: Spread,
}

impl Run {
    /// Whether the rate was surely off by more than `part` in `of`, whatever within the readings is right. One minute in
    /// fifteen hours is `(60, 54_000)`; exactly as much is not more.
    #[must_use]
    pub fn surely_beyond(&self, part: i128, of: i128) -> bool {
        let fast = (self.unit.least.ns() - self.truly.most.ns()) * of > part * self.truly.most.ns();
        let slow = (self.truly.least.ns() - self.unit.most.ns()) * of > part * self.truly.least.ns();
        fast || slow
    }

    /// Whether the rate was surely not off by more than `part` in `of`.
    #[must_use]
    pub fn surely_within(&self, part: i128, of: i128) -> bool {
        self.truly.least.ns() > 0
            && (self.unit.most.ns() - self.truly.least.ns()) * of <= part * self.truly.least.ns()
            && (self.truly.most.ns() - self.unit.least.ns()) * of <= part * self.truly.most.ns()
    }
}

impl Clock<'_> {
    /// How long in true time it took from one record to another that the same segment of the clock displays, and what this
    /// rests on: the displays of both and the bound on the rate, no reading.
    #[must_use]
    pub fn span_between(&self, from: usize, to: usize) -> Option<(Spread, Vec<Premise>)> {
        let ppm = i128::from(self.rate.as_ref()?.ppm);
        let segment = |step: usize| self.shown_in.get(step).copied().flatten();
        if segment(from)? != segment(to)? {
            return None;
        }
        let shown = |step: usize| Some(segment::shown(0, self.record(step)?.time?, self.grain));
        let (early, late) = (shown(from)?, shown(to)?);
        // A millisecond of the unit took (1,000,000 ± ppm) ns: the end that makes the span wider.
        let wider = |ms: i64, up: i128| {
            let towards = if ms < 0 { -up } else { up };
            Instant::of_ns(i128::from(ms) * (MS + towards * ppm))
        };
        let spread = Spread { least: wider(late.from - early.to, -1), most: wider(late.to - early.from, 1) };
        let unstepped = self.unstepped(&[segment::node(from), segment::node(to)]);
        Some((spread, self.rate_premise().into_iter().chain(unstepped).collect()))
    }

    /// What the rate between two readings rests on.
    #[must_use]
    pub fn run_rests_on(&self, run: &Run) -> Vec<Premise> {
        let (one, other) = run.readings;
        let node = |place: usize| self.readings().get(place).map(|reading| self.node_of(place, reading));
        let mut premises: Vec<Premise> =
            [one, other].into_iter().flat_map(|reading| self.reading_premises(reading)).collect();
        premises.extend(
            node(one).zip(node(other)).map_or_else(Vec::new, |(one, other)| self.unstepped(&[one, other])),
        );
        premises.sort();
        premises.dedup();
        premises
    }

    /// How the clock ran between two readings, where both stand in one segment.
    #[must_use]
    pub fn run_between(&self, one: usize, other: usize) -> Option<Run> {
        if one == other || self.segment_of(one)? != self.segment_of(other)? {
            return None;
        }
        let (a, b) = (self.displayed_at(one)?, self.displayed_at(other)?);
        let (first, last, a, b) = if a <= b { (one, other, a, b) } else { (other, one, b, a) };
        let (early, late) = (self.readings().get(first)?, self.readings().get(last)?);
        let ns = |ms: i64| Instant::of_ns(i128::from(ms) * MS);
        let zero = Instant::default();
        Some(Run {
            readings: (first, last),
            unit: Spread { least: ns(b.0 - a.1).max(zero), most: ns(b.1 - a.0) },
            truly: Spread {
                least: (late.earliest - early.latest).max(zero),
                most: (late.latest - early.earliest).max(zero),
            },
        })
    }

    /// The place in [`Clock::segments`] of the segment in which a reading stands, where it is known.
    #[must_use]
    pub fn segment_of(&self, reading: usize) -> Option<usize> {
        match self.readings().get(reading)?.placement {
            Placement::Record(step) => {
                self.segments().iter().position(|segment| segment.steps.contains(&step))
            }
            Placement::After { segment, .. } => segment,
            Placement::Throughout => Some(0),
            Placement::Nowhere(_) => None,
        }
    }

    /// From when to before when the display stood at a reading, in milliseconds. A clock-set record shows two times, so
    /// that a reading of it has none.
    fn displayed_at(&self, reading: usize) -> Option<(i64, i64)> {
        let reading = self.readings().get(reading)?;
        let stamp = match reading.placement {
            Placement::Record(step) => {
                let record = self.record(step)?;
                record.time.filter(|_| record.event != crate::event::Event::ClockSet)?
            }
            _ => reading.displayed?,
        };
        let shown = segment::shown(0, stamp, self.grain());
        Some((shown.from, shown.to))
    }
}

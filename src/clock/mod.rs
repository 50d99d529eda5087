//! The unit's clock: from readings of it beside a reference clock to exact bounds on the true time of every record.
//!
//! Between two steps the unit's rate stays within 1 ± rho (bounded drift); every bound is a consequence of readings, this
//! bound, the records of settings and the order of records, found in one network (`network`), in whole nanoseconds.

mod bind;
mod grounds;
pub mod hours;
mod instant;
mod line;
mod misread;
mod network;
mod place;
mod premise;
mod rate;
mod reading;
mod segment;
mod settle;
pub mod slip;
mod straight;
mod verdict;

use crate::case::{self, Case, SettingOf};
use crate::replay::Replay;
use crate::source::Shown;
use crate::syntax::{Log, Record, Stamp};
use crate::unit::UnitDescription;

pub use grounds::{End, Ground, Grounds};
pub use instant::{Instant, SECOND, length, offset, outwards, stamp};
use network::Reach;
pub use premise::{Premise, name};
pub use rate::{Run, Spread};
pub use reading::{Placement, Reading, export_pair};
pub use segment::{Begins, Segment};
pub use settle::Settling;
use straight::LineEnd;
pub use verdict::Placed;

/// Conflicts of which it is worked out what they rest on: a hundred readings that all contradict each other make 4,950.
pub const MOST_EXPLAINED: usize = 200;

/// From when to when something was, in true time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct When {
    /// Not before this; `None` where nothing bounds it.
    pub earliest: Option<Bound>,
    /// Not after this; `None` where nothing bounds it.
    pub latest: Option<Bound>,
}

/// One end of a stretch of true time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// The end.
    pub at: Instant,
    /// Whether the end itself is possible. It is not where the step of a display left it out: a displayed 17:59:59 means
    /// from 17:59:59 to before 18:00:00.
    pub reached: bool,
    /// All that binds this end, in a fixed order.
    pub rests_on: Vec<Premise>,
}

/// The bound on the rate of the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rate {
    /// In parts per million, either way.
    pub ppm: u32,
    /// Who states it, in words.
    pub source: Shown,
}

/// Readings that cannot all be right, given the bound on the rate, the settings recorded and the order of the records: two,
/// or one that does not fit between the displays of the records beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The readings, by their places in [`Clock::readings`]; no smaller set of them conflicts.
    pub readings: Vec<usize>,
    /// All that the contradiction rests on, the readings included; empty behind the first [`MOST_EXPLAINED`].
    pub rests_on: Vec<Premise>,
}

/// The unit's clock under one version of the case.
#[derive(Debug)]
pub struct Clock<'a> {
    log: &'a Log,
    /// Per step: the place of its record.
    records: Vec<Option<usize>>,
    readings: Vec<Reading>,
    segments: Vec<Segment>,
    /// Per step: the segment of the clock whose display its record shows, where that is one.
    shown_in: Vec<Option<usize>>,
    rate: Option<Rate>,
    conflicts: Vec<Conflict>,
    /// Per reading: whether it stands in a conflict.
    doubted: Vec<bool>,
    /// The readings by whose papers the clock was never set, where it holds that.
    never_set: Vec<usize>,
    /// That nothing was recorded behind the end of the log, in words, where that is said.
    closed: Option<String>,
    /// The tightest bounds, from the origin and to it; `None` where no reading is placed.
    bounds: Option<(Reach, Reach)>,
    resolution: Option<i64>,
    grain: i64,
    line: Option<Line>,
}

/// The narrower assumption that the clock ran at one constant rate, where the case file allows it: until it was set or
/// reset with nothing to say by how much. A setting whose record states both times moves the display and leaves the rate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Who allows it, in words.
    pub source: Shown,
    /// Smallest sets of readings through which no line passes: all of up to three readings. They show that the line is wrong, and no more: no step of
    /// the clock follows. The bounds then are those of bounded drift alone.
    pub conflicts: Vec<Vec<usize>>,
    /// Whether the line makes the bounds narrower: it fits the readings and the order of the records.
    pub holds: bool,
    /// Whether some segments have more readings than a line is laid through, so that it was left out there.
    pub too_many: bool,
    /// Per end of its bounds: what binds it.
    ends: Vec<LineEnd>,
}

impl Line {
    /// The readings that stand in every set through which no line passes; empty where there is none.
    #[must_use]
    pub fn in_every_conflict(&self) -> Vec<usize> {
        in_all(self.conflicts.iter().map(Vec::as_slice))
    }

    /// Whether no line fits what is stated and recorded: not the readings, or not with the order of the records. Such a line
    /// binds nothing.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        !self.conflicts.is_empty() || (!self.holds && !self.ends.is_empty())
    }
}

/// What stands in all of the sets, in the order of the first.
fn in_all<'s>(mut sets: impl Iterator<Item = &'s [usize]>) -> Vec<usize> {
    let first = sets.next().unwrap_or_default().to_vec();
    sets.fold(first, |mut all, set| {
        all.retain(|one| set.contains(one));
        all
    })
}

impl<'a> Clock<'a> {
    /// Works out the clock of a log under one version of the case: nothing in it is contested.
    #[must_use]
    pub fn of(log: &'a Log, case: &Case, unit: &UnitDescription, replay: &Replay) -> Clock<'a> {
        let (readings, layout) = place::placed(log, case, replay);
        let mut clock = Clock {
            log,
            records: (0..replay.steps.len()).map(|step| replay.record(step)).collect(),
            never_set: (0..readings.len())
                .filter(|place| {
                    layout.never_set && readings.get(*place).is_some_and(|reading| reading.not_set)
                })
                .collect(),
            closed: replay.back.said(case::End::Back, case),
            readings,
            segments: layout.segments.clone(),
            shown_in: layout.shown_in(log, replay),
            rate: rate(case, unit),
            conflicts: Vec::new(),
            doubted: Vec::new(),
            bounds: None,
            line: case.settings.clock_line.first().map(|saying| Line {
                source: Shown::inert(&format!("{}, {}", saying.source, saying.by)),
                conflicts: Vec::new(),
                holds: false,
                too_many: false,
                ends: Vec::new(),
            }),
            grain: segment::grain(log),
            resolution: log.records().iter().filter_map(|record| record.time).map(Stamp::step_ms).max(),
        };
        clock.bind(&layout);
        clock
    }

    /// From when to when the record of a step was made, in true time, and what each end rests on. Without a reading that
    /// binds it, both ends are `None`.
    #[must_use]
    pub fn when(&self, step: usize) -> When {
        let Some((from, to)) = self.bounds.as_ref().filter(|_| self.is_record(step)) else {
            return When::default();
        };
        let node = segment::node(step);
        let end = |reach: &Reach, sign: i128| {
            let (ns, reached) = reach.most.get(node).copied().flatten()?.split();
            let rests_on = self.premises(&reach.way(node));
            Some(Bound { at: Instant::of_ns(sign * ns), reached, rests_on })
        };
        When { earliest: end(to, -1), latest: end(from, 1) }
    }

    /// The same without what the ends rest on, for whoever looks at every record.
    #[must_use]
    pub fn bounds(&self, step: usize) -> When {
        let Some((from, to)) = self.bounds.as_ref().filter(|_| self.is_record(step)) else {
            return When::default();
        };
        let end = |reach: &Reach, sign: i128| {
            let (ns, reached) = reach.most.get(segment::node(step)).copied().flatten()?.split();
            Some(Bound { at: Instant::of_ns(sign * ns), reached, rests_on: Vec::new() })
        };
        When { earliest: end(to, -1), latest: end(from, 1) }
    }

    /// Without any reading: the least error of the clock that would change on which side of an hour the record lies, taking
    /// the displayed time as if right. Zero where the display cannot tell even then: its step counts, as the times of the
    /// log show it, and what the paper that states the hour leaves open.
    #[must_use]
    pub fn least_error(&self, step: usize, hour: &hours::Hour) -> Option<LeastError> {
        let shown = segment::shown(segment::node(step), self.record(step)?.time?, self.grain);
        let slack = Instant::of_ns((hour.latest - hour.earliest).ns() / 2);
        let ms = |ms: i64| Instant::of_ns(i128::from(ms) * instant::MS);
        let (ahead, apart) = if shown.from >= hour.civil {
            (true, shown.from - hour.civil)
        } else {
            (false, hour.civil - shown.to)
        };
        Some(LeastError { by: (ms(apart) - slack).max(Instant::default()), ahead })
    }

    /// The readings of the case, in its order, and where each stands.
    #[must_use]
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    /// The segments of the clock, in the order of replay.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Readings that contradict each other: every smallest set of them. Their readings bind nothing.
    #[must_use]
    pub fn conflicts(&self) -> &[Conflict] {
        &self.conflicts
    }

    /// Whether a reading stands in a conflict, so that it binds nothing.
    #[must_use]
    pub fn is_doubted(&self, reading: usize) -> bool {
        self.doubted.get(reading) == Some(&true)
    }

    /// The readings that stand in every conflict; empty where there is none.
    #[must_use]
    pub fn in_every_conflict(&self) -> Vec<usize> {
        in_all(self.conflicts.iter().map(|conflict| conflict.readings.as_slice()))
    }

    /// The greatest step of the display in milliseconds, as the records write their times; `None` without times.
    #[must_use]
    pub fn resolution(&self) -> Option<i64> {
        self.resolution
    }

    /// The step of the display as the times of the log show it, in milliseconds, a minute at most.
    #[must_use]
    pub fn grain(&self) -> i64 {
        self.grain
    }

    /// The bound on the rate of the clock; `None` where nobody states one.
    #[must_use]
    pub fn rate(&self) -> Option<&Rate> {
        self.rate.as_ref()
    }

    /// The straight line, where the case file allows to assume it.
    #[must_use]
    pub fn line(&self) -> Option<&Line> {
        self.line.as_ref()
    }

    /// Whether some reading is placed, so that records may have bounds.
    #[must_use]
    pub fn is_bound(&self) -> bool {
        self.bounds.is_some()
    }

    /// Whether another clock of the same log has the same readings and ties every record to the same true time.
    #[must_use]
    pub fn says_the_same_as(&self, other: &Clock<'_>) -> bool {
        self.readings == other.readings
            && self.rate == other.rate
            && self.records == other.records
            && (0..self.records.len()).all(|step| self.bounds(step) == other.bounds(step))
    }

    /// The record of a step in words.
    #[must_use]
    pub fn name(&self, step: usize) -> String {
        match self.record(step) {
            Some(record) => name(self.log, record),
            None => "a gap".to_owned(),
        }
    }

    /// The record of a step.
    fn record(&self, step: usize) -> Option<&'a Record> {
        self.log.records().get(self.records.get(step).copied().flatten()?)
    }

    /// The reading by whose paper the clock was never set between some places: one of theirs if any says so.
    fn never_set(&self, nodes: &[usize]) -> Option<usize> {
        let is_there = |reading: &&usize| nodes.iter().any(|node| self.reading_of(*node) == Some(**reading));
        self.never_set.iter().find(is_there).or_else(|| self.never_set.first()).copied()
    }

    fn is_record(&self, step: usize) -> bool {
        self.records.get(step).is_some_and(Option::is_some)
    }

    /// The reading whose node this is.
    fn reading_of(&self, node: usize) -> Option<usize> {
        node.checked_sub(segment::node(self.records.len())).filter(|reading| *reading < self.readings.len())
    }

    /// The node of a reading.
    fn node_of(&self, place: usize, reading: &Reading) -> usize {
        match reading.placement {
            Placement::Record(step) => segment::node(step),
            _ => segment::node(self.records.len()) + place,
        }
    }
}

/// The least error of the clock that would change an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeastError {
    /// Its size: an error of the clock of at least this changes the answer, or leaves it open.
    pub by: Instant,
    /// Whether the clock would have to be ahead of true time, else behind it.
    pub ahead: bool,
}

/// The bound on the rate: what the case file sets, else what the unit description says.
fn rate(case: &Case, unit: &UnitDescription) -> Option<Rate> {
    let set = case.settings.number(SettingOf::DriftPpm).and_then(|stated| {
        let ppm = u32::try_from(stated.value.1).ok()?;
        let source = Shown::inert(&format!("{}, {}", stated.basis.source, stated.basis.by));
        Some(Rate { ppm, source })
    });
    let described = || {
        let (ppm, source) = unit.clock_ppm.as_ref()?;
        Some(Rate { ppm: *ppm, source: Shown::inert(&format!("unit description: {source}")) })
    };
    // A clock that may run backwards bounds nothing.
    set.or_else(described).filter(|rate| rate.ppm < 1_000_000)
}

#[cfg(test)]
mod oracle;

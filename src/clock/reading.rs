//! Clock readings: what the unit displayed, or which record it made, at what true time; and where in the log each stands.

use super::hours;
use super::instant::{Instant, MS, SECOND, offset, stamp};
use crate::case::{Case, ClockReading, ReadAt, Reference, Saying, Stated};
use crate::event::Event;
use crate::replay::Replay;
use crate::source::Shown;
use crate::syntax::{DateTime, Log, Stamp, Value};

/// A clock reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// Line of the case file, from 1.
    pub line: usize,
    /// The paper.
    pub source: Shown,
    /// Who asserts it.
    pub by: Shown,
    /// Which reference clock, in words.
    pub how: Option<Shown>,
    /// What the unit displayed; `None` where the paper times a record.
    pub displayed: Option<Stamp>,
    /// The reference time as the paper writes it, or as the header of the log does.
    pub reference: Shown,
    /// Whether the reference time is that of the export, from the header of the log.
    pub exported: bool,
    /// The true time was not before this. A reference clock is read to its step, as a unit is: 18:03 give or take nothing
    /// is from 18:03:00 to 18:04:00, 18:03:00 from 18:03:00 to 18:03:01.
    pub earliest: Instant,
    /// The true time was not after this.
    pub latest: Instant,
    /// Where it stands.
    pub placement: Placement,
}

/// Where a reading stands in the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Placement {
    /// It times the record of this step.
    Record(usize),
    /// It was taken after the record of this step and before the next one. The segment of the clock is known where
    /// nothing can have set the clock unseen before the next record.
    After {
        /// The step of the record.
        step: usize,
        /// The segment.
        segment: Option<usize>,
    },
    /// The paper names no record: it says by this that the clock was neither set nor reset, from the reading to any record
    /// of the log, and no record says otherwise.
    Throughout,
    /// It cannot be used, for this reason.
    Nowhere(&'static str),
}

impl Reading {
    /// In words: `reading of "06:46" at 06:50 (case file, line 12)`.
    #[must_use]
    pub fn words(&self) -> String {
        let what = match &self.displayed {
            Some(stamp) => format!("the display read {stamp}"),
            None => "the paper times the record".to_owned(),
        };
        let at = if self.exported { " by the header of the log" } else { "" };
        format!(
            "the reading on line {} of the case file ({what} at {}{at}; {}, {})",
            self.line, self.reference, self.source, self.by
        )
    }

    /// Whether it stands anywhere in the log.
    #[must_use]
    pub fn is_placed(&self) -> bool {
        !matches!(self.placement, Placement::Nowhere(_))
    }

    /// How wide it is.
    #[must_use]
    pub fn width(&self) -> Instant {
        self.latest - self.earliest
    }
}

/// What a reading is before its place in the log is known.
pub(super) struct Given {
    pub(super) reading: Reading,
    pub(super) unit: ReadAt,
    pub(super) after: Option<u64>,
}

/// The readings of a case.
pub(super) fn given(log: &Log, case: &Case) -> Vec<Given> {
    case.readings.iter().map(|stated| one(log, case, stated)).collect()
}

fn one(log: &Log, case: &Case, Stated { value, basis }: &Stated<ClockReading>) -> Given {
    let Saying { source, by, line, .. } = basis;
    let displayed = match &value.unit {
        ReadAt::Displayed(text) => stamp(text),
        ReadAt::Record(_) => None,
    };
    let mut reading = Reading {
        line: *line,
        source: Shown::inert(source),
        by: Shown::inert(by),
        how: value.how.as_deref().map(Shown::inert),
        displayed,
        reference: match &value.reference {
            Reference::Written(time) => Shown::inert(time),
            Reference::Exported => {
                log.header("exported-at").map_or_else(|| Shown::inert("no time"), Value::shown)
            }
        },
        exported: value.reference == Reference::Exported,
        earliest: Instant::default(),
        latest: Instant::default(),
        placement: Placement::Throughout,
    };
    match true_time(log, case, value) {
        Ok((earliest, latest)) => (reading.earliest, reading.latest) = (earliest, latest),
        Err(why) => reading.placement = Placement::Nowhere(why),
    }
    Given { reading, unit: value.unit.clone(), after: value.after_record }
}

/// From when to when the true time of a reading was.
fn true_time(log: &Log, case: &Case, reading: &ClockReading) -> Result<(Instant, Instant), &'static str> {
    let (earliest, latest) = match &reading.reference {
        Reference::Written(time) => {
            written(case, time, reading.zone.as_deref()).ok_or("the zone of its reference time is not stated")?
        }
        Reference::Exported => exported(log).ok_or(
            "the header of the log does not state, as RFC 3339 writes it and with an offset from UTC, when it was exported",
        )?,
    };
    let ns = |ms: i64| Instant::of_ns(i128::from(ms) * MS);
    let within = Instant::of_ns(i128::from(reading.within_seconds) * SECOND);
    Ok((ns(earliest) - within, ns(latest) + within))
}

/// From when to before when a written reference time was, in milliseconds since 1970-01-01T00:00:00Z.
fn written(case: &Case, time: &str, zone: Option<&str>) -> Option<(i64, i64)> {
    let reference = stamp(time)?;
    let zone = hours::zone(case, time.get(..10)?, zone)?;
    // Where the clocks of the place showed an hour twice, both are candidates.
    let (earliest, latest) = zone.instants(reference.ms())?.span()?;
    Some((earliest, latest.checked_add(reference.step_ms())?))
}

/// The same of the time of export that the header of the log states.
fn exported(log: &Log) -> Option<(i64, i64)> {
    let at = DateTime::read(log.header("exported-at")?.text()).filter(|at| at.zoned)?;
    Some((at.ms, at.end()))
}

/// The pair of times that an export makes by itself: the step of the log's last record of an export, and the time of export
/// that the header states. It is no reading until a person says that the two belong together, and within what margin.
#[must_use]
pub fn export_pair<'l>(log: &'l Log, replay: &Replay) -> Option<(usize, Value<'l>)> {
    let stated = log.header("exported-at")?;
    exported(log)?;
    let is_export = |step: &usize| {
        let record = replay.record(*step).and_then(|place| log.records().get(place));
        record.is_some_and(|record| record.event == Event::Export && record.time.is_some())
    };
    (0..replay.steps.len()).rfind(is_export).map(|step| (step, stated))
}

/// The offset of the place on a day: that of the poll of this day, else the one that all polls of the case share.
#[must_use]
pub fn zone_of(case: &Case, date: &str) -> Option<i32> {
    let zones = |of_day: bool| {
        let polls = case.polls.iter().map(|stated| &stated.value);
        let mut zones: Vec<i32> = polls
            .filter(|poll| !of_day || poll.date.as_deref() == Some(date))
            .filter_map(|poll| offset(poll.zone.as_deref()?))
            .collect();
        zones.sort_unstable();
        zones.dedup();
        zones
    };
    match (zones(true).as_slice(), zones(false).as_slice()) {
        ([zone], _) | ([], [zone]) => Some(*zone),
        _ => None,
    }
}

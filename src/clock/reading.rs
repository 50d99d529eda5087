//! Clock readings: what the unit displayed, or which record it made, at what true time; and where in the log each stands.

use super::instant::{Instant, MS, SECOND, length, stamp};
use super::{hours, slip};
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
    /// Whether it is written to the minute, which may be any second of it.
    pub to_the_minute: bool,
    /// How far that may have been off, in seconds, either way.
    pub within: u64,
    /// Whether the reference time is that of the export, from the header of the log.
    pub exported: bool,
    /// The true time was not before this. A reference clock is read to its step, as a unit is: 18:03 give or take nothing
    /// is from 18:03:00 to 18:04:00, 18:03:00 from 18:03:00 to 18:03:01.
    pub earliest: Instant,
    /// The true time was not after this.
    pub latest: Instant,
    /// The same as civil time of the place, in milliseconds since 1970-01-01 00:00:00 of its calendar: what the paper
    /// writes, where it writes that, so that an hour which the clocks of the place showed twice is one hour here. `None` where
    /// the zone of the place is not known.
    pub civil: Option<(i64, i64)>,
    /// Which zone the clocks of the place showed and who states it, in words, where the reference time is written in that; by
    /// what data a zone of its own is known, where it is written in one that has a name.
    pub by_zone: Option<String>,
    /// Whether the paper says that the clock was neither set nor reset between the reading and any record.
    pub not_set: bool,
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
    /// The paper names no record, and says that the clock was neither set nor reset between the reading and any record of
    /// the log; no record says otherwise.
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
            None => "the paper says that the record was made".to_owned(),
        };
        format!(
            "the reading on line {} of the case file ({what} at {}{}, give or take {}; {}, {})",
            self.line,
            self.reference,
            if self.to_the_minute { " (any second of that minute)" } else { "" },
            length(i128::from(self.within) * SECOND),
            self.source,
            self.by
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
            Reference::Written(time) => match &value.zone {
                Some(zone) => Shown::inert(&format!("{time} in the zone {zone}")),
                None => Shown::inert(time),
            },
            Reference::Exported => Shown::inert(&match log.header("exported-at") {
                Some(time) => format!("{} by the header of the log", time.shown()),
                None => "the time of export, which the header does not state".to_owned(),
            }),
        },
        to_the_minute: matches!(&value.reference, Reference::Written(time) if time.len() == 16),
        within: value.within_seconds,
        exported: value.reference == Reference::Exported,
        earliest: Instant::default(),
        latest: Instant::default(),
        civil: None,
        by_zone: None,
        not_set: value.not_set,
        placement: Placement::Throughout,
    };
    match true_time(log, case, value) {
        Ok((earliest, latest)) => {
            (reading.earliest, reading.latest) = (earliest, latest);
            reading.civil = civil(case, value, earliest, latest);
            reading.by_zone = match (&value.reference, &value.zone) {
                (Reference::Written(time), None) => {
                    hours::zone_said(case, time.get(..10).unwrap_or_default())
                }
                (Reference::Written(_), Some(zone)) => hours::by_data(zone),
                (Reference::Exported, _) => None,
            };
        }
        Err(why) => reading.placement = Placement::Nowhere(why),
    }
    Given { reading, unit: value.unit.clone(), after: value.after_record }
}

/// From when to when the true time of a reading was.
fn true_time(log: &Log, case: &Case, reading: &ClockReading) -> Result<(Instant, Instant), &'static str> {
    let (earliest, latest) = match &reading.reference {
        Reference::Written(time) => written(case, time, reading.zone.as_deref())?,
        Reference::Exported => exported(log).ok_or(
            "the header of the log does not state, as RFC 3339 writes it and with an offset from UTC, when it was exported",
        )?,
    };
    let ns = |ms: i64| Instant::of_ns(i128::from(ms) * MS);
    let within = Instant::of_ns(i128::from(reading.within_seconds) * SECOND);
    Ok((ns(earliest) - within, ns(latest) + within))
}

/// From when to before when a written reference time was, in milliseconds since 1970-01-01T00:00:00Z.
fn written(case: &Case, time: &str, zone: Option<&str>) -> Result<(i64, i64), &'static str> {
    let reference = stamp(time).ok_or("its reference time is not one of the calendar")?;
    let day = time.get(..10).unwrap_or_default();
    let zone = hours::zone(case, day, zone).ok_or("the zone of its reference time is not stated")?;
    // Where the clocks of the place showed an hour twice, both are candidates.
    let instants = zone.instants(reference.ms()).ok_or("its reference time is not one of the calendar")?;
    let (earliest, latest) =
        instants.span().ok_or("its reference time lies in an hour that the clocks of the place left out")?;
    Ok((earliest, latest.saturating_add(reference.step_ms())))
}

/// The civil time of the place at a reading, from and to, in milliseconds of its calendar.
fn civil(case: &Case, reading: &ClockReading, earliest: Instant, latest: Instant) -> Option<(i64, i64)> {
    if let (Reference::Written(time), None) = (&reading.reference, &reading.zone) {
        let (at, within) = (stamp(time)?, i64::try_from(reading.within_seconds).ok()?.checked_mul(1000)?);
        return Some((at.ms().checked_sub(within)?, at.ms().checked_add(at.step_ms())?.checked_add(within)?));
    }
    Some(slip::civil(earliest, latest, hours::ahead(case, earliest)?))
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

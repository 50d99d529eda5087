//! Which slips in setting a clock fit the readings on paper: each run of the clock that was read, by itself.

use chrono::{DateTime, Datelike as _, NaiveDateTime};

use super::Sight;
use super::bounds::{grain, runs};
use crate::rehearsal::key::{Draft, How, Spot};

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

/// A clock is right to within this, where the papers state no tolerance.
const RIGHT: i64 = 5 * MINUTE;

/// And a zone is told from its neighbours by less.
const ZONE: i64 = 2 * MINUTE;

/// Readings of one run of the clock.
struct Stretch {
    /// The run, where it is known that the clock ran on.
    run: Option<usize>,
    /// The run that it may be.
    perhaps: Option<usize>,
    /// The record behind which the first of them was taken.
    behind: usize,
    reads: Vec<Read>,
}

/// One reading: what was displayed and what was true, each from and to.
#[derive(Clone, Copy)]
struct Read {
    shown: (i64, i64),
    truly: (i64, i64),
}

impl Read {
    /// Whether the display fits what a clock with a slip shows, `slipped` being that for a moment of the civil time.
    fn fits(&self, near: i64, slipped: impl Fn(i64) -> Option<i64>) -> bool {
        let (Some(one), Some(other)) = (slipped(self.truly.0), slipped(self.truly.1)) else { return false };
        self.shown.0 <= one.max(other) + near && self.shown.1 > one.min(other) - near
    }
}

/// Where the clock was off by more than it may be, and a slip of people or of the clock explains it, that is said.
pub(super) fn conclude(sight: &Sight<'_>, key: &mut Draft) {
    let (runs, grain) = (runs(sight), grain(sight));
    let mut stretches: Vec<Stretch> = Vec::new();
    for super::Read { behind, run, shown, truly, .. } in super::readings(sight, &runs, grain) {
        let read = Read { shown, truly };
        if let Some(stretch) = stretches.iter_mut().find(|stretch| run.is_some() && stretch.run == run) {
            stretch.reads.push(read);
        } else {
            // Behind the last record of a log whose end is open the clock may have run on.
            let ends = runs.get(behind + 1).is_none();
            let perhaps = run.or_else(|| runs.get(behind).copied().filter(|_| ends));
            stretches.push(Stretch { run, perhaps, behind, reads: vec![read] });
        }
    }
    for stretch in &stretches {
        let perhaps = stretches.iter().filter(|other| other.perhaps == stretch.perhaps);
        let together: Vec<Read> = perhaps.flat_map(|other| other.reads.iter().copied()).collect();
        let is_open = stretch.perhaps.is_some() && !constant(&together, 0, RIGHT) && !slipped(&together);
        if constant(&stretch.reads, 0, RIGHT) || !slipped(&stretch.reads) || is_open {
            continue;
        }
        let spots: Vec<Spot> = sight.id(stretch.behind).map(Spot::Of).into_iter().collect();
        let how = [How::Conditional, How::Shown];
        let because = "The readings lie off by what a common slip in setting the clock makes, or one that fits by chance.";
        key.find("clock-slip", &how, &spots, &[], because);
    }
}

fn constant(reads: &[Read], ahead: i64, near: i64) -> bool {
    reads.iter().all(|read| read.fits(near, |at| Some(at + ahead)))
}

/// Whether a slip fits every reading: half a day, summer time, another zone, the day, the year, the century, day and month
/// exchanged, a clock that began anew.
fn slipped(reads: &[Read]) -> bool {
    // Set with another year, a clock runs on from there over leap days of its own.
    let years = |days: [i64; 2]| {
        let set = |by: i64| constant(reads, by * DAY, RIGHT) || constant(reads, -by * DAY, RIGHT);
        days.into_iter().any(set)
    };
    let plain = [12 * HOUR, HOUR, DAY]
        .into_iter()
        .any(|by| constant(reads, by, RIGHT) || constant(reads, -by, RIGHT));
    let zones = (1..=56).map(|quarters| quarters * 15 * MINUTE);
    let zone = zones
        .filter(|by| *by != HOUR && *by != 12 * HOUR)
        .any(|by| constant(reads, by, ZONE) || constant(reads, -by, ZONE));
    let first = reads.iter().map(|read| read.truly.0).min().unwrap_or(0);
    // When it was set is not known; within the three months before it was read.
    let set = (0..=90)
        .map(|days| first - days * DAY)
        .any(|at| exchanged(at).is_some_and(|other| other != at && constant(reads, other - at, RIGHT)));
    let changes = |read: &Read| exchanged(read.truly.0).is_some_and(|other| other != read.truly.0);
    let printed = reads.iter().any(changes) && reads.iter().all(|read| read.fits(RIGHT, exchanged));
    plain || zone || set || printed || years([365, 366]) || years([36_524, 36_525]) || began_anew(reads)
}

/// Whether the clock counts from its base date, which in these lives is the first of January 2020, for less than a year.
fn began_anew(reads: &[Read]) -> bool {
    let year = |at: i64| calendar(at).map(|at| at.year());
    reads.iter().all(|read| year(read.shown.0) == Some(2020) && year(read.truly.0) != Some(2020))
}

fn calendar(ms: i64) -> Option<NaiveDateTime> {
    DateTime::from_timestamp_millis(ms).map(|at| at.naive_utc())
}

/// Day and month exchanged; `None` where the calendar has no such day.
fn exchanged(ms: i64) -> Option<i64> {
    let at = calendar(ms)?;
    let other = chrono::NaiveDate::from_ymd_opt(at.year(), at.day(), at.month())?;
    Some(other.and_time(at.time()).and_utc().timestamp_millis())
}

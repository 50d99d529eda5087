//! The clock: what its readings and its records show of it, by itself and without the hours.

pub(super) mod clock_offset;
pub(super) mod clock_rate;
pub(super) mod clock_reset;
pub(super) mod clock_set_in_poll;
pub(super) mod clock_slip;
mod examples;
pub(super) mod poll_day_not_displayed;
pub(super) mod readings_conflict;

use crate::clock::hours::{date_of, zone_said};
use crate::clock::{Placement, Reading, SECOND, length, slip};
use crate::finding::Place;
use crate::rules::{Known, Ordinary};
use crate::syntax::Stamp;

const PRESIDING: &str = "presiding officer of the station";

/// Displays are tested for slips to within so much, unless less is tolerated: an assumption of this project.
const NEAR_MS: i64 = 300_000;

/// What is said wherever a long silence or a forward jump of the time is spoken of: the records are the same for both.
pub const SILENCE: &str = "A time in which nothing is recorded and a clock that is set forward without a record leave the \
                           same records. The log cannot tell them apart; a reading of the clock after it can.";

/// An explanation that stands with every reading.
const MISREAD: Ordinary = Ordinary::new(
    "The reading is wrong: misread, written down late, or beside a clock that was itself off.",
    "who read it, how, and beside which clock; a reading of the unit made again now",
);

/// What the unit displayed at a reading: what the paper says, or the time of the record that it times.
fn displayed(known: &Known<'_>, reading: &Reading) -> Option<Stamp> {
    match reading.placement {
        Placement::Nowhere(_) => None,
        Placement::Record(step) => known.record(step)?.time,
        _ => reading.displayed,
    }
}

/// Where a reading stands in the log: at the record that it times or follows, else at the log as a whole.
fn place(known: &Known<'_>, reading: &Reading) -> Place {
    match reading.placement {
        Placement::Record(step) | Placement::After { step, .. } => known.place(step),
        _ => Place::Log,
    }
}

/// What was displayed at a reading and the civil time of the place then, each from and to, in milliseconds.
fn shown(known: &Known<'_>, reading: &Reading) -> Option<slip::Shown> {
    let stamp = displayed(known, reading)?;
    Some(slip::Shown { displayed: (stamp.ms(), stamp.ms() + step_ms(known, stamp)), civil: reading.civil? })
}

/// That readings are right, and which zone the clocks of the place showed then: what it rests on to set a display against the
/// civil time.
fn right(known: &Known<'_>, readings: &[&Reading]) -> Vec<String> {
    let of_place = |reading: &&Reading| zone_said(known.case, &date_of(reading.civil?.0)?);
    let mut said: Vec<String> =
        readings.iter().map(|reading| format!("{} is right", reading.words())).collect();
    for zone in readings.iter().flat_map(|reading| [reading.by_zone.clone(), of_place(reading)]).flatten() {
        if !said.contains(&zone) {
            said.push(zone);
        }
    }
    said
}

/// The step of the display: as a time is written, or as all times of the log show it.
fn step_ms(known: &Known<'_>, stamp: Stamp) -> i64 {
    stamp.step_ms().max(known.clock.grain())
}

/// What the header of the log says of the zone of its times, as a sentence: then a display in another zone than that of the
/// place is no slip.
fn header_zone(known: &Known<'_>) -> String {
    known.log.header("clock-zone").map_or_else(String::new, |zone| {
        format!(" The header of the log says that its times are of the zone {}.", zone.shown())
    })
}

/// A length in milliseconds, in words.
fn span(ms: i64) -> String {
    length(i128::from(ms) * (SECOND / 1000))
}

//! The time between votes: a documented least time, the same run twice, uneven digits, a coarse clock.

use crate::finding::Place;
use crate::pace::{Resolution, duration};
use crate::rules::{Known, Want};

pub(super) mod coarse_clock;
pub(super) mod interval_run_repeated;
pub(super) mod last_digit_uneven;
pub(super) mod vote_too_soon;

/// Who knows what the model's clock does.
const MAKER: &str = "maker of the unit, or whoever holds its description";

/// A further export decides what the first one may have changed.
const SECOND_EXPORT: &str = "A second export of the same unit, from whoever holds the unit.";

/// A trial shows what the papers leave open.
const SPECIMEN: &str = "A trial on a unit of the same model and software, timed with a reference clock.";

/// Readings tie the display to true time.
const READINGS: &str =
    "Readings of the unit's clock beside a reference clock, from the officials who noted them.";

/// Why a rule about single seconds cannot speak, where the clock is coarse; `None` where it is not.
fn coarse(known: &Known<'_>) -> Option<Want> {
    let Resolution::Coarse(step) = known.timeline().resolution() else {
        return None;
    };
    Some(Want::Other(
        format!(
            "all displayed times stand on steps of {}, so that single seconds say nothing",
            duration(step)
        ),
        MAKER,
        "how fine the clock of this model is, and whether the export rounds its times".to_owned(),
    ))
}

/// The place of a record on the timeline.
fn place(known: &Known<'_>, at: usize) -> Place {
    known.timeline().ticks().get(at).map_or(Place::Log, |tick| known.place(tick.step))
}

/// The name of a record on the timeline, for a sentence.
fn name(known: &Known<'_>, at: usize) -> String {
    known.timeline().ticks().get(at).map_or_else(String::new, |tick| known.name(tick.step))
}

//! Readings that contradict each other: they are named, and what would follow if one of them alone were right.

use super::between_by;
use super::margins::first_of;
use crate::case::Case;
use crate::clock::{Clock, When};
use crate::rules::Known;

/// So many of them are tried one by one.
const TRIED: usize = 3;

/// Over a longer log than this, of which units keep the last thousand records, they are not tried.
const LONGEST: usize = 10_000;

/// That readings contradict each other, as the beginning of a sentence; empty where none do.
pub(super) fn readings_named(known: &Known<'_>) -> String {
    let lines: Vec<String> = doubted(known).map(|(_, line)| line.to_string()).collect();
    match lines.as_slice() {
        [] => String::new(),
        [line] => format!(
            "the reading on line {line} of the case file does not fit the records beside it and binds nothing"
        ),
        [rest @ .., last] => format!(
            "the readings on lines {} and {last} of the case file contradict each other and bind nothing",
            rest.join(", ")
        ),
    }
}

/// The readings that stand in a conflict: place among the readings, and line of the case file.
fn doubted<'k>(known: &'k Known<'_>) -> impl Iterator<Item = (usize, usize)> + use<'k> {
    let readings = known.clock.readings().iter().enumerate();
    readings.filter(|(place, _)| known.clock.is_doubted(*place)).map(|(place, reading)| (place, reading.line))
}

/// Where the first of some records would lie by each of the readings that contradict each other, taken alone beside those
/// that no conflict touches. It says nothing of which of them is right: all may be wrong.
pub(super) fn told_by_each(known: &Known<'_>, steps: &[usize]) -> String {
    let Some(first) = steps.first() else { return String::new() };
    let mut name = Some(format!(" {} would have been made", first_of(known, steps)));
    let by_each: Vec<String> = alone(known)
        .iter()
        .filter_map(|(line, bounds)| Some((line, bounds.get(*first)?)))
        .filter(|(_, when)| **when != When::default())
        .map(|(line, when)| {
            format!(
                "by that on line {line} alone{} {}",
                name.take().unwrap_or_default(),
                between_by(known.case, when)
            )
        })
        .collect();
    if by_each.is_empty() { String::new() } else { format!("; {}", by_each.join(", ")) }
}

/// The bounds of every step by each of the first readings in a conflict alone.
fn alone<'k>(known: &'k Known<'_>) -> &'k [(usize, Vec<When>)] {
    known.alone.get_or_init(|| {
        if known.replay.steps.len() > LONGEST {
            return Vec::new();
        }
        doubted(known).take(TRIED).map(|(place, line)| (line, by(known, place))).collect()
    })
}

/// The bounds by one reading and those that no conflict touches.
fn by(known: &Known<'_>, one: usize) -> Vec<When> {
    let mut case: Case = known.case.clone();
    let mut place = 0;
    case.readings.retain(|_| {
        let keep = place == one || !known.clock.is_doubted(place);
        place += 1;
        keep
    });
    let clock = Clock::of(known.log, &case, known.unit, known.replay);
    (0..known.replay.steps.len()).map(|step| clock.bounds(step)).collect()
}

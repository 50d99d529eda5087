//! Votes of the poll beside the closing hour, and within an interruption that the papers state.

use std::collections::BTreeMap;

use super::bounds::{Bounds, Within};
use super::{Sight, minute, value};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::{Draft, How, Said, Spot};
use crate::rehearsal::memory::Id;
use crate::rehearsal::unwritten::Unwritten;

const MINUTE: i64 = 60_000;
const DAY: i64 = 24 * 60 * MINUTE;

/// The poll opens at seven and closes at six in the evening.
const OPENS: i64 = 7 * 60 * MINUTE;
const CLOSES: i64 = 18 * 60 * MINUTE;

/// How near to an hour bounds that are reckoned in milliseconds tell nothing.
const NEAR: i64 = 3;

const HOW: [How; 2] = [How::Conditional, How::Shown];

/// Every vote that must have been made after the hour of its day is named, those of one day in one finding.
pub(super) fn after_the_hour(sight: &Sight<'_>, life: &Unwritten, bounds: &Bounds, key: &mut Draft) {
    const RULE: &str = "vote-after-hour";
    let mut late: BTreeMap<i64, Vec<Id>> = BTreeMap::new();
    let mut either_side = false;
    for at in sight.of_phase(life, Phase::Poll, Event::Vote) {
        let (Some(id), Within { earliest, latest }) = (sight.id(at), bounds.at(at)) else { continue };
        let (Some(earliest), Some(latest)) = (earliest, latest) else {
            either_side = true;
            continue;
        };
        let midnight = earliest - earliest.rem_euclid(DAY);
        let closes = midnight + CLOSES;
        if latest > midnight + DAY - NEAR {
            either_side = true;
        } else if (earliest - closes).abs() <= NEAR || (latest - closes).abs() <= NEAR {
            key.free(RULE, "The bounds of a vote end at the hour itself, to the millisecond.");
            return;
        } else if earliest > closes {
            late.entry(midnight).or_default().push(id);
        } else {
            either_side |= latest > closes;
        }
    }
    if late.is_empty() && either_side {
        let because = "Votes lie beside the closing hour, on either side of it by the readings on paper.";
        key.answer(RULE, &[Said::CannotBeTold, Said::DoesNotApply], because);
    }
    for votes in late.values() {
        let spots: Vec<Spot> = votes.iter().map(|id| Spot::Of(*id)).collect();
        let because =
            "Some who stood in the queue at the hour voted after it, as they may; the readings show it.";
        key.find(RULE, &HOW, &spots, &[], because);
    }
}

/// Every record of a mock poll that must have been made within the hours, unless the unit took another's place.
pub(super) fn mock_poll(sight: &Sight<'_>, life: &Unwritten, bounds: &Bounds, key: &mut Draft) {
    if life.papers.rows.iter().any(|row| row.keys.iter().any(|key| key.contains("unit-took-anothers-place")))
    {
        return;
    }
    let mut late: BTreeMap<i64, Vec<Spot>> = BTreeMap::new();
    for event in [Event::Vote, Event::Close, Event::Result, Event::Clear] {
        for at in sight.of_phase(life, Phase::MockPoll, event) {
            let Within { earliest: Some(earliest), latest: Some(latest) } = bounds.at(at) else { continue };
            let midnight = earliest - earliest.rem_euclid(DAY);
            if earliest > midnight + OPENS && latest <= midnight + CLOSES {
                late.entry(midnight).or_default().extend(sight.id(at).map(Spot::Of));
            }
        }
    }
    for spots in late.values() {
        let because = "By the readings these records of the mock poll lie within the hours.";
        key.find("mock-poll-in-hours", &HOW, spots, &[], because);
    }
}

/// Every vote that must have been made while the papers say that the poll was interrupted.
pub(super) fn in_interruption(sight: &Sight<'_>, life: &Unwritten, bounds: &Bounds, key: &mut Draft) {
    for row in life.papers.rows.iter().filter(|row| row.table == "interruption") {
        let end = |word: &str| row.keys.iter().find_map(|text| minute(value(text, word)?));
        let (Some(from), Some(to)) = (end("from"), end("to")) else { continue };
        // People write a minute as it begins or as it ends.
        let (from, to) = (from + MINUTE, to - MINUTE);
        let votes = sight.of_phase(life, Phase::Poll, Event::Vote);
        let inside = |at: &usize| {
            let Within { earliest, latest } = bounds.at(*at);
            earliest.is_some_and(|earliest| earliest > from) && latest.is_some_and(|latest| latest < to)
        };
        let spots: Vec<Spot> =
            votes.into_iter().filter(inside).filter_map(|at| sight.id(at)).map(Spot::Of).collect();
        if !spots.is_empty() {
            let because = "By the readings these votes lie in the interruption that the papers state.";
            key.find("vote-in-interruption", &HOW, &spots, &[], because);
        }
    }
}

//! The day whose poll a close ends: not always the day on which it was made, for a unit may be closed after midnight.

use super::{PRESIDING, before, between, day_of, surely_before};
use crate::case::Phase;
use crate::clock::hours::Day;
use crate::event::Event;
use crate::rules::{Known, Want};

/// Why a close that was made on a day, and not surely behind its hours, may end the poll of another; `None` where a vote of
/// the poll was surely recorded on that day before it.
pub(super) fn of_another_day(
    known: &Known<'_>,
    (days, only): (&[Day], Option<&Day>),
    day: &Day,
    close: usize,
) -> Option<Want> {
    let vote = known.vote_of_poll_before(close);
    let of = vote.and_then(|vote| day_of(days, &known.clock.bounds(vote)).or(only));
    if of.is_some_and(|of| of.date == day.date) && !is_of_night(known, day, vote, close) {
        return None;
    }
    let voted = vote.map_or_else(
        || "no vote of the poll is seen before it".to_owned(),
        |vote| {
            format!("the last vote before it, {}, was recorded {}", known.name(vote), between(known, vote))
        },
    );
    Some(Want::Other(
        format!(
            "{} was made {}, not after the hours of {}; {voted}, so that it may be the close of a poll of the day before",
            known.name(close),
            between(known, close),
            day.date
        ),
        PRESIDING,
        "the diary: when the unit was closed, and for the poll of which day".to_owned(),
    ))
}

/// Whether the last vote before a close, made before the day opened, may belong to a poll that began on an earlier day.
fn is_of_night(known: &Known<'_>, day: &Day, vote: Option<usize>, close: usize) -> bool {
    let Some(vote) = vote else { return false };
    let since = known.between(Event::Close, 0, close).next_back().unwrap_or(0);
    let first = known.between(Event::Vote, since, close).find(|step| known.is_labelled(*step, Phase::Poll));
    let when = known.clock.bounds(vote);
    let is_before_opening = day.parts.iter().all(|part| before(part, &when));
    is_before_opening && first.is_some_and(|first| surely_before(&known.clock.bounds(first), day.begins))
}

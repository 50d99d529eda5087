//! The day whose poll a close ends: not always the day on which it was made, for a unit may be closed after midnight.

use super::night::{self, Began, Night};
use super::{PRESIDING, REGISTRAR, between, day_of};
use crate::clock::hours::Day;
use crate::rules::{Known, Want};

/// That a close which was made on a day, and not surely behind its hours, ends the poll of that day, and what that rests on
/// besides the records; or why it may end the poll of another.
pub(super) fn of_the_day(
    known: &Known<'_>,
    night: &Night,
    (days, only): (&[Day], Option<&Day>),
    day: &Day,
    close: usize,
) -> Result<Option<Began>, Want> {
    let vote = known.vote_of_poll_before(close);
    let mut asks =
        vec![(PRESIDING, "the diary: when the unit was closed, and for the poll of which day".to_owned())];
    let of = vote.and_then(|vote| day_of(days, &known.clock.bounds(vote)).or(only));
    let mut reason = String::new();
    if let Some(vote) = vote.filter(|_| of.is_some_and(|of| of.date == day.date)) {
        match night.told(known, (day, only), vote) {
            Ok(began) => return Ok(began),
            Err(untold) => {
                reason = format!(" ({})", night::why(known, &untold));
                asks.extend(night::asks(known, &untold));
            }
        }
    }
    let voted = vote.map_or_else(
        || "no vote of the poll is seen before it".to_owned(),
        |vote| {
            format!("the last vote before it, {}, was recorded {}", known.name(vote), between(known, vote))
        },
    );
    Err(Want::Several(
        format!(
            "{} was made {}, not after the hours of {}; {voted}, so that it may be the close of a poll of the day before{reason}",
            known.name(close),
            between(known, close),
            day.date
        ),
        asks,
    ))
}

/// That a day has a part whose closing hour no row states.
pub(super) fn not_every_closing_hour(known: &Known<'_>, day: &Day, close: usize) -> Want {
    Want::Other(
        format!(
            "{} was made {}, and the case file does not state every closing hour of {}",
            known.name(close),
            between(known, close),
            day.date
        ),
        REGISTRAR,
        "the closing hour of every part of the poll (case file: [[poll]], closes)".to_owned(),
    )
}

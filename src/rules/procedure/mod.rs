//! The order of events and the procedure around a poll.

use crate::event::Event;
use crate::replay::Deviation;
use crate::rules::{Against, Known, Ordinary, Walk};

pub(super) mod ballot_unit_changed_in_poll;
pub(super) mod candidates_not_the_cases;
pub(super) mod candidates_set_with_votes;
pub(super) mod clear_before_result;
pub(super) mod cover_opened;
pub(super) mod enable_after_close;
pub(super) mod enable_pending_at_close;
pub(super) mod event_while_off;
pub(super) mod memory_cleared_before_count;
pub(super) mod mock_poll_not_cleared;
pub(super) mod mock_poll_too_small;
pub(super) mod no_close;
pub(super) mod no_lawful_course;
pub(super) mod no_mock_poll;
pub(super) mod power_lost;
pub(super) mod result_before_close;
pub(super) mod self_test_failed_and_voting_went_on;
pub(super) mod two_enables;
pub(super) mod vote_after_close;
pub(super) mod vote_on_unlinked_ballot_unit;
pub(super) mod vote_without_enable;
pub(super) mod zero_not_shown;

/// Openings where the front is open: the poll may have been opened before the first record.
const STILL_HELD: &str = "first enables of a poll that the log still holds";

/// A further export decides what the first one may have lost.
const SECOND_EXPORT: &str = "A second export of the same unit, from whoever holds the unit.";

/// The officer's own notes of the day.
const DIARY: &str = "The presiding officer's diary for this time, from the registrar of the constituency.";

/// The paper slips, counted.
const SLIPS: &str =
    "The paper slips, where a paper-trail unit was used: their number against the votes recorded.";

/// What the maker says about the model.
const MAKER: &str = "The maker's description of the model, for how it records this event.";

/// A record may be missing from the export.
const LOST_RECORD: Ordinary = Ordinary::new(
    "A record that belongs here was lost when the log was written out.",
    "the record numbers on both sides, and a second export of the unit",
)
.against(Against::NumbersFollow)
.against(Against::NumbersFollow);

/// The description may not fit the model.
const OTHER_MODEL: Ordinary = Ordinary::new(
    "This model works otherwise than the unit description says.",
    "the maker's description of the model, and a trial on a unit of the same model",
);

/// A label of the case file may be wrong.
const OTHER_RECORDS: Ordinary = Ordinary::new(
    "The case file takes the wrong records for the poll or the mock poll.",
    "the diary's times of mock poll, opening and close, set against the displayed times",
);

/// The stretch of a deviation, for the beginning of a sentence.
fn stretch(known: &Known<'_>, deviation: &Deviation) -> String {
    let last = known.name(deviation.last);
    if deviation.needs_closed_front {
        format!("From the first record of this log to {last}")
    } else {
        format!("From {} to {last}", known.name(deviation.first))
    }
}

/// Every record of an event that no contradiction rests on is in order as far as the order of events goes.
fn others_in_order(known: &Known<'_>, walk: &mut Walk<'_>, event: Event) {
    for step in known.steps_of(event).iter().filter(|step| !known.in_conflict(**step)) {
        walk.in_order(known.place(*step));
    }
}

//! Numbers that the unit showed around a vote that an account would leave out.

use super::{Conflict, record};
use crate::counts::{Around, counted, numbers_told};
use crate::event::Event;
use crate::examination::Examination;
use crate::replay::Edit;

/// For each vote that every account of a conflict leaves out: what the unit showed before it and behind it, where these
/// numbers agree with the vote having been counted, or with its not having been.
pub(in crate::report) fn shown_around(examination: &Examination<'_>, conflict: &Conflict<'_>) -> Vec<String> {
    let common = conflict.parts.iter().flat_map(|part| &part.common);
    let left_out = common.filter_map(|edit| match edit {
        Edit::Extra { at } if record(examination, *at).is_some_and(|record| record.event == Event::Vote) => {
            Some(*at)
        }
        _ => None,
    });
    left_out.filter_map(|vote| of_vote(examination, vote)).collect()
}

fn of_vote(examination: &Examination<'_>, vote: usize) -> Option<String> {
    let (log, replay) = (examination.log, &examination.replay);
    let around = Around::of(log, replay, vote)?;
    let agrees = match around.votes {
        votes if around.grew_by(votes) => "agree with this vote having been counted",
        votes if votes > 0 && around.grew_by(votes - 1) => "agree with one vote not having been counted",
        _ => return None,
    };
    let told = |numbers: &[(usize, u64)]| numbers_told(log, replay, numbers);
    let between = counted(around.votes, "vote is recorded between", "votes are recorded between");
    Some(format!(
        "The numbers that the unit showed {agrees}: {} before {}, {} behind it; {between}. No account here uses them.",
        told(&[around.before]),
        super::name(examination, vote),
        told(&around.behind),
    ))
}

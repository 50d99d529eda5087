//! The mock polls that a log holds, each with its number of votes.

use super::polls::View;
use super::{Doubt, Interval};
use crate::case::Phase;
use crate::event::Event;

/// Mock polls, and whether one may have gone unseen.
pub(super) struct Mocks {
    /// The votes of each, with the last vote that the case file calls so.
    pub(super) polls: Vec<(Interval, Option<usize>)>,
    /// Why more may have been held than are seen; `None` where all were seen.
    pub(super) unseen: Option<Doubt>,
}

/// The mock polls of a log. Whatever comes before the last vote or enable of a poll, or before the last vote of a labelled
/// mock poll, may be one where no label says otherwise. (A poll may have begun in which nobody had voted yet.)
pub(super) fn mocks(view: View<'_>) -> Mocks {
    let end = view.replay.steps.len();
    let vote = |step: &usize| view.event(*step) == Some(Event::Vote);
    let of_poll = |step: &usize| {
        matches!(view.event(*step), Some(Event::Vote | Event::Enable)) && view.is_labelled(*step, Phase::Poll)
    };
    let of_mock = |step: &usize| vote(step) && view.is_labelled(*step, Phase::MockPoll);
    let last = (0..end).rfind(of_poll);
    let until = last.max((0..end).rfind(of_mock)).filter(|_| last.is_some()).map_or(end, |step| step + 1);
    let mut polls = Vec::new();
    for cycle in &view.replay.cycles {
        let within = cycle.steps.start..cycle.steps.end.min(until);
        let votes: Vec<usize> =
            within.filter(vote).filter(|step| view.may_be(*step, Phase::MockPoll)).collect();
        let sure: Vec<usize> =
            votes.iter().copied().filter(|step| view.is_labelled(*step, Phase::MockPoll)).collect();
        if votes.is_empty() {
            continue;
        }
        let open_front = !cycle.begin.is_seen();
        let blind = view.blind_in(cycle.steps.clone()).is_some();
        let most = if open_front || blind { None } else { Some(votes.len() as u64) };
        polls.push((Interval::from_to(sure.len() as u64, most), sure.last().copied()));
    }
    let unseen = if !view.replay.front.is_closed() {
        Some(Doubt::Front)
    } else if let Some(blind) = view.blind_in(0..until) {
        Some(Doubt::Blind(blind))
    } else if last.is_none() && !view.replay.back.is_closed() {
        Some(Doubt::Back)
    } else {
        None
    };
    Mocks { polls, unseen }
}

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

/// The mock polls of a log. Whatever comes before the last vote of a poll may be one where no label says otherwise.
pub(super) fn mocks(view: View<'_>) -> Mocks {
    let end = view.replay.steps.len();
    let vote = |step: &usize| view.event(*step) == Some(Event::Vote);
    let last = (0..end).rev().find(|step| vote(step) && view.is_labelled(*step, Phase::Poll));
    let until = last.unwrap_or(end);
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

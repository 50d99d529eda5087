//! The mock polls that a log holds, each with its number of votes.

use super::polls::View;
use super::{Doubt, Interval};
use crate::case::Phase;
use crate::event::Event;

/// A mock poll, or what may be one.
#[derive(Clone, Copy)]
pub(super) struct Mock {
    /// Its votes.
    pub(super) votes: Interval,
    /// The last vote that the case file calls so.
    pub(super) last: Option<usize>,
    /// The first and the last vote that may belong to it.
    reach: (usize, usize),
}

/// Mock polls, and whether one may have gone unseen.
pub(super) struct Mocks {
    pub(super) polls: Vec<Mock>,
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
        let reach = votes.first().copied().zip(votes.last().copied()).unwrap_or_default();
        let votes = Interval::from_to(sure.len() as u64, most);
        polls.push(Mock { votes, last: sure.last().copied(), reach });
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

impl Mocks {
    /// The mock polls before one of several polls, and behind the one before it, which ended at `from`: whatever was recorded
    /// earlier was for another.
    pub(super) fn of(&self, view: View<'_>, from: usize, until: usize) -> Mocks {
        let is_of = |mock: &&Mock| mock.reach.1 >= from && mock.reach.0 <= until;
        let polls = self.polls.iter().filter(is_of).copied().collect();
        Mocks { polls, unseen: view.blind_in(from..until).map(Doubt::Blind) }
    }
}

//! The mock polls that a log holds, each with its number of votes.

use super::ledger::{Balance, Outcome, Source};
use super::polls::Poll;
use super::sheet::{Sheet, plus};
use super::view::View;
use super::{Doubt, Interval, Rest};
use crate::case::{CountOf, Phase};
use crate::event::Event;

const OF_ITS_DAY: &str = "each mock poll was held for the poll that followed it";

/// A mock poll, or what may be one.
#[derive(Clone)]
pub(super) struct Mock {
    /// How many votes it may have.
    votes: Interval,
    /// Its votes that the case file calls so.
    sure: Vec<usize>,
    /// The first and the last vote that may belong to it.
    reach: (usize, usize),
}

/// Mock polls, and whether one may have gone unseen.
pub(super) struct Mocks {
    polls: Vec<Mock>,
    /// Why more may have been held than are seen; `None` where all were seen.
    pub(super) unseen: Option<Doubt>,
    /// Whether all were seen because nothing was recorded behind the last record.
    closed: bool,
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
        polls.push(Mock { votes, sure, reach });
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
    let closed = last.is_none() && unseen.is_none();
    Mocks { polls, unseen, closed }
}

impl Mocks {
    /// The mock polls before one of several polls, and behind the one before it, which ended at `from`: whatever was recorded
    /// earlier was for another.
    pub(super) fn of(&self, view: View<'_>, from: usize, until: usize) -> Mocks {
        let is_of = |mock: &&Mock| mock.reach.1 >= from && mock.reach.0 <= until;
        let polls = self.polls.iter().filter(is_of).cloned().collect();
        Mocks { polls, closed: false, unseen: view.blind_in(from..until).map(Doubt::Blind) }
    }

    /// The number of votes in the log that a paper's number is set against, in words: that of one mock poll or of all together
    /// which agrees with it, else the one that comes closest. Of several that do not agree all are told.
    fn beside(&self, noted: Interval) -> (String, Interval) {
        let words = "votes of the mock poll in the log";
        let all = self.polls.iter().fold(Interval::ZERO, |sum, mock| sum.plus(mock.votes));
        let own: Vec<Interval> = self.polls.iter().map(|mock| mock.votes).chain([all]).collect();
        let fits = |votes: &Interval| !votes.meet(noted).is_empty();
        let exact = |votes: &Interval| votes.only().is_some() && votes.only() == noted.only();
        if let Some(votes) =
            own.iter().find(|votes| exact(votes)).or_else(|| own.iter().find(|votes| fits(votes)))
        {
            return (words.to_owned(), *votes);
        }
        if self.unseen.is_some() {
            return (words.to_owned(), Interval::SOME);
        }
        let apart = |votes: &Interval| {
            let by = votes.exceeds_by(noted);
            by.least.filter(|least| *least > 0).or(by.most.map(|most| -most)).unwrap_or(i128::MAX)
        };
        let closest = own.iter().copied().min_by_key(apart).unwrap_or(all);
        let several = (self.polls.len() > 1).then(|| {
            let each: Vec<String> = self.polls.iter().map(|mock| mock.votes.to_string()).collect();
            format!("{words}, the closest of {} in its mock polls and {all} together", each.join(", "))
        });
        (several.unwrap_or_else(|| words.to_owned()), closest)
    }
}

/// The votes of the mock poll as noted: they must be those of one mock poll, or of all of them. Of several polls each has its
/// own.
pub(super) fn mock_votes(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll, held: &Mocks, from: usize) {
    let Some(noted) = sheet.paper(CountOf::MockVotes) else { return };
    let (words, value) = held.beside(sheet.value(noted));
    let doubt = held.unseen.clone().unwrap_or(Doubt::Label(Phase::MockPoll));
    let steps: Vec<usize> = held.polls.iter().flat_map(|mock| mock.sure.iter().copied()).collect();
    let at = steps.last().copied().or(Some(poll.labelled));
    let lasts = held.polls.iter().filter_map(|mock| mock.sure.last().copied()).collect();
    let seen = sheet.put(&words, value, Source::Records(lasts), Some(doubt));
    let mut rests: Vec<Rest> = sheet.paper_rest(noted).into_iter().collect();
    // Without any vote of it, that there was a mock poll at all is what the case file says.
    let mock = |step: &usize| view.is_labelled(*step, Phase::MockPoll);
    let first = (0..view.replay.steps.len()).find(mock).filter(|_| steps.is_empty());
    rests.push(Rest::Labels(steps.into_iter().chain(first).collect(), Phase::MockPoll));
    rests.push(Rest::LabelsBeside(from..at.map_or(poll.until, |at| at.max(poll.until)), Phase::MockPoll));
    rests.push(Rest::Labels(vec![poll.labelled], Phase::Poll));
    if poll.day.is_some() {
        rests.extend(poll.which());
        rests.push(Rest::Unstated(OF_ITS_DAY));
    }
    rests.extend((from == 0).then_some(Rest::Front));
    rests.extend(held.closed.then_some(Rest::Back));
    rests.extend(view.has_gap(from..poll.until).then_some(Rest::Numbering));
    sheet.balance(Balance {
        rule: "mock-votes-differ",
        words: "the votes noted for the mock poll are those recorded in it",
        at,
        left: vec![plus(noted)],
        right: vec![plus(seen)],
        of_shown: false,
        rests,
        outcome: Outcome::Within,
    });
}

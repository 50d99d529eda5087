//! Votes on one side of a stated time: surely, and possibly by the clock's bounds; set against turnouts and tokens.

use std::ops::Range;

use super::polls::Poll;
use super::view::View;
use super::{Doubt, Interval, Rests, Since};
use crate::case::{CountOf, Phase, Stated, Turnout};
use crate::clock::{Instant, Placed, SECOND, hours};
use crate::event::Event;

/// Votes of one poll on one side of a time that a paper states.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timed {
    /// The place of the poll among the polls of the log.
    pub poll: usize,
    /// Steps of the votes that are surely on that side; after the closing hour, of those released after it.
    pub surely: Vec<usize>,
    /// Step of the first vote that is surely not.
    pub beyond: Option<usize>,
    /// Votes of the poll that lie in a conflict and are not counted, and of which it is not sure that they are not.
    pub left_out: Vec<usize>,
    /// What their number rests on besides the records.
    pub rests: Rests,
    /// The first record that is surely not on that side, of any kind.
    pub after: Option<usize>,
    /// Whether it rests on it that nothing was recorded behind the last record.
    pub closed: bool,
    /// How many votes there may be on that side.
    pub votes: Interval,
    /// Why their number is not known exactly, where it is not.
    pub doubt: Option<Doubt>,
}

/// The votes recorded by the time at which each turnout of the case file was noted, in its order; or why they cannot be
/// counted.
pub(super) fn turnouts(view: View<'_>, polls: &[Poll]) -> Vec<Result<Timed, Doubt>> {
    view.case.turnout.iter().map(|noted| turnout(view, polls, noted).ok_or(Doubt::NoHour)).collect()
}

/// A turnout may or may not count votes cast as tests, so that they widen its lower end.
fn turnout(view: View<'_>, polls: &[Poll], noted: &Stated<Turnout>) -> Option<Timed> {
    let noted = &noted.value;
    let date: String = noted.at.chars().take(10).collect();
    let place = polls.iter().position(|poll| poll.day.as_deref().is_none_or(|day| day == date))?;
    let poll = polls.get(place)?;
    hours::zone(view.case, &date, None)?;
    let (earliest, latest) = hours::instants(view.case, &noted.at, None)?;
    let within = i128::from(noted.within_seconds) * SECOND;
    // A time to the minute may mean any instant of that minute.
    let minute = if noted.at.len() == 16 { 60 * SECOND } else { 0 };
    let (from, to) = (Instant::of_ns(earliest.ns() - within), Instant::of_ns(latest.ns() + within + minute));
    let placed = |step: usize| view.clock.bounds(step).placed(Some(from), Some(to));
    // Where a poll went on for days, what was noted may be the number of the day alone.
    let only = hours::days(view.case).iter().any(|day| day.date == date && day.only.is_some());
    let (_, begins) = hours::midnight(view.case, &date, None)?;
    let of_the_day = |step: usize| {
        !view.is_of_another_day(step, &date)
            && (only || view.clock.bounds(step).placed(Some(begins), None) == Placed::Inside)
    };
    // What was recorded behind the first record that is surely later says nothing of what was recorded by then.
    let end = behind_all(view, poll, |step| placed(step) == Placed::After);
    let tally = end.map_or(poll.tally, |end| view.memory.whole_before(end));
    let end = end.unwrap_or(poll.steps.end);
    let begin = match tally.since {
        Since::Front => 0,
        Since::Clear(step) | Since::Shown(step) | Since::Blind(step) => step + 1,
    };
    let (mut surely, mut beyond, mut possibly, mut earlier) = (Vec::new(), None, 0_i128, false);
    for step in (begin..poll.steps.end).filter(|step| view.event(*step) == Some(Event::Vote)) {
        let at = placed(step);
        if at == Placed::After {
            beyond = beyond.or(Some(step));
            continue;
        }
        possibly += 1;
        if at == Placed::Before && view.is_labelled(step, Phase::Poll) {
            if of_the_day(step) {
                surely.push(step);
            } else {
                earlier = true;
            }
        }
    }
    let tests = view.case.counts.iter().filter(|count| count.value.what == CountOf::TestVotes);
    let tests: u64 = tests.map(|count| count.value.most).fold(0, u64::saturating_add);
    // A log that ends before the noted time, with the poll still open, does not hold all that was recorded by then. Only
    // a close of the poll itself ends it: its cycle may hold that of a mock poll too.
    let after = (begin..poll.steps.end).find(|step| placed(*step) == Placed::After);
    let reaches = poll.steps.end < view.replay.steps.len()
        || poll.anchor.is_some_and(|anchor| anchor >= begin)
        || after.is_some();
    let closed = !reaches && view.replay.back.is_closed();
    let blind = view.blind_in(begin..end).map(Doubt::Blind);
    let unseen = blind.or((!reaches && !closed).then_some(Doubt::Back));
    let before = view.memory.before.get(begin).copied().unwrap_or(Interval::SOME);
    let least = i128::try_from(surely.len()).unwrap_or(i128::MAX).saturating_sub(i128::from(tests)).max(0);
    let most = before.most.filter(|_| unseen.is_none()).map(|before| before + possibly);
    let votes = Interval { least: Some(least), most };
    let doubt = match unseen {
        _ if votes.only().is_some() => None,
        Some(doubt) => Some(doubt),
        None if before.only().is_none() => Some(Doubt::Front),
        None if earlier => Some(Doubt::OfTheDay),
        None if most == Some(least + i128::from(tests)) => Some(Doubt::Tests),
        None => Some(Doubt::NotTimed),
    };
    let left_out = in_conflict(view, poll.steps.start..end, |step| placed(step) != Placed::After);
    Some(Timed { poll: place, surely, beyond, left_out, rests: tally.rests(), after, closed, votes, doubt })
}

/// The votes among the records of a poll that lie in a conflict.
fn in_conflict(view: View<'_>, steps: Range<usize>, may_be: impl Fn(usize) -> bool) -> Vec<usize> {
    let is_vote = |step: &usize| {
        let record = view.replay.record(*step).and_then(|place| view.log.records().get(place));
        record.is_some_and(|record| record.event == Event::Vote)
    };
    let votes = steps.filter(is_vote).filter(|step| view.event(*step).is_none());
    votes.filter(|step| view.may_be(*step, Phase::Poll) && may_be(*step)).collect()
}

/// The first record of a poll that is surely behind a time, where every record from it on is that by its own bounds too. One
/// in a conflict has none: it must be displayed later, for it may stand in the wrong place.
fn behind_all(view: View<'_>, poll: &Poll, is_behind: impl Fn(usize) -> bool) -> Option<usize> {
    let time = |step: usize| {
        let record = view.replay.record(step).and_then(|place| view.log.records().get(place));
        record.map(|record| record.time)
    };
    let first = poll.steps.clone().find(|step| view.event(*step).is_some() && is_behind(*step))?;
    let displayed = time(first).flatten()?;
    let rest = |step: usize| match (view.event(step), time(step)) {
        (Some(_), _) => is_behind(step),
        (None, Some(time)) => time.is_some_and(|time| time >= displayed),
        (None, None) => true,
    };
    (first..poll.steps.end).all(rest).then_some(first)
}

/// The enable that released a vote: the last before it, with no vote and nothing unseen between; `None` where that is not
/// seen.
fn released_by(view: View<'_>, from: usize, vote: usize) -> Option<usize> {
    (from..vote)
        .rev()
        .take_while(|step| !view.is_blind(*step))
        .find(|step| {
            matches!(
                view.event(*step),
                Some(Event::Enable | Event::Vote | Event::Clear | Event::EnableLapsed)
            )
        })
        .filter(|step| view.event(*step) == Some(Event::Enable))
}

/// The votes of each poll whose voter was released after its closing hour; or why they cannot be counted.
pub(super) fn after_hour(view: View<'_>, polls: &[Poll]) -> Vec<Result<Timed, Doubt>> {
    let of = |(place, poll)| after_hour_of(view, place, poll).ok_or(Doubt::NoHour);
    polls.iter().enumerate().map(of).collect()
}

fn after_hour_of(view: View<'_>, place: usize, poll: &Poll) -> Option<Timed> {
    let of_this = |day: Option<&str>| poll.day.is_none() || poll.day.as_deref() == day;
    let mut stated = view.case.polls.iter().filter(|stated| of_this(stated.value.date.as_deref()));
    let only = stated.next().filter(|_| stated.next().is_none())?;
    let (date, closes) = (only.value.date.as_ref()?, only.value.closes.as_ref()?);
    let (earliest, latest) =
        hours::instants(view.case, &format!("{date} {closes}"), only.value.zone.as_deref())?;
    // An hour that the zone repeats has two instants: surely after is after both, surely before is before both.
    let by = |step: usize, hour| view.clock.bounds(step).placed(None, Some(hour));
    // A vote of another day is none of those who waited at the hour of this.
    let day = hours::days(view.case).into_iter().find(|day| day.date == *date)?;
    let of_the_day = |step: usize| {
        !view.is_of_another_day(step, date)
            && (day.only.is_some()
                || view.clock.bounds(step).placed(None, Some(day.ends_from)) == Placed::Inside)
    };
    let (mut surely, mut beyond, mut perhaps, mut later) = (Vec::new(), None, 0_i128, false);
    for step in poll.votes.iter().copied() {
        // Who was released by the hour was at the unit then, and needed no token for a vote that fell after it.
        let enable = released_by(view, poll.steps.start, step);
        if by(step, earliest) == Placed::Inside {
            beyond = beyond.or(Some(step));
        } else if enable.is_some_and(|enable| by(enable, latest) == Placed::After) {
            if of_the_day(step) {
                surely.push(step);
            } else {
                (perhaps, later) = (perhaps + 1, true);
            }
        } else if enable.is_none_or(|enable| by(enable, earliest) != Placed::Inside) {
            perhaps += 1;
        }
    }
    let is_unlabelled = |step: usize| {
        view.may_be(step, Phase::Poll)
            && !view.is_labelled(step, Phase::Poll)
            && by(step, earliest) != Placed::Inside
    };
    let within = poll.steps.start..poll.until;
    let unlabelled = poll.votes.is_empty()
        || within.clone().any(|step| view.event(step) == Some(Event::Vote) && is_unlabelled(step));
    let cycle = view.replay.cycles.iter().find(|cycle| cycle.steps.contains(&poll.labelled));
    let begins_late = cycle.is_none_or(|cycle| !cycle.begin.is_seen())
        && !(0..poll.until).any(|step| by(step, earliest) == Placed::Inside);
    let unseen = match view.blind_in(within) {
        Some(blind) => Some(Doubt::Blind(blind)),
        None if poll.anchor.is_none() && !view.replay.back.is_closed() => Some(Doubt::Back),
        None if unlabelled => Some(Doubt::Label(Phase::Poll)),
        // The log may begin behind the hour, and votes before its first record may lie behind it too.
        None => begins_late.then_some(Doubt::Front),
    };
    let least = i128::try_from(surely.len()).unwrap_or(i128::MAX);
    let most = unseen.is_none().then(|| least.saturating_add(perhaps));
    let open = if later { Doubt::OfTheDay } else { Doubt::NotTimed };
    let doubt = (perhaps > 0).then_some(open).or(unseen);
    let votes = Interval { least: Some(least), most };
    let left_out = in_conflict(view, poll.steps.clone(), |step| by(step, earliest) != Placed::Inside);
    let rests = poll.tally.rests();
    Some(Timed { poll: place, surely, beyond, left_out, rests, after: None, closed: false, votes, doubt })
}

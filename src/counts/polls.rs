//! The polls that a log holds: where each lies, what was in memory at its close, and what of that was no vote of the poll.

use std::collections::BTreeMap;
use std::ops::Range;

use super::memory::{Fit, Rests, Tally};
use super::view::View;
use super::{Doubt, Interval, Rest};
use crate::case::{Case, Phase, Saying};
use crate::event::Event;
use crate::replay::{Bound, Cycle};

const ONE_POLL: &str = "these numbers and these records are of one poll; the case file states no other";
const BY_DAYS: &str = "the polls in this log follow each other as the days that the case file states";

/// One poll in the log.
#[derive(Debug, Clone)]
pub struct Poll {
    /// Its day, where the case file tells several polls apart.
    pub day: Option<String>,
    /// A record of each poll of the log that the case file calls so, where it tells several apart by the order of their days.
    pub apart: Vec<usize>,
    /// Where it tells several apart: each of these days, and who first says of it that a poll was held then.
    pub days: Vec<(String, Saying)>,
    /// The steps of its cycle.
    pub steps: Range<usize>,
    /// A record of it that the case file calls the poll.
    pub labelled: usize,
    /// The last vote or enable of it that the case file calls the poll; where there is none, the same.
    pub last: usize,
    /// The record after which its number of votes is fixed: the close, else the first result.
    pub anchor: Option<usize>,
    /// The step up to which it reaches.
    pub until: usize,
    /// Where no such record is: whether all of the unit's memory was seen up to its clear or to the end of the log.
    pub ends: Option<Bound>,
    /// The record that shows the most of its number of votes.
    pub at: usize,
    /// Votes in memory at the anchor; without one, at its end or more.
    pub memory: Interval,
    /// Votes counted since the clear or the front, numbers shown left aside.
    pub tally: Tally,
    /// What the number of votes in memory rests on besides the records.
    pub rests: Rests,
    /// What it rests on that all of the poll from its clear to the anchor was seen.
    pub seen: Rests,
    /// Whether numbers that the unit showed do not agree with each other or with its votes.
    pub in_doubt: bool,
    /// Why what was recorded behind the anchor may show another number; `None` where it was seen, or there is no anchor.
    pub unsettled: Option<Doubt>,
    /// What makes a number shown at the anchor the last word, besides the records: that a result was that of the count, or that
    /// nothing was recorded behind the last record.
    pub last_word: Option<Rest>,
    /// Votes of a mock poll in the same memory.
    pub mock: Interval,
    /// Enables that no vote followed, and why their number is not known where it is not.
    pub lapses: (Interval, Option<Doubt>),
    /// The enables that no vote followed.
    pub lapsed: Vec<usize>,
    /// Votes that the case file calls votes of the poll.
    pub votes: Vec<usize>,
}

impl Poll {
    /// What ties the records to the poll: that they are of it, as the case file says, and so the record at which its number of
    /// votes is fixed.
    pub(super) fn labels(&self, view: View<'_>) -> Vec<Rest> {
        let own = |steps: &[usize]| Rest::Labels(steps.to_vec(), Phase::Poll);
        match self.anchor {
            Some(close) if view.event(close) == Some(Event::Close) => vec![own(&[close])],
            Some(result) if view.is_labelled(result, Phase::Poll) => vec![own(&[result, self.last])],
            Some(result) => vec![own(&[self.labelled, self.last]), Rest::Labels(vec![result], Phase::Count)],
            None => vec![own(&[self.labelled, self.last])],
        }
    }

    /// That the poll and the papers belong together.
    #[must_use]
    pub fn which(&self) -> Vec<Rest> {
        let rest = Rest::Unstated(if self.day.is_none() { ONE_POLL } else { BY_DAYS });
        let several = [Rest::Days(self.days.clone()), Rest::Labels(self.apart.clone(), Phase::Poll)];
        [rest].into_iter().chain(several).collect()
    }
}

/// The polls of a log, in order; or why papers cannot be set against them.
pub(super) fn polls(view: View<'_>) -> Result<Vec<Poll>, Doubt> {
    let of_poll = |step: &usize| {
        matches!(view.event(*step), Some(Event::Vote | Event::Enable | Event::Close))
            && view.is_labelled(*step, Phase::Poll)
    };
    let cycles: Vec<(&Cycle, usize)> = view
        .replay
        .cycles
        .iter()
        .filter_map(|cycle| Some((cycle, cycle.steps.clone().find(of_poll)?)))
        .collect();
    let is_keyed = view.case.counts.iter().any(|count| count.value.poll.is_some());
    let days = days_stated(view.case);
    // A poll that was adjourned to another day lies in one stretch, of which nothing can be missing before it.
    let one = days.len() <= 1 || (!is_keyed && view.replay.front.is_closed());
    match cycles.as_slice() {
        [] => Err(Doubt::Label(Phase::Poll)),
        [(cycle, first)] if one => Ok(vec![poll(view, cycle, *first)]),
        several if days.len() > 1 && several.len() == days.len() => Ok(several
            .iter()
            .zip(&days)
            .map(|((cycle, first), (day, _))| Poll {
                day: Some(day.clone()),
                apart: several.iter().map(|(_, first)| *first).collect(),
                days: days.clone(),
                ..poll(view, cycle, *first)
            })
            .collect()),
        several
            if several.len() < days.len() && view.case.counts.iter().all(|row| row.value.poll.is_some()) =>
        {
            Err(Doubt::NotParted)
        }
        _ => Err(Doubt::WhichPoll),
    }
}

/// Each day for which the case file states a poll or a number of one, in order, and who first does so.
fn days_stated(case: &Case) -> Vec<(String, Saying)> {
    let polls = case.polls.iter().filter_map(|row| Some((row.value.date.clone()?, &row.basis)));
    let counts = case.counts.iter().filter_map(|row| Some((row.value.poll.clone()?, &row.basis)));
    let mut days: BTreeMap<String, Saying> = BTreeMap::new();
    for (day, basis) in polls.chain(counts) {
        days.entry(day).or_insert_with(|| basis.clone());
    }
    days.into_iter().collect()
}

fn poll(view: View<'_>, cycle: &Cycle, labelled: usize) -> Poll {
    let steps = cycle.steps.clone();
    let votes: Vec<usize> = steps
        .clone()
        .filter(|step| view.event(*step) == Some(Event::Vote) && view.is_labelled(*step, Phase::Poll))
        .collect();
    let last = steps
        .clone()
        .rfind(|step| {
            matches!(view.event(*step), Some(Event::Vote | Event::Enable))
                && view.is_labelled(*step, Phase::Poll)
        })
        .unwrap_or(labelled);
    let close = steps
        .clone()
        .rfind(|step| view.event(*step) == Some(Event::Close) && view.is_labelled(*step, Phase::Poll));
    let anchor = close.or_else(|| {
        (last..steps.end).find(|step| {
            view.event(*step) == Some(Event::Result)
                && (view.is_labelled(*step, Phase::Poll) || view.is_labelled(*step, Phase::Count))
        })
    });
    // A close before further votes of the poll fixes nothing.
    let anchor = anchor.filter(|anchor| last <= *anchor);
    let until = anchor.unwrap_or(steps.end);
    // Without one, the number is fixed where the memory was cleared or nothing was recorded any more.
    let later_votes = (last + 1..steps.end)
        .any(|step| view.event(step) == Some(Event::Vote) && !view.is_labelled(step, Phase::Poll));
    let ends = Some(cycle.end).filter(|end| anchor.is_none() && end.is_seen() && !later_votes);
    let (memory, in_doubt) = in_memory(view, anchor, last, &steps, ends);
    let at = anchor.and_then(|anchor| view.memory.shown.iter().position(|shown| shown.step == anchor));
    let tally = at.and_then(|at| view.memory.since_clear.get(at).copied()).unwrap_or_else(|| {
        let end = if ends.is_some() { end_of(ends, &steps) } else { last + 1 };
        view.memory.whole_before(if anchor.is_some() { until } else { end })
    });
    let shows = view.memory.shown.iter().rev().find(|s| s.value.is_some() && steps.contains(&s.step));
    let own = at.and_then(|at| view.memory.shown.get(at));
    let shown = own.is_some_and(|shown| shown.value.is_some());
    let rests = if shown { Rests::default() } else { tally.rests() };
    let may_be = (steps.start..until).filter(|step| view.may_be(*step, Phase::Poll));
    let last_word = anchor.map_or(Ok(None), |anchor| last_word(view, cycle, anchor));
    let lapsed = lapsed_in(view, may_be, steps.end, |step| view.is_labelled(step, Phase::Poll));
    Poll {
        day: None,
        apart: Vec::new(),
        days: Vec::new(),
        labelled,
        last,
        anchor,
        until,
        ends,
        at: anchor.or(shows.map(|shown| shown.step)).or(votes.last().copied()).unwrap_or(labelled),
        memory,
        tally,
        rests,
        seen: Rests {
            front: cycle.begin == Bound::Closed,
            numbering: view.has_gap(cycle.steps.start..until),
        },
        in_doubt,
        last_word: last_word.clone().ok().flatten(),
        unsettled: last_word.err(),
        mock: mock_in_memory(view, steps.start..labelled, &tally),
        lapses: lapses(view, cycle, anchor, until, &lapsed),
        lapsed: lapsed.surely,
        votes,
        steps,
    }
}

/// Whether a number shown at the anchor is the last word, and what makes it so besides the records.
///
/// # Errors
/// Why it may not be: behind it lies what was not seen, and no number was shown again. The result at the count is the last word,
/// whatever came later: one that the case file calls so, or one that was shown after the unit had been switched on again.
fn last_word(view: View<'_>, cycle: &Cycle, anchor: usize) -> Result<Option<Rest>, Doubt> {
    let on_again = (anchor..cycle.steps.end).find(|step| view.event(*step) == Some(Event::PowerOn));
    let mut results = (anchor..cycle.steps.end).filter(|step| view.event(*step) == Some(Event::Result));
    if results.clone().any(|step| on_again.is_some_and(|on| on < step)) {
        return Ok(None);
    }
    match unseen_behind(view, cycle, anchor) {
        None => Ok((cycle.end == Bound::Closed).then_some(Rest::Back)),
        Some(doubt) => {
            let counted = results.find(|step| view.is_labelled(*step, Phase::Count));
            counted.map(|step| Some(Rest::Labels(vec![step], Phase::Count))).ok_or(doubt)
        }
    }
}

/// Why a number may have been shown behind the anchor, and behind all that were, without being seen.
fn unseen_behind(view: View<'_>, cycle: &Cycle, anchor: usize) -> Option<Doubt> {
    if !cycle.end.is_seen() {
        return Some(Doubt::Back);
    }
    let behind = anchor + 1..cycle.steps.end;
    let blind = behind.clone().rfind(|step| view.is_blind(*step))?;
    let shows = |step| matches!(view.event(step), Some(Event::Total | Event::Close | Event::Result));
    let again = (blind..behind.end).any(shows);
    if again { None } else { view.blind_in(behind).map(Doubt::Blind) }
}

/// The votes in memory at the anchor, and whether numbers shown up to it or after it are at odds.
fn in_memory(
    view: View<'_>,
    anchor: Option<usize>,
    last: usize,
    steps: &Range<usize>,
    ends: Option<Bound>,
) -> (Interval, bool) {
    let memory = view.memory;
    let here: Vec<usize> = (0..memory.shown.len())
        .filter(|at| memory.shown.get(*at).is_some_and(|shown| steps.contains(&shown.step)))
        .collect();
    let at_odds =
        here.iter().any(|at| memory.shown.get(*at).is_some_and(|shown| shown.fit() == Some(Fit::Differs)));
    let Some(anchor) = anchor else {
        if ends.is_some() && !at_odds {
            return (memory.before.get(end_of(ends, steps)).copied().unwrap_or(memory.at_end), false);
        }
        let seen = memory.after(last);
        return (Interval { most: None, ..seen }, at_odds);
    };
    let before = memory.before.get(anchor).copied().unwrap_or(Interval::SOME);
    let fixed = memory.after(anchor);
    let counted = if before.meet(fixed).is_empty() { before.hull(fixed) } else { before.meet(fixed) };
    if !at_odds {
        return (counted, false);
    }
    // Any of the numbers may be the right one.
    let all = here.iter().filter_map(|at| {
        let (shown, whole) = (memory.shown.get(*at)?, memory.since_clear.get(*at)?);
        let value = shown.value.map_or_else(|| shown.tally.votes(), Interval::of);
        (shown.step >= anchor).then(|| value.hull(whole.votes()))
    });
    (all.fold(counted, Interval::hull), true)
}

/// The step before which the memory of a cycle is still whole.
fn end_of(ends: Option<Bound>, steps: &Range<usize>) -> usize {
    if matches!(ends, Some(Bound::Clear(_))) { steps.end.saturating_sub(1) } else { steps.end }
}

/// Votes of a mock poll that lie in the memory of the poll, before the first record of it: those that the case file calls
/// so, and those of which it does not say what they were.
fn mock_in_memory(view: View<'_>, steps: Range<usize>, tally: &Tally) -> Interval {
    let votes: Vec<usize> = steps.clone().filter(|step| view.event(*step) == Some(Event::Vote)).collect();
    let count = |keep: &dyn Fn(usize) -> bool| votes.iter().filter(|step| keep(**step)).count() as u64;
    let sure = count(&|step| view.is_labelled(step, Phase::MockPoll));
    let most = count(&|step| view.may_be(step, Phase::MockPoll));
    let unseen = if view.blind_in(steps).is_some() { None } else { tally.before.most };
    Interval { least: Some(0), most: unseen }.plus(Interval::from_to(sure, Some(most)))
}

/// Enables that no vote followed.
pub(super) struct Lapsed {
    /// Those that surely none did.
    pub(super) surely: Vec<usize>,
    /// How many more there are of which that is not known.
    pub(super) perhaps: usize,
}

/// The enables among some steps that no vote followed before the end of the cycle. Of one that is not surely `ours`, or behind
/// which records are not known, that is not known.
pub(super) fn lapsed_in(
    view: View<'_>,
    steps: impl Iterator<Item = usize>,
    end: usize,
    ours: impl Fn(usize) -> bool,
) -> Lapsed {
    let mut lapsed = Lapsed { surely: Vec::new(), perhaps: 0 };
    for enable in steps.filter(|step| view.event(*step) == Some(Event::Enable)) {
        let next = (enable + 1..end).find(|step| {
            view.is_blind(*step)
                || matches!(
                    view.event(*step),
                    Some(Event::Enable | Event::Vote | Event::Close | Event::Clear)
                )
        });
        match next.map(|next| (view.is_blind(next), view.event(next))) {
            Some((false, Some(Event::Vote))) => {}
            Some((false, Some(_))) if ours(enable) => lapsed.surely.push(enable),
            _ => lapsed.perhaps += 1,
        }
    }
    lapsed
}

fn lapses(
    view: View<'_>,
    cycle: &Cycle,
    anchor: Option<usize>,
    until: usize,
    lapsed: &Lapsed,
) -> (Interval, Option<Doubt>) {
    let (least, perhaps) = (lapsed.surely.len() as u64, lapsed.perhaps);
    let doubt = if !cycle.begin.is_seen() {
        Some(Doubt::Front)
    } else if let Some(blind) = view.blind_in(cycle.steps.start..until) {
        Some(Doubt::Blind(blind))
    } else if anchor.is_none() {
        Some(Doubt::NoClose)
    } else {
        None
    };
    match (doubt, perhaps) {
        (Some(doubt), _) => (Interval::from_to(least, None), Some(doubt)),
        (None, 0) => (Interval::of(least), None),
        (None, perhaps) => {
            (Interval::from_to(least, Some(least + perhaps as u64)), Some(Doubt::Label(Phase::Poll)))
        }
    }
}

//! The night before a poll: votes made before a day's opening hour may be of a poll that began on the day before and went on.
//!
//! A log that shows the beginning of the poll shows that it was none of these; a log that does not must not say so, or whoever
//! finds the records before it would find an answer turned round.

use super::margins::first_of;
use super::{Day, PRESIDING, REGISTRAR, When, alone_said, before, between, surely_after, surely_from};
use crate::case::Phase;
use crate::counts::number_shown;
use crate::event::Event;
use crate::rules::{Known, Walk, Want};

/// What is asked of the papers where days may be missing from them, in the same words everywhere.
pub(super) const EVERY_DAY: &str = "every day and hour for which the poll was set, adjourned or ordered again, or that it was held on no \
                                    other day (case file: one [[poll]] each; only-day = true)";

/// Why it is not told when the poll of a vote began.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Untold {
    /// Voters were let vote, from this step on, that do not surely lie on the day, and nothing has ended that poll since.
    Earlier(usize),
    /// What was recorded then was not seen.
    Unseen(Want),
}

/// Where polls begin in a log, as far as it shows.
pub(super) struct Night {
    /// What a poll begins behind: closes, clears, totals of zero, and votes that the case file says were of the mock poll.
    begins: Vec<usize>,
    /// Records of voters who were let vote, but those of the mock poll.
    voters: Vec<usize>,
}

impl Night {
    pub(super) fn of(known: &Known<'_>) -> Night {
        let all = |event| known.between(event, 0, known.replay.steps.len());
        let is_mock = |step: &usize| known.is_labelled(*step, Phase::MockPoll);
        let is_zero =
            |step: &usize| known.record(*step).and_then(|record| number_shown(known.log, record)) == Some(0);
        let ends = all(Event::Close).chain(all(Event::Clear)).chain(all(Event::Total).filter(is_zero));
        let mut begins: Vec<usize> = ends.chain(all(Event::Vote).filter(is_mock)).collect();
        let mut voters: Vec<usize> =
            all(Event::Enable).chain(all(Event::Vote)).filter(|step| !is_mock(step)).collect();
        begins.sort_unstable();
        voters.sort_unstable();
        Night { begins, voters }
    }

    /// That a vote which was surely made on a day belongs to the poll of that day, and what that rests on besides the records;
    /// or why that is not told.
    pub(super) fn told(
        &self,
        known: &Known<'_>,
        (day, only): (&Day, Option<&Day>),
        vote: usize,
    ) -> Result<Option<String>, Untold> {
        if has_begun(day, &known.clock.bounds(vote)) {
            return Ok(None);
        }
        if only.is_some_and(|only| only.date == day.date) {
            return Ok(alone_said(day));
        }
        let behind = self.begins.partition_point(|step| *step < vote);
        let begin = behind.checked_sub(1).and_then(|at| self.begins.get(at)).copied();
        let from = begin.map_or(0, |begin| begin + 1);
        let first = self.voters.get(self.voters.partition_point(|step| *step < from)).copied();
        if let Some(first) = first.filter(|step| !surely_from(&known.clock.bounds(*step), day.begins)) {
            return Err(Untold::Earlier(first));
        }
        if let Some(want) = known.want_in(from, vote) {
            return Err(Untold::Unseen(want));
        }
        match begin {
            Some(begin) => Ok(known.label_premise(begin, Phase::MockPoll)),
            None if known.replay.front.is_closed() => Ok(known.front_premise()),
            None => Err(Untold::Unseen(Want::Front)),
        }
    }
}

/// Whether a record lies surely behind an opening or a closing hour of a day.
fn has_begun(day: &Day, when: &When) -> bool {
    day.parts.iter().any(|part| {
        part.opens.is_some_and(|hour| surely_from(when, hour.latest))
            || part.closes.is_some_and(|hour| surely_after(when, hour.latest))
    })
}

/// Why it is not told when a poll began, as a sentence without its stop.
pub(super) fn why(known: &Known<'_>, untold: &Untold) -> String {
    match untold {
        Untold::Earlier(first) => format!(
            "{} was recorded {}, and neither a close nor a clear nor a total of zero is recorded since",
            known.name(*first),
            between(known, *first)
        ),
        Untold::Unseen(want) => want.why(),
    }
}

/// What would tell it.
pub(super) fn asks(known: &Known<'_>, untold: &Untold) -> Vec<(&'static str, String)> {
    let mut asks = vec![
        (PRESIDING, "the diary: of the poll of which day the votes of the night were".to_owned()),
        (REGISTRAR, EVERY_DAY.to_owned()),
    ];
    if let Untold::Unseen(want) = untold {
        asks.extend(want.asks(known).into_iter().map(|ask| (ask.of, ask.what)));
    }
    asks
}

/// Votes of which it is not told whether they belong to the poll of the day before; those that follow each other for the same
/// reason are one sentence.
#[derive(Default)]
pub(super) struct OfNight {
    groups: Vec<(String, Untold, Vec<usize>)>,
}

impl OfNight {
    pub(super) fn add(&mut self, day: &Day, untold: Untold, vote: usize) {
        match self.groups.last_mut() {
            Some((date, of, votes)) if *date == day.date && *of == untold => votes.push(vote),
            _ => self.groups.push((day.date.clone(), untold, vec![vote])),
        }
    }

    pub(super) fn open(self, known: &Known<'_>, walk: &mut Walk<'_>, days: &[Day]) {
        for (date, untold, votes) in self.groups {
            let Some((first, day)) = votes.first().zip(days.iter().find(|day| day.date == date)) else {
                continue;
            };
            let when = known.clock.bounds(*first);
            let side = if day.parts.iter().all(|part| part.opens.is_none()) {
                format!("and the case file does not state the opening hour of {date}")
            } else if day.parts.iter().all(|part| before(part, &when)) {
                format!("before the opening hour of {date}")
            } else {
                format!("not surely after the opening hour of {date}")
            };
            let want = Want::Several(
                format!(
                    "{} was recorded {}, {side}, and may be of a poll that began on the day before and was still going on: {}",
                    first_of(known, &votes),
                    between(known, *first),
                    why(known, &untold)
                ),
                asks(known, &untold),
            );
            for vote in votes {
                walk.open(known.place(vote), &want);
            }
        }
    }
}

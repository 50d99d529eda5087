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
    /// It began behind this step, which does not surely lie on the day.
    Behind(usize),
    /// What was recorded then was not seen.
    Unseen(Want),
    /// The case file says that it is of the poll of this other day, and the day on which it was made tells otherwise.
    Said(String),
}

/// Where the poll of a vote began.
#[derive(Debug, Default)]
pub(super) struct Began {
    /// The record before which it did not begin; `None` where the papers tell that the vote is of the day's poll.
    pub(super) behind: Option<usize>,
    /// What that rests on besides the records.
    pub(super) rests_on: Option<String>,
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
        let is_mock = |step: usize| known.is_labelled(step, Phase::MockPoll);
        let kinds = [Event::Close, Event::Clear, Event::Total, Event::Enable, Event::Vote];
        let mut steps: Vec<(usize, Event)> =
            kinds.into_iter().flat_map(|event| all(event).map(move |step| (step, event))).collect();
        steps.sort_unstable_by_key(|(step, _)| *step);
        let mut night = Night { begins: Vec::new(), voters: Vec::new() };
        // Votes since the last clear or zero: a zero behind votes, or before a total of another number, is none.
        let (mut votes, mut zero) = (0, false);
        for (step, event) in steps {
            let voter = matches!(event, Event::Enable | Event::Vote);
            votes = if event == Event::Clear { 0 } else { votes + u64::from(event == Event::Vote) };
            let shown = || known.record(step).and_then(|record| number_shown(known.log, record));
            match event {
                Event::Total if zero && shown().is_some_and(|number| number != votes) => {
                    night.begins.pop();
                    zero = false;
                }
                Event::Total if votes > 0 || shown() != Some(0) => {}
                _ if voter && !is_mock(step) => night.voters.push(step),
                Event::Enable => {}
                _ => {
                    zero = event == Event::Total;
                    night.begins.push(step);
                }
            }
        }
        night
    }

    /// That a vote which was surely made on a day belongs to the poll of that day, and what that rests on besides the records;
    /// or why that is not told.
    pub(super) fn told(
        &self,
        known: &Known<'_>,
        (day, only): (&Day, Option<&Day>),
        vote: usize,
    ) -> Result<Option<Began>, Untold> {
        if has_begun(day, &known.clock.bounds(vote)) {
            return Ok(None);
        }
        if known.poll_said(vote, Phase::Poll) == Some(day.date.as_str()) {
            return Ok(Some(Began { behind: None, rests_on: known.label_premise(vote, Phase::Poll) }));
        }
        if only.is_some_and(|only| only.date == day.date) {
            return Ok(Some(Began { behind: None, rests_on: alone_said(day) }));
        }
        let last = self.begins.partition_point(|step| *step < vote);
        let begin = last.checked_sub(1).and_then(|at| self.begins.get(at)).copied();
        let from = begin.map_or(0, |begin| begin + 1);
        let on_the_day = |step: usize| surely_from(&known.clock.bounds(step), day.begins_by);
        let first = self.voters.get(self.voters.partition_point(|step| *step < from)).copied();
        if let Some(first) = first.filter(|step| !on_the_day(*step)) {
            return Err(Untold::Earlier(first));
        }
        if let Some(want) = known.want_in(from, vote) {
            return Err(Untold::Unseen(want));
        }
        let (behind, rests_on) = match begin {
            // A close, a clear or a total of zero ends a poll whatever it was of; a vote does as one of the mock poll.
            Some(begin) => {
                let is_vote = known.record(begin).is_some_and(|record| record.event == Event::Vote);
                (begin, is_vote.then(|| known.label_premise(begin, Phase::MockPoll)).flatten())
            }
            None if known.replay.front.is_closed() => (0, known.front_premise()),
            None => return Err(Untold::Unseen(Want::Front)),
        };
        if on_the_day(behind) {
            Ok(Some(Began { behind: Some(behind), rests_on }))
        } else {
            Err(Untold::Behind(behind))
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
        Untold::Behind(step) => format!(
            "its poll began behind {}, which was recorded {}, and so perhaps on the day before",
            known.name(*step),
            between(known, *step)
        ),
        Untold::Unseen(want) => want.why(),
        Untold::Said(other) => format!("the case file says that it was of the poll of {other}"),
    }
}

/// That the case file calls a record one of the poll of another day than that on which it was made.
pub(super) fn said_otherwise(known: &Known<'_>, day: &Day, step: usize, phase: Phase) -> Option<Untold> {
    let said = known.poll_said(step, phase).filter(|said| *said != day.date);
    said.map(|said| Untold::Said(said.to_owned()))
}

impl Untold {
    /// That this leaves some records of a day open.
    pub(super) fn want(&self, known: &Known<'_>, day: &Day, steps: &[usize]) -> Want {
        let first = steps.first().copied().unwrap_or_default();
        let when = known.clock.bounds(first);
        let recorded = format!("{} was recorded {}", first_of(known, steps), between(known, first));
        let why = why(known, self);
        if let Untold::Said(_) = self {
            let open = format!(
                "{recorded}, on {}, and {why}; by the hours of which day it is to be asked is not told",
                day.date
            );
            return Want::Several(open, asks(known, self));
        }
        let side = if day.parts.iter().all(|part| part.opens.is_none()) {
            format!("and the case file does not state the opening hour of {}", day.date)
        } else if day.parts.iter().all(|part| before(part, &when)) {
            format!("before the opening hour of {}", day.date)
        } else {
            format!("not surely after the opening hour of {}", day.date)
        };
        Want::Several(
            format!(
                "{recorded}, {side}, and may be of a poll that began on the day before and was still going on: {why}"
            ),
            asks(known, self),
        )
    }
}

/// The day before whose poll the case file says that a record belongs to, of those that it states; `None` where it says none, or
/// no earlier one.
pub(super) fn said_of<'d>(known: &Known<'_>, days: &'d [Day], day: &Day, step: usize) -> Option<&'d Day> {
    let said = known.poll_said(step, Phase::Poll)?;
    days.iter().find(|other| other.date == said && other.date < day.date)
}

/// What would tell it.
pub(super) fn asks(known: &Known<'_>, untold: &Untold) -> Vec<(&'static str, String)> {
    let mut asks = vec![
        (
            PRESIDING,
            "the diary: of the poll of which day these records were (case file: [[phase]], poll)".to_owned(),
        ),
        (REGISTRAR, EVERY_DAY.to_owned()),
    ];
    if let Untold::Unseen(want) = untold {
        asks.extend(want.asks(known).into_iter().map(|ask| (ask.of, ask.what)));
    }
    asks
}

/// Votes of which it is not told to the poll of which day they belong; those that follow each other for the same
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
            let Some(day) = days.iter().find(|day| day.date == date) else { continue };
            let want = untold.want(known, day, &votes);
            for vote in votes {
                walk.open(known.place(vote), &want);
            }
        }
    }
}

//! A result of the poll that lies surely within the hours of the poll or within a time of storage.

use super::{
    Elsewhere, Margins, PRESIDING, READING_WRONG, Told, between, clock_premises, day_of, hours_premise,
    inside, is_unbounded, period, the_only_day, tied_by,
};
use crate::case::Phase;
use crate::clock::When;
use crate::clock::hours::{Day, Lapse, days, lapses};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::want::missing;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "result-outside-count",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The result of the poll was shown within the hours of the poll, or while the unit was stored.",
    asks: "By the readings of the unit's clock, the result of the poll is shown neither in the hours of the poll nor in storage.",
    basis: &[
        Basis::Practice("the result is shown at the count, before the candidates' agents, and at recounts"),
        Basis::Comparable("VVSG 2.0, 1.1.9-K: no vote data are reported while polls are open"),
    ],
    why: "A result that is shown before the count can become known before the candidates' agents see it. The log does not show \
          whether anybody saw it.",
    ordinary: &[
        READING_WRONG,
        Ordinary::new(
            "The count was held earlier, or the storage ended earlier, than the papers state.",
            "the record of the count, the register of the strong room",
        ),
        Ordinary::new(
            "The hours are those of another poll on that day, for which this unit was not used.",
            "the notice of that poll, and the list of the units used for it",
        ),
    ],
    look_next: &["The record of the count: when each unit's result was shown, and before whom."],
    needs: &[Needs::ClosingHour],
    scope: Scope::Own,
    occasions: "results of the poll",
    examples: &[
        Example {
            title: "Readings put the result in the night in which the unit lay in the strong room.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:02:00 close\n\
                  1204 2031-05-11 02:11:37 result\n\
                  ^ result-outside-count\n\
                  ^ activity-in-storage\n\
                  1205 2031-05-13 08:11:37 result\n",
            case: super::examples::COUNTED,
        },
        Example {
            title: "The log begins behind the poll, and readings put the first of two results in the storage.",
            log: "1204 2031-05-11 02:11:37 result\n\
                  ^ result-outside-count\n\
                  ^ activity-in-storage\n\
                  1205 2031-05-13 08:11:37 result\n",
            case: super::examples::RESULT_ALONE,
        },
        Example {
            title: "Near miss: the result is shown at the count, after the storage.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:02:00 close\n\
                  1204 2031-05-10 18:05:12 power-off\n\
                  1205 2031-05-13 08:10:00 power-on\n\
                  1206 2031-05-13 08:11:37 result\n",
            case: super::examples::COUNTED,
        },
    ],
    walk,
};

/// Where a result lies by the hours of the days.
enum ByHours<'d> {
    InOrder,
    /// Within the hours of this day.
    Contrary(&'d Day),
    /// Its bounds leave it open.
    Open,
    /// It lies on a day, or may, for which the case file states no poll.
    Elsewhere,
    /// Within the hours of a day on which no vote of the poll is seen before it.
    NoVote,
}

fn told_by_hours<'d>(
    known: &Known<'_>,
    (days, only): (&'d [Day], Option<&Day>),
    first_votes: &[Option<usize>],
    step: usize,
) -> ByHours<'d> {
    let when = &known.clock.bounds(step);
    let outside = |day: &Day| {
        super::surely_before(when, day.begins)
            || super::surely_from(when, day.ends)
            || day.parts.iter().all(|part| super::before(part, when) || super::after(part, when))
    };
    let on = day_of(days, when);
    if was_closed_before(known, days, step, when) {
        return ByHours::InOrder;
    }
    if days.iter().all(outside) {
        // A poll may have been held on a day that the case file does not state.
        return if on.or(only).is_some() { ByHours::InOrder } else { ByHours::Elsewhere };
    }
    let voted = |day: &Day| voted_on(days, first_votes, day).is_some_and(|vote| vote < step);
    match on {
        Some(day) if day.parts.iter().any(|part| inside(part, when)) => {
            if voted(day) {
                ByHours::Contrary(day)
            } else {
                ByHours::NoVote
            }
        }
        _ => ByHours::Open,
    }
}

/// Whether the unit was closed, surely on a day that had ended before a result, and could take no vote since: the hours of another
/// day are none of that poll.
fn was_closed_before(known: &Known<'_>, days: &[Day], step: usize, when: &When) -> bool {
    let voting = [Event::Enable, Event::Vote, Event::Clear];
    let closed = known.between(Event::Close, 0, step).next_back();
    closed.is_some_and(|close| {
        day_of(days, &known.clock.bounds(close)).is_some_and(|day| super::surely_from(when, day.ends))
            && voting.iter().all(|event| known.between(*event, close, step).next().is_none())
            && known.want_between(close, step).is_none()
    })
}

/// That a result may be that of a poll of another day.
fn of_which_day(known: &Known<'_>, step: usize) -> Want {
    Want::Other(
        format!(
            "{} was made {}, within hours that the case file states, and no vote of the poll surely lies on that day before it, so \
             that it may be the result of a poll of another day",
            known.name(step),
            between(known, step)
        ),
        PRESIDING,
        "the diary: of the poll of which day the result was shown".to_owned(),
    )
}

/// Per day the first vote of the poll that was recorded on it: the hours of another day, or of a poll for which this unit was
/// not used, say nothing of its count.
fn first_votes(known: &Known<'_>, days: &[Day]) -> Vec<Option<usize>> {
    let mut first = vec![None; days.len()];
    for vote in known.votes_of_poll() {
        let of = day_of(days, &known.clock.bounds(vote));
        let at = of.and_then(|of| days.iter().position(|day| day.date == of.date));
        if let Some(slot) = at.and_then(|at| first.get_mut(at)) {
            slot.get_or_insert(vote);
        }
    }
    first
}

/// The first vote of the poll that was recorded on a day.
fn voted_on(days: &[Day], first_votes: &[Option<usize>], day: &Day) -> Option<usize> {
    let at = days.iter().position(|other| other.date == day.date)?;
    first_votes.get(at).copied().flatten()
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let days = days(known.case);
    let stored = lapses(known.case, &known.case.storage);
    let of_poll =
        |step: &usize| known.is_labelled(*step, Phase::Poll) || known.is_labelled(*step, Phase::Count);
    let results: Vec<usize> =
        known.between(Event::Result, 0, known.replay.steps.len()).filter(of_poll).collect();
    // Where no result is shown, it is not asked on which day each vote was recorded.
    let first_votes = if results.is_empty() { Vec::new() } else { first_votes(known, &days) };
    let (mut margins, mut elsewhere) = (Margins::default(), Elsewhere::default());
    let only = the_only_day(known, &days);
    for step in results {
        let (place, when) = (known.place(step), known.clock.bounds(step));
        let in_storage = stored.iter().find(|lapse| period::told(lapse, &when) == Told::Contrary);
        let by_hours = told_by_hours(known, (&days, only), &first_votes, step);
        let outside_storage = stored.iter().all(|lapse| period::told(lapse, &when) == Told::InOrder);
        match by_hours {
            ByHours::Contrary(day) => {
                let found = finding(known, step, Some(day), in_storage);
                walk.contrary(place, tied_by(known, voted_on(&days, &first_votes, day), day, found));
            }
            _ if in_storage.is_some() => walk.contrary(place, finding(known, step, None, in_storage)),
            ByHours::InOrder if outside_storage => walk.in_order(place),
            ByHours::NoVote => walk.open(place, of_which_day(known, step)),
            ByHours::Elsewhere if outside_storage && !is_unbounded(known, step) => elsewhere.add(step),
            _ => margins.add(step),
        }
    }
    let parts = days.iter().flat_map(|day| &day.parts);
    let mut hours: Vec<_> = parts.flat_map(|part| [part.opens, part.closes]).flatten().collect();
    hours.extend(period::ends(&stored));
    margins.open(known, walk, &hours, "results of the poll, its hours and the times of storage");
    elsewhere.open(known, walk, &days);
    for need in [Needs::PollLabel, Needs::Storage] {
        if let Some(want) = missing(need, known) {
            walk.unseen(want);
        }
    }
    walk.unseen_events();
    walk.unlabelled(Event::Result, Phase::Poll);
}

fn finding(known: &Known<'_>, step: usize, day: Option<&Day>, stored: Option<&Lapse>) -> Contrary {
    let when = match (day, stored) {
        (Some(_), _) => "within the hours of the poll".to_owned(),
        (None, Some(lapse)) => {
            format!("while the papers say that the unit was stored {}", period::span(known, lapse))
        }
        (None, None) => String::new(),
    };
    Contrary {
        others: Vec::new(),
        expected: "The result of the poll is shown at the count, outside the hours and outside storage."
            .to_owned(),
        shows: format!(
            "{} shows the result of the poll. By the readings it was recorded {}, {when}.",
            known.name(step),
            between(known, step)
        ),
        measured: None,
        assumptions: known
            .label_premise(step, Phase::Poll)
            .or_else(|| known.label_premise(step, Phase::Count))
            .into_iter()
            .chain(day.map_or_else(Vec::new, |day| hours_premise(known, day)))
            .chain(
                stored
                    .filter(|_| day.is_none())
                    .map_or_else(Vec::new, |lapse| period::premise(known, "the storage", lapse)),
            )
            .chain(clock_premises(known, &[step]))
            .collect(),
    }
}

//! A close of the poll that lies surely before the closing hour.

use super::close::{not_every_closing_hour, of_the_day};
use super::night::{self, Night};
use super::{
    Elsewhere, Margins, PRESIDING, READING_WRONG, Told, alone_there, began_there, between, beyond,
    clock_premises, day_of, elsewhere, held, hours_premise, surely_before, surely_from, the_only_day,
    tied_by,
};
use crate::case::{Fact, Phase};
use crate::clock::When;
use crate::clock::hours::{Day, days};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "closed-early",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The unit was closed before the closing hour of the poll.",
    asks: "By the readings of the unit's clock, the unit is not closed before the closing hour of the poll.",
    basis: &[Basis::Practice("the unit is closed after the hour, when the last of the queue has voted")],
    why: "After the close no vote can be recorded until the memory is cleared. A close before the hour ends the voting at \
          this unit while voters may still come. A close after midnight may end the poll of the day before, and is found only where a \
          vote of the same day's poll stands before it.",
    ordinary: &[
        READING_WRONG,
        Ordinary::new(
            "The poll was lawfully ended, adjourned or moved to another unit before the hour.",
            "the presiding officer's diary, the order, the papers of the unit that took its place",
        ),
        Ordinary::new(
            "It is the close of the poll of the day before, whose last voters were let vote after the next had opened.",
            "the presiding officer's diary: for the poll of which day the unit was closed",
        ),
        Ordinary::new(
            "All voters of the station had voted.",
            "the register, and the local rule on closing before the hour",
        ),
    ],
    look_next: &["The presiding officer's diary: when and why the unit was closed, and who was present."],
    needs: &[Needs::PollLabel, Needs::ClosingHour],
    scope: Scope::Own,
    occasions: "closes of the poll",
    examples: &[
        Example {
            title: "Readings put the close ten minutes before six.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 17:50:00 close\n\
                  ^ closed-early\n",
            case: super::examples::AT_THE_HOUR,
        },
        Example {
            title: "Near miss: displayed at 17:50:00 by a clock that was ten minutes slow, and a little more.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 17:51:00 close\n",
            case: super::examples::SLOW_CLOSE,
        },
        Example {
            title: "Near miss: the same records without a reading. Nothing is told.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 17:50:00 close\n",
            case: super::examples::NO_READING,
        },
    ],
    walk,
};

fn told(day: &Day, when: &When) -> Told {
    let closes = || day.parts.iter().map(|part| part.closes);
    if closes().all(|hour| hour.is_some_and(|hour| surely_from(when, hour.latest))) {
        Told::InOrder
    } else if closes().all(|hour| hour.is_some_and(|hour| surely_before(when, hour.earliest))) {
        Told::Contrary
    } else {
        Told::Open
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let days = days(known.case);
    let hours: Vec<_> = days.iter().flat_map(|day| day.parts.iter().filter_map(|part| part.closes)).collect();
    let (mut margins, mut elsewhere) = (Margins::default(), Elsewhere::default());
    // A unit that was taken out of use in mid-poll may be closed whenever that was, or at the count.
    let replaced = known.case.facts.iter().any(|fact| fact.value == Fact::UnitReplaced);
    let closes = known.between(Event::Close, 0, known.replay.steps.len());
    let (only, night) = (the_only_day(known, &days), Night::of(known));
    for step in closes.filter(|step| known.is_labelled(*step, Phase::Poll)) {
        let (place, when) = (known.place(step), known.clock.bounds(step));
        if replaced {
            walk.in_order(place);
            continue;
        }
        let Some(day) = day_of(&days, &when).or(only) else {
            // A poll that was adjourned to a day that the case file does not state has an hour of that day.
            if elsewhere::is(known, step, &hours) {
                elsewhere.add(step);
            } else {
                margins.add(step);
            }
            continue;
        };
        match told(day, &when) {
            Told::InOrder => walk.in_order(place),
            Told::Open if held(known, step, &hours).next().is_none() && day.parts.len() > 1 => {
                walk.open(place, between_parts(known, day, step));
            }
            Told::Open => margins.add(step),
            Told::Contrary => match of_the_day(known, &night, (&days, only), day, step) {
                Err(want) => match night::said_of(known, &days, day, step).map(|of| (of, told(of, &when))) {
                    None => walk.open(place, want),
                    Some((_, Told::InOrder)) => walk.in_order(place),
                    Some((_, Told::Open)) => margins.add(step),
                    Some((of, Told::Contrary)) => walk.contrary(place, finding(known, of, step)),
                },
                Ok(_) if let Some(untold) = night::said_otherwise(known, day, step, Phase::Poll) => {
                    walk.open(place, untold.want(known, day, &[step]));
                }
                Ok(began) => {
                    let found =
                        tied_by(known, known.vote_of_poll_before(step), day, finding(known, day, step));
                    let found = alone_there(known, day, &[step], found);
                    walk.contrary(place, began_there(known, found, began));
                }
            },
        }
    }
    margins.open(known, walk, &hours, "the close of the poll and its closing hour");
    elsewhere.open(known, walk, &days);
    walk.unseen_events();
    walk.unlabelled(Event::Close, Phase::Poll);
}

/// A close after one closing hour of a day and before another, or on a day of which not every closing hour is stated.
fn between_parts(known: &Known<'_>, day: &Day, step: usize) -> Want {
    if day.parts.iter().any(|part| part.closes.is_none()) {
        return not_every_closing_hour(known, day, step);
    }
    let made = format!("{} was made {}", known.name(step), between(known, step));
    Want::Other(
        format!(
            "{made}, after one closing hour of {} and before another, and whether the unit was to be closed between them is \
             not stated",
            day.date
        ),
        PRESIDING,
        "the diary and the order on the parts of the poll: for which of them this unit was in use, and whether it was closed \
         between them"
            .to_owned(),
    )
}

fn finding(known: &Known<'_>, day: &Day, step: usize) -> Contrary {
    let hour = day.parts.iter().filter_map(|part| part.closes).min_by_key(|hour| hour.earliest);
    Contrary {
        others: Vec::new(),
        expected: "The unit is closed at or after the closing hour.".to_owned(),
        shows: format!(
            "{} is a close of the poll. By the readings it was recorded {}.",
            known.name(step),
            between(known, step)
        ),
        measured: hour.map(|hour| beyond(known, step, &hour, false)),
        assumptions: known
            .label_premise(step, Phase::Poll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(clock_premises(known, &[step]))
            .chain([
                "the unit was not taken out of use in mid-poll; the case file does not state that it was"
                    .to_owned(),
            ])
            .collect(),
    }
}

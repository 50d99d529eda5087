//! Records of the mock poll that lie surely within the hours of the poll.

use super::night::said_otherwise;
use super::{
    Elsewhere, Margins, OfDays, READING_WRONG, Told, between, beyond, clock_premises, day_of, elsewhere,
    ends_of, hours_premise, rest, surely_after, the_only_day,
};
use crate::case::{Fact, Phase};
use crate::clock::When;
use crate::clock::hours::{Day, days};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "mock-poll-in-hours",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The mock poll reaches into the hours of the poll.",
    asks: "By the readings of the unit's clock, the mock poll is over before the poll opens.",
    basis: &[Basis::Practice("the mock poll is held, shown and cleared before the opening hour")],
    why: "Votes of the mock poll within the hours leave open which votes were the voters', and shorten the poll.",
    ordinary: &[
        Ordinary::new(
            "The unit took the place of another in mid-poll, and its mock poll was held then, as it must.",
            "the diary and the papers of both units (case file: [[fact]], what = \"unit-took-anothers-place\")",
        ),
        Ordinary::new(
            "The mock poll began late, and the opening was delayed for it.",
            "the certificate of the mock poll, the diary, the agents who were present",
        ),
        READING_WRONG,
    ],
    look_next: &["The certificate of the mock poll: when it began and ended, how many votes, who signed."],
    needs: &[Needs::MockPollLabel, Needs::OpeningHour],
    scope: Scope::Own,
    occasions: "votes, closes, results and clears of a mock poll",
    examples: &[
        Example {
            title: "Readings put the end of the mock poll after seven.",
            log: "1201 2031-05-10 06:50:00 enable\n\
                  1202 2031-05-10 06:50:20 vote\n\
                  1203 2031-05-10 06:51:00 close\n\
                  1204 2031-05-10 07:05:00 result\n\
                  ^ mock-poll-in-hours\n\
                  1205 2031-05-10 07:05:30 clear\n\
                  1206 2031-05-10 07:06:00 total shown=0\n\
                  1207 2031-05-10 07:10:00 enable\n\
                  1208 2031-05-10 07:10:30 vote\n",
            case: super::examples::MOCK,
        },
        Example {
            title: "Near miss: the unit took another's place, so that its mock poll had to be held within the hours.",
            log: "1201 2031-05-10 11:50:00 enable\n\
                  1202 2031-05-10 11:50:20 vote\n\
                  1203 2031-05-10 11:51:00 close\n\
                  1204 2031-05-10 11:51:30 result\n\
                  1205 2031-05-10 11:52:30 clear\n\
                  1206 2031-05-10 11:53:00 total shown=0\n\
                  1207 2031-05-10 11:55:00 enable\n\
                  1208 2031-05-10 11:55:30 vote\n",
            case: super::examples::MOCK_OF_ANOTHER,
        },
    ],
    walk,
};

/// In order before every opening; contrary where it lies in the hours of one part. After the last closing it is not a
/// mock poll of that day, and nothing is said.
fn told(day: &Day, when: &When) -> Told {
    if day.parts.iter().all(|part| super::before(part, when)) {
        Told::InOrder
    } else if day.parts.iter().any(|part| {
        part.opens.is_some_and(|hour| surely_after(when, hour.latest))
            && part.closes.is_some_and(|hour| super::surely_until(when, hour.earliest))
    }) {
        Told::Contrary
    } else {
        Told::Open
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let days = days(known.case);
    // A unit that is put in the place of another has its mock poll when it is, within the hours.
    let replaces = known.case.facts.iter().any(|fact| fact.value == Fact::UnitTookAnothersPlace);
    let hours: Vec<_> = days.iter().flat_map(|day| day.parts.iter().filter_map(|part| part.opens)).collect();
    let (mut margins, mut elsewhere) = (Margins::default(), Elsewhere::default());
    let mut contrary = OfDays::of(&days);
    let alone = the_only_day(known, &days);
    let events = [Event::Vote, Event::Close, Event::Result, Event::Clear];
    let mut steps: Vec<usize> =
        events.iter().flat_map(|event| known.between(*event, 0, known.replay.steps.len())).collect();
    steps.sort_unstable();
    for step in steps.into_iter().filter(|step| known.is_labelled(*step, Phase::MockPoll)) {
        let (place, when) = (known.place(step), known.clock.bounds(step));
        // A poll may have been held on a day that the case file does not state.
        let early = alone.is_some_and(|day| super::surely_before(&when, day.begins));
        if early || replaces {
            walk.in_order(place);
            continue;
        }
        let Some(day) = day_of(&days, &when) else {
            if elsewhere::is(known, step, &hours) {
                elsewhere.add(step);
            } else {
                margins.add(step);
            }
            continue;
        };
        match told(day, &when) {
            Told::InOrder => walk.in_order(place),
            Told::Open => margins.add(step),
            Told::Contrary => match said_otherwise(known, day, step, Phase::MockPoll) {
                Some(untold) => walk.open(place, untold.want(known, day, &[step])),
                None => contrary.add(day, step, None),
            },
        }
    }
    margins.open(known, walk, &hours, "the mock poll and the opening hour");
    elsewhere.open(known, walk, &days);
    contrary.tell(known, walk, finding);
    walk.unseen_events();
    for event in events {
        walk.unlabelled(event, Phase::MockPoll);
    }
}

fn finding(known: &Known<'_>, day: &Day, steps: &[usize]) -> Contrary {
    let first = steps.first().copied().unwrap_or_default();
    let when = known.clock.bounds(first);
    let opens = day.parts.iter().filter_map(|part| part.opens);
    let opens = opens.filter(|hour| surely_after(&when, hour.latest)).max_by_key(|hour| hour.latest);
    Contrary {
        others: rest(known, steps),
        expected: "The mock poll is held, shown and cleared before the opening hour.".to_owned(),
        shows: format!(
            "{} belongs to the mock poll. By the readings it was recorded {}, within the hours of the poll.{}",
            known.name(first),
            between(known, first),
            super::and_more(steps.len())
        ),
        measured: opens.map(|hour| beyond(known, first, &hour, true)),
        assumptions: known
            .label_premises(steps, Phase::MockPoll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(clock_premises(known, &ends_of(steps)))
            .chain(["the unit did not take the place of another in mid-poll; the case file does not state that it did"
                .to_owned()])
            .collect(),
    }
}

//! A vote of the poll that lies surely before the opening hour.

use super::{
    ByDay, READING_WRONG, Told, before, between, beyond, clock_premises, ends_of, hours_premise, rest,
    surely_from,
};
use crate::case::Phase;
use crate::clock::When;
use crate::clock::hours::{Day, days};
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "vote-before-opening",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "A vote of the poll lies before the opening hour.",
    asks: "By the readings of the unit's clock, no vote of the poll lies before its opening hour.",
    basis: &[
        Basis::Practice("voting begins at the opening hour, after the mock poll was cleared"),
        Basis::Comparable("VVSG 2.0, 1.1.3-A and 1.1.3-B: votes are cast only after voting mode was entered"),
    ],
    why: "A vote of the poll is expected only from the opening hour on, before the agents. Whether a record lies before \
          the hour can only be said through readings that tie the unit's clock to true time: what the unit displayed is \
          not compared with the hour. A poll of the day before may have gone on past midnight: so a vote is found only where the \
          record shows that its poll began on the same day, or the papers say of which day's poll it was.",
    ordinary: &[
        READING_WRONG,
        Ordinary::new(
            "The vote was one of the mock poll, and the case file calls it part of the poll.",
            "the mock poll's certificate: how many votes, and where the clear stands",
        ),
        Ordinary::new(
            "The poll was lawfully opened earlier at this station than the hour stated.",
            "the notice of poll and the presiding officer's diary",
        ),
    ],
    look_next: &[
        "The presiding officer's diary: when the first voter was let in, and when the clock was read.",
        "The certificate of the mock poll, with the number of its votes.",
    ],
    needs: &[Needs::PollLabel, Needs::OpeningHour],
    scope: Scope::Poll,
    occasions: "votes of the poll",
    examples: &[
        Example {
            title: "The poll begins at a total of zero, and readings put its first vote at least four minutes before seven.",
            log: "1200 2031-05-10 06:41:00 total shown=0\n\
                  1201 2031-05-10 06:55:00 enable\n\
                  1202 2031-05-10 06:55:30 vote\n\
                  ^ vote-before-opening\n\
                  1203 2031-05-10 07:10:05 enable\n\
                  1204 2031-05-10 07:10:31 vote\n",
            case: super::examples::BEFORE,
        },
        Example {
            title: "Near miss: the display says 06:55:30, and the readings show that the clock was ten minutes slow.",
            log: "1200 2031-05-10 06:41:00 total shown=0\n\
                  1201 2031-05-10 06:55:00 enable\n\
                  1202 2031-05-10 06:55:30 vote\n\
                  1203 2031-05-10 07:10:05 enable\n\
                  1204 2031-05-10 07:10:31 vote\n",
            case: super::examples::SLOW,
        },
        Example {
            title: "Near miss: the log does not show where the poll began. The vote may be of a poll of the day before.",
            log: "1201 2031-05-10 06:55:00 enable\n\
                  1202 2031-05-10 06:55:30 vote\n",
            case: super::examples::BEFORE,
        },
        Example {
            title: "Near miss: the same records without a reading. Nothing is told.",
            log: "1201 2031-05-10 06:55:00 enable\n\
                  1202 2031-05-10 06:55:30 vote\n",
            case: super::examples::NO_READING,
        },
    ],
    walk,
};

fn told(day: &Day, when: &When) -> Told {
    if day.parts.iter().any(|part| part.opens.is_some_and(|hour| surely_from(when, hour.latest))) {
        Told::InOrder
    } else if day.parts.iter().all(|part| before(part, when)) {
        Told::Contrary
    } else {
        Told::Open
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let what = "votes of the poll and its opening hour";
    let told = |known: &Known<'_>, day: &Day, step| told(day, &known.clock.bounds(step));
    ByDay {
        days: &days(known.case),
        told,
        decides: |_, vote| Some(vote),
        hours: |day| day.parts.iter().filter_map(|part| part.opens).collect(),
        what,
        finding,
    }
    .walk(known, walk);
}

fn finding(known: &Known<'_>, day: &Day, steps: &[usize]) -> Contrary {
    let first = steps.first().copied().unwrap_or_default();
    let hour = day.parts.iter().filter_map(|part| part.opens).min_by_key(|hour| hour.earliest);
    Contrary {
        others: rest(known, steps),
        expected: "Every vote of the poll lies at or after the opening hour.".to_owned(),
        shows: format!(
            "{} is a vote of the poll. By the readings it was recorded {}, before the opening hour that the case file states.{}",
            known.name(first),
            between(known, first),
            super::and_more(steps.len())
        ),
        measured: hour.map(|hour| beyond(known, first, &hour, false)),
        assumptions: known
            .label_premises(steps, Phase::Poll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(clock_premises(known, &ends_of(steps)))
            .collect(),
    }
}

//! A vote of the poll that lies surely within a stated interruption.

use super::period::ByPeriod;
use super::{PRESIDING, READING_WRONG, between, clock_premises, ends_of, period, rest};
use crate::case::Phase;
use crate::clock::hours::lapses;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "vote-in-interruption",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "A vote of the poll lies within an interruption that the papers state.",
    asks: "By the readings of the unit's clock, no vote of the poll lies within an interruption that the papers state.",
    basis: &[Basis::Practice("while the poll is interrupted nobody votes")],
    why: "A vote within an interruption means that the poll went on, or that the paper's times are not those of the \
          interruption.",
    ordinary: &[
        Ordinary::new(
            "The diary gives the times of the interruption roughly, or from memory.",
            "whoever wrote the diary, and other papers on the interruption",
        ),
        READING_WRONG,
    ],
    look_next: &[
        "The presiding officer's diary on the interruption: what stopped, from when to when, who was present.",
    ],
    needs: &[Needs::PollLabel, Needs::Interruptions],
    scope: Scope::Poll,
    occasions: "votes of the poll",
    examples: &[
        Example {
            title: "Readings put a vote at half past eleven, ten minutes into the interruption.",
            log: "1201 2031-05-10 11:10:00 enable\n\
                  1202 2031-05-10 11:10:30 vote\n\
                  1203 2031-05-10 11:29:40 enable\n\
                  1204 2031-05-10 11:30:00 vote\n\
                  ^ vote-in-interruption\n",
            case: super::examples::INTERRUPTED,
        },
        Example {
            title: "Near miss: a vote in the minute in which the interruption ended by the paper. It stays open.",
            log: "1201 2031-05-10 11:10:00 enable\n\
                  1202 2031-05-10 11:10:30 vote\n\
                  1203 2031-05-10 11:44:00 enable\n\
                  1204 2031-05-10 11:44:30 vote\n",
            case: super::examples::INTERRUPTED,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let stated = lapses(known.case, &known.case.interruptions);
    if stated.is_empty() {
        walk.does_not_apply("the case file states that the poll was not interrupted");
        return;
    }
    let by_period = ByPeriod {
        stated: &stated,
        called: "the interruption",
        what: "votes of the poll and the interruption",
        ask: (
            PRESIDING,
            "when the interruption began and when it ended (case file: [[interruption]], from and to)",
        ),
    };
    let within = by_period.walk(known, walk, known.votes_of_poll());
    for (steps, lapse) in within.iter().zip(&stated) {
        let Some(first) = steps.first() else { continue };
        let finding = Contrary {
            others: rest(known, steps),
            expected: "No vote lies within an interruption of the poll.".to_owned(),
            shows: format!(
                "{} is a vote of the poll. By the readings it was recorded {}. The papers say that the poll was interrupted \
                 {}.{}",
                known.name(*first),
                between(known, *first),
                period::span(known, lapse),
                super::and_more(steps.len())
            ),
            measured: None,
            assumptions: known
                .label_premises(steps, Phase::Poll)
                .into_iter()
                .chain(period::premise(known, "the interruption", lapse))
                .chain(clock_premises(known, &ends_of(steps)))
                .collect(),
        };
        walk.contrary_all(steps, finding);
    }
}

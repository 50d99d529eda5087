//! Records that lie surely within a time in which the unit was stored, sealed and switched off.

use super::period::ByPeriod;
use super::{READING_WRONG, REGISTRAR, between, clock_premises, period, rest};
use crate::clock::hours::lapses;
use crate::counts::records_named;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

/// So many records are named; of more, the last.
const NAMED: usize = 8;

pub(crate) static RULE: Rule = Rule {
    id: "activity-in-storage",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The unit recorded events while the papers say that it was stored.",
    asks: "By the readings of the unit's clock, nothing is recorded while the unit was stored, sealed and switched off.",
    basis: &[Basis::Practice(
        "a stored unit is sealed and switched off, and records nothing until it is taken out",
    )],
    why: "A record within the time of storage can mean that the unit was on while it was stored, that the times of storage \
          are not as the paper has them, or that a reading of the unit's clock is wrong. The log cannot say who was there.",
    ordinary: &[
        READING_WRONG,
        Ordinary::new(
            "The unit was put into storage later, or taken out earlier, than the paper says.",
            "the register of the strong room, the seals with their numbers, whoever carried the unit",
        ),
        Ordinary::new(
            "The unit was checked in the strong room by an order that the case file does not state.",
            "the register of the strong room: who entered, when, and by whose order",
        ),
    ],
    look_next: &[
        "The register of the strong room, and any record of who entered.",
        "The seals of the unit: their numbers when it was stored and when it was taken out.",
    ],
    needs: &[Needs::Storage],
    scope: Scope::Events,
    occasions: "records",
    examples: &[
        Example {
            title: "Readings put two records in the night in which the unit lay in the strong room.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:02:00 close\n\
                  1204 2031-05-10 18:05:12 power-off\n\
                  1205 2031-05-11 02:11:37 power-on\n\
                  ^ activity-in-storage\n\
                  1206 2031-05-11 02:14:18 power-off\n",
            case: super::examples::STORED,
        },
        Example {
            title: "Near miss: the unit is taken out a minute before the paper says so.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:02:00 close\n\
                  1204 2031-05-10 18:05:12 power-off\n\
                  1205 2031-05-13 07:39:37 power-on\n\
                  1206 2031-05-13 07:41:18 power-off\n",
            case: super::examples::STORED,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let stored = lapses(known.case, &known.case.storage);
    if stored.is_empty() {
        walk.does_not_apply("the case file states that the unit was not stored");
        return;
    }
    let steps = (0..known.replay.steps.len())
        .filter(|step| known.record(*step).is_some() && !known.in_conflict(*step));
    let by_period = ByPeriod {
        stated: &stored,
        called: "the storage",
        what: "records and the times of storage",
        ask: (
            REGISTRAR,
            "when the unit was put into storage and when it was taken out (case file: [[storage]], from and to)",
        ),
    };
    let within = by_period.walk(known, walk, steps);
    for (steps, lapse) in within.iter().zip(&stored) {
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else { continue };
        let others = match steps.len() {
            1 => String::new(),
            number if number <= NAMED => format!(
                " {number} records lie surely in this time: {}. The last of them was recorded {}.",
                records_named(known.log, known.replay, steps),
                between(known, *last)
            ),
            number => format!(
                " {number} records lie surely in this time; the last of them is {}, recorded {}.",
                known.name(*last),
                between(known, *last)
            ),
        };
        let finding = Contrary {
            others: rest(known, steps),
            expected: "Nothing is recorded while the unit is stored, sealed and switched off.".to_owned(),
            shows: format!(
                "By the readings {} was recorded {}. The papers say that the unit was stored {}.{others}{}",
                known.name(*first),
                between(known, *first),
                period::span(known, lapse),
                in_doubt_beside(known, steps),
            ),
            measured: None,
            assumptions: period::premise(known, "the storage", lapse)
                .into_iter()
                .chain(clock_premises(known, &[*first, *last]))
                .collect(),
        };
        walk.contrary_all(steps, finding);
    }
}

/// The records next to these and among them that lie in a conflict, as a sentence; nothing where there is none.
fn in_doubt_beside(known: &Known<'_>, steps: &[usize]) -> String {
    let (Some(first), Some(last)) = (steps.first(), steps.last()) else { return String::new() };
    let is_doubtful = |step: &usize| known.in_conflict(*step) && known.record(*step).is_some();
    let beside: Vec<usize> = (first.saturating_sub(1)..last + 2).filter(is_doubtful).collect();
    match beside.as_slice() {
        [] => String::new(),
        [_] => format!(
            " Beside them, {} lies in a conflict and is not counted.",
            records_named(known.log, known.replay, &beside)
        ),
        _ => format!(
            " Beside them, {} lie in a conflict and are not counted.",
            records_named(known.log, known.replay, &beside)
        ),
    }
}

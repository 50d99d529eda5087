//! A power-on while the unit was on: the power had gone away without the switch.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::unit::Unlogged;

use super::{DIARY, LOST_RECORD, MAKER};

pub(crate) static RULE: Rule = Rule {
    id: "power-lost",
    family: Family::Procedure,
    kind: Kind::Shown,
    weight: Weight::Unusual,
    title: "A power-on stands in the record, and no power-off stands between it and the time the unit was on.",
    asks: "Before each power-on, the unit was switched off by its switch.",
    basis: &[
        Basis::Unit("power-off is recorded when the switch is used; a loss of power leaves no record"),
        Basis::Practice("the unit is switched off by its switch"),
    ],
    why: "The unit records its switch and its start. A start without a switching off before it means that the power \
          went away by itself, or that a power-off is missing from the record. On this unit that ends an enable that was waiting, and it may explain a silence.",
    ordinary: &[
        Ordinary::new(
            "The battery ran down, or was changed while the unit was on.",
            "battery-low and battery-changed records nearby, and the presiding officer's diary",
        ),
        Ordinary::new(
            "A cable worked loose, or the unit was moved.",
            "the presiding officer's diary and the notes of the polling agents",
        ),
        Ordinary::new(
            "The unit started again by itself, as some do after an error of their own.",
            "the maker's description of the model, and a trial on a unit of the same model",
        ),
        LOST_RECORD,
    ],
    look_next: &[DIARY, MAKER, "The battery levels in the log before and after."],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "power-ons",
    examples: &[
        Example {
            title: "The unit starts again in the middle of voting.",
            log: "1201 2031-05-10 09:00:05 enable\n\
                  1202 2031-05-10 09:00:31 vote\n\
                  1203 2031-05-10 09:07:12 power-on\n\
                  ^ power-lost\n\
                  1204 2031-05-10 09:07:20 self-test result=pass\n\
                  1205 2031-05-10 09:08:00 enable\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit was switched off and on.",
            log: "1201 2031-05-10 09:00:05 enable\n\
                  1202 2031-05-10 09:00:31 vote\n\
                  1203 2031-05-10 09:01:02 power-off\n\
                  1204 2031-05-10 09:07:12 power-on\n",
            case: "",
        },
        Example {
            title: "Near miss: one record is missing before the power-on, and it may be the power-off.",
            log: "1201 2031-05-10 09:00:05 enable\n\
                  1202 2031-05-10 09:00:31 vote\n\
                  1204 2031-05-10 09:07:12 power-on\n\
                  ^ number-missing\n",
            case: "",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    if !known.unit.unlogged.contains(&Unlogged::PowerLoss) {
        walk.does_not_apply(
            "the unit description does not say that a loss of power goes unrecorded; the rule on the order of records \
             speaks instead",
        );
        return;
    }
    for step in known.between(Event::PowerOn, 0, known.replay.steps.len()) {
        let place = known.place(step);
        let before = known.replay.before.get(step).copied().unwrap_or_default();
        if before.all(|state| state.on) {
            walk.contrary(place, contrary(known, step));
        } else if before.all(|state| !state.on) {
            walk.in_order(place);
        } else {
            walk.open(place, known.want_in(0, step).unwrap_or(Want::Front));
        }
    }
}

fn contrary(known: &Known<'_>, step: usize) -> Contrary {
    let Some(before) = (0..step).rev().find(|at| known.record(*at).is_some()) else {
        return Contrary::default();
    };
    Contrary {
        others: vec![known.place(before)],
        expected: "A power-off stands before a power-on.".to_owned(),
        shows: format!(
            "{} is a power-on. The unit was on at {}, and no power-off is recorded between.",
            known.name(step),
            known.name(before)
        ),
        measured: silence(known, before, step),
        assumptions: known.numbering_premise(before, step).into_iter().collect(),
    }
}

/// A number of seconds in hours, minutes and seconds.
fn duration(seconds: i64) -> String {
    let parts = [(seconds / 3600, "h"), (seconds / 60 % 60, "min"), (seconds % 60, "s")];
    let shown: Vec<String> =
        parts.iter().skip_while(|(n, _)| *n == 0).map(|(n, unit)| format!("{n} {unit}")).collect();
    if shown.is_empty() { "0 s".to_owned() } else { shown.join(" ") }
}

/// How long the record is silent before the power-on.
fn silence(known: &Known<'_>, before: usize, step: usize) -> Option<String> {
    let (from, to) = (known.record(before)?.time?, known.record(step)?.time?);
    let seconds = (to.ms() - from.ms()).checked_div(1000)?;
    if seconds < 0 {
        return Some(
            "the display fell back between the two records; for how long nothing was recorded is not told"
                .to_owned(),
        );
    }
    let margin = from.step_ms().max(to.step_ms());
    Some(format!(
        "{} between the two records as displayed, give or take {}",
        duration(seconds),
        crate::pace::duration(margin)
    ))
}

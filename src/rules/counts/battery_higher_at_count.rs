//! The battery's voltage is higher at the count than at the close.

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Value;

use super::DIARY;

pub(crate) static RULE: Rule = Rule {
    id: "battery-higher-at-count",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Remark,
    title: "The battery's voltage is higher at the count than at the close, and no change of battery is recorded.",
    asks: "The battery's voltage is not higher at the count than at the close, unless a change of battery is recorded.",
    basis: &[
        Basis::Practice("a unit in storage uses its battery up or leaves it as it is"),
        Basis::Unit("the unit measures its battery, and records that it finds another one"),
    ],
    why: "A battery that nobody touches does not gain charge. Its voltage may rise a little at rest, so that a small \
          difference says nothing. A change of battery is lawful and has a record.",
    ordinary: &[
        Ordinary::new(
            "A battery recovers some voltage at rest, and more of it in a warmer room.",
            "a trial with a battery of the same make, at rest for as long",
        ),
        Ordinary::new(
            "The unit measured under load at the close and without load at the count.",
            "the maker's description of the measurement",
        ),
        Ordinary::new(
            "The battery was changed before the count, and the unit did not record it.",
            "the record of the count and the strong-room book",
        ),
    ],
    look_next: &[DIARY, "The strong-room book and the seals, from the registrar of the constituency."],
    needs: &[],
    scope: Scope::Own,
    occasions: "counts with a measured battery",
    examples: &[
        Example {
            title: "The battery has 7,400 mV at the close and 7,900 mV at the count.",
            log: "501 2031-05-10 07:00:05 enable\n\
                  502 2031-05-10 07:00:31 vote\n\
                  503 2031-05-10 18:03:00 close total=1\n\
                  504 2031-05-10 18:03:10 battery-level mv=7400\n\
                  505 2031-05-12 09:00:10 battery-level mv=7900\n\
                  ^ battery-higher-at-count\n\
                  506 2031-05-12 09:03:00 result total=1\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"501-504\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"count\"\nrecords = \"505-506\"\nsource = \"Record of the count\"\n\
                   by = \"Returning officer\"\n",
        },
        Example {
            title: "Near miss: the battery was changed between close and count.",
            log: "501 2031-05-10 07:00:05 enable\n\
                  502 2031-05-10 07:00:31 vote\n\
                  503 2031-05-10 18:03:00 close total=1\n\
                  504 2031-05-10 18:03:10 battery-level mv=7400\n\
                  505 2031-05-12 09:00:05 battery-changed\n\
                  506 2031-05-12 09:00:10 battery-level mv=7900\n\
                  507 2031-05-12 09:03:00 result total=1\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"501-504\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"count\"\nrecords = \"505-507\"\nsource = \"Record of the count\"\n\
                   by = \"Returning officer\"\n",
        },
    ],
    walk,
};

/// The last measurement of the poll against each of the count.
fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let levels = known.steps_of(Event::BatteryLevel);
    let level = |step: usize| {
        known.record(step).and_then(|record| known.log.attribute(record, "mv")).and_then(Value::number)
    };
    let close = levels.iter().rev().find(|step| known.is_labelled(**step, Phase::Poll)).copied();
    let mut counted = false;
    for count in levels.iter().copied().filter(|step| known.is_labelled(*step, Phase::Count)) {
        let place = known.place(count);
        let (Some(close), Some(later)) = (close.filter(|close| *close < count), level(count)) else {
            continue;
        };
        let Some(earlier) = level(close) else { continue };
        counted = true;
        if later <= earlier || known.between(Event::BatteryChanged, close, count).next().is_some() {
            walk.in_order(place);
        } else if let Some(want) = known.want_between(close, count) {
            walk.open(place, want);
        } else {
            let contrary = Contrary {
                others: vec![known.place(close)],
                expected: "The battery has no more voltage at the count than at the close.".to_owned(),
                shows: format!(
                    "{} measures {later} mV, {} measured {earlier} mV. No change of battery is recorded between.",
                    known.name(count),
                    known.name(close)
                ),
                measured: Some(format!("{} mV more, as the unit measures", later - earlier)),
                assumptions: [
                    known.label_premise(close, Phase::Poll),
                    known.label_premise(count, Phase::Count),
                ]
                .into_iter()
                .flatten()
                .collect(),
            };
            walk.contrary(place, contrary);
        }
    }
    if !counted {
        walk.unseen(Want::Need(
            "the record does not hold a measurement of the battery both in the poll and at the count",
            "returning officer",
            "the voltages of the battery that were read at the close and at the count",
        ));
        return;
    }
    // Other measurements, and whatever came between, may have gone unseen.
    if !known.replay.back.is_closed() {
        walk.unseen(Want::Back);
    }
    if let Some(want) = known.want_in(0, known.replay.steps.len()) {
        walk.unseen(want);
    }
    walk.unlabelled(Event::BatteryLevel, Phase::Count);
    walk.unlabelled(Event::BatteryLevel, Phase::Poll);
}

//! A record other than power-on or export after the unit was switched off.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT, others_in_order};

pub(crate) static RULE: Rule = Rule {
    id: "event-while-off",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A record follows the switching off of the unit, with no power-on between.",
    asks: "After power-off, nothing but an export is recorded before power-on.",
    basis: &[Basis::Unit(
        "power-off and power-on leave a record each; an export may be written with the switch off",
    )],
    why: "A unit that is switched off records nothing. A record behind a power-off means that a power-on is \
           missing from the record, or that one of the two does not belong where it stands.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, MAKER, DIARY],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "times that the unit was switched off",
    examples: &[
        Example {
            title: "A vote follows the power-off.",
            log: "1201 2031-05-10 09:00:00 enable\n\
                  1202 2031-05-10 09:00:23 power-off\n\
                  1203 2031-05-10 09:00:46 vote\n\
                  ^ event-while-off\n",
            case: "",
        },
        Example {
            title: "A second power-off follows the first.",
            log: "1201 2031-05-10 18:00:00 close\n\
                  1202 2031-05-10 18:00:23 power-off\n\
                  1203 2031-05-10 18:00:46 power-off\n\
                  ^ event-while-off\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit was switched on again.",
            log: "1201 2031-05-10 09:00:00 enable\n\
                  1202 2031-05-10 09:00:23 power-off\n\
                  1203 2031-05-10 09:00:46 power-on\n\
                  1204 2031-05-10 09:01:09 enable\n\
                  1205 2031-05-10 09:01:32 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the log was written out while the unit was off.",
            log: "1201 2031-05-10 18:00:00 close\n\
                  1202 2031-05-10 18:00:23 power-off\n\
                  1203 2031-05-10 18:00:46 export\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("A power-on stands between a power-off and the next record of the unit.", |known, deviation| {
            let (first, last) = (known.name(deviation.first), known.name(deviation.last));
            let what = known.record(deviation.last).map_or_else(String::new, |r| known.log.word(r).to_string());
            format!("After {first} the power was off, and no power-on is recorded before {last}, the event `{what}`.")
        });
        others_in_order(known, walk, Event::PowerOff);
    },
};

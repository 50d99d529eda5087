//! An enable between a close and the clear that must follow before voting can begin again.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "enable-after-close",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "An enable stands in the record after a close, with no clear between.",
    asks: "After a close, no enable is recorded before the memory is cleared.",
    basis: &[
        Basis::Unit("enable: refused between close and clear"),
        Basis::Practice("close is final until clear"),
        Basis::Comparable(
            "VVSG 2.0, 1.1.7-B and 1.1.7-E: no activation, and no return to voting, after voting was stopped",
        ),
    ],
    why: "A closed unit refuses the enable key. An enable behind a close means that a clear and what led to \
           it are missing from the record, that the close does not belong where it stands, or that the unit \
           took the key when closed.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, DIARY, MAKER],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "enables",
    examples: &[
        Example {
            title: "An enable follows the close.",
            log: "1201 2031-05-10 17:00:00 vote\n\
                  1202 2031-05-10 17:00:23 close\n\
                  1203 2031-05-10 17:00:46 enable\n\
                  ^ enable-after-close\n",
            case: "",
        },
        Example {
            title: "Near miss: the enable key was pressed after the close, and the unit refused it.",
            log: "1201 2031-05-10 17:00:00 vote\n\
                  1202 2031-05-10 17:00:23 close\n\
                  1203 2031-05-10 17:00:46 key-refused key=enable\n\
                  1204 2031-05-10 17:01:09 power-off\n",
            case: "",
        },
        Example {
            title: "Near miss: result and clear stand between.",
            log: "1201 2031-05-10 17:00:00 close\n\
                  1202 2031-05-10 17:00:23 result\n\
                  1203 2031-05-10 17:00:46 clear\n\
                  1204 2031-05-10 17:01:09 enable\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("No enable follows a close before the memory is cleared.", |known, deviation| {
            let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
            format!("{stretch}, the unit was closed and no clear is recorded. {last} is an enable.")
        });
        others_in_order(known, walk, Event::Enable);
    },
};

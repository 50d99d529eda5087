//! Records that no state of the unit explains, and that no other rule names.

use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "no-lawful-course",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "These records cannot follow each other, whatever the unit was doing before them.",
    asks: "Each record can follow the records before it.",
    basis: &[Basis::Unit("the whole table of states and events")],
    why: "The unit description says which event the unit takes in which state. Here no state is left that \
           explains the records, and no other rule names by itself what stands against them. So nothing more can \
           be said than that they do not fit.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, MAKER, DIARY],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "records",
    examples: &[
        Example {
            title: "A second close follows the first.",
            log: "1201 2031-05-10 18:00:00 vote\n\
                  1202 2031-05-10 18:00:23 close\n\
                  1203 2031-05-10 18:00:46 close\n\
                  ^ no-lawful-course\n",
            case: "",
        },
        Example {
            title: "A lapse with no enable before it.",
            log: "1201 2031-05-10 12:00:00 enable\n\
                  1202 2031-05-10 12:00:23 vote\n\
                  1203 2031-05-10 12:00:46 enable-lapsed\n\
                  ^ no-lawful-course\n",
            case: "",
        },
        Example {
            title: "A clear follows an enable: what stands against it depends on what lies before the log.",
            log: "1201 2031-05-10 12:00:00 enable\n\
                  1202 2031-05-10 12:00:23 clear\n\
                  ^ no-lawful-course\n",
            case: "",
        },
        Example {
            title: "A vote follows a start directly: it lacks an enable, or stands behind a close.",
            log: "1201 2031-05-10 17:00:00 power-on\n\
                  1202 2031-05-10 17:00:23 vote\n\
                  ^ no-lawful-course\n",
            case: "",
        },
        Example {
            title: "Near miss: close, result and clear stand between two closes.",
            log: "1201 2031-05-10 18:00:00 close\n\
                  1202 2031-05-10 18:00:23 result\n\
                  1203 2031-05-10 18:00:46 clear\n\
                  1204 2031-05-10 18:01:09 close\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("Some state of the unit explains the records.", |known, deviation| {
            let what =
                known.record(deviation.last).map_or_else(String::new, |r| known.log.word(r).to_string());
            let last = known.name(deviation.last);
            format!(
                "{}, no state of the unit explains the records: nothing allows {last}, the event `{what}`.",
                stretch(known, deviation)
            )
        });
        for step in (0..known.replay.steps.len()).filter(|step| known.record(*step).is_some()) {
            if !known.in_conflict(step) {
                walk.in_order(known.place(step));
            }
        }
    },
};

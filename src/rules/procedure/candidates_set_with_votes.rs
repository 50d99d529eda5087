//! The number of candidates set while the memory held votes or the unit was closed.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "candidates-set-with-votes",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "The number of candidates was set although the memory had not been cleared.",
    asks: "The number of candidates is set only when the memory is empty.",
    basis: &[
        Basis::Unit("candidate-set: taken only with an empty memory"),
        Basis::Practice("the number of candidates is set about a week before the poll, after a clear"),
    ],
    why: "Votes in memory belong to the number of candidates under which they were given. The unit takes a \
           new number only when its memory is empty, so a clear must be missing from the record, or the unit \
           took the number all the same.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, DIARY, MAKER],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "settings of the number of candidates",
    examples: &[
        Example {
            title: "The number was set after a vote.",
            log: "1201 2031-05-10 09:00:00 enable\n\
                  1202 2031-05-10 09:00:23 vote\n\
                  1203 2031-05-10 09:00:46 candidate-set count=5\n\
                  ^ candidates-set-with-votes\n",
            case: "",
        },
        Example {
            title: "The number was set between result and clear.",
            log: "1201 2031-05-10 09:00:00 result\n\
                  1202 2031-05-10 09:00:23 candidate-set count=5\n\
                  ^ candidates-set-with-votes\n\
                  1203 2031-05-10 09:00:46 clear\n",
            case: "",
        },
        Example {
            title: "Near miss: the number was set after the clear.",
            log: "1201 2031-05-10 09:00:00 result\n\
                  1202 2031-05-10 09:00:23 clear\n\
                  1203 2031-05-10 09:00:46 candidate-set count=5\n\
                  1204 2031-05-10 09:01:09 enable\n\
                  1205 2031-05-10 09:01:32 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("A clear stands between the last vote, close or result and the setting of the number of candidates.", |known, deviation| {
            let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
            format!("{stretch}, no clear is recorded. {last} sets the number of candidates.")
        });
        others_in_order(known, walk, Event::CandidateSet);
    },
};

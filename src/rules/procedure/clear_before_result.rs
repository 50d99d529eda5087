//! A clear of a memory of votes whose result had not been shown.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_MODEL, SECOND_EXPORT, SLIPS, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "clear-before-result",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A clear stands in the record, and no result was shown of the votes that it emptied.",
    asks: "The memory of votes is cleared only after the result was shown.",
    basis: &[
        Basis::Unit("clear: refused while the memory holds votes or a close whose result was not shown"),
        Basis::Practice("close, result, clear, in that order"),
    ],
    why: "The unit empties its memory only after the result was shown. A clear without it means that a \
           result is missing from the record, or that the unit took a clear without one.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, DIARY, SLIPS],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "clears",
    examples: &[
        Example {
            title: "A clear follows the close directly.",
            log: "1201 2031-05-10 18:00:00 enable\n\
                  1202 2031-05-10 18:00:23 vote\n\
                  1203 2031-05-10 18:00:46 close\n\
                  1204 2031-05-10 18:01:09 clear\n\
                  ^ clear-before-result\n",
            case: "",
        },
        Example {
            title: "A clear follows a vote.",
            log: "1201 2031-05-10 12:00:00 enable\n\
                  1202 2031-05-10 12:00:23 vote\n\
                  1203 2031-05-10 12:00:46 total shown=31\n\
                  1204 2031-05-10 12:01:09 clear\n\
                  ^ clear-before-result\n",
            case: "",
        },
        Example {
            title: "Near miss: the result was shown between.",
            log: "1201 2031-05-10 18:00:00 vote\n\
                  1202 2031-05-10 18:00:23 close\n\
                  1203 2031-05-10 18:00:46 result\n\
                  1204 2031-05-10 18:01:09 clear\n",
            case: "",
        },
        Example {
            title: "Near miss: an empty memory was cleared once more.",
            log: "1201 2031-05-10 06:00:00 result\n\
                  1202 2031-05-10 06:00:23 clear\n\
                  1203 2031-05-10 06:00:46 clear\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations(
            "A result stands between the last vote or close and the clear.",
            |known, deviation| {
                let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
                format!("{stretch}, no result is recorded. {last} is a clear.")
            },
        );
        others_in_order(known, walk, Event::Clear);
    },
};

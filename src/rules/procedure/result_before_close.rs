//! A result shown while voting had not been closed.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "result-before-close",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A result stands in the record while voting was not closed.",
    asks: "The result is shown only after a close.",
    basis: &[
        Basis::Unit("result: refused before close"),
        Basis::Practice("close, result, clear, in that order"),
        Basis::Comparable(
            "VVSG 2.0, 1.1.9-K: no report of votes while the poll is open; the number of ballots may be shown",
        ),
    ],
    why: "The unit shows the result only when it is closed. A result behind an enable or a vote means that a \
           close is missing from the record, or that the unit showed the result of an open poll.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, DIARY, MAKER],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "results",
    examples: &[
        Example {
            title: "A result follows a vote.",
            log: "1201 2031-05-10 12:00:00 enable\n\
                  1202 2031-05-10 12:00:23 vote\n\
                  1203 2031-05-10 12:00:46 result\n\
                  ^ result-before-close\n",
            case: "",
        },
        Example {
            title: "A result follows the clear, with nothing between.",
            log: "1201 2031-05-10 12:00:00 result\n\
                  1202 2031-05-10 12:00:23 clear\n\
                  1203 2031-05-10 12:00:46 result\n\
                  ^ result-before-close\n",
            case: "",
        },
        Example {
            title: "Near miss: the number of votes was shown, which changes nothing.",
            log: "1201 2031-05-10 12:00:00 enable\n\
                  1202 2031-05-10 12:00:23 vote\n\
                  1203 2031-05-10 12:00:46 total shown=212\n\
                  1204 2031-05-10 12:01:09 enable\n\
                  1205 2031-05-10 12:01:32 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the result was shown twice after the close.",
            log: "1201 2031-05-10 18:00:00 enable\n\
                  1202 2031-05-10 18:00:23 vote\n\
                  1203 2031-05-10 18:00:46 close\n\
                  1204 2031-05-10 18:01:09 result\n\
                  1205 2031-05-10 18:01:32 result\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("A close stands between the last vote and the result.", |known, deviation| {
            let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
            format!("{stretch}, voting was open and no close is recorded. {last} is a result.")
        });
        others_in_order(known, walk, Event::Result);
    },
};

//! The number of votes declared is not the number in the unit's memory, less what was deducted.
use crate::case::CountOf;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::told::BEHIND_THE_CLOSE;
use super::{MORE_THAN_THIS, OTHER_RECORDS, SLIP_OF_THE_PEN, UNIT, papers};

pub(crate) static RULE: Rule = Rule {
    id: "declared-differs",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The number of votes declared is not the number in the unit's memory, less what was deducted.",
    asks: "The number of votes declared for the unit is the number in its memory at the close, less what was deducted by order.",
    basis: &[
        Basis::Practice("the result of the unit is what is declared for it"),
        Basis::Unit("the close and the result show the number of votes in memory"),
    ],
    why: "What is declared for a unit is taken from its result. Votes of a mock poll that stayed in memory, and test votes, are deducted by written order. Every other difference needs an explanation on paper.",
    ordinary: &[
        SLIP_OF_THE_PEN,
        MORE_THAN_THIS,
        BEHIND_THE_CLOSE,
        Ordinary::new(
            "Votes were deducted or added by an order that the case file does not state.",
            "the record of the count, with its orders",
        ),
        Ordinary::new(
            "The declared number was amended by a later decision.",
            "the decision, and the form as first signed",
        ),
        OTHER_RECORDS,
    ],
    look_next: &[
        UNIT,
        "The form on which the result of the unit was entered, from the registrar of the constituency.",
    ],
    needs: &[Needs::Count(CountOf::Declared)],
    scope: Scope::Own,
    occasions: "declared numbers",
    examples: &[
        Example {
            title: "Two votes are in memory at the close, and three are declared.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  ^ declared-differs\n\
                  508 2031-05-12 09:03:00 result total=2\n",
            case: concat!(
                phase!("poll", "502-507"),
                phase!("count", "508-508"),
                count!("declared", 3, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "Near miss: as many are declared as were in memory.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("declared", 2, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "Near miss: one of the two was a test vote, deducted at the count.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("declared", 1, "Declaration of the result", "Returning officer"),
                count!("test-votes", 1),
            ),
        },
        Example {
            title: "Near miss: the log ends at the close, and what was recorded behind it may show another number.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("declared", 3, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "Near miss: the log ends before the close.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n",
            case: concat!(
                phase!("poll", "502-506"),
                count!("declared", 3, "Declaration of the result", "Returning officer"),
            ),
        },
    ],
    walk: |known, walk| papers(known, walk, "declared-differs", CountOf::Declared),
};

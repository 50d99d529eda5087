//! The paper slips counted are not as many as the votes in the unit's memory at the close.
use crate::case::CountOf;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::told::BEHIND_THE_CLOSE;
use super::{MORE_THAN_THIS, OTHER_RECORDS, SLIP_OF_THE_PEN, UNIT, papers};

pub(crate) static RULE: Rule = Rule {
    id: "slips-differ",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The paper slips counted are not as many as the votes in the unit's memory at the close.",
    asks: "The paper slips counted are as many as the votes in the unit's memory at the close.",
    basis: &[Basis::Practice(
        "a paper-trail unit prints one slip for each vote, and the slips of the mock poll are set apart",
    )],
    why: "Each vote gives one slip. Slips of a mock poll are taken out and sealed apart before the poll; where its votes stayed in memory, its slips may or may not be among those counted.",
    ordinary: &[
        Ordinary::new(
            "A slip was not cut, hung behind the window, or two were printed on one strip.",
            "the records of slips that did not drop, and the box itself",
        ),
        Ordinary::new(
            "Slips of the mock poll were left in the box, or slips were miscounted.",
            "the sealed envelope of the mock poll, and the slips counted again",
        ),
        BEHIND_THE_CLOSE,
        SLIP_OF_THE_PEN,
        MORE_THAN_THIS,
        OTHER_RECORDS,
    ],
    look_next: &["The slips, counted again before the parties, from whoever holds the box.", UNIT],
    needs: &[Needs::Count(CountOf::Slips)],
    scope: Scope::Own,
    occasions: "counts of slips",
    examples: &[
        Example {
            title: "Two votes are in memory, and three slips were counted.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  ^ slips-differ\n\
                  508 2031-05-12 09:03:00 result total=2\n",
            case: concat!(
                phase!("poll", "502-507"),
                phase!("count", "508-508"),
                count!("slips", 3, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "Near miss: two votes and two slips.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("slips", 2, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "The log ends at the close, which shows two votes, and three slips were counted.",
            log: two_votes!("slips-differ"),
            case: concat!(
                phase!("poll", "502-507"),
                count!("slips", 3, "Declaration of the result", "Returning officer"),
            ),
        },
        Example {
            title: "Near miss: the paper gives the slips as two or three.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                "[[count]]\nof = \"slips\"\nleast = 2\nmost = 3\nsource = \"Declaration of the result\"\nby = \"Returning officer\"\n",
            ),
        },
    ],
    walk: |known, walk| papers(known, walk, "slips-differ", CountOf::Slips),
};

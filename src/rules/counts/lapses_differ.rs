//! The voters who left after the enable are not as many as the enables without a vote.
use crate::case::CountOf;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_RECORDS, SLIP_OF_THE_PEN, papers};

pub(crate) static RULE: Rule = Rule {
    id: "lapses-differ",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The voters who left after the enable are not as many as the enables without a vote.",
    asks: "The voters noted as having left after the enable are as many as the enables that no vote followed.",
    basis: &[
        Basis::Practice("a voter who leaves after the enable is noted in the diary"),
        Basis::Unit("an enable is followed by one vote, or ends without one"),
    ],
    why: "An enable that no vote followed is a voter who left, or a release that was pressed again for the same voter. The diary notes those who left.",
    ordinary: &[
        Ordinary::new(
            "A voter was slow, the enable ended without a vote, and the same voter was released again.",
            "the diary's remarks for this time",
        ),
        Ordinary::new("A voter left and nobody noted it.", "the register, with its remarks"),
        SLIP_OF_THE_PEN,
        LOST_RECORD,
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, "A second export of the same unit, from whoever holds the unit."],
    needs: &[Needs::Count(CountOf::LeftAfterEnable)],
    scope: Scope::Own,
    occasions: "notes of voters who left",
    examples: &[
        Example {
            title: "One enable has no vote, and nobody is said to have left.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:03:05 enable-lapsed\n\
                  507 2031-05-10 18:03:00 close total=1\n\
                  ^ lapses-differ\n",
            case: concat!(phase!("poll", "502-507"), count!("left-after-enable", 0),),
        },
        Example {
            title: "Near miss: one enable has no vote, and one voter left.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:03:05 enable-lapsed\n\
                  507 2031-05-10 18:03:00 close total=1\n",
            case: concat!(phase!("poll", "502-507"), count!("left-after-enable", 1),),
        },
        Example {
            title: "Near miss: the log begins after the opening.",
            log: "1205 2031-05-10 07:02:05 enable\n\
                  1206 2031-05-10 07:03:05 enable-lapsed\n\
                  1207 2031-05-10 18:03:00 close total=1\n",
            case: concat!(phase!("poll", "1205-1207"), count!("left-after-enable", 2),),
        },
    ],
    walk: |known, walk| papers(known, walk, "lapses-differ", CountOf::LeftAfterEnable),
};

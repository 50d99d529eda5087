//! The voters signed in the register, less those who did not vote, are not the votes of the poll.
use crate::case::CountOf;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::told::{BEHIND_THE_CLOSE, LEFT_UNNOTED, MOCK_STAYED, NOT_SIGNED};
use super::{DIARY, MORE_THAN_THIS, OTHER_RECORDS, SLIP_OF_THE_PEN, papers};

pub(crate) static RULE: Rule = Rule {
    id: "register-differs",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The voters signed in the register, less those who did not vote, are not the votes in memory at the close.",
    asks: "The voters signed in the register, less those who did not vote, are the votes in memory at the close.",
    basis: &[Basis::Practice(
        "every voter signs the register before voting, and those who then do not vote are noted",
    )],
    why: "The register and the unit count the same voters by different hands, up to the close. Those who signed and refused, or who left after the enable, are noted, and so is whoever voted without having signed. What the papers leave open is printed as an allowance.",
    ordinary: &[
        SLIP_OF_THE_PEN,
        LEFT_UNNOTED,
        NOT_SIGNED,
        BEHIND_THE_CLOSE,
        MORE_THAN_THIS,
        Ordinary::new(
            "The register is right, and another number is not: the one declared, or one that the unit showed.",
            "the declaration of the result, and the unit's own result shown again",
        ),
        MOCK_STAYED,
        OTHER_RECORDS,
    ],
    look_next: &[
        "The register of voters and the account of votes, from the registrar of the constituency.",
        DIARY,
    ],
    needs: &[Needs::Count(CountOf::Register)],
    scope: Scope::Own,
    occasions: "registers",
    examples: &[
        Example {
            title: "One voter signed, two votes are in memory, and nobody is said to have voted without signing.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  ^ register-differs\n\
                  508 2031-05-12 09:03:00 result total=2\n",
            case: concat!(phase!("poll", "502-507"), phase!("count", "508-508"), count!("register", 1),),
        },
        Example {
            title: "Near miss: three signed, two voted, and nobody says how many refused.",
            log: super::TWO_VOTES,
            case: concat!(phase!("poll", "502-507"), count!("register", 3),),
        },
        Example {
            title: "Three signed, two voted, and none refused or left.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  ^ register-differs\n\
                  508 2031-05-12 09:03:00 result total=2\n",
            case: concat!(
                phase!("poll", "502-507"),
                phase!("count", "508-508"),
                count!("register", 3),
                count!("refused", 0),
                count!("left-after-enable", 0),
            ),
        },
        Example {
            title: "The log ends at the close, which shows two votes: one signed, and remarks could only make it fewer.",
            log: two_votes!("register-differs"),
            case: concat!(phase!("poll", "502-507"), count!("register", 1),),
        },
        Example {
            title: "Near miss: three signed and one of them refused.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("register", 3),
                count!("refused", 1),
                count!("left-after-enable", 0),
            ),
        },
        Example {
            title: "Near miss: one voted without having signed, as the diary says.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("register", 1),
                count!("unsigned", 1),
                count!("refused", 0),
                count!("left-after-enable", 0),
            ),
        },
        Example {
            title: "Near miss: between none and five refused, which leaves room for the difference.",
            log: super::TWO_VOTES,
            case: concat!(
                phase!("poll", "502-507"),
                count!("register", 3),
                count!("refused", 0 to 5),
                count!("left-after-enable", 0),
            ),
        },
    ],
    walk: |known, walk| papers(known, walk, "register-differs", CountOf::Register),
};

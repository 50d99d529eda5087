//! The number of votes noted for the mock poll is not the number recorded in it.
use crate::case::CountOf;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_RECORDS, SLIP_OF_THE_PEN, papers};

pub(crate) static RULE: Rule = Rule {
    id: "mock-votes-differ",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The number of votes noted for the mock poll is not the number recorded in it.",
    asks: "The number of votes noted for the mock poll is the number recorded in a mock poll, or in all of them.",
    basis: &[Basis::Practice(
        "the votes of the mock poll are noted on its certificate before the candidates' agents",
    )],
    why: "The certificate of the mock poll says how many votes were cast in it. The record shows the same votes one by one, where all of it was seen. Of several polls each has its own: the mock poll held behind the end of the poll before it.",
    ordinary: &[
        SLIP_OF_THE_PEN,
        Ordinary::new(
            "Part of the mock poll was held on another unit, or a vote of it was cast after the certificate was written.",
            "the certificate, which names the units and the hour",
        ),
        OTHER_RECORDS,
        LOST_RECORD,
    ],
    look_next: &["The certificate of the mock poll, from the registrar of the constituency.", DIARY],
    needs: &[Needs::Count(CountOf::MockVotes), Needs::MockPollLabel],
    scope: Scope::Own,
    occasions: "notes of the mock poll",
    examples: &[
        Example {
            title: "Two votes are noted, and the mock poll has one.",
            log: "1 2031-05-10 06:00:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  ^ mock-votes-differ\n\
                  4 2031-05-10 06:01:00 close total=1\n\
                  5 2031-05-10 06:02:00 result total=1\n\
                  6 2031-05-10 06:03:00 clear\n\
                  7 2031-05-10 06:52:00 total shown=0\n\
                  8 2031-05-10 07:00:05 enable\n\
                  9 2031-05-10 07:00:31 vote\n\
                  10 2031-05-10 18:03:00 close total=1\n",
            case: concat!(
                phase!("mock-poll", "2-6"),
                phase!("poll", "7-10"),
                count!("mock-votes", 2, "Certificate of the mock poll", "Presiding officer"),
            ),
        },
        Example {
            title: "Near miss: one vote is noted, and the mock poll has one.",
            log: "1 2031-05-10 06:00:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  4 2031-05-10 06:01:00 close total=1\n\
                  5 2031-05-10 06:02:00 result total=1\n\
                  6 2031-05-10 06:03:00 clear\n\
                  7 2031-05-10 06:52:00 total shown=0\n\
                  8 2031-05-10 07:00:05 enable\n\
                  9 2031-05-10 07:00:31 vote\n\
                  10 2031-05-10 18:03:00 close total=1\n",
            case: concat!(
                phase!("mock-poll", "2-6"),
                phase!("poll", "7-10"),
                count!("mock-votes", 1, "Certificate of the mock poll", "Presiding officer"),
            ),
        },
        Example {
            title: "Near miss: the log begins in the middle of the mock poll.",
            log: "1202 2031-05-10 06:00:05 enable\n\
                  1203 2031-05-10 06:00:31 vote\n\
                  1204 2031-05-10 06:01:00 close\n\
                  1205 2031-05-10 06:02:00 result\n\
                  1206 2031-05-10 06:03:00 clear\n\
                  1207 2031-05-10 06:52:00 total shown=0\n\
                  1208 2031-05-10 07:00:05 enable\n\
                  1209 2031-05-10 07:00:31 vote\n\
                  1210 2031-05-10 18:03:00 close total=1\n",
            case: concat!(
                phase!("mock-poll", "1202-1206"),
                phase!("poll", "1207-1210"),
                count!("mock-votes", 2, "Certificate of the mock poll", "Presiding officer"),
            ),
        },
    ],
    walk: |known, walk| papers(known, walk, "mock-votes-differ", CountOf::MockVotes),
};

//! The result that the unit shows is not the number of votes in its record.
use crate::case::CountOf;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Ordinary, Rule, Scope};

use super::{LOST_RECORD, OTHER_MODEL, SLIP_OF_THE_PEN, UNIT, papers, shown_numbers};

pub(crate) static RULE: Rule = Rule {
    id: "result-differs",
    family: Family::Counts,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "The result that the unit shows is not the number of votes in its record.",
    asks: "The result that the unit shows, and that was noted at the count, is the number of votes recorded up to the close.",
    basis: &[
        Basis::Unit("the result shows the votes in memory, and nothing changes them after the close"),
        Basis::Practice("the result is noted at the count"),
    ],
    why: "After the close no vote can follow until the memory is cleared. So the result at the count, and at every recount, is the number shown at the close and the number of votes recorded.",
    ordinary: &[
        LOST_RECORD,
        OTHER_MODEL,
        Ordinary::new(
            "The result that the record states leaves out what was deducted, or counts one candidate only.",
            "the maker's description of the record of a result",
        ),
        SLIP_OF_THE_PEN,
    ],
    look_next: &[UNIT, "A second export of the same unit, from whoever holds the unit."],
    needs: &[],
    scope: Scope::Events,
    occasions: "results shown",
    examples: &[
        Example {
            title: "The close shows two votes and the result three.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  508 2031-05-12 09:03:00 result total=3\n\
                  ^ result-differs\n",
            case: "",
        },
        Example {
            title: "Near miss: the result is shown again at a recount, with the same number.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=2\n\
                  508 2031-05-12 09:03:00 result total=2\n\
                  509 2031-05-13 09:03:00 result total=2\n",
            case: "",
        },
        Example {
            title: "Near miss: the close does not say what it showed, and the log begins after the opening.",
            log: "1203 2031-05-10 07:00:05 enable\n\
                  1204 2031-05-10 07:00:31 vote\n\
                  1205 2031-05-10 18:03:00 close\n\
                  1206 2031-05-12 09:03:00 result total=3\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        shown_numbers(known, walk, &[Event::Result]);
        papers(known, walk, "result-differs", CountOf::ResultAtCount);
    },
};

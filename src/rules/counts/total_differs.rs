//! The number of votes that the unit shows is not the number of votes in its record.
use crate::case::CountOf;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Ordinary, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_MODEL, SLIP_OF_THE_PEN, UNIT, papers, shown_numbers};

pub(crate) static RULE: Rule = Rule {
    id: "total-differs",
    family: Family::Counts,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "The number of votes that the unit shows is not the number of votes in its record.",
    asks: "The number of votes that the unit shows, and that was noted at the close, is the number of votes recorded.",
    basis: &[
        Basis::Unit("a total and a close show the number of votes in memory"),
        Basis::Practice("the total is noted at the close"),
    ],
    why: "The unit keeps the number of votes in its memory, and each vote leaves a record. Where the record is whole between two numbers shown, or since a clear, the two must agree to the vote.",
    ordinary: &[
        LOST_RECORD,
        OTHER_MODEL,
        Ordinary::new(
            "The number noted on paper was taken at another moment, before or after the close.",
            "the diary's time of the note, and the total that the unit shows now",
        ),
        SLIP_OF_THE_PEN,
    ],
    look_next: &[UNIT, "A second export of the same unit, from whoever holds the unit.", DIARY],
    needs: &[],
    scope: Scope::Events,
    occasions: "numbers shown at a total or a close",
    examples: &[
        Example {
            title: "Two votes are recorded since the total of zero, and the close shows three.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 18:03:00 close total=3\n\
                  ^ total-differs\n",
            case: "",
        },
        Example {
            title: "Near miss: the log begins after the opening, so that the first vote may lie before it.",
            log: "1203 2031-05-10 07:00:05 enable\n\
                  1204 2031-05-10 07:00:31 vote\n\
                  1205 2031-05-10 07:02:05 enable\n\
                  1206 2031-05-10 07:02:31 vote\n\
                  1207 2031-05-10 18:03:00 close total=3\n",
            case: "",
        },
        Example {
            title: "The log begins after the opening, and the close shows fewer votes than are recorded in it.",
            log: "1203 2031-05-10 07:00:05 enable\n\
                  1204 2031-05-10 07:00:31 vote\n\
                  1205 2031-05-10 07:02:05 enable\n\
                  1206 2031-05-10 07:02:31 vote\n\
                  1207 2031-05-10 18:03:00 close total=1\n\
                  ^ total-differs\n",
            case: "",
        },
        Example {
            title: "Near miss: a line between could not be read, and may be the third vote.",
            log: "501 2031-05-10 06:30:00 power-on\n\
                  502 2031-05-10 06:31:00 total shown=0\n\
                  503 2031-05-10 07:00:05 enable\n\
                  504 2031-05-10 07:00:31 vote\n\
                  505 2031-05-10 07:02:05 enable\n\
                  506 2031-05-10 07:02:31 vote\n\
                  507 2031-05-10 07:05:05 enable\n\
                  508 2031-05-10 07:05\n\
                  ^ unreadable-line\n\
                  509 2031-05-10 18:03:00 close total=3\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        shown_numbers(known, walk, &[Event::Total, Event::Close]);
        papers(known, walk, "total-differs", CountOf::TotalAtClose);
    },
};

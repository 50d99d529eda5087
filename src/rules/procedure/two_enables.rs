//! Two enables with neither a vote nor a lapse recorded between them.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Against, Basis, Example, Family, Needs, Ordinary, Rule, Scope};

pub(crate) static RULE: Rule = Rule {
    id: "two-enables",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "Two enables stand in the record with neither a vote nor a lapse between them.",
    asks: "Between two enables, a vote or a lapse is recorded.",
    basis: &[
        Basis::Unit("an enable while another waits is refused; unlogged moves as the description lists them"),
        Basis::Practice("each enable releases the ballot unit for one vote"),
    ],
    why: "An enable releases the ballot unit for one vote, and the unit takes no second enable while the first still \
          waits. Two enables in a row mean that something between them is not in the record, or that one of the two \
          does not belong there, or that this model takes a second enable. The log cannot say which.",
    ordinary: &[
        Ordinary::new(
            "The voter left, and this model ends the enable without a record.",
            "the maker's description of the model: whether a lapsed enable leaves a record",
        ),
        Ordinary::new(
            "The enable key was pressed twice, and this model writes the refused press as an enable.",
            "the maker's description of the model, and a trial on a unit of the same model",
        ),
        Ordinary::new(
            "This model takes a second enable while the first still waits.",
            "the maker's description of the model, and a trial on a unit of the same model",
        ),
        Ordinary::new(
            "A record between the two was lost when the log was written out.",
            "the record numbers on both sides, and a second export of the unit",
        )
        .against(Against::NumbersFollow)
        .against(Against::NumbersFollow),
    ],
    look_next: &[
        "A second export of the same unit, from whoever holds the unit.",
        "The presiding officer's diary and the register for this minute: did a voter leave without voting?",
        "The paper slips, where a paper-trail unit was used: their number against the votes recorded.",
    ],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "enables",
    examples: &[
        Example {
            title: "The second enable follows the first directly.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:50 enable\n\
                  1204 2031-05-10 07:01:40 enable\n\
                  ^ two-enables\n\
                  1205 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the voter left, and the lapse was recorded.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:01:05 enable-lapsed\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("A vote or a lapse stands between two enables.", |known, deviation| {
            format!(
                "{} and {} are enables, and nothing that ends the first is recorded between them.",
                known.name(deviation.first),
                known.name(deviation.last)
            )
        });
        for step in known.steps_of(Event::Enable) {
            if !known.in_conflict(*step) {
                walk.in_order(known.place(*step));
            }
        }
    },
};

//! A vote with no enable recorded before it that could still have been waiting.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_MODEL, SECOND_EXPORT, SLIPS, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "vote-without-enable",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A vote stands in the record with no enable before it that could still have been waiting.",
    asks: "Before each vote, an enable stands in the record that no vote, lapse or power cycle has ended.",
    basis: &[
        Basis::Unit("vote: taken only while an enable waits"),
        Basis::Practice("one enable releases the ballot unit for one vote, and the vote locks it again"),
    ],
    why: "A vote locks the unit until the next enable. Where a vote follows a record that leaves the unit \
           locked, either an enable is missing from the record or a vote stands there that does not belong \
           there. The log cannot say which.",
    ordinary: &[LOST_RECORD, OTHER_MODEL],
    look_next: &[SECOND_EXPORT, SLIPS, DIARY],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "votes",
    examples: &[
        Example {
            title: "A vote follows a vote.",
            log: "1201 2031-05-10 08:00:00 enable\n\
                  1202 2031-05-10 08:00:23 vote\n\
                  1203 2031-05-10 08:00:46 vote\n\
                  ^ vote-without-enable\n\
                  1204 2031-05-10 08:01:09 enable\n\
                  1205 2031-05-10 08:01:32 vote\n",
            case: "",
        },
        Example {
            title: "The case file states that nothing was recorded before a first record that is a vote.",
            log: "1201 2031-05-10 08:00:23 vote\n\
                  ^ vote-without-enable\n\
                  1202 2031-05-10 08:01:09 enable\n\
                  1203 2031-05-10 08:01:32 vote\n",
            case: "[[end]]\nclosed = \"front\"\nsource = \"Statement of the custodian\"\nby = \"Custodian\"\n",
        },
        Example {
            title: "The unit's first records are a total of zero and a vote.",
            log: "1 2031-05-10 08:00:00 total shown=0\n\
                  2 2031-05-10 08:00:23 vote\n\
                  ^ vote-without-enable\n\
                  3 2031-05-10 08:00:46 enable\n",
            case: "",
        },
        Example {
            title: "A lapse ended the enable, and a vote follows.",
            log: "1201 2031-05-10 08:00:00 vote\n\
                  1202 2031-05-10 08:00:23 enable\n\
                  1203 2031-05-10 08:00:46 enable-lapsed\n\
                  1204 2031-05-10 08:01:09 vote\n\
                  ^ vote-without-enable\n",
            case: "",
        },
        Example {
            title: "Near miss: the log begins with a vote, and its enable was recorded before the first record.",
            log: "1201 2031-05-10 08:00:00 vote\n\
                  1202 2031-05-10 08:00:23 enable\n\
                  1203 2031-05-10 08:00:46 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: one record is missing between two votes, and it may be the enable.",
            log: "1201 2031-05-10 08:00:00 enable\n\
                  1202 2031-05-10 08:00:23 vote\n\
                  1204 2031-05-10 08:01:09 vote\n\
                  ^ number-missing\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations(
            "Before each vote, an enable stands in the record that still waits.",
            |known, deviation| {
                let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
                format!("{stretch}, no enable is recorded that {last}, a vote, could belong to.")
            },
        );
        others_in_order(known, walk, Event::Vote);
    },
};

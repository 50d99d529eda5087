//! A vote between a close and the clear that must follow before voting can begin again.

use crate::counts::{Around, numbers_told};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Example, Family, Needs, Ordinary, Rule, Scope};

use super::{DIARY, LOST_RECORD, OTHER_MODEL, SECOND_EXPORT, SLIPS, others_in_order, stretch};

pub(crate) static RULE: Rule = Rule {
    id: "vote-after-close",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A vote stands in the record after a close, with no clear between.",
    asks: "After a close, no vote is recorded before the memory is cleared.",
    basis: &[
        Basis::Unit("close: no vote is taken until the memory is cleared"),
        Basis::Practice("close is final until clear"),
        Basis::Comparable("VVSG 2.0, 1.1.7-B: no activation, marking or casting after voting was stopped"),
    ],
    why: "Close ends voting until the memory is cleared. A vote behind a close means that a clear and what \
           led to it are missing from the record, that the close does not belong where it stands, or that the \
           unit took a vote when closed.",
    ordinary: &[
        Ordinary::new(
            "The vote was cast before the close, and the unit wrote the two records in the other order.",
            "the maker's description of when a vote is written, and the displayed times of the two",
        ),
        LOST_RECORD,
        OTHER_MODEL,
    ],
    look_next: &[SECOND_EXPORT, SLIPS, DIARY],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "votes",
    examples: &[
        Example {
            title: "A vote follows the close.",
            log: "1201 2031-05-10 17:00:00 enable\n\
                  1202 2031-05-10 17:00:23 vote\n\
                  1203 2031-05-10 17:00:46 close\n\
                  1204 2031-05-10 17:01:09 vote\n\
                  ^ vote-after-close\n",
            case: "",
        },
        Example {
            title: "A vote follows the result, with the total shown between.",
            log: "1201 2031-05-10 17:00:00 result\n\
                  1202 2031-05-10 17:00:23 total shown=212\n\
                  1203 2031-05-10 17:00:46 vote\n\
                  ^ vote-after-close\n",
            case: "",
        },
        Example {
            title: "Near miss: the memory was cleared between.",
            log: "1201 2031-05-10 17:00:00 close\n\
                  1202 2031-05-10 17:00:23 result\n\
                  1203 2031-05-10 17:00:46 clear\n\
                  1204 2031-05-10 17:01:09 enable\n\
                  1205 2031-05-10 17:01:32 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: a voter in the queue voted shortly before the close.",
            log: "1201 2031-05-10 18:00:00 enable\n\
                  1202 2031-05-10 18:00:23 vote\n\
                  1203 2031-05-10 18:00:46 close\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        walk.deviations("No vote follows a close before the memory is cleared.", |known, deviation| {
            let (stretch, last) = (stretch(known, deviation), known.name(deviation.last));
            format!("{stretch}, no clear is recorded behind a close or result. {last} is a vote.")
        });
        // Numbers that the unit showed on both sides are facts: what became of the vote, they say themselves.
        walk.measure_deviations(|known, deviation| {
            let around = Around::of(known.log, known.replay, deviation.last)?;
            let told = |numbers: &[(usize, u64)]| numbers_told(known.log, known.replay, numbers);
            Some(format!(
                "votes shown before: {}; shown after: {}; votes recorded between: {}",
                told(&[around.before]),
                told(&around.behind),
                around.votes
            ))
        });
        others_in_order(known, walk, Event::Vote);
    },
};

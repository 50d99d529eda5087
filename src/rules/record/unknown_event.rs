//! Events whose word the vocabulary does not hold.

use std::collections::BTreeMap;

use super::{MAKER, count, places};
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Want};
use crate::source::Shown;

pub(crate) static RULE: Rule = Rule {
    id: "unknown-event",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Remark,
    title: "An event stands in the record that the vocabulary does not know.",
    asks: "Every event in this file is one that the vocabulary knows.",
    basis: &[
        Basis::Format("the vocabulary of events"),
        Basis::Comparable("VVSG 2.0, 4.1-E: a public list of event codes"),
    ],
    why: "What an unknown event did to the unit is not known. Replay goes on behind it as if any state were possible, \
          and answers that rest on what lies before it may stay open. Nothing is guessed from the word.",
    ordinary: &[
        Ordinary::new(
            "The model has an event that this vocabulary does not hold.",
            "the maker's list of events",
        ),
        Ordinary::new(
            "The exporter wrote a known event with another word.",
            "the description of the exporter: which word stands for which event",
        ),
    ],
    look_next: &["The maker's list of events, with what each does to the unit."],
    needs: &[Needs::Records],
    scope: Scope::Text,
    occasions: "records",
    examples: &[
        Example {
            title: "One unknown word on two records is one finding.",
            log: "1201 2031-05-10 06:58:05 total\n\
                  1202 2031-05-10 06:58:31 lamp-checked\n\
                  ^ unknown-event\n\
                  1203 2031-05-10 06:59:40 lamp-checked\n\
                  1204 2031-05-10 07:00:02 total\n",
            case: "",
        },
        Example {
            title: "Near miss: a known event with an attribute that the vocabulary does not know.",
            log: "1201 2031-05-10 06:58:05 total\n\
                  1202 2031-05-10 06:58:31 self-test result=pass lamps=4\n\
                  1203 2031-05-10 07:00:02 total\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let mut words: BTreeMap<Shown, Vec<usize>> = BTreeMap::new();
        for record in known.log.records() {
            if record.event == Event::Unknown {
                words.entry(known.log.word(record)).or_default().push(record.line);
            } else {
                walk.in_order(Place::Line(record.line));
            }
        }
        let mut found: Vec<(Shown, Vec<usize>)> = words.into_iter().collect();
        found.sort_by_key(|(_, lines)| lines.first().copied());
        for (word, lines) in found {
            if let [main, rest @ ..] = lines.as_slice() {
                walk.contrary(Place::Line(*main), contrary(known, &word, *main, rest));
            }
        }
        if known.log.lines_not_read() > 0 {
            walk.unseen(Want::Other(
                "the log has more lines than are read of one log, and the rest was only counted".to_owned(),
                MAKER,
                "the list of events of this model".to_owned(),
            ));
        }
    },
};

fn contrary(known: &Known<'_>, word: &Shown, main: usize, rest: &[usize]) -> Contrary {
    let records = count(rest.len() as u64 + 1, "record", "records");
    let from = known.log.line_number(main);
    Contrary {
        others: places(rest),
        expected: "The word of each event stands in the vocabulary.".to_owned(),
        shows: format!(
            "The word '{word}' stands on {records}, first on line {from}; the vocabulary does not hold it."
        ),
        measured: Some(records),
        assumptions: Vec::new(),
    }
}

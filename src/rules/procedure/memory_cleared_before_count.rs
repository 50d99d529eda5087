//! The poll's memory cleared after its close without the unit having been put away for the count.

use crate::case::{Fact, Phase};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::{Bound, Cycle};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "memory-cleared-before-count",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The votes of the poll were cleared with no power-off between the close and the clear.",
    asks: "The votes of the poll stay in the memory until the count, or the case file states the clearing.",
    basis: &[Basis::Practice(
        "after the close the unit is switched off and stored; result and clear come at or after the count",
    )],
    why: "After the close the unit is switched off and kept for the count. A clear before it was ever switched off \
          empties the votes on the spot, so that the count has only what was noted.",
    ordinary: &[
        Ordinary::new(
            "The count was held at the station directly after the close, with the unit left on.",
            "the record of the count: place, begin, and the result noted",
        ),
        Ordinary::new(
            "What the case file calls the poll was a mock poll or a test, which is cleared on the spot.",
            "the diary's times of mock poll, opening and close, set against the displayed times",
        ),
        Ordinary::new(
            "The official repeated, from habit, the close, result and clear of the mock poll at the end of the poll.",
            "the presiding officer's diary, the result as noted there, and the paper slips",
        ),
        OTHER_RECORDS,
    ],
    look_next: &["The record of the count, from the returning officer.", DIARY, SECOND_EXPORT],
    needs: &[Needs::PollLabel],
    scope: Scope::Poll,
    occasions: "polls",
    examples: &[
        Example {
            title: "Result and clear follow the close of the poll, and the unit stayed on.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n\
                  1203 2031-05-10 18:01:00 close\n\
                  1204 2031-05-10 18:03:00 result\n\
                  1205 2031-05-10 18:05:00 clear\n\
                  ^ memory-cleared-before-count\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the unit was switched off, and result and clear came days later.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n\
                  1203 2031-05-10 18:01:00 close\n\
                  1204 2031-05-10 18:03:00 power-off\n\
                  1205 2031-05-13 09:00:00 power-on\n\
                  1206 2031-05-13 09:05:00 result\n\
                  1207 2031-05-13 16:00:00 clear\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: a record is missing between close and clear, and it may be a power-off.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n\
                  1203 2031-05-10 18:01:00 close\n\
                  1205 2031-05-13 09:05:00 result\n\
                  ^ number-missing\n\
                  1206 2031-05-13 16:00:00 clear\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the case file states that the memory was cleared after the count.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n\
                  1203 2031-05-10 18:01:00 close\n\
                  1204 2031-05-10 18:33:00 result\n\
                  1205 2031-05-10 20:05:00 clear\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[fact]]\nwhat = \"cleared-after-count\"\nsource = \"Record of the count\"\n\
                   by = \"Returning officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| poll(known, walk, cycle)),
};

fn poll<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(vote) = known.labelled_in(cycle, Event::Vote, Phase::Poll).next_back() else {
        return;
    };
    let place = known.place(vote);
    if let Some(want) = known.want_between(vote, cycle.steps.end) {
        walk.open(place, want);
        return;
    }
    let clear = match cycle.end {
        Bound::Clear(clear) => clear,
        Bound::Closed => return walk.in_order(place),
        Bound::Open => return walk.open(place, Want::Back),
    };
    let close = known.between(Event::Close, vote, clear).next_back();
    let off = close.is_none_or(|close| known.between(Event::PowerOff, close, clear).next().is_some());
    if known.case.facts.iter().any(|fact| fact.value == Fact::ClearedAfterCount) {
        walk.in_order(place);
    } else if let (Some(close), false) = (close, off) {
        walk.contrary(known.place(clear), contrary(known, vote, close, clear));
    } else {
        walk.open(place, count_not_stated());
    }
}

fn count_not_stated() -> Want {
    Want::Other(
        "the case file does not say whether the votes of the poll were counted before the clear".to_owned(),
        "returning officer",
        "the record of the count, with its time (case file: [[fact]], what = \"cleared-after-count\")"
            .to_owned(),
    )
}

fn contrary(known: &Known<'_>, vote: usize, close: usize, clear: usize) -> Contrary {
    Contrary {
        others: vec![known.place(vote), known.place(close)],
        expected: "The unit is switched off after the close of the poll, and cleared at the earliest after the count.".to_owned(),
        shows: format!(
            "{} is the close after the last vote of the poll. {} is a clear, and no power-off is recorded between.",
            known.name(close),
            known.name(clear)
        ),
        measured: None,
        assumptions: [known.label_premise(vote, Phase::Poll), known.numbering_premise(vote, clear)]
            .into_iter()
            .flatten()
            .chain(["the votes of the poll were not counted before the clear; the case file does not state that they were".to_owned()])
            .collect(),
    }
}

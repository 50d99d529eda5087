//! A poll begun with another number of candidates set than the case file states.

use crate::case::{Phase, Stated};
use crate::counts::counted;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::Cycle;
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SECOND_EXPORT};
use crate::syntax::Value;

pub(crate) static RULE: Rule = Rule {
    id: "candidates-not-the-cases",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "The number of candidates last set before the poll is not the number that a paper states.",
    asks: "The poll is held with as many candidates set as stand on the ballot.",
    basis: &[Basis::Practice(
        "the number of candidates is set in the preparation, from the list of candidates",
    )],
    why: "The unit offers as many buttons as candidates were set. With a smaller number somebody on the ballot could \
          not be chosen; with a greater one a button without a name could be pressed.",
    ordinary: &[
        Ordinary::new(
            "The count on the unit includes the line for none of the candidates, and the paper's does not.",
            "the ballot paper and the local procedure for setting the number",
        ),
        Ordinary::new(
            "A candidate withdrew after the list that the case file quotes.",
            "the final list of candidates, from the returning officer",
        ),
        OTHER_RECORDS,
    ],
    look_next: &["The final list of candidates, from the returning officer.", DIARY, SECOND_EXPORT],
    needs: &[Needs::Candidates, Needs::PollLabel],
    scope: Scope::Poll,
    occasions: "openings of a poll",
    examples: &[
        Example {
            title: "Six are set, and the list has five.",
            log: "1201 2031-05-03 10:00:00 clear\n\
                  1202 2031-05-03 10:01:00 candidate-set count=6\n\
                  ^ candidates-not-the-cases\n\
                  1203 2031-05-10 06:52:00 total shown=0\n\
                  1204 2031-05-10 07:00:05 enable\n\
                  1205 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1203-1205\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[unit]]\ncandidates = 5\nsource = \"List of candidates\"\nby = \"Returning officer\"\n",
        },
        Example {
            title: "Near miss: a wrong number was set and then put right.",
            log: "1201 2031-05-03 10:00:00 clear\n\
                  1202 2031-05-03 10:01:00 candidate-set count=6\n\
                  1203 2031-05-03 10:02:00 candidate-set count=5\n\
                  1204 2031-05-10 06:52:00 total shown=0\n\
                  1205 2031-05-10 07:00:05 enable\n\
                  1206 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1204-1206\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[unit]]\ncandidates = 5\nsource = \"List of candidates\"\nby = \"Returning officer\"\n",
        },
        Example {
            title: "Near miss: a record is missing between, and it may set the number again.",
            log: "1201 2031-05-03 10:00:00 clear\n\
                  1202 2031-05-03 10:01:00 candidate-set count=6\n\
                  1204 2031-05-10 06:52:00 total shown=0\n\
                  ^ number-missing\n\
                  1205 2031-05-10 07:00:05 enable\n\
                  1206 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1204-1206\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[unit]]\ncandidates = 5\nsource = \"List of candidates\"\nby = \"Returning officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| opening(known, walk, cycle)),
};

fn opening<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(enable) = known.labelled_in(cycle, Event::Enable, Phase::Poll).next() else {
        return;
    };
    let Some(stated) = known.case.unit.candidates.first() else {
        return;
    };
    let place = known.place(enable);
    if !cycle.begin.is_seen() {
        walk.called(super::STILL_HELD);
    }
    let Some(set) = known.between(Event::CandidateSet, 0, enable).next_back() else {
        walk.open(place, known.want_in(0, enable).unwrap_or_else(not_set));
        return;
    };
    let count =
        known.record(set).and_then(|record| known.log.attribute(record, "count")).and_then(Value::number);
    if let Some(want) = known.want_between(set, enable) {
        walk.open(place, want);
    } else if known.case.unit.candidates.iter().any(|other| other.value != stated.value) {
        walk.open(place, not_one_number());
    } else if count == Some(stated.value) {
        walk.in_order(place);
    } else if let Some(count) = count {
        walk.contrary(known.place(set), contrary(known, set, enable, count, stated));
    } else {
        walk.open(place, not_set());
    }
}

fn not_set() -> Want {
    Want::Other(
        "no record before the poll says how many candidates were set".to_owned(),
        "returning officer",
        "the record of the preparation of the unit, with the number of candidates set".to_owned(),
    )
}

fn not_one_number() -> Want {
    Want::Other(
        "the case file states more than one number of candidates".to_owned(),
        "returning officer",
        "the final list of candidates".to_owned(),
    )
}

fn contrary(known: &Known<'_>, set: usize, enable: usize, count: u64, stated: &Stated<u64>) -> Contrary {
    let said = said(&stated.basis);
    let stands = counted(stated.value, "candidate stands", "candidates stand");
    let paper = format!("{stands} on the ballot, {said}");
    let set_to = counted(count, "candidate", "candidates");
    Contrary {
        others: vec![known.place(enable)],
        expected: "The number of candidates last set before the poll is the number on the ballot.".to_owned(),
        shows: format!(
            "{} sets {set_to}, and not {}, {said}. {} is the first enable of the poll after it, and no other number is \
             recorded between.",
            known.name(set),
            stated.value,
            known.name(enable)
        ),
        measured: Some(format!("{set_to} set, as the record states")),
        assumptions: [
            known.label_premise(enable, Phase::Poll),
            Some(paper),
            known.numbering_premise(set, enable),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

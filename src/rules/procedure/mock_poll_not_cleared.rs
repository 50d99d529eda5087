//! Votes of the mock poll and of the poll in one memory, with no clear between.

use crate::case::{Fact, Phase};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::Cycle;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, LOST_RECORD, OTHER_RECORDS};

pub(crate) static RULE: Rule = Rule {
    id: "mock-poll-not-cleared",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "No clear stands in the record between the mock poll's last vote and the poll's first.",
    asks: "The memory is cleared between the mock poll and the poll, or the mock votes are deducted by order.",
    basis: &[
        Basis::Practice("the mock poll is closed, its result shown, and the memory cleared before the poll"),
        Basis::Comparable(
            "VVSG 2.0, 1.1.2-H: testing before the poll leaves no votes in the totals of the poll",
        ),
    ],
    why: "Votes of the mock poll that stay in the memory are counted with those of the poll. Where this happens, the \
          procedure knows a way: they are deducted by written order, from the record of the mock poll.",
    ordinary: &[
        Ordinary::new(
            "The clear was forgotten, and the mock votes were deducted at the count by written order.",
            "the order, and the record of the count (case file: [[fact]], what = \"mock-votes-deducted\")",
        ),
        LOST_RECORD,
        OTHER_RECORDS,
    ],
    look_next: &["The certificate of the mock poll and the record of the count, from the registrar.", DIARY],
    needs: &[Needs::PollLabel, Needs::MockPollLabel],
    scope: Scope::Poll,
    occasions: "mock polls",
    examples: &[
        Example {
            title: "The poll's first vote follows the mock poll's last.",
            log: "1201 2031-05-10 06:00:05 enable\n\
                  1202 2031-05-10 06:00:31 vote\n\
                  1203 2031-05-10 06:02:00 total shown=50\n\
                  1204 2031-05-10 07:00:05 enable\n\
                  1205 2031-05-10 07:00:31 vote\n\
                  ^ mock-poll-not-cleared\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"1201-1203\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"1204-1205\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the mock poll was closed, its result shown, and the memory cleared.",
            log: "1201 2031-05-10 06:00:05 enable\n\
                  1202 2031-05-10 06:00:31 vote\n\
                  1203 2031-05-10 06:02:00 close\n\
                  1204 2031-05-10 06:03:00 result\n\
                  1205 2031-05-10 06:04:00 clear\n\
                  1206 2031-05-10 06:05:00 total shown=0\n\
                  1207 2031-05-10 07:00:05 enable\n\
                  1208 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"1201-1205\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"1206-1208\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the case file states that the mock votes were deducted.",
            log: "1201 2031-05-10 06:00:05 enable\n\
                  1202 2031-05-10 06:00:31 vote\n\
                  1203 2031-05-10 06:02:00 total shown=50\n\
                  1204 2031-05-10 07:00:05 enable\n\
                  1205 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"1201-1203\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"1204-1205\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[fact]]\nwhat = \"mock-votes-deducted\"\nsource = \"Record of the count\"\n\
                   by = \"Returning officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| memory(known, walk, cycle)),
};

fn memory<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(mock) = known.labelled_in(cycle, Event::Vote, Phase::MockPoll).next() else {
        return;
    };
    let poll =
        known.between(Event::Vote, mock, cycle.steps.end).find(|vote| known.is_labelled(*vote, Phase::Poll));
    // The mock poll's last vote before the poll's first: between the two, nothing but the clear is asked about.
    let mock = known
        .between(Event::Vote, mock, poll.unwrap_or(cycle.steps.end))
        .rfind(|vote| known.is_labelled(*vote, Phase::MockPoll))
        .unwrap_or(mock);
    let until = poll.unwrap_or(cycle.steps.end);
    let place = known.place(mock);
    if known.case.facts.iter().any(|fact| fact.value == Fact::MockVotesDeducted) {
        walk.in_order(place);
    } else if let Some(want) = known.want_between(mock, until) {
        walk.open(place, want);
    } else if let Some(poll) = poll {
        walk.contrary(known.place(poll), contrary(known, mock, poll));
    } else if known.between(Event::Vote, mock, until).any(|vote| known.may_be_at(vote, Phase::Poll)) {
        walk.open(place, Want::Label(Phase::Poll));
    } else if !cycle.end.is_seen() {
        walk.open(place, Want::Back);
    } else {
        walk.in_order(place);
    }
}

fn contrary(known: &Known<'_>, mock: usize, poll: usize) -> Contrary {
    Contrary {
        others: vec![known.place(mock)],
        expected: "A clear stands between the last vote of the mock poll and the first vote of the poll.".to_owned(),
        shows: format!(
            "{} is a vote of the mock poll, {} the first vote of the poll after it. No clear is recorded between.",
            known.name(mock),
            known.name(poll)
        ),
        measured: None,
        assumptions: [
            known.label_premise(mock, Phase::MockPoll),
            known.label_premise(poll, Phase::Poll),
            known.numbering_premise(mock, poll),
        ]
        .into_iter()
        .flatten()
        .chain(["the votes of the mock poll were not deducted by written order; the case file does not state that they were".to_owned()])
        .collect(),
    }
}

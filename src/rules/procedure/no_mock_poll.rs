//! A poll before which no vote of a mock poll is recorded.

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::Cycle;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "no-mock-poll",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "No vote of a mock poll stands in the record before the poll.",
    asks: "Votes of a mock poll are recorded before the poll.",
    basis: &[Basis::Practice(
        "a mock poll is held before opening, before the candidates' agents, and is closed, shown and cleared",
    )],
    why: "The mock poll shows the candidates' agents that the unit counts what is pressed. Where the log is whole from \
          its first record and holds no vote of one before the poll, the record shows none on this unit.",
    ordinary: &[
        Ordinary::new(
            "The mock poll was held on another unit, and this one took its place before the first voter.",
            "the presiding officer's diary and the certificate of the mock poll, which names the unit",
        ),
        Ordinary::new(
            "The log was emptied between the mock poll and the poll, by a maker's procedure.",
            "the maker's description of the model, and the custody papers",
        ),
        OTHER_RECORDS,
    ],
    look_next: &[
        "The certificate of the mock poll, from the registrar of the constituency.",
        DIARY,
        SECOND_EXPORT,
    ],
    needs: &[Needs::PollLabel],
    scope: Scope::Poll,
    occasions: "polls",
    examples: &[
        Example {
            title: "The first votes that the unit ever recorded are the poll's.",
            log: "1 2031-05-10 06:50:00 power-on\n\
                  2 2031-05-10 06:52:00 total shown=0\n\
                  3 2031-05-10 07:00:05 enable\n\
                  4 2031-05-10 07:00:31 vote\n\
                  ^ no-mock-poll\n\
                  5 2031-05-10 07:01:00 enable\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"2-5\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Only test votes, weeks before, stand before the poll.",
            log: "1 2031-04-10 06:50:00 power-on\n\
                  2 2031-04-10 07:00:05 enable\n\
                  3 2031-04-10 07:00:31 vote\n\
                  4 2031-04-10 07:01:00 close\n\
                  5 2031-04-10 07:02:00 result\n\
                  6 2031-04-10 07:03:00 clear\n\
                  7 2031-05-10 06:52:00 total shown=0\n\
                  8 2031-05-10 07:00:05 enable\n\
                  9 2031-05-10 07:00:31 vote\n\
                  ^ no-mock-poll\n",
            case: "[[phase]]\nwas = \"test\"\nrecords = \"1-6\"\nsource = \"Certificate of the first-level check\"\n\
                   by = \"Registrar\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"7-9\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the mock poll was held, closed and cleared.",
            log: "1 2031-05-10 05:50:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  4 2031-05-10 06:01:00 close\n\
                  5 2031-05-10 06:02:00 result\n\
                  6 2031-05-10 06:03:00 clear\n\
                  7 2031-05-10 06:52:00 total shown=0\n\
                  8 2031-05-10 07:00:05 enable\n\
                  9 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"2-6\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"7-9\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the ring has overwritten what came before the poll.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1202\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| poll(known, walk, cycle)),
};

fn poll<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(first) = known.labelled_in(cycle, Event::Vote, Phase::Poll).next() else {
        return;
    };
    let place = known.place(first);
    // Backwards from the poll's first vote: the first vote that was, or may have been, something to decide by.
    let earlier = known
        .between(Event::Vote, 0, first)
        .rev()
        .find(|vote| known.may_be_at(*vote, Phase::MockPoll) || known.may_be_at(*vote, Phase::Poll));
    match earlier {
        Some(vote) if known.is_labelled(vote, Phase::MockPoll) => walk.in_order(place),
        Some(vote) if known.is_labelled(vote, Phase::Poll) => walk.open(place, second_poll()),
        Some(_) => walk.open(place, Want::Label(Phase::MockPoll)),
        None => match known.want_in(0, first) {
            Some(want) => walk.open(place, want),
            None if !known.replay.front.is_closed() => walk.open(place, Want::Front),
            None => walk.contrary(place, contrary(known, first)),
        },
    }
}

fn second_poll() -> Want {
    Want::Other(
        "the unit served two polls, and whether the second needs a mock poll of its own is for the local procedure".to_owned(),
        "registrar of the constituency",
        "the local procedure for a repeated or adjourned poll".to_owned(),
    )
}

fn contrary(known: &Known<'_>, first: usize) -> Contrary {
    let votes = known.between(Event::Vote, 0, first).count();
    let before = match votes {
        0 => "No vote is recorded before it".to_owned(),
        1 => "One vote is recorded before it, and the case file says that it was no mock poll's,".to_owned(),
        n => {
            format!("{n} votes are recorded before it, and the case file says that they were no mock poll's,")
        }
    };
    Contrary {
        others: known
            .between(Event::Vote, 0, first)
            .next_back()
            .map(|vote| known.place(vote))
            .into_iter()
            .collect(),
        expected: "Votes of a mock poll stand before the first vote of the poll.".to_owned(),
        shows: format!(
            "{} is the first vote of the poll. {before} from the first record of this log on.",
            known.name(first)
        ),
        measured: None,
        assumptions: [
            known.label_premise(first, Phase::Poll),
            known.front_premise(),
            known.numbering_premise(0, first),
        ]
        .into_iter()
        .flatten()
        .chain(known.labels_beside(0..first, Phase::MockPoll))
        .collect(),
    }
}

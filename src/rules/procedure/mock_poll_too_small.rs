//! Mock polls before the poll, each with fewer votes than the local procedure asks for.

use crate::case::Phase;
use crate::counts::counted;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::Cycle;
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "mock-poll-too-small",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "The mock poll has fewer votes in the record than the local procedure asks for.",
    asks: "A mock poll has at least as many votes as the local procedure asks for.",
    basis: &[Basis::Practice("a mock poll has a least number of votes; the number is local")],
    why: "A mock poll of a few votes shows little. The local procedure sets a least number; the record shows how many \
          votes there were, where all of it was seen.",
    ordinary: &[
        Ordinary::new(
            "Few candidates' agents came, and the procedure allows a smaller mock poll then.",
            "the local procedure, and the certificate of the mock poll",
        ),
        Ordinary::new(
            "Part of the mock poll was held on another unit of the station.",
            "the certificate of the mock poll, which names the units",
        ),
        Ordinary::new(
            "A vote of the mock poll is missing from the record.",
            "the total that a close or a result of the mock poll shows, and its certificate",
        ),
        OTHER_RECORDS,
    ],
    look_next: &[
        "The certificate of the mock poll, from the registrar of the constituency.",
        DIARY,
        SECOND_EXPORT,
    ],
    needs: &[Needs::MockPollLabel, Needs::MockVotesLeast],
    scope: Scope::Events,
    occasions: "mock polls",
    examples: &[
        Example {
            title: "Two votes are asked for, and the mock poll has one.",
            log: "1 2031-05-10 05:50:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  ^ mock-poll-too-small\n\
                  4 2031-05-10 06:01:00 close\n\
                  5 2031-05-10 06:02:00 result\n\
                  6 2031-05-10 06:03:00 clear\n\
                  7 2031-05-10 06:52:00 total shown=0\n\
                  8 2031-05-10 07:00:05 enable\n\
                  9 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"2-6\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"poll\"\nrecords = \"7-9\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[setting]]\nmock-votes-least = 2\nsource = \"Kestrane Rules of Procedure\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "Near miss: the mock poll has as many votes as asked for.",
            log: "1 2031-05-10 05:50:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  4 2031-05-10 06:01:00 close\n\
                  5 2031-05-10 06:02:00 result\n\
                  6 2031-05-10 06:03:00 clear\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"2-6\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[setting]]\nmock-votes-least = 1\nsource = \"Kestrane Rules of Procedure\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "Near miss: a mock poll was broken off, and a second one was large enough.",
            log: "1 2031-05-10 05:50:00 power-on\n\
                  2 2031-05-10 06:00:05 enable\n\
                  3 2031-05-10 06:00:31 vote\n\
                  4 2031-05-10 06:01:00 close\n\
                  5 2031-05-10 06:02:00 result\n\
                  6 2031-05-10 06:03:00 clear\n\
                  7 2031-05-10 06:10:05 enable\n\
                  8 2031-05-10 06:10:31 vote\n\
                  9 2031-05-10 06:11:05 enable\n\
                  10 2031-05-10 06:11:31 vote\n\
                  11 2031-05-10 06:12:00 close\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"2-11\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[setting]]\nmock-votes-least = 2\nsource = \"Kestrane Rules of Procedure\"\nby = \"Registrar\"\n",
        },
        Example {
            title: "Near miss: the log begins in the middle of the mock poll.",
            log: "1201 2031-05-10 06:00:05 enable\n\
                  1202 2031-05-10 06:00:31 vote\n\
                  1203 2031-05-10 06:01:00 close\n",
            case: "[[phase]]\nwas = \"mock-poll\"\nrecords = \"1201-1203\"\nsource = \"Certificate of the mock poll\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[setting]]\nmock-votes-least = 50\nsource = \"Kestrane Rules of Procedure\"\nby = \"Registrar\"\n",
        },
    ],
    walk,
};

/// All mock polls before the poll are one occasion: one that was broken off does no harm beside one that is large enough.
fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let Some(stated) = known.case.settings.mock_votes_least.first() else {
        return;
    };
    let least = usize::try_from(stated.value).unwrap_or(usize::MAX);
    let end = known.replay.steps.len();
    let mock = |vote: &usize| known.is_labelled(*vote, Phase::MockPoll);
    let Some(last) = known.between(Event::Vote, 0, end).rfind(mock) else {
        walk.unseen(Want::Label(Phase::MockPoll));
        return;
    };
    let place = known.place(last);
    let cycles = &known.replay.cycles;
    let sure =
        |cycle: &Cycle| known.between(Event::Vote, cycle.steps.start, cycle.steps.end).filter(mock).count();
    let largest = cycles.iter().map(sure).max().unwrap_or(0);
    if known.case.settings.mock_votes_least.iter().any(|other| other.value != stated.value) {
        walk.open(place, contested());
        return;
    }
    if largest >= least {
        walk.in_order(place);
        return;
    }
    // Whatever comes before the next vote of the poll may be a mock poll too.
    let poll = known.between(Event::Vote, last, end).find(|vote| known.is_labelled(*vote, Phase::Poll));
    let until = poll.unwrap_or(end);
    let may_be = |cycle: &Cycle| {
        let votes = known.between(Event::Vote, cycle.steps.start, cycle.steps.end.min(until));
        votes.filter(|vote| known.may_be_at(*vote, Phase::MockPoll)).count()
    };
    let most = cycles.iter().map(may_be).max().unwrap_or(0);
    if !known.replay.front.is_closed() {
        walk.open(place, Want::Front);
    } else if let Some(want) = known.want_in(0, until) {
        walk.open(place, want);
    } else if poll.is_none() && !known.replay.back.is_closed() {
        walk.open(place, Want::Back);
    } else if most >= least {
        walk.open(place, Want::Label(Phase::MockPoll));
    } else {
        let order = format!(
            "a mock poll has at least {}, {}",
            counted(least as u64, "vote", "votes"),
            said(&stated.basis)
        );
        walk.contrary(place, contrary(known, last, until, (largest, most, order)));
    }
}

fn contested() -> Want {
    Want::Other(
        "the case file states more than one least number of votes of a mock poll".to_owned(),
        "registrar of the constituency",
        "the local procedure for the mock poll".to_owned(),
    )
}

fn contrary(
    known: &Known<'_>,
    last: usize,
    until: usize,
    (largest, most, order): (usize, usize, String),
) -> Contrary {
    let count = if largest == most { largest.to_string() } else { format!("{largest} to {most}") };
    let back = if until == known.replay.steps.len() { known.back_premise() } else { None };
    Contrary {
        others: Vec::new(),
        expected: "A mock poll reaches the number of votes that the local procedure asks for.".to_owned(),
        shows: format!(
            "{} is the last vote of the mock poll. Votes recorded in the largest mock poll: {count}.",
            known.name(last)
        ),
        measured: Some(format!("votes of the mock poll, counted one by one: {count}")),
        assumptions: [
            known.label_premise(last, Phase::MockPoll),
            (until < known.replay.steps.len()).then(|| known.label_premise(until, Phase::Poll)).flatten(),
            Some(order),
            known.front_premise(),
            back,
            known.numbering_premise(0, until),
        ]
        .into_iter()
        .flatten()
        .chain(known.labels_beside(0..until, Phase::MockPoll))
        .collect(),
    }
}

//! A poll whose last vote no close follows.

use crate::case::{Fact, Phase};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::{Bound, Cycle};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "no-close",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "No close stands in the record after the last vote of the poll.",
    asks: "A close follows the last vote of the poll, unless the unit was replaced.",
    basis: &[Basis::Practice(
        "the presiding officer presses close when the last voter in the queue has voted",
    )],
    why: "Until it is closed, a unit takes further votes. Where the record goes on to its end without a close, the unit \
          could still be enabled.",
    ordinary: &[
        Ordinary::new(
            "The unit failed and was taken out of use in mid-poll, so that nobody closed it.",
            "the presiding officer's diary, and the log of the unit that took its place",
        ),
        Ordinary::new(
            "The officer forgot to press close and switched the unit off.",
            "the declaration at the close of the poll, and what the unit did at the count",
        ),
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, "The declaration at the close of the poll, from the registrar.", SECOND_EXPORT],
    needs: &[Needs::PollLabel],
    scope: Scope::Poll,
    occasions: "polls",
    examples: &[
        Example {
            title: "The unit was switched off and exported, and never closed.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n\
                  ^ no-close\n\
                  1203 2031-05-10 18:05:00 power-off\n\
                  1204 2031-05-19 10:04:00 power-on\n\
                  1205 2031-05-19 10:04:30 export\n\
                  $close\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the unit was replaced in mid-poll.",
            log: "1201 2031-05-10 11:59:00 enable\n\
                  1202 2031-05-10 11:59:30 vote\n\
                  1203 2031-05-10 12:05:00 power-off\n\
                  1204 2031-05-19 10:04:00 power-on\n\
                  1205 2031-05-19 10:04:30 export\n\
                  $close\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[fact]]\nwhat = \"unit-replaced\"\nsource = \"Sector officer's report\"\n\
                   by = \"Sector officer\"\n",
        },
        Example {
            title: "Near miss: the log ends with a vote, and nothing says that the unit recorded no more.",
            log: "1201 2031-05-10 17:59:00 enable\n\
                  1202 2031-05-10 17:59:30 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1202\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| poll(known, walk, cycle)),
};

fn poll<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(vote) = known.labelled_in(cycle, Event::Vote, Phase::Poll).next_back() else {
        return;
    };
    let place = known.place(vote);
    let close = known.between(Event::Close, vote, cycle.steps.end).next();
    if known.case.facts.iter().any(|fact| fact.value == Fact::UnitReplaced) {
        walk.in_order(place);
    } else if let Some(want) = known.want_between(vote, close.unwrap_or(cycle.steps.end)) {
        walk.open(place, want);
    } else if close.is_some() {
        walk.in_order(place);
    } else if cycle.end == Bound::Closed {
        walk.contrary(place, contrary(known, vote));
    } else {
        // A clear without a close is a contradiction, and another rule speaks for it.
        walk.open(place, if cycle.end == Bound::Open { Want::Back } else { Want::Conflict });
    }
}

fn contrary(known: &Known<'_>, vote: usize) -> Contrary {
    let steps = known.replay.steps.len();
    Contrary {
        others: steps.checked_sub(1).map(|last| known.place(last)).into_iter().collect(),
        expected: "A close stands after the last vote of the poll.".to_owned(),
        shows: format!(
            "{} is the last vote of the poll. No close is recorded from there to the last record of this log.",
            known.name(vote)
        ),
        measured: None,
        assumptions: [
            known.label_premise(vote, Phase::Poll),
            known.back_premise(),
            known.numbering_premise(vote, steps),
        ]
        .into_iter()
        .flatten()
        .chain(["the unit was not taken out of use in mid-poll; the case file does not state that it was"
            .to_owned()])
        .collect(),
    }
}

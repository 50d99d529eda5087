//! A poll whose first enable has no total of zero before it.

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::Cycle;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, LOST_RECORD, OTHER_RECORDS};
use crate::syntax::Value;

pub(crate) static RULE: Rule = Rule {
    id: "zero-not-shown",
    family: Family::Procedure,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "No total of zero was shown between the clear and the first enable of the poll.",
    asks: "Before the first enable of the poll, a total of zero is shown.",
    basis: &[
        Basis::Practice(
            "after the mock poll the memory is cleared, and the total shows zero before the polling agents",
        ),
        Basis::Comparable("VVSG 2.0, 1.1.3-B: voting mode is entered only when all vote counters are zero"),
    ],
    why: "The total of zero is how everybody at the table sees that the memory is empty before the first voter. Where \
          the record has none, the agents' word and the clear before it have to stand for it.",
    ordinary: &[
        Ordinary::new(
            "The result or a printed report of zero was shown instead of the total.",
            "the presiding officer's declaration before the poll, signed by the polling agents",
        ),
        LOST_RECORD,
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, "The declaration before the poll, signed by the polling agents, from the registrar."],
    needs: &[Needs::PollLabel],
    scope: Scope::Poll,
    occasions: "openings of a poll",
    examples: &[
        Example {
            title: "The clear is followed by the first enable.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:55:00 print what=header\n\
                  1203 2031-05-10 07:00:05 enable\n\
                  ^ zero-not-shown\n\
                  1204 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the total of zero was shown.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:51:00 total shown=0\n\
                  1203 2031-05-10 07:00:05 enable\n\
                  1204 2031-05-10 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the unit went on after a night with votes in memory; the log begins there.",
            log: "1201 2031-05-11 06:50:00 power-on\n\
                  1202 2031-05-11 06:51:00 total shown=212\n\
                  1203 2031-05-11 07:00:05 enable\n\
                  1204 2031-05-11 07:00:31 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: a total was shown, and its record does not say which number.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:51:00 total\n\
                  1203 2031-05-10 07:00:05 enable\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
    ],
    walk: |known, walk| known.replay.cycles.iter().for_each(|cycle| opening(known, walk, cycle)),
};

fn opening<'a>(known: &Known<'a>, walk: &mut Walk<'_>, cycle: &'a Cycle) {
    let Some(enable) = known.labelled_in(cycle, Event::Enable, Phase::Poll).next() else {
        return;
    };
    let place = known.place(enable);
    // The last record before it that may have put a vote into the memory, or let one in.
    let start = cycle.steps.start;
    let earlier = [Event::Enable, Event::Vote]
        .into_iter()
        .filter_map(|event| known.between(event, start, enable).next_back())
        .max();
    let totals: Vec<(usize, Option<u64>)> = known
        .between(Event::Total, earlier.unwrap_or(start), enable)
        .map(|step| {
            (step, known.record(step).and_then(|r| known.log.attribute(r, "shown")).and_then(Value::number))
        })
        .collect();
    // A printed report of zero says the same to those at the table; of another report nothing says what it showed.
    let printed = known.between(Event::Print, earlier.unwrap_or(start), enable).rfind(|step| {
        known.record(*step).and_then(|r| known.log.attribute(r, "what")).is_some_and(|what| what.is("zero"))
    });
    let zero = totals.iter().rev().find(|(_, shown)| *shown == Some(0));
    // Whatever the answer is, who reads it wants to see the zero.
    if let Some((step, _)) = zero {
        walk.beside("a total of zero is shown", known.place(*step));
    }
    if let Some(step) = printed {
        walk.beside("a report of zero is printed", known.place(step));
    }
    let want = known.want_in(earlier.unwrap_or(start), enable);
    if let Some((zero, _)) = zero
        && !known.unseen_between(*zero, enable)
        && earlier.is_none()
    {
        walk.in_order(place);
    } else if earlier.is_none() && printed.is_some() && want.is_none() {
        walk.in_order(place);
    } else if !cycle.begin.is_seen() && earlier.is_some_and(|earlier| known.is_labelled(earlier, Phase::Poll))
    {
        // The poll had begun before the first record.
        walk.called(super::STILL_HELD);
        walk.open(place, Want::Front);
    } else if earlier.is_some() {
        // Votes or enables stand before it in the same memory: where the poll began is for the papers to say.
        walk.open(place, Want::Label(Phase::Poll));
    } else if !cycle.begin.is_seen() {
        walk.called(super::STILL_HELD);
        walk.open(place, Want::Front);
    } else if let Some(want) = want {
        walk.open(place, want);
    } else if totals.iter().any(|(_, shown)| shown.is_none()) {
        walk.open(place, not_stated());
    } else {
        walk.contrary(place, contrary(known, cycle, enable, &totals));
    }
}

fn not_stated() -> Want {
    Want::Other(
        "a record of a total does not say which number was shown".to_owned(),
        "polling agents and presiding officer",
        "the number that was shown before the first voter".to_owned(),
    )
}

fn contrary<'a>(
    known: &Known<'a>,
    cycle: &'a Cycle,
    enable: usize,
    totals: &[(usize, Option<u64>)],
) -> Contrary {
    let start = cycle.steps.start;
    let what = match totals.len() {
        0 => "No total is recorded",
        _ => "A total is recorded that is not zero, and none of zero,",
    };
    let since = match start.checked_sub(1).filter(|clear| known.record(*clear).is_some()) {
        Some(clear) => format!("between {} and {}", known.name(clear), known.name(enable)),
        None => format!("from the first record of this log to {}", known.name(enable)),
    };
    Contrary {
        others: start
            .checked_sub(1)
            .into_iter()
            .chain(totals.iter().map(|(step, _)| *step))
            .map(|s| known.place(s))
            .collect(),
        expected: "A total of zero stands before the first enable of the poll.".to_owned(),
        shows: format!("{what} {since}, the first enable of the poll."),
        measured: None,
        assumptions: [
            known.label_premise(enable, Phase::Poll),
            known.begin_premise(cycle),
            known.numbering_premise(start, enable),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

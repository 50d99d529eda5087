//! The clock was set between the first release of the poll and its close.

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "clock-set-in-poll",
    family: Family::Clock,
    kind: Kind::Shown,
    weight: Weight::Departure,
    title: "The clock was set during the poll.",
    asks: "The clock is not set between the first enable of the poll and its close.",
    basis: &[
        Basis::Practice("the clock is set before the poll, and then left alone until the close"),
        Basis::Comparable("VVSG 1.1, volume 1, 2.1.5.1 D, item v: only administrators set the clock"),
    ],
    why: "A setting in mid-poll changes what all later times mean. Its record says from what to what, so that true times \
          can still be told where readings exist.",
    ordinary: &[
        Ordinary::new(
            "An official saw that the clock was wrong and set it right, in the presence of the agents.",
            "the diary, and the times before and after that the record states",
        ),
        Ordinary::new(
            "The unit set its clock itself after its battery was changed.",
            "the maker's description, battery papers",
        ),
    ],
    look_next: &["The presiding officer's diary: who set the clock, when, and why."],
    needs: &[Needs::PollLabel],
    scope: Scope::Own,
    occasions: "settings of the clock",
    examples: &[
        Example {
            title: "Set forward by seven minutes between two voters.",
            log: "1201 2031-05-10 06:58:00 total shown=0\n\
                  1202 2031-05-10 07:10:05 enable\n\
                  1203 2031-05-10 07:10:31 vote\n\
                  1204 2031-05-10 07:18:01 clock-set before=2031-05-10T07:11:01 after=2031-05-10T07:18:01\n\
                  ^ clock-set-in-poll\n\
                  1205 2031-05-10 07:19:20 enable\n\
                  1206 2031-05-10 07:19:52 vote\n",
            case: super::examples::POLL,
        },
        Example {
            title: "Near miss: set before the first voter was released.",
            log: "1201 2031-05-10 06:50:00 total shown=0\n\
                  1202 2031-05-10 06:58:01 clock-set before=2031-05-10T06:51:01 after=2031-05-10T06:58:01\n\
                  1203 2031-05-10 07:10:05 enable\n\
                  1204 2031-05-10 07:10:31 vote\n\
                  1205 2031-05-10 07:19:20 enable\n\
                  1206 2031-05-10 07:19:52 vote\n",
            case: super::examples::POLL,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    for step in known.between(Event::ClockSet, 0, known.replay.steps.len()) {
        let place = known.place(step);
        if !known.may_be_at(step, Phase::Poll) {
            walk.in_order(place);
        } else if !known.is_labelled(step, Phase::Poll) {
            walk.open(place, Want::Label(Phase::Poll));
        } else {
            labelled(known, walk, step);
        }
    }
    walk.unseen_events();
}

/// A setting that the case file calls part of the poll: after its first release and before its close, or not.
fn labelled(known: &Known<'_>, walk: &mut Walk<'_>, step: usize) {
    let place = known.place(step);
    let Some(cycle) = known.cycle_of(step) else {
        walk.open(place, Want::Conflict);
        return;
    };
    let released =
        known.between(Event::Enable, cycle.steps.start, step).find(|at| known.is_labelled(*at, Phase::Poll));
    let closed = known.between(Event::Close, cycle.steps.start, step).next_back();
    if closed.is_some_and(|close| released.is_none_or(|released| close > released)) {
        walk.in_order(place);
    } else if let Some(released) = released {
        if let Some(want) = known.want_between(released, step) {
            // A close may lie among what was not seen.
            walk.open(place, want);
        } else {
            walk.contrary(place, finding(known, released, step));
        }
    } else if let Some(want) = known.want_in(cycle.steps.start, step) {
        walk.open(place, want);
    } else if known.between(Event::Enable, cycle.steps.start, step).any(|at| known.may_be_at(at, Phase::Poll))
    {
        // One of which the case file does not say what it was may be the first of the poll.
        walk.open(place, Want::Label(Phase::Poll));
    } else if cycle.begin.is_seen() {
        walk.in_order(place);
    } else {
        walk.open(place, Want::Front);
    }
}

fn finding(known: &Known<'_>, released: usize, step: usize) -> Contrary {
    let stated = |key| {
        let value = known.log.attribute(known.record(step)?, key)?;
        Some(value.shown().to_string())
    };
    let times = match (stated("before"), stated("after")) {
        (Some(before), Some(after)) => format!(", from {before} to {after}"),
        _ => ", and does not state both its times".to_owned(),
    };
    Contrary {
        others: vec![known.place(released)],
        expected: "The clock is not set from the first enable of the poll to its close.".to_owned(),
        shows: format!(
            "{} says that the clock was set{times}. {} is the first enable of the poll that this log shows, and no close \
             stands between.",
            known.name(step),
            known.name(released)
        ),
        measured: None,
        assumptions: known
            .label_premise(step, Phase::Poll)
            .into_iter()
            .chain(known.label_premise(released, Phase::Poll))
            .collect::<std::collections::BTreeSet<_>>()
            .into_iter()
            .collect(),
    }
}

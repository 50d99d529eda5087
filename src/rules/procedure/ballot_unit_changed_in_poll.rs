//! A ballot unit linked in mid-poll that was not there at the poll's first vote.

use crate::case::{Fact, Phase};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, LOST_RECORD, OTHER_RECORDS};

pub(crate) static RULE: Rule = Rule {
    id: "ballot-unit-changed-in-poll",
    family: Family::Procedure,
    kind: Kind::Shown,
    weight: Weight::Departure,
    title: "A ballot unit was linked during the poll that was not linked at the poll's first vote.",
    asks: "The ballot units of a poll are those linked at its first vote, unless the case file states a change.",
    basis: &[
        Basis::Practice(
            "ballot units are assigned, sealed and noted before the poll; a replacement is noted",
        ),
        Basis::Comparable(
            "VVSG 2.0, 12.1-C and 12.1-D: connecting a component while voting raises an alert and is logged",
        ),
    ],
    why: "Each ballot unit is assigned to its station on paper before the poll. One that comes in later must have \
          papers of its own: why, from where, with which seal.",
    ordinary: &[
        Ordinary::new(
            "A ballot unit failed and was replaced from the reserve, with a note that the case file lacks.",
            "the presiding officer's diary, and the sector officer's list of the reserve",
        ),
        Ordinary::new(
            "A second ballot unit was added because of a long queue, where the local procedure allows it.",
            "the local procedure and the presiding officer's diary",
        ),
        LOST_RECORD,
        OTHER_RECORDS,
    ],
    look_next: &[
        DIARY,
        "The list of ballot units assigned to the station and in reserve, from the registrar.",
    ],
    needs: &[Needs::Records],
    scope: Scope::Poll,
    occasions: "links of a ballot unit",
    examples: &[
        Example {
            title: "Another ballot unit is linked after the poll's first vote.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:51:00 link-up bu=BU-50931\n\
                  1203 2031-05-10 06:52:00 total shown=0\n\
                  1204 2031-05-10 07:00:05 enable\n\
                  1205 2031-05-10 07:00:31 vote bu=BU-50931\n\
                  1206 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1207 2031-05-10 09:20:00 link-up bu=BU-50977\n\
                  ^ ballot-unit-changed-in-poll\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1207\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the same ballot unit came back.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:51:00 link-up bu=BU-50931\n\
                  1203 2031-05-10 06:52:00 total shown=0\n\
                  1204 2031-05-10 07:00:05 enable\n\
                  1205 2031-05-10 07:00:31 vote bu=BU-50931\n\
                  1206 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1207 2031-05-10 09:20:00 link-up bu=BU-50931\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1207\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the case file states that a ballot unit was replaced.",
            log: "1201 2031-05-10 06:50:00 clear\n\
                  1202 2031-05-10 06:52:00 total shown=0\n\
                  1203 2031-05-10 07:00:05 enable\n\
                  1204 2031-05-10 07:00:31 vote bu=BU-50931\n\
                  1205 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1206 2031-05-10 09:20:00 link-up bu=BU-50977\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1202-1206\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[fact]]\nwhat = \"ballot-unit-replaced\"\nsource = \"Sector officer's report\"\n\
                   by = \"Sector officer\"\n",
        },
        Example {
            title: "Near miss: the log begins in mid-poll, and the ballot unit may have been there before.",
            log: "1201 2031-05-10 08:58:05 enable\n\
                  1202 2031-05-10 08:58:31 vote bu=BU-50931\n\
                  1203 2031-05-10 09:20:00 link-up bu=BU-50977\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    if !known.unit.links_recorded {
        walk.does_not_apply("the unit description does not say that each change of a link leaves a record");
        return;
    }
    let replaced = known.case.facts.iter().any(|fact| fact.value == Fact::BallotUnitReplaced);
    for step in known.between(Event::LinkUp, 0, known.replay.steps.len()) {
        let place = known.place(step);
        if replaced || !known.may_be_at(step, Phase::Poll) {
            walk.in_order(place);
            continue;
        }
        match judge(known, step) {
            Judged::InOrder => walk.in_order(place),
            Judged::Open(want) => walk.open(place, want),
            Judged::New(vote) => walk.contrary(place, contrary(known, step, vote)),
        }
    }
}

enum Judged {
    InOrder,
    Open(Want),
    /// The ballot unit was not linked at the poll's first vote: the vote's step.
    New(usize),
}

fn judge(known: &Known<'_>, step: usize) -> Judged {
    // Before any vote since a clear that is seen, a link changes nothing about the ballot units of a poll.
    let before_any_vote = known.cycle_of(step).is_some_and(|cycle| {
        cycle.begin.is_seen()
            && known.want_in(cycle.steps.start, step).is_none()
            && known.between(Event::Vote, cycle.steps.start, step).next().is_none()
    });
    if before_any_vote {
        return Judged::InOrder;
    }
    if !known.is_labelled(step, Phase::Poll) {
        return Judged::Open(Want::Label(Phase::Poll));
    }
    let serial = known.record(step).and_then(|record| known.log.attribute(record, "bu"));
    let (Some(serial), Some(cycle)) = (serial, known.cycle_of(step)) else {
        return Judged::Open(Want::Other(
            "a record of a link does not name its ballot unit".to_owned(),
            "maker of the unit",
            "whether the unit can export which ballot units were linked".to_owned(),
        ));
    };
    let is_it = |at: &usize| known.record(*at).and_then(|r| known.log.attribute(r, "bu")) == Some(serial);
    if !cycle.begin.is_seen() {
        return Judged::Open(Want::Front);
    }
    if let Some(want) = known.want_in(cycle.steps.start, step) {
        return Judged::Open(want);
    }
    let Some(vote) = known.between(Event::Vote, cycle.steps.start, step).next() else {
        return Judged::InOrder;
    };
    if !known.is_labelled(vote, Phase::Poll) {
        return Judged::Open(Want::Label(Phase::Poll));
    }
    // A record of it before this one, in the poll: then it was there, and has come back.
    let from = cycle.steps.start;
    if [Event::LinkUp, Event::LinkDown, Event::Vote]
        .into_iter()
        .any(|event| known.between(event, from, step).any(|s| is_it(&s)))
    {
        return Judged::InOrder;
    }
    // Its link may have gone down unrecorded only while the unit was off.
    if [Event::PowerOn, Event::PowerOff, Event::BatteryChanged]
        .into_iter()
        .any(|event| known.between(event, vote, step).next().is_some())
    {
        return Judged::Open(Want::Other(
            "the unit was off between the poll's first vote and the link, and records of links may differ then".to_owned(),
            "presiding officer of the station",
            "which ballot units were linked at the first vote and after each start of the unit".to_owned(),
        ));
    }
    // A record of a link that names no ballot unit may be about this one.
    if [Event::LinkUp, Event::LinkDown].into_iter().any(|event| {
        known
            .between(event, from, step)
            .any(|at| known.record(at).is_some_and(|r| known.log.attribute(r, "bu").is_none()))
    }) {
        return Judged::Open(Want::Other(
            "a record of a link does not name its ballot unit".to_owned(),
            "maker of the unit",
            "whether the unit can export which ballot units were linked".to_owned(),
        ));
    }
    Judged::New(vote)
}

fn contrary(known: &Known<'_>, step: usize, vote: usize) -> Contrary {
    let cycle_start = known.cycle_of(step).map_or(vote, |cycle| cycle.steps.start);
    Contrary {
        others: vec![known.place(vote)],
        expected: "A ballot unit linked after the poll's first vote was linked before it.".to_owned(),
        shows: format!(
            "{} says that a ballot unit was linked. {} is the poll's first vote, and no record since the clear before it \
             says that this ballot unit was there.",
            known.name(step),
            known.name(vote)
        ),
        measured: None,
        assumptions: known
            .label_premises(&[vote, step], Phase::Poll)
            .into_iter()
            .chain(
                [
                    known.cycle_of(step).and_then(|cycle| known.begin_premise(cycle)),
                    known.numbering_premise(cycle_start, step),
                ]
                .into_iter()
                .flatten(),
            )
            .chain([
                "no ballot unit was replaced or added as the procedure allows; the case file states none"
                    .to_owned(),
            ])
            .collect(),
    }
}

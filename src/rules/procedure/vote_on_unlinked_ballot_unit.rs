//! A vote from a ballot unit that was not linked, where every change of a link leaves a record.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::replay::Ending;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Value;

use super::{LOST_RECORD, MAKER, OTHER_MODEL, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "vote-on-unlinked-ballot-unit",
    family: Family::Procedure,
    kind: Kind::Contradiction,
    weight: Weight::Discrepancy,
    title: "A vote stands in the record from a ballot unit that was not linked.",
    asks: "Each vote comes from a ballot unit that is linked.",
    basis: &[
        Basis::Unit("each change of a link to a ballot unit leaves a record"),
        Basis::Comparable("VVSG 2.0, 12.1-C and 12.1-D: connecting and disconnecting a component is logged"),
    ],
    why: "The control unit takes a vote only from a ballot unit at its cable, and on this unit each change of a link is \
          recorded. A vote from a ballot unit whose link was last recorded as gone does not fit that.",
    ordinary: &[
        Ordinary::new(
            "A loose cable came back faster than the unit records it.",
            "a trial on a unit of the same model: a cable pulled and put back within a second",
        ),
        LOST_RECORD,
        OTHER_MODEL,
    ],
    look_next: &[MAKER, SECOND_EXPORT, "The log of the ballot unit, if it keeps one."],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "votes",
    examples: &[
        Example {
            title: "The ballot unit's link went down, and a vote from it follows.",
            log: "1201 2031-05-10 09:00:00 link-up bu=BU-50931\n\
                  1202 2031-05-10 09:00:05 enable\n\
                  1203 2031-05-10 09:00:31 vote bu=BU-50931\n\
                  1204 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1205 2031-05-10 09:01:00 enable\n\
                  1206 2031-05-10 09:01:30 vote bu=BU-50931\n\
                  ^ vote-on-unlinked-ballot-unit\n",
            case: "",
        },
        Example {
            title: "No ballot unit was ever linked since the unit's first record.",
            log: "1 2031-05-10 09:00:00 power-on\n\
                  2 2031-05-10 09:00:05 enable\n\
                  3 2031-05-10 09:00:31 vote bu=BU-50931\n\
                  ^ vote-on-unlinked-ballot-unit\n",
            case: "",
        },
        Example {
            title: "Near miss: the link came back before the vote.",
            log: "1201 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1202 2031-05-10 09:00:50 link-up bu=BU-50931\n\
                  1203 2031-05-10 09:01:00 enable\n\
                  1204 2031-05-10 09:01:30 vote bu=BU-50931\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit was switched off and on between, and may have found the ballot unit then.",
            log: "1201 2031-05-10 09:00:40 link-down bu=BU-50931\n\
                  1202 2031-05-10 09:00:50 power-off\n\
                  1203 2031-05-10 09:01:00 power-on\n\
                  1204 2031-05-10 09:01:10 enable\n\
                  1205 2031-05-10 09:01:30 vote bu=BU-50931\n",
            case: "",
        },
    ],
    walk,
};

/// What is known of one ballot unit's link.
#[derive(Clone, Copy)]
enum Link {
    Up,
    Down(usize),
    /// It may have changed while the control unit was off.
    NotKnown,
    /// A vote has already stood against it; one finding is enough until the next record of the link.
    Reported,
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    if !known.unit.links_recorded {
        walk.does_not_apply("the unit description does not say that each change of a link leaves a record");
        return;
    }
    let several = known.log.names_several_ballot_units() || known.case.names_several_ballot_units();
    // Each link with the number of times that the power had gone by its record: after another it is not known.
    let mut links: BTreeMap<Value<'_>, (Link, usize)> = BTreeMap::new();
    let mut powers = 0usize;
    // Whether every record since the unit's first has been seen.
    let mut whole = known.replay.front == Ending::FirstNumber;
    let mut why = Want::Front;
    let mut hidden = 0usize;
    let mut blind = known.blind().iter().copied().peekable();
    for step in 0..known.replay.steps.len() {
        if blind.next_if_eq(&step).is_some() {
            links.clear();
            whole = false;
            why = known.why_blind(step);
            continue;
        }
        let Some(record) = known.record(step) else {
            continue;
        };
        let serial = || known.log.attribute(record, "bu");
        match record.event {
            Event::LinkUp | Event::LinkDown => {
                let serial = serial();
                let link = if record.event == Event::LinkUp { Link::Up } else { Link::Down(step) };
                if let Some(serial) = serial {
                    links.insert(serial, (link, powers));
                } else {
                    links.clear();
                    whole = false;
                    why = serial_not_named();
                }
            }
            Event::PowerOn | Event::PowerOff | Event::BatteryChanged => {
                powers += 1;
            }
            Event::Vote => {
                let (place, serial) = (known.place(step), serial());
                let link = serial
                    .and_then(|serial| links.get(&serial))
                    .map(|(link, power)| if *power == powers { *link } else { Link::NotKnown });
                match (serial, link) {
                    (None, _) => walk.open(place, serial_not_named()),
                    (_, Some(Link::Up)) => walk.in_order(place),
                    (_, Some(Link::Reported)) => {}
                    (Some(serial), Some(Link::Down(down))) => {
                        if several {
                            hidden += 1;
                        } else {
                            walk.contrary(place, gone(known, step, down));
                        }
                        links.insert(serial, (Link::Reported, powers));
                    }
                    (_, Some(Link::NotKnown)) => walk.open(place, power_between()),
                    (Some(serial), None) if whole => {
                        if several {
                            hidden += 1;
                        } else {
                            walk.contrary(place, never(known, step));
                        }
                        links.insert(serial, (Link::Reported, powers));
                    }
                    (_, None) => walk.open(place, &why),
                }
            }
            _ => {}
        }
    }
    if hidden > 0 {
        walk.contrary(Place::Log, counted_only(hidden));
    }
}

fn serial_not_named() -> Want {
    Want::Other(
        "a record does not name the ballot unit that it is about".to_owned(),
        "maker of the unit",
        "whether the unit can export which ballot units were linked".to_owned(),
    )
}

fn power_between() -> Want {
    Want::Other(
        "the power was off between the last record of a link and a vote, and the link may have changed then"
            .to_owned(),
        "maker of the unit",
        "whether the unit records again, after each start, which ballot units it finds".to_owned(),
    )
}

/// Which ballot unit a vote came from is part of the choice where several are linked: even the line of such a vote would
/// tell it, where the records of the links leave one unit only. So nothing but the number is said.
fn counted_only(hidden: usize) -> Contrary {
    let votes = if hidden == 1 {
        "One vote comes from a ballot unit".to_owned()
    } else {
        format!("{hidden} votes come from ballot units")
    };
    Contrary {
        others: Vec::new(),
        expected: "The last record of the ballot unit's link before a vote says that it is there.".to_owned(),
        shows: format!(
            "{votes} of which the records before say that the link was gone, or never say that it was there. Which \
             votes these are is not shown, because it would say which ballot unit a voter used."
        ),
        measured: None,
        assumptions: vec![
            "each link of a ballot unit leaves a record, as the unit description says, and no record of one is missing"
                .to_owned(),
        ],
    }
}

fn gone(known: &Known<'_>, vote: usize, down: usize) -> Contrary {
    Contrary {
        others: vec![known.place(down)],
        expected: "The last record of the ballot unit's link before a vote says that it is there.".to_owned(),
        shows: format!(
            "{} is a vote. The last record of its ballot unit's link says that the link was gone. That record is {}.",
            known.name(vote),
            known.name(down)
        ),
        measured: None,
        assumptions: known.numbering_premise(down, vote).into_iter().collect(),
    }
}

fn never(known: &Known<'_>, vote: usize) -> Contrary {
    Contrary {
        others: Vec::new(),
        expected: "A record says that the ballot unit was linked before a vote comes from it.".to_owned(),
        shows: format!(
            "{} is a vote. From the first record of this log on, no record says that its ballot unit was linked.",
            known.name(vote)
        ),
        measured: None,
        assumptions: known.front_premise().into_iter().chain(known.numbering_premise(0, vote)).collect(),
    }
}

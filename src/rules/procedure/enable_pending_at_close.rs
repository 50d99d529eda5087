//! A close while an enable waited for its vote.

use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::replay::{Mode, State};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::unit::Unlogged;

use super::{DIARY, LOST_RECORD, SECOND_EXPORT};

pub(crate) static RULE: Rule = Rule {
    id: "enable-pending-at-close",
    family: Family::Procedure,
    kind: Kind::Shown,
    weight: Weight::Unusual,
    title: "A close stands in the record while an enable waited for its vote.",
    asks: "At each close, no enable waits for its vote.",
    basis: &[
        Basis::Unit("close: taken also while an enable waits; the enable then ends without a vote"),
        Basis::Practice("the last voter votes before the official presses close"),
    ],
    why: "The official releases the unit for a voter, and the voter votes. A close behind an enable means that the \
          last release led to no vote. The count of enables is then one above the count of votes.",
    ordinary: &[
        Ordinary::new(
            "The last voter left without voting, or refused, and the official closed the poll.",
            "the register's remark for the last voter, and the presiding officer's diary",
        ),
        Ordinary::new(
            "The official pressed enable by mistake before pressing close.",
            "the number of voters in the register against the number of votes",
        ),
        LOST_RECORD,
    ],
    look_next: &[DIARY, "The last entries of the register of voters, from the registrar.", SECOND_EXPORT],
    needs: &[Needs::Records],
    scope: Scope::Events,
    occasions: "closes",
    examples: &[
        Example {
            title: "The close follows an enable directly.",
            log: "1201 2031-05-10 17:58:05 enable\n\
                  1202 2031-05-10 17:58:31 vote\n\
                  1203 2031-05-10 18:01:02 enable\n\
                  1204 2031-05-10 18:04:12 close\n\
                  ^ enable-pending-at-close\n",
            case: "",
        },
        Example {
            title: "Near miss: the enable lapsed before the close.",
            log: "1201 2031-05-10 18:01:02 enable\n\
                  1202 2031-05-10 18:03:02 enable-lapsed\n\
                  1203 2031-05-10 18:04:12 close\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit was switched off and on, which ends the enable.",
            log: "1201 2031-05-10 18:01:02 enable\n\
                  1202 2031-05-10 18:02:02 power-off\n\
                  1203 2031-05-10 18:02:30 power-on\n\
                  1204 2031-05-10 18:04:12 close\n",
            case: "",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    for step in known.between(Event::Close, 0, known.replay.steps.len()) {
        let place = known.place(step);
        let before = known.replay.before.get(step).copied().unwrap_or_default();
        if !before.some(waits) {
            walk.in_order(place);
        } else if !before.all(waits) {
            walk.open(place, known.want_in(0, step).unwrap_or(Want::Front));
        } else if known.unit.unlogged.contains(&Unlogged::EnableLapse) {
            walk.open(
                place,
                Want::Other(
                    "this unit may end an enable without a record".to_owned(),
                    "presiding officer of the station",
                    "whether the last voter left without voting".to_owned(),
                ),
            );
        } else {
            walk.contrary(place, contrary(known, step));
        }
    }
}

fn waits(state: State) -> bool {
    matches!(state.mode, Mode::EnabledFirst | Mode::EnabledAgain)
}

fn contrary(known: &Known<'_>, step: usize) -> Contrary {
    let enable = known.between(Event::Enable, 0, step).next_back();
    let since = enable.map_or_else(String::new, |enable| format!(" since {}", known.name(enable)));
    Contrary {
        others: enable.map(|enable| known.place(enable)).into_iter().collect(),
        expected: "A vote or a lapse stands between the last enable and the close.".to_owned(),
        shows: format!(
            "{} is a close. An enable was waiting{since}, and nothing that ends it is recorded.",
            known.name(step)
        ),
        measured: None,
        assumptions: known.numbering_premise(enable.unwrap_or(0), step).into_iter().collect(),
    }
}

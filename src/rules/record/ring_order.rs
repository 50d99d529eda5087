//! A file that holds the unit's ring as it is stored, with the oldest record in the middle.

use super::{MAKER, WAY_OF_THE_FILE};
use crate::finding::{Kind, Place, Weight};
use crate::replay::{Cause, Order};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Want};

pub(crate) static RULE: Rule = Rule {
    id: "ring-order",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Remark,
    title: "The oldest record stands in the middle of the file, as a ring is stored.",
    asks: "The file begins with the oldest of its records.",
    basis: &[
        Basis::Unit("how many records the unit keeps, and how record numbers step"),
        Basis::Practice("a unit overwrites its oldest records when its memory is full"),
    ],
    why: "A unit that overwrites its oldest records stores them as a ring. An export that copies the memory place by \
          place begins somewhere in the middle. The numbers show where the ring begins, and replay goes round once \
          from there. No record is changed or lost by it.",
    ordinary: &[Ordinary::new(
        "The export copies the memory as it is stored.",
        "the exporter's description: in which order it writes records",
    )],
    look_next: &["The maker's description of the export: in which order it writes records.", WAY_OF_THE_FILE],
    needs: &[Needs::Numbers],
    scope: Scope::Text,
    occasions: "storage order",
    examples: &[
        Example {
            title: "The last record of the file is followed, by number, by its first.",
            log: "1205 2031-05-10 07:02:30 total\n\
                  1206 2031-05-10 07:02:50 total\n\
                  1201 2031-05-10 07:00:05 enable\n\
                  ^ ring-order\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the file begins with its oldest record.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the numbers go back, and the first record does not follow the last.",
            log: "1205 2031-05-10 07:02:30 total\n\
                  1206 2031-05-10 07:02:50 total\n\
                  1201 2031-05-10 07:00:05 enable\n\
                  ^ numbers-out-of-order\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n\
                  1207 2031-05-10 07:03:10 total\n",
            case: "",
        },
    ],
    walk: |known, walk| match known.replay.order {
        Order::Rotated(start) => {
            if let Some((main, contrary)) = contrary(known, start) {
                walk.contrary(main, contrary);
            }
        }
        Order::File if known.replay.gaps().any(|(_, gap)| gap.cause == Cause::NumbersGoBack) => {
            walk.open(Place::Log, Want::Order);
        }
        Order::File if known.log.records().iter().any(|record| record.number.is_none()) => walk.open(
            Place::Log,
            Want::Other(
                "some records carry no number, so that the numbers do not show where the ring begins"
                    .to_owned(),
                MAKER,
                "in which order the export writes records".to_owned(),
            ),
        ),
        Order::ByNumber | Order::File => walk.in_order(Place::Log),
    },
};

fn contrary(known: &Known<'_>, start: usize) -> Option<(Place, Contrary)> {
    let records = known.log.records();
    let [first, oldest, last] = [records.first()?, records.get(start)?, records.last()?];
    let contrary = Contrary {
        others: vec![Place::Line(first.line), Place::Line(last.line)],
        expected: "The oldest record stands first.".to_owned(),
        shows: format!(
            "The file begins with {} and ends with {}, whose number comes directly before. The oldest record by \
             number is {}. Replay begins there.",
            known.record_name(first),
            known.record_name(last),
            known.record_name(oldest)
        ),
        ..Contrary::default()
    };
    Some((Place::Line(oldest.line), contrary))
}

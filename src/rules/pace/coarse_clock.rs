//! Displayed times on steps of minutes or of several seconds, which switches rules about single seconds off.

use super::{MAKER, SECOND_EXPORT, SPECIMEN};
use crate::finding::{Kind, Place, Weight};
use crate::pace::{Resolution, duration};
use crate::rules::{Basis, Contrary, Example, Family, Needs, Ordinary, Rule, Scope, Want};

pub(crate) static RULE: Rule = Rule {
    id: "coarse-clock",
    family: Family::Pace,
    kind: Kind::Shown,
    weight: Weight::Remark,
    title: "All displayed times stand on steps longer than a second.",
    asks: "In this file, the displayed times tell single seconds.",
    basis: &[
        Basis::Practice("most units display seconds; some display minutes, or a clock of coarser steps"),
        Basis::Comparable(
            "VVSG 1.1, volume 1, 2.1.5.1 D, item ii: times precise enough to put all records in their order",
        ),
    ],
    why: "A clock that shows only every tenth second, or only minutes, can tell no more than that. The rules \
          'interval-run-repeated' and 'last-digit-uneven' rest on single seconds and cannot be told then. \
          'vote-too-soon' counts with the coarse step, and so says less. No test of chance is used: a step is named only \
          where every displayed time stands on it. This is a remark on what the log can carry, and nothing about the \
          poll.",
    ordinary: &[
        Ordinary::new(
            "The clock of this model runs in such steps.",
            "the maker's description of the clock, and a trial on a unit of the same model",
        ),
        Ordinary::new(
            "The export, or a program behind it, rounded or cut the times.",
            "the exporter's description, and a second export by other means",
        ),
    ],
    look_next: &["The maker's description of the clock and of the export.", SPECIMEN, SECOND_EXPORT],
    needs: &[Needs::Times],
    scope: Scope::Text,
    occasions: "displays of time",
    examples: &[
        Example {
            title: "Every time stands on a full ten seconds.",
            log: "1201 2031-05-10 07:00:00 enable\n\
                  ^ coarse-clock\n\
                  1202 2031-05-10 07:00:30 vote\n\
                  1203 2031-05-10 07:00:50 enable\n\
                  1204 2031-05-10 07:01:00 vote\n\
                  1205 2031-05-10 07:01:10 enable\n\
                  1206 2031-05-10 07:01:30 vote\n\
                  1207 2031-05-10 07:02:20 enable\n\
                  1208 2031-05-10 07:02:30 vote\n\
                  1209 2031-05-10 07:02:50 enable\n\
                  1210 2031-05-10 07:03:20 vote\n\
                  1211 2031-05-10 07:03:30 enable\n\
                  1212 2031-05-10 07:03:50 vote\n\
                  1213 2031-05-10 07:04:30 enable\n\
                  1214 2031-05-10 07:04:40 vote\n\
                  1215 2031-05-10 07:05:00 enable\n\
                  1216 2031-05-10 07:05:20 vote\n\
                  1217 2031-05-10 07:05:30 enable\n\
                  1218 2031-05-10 07:06:00 vote\n\
                  1219 2031-05-10 07:06:20 enable\n\
                  1220 2031-05-10 07:06:30 vote\n\
                  1221 2031-05-10 07:07:10 enable\n\
                  1222 2031-05-10 07:07:20 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: a few times on full ten seconds may be so by chance. This stays open.",
            log: "1201 2031-05-10 07:00:00 enable\n\
                  1202 2031-05-10 07:00:30 vote\n\
                  1203 2031-05-10 07:00:50 enable\n\
                  1204 2031-05-10 07:01:00 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: seconds are told.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:48 enable\n\
                  1204 2031-05-10 07:01:02 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let timeline = known.timeline();
        let first = timeline.ticks().iter().find(|tick| tick.time.is_some());
        let at = first.map_or(Place::Log, |tick| known.place(tick.step));
        match timeline.resolution() {
            Resolution::Seconds => walk.in_order(at),
            Resolution::Unknown => walk.open(
                at,
                Want::Other(
                    "too few different times stand in the log to show how fine its clock is".to_owned(),
                    MAKER,
                    "how fine the clock of this model is".to_owned(),
                ),
            ),
            Resolution::Coarse(step) => walk.contrary(
                at,
                Contrary {
                    expected: "Displayed times tell single seconds.".to_owned(),
                    shows: format!(
                        "All displayed times stand on steps of {}. Rules about single seconds cannot be told.",
                        duration(step)
                    ),
                    measured: Some(format!("step that all displayed times have in common: {}", duration(step))),
                    ..Contrary::default()
                },
            ),
        }
    },
};

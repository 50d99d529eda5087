//! A run of intervals between records that stands in the log twice, the same to the second.

use super::{SECOND_EXPORT, coarse, name, place};
use crate::finding::{Kind, Place, Weight};
use crate::pace::repeat::{self, DIFFERENT, Repeated};
use crate::pace::{Resolution, duration};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "interval-run-repeated",
    family: Family::Pace,
    kind: Kind::Shown,
    weight: Weight::Unusual,
    title: "A long run of intervals between records stands in the log twice, the same to the second.",
    asks: "In this file, no long run of unlike intervals between records stands twice, the same to the second.",
    basis: &[Basis::Practice(
        "people take unequal times, so that dozens of unlike intervals in a row do not come again in the same order",
    )],
    why: "Identification, release and vote take as long as the people at the station need. A run counts only where it \
          holds at least 8 different lengths and its values are rare near it. Each length is taken for as common as the \
          commonest of any 50 near it. So rare must the run then be that, even among all pairs of places in the log, less \
          than one in a million is like it. So a regular pace does not count. That votes come evenly or in bursts is not \
          held against a log: the usual tests for it (of dispersion, Greenwood's among them) called up to 100% of clean \
          days unusual, where one in a thousand was meant. These shares were measured for this project's generator of \
          clean days.",
    ordinary: &[
        Ordinary::new(
            "A part of the log was written out twice, and a program gave the second part new numbers and times.",
            "the exporter's description, and a second export by other means",
        ),
        Ordinary::new(
            "A test program or a trainer worked the unit by a fixed list of times.",
            "the papers of tests and training for the days of both runs",
        ),
    ],
    look_next: &[
        SECOND_EXPORT,
        "The custody papers of the export: every copy, conversion and transfer of the file.",
        "The papers of tests and training on this unit.",
    ],
    needs: &[Needs::Times],
    scope: Scope::Text,
    occasions: "comparisons of the log with itself",
    examples: &[
        Example {
            title: "Twenty-one intervals, nearly all different, stand twice in the same order.",
            log: "1201 2031-05-10 07:01:05 enable\n\
                  1202 2031-05-10 07:01:51 vote\n\
                  1203 2031-05-10 07:02:14 enable\n\
                  1204 2031-05-10 07:03:08 vote\n\
                  1205 2031-05-10 07:03:37 enable\n\
                  1206 2031-05-10 07:04:28 vote\n\
                  1207 2031-05-10 07:05:25 enable\n\
                  1208 2031-05-10 07:06:13 vote\n\
                  1209 2031-05-10 07:06:53 enable\n\
                  1210 2031-05-10 07:07:01 vote\n\
                  1211 2031-05-10 07:07:37 enable\n\
                  1212 2031-05-10 07:07:59 vote\n\
                  1213 2031-05-10 07:08:52 enable\n\
                  1214 2031-05-10 07:09:02 vote\n\
                  1215 2031-05-10 07:09:19 enable\n\
                  1216 2031-05-10 07:09:33 vote\n\
                  1217 2031-05-10 07:10:03 enable\n\
                  1218 2031-05-10 07:10:40 vote\n\
                  1219 2031-05-10 07:11:29 enable\n\
                  1220 2031-05-10 07:12:00 vote\n\
                  1221 2031-05-10 07:12:13 enable\n\
                  1222 2031-05-10 07:12:55 vote\n\
                  1223 2031-05-10 07:19:52 enable\n\
                  ^ interval-run-repeated\n\
                  1224 2031-05-10 07:20:38 vote\n\
                  1225 2031-05-10 07:21:01 enable\n\
                  1226 2031-05-10 07:21:55 vote\n\
                  1227 2031-05-10 07:22:24 enable\n\
                  1228 2031-05-10 07:23:15 vote\n\
                  1229 2031-05-10 07:24:12 enable\n\
                  1230 2031-05-10 07:25:00 vote\n\
                  1231 2031-05-10 07:25:40 enable\n\
                  1232 2031-05-10 07:25:48 vote\n\
                  1233 2031-05-10 07:26:24 enable\n\
                  1234 2031-05-10 07:26:46 vote\n\
                  1235 2031-05-10 07:27:39 enable\n\
                  1236 2031-05-10 07:27:49 vote\n\
                  1237 2031-05-10 07:28:06 enable\n\
                  1238 2031-05-10 07:28:20 vote\n\
                  1239 2031-05-10 07:28:50 enable\n\
                  1240 2031-05-10 07:29:27 vote\n\
                  1241 2031-05-10 07:30:16 enable\n\
                  1242 2031-05-10 07:30:47 vote\n\
                  1243 2031-05-10 07:31:00 enable\n\
                  1244 2031-05-10 07:31:42 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: every cycle of enable and vote takes exactly as long as the one before.",
            log: "1201 2031-05-10 08:00:05 enable\n\
                  1202 2031-05-10 08:00:18 vote\n\
                  1203 2031-05-10 08:00:35 enable\n\
                  1204 2031-05-10 08:00:48 vote\n\
                  1205 2031-05-10 08:01:05 enable\n\
                  1206 2031-05-10 08:01:18 vote\n\
                  1207 2031-05-10 08:01:35 enable\n\
                  1208 2031-05-10 08:01:48 vote\n\
                  1209 2031-05-10 08:02:05 enable\n\
                  1210 2031-05-10 08:02:18 vote\n\
                  1211 2031-05-10 08:02:35 enable\n\
                  1212 2031-05-10 08:02:48 vote\n\
                  1213 2031-05-10 08:03:05 enable\n\
                  1214 2031-05-10 08:03:18 vote\n\
                  1215 2031-05-10 08:03:35 enable\n\
                  1216 2031-05-10 08:03:48 vote\n\
                  1217 2031-05-10 08:04:05 enable\n\
                  1218 2031-05-10 08:04:18 vote\n\
                  1219 2031-05-10 08:04:35 enable\n\
                  1220 2031-05-10 08:04:48 vote\n\
                  1221 2031-05-10 08:05:05 enable\n\
                  1222 2031-05-10 08:05:18 vote\n\
                  1223 2031-05-10 08:05:35 enable\n\
                  1224 2031-05-10 08:05:48 vote\n",
            case: "",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let timeline = known.timeline();
    if let Some(want) = coarse(known) {
        walk.open(Place::Log, want);
        return;
    }
    let room = |section: &crate::pace::Section| section.end - section.start > DIFFERENT;
    if !timeline.sections().iter().any(room) {
        walk.does_not_apply("no stretch under one clock is long enough to hold such a run");
        return;
    }
    let found = if repeat::may_repeat(timeline) { repeat::repeated(timeline) } else { Vec::new() };
    if found.is_empty() {
        walk.in_order(Place::Log);
    }
    for run in found {
        walk.contrary(place(known, run.again.0), contrary(known, &run));
    }
}

fn contrary(known: &Known<'_>, run: &Repeated) -> Contrary {
    let fine = match known.timeline().resolution() {
        Resolution::Coarse(step) => duration(step),
        Resolution::Seconds | Resolution::Unknown => "the second".to_owned(),
    };
    let stand = |(first, last): (usize, usize)| format!("{} to {}", name(known, first), name(known, last));
    Contrary {
        others: [run.first.0, run.first.1, run.again.1].map(|at| place(known, at)).to_vec(),
        expected: "No long run of unlike intervals stands twice.".to_owned(),
        shows: format!(
            "The {} intervals from {} are the same to {fine} as those from {}, event by event.",
            run.lengths,
            stand(run.again),
            stand(run.first)
        ),
        measured: Some(format!(
            "{} intervals, {} different; as rare, by the commonest lengths near them, as {} heads in a row with a fair coin, \
             where {} are asked for",
            run.lengths,
            run.different,
            libm::floor(run.bits),
            libm::ceil(run.asked)
        )),
        assumptions: Vec::new(),
    }
}

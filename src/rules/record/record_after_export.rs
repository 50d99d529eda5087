//! A record that follows the export that the header states, and displays a later time.
//!
//! A unit's clock runs free. That it shows a later time than the exporter's clock says only that one of the two is
//! wrong, by at least so much; a clock a few seconds ahead is no departure. So a later time alone leaves the question
//! open. It is contrary where the unit's own record of that very export stands before it.

use super::{EXPORTER, WAY_OF_THE_FILE, count, duration, places};
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::{DateTime, Stamp};

pub(crate) static RULE: Rule = Rule {
    id: "record-after-export",
    family: Family::Record,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "A record follows the export that the header states, and displays a later time.",
    asks: "No record in this file was recorded after the export that the header states.",
    basis: &[
        Basis::Format("the header's `exported-at` (RFC 3339) and `clock-zone`"),
        Basis::Practice("what is exported was recorded before"),
    ],
    why: "A log holds what was recorded before it was written out. A later displayed time alone says only that the \
          unit's clock may have run ahead, and by how much at least. Where the unit's own record of the export displays \
          the time that the header states, the two clocks agree, and what follows that record was recorded after it.",
    ordinary: &[
        Ordinary::new(
            "The log was exported again later, and the unit's clock or the exporter's was wrong by just the time \
                      between the two exports.",
            "a reading of the unit's clock beside a reference clock at each export",
        ),
        Ordinary::new(
            "The unit's clock was set to another zone than the header states, or to summer time.",
            "the procedure for setting the units' clocks, and a reading of this clock",
        ),
        Ordinary::new(
            "The header was kept from an earlier export of the same unit.",
            "the exporter's own record of its exports",
        ),
        Ordinary::new(
            "The exporter writes year-day-month, so that dates with a day up to 12 are read with day and month \
                      exchanged and the others cannot be read.",
            "whether all dates of the file rise when read so, and the exporter's description",
        ),
    ],
    look_next: &[
        "A reading of the unit's clock beside a reference clock, from whoever made the export.",
        "The exporter's own record of its exports, with their times.",
        WAY_OF_THE_FILE,
    ],
    needs: &[Needs::Records],
    scope: Scope::Text,
    occasions: "records with a time",
    examples: &[
        Example {
            title: "A record follows the export of the header, two days later.",
            log: "clock-zone: +02:00\n\
                  exported-at: 2031-05-19T10:04:31+02:00\n\
                  1201 2031-05-19 10:00:05 power-on\n\
                  1202 2031-05-19 10:04:31 export\n\
                  1203 2031-05-21 10:00:31 total\n\
                  ^ record-after-export\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit's clock runs four minutes ahead of the exporter's. This stays open.",
            log: "clock-zone: +02:00\n\
                  exported-at: 2031-05-19T10:00:31+02:00\n\
                  1201 2031-05-19 10:00:05 power-on\n\
                  1202 2031-05-19 10:04:31 export\n",
            case: "",
        },
        Example {
            title: "Near miss: the displayed hour is later, and the export is stated in another zone.",
            log: "clock-zone: +02:00\n\
                  exported-at: 2031-05-19T08:04:31Z\n\
                  1201 2031-05-19 10:00:05 power-on\n\
                  1202 2031-05-19 10:04:31 export\n",
            case: "",
        },
        Example {
            title: "Near miss: the time of export cannot be read, so nothing can be compared. This stays open.",
            log: "clock-zone: +02:00\n\
                  exported-at: Monday morning\n\
                  1201 2031-05-19 10:00:05 power-on\n\
                  1202 2031-05-21 10:00:31 total\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let (line, value) = match known.log.header_line("exported-at") {
            Some((line, value)) => (Some(line), Some(value)),
            None => (None, None),
        };
        let main = line.map_or(Place::Log, Place::Line);
        let Some(export) = value.and_then(|value| DateTime::read(value.text())) else {
            let why = if line.is_some() {
                "the header states the time of export in a form that cannot be read"
            } else {
                "the header does not state when the log was exported"
            };
            walk.open(
                main,
                Want::Other(why.to_owned(), EXPORTER, "date, time and zone of the export".to_owned()),
            );
            return;
        };
        let zone = known.log.header("clock-zone").and_then(|zone| DateTime::offset(zone.text())).flatten();
        let Some(zone) = zone else {
            let why = "the header does not state, in a form that can be read, in which zone the unit's clock was set";
            walk.open(main, Want::Other(why.to_owned(), EXPORTER, "the zone of the unit's clock".to_owned()));
            return;
        };
        judge(known, walk, export, zone);
    },
};

/// The unit's record of an export and the header's time of it are written by two machines in one act: what lies within a
/// minute is taken for the same export, and a finding says so.
const SAME_EXPORT: i64 = 60_000;

fn judge(known: &Known<'_>, walk: &mut Walk<'_>, export: DateTime, zone: i64) {
    // The earliest instant that a displayed time may mean, against the end of the second shown as time of export.
    let later_by = |time: Stamp| time.ms() - zone - export.end();
    let is_it = |step: &usize| {
        let time = known.record(*step).and_then(|record| record.time);
        time.is_some_and(|time| (time.ms() - zone - export.ms).abs() < SAME_EXPORT + time.step_ms())
    };
    let own = known.steps_of(Event::Export).iter().copied().rfind(is_it);
    let mut after: Vec<usize> = Vec::new();
    if let Some(own) = own {
        after.extend((own + 1..known.replay.steps.len()).filter_map(|step| Some(known.record(step)?.line)));
        after.sort_unstable();
    }
    let ahead = known.log.records().iter().filter_map(|record| record.time).map(later_by).max().unwrap_or(0);
    let mut later: Vec<(usize, Stamp)> = Vec::new();
    for record in known.log.records() {
        let Some(time) = record.time else { continue };
        if later_by(time) < 0 {
            walk.in_order(Place::Line(record.line));
        } else if own.is_none() {
            walk.open(Place::Line(record.line), clock_not_read(ahead));
        } else if after.binary_search(&record.line).is_ok() {
            later.push((record.line, time));
        } else {
            walk.in_order(Place::Line(record.line));
        }
    }
    if let Some(((main, _), own)) = later.first().zip(own) {
        walk.contrary(Place::Line(*main), contrary(known, export, zone, own, &later));
    }
}

fn clock_not_read(ahead: i64) -> Want {
    Want::Other(
        format!(
            "displayed times later than the time of export hang on the unit's clock, which, if the dates are read as they stand, then ran ahead by {} or more",
            duration(ahead)
        ),
        EXPORTER,
        "a reading of the unit's clock beside a reference clock at the export, and the record of all its exports".to_owned(),
    )
}

fn contrary(
    known: &Known<'_>,
    export: DateTime,
    zone: i64,
    own: usize,
    later: &[(usize, Stamp)],
) -> Contrary {
    let latest = later.iter().max_by_key(|(_, time)| *time);
    let mut evidence: Vec<usize> =
        known.log.header_line("exported-at").map(|(line, _)| line).into_iter().collect();
    evidence.extend(known.log.header_line("clock-zone").map(|(line, _)| line));
    evidence.extend(later.iter().skip(1).map(|(line, _)| *line));
    evidence.extend(known.record(own).map(|record| record.line));
    let shown = Stamp::new(export.ms + zone, 0);
    let records = count(later.len() as u64, "record", "records");
    let shows = format!(
        "After {}, the export, stand with a later time: {records}. The header puts the export at {shown} in the zone of \
         the unit's clock. The latest displayed time is {}, on line {}.",
        known.name(own),
        latest.map_or_else(String::new, |(_, time)| time.to_string()),
        latest.map_or(0, |(line, _)| known.log.line_number(*line)),
    );
    let measured = latest.map(|(_, time)| {
        format!(
            "{} later, give or take {} for the steps of both displays",
            duration(time.ms() - zone - export.ms),
            duration(time.step_ms().max(export.step))
        )
    });
    Contrary {
        others: places(&evidence),
        expected: "No record with a later time follows the export that the header states.".to_owned(),
        shows,
        measured,
        assumptions: vec![
            format!("{} is the export that the header states", known.name(own)),
            "the unit's clock was set in the zone that the header states as `clock-zone`".to_owned(),
        ],
    }
}

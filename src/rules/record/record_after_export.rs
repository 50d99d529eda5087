//! A record that follows the export that the header states, and displays a later time.
//!
//! A unit's clock runs free. That it shows a later time than the exporter's clock says only that one of the two is
//! wrong, by at least so much; a clock a few seconds ahead is no departure. So a later time alone leaves the question
//! open. It is contrary where the unit's own record of that very export stands before it, or where readings of the unit's
//! clock beside a reference clock put the record after the stated time.

use super::{EXPORTER, WAY_OF_THE_FILE, count, duration, places};
use crate::clock::Placement;
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
          the time that the header states, the two clocks agree, and what follows that record was recorded after it. Where no such record stands, \
          readings of the unit's clock beside a reference clock may put a record that displays a later time after the \
          stated one by more than a minute, or before it.",
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
            "The clock of the machine that wrote the header was wrong.",
            "a reading of that clock beside a reference clock, and the exporter's own record of its exports",
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
            title: "A reading puts records days after the export of the header, at which nothing was exported.",
            log: "clock-zone: +02:00\n\
                  exported-at: 2031-05-19T10:00:31+02:00\n\
                  1201 2031-05-22 10:00:05 power-on\n\
                  ^ record-after-export\n\
                  1202 2031-05-22 10:04:31 total\n\
                  1203 2031-05-22 10:06:02 power-off\n",
            case: READ_RIGHT,
        },
        Example {
            title: "Near miss: a reading shows the clock days ahead, so that the records were made before the export.",
            log: "clock-zone: +02:00\n\
                  exported-at: 2031-05-19T10:06:31+02:00\n\
                  1201 2031-05-22 10:00:05 power-on\n\
                  1202 2031-05-22 10:04:31 total\n\
                  1203 2031-05-22 10:06:02 power-off\n",
            case: READ_AHEAD,
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

/// The case file of an example: the bound on the rate, and a reading of the clock.
macro_rules! read {
    ($reference:literal) => {
        concat!(
            "[[setting]]\ndrift-ppm = 100\nsource = \"Maker's data sheet\"\nby = \"Registrar\"\n\n",
            "[[reading]]\ndisplayed = \"2031-05-22 10:05:00\"\nreference = \"",
            $reference,
            "\"\nwithin-seconds = 2\nzone = \"+02:00\"\nafter-record = 1202\nsource = \"Record of the inspection\"\n",
            "by = \"Registrar\"\n"
        )
    };
}

const READ_RIGHT: &str = read!("2031-05-22 10:05:00");
const READ_AHEAD: &str = read!("2031-05-19 10:05:00");

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
    let exports = || known.steps_of(Event::Export).iter().copied();
    let shown = exports().rfind(is_it);
    let own = shown.or_else(|| exports().rfind(|step| is_read_as(known, *step, export)));
    // Where the clock was off and its reading says so, what follows the export is later than its own display.
    let own_shows = own.and_then(|own| known.record(own)).and_then(|record| record.time);
    let later_than_own = |time: Stamp| {
        shown.is_none() && own_shows.is_some_and(|own| time.ms() - own.ms() > SAME_EXPORT + own.step_ms())
    };
    let mut after: Vec<usize> = Vec::new();
    if let Some(own) = own {
        after.extend((own + 1..known.replay.steps.len()).filter_map(|step| Some(known.record(step)?.line)));
        after.sort_unstable();
    }
    let ahead = known.log.records().iter().filter_map(|record| record.time).map(later_by).max().unwrap_or(0);
    let steps = steps_of_records(known);
    let mut later: Vec<(usize, Stamp)> = Vec::new();
    for (place, record) in known.log.records().iter().enumerate() {
        let Some(time) = record.time else { continue };
        let at = Place::Line(record.line);
        if later_by(time) < 0 && !later_than_own(time) {
            walk.in_order(at);
        } else if own.is_none() {
            match steps.get(place).copied().flatten().map(|step| by_readings(known, step, export)) {
                Some(Told::After) => later.push((record.line, time)),
                Some(Told::Before) => walk.in_order(at),
                _ => walk.open(at, clock_not_read(ahead)),
            }
        } else if after.binary_search(&record.line).is_ok() {
            later.push((record.line, time));
        } else {
            walk.in_order(at);
        }
    }
    if let Some((main, _)) = later.first() {
        let found = match own {
            Some(own) => contrary(known, (export, zone), (own, shown.is_some()), &later),
            None => contrary_by_readings(known, export, zone, &later),
        };
        walk.contrary(Place::Line(*main), found);
    }
}

/// Whether readings of the unit's clock put a record within a minute of the time of export.
fn is_read_as(known: &Known<'_>, step: usize, export: DateTime) -> bool {
    let ns = |ms: i64| i128::from(ms) * 1_000_000;
    let when = known.clock.bounds(step);
    let (Some(earliest), Some(latest)) = (when.earliest, when.latest) else { return false };
    known.clock.conflicts().is_empty()
        && earliest.at.ns() >= ns(export.ms - SAME_EXPORT)
        && latest.at.ns() <= ns(export.end() + SAME_EXPORT)
}

/// What readings of the unit's clock say of a record and the time of export.
enum Told {
    After,
    Before,
    Open,
}

fn by_readings(known: &Known<'_>, step: usize, export: DateTime) -> Told {
    let ns = |ms: i64| i128::from(ms) * 1_000_000;
    // Readings that contradict each other may do so because the file words its dates otherwise.
    if !known.clock.conflicts().is_empty() {
        return Told::Open;
    }
    // Two machines write the two times: within a minute they are taken for the same.
    let is_after = |ms: i128| ms > ns(export.end() + SAME_EXPORT);
    let when = known.clock.bounds(step);
    if when.earliest.is_some_and(|bound| is_after(bound.at.ns())) && is_read_behind(known, step, is_after) {
        Told::After
    } else if when.latest.is_some_and(|bound| bound.at.ns() <= ns(export.ms)) {
        Told::Before
    } else {
        Told::Open
    }
}

/// Whether the unit was read behind a record, after that time: what its display showed then is on paper, however the file words
/// the times of its records.
fn is_read_behind(known: &Known<'_>, step: usize, is_after: impl Fn(i128) -> bool) -> bool {
    known.clock.readings().iter().any(|reading| match reading.placement {
        Placement::Record(of) | Placement::After { step: of, .. } => {
            of >= step && is_after(reading.earliest.ns())
        }
        _ => false,
    })
}

/// Per record its step in the order of replay.
fn steps_of_records(known: &Known<'_>) -> Vec<Option<usize>> {
    let mut steps = vec![None; known.log.records().len()];
    for step in 0..known.replay.steps.len() {
        if let Some(slot) = known.replay.record(step).and_then(|place| steps.get_mut(place)) {
            *slot = Some(step);
        }
    }
    steps
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
    (export, zone): (DateTime, i64),
    (own, by_display): (usize, bool),
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
    let mut assumptions = vec![format!("{} is the export that the header states", known.name(own))];
    if by_display {
        let zone = "the unit's clock was set in the zone that the header states as `clock-zone`";
        assumptions.push(zone.to_owned());
    } else {
        let when = known.clock.when(own);
        let both = [when.earliest, when.latest].into_iter().flatten();
        assumptions.extend(both.flat_map(|bound| bound.rests_on).map(|premise| premise.words()));
    }
    Contrary {
        others: places(&evidence),
        expected: "No record with a later time follows the export that the header states.".to_owned(),
        shows,
        measured,
        assumptions,
    }
}

fn contrary_by_readings(
    known: &Known<'_>,
    export: DateTime,
    zone: i64,
    later: &[(usize, Stamp)],
) -> Contrary {
    let mut evidence: Vec<usize> =
        known.log.header_line("exported-at").map(|(line, _)| line).into_iter().collect();
    evidence.extend(later.iter().skip(1).map(|(line, _)| *line));
    let step = later.first().and_then(|(line, _)| {
        (0..known.replay.steps.len())
            .find(|step| known.record(*step).is_some_and(|record| record.line == *line))
    });
    let earliest = step.and_then(|step| known.clock.when(step).earliest);
    let minutes = i32::try_from(zone / 60_000).unwrap_or(0);
    let shows = format!(
        "By the readings of the unit's clock {} made after the export that the header states: the first of them, on line {}, \
         not before {}. The header puts the export at {}, both in the zone of the unit's clock.",
        count(later.len() as u64, "record was", "records were"),
        later.first().map_or(0, |(line, _)| known.log.line_number(*line)),
        earliest.as_ref().map_or_else(String::new, |bound| bound.at.second_before().civil(minutes)),
        Stamp::new(export.ms + zone, 0),
    );
    let by_readings = earliest.into_iter().flat_map(|bound| bound.rests_on);
    Contrary {
        others: places(&evidence),
        expected: "No record in the file was made after the export that the header states.".to_owned(),
        shows,
        measured: None,
        assumptions: by_readings
            .map(|premise| premise.words())
            .chain(["the clock that gave the header its time was right to within a minute".to_owned()])
            .collect(),
    }
}

//! The unit's clock in plain words: one list of statements for every form of report.

mod records;

use crate::clock::{Begins, Clock, Placement, Premise, export_pair, length};
use crate::counts::counted;
use crate::examination::Examination;
use crate::report::count;
use crate::report::coverage::Statement;
pub(super) use records::{End, Records};

/// Conflicts that are told one by one; the rest is counted.
const MOST_CONFLICTS: usize = 10;

/// The title of the section, in every form.
pub(super) const TITLE: &str = "The unit's clock";

/// What stands over the numbered list of what ends hang on.
pub(super) const HANGS_ON: &str = "What the ends hang on, by the numbers in brackets:";

/// The statements, in the order of the report, each with all that it rests on.
pub(super) fn statements(examination: &Examination<'_>) -> Vec<Statement> {
    let mut list = on_readings(examination);
    list.extend(records::statements(examination));
    list
}

/// The statements on the readings, without those on single records.
pub(super) fn on_readings(examination: &Examination<'_>) -> Vec<Statement> {
    let clock = &examination.clock;
    let mut list: Vec<Statement> = Vec::new();
    let mut say = |about: &'static str, text: String| list.push(Statement { about, text });
    if clock.readings().is_empty() {
        say("clock", without(examination));
        if let Some(text) = of_the_export(examination) {
            say("clock", text);
        }
        return list;
    }
    say("clock's rate", rate(clock));
    for (place, reading) in clock.readings().iter().enumerate() {
        say("clock reading", read(clock, place, &reading.placement));
    }
    if let Some(text) = of_the_export(examination) {
        say("clock reading", text);
    }
    if let Some(text) = segments(examination) {
        say("clock's steps", text);
    }
    let conflicts = clock.conflicts();
    for conflict in conflicts.iter().take(MOST_CONFLICTS) {
        let lines = lines(clock, &conflict.readings);
        say(
            "readings conflict",
            if conflict.readings.len() == 1 {
                format!(
                    "What the reading on {lines} says that the unit displayed does not fit between what the records beside \
                     it display. It cannot be right, if {}. It binds nothing here.",
                    premises(&beside(&conflict.rests_on))
                )
            } else {
                format!(
                    "The readings on {lines} cannot all be right, if {}. They bind nothing here.",
                    premises(&beside(&conflict.rests_on))
                )
            },
        );
    }
    if conflicts.len() > MOST_CONFLICTS {
        let more = count(conflicts.len() - MOST_CONFLICTS, "further conflict", "further conflicts");
        say("readings conflict", format!("There is {more} of readings."));
    }
    let everywhere = clock.in_every_conflict();
    if conflicts.len() > 1 && !everywhere.is_empty() {
        let text =
            format!("The reading on {} stands in every one of these conflicts.", lines(clock, &everywhere));
        say("readings conflict", text);
    }
    if let Some(text) = line(clock) {
        say("straight line", text);
    }
    list
}

fn without(examination: &Examination<'_>) -> String {
    let display = match examination.clock.resolution() {
        Some(ms) => format!(" Its display has steps of {}.", length(i128::from(ms) * 1_000_000)),
        None => String::new(),
    };
    format!(
        "No paper that was read states a reading of the unit's clock beside a reference clock. So no record can be tied to true time, \
         and every time is printed as the unit displayed it.{display}"
    )
}

/// The times of the export, where the case file does not make a reading of them.
fn of_the_export(examination: &Examination<'_>) -> Option<String> {
    if examination.clock.readings().iter().any(|reading| reading.exported) {
        return None;
    }
    let (step, stated) = export_pair(examination.log, &examination.replay)?;
    Some(format!(
        "The last record of an export is {}; the header states {stated} as the time of export. The two are no reading of the \
         clock until somebody says that they belong together and how far the exporter's clock, and the time that the export \
         took, may put them apart (case file: [[reading]] with reference-from).",
        examination.clock.name(step),
        stated = stated.shown(),
    ))
}

fn rate(clock: &Clock<'_>) -> String {
    match clock.rate() {
        Some(rate) => format!(
            "The clock is taken to keep within {} of true time, either way ({}). What follows for a record is \
             rounded outwards.",
            counted(rate.ppm.into(), "part per million", "parts per million"),
            rate.source
        ),
        None => "Nobody states how far the clock's rate may be off, so that a reading binds a record only by their order."
            .to_owned(),
    }
}

fn read(clock: &Clock<'_>, place: usize, placement: &Placement) -> String {
    let words = clock.readings().get(place).map(crate::clock::Reading::words).unwrap_or_default();
    let place = match placement {
        Placement::Record(step) => format!("is one of {}", clock.name(*step)),
        Placement::After { step, segment: Some(_) } => format!("was taken after {}", clock.name(*step)),
        Placement::After { step, segment: None } => format!(
            "was taken after {}; the clock may have been set or have gone back unseen before the next record, so it binds \
             by order alone",
            clock.name(*step)
        ),
        Placement::Throughout => {
            "names no record; the clock, it is said, was neither set nor reset between it and the records"
                .to_owned()
        }
        Placement::Nowhere(why) => format!("is not used: {why}"),
    };
    sentence(&format!("{words} {place}."))
}

fn segments(examination: &Examination<'_>) -> Option<String> {
    let clock = &examination.clock;
    let several: Vec<String> = clock
        .segments()
        .iter()
        .filter_map(|segment| match segment.begins {
            // Across a setting whose step is known, readings are carried.
            Begins::Log | Begins::ClockSet { joined: true, .. } => None,
            Begins::Unseen(step) => Some(across(examination, step)),
            Begins::ClockSet { step, .. } | Begins::WentBack(step) | Begins::Upset(step) => {
                Some(format!("past {}, {}", clock.name(step), segment.begins.words()))
            }
        })
        .collect();
    match several.as_slice() {
        [] => None,
        [one] => Some(format!("No reading is carried {one}.")),
        [first, .., last] => Some(format!(
            "At {} places no reading is carried on: the first of them {first}; the last {last}.",
            several.len()
        )),
    }
}

/// A gap by the lines beside it.
fn across(examination: &Examination<'_>, step: usize) -> String {
    let before = (0..step).rev().find_map(|step| line_of(examination, step));
    let after = (step..examination.replay.steps.len()).find_map(|step| line_of(examination, step));
    match (before, after) {
        (Some(before), Some(after)) => format!("across the gap between lines {before} and {after}"),
        (Some(before), None) => format!("across the gap behind line {before}"),
        (None, Some(after)) => format!("across the gap before line {after}"),
        (None, None) => "across the gap".to_owned(),
    }
}

/// The number of the line on which the record of a step stands.
fn line_of(examination: &Examination<'_>, step: usize) -> Option<usize> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    Some(examination.log.line_number(record.line))
}

fn line(clock: &Clock<'_>) -> Option<String> {
    let line = clock.line()?;
    if !line.conflicts.is_empty() {
        let sets: Vec<String> =
            line.conflicts.iter().take(MOST_CONFLICTS).map(|set| lines(clock, set)).collect();
        let more = match line.conflicts.len().saturating_sub(MOST_CONFLICTS) {
            0 => String::new(),
            more => format!(" The same holds of {}.", count(more, "further set", "further sets")),
        };
        let everywhere: Vec<usize> = line.in_every_conflict();
        let each = if line.conflicts.len() > 1 && !everywhere.is_empty() {
            format!(" The reading on {} stands in every one of these sets.", lines(clock, &everywhere))
        } else {
            String::new()
        };
        return Some(format!(
            "No clock of one constant rate fits the readings on {}.{more}{each} This shows that the assumption of a constant \
             rate ({}) is wrong, and no step of the clock follows from it. The bounds are those of bounded drift.",
            sets.join("; nor those on "),
            line.source
        ));
    }
    Some(format!(
        "The clock is also taken to run at one constant rate, and to keep it where a record of a setting states both \
             times ({}). {}{}",
        line.source,
        if line.holds {
            "This makes the bounds narrower."
        } else if line.is_refused() {
            "It does not fit the readings together with the order of the records, so that it is wrong here, and the bounds are \
             those of bounded drift."
        } else {
            "It binds nothing here beyond bounded drift."
        },
        if line.too_many {
            " Where more than 50 readings stand without an unknown step between them, no line is laid."
        } else {
            ""
        }
    ))
}

/// What a conflict rests on besides its readings.
fn beside(rests_on: &[Premise]) -> Vec<Premise> {
    rests_on.iter().filter(|one| one.reading().is_none()).cloned().collect()
}

fn premises(premises: &[Premise]) -> String {
    Premise::told(premises).join("; and ")
}

fn lines(clock: &Clock<'_>, readings: &[usize]) -> String {
    let lines: Vec<String> = readings
        .iter()
        .filter_map(|reading| clock.readings().get(*reading))
        .map(|reading| reading.line.to_string())
        .collect();
    let noun = if lines.len() == 1 { "line" } else { "lines" };
    format!("{noun} {} of the case file", lines.join(", "))
}

/// With a capital letter.
fn sentence(text: &str) -> String {
    let mut rest = text.chars();
    rest.next().map_or_else(String::new, |first| first.to_uppercase().chain(rest).collect())
}

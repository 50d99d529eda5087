//! The numbers that the unit showed as bare facts of the log, records that others contradict included.

use std::ops::Range;

use super::memory::number_shown;
use crate::event::Event;
use crate::replay::Replay;
use crate::syntax::{Log, Record};

/// The numbers that the unit showed before a vote and behind it, with no clear between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Around {
    /// The last number before it: its step and the number.
    pub before: (usize, u64),
    /// The numbers behind it, up to the next clear or to further votes.
    pub behind: Vec<(usize, u64)>,
    /// The votes recorded between the last before and the first behind, this one included.
    pub votes: u64,
}

impl Around {
    /// Of a vote at a step; `None` where no number was shown on both sides.
    #[must_use]
    pub fn of(log: &Log, replay: &Replay, vote: usize) -> Option<Around> {
        let number = |step: usize| number_at(log, replay, step).map(|value| (step, value));
        let is = |step: usize, event: Event| record(log, replay, step).is_some_and(|r| r.event == event);
        let before = (0..vote).rev().take_while(|step| !is(*step, Event::Clear)).find_map(number)?;
        let mut behind: Vec<(usize, u64)> = Vec::new();
        for step in vote + 1..replay.steps.len() {
            if is(step, Event::Clear) || (!behind.is_empty() && is(step, Event::Vote)) {
                break;
            }
            behind.extend(number(step));
        }
        let (first, _) = *behind.first()?;
        let votes = (before.0..first).filter(|step| is(*step, Event::Vote)).count() as u64;
        Some(Around { before, behind, votes })
    }

    /// Whether every number behind is the one before and so many votes more.
    #[must_use]
    pub fn grew_by(&self, votes: u64) -> bool {
        self.behind.iter().all(|(_, value)| value.checked_sub(self.before.1) == Some(votes))
    }
}

/// The numbers that the unit showed in some steps, each with its step.
#[must_use]
pub fn numbers_shown(log: &Log, replay: &Replay, steps: Range<usize>) -> Vec<(usize, u64)> {
    steps.filter_map(|step| Some((step, number_at(log, replay, step)?))).collect()
}

/// Numbers with the records that show them: `28 (record 286) and 29 (records 292 and 296)`.
#[must_use]
pub fn numbers_told(log: &Log, replay: &Replay, numbers: &[(usize, u64)]) -> String {
    let groups: Vec<String> = numbers
        .chunk_by(|one, next| one.1 == next.1)
        .filter_map(|group| {
            let (_, value) = *group.first()?;
            let steps: Vec<usize> = group.iter().map(|(step, _)| *step).collect();
            Some(format!("{} ({})", super::figures(value.into()), records_named(log, replay, &steps)))
        })
        .collect();
    listed(&groups)
}

/// Records by their numbers; by their lines where one has no number: `records 292 and 296`.
#[must_use]
pub fn records_named(log: &Log, replay: &Replay, steps: &[usize]) -> String {
    let records: Vec<&Record> = steps.iter().filter_map(|step| record(log, replay, *step)).collect();
    let numbers: Option<Vec<String>> = records
        .iter()
        .map(|record| {
            let width = usize::from(record.number_digits);
            record.number.map(|number| format!("{number:0width$}"))
        })
        .collect();
    let lines = || records.iter().map(|record| log.line_number(record.line).to_string()).collect();
    let (noun, named): (&str, Vec<String>) = match numbers {
        Some(numbers) => ("record", numbers),
        None => ("line", lines()),
    };
    format!("{noun}{} {}", if named.len() == 1 { "" } else { "s" }, listed(&named))
}

fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn record<'l>(log: &'l Log, replay: &Replay, step: usize) -> Option<&'l Record> {
    log.records().get(replay.record(step)?)
}

/// The number that the record of a step shows.
fn number_at(log: &Log, replay: &Replay, step: usize) -> Option<u64> {
    let record = record(log, replay, step)?;
    let shows = matches!(record.event, Event::Total | Event::Close | Event::Result);
    number_shown(log, record).filter(|_| shows)
}

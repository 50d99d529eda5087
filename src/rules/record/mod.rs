//! The export as a record: its lines, numbers, times and ends.

pub(super) mod chain_broken;
pub(super) mod choice_disclosed;
pub(super) mod closing_disagrees;
pub(super) mod identity_differs;
pub(super) mod more_records_than_kept;
pub(super) mod number_missing;
pub(super) mod number_repeated;
pub(super) mod numbers_out_of_order;
pub(super) mod record_after_export;
pub(super) mod record_repeated;
pub(super) mod ring_order;
pub(super) mod time_decreases;
pub(super) mod unknown_event;
pub(super) mod unreadable_line;

use std::collections::BTreeMap;

use crate::counts::counted as count;
use crate::finding::Place;
use crate::pace::duration;
use crate::replay::order;
use crate::rules::Known;
use crate::syntax::Record;
use crate::unit::UnitDescription;

/// How many lines of one finding are pointed at; of more, the first ones and the last.
const POINTED_AT: usize = 8;

/// Who can export again.
const EXPORTER: &str = "whoever made the export";
/// Who knows what the model does.
const MAKER: &str = "maker of the unit, or whoever holds its description";
/// What nearly every question about an export is decided by.
const EXPORT_AGAIN: &str = "A second export of the same unit, from whoever holds the unit.";
/// Where the way of the file is written down.
const WAY_OF_THE_FILE: &str =
    "The custody papers of the export: every copy, conversion and transfer of the file.";

/// Lines of the file in words: `line 12`, `lines 12 to 14`.
fn lines(known: &Known<'_>, first: usize, last: usize) -> String {
    let (first, last) = (known.log.line_number(first), known.log.line_number(last));
    if first == last { format!("line {first}") } else { format!("lines {first} to {last}") }
}

/// The places of lines, when they are many only the first ones and the last.
fn places(lines: &[usize]) -> Vec<Place> {
    let mut places: Vec<Place> = lines.iter().take(POINTED_AT).map(|line| Place::Line(*line)).collect();
    if lines.len() > POINTED_AT {
        places.extend(lines.last().map(|line| Place::Line(*line)));
    }
    places
}

/// The first record of each number, and of every later record under a number that stood before: (first, again).
/// Places are those of the log's records. A number that comes round again after a whole turn of the counter is none.
fn numbers_again(known: &Known<'_>) -> Vec<(usize, usize)> {
    let records = known.log.records();
    let mut ascending = true;
    let mut last = None;
    for number in records.iter().filter_map(|record| record.number) {
        ascending &= last.is_none_or(|last| last < number);
        last = Some(number);
    }
    if ascending {
        return Vec::new();
    }
    let turns = turns(known.unit, records);
    let mut first_of: BTreeMap<u64, usize> = BTreeMap::new();
    let mut again = Vec::new();
    for (place, record) in records.iter().enumerate() {
        let Some(number) = record.number else { continue };
        match first_of.get(&number) {
            // The counter had gone round in between: the number is used anew.
            Some(first) if turns.get(*first) != turns.get(place) => {
                first_of.insert(number, place);
            }
            Some(first) => again.push((*first, place)),
            None => {
                first_of.insert(number, place);
            }
        }
    }
    again
}

/// Per record: how many times the counter had gone round before it, counted from the first record of the file.
fn turns(unit: &UnitDescription, records: &[Record]) -> Vec<u64> {
    let mut turn = 0;
    let mut last: Option<u64> = None;
    let mut turns = Vec::with_capacity(records.len());
    for record in records {
        if let Some(number) = record.number {
            if last.is_some_and(|last| number < last && order::missing_between(unit, last, number).is_some())
            {
                turn += 1;
            }
            last = Some(number);
        }
        turns.push(turn);
    }
    turns
}

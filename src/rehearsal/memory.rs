//! The unit's memory of events: numbers that step, a ring that overwrites, and rows of a log made from what it holds.

use std::ops::Range;

use crate::event::Event;
use crate::syntax::Stamp;
use crate::unit::UnitDescription;

/// What an event is known by, whatever is put before it, taken away or overwritten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Id(u32);

/// What a number does that does not follow from the one before it by the step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Renumbered {
    /// So many numbers are left out before this record.
    Skips(u64),
    /// The record has the number of the one before it; the next goes on from there.
    Repeats,
    /// The numbers begin anew.
    BeginsAt(u64),
}

/// One recorded event.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) id: Id,
    /// When it happened, in true civil time.
    pub(super) moment: i64,
    /// What the clock displayed.
    pub(super) time: Stamp,
    pub(super) event: Event,
    /// The word of an event that the vocabulary does not hold.
    pub(super) word: Option<&'static str>,
    pub(super) attributes: Vec<(&'static str, String)>,
    pub(super) renumbered: Option<Renumbered>,
}

/// One record as the log shall hold it.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) id: Id,
    /// Whether the record stands in the log for the second time.
    pub(super) again: bool,
    pub(super) number: Option<u64>,
    pub(super) time: String,
    pub(super) word: &'static str,
    pub(super) attributes: Vec<(&'static str, String)>,
    /// A line that stands in its place and is no record.
    pub(super) text: Option<String>,
}

/// All that a unit has recorded in its life; what its ring has overwritten too.
#[derive(Debug, Clone)]
pub(super) struct Memory {
    pub(super) entries: Vec<Entry>,
    /// Number of the first record of its life.
    first: u64,
    next: u32,
}

impl Memory {
    pub(super) fn new(first: u64) -> Memory {
        Memory { entries: Vec::new(), first, next: 0 }
    }

    /// An event that is not in the memory yet.
    pub(super) fn entry(
        &mut self,
        moment: i64,
        time: Stamp,
        event: Event,
        attributes: Vec<(&'static str, String)>,
    ) -> Entry {
        self.next += 1;
        Entry { id: Id(self.next), moment, time, event, word: None, attributes, renumbered: None }
    }

    pub(super) fn push(
        &mut self,
        moment: i64,
        time: Stamp,
        event: Event,
        attributes: Vec<(&'static str, String)>,
    ) {
        let entry = self.entry(moment, time, event, attributes);
        self.entries.push(entry);
    }

    /// Number of events recorded so far.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    /// The events of a stretch.
    pub(super) fn ids(&self, places: &Range<usize>) -> Vec<Id> {
        self.entries.get(places.clone()).unwrap_or_default().iter().map(|entry| entry.id).collect()
    }

    /// Whether a number names one record for certain.
    pub(super) fn numbers_name(&self, unit: &UnitDescription) -> bool {
        let odd = self.entries.iter().filter_map(|entry| entry.renumbered);
        unit.number_digits.is_none() && odd.clone().all(|odd| matches!(odd, Renumbered::Skips(_)))
    }

    /// The ring as the export finds it, oldest record first.
    pub(super) fn ring(&self, unit: &UnitDescription) -> Vec<Row> {
        let mut rows = self.numbered(unit);
        let oldest = rows.len().saturating_sub(usize::try_from(unit.keeps).unwrap_or(usize::MAX));
        rows.drain(..oldest);
        rows
    }

    /// Every record of the unit's life with its number.
    pub(super) fn numbered(&self, unit: &UnitDescription) -> Vec<Row> {
        let end = unit.number_digits.and_then(|digits| 10_u64.checked_pow(u32::from(digits)));
        let mut next = self.first;
        let mut rows = Vec::with_capacity(self.len());
        for entry in &self.entries {
            if let Some(step) = unit.number_step {
                match entry.renumbered {
                    Some(Renumbered::Skips(count)) => next = next.saturating_add(step.saturating_mul(count)),
                    Some(Renumbered::Repeats) => next = next.saturating_sub(step),
                    Some(Renumbered::BeginsAt(number)) => next = number,
                    None => {}
                }
            }
            rows.push(Row {
                id: entry.id,
                again: false,
                number: unit.number_step.map(|_| end.map_or(next, |end| next % end)),
                time: entry.time.written(),
                word: entry.word.unwrap_or_else(|| entry.event.word()),
                attributes: entry.attributes.clone(),
                text: None,
            });
            next = next.saturating_add(unit.number_step.unwrap_or(0));
        }
        rows
    }
}

//! The unit's memory of events: numbers that step, a ring that overwrites, and the log written from it.

use std::ops::Range;

use crate::event::Event;
use crate::syntax::{Draft, Stamp};
use crate::unit::UnitDescription;

/// One recorded event.
#[derive(Debug)]
struct Entry {
    time: Stamp,
    event: Event,
    attributes: Vec<(&'static str, String)>,
}

/// All that a unit has recorded in its life; what its ring has overwritten too.
#[derive(Debug)]
pub(super) struct Memory {
    entries: Vec<Entry>,
    /// Number of the first record of its life.
    first: u64,
}

impl Memory {
    pub(super) fn new(first: u64) -> Memory {
        Memory { entries: Vec::new(), first }
    }

    pub(super) fn push(&mut self, time: Stamp, event: Event, attributes: Vec<(&'static str, String)>) {
        self.entries.push(Entry { time, event, attributes });
    }

    /// Number of events recorded so far.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    /// The place of the first event that the ring still holds.
    fn oldest(&self, unit: &UnitDescription) -> usize {
        self.len().saturating_sub(usize::try_from(unit.keeps).unwrap_or(usize::MAX))
    }

    fn number(&self, unit: &UnitDescription, place: usize) -> Option<u64> {
        let step = unit.number_step?;
        let number = self.first.saturating_add(step.saturating_mul(place as u64));
        let end = unit.number_digits.and_then(|digits| 10_u64.checked_pow(u32::from(digits)));
        Some(end.map_or(number, |end| number % end))
    }

    /// The number of a place that the ring still holds, where no other record can have the same.
    pub(super) fn alone(&self, unit: &UnitDescription, place: usize) -> Option<u64> {
        let is_kept = unit.number_digits.is_none() && (self.oldest(unit)..self.len()).contains(&place);
        self.number(unit, place).filter(|_| is_kept)
    }

    /// The rest of a stretch of events that the ring still holds, as a key of the case file: by record numbers, else by
    /// lines of the file; `None` where it holds none.
    pub(super) fn stretch(
        &self,
        unit: &UnitDescription,
        places: &Range<usize>,
        lines: usize,
    ) -> Option<String> {
        let oldest = self.oldest(unit);
        let first = places.start.max(oldest);
        let last = places.end.checked_sub(1).filter(|last| *last >= first)?;
        match (self.number(unit, first), self.number(unit, last)) {
            // A number that began again may stand twice in the ring.
            (Some(from), Some(to)) if unit.number_digits.is_none() => {
                Some(format!("records = \"{from}-{to}\""))
            }
            _ => Some(format!("lines = \"{}-{}\"", lines + 1 + first - oldest, lines + 1 + last - oldest)),
        }
    }

    /// The ring as a log, after what stands at its head.
    pub(super) fn write(&self, unit: &UnitDescription, head: Draft) -> String {
        let oldest = self.oldest(unit);
        let mut draft = head;
        for (place, entry) in self.entries.iter().enumerate().skip(oldest) {
            let attributes: Vec<(&str, &str)> =
                entry.attributes.iter().map(|(key, value)| (*key, value.as_str())).collect();
            let number = self.number(unit, place);
            draft = draft.record(number, &entry.time.written(), entry.event.word(), &attributes);
        }
        draft.close()
    }
}

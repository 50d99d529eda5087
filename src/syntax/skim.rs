//! Skimming: the records of a source in passing, without keeping any.

use super::{pages, swift};
use crate::event::Event;
use crate::source::{Source, Span};
use crate::syntax::Stamp;

/// A line in passing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Skimmed {
    /// A record in its plain form.
    Record {
        /// Record number, `None` where the log has `-`.
        number: Option<u64>,
        /// Time as displayed by the unit, `None` where the log has `-`.
        time: Option<Stamp>,
        /// The event.
        event: Event,
    },
    /// Any other line, without its end: only [`read`](super::read()) tells what it is.
    Other(Span),
}

/// Walks over the lines of a source and keeps nothing of them, for counts and replays over very many records.
pub fn skim(source: &Source, mut visit: impl FnMut(Skimmed)) {
    let (mut at, mut today) = (0, swift::Today::default());
    while let Some(rest) = source.raw().get(at..) {
        if let Some(record) =
            swift::record(rest, &mut today, |_| ()).filter(|record| record.len <= super::LIMITS.line_bytes)
        {
            visit(Skimmed::Record { number: record.number, time: record.time, event: record.event });
            at += record.len + record.end.len();
        } else if let Some(line) = pages::line_at(source, at) {
            visit(Skimmed::Other(line.span));
            at = line.behind();
        } else {
            break;
        }
    }
}

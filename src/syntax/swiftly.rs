//! What the swift reader takes, taken into a log as the grammar's reader would.

use super::read::Reader;
use super::shelf::offset;
use super::swift::{self, SwiftAttribute};
use crate::source::Span;
use crate::syntax::{Attribute, FaultCode, Line, Log, Record, Slice};

impl Reader<'_> {
    /// Takes the line that begins at a place of the source, where it is a record in its plain form, and says where the
    /// next line begins. What is declined leaves no trace.
    pub(super) fn take_swiftly(&mut self, at: usize) -> Option<usize> {
        let is_full = self.is_full
            || self.log.lines.len() >= self.limits.lines
            || self.log.records.len() >= self.limits.records;
        if is_full {
            return None;
        }
        let rest = self.source.raw().get(at..)?;
        let (text, first) = (self.log.text.len(), self.log.attributes.len());
        let mut repeated = Vec::new();
        let log = &mut self.log;
        let taken = swift::record(rest, &mut self.today, |attribute| {
            shelve(log, rest, at, first, &attribute, &mut repeated);
        });
        let Some(record) = taken.filter(|record| record.len <= self.limits.line_bytes) else {
            self.log.text.truncate(text);
            self.log.attributes.truncate(first);
            return None;
        };
        let span = Span::new(at, at + record.len);
        if !self.has_begun {
            self.note(FaultCode::HeadingMissing, span);
            self.has_begun = true;
        }
        let kept = Record {
            line: self.log.lines.len(),
            number: record.number,
            number_digits: record.number_digits,
            time: record.time,
            event: record.event,
            word: Slice::default(),
            word_span: Span::new(at + record.word_from, at + record.word_to),
            attributes: (offset(first), offset(self.log.attributes.len())),
            chain: record.chain,
            chain_span: match record.chain {
                Some(_) => Span::new(at + record.chain_from, span.end),
                None => Span::default(),
            },
        };
        let kind = self.keep_record(kept, span, &repeated);
        self.note_end(span.end, record.end);
        self.log.lines.push(Line { span, kind });
        Some(span.end + record.end.len())
    }
}

/// Takes an attribute of the line that begins with `rest`, at a place of the source, into the log.
fn shelve(
    log: &mut Log,
    rest: &[u8],
    at: usize,
    first: usize,
    attribute: &SwiftAttribute,
    repeated: &mut Vec<Span>,
) {
    let SwiftAttribute { key_from, equals, value_to } = *attribute;
    let (key_bytes, value_bytes) = (rest.get(key_from..equals), rest.get(equals + 1..value_to));
    let mut push = |bytes: Option<&[u8]>| {
        let start = offset(log.text.len());
        // Both are ASCII.
        log.text.push_str(std::str::from_utf8(bytes.unwrap_or_default()).unwrap_or_default());
        Slice { start, end: offset(log.text.len()) }
    };
    let (value, key) = (push(value_bytes), push(key_bytes));
    let key_span = Span::new(at + key_from, at + equals);
    let is_known = |other: &Attribute| Some(log.slice(other.key).as_bytes()) == key_bytes;
    if log.attributes.iter().skip(first).any(is_known) {
        repeated.push(key_span);
    }
    log.attributes.push(Attribute {
        key,
        value,
        key_span,
        value_span: Span::new(at + equals + 1, at + value_to),
    });
}

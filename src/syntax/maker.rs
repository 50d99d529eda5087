//! Making a log out of another format: item by item, with the place of each in the evidence.

use std::sync::Arc;

use super::limits::LIMITS;
use super::shelf::{offset, push};
use crate::event::Event;
use crate::source::{Source, Span};
use crate::syntax::{Attribute, Fault, FaultCode, Header, Line, LineKind, Log, Record, Slice, Stamp};

/// A log that was read from another format than the neutral one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Foreign {
    /// The format, in words for a report.
    pub(crate) format: String,
    /// For each item, the number of the line in the file on which it begins, from 1.
    pub(crate) numbers: Vec<usize>,
    /// Parts of unread items that surely hold no choice and no name, by index of the item.
    pub(crate) harmless: Vec<(usize, Span)>,
    /// Parts of records that are never shown, by index of the item.
    pub(crate) left_out: Vec<(usize, Span)>,
    /// Parts of records that are covered near voters' acts, by index of the item.
    pub(crate) unnamed: Vec<(usize, Span)>,
    /// Digests of the line from which an item was made, as parts of the item.
    pub(crate) digests: Vec<(usize, Span)>,
    /// Whether items of other logs stand between those of this one.
    pub(crate) mixed: bool,
}

/// One record of another format, as far as it could be read.
#[derive(Debug, Clone, Default)]
pub(crate) struct Item {
    /// Where it stands in the source's text.
    pub(crate) span: Span,
    /// The line of the file on which it begins, from 1.
    pub(crate) line_number: usize,
    /// Record number, and the digits with which it was written.
    pub(crate) number: Option<(u64, u8)>,
    /// Displayed time.
    pub(crate) time: Option<Stamp>,
    /// The event; with [`Event::Unknown`], `word` is kept.
    pub(crate) event: Option<Event>,
    /// The event's word as written.
    pub(crate) word: String,
    /// Where the word stands.
    pub(crate) word_span: Span,
    /// Parts that are never shown: what the file was read by leaves them out.
    pub(crate) left_out: Vec<Span>,
    /// Parts that are covered near voters' acts: not all of them is known.
    pub(crate) unnamed: Vec<Span>,
    /// Digests of the line from which the item was made: where anything of a line is covered, they would let it be found.
    pub(crate) digests: Vec<Span>,
    /// Attributes in their order.
    pub(crate) attributes: Vec<Part>,
}

/// One attribute of an [`Item`]. A key that stands nowhere in the evidence has an empty span.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Part {
    pub(crate) key: String,
    pub(crate) value: String,
    pub(crate) key_span: Span,
    pub(crate) value_span: Span,
}

/// A log of another format in the making. Every item becomes exactly one line of the log.
pub(crate) struct Maker {
    log: Log,
    numbers: Vec<usize>,
    harmless: Vec<(usize, Span)>,
    left_out: Vec<(usize, Span)>,
    unnamed: Vec<(usize, Span)>,
    digests: Vec<(usize, Span)>,
    format: String,
}

/// The parts that a list has of an item, in order.
pub(super) fn parts_of(list: &[(usize, Span)], line: usize) -> Vec<Span> {
    let first = list.partition_point(|(index, _)| *index < line);
    let rest = list.get(first..).unwrap_or_default();
    let mut parts: Vec<Span> =
        rest.iter().take_while(|(index, _)| *index == line).map(|(_, span)| *span).collect();
    parts.sort_unstable();
    parts
}

impl Maker {
    /// Begins a log. `format` says in words how the source was read.
    pub(crate) fn begin(source: &Arc<Source>, format: &str) -> Maker {
        Maker {
            log: Log::begin(source, 1),
            numbers: Vec::new(),
            harmless: Vec::new(),
            left_out: Vec::new(),
            unnamed: Vec::new(),
            digests: Vec::new(),
            format: format.to_owned(),
        }
    }

    /// Number of records so far.
    pub(crate) fn records(&self) -> usize {
        self.log.records.len()
    }

    /// An item that holds nothing.
    pub(crate) fn blank(&mut self, span: Span, line_number: usize) {
        self.line(span, line_number, LineKind::Blank);
    }

    /// An item that is no record and no header: it is shown and counted, and no rule rests on it.
    pub(crate) fn comment(&mut self, span: Span, line_number: usize) {
        self.line(span, line_number, LineKind::Comment);
    }

    /// As [`Maker::comment`], for a text of which nothing is known: it is covered.
    pub(crate) fn covered_comment(&mut self, span: Span, line_number: usize) {
        self.left_out.push((self.log.lines.len(), span));
        self.comment(span, line_number);
    }

    /// An item that could not be read, why, where in it, and which parts of it surely tell nothing of a voter.
    pub(crate) fn unread(
        &mut self,
        span: Span,
        line_number: usize,
        (code, place): (FaultCode, Span),
        harmless: &[Span],
    ) {
        let index = self.log.lines.len();
        self.note(code, place);
        self.harmless.extend(harmless.iter().map(|part| (index, *part)));
        self.line(span, line_number, LineKind::Unread);
    }

    /// A header that stands on an item of its own.
    pub(crate) fn header(&mut self, span: Span, line_number: usize, key: &str, (value, at): (&str, Span)) {
        let place = self.log.headers.len();
        self.header_of_line(self.log.lines.len(), key, (value, at));
        let is_new = self.log.headers.len() > place;
        self.line(span, line_number, if is_new { LineKind::Header(place) } else { LineKind::Comment });
    }

    /// A header that stands on the item that follows or on one already there, besides what that is.
    pub(crate) fn header_of_line(&mut self, line: usize, key: &str, (value, at): (&str, Span)) {
        if let Some(header) = self.log.headers.iter().find(|header| self.log.slice(header.key) == key) {
            // The head of every page says it again; only another value is worth a note.
            if self.log.slice(header.value) != value {
                self.note(FaultCode::HeaderRepeated, at);
            }
            return;
        }
        let key = push(&mut self.log.text, key);
        let value = push(&mut self.log.text, value);
        self.log.headers.push(Header { line, key, value, key_span: Span::default(), value_span: at });
    }

    /// Index of the item that comes next.
    pub(crate) fn next_line(&self) -> usize {
        self.log.lines.len()
    }

    /// A record. Past the limit of records it is counted, not read.
    pub(crate) fn record(&mut self, item: &Item) {
        if self.log.records.len() >= LIMITS.records {
            if self.log.lines_not_read == 0 {
                self.note(FaultCode::RecordsTooMany, item.span);
            }
            self.log.lines_not_read += 1;
            return;
        }
        let first = self.log.attributes.len();
        for part in &item.attributes {
            let repeated = self
                .log
                .attributes
                .get(first..)
                .unwrap_or_default()
                .iter()
                .any(|other| self.log.slice(other.key) == part.key);
            if repeated {
                self.note(FaultCode::AttributeRepeated, part.value_span);
            }
            let key = push(&mut self.log.text, &part.key);
            let value = push(&mut self.log.text, &part.value);
            let (key_span, value_span) = (part.key_span, part.value_span);
            self.log.attributes.push(Attribute { key, value, key_span, value_span });
        }
        let event = item.event.unwrap_or(Event::Unknown);
        let word =
            if event == Event::Unknown { push(&mut self.log.text, &item.word) } else { Slice::default() };
        self.log.records.push(Record {
            line: self.log.lines.len(),
            number: item.number.map(|(number, _)| number),
            number_digits: item.number.map_or(0, |(_, digits)| digits),
            time: item.time,
            event,
            word,
            word_span: item.word_span,
            attributes: (offset(first), offset(self.log.attributes.len())),
            chain: None,
            chain_span: Span::default(),
        });
        let index = self.log.lines.len();
        self.left_out.extend(item.left_out.iter().map(|part| (index, *part)));
        self.unnamed.extend(item.unnamed.iter().map(|part| (index, *part)));
        self.digests.extend(item.digests.iter().map(|part| (index, *part)));
        self.line(item.span, item.line_number, LineKind::Record(self.log.records.len() - 1));
    }

    /// Notes something about the item that comes next.
    pub(crate) fn note(&mut self, code: FaultCode, span: Span) {
        self.log.fault_counts.add(code);
        if self.log.faults.len() < LIMITS.faults {
            self.log.faults.push(Fault { line: self.log.lines.len(), span, code });
        }
    }

    /// Items past a limit, which are counted and not read.
    pub(crate) fn beyond(&mut self, count: usize) {
        if count > 0 {
            self.note(FaultCode::LinesTooMany, Span::default());
            self.log.lines_not_read += count;
        }
    }

    /// The log. `mixed`: whether items of other logs of its source stand between its own.
    pub(crate) fn finish(mut self, mixed: bool) -> Log {
        self.log.first_line = self.numbers.first().copied().unwrap_or(1);
        self.log.foreign = Some(Foreign {
            format: self.format,
            numbers: self.numbers,
            harmless: self.harmless,
            left_out: self.left_out,
            unnamed: self.unnamed,
            digests: self.digests,
            mixed,
        });
        self.log.settle();
        self.log
    }

    fn line(&mut self, span: Span, line_number: usize, kind: LineKind) {
        if self.log.lines.len() >= LIMITS.lines {
            self.log.lines_not_read += 1;
            return;
        }
        self.log.lines.push(Line { span, kind });
        self.numbers.push(line_number);
    }
}

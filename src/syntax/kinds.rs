//! Reading a line of each kind into its log: heading, header, closing, record.

use super::line;
use super::read::{Part, Reader};
use super::shelf::{Shelf, offset, push};
use super::wrong::{Parsed, Wrong};
use crate::event::Event;
use crate::source::Span;
use crate::syntax::{Against, Closing, FaultCode, Header, LineKind, Record, Slice};

impl Reader<'_> {
    pub(super) fn read_heading(&mut self, content: &[u8], span: Span) -> LineKind {
        match parse(content, line::heading) {
            Ok(()) => LineKind::Heading,
            Err(wrong) => self.refuse(wrong, content, span, true),
        }
    }

    pub(super) fn read_header(&mut self, content: &[u8], span: Span) -> LineKind {
        // The key is ASCII; behind it may stand what is no text, which is kept.
        let head = content.utf8_chunks().next().map_or("", |chunk| chunk.valid());
        let (key, behind) = match line::header(head) {
            Ok((rest, key)) => (key, head.len() - rest.len()),
            Err(nom::Err::Error(wrong) | nom::Err::Failure(wrong)) => {
                let place = place(wrong, Span::new(span.start, span.start + head.len()));
                return self.refuse_header(place, content, span);
            }
            Err(nom::Err::Incomplete(_)) => return self.unread(true),
        };
        let value = content.get(behind..).unwrap_or_default();
        if value.is_empty() || value.starts_with(b" ") {
            return self.refuse_header(Span::new(span.start, span.start + behind), content, span);
        }
        self.note_text(content, span.start);
        if self.part != Part::Head {
            self.note(FaultCode::HeaderLate, span);
            return self.unread(false);
        }
        if self.log.headers.len() >= self.limits.headers {
            self.note(FaultCode::HeadersTooMany, span);
            return self.unread(true);
        }
        if self.log.headers.iter().any(|header| self.log.slice(header.key) == key) {
            self.note(FaultCode::HeaderRepeated, Span::new(span.start, span.start + key.len()));
        }
        let key_span = Span::new(span.start, span.start + key.len());
        let value_span = Span::new(span.start + behind, span.end);
        let key = push(&mut self.log.text, key);
        let value = push(&mut self.log.text, &String::from_utf8_lossy(value));
        self.log.headers.push(Header { line: self.log.lines.len(), key, value, key_span, value_span });
        LineKind::Header(self.log.headers.len() - 1)
    }

    /// As [`Reader::refuse`], for a header line: its places are counted in the text before what is none.
    fn refuse_header(&mut self, place: Span, content: &[u8], span: Span) -> LineKind {
        if !self.note_text(content, span.start) {
            self.note(FaultCode::HeaderForm, place);
        }
        self.unread(true)
    }

    pub(super) fn read_closing(&mut self, content: &[u8], span: Span) -> LineKind {
        let (count, digest) = match parse(content, line::closing) {
            Ok(closing) => closing,
            Err(wrong) => return self.refuse(wrong, content, span, false),
        };
        if self.log.closing.is_some() {
            self.note(FaultCode::ClosingRepeated, span);
            return LineKind::Closing;
        }
        let from = if self.part == Part::Head { self.log.lines.len() } else { self.body_from };
        let (found_count, found_digest) = self.log.body_from(from);
        self.part = Part::Closed;
        self.log.closing =
            Some(Closing { line: self.log.lines.len(), count, digest, found_count, found_digest });
        LineKind::Closing
    }

    /// Notes a line of a record's form that stands behind the closing line.
    fn note_if_closed(&mut self, span: Span) {
        if self.part == Part::Closed {
            self.note(FaultCode::AfterClosing, span);
        }
    }

    pub(super) fn read_record(&mut self, content: &[u8], span: Span) -> Option<LineKind> {
        if self.log.records.len() >= self.limits.records {
            self.fill(FaultCode::RecordsTooMany);
            return None;
        }
        let (text, attributes) = (self.log.text.len(), self.log.attributes.len());
        let mut sink = Shelf {
            text: &mut self.log.text,
            attributes: &mut self.log.attributes,
            first: attributes,
            line_end: span.end,
            repeated: Vec::new(),
        };
        let read = parse(content, |input| line::record(input, &mut sink));
        let repeated = sink.repeated;
        let fields = match read {
            Ok(fields) => fields,
            Err(wrong) => {
                self.log.text.truncate(text);
                self.log.attributes.truncate(attributes);
                if wrong.code.entry().against == Against::Value {
                    self.note_if_closed(span);
                }
                return Some(self.refuse(wrong, content, span, false));
            }
        };
        let event = Event::of_word(fields.word.as_bytes());
        let word = match event {
            Event::Unknown => push(&mut self.log.text, fields.word),
            _ => Slice::default(),
        };
        let word_start = span.end - fields.word_from;
        let chain_start = span.end - fields.chain_from;
        let record = Record {
            line: self.log.lines.len(),
            number: fields.number.map(|(value, _)| value),
            number_digits: fields.number.map_or(0, |(_, digits)| digits),
            time: fields.time,
            event,
            word,
            word_span: Span::new(word_start, word_start + fields.word.len()),
            attributes: (offset(attributes), offset(self.log.attributes.len())),
            chain: fields.chain,
            chain_span: if fields.chain.is_some() {
                Span::new(chain_start, span.end)
            } else {
                Span::default()
            },
        };
        Some(self.keep_record(record, span, &repeated))
    }

    /// Takes a record into the log, whose attributes are there already; `repeated` are keys that it has twice.
    pub(super) fn keep_record(&mut self, record: Record, span: Span, repeated: &[Span]) -> LineKind {
        for key in repeated {
            self.note(FaultCode::AttributeRepeated, *key);
        }
        self.note_if_closed(span);
        self.begin_body();
        self.log.records.push(record);
        LineKind::Record(self.log.records.len() - 1)
    }
}

/// Runs a parser over a line; bytes that are no text are refused before it begins.
fn parse<'b, T>(content: &'b [u8], parser: impl FnOnce(&'b str) -> Parsed<'b, T>) -> Result<T, Wrong> {
    let Ok(text) = std::str::from_utf8(content) else {
        return Err(Wrong::end(FaultCode::Utf8Broken));
    };
    match parser(text) {
        Ok((_, value)) => Ok(value),
        Err(nom::Err::Error(wrong) | nom::Err::Failure(wrong)) => Err(wrong),
        Err(nom::Err::Incomplete(_)) => Err(Wrong::end(FaultCode::LineUnknown)),
    }
}

/// Where a fault stands in the source, given the span of the line that was parsed.
pub(super) fn place(wrong: Wrong, line: Span) -> Span {
    let start = line.end.saturating_sub(wrong.from).max(line.start);
    Span::new(start, line.end.saturating_sub(wrong.to))
}

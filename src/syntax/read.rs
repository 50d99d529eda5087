//! Reading: a source becomes logs, and each of its lines exactly one kind of line.

use std::sync::Arc;

use super::limits::{LIMITS, Limits};
use super::line;
use super::pages::{self, LineEnd, PhysicalLine};
use super::shelf::{Shelf, faults_of_text, offset, push};
use super::wrong::Wrong;
use crate::event::Event;
use crate::source::{Source, Span};
use crate::syntax::{
    Closing, Fault, FaultCode, FaultCounts, Header, Line, LineKind, Log, Record, Slice,
};

/// Reads a source. Nothing is refused: what cannot be read becomes a line of its own with a fault.
///
/// Each heading begins a log; blank lines and comments before the first heading belong to its log, anything else before
/// it makes a log without heading. There is always at least one log, and every line belongs to one.
#[must_use]
#[allow(clippy::needless_pass_by_value, reason = "every log keeps a share of the source")]
pub fn read(source: Arc<Source>) -> Vec<Log> {
    read_within(&source, &LIMITS)
}

/// As [`read`], within other limits than those of the format.
pub(super) fn read_within(source: &Arc<Source>, limits: &Limits) -> Vec<Log> {
    let mut logs = Vec::new();
    let mut reader = Reader::begin(source, limits, 1);
    for (index, line) in pages::lines(source).enumerate() {
        let heading = line::begins_with(source.raw_at(line.content), line::HEADING_WORD);
        if heading && reader.has_begun {
            logs.push(reader.finish());
            reader = Reader::begin(source, limits, index + 1);
        }
        reader.take(line, heading);
    }
    logs.push(reader.finish());
    logs
}

/// Which part of a log is being read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    /// Heading and header lines.
    Head,
    /// Records.
    Body,
    /// Behind the closing line.
    Closed,
}

/// One log in the making.
struct Reader<'a> {
    source: &'a Source,
    limits: &'a Limits,
    log: Log,
    part: Part,
    /// Index of the first body line.
    body_from: usize,
    /// Whether a line has been met that is neither blank nor comment.
    has_begun: bool,
    /// A limit has been reached; what follows is counted.
    is_full: bool,
    first_end: Option<LineEnd>,
    ends_differ: bool,
    first_ballot_unit: Option<Slice>,
}

impl<'a> Reader<'a> {
    fn begin(source: &'a Arc<Source>, limits: &'a Limits, first_line: usize) -> Reader<'a> {
        let log = Log {
            source: Arc::clone(source),
            first_line,
            lines: Vec::new(),
            headers: Vec::new(),
            records: Vec::new(),
            attributes: Vec::new(),
            text: String::new(),
            closing: None,
            faults: Vec::new(),
            fault_counts: FaultCounts::none(),
            several_ballot_units: false,
            chains_shown: true,
            lines_not_read: 0,
        };
        Reader {
            source,
            limits,
            log,
            part: Part::Head,
            body_from: 0,
            has_begun: false,
            is_full: false,
            first_end: None,
            ends_differ: false,
            first_ballot_unit: None,
        }
    }

    fn take(&mut self, line: PhysicalLine, heading: bool) {
        if !self.is_full && self.log.lines.len() >= self.limits.lines {
            self.fill(FaultCode::LinesTooMany);
        }
        let kind = if self.is_full { None } else { self.read_line(line, heading) };
        let Some(kind) = kind else {
            self.log.lines_not_read += 1;
            return;
        };
        if line.content != line.span {
            self.note(FaultCode::ByteOrderMark, Span::new(line.span.start, line.content.start));
        }
        self.note_end(line);
        self.log.lines.push(Line { span: line.span, kind });
    }

    /// The kind of a line; none where a record is one too many.
    fn read_line(&mut self, line: PhysicalLine, heading: bool) -> Option<LineKind> {
        let source = self.source;
        let whole = source.raw_at(line.content);
        let content = trim_spaces(whole);
        let first = content.first().copied();
        let too_long = whole.len() > self.limits.line_bytes;
        if too_long && (first.is_none() || first == Some(b';')) {
            self.note(FaultCode::LineTooLong, line.content);
        }
        match first {
            None => return Some(LineKind::Blank),
            Some(b';') => {
                self.note_text(whole, line.content.start);
                return Some(LineKind::Comment);
            }
            Some(_) => {}
        }
        if !self.has_begun && !heading {
            self.note(FaultCode::HeadingMissing, line.content);
        }
        self.has_begun = true;
        let span = Span::new(line.content.start, line.content.start + content.len());
        if too_long {
            self.note(FaultCode::LineTooLong, line.content);
            return Some(self.unread(heading || line::looks_like_header(content)));
        }
        let kind = match first {
            Some(b'0'..=b'9' | b'-' | b'+') => self.read_record(content, span)?,
            _ if heading => self.read_heading(content, span),
            _ if line::begins_with(content, "end") => self.read_closing(content, span),
            _ if line::looks_like_header(content) => self.read_header(content, span),
            _ => {
                if !self.note_text(content, span.start) {
                    let spaces = content.iter().take_while(|b| **b == b' ').count();
                    let leading = Span::new(span.start, span.start + spaces);
                    let (code, span) =
                        if spaces > 0 { (FaultCode::SpaceLeading, leading) } else { (FaultCode::LineUnknown, span) };
                    self.note(code, span);
                }
                self.unread(false)
            }
        };
        if kind != LineKind::Unread && content.len() < whole.len() {
            self.note(FaultCode::SpaceTrailing, Span::new(span.end, line.content.end));
        }
        Some(kind)
    }

    fn read_heading(&mut self, content: &[u8], span: Span) -> LineKind {
        match parse(content, line::heading) {
            Ok(()) => LineKind::Heading,
            Err(wrong) => self.refuse(wrong, content, span, true),
        }
    }

    fn read_header(&mut self, content: &[u8], span: Span) -> LineKind {
        if self.part != Part::Head {
            self.note(FaultCode::HeaderLate, span);
            return self.unread(false);
        }
        // The key is ASCII; behind it may stand what is no text, which is kept.
        let head = content.utf8_chunks().next().map_or("", |chunk| chunk.valid());
        let (key, behind) = match line::header(head) {
            Ok((rest, key)) => (key, head.len() - rest.len()),
            Err(nom::Err::Error(wrong) | nom::Err::Failure(wrong)) => {
                let span = Span::new(span.start, span.start + head.len());
                self.note(wrong.code, place(wrong, span));
                return self.unread(true);
            }
            Err(nom::Err::Incomplete(_)) => return self.unread(true),
        };
        let value = content.get(behind..).unwrap_or_default();
        if value.is_empty() || value.starts_with(b" ") {
            self.note(FaultCode::HeaderForm, Span::new(span.start, span.start + behind));
            return self.unread(true);
        }
        if self.log.headers.len() >= self.limits.headers {
            self.note(FaultCode::HeadersTooMany, span);
            return self.unread(true);
        }
        self.note_text(content, span.start);
        if self.log.headers.iter().any(|header| self.log.slice(header.key) == key) {
            self.note(FaultCode::HeaderRepeated, Span::new(span.start, span.start + key.len()));
        }
        let key = push(&mut self.log.text, key);
        let value = push(&mut self.log.text, &String::from_utf8_lossy(value));
        self.log.headers.push(Header { line: self.log.lines.len(), key, value });
        LineKind::Header(self.log.headers.len() - 1)
    }

    fn read_closing(&mut self, content: &[u8], span: Span) -> LineKind {
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
        self.log.closing = Some(Closing { line: self.log.lines.len(), count, digest, found_count, found_digest });
        LineKind::Closing
    }

    fn read_record(&mut self, content: &[u8], span: Span) -> Option<LineKind> {
        if self.log.records.len() >= self.limits.records {
            self.fill(FaultCode::RecordsTooMany);
            return None;
        }
        let (text, attributes) = (self.log.text.len(), self.log.attributes.len());
        let mut shelf = Shelf {
            text: &mut self.log.text,
            attributes: &mut self.log.attributes,
            first: attributes,
            line_end: span.end,
            repeated: Vec::new(),
        };
        let read = parse(content, |input| line::record(input, &mut shelf));
        let repeated = shelf.repeated;
        let fields = match read {
            Ok(fields) => fields,
            Err(wrong) => {
                self.log.text.truncate(text);
                self.log.attributes.truncate(attributes);
                return Some(self.refuse(wrong, content, span, false));
            }
        };
        for key in repeated {
            self.note(FaultCode::AttributeRepeated, key);
        }
        if self.part == Part::Closed {
            self.note(FaultCode::AfterClosing, span);
        }
        self.begin_body();
        let event = Event::of_word(fields.word.as_bytes());
        let word = match event {
            Event::Unknown => push(&mut self.log.text, fields.word),
            _ => Slice::default(),
        };
        let word_start = span.end - fields.word_from;
        let chain_start = span.end - fields.chain_from;
        self.note_ballot_units(attributes);
        self.log.records.push(Record {
            line: self.log.lines.len(),
            number: fields.number.map(|(value, _)| value),
            number_digits: fields.number.map_or(0, |(_, digits)| digits),
            time: fields.time,
            event,
            word,
            word_span: Span::new(word_start, word_start + fields.word.len()),
            attributes: (offset(attributes), offset(self.log.attributes.len())),
            chain: fields.chain,
            chain_span: if fields.chain.is_some() { Span::new(chain_start, span.end) } else { Span::default() },
        });
        Some(LineKind::Record(self.log.records.len() - 1))
    }

    fn note_ballot_units(&mut self, from: usize) {
        let Log { attributes, text, several_ballot_units, .. } = &mut self.log;
        let part = |slice: Slice| text.get(slice.start as usize..slice.end as usize);
        for attribute in attributes.iter().skip(from).filter(|a| part(a.key) == Some("bu")) {
            let first = *self.first_ballot_unit.get_or_insert(attribute.value);
            *several_ballot_units |= part(first) != part(attribute.value);
        }
    }

    /// Notes why a line is unread: what may stand in no line comes before what the parser stumbled over.
    fn refuse(&mut self, wrong: Wrong, content: &[u8], span: Span, of_head: bool) -> LineKind {
        if !self.note_text(content, span.start) {
            self.note(wrong.code, place(wrong, span));
        }
        self.unread(of_head)
    }

    /// An unread line; unless it is one of the head, the body has begun.
    fn unread(&mut self, of_head: bool) -> LineKind {
        if !(of_head && self.part == Part::Head) {
            self.begin_body();
        }
        LineKind::Unread
    }

    fn begin_body(&mut self) {
        if self.part == Part::Head {
            self.part = Part::Body;
            self.body_from = self.log.lines.len();
        }
    }

    fn fill(&mut self, code: FaultCode) {
        self.is_full = true;
        let last = self.log.lines.len().saturating_sub(1);
        let span = self.log.lines.last().map(|line| line.span).unwrap_or_default();
        self.note_at(last, code, span);
    }

    /// Notes what may stand in no line; says whether there was anything.
    fn note_text(&mut self, bytes: &[u8], start: usize) -> bool {
        let faults = faults_of_text(bytes, start);
        for (code, span) in &faults {
            self.note(*code, *span);
        }
        !faults.is_empty()
    }

    fn note_end(&mut self, line: PhysicalLine) {
        let behind = Span::new(line.span.end, line.span.end);
        if line.end == LineEnd::Missing {
            self.note(FaultCode::LineEndMissing, behind);
        } else if *self.first_end.get_or_insert(line.end) != line.end && !self.ends_differ {
            self.ends_differ = true;
            self.note(FaultCode::LineEndsMixed, behind);
        }
    }

    fn note(&mut self, code: FaultCode, span: Span) {
        self.note_at(self.log.lines.len(), code, span);
    }

    fn note_at(&mut self, line: usize, code: FaultCode, span: Span) {
        self.log.fault_counts.add(code);
        if self.log.faults.len() < self.limits.faults {
            self.log.faults.push(Fault { line, span, code });
        }
    }

    fn finish(mut self) -> Log {
        if !self.has_begun {
            let first = self.log.lines.iter().position(|line| line.kind == LineKind::Comment);
            let code = if first.is_some() { FaultCode::HeadingMissing } else { FaultCode::LogEmpty };
            let line = first.unwrap_or(0);
            let span = self.log.lines.get(line).map(|line| line.span).unwrap_or_default();
            self.note_at(line, code, span);
        }
        self.log.faults.sort_by_key(|fault| (fault.line, fault.span.start));
        if self.log.records.iter().any(|record| record.chain.is_some()) {
            self.log.chains_shown = !self.log.has_something_covered();
        }
        self.log
    }
}

/// Runs a parser over a line; bytes that are no text are refused before it begins.
fn parse<'b, T>(
    content: &'b [u8],
    parser: impl FnOnce(&'b str) -> super::wrong::Parsed<'b, T>,
) -> Result<T, Wrong> {
    let Ok(text) = std::str::from_utf8(content) else { return Err(Wrong::end(FaultCode::Utf8Broken)) };
    match parser(text) {
        Ok((_, value)) => Ok(value),
        Err(nom::Err::Error(wrong) | nom::Err::Failure(wrong)) => Err(wrong),
        Err(nom::Err::Incomplete(_)) => Err(Wrong::end(FaultCode::LineUnknown)),
    }
}

/// Where a fault stands in the source, given the span of the line that was parsed.
fn place(wrong: Wrong, line: Span) -> Span {
    let start = line.end.saturating_sub(wrong.from).max(line.start);
    Span::new(start, line.end.saturating_sub(wrong.to))
}

fn trim_spaces(mut line: &[u8]) -> &[u8] {
    while let Some(shorter) = line.strip_suffix(b" ") {
        line = shorter;
    }
    line
}

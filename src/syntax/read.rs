//! Reading: a source becomes logs, and each of its lines exactly one kind of line.

use std::sync::Arc;

use super::kinds;
use super::limits::{LIMITS, Limits};
use super::line;
use super::pages::{self, LineEnd, PhysicalLine};
use super::shelf::faults_of_text;
use super::swift::Today;
use super::wrong::Wrong;
use crate::source::{Source, Span};
use crate::syntax::{Fault, FaultCode, Line, LineKind, Log, among_others};

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
#[allow(clippy::redundant_closure_for_method_calls, reason = "the method by itself is not general enough")]
pub(super) fn read_within(source: &Arc<Source>, limits: &Limits) -> Vec<Log> {
    read_with(source, limits, |reader, at| reader.take_swiftly(at))
}

/// As [`read_within`]. `swiftly` may take the line that begins at a place of the source, and says where the next one
/// begins; what it declines the grammar reads.
pub(super) fn read_with(
    source: &Arc<Source>,
    limits: &Limits,
    swiftly: impl Fn(&mut Reader<'_>, usize) -> Option<usize>,
) -> Vec<Log> {
    let mut logs = Vec::new();
    let mut reader = Reader::begin(source, limits, 1);
    reader.expect(source.raw().len());
    let (mut at, mut index) = (0, 0);
    loop {
        while let Some(behind) = swiftly(&mut reader, at) {
            (at, index) = (behind, index + 1);
        }
        let Some(line) = pages::line_at(source, at) else { break };
        let heading = line::begins_with(source.raw_at(line.content), line::HEADING_WORD);
        if heading && reader.has_begun && logs.len() + 1 >= limits.logs {
            reader.is_full = true;
        } else if heading && reader.has_begun {
            logs.push(reader.finish());
            reader = Reader::begin(source, limits, index + 1);
        }
        reader.take(line, heading);
        (at, index) = (line.behind(), index + 1);
    }
    logs.push(reader.finish());
    among_others(&mut logs);
    logs
}

/// Which part of a log is being read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// Heading and header lines.
    Head,
    /// Records.
    Body,
    /// Behind the closing line.
    Closed,
}

/// One log in the making.
pub(super) struct Reader<'a> {
    pub(super) source: &'a Source,
    pub(super) limits: &'a Limits,
    pub(super) log: Log,
    pub(super) part: Part,
    /// Index of the first body line.
    pub(super) body_from: usize,
    /// Whether a line has been met that is neither blank nor comment.
    pub(super) has_begun: bool,
    /// A limit has been reached; what follows is counted.
    pub(super) is_full: bool,
    first_end: Option<LineEnd>,
    ends_differ: bool,
    pub(super) today: Today,
}

impl<'a> Reader<'a> {
    fn begin(source: &'a Arc<Source>, limits: &'a Limits, first_line: usize) -> Reader<'a> {
        let log = Log::begin(source, first_line);
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
            today: Today::default(),
        }
    }

    /// Makes room for the lines of a source of so many bytes; past a few thousand, growing costs little.
    fn expect(&mut self, bytes: usize) {
        let lines = (bytes / 36).min(4096);
        self.log.lines.reserve(lines);
        self.log.records.reserve(lines);
        self.log.attributes.reserve(lines / 2);
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
        self.note_end(line.span.end, line.end);
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
                    let (code, span) = if spaces > 0 {
                        (FaultCode::SpaceLeading, leading)
                    } else {
                        (FaultCode::LineUnknown, span)
                    };
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

    /// Notes why a line is unread: what may stand in no line comes before what the parser stumbled over.
    pub(super) fn refuse(&mut self, wrong: Wrong, content: &[u8], span: Span, of_head: bool) -> LineKind {
        if !self.note_text(content, span.start) {
            self.note(wrong.code, kinds::place(wrong, span));
        }
        self.unread(of_head)
    }

    /// An unread line; unless it is one of the head, the body has begun.
    pub(super) fn unread(&mut self, of_head: bool) -> LineKind {
        if !(of_head && self.part == Part::Head) {
            self.begin_body();
        }
        LineKind::Unread
    }

    pub(super) fn begin_body(&mut self) {
        if self.part == Part::Head {
            self.part = Part::Body;
            self.body_from = self.log.lines.len();
        }
    }

    pub(super) fn fill(&mut self, code: FaultCode) {
        self.is_full = true;
        let last = self.log.lines.len().saturating_sub(1);
        let span = self.log.lines.last().map(|line| line.span).unwrap_or_default();
        self.note_at(last, code, span);
    }

    /// Notes what may stand in no line; says whether there was anything.
    pub(super) fn note_text(&mut self, bytes: &[u8], start: usize) -> bool {
        let faults = faults_of_text(bytes, start);
        for (code, span) in &faults {
            self.note(*code, *span);
        }
        !faults.is_empty()
    }

    /// Compares the end of a line, which stands at a place, with that of the log's first line.
    pub(super) fn note_end(&mut self, at: usize, end: LineEnd) {
        let behind = Span::new(at, at);
        if end == LineEnd::Missing {
            self.note(FaultCode::LineEndMissing, behind);
        } else if *self.first_end.get_or_insert(end) != end && !self.ends_differ {
            self.ends_differ = true;
            self.note(FaultCode::LineEndsMixed, behind);
        }
    }

    pub(super) fn note(&mut self, code: FaultCode, span: Span) {
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
        self.log.settle();
        self.log
    }
}

fn trim_spaces(mut line: &[u8]) -> &[u8] {
    while let Some(shorter) = line.strip_suffix(b" ") {
        line = shorter;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_small(text: &str, limits: Limits) -> Vec<Log> {
        read_within(&Arc::new(Source::new("s", text.as_bytes().to_vec())), &limits)
    }

    #[test]
    fn past_the_limit_of_records_lines_are_counted_up_to_the_next_heading() {
        let limits = Limits { records: 2, ..LIMITS };
        let text = "unit-event-log 1\n1 - enable\n; x\n2 - vote\nend 2\n";
        let full = read_small(text, limits);
        assert!(full.iter().all(|log| log.faults.is_empty() && log.lines_not_read == 0));
        let over = read_small(&format!("{text}3 - enable\n; y\nunit-event-log 1\n1 - vote\n"), limits);
        assert_eq!(over.len(), 2);
        let [first, second] = over.as_slice() else { panic!("two logs") };
        assert_eq!((first.lines.len(), first.lines_not_read, first.records.len()), (5, 2, 2));
        assert_eq!(first.faults.first().map(|f| (f.code, f.line)), Some((FaultCode::RecordsTooMany, 4)));
        assert_eq!((second.first_line, second.records.len(), second.lines_not_read), (8, 1, 0));
    }

    #[test]
    fn past_the_limit_of_logs_their_lines_are_counted_with_the_last() {
        let limits = Limits { logs: 2, ..LIMITS };
        let logs =
            read_small("unit-event-log 1\nunit-event-log 1\n1 - vote\nunit-event-log 1\n2 - vote\n", limits);
        assert_eq!(logs.len(), 2);
        let last = logs.last().unwrap();
        assert_eq!((last.records.len(), last.lines.len(), last.lines_not_read), (1, 2, 2));
    }

    #[test]
    fn past_the_limit_of_lines_they_are_counted() {
        let limits = Limits { lines: 3, faults: 1, ..LIMITS };
        let logs = read_small("unit-event-log 1\n1 - enable\nx\n2 - vote\nend 3", limits);
        let log = logs.first().unwrap();
        assert_eq!((log.lines.len(), log.lines_not_read), (3, 2));
        assert_eq!(log.fault_counts.of(FaultCode::LinesTooMany), 1);
        assert_eq!((log.fault_counts.total(), log.faults.len()), (2, 1));
    }
}

//! Faults drawn for a reader: the line as secrecy lets it be shown, a mark under the place, the right form below.

use std::fmt;
use std::fmt::Write as _;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    Severity, SourceCode, SourceSpan, SpanContents,
};
use unicode_width::UnicodeWidthChar as _;

use crate::source::{SHOWN_LIMIT, Span};
use crate::syntax::{Effect, Fault, LIMITS, LineKind, Log, Secrecy};

/// Columns of a line that are drawn around a fault, so that the drawing fits 80 with its margin.
const DRAWN_WIDTH: usize = 64;

/// One fault with its line, ready to be drawn. It holds no more of the evidence than may be shown.
#[derive(Debug, Clone)]
pub struct FaultReport {
    fault: Fault,
    unread: bool,
    excerpt: Excerpt,
}

/// The part of a shown line around a fault.
#[derive(Debug, Clone)]
struct Excerpt {
    name: String,
    text: String,
    /// The mark, in bytes of `text`.
    mark: Span,
    /// Number of the line in the file, from 1.
    line: usize,
    /// Byte of the line in the file at which the fault, or a mask before it, begins, from 1.
    column: usize,
}

/// Makes a fault ready to be drawn, under strict secrecy. A fault in a covered part is marked on the mask.
#[must_use]
pub fn report(log: &Log, fault: &Fault) -> FaultReport {
    let line = log.lines().get(fault.line);
    let span = line.map(|line| line.span).unwrap_or_default();
    let veils = log.veils(fault.line, &Secrecy::strict());
    // A line within the limit is shown as far as needed; of one past it, the begin must do.
    let limit = if span.len() > LIMITS.line_bytes { SHOWN_LIMIT } else { usize::MAX };
    let (shown, mark) = log.source().show_with_mark(span, &veils, limit, fault.span);
    let (mut text, mut mark) = window(shown.as_str(), mark);
    if mark.is_empty() && !text.is_empty() {
        // What is missing is marked where it would stand: on the next character, or on a place behind the last.
        if let Some(next) = text.get(mark.start..).and_then(|rest| rest.chars().next()) {
            mark.end += next.len_utf8();
        } else {
            text.push(' ');
            mark.end += 1;
        }
    }
    // A column behind a mask would tell how long the masked text is: the mask's own column is given instead.
    let start = veils.iter().map(|veil| veil.start).filter(|start| *start < fault.span.start).min();
    let excerpt = Excerpt {
        name: log.source().name().to_string(),
        text,
        mark,
        line: log.line_number(fault.line),
        column: start.unwrap_or(fault.span.start).saturating_sub(span.start) + 1,
    };
    let unread = line.is_some_and(|line| line.kind == LineKind::Unread);
    FaultReport { fault: *fault, unread, excerpt }
}

/// Cuts a long text to what can be drawn around the mark; `...` stands where something was cut.
fn window(text: &str, mark: Span) -> (String, Span) {
    let width = |text: &str| text.chars().map(|c| c.width().unwrap_or(0)).sum::<usize>();
    if width(text) <= DRAWN_WIDTH {
        return (text.to_owned(), mark);
    }
    let room = DRAWN_WIDTH - 8;
    let before = text.get(..mark.start).unwrap_or(text);
    // A third of the room goes to what stands before the mark, or more where there is little behind.
    let behind = width(text.get(mark.start..).unwrap_or_default()).min(room - room / 3);
    let mut from = before.len();
    let mut left = room - behind;
    for (place, c) in before.char_indices().rev() {
        let Some(less) = left.checked_sub(c.width().unwrap_or(0)) else {
            break;
        };
        (left, from) = (less, place);
    }
    let mut to = from;
    let mut left = room;
    for (place, c) in text.get(from..).unwrap_or_default().char_indices() {
        let Some(less) = left.checked_sub(c.width().unwrap_or(0)) else {
            break;
        };
        (left, to) = (less, from + place + c.len_utf8());
    }
    let head = if from > 0 { "... " } else { "" };
    let tail = if to < text.len() { " ..." } else { "" };
    let cut = format!("{head}{}{tail}", text.get(from..to).unwrap_or_default());
    let shift = |at: usize| at.clamp(from, to) - from + head.len();
    (cut, Span::new(shift(mark.start), shift(mark.end)))
}

impl FaultReport {
    /// The fault.
    #[must_use]
    pub fn fault(&self) -> &Fault {
        &self.fault
    }

    /// The part of the line that is drawn.
    #[must_use]
    pub fn excerpt(&self) -> &str {
        &self.excerpt.text
    }

    /// The mark in that part, in bytes.
    #[must_use]
    pub fn mark(&self) -> Span {
        self.excerpt.mark
    }

    /// Draws the fault without colour, at most `width` columns wide where its words allow it.
    #[must_use]
    pub fn drawn(&self, width: usize) -> String {
        let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor())
            .with_width(width)
            .with_links(false);
        let mut out = String::new();
        // Writing to a String cannot fail; whatever the drawing leaves out, message and help say the same.
        if handler.render_report(&mut out, self).is_err() {
            out = format!("{self}\n");
        }
        out
    }
}

impl fmt::Display for FaultReport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let effect = if self.unread { "unread" } else { "read" };
        write!(f, "line {}, {effect}: {}", self.excerpt.line, self.fault.code.entry().message)
    }
}

impl std::error::Error for FaultReport {}

impl Diagnostic for FaultReport {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.fault.code.word()))
    }

    fn severity(&self) -> Option<Severity> {
        Some(if self.fault.code.entry().effect == Effect::Noted {
            Severity::Advice
        } else {
            Severity::Warning
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.fault.code.entry().help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.excerpt)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let mark = self.excerpt.mark;
        let label = LabeledSpan::new(Some("here".to_owned()), mark.start, mark.len());
        Some(Box::new(std::iter::once(label)))
    }
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        lines_before: usize,
        lines_behind: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        // Asked without lines around, the drawing wants to know where the fault stands in the file.
        let column = if lines_before + lines_behind == 0 { self.column.saturating_sub(1) } else { 0 };
        if span.offset() + span.len() > self.text.len() {
            return Err(MietteError::OutOfBounds);
        }
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            self.text.as_bytes(),
            (0, self.text.len()).into(),
            self.line.saturating_sub(1),
            column,
            1,
        )))
    }
}

/// The faults of a log for a report: up to `limit` of them drawn in `width`
/// columns, the rest counted by kind.
#[must_use]
pub fn faults_text(log: &Log, limit: usize, width: usize) -> String {
    let mut out = String::new();
    let mut rest = log.fault_counts().clone();
    for fault in log.faults().iter().take(limit) {
        out.push_str(&report(log, fault).drawn(width));
        out.push('\n');
        rest.remove(fault.code);
    }
    if rest.total() > 0 {
        out.push_str("Not drawn:\n");
        for (code, count) in rest.iter() {
            _ = writeln!(out, "  {count} x {}: {}", code.word(), code.entry().message);
        }
    }
    out
}

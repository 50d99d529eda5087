//! A source as lines: where each begins and ends, before anything is read in it.

use nom::FindSubstring as _;

use super::line;
use crate::source::{Source, Span};

/// UTF-8 for U+FEFF, the byte order mark.
const MARK: &[u8] = b"\xEF\xBB\xBF";

/// How a line ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineEnd {
    /// LF.
    Lf,
    /// CRLF.
    CrLf,
    /// The end of the source.
    Missing,
}

/// One line of a source.
#[derive(Debug, Clone, Copy)]
pub(super) struct PhysicalLine {
    /// Its bytes without the line end.
    pub(super) span: Span,
    /// Its bytes without a byte order mark, too.
    pub(super) content: Span,
    pub(super) end: LineEnd,
}

/// The line that begins at a place of a source; none at its end.
pub(super) fn line_at(source: &Source, start: usize) -> Option<PhysicalLine> {
    let rest = source.raw().get(start..).filter(|rest| !rest.is_empty())?;
    let (stop, end) = match rest.find_substring("\n") {
        Some(len) if len > 0 && rest.get(len - 1) == Some(&b'\r') => (start + len - 1, LineEnd::CrLf),
        Some(len) => (start + len, LineEnd::Lf),
        None => (start + rest.len(), LineEnd::Missing),
    };
    let span = Span::new(start, stop);
    Some(PhysicalLine { span, content: without_mark(source, span), end })
}

impl PhysicalLine {
    /// Where the next line begins.
    pub(super) fn behind(self) -> usize {
        self.span.end + self.end.len()
    }
}

impl LineEnd {
    /// Number of its bytes.
    pub(super) fn len(self) -> usize {
        match self {
            LineEnd::Lf => 1,
            LineEnd::CrLf => 2,
            LineEnd::Missing => 0,
        }
    }
}

/// A line without the byte order mark that may stand before the first line of a source, or before a heading where
/// files were joined.
pub(super) fn without_mark(source: &Source, span: Span) -> Span {
    match source.raw_at(span).strip_prefix(MARK) {
        Some(rest) if span.start == 0 || line::begins_with(rest, line::HEADING_WORD) => {
            Span::new(span.start + MARK.len(), span.end)
        }
        _ => span,
    }
}

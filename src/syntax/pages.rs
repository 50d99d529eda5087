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

/// The lines of a source, in order. A source of no byte has none.
pub(super) fn lines(source: &Source) -> impl Iterator<Item = PhysicalLine> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = source.raw().get(at..).filter(|rest| !rest.is_empty())?;
        let start = at;
        let (stop, end) = match rest.find_substring("\n") {
            Some(len) if len > 0 && rest.get(len - 1) == Some(&b'\r') => (start + len - 1, LineEnd::CrLf),
            Some(len) => (start + len, LineEnd::Lf),
            None => (start + rest.len(), LineEnd::Missing),
        };
        at = stop
            + match end {
                LineEnd::Lf => 1,
                LineEnd::CrLf => 2,
                LineEnd::Missing => 0,
            };
        let span = Span::new(start, stop);
        Some(PhysicalLine { span, content: without_mark(source, span), end })
    })
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

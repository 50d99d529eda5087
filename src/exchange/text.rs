//! A decoded text that knows where each stretch of it stands in the evidence.

use std::ops::Range;

use crate::source::Span;

/// A text as another format writes it, decoded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Text {
    /// What it says.
    pub(super) text: String,
    /// Where all of it stands, with what encloses it.
    pub(super) span: Span,
    /// Places from which on decoded and written text run side by side: offset in the text, offset in the evidence.
    places: Vec<(usize, usize)>,
}

impl Text {
    /// A text that is written as it is.
    pub(super) fn plain(text: &str, span: Span) -> Text {
        Text { text: text.to_owned(), span, places: vec![(0, span.start)] }
    }

    /// An empty text whose first character will stand at `start`.
    pub(super) fn begin(span: Span, start: usize) -> Text {
        Text { text: String::new(), span, places: vec![(0, start)] }
    }

    /// Adds a stretch that is written with so many bytes, directly behind the one before.
    pub(super) fn push(&mut self, decoded: &str, written: usize) {
        let end = self.end() + written;
        self.text.push_str(decoded);
        if decoded.len() != written {
            self.places.push((self.text.len(), end));
        }
    }

    /// Passes over written bytes that stand for nothing.
    pub(super) fn skip_to(&mut self, at: usize) {
        if at != self.end() {
            self.places.push((self.text.len(), at));
        }
    }

    /// Where a stretch of the decoded text stands in the evidence.
    pub(super) fn place(&self, stretch: Range<usize>) -> Span {
        Span::new(self.at(stretch.start), self.at(stretch.end))
    }

    fn end(&self) -> usize {
        self.at(self.text.len())
    }

    fn at(&self, offset: usize) -> usize {
        let behind = self.places.partition_point(|(decoded, _)| *decoded <= offset);
        let last = behind.checked_sub(1).and_then(|place| self.places.get(place));
        last.map_or(self.span.start, |(decoded, written)| written + (offset - decoded))
    }
}

/// Finds the line of each place of a text, from 1, without a list of all lines.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    bytes: &'a [u8],
    /// Line ends before each block.
    before: Vec<usize>,
}

/// Bytes of a block.
const BLOCK: usize = 4096;

impl<'a> Lines<'a> {
    /// Counts the line ends of a text.
    pub(super) fn of(bytes: &'a [u8]) -> Lines<'a> {
        let mut count = 0;
        let mut before = Vec::with_capacity(bytes.len() / BLOCK + 1);
        for block in bytes.chunks(BLOCK) {
            before.push(count);
            count += ends(block);
        }
        Lines { bytes, before }
    }

    /// The line of a place.
    pub(super) fn number(&self, at: usize) -> usize {
        let block = at / BLOCK;
        let within = self.bytes.get(block * BLOCK..at.min(self.bytes.len())).unwrap_or_default();
        self.before.get(block).copied().unwrap_or_default() + ends(within) + 1
    }

    /// The line of a place, and the character in it, from 1.
    pub(super) fn place(&self, at: usize) -> (usize, usize) {
        let before = self.bytes.get(..at).unwrap_or(self.bytes);
        let line = before.rsplit(|b| *b == b'\n').next().unwrap_or_default();
        (self.number(at), String::from_utf8_lossy(line).chars().count() + 1)
    }
}

fn ends(bytes: &[u8]) -> usize {
    bytes.iter().filter(|b| **b == b'\n').count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_follow_what_is_written() {
        // `a\n` then `é` as an escape of six bytes, then `b`: written from place 10 on.
        let mut text = Text::begin(Span::new(9, 20), 10);
        text.push("a", 1);
        text.push("\n", 2);
        text.push("\u{e9}", 6);
        text.push("b", 1);
        assert_eq!(text.text, "a\n\u{e9}b");
        assert_eq!(text.place(0..1), Span::new(10, 11));
        assert_eq!(text.place(1..2), Span::new(11, 13));
        assert_eq!(text.place(2..4), Span::new(13, 19));
        assert_eq!(text.place(4..5), Span::new(19, 20));
    }

    #[test]
    fn lines_are_numbered_from_one() {
        let bytes = "x\n".repeat(5000);
        let lines = Lines::of(bytes.as_bytes());
        for at in [0, 1, 2, 4095, 4096, 4097, 9999] {
            assert_eq!(lines.number(at), bytes[..at].matches('\n').count() + 1);
        }
        assert_eq!(Lines::of("a\n\u{e9}b".as_bytes()).place(4), (2, 2));
        assert_eq!(Lines::of(b"").number(7), 1);
    }
}

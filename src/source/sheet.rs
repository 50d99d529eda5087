//! A shown text in the making: what is copied, what is covered, and where a marked stretch of it comes to stand.

use std::fmt::Write as _;

use super::{MASK, Shown, Source, Span, acts_on_a_reader};

/// A shown text in the making, and the place in it of a marked stretch of the source.
pub(super) struct Sheet {
    text: String,
    /// Characters that may still be written.
    room: usize,
    /// Characters that found no room.
    beyond: usize,
    mark: Span,
    begun: Option<usize>,
    ended: Option<usize>,
}

impl Sheet {
    /// An empty sheet with room for so many characters.
    pub(super) fn new(room: usize, mark: Span) -> Sheet {
        Sheet { text: String::new(), room, beyond: 0, mark, begun: None, ended: None }
    }

    /// Copies a stretch, in up to three pieces so that both ends of the mark fall between two of them.
    pub(super) fn copy(&mut self, source: &Source, span: Span) {
        let first = self.mark.start.clamp(span.start, span.end);
        let second = self.mark.end.clamp(first, span.end);
        for piece in [Span::new(span.start, first), Span::new(first, second), Span::new(second, span.end)] {
            self.pass(piece.start);
            for chunk in source.raw_at(piece).utf8_chunks() {
                for c in chunk.valid().chars() {
                    if source.folds_space() && matches!(c, '\n' | '\r' | '\t' | ' ') {
                        self.push_space();
                    } else if acts_on_a_reader(c) {
                        c.escape_unicode().for_each(|c| self.push(c));
                    } else {
                        self.push(c);
                    }
                }
                for byte in chunk.invalid() {
                    format!("\\x{byte:02X}").chars().for_each(|c| self.push(c));
                }
            }
            self.pass(piece.end);
        }
    }

    /// Writes the mask for a stretch.
    pub(super) fn cover(&mut self, span: Span) {
        let place = self.text.len();
        if self.begun.is_none() && self.mark.start < span.end {
            self.begun = Some(place);
        }
        MASK.chars().for_each(|c| self.push(c));
        if self.ended.is_none() && self.mark.end <= span.end {
            self.ended = Some(self.text.len());
        }
    }

    /// Notes that the source has been written up to `at`.
    fn pass(&mut self, at: usize) {
        let place = self.text.len();
        if at >= self.mark.start && self.begun.is_none() {
            self.begun = Some(place);
        }
        if at >= self.mark.end && self.ended.is_none() {
            self.ended = Some(place);
        }
    }

    /// A space, unless one stands there already.
    fn push_space(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with(' ') {
            self.push(' ');
        }
    }

    fn push(&mut self, c: char) {
        if self.room == 0 {
            self.beyond += 1;
        } else {
            self.room -= 1;
            self.text.push(c);
        }
    }

    pub(super) fn finish(mut self) -> (Shown, Span) {
        let end = self.text.len();
        if self.beyond > 0 {
            _ = write!(self.text, " [{} more characters]", self.beyond);
        }
        (Shown(self.text), Span::new(self.begun.unwrap_or(end), self.ended.unwrap_or(end)))
    }
}

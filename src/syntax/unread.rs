//! What of a line that could not be read may be shown: only what surely is no choice and no name.

use crate::event::{EVENTS, Entry, Form};
use crate::source::{Span, disclosure_in};
use crate::syntax::Log;
use crate::syntax::line::{self, HEADING_WORD};
use crate::syntax::maker::parts_of;
use crate::syntax::value::KNOWN_HEADERS;

impl Log {
    /// What of a span lies outside these parts of it, which are in order; signs that part columns are nothing.
    fn between(&self, whole: Span, parts: &[Span]) -> Vec<Span> {
        let mut veils = Vec::new();
        let mut at = whole.start;
        for part in parts.iter().chain([&Span::new(whole.end, whole.end)]) {
            let gap = Span::new(at, part.start);
            if self.source.raw_at(gap).iter().any(|b| !b" ;,|\t".contains(b)) {
                veils.push(gap);
            }
            at = at.max(part.end);
        }
        veils
    }

    /// A line that could not be read may be a vote with anything in it: only what is surely harmless stays, field by
    /// field (numbers, times, known events, known attributes with figures or known words).
    pub(super) fn unread_veils(&self, line: usize) -> Vec<Span> {
        let content = self.content(line);
        if let Some(foreign) = &self.foreign {
            return self.between(content, &parts_of(&foreign.harmless, line));
        }
        let bytes = self.source.raw_at(content);
        let in_head = line < self.nearness.body;
        if line::looks_like_header(bytes) && in_head {
            return unread_header_veil(bytes, content);
        }
        let lone = bytes.trim_ascii().iter().all(|b| *b != b' ');
        let events: Vec<&Entry> = EVENTS
            .iter()
            .filter(|entry| bytes.split(|b| *b == b' ').any(|field| is_word_of(entry, field)))
            .collect();
        let marked = [HEADING_WORD, "end"].iter().any(|word| line::begins_with(bytes, word));
        let mut veils: Vec<Span> = Vec::new();
        let mut at = content.start;
        for (place, field) in bytes.split(|b| *b == b' ').enumerate() {
            let span = Span::new(at, at + field.len());
            at = span.end + 1;
            let of_mark = marked && place == 1 && is_number(field) && field.len() <= 2;
            if field.is_empty() || of_mark || (!lone && is_harmless(place, field, &events)) {
                continue;
            }
            match veils.last_mut() {
                // Masks that would stand side by side become one.
                Some(last) if last.end + 1 == span.start => last.end = span.end,
                _ => veils.push(span),
            }
        }
        veils
    }
}

fn unread_header_veil(bytes: &[u8], content: Span) -> Vec<Span> {
    let colon = bytes.iter().position(|b| *b == b':').unwrap_or(bytes.len());
    let key = bytes.get(..colon).unwrap_or_default().trim_ascii_end().to_ascii_lowercase();
    let known = KNOWN_HEADERS.iter().any(|header| header.as_bytes() == key);
    if known && disclosure_in(bytes, true).is_none() {
        return Vec::new();
    }
    let from = if known { content.start + colon + 1 } else { content.start };
    vec![Span::new(from, content.end)].into_iter().filter(|veil| !veil.is_empty()).collect()
}

fn is_word_of(entry: &Entry, field: &[u8]) -> bool {
    entry.word.as_bytes().eq_ignore_ascii_case(field)
}

/// A whole number as a record may have it.
fn is_number(field: &[u8]) -> bool {
    field.len() <= 19 && field.iter().all(u8::is_ascii_digit)
}

/// Whether a field has the form of a date or a time of day, in whatever order: three groups of figures, or two or three
/// with colons and perhaps a fraction, a day and a time with a letter between included.
fn is_moment(field: &[u8]) -> bool {
    let groups = |text: &[u8], mark: &[u8]| -> Option<usize> {
        let pieces: Vec<&[u8]> = text.split(|b| mark.contains(b)).collect();
        let figures = pieces.iter().all(|p| (1..=4).contains(&p.len()) && p.iter().all(u8::is_ascii_digit));
        figures.then_some(pieces.len())
    };
    let day = |text: &[u8]| [b"-", b"/", b"."].iter().any(|mark| groups(text, *mark) == Some(3));
    let time = |text: &[u8]| {
        text.contains(&b':') && groups(text, b":.,").is_some_and(|pieces| (2..=4).contains(&pieces))
    };
    let parts = field.iter().position(|b| *b == b'T').map(|at| field.split_at(at));
    let both = parts.is_some_and(|(first, rest)| day(first) && rest.get(1..).is_some_and(time));
    field.len() <= 35 && (day(field) || time(field) || both)
}

fn is_harmless(place: usize, field: &[u8], events: &[&Entry]) -> bool {
    let marks = [HEADING_WORD.as_bytes(), b"end", b"-"].contains(&field);
    let number = place == 0 && is_number(field);
    // In the place of a time, a lone figure is none and may be a choice.
    let time = (1..=2).contains(&place) && is_moment(field);
    marks
        || number
        || time
        || events.iter().any(|entry| is_word_of(entry, field) || is_known(entry, field, events))
}

/// `key=value` with a key that the vocabulary knows on an event of the line, and a value of figures, of a time or from a
/// list. Where the line names a voter's act, no value is taken for known.
fn is_known(entry: &Entry, field: &[u8], events: &[&Entry]) -> bool {
    let Some(equals) = field.iter().position(|b| *b == b'=') else {
        return false;
    };
    let (key, value) = field.split_at(equals);
    let value = value.strip_prefix(b"=").unwrap_or_default();
    let holds = |value: &str| {
        entry
            .attributes
            .iter()
            .any(|a| a.key.as_bytes() == key && a.form != Form::Mark && a.form.holds(value))
    };
    !events.iter().any(|entry| entry.event.touches_ballot()) && std::str::from_utf8(value).is_ok_and(holds)
}

//! Where the pieces of a line go as they are met: text, attributes, characters that may stand in no line.

use super::line::{AttributeFields, Sink};
use crate::source::Span;
use crate::syntax::{Attribute, FaultCode, Slice};

/// Takes the attributes of one record into the log.
pub(super) struct Shelf<'l> {
    pub(super) text: &'l mut String,
    pub(super) attributes: &'l mut Vec<Attribute>,
    /// Place of the record's first attribute.
    pub(super) first: usize,
    /// Offset in the source behind the record's last field.
    pub(super) line_end: usize,
    /// Keys that the record has already.
    pub(super) repeated: Vec<Span>,
}

impl Sink for Shelf<'_> {
    fn text(&mut self) -> &mut String {
        self.text
    }

    fn attribute(&mut self, fields: &AttributeFields<'_>) {
        let value = Slice { start: offset(self.text.len() - fields.value_len), end: offset(self.text.len()) };
        let key = push(self.text, fields.key);
        let start = self.line_end - fields.key_from;
        let key_span = Span::new(start, start + fields.key.len());
        let known =
            |slice: Slice| self.text.get(slice.start as usize..slice.end as usize) == Some(fields.key);
        if self.attributes.iter().skip(self.first).any(|attribute| known(attribute.key)) {
            self.repeated.push(key_span);
        }
        let value_span = Span::new(self.line_end - fields.value_from, self.line_end - fields.value_to);
        self.attributes.push(Attribute { key, value, key_span, value_span });
    }
}

/// Writes a piece of text behind the rest and says where it stands.
pub(super) fn push(text: &mut String, piece: &str) -> Slice {
    let start = offset(text.len());
    text.push_str(piece);
    Slice { start, end: offset(text.len()) }
}

/// An offset into a log's text. A source is far smaller than 4 GiB; past that, slices are empty.
pub(super) fn offset(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// What may stand in no line, with the first place of each kind.
pub(super) fn faults_of_text(line: &[u8], start: usize) -> Vec<(FaultCode, Span)> {
    let mut found: Vec<(FaultCode, Span)> = Vec::new();
    let mut note = |code, from: usize, len: usize| {
        if !found.iter().any(|(known, _)| *known == code) {
            found.push((code, Span::new(start + from, start + from + len)));
        }
    };
    let mut at = 0;
    for chunk in line.utf8_chunks() {
        for (place, c) in chunk.valid().char_indices().filter(|(_, c)| c.is_control()) {
            let code = match c {
                '\0' => FaultCode::NulCharacter,
                '\r' => FaultCode::CarriageReturn,
                '\t' => FaultCode::TabCharacter,
                _ => FaultCode::ControlCharacter,
            };
            note(code, at + place, c.len_utf8());
        }
        at += chunk.valid().len();
        if !chunk.invalid().is_empty() {
            note(FaultCode::Utf8Broken, at, chunk.invalid().len());
        }
        at += chunk.invalid().len();
    }
    found
}

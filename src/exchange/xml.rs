//! XML as this tool writes it (XML 1.0, fifth edition).

use std::fmt::Write as _;

use crate::source::acts_on_a_reader;

/// Writes a text in an attribute.
pub(super) fn push_value(out: &mut String, text: &str) {
    for piece in text.split_inclusive('"') {
        push_text(out, piece.trim_end_matches('"'));
        if piece.ends_with('"') {
            out.push_str("&quot;");
        }
    }
}

/// Writes a text between tags. What acts on a reader becomes a character reference, so that no text is
/// lost and none acts; what no XML may hold (2.2) is spelled out as in every output of the tool.
pub(super) fn push_text(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            c if !may_stand(c) => out.extend(c.escape_unicode()),
            // A bare line end or tab would be changed in reading (2.11, 3.3.3).
            c if acts_on_a_reader(c) => _ = write!(out, "&#{};", u32::from(c)),
            c => out.push(c),
        }
    }
}

/// `Char` of XML 1.0, 2.2.
pub(super) fn may_stand(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{D7FF}' | '\u{E000}'..='\u{FFFD}' | '\u{10000}'..)
}

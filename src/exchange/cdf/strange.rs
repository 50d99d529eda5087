//! What of an event is neither a value that was read nor a word of the standard: comments, other names, other attributes.

use super::entry::KEPT;
use super::tree::Opened;
use crate::source::{Source, Span};
use crate::syntax::Item;

/// What may stand in an event besides its values, in either form.
const SIGNS: &[u8] = b" \t\r\n{}[]<>/:,\"=";

/// The parts of an event that are no value that was read and hold another word than those of the standard.
pub(super) fn parts(source: &Source, event: Span, fields: &Opened, item: &Item) -> Vec<Span> {
    let mut read: Vec<Span> = fields
        .fields
        .iter()
        .map(|field| field.value.span)
        .chain(item.attributes.iter().flat_map(|part| [part.key_span, part.value_span]))
        .filter(|span| !span.is_empty() && span.start >= event.start && span.end <= event.end)
        .collect();
    read.sort_unstable();
    let mut strange = Vec::new();
    let mut at = event.start;
    for span in read.into_iter().chain([Span::new(event.end, event.end)]) {
        if span.start > at {
            let gap = Span::new(at, span.start);
            if !is_plain(source.raw_at(gap)) {
                strange.push(gap);
            }
        }
        at = at.max(span.end);
    }
    // A value of XML may hold what was passed over in reading it.
    let is_whole = |span: &Span| !source.raw_at(*span).contains(&b'<');
    if source.raw_at(event).starts_with(b"<") {
        let values = fields.fields.iter().map(|field| field.value.span);
        strange.extend(values.filter(|span| !is_whole(span)));
    }
    strange
}

fn is_plain(gap: &[u8]) -> bool {
    gap.split(|b| SIGNS.contains(b)).filter(|word| !word.is_empty()).all(|word| {
        [&b"Event"[..], b"EventLogging.Event", b"Id", b"Sequence", b"TimeStamp", b"@type", b"null"]
            .contains(&word)
            || KEPT.iter().any(|(name, _)| name.as_bytes() == word)
    })
}

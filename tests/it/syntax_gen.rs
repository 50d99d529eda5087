//! Arbitrary logs that the format allows, and ways to spoil them, for property tests of any room.

#![allow(clippy::indexing_slicing, reason = "a test may stop")]

use logassay::event::EVENTS;
use logassay::source::disclosure_in;
use logassay::syntax::Draft;
use proptest::prelude::*;

/// What one line of a log may be, before it is written.
#[derive(Debug, Clone)]
enum Piece {
    Record { number: Option<u64>, time: String, word: String, attributes: Vec<(String, String)> },
    Comment(String),
    Blank,
}

/// A log without a fault, as text: known and unknown events, keys and headers, quoted and escaped values, comments.
/// Nothing in it names a choice or identity.
pub(crate) fn lawful_log() -> impl Strategy<Value = String> {
    let headers = prop::collection::btree_map(word(), plain_text(), 0..6);
    (headers, prop::collection::vec(piece(), 0..40), any::<bool>(), any::<bool>()).prop_map(
        |(headers, pieces, chained, closed)| {
            let mut draft = Draft::new();
            for (key, value) in &headers {
                draft = draft.header(key, value);
            }
            if chained {
                draft = draft.chained(None);
            }
            for piece in pieces {
                draft = match piece {
                    Piece::Comment(text) => draft.comment(&text),
                    Piece::Blank => draft.blank(),
                    Piece::Record { number, time, word, attributes } => {
                        let attributes: Vec<(&str, &str)> =
                            attributes.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
                        draft.record(number, &time, &word, &attributes)
                    }
                };
            }
            if closed { draft.close() } else { draft.open() }
        },
    )
}

/// Bytes near a log: a lawful one with some bytes replaced, removed or put in.
pub(crate) fn spoilt_log() -> impl Strategy<Value = Vec<u8>> {
    let byte =
        prop_oneof![any::<u8>(), prop::sample::select(b" \n\r\"\\={}:;-0139eE\0\t\xEF\xBB\xBF\xFF".to_vec())];
    (lawful_log(), prop::collection::vec((any::<prop::sample::Index>(), 0_u8..3, byte), 0..12)).prop_map(
        |(text, changes)| {
            let mut bytes = text.into_bytes();
            for (place, change, byte) in changes {
                let at = place.index(bytes.len() + 1);
                match change {
                    0 => bytes.insert(at, byte),
                    1 if at < bytes.len() => bytes[at] = byte,
                    2 if at < bytes.len() => drop(bytes.remove(at)),
                    _ => bytes.push(byte),
                }
            }
            bytes
        },
    )
}

fn piece() -> impl Strategy<Value = Piece> {
    let known = (0..EVENTS.len()).prop_map(|place| EVENTS[place].word.to_owned());
    let word_of_event = prop_oneof![4 => known, 1 => word()];
    // Keys differ, for a repeated key is a fault.
    let attributes =
        prop::collection::btree_map(word(), value(), 0..5).prop_map(|map| map.into_iter().collect());
    let number = prop_oneof![1 => Just(None), 4 => (0_u64..10_000_000_000_000_000_000).prop_map(Some)];
    let record = (number, time(), word_of_event, attributes)
        .prop_map(|(number, time, word, attributes)| Piece::Record { number, time, word, attributes });
    prop_oneof![8 => record, 1 => plain_text().prop_map(Piece::Comment), 1 => Just(Piece::Blank)]
}

fn time() -> impl Strategy<Value = String> {
    let day = (1_u32..10_000, 1_u32..13, 1_u32..29);
    let clock = (0_u32..24, 0_u32..60, 0_u32..60, prop::sample::select(vec!["", ".1", ".25", ".999"]));
    prop_oneof![
        1 => Just("-".to_owned()),
        6 => (day, clock).prop_map(|((y, m, d), (h, min, s, f))| {
            format!("{y:04}-{m:02}-{d:02} {h:02}:{min:02}:{s:02}{f}")
        }),
    ]
}

/// A word that the grammar allows and that names nobody and nothing chosen.
pub(crate) fn word() -> impl Strategy<Value = String> {
    "[a-z][a-z0-9-]{0,39}"
        .prop_filter("names a choice or identity", |word| disclosure_in(word.as_bytes(), true).is_none())
}

/// A value: any text at all that names nobody and nothing chosen.
pub(crate) fn value() -> impl Strategy<Value = String> {
    let text = prop_oneof![3 => "[ -~]{0,12}", 1 => "\\PC{0,8}", 1 => prop::collection::vec(any::<char>(), 0..6)
        .prop_map(|chars| chars.into_iter().collect::<String>())];
    text.prop_filter("names a choice or identity", |text| disclosure_in(text.as_bytes(), false).is_none())
}

/// Printable text without spaces at its ends.
fn plain_text() -> impl Strategy<Value = String> {
    "[!-~]([ -~]{0,20}[!-~])?"
        .prop_filter("names a choice or identity", |text| disclosure_in(text.as_bytes(), false).is_none())
}

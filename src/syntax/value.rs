//! Keys and values of a log, which can be compared and counted, and printed only through the gate.

use std::fmt;

use crate::event::{Event, Form};
use crate::source::{MASK, Shown, disclosure_in, names_only_kinds};
use crate::syntax::{Log, Record};

/// Header keys whose values are about the unit and its export, never about a voter.
pub(super) const KNOWN_HEADERS: &[&str] = &[
    "serial",
    "role",
    "software",
    "clock-zone",
    "keeps",
    "exported-at",
    "exported-by",
    "description",
    "model",
];

/// A key or value. It can be compared and counted, not printed: printing goes through the gate.
#[derive(Clone, Copy)]
pub struct Value<'a> {
    text: &'a str,
    cover: Cover<'a>,
}

/// Whether a text is covered: known already, or worked out when it is to be shown, for most values are only compared.
#[derive(Clone, Copy)]
enum Cover<'a> {
    Is(bool),
    /// The key of an attribute on a record: its event and its line.
    Key(&'a Log, Event, usize),
    /// The value of an attribute, with its key.
    Value(&'a Log, Event, usize, &'a str),
}

impl<'a> Value<'a> {
    /// A key: covered when it may say more than which kind of thing its value is.
    pub(super) fn of_key(key: &'a str) -> Value<'a> {
        Value { text: key, cover: Cover::Is(tells_too_much(key)) }
    }

    /// The value of a header.
    pub(super) fn of_header(key: &str, value: &'a str) -> Value<'a> {
        let discloses = !KNOWN_HEADERS.contains(&key) && disclosure_in(key.as_bytes(), false).is_some();
        let covered = discloses || disclosure_in(value.as_bytes(), false).is_some();
        Value { text: value, cover: Cover::Is(covered) }
    }

    /// Key and value of an attribute.
    pub(super) fn of_attribute(
        log: &'a Log,
        record: &Record,
        key: &'a str,
        value: &'a str,
    ) -> (Value<'a>, Value<'a>) {
        (
            Value { text: key, cover: Cover::Key(log, record.event, record.line) },
            Value { text: value, cover: Cover::Value(log, record.event, record.line, key) },
        )
    }

    /// Whether it is exactly this text.
    #[must_use]
    pub fn is(self, text: &str) -> bool {
        self.text == text
    }

    /// As a whole number of decimal digits only; `None` for anything else and past 2^64 - 1.
    #[must_use]
    pub fn number(self) -> Option<u64> {
        if self.text.bytes().all(|b| b.is_ascii_digit()) { self.text.parse().ok() } else { None }
    }

    /// The text behind the gate. What may be a voter's choice or identity is masked, here without regard to which
    /// records are known not to belong to the poll; [`Log::quote`] knows.
    #[must_use]
    pub fn shown(self) -> Shown {
        Shown::inert(if self.is_covered() { MASK } else { self.text })
    }

    /// Whether secrecy covers it.
    pub(super) fn is_covered(self) -> bool {
        let near = |log: &Log, line| log.record_at(line).is_none_or(|place| log.touches_ballot(place));
        match self.cover {
            Cover::Is(covered) => covered,
            Cover::Key(log, event, line) => {
                // A key that the reader of another format made up is no key of the evidence.
                let made_up = log.foreign.is_some()
                    && ["column-", "rest-"].iter().any(|begin| self.text.starts_with(begin));
                !made_up && tells_in_key(event, self.text, near(log, line))
            }
            // The ballot unit of a vote is part of the choice where there are several.
            Cover::Value(log, event, line, key) => {
                (event == Event::Vote && key == "bu" && log.several_ballot_units())
                    || !event.knows(key)
                    || tells_in_value(event, key, self.text, near(log, line))
            }
        }
    }

    /// The text itself, for the rooms that read formats further.
    pub(crate) fn text(self) -> &'a str {
        self.text
    }
}

/// Whether a word names a choice or identity and holds something besides, which may be the thing itself.
pub(super) fn tells_too_much(word: &str) -> bool {
    disclosure_in(word.as_bytes(), true).is_some() && !names_only_kinds(word)
}

/// Whether the key of an attribute may itself be a choice or a name. Beside a voter's act, what the vocabulary does not
/// know must be made of words that name kinds of things.
pub(super) fn tells_in_key(event: Event, key: &str, near: bool) -> bool {
    !event.knows(key) && (tells_too_much(key) || (near && !names_only_kinds(key)))
}

/// Whether the value of an attribute may be a choice or a name: unless the vocabulary knows it and it has the form stated,
/// any value near a voter's act, and elsewhere one in words of a choice or identity.
pub(super) fn tells_in_value(event: Event, key: &str, value: &str, near: bool) -> bool {
    let has_form = match event.form_of(key) {
        // Figures in another form than stated say no more than figures in the stated one.
        Some(Form::Whole) => {
            value.len() <= 19 && value.bytes().all(|b| b.is_ascii_digit() || matches!(b, b',' | b'.'))
        }
        Some(form) => form.holds(value),
        None => false,
    };
    // An unknown event may itself be a vote.
    let near = near || event == Event::Unknown;
    let in_words = |text: &str| disclosure_in(text.as_bytes(), false).is_some();
    !has_form && (near || in_words(value) || (!event.knows(key) && in_words(key)))
}

impl PartialEq for Value<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl Eq for Value<'_> {}

impl PartialOrd for Value<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Value<'_> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.text.cmp(other.text)
    }
}

impl std::hash::Hash for Value<'_> {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.text.hash(state);
    }
}

impl fmt::Debug for Value<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Value({} bytes)", self.text.len())
    }
}

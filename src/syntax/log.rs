//! A log once it has been read: its lines, records and headers, and how a line of it may be shown.

use std::fmt;
use std::sync::Arc;

use crate::event::Event;
use crate::source::{Digest, SHOWN_LIMIT, Shown, Source, Span, disclosure_in};
use crate::syntax::Fault;

/// One log of a source. Every line of it is exactly one of the kinds of [`LineKind`].
#[derive(Debug)]
pub struct Log {
    pub(crate) source: Arc<Source>,
    /// Number of the log's first line in its source, from 1.
    pub first_line: usize,
    pub(crate) lines: Vec<Line>,
    pub(crate) headers: Vec<Header>,
    pub(crate) records: Vec<Record>,
    pub(crate) attributes: Vec<Attribute>,
    /// Decoded words, keys and values; [`Slice`]s point into it.
    pub(crate) text: String,
    pub(crate) closing: Option<Closing>,
    pub(crate) faults: Vec<Fault>,
    /// Lines past the limit of lines per log: they were hashed and counted, not read.
    pub(crate) lines_not_read: usize,
}

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// Nothing but spaces.
    Blank,
    /// Begins with `;`.
    Comment,
    /// `unit-event-log 1`.
    Heading,
    /// `key: value`; the place in [`Log::headers`].
    Header(usize),
    /// One event; the place in [`Log::records`].
    Record(usize),
    /// `end N sha256:...`.
    Closing,
    /// None of these; at least one fault says why.
    Unread,
}

/// One line: its bytes without the line end, and what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// Its bytes, without LF or CRLF.
    pub span: Span,
    /// What it is.
    pub kind: LineKind,
}

/// A piece of a log's decoded text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Slice {
    pub(crate) start: u32,
    pub(crate) end: u32,
}

/// A header line `key: value`.
#[derive(Debug, Clone, Copy)]
pub struct Header {
    /// Index of its line in [`Log::lines`].
    pub line: usize,
    pub(crate) key: Slice,
    pub(crate) value: Slice,
}

/// One event as recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// Index of its line in [`Log::lines`].
    pub line: usize,
    /// Record number, `None` where the log has `-`.
    pub number: Option<u64>,
    /// Digits with which the number was written, leading zeros included; 0 without a number.
    pub number_digits: u8,
    /// Time as displayed by the unit, `None` where the log has `-`.
    pub time: Option<Stamp>,
    /// The event.
    pub event: Event,
    /// The word as written, for events that the vocabulary does not know.
    pub(crate) word: Slice,
    /// Where the word stands in the source.
    pub(crate) word_span: Span,
    /// First and behind-last place in the log's attributes.
    pub(crate) attributes: (u32, u32),
    /// The record's chain digest, where the export carries one.
    pub chain: Option<Digest>,
    /// Where the chain field stands, with the space before it; empty without one.
    pub(crate) chain_span: Span,
}

/// One `key=value` of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attribute {
    pub(crate) key: Slice,
    pub(crate) value: Slice,
    /// Where the key stands in the source.
    pub(crate) key_span: Span,
    /// Where the value stands in the source, quotes included.
    pub(crate) value_span: Span,
}

/// The closing line: what it says, and what was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Closing {
    /// Index of its line in [`Log::lines`].
    pub line: usize,
    /// Number of record lines that the exporter states.
    pub count: u64,
    /// The digest that the exporter states, if any.
    pub digest: Option<Digest>,
    /// Number of record and unread lines found between the header and the closing line.
    pub found_count: u64,
    /// Digest of these lines.
    pub found_digest: Digest,
}

impl Closing {
    /// Whether count and digest, as far as stated, are those of the lines found; a digest must be stated.
    #[must_use]
    pub fn is_intact(&self) -> bool {
        self.count == self.found_count && self.digest == Some(self.found_digest)
    }
}

/// A time as the unit displayed it: a civil date and time without zone, in whole milliseconds.
///
/// A displayed 18:00:00 means from 18:00:00 to before 18:00:01; see [`Stamp::step_ms`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp {
    ms: i64,
    digits: u8,
}

impl Stamp {
    /// From milliseconds since 1970-01-01 00:00:00 of the displayed calendar, and the fraction digits shown (0 to 3).
    #[must_use]
    pub fn new(ms: i64, digits: u8) -> Stamp {
        Stamp { ms, digits: digits.min(3) }
    }

    /// Milliseconds since 1970-01-01 00:00:00 of the displayed calendar.
    #[must_use]
    pub fn ms(self) -> i64 {
        self.ms
    }

    /// Number of fraction digits displayed, 0 to 3.
    #[must_use]
    pub fn digits(self) -> u8 {
        self.digits
    }

    /// Step of the display in milliseconds: 1000, 100, 10 or 1.
    #[must_use]
    pub fn step_ms(self) -> i64 {
        10_i64.pow(3 - u32::from(self.digits))
    }

    /// Only the time of day, `hh:mm:ss` with the fraction as displayed.
    #[must_use]
    pub fn time_of_day(self) -> String {
        self.format("%H:%M:%S")
    }

    fn format(self, pattern: &str) -> String {
        let Some(instant) = chrono::DateTime::from_timestamp_millis(self.ms) else { return "-".to_owned() };
        let mut text = instant.format(pattern).to_string();
        if self.digits > 0 {
            let fraction = self.ms.rem_euclid(1000) / self.step_ms();
            text.push_str(&format!(".{fraction:0width$}", width = usize::from(self.digits)));
        }
        text
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.format("%Y-%m-%d %H:%M:%S"))
    }
}

/// The value of an attribute or header. It can be compared and counted, not printed: printing goes through the gate.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Value<'a>(&'a str);

impl<'a> Value<'a> {
    /// Whether it is exactly this text.
    #[must_use]
    pub fn is(self, text: &str) -> bool {
        self.0 == text
    }

    /// As a whole number of decimal digits only; `None` for anything else and past 2^64 - 1.
    #[must_use]
    pub fn number(self) -> Option<u64> {
        if self.0.bytes().all(|b| b.is_ascii_digit()) { self.0.parse().ok() } else { None }
    }

    /// The text behind the gate, for values that secrecy never covers (headers such as the serial).
    #[must_use]
    pub fn shown(self) -> Shown {
        let text = match disclosure_in(self.0.as_bytes(), false) {
            Some(behind) => format!("{}{}", self.0.get(..behind).unwrap_or_default(), crate::source::MASK),
            None => self.0.to_owned(),
        };
        Shown::inert(&text)
    }

    /// The text itself, for the rooms that read formats further.
    pub(crate) fn text(self) -> &'a str {
        self.0
    }
}

impl fmt::Debug for Value<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Value({} bytes)", self.0.len())
    }
}

/// Which records are *known* not to belong to the poll, and so may be shown whole. Nothing known: [`Secrecy::strict`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Secrecy {
    open: Vec<bool>,
}

impl Secrecy {
    /// Nothing is known: whatever may be part of the poll is covered.
    #[must_use]
    pub fn strict() -> Secrecy {
        Secrecy { open: Vec::new() }
    }

    /// From one flag per record: `true` where the record is known not to belong to the poll.
    #[must_use]
    pub fn of(known_not_poll: Vec<bool>) -> Secrecy {
        Secrecy { open: known_not_poll }
    }

    fn is_open(&self, record: usize) -> bool {
        self.open.get(record).copied().unwrap_or(false)
    }
}

impl Log {
    /// The evidence that the log was read from.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// Its lines, in the order of the file.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Its records, in the order of the file.
    #[must_use]
    pub fn records(&self) -> &[Record] {
        &self.records
    }

    /// Its header lines, in the order of the file.
    #[must_use]
    pub fn headers(&self) -> &[Header] {
        &self.headers
    }

    /// Its closing line, if it has one.
    #[must_use]
    pub fn closing(&self) -> Option<&Closing> {
        self.closing.as_ref()
    }

    /// What could not be read as the format wants, in the order of the file.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// Number of lines past the limit of lines per log.
    #[must_use]
    pub fn lines_not_read(&self) -> usize {
        self.lines_not_read
    }

    /// Number, in the file and from 1, of the line with this index.
    #[must_use]
    pub fn line_number(&self, index: usize) -> usize {
        self.first_line + index
    }

    /// The value of the first header with this key.
    #[must_use]
    pub fn header(&self, key: &str) -> Option<Value<'_>> {
        self.header_line(key).map(|(_, value)| value)
    }

    /// The line index and value of the first header with this key.
    #[must_use]
    pub fn header_line(&self, key: &str) -> Option<(usize, Value<'_>)> {
        let header = self.headers.iter().find(|header| self.slice(header.key) == key)?;
        Some((header.line, Value(self.slice(header.value))))
    }

    /// Key and value of a header.
    #[must_use]
    pub fn header_parts(&self, header: &Header) -> (Value<'_>, Value<'_>) {
        (Value(self.slice(header.key)), Value(self.slice(header.value)))
    }

    /// The value of a record's attribute.
    #[must_use]
    pub fn attribute(&self, record: &Record, key: &str) -> Option<Value<'_>> {
        self.attributes_of(record)
            .iter()
            .find(|attribute| self.slice(attribute.key) == key)
            .map(|attribute| Value(self.slice(attribute.value)))
    }

    /// Keys and values of a record, as written.
    pub fn attributes(&self, record: &Record) -> impl Iterator<Item = (Value<'_>, Value<'_>)> {
        self.attributes_of(record)
            .iter()
            .map(|attribute| (Value(self.slice(attribute.key)), Value(self.slice(attribute.value))))
    }

    /// The event's word as an output may show it.
    #[must_use]
    pub fn word(&self, record: &Record) -> Shown {
        if record.event == Event::Unknown {
            let veils = self.word_veil(record);
            self.source.show(record.word_span, &veils, SHOWN_LIMIT)
        } else {
            Shown::inert(record.event.word())
        }
    }

    /// A line as an output may show it, with what secrecy covers replaced.
    #[must_use]
    pub fn quote(&self, line: usize, secrecy: &Secrecy) -> Shown {
        let Some(entry) = self.lines.get(line) else { return Shown::inert("") };
        self.source.show(entry.span, &self.veils(line, secrecy), SHOWN_LIMIT)
    }

    /// Whether anything of a line is covered.
    #[must_use]
    pub fn is_veiled(&self, line: usize, secrecy: &Secrecy) -> bool {
        !self.veils(line, secrecy).is_empty()
    }

    /// The spans of a line that secrecy covers.
    #[must_use]
    pub fn veils(&self, line: usize, secrecy: &Secrecy) -> Vec<Span> {
        let Some(entry) = self.lines.get(line) else { return Vec::new() };
        match entry.kind {
            LineKind::Blank | LineKind::Heading | LineKind::Closing => Vec::new(),
            LineKind::Comment => self.tail_veil(entry.span, false),
            LineKind::Header(_) => self.header_veil(entry.span),
            LineKind::Unread => {
                let mut veils = self.tail_veil(entry.span, true);
                veils.extend(self.values_of_unknown_keys(entry.span));
                veils
            }
            LineKind::Record(place) => match self.records.get(place) {
                Some(record) if !secrecy.is_open(place) => self.record_veils(place, record),
                _ => Vec::new(),
            },
        }
    }

    fn record_veils(&self, place: usize, record: &Record) -> Vec<Span> {
        let beside = self.touches_ballot(place);
        let several = record.event == Event::Vote && self.several_ballot_units();
        let mut veils = self.word_veil(record);
        for attribute in self.attributes_of(record) {
            let (key, value) = (self.slice(attribute.key), self.slice(attribute.value));
            let known = record.event.knows(key);
            let covered = (beside && !known) || (several && key == "bu");
            if covered || (!known && disclosure_in(key.as_bytes(), false).is_some()) {
                veils.push(attribute.value_span);
            } else if let Some(behind) = disclosure_in(value.as_bytes(), false) {
                // The value may be quoted and escaped: cover from the word's end at the latest, or all of it.
                let start = attribute.value_span.start + if value.len() + 2 == attribute.value_span.len() { 1 + behind } else { 0 };
                veils.push(Span::new(start, attribute.value_span.end));
            }
            if beside && !known && disclosure_in(key.as_bytes(), true).is_some_and(|behind| behind < key.len()) {
                veils.push(attribute.key_span);
            }
        }
        if !veils.is_empty() && !record.chain_span.is_empty() {
            veils.push(record.chain_span);
        }
        veils
    }

    /// Whether a record is a voter's act or stands beside one: in the file, directly before or after a vote.
    #[must_use]
    pub fn touches_ballot(&self, place: usize) -> bool {
        let event = |place: usize| self.records.get(place).map(|record| record.event);
        event(place).is_some_and(Event::touches_ballot)
            || event(place + 1) == Some(Event::Vote)
            || (place > 0 && event(place - 1) == Some(Event::Vote))
    }

    /// Whether the log names more than one ballot unit.
    #[must_use]
    pub fn several_ballot_units(&self) -> bool {
        let mut serials = self
            .attributes
            .iter()
            .filter(|attribute| self.slice(attribute.key) == "bu")
            .map(|attribute| self.slice(attribute.value));
        serials.next().is_some_and(|first| serials.any(|other| other != first))
    }

    /// The bytes of a record that its chain value is made over: its line up to before the space of the chain field.
    pub(crate) fn chain_input(&self, record: &Record) -> &[u8] {
        let Some(line) = self.lines.get(record.line) else { return &[] };
        let end = if record.chain_span.is_empty() { line.span.end } else { record.chain_span.start };
        self.source.raw_at(Span::new(line.span.start, end))
    }

    fn word_veil(&self, record: &Record) -> Vec<Span> {
        if record.event != Event::Unknown {
            return Vec::new();
        }
        let start = record.word_span.start;
        disclosure_in(self.slice(record.word).as_bytes(), true)
            .map(|behind| Span::new(start + behind, record.word_span.end))
            .into_iter()
            .collect()
    }

    fn header_veil(&self, span: Span) -> Vec<Span> {
        self.tail_veil(span, false)
    }

    fn tail_veil(&self, span: Span, vote_too: bool) -> Vec<Span> {
        disclosure_in(self.source.raw_at(span), vote_too)
            .map(|behind| Span::new(span.start + behind, span.end))
            .filter(|veil| !veil.is_empty())
            .into_iter()
            .collect()
    }

    /// In a line that could not be read: whatever stands behind `=` of a key that no event knows, to the line's end.
    fn values_of_unknown_keys(&self, span: Span) -> Option<Span> {
        let bytes = self.source.raw_at(span);
        let mut from = 0;
        while let Some(equals) = bytes.get(from..)?.iter().position(|b| *b == b'=').map(|at| from + at) {
            let head = bytes.get(..equals)?;
            let key = head.rsplit(|b| *b == b' ').next().unwrap_or_default();
            let known = crate::event::EVENTS
                .iter()
                .any(|entry| entry.attributes.iter().any(|a| a.key != "bu" && a.key.as_bytes() == key));
            if !known {
                return Some(Span::new(span.start + equals + 1, span.end));
            }
            from = equals + 1;
        }
        None
    }

    fn attributes_of(&self, record: &Record) -> &[Attribute] {
        self.attributes.get(record.attributes.0 as usize..record.attributes.1 as usize).unwrap_or_default()
    }

    pub(crate) fn slice(&self, slice: Slice) -> &str {
        self.text.get(slice.start as usize..slice.end as usize).unwrap_or_default()
    }
}

//! A log once it has been read: its lines, records and headers.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use sha2::{Digest as _, Sha256};

use crate::event::Event;
use crate::source::{Digest, Shown, Source, Span};
use crate::syntax::identity::Others;
use crate::syntax::maker::Foreign;
use crate::syntax::nearness::Nearness;
use crate::syntax::{Fault, FaultCounts, Stamp, Value};

/// One log of a source. Every line of it is exactly one of the kinds of [`LineKind`].
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
    pub(crate) fault_counts: FaultCounts,
    /// What stands on or beside a voter's act.
    pub(crate) nearness: Nearness,
    /// Whether chain values may be shown: nothing in the log is covered, so that they undo no mask.
    pub(crate) chains_shown: bool,
    /// Lines past a limit: they are part of the source and its digest, and were counted, not read.
    pub(crate) lines_not_read: usize,
    /// Whether its source holds other logs too, so that a record number does not name one record.
    pub(crate) shares_source: bool,
    /// What the logs of its source cover, where there are several.
    pub(crate) others: Others,
    /// For a log in another format than ours: how it was read. Its lines are the items of that format.
    pub(crate) foreign: Option<Foreign>,
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

impl LineKind {
    /// What a line of this kind is called.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            LineKind::Blank => "blank",
            LineKind::Comment => "comment",
            LineKind::Heading => "heading",
            LineKind::Header(_) => "header",
            LineKind::Record(_) => "record",
            LineKind::Closing => "closing",
            LineKind::Unread => "unread",
        }
    }
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
    /// Where the key stands in the source; empty in formats that name it elsewhere.
    pub(crate) key_span: Span,
    /// Where the value stands in the source.
    pub(crate) value_span: Span,
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
    /// Number of body lines that the exporter states.
    pub count: u64,
    /// The digest that the exporter states, if any.
    pub digest: Option<Digest>,
    /// Number of body lines found: record and unread lines between the header and the closing line.
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

    /// What could not be read as the format wants, in the order of the file. A limited number is kept with its place;
    /// [`Log::fault_counts`] counts all, so every unread line has a fault here unless that number is reached.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// How many faults of each kind there are, with those that are not kept in [`Log::faults`].
    #[must_use]
    pub fn fault_counts(&self) -> &FaultCounts {
        &self.fault_counts
    }

    /// Number of lines past a limit of the log.
    #[must_use]
    pub fn lines_not_read(&self) -> usize {
        self.lines_not_read
    }

    /// Number, in the file and from 1, of the line with this index.
    #[must_use]
    pub fn line_number(&self, index: usize) -> usize {
        let foreign = self.foreign.as_ref().and_then(|foreign| foreign.numbers.get(index)).copied();
        foreign.unwrap_or(self.first_line + index)
    }

    /// The first and the last line of the file that belong to the log; `None` for a log without lines.
    #[must_use]
    pub fn line_range(&self) -> Option<(usize, usize)> {
        let numbers = || (0..self.lines.len()).map(|index| self.line_number(index));
        Some((numbers().min()?, numbers().max()?))
    }

    /// How the log was read, in words, where its format is not the neutral one.
    #[must_use]
    pub fn format(&self) -> Option<Shown> {
        self.foreign.as_ref().map(|foreign| Shown::inert(&foreign.format))
    }

    /// The records whose number names them alone in their source, in order: one flag per record.
    #[must_use]
    pub fn named_by_number(&self) -> Vec<bool> {
        let mut last = None;
        let mut numbers = self.records.iter().filter_map(|record| record.number);
        let ascending = numbers.all(|number| last.replace(number).is_none_or(|last| last < number));
        if self.shares_source || ascending {
            return self
                .records
                .iter()
                .map(|record| !self.shares_source && record.number.is_some())
                .collect();
        }
        let mut times: BTreeMap<u64, usize> = BTreeMap::new();
        self.records
            .iter()
            .filter_map(|record| record.number)
            .for_each(|n| *times.entry(n).or_default() += 1);
        let alone = |record: &Record| record.number.is_some_and(|number| times.get(&number) == Some(&1));
        self.records.iter().map(alone).collect()
    }

    /// An empty log of a source, to be filled line by line.
    pub(super) fn begin(source: &Arc<Source>, first_line: usize) -> Log {
        Log {
            source: Arc::clone(source),
            first_line,
            lines: Vec::new(),
            headers: Vec::new(),
            records: Vec::new(),
            attributes: Vec::new(),
            text: String::new(),
            closing: None,
            faults: Vec::new(),
            fault_counts: FaultCounts::none(),
            nearness: Nearness::default(),
            chains_shown: true,
            lines_not_read: 0,
            shares_source: false,
            others: Others::default(),
            foreign: None,
        }
    }

    /// The last step once all lines are there: what depends on the whole log.
    pub(super) fn settle(&mut self) {
        self.nearness = Nearness::of(self);
        self.faults.sort_by_key(|fault| (fault.line, fault.span.start));
        if self.records.iter().any(|record| record.chain.is_some()) {
            self.chains_shown = !self.has_something_covered();
        }
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
        Some((header.line, self.header_parts(header).1))
    }

    /// Key and value of a header.
    #[must_use]
    pub fn header_parts(&self, header: &Header) -> (Value<'_>, Value<'_>) {
        let (key, value) = (self.slice(header.key), self.slice(header.value));
        (Value::of_key(key), Value::of_header(key, value))
    }

    /// The value of a record's attribute. Where the record has the key twice with different values, it says nothing
    /// certain, and there is no value.
    #[must_use]
    pub fn attribute(&self, record: &Record, key: &str) -> Option<Value<'_>> {
        let mut values =
            self.attributes_of(record).iter().filter(|attribute| self.slice(attribute.key) == key);
        let first = values.next()?;
        let value = self.slice(first.value);
        let agreed = values.all(|other| self.slice(other.value) == value);
        agreed.then(|| Value::of_attribute(self, record, self.slice(first.key), value).1)
    }

    /// Keys and values of a record, as written.
    pub fn attributes(&self, record: &Record) -> impl Iterator<Item = (Value<'_>, Value<'_>)> {
        self.attributes_of(record).iter().map(|attribute| {
            let (key, value) = (self.slice(attribute.key), self.slice(attribute.value));
            Value::of_attribute(self, record, key, value)
        })
    }

    /// The bytes over which a record's chain field is made, besides the field before it: the line up to before the
    /// space of the chain field; all of the line where it has none.
    pub(crate) fn chain_input(&self, record: &Record) -> &[u8] {
        let content = self.content(record.line);
        let end = if record.chain_span.is_empty() { content.end } else { record.chain_span.start };
        self.source.raw_at(Span::new(content.start, end))
    }

    /// A line without the byte order mark that may stand before it.
    pub(crate) fn content(&self, line: usize) -> Span {
        let span = self.lines.get(line).map(|line| line.span).unwrap_or_default();
        super::pages::without_mark(&self.source, span)
    }

    /// Count and digest of the body from a line on: each record and unread line, with LF behind it.
    pub(crate) fn body_from(&self, first: usize) -> (u64, Digest) {
        let body = |line: &Line| matches!(line.kind, LineKind::Record(_) | LineKind::Unread);
        let mut hasher = Sha256::new();
        let mut count = 0;
        // Lines that follow each other with LF between are hashed in one go.
        let mut run = Span::default();
        for (index, line) in self.lines.iter().enumerate().skip(first).filter(|(_, line)| body(line)) {
            count += 1;
            if !run.is_empty() && line.span.start == run.end {
                run.end = line.span.end;
            } else {
                hasher.update(self.source.raw_at(run));
                run = self.content(index);
            }
            if self.source.raw_at(Span::new(run.end, run.end + 1)) == b"\n" {
                run.end += 1;
            } else {
                hasher.update(self.source.raw_at(run));
                hasher.update(b"\n");
                run = Span::default();
            }
        }
        hasher.update(self.source.raw_at(run));
        (count, Digest::finish(hasher))
    }

    pub(crate) fn attributes_of(&self, record: &Record) -> &[Attribute] {
        self.attributes.get(record.attributes.0 as usize..record.attributes.1 as usize).unwrap_or_default()
    }

    pub(crate) fn slice(&self, slice: Slice) -> &str {
        self.text.get(slice.start as usize..slice.end as usize).unwrap_or_default()
    }
}

impl fmt::Debug for Log {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Only numbers: the decoded text would pass the gate by.
        let (lines, records, faults) = (self.lines.len(), self.records.len(), self.fault_counts.total());
        write!(f, "Log(line {} on, {lines} lines, {records} records, {faults} faults)", self.first_line)
    }
}

//! Secrecy: which parts of a line may be a voter's choice or identity, and how the line is shown without them.

use crate::event::{EVENTS, Entry, Event, Form};
use crate::source::{Digest, SHOWN_LIMIT, Shown, Span, disclosure_in, disclosure_in_prose};
use crate::syntax::line::HEADING_WORD;
use crate::syntax::value::{KNOWN_HEADERS, tells_in_key, tells_in_value, tells_too_much};
use crate::syntax::{Header, Line, LineKind, Log, Record};

/// What is known besides a log about what of it may be shown. Nothing known: [`Secrecy::strict`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Secrecy {
    open: Vec<bool>,
    several_units: bool,
}

impl Secrecy {
    /// Nothing is known: whatever may be part of the poll is covered.
    #[must_use]
    pub fn strict() -> Secrecy {
        Secrecy { open: Vec::new(), several_units: false }
    }

    /// From one flag per record, `true` where the record is known not to belong to the poll; and whether papers say
    /// that more than one ballot unit was used, so that which one a vote came from is part of the choice.
    #[must_use]
    pub fn of(known_not_poll: Vec<bool>, several_units: bool) -> Secrecy {
        Secrecy { open: known_not_poll, several_units }
    }

    fn is_open(&self, record: usize) -> bool {
        self.open.get(record).copied().unwrap_or(false)
    }
}

/// What the ballot unit of a vote tells.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Units {
    /// There was one, or it is known to whoever reads on: it tells nothing of the choice.
    Known,
    /// There may have been several: it is part of the choice.
    Several,
}

impl Units {
    fn of(several: bool) -> Units {
        if several { Units::Several } else { Units::Known }
    }
}

impl Log {
    /// A line as an output may show it, with what secrecy covers replaced.
    #[must_use]
    pub fn quote(&self, line: usize, secrecy: &Secrecy) -> Shown {
        let Some(entry) = self.lines.get(line) else {
            return Shown::inert("");
        };
        self.source.show(entry.span, &self.veils(line, secrecy), SHOWN_LIMIT)
    }

    /// The event's word as an output may show it.
    #[must_use]
    pub fn word(&self, record: &Record) -> Shown {
        if record.event == Event::Unknown {
            self.source.show(record.word_span, &self.word_veil(record), SHOWN_LIMIT)
        } else {
            Shown::inert(record.event.word())
        }
    }

    /// Whether two records have the same event word.
    #[must_use]
    pub fn same_word(&self, one: &Record, other: &Record) -> bool {
        one.event == other.event && self.slice(one.word) == self.slice(other.word)
    }

    /// Whether anything of a line is covered.
    #[must_use]
    pub fn is_veiled(&self, line: usize, secrecy: &Secrecy) -> bool {
        !self.veils(line, secrecy).is_empty()
    }

    /// SHA-256 of one line without its end, to name a line that cannot be quoted whole; none where anything of the
    /// line is covered, for a few tries would find what.
    #[must_use]
    pub fn line_digest(&self, line: usize, secrecy: &Secrecy) -> Option<Digest> {
        let entry = self.lines.get(line)?;
        (!self.is_veiled(line, secrecy)).then(|| Digest::of(self.source.raw_at(entry.span)))
    }

    /// Whether a line holds what no other file may hold. The ballot unit of a vote is covered in reports and stays in a
    /// log written anew: whoever holds the log has it, and it is a field of the format.
    #[must_use]
    pub fn withholds(&self, line: usize, secrecy: &Secrecy) -> bool {
        let Some(entry) = self.lines.get(line) else {
            return false;
        };
        match entry.kind {
            LineKind::Record(place) => self.records.get(place).is_some_and(|record| {
                !secrecy.is_open(place) && !self.record_veils(place, record, Units::Known).is_empty()
            }),
            LineKind::Comment | LineKind::Header(_) => self.is_veiled(line, secrecy),
            LineKind::Blank | LineKind::Heading | LineKind::Closing | LineKind::Unread => false,
        }
    }

    /// The spans of a line that secrecy covers, in the order of the line.
    #[must_use]
    pub fn veils(&self, line: usize, secrecy: &Secrecy) -> Vec<Span> {
        let Some(entry) = self.lines.get(line) else {
            return Vec::new();
        };
        match entry.kind {
            LineKind::Blank | LineKind::Heading => Vec::new(),
            LineKind::Closing => self.closing_veil(entry.span, secrecy),
            LineKind::Comment => self.comment_veil(line, secrecy),
            LineKind::Header(place) => {
                self.headers.get(place).map(|header| self.header_veils(header, line)).unwrap_or_default()
            }
            LineKind::Unread => self.unread_veils(line),
            LineKind::Record(place) => match self.records.get(place) {
                Some(record) => self.veils_of_record(place, record, secrecy),
                None => Vec::new(),
            },
        }
    }

    /// Whether strict secrecy covers anything in the log, chain values left aside.
    pub(super) fn has_something_covered(&self) -> bool {
        let strict = Secrecy::strict();
        let covered = |(index, line): (usize, &Line)| match line.kind {
            LineKind::Record(place) => self.records.get(place).is_some_and(|record| {
                let units = Units::of(self.several_ballot_units());
                !self.record_veils(place, record, units).is_empty()
            }),
            LineKind::Unread => self.is_veiled(index, &strict),
            _ => false,
        };
        self.lines.iter().enumerate().any(covered)
    }

    /// With the other lines at hand, the digest over all lines undoes a mask in one of them as a chain value does.
    fn closing_veil(&self, span: Span, secrecy: &Secrecy) -> Vec<Span> {
        const MARK: &[u8] = b"sha256:";
        let bytes = self.source.raw_at(span);
        let digest = bytes
            .windows(MARK.len())
            .position(|window| window == MARK)
            .filter(|_| self.has_something_covered() || self.covers_units(secrecy));
        digest.map(|at| Span::new(span.start + at + MARK.len(), span.end)).into_iter().collect()
    }

    fn veils_of_record(&self, place: usize, record: &Record, secrecy: &Secrecy) -> Vec<Span> {
        let mut veils = if secrecy.is_open(place) {
            Vec::new()
        } else {
            let several = secrecy.several_units || self.several_ballot_units();
            self.record_veils(place, record, Units::of(several))
        };
        // Each chain value is made with the one before: with the other lines at hand, any later one undoes a mask.
        if !record.chain_span.is_empty() && (!self.chains_shown || self.covers_units(secrecy)) {
            let digits = record.chain_span.start + " chain:".len();
            veils.push(Span::new(digits, record.chain_span.end));
        }
        veils
    }

    /// Whether papers alone make the ballot units of votes part of the choice.
    fn covers_units(&self, secrecy: &Secrecy) -> bool {
        secrecy.several_units
            && self.records.iter().any(|r| r.event == Event::Vote && self.attribute(r, "bu").is_some())
    }

    fn record_veils(&self, place: usize, record: &Record, units: Units) -> Vec<Span> {
        let mut veils = self.word_veil(record);
        let attributes = self.attributes_of(record);
        if attributes.is_empty() {
            return veils;
        }
        let near = self.touches_ballot(place);
        for attribute in attributes {
            let (key, value) = (self.slice(attribute.key), self.slice(attribute.value));
            if tells_in_key(record.event, key, near) {
                veils.push(attribute.key_span);
            }
            let part_of_choice = units == Units::Several && record.event == Event::Vote && key == "bu";
            if part_of_choice || tells_in_value(record.event, key, value, near) {
                veils.push(attribute.value_span);
            }
        }
        veils
    }

    fn word_veil(&self, record: &Record) -> Vec<Span> {
        let covered = record.event == Event::Unknown
            && (tells_too_much(self.slice(record.word)) || self.is_telling_word(record));
        if covered { vec![record.word_span] } else { Vec::new() }
    }

    /// A comment that names a choice or identity is covered whole: the name may stand on either side of the word. So is
    /// any comment beside a voter's act, where a bare name would be enough.
    fn comment_veil(&self, line: usize, secrecy: &Secrecy) -> Vec<Span> {
        let content = self.content(line);
        let covered = self.is_telling_comment(line) || self.is_comment_beside_act(line, secrecy);
        if covered { vec![Span::new(content.start + 1, content.end)] } else { Vec::new() }
    }

    /// Whether a comment has words of a choice or identity.
    pub(crate) fn is_telling_comment(&self, line: usize) -> bool {
        disclosure_in_prose(self.source.raw_at(self.content(line)))
    }

    /// Whether a comment stands between records, next to a voter's act that may be of the poll. What stands before the
    /// first record is of the head.
    fn is_comment_beside_act(&self, line: usize, secrecy: &Secrecy) -> bool {
        let [Some(before), behind] = self.neighbours(line) else {
            return false;
        };
        let known = [Some(before), behind].into_iter().flatten().all(|place| secrecy.is_open(place));
        self.is_beside_act(line) && !known && !self.repeats_the_head(line)
    }

    /// Whether a line that is no row of a printout says what stands above its first row already, figures left aside: the
    /// head of a page.
    fn repeats_the_head(&self, line: usize) -> bool {
        /// Lines above the first row that count as its head.
        const HEAD: usize = 40;
        if self.foreign.is_none() {
            return false;
        }
        let words = |line: usize| -> Vec<u8> {
            self.source.raw_at(self.content(line)).iter().copied().filter(|b| !b.is_ascii_digit()).collect()
        };
        let first = self.records.first().map_or(0, |record| record.line).min(HEAD);
        let here = words(line);
        (0..first).any(|head| words(head) == here)
    }

    fn header_veils(&self, header: &Header, line: usize) -> Vec<Span> {
        let content = self.content(line);
        let (key, value) = self.header_parts(header);
        let mut veils = Vec::new();
        if !KNOWN_HEADERS.contains(&key.text()) && tells_too_much(key.text()) {
            veils.push(header.key_span);
        }
        let raw = self.source.raw_at(Span::new(header.key_span.end.max(content.start), content.end));
        if value.is_covered() || disclosure_in(raw, false).is_some() {
            veils.push(Span::new(header.value_span.start, content.end));
        }
        veils
    }

    /// A line that could not be read may be a vote with anything in it: only what is surely harmless stays, field by
    /// field (numbers, times, known events, known attributes with figures or known words).
    fn unread_veils(&self, line: usize) -> Vec<Span> {
        let content = self.content(line);
        if let Some(foreign) = &self.foreign {
            return between(content, &foreign.harmless_of(line));
        }
        let bytes = self.source.raw_at(content);
        let in_head = self.records.first().is_none_or(|record| line < record.line);
        if super::line::looks_like_header(bytes) && in_head {
            return unread_header_veil(bytes, content);
        }
        let lone = bytes.trim_ascii().iter().all(|b| *b != b' ');
        let events: Vec<&Entry> = EVENTS
            .iter()
            .filter(|entry| bytes.split(|b| *b == b' ').any(|field| is_word_of(entry, field)))
            .collect();
        let marked = [HEADING_WORD, "end"].iter().any(|word| super::line::begins_with(bytes, word));
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

/// What of a span lies outside these parts of it, which are in order; single spaces between them are nothing.
fn between(whole: Span, parts: &[Span]) -> Vec<Span> {
    let mut veils = Vec::new();
    let mut at = whole.start;
    for part in parts.iter().chain([&Span::new(whole.end, whole.end)]) {
        if part.start > at + 1 || (part.start > at && part.end == whole.end) {
            veils.push(Span::new(at, part.start));
        }
        at = at.max(part.end);
    }
    veils
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

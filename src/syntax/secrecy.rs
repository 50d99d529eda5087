//! Secrecy: which parts of a line may be a voter's choice or identity, and how the line is shown without them.

use crate::event::Event;
use crate::source::{MASK, SHOWN_LIMIT, Shown, Span, disclosure_in, disclosure_in_prose};
use crate::syntax::maker::parts_of;
use crate::syntax::value::{KNOWN_HEADERS, tells_in_key, tells_in_value, tells_too_much};
use crate::syntax::{Header, Line, LineKind, Log, Record};

/// What is known besides a log about what of it may be shown. Nothing known: [`Secrecy::strict`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Secrecy {
    open: Vec<bool>,
    pub(super) several_units: bool,
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

/// Lines above the first row of a printout that count as its head.
const HEAD: usize = 40;

/// Lines looked back for the head of the page before.
const BACK: usize = 2_000;

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
            // The word of another format may stand in several columns, with others between.
            match (&self.foreign, self.word_veil(record).is_empty()) {
                (Some(_), true) => Shown::inert(self.slice(record.word)),
                (Some(_), false) => Shown::inert(MASK),
                (None, _) => self.source.show(record.word_span, &self.word_veil(record), SHOWN_LIMIT),
            }
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

    /// Number of characters of a line as it stands in the file; none where its length would tell of what is covered, where
    /// it is no text, and where the format's items are not lines.
    #[must_use]
    pub fn columns(&self, line: usize, secrecy: &Secrecy) -> Option<usize> {
        if self.foreign.is_some() || self.lines.get(line).is_none() || self.is_veiled(line, secrecy) {
            return None;
        }
        std::str::from_utf8(self.source.raw_at(self.content(line))).ok().map(|text| text.chars().count())
    }

    /// Whether a line is a vote whose ballot unit may be part of the choice: the unit is covered, and no other file holds it.
    #[must_use]
    pub fn covers_ballot_unit(&self, line: usize, secrecy: &Secrecy) -> bool {
        let several = secrecy.several_units || self.several_ballot_units();
        several
            && self.record_at(line).is_some_and(|place| {
                let record = self.records.get(place).filter(|record| record.event == Event::Vote);
                let names_unit =
                    |record| self.attributes_of(record).iter().any(|a| self.slice(a.key) == "bu");
                !secrecy.is_open(place) && record.is_some_and(names_unit)
            })
    }

    /// Whether a line holds what no other file may hold, the ballot unit of a vote left aside: see
    /// [`Log::covers_ballot_unit`].
    #[must_use]
    pub fn withholds(&self, line: usize, secrecy: &Secrecy) -> bool {
        let Some(entry) = self.lines.get(line) else {
            return false;
        };
        match entry.kind {
            LineKind::Record(place) => self.records.get(place).is_some_and(|record| {
                let unnamed = self.foreign.as_ref().map(|foreign| parts_of(&foreign.unnamed, record.line));
                let telling = !self.record_veils(place, record, Units::Known).is_empty()
                    || (unnamed.is_some_and(|parts| !parts.is_empty()) && self.touches_ballot(place));
                !secrecy.is_open(place) && telling
            }),
            // A line of another format that is no record is written anew as it is shown.
            LineKind::Comment => self.foreign.is_none() && self.is_veiled(line, secrecy),
            LineKind::Header(_) => self.is_veiled(line, secrecy),
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

    /// Whether strict secrecy covers anything of what chain values and the closing line's digest are made of: records and
    /// lines that could not be read.
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
        let mut veils = self.foreign_veils(place, record, secrecy);
        veils.extend(if secrecy.is_open(place) {
            Vec::new()
        } else {
            let several = secrecy.several_units || self.several_ballot_units();
            self.record_veils(place, record, Units::of(several))
        });
        // Whoever has the digest of a line finds by trying what a mask in it covers; beside a voter's act it covers a value.
        if let Some(foreign) = &self.foreign
            && (!veils.is_empty() || (!secrecy.is_open(place) && self.touches_ballot(place)))
        {
            veils.extend(parts_of(&foreign.digests, record.line));
        }
        // Each chain value is made with the one before: with the other lines at hand, any later one undoes a mask.
        if !record.chain_span.is_empty() && (!self.chains_shown || self.covers_units(secrecy)) {
            let digits = record.chain_span.start + " chain:".len();
            veils.push(Span::new(digits, record.chain_span.end));
        }
        veils
    }

    /// What a mapping leaves out, and near voters' acts what it does not name all of.
    fn foreign_veils(&self, place: usize, record: &Record, secrecy: &Secrecy) -> Vec<Span> {
        let Some(foreign) = &self.foreign else {
            return Vec::new();
        };
        let mut veils = parts_of(&foreign.left_out, record.line);
        if !secrecy.is_open(place) && self.touches_ballot(place) {
            veils.extend(parts_of(&foreign.unnamed, record.line));
        }
        veils
    }

    /// Whether papers alone make the ballot units of votes part of the choice.
    pub(super) fn covers_units(&self, secrecy: &Secrecy) -> bool {
        secrecy.several_units && self.nearness.votes_name_units
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
        let left_out =
            self.foreign.as_ref().is_some_and(|foreign| !parts_of(&foreign.left_out, line).is_empty());
        let covered = left_out || self.is_telling_comment(line) || self.is_comment_beside_act(line, secrecy);
        // In the neutral format the sign of a comment stays.
        let sign = usize::from(self.foreign.is_none());
        if covered { vec![Span::new(content.start + sign, content.end)] } else { Vec::new() }
    }

    /// Whether a comment has words of a choice or identity.
    pub(crate) fn is_telling_comment(&self, line: usize) -> bool {
        disclosure_in_prose(self.source.raw_at(self.content(line)))
    }

    /// Whether a comment stands in the body, next to a voter's act that may be of the poll.
    fn is_comment_beside_act(&self, line: usize, secrecy: &Secrecy) -> bool {
        if line < self.nearness.body {
            return false;
        }
        if self.foreign.as_ref().is_some_and(|foreign| foreign.mixed) {
            return true;
        }
        let neighbours = self.neighbours(line);
        let unread = self.nearness.is_unread_between(
            neighbours.map(|place| place.and_then(|place| self.records.get(place)).map(|record| record.line)),
        );
        let known = !unread && neighbours.into_iter().flatten().all(|place| secrecy.is_open(place));
        self.is_beside_act(line) && !known && !self.repeats_the_head(line, HEAD)
    }

    /// Whether a line that is no row of a printout is the head of a page: it says what stands above the first row, with
    /// the next number of a page.
    ///
    /// `within`: how many lines of the head may still be looked at; a head is no longer than [`HEAD`].
    fn repeats_the_head(&self, line: usize, within: usize) -> bool {
        let Some(within) = within.checked_sub(1).filter(|_| self.foreign.is_some()) else {
            return false;
        };
        let said = |line: usize| -> (Vec<u8>, Option<u32>) {
            let raw = self.source.raw_at(self.content(line));
            let (figures, words): (Vec<u8>, Vec<u8>) = raw.iter().partition(|b| b.is_ascii_digit());
            (words, std::str::from_utf8(&figures).ok().and_then(|text| text.parse().ok()))
        };
        let (words, number) = said(line);
        let is_comment = |at: &usize| {
            self.lines.get(*at).is_some_and(|line| {
                line.kind == LineKind::Comment || matches!(line.kind, LineKind::Header(_))
            })
        };
        let of_head = (0..self.nearness.body.min(HEAD)).any(|head| said(head).0 == words);
        let letters = words.iter().filter(|b| !b.is_ascii_whitespace()).count();
        let earlier =
            (line.saturating_sub(BACK)..line).rev().filter(is_comment).find(|at| said(*at).0 == words);
        // A line without a number may be one of several to choose from, unless the page's own line stands before it.
        let follows = earlier.is_some_and(|at| match (said(at).1, number) {
            (None, None) => line.checked_sub(1).is_some_and(|before| self.repeats_the_head(before, within)),
            (Some(before), Some(now)) => now == before + 1,
            _ => false,
        });
        of_head && letters > 0 && follows
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
}

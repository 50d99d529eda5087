//! One Event of the standard as a record.

use super::ours::{self, DeviceDetails, EventDetails};
use super::time::Written;
use super::tree::{Field, Opened};
use crate::event::Event;
use crate::exchange::{slug, text::Text};
use crate::source::{Digest, Span};
use crate::syntax::{FaultCode, Item, LIMITS, Part, Stamp};

/// What is known of the device when one of its events is read.
#[derive(Debug)]
pub(super) struct DeviceKnown<'a> {
    pub(super) id: &'a str,
    /// The Details of the device, where they are ours.
    pub(super) details: Option<&'a DeviceDetails>,
    pub(super) has_hash_type: bool,
    /// The offset of the first event that was read: the clock of the log.
    pub(super) zone: Option<i32>,
    /// Whether such an event was met.
    pub(super) has_begun: bool,
}

/// An event as it was read.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) item: Item,
    /// The Sequence as written.
    pub(super) sequence: Option<String>,
    pub(super) notes: Vec<(FaultCode, Span)>,
}

/// Why an event could not be read, where, and which parts of it may be shown.
pub(super) type Refusal = (FaultCode, Span, Vec<Span>);

/// Fields of the standard that are kept as attributes, with their keys.
pub(super) const KEPT: &[(&str, &str)] = &[
    ("Type", "type"),
    ("Disposition", "disposition"),
    ("OtherDisposition", "other-disposition"),
    ("Severity", "severity"),
    ("UserId", "user-id"),
    ("Description", "description"),
    ("Hash", "hash"),
    ("Details", "details"),
];

/// Fields that make a record, and so may stand once.
const CORE: [&str; 3] = ["Id", "Sequence", "TimeStamp"];

/// What Type says of an event.
pub(super) fn type_of<'a>(event: Event, attributes: impl IntoIterator<Item = (&'a str, &'a str)>) -> &'a str {
    attributes.into_iter().find(|(key, _)| *key == "type").map_or(event.class_word(), |(_, value)| value)
}

/// What Disposition says of an event: as stated, or as the result of a test, else that none is recorded.
pub(super) fn disposition_of<'a>(attributes: impl IntoIterator<Item = (&'a str, &'a str)>) -> &'static str {
    let mut said = "na";
    for (key, value) in attributes {
        match (key, value) {
            ("disposition", "success") | ("result", "pass") => said = "success",
            ("disposition", "failure") | ("result", "fail") => said = "failure",
            ("disposition", "other") => return "other",
            ("disposition", "na") => return "na",
            _ => {}
        }
    }
    said
}

/// Reads an event.
pub(super) fn read(
    opened: &Opened,
    span: Span,
    line_number: usize,
    known: &mut DeviceKnown<'_>,
) -> Result<Entry, Refusal> {
    let field = |name: &str| opened.field(name).filter(|field| !field.value.text.is_empty());
    let mut harmless = harmless(opened);
    let mut refuse = |code, at| Err((code, at, std::mem::take(&mut harmless)));
    let twice = |name: &&str| opened.fields.iter().filter(|field| field.name == **name).count() > 1;
    if !opened.is_object || CORE.iter().any(twice) {
        return refuse(FaultCode::EntryForm, span);
    }
    if opened.overfull {
        return refuse(FaultCode::AttributesTooMany, span);
    }
    let Some(id) = field("Id") else {
        return refuse(FaultCode::EntryEvent, span);
    };
    let Some(stamp) = field("TimeStamp") else {
        return refuse(FaultCode::EntryTime, span);
    };
    let Some(written) = Written::read(&stamp.value.text) else {
        return refuse(FaultCode::EntryTime, stamp.value.span);
    };
    let (attributes, digests, notes) = (Vec::new(), Vec::new(), Vec::new());
    let mut maker = Making { opened, known, attributes, digests, notes };
    let details = maker.details();
    let (event, word) = (Event::of_word(id.value.text.as_bytes()), &id.value.text);
    let Some(time) = maker.time(written, &stamp.value, details.as_ref().is_some_and(|d| d.minutes)) else {
        return refuse(FaultCode::EntryTime, stamp.value.span);
    };
    let line = details.as_ref().map(|details| details.line);
    if let Some(details) = details {
        maker.attributes.extend(details.attributes);
    }
    let number = maker.number(line);
    maker.others(event, line.is_some());
    let Making { attributes, digests, notes, .. } = maker;
    if attributes.len() > LIMITS.attributes {
        return refuse(FaultCode::AttributesTooMany, span);
    }
    let item = Item {
        span,
        line_number,
        number,
        time,
        event: Some(event),
        word: word.clone(),
        word_span: id.value.span,
        digests,
        attributes,
        ..Item::default()
    };
    Ok(Entry { item, sequence: field("Sequence").map(|field| field.value.text.clone()), notes })
}

/// A record number as written: digits, no more than a log can hold.
pub(super) fn digits(text: &str) -> Option<(u64, u8)> {
    let is_number =
        (1..=LIMITS.number_digits).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    is_number.then(|| Some((text.parse().ok()?, u8::try_from(text.len()).ok()?))).flatten()
}

/// The parts of an event that surely tell nothing of a voter: number, time, and the word of an event that is known.
fn harmless(opened: &Opened) -> Vec<Span> {
    let is_figures =
        |text: &str| text.len() <= 35 && text.bytes().all(|b| b.is_ascii_digit() || b"-:.+TZ".contains(&b));
    let plain = |field: &&Field| match field.name.as_str() {
        "Sequence" | "TimeStamp" => is_figures(&field.value.text),
        "Id" => Event::of_word(field.value.text.as_bytes()) != Event::Unknown,
        _ => false,
    };
    opened.fields.iter().filter(plain).map(|field| field.value.span).collect()
}

/// A record in the making.
struct Making<'o, 'k, 'd> {
    opened: &'o Opened,
    known: &'k mut DeviceKnown<'d>,
    attributes: Vec<Part>,
    digests: Vec<Span>,
    notes: Vec<(FaultCode, Span)>,
}

impl Making<'_, '_, '_> {
    fn details(&self) -> Option<EventDetails> {
        let field = self.opened.field("Details").filter(|_| self.known.details.is_some())?;
        ours::event(&field.value)
    }

    /// The time on the clock of the log, which is that of its first event. The outer none: it is out of the calendar.
    #[allow(clippy::option_option, reason = "no time, and a time that is none, are two things")]
    fn time(&mut self, written: Written, text: &Text, minutes: bool) -> Option<Option<Stamp>> {
        if !self.known.has_begun {
            self.known.has_begun = true;
            self.known.zone = written.offset;
        }
        let zone = self.known.zone;
        let is_comparable = zone.is_some() == written.offset.is_some();
        if !is_comparable {
            self.notes.push((FaultCode::EntryZone, text.span));
        }
        if !is_comparable || !written.is_whole || zone != written.offset {
            self.push("time-written", Span::default(), text);
        }
        if !is_comparable {
            return Some(None);
        }
        let time = written.at(zone)?;
        Some(Some(if minutes { time.to_the_minute() } else { time }))
    }

    /// The record number that Sequence states; another text is kept as it is.
    fn number(&mut self, line: Option<usize>) -> Option<(u64, u8)> {
        let field = self.opened.field("Sequence").filter(|field| !field.value.text.is_empty());
        let Some(field) = field else {
            self.notes.push((FaultCode::SequenceMissing, Span::default()));
            return None;
        };
        let text = field.value.text.as_str();
        // In a file of several units the Id stands before the number.
        let own = text.strip_prefix(self.known.id).and_then(|rest| rest.strip_prefix('/')).unwrap_or(text);
        let number = digits(own);
        if number.is_none() && line.is_none_or(|line| own != without_number(line)) {
            self.push("sequence", Span::default(), &field.value);
        }
        number
    }

    /// Every other field as an attribute, but what we derived ourselves when we wrote the file.
    fn others(&mut self, event: Event, is_ours: bool) {
        let opened = self.opened;
        let said: Vec<(String, String)> =
            self.attributes.iter().map(|part| (part.key.clone(), part.value.clone())).collect();
        let said = || said.iter().map(|(key, value)| (key.as_str(), value.as_str()));
        for field in &opened.fields {
            let text = field.value.text.as_str();
            let is_derived = is_ours
                && match field.name.as_str() {
                    "Details" => true,
                    "Type" => type_of(event, said()) == text,
                    "Disposition" => disposition_of(said()) == text,
                    "Hash" if self.known.details.is_some_and(|details| details.hashes_lines) => {
                        // What is no digest was not written by us, whatever the file says: it is kept and looked at.
                        let is_digest =
                            Digest::from_hex(text).is_some_and(|digest| digest.to_string() == text);
                        self.digests.extend(is_digest.then_some(field.value.span));
                        is_digest
                    }
                    name => KEPT.iter().any(|(known, key)| {
                        *known == name && said().any(|(k, value)| k == *key && value == text)
                    }),
                };
            if is_derived || CORE.contains(&field.name.as_str()) {
                continue;
            }
            match KEPT.iter().find(|(name, _)| *name == field.name) {
                Some((_, key)) => self.push(key, Span::default(), &field.value),
                None if field.name == "@type" => self.push("object-type", Span::default(), &field.value),
                None => {
                    let key = slug(&field.name).unwrap_or_else(|| "field".to_owned());
                    self.push(&key, field.name_span, &field.value);
                }
            }
        }
        self.check();
    }

    /// What the standard wants and its schemas do not check, besides what they do.
    fn check(&mut self) {
        let opened = self.opened;
        let text = |name: &str| opened.field(name).map(|field| field.value.text.as_str()).unwrap_or_default();
        let span = |name: &str| opened.field(name).map(|field| field.value.span).unwrap_or_default();
        if text("Type").is_empty() || text("Disposition").is_empty() {
            self.notes.push((FaultCode::EntryIncomplete, Span::default()));
        }
        if text("Disposition") == "other" && text("OtherDisposition").is_empty() {
            self.notes.push((FaultCode::DispositionUnnamed, span("Disposition")));
        }
        if !text("Hash").is_empty() && !self.known.has_hash_type {
            self.notes.push((FaultCode::HashUnnamed, span("Hash")));
        }
    }

    /// Adds an attribute under a key that is free.
    fn push(&mut self, key: &str, key_span: Span, value: &Text) {
        let is_taken = |key: &str| self.attributes.iter().any(|part| part.key == key);
        let mut free = key.to_owned();
        let mut number = 2;
        while is_taken(&free) {
            free = format!("{key}-{number}");
            number += 1;
        }
        self.attributes.push(Part { key: free, value: value.text.clone(), key_span, value_span: value.span });
    }
}

/// The Sequence that we write for a record without a number.
pub(super) fn without_number(line: usize) -> String {
    format!("line-{line}")
}

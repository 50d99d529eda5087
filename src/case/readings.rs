//! What papers state about time and about numbers at a time: clock readings, turnout noted, and the court's questions.

use super::rows::{interval, left_out, one_way};
use crate::sheet::{Row, Troubles};

/// A reading of the unit's clock beside a reference clock. All times are civil times as the paper writes them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClockReading {
    /// What was read on the unit's side.
    pub unit: ReadAt,
    /// What the reference clock showed.
    pub reference: Reference,
    /// How far the reference time may be off, either way, in seconds.
    pub within_seconds: u64,
    /// Zone of the reference time; `None`: that of the poll.
    pub zone: Option<String>,
    /// Number of the last record made before the reading, where the paper tells it.
    pub after_record: Option<u64>,
    /// Whether the paper says that the clock was neither set nor reset between the reading and any record of the log.
    pub not_set: bool,
    /// Which reference clock, in words.
    pub how: Option<String>,
}

/// The unit's side of a reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadAt {
    /// The time that the unit displayed, as the paper writes it: to the minute or to the second.
    Displayed(String),
    /// The record, by its number, of an event that the paper times.
    Record(u64),
}

/// The reference side of a reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reference {
    /// The time as the paper writes it, `YYYY-MM-DD hh:mm` with optional seconds.
    Written(String),
    /// The time of export that the header of the log states as `exported-at`, with its own offset: the paper says only how
    /// far the exporter's clock, and the time that the export took, may put it off.
    Exported,
}

impl Reference {
    /// The word of `reference-from` for the time of export.
    pub const EXPORTED: &str = "exported-at";
}

/// A number of voters or votes noted at a time of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Turnout {
    /// When, `YYYY-MM-DD hh:mm` with optional seconds, in the zone of the poll.
    pub at: String,
    /// How far that time may be off, either way, in seconds.
    pub within_seconds: u64,
    /// Least number.
    pub least: u64,
    /// Greatest number.
    pub most: u64,
}

/// A question that the examiner was asked, with the rules that bear on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Its number or letter, as the order writes it.
    pub number: Option<String>,
    /// The question.
    pub text: String,
    /// Ids of the rules whose answers bear on it.
    pub rules: Vec<String>,
}

pub(super) fn reading(row: &Row, troubles: &mut Troubles<'_>) -> Option<ClockReading> {
    one_way(row, "displayed", "record", troubles);
    let unit =
        row.text("displayed").map(ReadAt::Displayed).or_else(|| row.whole("record").map(ReadAt::Record))?;
    one_way(row, "reference", "reference-from", troubles);
    if let Some(zone) = row.text("zone") {
        if let Some(reference) = row.text("reference") {
            left_out(row, "reference", &reference, &zone, troubles);
        } else if row.has("reference-from") {
            let message = "`zone` stands beside `reference-from`, whose time has an offset of its own";
            troubles.add(row.span("zone"), message, "leave out `zone`");
        }
    }
    let written = row.text("reference").map(Reference::Written);
    let from_header = || row.has("reference-from").then_some(Reference::Exported);
    Some(ClockReading {
        unit,
        reference: written.or_else(from_header)?,
        within_seconds: row.whole("within-seconds")?,
        zone: row.text("zone"),
        after_record: row.whole("after-record"),
        not_set: row.has("clock-not-set"),
        how: row.text("how"),
    })
}

pub(super) fn turnout(row: &Row, troubles: &mut Troubles<'_>) -> Option<Turnout> {
    let (least, most) = interval(row, troubles)?;
    let within_seconds = row.whole("within-seconds").unwrap_or(0);
    Some(Turnout { at: row.text("at")?, within_seconds, least, most })
}

pub(super) fn question(row: &Row) -> Option<Question> {
    Some(Question {
        number: row.text("number"),
        text: row.text("text")?,
        rules: row.texts("rules").unwrap_or_default(),
    })
}

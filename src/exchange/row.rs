//! The rows of a log that leaves the tool: what of each record and unread line may stand in another file.

use super::{Leaving, Misfit};
use crate::event::Event;
use crate::source::{MASK, Shown};
use crate::syntax::{LineKind, Log, Record, Refused, Stamp};

/// A line of a log that is a record, or that could not be read.
#[derive(Debug)]
pub(super) struct Row {
    /// Index of the line in its log.
    pub(super) index: usize,
    /// Number of the line in its file.
    pub(super) line: usize,
    /// What it says; none where it could not be read. Its text stays behind.
    pub(super) said: Option<Said>,
}

/// What a record says, as far as another file may hold it.
#[derive(Debug)]
pub(super) struct Said {
    /// The record number with its leading zeros.
    pub(super) number: Option<String>,
    pub(super) time: Option<Stamp>,
    /// The event's word.
    pub(super) word: String,
    /// Keys and values in their order. A ballot unit that is part of the choice is masked.
    pub(super) attributes: Vec<(String, String)>,
}

impl Said {
    /// The attributes with the values of each key together, in the order of the keys' first places.
    pub(super) fn by_key(&self) -> Vec<(&str, Vec<&str>)> {
        let mut keys: Vec<(&str, Vec<&str>)> = Vec::new();
        for (key, value) in &self.attributes {
            match keys.iter_mut().find(|(known, _)| known == key) {
                Some((_, values)) => values.push(value),
                None => keys.push((key, vec![value])),
            }
        }
        keys
    }
}

/// The rows of a log, in the order of the file.
///
/// # Errors
/// Where the log was not read whole; and, as a row, a line that holds what no other file may hold.
pub(super) fn rows<'a>(
    leaving: &Leaving<'a>,
) -> Result<impl Iterator<Item = Result<Row, Misfit>> + use<'a>, Misfit> {
    let Leaving { log, secrecy } = *leaving;
    if log.lines_not_read() > 0 {
        return Err(refusal(Refused::NotReadWhole));
    }
    let row = move |(index, line): (usize, &crate::syntax::Line)| {
        let number = log.line_number(index);
        match line.kind {
            LineKind::Unread => Some(Ok(Row { index, line: number, said: None })),
            LineKind::Record(_) if log.withholds(index, secrecy) => {
                Some(Err(refusal(Refused::Discloses(number))))
            }
            LineKind::Record(place) => {
                let said = said(&Leaving { log, secrecy }, log.records().get(place)?);
                Some(Ok(Row { index, line: number, said: Some(said) }))
            }
            LineKind::Blank
            | LineKind::Comment
            | LineKind::Heading
            | LineKind::Header(_)
            | LineKind::Closing => None,
        }
    };
    Ok(log.lines().iter().enumerate().filter_map(row))
}

fn said(leaving: &Leaving<'_>, record: &Record) -> Said {
    let Leaving { log, secrecy } = *leaving;
    let veils = log.veils(record.line, secrecy);
    let attribute = |attribute: &crate::syntax::Attribute| {
        let value = if veils.contains(&attribute.value_span) { MASK } else { log.slice(attribute.value) };
        (log.slice(attribute.key).to_owned(), value.to_owned())
    };
    Said {
        number: record
            .number
            .map(|number| format!("{number:0width$}", width = usize::from(record.number_digits))),
        time: record.time,
        word: word(log, record),
        attributes: log.attributes_of(record).iter().map(attribute).collect(),
    }
}

/// The event's word, decoded where its format wrote it in another way.
pub(super) fn word(log: &Log, record: &Record) -> String {
    let shown = log.word(record).to_string();
    if record.event == Event::Unknown && !shown.contains(MASK) {
        return Shown::inert(log.slice(record.word)).to_string();
    }
    shown
}

/// The headers of a log: the first of each key.
///
/// # Errors
/// A header line that holds what no other file may hold.
pub(super) fn headers<'a>(leaving: &Leaving<'a>) -> Result<Vec<(&'a str, &'a str)>, Misfit> {
    let Leaving { log, secrecy } = *leaving;
    let mut found: Vec<(&str, &str)> = Vec::new();
    for header in log.headers() {
        if log.withholds(header.line, secrecy) {
            return Err(refusal(Refused::Discloses(log.line_number(header.line))));
        }
        let (key, value) = log.header_parts(header);
        if !found.iter().any(|(known, _)| *known == key.text()) {
            found.push((key.text(), value.text()));
        }
    }
    Ok(found)
}

/// The name of a log among others: its serial where it states one and may show it, else its place.
pub(super) fn name(log: &Log, place: usize) -> String {
    log.header("serial").map_or_else(|| format!("log-{}", place + 1), |serial| serial.shown().to_string())
}

/// A refusal of the neutral format, in the same words for every format.
pub(super) fn refusal(refused: Refused) -> Misfit {
    Misfit::new(&refused.to_string(), refused.help())
}

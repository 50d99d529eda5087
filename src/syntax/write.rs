//! Writing: a log in its canonical form, or the reason why it is not written.

use std::fmt;
use std::fmt::Write as _;

use crate::event::Event;
use crate::source::Digest;
use crate::syntax::draft::push_value;
use crate::syntax::{Closing, LineKind, Log, Record, Secrecy};

/// Why a log is not written. Lines are numbered as in the source, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refused {
    /// The line is unread: writing it again would either drop it or vouch for it.
    Unread(usize),
    /// The line names a voter's choice or identity, or seems to.
    Discloses(usize),
    /// The line is a vote with its ballot unit, which is part of the choice where there may have been several.
    BallotUnit(usize),
    /// The line holds bytes or characters that may stand in no line.
    NoText(usize),
    /// The closing line does not fit the lines before it: a new one would hide that.
    ClosingDiffers(usize),
    /// A second closing line.
    SecondClosing(usize),
    /// The record carries a chain field, which would no longer fit its line in canonical form.
    ChainBreaks(usize),
    /// Lines past a limit were not read.
    NotReadWhole,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, why) = match self {
            Refused::Unread(line) => (line, "could not be read"),
            Refused::Discloses(line) => (line, "may name a voter's choice or identity"),
            Refused::BallotUnit(line) => {
                (line, "names the ballot unit of a vote, and there may have been more than one")
            }
            Refused::NoText(line) => (line, "holds what may stand in no line"),
            Refused::ClosingDiffers(line) => {
                (line, "is a closing line that does not fit the lines before it")
            }
            Refused::SecondClosing(line) => (line, "is a second closing line"),
            Refused::ChainBreaks(line) => {
                (line, "has a chain field that would not fit the line as rewritten")
            }
            Refused::NotReadWhole => return f.write_str("not written: lines past a limit were not read"),
        };
        write!(f, "not written: line {line} {why}")
    }
}

impl std::error::Error for Refused {}

impl Refused {
    /// What would help, without its stop.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Refused::Unread(_) => "have the line written out again, or take it out of a copy and say so",
            Refused::Discloses(_) => {
                "nothing that may name a choice or a voter is written anew; if these records were no part of the poll, \
                 say so in a case file ([[phase]])"
            }
            Refused::BallotUnit(_) => {
                "which ballot unit a vote came from is then part of the choice, and is not written anew; 'convert --to csv' \
                 writes the timeline with it masked"
            }
            Refused::NoText(_) => {
                "the original stays the evidence; a copy without these characters can be written anew"
            }
            Refused::ClosingDiffers(_) | Refused::SecondClosing(_) | Refused::ChainBreaks(_) => {
                "the original stays the evidence; it cannot be written anew without hiding this"
            }
            Refused::NotReadWhole => "cut the file at its headings, and write the parts",
        }
    }
}

/// Writes a log in canonical form: LF line ends, no spaces at line ends, values in quotes only where they must be, a
/// heading, and the closing line, if there is one, made anew. Comments, blank lines and the order of lines are kept.
///
/// # Errors
///
/// A log is written whole or not at all; see [`Refused`].
pub fn write(log: &Log, secrecy: &Secrecy) -> Result<String, Refused> {
    if log.lines_not_read > 0 {
        return Err(Refused::NotReadWhole);
    }
    let mut out = String::with_capacity(log.lines.len() * 40);
    if !log.lines.iter().any(|line| line.kind == LineKind::Heading) {
        out.push_str("unit-event-log 1\n");
    }
    // The canonical body, over which the closing line is made.
    let mut body = String::new();
    for (index, line) in log.lines.iter().enumerate() {
        let number = log.line_number(index);
        if log.withholds(index, secrecy) {
            return Err(Refused::Discloses(number));
        }
        if log.covers_ballot_unit(index, secrecy) {
            return Err(Refused::BallotUnit(number));
        }
        match line.kind {
            LineKind::Unread => return Err(Refused::Unread(number)),
            LineKind::Blank => {}
            LineKind::Heading => out.push_str("unit-event-log 1"),
            LineKind::Comment | LineKind::Header(_) => {
                let text = clean_text(log, index).ok_or(Refused::NoText(number))?;
                out.push_str(text);
            }
            LineKind::Record(place) => {
                let Some(record) = log.records.get(place) else {
                    continue;
                };
                let text = record_text(log, record).ok_or(Refused::ChainBreaks(number))?;
                out.push_str(&text);
                body.push_str(&text);
                body.push('\n');
            }
            LineKind::Closing => {
                let closing = log.closing().filter(|closing| closing.line == index);
                let closing = closing.ok_or(Refused::SecondClosing(number))?;
                out.push_str(&closing_text(closing, &body).ok_or(Refused::ClosingDiffers(number))?);
            }
        }
        out.push('\n');
    }
    Ok(out)
}

/// A comment or header line as it stands, without trailing spaces; nothing where it holds what no line may hold.
fn clean_text(log: &Log, index: usize) -> Option<&str> {
    let text = std::str::from_utf8(log.source.raw_at(log.content(index))).ok()?;
    (!text.chars().any(char::is_control)).then(|| text.trim_end_matches(' '))
}

/// A record in canonical form; nothing where a chain field would no longer fit.
fn record_text(log: &Log, record: &Record) -> Option<String> {
    let mut text = match record.number {
        Some(number) => format!("{number:0width$} ", width = usize::from(record.number_digits)),
        None => "- ".to_owned(),
    };
    match record.time {
        Some(time) => text.push_str(&time.written()),
        None => text.push('-'),
    }
    text.push(' ');
    text.push_str(if record.event == Event::Unknown { log.slice(record.word) } else { record.event.word() });
    for attribute in log.attributes_of(record) {
        _ = write!(text, " {}=", log.slice(attribute.key));
        push_value(&mut text, log.slice(attribute.value));
    }
    if let Some(chain) = record.chain {
        if log.chain_input(record) != text.as_bytes() {
            return None;
        }
        _ = write!(text, " chain:{chain}");
    }
    Some(text)
}

/// The closing line over a canonical body, as far as the original one stated it; nothing where that one did not fit.
fn closing_text(closing: &Closing, body: &str) -> Option<String> {
    let fits = closing.count == closing.found_count
        && closing.digest.is_none_or(|digest| digest == closing.found_digest);
    let digest = closing.digest.map(|_| format!(" sha256:{}", Digest::of(body.as_bytes())));
    fits.then(|| format!("end {}{}", closing.count, digest.unwrap_or_default()))
}

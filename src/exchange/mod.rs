//! Other people's formats: each one file, to and from the same [`Log`]. The evidence of a log read here is the original
//! file, byte for byte; the log points into it.

use std::fmt;
use std::sync::Arc;

use crate::source::{Encoding, Shown, Source};
use crate::syntax::{LIMITS, Log, Secrecy};

mod cdf;
mod csv;
mod json;
mod jsonl;
mod manual;
mod mapping;
mod neutral;
mod row;
mod spreadsheet;
mod table;
mod text;
mod xes;
mod xml;
mod zone;

pub(crate) use csv::push_row;
pub use manual::formats_manual;
pub use mapping::{Mapping, SHEET, manual};
pub use table::{read as read_by_mapping, starter};

/// A format, as the command offers it.
#[derive(Debug, Clone, Copy)]
pub struct Format {
    /// Its word on the command line.
    pub id: &'static str,
    /// What it is, in one sentence.
    pub meaning: &'static str,
    /// What of a log it carries, and what not, for the manual.
    pub carries: &'static str,
    /// How it is read; none where it is only written.
    pub reads: Option<Reads>,
    /// How logs are written in it; none where it is only read.
    pub writes: Option<Writes>,
}

/// How a format is read.
#[derive(Debug, Clone, Copy)]
pub struct Reads {
    /// Whether a file with these bytes is of this format, by how it begins.
    pub recognises: fn(&[u8]) -> bool,
    /// Reads a file.
    pub read: fn(Source) -> Result<Vec<Log>, Misfit>,
}

/// Writes logs in a format.
pub type Writes = fn(&[Leaving<'_>]) -> Result<String, Misfit>;

/// The formats, in the order of the manual. One that a file is not recognised as leaves it to the next; the last one
/// takes what no other does.
pub static FORMATS: &[&Format] = &[
    &cdf::JSON,
    &cdf::XML,
    &cdf::JSON_DOCUMENTATION,
    &cdf::XML_DOCUMENTATION,
    &csv::FORMAT,
    &jsonl::FORMAT,
    &xes::FORMAT,
    &neutral::FORMAT,
];

/// A log that leaves the tool in some format, and what is known about what of it may be shown.
#[derive(Debug, Clone, Copy)]
pub struct Leaving<'a> {
    /// The log.
    pub log: &'a Log,
    /// What of it may be shown.
    pub secrecy: &'a Secrecy,
}

/// Why a file cannot be read in a format, or a log not be written in one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// What is the matter.
    pub message: Shown,
    /// What would help.
    pub help: Shown,
}

impl Misfit {
    /// From two sentences without their stops.
    #[must_use]
    pub fn new(message: &str, help: &str) -> Misfit {
        Misfit { message: Shown::inert(message), help: Shown::inert(help) }
    }
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.message.fmt(f)
    }
}

impl std::error::Error for Misfit {}

/// The format of this id.
#[must_use]
pub fn format(id: &str) -> Option<&'static Format> {
    FORMATS.iter().copied().find(|format| format.id == id)
}

/// Reads a file in the format that it is recognised as: the neutral one where it is none of the others.
///
/// # Errors
/// Where the file is recognised as a format and is none of it as a whole.
pub fn read(source: Source) -> Result<Vec<Log>, Misfit> {
    let recognised =
        FORMATS.iter().filter_map(|format| format.reads).find(|reads| (reads.recognises)(source.raw()));
    match recognised {
        Some(reads) => (reads.read)(source),
        None => Ok(crate::syntax::read(Arc::new(source))),
    }
}

/// What the bytes of a file begin with, behind a byte order mark and space.
fn beginning(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes).trim_ascii_start()
}

/// A source whose bytes a byte order mark shows to be UTF-16 is read so.
fn as_text(source: Source) -> Source {
    match Encoding::of_mark(source.raw()) {
        Encoding::Utf8 => source,
        encoding => source.read_in(encoding),
    }
}

/// A name as a key of the neutral format: small letters, digits and hyphens, beginning with a letter.
fn slug(name: &str) -> Option<String> {
    let mut key = String::new();
    for c in name.chars().map(|c| c.to_ascii_lowercase()) {
        if c.is_ascii_lowercase() || (c.is_ascii_digit() && !key.is_empty()) {
            key.push(c);
        } else if !key.is_empty() && !key.ends_with('-') {
            key.push('-');
        }
    }
    let key = key.trim_end_matches('-');
    (!key.is_empty() && key.len() <= LIMITS.word_chars).then(|| key.to_owned())
}

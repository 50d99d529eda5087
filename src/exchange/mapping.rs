//! The mapping: how a table or printout of another program is to be read, as data.

use regex_lite::Regex;

use crate::event::Event;
use crate::sheet::{Sheet, Trouble, decode, read};
use crate::source::{Digest, Encoding};

mod keys;
mod reading;
mod time;

pub use keys::SHEET;
pub(super) use time::TimePattern;

/// How one kind of foreign export is read.
#[derive(Debug)]
pub struct Mapping {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of its file.
    pub digest: Digest,
    pub(super) form: Form,
    pub(super) encoding: Encoding,
    pub(super) sheet: Option<String>,
    pub(super) skip_first: usize,
    pub(super) skip: Vec<Regex>,
    pub(super) names: bool,
    pub(super) newest_first: bool,
    pub(super) ignore_case: bool,
    pub(super) columns: Vec<Column>,
    pub(super) time: Option<TimePattern>,
    pub(super) words: Vec<Word>,
    pub(super) values: Vec<(String, String, String)>,
    pub(super) headers: Vec<(String, Regex)>,
}

/// How a row is built.
#[derive(Debug)]
pub(super) enum Form {
    Delimited {
        separator: u8,
        quote: Option<u8>,
    },
    /// The rows of a spreadsheet, read as a text with tabs between the cells.
    Spreadsheet,
    Fixed,
    Pattern(Regex),
}

/// Where a column stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum At {
    Name(String),
    Place(usize),
    Positions(usize, usize),
    Group(String),
}

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Holds {
    Number,
    Time,
    Event,
    Unit,
    Attribute(String),
    LeftOut,
}

/// A column that the mapping names.
#[derive(Debug)]
pub(super) struct Column {
    pub(super) at: At,
    pub(super) holds: Holds,
}

/// A text of the event column, and what it is.
#[derive(Debug)]
pub(super) struct Word {
    pub(super) text: Text,
    pub(super) event: Event,
    pub(super) attributes: Vec<(String, String)>,
}

/// How a text of the event column is recognised.
#[derive(Debug)]
pub(super) enum Text {
    Whole(String),
    Pattern(Regex),
}

impl Mapping {
    /// Reads a mapping from the bytes of its file.
    ///
    /// # Errors
    /// Every place where the file is no TOML, or states something that a mapping does not know or cannot mean.
    pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<Mapping, Vec<Trouble>> {
        let text = decode(&SHEET, name, bytes)?;
        let (rows, mut troubles) = read(&SHEET, name, text);
        let mapping = reading::Reader { rows: &rows, troubles: &mut troubles }.mapping(Digest::of(bytes));
        let troubles = troubles.finish();
        match mapping {
            Some(mapping) if troubles.is_empty() => Ok(mapping),
            _ => Err(troubles),
        }
    }

    /// Name, version and digest in words, for a report.
    #[must_use]
    pub fn words(&self) -> String {
        format!("mapping '{}', version {}, SHA-256 {}", self.name, self.version, self.digest)
    }
}

/// `grammar/mapping.md`: the keys of a mapping as a page for the person who writes one.
#[must_use]
pub fn manual() -> String {
    let closing = "\n## What happens to a file that the mapping does not fit\n\nA mapping that names a column that is not \
                   there, or that fits no row at all, is an error, and nothing is examined. Otherwise every row is kept, \
                   with a fault where it could not be read: grammar/exchange.md lists them.\n";
    Sheet::manual(&SHEET, "The mapping", "src/exchange/mapping/keys.rs", closing)
}

//! `mapping new` and `mapping check`: how a table or printout of another program is to be read.

use std::path::Path;

use logassay::exchange::{self, Mapping};
use logassay::source::{Shown, Source};

use crate::Done;
use crate::failure::Failure;
use crate::outside::{self, File};

/// A mapping to fill in for a file.
pub(crate) fn new(path: &Path, events: Option<usize>) -> Result<Done, Failure> {
    let file = outside::read_log(path)?;
    Ok(Done::well(exchange::starter(Source::new(file.name, file.bytes), events)))
}

/// Says whether a mapping has errors.
pub(crate) fn check(path: &Path) -> Result<Done, Failure> {
    let mapping = of(&file(path)?)?;
    let text = format!("The mapping has no errors: {}\n", Shown::inert(&mapping.words()));
    Ok(Done::well(text))
}

/// The file of a mapping.
pub(crate) fn file(path: &Path) -> Result<File, Failure> {
    outside::read_sheet(path, "mapping")
}

/// Reads a mapping.
pub(crate) fn of(file: &File) -> Result<Mapping, Failure> {
    let read = Mapping::read_bytes(&file.name, &file.bytes);
    read.map_err(|troubles| Failure::Sheet { what: "mapping", troubles })
}

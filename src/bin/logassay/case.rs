//! `case new` and `case check`: the file of what people wrote down.

use std::path::Path;

use logassay::case;
use logassay::report::{Layout, questions, statements};

use crate::Done;
use crate::failure::Failure;
use crate::mapping;
use crate::outside;
use crate::setting;

/// A case file to fill in, for the first log of a file.
pub(crate) fn new(log: &Path, mapping: Option<&Path>) -> Result<Done, Failure> {
    let file = outside::read_log(log)?;
    let mapping = mapping.map(|path| mapping::of(&mapping::file(path)?)).transpose()?;
    let logs = setting::logs(file, mapping.as_ref())?;
    match logs.first() {
        Some(log) => Ok(Done::well(case::starter(log) + &questions::standard_rows_commented())),
        None => Err(Failure::new("the file holds no log", "name a file that holds one")),
    }
}

/// What a case file states, if it has no errors.
pub(crate) fn check(path: &Path, layout: Layout) -> Result<Done, Failure> {
    let file = outside::read_sheet(path, "case file")?;
    let case_file = setting::case_file_of(&file)?;
    Ok(Done::well(statements::page(&case_file, layout)))
}

//! `unit`: the unit description in force, as its text stands.

use std::path::Path;

use logassay::unit::UnitDescription;

use crate::Done;
use crate::failure::Failure;
use crate::outside;
use crate::setting;

pub(crate) fn run(path: Option<&Path>) -> Result<Done, Failure> {
    let Some(path) = path else {
        return Ok(Done::well(UnitDescription::kestrane_text().to_owned()));
    };
    let file = outside::read_sheet(path, "unit description")?;
    // A description with errors is in force nowhere.
    setting::unit(&file)?;
    let text = String::from_utf8_lossy(&file.bytes);
    let lines: Vec<String> =
        text.lines().map(|line| logassay::source::Shown::inert(line).to_string()).collect();
    Ok(Done::well(lines.join("\n") + "\n"))
}

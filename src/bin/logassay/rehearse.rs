//! `rehearse`: made-up lives of units, with the papers of the station.

use std::path::Path;

use logassay::rehearsal::{Life, Setting, life};
use logassay::unit::UnitDescription;

use crate::Done;
use crate::arguments::RehearseLife;
use crate::failure::Failure;
use crate::outside;
use crate::setting;

pub(crate) fn run(arguments: &RehearseLife) -> Result<Done, Failure> {
    let unit = match &arguments.unit {
        Some(path) => setting::unit(&outside::read_sheet(path, "unit description")?)?,
        None => UnitDescription::kestrane(),
    };
    let made = life(arguments.seed, &Setting::of(unit));
    match &arguments.out {
        None => Ok(Done::well(made.log)),
        Some(folder) => store(folder, arguments.seed, &made),
    }
}

/// Writes log and case file, both or neither, and says what was written.
fn store(folder: &Path, seed: u64, made: &Life) -> Result<Done, Failure> {
    let log = folder.join(format!("life-{seed}.log"));
    let case = folder.join(format!("life-{seed}.case.toml"));
    outside::write_new(&log, &made.log)?;
    outside::write_new(&case, &made.case).inspect_err(|_| {
        // This run's own: half a life would be taken for a log without papers.
        let _left = std::fs::remove_file(&log);
    })?;
    Ok(Done::well(outside::written(&log, &made.log) + &outside::written(&case, &made.case)))
}

//! `compare`: two examinations side by side.

use std::path::PathBuf;

use clap::Args;
use logassay::comparison::{Side, compare};
use logassay::report::Layout;
use logassay::report::comparison::{self, Sides};

use crate::Done;
use crate::arguments::Evidence;
use crate::failure::Failure;
use crate::setting::Setting;

#[derive(Debug, Args)]
pub(crate) struct Compare {
    /// The log; `-` for the standard input
    pub(crate) log: PathBuf,
    /// The mapping by which a table or printout of another program is read
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// The case file before
    #[arg(long = "case", value_name = "FILE")]
    pub(crate) case_file: Option<PathBuf>,
    /// The unit description before
    #[arg(long, value_name = "FILE")]
    pub(crate) unit: Option<PathBuf>,
    /// The case file after; without it, the one before
    #[arg(long, value_name = "FILE")]
    pub(crate) case_after: Option<PathBuf>,
    /// The unit description after; without it, the one before
    #[arg(long, value_name = "FILE")]
    pub(crate) unit_after: Option<PathBuf>,
    /// The log after; without it, the one before
    #[arg(long, value_name = "FILE")]
    pub(crate) log_after: Option<PathBuf>,
    /// Print as JSON
    #[arg(long)]
    pub(crate) json: bool,
}

pub(crate) fn run(arguments: &Compare, layout: Layout) -> Result<Done, Failure> {
    let evidence = |log, case_file, unit| Evidence {
        log: Some(log),
        mapping: arguments.mapping.clone(),
        case_file,
        unit,
        demonstration: None,
    };
    let first = evidence(arguments.log.clone(), arguments.case_file.clone(), arguments.unit.clone());
    // What is not named for the side after is as it is before.
    let second = evidence(
        arguments.log_after.clone().unwrap_or_else(|| arguments.log.clone()),
        arguments.case_after.clone().or_else(|| arguments.case_file.clone()),
        arguments.unit_after.clone().or_else(|| arguments.unit.clone()),
    );
    let (before, after) = (Setting::read(&first)?, Setting::read(&second)?);
    if before.logs().len() != after.logs().len() {
        return Err(Failure::new(
            "the two files do not hold the same number of logs",
            "cut them at their heading lines and compare the parts",
        ));
    }
    let comparisons: Vec<_> = before
        .logs()
        .iter()
        .zip(after.logs())
        .map(|(one, other)| {
            compare(
                Side { log: one, case: before.case(), unit: &before.unit },
                Side { log: other, case: after.case(), unit: &after.unit },
            )
        })
        .collect();
    let sides = Sides {
        command: before.frame.command.clone(),
        case_files: [before.frame.case_file.clone(), after.frame.case_file.clone()],
    };
    Ok(Done::well(if arguments.json {
        comparison::json(&comparisons, &sides)
    } else {
        comparison::page(&comparisons, &sides, layout)
    }))
}

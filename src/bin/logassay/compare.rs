//! `compare`: two examinations side by side.

use logassay::comparison::{Side, compare};
use logassay::report::Layout;
use logassay::report::comparison::{self, Sides};

use crate::Done;
use crate::arguments::{Compare, Evidence};
use crate::failure::Failure;
use crate::setting::Setting;

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

//! `rules`: the catalogue.

use logassay::report::{Layout, catalogue, questions};
use logassay::rules;

use crate::Done;
use crate::failure::Failure;

pub(crate) fn run(id: Option<&str>, layout: Layout) -> Result<Done, Failure> {
    let Some(id) = id else {
        return Ok(Done::well(catalogue::list(layout)));
    };
    match rules::rule(id) {
        Some(rule) => Ok(Done::well(catalogue::page(rule, layout))),
        None => Err(Failure::new(&format!("there is no rule '{id}'"), &catalogue::near_words(id))),
    }
}

/// The questions that come with the tool, as rows of a case file.
pub(crate) fn questions() -> Done {
    Done::well(questions::standard_rows())
}

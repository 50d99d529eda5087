//! The conflicts of a log by the numbers that the report gives them.

use crate::examination::Examination;
use crate::report::listed;

/// Whether a step lies in a conflict, so that no other question uses it.
pub(super) fn holds(examination: &Examination<'_>, step: usize) -> bool {
    examination.replay.in_conflict.get(step).copied().unwrap_or(false)
}

/// The number of the conflict that a step lies in.
pub(super) fn number(examination: &Examination<'_>, step: usize) -> Option<usize> {
    let mut deviations = examination.replay.deviations.iter();
    deviations.find(|deviation| deviation.core.contains(&step)).map(|deviation| deviation.group)
}

/// The conflicts that some steps lie in: `conflict 2`, `conflicts 2 and 3`.
pub(super) fn named(examination: &Examination<'_>, steps: &[usize]) -> String {
    let mut numbers: Vec<usize> = steps.iter().filter_map(|step| number(examination, *step)).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let words: Vec<String> = numbers.iter().map(usize::to_string).collect();
    format!("conflict{} {}", if words.len() == 1 { "" } else { "s" }, listed(&words))
}

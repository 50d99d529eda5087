//! What to ask for, and of whom: the asks of all answers, equal ones merged, sorted by addressee.

use std::collections::BTreeMap;

use crate::examination::Examination;

/// One thing to ask for, and the rules whose answer it may change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Request {
    /// Who holds it, by office.
    pub(super) of: &'static str,
    /// What is asked for.
    pub(super) what: String,
    /// Ids of the rules that it serves, in the order of the rules.
    pub(super) serves: Vec<&'static str>,
}

/// An office with its article, as it stands behind `of` or `from`.
pub(super) fn office(of: &str) -> String {
    let named = ["whoever ", "those ", "the "].iter().any(|word| of.starts_with(word));
    if named { of.to_owned() } else { format!("the {of}") }
}

/// The requests of an examination, sorted by addressee and then by what is asked for.
pub(super) fn requests(examination: &Examination<'_>) -> Vec<Request> {
    let mut merged: BTreeMap<(&'static str, &str), Vec<&'static str>> = BTreeMap::new();
    for answer in &examination.answers {
        for ask in &answer.asks {
            let serves = merged.entry((ask.of, ask.what.as_str())).or_default();
            if !serves.contains(&answer.rule) {
                serves.push(answer.rule);
            }
        }
    }
    merged.into_iter().map(|((of, what), serves)| Request { of, what: what.to_owned(), serves }).collect()
}

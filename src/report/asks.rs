//! What cannot be told and why; what to ask for, and of whom: the asks of all answers, equal ones merged, sorted by
//! addressee.

use std::collections::BTreeMap;

use crate::examination::Examination;
use crate::finding::{Answer, Verdict};
use crate::report::listed;
use crate::rules::RULES;

/// How many rules a request names one by one.
const MOST_NAMED: usize = 5;

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

/// The answers that cannot be told. Rules that are open for the same reasons stand together: the reasons are read once.
pub(super) fn by_reason<'e>(examination: &'e Examination<'_>) -> Vec<(Vec<&'e str>, Vec<&'e Answer>)> {
    let mut by_reason: Vec<(Vec<&'e str>, Vec<&'e Answer>)> = Vec::new();
    for answer in examination.answers.iter().filter(|answer| answer.verdict == Verdict::CannotBeTold) {
        let mut reasons: Vec<&str> = answer.why.iter().map(String::as_str).collect();
        reasons.sort_unstable();
        match by_reason.iter_mut().find(|(why, _)| *why == reasons) {
            Some((_, answers)) => answers.push(answer),
            None => by_reason.push((reasons, vec![answer])),
        }
    }
    by_reason
}

/// Every rule that some request serves, in the order of the rules.
pub(super) fn served(requests: &[Request]) -> Vec<&'static str> {
    RULES
        .iter()
        .map(|rule| rule.id)
        .filter(|id| requests.iter().any(|request| request.serves.contains(id)))
        .collect()
}

/// The rules that a request serves; where they are nearly all, those that it does not serve.
pub(super) fn serves(ids: &[&str], all: &[&str]) -> String {
    let others: Vec<&str> = all.iter().copied().filter(|id| !ids.contains(id)).collect();
    if ids.len() <= MOST_NAMED || others.len() >= ids.len() {
        return ids.join(", ");
    }
    if others.is_empty() {
        return format!("all {} rules for which something is asked", all.len());
    }
    format!(
        "{} of the {} rules for which something is asked, all except {}",
        ids.len(),
        all.len(),
        listed(&others.into_iter().map(str::to_owned).collect::<Vec<_>>())
    )
}

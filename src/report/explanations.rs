//! The ordinary explanations of a rule's findings: those that stay open, and those that the record speaks against.

use crate::finding::Finding;
use crate::report::ranges;
use crate::rules::{Ordinary, Rule};

/// An explanation that is open for at least one of the findings.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Open {
    /// The explanation.
    pub(crate) account: &'static str,
    /// What decides whether it holds, as a sentence without its full stop.
    pub(crate) decided_by: &'static str,
    /// Where the record speaks against it for some of the findings: for which, as a sentence; else empty.
    pub(crate) but: String,
}

/// An explanation that the record speaks against for at least one of the findings.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Against {
    /// The explanation.
    pub(crate) account: &'static str,
    /// What speaks against it, for each of these findings.
    pub(crate) says: Vec<String>,
}

/// How many findings are told with what speaks against an explanation of each.
const TOLD: usize = 5;

/// Parts the explanations of a rule for findings of it, each with its place among all findings, counted from 0.
pub(crate) fn of(rule: &'static Rule, findings: &[(usize, &Finding)]) -> (Vec<Open>, Vec<Against>) {
    let (mut open, mut against) = (Vec::new(), Vec::new());
    for ordinary in rule.ordinary {
        let spoken: Vec<(usize, &str)> =
            findings.iter().filter_map(|(at, finding)| Some((at + 1, says(finding, ordinary)?))).collect();
        if spoken.len() < findings.len() {
            let numbers: Vec<usize> = spoken.iter().map(|(number, _)| *number).collect();
            let but = if numbers.is_empty() {
                String::new()
            } else {
                format!(" The record speaks against it for {}.", findings_named(&numbers))
            };
            open.push(Open { account: ordinary.account, decided_by: ordinary.decided_by, but });
        }
        if !spoken.is_empty() {
            against.push(Against { account: ordinary.account, says: gathered(&spoken, findings.len()) });
        }
    }
    (open, against)
}

/// What the record says against an explanation of a finding.
pub(crate) fn says<'a>(finding: &'a Finding, ordinary: &Ordinary) -> Option<&'a str> {
    finding
        .against
        .iter()
        .find(|against| against.account == ordinary.account)
        .map(|against| against.says.as_str())
}

/// The same words once, each with the findings that it is about, where there are several.
fn gathered(spoken: &[(usize, &str)], findings: usize) -> Vec<String> {
    let mut said: Vec<(&str, Vec<usize>)> = Vec::new();
    for (number, says) in spoken {
        if let Some((_, numbers)) = said.iter_mut().find(|(words, _)| words == says) {
            numbers.push(*number);
        } else if said.len() < TOLD {
            said.push((says, vec![*number]));
        }
    }
    said.into_iter()
        .map(|(says, numbers)| match findings {
            1 => says.to_owned(),
            _ => format!("For {}: {says}", findings_named(&numbers)),
        })
        .collect()
}

fn findings_named(numbers: &[usize]) -> String {
    let noun = if numbers.len() == 1 { "finding" } else { "findings" };
    format!("{noun} {}", ranges(numbers))
}

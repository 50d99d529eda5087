//! The lines of a log around a finding, in their place, with marks: what any form of report prints as evidence.

use std::collections::BTreeMap;

use crate::examination::Examination;
use crate::finding::{Finding, Place};
use crate::syntax::LineKind;

/// How many lines besides the main one a finding prints; the rest is counted.
const LINES: usize = 8;

/// Why a line stands beside a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Role {
    /// The finding is about it.
    Main,
    /// It shows the finding too.
    Other,
    /// It stands before or after one of these.
    Context,
}

impl Role {
    /// The role in one word.
    pub(super) fn word(self) -> &'static str {
        match self {
            Role::Main => "main",
            Role::Other => "also",
            Role::Context => "context",
        }
    }

    /// The mark in front of a line.
    pub(super) fn mark(self) -> &'static str {
        match self {
            Role::Main => "*",
            Role::Other => "+",
            Role::Context => " ",
        }
    }
}

/// What the marks in front of lines mean.
pub(super) const LEGEND: &str = "Before a line of the log stands its number in the file. A line marked * is the one that the finding is about, \
     a line marked + shows it too, and lines without a mark stand beside them.";

/// The lines of a finding with their context, by line index; and how many lines that show it were left out.
pub(super) fn lines(examination: &Examination<'_>, finding: &Finding) -> (Vec<(usize, Role)>, usize) {
    let index = |place: &Place| {
        if let Place::Line(line) = place { Some(*line) } else { None }
    };
    let last = examination.log.lines().len();
    let mut lines: BTreeMap<usize, Role> = BTreeMap::new();
    let mut put = |line: usize, role: Role| {
        if line < last {
            let slot = lines.entry(line).or_insert(role);
            *slot = role.min(*slot);
        }
    };
    let others: Vec<usize> = finding.others.iter().filter_map(index).collect();
    let shown = others.iter().take(LINES);
    for (line, role) in
        shown.map(|line| (*line, Role::Other)).chain(index(&finding.main).map(|line| (line, Role::Main)))
    {
        put(line, role);
        put(line + 1, Role::Context);
        if let Some(before) = line.checked_sub(1) {
            put(before, Role::Context);
        }
    }
    // A line that stands beside another and shows the finding too is marked so.
    let mut left_out = 0;
    for line in &others {
        match lines.get_mut(line) {
            Some(role) => *role = Role::Other.min(*role),
            None => left_out += 1,
        }
    }
    (lines.into_iter().collect(), left_out)
}

/// How many other findings about the same record are named.
const NAMED: usize = 5;

/// The findings of other rules that show the line which this finding is about, by their places, the first few; of one about
/// the log as a whole, those about lines that show it.
pub(super) fn seen_in(examination: &Examination<'_>, finding: &Finding) -> Vec<usize> {
    let shows = |other: &Finding| match finding.main {
        Place::Line(_) => other.main == finding.main || other.others.contains(&finding.main),
        // One about the log as a whole hangs together with those that are about the lines which show it.
        Place::Log => {
            let shared = |place: &Place| matches!(place, Place::Line(_)) && finding.others.contains(place);
            shared(&other.main) || (other.group.is_some() && other.others.iter().any(shared))
        }
    };
    let findings = examination.findings.iter().enumerate();
    findings
        .filter(|(_, other)| other.rule != finding.rule && shows(other))
        .map(|(at, _)| at)
        .take(NAMED)
        .collect()
}

/// A record's number as written and its displayed time, for a line that is a record.
pub(super) fn number_and_time(
    examination: &Examination<'_>,
    line: usize,
) -> (Option<String>, Option<String>) {
    let log = examination.log;
    let record = log.lines().get(line).and_then(|entry| match entry.kind {
        LineKind::Record(place) => log.records().get(place),
        _ => None,
    });
    let number = record.and_then(|record| {
        record.number.map(|number| format!("{number:0width$}", width = usize::from(record.number_digits)))
    });
    (number, record.and_then(|record| record.time).map(|time| time.to_string()))
}

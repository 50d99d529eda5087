//! Reports: one file a form, each a pure function of examinations; what all forms say in the same words stands here.

pub mod catalogue;
pub mod comparison;
pub mod document;
pub mod drawing;
pub mod forms;
pub mod glossary;
pub mod html;
pub mod json;
pub mod pdf;
pub mod picture;
pub mod provenance;
pub mod questions;
pub mod rehearsed;
pub mod sarif;
pub mod statements;
pub mod table;
pub mod terminal;
pub mod trial;
pub mod walk;

mod asks;
mod chart;
mod clock;
mod conflict;
mod coverage;
mod day;
mod evidence;
mod explanations;
mod keys;
mod least;
mod ledger;
mod pace;
mod page;
mod papers;
mod share;
mod summary;
mod sums;
mod vocabulary;

use crate::examination::Examination;
use crate::source::{Digest, Shown};

/// The tool's name.
pub const TOOL: &str = "logassay";

/// The tool's version.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// How many lines at which a rule stays open are shown to people; data name all of them.
const OPEN_SHOWN: usize = 5;
/// What stands under every head of a demonstration.
pub const DEMONSTRATION: &str = "Demonstration: no evidence was read.";

/// What stands at the head of a demonstration and in every file of it; begins with [`DEMONSTRATION`].
pub const NO_EVIDENCE: &str = "Demonstration: no evidence was read. The log and its case file are invented and are part of the program.";

/// What this version does not examine; printed in every report, so that silence is not taken for an answer.
pub const NOT_EXAMINED: &[&str] = &[
    "This report does not ask whether the unit was right to refuse a key.",
    "The time between votes is measured and not tested: a long silence, or many votes in a short time, is no answer, and \
     the log cannot say why it is so. This unit is not compared with other units.",
];

/// What every reader of a report must know; printed in every report.
pub const CAUTIONS: &[&str] = &[
    "The law of the place and the directions of the court come first. Where they differ from a rule named here, they \
     stand and the rule does not.",
    "A qualified examiner of the physical unit comes before this report. A log is what the unit wrote about itself, \
     and the unit may be the very thing in dispute.",
    "Every answer is given for the unit description named here and for an export that is faithful to the unit. If \
     either is wrong, answers may change.",
    "A log cannot show who pressed a key, what was said, what was on paper, or what the unit did not record. It does \
     not show how anybody voted, and this tool prints nothing that would.",
    "A rule that is not kept has ordinary explanations as well. The record alone does not choose among them. A rule \
     that is kept shows only that these records are in order.",
    "This report relates only to the items examined, as it identifies them under what was examined.",
    "The output of a tool is supporting material. The expert who files it answers for its use and its reading.",
];

/// Exit codes of the command: the one table, printed in the help and in the manuals.
pub const EXIT_CODES: &[(u8, &str)] = &[
    (
        0,
        "The command did its work. For 'examine': no rule is answered 'not kept' by a departure or a discrepancy. That \
         does not mean that the log is in order: rules may be open, and not everything is examined.",
    ),
    (
        1,
        "'examine' did its work, and at least one rule is answered 'not kept' by a departure or a discrepancy; what is \
         unusual and may be lawful does not count, nor does a remark. 'custody check' \
         did its work, and a file is not as the manifest has it, or the signature does not hold. 'rehearse judge' did its \
         work, and an examination and its key disagree.",
    ),
    (
        2,
        "The command could not do its work: usage, a file that cannot be read or written, or a case file, unit description \
         or mapping with errors.",
    ),
];

/// The exit code for some examinations: 1 if a rule is not kept in one of them, else 0.
#[must_use]
pub fn exit_code(examinations: &[Examination<'_>]) -> u8 {
    u8::from(examinations.iter().any(Examination::has_weight))
}

/// What an exit code means.
#[must_use]
pub fn exit_meaning(code: u8) -> &'static str {
    EXIT_CODES.iter().find(|(entry, _)| *entry == code).map_or("not in the table", |(_, meaning)| meaning)
}

/// How wide a report for a terminal may be, and whether it is coloured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    /// Columns; less than [`Layout::LEAST`] counts as that.
    pub width: usize,
    /// Whether colour is used. Nothing is said by colour alone.
    pub colour: bool,
}

impl Layout {
    /// The narrowest layout, in columns.
    pub const LEAST: usize = 30;

    /// A layout without colour.
    #[must_use]
    pub fn plain(width: usize) -> Layout {
        Layout { width, colour: false }
    }
}

/// What stands in the place of length and digest of a log's file where something in it is covered.
pub const IDENTITY_WITHHELD: &str = "withheld, as something in the log may tell of a choice or a voter, which could be found \
     by trying with it; the manifest of a bundle holds it, beside the log itself";

/// What a file of fonts is called among the papers.
pub(crate) const FONT: &str = "font";

/// A paper that was read beside the log: its name, its size, its digest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    /// Its name as given.
    pub name: Shown,
    /// Number of bytes.
    pub bytes: usize,
    /// SHA-256 of its bytes.
    pub digest: Digest,
}

impl Paper {
    /// Takes name, size and digest of a file.
    #[must_use]
    pub fn of(name: &str, bytes: &[u8]) -> Paper {
        Paper { name: Shown::inert(name), bytes: bytes.len(), digest: Digest::of(bytes) }
    }
}

/// What surrounds the examinations of one run of the command.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// Whether the built-in demonstration was examined and no evidence.
    pub demonstration: bool,
    /// The command that repeats the run.
    pub command: Shown,
    /// Date of the report, as the command or the case file states it; never that of a clock.
    pub date: Option<Shown>,
    /// Whether what is made belongs to a bundle, in which a manifest lists every file.
    pub in_bundle: bool,
    /// The case file, if one was read.
    pub case_file: Option<Paper>,
    /// The mapping by which a table or printout of another program was read, if one was.
    pub mapping_file: Option<Paper>,
    /// The unit description's file; `None` for the built-in description.
    pub unit_file: Option<Paper>,
    /// Files of fonts with which a document is set, beside those that come with the program.
    pub fonts: Vec<Paper>,
}

impl Frame {
    /// A frame around nothing but a command.
    #[must_use]
    pub fn of(command: Shown) -> Frame {
        Frame {
            demonstration: false,
            command,
            date: None,
            in_bundle: false,
            case_file: None,
            mapping_file: None,
            unit_file: None,
            fonts: Vec::new(),
        }
    }

    /// Every paper that was read beside the log, with what it is, the fonts last.
    pub fn papers(&self) -> impl Iterator<Item = (&'static str, &Paper)> {
        let papers = [
            ("case file", &self.case_file),
            ("mapping", &self.mapping_file),
            ("unit description", &self.unit_file),
        ];
        let papers = papers.into_iter().filter_map(|(what, paper)| Some((what, paper.as_ref()?)));
        papers.chain(self.fonts.iter().map(|font| (FONT, font)))
    }
}

/// `1`, `1 and 2`, `1, 2 and 3`.
pub(crate) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Ascending numbers with runs drawn together: `1, 3 to 5 and 9`.
pub(crate) fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let said: Vec<String> = runs
        .into_iter()
        .flat_map(|(first, last)| match last - first {
            0 => vec![first.to_string()],
            1 => vec![first.to_string(), last.to_string()],
            _ => vec![format!("{first} to {last}")],
        })
        .collect();
    listed(&said)
}

/// What a finding says in one sentence.
pub(crate) fn titled(finding: &crate::finding::Finding) -> &str {
    let of_rule = || crate::rules::rule(finding.rule).map_or("", |rule| rule.title);
    finding.title.as_deref().unwrap_or_else(of_rule)
}

/// A number with its noun: `1 line`, `2 lines`.
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    crate::counts::counted(number as u64, one, many)
}

/// A number with a comma between groups of three digits.
#[must_use]
pub fn grouped(number: u64) -> String {
    crate::counts::figures(number.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_grouped_by_three() {
        assert_eq!(grouped(0), "0");
        assert_eq!(grouped(999), "999");
        assert_eq!(grouped(1000), "1,000");
        assert_eq!(grouped(1_234_567), "1,234,567");
        assert_eq!(count(1, "line", "lines"), "1 line");
        assert_eq!(count(1500, "line", "lines"), "1,500 lines");
        assert_eq!(ranges(&[1, 3, 4, 5, 7, 8]), "1, 3 to 5, 7 and 8");
    }

    #[test]
    fn every_exit_code_has_one_meaning() {
        let mut codes: Vec<u8> = EXIT_CODES.iter().map(|(code, _)| *code).collect();
        codes.dedup();
        assert_eq!(codes, [0, 1, 2]);
        assert_eq!(exit_meaning(9), "not in the table");
    }
}

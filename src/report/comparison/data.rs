//! The difference of two examinations for other programs: JSON, with one schema printed from the types.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Sides, fact_in_words, log_digest};
use crate::comparison::{Cause, Change, Comparison};
use crate::examination::Examination;
use crate::report::json::{Tool, text};
use crate::report::pace::line_of;
use crate::report::{CAUTIONS, Paper, TOOL, VERSION};

/// What changed between two examinations, for each log of the source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(title = "Comparison of two examinations by logassay")]
pub struct ComparisonReport {
    /// The tool that made it.
    pub tool: Tool,
    /// The command that repeats the run.
    pub command: String,
    /// One entry per log, in the order of the source.
    pub comparisons: Vec<Compared>,
    /// What every reader must know.
    pub cautions: Vec<String>,
}

/// Two examinations side by side.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Compared {
    /// What the examination before rests on.
    pub before: SideOf,
    /// What the examination after rests on.
    pub after: SideOf,
    /// The facts that are not the same.
    pub facts: Vec<FactOf>,
    /// Number of answers on each side.
    pub answers: usize,
    /// The answers that changed.
    pub changes: Vec<ChangeOf>,
    /// Findings that stand only before, of rules whose answer did not change.
    pub findings_gone: Vec<FindingAt>,
    /// Findings that stand only after, of rules whose answer did not change.
    pub findings_new: Vec<FindingAt>,
}

/// What one examination rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SideOf {
    /// Name of the log.
    pub log: String,
    /// SHA-256 of its source; none where it could tell what is covered in the log.
    pub log_sha256: Option<String>,
    /// Name of the case file, where there is one.
    pub case_file: Option<String>,
    /// SHA-256 of the case file.
    pub case_file_sha256: Option<String>,
    /// SHA-256 of the unit description.
    pub unit_description_sha256: String,
}

/// A fact that is not the same on both sides.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FactOf {
    /// Its number, from 1, by which changes name it.
    pub number: usize,
    /// The fact in words.
    pub text: String,
}

/// An answer that changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ChangeOf {
    /// Id of the rule.
    pub rule: String,
    /// The answer before.
    pub before: String,
    /// The answer after.
    pub after: String,
    /// On what it hangs: `each alone`, `together` or `not tried`.
    pub how: String,
    /// Numbers of the facts: each of them makes the change by itself, or all of them together and not without any of them.
    pub facts: Vec<usize>,
}

/// A finding on one side.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FindingAt {
    /// Id of its rule.
    pub rule: String,
    /// Line of the log; absent where it is about the whole log.
    pub line: Option<usize>,
    /// What the record shows.
    pub shows: String,
}

/// `grammar/comparison.schema.json`: the JSON schema, printed from the types.
#[must_use]
pub fn schema() -> String {
    text(&schemars::schema_for!(ComparisonReport))
}

/// The comparisons as JSON.
#[must_use]
pub fn json(comparisons: &[Comparison<'_>], sides: &Sides) -> String {
    let [before, after] = &sides.case_files;
    let one = |comparison: &Comparison<'_>| Compared {
        before: side(comparison, &comparison.before, before.as_ref()),
        after: side(comparison, &comparison.after, after.as_ref()),
        facts: (0..comparison.facts.len())
            .map(|place| FactOf { number: place + 1, text: fact_in_words(comparison, place) })
            .collect(),
        answers: comparison.before.answers.len(),
        changes: comparison.changes.iter().map(change_of).collect(),
        findings_gone: found(&comparison.before, &comparison.gone),
        findings_new: found(&comparison.after, &comparison.new),
    };
    text(&ComparisonReport {
        tool: Tool { name: TOOL.to_owned(), version: VERSION.to_owned() },
        command: sides.command.to_string(),
        comparisons: comparisons.iter().map(one).collect(),
        cautions: CAUTIONS.iter().map(ToString::to_string).collect(),
    })
}

fn side(comparison: &Comparison<'_>, examination: &Examination<'_>, paper: Option<&Paper>) -> SideOf {
    SideOf {
        log: examination.log.source().name().to_string(),
        log_sha256: log_digest(comparison, examination).map(|digest| digest.to_string()),
        case_file: paper.map(|paper| paper.name.to_string()),
        case_file_sha256: paper.map(|paper| paper.digest.to_string()),
        unit_description_sha256: examination.unit.digest.to_string(),
    }
}

fn change_of(change: &Change) -> ChangeOf {
    let (how, facts) = match &change.cause {
        Cause::Each(facts) => ("each alone", facts.as_slice()),
        Cause::Together(facts) => ("together", facts.as_slice()),
        Cause::Untried => ("not tried", &[][..]),
    };
    ChangeOf {
        rule: change.rule.to_owned(),
        before: change.before.words().to_owned(),
        after: change.after.words().to_owned(),
        how: how.to_owned(),
        facts: facts.iter().map(|fact| fact + 1).collect(),
    }
}

fn found(examination: &Examination<'_>, places: &[usize]) -> Vec<FindingAt> {
    let findings = places.iter().filter_map(|place| examination.findings.get(*place));
    findings
        .map(|finding| FindingAt {
            rule: finding.rule.to_owned(),
            line: line_of(examination, finding.main),
            shows: finding.shows.clone(),
        })
        .collect()
}

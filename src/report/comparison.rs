//! The difference of two examinations as a page and as JSON: answers that changed, and the facts that changed them.

mod data;

use crate::case::Case;
use crate::comparison::{Cause, Change, Comparison, Fact, MOST_FACTS};
use crate::examination::Examination;
use crate::finding::Finding;
use crate::report::pace::line_of;
use crate::report::page::{Page, Tone};
use crate::report::{CAUTIONS, IDENTITY_WITHHELD, Layout, Paper, TOOL, VERSION, count, papers, titled};
use crate::rules;
use crate::source::{Digest, Shown};

pub use data::{ChangeOf, Compared, ComparisonReport, FactOf, FindingAt, SideOf, json, schema};

/// What surrounds a comparison: the command, and the papers of both sides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    /// The command that repeats the run.
    pub command: Shown,
    /// The case files, before and after.
    pub case_files: [Option<Paper>; 2],
}

/// The page.
#[must_use]
pub fn page(comparisons: &[Comparison<'_>], sides: &Sides, layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    for (place, comparison) in comparisons.iter().enumerate() {
        let which = if comparisons.len() > 1 {
            format!(", log {} of {}", place + 1, comparisons.len())
        } else {
            String::new()
        };
        page.head(&format!("What changed between two examinations{which}"));
        for (label, examination, paper) in [
            ("before", &comparison.before, sides.case_files.first()),
            ("after", &comparison.after, sides.case_files.get(1)),
        ] {
            let paper = paper.and_then(Option::as_ref);
            stands(&mut page, label, examination, (paper, log_digest(comparison, examination)));
        }
        facts(&mut page, comparison);
        answers(&mut page, comparison);
        findings(&mut page, comparison);
    }
    page.head("How to read and to repeat this");
    page.text(
        0,
        Tone::Plain,
        "Each changed fact was changed alone, the others left as before, and the log examined again. A fact that makes the \
         change alone is named. Where none does, facts were left out one after the other as long as the change stayed, and \
         what was left is named. That an answer hangs on a fact does not say that the fact is true.",
    );
    for text in CAUTIONS.iter().take(3) {
        page.item(0, "-", text);
    }
    page.field(0, "tool", &format!("{TOOL} {VERSION}"));
    page.field(0, "command", sides.command.as_str());
    page.finish()
}

/// SHA-256 of the log's file of one side; none where it could tell what is covered, on either side of the same log.
fn log_digest(comparison: &Comparison<'_>, examination: &Examination<'_>) -> Option<Digest> {
    let sides = [&comparison.before, &comparison.after];
    let same = sides.into_iter().filter(|side| side.log.source().is_same(examination.log.source()));
    let covered = same.into_iter().any(|side| side.log.file_identity(&side.secrecy).is_none());
    let identity = examination.log.file_identity(&examination.secrecy).filter(|_| !covered);
    identity.map(|(_, digest)| digest)
}

fn stands(
    page: &mut Page,
    label: &str,
    examination: &Examination<'_>,
    (paper, digest): (Option<&Paper>, Option<Digest>),
) {
    page.field(0, label, &format!("log {}", examination.log.source().name()));
    let digest = digest.map_or_else(|| IDENTITY_WITHHELD.to_owned(), |digest| digest.to_string());
    page.field(2, "SHA-256", &digest);
    let case = paper.map_or_else(|| "none".to_owned(), |paper| paper.name.to_string());
    page.field(2, "case file", &case);
    if let Some(paper) = paper {
        page.field(4, "SHA-256", &paper.digest.to_string());
    }
    let unit = examination.unit;
    let (name, version) = (Shown::inert(&unit.name), Shown::inert(&unit.version));
    page.field(2, "unit description", &format!("{name}, version {version}"));
    page.field(4, "SHA-256", &unit.digest.to_string());
}

fn facts(page: &mut Page, comparison: &Comparison<'_>) {
    page.head("Facts that are not the same");
    if comparison.facts.is_empty() {
        page.text(0, Tone::Plain, "None that an answer may rest on.");
    }
    for place in 0..comparison.facts.len() {
        page.item(0, &format!("{}.", place + 1), &format!("{}.", fact_in_words(comparison, place)));
    }
}

/// A changed fact in words.
fn fact_in_words(comparison: &Comparison<'_>, place: usize) -> String {
    let stated = |case: &Case, about: &str, line: usize| {
        let statements = papers::statements(case);
        let of_row: Vec<_> =
            statements.iter().filter(|paper| paper.line == line && paper.about == about).collect();
        // A row may state several things of one kind; it is then named with all of them.
        let texts: Vec<&str> = of_row.iter().map(|paper| paper.text.as_str()).collect();
        match of_row.first() {
            Some(paper) => format!("'{}', {} (line {line})", texts.join("; "), paper.basis),
            None => format!("the row on line {line}"),
        }
    };
    match comparison.facts.get(place) {
        None => String::new(),
        Some(Fact::Log) => "the log is another one".to_owned(),
        Some(Fact::Unit) => "the unit description is another one".to_owned(),
        Some(Fact::Statement { about, before, after }) => {
            let before = before.map(|line| stated(comparison.before.case, about, line));
            let after = after.map(|line| stated(comparison.after.case, about, line));
            match (before, after) {
                (Some(before), Some(after)) => format!("{about}: {before} became {after}"),
                (Some(before), None) => format!("{about}: {before} was dropped"),
                (None, Some(after)) => format!("{about}: {after} was added"),
                (None, None) => (*about).to_owned(),
            }
        }
    }
}

fn answers(page: &mut Page, comparison: &Comparison<'_>) {
    page.head("Answers that changed");
    let all = comparison.before.answers.len();
    let changed = comparison.changes.len();
    page.text(
        0,
        Tone::Plain,
        &format!("Of {}, {changed} changed and {} did not.", count(all, "answer", "answers"), all - changed),
    );
    for change in &comparison.changes {
        page.gap();
        let asks = rules::rule(change.rule).map_or("", |rule| rule.asks);
        page.item(0, ">", &format!("{asks} ({})", change.rule));
        page.toned_field(
            2,
            "answer",
            Tone::Weighty,
            &format!("{}, then {}", change.before.words(), change.after.words()),
        );
        page.field(2, "it hangs on", &cause_in_words(change));
    }
}

fn numbers(facts: &[usize]) -> String {
    let numbers: Vec<String> = facts.iter().map(|fact| (fact + 1).to_string()).collect();
    match numbers.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => numbers.concat(),
    }
}

/// On what a change hangs, in words; facts by their numbers.
fn cause_in_words(change: &Change) -> String {
    match &change.cause {
        Cause::Each(facts) if facts.len() == 1 => {
            format!("fact {}: it alone makes the change", numbers(facts))
        }
        Cause::Each(facts) => format!("facts {}: each of them alone makes the change", numbers(facts)),
        Cause::Together(facts) => format!(
            "facts {} together: no fact alone makes the change, and without any of these it does not come about. Other \
             combinations may make it too",
            numbers(facts)
        ),
        Cause::Untried => format!("not tried, for more than {MOST_FACTS} facts are not the same"),
    }
}

fn findings(page: &mut Page, comparison: &Comparison<'_>) {
    if comparison.gone.is_empty() && comparison.new.is_empty() {
        return;
    }
    page.head("Findings that changed under rules whose answer did not");
    for (label, examination, places) in
        [("gone", &comparison.before, &comparison.gone), ("new", &comparison.after, &comparison.new)]
    {
        for finding in places.iter().filter_map(|place| examination.findings.get(*place)) {
            let title = titled(finding);
            page.field(
                0,
                label,
                &format!("Finding: {title} {} ({})", finding.shows, at(examination, finding)),
            );
        }
    }
}

fn at(examination: &Examination<'_>, finding: &Finding) -> String {
    let line = line_of(examination, finding.main);
    let line = line.map_or_else(|| "the log as a whole".to_owned(), |line| format!("line {line}"));
    format!("{}, {line}", finding.rule)
}

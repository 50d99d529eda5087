//! The court's questions: one paragraph each, put together from the answers of the rules that bear on it.

use std::collections::BTreeMap;

use crate::case::{self, Case, Question, Saying, Stated};
use crate::event::Event;
use crate::examination::Examination;
use crate::finding::{Answer, Finding, Verdict, Weight};
use crate::replay::{Cause, Step};
use crate::report::pace::line_of;
use crate::report::{asks, catalogue, count};
use crate::rules::{self, Rule, Want, asked};
use crate::sheet::{Trouble, Troubles};
use crate::source::{Shown, Span};

/// Lines that a sentence names; the rest is counted.
const NAMED: usize = 8;

/// Rules kept that are printed with what they ask; more are only named.
const IN_FULL: usize = 4;

/// A question with what the answers of its rules say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Told {
    /// Its number or letter, where it has one.
    pub(super) number: Option<Shown>,
    /// The question.
    pub(super) text: Shown,
    /// Who asks, and where it is written.
    pub(super) asked: String,
    /// Ids of the rules that bear on it, in the order of the question.
    pub(super) rules: Vec<&'static str>,
    /// What the answers say, in one paragraph.
    pub(super) paragraph: String,
    /// Numbers of the lines that it names.
    pub(super) lines: Vec<usize>,
    /// What is left open, sentence by sentence.
    pub(super) open: Vec<String>,
    /// What would settle it, and who holds it.
    pub(super) settles: Vec<String>,
}

/// The questions of an examination.
pub(super) fn told(examination: &Examination<'_>) -> Vec<Told> {
    examination.case.questions.iter().map(|stated| one(examination, stated)).collect()
}

fn one(examination: &Examination<'_>, stated: &Stated<Question>) -> Told {
    let question = &stated.value;
    let mut bearing: Vec<(&'static Rule, &Answer)> = Vec::new();
    for id in &question.rules {
        let answer = examination.answers.iter().find(|answer| answer.rule == id.as_str());
        if let Some((rule, answer)) = rules::rule(id).zip(answer)
            && bearing.iter().all(|(known, _)| known.id != rule.id)
        {
            bearing.push((rule, answer));
        }
    }
    let of = |verdict: Verdict| -> Vec<(&'static Rule, &Answer)> {
        bearing.iter().copied().filter(|(_, answer)| answer.verdict == verdict).collect()
    };
    let mut lines = Vec::new();
    let mut sentences = vec![summary(&bearing)];
    for (rule, _) in of(Verdict::NotKept) {
        sentences.push(not_kept(examination, rule, &mut lines));
    }
    for (rule, _) in of(Verdict::CannotBeTold) {
        if examination.findings_of(rule.id).next().is_some() {
            sentences.push(format!(
                "Under one version of the contested facts only: {}",
                not_kept(examination, rule, &mut lines)
            ));
        }
    }
    let kept = of(Verdict::Kept);
    if kept.len() > IN_FULL {
        let ids: Vec<&str> = kept.iter().map(|(rule, _)| rule.id).collect();
        sentences.push(format!("Kept, with every occasion seen and in order: {}.", ids.join(", ")));
    } else {
        for (rule, answer) in kept {
            sentences.push(format!("Kept: {} ({}; {}).", bare(rule.asks), rule.id, answer.extent));
        }
    }
    for (rule, answer) in of(Verdict::DoesNotApply) {
        sentences.push(format!("Without a subject here: {} ({}).", rule.id, answer.why.join("; ")));
    }
    lines.sort_unstable();
    lines.dedup();
    let open = of(Verdict::CannotBeTold);
    Told {
        number: question.number.as_deref().map(Shown::inert),
        text: Shown::inert(&question.text),
        asked: asked_by(&stated.basis),
        rules: bearing.iter().map(|(rule, _)| rule.id).collect(),
        paragraph: sentences.join(" "),
        lines,
        open: left_open(examination, &open),
        settles: settles(&open),
    }
}

fn asked_by(basis: &Saying) -> String {
    if basis.line == 0 {
        return "from the set of questions that comes with the tool".to_owned();
    }
    let (by, source) = (Shown::inert(&basis.by), Shown::inert(&basis.source));
    format!("asked by {by}, {source} (line {} of the case file)", basis.line)
}

fn summary(bearing: &[(&'static Rule, &Answer)]) -> String {
    let of = |verdict| bearing.iter().filter(|(_, answer)| answer.verdict == verdict).count();
    let parts: Vec<String> = [Verdict::NotKept, Verdict::Kept, Verdict::CannotBeTold, Verdict::DoesNotApply]
        .into_iter()
        .filter(|verdict| of(*verdict) > 0)
        .map(|verdict| format!("{}: {}", verdict.words(), of(verdict)))
        .collect();
    format!("{} on it ({}).", count(bearing.len(), "rule bears", "rules bear"), parts.join(", "))
}

/// What stands in the record against a rule, with kinds, lines and the numbers of the findings.
fn not_kept(examination: &Examination<'_>, rule: &Rule, lines: &mut Vec<usize>) -> String {
    let findings: Vec<(usize, &Finding)> =
        examination.findings.iter().enumerate().filter(|(_, finding)| finding.rule == rule.id).collect();
    let mut places: Vec<String> = findings
        .iter()
        .take(NAMED)
        .map(|(place, finding)| {
            let line = line_of(examination, finding.main);
            lines.extend(line);
            let line = line.map_or_else(|| "the log as a whole".to_owned(), |line| format!("line {line}"));
            format!("{line}, finding {}, {}", place + 1, finding.kind.word())
        })
        .collect();
    if findings.len() > NAMED {
        places.push(count(findings.len() - NAMED, "further finding", "further findings"));
    }
    let weight = if rule.weight == Weight::Remark { "As a remark: " } else { "" };
    format!("{weight}{} ({}: {}).", bare(rule.title), rule.id, places.join("; "))
}

fn bare(sentence: &str) -> &str {
    sentence.trim_end_matches('.')
}

/// Why rules cannot be told; those with the same reasons in one sentence.
fn left_open(examination: &Examination<'_>, open: &[(&'static Rule, &Answer)]) -> Vec<String> {
    let mut by_reason: Vec<(Vec<String>, Vec<&'static str>)> = Vec::new();
    for (rule, answer) in open {
        let mut reasons: Vec<String> = answer.why.iter().map(|why| with_lines(examination, why)).collect();
        reasons.sort_unstable();
        match by_reason.iter_mut().find(|(known, _)| *known == reasons) {
            Some((_, ids)) => ids.push(rule.id),
            None => by_reason.push((reasons, vec![rule.id])),
        }
    }
    by_reason
        .into_iter()
        .map(|(reasons, ids)| format!("{} cannot be told: {}.", ids.join(", "), reasons.join("; ")))
        .collect()
}

/// A reason that is about records or lines, with the numbers of the lines.
fn with_lines(examination: &Examination<'_>, why: &str) -> String {
    let steps = examination.replay.steps.iter().enumerate();
    let at = |step: usize| {
        let record = examination.replay.record(step).and_then(|place| examination.log.records().get(place));
        record.map(|record| examination.log.line_number(record.line))
    };
    // A gap stands at its own line, or behind the record before it.
    let gap = |cause: Cause| -> Vec<usize> {
        steps
            .clone()
            .filter_map(|(step, this)| match this {
                Step::Gap(gap) if gap.cause == cause => gap
                    .line
                    .map(|line| examination.log.line_number(line))
                    .or_else(|| at(step.checked_sub(1)?)),
                _ => None,
            })
            .collect()
    };
    let is = |want: Want| want.why() == why;
    let (place, lines) = if is(Want::Conflict) {
        let deviations = examination.replay.deviations.iter();
        ("on", deviations.flat_map(|stretch| [at(stretch.first), at(stretch.last)]).flatten().collect())
    } else if is(Want::UnreadLines) {
        ("on", gap(Cause::Unread))
    } else if is(Want::MissingNumbers) {
        ("behind", gap(Cause::Hole))
    } else if is(Want::Order) {
        ("behind", gap(Cause::NumbersGoBack))
    } else if is(Want::UnknownEvents) {
        let unknown = examination.log.records().iter().filter(|record| record.event == Event::Unknown);
        ("on", unknown.map(|record| examination.log.line_number(record.line)).collect())
    } else {
        return why.to_owned();
    };
    let mut lines: Vec<usize> = lines;
    lines.sort_unstable();
    lines.dedup();
    let named: Vec<String> = lines.iter().take(NAMED).map(ToString::to_string).collect();
    match (named.len(), lines.len() - named.len()) {
        (0, _) => why.to_owned(),
        (1, _) => format!("{why} ({place} line {})", named.concat()),
        (_, 0) => format!("{why} ({place} lines {})", named.join(", ")),
        (_, more) => format!("{why} ({place} lines {} and {more} more)", named.join(", ")),
    }
}

fn settles(open: &[(&'static Rule, &Answer)]) -> Vec<String> {
    let mut by_office: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for ask in open.iter().flat_map(|(_, answer)| &answer.asks) {
        let list = by_office.entry(ask.of).or_default();
        if !list.contains(&ask.what.as_str()) {
            list.push(&ask.what);
        }
    }
    by_office.into_iter().map(|(of, what)| format!("of {}: {}.", asks::office(of), what.join("; "))).collect()
}

/// Holds the rule ids of a case file's questions and clauses against the rules.
///
/// # Errors
/// Every id that no rule has, with its place in the case file and the ids near to it.
pub fn check(name: &str, bytes: &[u8], case: &Case) -> Result<(), Vec<Trouble>> {
    let Ok(text) = std::str::from_utf8(bytes) else { return Ok(()) };
    let mut troubles = Troubles::new(&case::SHEET, name, text);
    let questions = case
        .questions
        .iter()
        .flat_map(|stated| stated.value.rules.iter().map(|id| (id.as_str(), &stated.basis)));
    let clauses = case.settings.clauses.iter().map(|stated| (stated.value.0.as_str(), &stated.basis));
    for (id, basis) in questions.chain(clauses) {
        if rules::rule(id).is_none() {
            let help = catalogue::near_words(id);
            troubles.add(place_of(text, id, basis.span), &format!("there is no rule '{id}'"), &help);
        }
    }
    let troubles = troubles.finish();
    if troubles.is_empty() { Ok(()) } else { Err(troubles) }
}

/// Where an id stands behind the header of its table; the header where it is written in another way.
fn place_of(text: &str, id: &str, header: Span) -> Span {
    let behind = text.get(header.end..).unwrap_or_default();
    ['"', '\'']
        .into_iter()
        .filter_map(|quote| behind.find(&format!("{quote}{id}{quote}")))
        .min()
        .map_or(header, |at| Span::new(header.end + at + 1, header.end + at + 1 + id.len()))
}

/// The standard questions as rows of a case file.
#[must_use]
pub fn standard_rows() -> String {
    let row = |stated: &Stated<Question>| {
        let question = &stated.value;
        let ids: Vec<String> = question.rules.iter().map(|id| format!("\"{id}\"")).collect();
        let number = question.number.as_deref().unwrap_or_default();
        format!(
            "[[question]]\nnumber = \"{number}\"\ntext = \"{}\"\nrules = [{}]\nsource = \"{}\"\nby = \"{}\"\n",
            question.text,
            ids.join(", "),
            stated.basis.source,
            stated.basis.by
        )
    };
    asked::standard().iter().map(row).collect::<Vec<_>>().join("\n")
}

/// The same as comments, for the end of a starter.
#[must_use]
pub fn standard_rows_commented() -> String {
    let rows: String = standard_rows()
        .lines()
        .map(|line| if line.is_empty() { "#\n".to_owned() } else { format!("#{line}\n") })
        .collect();
    format!(
        "\n# Questions that come with the tool; remove the # before those that are asked, and say who asks them.\n#\n{rows}"
    )
}

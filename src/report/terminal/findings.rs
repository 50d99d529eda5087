//! Findings: each with its lines in place, what it rests on, its ordinary explanations and what decides them.

use std::collections::BTreeSet;

use crate::examination::{Examination, ONE_VERSION};
use crate::finding::{Finding, Kind, Place};
use crate::report::evidence::{self, LEGEND, Role};
use crate::report::least::{self, Conflict};
use crate::report::page::{Page, Tone};
use crate::report::{count, explanations, listed, ranges, titled};
use crate::rules::{Basis, Rule};
use crate::source::Shown;

/// How many findings of one rule are printed in full; the rest is listed by line.
const IN_FULL: usize = 12;
/// How many findings of one conflict are printed in full; the rest is listed by line.
const OF_ONE_CONFLICT: usize = 4;

/// Prints the section.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    page.head("Findings");
    if examination.findings.is_empty() {
        page.text(
            0,
            Tone::Plain,
            "None. That is a statement about the rules and the lines named here and no more.",
        );
        return;
    }
    page.text(
        0,
        Tone::Plain,
        "A finding is an occasion found contrary to a rule. How it follows is said with each:",
    );
    for kind in [Kind::Contradiction, Kind::Shown, Kind::Conditional] {
        page.item(0, "-", &format!("{}: {}.", kind.word(), kind.meaning()));
    }
    page.text(0, Tone::Plain, LEGEND);
    page.text(
        0,
        Tone::Plain,
        "What would change any of them: evidence for one of its ordinary explanations, an export that differs from this \
         one, or a unit description under which these records are foreseen. How often a rule errs on logs of \
         real units is not known, for any rule; what rehearsals show stands in the document and under 'rules ID'.",
    );
    let conflicts: Vec<Conflict<'_>> =
        least::conflicts(examination).into_iter().filter(|conflict| conflict.findings.len() > 1).collect();
    let mut printed: BTreeSet<usize> = BTreeSet::new();
    for (rule, of_rule) in examination.findings_by_rule() {
        let of_conflict =
            |finding: &Finding| conflicts.iter().find(|conflict| finding.group == Some(conflict.number));
        for conflict in of_rule.iter().filter_map(|(_, finding)| of_conflict(finding)) {
            if printed.insert(conflict.number) {
                print_conflict(page, examination, conflict);
            }
        }
        let alone: Vec<(usize, &Finding)> =
            of_rule.iter().copied().filter(|(_, finding)| of_conflict(finding).is_none()).collect();
        print_rule(page, examination, rule, &alone, &of_rule);
    }
}

/// The findings that rest on one conflict, whatever their rule: one cause must not read as many.
fn print_conflict(page: &mut Page, examination: &Examination<'_>, conflict: &Conflict<'_>) {
    page.gap();
    page.text(
        0,
        Tone::Weighty,
        &format!(
            "Conflict {}, {}: findings {}",
            conflict.number,
            conflict.place(),
            ranges(&conflict.findings)
        ),
    );
    page.text(
        0,
        Tone::Plain,
        &format!(
            "These findings rest on records that hang together: read them as one. What could resolve it stands under \
             '{}'.",
            least::TITLE
        ),
    );
    let findings =
        conflict.findings.iter().filter_map(|at| Some((at - 1, examination.findings.get(at - 1)?)));
    let findings: Vec<(usize, &Finding)> = findings.collect();
    for (place, finding) in findings.iter().take(OF_ONE_CONFLICT) {
        print_titled(page, examination, *place, finding);
    }
    list_rest(page, examination, &findings, OF_ONE_CONFLICT, "of the same conflict");
}

fn print_titled(page: &mut Page, examination: &Examination<'_>, place: usize, finding: &Finding) {
    page.gap();
    // A finding of one version of the contested facts must not be read as one of the log as it stands.
    let contested = finding.assumptions.iter().any(|assumption| assumption.0.starts_with(ONE_VERSION));
    let only = if contested { " (Only under one version of the contested facts.)" } else { "" };
    let title = titled(finding);
    page.text(0, Tone::Weighty, &format!("Finding {}. {title}{only}", place + 1));
    print_finding(page, examination, finding);
}

/// Lists by line the findings that are not printed.
fn list_rest(
    page: &mut Page,
    examination: &Examination<'_>,
    findings: &[(usize, &Finding)],
    printed: usize,
    of: &str,
) {
    let rest = findings.iter().skip(printed);
    let rest: Vec<String> = rest
        .map(|(place, finding)| format!("{} ({})", place + 1, place_name(examination, finding.main)))
        .collect();
    if !rest.is_empty() {
        page.gap();
        page.text(
            0,
            Tone::Plain,
            &format!(
                "{} {of}: {}. The JSON form holds them in full.",
                count(rest.len(), "further finding", "further findings"),
                listed(&rest)
            ),
        );
    }
}

/// The findings of a rule that rest on no conflict with others, and what holds for all of its findings.
fn print_rule(
    page: &mut Page,
    examination: &Examination<'_>,
    rule: &'static Rule,
    alone: &[(usize, &Finding)],
    of_rule: &[(usize, &Finding)],
) {
    for (place, finding) in alone.iter().take(IN_FULL) {
        print_titled(page, examination, *place, finding);
    }
    list_rest(page, examination, alone, IN_FULL, "under the same rule");
    page.gap();
    let numbers: Vec<usize> = of_rule.iter().map(|(place, _)| place + 1).collect();
    let noun = if numbers.len() == 1 { "finding" } else { "findings" };
    page.text(2, Tone::Head, &format!("On {noun} {} (rule {}):", ranges(&numbers), rule.id));
    page.field(2, "the rule asks", rule.asks);
    page.field(2, "why", rule.why);
    for (label, text) in basis(examination, rule) {
        page.field(2, "it rests on", &format!("{label}: {text}"));
    }
    let (open, against) = explanations::of(rule, of_rule);
    page.text(2, Tone::Quiet, "Ordinary explanations that stay open:");
    for open in open {
        page.item(4, "-", &format!("{} What decides it: {}.{}", open.account, open.decided_by, open.but));
    }
    page.item(4, "-", "Other explanations may exist.");
    if !against.is_empty() {
        page.text(2, Tone::Quiet, "Ordinary explanations that the record speaks against:");
    }
    for against in against {
        page.item(4, "-", &format!("{} Against it: {}", against.account, against.says.join(" ")));
    }
    page.text(2, Tone::Quiet, "To examine next:");
    rule.look_next.iter().for_each(|next| page.item(4, "-", next));
    if examination.answers.iter().any(|answer| answer.rule == rule.id && !answer.asks.is_empty()) {
        page.text(
            2,
            Tone::Plain,
            "Other occasions for this rule may lie where this log does not reach. What would show them stands under \
             'What to ask for, and of whom'.",
        );
    }
}

fn print_finding(page: &mut Page, examination: &Examination<'_>, finding: &Finding) {
    page.field(2, "how it follows", &format!("{}: {}.", finding.kind.word(), finding.kind.meaning()));
    page.field(2, "what sort", &format!("{}: {}.", finding.weight.word(), finding.weight.meaning()));
    page.field(2, "expected", &finding.expected);
    page.field(2, "record shows", &finding.shows);
    if let Some(measured) = &finding.measured {
        page.field(2, "measured", measured);
    }
    for assumption in &finding.assumptions {
        page.field(2, "it assumes", &assumption.0);
    }
    let seen_in: Vec<usize> = evidence::seen_in(examination, finding).iter().map(|at| at + 1).collect();
    if !seen_in.is_empty() {
        let noun = if seen_in.len() == 1 { "finding" } else { "findings" };
        page.field(
            2,
            "same line",
            &match finding.main {
                Place::Line(_) => format!("The line marked * is shown by {noun} {} too.", ranges(&seen_in)),
                Place::Log => format!("Lines marked + are shown by {noun} {} too.", ranges(&seen_in)),
            },
        );
    }
    print_lines(page, examination, finding);
}

fn print_lines(page: &mut Page, examination: &Examination<'_>, finding: &Finding) {
    let (lines, left_out) = evidence::lines(examination, finding);
    if lines.is_empty() {
        page.field(2, "place", "the log as a whole");
        return;
    }
    let mut last: Option<usize> = None;
    for (line, role) in lines {
        if last.is_some_and(|last| last + 1 < line) {
            page.quote(0, "...", " ", Tone::Quiet, "");
        }
        print_line(page, examination, line, role);
        last = Some(line);
    }
    if left_out > 0 {
        page.text(
            9,
            Tone::Quiet,
            &format!("and {} it too", count(left_out, "line that shows", "lines that show")),
        );
    }
}

/// Prints one line of the log in its place.
pub(super) fn print_line(page: &mut Page, examination: &Examination<'_>, line: usize, role: Role) {
    let tone = match role {
        Role::Main => Tone::Head,
        Role::Other => Tone::Plain,
        Role::Context => Tone::Quiet,
    };
    let number = examination.log.line_number(line).to_string();
    page.quote(0, &number, role.mark(), tone, examination.log.quote(line, &examination.secrecy).as_str());
}

/// Where a rule rests, strongest first: a clause of the case file before everything else.
pub(in crate::report) fn basis(examination: &Examination<'_>, rule: &Rule) -> Vec<(&'static str, Shown)> {
    let clauses = examination.case.settings.clauses.iter().filter(|clause| clause.value.0 == rule.id);
    let mut list: Vec<(&'static str, Shown)> = clauses
        .map(|clause| {
            let text = format!("{}, {}", clause.value.1, clause.basis.said());
            ("local clause", Shown::inert(&text))
        })
        .collect();
    list.extend(rule.basis.iter().map(|basis| {
        let (label, text) = basis_words(*basis);
        (label, Shown::inert(text))
    }));
    list
}

/// A basis in words: what it is, and what of it.
pub(in crate::report) fn basis_words(basis: Basis) -> (&'static str, &'static str) {
    match basis {
        Basis::Unit(text) => ("the unit description", text),
        Basis::Format(text) => ("the format of the log", text),
        Basis::Practice(text) => ("common practice, without a published source", text),
        Basis::Comparable(text) => ("a comparable published requirement, not binding here", text),
    }
}

fn place_name(examination: &Examination<'_>, place: Place) -> String {
    match place {
        Place::Line(line) => format!("line {}", examination.log.line_number(line)),
        Place::Log => "the log as a whole".to_owned(),
    }
}

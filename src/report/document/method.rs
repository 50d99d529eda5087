//! The method in lay words: how the states of the unit are rebuilt, the rules that bear on this matter and what they rest
//! on, the others in one table, and what is known of errors.

use crate::examination::Examination;
use crate::finding::{Answer, Verdict};
use crate::report::document::{
    Anchor, Block, Definition, Edition, Place, Row, Section, Table, Text, answers, moments,
};
use crate::report::document::{findings, measured};
use crate::report::terminal::{basis, family_title};
use crate::report::{TOOL, count, provenance};
use crate::rules::{Basis, Family, Rule};
use crate::source::Shown;

/// The method, step by step.
const STEPS: &[&str] = &[
    "Every line of the file is read and kept. A line is a record, a header, a comment, the closing line, blank, or \
     unread; the numbers of each are printed and add up to the lines of the file. A line that cannot be read is not \
     guessed at: it may stand for any number of records.",
    "The records are put in the order in which the unit wrote them, by their numbers where the numbers allow it. Where \
     numbers are missing, a gap is noted, and how many records it stands for.",
    "The tool asks what the unit may have been doing before the first record. If nothing settles that, it takes every \
     state as possible. Then it goes through the records one by one and strikes out each state that does not fit the unit \
     description, forwards and backwards. What is left at a record is all that the unit can have been there.",
    "If no state is left, the shortest runs of records are found that cannot all be right under the unit description, \
     whatever happened before. Each is a contradiction. Its records are then taken as unreadable for every other question, \
     so that one contradiction does not produce others.",
    "Each rule is applied to every occasion for it. An occasion is in order, contrary, or open. A rule is not kept if one \
     is contrary; it is kept only if all are in order and none can have gone unseen; else it cannot be told, and the report \
     says what would be needed.",
    "What people wrote down is taken from the case file with its source. Where papers disagree, the log is examined under \
     each version, and an answer that differs between them cannot be told.",
    "Knowing less never makes a statement stronger: if a part of the log or a paper is taken away, an answer stays as it \
     is or becomes 'cannot be told'. The tool's own tests hold every rule about events to this.",
];

/// The section.
pub(super) fn section(examinations: &[Examination<'_>], edition: Edition) -> Section {
    let mut section = Section::new(Anchor::new("method"), "The method").answering(&[8]);
    section.on_new_page = true;
    section.push(Block::Steps(STEPS.iter().map(|step| Text::from(*step)).collect()));
    section.sections.push(rules(examinations, edition));
    section.sections.push(measured::section());
    section
}

/// Each log with its place in the document.
fn placed<'e>(
    examinations: &'e [Examination<'e>],
    edition: Edition,
) -> impl Iterator<Item = (Place, &'e Examination<'e>)> {
    let logs = examinations.len();
    let place = move |log| Place { log, logs, edition };
    examinations.iter().enumerate().map(move |(log, examination)| (place(log), examination))
}

/// Whether a rule bears on the matter: it has a finding, or a question names it, or its answer for some log is open or
/// not kept.
fn bears(examinations: &[Examination<'_>], rule: &Rule) -> bool {
    examinations.iter().any(|examination| {
        let mut asked = examination.case.questions.iter().flat_map(|question| &question.value.rules);
        let is_for_or_against = |answer: &Answer| {
            answer.rule == rule.id && matches!(answer.verdict, Verdict::NotKept | Verdict::CannotBeTold)
        };
        examination.findings_of(rule.id).next().is_some()
            || asked.any(|id| id == rule.id)
            || examination.answers.iter().any(is_for_or_against)
    })
}

fn rules(examinations: &[Examination<'_>], edition: Edition) -> Section {
    let mut section =
        Section::new(Anchor::new("rule-book"), "The rules, and what each rests on").answering(&[8]);
    let (bearing, others): (Vec<&Rule>, Vec<&Rule>) =
        moments::answered(edition).partition(|rule| bears(examinations, rule));
    section.say(
        "A rule rests first on a clause of the local law, where the case file gives one; then on the unit description or the \
         format of the log; then on common practice, which has no published source; then on a comparable published \
         requirement, which does not bind here. What each asks of the record stands with its answer.",
    );
    section.say(format!(
        "Of {}, {} here with the reason: whatever has a finding, is named by a question, or is answered 'not kept' or \
         'cannot be told'. The other {} in the table at the end.",
        count(bearing.len() + others.len(), "rule", "rules"),
        stand(bearing.len()),
        stand(others.len()),
    ));
    section.say(
        Text::from("Every rule is printed whole, with its examples, by ")
            .code(&format!("{TOOL} rules ID"))
            .plain(", and their list by ")
            .code(&format!("{TOOL} rules"))
            .plain(". The list names the digest of the rule book; that of this document is ")
            .code(&provenance::rule_book().to_string())
            .plain("."),
    );
    let mut families: Vec<(Family, Vec<Definition>)> = Vec::new();
    for rule in bearing {
        if families.last().is_none_or(|(family, _)| *family != rule.family) {
            families.push((rule.family, Vec::new()));
        }
        if let Some((_, list)) = families.last_mut() {
            list.push(told(examinations, edition, rule));
        }
    }
    for (family, list) in families {
        let mut part = Section::new(Anchor::new(&format!("family-{}", family.word())), family_title(family));
        part.push(Block::Definitions(list));
        section.sections.push(part);
    }
    section.sections.extend(in_a_table(examinations, edition, &others));
    section
}

fn stand(number: usize) -> String {
    format!("{number} {}", if number == 1 { "stands" } else { "stand" })
}

/// A rule that bears on the matter: its reason and what it rests on, or where these stand.
fn told(examinations: &[Examination<'_>], edition: Edition, rule: &Rule) -> Definition {
    let found = placed(examinations, edition)
        .find(|(_, examination)| examination.findings_of(rule.id).next().is_some());
    let texts = if let Some((place, _)) = found {
        // What stands with a finding is not said twice.
        let words = "Its reason and what it rests on stand with its findings";
        vec![Text::new().link(findings::on_rule(place, rule.id), words).plain(".")]
    } else {
        vec![Text::from(rule.why), Text::from("Rests on ").and(rests_on(examinations, rule)).plain(".")]
    };
    Definition { anchor: Some(anchor(rule.id)), term: Shown::inert(rule.id), texts }
}

/// What a rule rests on, in one line: local clauses first.
fn rests_on(examinations: &[Examination<'_>], rule: &Rule) -> Text {
    let mut parts: Vec<String> = local_clauses(examinations, rule);
    parts.extend(rule.basis.iter().map(|basis| match basis {
        Basis::Unit(text) => format!("the unit description ({text})"),
        Basis::Format(text) => format!("the format of the log ({text})"),
        Basis::Practice(text) => format!("common practice ({text})"),
        Basis::Comparable(text) => format!("comparable, not binding here: {text}"),
    }));
    parts.join("; ").into()
}

/// The same by name only.
fn rests_on_in_short(examinations: &[Examination<'_>], rule: &Rule) -> Text {
    let mut parts: Vec<String> = local_clauses(examinations, rule);
    parts.extend(rule.basis.iter().map(|basis| match basis {
        Basis::Unit(_) => "unit description".to_owned(),
        Basis::Format(_) => "format of the log".to_owned(),
        Basis::Practice(_) => "common practice".to_owned(),
        // A published requirement is named as far as its number; what it says stands behind the colon.
        Basis::Comparable(text) => text.split(':').next().unwrap_or(text).to_owned(),
    }));
    parts.dedup();
    parts.join("; ").into()
}

fn local_clauses(examinations: &[Examination<'_>], rule: &Rule) -> Vec<String> {
    let of_first = examinations.first().map(|examination| basis(examination, rule)).unwrap_or_default();
    let local = of_first.len().saturating_sub(rule.basis.len());
    of_first.iter().take(local).map(|(label, text)| format!("{label}: {text}")).collect()
}

/// The rules that nothing here hangs on: what each asks, its answer and how far that reaches, what it rests on.
fn in_a_table(examinations: &[Examination<'_>], edition: Edition, others: &[&Rule]) -> Option<Section> {
    if others.is_empty() {
        return None;
    }
    let mut section = Section::new(Anchor::new("other-rules"), "The other rules");
    let columns = ["asked of the record", "answer", "how far it reaches", "rests on"];
    let mut table = Table::new("Rules that were kept or do not apply, and that no question names", &columns);
    for rule in others {
        let mut cells = vec![Text::from(rule.asks).plain(" "), Text::new(), Text::new()];
        for (place, examination) in placed(examinations, edition) {
            let Some(answer) = examination.answers.iter().find(|answer| answer.rule == rule.id) else {
                continue;
            };
            let lead = if place.logs > 1 { format!("log {}: ", place.log + 1) } else { String::new() };
            let between = if place.log > 0 { "; " } else { "" };
            let [what, verdict, extent] = &mut cells[..] else { continue };
            *what = match place.log {
                0 => std::mem::take(what).link(place.rule(rule.id), rule.id),
                _ => std::mem::take(what),
            };
            *verdict = std::mem::take(verdict)
                .plain(between)
                .plain(&lead)
                .and(answers::verdict(examination, answer));
            *extent = std::mem::take(extent).plain(between).plain(&lead).plain(&answer.extent);
        }
        cells.push(rests_on_in_short(examinations, rule));
        table.rows.push(Row { anchor: Some(anchor(rule.id)), cells });
    }
    section.push(Block::Table(table));
    Some(section)
}

/// Where a rule is explained.
pub(super) fn anchor(rule: &str) -> Anchor {
    Anchor::new(&format!("why-{rule}"))
}

//! The method in lay words: how the states of the unit are rebuilt, each rule and what it rests on, how often rules err.

use crate::examination::Examination;
use crate::report::document::{Anchor, Block, Definition, Place, Section, Text, findings};
use crate::report::terminal::{basis, family_title};
use crate::rules::{Family, RULES};
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
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(Anchor::new("method"), "The method").answering(&[8]);
    section.on_new_page = true;
    section.push(Block::Steps(STEPS.iter().map(|step| Text::from(*step)).collect()));
    section.sections.push(rules(place, examination));
    let mut errors = Section::new(Anchor::new("errors"), "How often a rule errs").answering(&[16]);
    errors.say(
        "Not yet measured, for any rule. Each rule is tested on made-up logs on which it must speak and on the closest \
         lawful logs on which it must be silent; that shows that it does what it says, and is not an error rate. A rate, \
         when it is measured, will hold for made-up logs and for the version named here only.",
    );
    errors.say(
        "Errors may enter in three ways. The log may be incomplete: coverage and gaps say where. It may be inaccurate: \
         the export may not be faithful to the unit, or the description not fit the model. It may be misread: each \
         finding therefore quotes its lines and names its ordinary explanations.",
    );
    section.sections.push(errors);
    section
}

fn rules(place: Place, examination: &Examination<'_>) -> Section {
    let mut section =
        Section::new(Anchor::new("rule-book"), "The rules, and what each rests on").answering(&[8]);
    section.say(
        "A rule rests first on a clause of the local law, where the case file gives one; then on the unit description; then \
         on common practice; then on a comparable published requirement, which does not bind here. What each asks of the \
         record stands with its answer.",
    );
    let mut families: Vec<(Family, Vec<Definition>)> = Vec::new();
    for rule in RULES {
        if families.last().is_none_or(|(family, _)| *family != rule.family) {
            families.push((rule.family, Vec::new()));
        }
        let is_told = examination.findings.iter().any(|finding| finding.rule == rule.id);
        let mut texts = if is_told {
            // What stands with a finding is not said twice.
            let words = "Its reason and what it rests on stand with its findings";
            vec![Text::new().link(findings::on_rule(place, rule.id), words).plain(".")]
        } else {
            vec![Text::from(rule.why)]
        };
        for (label, text) in basis(examination, rule).into_iter().filter(|_| !is_told) {
            texts.push(Text::from("Rests on ").plain(label).plain(": ").and((&text).into()));
        }
        if let Some((_, list)) = families.last_mut() {
            list.push(Definition { anchor: Some(anchor(rule.id)), term: Shown::inert(rule.id), texts });
        }
    }
    for (family, list) in families {
        let mut part = Section::new(Anchor::new(&format!("family-{}", family.word())), family_title(family));
        part.push(Block::Definitions(list));
        section.sections.push(part);
    }
    section
}

/// Where a rule is explained.
pub(super) fn anchor(rule: &str) -> Anchor {
    Anchor::new(&format!("why-{rule}"))
}

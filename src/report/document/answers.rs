//! The answers: to the questions of the court, rule by rule, the rules kept, those without a subject, and contested facts.

use crate::examination::Examination;
use crate::finding::{Answer, Verdict};
use crate::report::document::{Block, Definition, Place, Section, Table, Text, moments};
use crate::report::terminal::family_title;
use crate::report::{keys, summary};
use crate::rules::{self, Family, RULES};
use crate::source::Shown;

/// The questions that the case file states, each with the answers of the rules that bear on it.
pub(super) fn questions(place: Place, examination: &Examination<'_>) -> Option<Section> {
    if examination.case.questions.is_empty() {
        return None;
    }
    let mut section = Section::new(place.anchor("questions"), "The questions asked").answering(&[2]);
    section.say(
        "Each question stands with the answers of the rules that the case file names for it. A rule answers what the \
         record shows. Whether that answers the question is for the court.",
    );
    let told = crate::report::questions::told(examination);
    for (at, stated) in examination.case.questions.iter().enumerate() {
        let question = &stated.value;
        let number = question.number.clone().unwrap_or_else(|| (at + 1).to_string());
        let mut part = Section::new(
            place.anchor(&format!("question-{}", at + 1)),
            &format!("Question {}: {}", Shown::inert(&number), Shown::inert(&question.text)),
        );
        part.say(format!(
            "Asked by {} ({}).",
            Shown::inert(&stated.basis.by),
            Shown::inert(&stated.basis.source)
        ));
        if let Some(told) = told.get(at).filter(|told| !told.rules.is_empty()) {
            part.say(told.paragraph.clone());
            told.open.iter().for_each(|open| part.say(format!("Left open: {open}")));
            told.settles.iter().for_each(|settles| {
                part.say(format!("What may settle it is asked {}", keys::apart(settles).0))
            });
        }
        let bearing: Vec<&Answer> = question
            .rules
            .iter()
            .filter_map(|id| examination.answers.iter().find(|answer| answer.rule == id))
            .collect();
        let left = moments::of_question(place, &question.rules);
        if bearing.is_empty() && left.is_none() {
            part.say("The case file names no rule that bears on it, so nothing is answered here.");
        }
        left.into_iter().for_each(|left| part.say(left));
        if !bearing.is_empty() {
            let mut table = Table::new(
                "The rules that bear on it",
                &["asked of the record", "answer", "how far it reaches"],
            );
            bearing.iter().for_each(|answer| table.push(row(place, examination, answer)));
            part.push(Block::Table(table));
        }
        section.sections.push(part);
    }
    Some(section)
}

/// A row of a table of answers.
fn row(place: Place, examination: &Examination<'_>, answer: &Answer) -> Vec<Text> {
    let asks = asked(answer);
    let verdict = verdict(examination, answer);
    let what = Text::from(asks).plain(" ").link(place.rule(answer.rule), answer.rule);
    vec![what, verdict, answer.extent.as_str().into()]
}

/// An answer in words; where it is not kept, with how that follows and whether it may be lawful.
pub(super) fn verdict(examination: &Examination<'_>, answer: &Answer) -> Text {
    match summary::standing(examination, answer) {
        Some(standing) => Text::new().strong(answer.verdict.words()).plain(&format!(": {standing}")),
        None => Text::from(answer.verdict.words()),
    }
}

/// The answer to every rule, family by family.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("answers"), "Answers, rule by rule").answering(&[9, 13]);
    section.on_new_page = true;
    section.say(
        "A rule is kept when every occasion for it is in order and none can have gone unseen. It is not kept when at \
         least one occasion is contrary to it. Otherwise it cannot be told.",
    );
    let mut families: Vec<(Family, Table)> = Vec::new();
    for rule in RULES {
        let Some(answer) = examination.answers.iter().find(|answer| answer.rule == rule.id) else { continue };
        if families.last().is_none_or(|(family, _)| *family != rule.family) {
            let columns = ["asked of the record", "answer", "how far it reaches"];
            families.push((rule.family, Table::new(family_title(rule.family), &columns)));
        }
        if let Some((_, table)) = families.last_mut() {
            table.rows.push(crate::report::document::Row {
                anchor: Some(place.rule(rule.id)),
                cells: answer_cells(examination, answer),
            });
        }
    }
    section.blocks.extend(families.into_iter().map(|(_, table)| Block::Table(table)));
    section
}

fn answer_cells(examination: &Examination<'_>, answer: &Answer) -> Vec<Text> {
    let asks = asked(answer);
    let verdict = verdict(examination, answer);
    let what = Text::from(asks).plain(" ").link(super::method::anchor(answer.rule), answer.rule);
    vec![what, verdict, answer.extent.as_str().into()]
}

/// The rules that were kept, with their extent.
pub(super) fn kept(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("kept"), "Rules that were kept").answering(&[13]);
    let kept: Vec<&Answer> =
        examination.answers.iter().filter(|answer| answer.verdict == Verdict::Kept).collect();
    if kept.is_empty() {
        section.say("None can be said to have been kept on this record alone.");
        return section;
    }
    section.say(
        Text::from("Every occasion for these rules was seen and is in order. A rule that is kept is a statement too. How far \
             each reaches stands with it under ")
        .link(place.anchor("answers"), "the answers")
        .plain("."),
    );
    section.push(Block::List(
        kept.iter().map(|answer| Text::new().link(place.rule(answer.rule), asked(answer))).collect(),
    ));
    section
}

/// What a rule asks of the record.
fn asked(answer: &Answer) -> &'static str {
    rules::rule(answer.rule).map_or("", |rule| rule.asks)
}

fn row3(place: Place, examination: &Examination<'_>, answer: &Answer) -> [Text; 3] {
    let mut cells = row(place, examination, answer).into_iter();
    std::array::from_fn(|_| cells.next().unwrap_or_default())
}

/// The rules that do not apply, and why.
pub(super) fn no_subject(place: Place, examination: &Examination<'_>) -> Option<Section> {
    let list: Vec<&Answer> =
        examination.answers.iter().filter(|answer| answer.verdict == Verdict::DoesNotApply).collect();
    if list.is_empty() {
        return None;
    }
    let mut section = Section::new(place.anchor("no-subject"), "Rules that do not apply").answering(&[13]);
    let mut table =
        Table::new("Rules without a subject here", &["asked of the record", "why it does not apply"]);
    for answer in list {
        let [what, ..] = row3(place, examination, answer);
        table.push(vec![what, format!("{}.", answer.why.join("; ")).into()]);
    }
    section.push(Block::Table(table));
    Some(section)
}

/// Where the papers disagree, and which answers differ.
pub(super) fn versions(place: Place, examination: &Examination<'_>) -> Option<Section> {
    if examination.versions.len() < 2 {
        return None;
    }
    let mut section = Section::new(place.anchor("versions"), "Where the papers disagree").answering(&[11]);
    section.say(
        "The case file states some facts in more than one version. The log was examined under each. Where the answer to \
         a rule differs between them, it cannot be told. A finding that not every version gives is conditional, and \
         names its version.",
    );
    section.push(Block::Steps(examination.versions.iter().map(Text::from).collect()));
    if examination.versions_cut {
        section
            .push(Block::Notice("There are more versions than these; the others were not examined.".into()));
    }
    let differing: Vec<&Answer> =
        examination.answers.iter().filter(|answer| !answer.versions.is_empty()).collect();
    if differing.is_empty() {
        section.say("Every rule has the same answer under each of them.");
        return Some(section);
    }
    section.say("These answers differ:");
    let list = differing.into_iter().map(|answer| {
        let texts = answer.versions.iter().map(|(version, verdict)| {
            Text::new().strong(verdict.words()).plain(", if this holds: ").and(version.into())
        });
        Definition { anchor: None, term: Shown::inert(answer.rule), texts: texts.collect() }
    });
    section.push(Block::Definitions(list.collect()));
    Some(section)
}

//! What is stated: the papers of the case file; and what the text of the log holds besides records.

use crate::examination::Examination;
use crate::report::document::{Block, Edition, Place, Section, Table, Text, findings};
use crate::report::evidence::Role;
use crate::report::{count, papers, vocabulary};
use crate::syntax::{self, LineKind};

/// How many comments are quoted; the rest stands in the annex.
const COMMENTS: usize = 40;

/// How many places with faults are told; the rest is counted.
const FAULTS: usize = 40;

/// What the case file states.
pub(super) fn papers(place: Place, examination: &Examination<'_>) -> Option<Section> {
    let statements = papers::statements(examination.case);
    if statements.is_empty() {
        return None;
    }
    let mut section = Section::new(place.anchor("stated"), "What the case file states").answering(&[5, 7]);
    section.say(
        "These are statements of people, each with its paper and who asserts it. The tool tests the record against \
         them; it does not know whether they are true.",
    );
    let columns = ["about", "stated", "where it is stated, and by whom", "#line of the case file"];
    let mut table = Table::new("Statements of the case file", &columns);
    for paper in statements {
        let mut text = Text::from(&paper.text);
        if !paper.used {
            text = text.plain(" (Printed, and used by no rule.)");
        }
        table.push(vec![paper.about.into(), text, (&paper.basis).into(), paper.line.to_string().into()]);
    }
    section.push(Block::Table(table));
    Some(section)
}

/// What the text holds besides records: comments, text not read, words not known.
pub(super) fn text(place: Place, examination: &Examination<'_>) -> Section {
    let mut section =
        Section::new(place.anchor("text"), "Comments, text that could not be read, words not known")
            .answering(&[6]);
    comments(&mut section, place, examination);
    faults(&mut section, place, examination);
    unknown(&mut section, examination);
    if section.blocks.is_empty() {
        section.say("The text of the log holds no comment, no line that could not be read, and no word that is not known.");
    }
    section
}

fn comments(section: &mut Section, place: Place, examination: &Examination<'_>) {
    let lines: Vec<(usize, Role)> = examination
        .log
        .lines()
        .iter()
        .enumerate()
        .filter(|(_, line)| line.kind == LineKind::Comment)
        .map(|(index, _)| (index, Role::Context))
        .collect();
    if lines.is_empty() {
        return;
    }
    section.say(format!(
        "{}. Somebody wrote these lines into the file. They are no records, and no rule rests on them.",
        count(lines.len(), "comment", "comments")
    ));
    let shown = lines.get(..COMMENTS.min(lines.len())).unwrap_or_default();
    section.push(Block::Lines(findings::quoted(place, examination, shown)));
    if lines.len() > COMMENTS {
        section.say("The others stand in the annex.");
    }
}

fn faults(section: &mut Section, place: Place, examination: &Examination<'_>) {
    let log = examination.log;
    if log.faults().is_empty() {
        return;
    }
    let unread = log.lines().iter().filter(|line| line.kind == LineKind::Unread).count();
    section.say(format!(
        "{} where the text does not have the form of the format. {} not read as a record, and each may stand for any \
         number of records.",
        count(log.fault_counts().total(), "place", "places"),
        match unread {
            0 => "No line was".to_owned(),
            1 => "1 line was".to_owned(),
            _ => format!("{} were", count(unread, "line", "lines")),
        }
    ));
    let columns = ["line", "what is wrong there", "right form", "text"];
    let mut table = Table::new("Places where the form is not kept", &columns);
    for fault in log.faults().iter().take(FAULTS) {
        let entry = fault.code.entry();
        let number = log.line_number(fault.line);
        let words = number.to_string();
        let line = if super::annex::holds(examination, fault.line) {
            Text::new().link(place.line(number), &words)
        } else {
            words.into()
        };
        // Of a line that could not be read nobody knows what in it is a time.
        let text = match place.edition {
            Edition::Full => Text::new().code(syntax::report(log, fault).excerpt()),
            Edition::Public => Text::from("left out in the public edition"),
        };
        table.push(vec![
            line,
            Text::from(entry.message).plain(" (").code(fault.code.word()).plain(")"),
            entry.help.into(),
            text,
        ]);
    }
    section.push(Block::Table(table));
    let told = log.faults().len().min(FAULTS);
    if log.fault_counts().total() > told {
        section.say(format!(
            "Of {} more, the counts: ",
            count(log.fault_counts().total() - told, "place", "places")
        ));
        let counts = log.fault_counts().iter().map(|(code, all)| {
            Text::from(format!("{}: {all} in all (", code.entry().message)).code(code.word()).plain(")")
        });
        section.push(Block::List(counts.collect()));
    }
}

fn unknown(section: &mut Section, examination: &Examination<'_>) {
    let unknown = vocabulary::unknown(examination.log);
    if unknown.is_empty() {
        return;
    }
    section.say(
        "These words are not in the vocabulary. They are kept and counted, and nothing is guessed about them. An unknown \
         event may have changed the unit in any way.",
    );
    let mut table = Table::new(
        "Words that the vocabulary does not know",
        &["word", "what it is", "#times", "#first line"],
    );
    for word in unknown {
        table.push(vec![
            Text::new().code(word.word.as_str()),
            word.what.into(),
            word.times.to_string().into(),
            word.first_line.to_string().into(),
        ]);
    }
    section.push(Block::Table(table));
}

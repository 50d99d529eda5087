//! The numbers side by side: each with its letter and source, the equations between them, and a picture of both sides.

use crate::examination::Examination;
use crate::finding::capital;
use crate::report::chart;
use crate::report::document::{Block, Definition, Figure, Place, Section, Table, Text};
use crate::report::ledger::{self, Entry, INTRODUCTION, Sheet};
use crate::report::sums;
use crate::source::Shown;

/// How many versions of the ledger are told; the rest is counted.
const VERSIONS: usize = 3;

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("ledger"), ledger::TITLE).answering(&[9, 14]);
    let sums = sums::told(examination);
    if !sums.is_empty() {
        section.say(sums::INTRODUCTION);
        section.push(Block::List(sums.iter().map(|sum| Text::from(sum.text.as_str())).collect()));
    }
    let sheets = ledger::sheets(examination);
    if sheets.iter().all(|sheet| sheet.rows.is_empty()) {
        section.say("Neither the log nor the case file states numbers that can be set side by side.");
        sheets.iter().flat_map(|sheet| &sheet.notes).for_each(|note| section.say(note.as_str()));
        return section;
    }
    section.say(INTRODUCTION);
    for (nth, sheet) in sheets.iter().take(VERSIONS).enumerate() {
        match &sheet.version {
            None => of_one(&mut section, place, nth, sheet),
            Some(version) => {
                let title = format!("If it is so: {version}");
                let mut part = Section::new(place.anchor(&format!("ledger-{}", nth + 1)), &title);
                of_one(&mut part, place, nth, sheet);
                section.sections.push(part);
            }
        }
    }
    if sheets.len() > VERSIONS {
        section
            .say("Other versions of contested facts give further ledgers; they stand in the report as JSON.");
    }
    section
}

fn of_one(section: &mut Section, place: Place, nth: usize, sheet: &Sheet) {
    let mut numbers = Table::new("The numbers", &["letter", "what it counts", "#number", "where it is from"]);
    for row in &sheet.rows {
        let number = match &row.follows {
            Some(follows) => Text::from(row.number.as_str()).plain("; follows: ").strong(follows),
            None => row.number.as_str().into(),
        };
        numbers.push(vec![row.letter.as_str().into(), (&row.words).into(), number, (&row.from).into()]);
    }
    if !numbers.rows.is_empty() {
        section.push(Block::Table(numbers));
    }
    if !sheet.entries.is_empty() {
        let columns = ["what must agree", "in letters", "in figures", "what follows"];
        let mut equations = Table::new("What must agree", &columns);
        sheet.entries.iter().for_each(|entry| equations.push(equation(place, entry)));
        section.push(Block::Table(equations));
        let notes = sheet.entries.iter().filter(|entry| !entry.own.is_empty()).map(|entry| Definition {
            anchor: None,
            term: Shown::inert(&entry.letters),
            texts: entry.own.iter().map(|note| format!("{}.", capital(note)).into()).collect(),
        });
        let notes: Vec<Definition> = notes.collect();
        if !notes.is_empty() {
            section.say("What one of them rests on, or leaves open:");
            section.push(Block::Definitions(notes));
        }
        section.push(Block::Figure(figure(place, nth, sheet)));
    }
    if !sheet.shared.is_empty() {
        section.say("More than one of these equations rests on this:");
        section.push(Block::List(
            sheet.shared.iter().map(|note| format!("{}.", capital(note)).into()).collect(),
        ));
    }
    sheet.notes.iter().for_each(|note| section.say(note.as_str()));
}

fn equation(place: Place, entry: &Entry) -> Vec<Text> {
    let mut words = Text::from(format!("{}. ", capital(entry.words)));
    if entry.rule.is_empty() {
        words = words.plain("No rule rests on this.");
    } else {
        words = words.link(place.rule(entry.rule), entry.rule);
    }
    vec![words, Text::new().code(&entry.letters), entry.figures.as_str().into(), (&entry.verdict).into()]
}

fn figure(place: Place, nth: usize, sheet: &Sheet) -> Figure {
    let title = match &sheet.version {
        Some(version) => format!("Both sides of each equation, if this holds: {version}"),
        None => "Both sides of each equation".to_owned(),
    };
    let title = if place.logs > 1 { format!("Log {}: {title}", place.log + 1) } else { title };
    Figure {
        anchor: place.anchor(&format!("ledger-picture-{}", nth + 1)),
        title: Shown::inert(&title),
        alternative: Text::from("The table above gives every number of the picture."),
        caption: Text::from(
            "Each equation has its two sides under each other, on one scale. A full mark: the number is known exactly. A \
             pale bar with a dashed border: it lies between the ends of the bar. A hollow mark: it follows only from the other \
             equations that stand with it. Slanting lines: on that side no end is known. Where the two sides have nothing in common, they cannot agree.",
        ),
        picture: chart::ledger(sheet),
    }
}

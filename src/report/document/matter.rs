//! The matter: who asked, what was asked, the dates; and the first lines on a log.

use crate::case::Case;
use crate::examination::Examination;
use crate::finding::Place as At;
use crate::report::document::{
    Anchor, Block, Definition, Document, Edition, Field, Place, Section, Text, findings, moments,
};
use crate::report::{TOOL, VERSION, summary};
use crate::source::Shown;

/// Whether the case file says that a person has signed.
pub(super) fn is_signed(case: &Case) -> bool {
    case.matter.signed.is_some()
}

/// A field with what the case file says, or visibly empty.
pub(super) fn field(label: &str, text: Option<&str>, lines: u8) -> Block {
    Block::Field(Field { label: Shown::inert(label), text: text.map(Shown::inert), lines })
}

/// The section on the matter.
pub(super) fn section(case: &Case, document: &Document) -> Section {
    let matter = &case.matter;
    let mut section = Section::new(Anchor::new("matter"), "The matter").answering(&[1, 2, 3, 4]);
    section.push(Block::Definitions(vec![
        Definition::new("report", document.title.as_str()),
        Definition::new(
            "report id",
            Text::new().code(document.id.as_str()).plain(match document.edition {
                Edition::Full => {
                    ", which follows from the digests of what was read, the version, the edition and the date"
                }
                Edition::Public => ", which follows from the words of this edition and the version",
            }),
        ),
        Definition::new("edition", document.edition.word()),
        Definition::new(
            "state",
            if document.is_signed { "signed, as the case file states" } else { "draft" },
        ),
        Definition::new("made by", format!("{TOOL} {VERSION}")),
    ]));
    for (label, text) in [
        ("matter", &matter.title),
        ("court or body", &matter.court),
        ("its number there", &matter.number),
        ("asked by", &matter.requested_by),
        ("question asked", &matter.question),
        ("examiner", &matter.examiner),
    ] {
        section.push(field(label, text.as_deref(), 1));
    }
    section.push(field("legal authority for the examination", None, 1));
    section.push(field("evidence received on", None, 1));
    section.push(field("work done on", None, 1));
    section.push(field("date of this report", document.date.as_ref().map(Shown::as_str), 1));
    section.say(
        "What is empty here was not stated to the tool. The tool reads no clock: dates are those that a person states.",
    );
    section
}

/// The first lines on a log.
pub(super) fn in_short(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("in-short"), "In short").answering(&[10]);
    section.on_new_page = true;
    section.say("A rule here is a question put to the record, not a rule of law.");
    section.say(summary::in_short(examination));
    if place.edition == Edition::Public {
        section.say(moments::in_short(place));
    }
    if !examination.findings.is_empty() {
        let findings = examination.findings.iter().enumerate();
        let list = findings.take(LISTED).map(|(at, finding)| {
            let title = crate::report::titled(finding);
            let line = match finding.main {
                At::Line(line) => format!("; line {}", examination.log.line_number(line)),
                At::Log => String::new(),
            };
            findings::link(place, examination, at, &format!("Finding {}", at + 1)).plain(&format!(
                " ({}, {}{line}): {title}",
                finding.kind.word(),
                finding.weight.word()
            ))
        });
        section.push(Block::List(list.collect()));
        if examination.findings.len() > LISTED {
            section.say(format!("And {} more.", examination.findings.len() - LISTED));
        }
    }
    if examination.case.matter.question.is_some() && examination.case.questions.is_empty() {
        section.say(
            "The question that was asked stands under the matter. The case file names no rules for it, so that no answer is \
             put together for it here; whether what is listed above answers it is for whoever asked it to say.",
        );
    }
    section.say(
        Text::from("What the records show stands apart from what a person makes of it. This document holds facts of the \
             record and what follows from them under stated assumptions. Opinion belongs to the ")
            .link(Anchor::new("person"), "fields that only a person can fill")
            .plain("."),
    );
    section
}

/// How many findings the first lines name.
const LISTED: usize = 20;

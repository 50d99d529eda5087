//! The report for a terminal: sections in plain words, in a fixed order, each statement tied to lines of the log.

mod answers;
mod findings;
mod identity;
mod limits;
mod open;
mod pace;
mod questions;
mod rest;

use crate::examination::Examination;
use crate::finding::Verdict;
use crate::report::page::{Page, Tone};
use crate::report::{DEMONSTRATION, Frame, Layout, NO_EVIDENCE, TOOL, VERSION, count};

/// The report on the logs of one source.
#[must_use]
pub fn report(examinations: &[Examination<'_>], frame: &Frame, layout: Layout) -> String {
    let mut page = Page::new(layout, frame.demonstration.then_some(DEMONSTRATION));
    if frame.demonstration {
        page.text(0, Tone::Weighty, NO_EVIDENCE);
    }
    let several = examinations.len() > 1;
    for (place, examination) in examinations.iter().enumerate() {
        let which =
            if several { format!(", log {} of {}", place + 1, examinations.len()) } else { String::new() };
        page.head(&format!("Examination of a unit's event log{which}"));
        in_short(&mut page, examination);
        identity::print(&mut page, examination, frame);
        questions::print(&mut page, examination);
        answers::print(&mut page, examination);
        findings::print(&mut page, examination);
        open::print(&mut page, examination);
        pace::print(&mut page, examination);
        rest::print(&mut page, examination);
    }
    limits::print(&mut page, examinations, frame);
    page.finish()
}

/// The first lines: how many rules have which answer, and how much that means.
fn in_short(page: &mut Page, examination: &Examination<'_>) {
    let of = |verdict: Verdict| examination.answers.iter().filter(|answer| answer.verdict == verdict).count();
    let findings = examination.findings.len();
    let mut text = format!(
        "Of {}, {} not kept, {} kept, {} cannot be told, and {} not apply. ",
        count(examination.answers.len(), "rule", "rules"),
        are(of(Verdict::NotKept)),
        are(of(Verdict::Kept)),
        of(Verdict::CannotBeTold),
        match of(Verdict::DoesNotApply) {
            1 => "1 does".to_owned(),
            number => format!("{number} do"),
        }
    );
    text.push_str(&match findings {
        0 => "There is no finding, which does not mean that the log is in order.".to_owned(),
        _ => format!(
            "There {} {}.",
            if findings == 1 { "is" } else { "are" },
            count(findings, "finding", "findings")
        ),
    });
    let of_version = examination
        .findings
        .iter()
        .filter(|finding| {
            examination
                .answers
                .iter()
                .any(|answer| answer.rule == finding.rule && answer.verdict == Verdict::CannotBeTold)
        })
        .count();
    if of_version > 0 {
        text.push_str(&format!(
            " {} only under one version of contested facts; {} among those that cannot be told.",
            match (of_version, findings) {
                (1, 1) => "It follows".to_owned(),
                (1, _) => "One of them follows".to_owned(),
                _ => format!("{of_version} of them follow"),
            },
            if of_version == 1 { "its rule counts" } else { "their rules count" },
        ));
    }
    if examination.findings.iter().any(|finding| finding.group.is_some()) {
        text.push_str(" Findings that may have one cause say which others they belong with.");
    }
    text.push_str(
        " An answer says what this record shows under the unit description named below. It is not a judgment on \
         the poll or on any person.",
    );
    page.text(0, Tone::Plain, &text);
    page.text(
        0,
        Tone::Quiet,
        &format!("Made by {TOOL} {VERSION}. Supporting material; see the last sections."),
    );
}

fn are(number: usize) -> String {
    format!("{number} {}", if number == 1 { "is" } else { "are" })
}

pub(super) use answers::title as family_title;
pub(super) use findings::{basis, basis_words};

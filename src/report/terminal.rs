//! The report for a terminal: sections in plain words, in a fixed order, each statement tied to lines of the log.

mod answers;
mod assumed;
mod day;
mod findings;
mod identity;
mod ledger;
mod limits;
mod open;
mod pace;
mod questions;
mod rest;

use crate::examination::Examination;
use crate::report::page::{Page, Tone};
use crate::report::{DEMONSTRATION, Frame, Layout, NO_EVIDENCE, TOOL, VERSION, summary};

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
        day::print(&mut page, examination);
        findings::print(&mut page, examination);
        assumed::print(&mut page, examination);
        ledger::print(&mut page, examination);
        open::print(&mut page, examination);
        pace::print(&mut page, examination);
        rest::print(&mut page, examination);
    }
    limits::print(&mut page, examinations, frame);
    page.finish()
}

/// The first lines: how many rules have which answer, and how much that means.
fn in_short(page: &mut Page, examination: &Examination<'_>) {
    page.text(0, Tone::Plain, &summary::in_short(examination));
    page.text(
        0,
        Tone::Quiet,
        &format!("Made by {TOOL} {VERSION}. Supporting material; see the last sections."),
    );
}

pub(super) use answers::title as family_title;
pub(super) use findings::{basis, basis_words};

//! What a case file states, as a page: for the person who has written one and wants to see it as a report will.

use crate::case::CaseFile;
use crate::report::page::{Page, Tone};
use crate::report::{Layout, count, papers};

/// The page.
#[must_use]
pub fn page(file: &CaseFile, layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    page.head("The case file has no errors");
    page.field(0, "case file", file.name.as_str());
    page.field(0, "SHA-256", &file.digest.to_string());
    for (label, text) in papers::matter(&file.case) {
        page.field(0, label, text.as_str());
    }

    page.head("What it states");
    let statements = papers::statements(&file.case);
    if statements.is_empty() {
        page.text(0, Tone::Plain, "Nothing: it holds no statement.");
    }
    for paper in &statements {
        page.field(0, paper.about, &format!("{}, {} (line {}).", paper.text, paper.basis, paper.line));
    }

    let versions = file.case.versions();
    page.head("Where its statements disagree");
    if versions.versions.len() < 2 {
        page.text(0, Tone::Plain, "Nowhere.");
        return page.finish();
    }
    let number = count(versions.versions.len(), "version", "versions");
    page.text(0, Tone::Plain, &format!("A log is examined under each of {number}:"));
    for (place, version) in versions.versions.iter().enumerate() {
        let choices: Vec<&str> = version.choices.iter().map(|choice| choice.text.as_str()).collect();
        page.item(0, &format!("{}.", place + 1), &choices.join("; "));
    }
    if versions.cut {
        page.text(0, Tone::Weighty, "There are more than these; the others are not examined.");
    }
    page.finish()
}

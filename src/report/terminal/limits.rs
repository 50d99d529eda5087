//! How to read a report, what it cannot carry, and how to repeat it.

use crate::examination::Examination;
use crate::report::page::{Page, Tone};
use crate::report::provenance::Provenance;
use crate::report::{CAUTIONS, EXIT_CODES, Frame, TOOL, VERSION, exit_code};

/// Prints the sections that end a report.
pub(super) fn print(page: &mut Page, examinations: &[Examination<'_>], frame: &Frame) {
    page.head("Cautions");
    for text in CAUTIONS {
        page.item(0, "-", text);
    }

    page.head("How to repeat this");
    if let Some(first) = examinations.first() {
        for (about, text) in Provenance::of(first, frame).statements() {
            page.field(0, about, &text);
        }
    } else {
        page.field(0, "tool", &format!("{TOOL} {VERSION}"));
        page.field(0, "command", frame.command.as_str());
    }
    let code = exit_code(examinations);
    page.field(0, "exit code", &code.to_string());
    for (entry, meaning) in EXIT_CODES.iter().filter(|(entry, _)| *entry == code) {
        page.field(2, &format!("{entry} means"), meaning);
    }
    page.text(
        0,
        Tone::Plain,
        "The same bytes with the same description, case file and tool give the same report, on every machine. No \
         clock and no network is used, and no file is written but what is asked for.",
    );
}

//! `grammar/exchange.md`: the formats, what each carries, and the faults that a log of another format can have.

use std::fmt::Write as _;

use super::FORMATS;
use crate::syntax::fault_manual;

/// The formats as a page for the person who sends or receives a log; a test compares.
#[must_use]
pub fn formats_manual() -> String {
    let mut page = String::from(
        "# Other formats\n\nPrinted from the table in `src/exchange/mod.rs`; a test compares. A file is read in the first \
         format that it is recognised as by how it begins, a table or printout by a mapping (grammar/mapping.md), and \
         anything else as our own. The evidence stays the original file: every line of a report quotes it.\n\nNothing that \
         may name a voter's choice or identity is written in any format: a log that holds it is not written, and the \
         reason names the line.\n\n| format | what it is | read | written |\n|---|---|---|---|\n",
    );
    for format in FORMATS {
        let word = |is: bool| if is { "yes" } else { "no" };
        let (reads, writes) = (word(format.reads.is_some()), word(format.writes.is_some()));
        _ = writeln!(page, "| `{}` | {} | {reads} | {writes} |", format.id, format.meaning);
    }
    page.push_str("\n## What each carries\n");
    let mut said: Vec<&str> = Vec::new();
    for format in FORMATS.iter().filter(|format| format.writes.is_some()) {
        if said.contains(&format.carries) {
            continue;
        }
        said.push(format.carries);
        let ids: Vec<String> = FORMATS
            .iter()
            .filter(|other| other.carries == format.carries)
            .map(|other| format!("`{}`", other.id))
            .collect();
        _ = write!(page, "\n### {}\n\n{}\n", ids.join(", "), format.carries);
    }
    page.push_str("\n## What may be the matter with a log of another format\n\nBesides these, a log can have some faults of our own format: an attribute twice, or too many of them.\n\n");
    page.push_str(&fault_manual(true));
    page
}

//! Settings with their origin; how to repeat the examination; what became of the evidence and of files made from it.

use crate::examination::Examination;
use crate::report::document::matter::field;
use crate::report::document::{Anchor, Block, Document, Section, Table, Text, method};
use crate::report::{Frame, TOOL, VERSION, count, papers};
use crate::source::Digest;

/// The settings, each with where it comes from.
pub(super) fn settings(examination: &Examination<'_>, frame: &Frame, document: &Document) -> Section {
    let mut section =
        Section::new(Anchor::new("settings"), "Tool and settings, with their origin").answering(&[7]);
    let mut table = Table::new("Settings", &["setting", "value", "where it comes from"]);
    let unit_digest = examination.unit.digest.to_string();
    let from = if frame.unit_file.is_some() { "a file, see the items" } else { "built into the program" };
    let mut digested = String::new();
    let mut put = |setting: &str, value: &str, is_code: bool, from: &str| {
        digested.push_str(&format!("{setting}: {value}\n"));
        let value = if is_code { Text::new().code(value) } else { value.into() };
        table.push(vec![setting.into(), value, from.into()]);
    };
    put("tool", &format!("{TOOL} {VERSION}"), false, "the program");
    put(
        "rule book, SHA-256",
        &method::rule_book().to_string(),
        true,
        "built into the program; the digest is of every rule's words",
    );
    put("unit description, SHA-256", &unit_digest, true, from);
    match &frame.case_file {
        Some(paper) => put("case file, SHA-256", &paper.digest.to_string(), true, "a file, see the items"),
        None => put("case file", "none", false, "none was given"),
    }
    put("edition", document.edition.word(), false, "the command");
    put(
        "date of the report",
        document.date.as_ref().map_or("not stated", |date| date.as_str()),
        false,
        "the case file or the command, never a clock",
    );
    put("time zones", "no table of zones is used", false, "offsets are those that the papers state");
    for paper in papers::statements(examination.case).iter().filter(|paper| paper.about == "setting") {
        let from = format!("{} (line {} of the case file)", paper.basis, paper.line);
        put("stated in the case file", paper.text.as_str(), false, &from);
    }
    let digest = Digest::of(digested.as_bytes()).to_string();
    table.push(vec![
        "all of the above, SHA-256".into(),
        Text::new().code(&digest),
        "worked out from the rows above, as 'setting: value' lines".into(),
    ]);
    section.push(Block::Table(table));
    section.push(field("SHA-256 of the program file that was used", None, 1));
    section
}

/// How to repeat it.
pub(super) fn section(examinations: &[Examination<'_>], frame: &Frame, document: &Document) -> Section {
    let mut section = Section::new(Anchor::new("repeat"), "How to repeat this").answering(&[17, 19]);
    section.say(format!(
        "With {TOOL} {VERSION}, in a folder that holds the items under the names and digests given above:"
    ));
    section.push(Block::Verbatim(frame.command.clone()));
    section.say(
        "The same bytes with the same description, case file and tool give the same document to the byte, on every \
         machine and in every folder. No clock and no network is used. When the file is written, the command prints its length and SHA-256: \
         whoever repeats it compares them. The document cannot hold its own digest.",
    );
    section.say(
        "A second method: the command 'walk' prints the log line by line with the states that the unit may have been in, and \
         'states' prints the table of states, so that the replay can be followed by hand or by another program.",
    );
    let mut files =
        Section::new(Anchor::new("disposition"), "What became of the evidence").answering(&[18, 19]);
    let read: usize = 1 + usize::from(frame.case_file.is_some()) + usize::from(frame.unit_file.is_some());
    files.say(format!(
        "The tool opened {} for reading only and changed nothing. {} examined. It wrote this document, report id {}, and \
         nothing else.",
        count(read, "item", "items"),
        if examinations.len() == 1 { "One log was".to_owned() } else { format!("{} were", count(examinations.len(), "log", "logs")) },
        document.id
    ));
    files.push(field("where the evidence is now, and who holds it", None, 2));
    files.push(field("other files made from it, each with its digest", None, 2));
    files.push(field("how long all of it is kept, and under which rule", None, 1));
    section.sections.push(files);
    section
}

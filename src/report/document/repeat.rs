//! Settings with their origin; how to repeat the examination; what became of the evidence and of files made from it.

use crate::examination::Examination;
use crate::report::document::matter::field;
use crate::report::document::order::NOT_IN_PUBLIC;
use crate::report::document::{Anchor, Block, Document, Edition, Section, Table, Text};
use crate::report::provenance::{self, Provenance};
use crate::report::{Frame, TOOL, VERSION, count};
use crate::source::Digest;

/// The settings, each with where it comes from.
pub(super) fn settings(examination: &Examination<'_>, frame: &Frame, document: &Document) -> Section {
    let mut section =
        Section::new(Anchor::new("settings"), "Tool and settings, with their origin").answering(&[7]);
    let mut table = Table::new("Settings", &["setting", "value", "where it comes from"]);
    let provenance = Provenance::of(examination, frame);
    let from = if frame.unit_file.is_some() { "a file, see the items" } else { "built into the program" };
    let mut put =
        |setting: &str, value: Text, from: &str| table.push(vec![setting.into(), value, from.into()]);
    let code = |digest: Digest| Text::new().code(&digest.to_string());
    put("tool", format!("{} {}", provenance.tool, provenance.version).into(), "the program");
    let rules = format!("built into the program: every word of {}", count(provenance.rules, "rule", "rules"));
    put("rule book, SHA-256", code(provenance.rule_book), &rules);
    put("unit description, SHA-256", code(provenance.unit.2), from);
    // Both follow from times that the public edition tells by the half hour.
    let of_times = |digest: Digest| match document.edition {
        Edition::Full => code(digest),
        Edition::Public => NOT_IN_PUBLIC.into(),
    };
    match &frame.case_file {
        Some(paper) => put("case file, SHA-256", of_times(paper.digest), "a file, see the items"),
        None => put("case file", "none".into(), "none was given"),
    }
    if let Some(paper) = &frame.mapping_file {
        put("mapping, SHA-256", code(paper.digest), "a file, see the items");
    }
    for font in &frame.fonts {
        put("font, SHA-256", code(font.digest), &format!("the file {}", font.name));
    }
    put("edition", document.edition.word().into(), "the command");
    let date = document.date.as_ref().map_or_else(|| "not stated".into(), Text::from);
    put("date of the report", date, "the case file or the command, never a clock");
    put("data on time zones", provenance.zone_data.into(), "the program");
    for setting in provenance::settings(examination.case) {
        put(setting.about, (&setting.text).into(), setting.origin.as_str());
    }
    put(
        "settings of the case file, SHA-256",
        of_times(provenance.settings),
        "worked out from those of the rows above that the case file states",
    );
    section.push(Block::Table(table));
    section.push(field("SHA-256 of the program file that was used", None, 1));
    section
}

/// How to repeat it.
pub(super) fn section(examinations: &[Examination<'_>], frame: &Frame, document: &Document) -> Section {
    let mut section = Section::new(Anchor::new("repeat"), "How to repeat this").answering(&[17, 19]);
    let names = match document.edition {
        Edition::Full => "names given above, and with the digests that are given there",
        Edition::Public => {
            "names given above, and with the digests that the full edition or the manifest of a bundle gives"
        }
    };
    section.say(format!(
        "With {TOOL} {VERSION}, in a folder that holds the items under the {names}, and with any name for what is written:"
    ));
    section.push(Block::Verbatim(frame.command.clone()));
    section.say(
        "The same bytes with the same description, case file and tool give the same document to the byte, on every \
         machine and in every folder. No clock and no network is used. When the file is written, the command prints its length and SHA-256: \
         whoever repeats it compares them. The document cannot hold its own digest.",
    );
    section.say(
        "No second tool was used. To follow the replay by hand: the command 'walk' of the same program prints the log line by \
         line with the states that the unit may have been in, and 'states' prints the table of states.",
    );
    let mut files =
        Section::new(Anchor::new("disposition"), "What became of the evidence").answering(&[18, 19]);
    let read = 1 + frame.papers().count();
    let beside = if frame.in_bundle {
        ", with the other files of its bundle, all of which the manifest there lists,"
    } else {
        ","
    };
    let opened =
        format!("The tool opened {} for reading only and changed nothing.", count(read, "item", "items"));
    files.say(format!(
        "{} {} examined. It wrote this document, report id {}{beside} and nothing else.",
        if frame.demonstration {
            "No evidence was read: the demonstration is part of the program."
        } else {
            &opened
        },
        if examinations.len() == 1 {
            "One log was".to_owned()
        } else {
            format!("{} were", count(examinations.len(), "log", "logs"))
        },
        document.id
    ));
    files.push(field("where the evidence is now, and who holds it", None, 2));
    files.push(field("other files made from it, each with its digest", None, 2));
    files.push(field("how long all of it is kept, and under which rule", None, 1));
    section.sections.push(files);
    section
}

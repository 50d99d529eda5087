//! What was examined, under which description and papers, and how far the log speaks.

use crate::examination::Examination;
use crate::report::page::{Page, Tone};
use crate::report::{Frame, IDENTITY_WITHHELD, NOT_EXAMINED, Paper, clock, count, coverage, grouped, papers};
use crate::syntax::LineKind;

/// Prints the sections on identity and coverage.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>, frame: &Frame) {
    page.head("What was examined");
    source(page, examination);
    if let Some(file) = &frame.mapping_file {
        paper(page, "read by the mapping", file);
    }
    unit(page, examination, frame);
    case(page, examination, frame);

    page.head("How far the log speaks");
    for statement in coverage::statements(examination) {
        page.field(0, statement.about, &statement.text);
    }

    clock_of_unit(page, examination);

    page.head("What is not examined");
    for text in NOT_EXAMINED {
        page.item(0, "-", text);
    }
}

fn clock_of_unit(page: &mut Page, examination: &Examination<'_>) {
    page.head(clock::TITLE);
    for statement in clock::on_readings(examination) {
        page.field(0, statement.about, &statement.text);
    }
    let records = clock::Records::of(examination);
    for row in &records.rows {
        page.field(0, row.about, &row.sentence());
    }
    if !records.premises.is_empty() {
        page.gap();
        page.text(0, Tone::Plain, clock::HANGS_ON);
        for (number, premise) in (1..).zip(&records.premises) {
            page.item(0, &format!("{number}."), &format!("{premise}."));
        }
    }
}

fn source(page: &mut Page, examination: &Examination<'_>) {
    let log = examination.log;
    let source = log.source();
    page.field(0, "log", source.name().as_str());
    if let Some((bytes, digest)) = log.file_identity(&examination.secrecy) {
        page.field(0, "size", &count(bytes, "byte", "bytes"));
        page.field(0, "SHA-256", &digest.to_string());
    } else {
        page.field(0, "size, SHA-256", IDENTITY_WITHHELD);
    }
    if let Some(format) = log.format() {
        page.field(0, "read as", format.as_str());
    }
    if let Some((first, last)) = log.line_range() {
        page.field(
            0,
            "its lines",
            &format!("{} to {} of the file", grouped(first as u64), grouped(last as u64)),
        );
    }
    let has_heading = log.lines().iter().any(|line| line.kind == LineKind::Heading);
    if log.records().is_empty() && !has_heading && log.format().is_none() {
        page.text(
            0,
            Tone::Weighty,
            "No line of the file is a record of the neutral format, and nothing is said about the unit. A table, printout \
             or spreadsheet of another program is read by a mapping: 'mapping new FILE' begins one.",
        );
    }
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        page.field(2, key.shown().as_str(), value.shown().as_str());
    }
    if log.headers().is_empty() {
        page.field(2, "headers", "none: the log does not say which unit it comes from or who wrote it out");
    } else if log.header("exported-by").is_none() {
        page.field(2, "exported by", "not stated in the log");
    }
}

fn unit(page: &mut Page, examination: &Examination<'_>, frame: &Frame) {
    let unit = examination.unit;
    page.gap();
    let (name, version) = (inert(&unit.name), inert(&unit.version));
    page.field(0, "unit description", &format!("{name}, version {version}"));
    let from = match &frame.unit_file {
        Some(file) => format!("{} ({})", file.name, count(file.bytes, "byte", "bytes")),
        None => "built into the program".to_owned(),
    };
    page.field(2, "where from", &from);
    page.field(2, "SHA-256", &unit.digest.to_string());
    page.text(
        2,
        Tone::Quiet,
        "What is said below holds for a unit that does what this description says. The command 'unit' prints it.",
    );
}

fn paper(page: &mut Page, what: &str, file: &Paper) {
    page.field(0, what, file.name.as_str());
    page.field(2, "size", &count(file.bytes, "byte", "bytes"));
    page.field(2, "SHA-256", &file.digest.to_string());
}

fn case(page: &mut Page, examination: &Examination<'_>, frame: &Frame) {
    page.gap();
    match &frame.case_file {
        Some(file) => paper(page, "case file", file),
        None => page.field(0, "case file", "none: no paper was read beside the log"),
    }
    for (label, text) in papers::matter(examination.case) {
        page.field(2, label, text.as_str());
    }
}

/// Text of a description or a case file, made inert.
pub(super) fn inert(text: &str) -> String {
    crate::source::Shown::inert(text).to_string()
}

//! The numbers, side by side: what a returning officer can follow with a pencil.

use comfy_table::{ContentArrangement, LineStyle, Table, TableStyle};

use crate::examination::Examination;
use crate::finding::capital;
use crate::report::ledger::{Entry, INTRODUCTION, Row, TITLE, sheets};
use crate::report::page::{Page, Tone};
use crate::report::sums;

/// How many versions of the ledger are printed; the rest is counted.
const VERSIONS: usize = 3;

/// Prints the section.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    let sheets = sheets(examination);
    let sums = sums::told(examination);
    let is_empty = sheets.iter().all(|sheet| sheet.rows.is_empty() && sheet.notes.is_empty());
    if is_empty && sums.is_empty() {
        return;
    }
    page.head(TITLE);
    if !sums.is_empty() {
        page.text(0, Tone::Plain, sums::INTRODUCTION);
        sums.iter().for_each(|sum| page.item(2, "-", &sum.text));
        page.gap();
    }
    if is_empty {
        return;
    }
    page.text(0, Tone::Plain, INTRODUCTION);
    for sheet in sheets.iter().take(VERSIONS) {
        if let Some(version) = &sheet.version {
            page.gap();
            page.text(0, Tone::Head, &format!("If it is so: {version}"));
        }
        page.gap();
        rows(page, &sheet.rows);
        for entry in &sheet.entries {
            page.gap();
            equation(page, entry);
        }
        page.gap();
        if !sheet.shared.is_empty() {
            page.text(0, Tone::Plain, "More than one of these equations rests on this:");
            sheet.shared.iter().for_each(|note| page.item(2, "-", note));
            page.gap();
        }
        sheet.notes.iter().for_each(|note| page.text(0, Tone::Plain, note));
    }
    if sheets.len() > VERSIONS {
        page.text(
            0,
            Tone::Plain,
            "Other versions of contested facts give further ledgers; they stand in the report as JSON.",
        );
    }
}

fn rows(page: &mut Page, rows: &[Row]) {
    if rows.is_empty() {
        return;
    }
    let number = |row: &Row| match &row.follows {
        Some(follows) => format!("{}\nfollows: {follows}", row.number),
        None => row.number.clone(),
    };
    if page.is_narrow() {
        for row in rows {
            page.item(0, &row.letter, &format!("{}: {}", row.words, number(row).replace('\n', "; ")));
            page.text(2, Tone::Quiet, row.from.as_str());
        }
        return;
    }
    let mut table = Table::new();
    table.load_style(TableStyle::new().header_separator(LineStyle::none().fill('\u{2500}')));
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(page.width()).unwrap_or(u16::MAX));
    table.set_header(["", "what", "number", "from"]);
    for row in rows {
        table.add_row([row.letter.clone(), row.words.to_string(), number(row), row.from.to_string()]);
    }
    page.lines(table.lines());
}

fn equation(page: &mut Page, entry: &Entry) {
    let rule = if entry.rule.is_empty() { "no rule rests on this" } else { entry.rule };
    page.text(0, Tone::Plain, &format!("{}. ({rule})", capital(entry.words)));
    page.text(2, Tone::Plain, &format!("{}:  {}:  {}", entry.letters, entry.figures, entry.verdict));
    for note in &entry.own {
        page.item(4, "-", note);
    }
}

//! The timeline as a table for a spreadsheet (RFC 4180): one row for each record and each unread line.

use super::{Format, Leaving, Misfit, row, zone};
use crate::syntax::push_value;

pub(super) static FORMAT: Format = Format {
    id: "csv",
    meaning: "The timeline as a table for a spreadsheet (RFC 4180), one row a record or unread line.",
    carries: "Records with line, number, time, zone, event and attributes, the attributes as in our own format in one \
              cell; a line that could not be read as a row of the kind `unread`, without its text. Headers other than \
              the serial, comments, chain fields and the closing line stay behind. A cell that begins with `=`, `+`, \
              `-`, `@`, a tab or a carriage return has an apostrophe before it. Line ends are CRLF.",
    reads: None,
    writes: Some(write),
};

/// The columns.
const COLUMNS: [&str; 8] = ["log", "line", "kind", "number", "time", "zone", "event", "attributes"];

fn write(logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let mut out = String::new();
    push_row(&mut out, &COLUMNS.map(str::to_owned));
    for (place, leaving) in logs.iter().enumerate() {
        let name = row::name(leaving.log, place);
        // A bare sign at the begin of a cell would be taken for a formula.
        let offset = zone::of_log(leaving.log)
            .map(|minutes| format!("UTC{}", zone::written(minutes).trim_start_matches('Z')));
        for row in row::rows(leaving)? {
            let row = row?;
            let mut cells = [const { String::new() }; COLUMNS.len()];
            let [log, line, kind, number, time, zone, event, attributes] = &mut cells;
            log.clone_from(&name);
            *line = row.line.to_string();
            "unread".clone_into(kind);
            if let Some(said) = row.said {
                "record".clone_into(kind);
                *number = said.number.unwrap_or_default();
                *time = said.time.map(|time| time.to_string()).unwrap_or_default();
                if said.time.is_some() {
                    *zone = offset.clone().unwrap_or_default();
                }
                *event = said.word;
                *attributes = in_one_cell(&said.attributes);
            }
            push_row(&mut out, &cells);
        }
    }
    Ok(out)
}

/// Attributes as the neutral format writes them, so that no value can be taken for two.
fn in_one_cell(attributes: &[(String, String)]) -> String {
    let mut cell = String::new();
    for (key, value) in attributes {
        if !cell.is_empty() {
            cell.push(' ');
        }
        cell.push_str(key);
        cell.push('=');
        push_value(&mut cell, value);
    }
    cell
}

/// One row of a table by RFC 4180, its cells guarded against formulas, with its line end.
pub(crate) fn push_row(out: &mut String, cells: &[String]) {
    for (place, cell) in cells.iter().enumerate() {
        if place > 0 {
            out.push(',');
        }
        push_cell(out, cell);
    }
    out.push_str("\r\n");
}

/// A cell in quotes where it must be. One that a spreadsheet would take for a formula begins with an apostrophe
/// (*common practice*; OWASP, "CSV Injection", names these characters; the wide signs and the line feed from memory).
fn push_cell(out: &mut String, cell: &str) {
    let is_formula = cell
        .starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}']);
    if !is_formula && !cell.contains(['"', ',', '\r', '\n']) {
        out.push_str(cell);
        return;
    }
    out.push('"');
    if is_formula {
        out.push('\'');
    }
    out.push_str(&cell.replace('"', "\"\""));
    out.push('"');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_and_guarded() {
        let cell = |text: &str| {
            let mut out = String::new();
            push_cell(&mut out, text);
            out
        };
        // RFC 4180, 2, rules 5 to 7.
        assert_eq!(cell("aaa"), "aaa");
        assert_eq!(cell("b \r\nbb"), "\"b \r\nbb\"");
        assert_eq!(cell("b\"bb"), "\"b\"\"bb\"");
        for formula in ["=1+1", "+1", "-1", "@a", "\ta", "\ra", "\na", "\u{ff1d}1+1"] {
            assert_eq!(cell(formula), format!("\"'{formula}\""));
        }
    }
}

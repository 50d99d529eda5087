//! Tables and printouts read by a mapping: each row becomes a record whose evidence is the row in the original file.

use std::sync::Arc;

use super::mapping::{At, Form, Holds, Mapping};
use super::{Misfit, spreadsheet};
use crate::source::{Encoding, Source};
use crate::syntax::{FaultCode, Log};

mod columns;
mod record;
mod rows;
mod starter;
mod trade;
mod units;

use columns::Columns;
use record::RowReader;
use rows::Row;
use units::Logs;

pub use starter::starter;

/// Reads a file by a mapping. Rows of several units become several logs, in the order in which the units appear.
///
/// # Errors
/// Where the mapping names columns that the file has not, or fits none of its rows.
pub fn read(source: Source, mapping: &Mapping) -> Result<Vec<Log>, Misfit> {
    if matches!(mapping.form, Form::Spreadsheet) {
        let text = spreadsheet::text(source.raw(), mapping.sheet.as_deref())?;
        return by_rows(source.read_as(text).folding_space(), mapping);
    }
    if source.raw().starts_with(spreadsheet::ARCHIVE) {
        return Err(Misfit::new(
            "the file begins as a spreadsheet or another archive does, and the mapping states a text",
            "write form = \"spreadsheet\" under [file]",
        ));
    }
    let shown = Encoding::of_mark(source.raw());
    if shown == Encoding::Utf16 && mapping.encoding != Encoding::Utf16 {
        return Err(Misfit::new(
            "the file begins with the byte order mark of UTF-16, and the mapping states another encoding",
            "write encoding = \"utf-16\" under [file]",
        ));
    }
    misstated(source.raw(), mapping.encoding)?;
    let source = source.read_in(mapping.encoding);
    // A tab is shown as the space that it stands for.
    let tabbed = matches!(mapping.form, Form::Delimited { separator: b'\t', .. });
    by_rows(if tabbed { source.folding_space() } else { source }, mapping)
}

/// An encoding that the bytes cannot have, or surely have not.
fn misstated(bytes: &[u8], stated: Encoding) -> Result<(), Misfit> {
    let marked = Encoding::of_mark(bytes) == Encoding::Utf16;
    match stated {
        Encoding::Utf16 if !marked && !bytes.is_empty() && !bytes.contains(&0) => Err(Misfit::new(
            "the mapping states UTF-16, and no byte of the file is zero, as every other one of a plain text would be",
            "write encoding = \"utf-8\" or \"latin-1\" under [file]",
        )),
        Encoding::Latin1 if !bytes.is_ascii() && std::str::from_utf8(bytes).is_ok() => Err(Misfit::new(
            "the mapping states Latin-1, and all the file is UTF-8 with characters beyond ASCII",
            "write encoding = \"utf-8\" under [file]",
        )),
        _ => Ok(()),
    }
}

/// Lines that end as those of no text that this program reads.
fn lone_returns(source: &Source) -> Result<(), Misfit> {
    let raw = source.raw();
    if raw.contains(&b'\n') || raw.iter().filter(|b| **b == b'\r').take(3).count() < 3 {
        return Ok(());
    }
    Err(Misfit::new(
        "the lines of the file end with a carriage return alone",
        "have the file saved with LF or CRLF at the end of each line, and keep the original",
    ))
}

fn by_rows(source: Source, mapping: &Mapping) -> Result<Vec<Log>, Misfit> {
    lone_returns(&source)?;
    let source = Arc::new(source);
    let mut rows = rows::rows(&source, mapping);
    let columns = Columns::of(mapping, &rows)?;
    let first_row = rows.iter().find_map(|row| match row {
        Row::Cells(_, line, _) | Row::Broken(_, line, _) => Some(*line),
        _ => None,
    });
    if mapping.newest_first {
        rows.reverse();
    }
    let format = format!("{}, read by {}", form_words(&mapping.form), mapping.words());
    let mut logs = Logs::new(&source, &format);
    logs.mixed = mapping.columns.iter().any(|column| column.holds == Holds::Unit);
    let reader =
        RowReader { mapping, columns: &columns, source: &source, first_row: first_row.unwrap_or(usize::MAX) };
    let by_name = mapping.columns.iter().any(|column| matches!(column.at, At::Name(_)));
    let mut kept = 0usize;
    let mut misfit: Option<(usize, FaultCode)> = None;
    for row in &rows {
        let Some(maker) = logs.current() else { continue };
        match row {
            Row::Blank(span, line) => maker.blank(*span, *line),
            Row::Aside(span, line) => reader.aside(maker, *span, *line),
            // Names by which no column is found may be anything.
            Row::Names(span, line, _) if by_name => maker.comment(*span, *line),
            Row::Names(span, line, _) => maker.covered_comment(*span, *line),
            Row::Broken(span, line, code) => {
                misfit = misfit.or(Some((*line, *code)));
                maker.unread(*span, *line, (*code, *span), &[]);
            }
            Row::Cells(span, line, cells) => match reader.record(*span, *line, cells) {
                Ok((item, unit)) => {
                    kept += 1;
                    let Some(maker) = logs.of_unit(unit.as_ref().map(|(serial, _)| serial.as_str())) else {
                        continue;
                    };
                    if let Some((serial, at)) = &unit {
                        maker.header_of_line(maker.next_line(), "serial", (serial, *at));
                    }
                    if source.raw_at(*span).contains(&b'\n') {
                        maker.note(FaultCode::RowOverLines, *span);
                    }
                    maker.record(&item);
                }
                Err((code, place, harmless)) => {
                    misfit = misfit.or(Some((*line, code)));
                    maker.unread(*span, *line, (code, place), &harmless);
                }
            },
        }
    }
    match (kept, misfit) {
        (0, Some((line, code))) => Err(Misfit::new(
            &format!(
                "the mapping fits no row of the file; line {line}: {}",
                code.entry().message.trim_end_matches('.')
            ),
            code.entry().help.trim_end_matches('.'),
        )),
        (0, None) => Err(Misfit::new(
            "the mapping finds no row in the file: every line is blank, skipped or a row of names",
            "check skip-first, skip-matching and column-names, and that the lines end with LF or CRLF",
        )),
        _ => Ok(logs.finish()),
    }
}

fn form_words(form: &Form) -> String {
    match form {
        Form::Delimited { separator: b'\t', .. } => "table with columns parted by tabs".to_owned(),
        Form::Delimited { separator, .. } => {
            format!("table with columns parted by '{}'", char::from(*separator))
        }
        Form::Spreadsheet => "sheet of a spreadsheet, its rows counted as lines".to_owned(),
        Form::Fixed => "printout with columns at fixed positions".to_owned(),
        Form::Pattern(_) => "printout with rows of a stated pattern".to_owned(),
    }
}

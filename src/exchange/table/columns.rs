//! Where the cells of a row go: the columns that a mapping names, found in the file, and those that it does not name.

use super::rows::{self, Cell, Row};
use crate::exchange::mapping::{At, Column, Form, Mapping, Text};
use crate::exchange::{Misfit, slug};

/// Where each cell of a row goes.
#[derive(Debug)]
pub(super) struct Columns {
    /// Place of the cell for each column of the mapping.
    pub(super) places: Vec<usize>,
    /// Key for each cell that no column of the mapping names, by place.
    pub(super) others: Vec<(usize, String)>,
    /// Number of cells that a row must have; none where the form fixes it.
    pub(super) width: Option<usize>,
}

impl Columns {
    pub(super) fn of(mapping: &Mapping, rows: &[Row]) -> Result<Columns, Misfit> {
        match &mapping.form {
            Form::Delimited { .. } | Form::Spreadsheet => Columns::delimited(mapping, rows),
            // The cells come in the order of the mapping; what no column covers is named by the row itself.
            Form::Fixed | Form::Pattern(_) => {
                Ok(Columns { places: (0..mapping.columns.len()).collect(), others: Vec::new(), width: None })
            }
        }
    }

    fn delimited(mapping: &Mapping, rows: &[Row]) -> Result<Columns, Misfit> {
        let first = rows.iter().find_map(|row| match row {
            Row::Cells(_, _, cells) => Some(cells.as_slice()),
            _ => None,
        });
        let named = rows::names(rows);
        if mapping.names {
            check_names(mapping, rows, named)?;
        }
        let names: Option<Vec<String>> =
            named.map(|cells| cells.iter().map(|cell| cell.text.trim().to_owned()).collect());
        let width = names.as_ref().map(Vec::len).or(first.map(<[Cell]>::len));
        let mut places = Vec::new();
        for column in &mapping.columns {
            let place = match (&column.at, &names) {
                (At::Place(place), _) => {
                    place.checked_sub(1).filter(|place| width.is_none_or(|w| *place < w))
                }
                (At::Name(name), Some(names)) => {
                    let mut found = names.iter().enumerate().filter(|(_, known)| *known == name);
                    let first = found.next().map(|(place, _)| place);
                    if found.next().is_some() {
                        return Err(Misfit::new(
                            &format!("the file has more than one column named '{name}'"),
                            "state these columns by their place",
                        ));
                    }
                    first
                }
                _ => None,
            };
            let Some(place) = place else {
                return Err(missing(column, names.as_deref(), width));
            };
            places.push(place);
        }
        let others = (0..width.unwrap_or(0))
            .filter(|place| !places.contains(place))
            .map(|place| {
                let name = names.as_ref().and_then(|names| names.get(place));
                (place, name.and_then(|name| slug(name)).unwrap_or_else(|| format!("column-{}", place + 1)))
            })
            .collect();
        Ok(Columns { places, others, width })
    }
}

/// A row of names holds no record: what it says is printed in an error, and its columns decide how all rows are read.
fn check_names(mapping: &Mapping, rows: &[Row], named: Option<&[Cell]>) -> Result<(), Misfit> {
    let broken = rows.iter().find_map(|row| match row {
        Row::Broken(_, line, code) => Some((*line, *code)),
        _ => None,
    });
    let Some(cells) = named else {
        return Err(match broken {
            Some((line, code)) => Misfit::new(
                &format!(
                    "line {line} should name the columns: {}",
                    code.entry().message.trim_end_matches('.')
                ),
                code.entry().help.trim_end_matches('.'),
            ),
            None => Misfit::new(
                "the file has no row that names the columns",
                "check skip-first, and that the file is whole",
            ),
        });
    };
    let first = cells.first().map_or(0, |cell| cell.span.start);
    let before = rows.iter().find_map(|row| match row {
        Row::Broken(span, line, _) if span.start < first => Some(*line),
        _ => None,
    });
    if let Some(line) = before {
        return Err(Misfit::new(
            &format!("line {line} should name the columns, and cannot be cut into cells"),
            "state the encoding, the separator and skip-first as the file has them",
        ));
    }
    if cells.iter().any(|cell| cell.text.contains(char::REPLACEMENT_CHARACTER)) {
        return Err(Misfit::new(
            "the row that should name the columns holds characters that are no text in the encoding stated",
            "state the encoding in which the file was written, under [file]",
        ));
    }
    let later: Vec<&[Cell]> = rows
        .iter()
        .filter_map(|row| if let Row::Cells(_, _, cells) = row { Some(cells.as_slice()) } else { None })
        .take(LOOKED_AT)
        .collect();
    let recurs = cells.iter().enumerate().any(|(place, cell)| {
        let text = cell.text.trim();
        !text.is_empty()
            && later.iter().any(|row| row.get(place).is_some_and(|other| other.text.trim() == text))
    });
    let is_time = |text: &str| mapping.time.as_ref().is_some_and(|time| time.time(text).is_some());
    let is_word = |text: &str| {
        mapping.words.iter().any(|word| match &word.text {
            Text::Whole(whole) => whole == text,
            Text::Pattern(regex) => regex.is_match(text),
        })
    };
    let is_record = cells.iter().map(|cell| cell.text.trim()).any(|text| {
        is_time(text) || is_word(text) || (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()))
    });
    if recurs || is_record {
        return Err(Misfit::new(
            "the row that should name the columns holds what stands in rows below it, a time, a number or an event",
            "check column-names and skip-first: a record is no row of names",
        ));
    }
    Ok(())
}

/// Rows that are held against the row of names.
const LOOKED_AT: usize = 5_000;

fn missing(column: &Column, names: Option<&[String]>, width: Option<usize>) -> Misfit {
    let which = match &column.at {
        At::Name(name) => format!("the file has no column named '{name}'"),
        At::Place(place) => format!("the file has no column {place}"),
        At::Positions(..) | At::Group(_) => "a column is not there".to_owned(),
    };
    let help = match names {
        // What the row says is not printed: it may be a record.
        Some(names) => {
            format!("the row of names has {} columns; compare their spelling, spaces included", names.len())
        }
        None => format!("its first row has {} columns", width.unwrap_or(0)),
    };
    Misfit::new(&which, &help)
}

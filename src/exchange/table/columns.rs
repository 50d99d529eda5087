//! Where the cells of a row go: the columns that a mapping names, found in the file, and those that it does not name.

use super::rows::{self, Cell, Row};
use crate::exchange::mapping::{At, Column, Form, Mapping};
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
        let names = rows::names(rows);
        let width = names.as_ref().map(Vec::len).or(first.map(<[Cell]>::len));
        let mut places = Vec::new();
        for column in &mapping.columns {
            let place = match (&column.at, &names) {
                (At::Place(place), _) => {
                    place.checked_sub(1).filter(|place| width.is_none_or(|w| *place < w))
                }
                (At::Name(name), Some(names)) => names.iter().position(|known| known == name),
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

fn missing(column: &Column, names: Option<&[String]>, width: Option<usize>) -> Misfit {
    let which = match &column.at {
        At::Name(name) => format!("the file has no column named '{name}'"),
        At::Place(place) => format!("the file has no column {place}"),
        At::Positions(..) | At::Group(_) => "a column is not there".to_owned(),
    };
    let help = match names {
        Some(names) => format!("its columns are named: {}", names.join(", ")),
        None => format!("its first row has {} columns", width.unwrap_or(0)),
    };
    Misfit::new(&which, &help)
}

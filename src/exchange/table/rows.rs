//! A foreign file as rows of cells, each with its place in the file.

use crate::exchange::mapping::{At, Form, Mapping};
use crate::source::{Source, Span};
use crate::syntax::{FaultCode, LIMITS};

/// One row, or what stands in its place. Each is a stretch of the file, with the line on which it begins, from 1.
#[derive(Debug)]
pub(super) enum Row {
    Blank(Span, usize),
    /// A line that is no row.
    Aside(Span, usize),
    /// The row that names the columns.
    Names(Span, usize, Vec<Cell>),
    /// A row that could not be cut into cells.
    Broken(Span, usize, FaultCode),
    Cells(Span, usize, Vec<Cell>),
}

/// One cell: its text without quotation marks, and where it stands with them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) text: String,
    pub(super) span: Span,
}

/// Most columns of a row.
const MOST_CELLS: usize = 256;

/// One line of the file: its bytes without the line end, and where the next one begins.
#[derive(Clone, Copy)]
struct Physical {
    span: Span,
    next: usize,
}

fn line_at(source: &Source, start: usize) -> Option<Physical> {
    let rest = source.raw().get(start..).filter(|rest| !rest.is_empty())?;
    let len = rest.iter().position(|b| *b == b'\n');
    let next = start + len.map_or(rest.len(), |len| len + 1);
    let end = start + len.unwrap_or(rest.len());
    let end = if source.raw_at(Span::new(start, end)).ends_with(b"\r") { end - 1 } else { end };
    Some(Physical { span: Span::new(start, end), next })
}

/// The rows of a file, in its order. Every line belongs to exactly one.
pub(super) fn rows(source: &Source, mapping: &Mapping) -> Vec<Row> {
    let mut rows = Vec::new();
    let (mut at, mut number) = (0, 1);
    // A byte order mark belongs to no cell.
    if source.raw().starts_with("\u{FEFF}".as_bytes()) {
        at = '\u{FEFF}'.len_utf8();
    }
    let mut names_come = mapping.names;
    while let Some(line) = line_at(source, at) {
        let text = String::from_utf8_lossy(source.raw_at(line.span));
        let mut next = line.next;
        let row = if number <= mapping.skip_first || mapping.skip.iter().any(|skip| skip.is_match(&text)) {
            Row::Aside(line.span, number)
        } else if text.trim().is_empty() {
            Row::Blank(line.span, number)
        } else if line.span.len() > LIMITS.line_bytes {
            Row::Broken(line.span, number, FaultCode::LineTooLong)
        } else {
            match cells(source, mapping, line, &text) {
                // A cell that holds what would be a row by itself has swallowed one.
                Some((span, _, cells)) if swallows_a_row(source, mapping, span, cells.len()) => {
                    Row::Broken(line.span, number, FaultCode::RowForm)
                }
                Some((span, behind, cells)) => {
                    next = behind;
                    if cells.iter().all(|cell| cell.text.trim().is_empty()) {
                        Row::Blank(span, number)
                    } else if std::mem::take(&mut names_come) {
                        Row::Names(span, number, cells)
                    } else {
                        Row::Cells(span, number, cells)
                    }
                }
                None => Row::Broken(line.span, number, FaultCode::RowForm),
            }
        };
        rows.push(row);
        number += newlines(source, Span::new(at, next));
        at = next;
    }
    rows
}

/// The rows of a file cut at a separator, blank lines and rows that cannot be cut left out.
pub(super) fn cut(source: &Source, separator: u8, most: usize) -> impl Iterator<Item = Vec<Cell>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        loop {
            let line = line_at(source, at)?;
            if source.raw_at(line.span).trim_ascii().is_empty() {
                at = line.next;
                continue;
            }
            match delimited(source, line, separator, Some(b'"')) {
                Some((_, next, cells)) => {
                    at = next;
                    return Some(cells);
                }
                None => at = line.next,
            }
        }
    })
    .filter(|cells| cells.len() > 1 || cells.iter().any(|cell| !cell.text.trim().is_empty()))
    .take(most)
}

/// The lines of a file as text.
pub(super) fn lines(source: &Source) -> impl Iterator<Item = String> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let line = line_at(source, at)?;
        at = line.next;
        Some(String::from_utf8_lossy(source.raw_at(line.span)).into_owned())
    })
}

/// Number of line ends in a span.
pub(super) fn newlines(source: &Source, span: Span) -> usize {
    source.raw_at(span).split(|b| *b == b'\n').count() - 1
}

/// Whether a line inside a row of several lines has as many separators as the row.
fn swallows_a_row(source: &Source, mapping: &Mapping, span: Span, width: usize) -> bool {
    let Form::Delimited { separator, .. } = &mapping.form else {
        return false;
    };
    let number = |line: &[u8]| line.split(|b| b == separator).count();
    source.raw_at(span).split(|b| *b == b'\n').skip(1).any(|line| number(line) >= width.max(2))
}

/// The row that names the columns, where there is one.
pub(super) fn names(rows: &[Row]) -> Option<&[Cell]> {
    rows.iter().find_map(|row| match row {
        Row::Names(_, _, cells) => Some(cells.as_slice()),
        _ => None,
    })
}

/// The cells of the row that begins with a line, where it stands, and where the next row begins.
fn cells(source: &Source, mapping: &Mapping, line: Physical, text: &str) -> Option<(Span, usize, Vec<Cell>)> {
    match &mapping.form {
        Form::Delimited { separator, quote } => delimited(source, line, *separator, *quote),
        Form::Spreadsheet => delimited(source, line, b'\t', None),
        Form::Fixed => Some((line.span, line.next, fixed(mapping, line.span, text)?)),
        Form::Pattern(regex) => {
            let captures = regex.captures(text).filter(|captures| {
                captures.get(0).is_some_and(|whole| whole.start() == 0 && whole.end() == text.len())
            })?;
            let group = |at: &At| match at {
                At::Group(name) => captures.name(name).map(|found| (found.start(), found.end())),
                _ => None,
            };
            let places = mapping.columns.iter().map(|column| group(&column.at)).collect::<Vec<_>>();
            Some((line.span, line.next, parts(line.span, text, &places)))
        }
    }
}

/// Cells between separators, as RFC 4180 has them: a quotation mark inside a quoted cell is doubled, and a quoted cell may
/// hold line ends. Nothing where a quoted cell is not closed, or something stands behind its closing mark.
fn delimited(
    source: &Source,
    line: Physical,
    separator: u8,
    quote: Option<u8>,
) -> Option<(Span, usize, Vec<Cell>)> {
    let whole = source.raw();
    let most = whole.len().min(line.span.start + LIMITS.line_bytes);
    let mut cells = Vec::new();
    let mut at = line.span.start;
    loop {
        let (cell, behind) = match quote {
            Some(quote) if whole.get(at) == Some(&quote) => quoted(whole.get(..most)?, at, quote)?,
            _ => bare(whole, at, separator),
        };
        cells.push(cell);
        if cells.len() > MOST_CELLS {
            return None;
        }
        match whole.get(behind) {
            Some(byte) if *byte == separator => at = behind + 1,
            end => {
                let rest = whole.get(behind..).unwrap_or_default();
                let line_end = if rest.starts_with(b"\r\n") { 2 } else { 1 };
                let is_end = end.is_none() || rest.starts_with(b"\n") || line_end == 2 || rest == b"\r";
                let next = (behind + line_end).min(whole.len());
                return is_end.then(|| (Span::new(line.span.start, behind), next, cells));
            }
        }
    }
}

/// A cell without quotation marks, and the place of what ends it.
fn bare(whole: &[u8], at: usize, separator: u8) -> (Cell, usize) {
    let rest = whole.get(at..).unwrap_or_default();
    let len = rest.iter().position(|b| *b == separator || *b == b'\n').unwrap_or(rest.len());
    let mut raw = rest.get(..len).unwrap_or_default();
    if rest.get(len) != Some(&separator) {
        raw = raw.strip_suffix(b"\r").unwrap_or(raw);
    }
    let text = String::from_utf8_lossy(raw).into_owned();
    (Cell { text, span: Span::new(at, at + raw.len()) }, at + raw.len())
}

/// A cell in quotation marks, and the place behind its closing one.
fn quoted(whole: &[u8], start: usize, quote: u8) -> Option<(Cell, usize)> {
    let mut text = Vec::new();
    let mut at = start + 1;
    loop {
        let rest = whole.get(at..)?;
        let len = rest.iter().position(|b| *b == quote)?;
        text.extend(rest.get(..len)?);
        at += len + 1;
        if whole.get(at) != Some(&quote) {
            let text = String::from_utf8_lossy(&text).into_owned();
            return Some((Cell { text, span: Span::new(start, at) }, at));
        }
        text.push(quote);
        at += 1;
    }
}

/// Cells at character positions. Nothing where a border cuts through a word or figure and no other column takes it up.
fn fixed(mapping: &Mapping, line: Span, text: &str) -> Option<Vec<Cell>> {
    let offsets: Vec<usize> = text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
    let offset = |position: usize| offsets.get(position).copied().unwrap_or(text.len());
    let places: Vec<Option<(usize, usize)>> = mapping
        .columns
        .iter()
        .map(|column| match column.at {
            At::Positions(first, last) => Some((offset(first.saturating_sub(1)), offset(last))),
            _ => None,
        })
        .collect();
    let cuts = |border: usize| {
        let (before, behind) = text.split_at_checked(border).unwrap_or((text, ""));
        let inside = |c: Option<char>| c.is_some_and(|c| !c.is_whitespace());
        inside(before.chars().next_back()) && inside(behind.chars().next())
    };
    let both = |border: usize| {
        places.iter().flatten().any(|(_, to)| *to == border)
            && places.iter().flatten().any(|(from, _)| *from == border)
    };
    let broken = places
        .iter()
        .flatten()
        .any(|(from, to)| from < to && [*from, *to].into_iter().any(|border| cuts(border) && !both(border)));
    (!broken).then(|| parts(line, text, &places))
}

/// One cell for each place, an empty one where there is none; behind them, what no place covers, spaces included: where a
/// mark stands in a printout may be what it says.
fn parts(line: Span, text: &str, places: &[Option<(usize, usize)>]) -> Vec<Cell> {
    let cell = |from: usize, to: usize| {
        let piece = text.get(from..to).unwrap_or_default();
        let lead = piece.len() - piece.trim_start().len();
        let start = line.start + from + lead;
        Cell { text: piece.trim().to_owned(), span: Span::new(start, start + piece.trim().len()) }
    };
    let mut cells: Vec<Cell> =
        places.iter().map(|place| place.map_or_else(|| cell(0, 0), |(from, to)| cell(from, to))).collect();
    let mut covered: Vec<(usize, usize)> = places.iter().flatten().copied().collect();
    covered.sort_unstable();
    let mut at = 0;
    for (from, to) in covered.into_iter().chain([(text.len(), text.len())]) {
        if from > at {
            let rest = text.get(at..from).unwrap_or_default();
            // Only spaces say nothing: a bar may be a mark.
            if rest.chars().any(|c| c != ' ') {
                let span = Span::new(line.start + at, line.start + from);
                cells.push(Cell { text: rest.trim().to_owned(), span });
            }
        }
        at = at.max(to);
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The row as it stands, where the next one begins, and each cell's text and raw bytes.
    type Cut = (String, usize, Vec<(String, String)>);

    fn cut(text: &str, separator: u8) -> Option<Cut> {
        let source = Source::new("s", text.as_bytes().to_vec());
        let line = line_at(&source, 0)?;
        let (span, next, cells) = delimited(&source, line, separator, Some(b'"'))?;
        let raw = |span: Span| String::from_utf8_lossy(source.raw_at(span)).into_owned();
        Some((raw(span), next, cells.into_iter().map(|cell| (cell.text, raw(cell.span))).collect()))
    }

    #[test]
    fn cells_are_cut_as_rfc_4180_says_and_know_their_place() {
        // RFC 4180, 2.1, 2.2, 2.5 to 2.7: line ends, quotes, line ends and doubled quotes inside quotes.
        let pair = |text: &str, raw: &str| (text.to_owned(), raw.to_owned());
        assert_eq!(
            cut("a;b c;\r\nd", b';'),
            Some(("a;b c;".to_owned(), 8, vec![pair("a", "a"), pair("b c", "b c"), pair("", "")]))
        );
        assert_eq!(
            cut("\"a;\"\"x\"\"\";b\nc", b';'),
            Some((
                "\"a;\"\"x\"\"\";b".to_owned(),
                12,
                vec![pair("a;\"x\"", "\"a;\"\"x\"\"\""), pair("b", "b")]
            ))
        );
        assert_eq!(
            cut("\"a\r\nb\",c\nd", b','),
            Some(("\"a\r\nb\",c".to_owned(), 9, vec![pair("a\r\nb", "\"a\r\nb\""), pair("c", "c")]))
        );
        // The last line may lack its end.
        assert_eq!(cut("a\tb", b'\t'), Some(("a\tb".to_owned(), 3, vec![pair("a", "a"), pair("b", "b")])));
        // A quotation mark that is never closed swallows no file.
        assert_eq!(cut(&format!("\"a,{}\n", "x,\n".repeat(5000)), b','), None);
        assert_eq!(cut("1,\"E7\n2,x\n", b','), None);
        assert_eq!(cut("1,\"E7\n2,\"x\"\n", b','), None);
        assert_eq!(cut("1,5\" wide\n", b',').map(|cut| cut.2[1].0.clone()).as_deref(), Some("5\" wide"));
    }
}

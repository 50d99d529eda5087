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
                Some((span, behind, cells)) => {
                    next = behind;
                    if std::mem::take(&mut names_come) {
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

/// The names of the columns, where a row states them.
pub(super) fn names(rows: &[Row]) -> Option<Vec<String>> {
    rows.iter().find_map(|row| match row {
        Row::Names(_, _, cells) => Some(cells.iter().map(|cell| cell.text.trim().to_owned()).collect()),
        _ => None,
    })
}

/// The cells of the row that begins with a line, where it stands, and where the next row begins.
fn cells(source: &Source, mapping: &Mapping, line: Physical, text: &str) -> Option<(Span, usize, Vec<Cell>)> {
    match &mapping.form {
        Form::Delimited { separator, quote } => delimited(source, line, *separator, *quote),
        Form::Spreadsheet => delimited(source, line, b'\t', None),
        Form::Fixed => Some((line.span, line.next, fixed(mapping, line.span, text))),
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
/// hold line ends.
fn delimited(
    source: &Source,
    line: Physical,
    separator: u8,
    quote: Option<u8>,
) -> Option<(Span, usize, Vec<Cell>)> {
    let mut builder = csv_core::ReaderBuilder::new();
    // A carriage return before the line end belongs to no cell; alone it ends no row.
    builder.delimiter(separator).terminator(csv_core::Terminator::Any(b'\n'));
    match quote {
        Some(quote) => builder.quote(quote),
        None => builder.quoting(false),
    };
    let mut reader = builder.build();
    let most = Span::new(line.span.start, line.span.start + LIMITS.line_bytes + 2);
    let whole = source.raw();
    let input = whole.get(most.start..most.end.min(whole.len())).unwrap_or_default();
    let mut out = vec![0u8; LIMITS.line_bytes + 2];
    let mut cells = Vec::new();
    let mut at = 0;
    loop {
        let begin = at;
        let mut written = 0;
        let record_end = loop {
            let (result, read, wrote) = reader
                .read_field(input.get(at..).unwrap_or_default(), out.get_mut(written..).unwrap_or_default());
            at += read;
            written += wrote;
            match result {
                csv_core::ReadFieldResult::Field { record_end } => break record_end,
                // Nothing more to give: an empty piece of input ends the row.
                csv_core::ReadFieldResult::InputEmpty if most.end < whole.len() && at >= input.len() => {
                    return None;
                }
                csv_core::ReadFieldResult::InputEmpty => {}
                csv_core::ReadFieldResult::OutputFull => return None,
                csv_core::ReadFieldResult::End => break true,
            }
        };
        let raw = input.get(begin..at).unwrap_or_default();
        let raw_len = raw.len() - raw.iter().rev().take_while(|b| is_end(**b, separator, record_end)).count();
        let start = most.start + begin;
        let text = String::from_utf8(out.get(..written)?.to_vec()).ok()?;
        let text = if record_end { text.trim_end_matches('\r').to_owned() } else { text };
        cells.push(Cell { text, span: Span::new(start, start + raw_len) });
        if cells.len() > MOST_CELLS {
            return None;
        }
        if record_end {
            break;
        }
    }
    let end = cells.last().map_or(line.span.end, |cell| cell.span.end);
    Some((Span::new(line.span.start, end), most.start + at, cells))
}

/// Whether a byte behind a cell is its separator or line end.
fn is_end(byte: u8, separator: u8, record_end: bool) -> bool {
    if record_end { byte == b'\r' || byte == b'\n' } else { byte == separator }
}

/// Cells at character positions.
fn fixed(mapping: &Mapping, line: Span, text: &str) -> Vec<Cell> {
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
    parts(line, text, &places)
}

/// One cell for each place, an empty one where there is none; behind them, what no place covers.
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
            let rest = cell(at, from);
            // Signs that part columns say nothing.
            if rest.text.chars().any(char::is_alphanumeric) {
                cells.push(rest);
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
    }
}

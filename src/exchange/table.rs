//! Tables and printouts read by a mapping: each row becomes a record whose evidence is the row in the original file.

use std::sync::Arc;

use super::mapping::{Column, Form, Holds, Mapping, Text};
use super::{Misfit, spreadsheet};
use crate::event::Event;
use crate::source::{Encoding, Source, Span};
use crate::syntax::{FaultCode, Item, LIMITS, Log, Maker, Part, Stamp};

mod columns;
mod rows;
mod starter;

use columns::Columns;
use rows::{Cell, Row};

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
    let source = source.read_in(mapping.encoding);
    // A tab is shown as the space that it stands for.
    let tabbed = matches!(mapping.form, Form::Delimited { separator: b'\t', .. });
    by_rows(if tabbed { source.folding_space() } else { source }, mapping)
}

fn by_rows(source: Source, mapping: &Mapping) -> Result<Vec<Log>, Misfit> {
    let source = Arc::new(source);
    let mut rows = rows::rows(&source, mapping);
    let columns = Columns::of(mapping, &rows)?;
    if mapping.newest_first {
        rows.reverse();
    }
    let format = format!("{}, read by {}", form_words(&mapping.form), mapping.words());
    let mut logs = Logs::new(&source, &format);
    let reader = RowReader { mapping, columns: &columns, source: &source };
    let mut kept = 0usize;
    let mut misfit: Option<(usize, FaultCode)> = None;
    for row in &rows {
        let Some(maker) = logs.current() else { continue };
        match row {
            Row::Blank(span, line) => maker.blank(*span, *line),
            Row::Aside(span, line) | Row::Names(span, line, _) => reader.aside(maker, *span, *line),
            Row::Broken(span, line, code) => {
                misfit = misfit.or(Some((*line, *code)));
                maker.unread(*span, *line, (*code, *span), &[]);
            }
            Row::Cells(span, line, cells) => match reader.record(*span, *line, cells) {
                Ok((item, unit)) => {
                    kept += 1;
                    let serial = unit.as_ref().map(|(serial, _)| serial.as_str());
                    let Some(maker) = logs.of_unit(serial) else { continue };
                    if let Some((serial, at)) = &unit {
                        maker.header_of_line(maker.next_line(), "serial", (serial, *at));
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
    if let (0, Some((line, code))) = (kept, misfit) {
        return Err(Misfit::new(
            &format!(
                "the mapping fits no row of the file; line {line}: {}",
                code.entry().message.trim_end_matches('.')
            ),
            code.entry().help.trim_end_matches('.'),
        ));
    }
    Ok(logs.finish())
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

/// The logs in the making, one for each unit.
struct Logs<'s> {
    source: &'s Arc<Source>,
    format: &'s str,
    makers: Vec<(Option<String>, Maker)>,
    /// The one that the last record went to.
    last: usize,
}

/// Most units that one file may name; the rows of further ones go to the last.
const MOST_UNITS: usize = 4_000;

impl<'s> Logs<'s> {
    fn new(source: &'s Arc<Source>, format: &'s str) -> Logs<'s> {
        Logs { source, format, makers: vec![(None, Maker::begin(source, format))], last: 0 }
    }

    /// The log that the last record went to: what is no record stands beside it.
    fn current(&mut self) -> Option<&mut Maker> {
        self.makers.get_mut(self.last).map(|(_, maker)| maker)
    }

    /// The log of a unit. What stood before the first record belongs to the first unit.
    fn of_unit(&mut self, unit: Option<&str>) -> Option<&mut Maker> {
        if let [(name @ None, maker)] = self.makers.as_mut_slice()
            && maker.records() == 0
        {
            *name = unit.map(str::to_owned);
        }
        let place = self.makers.iter().position(|(name, _)| name.as_deref() == unit);
        self.last = place.unwrap_or(self.makers.len()).min(MOST_UNITS - 1);
        if self.last >= self.makers.len() {
            self.makers.push((unit.map(str::to_owned), Maker::begin(self.source, self.format)));
        }
        self.current()
    }

    fn finish(self) -> Vec<Log> {
        let several = self.makers.len() > 1;
        self.makers.into_iter().map(|(_, maker)| maker.finish(several)).collect()
    }
}

/// Why a row could not be read, where, and which parts of it may be shown.
type Refusal = (FaultCode, Span, Vec<Span>);

struct RowReader<'m> {
    mapping: &'m Mapping,
    columns: &'m Columns,
    source: &'m Source,
}

/// What a row says, in the making.
#[derive(Default)]
struct Said {
    number: Option<(u64, u8)>,
    time: String,
    time_span: Option<Span>,
    word: String,
    word_span: Option<Span>,
    unit: Option<(String, Span)>,
    attributes: Vec<Part>,
    harmless: Vec<Span>,
}

impl RowReader<'_> {
    /// A line that is no row: a header where the mapping says so, else a comment.
    fn aside(&self, maker: &mut Maker, span: Span, line: usize) {
        let text = String::from_utf8_lossy(self.source.raw_at(span));
        for (key, regex) in &self.mapping.headers {
            if let Some(found) = regex.captures(&text).and_then(|captures| captures.get(1)) {
                let at = Span::new(span.start + found.start(), span.start + found.end());
                return maker.header(span, line, key, (found.as_str(), at));
            }
        }
        maker.comment(span, line);
    }

    fn record(
        &self,
        span: Span,
        line: usize,
        cells: &[Cell],
    ) -> Result<(Item, Option<(String, Span)>), Refusal> {
        if self.columns.width.is_some_and(|width| width != cells.len()) {
            return Err((FaultCode::RowForm, span, Vec::new()));
        }
        if cells.iter().any(|cell| cell.text.contains(char::REPLACEMENT_CHARACTER)) {
            return Err((FaultCode::RowText, span, Vec::new()));
        }
        let mut said = Said::default();
        for (column, place) in self.mapping.columns.iter().zip(&self.columns.places) {
            if let Some(cell) = cells.get(*place) {
                self.cell(&mut said, column, cell)?;
            }
        }
        let time = self.time(&mut said)?;
        if said.word.is_empty() {
            return Err((FaultCode::RowEvent, said.word_span.unwrap_or(span), said.harmless));
        }
        let event = self.event(&mut said);
        for (place, key) in &self.columns.others {
            if let Some(cell) = cells.get(*place) {
                other(&mut said, key, cell);
            }
        }
        for cell in cells.iter().skip(self.columns.width.unwrap_or(self.mapping.columns.len())) {
            other(&mut said, "rest", cell);
        }
        if said.attributes.len() > LIMITS.attributes {
            return Err((FaultCode::AttributesTooMany, span, said.harmless));
        }
        let item = Item {
            span,
            line_number: line,
            number: said.number,
            time,
            event,
            word: said.word,
            word_span: said.word_span.unwrap_or_default(),
            attributes: said.attributes,
        };
        Ok((item, said.unit))
    }

    fn cell(&self, said: &mut Said, column: &Column, cell: &Cell) -> Result<(), Refusal> {
        let text = cell.text.trim();
        match &column.holds {
            Holds::Number => {
                if text.is_empty() {
                    return Ok(());
                }
                let digits = text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse().ok()).flatten();
                let width = u8::try_from(text.len()).ok().filter(|width| *width <= 19);
                let (Some(number), Some(width)) = (digits, width) else {
                    return Err((FaultCode::RowNumber, cell.span, std::mem::take(&mut said.harmless)));
                };
                said.number = Some((number, width));
                said.harmless.push(cell.span);
            }
            Holds::Time => {
                join(&mut said.time, text);
                said.time_span = Some(cover(said.time_span, cell.span));
            }
            Holds::Event => {
                join(&mut said.word, text);
                said.word_span = Some(cover(said.word_span, cell.span));
            }
            Holds::Unit => {
                if !text.is_empty() {
                    said.unit = Some((text.to_owned(), cell.span));
                }
            }
            Holds::Attribute(key) => {
                if !text.is_empty() {
                    let known = self.mapping.values.iter().find(|(k, t, _)| k == key && t == text);
                    let value = known.map_or(text, |(_, _, value)| value);
                    said.attributes.push(Part {
                        key: key.clone(),
                        value: value.to_owned(),
                        key_span: Span::default(),
                        value_span: cell.span,
                    });
                }
            }
        }
        Ok(())
    }

    /// The time of the row; none where it says so. A time that does not fit makes the row unread: it is not guessed at.
    fn time(&self, said: &mut Said) -> Result<Option<Stamp>, Refusal> {
        let Some(pattern) = &self.mapping.time else {
            return Ok(None);
        };
        let text = said.time.trim();
        if pattern.is_none(text) {
            return Ok(None);
        }
        match pattern.time(text) {
            Some(time) => {
                said.harmless.extend(said.time_span);
                Ok(Some(if pattern.shows_seconds() { time } else { time.to_the_minute() }))
            }
            None => Err((
                FaultCode::RowTime,
                said.time_span.unwrap_or_default(),
                std::mem::take(&mut said.harmless),
            )),
        }
    }

    /// The event that the mapping has for the row's word, with the attributes that the word says.
    fn event(&self, said: &mut Said) -> Option<Event> {
        let at = said.word_span.unwrap_or_default();
        let part = |key: &str, value: &str, value_span: Span| Part {
            key: key.to_owned(),
            value: value.to_owned(),
            key_span: Span::default(),
            value_span,
        };
        for word in &self.mapping.words {
            match &word.text {
                Text::Whole(text) => {
                    let same = if self.mapping.ignore_case {
                        text.to_lowercase() == said.word.to_lowercase()
                    } else {
                        *text == said.word
                    };
                    if !same {
                        continue;
                    }
                }
                Text::Pattern(regex) => {
                    let Some(captures) = regex.captures(&said.word) else {
                        continue;
                    };
                    let named = regex.capture_names().flatten();
                    let found: Vec<Part> = named
                        .filter_map(|name| captures.name(name).map(|found| part(name, found.as_str(), at)))
                        .filter(|found| !found.value.is_empty())
                        .collect();
                    said.attributes.extend(found);
                }
            }
            said.attributes
                .extend(word.attributes.iter().map(|(key, value)| part(key, value, Span::default())));
            return Some(word.event);
        }
        None
    }
}

/// A cell that the mapping does not name: an attribute of unknown meaning.
fn other(said: &mut Said, key: &str, cell: &Cell) {
    let text = cell.text.trim();
    if text.is_empty() {
        return;
    }
    let taken = |key: &str, said: &Said| said.attributes.iter().any(|part| part.key == key);
    let mut free = key.to_owned();
    let mut number = 2;
    while taken(&free, said) {
        free = format!("{key}-{number}");
        number += 1;
    }
    said.attributes.push(Part {
        key: free,
        value: text.to_owned(),
        key_span: Span::default(),
        value_span: cell.span,
    });
}

fn join(text: &mut String, piece: &str) {
    if !text.is_empty() && !piece.is_empty() {
        text.push(' ');
    }
    text.push_str(piece);
}

fn cover(span: Option<Span>, other: Span) -> Span {
    span.map_or(other, |span| Span::new(span.start.min(other.start), span.end.max(other.end)))
}

//! One row read: number, time, event and attributes from its cells, each with its place in the file.

use regex_lite::{Captures, Regex};

use super::columns::Columns;
use super::rows::Cell;
use super::trade::is_of_the_trade;
use crate::event::Event;
use crate::exchange::mapping::{Column, Holds, Mapping, Text, Word};
use crate::source::{Source, Span};
use crate::syntax::{FaultCode, Item, LIMITS, Maker, Part, Stamp};

/// Why a row could not be read, where, and which parts of it may be shown.
pub(super) type Refusal = (FaultCode, Span, Vec<Span>);

pub(super) struct RowReader<'m> {
    pub(super) mapping: &'m Mapping,
    pub(super) columns: &'m Columns,
    pub(super) source: &'m Source,
    /// Number of the file's first row.
    pub(super) first_row: usize,
}

/// What a row says, in the making.
#[derive(Default)]
struct Said {
    number: Option<(u64, u8)>,
    time: String,
    time_spans: Vec<Span>,
    word: String,
    word_span: Option<Span>,
    unit: Option<(String, Span)>,
    attributes: Vec<Part>,
    harmless: Vec<Span>,
    /// Parts that are never shown, and need not be: the mapping leaves them out.
    covered: Vec<Span>,
    /// The event's cells, where the mapping knows the word by a pattern that does not name all of it.
    unnamed: Vec<Span>,
}

impl RowReader<'_> {
    /// A line that is no row: a header where the mapping says so, else a comment.
    pub(super) fn aside(&self, maker: &mut Maker, span: Span, line: usize) {
        let text = String::from_utf8_lossy(self.source.raw_at(span));
        // Behind the first row, a line may be about a voter.
        for (key, regex) in self.mapping.headers.iter().filter(|_| line < self.first_row) {
            if let Some(found) = regex.captures(&text).and_then(|captures| captures.get(1)) {
                let at = Span::new(span.start + found.start(), span.start + found.end());
                return maker.header(span, line, key, (found.as_str(), at));
            }
        }
        maker.comment(span, line);
    }

    pub(super) fn record(
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
            let before = self.source.raw_at(Span::new(span.start, cell.span.start));
            let position = String::from_utf8_lossy(before).chars().count() + 1;
            other(&mut said, &format!("rest-{position}"), cell);
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
            left_out: said.covered,
            unnamed: said.unnamed,
            digests: Vec::new(),
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
                said.time_spans.push(cell.span);
            }
            Holds::Event => {
                join(&mut said.word, text);
                said.word_span = Some(cover(said.word_span, cell.span));
            }
            Holds::LeftOut => said.covered.push(cell.span),
            Holds::Unit => {
                // Whose row it is, is not guessed.
                if text.is_empty() {
                    return Err((FaultCode::RowForm, cell.span, std::mem::take(&mut said.harmless)));
                }
                said.unit = Some((text.to_owned(), cell.span));
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
                said.harmless.extend(&said.time_spans);
                Ok(Some(if pattern.shows_seconds() { time } else { time.to_the_minute() }))
            }
            None => Err((
                FaultCode::RowTime,
                said.time_spans.first().copied().unwrap_or_default(),
                std::mem::take(&mut said.harmless),
            )),
        }
    }

    /// Whether a text that the mapping takes for a voter's act says nothing besides: it is made of words of the trade, or
    /// no other text is taken for the same act, so that it cannot be a choice among several.
    fn is_plain(&self, word: &Word, text: &str) -> bool {
        let others = self.mapping.words.iter().filter(|other| other.event == word.event).count() > 1;
        let several = others || matches!(&word.text, Text::Pattern(regex) if regex.as_str().contains('|'));
        !word.event.touches_ballot() || !several || is_of_the_trade(text)
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
                    let whole =
                        |found: regex_lite::Match<'_>| found.start() == 0 && found.end() == said.word.len();
                    let Some(captures) =
                        regex.captures(&said.word).filter(|captures| captures.get(0).is_some_and(whole))
                    else {
                        continue;
                    };
                    if !names_all(regex, &captures, &said.word) {
                        said.unnamed.push(at);
                    }
                    let named = regex.capture_names().flatten();
                    let found: Vec<Part> = named
                        .filter_map(|name| {
                            captures.name(name).map(|found| part(&name.replace('_', "-"), found.as_str(), at))
                        })
                        .filter(|found| !found.value.is_empty())
                        .collect();
                    said.attributes.extend(found);
                }
            }
            if !self.is_plain(word, &said.word) {
                said.unnamed.push(at);
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

/// Whether all of a text that no named group of an expression takes stands in the expression letter by letter: then the
/// text says nothing that the mapping does not.
fn names_all(regex: &Regex, captures: &Captures<'_>, text: &str) -> bool {
    let plain = regex.as_str().replace('\\', "");
    let mut groups: Vec<(usize, usize)> = regex
        .capture_names()
        .flatten()
        .filter_map(|name| captures.name(name))
        .map(|found| (found.start(), found.end()))
        .collect();
    groups.sort_unstable();
    let mut at = 0;
    for (from, to) in groups.into_iter().chain([(text.len(), text.len())]) {
        if from > at && !text.get(at..from).is_some_and(|piece| plain.contains(piece)) {
            return false;
        }
        at = at.max(to);
    }
    true
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

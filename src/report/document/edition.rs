//! Editions: the full one, and the public one, in which every time of day is given by its half hour.

use crate::report::document::{Block, Document, Figure, Section, Text};
use crate::source::Shown;

/// Which edition of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Edition {
    /// All times as the unit displayed them: for the court and the parties.
    #[default]
    Full,
    /// Times by the half hour: times beside a list of arrivals can betray who voted when.
    Public,
}

impl Edition {
    /// The edition in one word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Edition::Full => "full",
            Edition::Public => "public",
        }
    }

    /// What the first page says about it.
    #[must_use]
    pub fn statement(self) -> &'static str {
        match self {
            Edition::Full => {
                "Full edition. It holds the times of single votes as the unit displayed them. Beside a list of who \
                 arrived when, such times can betray who voted at which moment. It is made for the court and the \
                 parties. For publication there is a public edition, in which every time of day is given by its half hour."
            }
            Edition::Public => {
                "Public edition. Every time of day of a record is given by the half hour in which it lies, and lines of \
                 the log are given by number, half hour and event, because times beside a list of arrivals can betray \
                 who voted at which moment. The full edition, which the court holds, has the times and the lines."
            }
        }
    }

    /// A text as this edition tells it.
    #[must_use]
    pub fn tell(self, text: &Shown) -> Shown {
        match self {
            Edition::Full => text.clone(),
            Edition::Public => Shown::inert(&coarse(text.as_str())),
        }
    }
}

/// Minutes of a half hour.
const HALF_HOUR: u32 = 30;

/// A text in which every time of day is replaced by its half hour. A time without date and seconds on a half hour, such as
/// the hour of opening, stands as it is; so does an offset such as `+02:00`.
fn coarse(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(place) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(place);
        out.push_str(before);
        let behind_sign = out.ends_with(['+', '-', '\u{2212}']);
        match time_at(from) {
            Some(time) if !(behind_sign && time.length == 5) => {
                let is_dated = ends_with_date(&out);
                if time.length == 5 && !is_dated && time.minutes % HALF_HOUR == 0 {
                    out.push_str(from.get(..time.length).unwrap_or_default());
                } else {
                    let first = time.minutes - time.minutes % HALF_HOUR;
                    let last = first + HALF_HOUR;
                    out.push_str(&format!("{}\u{2013}{}", clock(first), clock(last)));
                }
                rest = from.get(time.length..).unwrap_or_default();
            }
            _ => {
                // A run of digits that is no time is passed as a whole.
                let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
                let (digits, behind) = from.split_at(end);
                out.push_str(digits);
                rest = behind;
            }
        }
    }
    out.push_str(rest);
    out
}

fn clock(minutes: u32) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// A time of day at the beginning of a text: its minutes since midnight and its length in bytes.
struct Time {
    minutes: u32,
    length: usize,
}

fn time_at(text: &str) -> Option<Time> {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).filter(|b| b.is_ascii_digit()).map(|b| u32::from(b - b'0'));
    let pair = |at: usize| Some(digit(at)? * 10 + digit(at + 1)?);
    let is_colon = |at: usize| bytes.get(at) == Some(&b':');
    let (hours, minutes) = (pair(0)?, if is_colon(2) { pair(3)? } else { return None });
    if hours > 24 || minutes > 59 {
        return None;
    }
    let mut length = 5;
    if is_colon(5) && pair(6).is_some() {
        length = 8;
        if matches!(bytes.get(8), Some(b'.' | b',')) && digit(9).is_some() {
            length = 9;
            while digit(length).is_some() {
                length += 1;
            }
        }
    }
    digit(length).is_none().then_some(Time { minutes: hours * 60 + minutes, length })
}

/// Whether a text ends with a date and the space, comma or letter between it and a time.
fn ends_with_date(text: &str) -> bool {
    let text = text.trim_end_matches([' ', ',', 'T', 't']);
    let tail = text.as_bytes().iter().rev().take(10).rev();
    let shape: String = tail.map(|b| if b.is_ascii_digit() { '9' } else { char::from(*b) }).collect();
    shape == "9999-99-99"
}

impl Document {
    /// Tells every text of the document as its edition does.
    pub(super) fn tell_by_edition(&mut self) {
        let edition = self.edition;
        if edition == Edition::Full {
            return;
        }
        for shown in [Some(&mut self.title), self.date.as_mut()].into_iter().flatten() {
            *shown = edition.tell(shown);
        }
        self.opening.iter_mut().for_each(|block| tell_block(block, edition));
        self.sections.iter_mut().for_each(|section| tell_section(section, edition));
    }
}

fn tell_section(section: &mut Section, edition: Edition) {
    section.title = edition.tell(&section.title);
    section.tags.iter_mut().for_each(|tag| *tag = edition.tell(tag));
    section.blocks.iter_mut().for_each(|block| tell_block(block, edition));
    section.sections.iter_mut().for_each(|section| tell_section(section, edition));
}

fn tell_text(text: &mut Text, edition: Edition) {
    for piece in &mut text.0 {
        let words = piece.words_mut();
        *words = edition.tell(words);
    }
}

fn tell_block(block: &mut Block, edition: Edition) {
    match block {
        Block::Paragraph(text) | Block::Notice(text) => tell_text(text, edition),
        Block::List(texts) | Block::Steps(texts) => {
            texts.iter_mut().for_each(|text| tell_text(text, edition))
        }
        Block::Definitions(definitions) => {
            for definition in definitions {
                definition.term = edition.tell(&definition.term);
                definition.texts.iter_mut().for_each(|text| tell_text(text, edition));
            }
        }
        Block::Table(table) => {
            table.caption = edition.tell(&table.caption);
            table.columns.iter_mut().for_each(|column| column.title = edition.tell(&column.title));
            table.rows.iter_mut().flat_map(|row| &mut row.cells).for_each(|text| tell_text(text, edition));
        }
        Block::Lines(lines) => {
            for line in lines {
                line.text = edition.tell(&line.text);
                line.notes.iter_mut().for_each(|text| tell_text(text, edition));
            }
        }
        Block::Figure(figure) => tell_figure(figure, edition),
        Block::Verbatim(shown) => *shown = edition.tell(shown),
        Block::Field(field) => {
            field.label = edition.tell(&field.label);
            if let Some(text) = &mut field.text {
                *text = edition.tell(text);
            }
        }
    }
}

fn tell_figure(figure: &mut Figure, edition: Edition) {
    figure.title = edition.tell(&figure.title);
    tell_text(&mut figure.alternative, edition);
    tell_text(&mut figure.caption, edition);
    figure.picture.each_text(&mut |shown| *shown = edition.tell(shown));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_time_of_day_is_told_by_its_half_hour() {
        for (full, public) in [
            ("vote at 2031-05-10 18:04:02.", "vote at 2031-05-10 18:00\u{2013}18:30."),
            ("2031-05-10T09:59:59.999 and 07:00", "2031-05-10T09:30\u{2013}10:00 and 07:00"),
            ("2031-05-10 07:00", "2031-05-10 07:00\u{2013}07:30"),
            ("opens 07:00, closes 18:15", "opens 07:00, closes 18:00\u{2013}18:30"),
            ("zone +02:00 or -03:30, at 23:59:60", "zone +02:00 or -03:30, at 23:30\u{2013}24:00"),
            ("record 12:345, 1200:30 and 9:15", "record 12:345, 1200:30 and 9:15"),
            ("07:00:00", "07:00\u{2013}07:30"),
            ("2031-05-10T09:42:07+02:00", "2031-05-10T09:30\u{2013}10:00+02:00"),
            ("0123:45:59", "0123:45:59"),
            ("\u{4e00}10:10\u{4e00}", "\u{4e00}10:00\u{2013}10:30\u{4e00}"),
        ] {
            assert_eq!(Edition::Public.tell(&Shown::inert(full)).as_str(), public);
            assert_eq!(Edition::Full.tell(&Shown::inert(full)).as_str(), full);
        }
    }
}

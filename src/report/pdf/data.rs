//! The data of the template: the tree of the document as JSON, every text fitted to the fonts.

use serde::Serialize;

use crate::report::document::{
    Anchor, Block, Column, Definition, Document, Figure, Line, Mark, Piece, Row, Section, Table, Text,
};
use crate::report::pdf::fit::Fitter;
use crate::report::pdf::{Fonts, Standard, colophon};
use crate::report::{TOOL, VERSION};
use crate::sheet::is_day;
use crate::source::Shown;

/// A text in pieces, between which a line may be broken.
type Words = Vec<String>;

/// Pieces of a text: what they are, their words, and where they lead.
type Told = Vec<(&'static str, Words, Option<String>)>;

/// Cells of a column, and its head, that are no longer than this keep their line.
const NARROW: usize = 16;
const NARROW_HEAD: usize = 26;

#[derive(Serialize)]
struct Whole {
    title: Words,
    id: String,
    about: About,
    head: Vec<(&'static str, &'static str, Words)>,
    edition: &'static str,
    state: &'static str,
    digest: String,
    demonstration: Option<&'static str>,
    made_by: String,
    text_fonts: Vec<String>,
    code_fonts: Vec<String>,
    bookmarks: bool,
    opening: Vec<Piled>,
    sections: Vec<Part>,
}

/// What the file says about itself: no font sets it, so that it is not fitted to any.
#[derive(Serialize)]
struct About {
    title: String,
    description: String,
    language: &'static str,
    date: Option<(u16, u8, u8)>,
}

#[derive(Serialize)]
struct Part {
    anchor: String,
    title: Words,
    tags: Vec<Words>,
    new_page: bool,
    blocks: Vec<Piled>,
    sections: Vec<Part>,
}

/// A block by its shape.
#[derive(Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
enum Piled {
    Paragraph { text: Told },
    Notice { text: Told },
    List { items: Vec<Told> },
    Steps { items: Vec<Told> },
    Definitions { entries: Vec<Entry> },
    Table { caption: Words, columns: Vec<Head>, rows: Vec<Cells> },
    Lines { lines: Vec<Quoted> },
    Figure { anchor: String, title: Words, alternative: Told, plain: String, caption: Told, svg: String },
    Verbatim { words: Words },
    Field { label: Words, text: Option<Words>, lines: u8 },
}

#[derive(Serialize)]
struct Entry {
    anchor: Option<String>,
    term: Words,
    texts: Vec<Told>,
}

#[derive(Serialize)]
struct Head {
    title: Words,
    is_number: bool,
    /// Its part of the width; none where it takes what it needs.
    share: Option<u64>,
}

#[derive(Serialize)]
struct Cells {
    anchor: Option<String>,
    cells: Vec<Told>,
}

#[derive(Serialize)]
struct Quoted {
    anchor: Option<String>,
    link: Option<String>,
    number: usize,
    mark: &'static str,
    marked: bool,
    after_gap: bool,
    text: Words,
    notes: Vec<Told>,
}

/// The data of a document.
pub(super) fn json(document: &Document, fonts: &Fonts<'_>, standard: Standard) -> String {
    let mut walk = Walk(Fitter::new(fonts));
    let mut whole = walk.whole(document, fonts, standard);
    let last = colophon::section(fonts, standard, walk.0.spelled());
    whole.sections.push(walk.part(&last));
    // A tree of texts and numbers is always JSON.
    serde_json::to_string(&whole).unwrap_or_default()
}

/// Walks the tree with what makes its texts fit.
struct Walk<'f>(Fitter<'f>);

impl Walk<'_> {
    fn whole(&mut self, document: &Document, fonts: &Fonts<'_>, standard: Standard) -> Whole {
        let (text_fonts, code_fonts) = fonts.families();
        let owned = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect();
        let state = if document.is_signed { "signed, as stated" } else { "draft" };
        let edition = document.edition.word();
        let (source, digest) = match document.source {
            Ok(digest) => ("code", digest.to_string()),
            Err(why) => ("plain", why.to_owned()),
        };
        let head = vec![
            ("report id", "code", vec![document.id.to_string()]),
            ("date", "plain", self.0.pieces(document.date_in_words())),
            ("edition", "plain", vec![edition.to_owned()]),
            ("state", "plain", vec![state.to_owned()]),
            ("SHA-256 of the log's file", source, self.0.pieces(&digest)),
        ];
        Whole {
            title: self.0.pieces(document.title.as_str()),
            id: document.id.to_string(),
            about: About {
                title: format!("{} ({})", document.title, document.id),
                description: format!(
                    "Report {}, {edition} edition. Made by {TOOL} {VERSION}. Supporting material: the person who files it \
                     answers for it.",
                    document.id
                ),
                language: document.language,
                date: document.date.as_ref().and_then(|date| day(date.as_str())),
            },
            head,
            edition,
            state: if document.is_signed { "" } else { "draft" },
            digest: document.source_in_words(),
            demonstration: document.demonstration,
            made_by: format!("{TOOL} {VERSION}"),
            text_fonts: owned(text_fonts),
            code_fonts: owned(code_fonts),
            bookmarks: standard.bookmarks,
            opening: document.opening.iter().map(|block| self.block(block)).collect(),
            sections: document.sections.iter().map(|section| self.part(section)).collect(),
        }
    }

    fn part(&mut self, section: &Section) -> Part {
        Part {
            anchor: name(&section.anchor),
            title: self.0.pieces(section.title.as_str()),
            tags: section.tags.iter().map(|tag| self.0.pieces(tag.as_str())).collect(),
            new_page: section.on_new_page,
            blocks: section.blocks.iter().map(|block| self.block(block)).collect(),
            sections: section.sections.iter().map(|section| self.part(section)).collect(),
        }
    }

    fn text(&mut self, text: &Text) -> Told {
        let told = |piece: &Piece| {
            let (kind, to) = match piece {
                Piece::Plain(_) => ("plain", None),
                Piece::Strong(_) => ("strong", None),
                Piece::Code(_) => ("code", None),
                Piece::Link(to, _) => ("link", Some(name(to))),
            };
            (kind, self.0.pieces(piece.words().as_str()), to)
        };
        text.0.iter().map(told).collect()
    }

    fn texts(&mut self, texts: &[Text]) -> Vec<Told> {
        texts.iter().map(|text| self.text(text)).collect()
    }

    fn block(&mut self, block: &Block) -> Piled {
        match block {
            Block::Paragraph(text) => Piled::Paragraph { text: self.text(text) },
            Block::Notice(text) => Piled::Notice { text: self.text(text) },
            Block::List(items) => Piled::List { items: self.texts(items) },
            Block::Steps(items) => Piled::Steps { items: self.texts(items) },
            Block::Definitions(list) => {
                Piled::Definitions { entries: list.iter().map(|entry| self.entry(entry)).collect() }
            }
            Block::Table(table) => Piled::Table {
                caption: self.0.pieces(table.caption.as_str()),
                columns: table
                    .columns
                    .iter()
                    .enumerate()
                    .map(|(at, column)| self.head(table, at, column))
                    .collect(),
                rows: table.rows.iter().map(|row| self.row(row)).collect(),
            },
            Block::Lines(lines) => Piled::Lines { lines: lines.iter().map(|line| self.line(line)).collect() },
            Block::Figure(figure) => self.figure(figure),
            Block::Verbatim(words) => Piled::Verbatim { words: self.0.pieces(words.as_str()) },
            Block::Field(field) => Piled::Field {
                label: self.0.pieces(field.label.as_str()),
                text: field.text.as_ref().map(|text| self.0.pieces(text.as_str())),
                lines: field.lines.clamp(1, 6),
            },
        }
    }

    fn entry(&mut self, entry: &Definition) -> Entry {
        Entry {
            anchor: entry.anchor.as_ref().map(name),
            term: self.0.pieces(entry.term.as_str()),
            texts: self.texts(&entry.texts),
        }
    }

    fn head(&mut self, table: &Table, at: usize, column: &Column) -> Head {
        let title = self.0.pieces(column.title.as_str());
        Head { title, is_number: column.is_number, share: share(table, at, column) }
    }

    fn row(&mut self, row: &Row) -> Cells {
        Cells { anchor: row.anchor.as_ref().map(name), cells: self.texts(&row.cells) }
    }

    fn line(&mut self, line: &Line) -> Quoted {
        let is_annex = line.anchor.is_some();
        Quoted {
            anchor: line.anchor.as_ref().map(name),
            link: line.link.as_ref().map(name),
            number: line.number,
            mark: match line.mark {
                Mark::Main if !is_annex => "this",
                Mark::Also if !is_annex => "also",
                _ => "",
            },
            marked: line.mark != Mark::Beside,
            after_gap: line.after_gap,
            text: self.0.pieces(line.text.as_str()),
            notes: self.texts(&line.notes),
        }
    }

    fn figure(&mut self, figure: &Figure) -> Piled {
        let mut picture = figure.picture.clone();
        picture.each_text(&mut |words| *words = Shown::inert(&self.0.fit(words.as_str())));
        Piled::Figure {
            anchor: name(&figure.anchor),
            title: self.0.pieces(figure.title.as_str()),
            plain: figure.alternative.words(),
            alternative: self.text(&figure.alternative),
            caption: self.text(&figure.caption),
            svg: picture.standalone(figure.title.as_str()),
        }
    }
}

fn name(anchor: &Anchor) -> String {
    anchor.as_str().to_owned()
}

/// What part of the width a column gets, by the length of its texts: a long one gets more, but not in proportion, or the
/// short ones would be too narrow.
fn share(table: &Table, at: usize, column: &Column) -> Option<u64> {
    let length = |text: &Text| text.words().chars().count();
    let lengths: Vec<usize> = table.rows.iter().filter_map(|row| row.cells.get(at)).map(length).collect();
    let (longest, head) = (lengths.iter().copied().max().unwrap_or(0), column.title.as_str().chars().count());
    if column.is_number || longest <= NARROW && head <= NARROW_HEAD {
        return None;
    }
    let longest = longest.max(head);
    let mean = lengths.iter().sum::<usize>() / lengths.len().max(1);
    Some(((longest + 2 * mean) as u64 * 100).isqrt())
}

/// A day of the calendar as numbers.
fn day(text: &str) -> Option<(u16, u8, u8)> {
    if !is_day(text) {
        return None;
    }
    let mut parts = text.split('-');
    Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_three_numbers() {
        assert_eq!(day("2031-06-02"), Some((2031, 6, 2)));
        assert_eq!(day("2031-02-30"), None);
        assert_eq!(day("June"), None);
    }

    #[test]
    fn a_column_of_long_texts_gets_more_of_the_width_and_one_of_numbers_what_it_needs() {
        let mut table = Table::new("t", &["short", "#number", "long", "longer"]);
        table.push(vec!["a".into(), "1".into(), "x".repeat(40).into(), "x".repeat(400).into()]);
        let shares: Vec<Option<u64>> =
            table.columns.iter().enumerate().map(|(at, column)| share(&table, at, column)).collect();
        assert_eq!(shares, [None, None, Some(109), Some(346)]);
    }
}

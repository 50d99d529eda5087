//! The document that goes to court, as one value: a tree of sections, free of any form. Forms (the page, the PDF) render
//! it and add nothing to what it says.
//!
//! ```text
//! examinations + frame + edition ── Document::of ──► Document ──► html::page   (one self-contained page)
//!                                                             └─► any other form that walks the same tree
//! ```
//!
//! **What a form must do.** Walk [`Document::sections`] in order. A [`Section`] has an [`Anchor`] (unique in the document),
//! a title, short [`Section::tags`], blocks, and sections below it. Every [`Block`] variant is a shape and not a meaning:
//! paragraphs, notices, lists, definitions, tables, quoted log lines, figures, fields that only a person can fill. A text is
//! a row of [`Piece`]s; a [`Piece::Link`] always has its target in the same document (a test holds it). Every leaf is a
//! [`Shown`]: it has passed the gate, and in the public edition its times are coarsened already. A form escapes for its own
//! syntax and does nothing else to it. A [`Figure`] holds a [`Picture`], which knows its SVG
//! ([`Picture::standalone`]).
//!
//! **How to add a section.** Write one function `fn section(place: &Place, examination: &Examination<'_>) -> Option<Section>`
//! in a file of this folder named after what the section tells, give it an anchor by [`Place::anchor`], name the items of the
//! checklist of contents that it answers by [`Section::answering`], and call it at its place in the list in `order.rs`.
//! `None` leaves the section out; a section whose absence could be misread says instead what it does not hold. Both forms and
//! the tests on structure, links, editions and secrecy then hold it without another line.

mod anchor;
mod annex;
mod answers;
mod assumed;
mod clock;
mod coarse;
mod day;
mod described;
mod edition;
mod findings;
mod glossary;
mod items;
mod ledger;
mod limits;
mod matter;
mod measured;
mod method;
mod moments;
mod open;
mod order;
mod pace;
mod person;
mod repeat;
mod stated;
mod text;
mod veil;
mod words;

pub use anchor::{Anchor, Place};
pub use edition::Edition;
pub use glossary::{GLOSSARY, Term};
pub use order::CHECKLIST;
pub use text::{Piece, Text};

use crate::report::picture::Picture;
use crate::source::{Digest, Shown};

/// The document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Its title.
    pub title: Shown,
    /// Language of its words, as a BCP 47 tag.
    pub language: &'static str,
    /// Its id: that of the full edition follows from what was examined, the tool's version, the edition and the date, that of
    /// the public one from its own words and the version, and from nothing else.
    pub id: Shown,
    /// SHA-256 of the log's file, for the first page and the running head; else why it is not printed.
    pub source: Result<Digest, &'static str>,
    /// Date of the report as the case file or the command states it; never the clock's.
    pub date: Option<Shown>,
    /// Which edition it is.
    pub edition: Edition,
    /// Whether a person has signed it according to the case file; a draft else.
    pub is_signed: bool,
    /// What must stand on every page where no evidence was read.
    pub demonstration: Option<&'static str>,
    /// The opening statements, for the first page.
    pub opening: Vec<Block>,
    /// The sections.
    pub sections: Vec<Section>,
}

/// A section with its title.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Where links point.
    pub anchor: Anchor,
    /// Its title.
    pub title: Shown,
    /// Words that stand beside the title: how a finding follows, what it weighs.
    pub tags: Vec<Shown>,
    /// Items of the checklist of contents that it answers; see `order.rs`.
    pub answers: Vec<u8>,
    /// Whether a form on paper begins a new page with it.
    pub on_new_page: bool,
    /// What it says.
    pub blocks: Vec<Block>,
    /// Sections below it.
    pub sections: Vec<Section>,
}

/// A piece of a section, by its shape.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A paragraph.
    Paragraph(Text),
    /// A paragraph that must not be missed.
    Notice(Text),
    /// A list whose order says nothing.
    List(Vec<Text>),
    /// A list whose order counts, numbered from 1.
    Steps(Vec<Text>),
    /// Terms, each with what is said of it.
    Definitions(Vec<Definition>),
    /// A table.
    Table(Table),
    /// Lines of the log, word for word as the gate lets them through.
    Lines(Vec<Line>),
    /// A figure.
    Figure(Figure),
    /// A command or other text that is typed again letter by letter.
    Verbatim(Shown),
    /// An empty field, to be filled in by a person: it must look empty in every form.
    Field(Field),
}

/// A term and what is said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Definition {
    /// Where links point, if any do.
    pub anchor: Option<Anchor>,
    /// The term.
    pub term: Shown,
    /// What is said of it, one text after another.
    pub texts: Vec<Text>,
}

/// A table. The first cell of a row is its head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What the table holds.
    pub caption: Shown,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; each has as many cells as there are columns.
    pub rows: Vec<Row>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its head.
    pub title: Shown,
    /// Whether it holds numbers, which stand under each other at their right.
    pub is_number: bool,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Where links point, if any do.
    pub anchor: Option<Anchor>,
    /// Its cells.
    pub cells: Vec<Text>,
}

/// Why a line of the log stands where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// The finding is about it.
    Main,
    /// It shows the finding too.
    Also,
    /// It stands beside one of these, or in the annex.
    Beside,
}

/// A line of the log, quoted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Its own anchor, in the annex.
    pub anchor: Option<Anchor>,
    /// Its place in the annex, elsewhere.
    pub link: Option<Anchor>,
    /// Its number in the file, from 1.
    pub number: usize,
    /// Why it stands here.
    pub mark: Mark,
    /// Whether lines of the file between this one and the quoted one above are left out.
    pub after_gap: bool,
    /// Its text.
    pub text: Shown,
    /// What is noted on it.
    pub notes: Vec<Text>,
}

/// A figure: a picture with a name, a caption, and what it shows in words for whoever does not see it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// Where links point; also the name of the picture.
    pub anchor: Anchor,
    /// Its title.
    pub title: Shown,
    /// What it shows, in words.
    pub alternative: Text,
    /// How to read it.
    pub caption: Text,
    /// The picture.
    pub picture: Picture,
}

/// A field that a person fills in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// What belongs into it.
    pub label: Shown,
    /// What the case file says; `None` stays visibly empty.
    pub text: Option<Shown>,
    /// How much room it needs: 1 for a line, more for a text.
    pub lines: u8,
}

impl Section {
    /// An empty section.
    #[must_use]
    pub fn new(anchor: Anchor, title: &str) -> Section {
        Section {
            anchor,
            title: Shown::inert(title),
            tags: Vec::new(),
            answers: Vec::new(),
            on_new_page: false,
            blocks: Vec::new(),
            sections: Vec::new(),
        }
    }

    /// The same, answering these items of the checklist.
    #[must_use]
    pub fn answering(mut self, items: &[u8]) -> Section {
        self.answers.extend(items);
        self
    }

    /// Adds a block.
    pub fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }

    /// Adds a paragraph.
    pub fn say(&mut self, text: impl Into<Text>) {
        self.blocks.push(Block::Paragraph(text.into()));
    }
}

impl Definition {
    /// A term with one text.
    #[must_use]
    pub fn new(term: &str, text: impl Into<Text>) -> Definition {
        Definition { anchor: None, term: Shown::inert(term), texts: vec![text.into()] }
    }
}

impl Table {
    /// An empty table; a title that begins with `#` is that of a column of numbers.
    #[must_use]
    pub fn new(caption: &str, columns: &[&str]) -> Table {
        let column = |title: &&str| Column {
            title: Shown::inert(title.strip_prefix('#').unwrap_or(title)),
            is_number: title.starts_with('#'),
        };
        Table {
            caption: Shown::inert(caption),
            columns: columns.iter().map(column).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn push(&mut self, cells: Vec<Text>) {
        self.rows.push(Row { anchor: None, cells });
    }
}

impl Document {
    /// The date, for the first page; where nobody states one, this is said.
    #[must_use]
    pub fn date_in_words(&self) -> &str {
        self.date.as_ref().map_or("not stated", Shown::as_str)
    }

    /// The digest of the log's file for the running head; where it is not printed, the place that says why.
    #[must_use]
    pub fn source_in_words(&self) -> String {
        self.source
            .map_or_else(|_| "not printed; the first page says why".to_owned(), |digest| digest.to_string())
    }

    /// Every section, parents before their children, in the order of the document.
    pub fn all_sections(&self) -> impl Iterator<Item = &Section> {
        let mut todo: Vec<&Section> = self.sections.iter().rev().collect();
        std::iter::from_fn(move || {
            let next = todo.pop()?;
            todo.extend(next.sections.iter().rev());
            Some(next)
        })
    }

    /// Every block, in the order of the document.
    pub fn all_blocks(&self) -> impl Iterator<Item = &Block> {
        self.opening.iter().chain(self.all_sections().flat_map(|section| &section.blocks))
    }
}

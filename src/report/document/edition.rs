//! Editions: the full one, and the public one, in which every time of day is given by its half hour.

use crate::report::document::coarse::{coarse, without_digests};
use crate::report::document::{Block, Document, Figure, Piece, Section, Text};
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
                "Public edition. Every time of day is given by the half hour in which it lies, lengths of time are left out, and \
                 lines of the log are given by number, half hour and event, because times beside a list of arrivals can \
                 betray who voted at which moment. The full edition, which the court holds, has them all."
            }
        }
    }

    /// A text as this edition tells it.
    #[must_use]
    pub fn tell(self, text: &Shown) -> Shown {
        match self {
            Edition::Full => text.clone(),
            Edition::Public => Shown::inert(&coarse(&without_digests(text.as_str()))),
        }
    }

    /// A word letter by letter as this edition tells it: digests that stand so are those of whole files and of the tool.
    fn tell_code(self, text: &Shown) -> Shown {
        match self {
            Edition::Full => text.clone(),
            Edition::Public => Shown::inert(&coarse(text.as_str())),
        }
    }
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
        let is_code = matches!(piece, Piece::Code(_));
        let words = piece.words_mut();
        *words = if is_code { edition.tell_code(words) } else { edition.tell(words) };
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

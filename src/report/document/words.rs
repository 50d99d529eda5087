//! Every word of a document, to be changed or collected.

use crate::report::document::text::Piece;
use crate::report::document::{Block, Document, Figure, Section, Text};
use crate::source::Shown;

/// What is done with each text; whether it stands letter by letter comes with it.
pub(super) type Change<'c> = &'c mut dyn FnMut(&mut Shown, bool);

impl Document {
    /// Passes every text of the document to a function that may change it; its id is none of them.
    pub(super) fn each_words(&mut self, change: Change<'_>) {
        for shown in [Some(&mut self.title), self.date.as_mut()].into_iter().flatten() {
            change(shown, false);
        }
        self.opening.iter_mut().for_each(|block| of_block(block, change));
        self.sections.iter_mut().for_each(|section| of_section(section, change));
    }
}

fn of_section(section: &mut Section, change: Change<'_>) {
    change(&mut section.title, false);
    section.tags.iter_mut().for_each(|tag| change(tag, false));
    section.blocks.iter_mut().for_each(|block| of_block(block, change));
    section.sections.iter_mut().for_each(|section| of_section(section, change));
}

fn of_text(text: &mut Text, change: Change<'_>) {
    for piece in &mut text.0 {
        let is_code = matches!(piece, Piece::Code(_));
        change(piece.words_mut(), is_code);
    }
}

fn of_block(block: &mut Block, change: Change<'_>) {
    match block {
        Block::Paragraph(text) | Block::Notice(text) => of_text(text, change),
        Block::List(texts) | Block::Steps(texts) => texts.iter_mut().for_each(|text| of_text(text, change)),
        Block::Definitions(definitions) => {
            for definition in definitions {
                change(&mut definition.term, false);
                definition.texts.iter_mut().for_each(|text| of_text(text, change));
            }
        }
        Block::Table(table) => {
            change(&mut table.caption, false);
            table.columns.iter_mut().for_each(|column| change(&mut column.title, false));
            table.rows.iter_mut().flat_map(|row| &mut row.cells).for_each(|text| of_text(text, change));
        }
        Block::Lines(lines) => {
            for line in lines {
                change(&mut line.text, false);
                line.notes.iter_mut().for_each(|text| of_text(text, change));
            }
        }
        Block::Figure(figure) => of_figure(figure, change),
        Block::Verbatim(shown) => change(shown, false),
        Block::Field(field) => {
            change(&mut field.label, false);
            field.text.iter_mut().for_each(|text| change(text, false));
        }
    }
}

fn of_figure(figure: &mut Figure, change: Change<'_>) {
    change(&mut figure.title, false);
    of_text(&mut figure.alternative, change);
    of_text(&mut figure.caption, change);
    figure.picture.each_text(&mut |shown| change(shown, false));
}

//! Texts of a document: rows of pieces that have passed the gate.

use crate::report::document::Anchor;
use crate::source::Shown;

/// A piece of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Words.
    Plain(Shown),
    /// Words that carry weight.
    Strong(Shown),
    /// A word of the log, of a file or of the tool, letter by letter.
    Code(Shown),
    /// Words that lead to another place of the document.
    Link(Anchor, Shown),
}

/// A text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text(pub Vec<Piece>);

impl Text {
    /// No text.
    #[must_use]
    pub fn new() -> Text {
        Text::default()
    }

    /// The same with words behind it.
    #[must_use]
    pub fn plain(mut self, words: &str) -> Text {
        self.0.push(Piece::Plain(Shown::inert(words)));
        self
    }

    /// The same with words that carry weight behind it.
    #[must_use]
    pub fn strong(mut self, words: &str) -> Text {
        self.0.push(Piece::Strong(Shown::inert(words)));
        self
    }

    /// The same with a word letter by letter behind it.
    #[must_use]
    pub fn code(mut self, words: &str) -> Text {
        self.0.push(Piece::Code(Shown::inert(words)));
        self
    }

    /// The same with a link behind it.
    #[must_use]
    pub fn link(mut self, to: Anchor, words: &str) -> Text {
        self.0.push(Piece::Link(to, Shown::inert(words)));
        self
    }

    /// Another text behind this one.
    #[must_use]
    pub fn and(mut self, other: Text) -> Text {
        self.0.extend(other.0);
        self
    }

    /// The words without their dress.
    #[must_use]
    pub fn words(&self) -> String {
        self.0.iter().map(|piece| piece.words().as_str()).collect()
    }
}

impl Piece {
    /// The words.
    #[must_use]
    pub fn words(&self) -> &Shown {
        match self {
            Piece::Plain(words) | Piece::Strong(words) | Piece::Code(words) | Piece::Link(_, words) => words,
        }
    }

    /// The words, to be changed.
    pub(super) fn words_mut(&mut self) -> &mut Shown {
        match self {
            Piece::Plain(words) | Piece::Strong(words) | Piece::Code(words) | Piece::Link(_, words) => words,
        }
    }
}

impl From<&str> for Text {
    fn from(words: &str) -> Text {
        Text::new().plain(words)
    }
}

impl From<String> for Text {
    fn from(words: String) -> Text {
        Text::new().plain(&words)
    }
}

impl From<&Shown> for Text {
    fn from(words: &Shown) -> Text {
        Text(vec![Piece::Plain(words.clone())])
    }
}

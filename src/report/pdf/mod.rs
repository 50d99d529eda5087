//! The document as a PDF: a fixed template and data, which Typst sets; and the fonts that it sets them with.
//!
//! ```text
//! Document + Fonts + Standard ──► Sources (template, data as JSON) ──► press (feature `pdf`) ──► bytes of the PDF
//!                                                                └──► a folder, for Typst's own program
//! ```
//!
//! Nothing that stems from evidence is ever read as markup: the template is part of the program and never changes, and it
//! reads the data as JSON. Before that, every character is held against the fonts; one that none of them covers becomes its
//! code point in words (`fit.rs`). The press sees no network, no clock, no font of the machine.

mod colophon;
mod data;
mod fit;
mod font;
#[cfg(feature = "pdf")]
mod press;

pub use font::{Fonts, Given, Misfit};

use crate::report::document::Document;

/// The template. It holds no word of any document.
pub const TEMPLATE: &str = include_str!("document.typ");

/// The version of Typst that the program is built with, where it is built with it: another may set other bytes.
pub const TYPST: &str = "0.15.1";

/// The name under which the template finds its data.
pub const DATA: &str = "document.json";

/// A part of PDF/A (ISO 19005) and the level of conformance that a file claims.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standard {
    /// Its name on the command line, and for Typst's own program.
    pub id: &'static str,
    /// As people write it.
    pub name: &'static str,
    /// What speaks for it.
    pub meaning: &'static str,
    /// Whether a list of bookmarks may stand in the file: Apache `PDFBox` Preflight 2.0.27 refuses one in part 1.
    pub bookmarks: bool,
}

/// Every standard that can be asked for; the first is taken where none is.
pub const STANDARDS: &[Standard] = &[
    Standard {
        id: "a-2b",
        name: "PDF/A-2b",
        meaning: "ISO 19005-2: looks the same for good; what most archives take",
        bookmarks: true,
    },
    Standard {
        id: "a-2u",
        name: "PDF/A-2u",
        meaning: "ISO 19005-2, and every letter can be searched and copied as Unicode",
        bookmarks: true,
    },
    Standard {
        id: "a-1b",
        name: "PDF/A-1b",
        meaning: "ISO 19005-1, the oldest part, for desks that take no other; without bookmarks",
        bookmarks: false,
    },
    Standard {
        id: "a-3b",
        name: "PDF/A-3b",
        meaning: "ISO 19005-3, for desks that ask for it; nothing is attached",
        bookmarks: true,
    },
];

impl Standard {
    /// The standard of this name.
    #[must_use]
    pub fn named(id: &str) -> Option<Standard> {
        STANDARDS.iter().find(|standard| standard.id == id).copied()
    }
}

/// What Typst is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sources {
    /// The data, as JSON; the template finds them as [`DATA`].
    pub data: String,
    /// The part of PDF/A for which they are made.
    pub standard: Standard,
}

impl Sources {
    /// The sources of a document. Pure: the same document and the same fonts give the same sources on every machine.
    #[must_use]
    pub fn of(document: &Document, fonts: &Fonts<'_>, standard: Standard) -> Sources {
        Sources { data: data::json(document, fonts, standard), standard }
    }

    /// The PDF.
    ///
    /// # Errors
    /// Says in Typst's words why it cannot be set: a font that may not be embedded, or that is named in a way which the
    /// font's file does not show.
    #[cfg(feature = "pdf")]
    pub fn print(&self, fonts: &Fonts<'_>) -> Result<Vec<u8>, String> {
        press::print(self, fonts)
    }
}

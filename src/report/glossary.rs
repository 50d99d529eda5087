//! The glossary as a page for the terminal.

use crate::report::Layout;
use crate::report::document::GLOSSARY;
use crate::report::page::{Page, Tone};

/// The page.
#[must_use]
pub fn page(layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    page.head("Words explained");
    for term in GLOSSARY {
        page.text(0, Tone::Head, term.word);
        page.text(2, Tone::Plain, term.meaning);
    }
    page.finish()
}

//! The last section of a PDF: the part of PDF/A that it claims, its fonts with their digests, what none of them covers.

use std::collections::BTreeSet;

use crate::report::count;
use crate::report::document::{Anchor, Block, Section, Table, Text};
use crate::report::pdf::fit::code_point;
use crate::report::pdf::{Fonts, Standard};

/// How many characters are named one by one.
const NAMED: usize = 200;

pub(super) fn section(fonts: &Fonts<'_>, standard: Standard, spelled: &BTreeSet<char>) -> Section {
    let mut section = Section::new(Anchor::new("how-set"), "How these pages were set");
    section.say(format!(
        "The pages were set by Typst from the same document as the page (HTML), with the same sections in the same order. \
         The file claims {} (ISO 19005). A claim is no proof: a validator checks it. Ask the court which part it takes.",
        standard.name
    ));
    let mut table =
        Table::new("Fonts, all of them embedded as far as used", &["font", "where it comes from", "SHA-256"]);
    for file in fonts.files() {
        let from = if file.is_given { "a file, named by --font" } else { "part of the program" };
        let name =
            if file.is_given { file.name.to_owned() } else { format!("{}, {}", file.name, file.look()) };
        table.push(vec![name.into(), from.into(), Text::new().code(&file.digest().to_string())]);
    }
    section.push(Block::Table(table));
    section.say(if spelled.is_empty() {
        "Every character of the document is covered by these fonts.".to_owned()
    } else {
        let named: Vec<String> = spelled.iter().take(NAMED).map(|c| code_point(*c)).collect();
        let more = spelled.len().saturating_sub(NAMED);
        let rest = if more == 0 { String::new() } else { format!(", and {more} more") };
        format!(
            "{} covered by none of these fonts and printed as {}: {}{rest}. A font that covers them is given by --font.",
            count(spelled.len(), "character is", "characters are"),
            if spelled.len() == 1 { "its code point" } else { "their code points" },
            named.join(" "),
        )
    });
    section
}

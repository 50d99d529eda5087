//! How a PDF is set: what `document` takes, and a bundle that is to hold one.

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser};
use clap::{Args, ValueEnum};
use logassay::report::pdf::STANDARDS;

#[derive(Debug, Args)]
pub(crate) struct Press {
    /// For a PDF: the part of PDF/A (ISO 19005) and the level of conformance
    #[arg(long, value_name = "NAME", default_value = "a-2b", value_parser = standards())]
    pub(crate) pdf_standard: String,
    /// For a PDF: a font (TrueType or OpenType) for characters that the built-in fonts lack; may be given again. What no
    /// font covers is printed as its code point, such as [U+0928]
    #[arg(long, value_name = "FILE")]
    pub(crate) font: Vec<PathBuf>,
}

impl Press {
    /// Whether anything is said that is not said by leaving it out.
    pub(crate) fn is_asked(&self) -> bool {
        let first = STANDARDS.first().map_or("", |standard| standard.id);
        !self.font.is_empty() || self.pdf_standard != first
    }
}

/// What a bundle may hold beside the page (HTML) and the reports.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Also {
    /// The document as a PDF; needs a program built with the feature 'pdf'
    Pdf,
    /// The same PDF not yet set: what Typst's own program makes it from
    Typst,
}

/// The parts of PDF/A.
fn standards() -> PossibleValuesParser {
    PossibleValuesParser::new(STANDARDS.iter().map(|standard| {
        PossibleValue::new(standard.id).help(format!("{} ({})", standard.name, standard.meaning))
    }))
}

//! What `document` takes.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Evidence, Press, date};

#[derive(Debug, Args)]
pub(crate) struct Document {
    #[command(flatten)]
    pub(crate) evidence: Evidence,
    /// The file to write; for --form typst the folder, which must not exist
    #[arg(long, value_name = "FILE")]
    pub(crate) out: PathBuf,
    /// The form
    #[arg(long, value_enum, default_value = "html")]
    pub(crate) form: DocumentForm,
    /// The edition
    #[arg(long, value_enum, default_value = "full")]
    pub(crate) edition: Edition,
    /// Date of the report, YYYY-MM-DD; without it, the one that the case file states; never the clock's
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) date: Option<String>,
    #[command(flatten)]
    pub(crate) press: Press,
    /// Write over the file if it exists
    #[arg(long)]
    pub(crate) replace: bool,
}

/// The form of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum DocumentForm {
    /// One page (HTML) that needs nothing else
    Html,
    /// A PDF (PDF/A-2b); needs a program built with the feature 'pdf'
    Pdf,
    /// The same PDF not yet set: a folder from which Typst's own program makes it
    Typst,
}

/// For whom a document is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Edition {
    /// For the court and the parties: all times as displayed
    Full,
    /// For publication: times by the half hour, so that no vote can be placed closer than a half hour
    Public,
}

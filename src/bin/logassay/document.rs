//! `document`: the document for the court, as a page.

use std::path::Path;

use logassay::report::document::{Document, Edition};
use logassay::report::html;
use logassay::source::Shown;

use crate::Done;
use crate::arguments::{self, Evidence};
use crate::failure::Failure;
use crate::outside;
use crate::setting::{self, Setting};

pub(crate) fn run(arguments: &arguments::Document) -> Result<Done, Failure> {
    let date = arguments.date.as_deref().map(Shown::inert);
    let edition = match arguments.edition {
        arguments::Edition::Full => Edition::Full,
        arguments::Edition::Public => Edition::Public,
    };
    let mut setting = Setting::read_in_folder(&arguments.evidence)?;
    setting.frame.command = command(&arguments.evidence, edition, date.as_ref());
    if date.is_some() {
        setting.frame.date = date;
    }
    let document = Document::of(&setting.examinations(), &setting.frame, edition);
    let text = html::page(&document);
    if arguments.replace {
        outside::write_over(&arguments.out, text.as_bytes(), &setting.read)?;
    } else {
        outside::write_new(&arguments.out, &text)?;
    }
    Ok(Done::well(outside::written(&arguments.out, &text)))
}

/// The command that repeats the run in a folder that holds the files: the same wherever they lay this time, and whatever
/// the document's file was called.
fn command(evidence: &Evidence, edition: Edition, date: Option<&Shown>) -> Shown {
    let name = |path: &Path| path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let mut words: Vec<String> = vec!["document".to_owned()];
    words.extend(evidence.log.as_deref().map(name));
    let files =
        [("--mapping", &evidence.mapping), ("--case", &evidence.case_file), ("--unit", &evidence.unit)];
    for (option, path) in files {
        if let Some(path) = path {
            words.extend([option.to_owned(), name(path)]);
        }
    }
    if let Some(demonstration) = &evidence.demonstration {
        words.extend(["--demonstration".to_owned(), demonstration.clone()]);
    }
    words.extend(["--edition".to_owned(), edition.word().to_owned()]);
    if let Some(date) = date {
        words.extend(["--date".to_owned(), date.to_string()]);
    }
    setting::command(words.into_iter())
}

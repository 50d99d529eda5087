//! `document`: the document for the court, as a page, as a PDF, or as what Typst makes the PDF from.

use std::fs;
use std::path::Path;

use logassay::report::document::{Document, Edition};
use logassay::report::html;
use logassay::source::Shown;

use crate::Done;
use crate::arguments::{self, DocumentForm};
use crate::failure::Failure;
use crate::outside;
use crate::press::{self, Press, Ready};
use crate::setting::{self, Setting};

pub(crate) fn run(arguments: &arguments::Document) -> Result<Done, Failure> {
    check(arguments)?;
    let date = arguments.date.as_deref().map(Shown::inert);
    let edition = match arguments.edition {
        arguments::Edition::Full => Edition::Full,
        arguments::Edition::Public => Edition::Public,
    };
    let press = Press::of(&arguments.press)?;
    let mut setting = Setting::read_in_folder(&arguments.evidence)?;
    press.enter(&arguments.press, &mut setting);
    let words = rest(arguments, edition, &press, date.as_ref());
    setting.frame.command = setting::repeated("document", &arguments.evidence, words.into_iter());
    if date.is_some() {
        setting.frame.date = date;
    }
    let document = Document::of(&setting.examinations(), &setting.frame, edition);
    if arguments.form == DocumentForm::Html {
        let text = html::page(&document);
        outside::write(&arguments.out, &text, arguments.replace, &setting.read)?;
        return Ok(Done::well(outside::written(&arguments.out, &text)));
    }
    let ready = press.ready(&document)?;
    if arguments.form == DocumentForm::Typst {
        return folder(&arguments.out, &ready).map(Done::well);
    }
    let bytes = ready.pdf()?;
    outside::write(&arguments.out, &bytes, arguments.replace, &setting.read)?;
    Ok(Done::well(outside::written(&arguments.out, &bytes)))
}

/// What does not go together, before anything is read.
fn check(arguments: &arguments::Document) -> Result<(), Failure> {
    match arguments.form {
        DocumentForm::Html if arguments.press.is_asked() => Err(Failure::new(
            "--font and --pdf-standard say something about a PDF, and the page (HTML) is asked for",
            "add --form pdf, or leave them out",
        )),
        DocumentForm::Typst if arguments.replace => Err(Failure::new(
            "--form typst writes a folder of its own, and none is replaced",
            "leave --replace out, and name a folder that does not exist",
        )),
        DocumentForm::Pdf => press::must_set(),
        _ => Ok(()),
    }
}

/// The words of the command that repeats the run, behind those that name the evidence.
fn rest(
    arguments: &arguments::Document,
    edition: Edition,
    press: &Press,
    date: Option<&Shown>,
) -> Vec<String> {
    let mut words = vec!["--edition", edition.word()];
    if let Some(date) = date {
        words.extend(["--date", date.as_str()]);
    }
    if arguments.form != DocumentForm::Html {
        words.extend(["--form", "pdf"].into_iter().chain(press.words()));
    }
    words.into_iter().chain(["--out", "FILE"]).map(str::to_owned).collect()
}

/// Writes the folder, all of it or nothing.
fn folder(place: &Path, ready: &Ready<'_>) -> Result<String, Failure> {
    let shown = Shown::inert(&place.display().to_string());
    let cannot = |error: std::io::Error| {
        Failure::new(
            &format!("the folder {shown} cannot be made"),
            &format!("{error}; it must not exist yet"),
        )
    };
    fs::create_dir(place).map_err(cannot)?;
    let filled = fs::create_dir(place.join(press::FONTS)).map_err(cannot).and_then(|()| {
        let mut said = String::new();
        for (name, bytes) in ready.files() {
            let path = place.join(name);
            outside::write_new(&path, bytes)?;
            said.push_str(&outside::written(&path, bytes));
        }
        Ok(said)
    });
    let said = filled.inspect_err(|_| {
        // This run made the folder: a part of it would be taken for the whole.
        let _left = fs::remove_dir_all(place);
    })?;
    Ok(format!("{said}In that folder, {}", ready.advice()))
}

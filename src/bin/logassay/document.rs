//! `document`: the document for the court, as a page, as a PDF, or as what Typst makes the PDF from.

use std::fs;
use std::path::{Path, PathBuf};

use logassay::report::document::{Document, Edition};
use logassay::report::pdf::{DATA, Fonts, Given, STANDARDS, Sources, Standard, TEMPLATE};
use logassay::report::{Paper, html};
use logassay::source::Shown;

use crate::Done;
use crate::arguments::{self, DocumentForm};
use crate::failure::Failure;
use crate::outside::{self, File};
use crate::setting::{self, Setting};

/// The file of the folder that Typst's own program is given.
const MAIN: &str = "document.typ";

/// The folder of fonts in that folder.
const FONTS: &str = "fonts";

pub(crate) fn run(arguments: &arguments::Document) -> Result<Done, Failure> {
    check(arguments)?;
    let date = arguments.date.as_deref().map(Shown::inert);
    let edition = match arguments.edition {
        arguments::Edition::Full => Edition::Full,
        arguments::Edition::Public => Edition::Public,
    };
    let standard = Standard::named(&arguments.pdf_standard)
        .ok_or_else(|| Failure::new("there is no such part of PDF/A", "the help lists their names"))?;
    let fonts = arguments.font.iter().map(|path| font(path)).collect::<Result<Vec<File>, Failure>>()?;
    let mut setting = Setting::read_in_folder(&arguments.evidence)?;
    setting.frame.fonts = fonts.iter().map(|font| Paper::of(&font.name, &font.bytes)).collect();
    setting.read.extend(arguments.font.iter().zip(&fonts).map(|(path, font)| font.read(Some(path))));
    let words = rest(arguments, edition, standard, &fonts, date.as_ref());
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
    if document.date.is_none() {
        return Err(Failure::new(
            "PDF/A asks for the date of the document, and none is stated",
            "add --date YYYY-MM-DD, or the date to the matter of the case file; the tool reads no clock",
        ));
    }
    let given: Vec<Given<'_>> =
        fonts.iter().map(|font| Given { name: &font.name, bytes: &font.bytes }).collect();
    let fonts = Fonts::with(&given).map_err(|misfit| Failure::new(misfit.message.as_str(), misfit.help))?;
    let sources = Sources::of(&document, &fonts, standard);
    if arguments.form == DocumentForm::Typst {
        return folder(&arguments.out, &sources, &fonts).map(Done::well);
    }
    let bytes = print(&sources, &fonts)?;
    outside::write(&arguments.out, &bytes, arguments.replace, &setting.read)?;
    Ok(Done::well(outside::written(&arguments.out, &bytes)))
}

/// What does not go together, before anything is read.
fn check(arguments: &arguments::Document) -> Result<(), Failure> {
    let first = STANDARDS.first().map_or("", |standard| standard.id);
    let of_pdf = !arguments.font.is_empty() || arguments.pdf_standard != first;
    match arguments.form {
        DocumentForm::Html if of_pdf => Err(Failure::new(
            "--font and --pdf-standard say something about a PDF, and the page (HTML) is asked for",
            "add --form pdf, or leave them out",
        )),
        DocumentForm::Typst if arguments.replace => Err(Failure::new(
            "--form typst writes a folder of its own, and none is replaced",
            "leave --replace out, and name a folder that does not exist",
        )),
        DocumentForm::Pdf if cfg!(not(feature = "pdf")) => Err(Failure::new(
            "this program was built without the setting of PDF",
            "build it with 'cargo build --release --features pdf'; or write what the PDF is made from with '--form typst \
             --out FOLDER' and set it by Typst's own program, as README.md says",
        )),
        _ => Ok(()),
    }
}

/// A font, named as in its folder.
fn font(path: &Path) -> Result<File, Failure> {
    let mut file = outside::read_font(path)?;
    if let Some(name) = Path::new(&file.name).file_name() {
        file.name = name.to_string_lossy().into_owned();
    }
    Ok(file)
}

/// The words of the command that repeats the run, behind those that name the evidence.
fn rest(
    arguments: &arguments::Document,
    edition: Edition,
    standard: Standard,
    fonts: &[File],
    date: Option<&Shown>,
) -> Vec<String> {
    let mut words = vec!["--edition", edition.word()];
    if let Some(date) = date {
        words.extend(["--date", date.as_str()]);
    }
    if arguments.form != DocumentForm::Html {
        words.extend(["--form", "pdf", "--pdf-standard", standard.id]);
        words.extend(fonts.iter().flat_map(|font| ["--font", font.name.as_str()]));
    }
    words.into_iter().chain(["--out", "FILE"]).map(str::to_owned).collect()
}

#[cfg(feature = "pdf")]
fn print(sources: &Sources, fonts: &Fonts<'_>) -> Result<Vec<u8>, Failure> {
    let failed = |said: String| {
        Failure::new(
            &format!("the PDF cannot be set: {said}"),
            "try without the fonts given by --font, one by one, or write the page with --form html",
        )
    };
    sources.print(fonts).map_err(failed)
}

#[cfg(not(feature = "pdf"))]
fn print(_sources: &Sources, _fonts: &Fonts<'_>) -> Result<Vec<u8>, Failure> {
    // `check` has said so before anything was read.
    Err(Failure::new("this program was built without the setting of PDF", "see README.md"))
}

/// Writes the folder, all of it or nothing: the template, the data, the fonts.
fn folder(place: &Path, sources: &Sources, fonts: &Fonts<'_>) -> Result<String, Failure> {
    let shown = Shown::inert(&place.display().to_string());
    let cannot = |error: std::io::Error| {
        Failure::new(
            &format!("the folder {shown} cannot be made"),
            &format!("{error}; it must not exist yet"),
        )
    };
    fs::create_dir(place).map_err(cannot)?;
    let filled = fs::create_dir(place.join(FONTS)).map_err(cannot).and_then(|()| {
        let mut said = String::new();
        let mut files: Vec<(PathBuf, &[u8])> =
            vec![(place.join(MAIN), TEMPLATE.as_bytes()), (place.join(DATA), sources.data.as_bytes())];
        for (at, (ending, bytes)) in fonts.bytes().enumerate() {
            files.push((place.join(FONTS).join(format!("{}.{ending}", at + 1)), bytes));
        }
        for (path, bytes) in files {
            outside::write_new(&path, bytes)?;
            said.push_str(&outside::written(&path, bytes));
        }
        Ok(said)
    });
    let said = filled.inspect_err(|_| {
        // This run made the folder: a part of it would be taken for the whole.
        let _left = fs::remove_dir_all(place);
    })?;
    Ok(format!(
        "{said}In that folder, Typst {} sets it:\n  typst compile --ignore-system-fonts --ignore-embedded-fonts --font-path \
         {FONTS} --pdf-standard {} {MAIN}\n",
        logassay::report::pdf::TYPST,
        sources.standard.id
    ))
}

//! `examine --bundle`: all that was read, the document and the report in every form, and a manifest, in a folder of its own.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use logassay::Examination;
use logassay::custody::{Item, MANIFEST, Manifest, RecordLines, Role, unfit};
use logassay::report::document::{Document, Edition};
use logassay::report::forms::FORMS;
use logassay::report::provenance::Provenance;
use logassay::report::{Layout, html};
use logassay::source::{Digest, Shown};

use crate::arguments::Also;
use crate::failure::Failure;
use crate::folder;
use crate::outside;
use crate::press::Press;
use crate::setting::Setting;

/// Columns of the pages for a terminal in a bundle: the same on every machine.
const COLUMNS: usize = 100;

/// The folder for what was read, and the folder for what was made of it.
const READ: &str = "read";
const WRITTEN: &str = "written";

/// The folder in that for what Typst's own program is given.
const TYPST: &str = "typst";

/// Files by their names in the bundle.
type Files = Vec<(String, Vec<u8>)>;

/// Writes the bundle, all of it or nothing, and says what was written.
pub(crate) fn write(
    place: &Path,
    setting: &Setting,
    examinations: &[Examination<'_>],
    press: &Press,
    also: &[Also],
) -> Result<String, Failure> {
    let shown = Shown::inert(&place.display().to_string());
    let Some(first) =
        examinations.first().filter(|_| setting.read.first().is_some_and(|log| log.path.is_some()))
    else {
        return Err(Failure::new(
            "a bundle holds evidence, and no file with evidence was read",
            "name a log by its file; a demonstration and the standard input make no bundle",
        ));
    };
    let made = made(setting, examinations, press, also)?;
    fs::create_dir(place).map_err(|error| {
        Failure::new(
            &format!("the folder {shown} cannot be made"),
            &format!("{error}; it must not exist yet"),
        )
    })?;
    let manifest = fill(place, setting, &made).and_then(|items| {
        let said = Provenance::of(first, &setting.frame).statements();
        let about = said.into_iter().map(|(label, text)| (label.to_owned(), text)).collect();
        let text = Manifest { about, items }.text();
        let path = place.join(MANIFEST);
        outside::write_new(&path, &text).map(|()| outside::written(&path, &text))
    });
    manifest.inspect_err(|_| {
        // This run made the folder: a part of a bundle would be taken for the whole.
        let _left = fs::remove_dir_all(place);
    })
}

/// All that is made of what was read.
fn made(
    setting: &Setting,
    examinations: &[Examination<'_>],
    press: &Press,
    also: &[Also],
) -> Result<Files, Failure> {
    let document = Document::of(examinations, &setting.frame, Edition::Full);
    let mut files = vec![("document.html".to_owned(), html::page(&document).into_bytes())];
    for form in FORMS {
        let text = (form.write)(examinations, &setting.frame, Layout::plain(COLUMNS));
        files.push((form.file.to_owned(), text.into_bytes()));
    }
    if !also.is_empty() {
        let ready = press.ready(&document)?;
        if also.contains(&Also::Pdf) {
            files.push(("document.pdf".to_owned(), ready.pdf()?));
        }
        if also.contains(&Also::Typst) {
            let given = ready.files().into_iter();
            files.extend(given.map(|(name, bytes)| (format!("{TYPST}/{name}"), bytes.to_vec())));
        }
    }
    Ok(files.into_iter().map(|(name, bytes)| (format!("{WRITTEN}/{name}"), bytes)).collect())
}

fn fill(place: &Path, setting: &Setting, made: &Files) -> Result<BTreeMap<String, Item>, Failure> {
    let mut items = copies(place, setting)?;
    for (name, bytes) in made {
        let path = place.join(name);
        path.parent().map_or(Ok(()), outside::make_folder)?;
        outside::write_new(&path, bytes)?;
        let (length, digest) = (bytes.len() as u64, Digest::of(bytes));
        items.insert(name.clone(), Item { role: Role::Written, bytes: length, digest, records: None });
    }
    Ok(items)
}

/// Copies all that was read. What has other bytes by now is not what was examined: no bundle holds it.
fn copies(place: &Path, setting: &Setting) -> Result<BTreeMap<String, Item>, Failure> {
    let mut items = BTreeMap::new();
    outside::make_folder(&place.join(READ))?;
    for (at, read) in setting.read.iter().enumerate() {
        let Some(path) = &read.path else {
            continue;
        };
        let mut name = format!("{READ}/{}", folder::last_name(path)?);
        if items.contains_key(&name) {
            name = format!("{READ}/{}-{}", at + 1, folder::last_name(path)?);
        }
        let shown = Shown::inert(&path.display().to_string());
        if let Some(why) = unfit(&name) {
            return Err(Failure::new(
                &format!("{shown} cannot stand in a bundle: {why}"),
                "rename a copy of it",
            ));
        }
        let (bytes, digest) = folder::copy(path, &place.join(&name))?;
        if read.digest != digest {
            return Err(Failure::new(
                &format!("{shown} was changed by somebody while the log was examined"),
                "examine it again",
            ));
        }
        // The first is the log.
        let records = if at == 0 { RecordLines::of(setting.logs()) } else { None };
        items.insert(name, Item { role: Role::Read, bytes, digest, records });
    }
    Ok(items)
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::arguments::{self, Evidence};

    /// Every kind of file that is read, in a folder of its own: log, case file, mapping, unit description, font.
    fn setting(place: &Path) -> (Vec<PathBuf>, Press, Setting) {
        let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/foreign");
        let path = |name: &str| place.join(name);
        let [table, mapping] =
            ["semicolon-table.csv", "semicolon-table.toml"].map(|name| fs::read(corpus.join(name)).unwrap());
        let unit = logassay::unit::UnitDescription::kestrane_text();
        let case = "[matter]\ndate = \"2031-06-02\"\n";
        let files: [(&str, &[u8]); 4] = [
            ("table.csv", &table),
            ("case.toml", case.as_bytes()),
            ("mapping.toml", &mapping),
            ("unit.toml", unit.as_bytes()),
        ];
        for (name, bytes) in files {
            fs::write(path(name), bytes).unwrap();
        }
        let font = path("font.ttf");
        fs::write(&font, "no font, which nobody asks here").unwrap();
        let evidence = Evidence {
            log: Some(path("table.csv")),
            mapping: Some(path("mapping.toml")),
            case_file: Some(path("case.toml")),
            unit: Some(path("unit.toml")),
            demonstration: None,
        };
        let arguments = arguments::Press { pdf_standard: "a-2b".to_owned(), font: vec![font.clone()] };
        let press = Press::of(&arguments).unwrap();
        let mut setting = Setting::read_in_folder(&evidence).unwrap();
        press.enter(&arguments, &mut setting);
        let read = files.iter().map(|(name, _)| path(name)).chain([font]).collect();
        (read, press, setting)
    }

    #[test]
    fn what_changed_between_reading_and_writing_makes_no_bundle() {
        let base = std::env::temp_dir().join(format!("logassay-bundle-{}", std::process::id()));
        let _old = fs::remove_dir_all(&base);
        fs::create_dir(&base).unwrap();
        let (files, press, setting) = setting(&base);
        let write = |name: &str| write(&base.join(name), &setting, &setting.examinations(), &press, &[]);
        assert!(write("before").is_ok());
        for path in &files {
            let old = fs::read(path).unwrap();
            // A change of one letter, the length kept.
            let mut new = old.clone();
            *new.last_mut().unwrap() ^= 1;
            fs::write(path, &new).unwrap();
            let said = write("changed").err().map(|failure| failure.to_string()).unwrap_or_default();
            let name = path.file_name().unwrap().to_str().unwrap();
            assert!(said.contains(name) && said.contains("was changed by somebody"), "{name}: {said}");
            assert!(!base.join("changed").exists(), "{name}");
            fs::remove_file(path).unwrap();
            assert!(write("changed").is_err() && !base.join("changed").exists(), "{name} is gone");
            fs::write(path, &old).unwrap();
        }
        assert!(write("after").is_ok());
        let manifest = |name: &str| fs::read_to_string(base.join(name).join(MANIFEST)).unwrap();
        assert_eq!(manifest("before"), manifest("after"));
        for name in ["table.csv", "case.toml", "mapping.toml", "unit.toml", "font.ttf"] {
            assert!(manifest("after").contains(&format!("  {READ}/{name}\n")), "{name}");
        }
        let _gone = fs::remove_dir_all(&base);
    }
}

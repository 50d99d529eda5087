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

use crate::failure::Failure;
use crate::folder;
use crate::outside;
use crate::setting::Setting;

/// Columns of the pages for a terminal in a bundle: the same on every machine.
const COLUMNS: usize = 100;

/// Writes the bundle, all of it or nothing, and says what was written.
pub(crate) fn write(
    place: &Path,
    setting: &Setting,
    examinations: &[Examination<'_>],
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
    fs::create_dir(place).map_err(|error| {
        Failure::new(
            &format!("the folder {shown} cannot be made"),
            &format!("{error}; it must not exist yet"),
        )
    })?;
    let manifest = fill(place, setting, examinations).and_then(|items| {
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

fn fill(
    place: &Path,
    setting: &Setting,
    examinations: &[Examination<'_>],
) -> Result<BTreeMap<String, Item>, Failure> {
    let mut items = BTreeMap::new();
    let cannot = |path: &Path, error: &std::io::Error| {
        let shown = Shown::inert(&path.display().to_string());
        Failure::new(&format!("{shown} cannot be written"), &error.to_string())
    };
    for part in ["read", "written"] {
        let path = place.join(part);
        fs::create_dir(&path).map_err(|error| cannot(&path, &error))?;
    }
    for (at, read) in setting.read.iter().enumerate() {
        let Some(path) = &read.path else {
            continue;
        };
        let mut name = format!("read/{}", folder::last_name(path)?);
        if items.contains_key(&name) {
            name = format!("read/{}-{}", at + 1, folder::last_name(path)?);
        }
        let shown = Shown::inert(&path.display().to_string());
        if let Some(why) = unfit(&name) {
            return Err(Failure::new(
                &format!("{shown} cannot stand in a bundle: {why}"),
                "rename a copy of it",
            ));
        }
        let target = place.join(&name);
        let (bytes, copied) = folder::copy(path, &target)?;
        if read.digest != copied {
            return Err(Failure::new(
                &format!("{shown} was changed by somebody while it was examined"),
                "examine it again",
            ));
        }
        // The first is the log.
        let records = if at == 0 { RecordLines::of(setting.logs()) } else { None };
        items.insert(name, Item { role: Role::Read, bytes, digest: copied, records });
    }
    let page = html::page(&Document::of(examinations, &setting.frame, Edition::Full));
    let forms = FORMS
        .iter()
        .map(|form| (form.file, (form.write)(examinations, &setting.frame, Layout::plain(COLUMNS))));
    for (file, text) in std::iter::once(("document.html", page)).chain(forms) {
        outside::write_new(&place.join("written").join(file), &text)?;
        let (bytes, digest) = (text.len() as u64, Digest::of(text.as_bytes()));
        items.insert(format!("written/{file}"), Item { role: Role::Written, bytes, digest, records: None });
    }
    Ok(items)
}

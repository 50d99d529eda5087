//! `document`: the document for the court, as a page.

use logassay::report::document::{Document, Edition};
use logassay::report::html;
use logassay::source::Shown;

use crate::Done;
use crate::arguments;
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
    let rest = ["--edition", edition.word()].into_iter();
    let rest = rest.chain(date.iter().flat_map(|date| ["--date", date.as_str()])).chain(["--out", "FILE"]);
    setting.frame.command = setting::repeated("document", &arguments.evidence, rest.map(str::to_owned));
    if date.is_some() {
        setting.frame.date = date;
    }
    let document = Document::of(&setting.examinations(), &setting.frame, edition);
    let text = html::page(&document);
    outside::write(&arguments.out, &text, arguments.replace, &setting.read)?;
    Ok(Done::well(outside::written(&arguments.out, &text)))
}

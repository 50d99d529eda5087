//! `examine`: the report on a log.

use std::path::Path;

use logassay::report::{Layout, exit_code, forms};
use logassay::source::Shown;

use crate::Done;
use crate::arguments::{Also, Examine};
use crate::bundle;
use crate::failure::Failure;
use crate::outside;
use crate::press::{self, Press};
use crate::setting::{self, Setting};

pub(crate) fn run(arguments: &Examine, layout: Layout) -> Result<Done, Failure> {
    let output = &arguments.output;
    if output.also.is_empty() && output.press.is_asked() {
        return Err(Failure::new(
            "--font and --pdf-standard say something about a PDF, and none is asked for",
            "add --bundle FOLDER with --also pdf or --also typst, or leave them out",
        ));
    }
    if output.also.contains(&Also::Pdf) {
        press::must_set()?;
    }
    let read = if output.bundle.is_some() { Setting::read_in_folder } else { Setting::read };
    let mut setting = read(&arguments.evidence)?;
    if arguments.questions.is_some() {
        setting.ask_standard_questions();
    }
    if let Some(date) = &arguments.date {
        setting.frame.date = Some(Shown::inert(date));
    }
    if let Some(place) = &output.bundle {
        return bundle(arguments, place, setting);
    }
    let examinations = setting.examinations();
    let Some(form) = forms::form(arguments.form()) else {
        return Err(Failure::new("there is no such form of report", "the help lists them"));
    };
    // A page for a terminal has its colours only there.
    let colour = layout.colour && output.out.is_none();
    let text = (form.write)(&examinations, &setting.frame, Layout { colour, ..layout });
    let code = exit_code(&examinations);
    let Some(path) = &output.out else {
        return Ok(Done { text, code });
    };
    outside::write(path, &text, output.replace, &setting.read)?;
    Ok(Done { text: outside::written(path, &text), code })
}

/// A bundle; every file in it names the command that makes the bundle again.
fn bundle(arguments: &Examine, place: &Path, mut setting: Setting) -> Result<Done, Failure> {
    let output = &arguments.output;
    let press = Press::of(&output.press)?;
    press.enter(&output.press, &mut setting);
    let mut words: Vec<&str> = Vec::new();
    words.extend(arguments.questions.iter().flat_map(|which| ["--questions", which]));
    words.extend(arguments.date.iter().flat_map(|date| ["--date", date]));
    let mut also: Vec<&str> = Vec::new();
    for (what, word) in [(Also::Pdf, "pdf"), (Also::Typst, "typst")] {
        also.extend(output.also.contains(&what).then_some(["--also", word]).into_iter().flatten());
    }
    if !also.is_empty() {
        words.extend(also.into_iter().chain(press.words()));
    }
    let words = words.into_iter().chain(["--bundle", "FOLDER"]).map(str::to_owned);
    setting.frame.command = setting::repeated("examine", &arguments.evidence, words);
    setting.frame.in_bundle = true;
    let examinations = setting.examinations();
    let said = bundle::write(place, &setting, &examinations, &press, &output.also)?;
    Ok(Done { text: said, code: exit_code(&examinations) })
}

//! `convert` and `fmt`: a log written in another format, or in its canonical form.

use std::path::{Path, PathBuf};

use logassay::exchange::{self, Leaving};
use logassay::report::{Layout, trial};
use logassay::syntax::faults_text;

use crate::Done;
use crate::arguments::{Convert, Evidence, Fmt};
use crate::failure::Failure;
use crate::outside;
use crate::setting::Setting;

/// Faults that `fmt` draws.
const FAULTS: usize = 20;

pub(crate) fn run(arguments: &Convert, layout: Layout) -> Result<Done, Failure> {
    let setting = Setting::read(&arguments.evidence)?;
    if arguments.trial {
        return Ok(Done::well(trial::page(setting.logs(), layout)));
    }
    let text = written(&setting, &arguments.to)?;
    match &arguments.out {
        None => Ok(Done::well(text)),
        Some(path) => store(path, &text),
    }
}

/// Checks a log and writes its canonical form beside it.
pub(crate) fn fmt(arguments: &Fmt) -> Result<Done, Failure> {
    let evidence = Evidence {
        log: Some(arguments.log.clone()),
        mapping: None,
        case_file: arguments.case_file.clone(),
        unit: None,
        demonstration: None,
    };
    let setting = Setting::read(&evidence)?;
    if setting.logs().iter().any(|log| log.format().is_some()) {
        return Err(Failure::new(
            "the file is not in the neutral format",
            "'convert' writes a log of another format in the neutral one",
        ));
    }
    let mut said = String::new();
    for log in setting.logs() {
        said.push_str(&faults_text(log, FAULTS, 80));
    }
    let text = written(&setting, "log").inspect_err(|_| {
        // What is wrong with the file is the reason why it is not written.
        eprint!("{said}");
    })?;
    let path = arguments.out.clone().unwrap_or_else(|| beside(&arguments.log));
    let done = store(&path, &text)?;
    Ok(Done::well(format!("{said}{}", done.text)))
}

fn written(setting: &Setting, format: &str) -> Result<String, Failure> {
    let examinations = setting.examinations();
    let leaving: Vec<Leaving<'_>> = examinations
        .iter()
        .map(|examination| Leaving { log: examination.log, secrecy: &examination.secrecy })
        .collect();
    let Some(write) = exchange::format(format).and_then(|format| format.writes) else {
        return Err(Failure::new("there is no such format to write", "the help lists them"));
    };
    write(&leaving).map_err(|misfit| Failure::new(misfit.message.as_str(), misfit.help.as_str()))
}

/// Writes a file that does not exist yet, and says what was written.
fn store(path: &Path, text: &str) -> Result<Done, Failure> {
    outside::write_new(path, text)?;
    Ok(Done::well(outside::written(path, text)))
}

/// The name of the canonical form: `.canonical` before the ending.
fn beside(log: &Path) -> PathBuf {
    let mut name = log.file_stem().unwrap_or_default().to_os_string();
    name.push(".canonical");
    if let Some(ending) = log.extension() {
        name.push(".");
        name.push(ending);
    }
    log.with_file_name(name)
}

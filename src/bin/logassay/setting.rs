//! What a command works on: the logs, the case, the unit description, and the frame that a report prints around them.

use std::path::{Path, PathBuf};

use logassay::case::{Case, CaseFile};
use logassay::exchange::Mapping;
use logassay::report::{Frame, Paper, questions};
use logassay::rules::asked;
use logassay::source::{Shown, Source};
use logassay::syntax::Log;
use logassay::unit::UnitDescription;
use logassay::{Examination, examine, exchange};

use crate::arguments::Evidence;
use crate::demonstration;
use crate::failure::Failure;
use crate::guard::Read;
use crate::mapping;
use crate::outside::{self, File};

/// All that was read.
pub(crate) struct Setting {
    logs: Vec<Log>,
    case: Case,
    pub(crate) unit: UnitDescription,
    pub(crate) frame: Frame,
    /// What was read, the log first; it is never written over.
    pub(crate) read: Vec<Read>,
}

impl Setting {
    /// Reads what the arguments name, or takes a demonstration.
    pub(crate) fn read(evidence: &Evidence) -> Result<Setting, Failure> {
        Setting::read_naming(evidence, |_| {})
    }

    /// The same with files named as in their folder, so that what is made of them is the same wherever they lie.
    pub(crate) fn read_in_folder(evidence: &Evidence) -> Result<Setting, Failure> {
        Setting::read_naming(evidence, |file| {
            if let Some(name) = Path::new(&file.name).file_name() {
                file.name = name.to_string_lossy().into_owned();
            }
        })
    }

    fn read_naming(evidence: &Evidence, name: impl Fn(&mut File)) -> Result<Setting, Failure> {
        let Some(path) = &evidence.log else {
            return Setting::demonstration(evidence);
        };
        let mut log = outside::read_log(path)?;
        name(&mut log);
        let mut case_file = match &evidence.case_file {
            Some(path) => Some(outside::read_sheet(path, "case file")?),
            None => None,
        };
        case_file.iter_mut().for_each(&name);
        let folder = evidence.case_file.as_deref().and_then(Path::parent);
        Setting::of(log, case_file.as_ref(), folder, evidence, false, name)
    }

    fn demonstration(evidence: &Evidence) -> Result<Setting, Failure> {
        let Some(chosen) = demonstration::named(evidence.demonstration.as_deref()) else {
            return Err(Failure::new("there is no such demonstration", "the help lists their names"));
        };
        let file = |end: &str, text: &str| File {
            name: format!("the built-in demonstration {}{end}", chosen.name),
            bytes: text.as_bytes().to_vec(),
            identity: None,
        };
        Setting::of(
            file("", chosen.log),
            Some(&file(", its case file", chosen.case)),
            None,
            evidence,
            true,
            |_| {},
        )
    }

    fn of(
        log: File,
        case_file: Option<&File>,
        folder: Option<&Path>,
        evidence: &Evidence,
        demonstration: bool,
        name: impl Fn(&mut File),
    ) -> Result<Setting, Failure> {
        let case = match case_file {
            Some(file) => case_file_of(file)?.case,
            None => Case::default(),
        };
        let unit_path = unit_path(evidence, &case, folder)?;
        let mut unit_file =
            unit_path.as_deref().map(|path| outside::read_sheet(path, "unit description")).transpose()?;
        unit_file.iter_mut().for_each(&name);
        let unit = match &unit_file {
            Some(file) => unit(file)?,
            None => UnitDescription::kestrane(),
        };
        let paper = |file: &File| Paper::of(&file.name, &file.bytes);
        let mapping_path = evidence.mapping.as_deref();
        let mut mapping_file = mapping_path.map(mapping::file).transpose()?;
        mapping_file.iter_mut().for_each(name);
        let mapping = mapping_file.as_ref().map(mapping::of).transpose()?;
        let words = std::env::args_os().skip(1).map(|word| word.to_string_lossy().into_owned());
        let frame = Frame {
            demonstration,
            date: case.matter.date.as_deref().map(Shown::inert),
            case_file: case_file.map(paper),
            mapping_file: mapping_file.as_ref().map(paper),
            unit_file: unit_file.as_ref().map(paper),
            ..Frame::of(command(words))
        };
        let mut read = vec![log.read(evidence.log.as_deref())];
        read.extend(case_file.map(|file| file.read(evidence.case_file.as_deref())));
        read.extend(mapping_file.map(|file| file.read(mapping_path)));
        read.extend(unit_file.map(|file| file.read(unit_path.as_deref())));
        let logs = logs(log, mapping.as_ref())?;
        Ok(Setting { logs, case, unit, frame, read })
    }

    /// What the case file states.
    pub(crate) fn case(&self) -> &Case {
        &self.case
    }

    /// Takes the questions that come with the tool, where the case file asks none.
    pub(crate) fn ask_standard_questions(&mut self) {
        if self.case.questions.is_empty() {
            self.case.questions = asked::standard();
        }
    }

    /// The logs.
    pub(crate) fn logs(&self) -> &[Log] {
        &self.logs
    }

    /// Examines every log.
    pub(crate) fn examinations(&self) -> Vec<Examination<'_>> {
        self.logs.iter().map(|log| examine(log, &self.case, &self.unit)).collect()
    }
}

/// Reads the logs of a file: by a mapping where one is named, else in the format that the file is recognised as.
pub(crate) fn logs(file: File, mapping: Option<&Mapping>) -> Result<Vec<Log>, Failure> {
    let name = Shown::inert(&file.name);
    let source = Source::new(file.name, file.bytes);
    let read = match mapping {
        Some(mapping) => exchange::read_by_mapping(source, mapping),
        None => exchange::read(source),
    };
    read.map_err(|misfit| Failure::new(&format!("{name}: {}", misfit.message), misfit.help.as_str()))
}

/// Reads a case file; the ids in it must be those of rules.
pub(crate) fn case_file_of(file: &File) -> Result<CaseFile, Failure> {
    let wrong = |troubles| Failure::Sheet { what: "case file", troubles };
    let read = Case::read_bytes(&file.name, &file.bytes).map_err(wrong)?;
    questions::check(&file.name, &file.bytes, &read.case).map_err(wrong)?;
    Ok(read)
}

/// Reads a unit description.
pub(crate) fn unit(file: &File) -> Result<UnitDescription, Failure> {
    let read = UnitDescription::read_bytes(&file.name, &file.bytes);
    read.map_err(|troubles| Failure::Sheet { what: "unit description", troubles })
}

/// Where the unit description lies: as asked, else as the case file names it, beside the case file.
fn unit_path(evidence: &Evidence, case: &Case, folder: Option<&Path>) -> Result<Option<PathBuf>, Failure> {
    if let Some(path) = &evidence.unit {
        return Ok(Some(path.clone()));
    }
    let mut named: Vec<&str> = case.unit.description.iter().map(|stated| stated.value.as_str()).collect();
    named.sort_unstable();
    named.dedup();
    match named.as_slice() {
        [] => Ok(None),
        [only] => Ok(Some(folder.unwrap_or(Path::new("")).join(only))),
        _ => Err(Failure::new(
            "the case file names more than one unit description",
            "choose one with --unit FILE, and examine once under each",
        )),
    }
}

/// The command as somebody would type it again, in the folder where the files lie: without the folders of the machine on
/// which it ran, and without where its output went, which is no part of what it says.
fn command(words: impl Iterator<Item = String>) -> Shown {
    typed(without_output(words).map(|word| in_folder(&word)))
}

/// Words as somebody would type them to a shell.
fn typed(words: impl Iterator<Item = String>) -> Shown {
    let plain = |c: char| c.is_alphanumeric() || "-_./=:,+@%".contains(c);
    let quoted = words.map(|word| {
        if !word.is_empty() && word.chars().all(plain) {
            word
        } else {
            format!("'{}'", word.replace('\'', "'\\''"))
        }
    });
    let line: Vec<String> = std::iter::once("logassay".to_owned()).chain(quoted).collect();
    Shown::inert(&line.join(" "))
}

/// The command that repeats a run in a folder that holds the files: the same wherever they lay this time, and whatever the
/// output was called, for which the last words stand.
pub(crate) fn repeated(subcommand: &str, evidence: &Evidence, rest: impl Iterator<Item = String>) -> Shown {
    let name = |path: &Path| path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
    let mut words: Vec<String> = vec![subcommand.to_owned()];
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
    typed(words.into_iter().chain(rest))
}

/// The words of a command without those that say where the output goes.
fn without_output(mut words: impl Iterator<Item = String>) -> impl Iterator<Item = String> {
    let mut only_names = false;
    std::iter::from_fn(move || {
        loop {
            let word = words.next()?;
            only_names |= word == "--";
            let option = word.split_once('=').map_or(word.as_str(), |(option, _)| option);
            match option {
                _ if only_names => return Some(word),
                "--out" | "--bundle" if word == option => _ = words.next(),
                "--out" | "--bundle" | "--replace" => {}
                _ => return Some(word),
            }
        }
    })
}

/// A word that names a file by its place on the machine, as the name of the file alone.
fn in_folder(word: &str) -> String {
    let (option, path) = match word.split_once('=') {
        Some((option, path)) if option.starts_with('-') => (format!("{option}="), path),
        _ => (String::new(), word),
    };
    format!("{option}{}", outside::name_of(Path::new(path)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_says_nothing_of_the_machine_or_of_the_output() {
        let said = |line: &str| command(line.split(' ').map(str::to_owned)).to_string();
        assert_eq!(
            said("examine /home/a/b/x.log --case=/tmp/c.toml --out /tmp/o.json --replace --form json"),
            "logassay examine x.log --case=c.toml --form json"
        );
        assert_eq!(said("--out=o.txt ../x.log"), "logassay ../x.log");
        assert_eq!(said("examine -- --out"), "logassay examine -- --out");
    }
}

//! `rehearse`: made-up lives of units with the papers of the station, faults put into them, and the key.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use logassay::rehearsal::class::{Sheet, class};
use logassay::rehearsal::fault::{AWAITED, Fault, Size, fault, faults, rehearse};
use logassay::rehearsal::key::{page, paragraph};
use logassay::rehearsal::{Life, Setting, life};
use logassay::rules;
use logassay::source::Shown;
use logassay::unit::UnitDescription;

use crate::Done;
use crate::arguments::{RehearseClass, RehearseFault, RehearseLife};
use crate::failure::Failure;
use crate::outside;
use crate::setting;

pub(crate) fn run_life(arguments: &RehearseLife) -> Result<Done, Failure> {
    let unit = match &arguments.unit {
        Some(path) => setting::unit(&outside::read_sheet(path, "unit description")?)?,
        None => UnitDescription::kestrane(),
    };
    let setting = if arguments.small { Setting::small(unit) } else { Setting::of(unit) };
    let made = life(arguments.seed, &setting);
    match &arguments.out {
        None => Ok(Done::well(made.log)),
        Some(folder) => store_life(folder, arguments.seed, &made),
    }
}

fn store_life(folder: &Path, seed: u64, made: &Life) -> Result<Done, Failure> {
    outside::make_folder(folder)?;
    store(&[
        (folder.join(format!("life-{seed}.log")), made.log.clone()),
        (folder.join(format!("life-{seed}.case.toml")), made.case.clone()),
    ])
}

/// Writes files, all or none, and says what was written.
fn store(files: &[(PathBuf, String)]) -> Result<Done, Failure> {
    let mut said = String::new();
    for (place, (path, text)) in files.iter().enumerate() {
        outside::write_new(path, text).inspect_err(|_| {
            // This run's own: a part would be taken for the whole.
            for (path, _) in files.iter().take(place) {
                let _left = std::fs::remove_file(path);
            }
        })?;
        said += &outside::written(path, text);
    }
    Ok(Done::well(said))
}

/// A fault by its id or number, and the size to use.
pub(crate) fn named(name: &str, size: Option<i64>) -> Result<(&'static Fault, i64), Failure> {
    let Some(fault) = fault(name) else {
        let awaited = AWAITED.iter().find(|row| row.number == name);
        let (message, help) = match awaited {
            Some(row) => (
                format!("fault {name} speaks of more than one unit or export"),
                format!("what it needs, and no issue brings yet: {}", row.missing),
            ),
            None => (
                format!("there is no fault {}", Shown::inert(name)),
                "'logassay rehearse faults' lists them, by number and id".to_owned(),
            ),
        };
        return Err(Failure::new(&message, &help));
    };
    let size = fault
        .size(size)
        .map_err(|message| Failure::new(&message, "'logassay rehearse faults' lists the sizes"))?;
    Ok((fault, size))
}

pub(crate) fn run_fault(arguments: &RehearseFault) -> Result<Done, Failure> {
    let mut chosen = Vec::new();
    for name in &arguments.names {
        // A size is that of the first fault.
        let size = if chosen.is_empty() { arguments.size } else { None };
        chosen.push(named(name, size)?);
    }
    let seed = arguments.seed;
    let made = rehearse(&chosen, seed, arguments.last.map(usize::from)).map_err(|message| {
        Failure::new(
            &message,
            "'logassay rehearse faults' says what each fault touches; another seed may help",
        )
    })?;
    let Some(folder) = &arguments.out else {
        return Ok(Done::well(made.life.log));
    };
    outside::make_folder(folder)?;
    let names: Vec<&str> = made.key.faults.clone();
    let stem = format!("{}-{seed}", names.join("+"));
    let mut files = vec![
        (folder.join(format!("{stem}.log")), made.life.log.clone()),
        (folder.join(format!("{stem}.case.toml")), made.life.case.clone()),
        (folder.join(format!("{stem}.key.txt")), page(&made.key, |id| rules::rule(id).is_some())),
        (folder.join(format!("{stem}.key.json")), made.key.json()),
    ];
    if let Some(unit) = made.unit_sheet() {
        files.push((folder.join(format!("{stem}.unit.toml")), unit));
    }
    store(&files)
}

pub(crate) fn run_class(arguments: &RehearseClass) -> Result<Done, Failure> {
    let set = class(arguments.seed, |id| rules::rule(id).is_some())
        .map_err(|message| Failure::new(&message, "another seed may have a place for every exercise"))?;
    let pupils = arguments.out.join("pupils");
    let trainer = arguments.out.join("trainer");
    outside::refuse_dash(&arguments.out)?;
    for folder in [&pupils, &trainer] {
        outside::make_folder(folder)?;
    }
    let files: Vec<(PathBuf, String)> = set
        .into_iter()
        .map(|Sheet { name, text, for_pupils }| {
            ((if for_pupils { &pupils } else { &trainer }).join(name), text)
        })
        .collect();
    store(&files)
}

fn explain(page: &mut String, injected: &str, concludes: &str) {
    paragraph(page, "       injected:  ", &format!("{injected}."));
    paragraph(page, "       conclude:  ", concludes);
}

/// The catalogue as a table.
pub(crate) fn catalogue() -> Done {
    let mut page = String::new();
    for fault in faults() {
        _ = write!(page, "{:>5}  {} ({}", fault.number, fault.id, fault.level.word());
        if let Some(Size { of, least, usual, most }) = fault.size {
            _ = write!(page, "; size: {least} to {most} {of}, else {usual}");
        }
        page.push_str(if fault.touches.stands_alone() { ")\n" } else { "; may be combined)\n" });
        explain(&mut page, fault.injected, fault.concludes);
    }
    page.push_str("\nFaults that need more than one log:\n");
    for row in AWAITED {
        _ = writeln!(page, "{:>5}  awaits {}", row.number, row.missing);
        explain(&mut page, row.injected, row.concludes);
    }
    Done::well(page)
}

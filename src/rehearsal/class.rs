//! A class set: graded exercises, each with log, papers and questions for the pupils, and one key for the trainer.

use schemars::JsonSchema;
use serde::Serialize;

use super::answers;
use super::fault::{Fault, Level, Rehearsed, fault, rehearse};
use super::key::{Key, page, paragraph};

/// A file of the set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// Its text.
    pub text: String,
    /// Whether pupils get it.
    pub for_pupils: bool,
}

/// The exercises from easy to hard; the sixth has two faults.
const EXERCISES: &[&[&str]] = &[
    &["enable-left-out"],
    &["vote-behind-close"],
    &["line-unreadable"],
    &["clock-stepped-back"],
    &["slow-start"],
    &["record-twice", "result-in-the-poll"],
    &["mock-votes-kept"],
    &["off-in-the-poll"],
    &["clear-overwritten"],
    &["file-cut-short"],
    &["pause"],
];

/// What every page of questions asks. They do not tell what to look for.
const QUESTIONS: &[&str] = &[
    "From when to when does this log speak, and is its front closed or open?",
    "Which stretches were the test, the mock poll, the poll and the count? On which paper does each rest?",
    "Is there a run of records that cannot be, whatever came before? Name its lines.",
    "Which papers and which records do not go together? By how much?",
    "What would a hasty reader accuse here, and which ordinary explanation is open?",
    "What cannot be told from this log, and which paper or person would tell it?",
];

/// Keys of a whole set.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Answer keys of a class set of logassay")]
pub struct Keys {
    /// The seed of the set.
    pub seed: u64,
    /// One for each exercise, in their order.
    pub exercises: Vec<Key>,
}

/// Makes a class set. `exists` says whether a rule is there already.
///
/// # Errors
/// A sentence where an exercise finds no place in any life of the seed.
pub fn class(seed: u64, exists: impl Fn(&str) -> bool) -> Result<Vec<Sheet>, String> {
    let mut sheets = Vec::new();
    let (mut keys, mut key_page) = (Vec::new(), String::new());
    for (number, names) in (1_u64..).zip(EXERCISES) {
        let faults: Vec<(&'static Fault, i64)> = names
            .iter()
            .filter_map(|name| fault(name))
            .map(|fault| (fault, fault.size.map_or(0, |size| size.usual)))
            .collect();
        let level = faults.iter().map(|(fault, _)| fault.level).max().unwrap_or(Level::Easy);
        // Two that may hide each other are harder than either.
        let level = if faults.len() > 1 { level.max(Level::Middle) } else { level };
        let made = rehearse(&faults, seed.wrapping_add(number), None)
            .map_err(|message| format!("exercise {number}: {message}"))?;
        pupils_sheets(&mut sheets, number, &made);
        key_page.push_str(&format!("EXERCISE {number} ({})\n\n", level.word()));
        key_page.push_str(&page(&made.key, &exists));
        key_page.push('\n');
        key_page.push_str(&answers::text(&made, QUESTIONS));
        key_page.push_str("\n\n");
        keys.push(made.key);
    }
    let keys = super::key::text(&Keys { seed, exercises: keys });
    sheets.push(Sheet { name: "key.txt".to_owned(), text: key_page, for_pupils: false });
    sheets.push(Sheet { name: "key.json".to_owned(), text: keys, for_pupils: false });
    Ok(sheets)
}

fn pupils_sheets(sheets: &mut Vec<Sheet>, number: u64, made: &Rehearsed) {
    let mut add = |ending: &str, text: String| {
        sheets.push(Sheet { name: format!("exercise-{number:02}.{ending}"), text, for_pupils: true });
    };
    add("log", made.life.log.clone());
    add("case.toml", made.life.case.clone());
    let mut unit = "";
    if let Some(text) = made.unit_sheet() {
        add("unit.toml", text);
        unit = "unit.toml";
    }
    add("questions.txt", questions(number, unit));
}

fn questions(number: u64, unit: &str) -> String {
    let mut text = format!("EXERCISE {number}\n\n");
    let log = format!("exercise-{number:02}.log");
    let described = if unit.is_empty() {
        "The unit is the Kestrane unit ('logassay unit' prints what it does).".to_owned()
    } else {
        format!("The unit is described in exercise-{number:02}.{unit}.")
    };
    let head = format!(
        "Everything here is invented. Read the log {log} line by line beside the papers in \
         exercise-{number:02}.case.toml. {described} There may be a planted deviation in the log, or none."
    );
    paragraph(&mut text, "", &head);
    text.push('\n');
    let fill = format!(
        "How to fill in: answer in one or two sentences under each question, and name every record by the number of its line \
         in the file. 'logassay walk {log} --blank' prints a sheet on which you note, line by line, what the unit was doing; \
         begin with it."
    );
    paragraph(&mut text, "", &fill);
    text.push('\n');
    for (place, question) in (1..).zip(QUESTIONS) {
        paragraph(&mut text, &format!("{place}. "), question);
        text.push_str("\n   ________________________________________________________________________\n\n");
    }
    let option = if unit.is_empty() { String::new() } else { format!(" --unit exercise-{number:02}.{unit}") };
    let tail = format!(
        "When you have answered: 'logassay examine {log} --case exercise-{number:02}.case.toml{option}' prints what the \
         program concludes."
    );
    paragraph(&mut text, "", &tail);
    text
}

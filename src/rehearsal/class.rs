//! A class set: graded exercises, each with log, papers and questions for the pupils, and one key for the trainer.

use schemars::JsonSchema;
use serde::Serialize;

use super::answers;
use super::chance::{Chance, Permille};
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

/// What exercises of one level may hold: one deviation or two, or nothing that a careful reader would find contrary. Both kinds
/// stand on every level, and which exercise holds what is drawn by the seed, so that neither the place of an exercise nor a set
/// seen before tells anything.
struct Pool {
    exercises: usize,
    planted: &'static [&'static [&'static str]],
    lawful: &'static [&'static [&'static str]],
}

/// The levels from easy to hard.
const POOLS: [Pool; 3] = [
    Pool {
        exercises: 4,
        planted: &[
            &["enable-left-out"],
            &["vote-left-out"],
            &["vote-behind-close"],
            &["line-unreadable"],
            &["clock-stepped-back"],
            &["number-twice"],
        ],
        lawful: &[&["lawful-day"], &["queue-all-day"]],
    },
    Pool {
        exercises: 4,
        planted: &[
            &["record-twice", "result-in-the-poll"],
            &["mock-votes-kept"],
            &["closed-twice"],
            &["lapse-without-enable"],
            &["cover-opened"],
            &["power-lost-in-poll"],
        ],
        lawful: &[&["slow-start"], &["off-in-the-poll"], &["lunch"]],
    },
    Pool {
        exercises: 3,
        planted: &[
            &["file-cut-short"],
            &["mock-votes-kept-unseen"],
            &["clock-reset-unread"],
            &["vote-behind-switching-on"],
        ],
        lawful: &[&["clear-overwritten"], &["pause"], &["unnoted-mock-poll"]],
    },
];

/// How often an exercise holds nothing, as long as its level has such a one left.
const LAWFUL: Permille = 400;

/// Stream of chance by which a set is drawn.
const DRAWN: u64 = 10;

/// The exercises of a seed, from easy to hard: at least two hold nothing, and at least four hold something.
fn exercises(seed: u64) -> Vec<&'static [&'static str]> {
    let mut chance = Chance::new(seed, DRAWN);
    loop {
        let (mut drawn, mut lawful) = (Vec::new(), 0);
        for pool in &POOLS {
            let (mut clean, mut planted) = (pool.lawful.to_vec(), pool.planted.to_vec());
            for _ in 0..pool.exercises {
                let holds_nothing = !clean.is_empty() && chance.happens(LAWFUL);
                let from = if holds_nothing { &mut clean } else { &mut planted };
                let last = i64::try_from(from.len()).unwrap_or(1) - 1;
                let place = usize::try_from(chance.whole(0, last)).unwrap_or(0);
                drawn.push(from.swap_remove(place));
                lawful += usize::from(holds_nothing);
            }
        }
        if lawful >= 2 && drawn.len() - lawful >= 4 {
            return drawn;
        }
    }
}

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
    for (number, names) in (1_u64..).zip(exercises(seed)) {
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
    // Of every exercise, whether its unit is the built-in one or not.
    add("unit.toml", made.described("1, for training"));
    add("questions.txt", questions(number));
}

fn questions(number: u64) -> String {
    let mut text = format!("EXERCISE {number}\n\n");
    let log = format!("exercise-{number:02}.log");
    let head = format!(
        "Everything here is invented. Read the log {log} line by line beside the papers in \
         exercise-{number:02}.case.toml. The unit is described in exercise-{number:02}.unit.toml. There may be a planted deviation in the log, or none."
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
    let tail = format!(
        "When you have answered: 'logassay examine {log} --case exercise-{number:02}.case.toml --unit exercise-{number:02}.unit.toml' prints what the \
         program concludes."
    );
    paragraph(&mut text, "", &tail);
    text
}

//! The numbers side by side, for every form of report: each with its source, each equation with what follows.

mod sources;

use crate::counts::{self, Balance, Doubt, Interval, Item, Ledger, Opinion, Outcome, Rest};
use crate::examination::Examination;
use crate::replay::Ending;
use crate::source::Shown;

/// The title of the section, in every form.
pub(super) const TITLE: &str = "The numbers, side by side";

/// How the section is to be read.
pub(super) const INTRODUCTION: &str = "Every number has a letter, and its source. Below stand the equations in which they must agree. A number that is not \
     known exactly is given by its ends. Where a record shows a number and another is put down, it says why. What is taken for granted because no paper speaks of it stands with the equation. \
     Whether a difference matters is for the court.";

/// One ledger in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sheet {
    /// The version of contested facts under which it holds, where there are several.
    pub(super) version: Option<Shown>,
    /// The numbers.
    pub(super) rows: Vec<Row>,
    /// The equations.
    pub(super) entries: Vec<Entry>,
    /// What more than one equation rests on.
    pub(super) shared: Vec<String>,
    /// What else must be said of the whole.
    pub(super) notes: Vec<String>,
}

/// One number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// Its letter in the equations.
    pub(super) letter: String,
    /// What it is.
    pub(super) words: Shown,
    /// The number, or from how many to how many.
    pub(super) number: String,
    /// The number that follows from all equations together, where that is narrower.
    pub(super) follows: Option<String>,
    /// Where it is from.
    pub(super) from: Shown,
    /// Both as plain numbers.
    pub(super) item: Item,
}

/// One equation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    /// What must agree.
    pub(super) words: &'static str,
    /// The rule that speaks for it.
    pub(super) rule: &'static str,
    /// In letters.
    pub(super) letters: String,
    /// In figures.
    pub(super) figures: String,
    /// What both sides come to.
    pub(super) sides: [Interval; 2],
    /// Of a side that follows only through other equations: those, in letters.
    pub(super) derived: [Option<String>; 2],
    /// What follows.
    pub(super) verdict: Shown,
    /// Why it cannot be told, and what is taken for granted.
    pub(super) notes: Vec<String>,
    /// Those of them that no other equation has.
    pub(super) own: Vec<String>,
    /// The equation itself.
    pub(super) balance: Balance,
}

/// The ledgers of an examination: one for each version of the contested facts that gives another.
pub(super) fn sheets(examination: &Examination<'_>) -> Vec<Sheet> {
    let several = examination.ledgers.len() > 1;
    let sheet =
        |(version, ledger): &(Shown, Ledger)| sheet(examination, several.then(|| version.clone()), ledger);
    examination.ledgers.iter().map(sheet).collect()
}

fn sheet(examination: &Examination<'_>, version: Option<Shown>, ledger: &Ledger) -> Sheet {
    let rows = ledger.items.iter().enumerate().map(|(at, item)| Row {
        letter: counts::letter(at),
        words: Shown::inert(&item.words),
        number: item.value.to_string(),
        follows: (item.follows != item.value).then(|| item.follows.to_string()),
        from: sources::from(examination, item),
        item: item.clone(),
    });
    let entries = ledger.balances.iter().map(|balance| Entry {
        words: balance.words,
        rule: balance.rule,
        letters: counts::letters(balance),
        figures: counts::equation_derived(ledger, balance),
        sides: counts::sides(ledger, balance),
        derived: counts::derived(ledger, balance),
        verdict: Shown::inert(&counts::verdict(ledger, balance)),
        notes: notes(examination, balance),
        own: Vec::new(),
        balance: balance.clone(),
    });
    let mut entries: Vec<Entry> = entries.collect();
    let shared = share(&mut entries);
    let mut all: Vec<String> = Vec::new();
    if let Some(doubt) = &ledger.unclear {
        all.push(format!("Papers cannot be set against this log: {}.", why(examination, doubt)));
    }
    if !ledger.balances.is_empty() {
        all.push(
            match ledger.second_opinion() {
                Opinion::Same => {
                    "A second reckoning, by trying out whole numbers, gives the same ends for every number."
                }
                Opinion::Narrower(_) => {
                    "A second reckoning, by trying out whole numbers, gives narrower ends for some numbers; they stand in \
                     the report as JSON."
                }
                Opinion::Conflict => {
                    "A second reckoning, by trying out whole numbers, finds none that fulfil all equations together."
                }
                Opinion::GaveUp => "A second reckoning, by trying out whole numbers, was broken off.",
            }
            .to_owned(),
        );
    }
    Sheet { version, rows: rows.collect(), entries, shared, notes: all }
}

/// What stands with more than one equation is said once, below them.
fn share(entries: &mut [Entry]) -> Vec<String> {
    let all: Vec<String> = entries.iter().flat_map(|entry| entry.notes.iter().cloned()).collect();
    let often = |note: &String| all.iter().filter(|other| *other == note).count() > 1;
    for entry in entries {
        entry.own = entry.notes.iter().filter(|note| !often(note)).cloned().collect();
    }
    let mut shared: Vec<String> = Vec::new();
    for note in all.iter().filter(|note| often(note)) {
        if !shared.contains(note) {
            shared.push(note.clone());
        }
    }
    shared
}

fn notes(examination: &Examination<'_>, balance: &Balance) -> Vec<String> {
    let mut notes = Vec::new();
    if let Outcome::Open(doubts) = &balance.outcome {
        notes.extend(doubts.iter().map(|doubt| why(examination, doubt)));
    }
    notes.extend(balance.rests.iter().filter_map(|rest| match rest {
        Rest::Unstated(text) | Rest::NoSuch(_, text) => Some(format!("taken for granted: {text}")),
        Rest::Front => Some("taken for granted: nothing was recorded before the first record".to_owned()),
        Rest::Back => Some("taken for granted: nothing was recorded after the last record".to_owned()),
        Rest::Numbering => {
            Some("taken for granted: record numbers step as the unit description says".to_owned())
        }
        Rest::LeastTime(ms, stated) => Some(counts::least_time(*ms, stated.as_ref())),
        Rest::Opening(moment, basis) => Some(counts::opening(moment, basis)),
        Rest::Clock(premise) => Some(format!("if {}", premise.words())),
        Rest::Labels(..) | Rest::LabelsBeside(..) | Rest::Days(_) | Rest::Paper(..) => None,
    }));
    notes
}

/// Why a number is not known that a step hides: a gap, a record in a conflict, or an event that is not known.
fn blind(examination: &Examination<'_>, step: usize) -> String {
    let line = |step: usize| {
        let record = examination.log.records().get(examination.replay.record(step)?)?;
        Some(examination.log.line_number(record.line))
    };
    let in_conflict = |step: usize| examination.replay.in_conflict.get(step).copied().unwrap_or(false);
    let steps = examination.replay.steps.len();
    if in_conflict(step) {
        // The whole run of records that are not used, gaps among them included.
        let first = (0..=step).rev().take_while(|step| in_conflict(*step)).filter_map(line).last();
        let last = (step..steps).take_while(|step| in_conflict(*step)).filter_map(line).last();
        return match (first, last) {
            (Some(first), Some(last)) if first != last => {
                format!("lines {first} to {last} are in a conflict and not used here")
            }
            (Some(only), _) | (None, Some(only)) => {
                format!("line {only} is in a conflict and not used here")
            }
            (None, None) => "records of a conflict are not used here".to_owned(),
        };
    }
    if let Some(line) = line(step) {
        return format!("the event on line {line} is not known, and it may have changed any number");
    }
    let before = (0..step).rev().find_map(line);
    let after = (step..steps).find_map(line);
    match (before, after) {
        (Some(before), Some(after)) => {
            format!("what was recorded between lines {before} and {after} is not known")
        }
        (Some(before), None) => format!("what was recorded behind line {before} is not known"),
        (None, Some(after)) => format!("what was recorded before line {after} is not known"),
        (None, None) => "what was recorded is not known".to_owned(),
    }
}

/// Why a number is not known.
fn why(examination: &Examination<'_>, doubt: &Doubt) -> String {
    match doubt {
        Doubt::Front => "what was recorded before the first record is not known".to_owned(),
        Doubt::Back => "what was recorded after the last record is not known".to_owned(),
        Doubt::Blind(step) => blind(examination, *step),
        Doubt::Label(phase) => {
            format!("the case file does not say of every record whether it was of the {}", phase.words())
        }
        Doubt::NotParted => {
            "the log shows fewer polls, parted by clears of the memory, than the case file states".to_owned()
        }
        Doubt::WhichPoll => "it does not say which of several polls its numbers are about".to_owned(),
        Doubt::NoClose if examination.replay.back == Ending::Open => {
            "no close of the poll was seen, and what was recorded after the last record is not known"
                .to_owned()
        }
        Doubt::NoClose => "no close of the poll was seen".to_owned(),
        Doubt::AtOdds => {
            "numbers that the unit showed do not agree with each other or with its votes".to_owned()
        }
        Doubt::NotStated(what) => format!("no paper states the exact number: {}", counts::words_of(*what)),
        Doubt::Allowance(text) => text.clone(),
        Doubt::NotTimed => {
            "the bounds of the clock do not say of every vote on which side of the time it lies".to_owned()
        }
        Doubt::OfTheDay => "not every vote surely lies on the day of what is noted".to_owned(),
        Doubt::NoHour => {
            "the case file does not state one hour of the poll with its zone, or of which poll it is"
                .to_owned()
        }
        Doubt::Tests => "whether the votes cast as tests were counted is not stated".to_owned(),
    }
}

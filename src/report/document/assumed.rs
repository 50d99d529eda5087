//! The least that must be assumed for the records to be what such a unit can have written.

use crate::examination::Examination;
use crate::replay::Edit;
use crate::report::document::{Block, Definition, Place, Section, Text};
use crate::report::{count, grouped, least};
use crate::source::Shown;

/// How many conflicts are told one by one; the rest is counted.
const MOST: usize = 50;

/// How many changes of one account are told.
const CHANGES: usize = 6;

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("account"), least::TITLE).answering(&[11]);
    least::opening(examination).into_iter().for_each(|text| section.say(text));
    if let Some(account) = &examination.replay.account {
        if account.accounts.bits() > 1 {
            section.say(least::common_to_all(account));
            let common: Vec<Edit> = account.common().collect();
            if !common.is_empty() {
                section.push(changes(examination, &common));
            }
        }
        let conflicts = least::conflicts(examination);
        let told = conflicts.iter().take(MOST).map(|conflict| {
            let term = Shown::inert(&format!("conflict {}, {}", conflict.number, conflict.place()));
            Definition { anchor: None, term, texts: told(examination, conflict) }
        });
        let told: Vec<Definition> = told.collect();
        if !told.is_empty() {
            section.push(Block::Definitions(told));
        }
        if conflicts.len() > MOST {
            section.say(format!(
                "And {}.",
                count(conflicts.len() - MOST, "further conflict", "further conflicts")
            ));
        }
    }
    least::stays_open(examination).into_iter().for_each(|text| section.say(text));
    let limits = least::limits(examination);
    if !limits.is_empty() {
        section.say("What this is not:");
        section.push(Block::List(limits.into_iter().map(Text::from).collect()));
    }
    section
}

/// What is told of one conflict: how many changes, those that every account has, and examples of the others.
fn told(examination: &Examination<'_>, conflict: &least::Conflict<'_>) -> Vec<Text> {
    let accounts = least::amount(&conflict.accounts);
    let mut texts = vec![Text::from(format!(
        "Fewest changes: {}; accounts of this size: {accounts}.",
        grouped(conflict.cost)
    ))];
    texts.extend(least::shown_around(examination, conflict).into_iter().map(Text::from));
    for part in &conflict.parts {
        if part.accounts.bits() == 1 {
            let said = edits(examination, &part.common);
            texts.push(Text::from(format!("In every account of this size: {said}.")));
            continue;
        }
        let all = num_bigint::BigUint::from(part.alternatives.len()) == part.accounts;
        for (nth, alternative) in part.alternatives.iter().enumerate() {
            let lead = match (nth, all) {
                (0, true) => "Either",
                (0, false) => "For example",
                _ => "or",
            };
            texts.push(Text::from(format!("{lead}: {}.", edits(examination, alternative))));
        }
    }
    texts
}

fn edits(examination: &Examination<'_>, edits: &[Edit]) -> String {
    let mut said = least::edits(examination, edits);
    let more = if said.len() > CHANGES { "; and more changes, which the JSON form holds" } else { "" };
    said.truncate(CHANGES);
    said.join("; ") + more
}

fn changes(examination: &Examination<'_>, edits: &[Edit]) -> Block {
    let said = least::edits(examination, edits).into_iter();
    Block::List(said.map(Text::from).collect())
}

//! Chosen records in true time: in full sentences, and with what their ends hang on by numbers.

use super::{premises, sentence};
use crate::case::Phase;
use crate::clock::{Bound, Premise, hours};
use crate::event::Event;
use crate::examination::Examination;
use crate::replay::Step;
use crate::report::conflict;
use crate::report::coverage::Statement;

/// A sentence on each chosen record, with all that it rests on; none without a reading.
pub(super) fn statements(examination: &Examination<'_>) -> Vec<Statement> {
    if examination.clock.readings().is_empty() {
        return Vec::new();
    }
    let statement = |(about, step)| Statement { about, text: when(examination, step) };
    told(examination).into_iter().map(statement).collect()
}

/// The chosen records with their ends in true time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(in crate::report) struct Records {
    /// One for each.
    pub(in crate::report) rows: Vec<Row>,
    /// What their ends hang on, each once, in the order of their numbers: parts of a sentence.
    pub(in crate::report) premises: Vec<String>,
}

/// A chosen record and its ends in true time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::report) struct Row {
    /// Why it was chosen.
    pub(in crate::report) about: &'static str,
    /// The record, with its displayed time.
    pub(in crate::report) name: String,
    /// Its earlier end.
    pub(in crate::report) from: Option<End>,
    /// Its later end.
    pub(in crate::report) to: Option<End>,
    /// Where neither end is known: that, and why, as a sentence.
    pub(in crate::report) untold: Option<String>,
}

/// An end in true time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::report) struct End {
    /// When it is, in words.
    at: String,
    /// The numbers of what it hangs on, ascending.
    rests_on: Vec<usize>,
}

impl End {
    /// When it is, and in brackets what it hangs on.
    pub(in crate::report) fn words(&self) -> String {
        format!("{}{}", self.at, self.hangs_on("if"))
    }

    fn hangs_on(&self, word: &str) -> String {
        let numbers: Vec<String> = self.rests_on.iter().map(usize::to_string).collect();
        if numbers.is_empty() { String::new() } else { format!(" ({word} {})", numbers.join(", ")) }
    }
}

impl Row {
    /// The row as a sentence.
    pub(in crate::report) fn sentence(&self) -> String {
        let name = &self.name;
        match (&self.from, &self.to) {
            (Some(from), Some(to)) if from.rests_on == to.rests_on => {
                format!("{name} was made from {} to {}{}.", from.at, to.at, to.hangs_on("both if"))
            }
            (Some(from), Some(to)) => format!("{name} was made from {} to {}.", from.words(), to.words()),
            (Some(from), None) => {
                format!("{name} was made not before {}. Nothing bounds it from above.", from.words())
            }
            (None, Some(to)) => {
                format!("{name} was made not after {}. Nothing bounds it from below.", to.words())
            }
            (None, None) => self.untold.clone().unwrap_or_default(),
        }
    }
}

impl Records {
    /// Numbers what the ends of the chosen records hang on, which is much the same from one to the next; none without a
    /// reading.
    pub(in crate::report) fn of(examination: &Examination<'_>) -> Records {
        let mut records = Records::default();
        if examination.clock.readings().is_empty() {
            return records;
        }
        for (about, step) in told(examination) {
            let bounds = examination.clock.when(step);
            let from = bounds.earliest.map(|bound| records.end(earliest(examination, &bound), &bound));
            let to = bounds.latest.map(|bound| records.end(latest(examination, &bound), &bound));
            let untold = (from.is_none() && to.is_none()).then(|| when(examination, step));
            records.rows.push(Row { about, name: sentence(&examination.clock.name(step)), from, to, untold });
        }
        records
    }

    fn end(&mut self, at: String, bound: &Bound) -> End {
        let mut rests_on: Vec<usize> =
            Premise::told(&bound.rests_on).into_iter().map(|words| self.number(words)).collect();
        rests_on.sort_unstable();
        End { at, rests_on }
    }

    fn number(&mut self, words: String) -> usize {
        let known = self.premises.iter().position(|known| *known == words);
        1 + known.unwrap_or_else(|| {
            self.premises.push(words);
            self.premises.len() - 1
        })
    }
}

/// The earlier end in the civil time of the place, to the second, rounded outwards.
fn earliest(examination: &Examination<'_>, bound: &Bound) -> String {
    hours::civil(examination.case, bound.at.second_before())
}

/// The later end in the civil time of the place, to the second, rounded outwards.
fn latest(examination: &Examination<'_>, bound: &Bound) -> String {
    hours::civil(examination.case, bound.at.second_after())
}

/// The records whose bounds are told: the first, the first and last vote that may be of the poll, the last close, the last.
fn told(examination: &Examination<'_>) -> Vec<(&'static str, usize)> {
    let replay = &examination.replay;
    let record = |step: usize| replay.record(step).and_then(|place| examination.log.records().get(place));
    let is_record = |step: &usize| matches!(replay.steps.get(*step), Some(Step::Record(_)));
    let is_close = |step: &usize| record(*step).is_some_and(|record| record.event == Event::Close);
    let is_vote = |step: &usize| {
        let label = replay.record(*step).and_then(|place| replay.labels.get(place));
        record(*step).is_some_and(|record| record.event == Event::Vote)
            && label.is_none_or(|label| label.is_empty() || label.may_be(Phase::Poll))
    };
    let steps = || (0..replay.steps.len()).filter(is_record);
    let found = [
        ("first record", steps().next()),
        ("first vote", steps().find(is_vote)),
        ("last vote", steps().rfind(is_vote)),
        ("close", steps().rfind(is_close)),
        ("last record", steps().next_back()),
    ];
    let mut told: Vec<(&'static str, usize)> = Vec::new();
    for (about, step) in found.into_iter().filter_map(|(about, step)| Some((about, step?))) {
        // One record is told once.
        if told.iter().all(|(_, other)| *other != step) {
            told.push((about, step));
        }
    }
    told
}

fn when(examination: &Examination<'_>, step: usize) -> String {
    let clock = &examination.clock;
    let when = clock.when(step);
    let (early, late) = (|bound| earliest(examination, bound), |bound| latest(examination, bound));
    let name = clock.name(step);
    let rests = |end: &Bound| premises(&end.rests_on);
    let text = match (&when.earliest, &when.latest) {
        (Some(from), Some(to)) => {
            let (both, apart) = by_end(from, to);
            let both = if both.is_empty() { String::new() } else { format!(", if {}", premises(&both)) };
            format!("{name} was made from {} to {}{both}.{apart}", early(from), late(to))
        }
        (Some(from), None) => format!(
            "{name} was made not before {}, if {}. Nothing bounds it from above.",
            early(from),
            rests(from)
        ),
        (None, Some(to)) => {
            format!("{name} was made not after {}, if {}. Nothing bounds it from below.", late(to), rests(to))
        }
        (None, None) => {
            format!("When {name} was made in true time cannot be told: {}", unbound(examination, step))
        }
    };
    sentence(&text)
}

/// What both ends rest on, and in sentences what only one of them does.
fn by_end(from: &Bound, to: &Bound) -> (Vec<Premise>, String) {
    let both: Vec<Premise> = from.rests_on.iter().filter(|one| to.rests_on.contains(one)).cloned().collect();
    let mut apart = String::new();
    for (which, end) in [("earlier", from), ("later", to)] {
        let only: Vec<Premise> = end.rests_on.iter().filter(|one| !both.contains(one)).cloned().collect();
        if !only.is_empty() {
            let besides = if both.is_empty() { "" } else { " besides" };
            apart.push_str(&format!(" The {which} end holds{besides} if {}.", premises(&only)));
        }
    }
    (both, apart)
}

/// Why nothing bounds a record in true time, and between which records it stands that something bounds.
fn unbound(examination: &Examination<'_>, step: usize) -> String {
    if !conflict::holds(examination, step) {
        return "no reading binds it.".to_owned();
    }
    let clock = &examination.clock;
    let bound = |step: &usize| !conflict::holds(examination, *step) && clock.bounds(*step).earliest.is_some();
    let name = |step: Option<usize>| step.map(|step| clock.name(step));
    let before = name((0..step).rev().find(bound));
    let after = name((step + 1..examination.replay.steps.len()).find(bound));
    let order = match (before, after) {
        (Some(before), Some(after)) => {
            format!(" In the order of replay it stands after {before} and before {after}.")
        }
        (Some(before), None) => format!(" In the order of replay it stands after {before}."),
        (None, Some(after)) => format!(" In the order of replay it stands before {after}."),
        (None, None) => String::new(),
    };
    format!(
        "it lies in {}, whose records contradict each other, and none of these is used.{order}",
        conflict::named(examination, &[step])
    )
}

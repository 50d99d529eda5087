//! The least that must be assumed, in words: what every form of report says about the account of a replay.

mod shown;

use std::collections::BTreeMap;

use num_bigint::BigUint;

use crate::examination::Examination;
use crate::finding::Verdict;
use crate::replay::account::{Account, COUNTED_TO, Cluster, Edit};
use crate::replay::{Deviation, Step};
use crate::report::{count, grouped};
use crate::rules::{self, Scope, Want};
use crate::syntax::Record;

pub(super) use shown::shown_around;

/// The head of the section.
pub(super) const TITLE: &str = "The fewest changes that would make the records possible";

/// Records that contradict each other, and what could resolve it.
#[derive(Debug)]
pub(super) struct Conflict<'e> {
    /// Its number, from 1: the group of its findings.
    pub(super) number: usize,
    /// First and last line in the order of replay.
    pub(super) lines: (usize, usize),
    /// How many changes it needs at the least.
    pub(super) cost: u64,
    /// How many equally small accounts there are for it.
    pub(super) accounts: BigUint,
    /// The numbers of its findings, from 1.
    pub(super) findings: Vec<usize>,
    /// Its independent parts.
    pub(super) parts: Vec<&'e Cluster>,
}

/// The conflicts of a log, in the order of replay.
pub(super) fn conflicts<'e>(examination: &'e Examination<'_>) -> Vec<Conflict<'e>> {
    let mut conflicts: Vec<Conflict<'e>> = Vec::new();
    let clusters = examination.replay.account.iter().flat_map(|account| &account.clusters);
    for cluster in clusters {
        match conflicts.last_mut() {
            Some(last) if last.number == cluster.group => {
                last.cost += cluster.cost;
                last.accounts *= &cluster.accounts;
                last.parts.push(cluster);
            }
            _ => conflicts.push(Conflict {
                number: cluster.group,
                lines: (0, 0),
                cost: cluster.cost,
                accounts: cluster.accounts.clone(),
                findings: Vec::new(),
                parts: vec![cluster],
            }),
        }
    }
    for (at, finding) in examination.findings.iter().enumerate() {
        let of = finding.group.and_then(|group| conflicts.get_mut(group.checked_sub(1)?));
        if let Some(conflict) = of {
            conflict.findings.push(at + 1);
        }
    }
    let mut deviations = examination.replay.deviations.iter().peekable();
    for conflict in &mut conflicts {
        let mut steps: Option<(usize, usize)> = None;
        let mut reach = |first: usize, last: usize| {
            let (from, to) = steps.unwrap_or((first, last));
            steps = Some((from.min(first), to.max(last)));
        };
        while let Some(deviation) = deviations.next_if(|deviation| deviation.group <= conflict.number) {
            reach(deviation.first, deviation.last);
        }
        for edit in conflict.parts.iter().flat_map(|part| &part.possible) {
            match edit {
                Edit::Extra { at } => reach(*at, *at),
                Edit::Missing { before, .. } => reach(before.saturating_sub(1), *before),
            }
        }
        let (first, last) = steps.unwrap_or_default();
        conflict.lines = (line(examination, first), line(examination, last));
    }
    conflicts
}

impl Conflict<'_> {
    /// Its lines in words.
    pub(super) fn place(&self) -> String {
        match self.lines {
            (first, last) if first == last => format!("line {first}"),
            (first, last) if first < last => format!("lines {first} to {last}"),
            (first, last) => format!("from line {first} on to line {last}, in the order of replay"),
        }
    }
}

/// What is said first.
pub(super) fn opening(examination: &Examination<'_>) -> Vec<String> {
    let Some(account) = &examination.replay.account else {
        let text = if examination.log.records().is_empty() {
            "The log has no record that could be read, so that there is nothing to account for."
        } else {
            "Nothing, as far as the kinds of the records and their order go: at least one course of events that the \
             unit description foresees gives these records as they stand, with whatever fits in the place of lines \
             that could not be read, of missing numbers and of events that the vocabulary does not hold."
        };
        return vec![text.to_owned()];
    };
    let mut said = vec![
        "No course of events that the unit description foresees gives these records as they stand. What would have to \
         be missing or added for this to be a record that such a unit can have written? One change puts in one record, \
         or leaves one out. Changes that together do it are called an account here."
            .to_owned(),
    ];
    let fewest = grouped(account.cost);
    let ways = match amount(&account.accounts).as_str() {
        "1" => format!(
            "Fewest changes: {fewest}. There is one account of this size. What happened may be another"
        ),
        ways => format!(
            "Fewest changes: {fewest}. There are {ways} accounts of this size, and the records do not choose among them. \
             What happened may be none of them"
        ),
    };
    said.push(format!("{ways}: the true course may need more changes."));
    said.extend(premises(&examination.replay.deviations));
    if examination.versions.len() > 1 {
        said.push("It is worked out under the first version of the contested facts.".to_owned());
    }
    said
}

/// What the contradictions rest on besides the records.
fn premises(deviations: &[Deviation]) -> Option<String> {
    let front = deviations.iter().any(|deviation| deviation.needs_closed_front);
    let numbers = deviations.iter().any(|deviation| deviation.needs_numbering);
    let on = match (front, numbers) {
        (false, false) => return None,
        (true, false) => "nothing having been recorded before the first record",
        (false, true) => "record numbers stepping as the unit description says",
        (true, true) => {
            "nothing having been recorded before the first record, and on record numbers stepping as the unit \
             description says"
        }
    };
    Some(format!("Part of it rests on {on}; the findings say which."))
}

/// What stands before the changes that are common to all accounts.
pub(super) fn common_to_all(account: &Account) -> &'static str {
    if account.common().next().is_none() {
        "No change stands in all of them."
    } else {
        "The smallest account need not be the likeliest. A change named here is no statement about that record, and no ground \
         to leave it out of any count: it is what every account of this size has in common:"
    }
}

/// Which rules stay open because of the conflicts.
pub(super) fn stays_open(examination: &Examination<'_>) -> Vec<String> {
    let conflict = Want::Conflict.why();
    let open = examination
        .answers
        .iter()
        .filter(|answer| answer.verdict == Verdict::CannotBeTold && answer.why.contains(&conflict));
    let (alone, besides): (Vec<_>, Vec<_>) = open.partition(|answer| answer.why.len() == 1);
    if alone.is_empty() && besides.is_empty() {
        return Vec::new();
    }
    let ids = |answers: &[&crate::finding::Answer]| {
        answers.iter().map(|answer| answer.rule).collect::<Vec<_>>().join(", ")
    };
    let several = examination.replay.account.iter().flat_map(|account| &account.clusters);
    let several = several.map(|cluster| cluster.group).max().unwrap_or(0) > 1;
    let mut said = vec![
        "Records that contradict each other answer no other question: they are taken as unreadable there. So a \
         conflict leaves rules open that have nothing to do with it."
            .to_owned(),
    ];
    if !alone.is_empty() {
        said.push(format!("Cannot be told for this reason alone: {}.", ids(&alone)));
    }
    if !besides.is_empty() {
        said.push(format!("Cannot be told for this reason and others: {}.", ids(&besides)));
    }
    if several {
        let own: Vec<&crate::finding::Answer> = alone
            .iter()
            .chain(&besides)
            .copied()
            .filter(|answer| rules::rule(answer.rule).is_some_and(|rule| rule.scope == Scope::Own))
            .collect();
        said.push(if own.is_empty() {
            "Each of the conflicts would leave each of these rules open by itself.".to_owned()
        } else {
            format!(
                "Each of the conflicts would leave each of these rules open by itself, but for {}: there only those \
                 that lie among the records it looks at.",
                ids(&own)
            )
        });
    }
    said
}

/// What the account is not.
pub(super) fn limits(examination: &Examination<'_>) -> Vec<String> {
    let Some(account) = &examination.replay.account else { return Vec::new() };
    let against: Vec<String> = account
        .possible()
        .filter(|edit| is_against_time(examination, edit))
        .map(|edit| format!("line {}", line(examination, edit.place())))
        .collect();
    let times = if against.is_empty() {
        "a record put in between two others would have been made between their times, and at none of these places do \
         the times go back"
            .to_owned()
    } else {
        let mut lines = against;
        lines.dedup();
        format!(
            "a record put in between two others would have been made between their times, and before {} the times go \
             back, so that there no time lies between them",
            lines.join(", ")
        )
    };
    vec![
        "Least need not be likeliest. The account says how little has to be assumed, never what happened. A record left out \
         here need not be wrong, and one put in need not have been made: a record that stands in the wrong place, for \
         one, counts as two changes, and a smaller account may hide it."
            .to_owned(),
        format!("It uses the kinds of the records and their order, and no displayed time: {times}."),
        "It does not ask whether record numbers leave room. Where they run without a hole, none is free for a record \
         put in, and a record left out would leave a hole: they do not choose between the two."
            .to_owned(),
        "It uses no count, no paper and no custody. Under another unit description it would be another account."
            .to_owned(),
    ]
}

/// Whether a record would have to be missing between two whose displayed times go back.
fn is_against_time(examination: &Examination<'_>, edit: &Edit) -> bool {
    let Edit::Missing { before, .. } = edit else { return false };
    let time = |step: usize| record(examination, step).and_then(|record| record.time);
    let earlier = before.checked_sub(1).and_then(time);
    earlier.zip(time(*before)).is_some_and(|(earlier, later)| later < earlier)
}

/// A change in words: it says what is left out or put in, not that this is what happened.
pub(super) fn edit(examination: &Examination<'_>, edit: &Edit) -> String {
    match edit {
        Edit::Extra { at } => {
            format!("without {}, {}", name(examination, *at), one(word_at(examination, *at)))
        }
        Edit::Missing { before, what } => {
            let between = match before.checked_sub(1) {
                None => format!("before {}", name(examination, *before)),
                Some(last) if *before >= examination.replay.steps.len() => {
                    format!("after {}", name(examination, last))
                }
                Some(last) => {
                    format!("between {} and {}", name(examination, last), name(examination, *before))
                }
            };
            format!("with one more '{}' {between}", what.word())
        }
    }
}

/// Some changes in words, runs of records of one kind left out drawn together.
pub(super) fn edits(examination: &Examination<'_>, edits: &[Edit]) -> Vec<String> {
    let kind = |edit: &Edit| match edit {
        Edit::Extra { at } => Some(word_at(examination, *at)),
        Edit::Missing { .. } => None,
    };
    edits
        .chunk_by(|one, next| kind(one).is_some() && kind(one) == kind(next))
        .flat_map(|run| match run {
            [first, .., last] if run.len() > 2 => {
                let (from, to) = (line(examination, first.place()), line(examination, last.place()));
                let word = kind(first).unwrap_or_default();
                vec![format!("without {} records '{word}' (lines {from} to {to})", run.len())]
            }
            run => run.iter().map(|one| edit(examination, one)).collect(),
        })
        .collect()
}

/// Many changes in words, by kind: each is a choice.
pub(super) fn kinds(examination: &Examination<'_>, edits: &[Edit]) -> Vec<String> {
    let mut kinds: BTreeMap<(bool, &str), Vec<usize>> = BTreeMap::new();
    for edit in edits {
        let (missing, word) = match edit {
            Edit::Extra { at } => (false, word_at(examination, *at)),
            Edit::Missing { what, .. } => (true, what.word()),
        };
        kinds.entry((missing, word)).or_default().push(line(examination, edit.place()));
    }
    let said = |((missing, word), lines): ((bool, &str), Vec<usize>)| {
        let (from, to) = (lines.iter().min().copied(), lines.iter().max().copied());
        let span = match from.zip(to) {
            Some((from, to)) if from < to => format!("lines {from} to {to}"),
            Some((from, _)) => format!("line {from}"),
            None => String::new(),
        };
        let number = lines.len();
        match (missing, number) {
            (false, 1) => format!("without the record '{word}' on {span}"),
            (false, _) => {
                format!("without some of {} ({span})", count(number, "record", &format!("records '{word}'")))
            }
            (true, 1) => format!("with one more '{word}' before {span}"),
            (true, _) => {
                format!("with one more '{word}' before some of {} ({span})", count(number, "line", "lines"))
            }
        }
    };
    kinds.into_iter().map(said).collect()
}

fn word_at(examination: &Examination<'_>, step: usize) -> &'static str {
    record(examination, step).map_or("record", |record| record.event.word())
}

/// A word of an event with its article.
fn one(word: &str) -> String {
    format!("{} '{word}'", if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" })
}

/// A step by its number, line and displayed time.
fn name(examination: &Examination<'_>, step: usize) -> String {
    let line = line(examination, step);
    let Some(record) = record(examination, step) else {
        return match examination.replay.steps.get(step) {
            Some(Step::Gap(gap)) if gap.line.is_some() => format!("what could not be read (line {line})"),
            _ => format!("what is missing behind line {line}"),
        };
    };
    let time = record.time.map(|time| format!(", {time}")).unwrap_or_default();
    match record.number {
        Some(number) => {
            format!("record {number:0width$} (line {line}{time})", width = usize::from(record.number_digits))
        }
        None => {
            format!("the record on line {line}{}", record.time.map(|t| format!(" ({t})")).unwrap_or_default())
        }
    }
}

pub(super) fn record<'e>(examination: &'e Examination<'_>, step: usize) -> Option<&'e Record> {
    examination.log.records().get(examination.replay.record(step)?)
}

/// The line of a step, from 1; a gap without a line stands at the one before it.
pub(super) fn line(examination: &Examination<'_>, step: usize) -> usize {
    let steps = examination.replay.steps.get(..=step).unwrap_or(&examination.replay.steps);
    let index = steps.iter().rev().find_map(|step| match step {
        Step::Record(place) => examination.log.records().get(*place).map(|record| record.line),
        Step::Gap(gap) => gap.line,
    });
    index.map_or(examination.log.first_line, |index| examination.log.line_number(index))
}

/// A number of accounts in words.
pub(super) fn amount(number: &BigUint) -> String {
    let digits = number.to_string();
    let power = digits.len() - 1;
    if number.bits() > COUNTED_TO {
        format!("more than 10^{power}")
    } else if power >= 15 {
        let first = digits.get(..1).unwrap_or_default();
        format!("more than {first} x 10^{power}")
    } else {
        digits.parse().map_or(digits, grouped)
    }
}

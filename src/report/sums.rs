//! The sums behind numbers that do not agree, in sentences that need no letters: what the unit showed, what it recorded after
//! that, and what papers say beside it.

use crate::case::{Count, CountOf, Phase, Stated};
use crate::counts::{self, Balance, Ledger, Outcome, Sign, number_shown};
use crate::event::Event;
use crate::examination::Examination;
use crate::finding::{Finding, Place, capital};
use crate::replay::Step;
use crate::report::{count, grouped, listed};

/// What stands before the sums.
pub(super) const INTRODUCTION: &str = "Where numbers do not agree, the sum in plain words. It takes records and papers as they stand, those that contradict \
     each other included, and says nothing of which is right:";

/// Votes of a sum that are named one by one; more are told by the first and the last.
const NAMED: usize = 3;

/// How many sums are told.
const MOST: usize = 20;

/// A sum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sum {
    /// It in plain words.
    pub(super) text: String,
    /// Numbers of the lines that it names.
    pub(super) lines: Vec<usize>,
    /// The rule that speaks for it, where it is an equation with a paper.
    pub(super) rule: &'static str,
}

/// A number that the unit showed.
#[derive(Debug, Clone, Copy)]
struct Shown {
    step: usize,
    event: Event,
    value: u64,
}

/// A difference between a number shown and what was recorded after it.
struct Case {
    from: Shown,
    votes: Vec<usize>,
    /// Numbers shown after the votes: the first, and those that repeat it.
    to: Vec<Shown>,
}

/// The sums of a log and its papers.
pub(super) fn told(examination: &Examination<'_>) -> Vec<Sum> {
    let cases = cases(examination);
    let mut sums: Vec<Sum> = cases.iter().map(|case| of_records(examination, case)).collect();
    sums.extend(equations(examination));
    sums.truncate(MOST);
    sums
}

/// The sums that a finding is about.
pub(super) fn of_finding<'s>(
    examination: &Examination<'_>,
    sums: &'s [Sum],
    finding: &Finding,
) -> impl Iterator<Item = &'s Sum> {
    let line = match finding.main {
        Place::Line(line) => Some(examination.log.line_number(line)),
        Place::Log => None,
    };
    let rule = finding.rule;
    sums.iter().filter(move |sum| sum.rule == rule || line.is_some_and(|line| sum.lines.contains(&line)))
}

/// Where a number shown is not the one before it and the votes recorded since; and where votes stand recorded after a close or
/// result. Across a clear, a gap or an event that is not known nothing is added up.
fn cases(examination: &Examination<'_>) -> Vec<Case> {
    let log = examination.log;
    let mut cases: Vec<Case> = Vec::new();
    let mut last: Option<Shown> = None;
    let mut votes: Vec<usize> = Vec::new();
    for (step, entry) in examination.replay.steps.iter().enumerate() {
        let record = examination.replay.record(step).and_then(|place| log.records().get(place));
        let Some(record) = record else {
            if matches!(entry, Step::Gap(gap) if gap.most != Some(0)) {
                unfinished(&mut cases, last.take(), &mut votes);
            }
            continue;
        };
        match record.event {
            Event::Vote => votes.push(step),
            Event::Clear | Event::Unknown => unfinished(&mut cases, last.take(), &mut votes),
            Event::Total | Event::Close | Event::Result => {
                let Some(value) = number_shown(log, record) else { continue };
                let now = Shown { step, event: record.event, value };
                if let Some(from) = last {
                    let sum = from.value.saturating_add(votes.len() as u64);
                    let repeats = cases.last_mut().filter(|case| {
                        votes.is_empty() && case.to.last().is_some_and(|to| to.step == from.step)
                    });
                    match repeats {
                        Some(case) if value == from.value => case.to.push(now),
                        _ if sum != value || (is_final(from.event) && !votes.is_empty()) => {
                            cases.push(Case { from, votes: std::mem::take(&mut votes), to: vec![now] });
                        }
                        _ => {}
                    }
                }
                last = Some(now);
                votes.clear();
            }
            _ => {}
        }
    }
    unfinished(&mut cases, last, &mut votes);
    cases
}

/// Votes after a close or result behind which the log shows no number.
fn unfinished(cases: &mut Vec<Case>, last: Option<Shown>, votes: &mut Vec<usize>) {
    let votes = std::mem::take(votes);
    if let Some(from) = last.filter(|from| is_final(from.event) && !votes.is_empty()) {
        cases.push(Case { from, votes, to: Vec::new() });
    }
}

fn is_final(event: Event) -> bool {
    matches!(event, Event::Close | Event::Result)
}

fn of_records(examination: &Examination<'_>, case: &Case) -> Sum {
    let Case { from, votes, to } = case;
    let sum = from.value.saturating_add(votes.len() as u64);
    let mut text = format!(
        "The {} in {} shows {}.",
        from.event.word(),
        name(examination, from.step),
        count(usize::try_from(from.value).unwrap_or(usize::MAX), "vote", "votes"),
    );
    let recorded = if votes.is_empty() {
        " No vote is recorded after it, and no clear".to_owned()
    } else {
        let are = if votes.len() == 1 { "is" } else { "are" };
        format!(
            " After it {} {are} recorded ({}), and no clear between: {} + {} = {}",
            count(votes.len(), "vote", "votes"),
            places(examination, votes),
            grouped(from.value),
            grouped(votes.len() as u64),
            grouped(sum),
        )
    };
    text.push_str(&recorded);
    let shown: Vec<String> = to
        .iter()
        .map(|shown| format!("the {} in {}", shown.event.word(), name(examination, shown.step)))
        .collect();
    let verb = if to.len() == 1 { "shows" } else { "show" };
    match to.first().map(|shown| shown.value) {
        None => {
            text.push_str(". No number is shown after that in this log, or not before records are missing.")
        }
        Some(value) if value == sum => {
            text.push_str(&format!(", and {} is what {} {verb}.", grouped(sum), listed(&shown)));
        }
        Some(value) => {
            let (by, than) =
                if value > sum { (value - sum, "more than") } else { (sum - value, "fewer than") };
            text.push_str(&format!(
                ". But {} {verb} {}, {} {than} {}.",
                listed(&shown),
                grouped(value),
                grouped(by),
                grouped(sum),
            ));
        }
    }
    if let Some(other) =
        to.first().map_or(Some(sum), |shown| Some(shown.value)).filter(|_| of_poll(examination, from))
    {
        text.push_str(&beside(examination, *from, other));
    }
    let lines = [from.step].into_iter().chain(votes.iter().copied()).chain(to.iter().map(|shown| shown.step));
    Sum { text, lines: lines.filter_map(|step| line(examination, step)).collect(), rule: "" }
}

/// Whether a number shown may be one of the poll.
fn of_poll(examination: &Examination<'_>, shown: &Shown) -> bool {
    let label = examination.replay.record(shown.step).and_then(|place| examination.replay.labels.get(place));
    label.is_none_or(|label| label.is_empty() || label.may_be(Phase::Poll))
}

/// What papers say beside the two numbers, taken as they are written.
fn beside(examination: &Examination<'_>, from: Shown, other: u64) -> String {
    // Numbers of several polls are not set against one of them here; the ledger has each.
    let mut days: Vec<&Option<String>> = examination.case.polls.iter().map(|poll| &poll.value.date).collect();
    days.sort_unstable();
    days.dedup();
    if days.len() > 1 || from.value == other {
        return String::new();
    }
    let of_votes = |stated: &&Stated<Count>| {
        let count = &stated.value;
        let is_of_votes = matches!(
            count.what,
            CountOf::Declared
                | CountOf::Register
                | CountOf::Slips
                | CountOf::TotalAtClose
                | CountOf::ResultAtCount
        );
        is_of_votes && count.least == count.most
    };
    let mut text = String::new();
    for stated in examination.case.counts.iter().filter(of_votes) {
        let value = stated.value.least;
        let by = |one: u64| match value.abs_diff(one) {
            0 => grouped(one),
            by if value < one => format!("{} less than {}", grouped(by), grouped(one)),
            by => format!("{} more than {}", grouped(by), grouped(one)),
        };
        let relation = if value == from.value {
            format!("the number of that {}, and {}", from.event.word(), by(other))
        } else if value == other {
            format!("the {} after it, and not the number of that {}", grouped(other), from.event.word())
        } else {
            format!("{}, and {}", by(from.value), by(other))
        };
        text.push_str(&format!(
            " {}: {}, {}; taken as written, that is {relation}.",
            capital(counts::words_of(stated.value.what)),
            grouped(value),
            stated.basis.said(),
        ));
    }
    text
}

/// The equations of the ledger that do not hold, each as one sentence with the names of its numbers.
fn equations(examination: &Examination<'_>) -> Vec<Sum> {
    let mut sums: Vec<Sum> = Vec::new();
    for (version, ledger) in &examination.ledgers {
        for balance in ledger.balances.iter().filter(|balance| matches!(balance.outcome, Outcome::Differs(_)))
        {
            let mut text = equation(ledger, balance);
            if examination.ledgers.len() > 1 {
                text = format!("If it is so: {version}. {text}");
            }
            if sums.iter().all(|sum| sum.text != text) {
                sums.push(Sum { text, lines: Vec::new(), rule: balance.rule });
            }
        }
    }
    sums
}

fn equation(ledger: &Ledger, balance: &Balance) -> String {
    let [left, right] = counts::sides(ledger, balance);
    let side = |terms: &[counts::Term], comes: counts::Interval| {
        let items = terms.iter().filter_map(|term| Some((term.sign, ledger.items.get(term.item)?)));
        let mut text = String::new();
        for (place, (sign, item)) in items.enumerate() {
            text.push_str(match (place, sign) {
                (0, Sign::Plus) => "",
                (_, Sign::Minus) => ", less ",
                (_, Sign::Plus) => ", and ",
            });
            text.push_str(&item.words);
            if terms.len() > 1 {
                text.push_str(&format!(" ({})", item.value));
            }
        }
        let between = if terms.len() > 1 { ", come to" } else { ":" };
        format!("{}{between} {comes}", capital(&text))
    };
    // A number that only other equations give must not be read as one that the unit showed.
    let beside: Vec<&str> = ledger.beside(balance).into_iter().map(|other| other.words).collect();
    let [left_by, right_by] = counts::derived(ledger, balance)
        .map(|by| by.map_or_else(String::new, |_| format!(", but only if {}", beside.join("; and if "))));
    format!(
        "{}{left_by}. {}{right_by}. Of the two, {}.",
        side(&balance.left, left),
        side(&balance.right, right),
        counts::verdict(ledger, balance)
    )
}

fn line(examination: &Examination<'_>, step: usize) -> Option<usize> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    Some(examination.log.line_number(record.line))
}

/// A record by its number and line.
fn name(examination: &Examination<'_>, step: usize) -> String {
    let place = examination.replay.record(step);
    let Some(record) = place.and_then(|place| examination.log.records().get(place)) else {
        return "a gap".to_owned();
    };
    let line = examination.log.line_number(record.line);
    match record.number {
        Some(number) => format!("record {number} (line {line})"),
        None => format!("line {line}"),
    }
}

fn places(examination: &Examination<'_>, steps: &[usize]) -> String {
    let named = |step: &usize| name(examination, *step).replace(" (", ", ").replace(')', "");
    match steps {
        [first, .., last] if steps.len() > NAMED => format!("from {} to {}", named(first), named(last)),
        few => few.iter().map(named).collect::<Vec<_>>().join("; "),
    }
}

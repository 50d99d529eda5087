//! The numbers side by side, for other programs.

use schemars::JsonSchema;
use serde::Serialize;

use crate::counts::{Interval, Opinion, Outcome, Sign, Term, letter};
use crate::examination::Examination;
use crate::report::ledger::{Entry, Row, Sheet, sheets};

/// A ledger: numbers, and the equations in which they must agree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LedgerOf {
    /// The version of contested facts under which it holds, where there are several.
    pub version: Option<String>,
    /// The numbers.
    pub numbers: Vec<NumberOf>,
    /// The equations.
    pub equations: Vec<EquationOf>,
    /// What the second reckoning says, by trying out whole numbers: `same`, `narrower`, `conflict` or `gave up`.
    pub second_reckoning: String,
    /// What else is said of the whole.
    pub notes: Vec<String>,
}

/// A number of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NumberOf {
    /// Its letter in the equations.
    pub letter: String,
    /// What it is.
    pub what: String,
    /// As it is seen or stated.
    pub stated: EndsOf,
    /// As it follows from all equations that can hold together.
    pub follows: EndsOf,
    /// As the second reckoning gives it, where that was done.
    pub exact: Option<EndsOf>,
    /// Where it is from.
    pub source: String,
}

/// The ends of a number; an end that is not known is absent.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EndsOf {
    /// At least so many.
    pub least: Option<String>,
    /// At most so many.
    pub most: Option<String>,
}

/// An equation of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EquationOf {
    /// The rule that speaks for it; empty where none rests on it.
    pub rule: String,
    /// What must agree.
    pub what: String,
    /// Letters of the left side, each with `+` or `-` before it.
    pub left: Vec<String>,
    /// Letters of the right side, likewise.
    pub right: Vec<String>,
    /// Both sides in figures.
    pub figures: String,
    /// `agrees`, `agrees within the allowance`, `differs` or `cannot be told`.
    pub outcome: String,
    /// The same in words, with what follows.
    pub in_words: String,
    /// By how much the left side is greater, where the two differ.
    pub exceeds_by: Option<EndsOf>,
    /// Why it cannot be told, and what is taken for granted.
    pub notes: Vec<String>,
}

pub(super) fn ledgers(examination: &Examination<'_>) -> Vec<LedgerOf> {
    let all = sheets(examination);
    all.iter()
        .zip(&examination.ledgers)
        .map(|(sheet, (_, ledger))| of(sheet, &ledger.second_opinion()))
        .collect()
}

fn of(sheet: &Sheet, opinion: &Opinion) -> LedgerOf {
    let numbers = sheet.rows.iter().enumerate().map(|(at, row)| number(row, at, opinion));
    LedgerOf {
        version: sheet.version.as_ref().map(ToString::to_string),
        numbers: numbers.collect(),
        equations: sheet.entries.iter().map(equation).collect(),
        second_reckoning: match opinion {
            Opinion::Same => "same",
            Opinion::Narrower(_) => "narrower",
            Opinion::Conflict => "conflict",
            Opinion::GaveUp => "gave up",
        }
        .to_owned(),
        notes: sheet.notes.clone(),
    }
}

fn number(row: &Row, at: usize, opinion: &Opinion) -> NumberOf {
    let exact = match opinion {
        Opinion::Same => Some(row.item.follows),
        Opinion::Narrower(exact) => exact.get(at).copied(),
        Opinion::Conflict | Opinion::GaveUp => None,
    };
    NumberOf {
        letter: row.letter.clone(),
        what: row.words.to_string(),
        stated: ends(row.item.value),
        follows: ends(row.item.follows),
        exact: exact.map(ends),
        source: row.from.to_string(),
    }
}

fn ends(value: Interval) -> EndsOf {
    EndsOf { least: value.least.map(|end| end.to_string()), most: value.most.map(|end| end.to_string()) }
}

fn equation(entry: &Entry) -> EquationOf {
    let side = |terms: &[Term]| {
        let signed = terms.iter().map(|term| {
            let sign = if term.sign == Sign::Plus { '+' } else { '-' };
            format!("{sign}{}", letter(term.item))
        });
        signed.collect()
    };
    EquationOf {
        rule: entry.rule.to_owned(),
        what: entry.words.to_owned(),
        left: side(&entry.balance.left),
        right: side(&entry.balance.right),
        figures: entry.figures.clone(),
        outcome: match entry.balance.outcome {
            Outcome::Agrees => "agrees",
            Outcome::Within => "agrees within the allowance",
            Outcome::Differs(_) => "differs",
            Outcome::Open(_) => "cannot be told",
        }
        .to_owned(),
        in_words: entry.verdict.to_string(),
        exceeds_by: match entry.balance.outcome {
            Outcome::Differs(by) => Some(ends(by)),
            _ => None,
        },
        notes: entry.notes.clone(),
    }
}

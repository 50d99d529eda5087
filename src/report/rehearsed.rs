//! How the rules did on rehearsals: what was measured, when, with which rule book, and by which command it is measured anew.
//!
//! A figure holds for the program that was measured and for no other. So each row of [`MEASURED`] names version, rule book
//! and commit, and a row is told only where version and rule book are those of this program; else the report says that
//! nothing is measured for this rule book. Whoever changes a word of a rule measures again and writes a new row.

use std::sync::OnceLock;

use crate::report::{TOOL, VERSION, grouped, provenance};
use crate::source::Shown;

/// What one run of `rehearse judge` printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// The command behind the tool's name.
    pub command: &'static str,
    /// Rehearsals that it examined.
    pub rehearsals: u64,
    /// Answers that did not agree with the key.
    pub disagreements: u64,
}

/// A measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Measurement {
    /// Version of the program that was measured.
    pub version: &'static str,
    /// SHA-256 of its rule book.
    pub rule_book: &'static str,
    /// The commit that it was built from.
    pub commit: &'static str,
    /// When it was measured.
    pub date: &'static str,
    /// Number of rules.
    pub rules: u64,
    /// Number of planted deviations.
    pub planted: u64,
    /// Logs with a planted deviation.
    pub with_deviation: Run,
    /// Lawful lives.
    pub lawful: Run,
}

/// What was measured, newest first. A row is copied from what the two commands print; nobody works one out.
pub const MEASURED: &[Measurement] = &[Measurement {
    version: "0.1.0",
    rule_book: "e82f0daeab77b5bd5ded2353450bbc67473a3ed5c386bcadfe659ab6c9321ac3",
    commit: "863a671",
    date: "2026-11-29",
    rules: 66,
    planted: 123,
    with_deviation: Run { command: DEVIATIONS, rehearsals: 36_900, disagreements: 0 },
    lawful: Run { command: LAWFUL, rehearsals: 30_000, disagreements: 0 },
}];

/// The command that measures logs with a planted deviation.
const DEVIATIONS: &str = "rehearse judge --seeds 300";

/// The command that measures lawful lives.
const LAWFUL: &str = "rehearse judge --clean --seeds 30000";

/// How it is measured.
pub const PROCEDURE: &str = "A rehearsal is a log that the tool makes up: the lawful life of a unit with its papers, into which one known deviation \
     may be put. Beside it stands a key, written from what was put in and from what the log still holds, never by asking a \
     rule: of each rule it says what must be found, what must not, or that nothing is asked. The rules then examine log and \
     papers without the key, and every answer is set against it.";

/// What the figures are not.
pub const LIMITS: &[&str] = &[
    "The lives are made up by this project's own model of a unit, of people and of papers. Real units and stations do what \
     no model foresees. The figures are no error rate for real logs.",
    "Keys and rules were written by the same project. A mistake that both share is not seen.",
    "Each rehearsal has at most one deviation. For some rules none is planted; the command names them. It also counts the \
     answers of which the key asks nothing.",
    "The digest of the rule book covers the words of the rules, not the program. For another build the commands are run again: \
     each says at its end which version and rule book it measured.",
];

/// A figure in words, and the command that gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The sentence.
    pub sentence: String,
    /// The command.
    pub command: Shown,
}

/// What is told of this program.
#[must_use]
pub fn told() -> Vec<Told> {
    told_of(VERSION, &provenance::rule_book().to_string())
}

/// The measurement of a version with a rule book, where there is one.
#[must_use]
pub fn measurement(version: &str, rule_book: &str) -> Option<&'static Measurement> {
    MEASURED.iter().find(|row| row.version == version && row.rule_book == rule_book)
}

/// What is told of a version with a rule book.
#[must_use]
pub fn told_of(version: &str, rule_book: &str) -> Vec<Told> {
    let command = |command: &str| Shown::inert(&format!("{TOOL} {command}"));
    let Some(row) = measurement(version, rule_book) else {
        let sentence = "Not measured for this rule book: a word of it was changed since the last measurement. This measures \
                        logs with one planted deviation each:";
        return vec![
            Told { sentence: sentence.to_owned(), command: command(DEVIATIONS) },
            Told { sentence: "And this measures lawful lives:".to_owned(), command: command(LAWFUL) },
        ];
    };
    let measured =
        format!("measured on {} with {TOOL} {version}, commit {}, and this rule book", row.date, row.commit);
    let disagreed = |run: Run| match run.disagreements {
        0 => "no answer disagreed with its key".to_owned(),
        1 => "one answer disagreed with its key".to_owned(),
        number => format!("{} answers disagreed with their keys", grouped(number)),
    };
    vec![
        Told {
            sentence: format!(
                "With a deviation: {} logs, each with one of {} planted deviations, were examined by {} rules; {} ({measured}):",
                grouped(row.with_deviation.rehearsals),
                row.planted,
                row.rules,
                disagreed(row.with_deviation),
            ),
            command: command(row.with_deviation.command),
        },
        Told {
            sentence: format!(
                "Without one: {} lawful lives were examined by {} rules; {} ({measured}):",
                grouped(row.lawful.rehearsals),
                row.rules,
                disagreed(row.lawful),
            ),
            command: command(row.lawful.command),
        },
    ]
}

/// The same in one line, for the answer of a rule.
#[must_use]
pub fn in_short() -> &'static str {
    // The digest over all words of all rules is worked out once, not for each answer.
    static SAID: OnceLock<String> = OnceLock::new();
    SAID.get_or_init(|| in_short_of(VERSION, &provenance::rule_book().to_string()))
}

fn in_short_of(version: &str, rule_book: &str) -> String {
    match measurement(version, rule_book) {
        None => "not measured for real logs, nor on rehearsals for this rule book".to_owned(),
        Some(row) => format!(
            "not measured for real logs; on {} rehearsals of all rules {} disagreements with the keys ({}, commit {})",
            grouped(row.with_deviation.rehearsals + row.lawful.rehearsals),
            grouped(row.with_deviation.disagreements + row.lawful.disagreements),
            row.date,
            row.commit,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_told_for_the_rule_book_that_was_measured_and_for_no_other() {
        for row in MEASURED {
            let told = told_of(row.version, row.rule_book);
            let [with, without] = told.as_slice() else { panic!("{told:?}") };
            assert!(with.sentence.contains(&grouped(row.with_deviation.rehearsals)), "{with:?}");
            assert!(without.sentence.contains(&grouped(row.lawful.rehearsals)), "{without:?}");
            assert!(in_short_of(row.version, row.rule_book).contains(row.commit));
            for (version, rule_book) in [(row.version, "0f"), ("0.0.0", row.rule_book)] {
                let told = told_of(version, rule_book);
                let text: String = told.iter().map(|one| one.sentence.as_str()).collect();
                assert!(text.starts_with("Not measured for this rule book"), "{text}");
                assert!(!text.contains(|c: char| c.is_ascii_digit()), "{text}");
                let commands: Vec<&str> = told.iter().map(|one| one.command.as_str()).collect();
                assert_eq!(
                    commands,
                    ["logassay rehearse judge --seeds 300", "logassay rehearse judge --clean --seeds 30000"]
                );
                assert!(!in_short_of(version, rule_book).contains(|c: char| c.is_ascii_digit()));
            }
        }
    }

    #[test]
    fn a_row_has_the_form_of_what_was_measured() {
        assert!(!MEASURED.is_empty());
        for row in MEASURED {
            assert!(row.rule_book.len() == 64 && row.rule_book.bytes().all(|b| b.is_ascii_hexdigit()));
            assert!(row.commit.len() >= 7 && row.commit.bytes().all(|b| b.is_ascii_hexdigit()));
            assert!(crate::sheet::is_day(row.date), "{}", row.date);
            // As many seeds for each deviation as the command says, and one life for each seed.
            let seeds = |run: Run| run.command.rsplit(' ').next().and_then(|seeds| seeds.parse::<u64>().ok());
            assert_eq!(seeds(row.with_deviation), Some(row.with_deviation.rehearsals / row.planted));
            assert_eq!(row.with_deviation.rehearsals % row.planted, 0);
            assert_eq!(seeds(row.lawful), Some(row.lawful.rehearsals));
        }
    }
}

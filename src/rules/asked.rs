//! The questions that come with the tool: what courts ask about a unit, and which rules bear on each.

use crate::case::{Question, Saying, Stated};
use crate::rules::{Family, RULES};
use crate::source::Span;

/// A question of the set that comes with the tool.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// The question.
    pub text: &'static str,
    /// Families all of whose rules bear on it.
    pub families: &'static [Family],
    /// Ids of further rules that bear on it.
    pub rules: &'static [&'static str],
}

/// The questions, in the order of a unit's day.
pub static STANDARD: &[Asked] = &[
    Asked {
        text: "Is the export whole and in order, and is it the log of this unit?",
        families: &[Family::Record],
        rules: &[],
    },
    Asked {
        text: "Was a mock poll held, and was the memory empty before the poll?",
        families: &[],
        rules: &["no-mock-poll", "mock-poll-too-small", "mock-poll-not-cleared", "zero-not-shown"],
    },
    Asked {
        text: "Was the unit prepared and connected as the papers say?",
        families: &[],
        rules: &[
            "candidates-not-the-cases",
            "candidates-set-with-votes",
            "vote-on-unlinked-ballot-unit",
            "ballot-unit-changed-in-poll",
        ],
    },
    Asked {
        text: "Was every vote released by an official, and was there one vote for each release?",
        families: &[],
        rules: &["two-enables", "vote-without-enable", "enable-pending-at-close", "no-lawful-course"],
    },
    Asked {
        text: "Did the unit run through the poll without fault, loss of power or an opened cover?",
        families: &[],
        rules: &["event-while-off", "power-lost", "self-test-failed-and-voting-went-on", "cover-opened"],
    },
    Asked {
        text: "Was the poll closed, and was no vote recorded after the close?",
        families: &[],
        rules: &["no-close", "vote-after-close", "enable-after-close", "result-before-close"],
    },
    Asked {
        text: "Did the memory keep the votes until the count?",
        families: &[],
        rules: &["memory-cleared-before-count", "clear-before-result"],
    },
    Asked {
        text: "Did the unit record votes outside the hours of the poll?",
        families: &[Family::Hours],
        rules: &[],
    },
    Asked {
        text: "Can the displayed times be relied on?",
        families: &[Family::Clock],
        rules: &["time-decreases", "coarse-clock"],
    },
    Asked { text: "Do the numbers agree?", families: &[Family::Counts], rules: &[] },
    Asked {
        text: "Were votes recorded faster, or more alike, than the unit and people allow?",
        families: &[Family::Pace],
        rules: &[],
    },
];

/// The questions that rules of this version bear on, as a case file would state them.
#[must_use]
pub fn standard() -> Vec<Stated<Question>> {
    let basis = || Saying {
        source: "the questions that come with logassay".to_owned(),
        by: "logassay".to_owned(),
        span: Span::default(),
        line: 0,
    };
    let bearing = |asked: &Asked| -> Vec<String> {
        RULES
            .iter()
            .filter(|rule| asked.families.contains(&rule.family) || asked.rules.contains(&rule.id))
            .map(|rule| rule.id.to_owned())
            .collect()
    };
    STANDARD
        .iter()
        .map(|asked| (asked.text.to_owned(), bearing(asked)))
        .filter(|(_, rules)| !rules.is_empty())
        .enumerate()
        .map(|(place, (text, rules))| Stated {
            value: Question { number: Some((place + 1).to_string()), text, rules },
            basis: basis(),
        })
        .collect()
}

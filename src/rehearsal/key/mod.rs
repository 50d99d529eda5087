//! The answer key: what a correct examination of a rehearsal must conclude, rule by rule. It is made from what was
//! injected and from what the log still holds, and never by asking a rule.

mod draft;
mod page;

use schemars::JsonSchema;
use serde::Serialize;

pub(super) use draft::{Draft, Spot};
pub use page::{page, paragraph};

/// What an examination may answer, in its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub enum Said {
    /// The rule is not kept.
    #[serde(rename = "not kept")]
    NotKept,
    /// The rule is kept.
    #[serde(rename = "kept")]
    Kept,
    /// The log leaves it open.
    #[serde(rename = "cannot be told")]
    CannotBeTold,
    /// The rule has no subject here.
    #[serde(rename = "does not apply")]
    DoesNotApply,
}

impl Said {
    /// The answer in the words of a report.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Said::NotKept => "not kept",
            Said::Kept => "kept",
            Said::CannotBeTold => "cannot be told",
            Said::DoesNotApply => "does not apply",
        }
    }
}

/// How a finding may follow, in the words of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Records and unit description cannot both be right.
    Contradiction,
    /// The records, if true, are themselves contrary.
    Shown,
    /// It follows if a named assumption holds.
    Conditional,
}

impl How {
    /// The kind in the words of a report.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            How::Contradiction => "contradiction",
            How::Shown => "shown",
            How::Conditional => "conditional",
        }
    }
}

/// A finding that must stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Stand {
    /// It follows in one of these ways.
    pub how: Vec<How>,
    /// It stands on one of these lines of the file, from 1; on any where there is none.
    pub lines: Vec<usize>,
    /// Numbers of the records on these lines.
    pub records: Vec<u64>,
}

/// What must be concluded by a rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Must {
    /// Not kept, with these findings and no others.
    Find(Vec<Stand>),
    /// No finding, and one of these answers.
    Answer(Vec<Said>),
    /// The key asks nothing of this rule here.
    Free,
}

/// What must be concluded by one rule, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Conclusion {
    /// Id of the rule.
    pub rule: &'static str,
    /// What must be concluded.
    pub must: Must,
    /// Why, for people.
    pub because: String,
}

/// What a correct examination of a rehearsal concludes. For a rule that is not named it must find nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(title = "Answer key of a rehearsal of logassay")]
pub struct Key {
    /// Ids of the faults that were injected; none for a lawful life.
    pub faults: Vec<&'static str>,
    /// The seed.
    pub seed: u64,
    /// The command that makes the rehearsal again.
    pub command: String,
    /// What was done, one sentence each, with its place in the log.
    pub done: Vec<String>,
    /// What a correct examination concludes, in general words.
    pub concludes: Vec<&'static str>,
    /// Rule by rule. A rule that is not named here must have no finding.
    pub conclusions: Vec<Conclusion>,
}

impl Key {
    /// What must be concluded by a rule; `None` where it must only find nothing.
    #[must_use]
    pub fn of(&self, rule: &str) -> Option<&Conclusion> {
        self.conclusions.iter().find(|conclusion| conclusion.rule == rule)
    }

    /// The key as JSON.
    #[must_use]
    pub fn json(&self) -> String {
        text(self)
    }
}

/// Any value as JSON for people and programs, with a line end.
pub(super) fn text(value: &impl Serialize) -> String {
    // Plain structs of texts and numbers have a form in JSON; nothing here can fail.
    serde_json::to_string_pretty(value).map_or_else(|_| String::new(), |text| text + "\n")
}

/// `grammar/key.schema.json`: the JSON schema of a key, printed from the types.
#[must_use]
pub fn schema() -> String {
    text(&schemars::schema_for!(Key))
}

/// Which issue brings the rules of a family that may not exist yet.
const BRINGS: &[(u8, &[&str])] = &[
    (
        5,
        &[
            "vote-before-opening",
            "vote-after-hour",
            "closed-early",
            "closed-late",
            "mock-poll-in-hours",
            "activity-in-storage",
            "result-outside-count",
            "vote-in-interruption",
            "clock-offset",
            "clock-rate",
            "clock-set-in-poll",
            "clock-reset",
            "readings-conflict",
            "clock-slip",
        ],
    ),
    (
        6,
        &[
            "total-differs",
            "result-differs",
            "declared-differs",
            "register-differs",
            "slips-differ",
            "mock-votes-differ",
            "lapses-differ",
            "tokens-differ",
            "turnout-differs",
            "battery-higher-at-count",
            "vote-too-soon",
            "interval-run-repeated",
            "last-digit-uneven",
            "coarse-clock",
        ],
    ),
];

/// The number of the issue that brings a rule, where it was not among the first.
#[must_use]
pub fn brought_by(rule: &str) -> Option<u8> {
    BRINGS.iter().find(|(_, rules)| rules.contains(&rule)).map(|(issue, _)| *issue)
}

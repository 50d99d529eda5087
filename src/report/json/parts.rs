//! Parts of the JSON report: the questions asked, the measurements of pace, the share of the hours, sums.

use schemars::JsonSchema;
use serde::Serialize;

/// A question, and what the answers of its rules say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct QuestionOf {
    /// Its number or letter.
    pub number: Option<String>,
    /// The question.
    pub text: String,
    /// Who asks.
    pub asked: String,
    /// Ids of the rules that bear on it.
    pub rules: Vec<String>,
    /// What their answers say, in one paragraph.
    pub paragraph: String,
    /// Numbers of the lines that the paragraph names.
    pub lines: Vec<usize>,
    /// What is left open.
    pub left_open: Vec<String>,
    /// What would settle it, and who holds it.
    pub would_settle: Vec<String>,
}

/// Measurements of the pace of votes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PaceOf {
    /// What must be read before them.
    pub introduction: String,
    /// Why the pace is not tested.
    pub not_tested: String,
    /// Which votes were measured.
    pub subject: String,
    /// The measurements; empty where fewer than two votes can be measured.
    pub groups: Vec<PaceGroup>,
}

/// Measurements of one kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PaceGroup {
    /// What was measured.
    pub about: String,
    /// One entry each.
    pub measured: Vec<PaceRow>,
}

/// One measurement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PaceRow {
    /// It in words.
    pub text: String,
    /// The number of votes or intervals, or the length in milliseconds; of a spread, the middle length; null where it is no
    /// single number.
    pub value: Option<i64>,
    /// Numbers of the lines that it rests on.
    pub lines: Vec<usize>,
}

/// An ordinary explanation of a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ExplanationOf {
    /// The explanation.
    pub account: String,
    /// What decides whether it holds.
    pub decided_by: String,
    /// What in the record speaks against it, and what that rests on; null where nothing in the record does.
    pub against: Option<String>,
}

/// For how much of the stated hours of a poll the log can speak.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PollHours {
    /// The day, where the case file states one.
    pub date: Option<String>,
    /// The hours in all, in seconds; null where the share cannot be told.
    pub hours_s: Option<i64>,
    /// At least so many seconds of them.
    pub least_s: Option<i64>,
    /// At most so many.
    pub most_s: Option<i64>,
    /// Why the share cannot be told.
    pub cannot_be_told: Option<String>,
}

/// A sum behind numbers that do not agree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SumOf {
    /// It in plain words.
    pub text: String,
    /// Numbers of the lines that it names.
    pub lines: Vec<usize>,
}

//! The report as JSON, for other programs: the same statements as on the terminal, with one schema printed from the types.

mod day;
mod fill;
mod least;
mod ledger;
mod parts;

use schemars::JsonSchema;
use serde::Serialize;

pub use parts::{ExplanationOf, PaceGroup, PaceOf, PaceRow, PollHours, QuestionOf, SumOf};

use crate::examination::Examination;
use crate::report::Frame;

pub use day::{DayOf, EndOf, FromTo, HalfHour};
pub use least::{ConflictOf, EditOf, LeastOf, PartOf};

/// The whole report of one run of the command.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(title = "Report of logassay")]
pub struct Report {
    /// The tool that made the report.
    pub tool: Tool,
    /// Present in a demonstration only: the sentence that no evidence was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demonstration: Option<String>,
    /// The command that repeats the run.
    pub command: String,
    /// What else is needed to make the same bytes again.
    pub reproduction: Reproduction,
    /// The case file that was read.
    pub case_file: Option<PaperFile>,
    /// The mapping by which a table or printout of another program was read.
    pub mapping_file: Option<PaperFile>,
    /// One entry per log of the source, in the order of the source.
    pub examinations: Vec<Examined>,
    /// What this version does not examine.
    pub not_examined: Vec<String>,
    /// What every reader must know.
    pub cautions: Vec<String>,
    /// The exit code of the command and its meaning.
    pub exit: Exit,
}

/// The tool.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Tool {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
}

/// What is needed besides the command to make the same report again, to the byte.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Reproduction {
    /// SHA-256 over all that is said about all rules.
    pub rule_book_sha256: String,
    /// Number of rules.
    pub rules: usize,
    /// SHA-256 of the unit description's text.
    pub unit_description_sha256: String,
    /// SHA-256 over the settings that the case file makes.
    pub settings_sha256: String,
    /// These settings, each with its origin.
    pub settings: Vec<SettingOf>,
    /// Data on time zones.
    pub zone_data: String,
    /// Files of fonts with which the document beside this report is set; none for any other report.
    pub fonts: Vec<PaperFile>,
    /// Date of the report, as stated; never that of a clock.
    pub date: Option<String>,
}

/// A setting that the case file makes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SettingOf {
    /// What it is about.
    pub about: String,
    /// What is set.
    pub text: String,
    /// Who set it, and where it is written.
    pub origin: String,
}

/// A paper that was read beside the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PaperFile {
    /// Its name as given.
    pub name: String,
    /// Number of bytes.
    pub bytes: usize,
    /// SHA-256, 64 lower-case hexadecimal digits.
    pub sha256: String,
}

/// An exit code.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Exit {
    /// The code.
    pub code: u8,
    /// What it means.
    pub meaning: String,
}

/// The examination of one log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Examined {
    /// The evidence.
    pub source: SourceOf,
    /// The unit description under which every answer holds.
    pub unit_description: Description,
    /// The matter as the case file names it: label and text.
    pub matter: Vec<Labelled>,
    /// How far the log speaks.
    pub coverage: CoverageOf,
    /// The days for which the case file states a poll, each on a line, under the first version of contested facts.
    pub days: Vec<DayOf>,
    /// The questions asked, each with what the answers of its rules say.
    pub questions: Vec<QuestionOf>,
    /// Every rule's answer, in the order of the rules.
    pub answers: Vec<AnswerOf>,
    /// Every finding.
    pub findings: Vec<FindingOf>,
    /// The least that must be assumed for these records to be what such a unit could have written.
    pub least: LeastOf,
    /// The numbers side by side, once for each version of the contested facts that gives another.
    pub ledgers: Vec<ledger::LedgerOf>,
    /// The sums behind numbers that do not agree, each in plain words.
    pub sums: Vec<SumOf>,
    /// Measurements of the pace of votes, without answer and without probability.
    pub pace: PaceOf,
    /// What to ask for, sorted by addressee.
    pub asks: Vec<AskOf>,
    /// The versions of contested facts that were examined, each in words; empty when nothing is contested.
    pub versions: Vec<String>,
    /// Whether there were more versions than these.
    pub versions_cut: bool,
    /// What the case file states.
    pub stated: Vec<StatementOf>,
    /// The log's comments.
    pub comments: Vec<LineOf>,
    /// Text that does not have the form of the format; the first thousand places.
    pub faults: Vec<FaultOf>,
    /// Number of such places in all.
    pub faults_in_all: usize,
    /// Words that the vocabulary or the format does not know.
    pub unknown_words: Vec<UnknownOf>,
}

/// The evidence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SourceOf {
    /// Its name as given.
    pub name: String,
    /// Number of bytes; null where something in the file is covered, which could be found by trying with it.
    pub bytes: Option<usize>,
    /// SHA-256, 64 lower-case hexadecimal digits; null for the same reason.
    pub sha256: Option<String>,
    /// How the file was read, where its format is not the neutral one.
    pub read_as: Option<String>,
    /// Number of this log's first line in the file, from 1.
    pub first_line: usize,
    /// Number of lines read.
    pub lines: usize,
    /// The header lines, in the order of the file.
    pub headers: Vec<Labelled>,
}

/// A label and a text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Labelled {
    /// What it is about.
    pub about: String,
    /// What is said.
    pub text: String,
}

/// The unit description.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Description {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of its text.
    pub sha256: String,
    /// The file it was read from; `null` for the description that is part of the program.
    pub file: Option<PaperFile>,
}

/// How far a log speaks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CoverageOf {
    /// First displayed time, in the order of replay.
    pub first_time: Option<String>,
    /// Last displayed time, in the order of replay.
    pub last_time: Option<String>,
    /// First record number, in the order of replay; a text, because numbers may have 19 digits.
    pub first_number: Option<String>,
    /// Last record number, in the order of replay.
    pub last_number: Option<String>,
    /// Records that the unit keeps; a text likewise.
    pub keeps: String,
    /// Whether nothing can have been recorded before the first record.
    pub front_closed: bool,
    /// Whether nothing can have been recorded after the last record.
    pub back_closed: bool,
    /// Vote records in the log.
    pub votes: usize,
    /// Lines of each kind.
    pub lines: LineCounts,
    /// For how much of the stated hours of each poll the log can speak.
    pub poll_hours: Vec<PollHours>,
    /// The same in words.
    pub in_words: Vec<Labelled>,
}

/// Lines of each kind; the counts add up to the lines read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "each member is named after the kind of line that it counts")]
pub struct LineCounts {
    pub blank: usize,
    pub comment: usize,
    pub heading: usize,
    pub header: usize,
    pub record: usize,
    pub closing: usize,
    pub unread: usize,
    /// Lines past the limit: hashed and counted, not read.
    pub not_read: usize,
}

/// A rule's answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AnswerOf {
    /// The rule's id.
    pub rule: String,
    /// The rule's family.
    pub family: String,
    /// What the rule asks of the record.
    pub asks: String,
    /// `not kept`, `kept`, `cannot be told` or `does not apply`.
    pub answer: String,
    /// Occasions in order.
    pub in_order: usize,
    /// Occasions contrary.
    pub contrary: usize,
    /// Occasions that stay open.
    pub open: usize,
    /// How far the answer reaches.
    pub extent: String,
    /// Why it cannot be told or does not apply; where it is not kept, why some occasions stay open beside.
    pub why: Vec<String>,
    /// Lines of the open occasions: of all, or of the first thousand.
    pub open_at: Vec<usize>,
    /// Where contested facts change the answer: the version and the answer under it.
    pub versions: Vec<VersionAnswer>,
    /// The rule's measured error rate.
    pub error_rate: String,
}

/// The answer under one version of contested facts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct VersionAnswer {
    /// The version in words.
    pub version: String,
    /// The answer.
    pub answer: String,
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FindingOf {
    /// Its number in the report, from 1.
    pub number: usize,
    /// The rule's id.
    pub rule: String,
    /// What stands in the record.
    pub title: String,
    /// `contradiction`, `shown` or `conditional`.
    pub kind: String,
    /// What the kind means.
    pub kind_means: String,
    /// `departure`, `discrepancy`, `unusual` or `remark`.
    pub weight: String,
    /// What was expected.
    pub expected: String,
    /// What the record shows.
    pub shows: String,
    /// The measured quantity with its margin.
    pub measured: Option<String>,
    /// What it rests on besides the records.
    pub assumptions: Vec<String>,
    /// The line that it is about, and those that show it too.
    pub lines: Vec<LineOf>,
    /// The conflict that it rests on, by its number in `least`; findings with the same number belong together.
    pub group: Option<usize>,
    /// What the rule rests on, strongest first.
    pub basis: Vec<Labelled>,
    /// Ordinary explanations that stay open. Others may exist.
    pub ordinary: Vec<ExplanationOf>,
    /// What to examine next.
    pub look_next: Vec<String>,
}

/// A line of the log as a report may show it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LineOf {
    /// Its number in the file, from 1.
    pub line: usize,
    /// `main` or `also` on a finding; the kind of line elsewhere.
    pub role: String,
    /// The record's number as written.
    pub record: Option<String>,
    /// The record's time as displayed.
    pub time: Option<String>,
    /// Its text, with what secrecy covers replaced.
    pub text: String,
}

/// Something to ask for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AskOf {
    /// Who holds it, by office.
    pub of: String,
    /// What is asked for.
    pub what: String,
    /// Ids of the rules that it serves.
    pub serves: Vec<String>,
}

/// A statement of the case file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StatementOf {
    /// What it is about.
    pub about: String,
    /// What is stated.
    pub text: String,
    /// Who asserts it, and where it is written.
    pub basis: String,
    /// Line of the case file.
    pub line: usize,
    /// Whether this version of the tool uses it.
    pub used: bool,
}

/// Text that does not have the form of the format.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FaultOf {
    /// Number of the line in the file.
    pub line: usize,
    /// The fault's code.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// The right form.
    pub right_form: String,
}

/// A word that is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct UnknownOf {
    /// `header`, `event` or `attribute`.
    pub what: String,
    /// The word.
    pub word: String,
    /// How often it stands in the log.
    pub times: usize,
    /// Number of the first line that has it.
    pub first_line: usize,
}

/// The report as JSON text, with a line end.
#[must_use]
pub fn report(examinations: &[Examination<'_>], frame: &Frame) -> String {
    text(&value(examinations, frame))
}

/// The report as a value, for other forms that say the same.
pub(crate) fn value(examinations: &[Examination<'_>], frame: &Frame) -> Report {
    fill::report(examinations, frame)
}

/// Any serialisable value as indented JSON with a line end.
pub(crate) fn text<T: Serialize>(value: &T) -> String {
    // These types hold only texts, numbers, lists and structs, which always serialise.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

/// `grammar/report.schema.json`: the JSON schema of the report, printed from the types.
#[must_use]
pub fn schema() -> String {
    text(&schemars::schema_for!(Report))
}

//! The report as SARIF 2.1.0 (OASIS, errata 01), for programs that gather results of many tools.
//!
//! What is not kept is `fail` where it follows from the record alone, `review` where it rests on an assumption or may be
//! lawful, `informational` where it is a remark; what cannot be told is `open`, what is kept `pass`, what has no subject
//! `notApplicable`. A level other than `none` stands on `fail` only (3.27.10).

mod fill;

use std::collections::BTreeMap;

use serde::Serialize;

use crate::examination::Examination;
use crate::report::{Frame, json};

/// The report of one run as a SARIF log, with a line end.
#[must_use]
pub fn report(examinations: &[Examination<'_>], frame: &Frame) -> String {
    json::text(&Sarif {
        schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        version: "2.1.0",
        runs: [fill::run(examinations, frame)],
    })
}

#[derive(Serialize)]
struct Sarif {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run {
    tool: Tool,
    invocations: [Invocation; 1],
    original_uri_base_ids: BTreeMap<&'static str, Base>,
    artifacts: Vec<Artifact>,
    column_kind: &'static str,
    results: Vec<SarifResult>,
    properties: RunProperties,
}

#[derive(Serialize)]
struct Tool {
    driver: Driver,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Driver {
    name: &'static str,
    version: &'static str,
    semantic_version: &'static str,
    rules: Vec<Descriptor>,
}

/// A rule (3.49).
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Descriptor {
    id: &'static str,
    short_description: Message,
    full_description: Message,
    help: Message,
    properties: RuleProperties,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct RuleProperties {
    family: &'static str,
    basis: Vec<json::Labelled>,
    ordinary: Vec<OrdinaryOf>,
    look_next: Vec<&'static str>,
    error_rate: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Invocation {
    command_line: String,
    execution_successful: bool,
    exit_code: u8,
    exit_code_description: String,
    tool_execution_notifications: Vec<Notification>,
}

#[derive(Serialize)]
struct Notification {
    level: Level,
    message: Message,
}

/// What a relative address is relative to; where that lies on some machine is not said.
#[derive(Serialize)]
struct Base {
    description: Message,
}

#[derive(Serialize)]
struct Artifact {
    location: ArtifactLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<usize>,
    roles: Vec<&'static str>,
    /// By the names of the IANA registry (3.24.11): `sha-256`.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    hashes: BTreeMap<&'static str, String>,
}

#[derive(Serialize, Clone)]
#[serde(rename_all = "camelCase")]
struct ArtifactLocation {
    uri: String,
    uri_base_id: &'static str,
    index: usize,
}

/// A plain text. Braces are doubled (3.11.5), and no text makes a link (3.11.6, from memory).
#[derive(Serialize, Clone)]
struct Message {
    text: String,
}

impl Message {
    fn of(text: &str) -> Message {
        Message { text: text.replace('{', "{{").replace('}', "}}").replace("](", "] (") }
    }
}

/// What a result says (3.27.9).
#[derive(Debug, Serialize, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "camelCase")]
enum ResultKind {
    Fail,
    Review,
    Open,
    Pass,
    NotApplicable,
    Informational,
}

/// How grave a result or a notification is (3.27.10).
#[derive(Debug, Serialize, Clone, Copy, PartialEq, Eq)]
#[serde(rename_all = "camelCase")]
enum Level {
    Error,
    Warning,
    Note,
    None,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct SarifResult {
    rule_id: &'static str,
    rule_index: usize,
    kind: ResultKind,
    level: Level,
    message: Message,
    locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    partial_fingerprints: BTreeMap<&'static str, String>,
    properties: ResultProperties,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<usize>,
    #[serde(rename = "physicalLocation")]
    physical: PhysicalLocation,
    #[serde(rename = "logicalLocations")]
    logical: [LogicalLocation; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct PhysicalLocation {
    artifact_location: ArtifactLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    region: Option<Region>,
}

/// An ordinary explanation of a rule's findings.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct OrdinaryOf {
    account: &'static str,
    decided_by: &'static str,
}

/// One line. Its columns are left out where they would tell how long a covered text is.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_column: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    end_line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    end_column: Option<usize>,
    snippet: Snippet,
}

#[derive(Serialize)]
struct Snippet {
    text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct LogicalLocation {
    fully_qualified_name: String,
    kind: &'static str,
}

/// Either that of a finding or that of an answer.
#[derive(Serialize)]
#[serde(untagged)]
enum ResultProperties {
    Finding(Box<FindingProperties>),
    Answer(AnswerProperties),
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct FindingProperties {
    finding: usize,
    how_it_follows: &'static str,
    weight: &'static str,
    expected: String,
    shows: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    measured: Option<String>,
    assumptions: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    group: Option<usize>,
    /// Ordinary explanations of the rule that the record speaks against here.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    against: Vec<SpokenOf>,
}

/// An explanation, and what in the record speaks against it.
#[derive(Serialize)]
struct SpokenOf {
    account: &'static str,
    says: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct AnswerProperties {
    answer: &'static str,
    extent: String,
    in_order: usize,
    contrary: usize,
    open: usize,
    why: Vec<String>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct RunProperties {
    #[serde(skip_serializing_if = "Option::is_none")]
    demonstration: Option<String>,
    reproduction: json::Reproduction,
    logs: Vec<LogProperties>,
}

/// Of each log, what its results hold under.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct LogProperties {
    log: String,
    unit_description: json::Description,
    matter: Vec<json::Labelled>,
    coverage: Vec<json::Labelled>,
    requests: Vec<json::AskOf>,
}

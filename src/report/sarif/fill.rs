//! Fills the SARIF log from examinations.

use std::collections::BTreeMap;

use super::{
    AnswerProperties, Artifact, ArtifactLocation, Base, Descriptor, Driver, FindingProperties, Invocation,
    Level, Location, LogProperties, LogicalLocation, Message, Notification, OrdinaryOf, PhysicalLocation,
    Region, ResultKind, ResultProperties, RuleProperties, Run, RunProperties, SarifResult, Snippet, SpokenOf,
    Tool,
};
use crate::examination::Examination;
use crate::finding::{Answer, Finding, Kind, Place, Verdict, Weight};
use crate::report::evidence::number_and_time;
use crate::report::json::{self, Labelled, PaperFile, Report};
use crate::report::rehearsed;
use crate::report::{Frame, OPEN_SHOWN, TOOL, VERSION, terminal, titled};
use crate::rules::{RULES, Rule};
use crate::source::Digest;

/// The name of the folder that addresses are relative to.
const BASE: &str = "FOLDER";

/// The one run.
pub(super) fn run(examinations: &[Examination<'_>], frame: &Frame) -> Run {
    let Report {
        demonstration,
        command,
        reproduction,
        case_file,
        mapping_file,
        examinations: told,
        not_examined,
        cautions,
        exit,
        ..
    } = json::value(examinations, frame);
    let mut artifacts: Vec<Artifact> = Vec::new();
    if let Some(first) = told.first() {
        let source = &first.source;
        artifacts.push(artifact(
            0,
            &source.name,
            source.bytes,
            source.sha256.as_deref(),
            &["analysisTarget"],
        ));
        let unit_file = first.unit_description.file.as_ref();
        let papers = case_file.iter().chain(&mapping_file).chain(unit_file).chain(&reproduction.fonts);
        for PaperFile { name, bytes, sha256 } in papers {
            let roles = ["userSpecifiedConfiguration"];
            artifacts.push(artifact(artifacts.len(), name, Some(*bytes), Some(sha256), &roles));
        }
    }
    let places = artifacts.first().map(|artifact| artifact.location.clone());
    let mut results = Vec::new();
    let mut logs = Vec::new();
    for (at, (examination, told)) in examinations.iter().zip(told).enumerate() {
        let serial = examination.log.header("serial");
        let log = serial.map_or_else(|| format!("log {}", at + 1), |serial| serial.shown().to_string());
        if let Some(artifact) = &places {
            let named = examination.log.naming_digest(&examination.secrecy);
            let here = Here { examination, log: &log, artifact, named };
            for (rule_index, (rule, answer)) in RULES.iter().zip(&examination.answers).enumerate() {
                let numbered = examination.findings.iter().enumerate();
                let of_rule = numbered.filter(|(_, finding)| finding.rule == rule.id);
                results.extend(of_rule.map(|(at, finding)| here.finding(rule_index, rule, at, finding)));
                results.extend(here.answer(rule_index, rule, answer));
            }
        }
        logs.push(LogProperties {
            log,
            unit_description: told.unit_description,
            matter: told.matter,
            coverage: told.coverage.in_words,
            requests: told.asks,
        });
    }
    let notes = demonstration.iter().chain(&not_examined).chain(&cautions);
    Run {
        tool: Tool {
            driver: Driver {
                name: TOOL,
                version: VERSION,
                semantic_version: VERSION,
                rules: RULES.iter().map(|rule| descriptor(rule)).collect(),
            },
        },
        invocations: [Invocation {
            command_line: command,
            execution_successful: true,
            exit_code: exit.code,
            exit_code_description: exit.meaning,
            tool_execution_notifications: notes
                .map(|text| Notification { level: Level::Note, message: Message::of(text) })
                .collect(),
        }],
        original_uri_base_ids: BTreeMap::from([(
            BASE,
            Base { description: Message::of("The folder in which the command is run again.") },
        )]),
        artifacts,
        column_kind: "unicodeCodePoints",
        results,
        properties: RunProperties { demonstration, reproduction, logs },
    }
}

fn artifact(
    index: usize,
    name: &str,
    length: Option<usize>,
    sha256: Option<&str>,
    roles: &[&'static str],
) -> Artifact {
    Artifact {
        location: ArtifactLocation { uri: address(name), uri_base_id: BASE, index },
        length,
        roles: roles.to_vec(),
        hashes: sha256.map(|sha256| ("sha-256", sha256.to_owned())).into_iter().collect(),
    }
}

/// A file's name as a relative address (RFC 3986, 4.2): whatever may stand for something else is spelled by its bytes,
/// and of a name given whole only its last part is taken.
fn address(name: &str) -> String {
    let name = if name.starts_with('/') { name.rsplit('/').next().unwrap_or_default() } else { name };
    let mut out = String::with_capacity(name.len());
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    // Two slashes at the begin would name a machine.
    if out.is_empty() || out.starts_with('/') { format!("./{}", out.trim_start_matches('/')) } else { out }
}

fn descriptor(rule: &Rule) -> Descriptor {
    let labelled = |(label, text): (&str, &str)| Labelled { about: label.to_owned(), text: text.to_owned() };
    let ordinary = rule.ordinary.iter().map(|ordinary| {
        format!(" An ordinary explanation: {} What decides it: {}.", ordinary.account, ordinary.decided_by)
    });
    let next = rule.look_next.iter().map(|next| format!(" To examine next: {next}"));
    let help: String = std::iter::once(rule.why.to_owned()).chain(ordinary).chain(next).collect();
    Descriptor {
        id: rule.id,
        short_description: Message::of(rule.title),
        full_description: Message::of(rule.asks),
        help: Message::of(&help),
        properties: RuleProperties {
            family: rule.family.word(),
            basis: rule.basis.iter().map(|basis| labelled(terminal::basis_words(*basis))).collect(),
            ordinary: rule
                .ordinary
                .iter()
                .map(|ordinary| OrdinaryOf { account: ordinary.account, decided_by: ordinary.decided_by })
                .collect(),
            look_next: rule.look_next.to_vec(),
            error_rate: rehearsed::in_short(),
        },
    }
}

/// How a finding stands in SARIF.
fn standing(finding: &Finding) -> (ResultKind, Level) {
    match (finding.weight, finding.kind) {
        (Weight::Remark, _) => (ResultKind::Informational, Level::None),
        (Weight::Unusual, _) | (_, Kind::Conditional) => (ResultKind::Review, Level::None),
        (Weight::Departure | Weight::Discrepancy, Kind::Contradiction) => (ResultKind::Fail, Level::Error),
        (Weight::Departure | Weight::Discrepancy, Kind::Shown) => (ResultKind::Fail, Level::Warning),
    }
}

/// One log among the results.
struct Here<'a> {
    examination: &'a Examination<'a>,
    log: &'a str,
    artifact: &'a ArtifactLocation,
    /// What names the log in the fingerprints, worked out once for all of them.
    named: Digest,
}

impl Here<'_> {
    fn finding(&self, rule_index: usize, rule: &'static Rule, at: usize, finding: &Finding) -> SarifResult {
        let (kind, level) = standing(finding);
        let mut text = format!("{} {}", titled(finding), finding.shows);
        if !finding.assumptions.is_empty() {
            let assumed: Vec<&str> = finding.assumptions.iter().map(|assumed| assumed.0.as_str()).collect();
            text.push_str(&format!(" This follows only if: {}.", assumed.join("; ")));
        }
        text.push_str(" Ordinary explanations stay open; the rule's help names them.");
        let related = finding.others.iter().enumerate();
        SarifResult {
            rule_id: rule.id,
            rule_index,
            kind,
            level,
            message: Message::of(&text),
            locations: vec![self.location(None, finding.main)],
            related_locations: related.map(|(id, place)| self.location(Some(id + 1), *place)).collect(),
            partial_fingerprints: BTreeMap::from([("place/v1", self.fingerprint(finding))]),
            properties: ResultProperties::Finding(Box::new(FindingProperties {
                finding: at + 1,
                how_it_follows: finding.kind.word(),
                weight: finding.weight.word(),
                expected: finding.expected.clone(),
                shows: finding.shows.clone(),
                measured: finding.measured.clone(),
                assumptions: finding.assumptions.iter().map(|assumed| assumed.0.clone()).collect(),
                group: finding.group,
                against: finding
                    .against
                    .iter()
                    .map(|against| SpokenOf { account: against.account, says: against.says.clone() })
                    .collect(),
            })),
        }
    }

    /// The answer of a rule; what is not kept is said by its findings.
    fn answer(&self, rule_index: usize, rule: &'static Rule, answer: &Answer) -> Option<SarifResult> {
        let kind = match answer.verdict {
            Verdict::NotKept => return None,
            Verdict::Kept => ResultKind::Pass,
            Verdict::CannotBeTold => ResultKind::Open,
            Verdict::DoesNotApply => ResultKind::NotApplicable,
        };
        let mut text = format!("{} The answer: {}.", rule.asks, answer.verdict.words());
        for why in &answer.why {
            text.push_str(&format!(" Why: {why}."));
        }
        if !answer.extent.is_empty() {
            text.push_str(&format!(" How far it reaches: {}.", answer.extent.trim_end_matches('.')));
        }
        let places = if answer.open_at.is_empty() { &[Place::Log][..] } else { &answer.open_at };
        Some(SarifResult {
            rule_id: rule.id,
            rule_index,
            kind,
            level: Level::None,
            message: Message::of(&text),
            locations: places.iter().take(OPEN_SHOWN).map(|place| self.location(None, *place)).collect(),
            related_locations: Vec::new(),
            partial_fingerprints: BTreeMap::new(),
            properties: ResultProperties::Answer(AnswerProperties {
                answer: answer.verdict.words(),
                extent: answer.extent.clone(),
                in_order: answer.in_order,
                contrary: answer.contrary,
                open: answer.open,
                why: answer.why.clone(),
            }),
        })
    }

    fn location(&self, id: Option<usize>, place: Place) -> Location {
        let log = self.examination.log;
        let (region, name, kind) = match place {
            Place::Log => (None, self.log.to_owned(), "log"),
            Place::Line(line) => {
                let (number, _) = number_and_time(self.examination, line);
                let start_line = log.line_number(line);
                let columns = log.columns(line, &self.examination.secrecy);
                let region = Region {
                    start_line,
                    start_column: columns.map(|_| 1),
                    end_line: columns.map(|_| start_line),
                    end_column: columns.map(|columns| columns + 1),
                    snippet: Snippet { text: log.quote(line, &self.examination.secrecy).to_string() },
                };
                match number {
                    Some(number) => (Some(region), format!("{}/record {number}", self.log), "record"),
                    None => (Some(region), format!("{}/line {start_line}", self.log), "line"),
                }
            }
        };
        Location {
            id,
            physical: PhysicalLocation { artifact_location: self.artifact.clone(), region },
            logical: [LogicalLocation { fully_qualified_name: name, kind }],
        }
    }

    /// Names a finding by its rule and its place in the file, and by nothing that the lines say.
    fn fingerprint(&self, finding: &Finding) -> String {
        let log = self.examination.log;
        let line = match finding.main {
            Place::Line(line) => log.line_number(line),
            Place::Log => 0,
        };
        let named = self.named;
        Digest::of(format!("{named}\n{}\n{line}\n", finding.rule).as_bytes()).to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_becomes_a_relative_address_and_nothing_else() {
        for (name, expected) in [
            ("unit.log", "unit.log"),
            ("../a b.log", "../a%20b.log"),
            ("/home/someone/unit.log", "unit.log"),
            ("http://x/y", "http%3A//x/y"),
            ("//machine/x", "x"),
            ("javascript:alert(1)", "javascript%3Aalert%281%29"),
            ("\\u{1b}[2J?#", "%5Cu%7B1b%7D%5B2J%3F%23"),
            ("\u{e4}", "%C3%A4"),
            ("", "./"),
        ] {
            assert_eq!(address(name), expected);
        }
    }

    #[test]
    fn a_text_makes_no_placeholder_and_no_link() {
        assert_eq!(Message::of("{0} [a](javascript:b) \\u{1b}").text, "{{0}} [a] (javascript:b) \\u{{1b}}");
    }
}

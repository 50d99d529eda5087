//! The examples that stand in the rules: every rule runs on each, and exactly the marked findings may appear.

use std::collections::BTreeSet;
use std::sync::Arc;

use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Finding, Kind, Place};
use logassay::rules::{Example, RULES};
use logassay::source::{Digest, Source};
use logassay::syntax::{self, Log};
use logassay::unit::UnitDescription;

/// The heading that an example gets when it has none.
const HEADING: &str = "unit-event-log 1";

/// An example's log as a text that can be read, and its marks: line of the text (from 1), rule.
pub(crate) struct Prepared {
    pub text: String,
    pub marks: BTreeSet<(usize, String)>,
}

/// Takes the marks out of an example, gives it a heading and makes its closing line right.
pub(crate) fn prepare(log: &str) -> Prepared {
    let mut lines: Vec<String> = Vec::new();
    let mut marks = BTreeSet::new();
    if !log.starts_with(HEADING) {
        lines.push(HEADING.to_owned());
    }
    for line in log.lines() {
        if let Some(rule) = line.strip_prefix("^ ") {
            assert!(marks.insert((lines.len(), rule.to_owned())), "mark {rule} stands twice");
        } else if line == "$close" {
            lines.push(closing(&lines));
        } else {
            lines.push(line.to_owned());
        }
    }
    Prepared { text: lines.join("\n") + "\n", marks }
}

/// The closing line for these lines: records and unread lines are counted and hashed, each with LF.
pub(crate) fn closing(lines: &[String]) -> String {
    let body: Vec<&String> = lines.iter().filter(|line| is_body(line)).collect();
    let bytes: String = body.iter().map(|line| format!("{line}\n")).collect();
    format!("end {} sha256:{}", body.len(), Digest::of(bytes.as_bytes()))
}

fn is_body(line: &str) -> bool {
    let header = line
        .split_once(": ")
        .is_some_and(|(key, _)| key.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'));
    !(line.is_empty() || line.starts_with(';') || line == HEADING || header)
}

/// The one log of a text.
pub(crate) fn read(text: &str) -> Log {
    let mut logs = syntax::read(Arc::new(Source::new("example.log", text.as_bytes().to_vec())));
    assert_eq!(logs.len(), 1, "{text}");
    logs.remove(0)
}

/// The case of a text.
pub(crate) fn case(text: &str) -> Case {
    match Case::read("example.case.toml", text) {
        Ok(file) => file.case,
        Err(troubles) => panic!("{text}\n{troubles:?}"),
    }
}

/// Which line a finding is about, and which rule it is of.
pub(crate) fn mark(log: &Log, finding: &Finding) -> (usize, String) {
    let line = match finding.main {
        Place::Line(line) => log.line_number(line),
        Place::Log => 0,
    };
    (line, finding.rule.to_owned())
}

/// Every example with the rule that it stands in.
pub(crate) fn all() -> impl Iterator<Item = (&'static str, &'static Example)> {
    RULES.iter().flat_map(|rule| rule.examples.iter().map(move |example| (rule.id, example)))
}

#[test]
fn every_example_gives_exactly_the_findings_that_are_marked() {
    let unit = UnitDescription::kestrane();
    let mut wrong = String::new();
    for (rule, example) in all() {
        let prepared = prepare(example.log);
        let log = read(&prepared.text);
        let case = case(example.case);
        let examination = examine(&log, &case, &unit);
        let found: BTreeSet<(usize, String)> = examination.findings.iter().map(|f| mark(&log, f)).collect();
        if found != prepared.marks {
            wrong.push_str(&format!(
                "\n{rule}: {}\n{}marked {:?}\nfound  {found:?}\n",
                example.title, prepared.text, prepared.marks
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn findings_on_examples_are_whole_sentences_with_evidence() {
    let unit = UnitDescription::kestrane();
    for (rule, example) in all() {
        let log = read(&prepare(example.log).text);
        let case = case(example.case);
        for finding in examine(&log, &case, &unit).findings {
            let at = format!("{rule}: {}: {finding:?}", example.title);
            assert!(finding.expected.ends_with('.') && finding.shows.ends_with('.'), "{at}");
            assert!(
                !finding.shows.contains("a gap")
                    && !finding.shows.contains("..")
                    && !finding.shows.contains("  "),
                "{at}"
            );
            for sentence in finding.shows.split_inclusive(". ").chain([finding.expected.as_str()]) {
                // A date is two words more than a reader reads.
                assert!(sentence.split_whitespace().count() < 40, "{at}");
            }
            assert_eq!(finding.assumptions.is_empty(), finding.kind != Kind::Conditional, "{at}");
            let mut places = finding.others.clone();
            places.push(finding.main);
            for place in places {
                assert!(
                    matches!(place, Place::Log) || matches!(place, Place::Line(l) if l < log.lines().len()),
                    "{at}"
                );
            }
        }
    }
}

#[test]
fn marks_and_closing_lines_are_taken_as_they_are_written() {
    let prepared = prepare("1 - enable\n^ some-rule\n$close\n");
    assert_eq!(prepared.marks, BTreeSet::from([(2, "some-rule".to_owned())]));
    let log = read(&prepared.text);
    assert!(log.closing().is_some_and(syntax::Closing::is_intact), "{}", prepared.text);
}

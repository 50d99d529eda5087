//! The report as JSON: every report of the corpus is valid under its schema, and leaves nothing out.

use std::collections::BTreeSet;

use boon::{Compiler, SchemaIndex, Schemas};
use logassay::report::{EXIT_CODES, NO_EVIDENCE, exit_code, json};
use logassay::rules::RULES;
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use serde_json::Value;

use crate::pages::{corpus, frame};

fn parsed(examinations: &[Examination<'_>], demonstration: bool) -> Value {
    let text = json::report(examinations, &frame(demonstration));
    assert_eq!(
        text,
        json::report(examinations, &frame(demonstration)),
        "the same input gives the same bytes"
    );
    serde_json::from_str(&text).unwrap()
}

fn each(check: impl Fn(&str, &[Examination<'_>], &Value)) {
    let unit = UnitDescription::kestrane();
    for (name, logs, case) in corpus() {
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        check(&name, &examinations, &parsed(&examinations, name.starts_with("demonstration")));
    }
}

fn schema() -> (Schemas, SchemaIndex) {
    let mut schemas = Schemas::new();
    let mut compiler = Compiler::new();
    let value = serde_json::from_str(&json::schema()).unwrap();
    compiler.add_resource("report.json", value).unwrap();
    let index = compiler.compile("report.json", &mut schemas).unwrap();
    (schemas, index)
}

#[test]
fn every_report_is_valid_and_a_lesser_one_is_not() {
    let (schemas, index) = schema();
    each(|name, _, report| {
        if let Err(error) = schemas.validate(report, index) {
            panic!("{name}: {error:#}");
        }
        for key in ["tool", "command", "examinations", "not_examined", "cautions", "exit"] {
            let mut lesser = report.clone();
            assert!(lesser.as_object_mut().unwrap().remove(key).is_some(), "{name}: no {key}");
            assert!(schemas.validate(&lesser, index).is_err(), "{name} is valid without {key}");
        }
    });
}

#[test]
fn the_report_says_what_the_examination_says() {
    each(|name, examinations, report| {
        let code = exit_code(examinations);
        assert_eq!(report["exit"]["code"], code, "{name}");
        assert_eq!(report["exit"]["meaning"], EXIT_CODES[usize::from(code)].1, "{name}");
        assert_eq!(report.get("demonstration").is_some(), name.starts_with("demonstration"), "{name}");
        for (examination, entry) in examinations.iter().zip(report["examinations"].as_array().unwrap()) {
            let answers = entry["answers"].as_array().unwrap();
            assert_eq!(answers.len(), RULES.len(), "{name}");
            for (rule, answer) in RULES.iter().zip(answers) {
                assert_eq!(answer["rule"], rule.id, "{name}");
            }
            let findings = entry["findings"].as_array().unwrap();
            assert_eq!(findings.len(), examination.findings.len(), "{name}");
            for (finding, entry) in examination.findings.iter().zip(findings) {
                assert_eq!(entry["rule"], finding.rule, "{name}");
                assert!(!entry["ordinary"].as_array().unwrap().is_empty(), "{name}");
                assert!(!entry["basis"].as_array().unwrap().is_empty(), "{name}");
                for line in entry["lines"].as_array().unwrap() {
                    let index =
                        usize::try_from(line["line"].as_u64().unwrap()).unwrap() - examination.log.first_line;
                    let quoted = examination.log.quote(index, &examination.secrecy);
                    assert_eq!(line["text"], quoted.as_str(), "{name}");
                }
            }
            let lines = &entry["coverage"]["lines"];
            let sum: u64 = ["blank", "comment", "heading", "header", "record", "closing", "unread"]
                .iter()
                .map(|kind| lines[kind].as_u64().unwrap())
                .sum();
            assert_eq!(sum, entry["source"]["lines"], "{name}");
        }
    });
}

#[test]
fn equal_asks_are_merged_and_sorted() {
    each(|name, examinations, report| {
        for (examination, entry) in examinations.iter().zip(report["examinations"].as_array().unwrap()) {
            let asks: Vec<(&str, &str)> = entry["asks"]
                .as_array()
                .unwrap()
                .iter()
                .map(|ask| (ask["of"].as_str().unwrap(), ask["what"].as_str().unwrap()))
                .collect();
            assert!(asks.is_sorted(), "{name}");
            let single: BTreeSet<_> = asks.iter().copied().collect();
            assert_eq!(single.len(), asks.len(), "{name}");
            let needed: BTreeSet<(&str, &str)> = examination
                .answers
                .iter()
                .flat_map(|answer| answer.asks.iter().map(|ask| (ask.of, ask.what.as_str())))
                .collect();
            assert_eq!(single, needed, "{name}");
        }
    });
}

#[test]
fn a_demonstration_says_so_in_its_data() {
    each(|name, examinations, _| {
        let (with, without) = (parsed(examinations, true), parsed(examinations, false));
        assert_eq!(with["demonstration"], NO_EVIDENCE, "{name}");
        assert_eq!(without.get("demonstration"), None, "{name}");
    });
}

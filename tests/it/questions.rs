//! The court's questions: the set that comes with the tool, ids that no rule has, and paragraphs made from answers.

use std::collections::BTreeSet;

use logassay::case::Case;
use logassay::examine;
use logassay::finding::Verdict;
use logassay::report::{Layout, json, questions, terminal};
use logassay::rules::asked::{self, STANDARD};
use logassay::rules::{RULES, rule};
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::cli::run;
use crate::examples::read;
use crate::pages::{corpus, frame};

#[test]
fn every_rule_bears_on_a_question_of_the_set_and_every_id_is_one_of_a_rule() {
    for question in STANDARD {
        for id in question.rules {
            assert!(rule(id).is_some(), "{}: {id}", question.text);
        }
    }
    let asked = asked::standard();
    let named: BTreeSet<&str> = asked.iter().flat_map(|q| q.value.rules.iter().map(String::as_str)).collect();
    for rule in RULES {
        assert!(named.contains(rule.id), "no question of rules/asked.rs asks for {}", rule.id);
    }
    assert!(asked.iter().all(|question| !question.value.rules.is_empty()));
}

#[test]
fn the_set_is_printed_as_rows_that_a_case_file_takes() {
    let rows = questions::standard_rows();
    let file = Case::read("rows", &rows).unwrap();
    questions::check("rows", rows.as_bytes(), &file.case).unwrap();
    let values = |list: &[logassay::case::Stated<logassay::case::Question>]| -> Vec<_> {
        list.iter().map(|stated| stated.value.clone()).collect()
    };
    assert_eq!(values(&file.case.questions), values(&asked::standard()));
    let commented = questions::standard_rows_commented();
    assert!(commented.lines().all(|line| line.is_empty() || line.starts_with('#')));
    assert_eq!(run(&["rules", "--questions"]).0, rows);
}

#[test]
fn an_id_that_no_rule_has_is_an_error_with_its_place_and_near_ids() {
    let text = "[[question]]\ntext = \"Was the poll closed?\"\nrules = [\"no-close\", \"vote-after-closing\"]\n\
                source = \"Order, paragraph 3\"\nby = \"Court\"\n\n\
                [[setting]]\nrule = \"tow-enables\"\nclause = \"One at a time.\"\nsource = \"a\"\nby = \"b\"\n";
    let case = Case::read("x.toml", text).unwrap().case;
    let troubles = questions::check("x.toml", text.as_bytes(), &case).unwrap_err();
    let said: Vec<(String, String, String)> =
        troubles.iter().map(|t| (t.place(), t.message.to_string(), t.help.to_string())).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    assert_eq!(said[0].0, "x.toml:3:23");
    assert!(said[0].1.contains("vote-after-closing") && said[0].2.contains("vote-after-close"), "{said:?}");
    assert_eq!(said[1].0, "x.toml:8:9");
    assert!(said[1].2.contains("two-enables"), "{said:?}");
}

const CASE: &str = "[[question]]\nnumber = \"2\"\ntext = \"Was a vote recorded without a release?\"\n\
                    rules = [\"vote-without-enable\", \"two-enables\", \"no-close\"]\n\
                    source = \"Order, paragraph 3\"\nby = \"Court\"\n";

#[test]
fn a_question_is_answered_from_the_answers_of_its_rules_with_lines() {
    let log = read(
        "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote\n\
         1203 2031-05-10 07:01:03 vote\n",
    );
    let (case, unit) = (Case::read("case", CASE).unwrap().case, UnitDescription::kestrane());
    let examinations = [examine(&log, &case, &unit)];
    let report: Value = serde_json::from_str(&json::report(&examinations, &frame(false))).unwrap();
    let told = &report["examinations"][0]["questions"][0];
    assert_eq!(told["number"], "2");
    assert_eq!(told["rules"], serde_json::json!(["vote-without-enable", "two-enables", "no-close"]));
    assert_eq!(told["lines"], serde_json::json!([4]));
    let paragraph = told["paragraph"].as_str().unwrap();
    assert!(paragraph.starts_with("3 rules bear on it (not kept: 1, cannot be told: 2)."), "{paragraph}");
    assert!(paragraph.contains("(vote-without-enable: line 4, finding 1, contradiction)"), "{paragraph}");
    let open = told["left_open"].as_array().unwrap();
    assert!(open.iter().any(|text| text.as_str().unwrap().contains("no-close")), "{open:?}");
    // What contradicts each other is named by its lines.
    assert!(open.iter().any(|text| text.as_str().unwrap().contains("(on lines 3, 4)")), "{open:?}");
    assert!(!told["would_settle"].as_array().unwrap().is_empty());
    let page = terminal::report(&examinations, &frame(false), Layout::plain(100));
    let (identity, questions, answers) =
        (page.find("What is not examined"), page.find("The questions"), page.find("Answers, rule by rule"));
    assert!(identity < questions && questions < answers, "{page}");
}

#[test]
fn no_paragraph_says_more_than_the_answers() {
    let unit = UnitDescription::kestrane();
    for (name, logs, mut case) in corpus() {
        case.questions = asked::standard();
        for log in &logs {
            let examinations = [examine(log, &case, &unit)];
            let report: Value = serde_json::from_str(&json::report(&examinations, &frame(false))).unwrap();
            for told in report["examinations"][0]["questions"].as_array().unwrap() {
                let ids: Vec<&str> =
                    told["rules"].as_array().unwrap().iter().map(|id| id.as_str().unwrap()).collect();
                let answers: Vec<_> =
                    examinations[0].answers.iter().filter(|a| ids.contains(&a.rule)).collect();
                let paragraph = told["paragraph"].as_str().unwrap();
                let open = told["left_open"].to_string();
                for answer in answers {
                    let in_open = answer.verdict == Verdict::CannotBeTold;
                    assert!(
                        if in_open { &open } else { paragraph }.contains(answer.rule),
                        "{name}: {}",
                        answer.rule
                    );
                }
                let no_findings = ids.iter().all(|id| examinations[0].findings_of(id).next().is_none());
                assert_eq!(no_findings, !paragraph.contains("finding"), "{name}: {paragraph}");
            }
        }
    }
}

#[test]
fn the_standard_questions_are_answered_when_asked_for_and_none_is_asked_in_the_case_file() {
    let log = "corpus/demonstration/clean-life.log";
    assert!(!run(&["examine", log]).0.contains("The questions"));
    let page = run(&["examine", log, "--questions", "standard"]).0;
    assert!(
        page.contains("The questions") && page.contains("from the set of questions that comes with the tool"),
        "{page}"
    );
}

//! The list of rules as a whole: ids and files, texts, examples that fire and near misses, the table of deviations.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use logassay::examine;
use logassay::finding::Kind;
use logassay::replay::Reason;
use logassay::rules::{self, Basis, DEVIATIONS, Family, RULES, Rule};
use logassay::unit::UnitDescription;

use crate::examples;

/// Words that accuse. None may stand in any text of a rule, in any form of the word.
const ACCUSING: &[&str] = &[
    "fraud", "tamper", "manipulat", "rigged", "rigging", "suspicious", "suspect", "forge", "fake", "falsif", "cheat",
    "crime", "criminal", "guilt", "illegal", "stolen", "steal", "corrupt", "malicious", "hack", "dishonest",
];

const REASONS: &[Reason] = &[
    Reason::TwoEnables,
    Reason::VoteWithoutEnable,
    Reason::VoteAfterClose,
    Reason::EnableAfterClose,
    Reason::ResultBeforeClose,
    Reason::ClearBeforeResult,
    Reason::CandidatesSetWithVotes,
    Reason::EventWhileOff,
    Reason::NoLawfulCourse,
];

/// Fails to compile when a reason is added that the list above lacks.
fn place(reason: Reason) -> usize {
    match reason {
        Reason::TwoEnables => 0,
        Reason::VoteWithoutEnable => 1,
        Reason::VoteAfterClose => 2,
        Reason::EnableAfterClose => 3,
        Reason::ResultBeforeClose => 4,
        Reason::ClearBeforeResult => 5,
        Reason::CandidatesSetWithVotes => 6,
        Reason::EventWhileOff => 7,
        Reason::NoLawfulCourse => 8,
    }
}

fn basis(basis: &Basis) -> &'static str {
    match basis {
        Basis::Unit(text) | Basis::Format(text) | Basis::Practice(text) | Basis::Comparable(text) => text,
    }
}

/// Every text of a rule that a reader may meet.
fn texts(rule: &Rule) -> Vec<&'static str> {
    let mut texts = vec![rule.title, rule.asks, rule.why, rule.occasions];
    texts.extend(rule.basis.iter().map(basis));
    texts.extend(rule.ordinary.iter().flat_map(|o| [o.account, o.decided_by]));
    texts.extend(rule.look_next);
    texts.extend(rule.examples.iter().map(|e| e.title));
    texts
}

#[test]
fn ids_are_unique_and_are_the_names_of_the_files() {
    let mut files = BTreeSet::new();
    for family in [Family::Record, Family::Procedure] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules").join(family.word());
        for entry in std::fs::read_dir(&folder).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let stem = name.strip_suffix(".rs").unwrap().to_owned();
            let text = std::fs::read_to_string(folder.join(&name)).unwrap();
            // A room may hold files that are no rules; every file that has a rule is one.
            if text.contains("static RULE: Rule") {
                files.insert(format!("{}/{}", family.word(), stem.replace('_', "-")));
            }
        }
    }
    let ids: BTreeSet<String> = RULES.iter().map(|rule| format!("{}/{}", rule.family.word(), rule.id)).collect();
    assert_eq!(ids.len(), RULES.len(), "an id stands twice");
    assert_eq!(ids, files);
    for rule in RULES {
        assert!(std::ptr::eq(rules::rule(rule.id).unwrap(), *rule));
    }
}

#[test]
fn families_stand_together() {
    let families: Vec<Family> = RULES.iter().map(|rule| rule.family).collect();
    let mut runs = families.clone();
    runs.dedup();
    let distinct: BTreeSet<Family> = families.into_iter().collect();
    assert_eq!(runs.len(), distinct.len());
}

#[test]
fn every_rule_has_its_texts_in_plain_lengths() {
    for rule in RULES {
        let id = rule.id;
        assert!(!rule.basis.is_empty() && !rule.ordinary.is_empty() && !rule.look_next.is_empty(), "{id}");
        assert!(rule.title.len() < 100 && rule.title.ends_with('.'), "{id}: {}", rule.title.len());
        assert!(rule.asks.ends_with('.') && rule.why.ends_with('.'), "{id}");
        assert!(!rule.occasions.is_empty() && !rule.occasions.ends_with('.'), "{id}");
        for ordinary in rule.ordinary {
            assert!(ordinary.account.ends_with('.') && !ordinary.decided_by.is_empty(), "{id}: {}", ordinary.account);
        }
        for text in texts(rule) {
            for sentence in text.split_inclusive(". ") {
                assert!(sentence.split_whitespace().count() < 40, "{id}: {sentence}");
            }
            assert!(!text.contains("  "), "{id}: {text}");
        }
    }
}

#[test]
fn no_text_accuses() {
    let unit = UnitDescription::kestrane();
    let mut all: Vec<(String, String)> =
        RULES.iter().flat_map(|rule| texts(rule).into_iter().map(|t| (rule.id.to_owned(), t.to_owned()))).collect();
    for (rule, example) in examples::all() {
        let log = examples::read(&examples::prepare(example.log).text);
        let case = examples::case(example.case);
        let examination = examine(&log, &case, &unit);
        for finding in &examination.findings {
            all.push((rule.to_owned(), finding.shows.clone()));
            all.push((rule.to_owned(), finding.expected.clone()));
            all.extend(finding.assumptions.iter().map(|a| (rule.to_owned(), a.0.clone())));
        }
        for answer in &examination.answers {
            all.extend(answer.why.iter().map(|why| (answer.rule.to_owned(), why.clone())));
            all.extend(answer.asks.iter().map(|ask| (answer.rule.to_owned(), ask.what.clone())));
        }
    }
    for (rule, text) in all {
        let lower = text.to_lowercase();
        for word in ACCUSING {
            assert!(!lower.contains(word), "{rule}: {word}: {text}");
        }
    }
}

#[test]
fn every_rule_fires_on_an_example_of_its_own_and_has_a_near_miss() {
    for rule in RULES {
        let fires = |log: &str| examples::prepare(log).marks.iter().any(|(_, id)| id == rule.id);
        assert!(rule.examples.iter().any(|example| fires(example.log)), "{}: no example fires", rule.id);
        let near = rule.examples.iter().any(|example| !fires(example.log) && example.title.starts_with("Near miss"));
        assert!(near, "{}: no near miss", rule.id);
        for example in rule.examples {
            assert_eq!(fires(example.log), !example.title.starts_with("Near miss"), "{}: {}", rule.id, example.title);
        }
    }
}

#[test]
fn every_deviation_has_one_rule_and_it_exists() {
    let mut seen: BTreeMap<usize, &str> = BTreeMap::new();
    for (reason, id) in DEVIATIONS {
        let rule = rules::rule(id).unwrap();
        assert_eq!(rule.kind, Kind::Contradiction, "{id}");
        assert_eq!(seen.insert(place(*reason), id), None, "{reason:?} is mapped twice");
    }
    for (at, reason) in REASONS.iter().enumerate() {
        assert_eq!(place(*reason), at);
        assert!(seen.contains_key(&at), "{reason:?} is not mapped");
    }
}

#[test]
fn no_finding_is_stronger_than_its_rule_declares_and_each_strength_occurs() {
    let unit = UnitDescription::kestrane();
    let mut kinds = BTreeSet::new();
    for (_, example) in examples::all() {
        let log = examples::read(&examples::prepare(example.log).text);
        let case = examples::case(example.case);
        for finding in examine(&log, &case, &unit).findings {
            let rule = rules::rule(finding.rule).unwrap();
            assert!(finding.kind >= rule.kind, "{}", rule.id);
            assert_eq!(finding.weight, rule.weight);
            kinds.insert(finding.kind);
        }
    }
    assert_eq!(kinds.len(), 3, "{kinds:?}");
}

#[test]
fn no_procedure_rule_rests_on_a_comparable_requirement_alone() {
    for rule in RULES.iter().filter(|rule| rule.family == Family::Procedure) {
        assert!(rule.basis.iter().any(|basis| !matches!(basis, Basis::Comparable(_))), "{}", rule.id);
    }
}

//! The list of rules as a whole: ids and files, sentences, examples, words, and one rule for each kind of deviation.

use std::collections::BTreeSet;
use std::path::Path;

use logassay::examine;
use logassay::finding::Weight;
use logassay::replay::Reason;
use logassay::rules::{Basis, DEVIATIONS, Family, RULES, Rule, rule};
use logassay::unit::UnitDescription;

use crate::examples;

/// Words that accuse, or that claim to know what nobody can read from a log.
const ACCUSING: &[&str] = &[
    "fraud",
    "tamper",
    "manipulat",
    "rigg",
    "forge",
    "cheat",
    "steal",
    "stole",
    "crime",
    "criminal",
    "guilt",
    "illegal",
    "suspicious",
    "malicious",
    "probably",
    "likely",
    "abnormal",
    "proves",
];

/// Every text of a rule that a reader meets, with what it is.
fn texts(rule: &Rule) -> Vec<(&'static str, &'static str)> {
    let mut texts =
        vec![("title", rule.title), ("asks", rule.asks), ("why", rule.why), ("occasions", rule.occasions)];
    for basis in rule.basis {
        let (Basis::Unit(text) | Basis::Format(text) | Basis::Practice(text) | Basis::Comparable(text)) =
            basis;
        texts.push(("basis", text));
    }
    for ordinary in rule.ordinary {
        texts.push(("account", ordinary.account));
        texts.push(("decided by", ordinary.decided_by));
    }
    texts.extend(rule.look_next.iter().map(|text| ("look next", *text)));
    texts.extend(rule.examples.iter().map(|example| ("example", example.title)));
    texts
}

#[test]
fn ids_are_unique_and_are_the_names_of_the_files() {
    let ids: BTreeSet<&str> = RULES.iter().map(|rule| rule.id).collect();
    assert_eq!(ids.len(), RULES.len());
    for family in [Family::Record, Family::Procedure, Family::Pace] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules").join(family.word());
        let files: BTreeSet<String> = std::fs::read_dir(folder)
            .unwrap()
            .filter_map(|entry| {
                entry.unwrap().file_name().to_str()?.strip_suffix(".rs").map(|s| s.replace('_', "-"))
            })
            .filter(|name| name != "mod")
            .collect();
        let listed: BTreeSet<String> =
            RULES.iter().filter(|rule| rule.family == family).map(|rule| rule.id.to_owned()).collect();
        // A file without a rule holds what several rules share; every rule has its file.
        assert!(listed.is_subset(&files), "{listed:?} {files:?}");
    }
}

#[test]
fn every_rule_fires_and_has_a_near_miss() {
    for rule in RULES {
        let mark = format!("^ {}\n", rule.id);
        let fires =
            rule.examples.iter().filter(|example| format!("{}\n", example.log).contains(&mark)).count();
        let misses = rule
            .examples
            .iter()
            .filter(|example| example.title.starts_with("Near miss") && !example.log.contains(&mark))
            .count();
        assert!(fires >= 1, "{} fires on none of its examples", rule.id);
        assert!(misses >= 1, "{} has no near miss", rule.id);
    }
}

/// What the rules say about the logs of all examples: rule of the finding or answer, and the text.
fn said_on_examples() -> Vec<(&'static str, String)> {
    let unit = UnitDescription::kestrane();
    let mut said = Vec::new();
    for (_, example) in examples::all() {
        let log = examples::read(&examples::prepare(example.log).text);
        let case = examples::case(example.case);
        let examination = examine(&log, &case, &unit);
        for finding in &examination.findings {
            said.extend([&finding.expected, &finding.shows].map(|text| (finding.rule, text.clone())));
            said.extend(finding.measured.iter().map(|text| (finding.rule, text.clone())));
            said.extend(finding.assumptions.iter().map(|a| (finding.rule, a.0.clone())));
        }
        for answer in &examination.answers {
            said.extend(answer.why.iter().map(|why| (answer.rule, why.clone())));
            said.extend(answer.asks.iter().map(|ask| (answer.rule, ask.what.clone())));
        }
    }
    said
}

#[test]
fn what_is_said_about_a_log_is_short_and_accuses_nobody() {
    for (rule, text) in said_on_examples() {
        for sentence in text.split(['.', ';', ':', '?']) {
            assert!(sentence.split_whitespace().count() <= 40, "{rule}: {sentence}");
        }
        let lower = text.to_lowercase();
        for word in ACCUSING {
            let whole = lower.split(|c: char| !c.is_alphabetic()).any(|w| w.starts_with(word));
            assert!(!whole, "{rule} says {word}: {text}");
        }
    }
}

#[test]
fn no_finding_is_stronger_than_its_rule_declares_and_every_strength_occurs() {
    let unit = UnitDescription::kestrane();
    let mut kinds = BTreeSet::new();
    for (_, example) in examples::all() {
        let log = examples::read(&examples::prepare(example.log).text);
        let case = examples::case(example.case);
        for finding in examine(&log, &case, &unit).findings {
            let rule = rule(finding.rule).unwrap();
            assert!(finding.kind >= rule.kind, "{}", rule.id);
            assert_eq!(finding.weight, rule.weight, "{}", rule.id);
            kinds.insert(finding.kind);
        }
    }
    assert_eq!(kinds.len(), 3, "{kinds:?}");
}

#[test]
fn every_rule_is_explained() {
    for rule in RULES {
        assert!(
            !rule.basis.is_empty() && !rule.ordinary.is_empty() && !rule.look_next.is_empty(),
            "{}",
            rule.id
        );
        let comparable = rule.basis.iter().all(|basis| matches!(basis, Basis::Comparable(_)));
        assert!(!comparable || rule.weight == Weight::Remark, "{} rests on nothing that binds here", rule.id);
        for comparable in
            rule.basis.iter().filter_map(|b| if let Basis::Comparable(t) = b { Some(t) } else { None })
        {
            assert!(comparable.contains("VVSG"), "{}: {comparable} names no source", rule.id);
        }
    }
}

#[test]
fn sentences_are_short_and_accuse_nobody() {
    for rule in RULES {
        assert!(rule.title.len() <= 110, "{}: {}", rule.id, rule.title);
        assert!(rule.title.ends_with('.') && rule.asks.ends_with('.'), "{}", rule.id);
        for (what, text) in texts(rule) {
            assert!(!text.trim().is_empty(), "{}: {what} is empty", rule.id);
            for sentence in text.split(['.', ';', ':', '?']) {
                let words = sentence.split_whitespace().count();
                assert!(words <= 40, "{}: {what} has a sentence of {words} words: {sentence}", rule.id);
            }
            let lower = text.to_lowercase();
            for word in ACCUSING {
                let whole = lower.split(|c: char| !c.is_alphabetic()).any(|w| w.starts_with(word));
                assert!(!whole, "{}: {what} says {word}: {text}", rule.id);
            }
        }
    }
}

#[test]
fn each_kind_of_deviation_has_one_rule() {
    let all = [
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
    for reason in all {
        let rules: Vec<&str> = DEVIATIONS.iter().filter(|(r, _)| *r == reason).map(|(_, id)| *id).collect();
        let [id] = rules[..] else { panic!("{reason:?} has {} rules", rules.len()) };
        assert!(RULES.iter().any(|rule| rule.id == id), "{id}");
    }
    assert_eq!(DEVIATIONS.len(), all.len());
}

#[test]
fn every_rule_fires_somewhere_in_the_corpus() {
    let found: String = crate::corpus::FOLDERS
        .iter()
        .flat_map(|name| crate::corpus::stems(name, ".found").into_iter().map(move |stem| (name, stem)))
        .map(|(name, stem)| {
            std::fs::read_to_string(crate::corpus::folder(name).join(stem + ".found")).unwrap()
        })
        .collect();
    for rule in RULES {
        assert!(found.contains(&format!(": {} (", rule.id)), "{} fires nowhere in the corpus", rule.id);
    }
}

//! SARIF 2.1.0 over every fault that is rehearsed: each answer and finding has its kind and its level, and the relations that
//! no schema holds (3.27.9, 3.27.10, 3.27.6, 3.24.11, 3.30, 3.27.24) hold.

use std::collections::{BTreeMap, BTreeSet};

use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Kind, Verdict, Weight};
use logassay::rehearsal::fault::{faults, rehearse};
use logassay::report::Layout;
use logassay::report::forms::form;
use serde_json::Value;

use crate::pages::{frame, logs};

/// Which kind a finding must have: `fail` for what the records show by themselves, `review` for what hangs on an assumption or
/// may be lawful, `informational` for a remark.
fn kind_of(kind: Kind, weight: Weight) -> &'static str {
    match (kind, weight) {
        (_, Weight::Remark) => "informational",
        (Kind::Conditional, _) | (_, Weight::Unusual) => "review",
        _ => "fail",
    }
}

#[test]
fn every_fault_has_its_results_in_their_places() {
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    let mut results_in_all = 0;
    for fault in faults() {
        for seed in [1, 2] {
            let rehearsed = rehearse(&[(fault, fault.size(None).unwrap())], seed, None).unwrap();
            let case = Case::read("case", &rehearsed.life.case).unwrap().case;
            let logs = logs("unit.log", rehearsed.life.log.as_bytes());
            let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &rehearsed.unit)).collect();
            let text = (form("sarif").unwrap().write)(&examinations, &frame(false), Layout::plain(100));
            let log: Value = serde_json::from_str(&text).unwrap();
            let run = &log["runs"][0];
            assert_eq!(
                (log["version"].as_str(), run["columnKind"].as_str()),
                (Some("2.1.0"), Some("unicodeCodePoints"))
            );
            let withheld = logs[0].file_identity(&examinations[0].secrecy).is_none();
            for artifact in run["artifacts"].as_array().unwrap().iter().skip(usize::from(withheld)) {
                let hashes = artifact["hashes"].as_object().unwrap();
                assert_eq!(hashes.keys().collect::<Vec<_>>(), ["sha-256"], "3.24.11");
                assert!(hashes["sha-256"].as_str().is_some_and(|digest| digest.len() == 64));
            }
            let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
            let results = run["results"].as_array().unwrap();
            let lines = rehearsed.life.log.lines().count();
            let mut told: Vec<(String, String)> = Vec::new();
            for result in results {
                let word = |name: &str| result[name].as_str().unwrap().to_owned();
                let (rule, kind, level) = (word("ruleId"), word("kind"), word("level"));
                let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
                assert_eq!(rules[index]["id"].as_str(), Some(rule.as_str()), "3.27.6: {}", fault.id);
                assert_eq!(kind == "fail", level != "none", "3.27.10: {}: {rule} {kind} {level}", fault.id);
                assert!(result.get("baselineState").is_none(), "3.27.24");
                assert!(!result["message"]["text"].as_str().unwrap().is_empty());
                let places = ["locations", "relatedLocations"]
                    .map(|name| result[name].as_array().cloned().unwrap_or_default());
                for place in places.iter().flatten() {
                    let region = &place["physicalLocation"]["region"];
                    if region.is_null() {
                        continue;
                    }
                    let number = |name: &str| region[name].as_u64();
                    let (from, to) = (
                        number("startLine").unwrap(),
                        number("endLine").unwrap_or_else(|| number("startLine").unwrap()),
                    );
                    assert!(
                        from >= 1 && to >= from && usize::try_from(to).unwrap() <= lines,
                        "3.30: {region}"
                    );
                    if let (Some(begin), Some(end)) = (number("startColumn"), number("endColumn")) {
                        assert!(begin >= 1 && (end >= begin || to > from), "3.30.8: {region}");
                    }
                }
                *kinds.entry(kind.clone()).or_default() += 1;
                told.push((rule, kind));
            }
            // Exactly the answers and the findings, each in its place.
            let mut wanted: Vec<(String, String)> = Vec::new();
            for examination in &examinations {
                for finding in &examination.findings {
                    wanted.push((finding.rule.to_owned(), kind_of(finding.kind, finding.weight).to_owned()));
                }
                for answer in &examination.answers {
                    let kind = match answer.verdict {
                        Verdict::NotKept => continue,
                        Verdict::Kept => "pass",
                        Verdict::CannotBeTold => "open",
                        Verdict::DoesNotApply => "notApplicable",
                    };
                    wanted.push((answer.rule.to_owned(), kind.to_owned()));
                }
            }
            told.sort();
            wanted.sort();
            assert_eq!(told, wanted, "{} of seed {seed}", fault.id);
            results_in_all += told.len();
        }
    }
    let all: BTreeSet<&str> = kinds.keys().map(String::as_str).collect();
    assert_eq!(
        all,
        BTreeSet::from(["fail", "informational", "notApplicable", "open", "pass", "review"]),
        "{kinds:?}"
    );
    assert!(results_in_all > 5000, "{results_in_all}");
}

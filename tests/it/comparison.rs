//! The difference of two examinations: which answers changed, and on which changed fact each of them hangs.

use logassay::comparison::{Cause, Comparison, Fact, Side, compare};
use logassay::finding::Verdict;
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::cli::run;
use crate::examples::{case, read};

const LOG: &str = "unit-event-log 1\n\
                   1 2031-05-10 05:50:00 power-on\n\
                   2 2031-05-10 06:00:05 enable\n\
                   3 2031-05-10 06:00:31 vote\n\
                   4 2031-05-10 06:01:00 close\n\
                   5 2031-05-10 06:02:00 result\n\
                   6 2031-05-10 06:03:00 clear\n\
                   7 2031-05-10 06:52:00 total shown=0\n\
                   8 2031-05-10 07:00:05 enable\n\
                   9 2031-05-10 07:00:31 vote\n\
                   10 2031-05-10 07:00:34 enable\n\
                   11 2031-05-10 07:00:38 vote\n";

fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"Diary\"\nby = \"Presiding officer\"\n\n")
}

fn mock() -> String {
    row("phase", "was = \"mock-poll\"\nrecords = \"2-6\"")
}

fn polled() -> String {
    row("phase", "was = \"poll\"\nrecords = \"7-11\"")
}

fn least() -> String {
    row("setting", "mock-votes-least = 2")
}

fn soon(seconds: u64) -> String {
    row("setting", &format!("seconds-per-vote = {seconds}"))
}

/// Compares two case files on the log, with what was found handed to a check.
fn compared(before: &str, after: &str, check: impl Fn(&Comparison<'_>)) {
    let (log, unit) = (read(LOG), UnitDescription::kestrane());
    let (before, after) = (case(before), case(after));
    let side = |case| Side { log: &log, case, unit: &unit };
    check(&compare(side(&before), side(&after)));
}

fn change<'c>(comparison: &'c Comparison<'_>, rule: &str) -> &'c logassay::comparison::Change {
    comparison
        .changes
        .iter()
        .find(|change| change.rule == rule)
        .unwrap_or_else(|| panic!("{rule}: {:?}", comparison.changes))
}

#[test]
fn the_same_facts_change_nothing_wherever_they_stand_in_the_file() {
    let (one, other) = (mock() + &polled() + &least(), least() + &polled() + "# a remark\n\n" + &mock());
    compared(&one, &other, |found| {
        assert_eq!((found.facts.len(), found.changes.len()), (0, 0));
        assert!(found.gone.is_empty() && found.new.is_empty());
    });
}

#[test]
fn one_added_fact_among_several_is_named() {
    let after = mock() + &polled() + &soon(12) + &row("fact", "what = \"cleared-after-count\"");
    compared(&(mock() + &polled()), &after, |found| {
        assert_eq!(found.facts.len(), 2);
        let change = change(found, "vote-too-soon");
        assert_eq!((change.before, change.after), (Verdict::CannotBeTold, Verdict::NotKept));
        let Cause::Each(facts) = &change.cause else { panic!("{change:?}") };
        assert_eq!(facts.len(), 1);
        assert!(matches!(
            found.facts[facts[0]],
            Fact::Statement { about: "setting", before: None, after: Some(_) }
        ));
    });
}

#[test]
fn facts_that_only_together_change_an_answer_are_named_together() {
    // The other side labels the records and states the least number: neither alone makes a mock poll too small.
    compared("", &(mock() + &polled() + &least() + &row("fact", "what = \"unit-replaced\"")), |found| {
        let change = change(found, "mock-poll-too-small");
        assert_eq!(change.after, Verdict::NotKept);
        let Cause::Together(facts) = &change.cause else { panic!("{change:?}") };
        let lines: Vec<usize> = facts
            .iter()
            .filter_map(|fact| match found.facts[*fact] {
                Fact::Statement { after, .. } => after,
                _ => None,
            })
            .collect();
        // Mock poll, poll and least number; not the replaced unit.
        assert!(
            lines.len() >= 2 && lines.contains(&13) && !lines.contains(&18),
            "{lines:?} {:?}",
            found.facts
        );
    });
}

#[test]
fn a_changed_statement_is_one_fact_and_a_dropped_one_another() {
    compared(&(soon(12) + &mock() + &polled()), &(soon(3) + &polled()), |found| {
        assert_eq!(found.facts.len(), 2, "{:?}", found.facts);
        let change = change(found, "vote-too-soon");
        assert_eq!((change.before, change.after), (Verdict::NotKept, Verdict::CannotBeTold));
        let Cause::Each(facts) = &change.cause else { panic!("{change:?}") };
        assert!(matches!(
            found.facts[facts[0]],
            Fact::Statement { about: "setting", before: Some(1), after: Some(1) }
        ));
    });
}

#[test]
fn a_disputed_reading_of_the_clock_is_a_fact_of_its_own() {
    let reading = |within: u64| {
        row(
            "reading",
            &format!(
                "displayed = \"2031-05-10 06:40:00\"\nreference = \"2031-05-10 06:41:00\"\nwithin-seconds = {within}"
            ),
        )
    };
    compared(&(polled() + &reading(30)), &(polled() + &reading(300)), |found| {
        assert_eq!(found.facts.len(), 1);
        assert!(matches!(
            found.facts[0],
            Fact::Statement { about: "reading", before: Some(_), after: Some(_) }
        ));
        // What hangs on it can only hang on it.
        assert!(
            found.changes.iter().all(|change| change.cause == Cause::Each(vec![0])),
            "{:?}",
            found.changes
        );
    });
}

#[test]
fn another_unit_description_and_another_log_are_facts_too() {
    let text = UnitDescription::kestrane_text().replace("[unit]\n", "[unit]\nleast-ms-per-vote = 12000\n");
    let other = UnitDescription::read_bytes("other.toml", text.as_bytes()).unwrap();
    let (unit, none, log) = (UnitDescription::kestrane(), case(""), read(LOG));
    let found =
        compare(Side { log: &log, case: &none, unit: &unit }, Side { log: &log, case: &none, unit: &other });
    assert_eq!(found.facts, [Fact::Unit]);
    assert_eq!(change(&found, "vote-too-soon").cause, Cause::Each(vec![0]));
    let shorter = read(&LOG.replace("10 2031-05-10 07:00:34 enable\n", ""));
    let found = compare(
        Side { log: &log, case: &none, unit: &unit },
        Side { log: &shorter, case: &none, unit: &unit },
    );
    assert_eq!(found.facts, [Fact::Log]);
    assert_eq!(change(&found, "number-missing").cause, Cause::Each(vec![0]));
    assert!(found.gone.is_empty() && found.new.is_empty(), "lines of two logs are not compared");
}

#[test]
fn the_command_prints_the_difference_as_page_and_as_json() {
    let log = "corpus/faulted/vote-too-soon.log";
    let after = "corpus/faulted/vote-too-soon.case.toml";
    let page = run(&["compare", log, "--case-after", after, "--width", "90"]).0;
    for said in [
        "What changed between two examinations",
        "Facts that are not the same",
        "cannot be told, then not kept",
        "fact 1: it alone makes the change",
    ] {
        assert!(page.contains(said), "{said}\n{page}");
    }
    let report: Value =
        serde_json::from_str(&run(&["compare", log, "--case-after", after, "--json"]).0).unwrap();
    let changes = report["comparisons"][0]["changes"].as_array().unwrap();
    assert_eq!(changes.len(), 1);
    assert_eq!(changes[0]["rule"], "vote-too-soon");
    assert_eq!(changes[0]["how"], "each alone");
    assert_eq!(changes[0]["facts"], serde_json::json!([1]));
}

//! The difference of two examinations: which answers changed, and on which changed fact each of them hangs.

use boon::{Compiler, Schemas};
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
fn compared(before: &str, after: &str, check: impl FnOnce(&Comparison<'_>)) {
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

#[test]
fn a_longer_cut_of_the_same_unit_is_one_fact_and_answers_only_open_or_settle_by_it() {
    // The later export lost the records before the poll: what was told of the mock poll cannot be told any more.
    let papers = mock() + &polled() + &row("end", "closed = \"back\"");
    let (log, papers) = (read(LOG), case(&papers));
    let lines: Vec<&str> = LOG.lines().collect();
    let later = read(&format!("{}\n{}\n", lines[0], lines[7..].join("\n")));
    let unit = UnitDescription::kestrane();
    let side = |log| Side { log, case: &papers, unit: &unit };
    let found = compare(side(&log), side(&later));
    assert_eq!(found.facts, [Fact::Log]);
    let open = found.changes.iter().filter(|change| change.after == Verdict::CannotBeTold);
    assert!(open.count() > 0);
    for change in &found.changes {
        // Whether a rule has a subject in a file is no answer about the unit.
        assert!(matches!(change.after, Verdict::CannotBeTold | Verdict::DoesNotApply), "{change:?}");
        assert_eq!(change.cause, Cause::Each(vec![0]));
    }
}

/// What makes a change is tried again from outside: with these facts alone it comes about, without any of them it does not.
#[test]
fn facts_named_together_make_the_change_and_none_of_them_can_be_left_out() {
    let rows = [
        mock(),
        polled(),
        least(),
        soon(12),
        row("fact", "what = \"unit-replaced\""),
        row("end", "closed = \"back\""),
    ];
    let (log, unit) = (read(LOG), UnitDescription::kestrane());
    let whole = rows.concat();
    let mut together = 0;
    compared("", &whole, |found| {
        for change in &found.changes {
            let (Cause::Each(facts) | Cause::Together(facts)) = &change.cause else { panic!("{change:?}") };
            let line = |fact: &usize| match found.facts[*fact] {
                Fact::Statement { after: Some(line), .. } => line,
                other => panic!("{other:?}"),
            };
            let row_of = |line: usize| {
                let starts = rows.iter().scan(1, |next, row| {
                    let begin = *next;
                    *next += row.lines().count();
                    Some(begin)
                });
                starts.filter(|begin| *begin <= line).count() - 1
            };
            let chosen: Vec<usize> = facts.iter().map(|fact| row_of(line(fact))).collect();
            let verdict = |chosen: &[usize]| {
                let text: String = chosen.iter().map(|at| rows[*at].as_str()).collect();
                let case = case(&text);
                let examination = logassay::examine(&log, &case, &unit);
                examination.answers.iter().find(|answer| answer.rule == change.rule).unwrap().verdict
            };
            if matches!(change.cause, Cause::Each(_)) {
                assert!(chosen.iter().all(|one| verdict(&[*one]) == change.after), "{change:?}");
                continue;
            }
            together += 1;
            assert_eq!(verdict(&chosen), change.after, "{change:?}");
            for left_out in 0..chosen.len() {
                let mut fewer = chosen.clone();
                fewer.remove(left_out);
                assert_ne!(verdict(&fewer), change.after, "{change:?} without {left_out}");
            }
        }
    });
    assert!(together > 0, "nothing was named together");
}

#[test]
fn every_comparison_is_valid_under_its_schema_and_a_lesser_one_is_not() {
    let mut schemas = Schemas::new();
    let mut compiler = Compiler::new();
    let schema = serde_json::from_str(&logassay::report::comparison::schema()).unwrap();
    compiler.add_resource("comparison.json", schema).unwrap();
    let index = compiler.compile("comparison.json", &mut schemas).unwrap();
    let mut changes = 0;
    for name in ["vote-too-soon", "register-differs", "tokens-differ", "clock-offset"] {
        let (log, after) = (format!("corpus/faulted/{name}.log"), format!("corpus/faulted/{name}.case.toml"));
        let text = run(&["compare", &log, "--case-after", &after, "--json"]).0;
        let report: Value = serde_json::from_str(&text).unwrap();
        if let Err(error) = schemas.validate(&report, index) {
            panic!("{name}: {error:#}");
        }
        changes += report["comparisons"][0]["changes"].as_array().unwrap().len();
        for key in ["tool", "command", "comparisons", "cautions"] {
            let mut lesser = report.clone();
            assert!(lesser.as_object_mut().unwrap().remove(key).is_some(), "{name}: no {key}");
            assert!(schemas.validate(&lesser, index).is_err(), "{name} is valid without {key}");
        }
    }
    assert!(changes >= 4, "{changes}");
}

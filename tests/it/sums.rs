//! The sums behind numbers that do not agree, in plain words; and the line of the zero before the poll.

use logassay::case::Case;
use logassay::examine;
use logassay::report::json;
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::pages::{frame, logs};

fn report(log: &str, case: &str) -> Value {
    let case = Case::read("case", case).unwrap_or_else(|troubles| panic!("{troubles:?}")).case;
    let (unit, logs) = (UnitDescription::kestrane(), logs("unit.log", log.as_bytes()));
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let report: Value = serde_json::from_str(&json::report(&examinations, &frame(false))).unwrap();
    report["examinations"][0].clone()
}

fn sums(records: &[&str]) -> Vec<String> {
    let log = format!("unit-event-log 1\n{}\n", records.join("\n"));
    let report = report(&log, "");
    report["sums"].as_array().unwrap().iter().map(|sum| sum["text"].as_str().unwrap().to_owned()).collect()
}

fn demonstration() -> Value {
    let folder = crate::corpus::folder("demonstration");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    report(&read("disputed-unit.log"), &read("disputed-unit.case.toml"))
}

#[test]
fn the_disputed_unit_has_its_sum_in_one_sentence_with_the_papers_beside_it() {
    let report = demonstration();
    let first = &report["sums"][0];
    let text = first["text"].as_str().unwrap();
    for part in [
        "The close in record 286 (line 81) shows 28 votes.",
        "After it 1 vote is recorded (record 287, line 82), and no clear between: 28 + 1 = 29, and 29 is what the total in \
         record 292 (line 87) and the result in record 296 (line 91) show.",
        "Votes declared for the unit: 29,",
        "Voters signed in the register: 28,",
        "that is the number of that close, and 1 less than 29.",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    assert_eq!(first["lines"], serde_json::json!([81, 82, 87, 91]));
    // The 29 of the second is no number that the unit showed at the end: the declaration makes it one, and that is said.
    let second = report["sums"][1]["text"].as_str().unwrap();
    let made =
        "after its last record: 29, but only if the number declared is the number in the unit's memory";
    assert!(second.contains(made), "{second}");
    // It stands with the finding on that vote too.
    let place = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("sums.html");
    let out = place.to_str().unwrap();
    assert_eq!(
        crate::cli::run(&["document", "--demonstration", "disputed-unit", "--out", out, "--replace"]).2,
        0
    );
    let page = std::fs::read_to_string(&place).unwrap();
    std::fs::remove_file(&place).unwrap();
    assert!(page.matches("28 + 1 = 29").count() >= 3, "{}", page.matches("28 + 1 = 29").count());
}

#[test]
fn a_sum_is_told_where_numbers_disagree_and_nowhere_else() {
    // In order: what is shown is what was recorded.
    assert!(
        sums(&[
            "1 - clear",
            "2 - enable",
            "3 - vote",
            "4 - total shown=1",
            "5 - close total=1",
            "6 - result total=1"
        ])
        .is_empty()
    );
    // A clear between begins anew, and behind a gap or an event that is not known nothing is added up.
    assert!(sums(&["1 - close total=7", "2 - result total=7", "3 - clear", "4 - total shown=0"]).is_empty());
    assert!(sums(&["1 - total shown=7", "2 - enable", "3 - vote", "9 - total shown=12"]).is_empty());
    assert!(sums(&["1 - total shown=7", "2 - jump", "3 - vote", "4 - total shown=12"]).is_empty());
    let more =
        sums(&["1 - total shown=7", "2 - enable", "3 - vote", "4 - total shown=12", "5 - total shown=12"]);
    assert!(
        more[0].starts_with(
            "The total in record 1 (line 2) shows 7 votes. After it 1 vote is recorded (record 3, line 4), and no clear between: \
             7 + 1 = 8. But the total in record 4 (line 5) and the total in record 5 (line 6) show 12, 4 more than 8."
        ),
        "{more:?}"
    );
    let fewer = sums(&["1 - total shown=7", "2 - total shown=5"]);
    assert!(
        fewer[0].starts_with(
            "The total in record 1 (line 2) shows 7 votes. No vote is recorded after it, and no clear. But the total in record 2 \
             (line 3) shows 5, 2 fewer than 7."
        ),
        "{fewer:?}"
    );
    let unfinished = sums(&["1 - close total=7", "2 - vote", "3 - vote", "4 - vote", "5 - vote"]);
    assert!(
        unfinished[0].contains("After it 4 votes are recorded (from record 2, line 3 to record 5, line 6)")
            && unfinished[0].contains("7 + 4 = 11. No number is shown after that"),
        "{unfinished:?}"
    );
}

#[test]
fn the_zero_before_the_poll_is_named_by_its_line() {
    let report = demonstration();
    let answers = report["answers"].as_array().unwrap();
    let answer = answers.iter().find(|answer| answer["rule"] == "zero-not-shown").unwrap();
    let extent = answer["extent"].as_str().unwrap();
    assert!(extent.contains("a total of zero is shown: 2031-05-10 06:34:23 (line 26)"), "{extent}");
}

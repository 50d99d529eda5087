//! Versions of a case: one for each way to choose between facts that contradict each other.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::string_slice,
    clippy::format_collect,
    clippy::too_many_lines,
    reason = "a test may stop"
)]

use logassay::case::{Case, MOST_VERSIONS, Versions};
use logassay::sheet::explain;

fn said(source: &str, by: &str) -> String {
    format!("source = \"{source}\"\nby = \"{by}\"\n")
}

fn versions(text: &str) -> Versions {
    let file = Case::read("x", text).unwrap_or_else(|troubles| panic!("{}", explain(&troubles, 100, false)));
    file.case.versions()
}

/// The choices of each version, in words.
fn choices(versions: &Versions) -> Vec<Vec<String>> {
    let words = |version: &logassay::case::Version| {
        version.choices.iter().map(|choice| choice.text.to_string()).collect()
    };
    versions.versions.iter().map(words).collect()
}

fn rows(table: &str, bodies: &[(&str, &str)]) -> String {
    bodies.iter().map(|(body, by)| format!("[[{table}]]\n{body}\n{}", said("Paper", by))).collect()
}

#[test]
fn a_case_without_contradiction_has_one_version_with_no_choice() {
    let text = rows("unit", &[("candidates = 5", "A"), ("candidates = 5", "B"), ("serial = \"CU-1\"", "A")]);
    let file = Case::read("x", &text).unwrap();
    let versions = file.case.versions();
    assert_eq!(versions.versions.len(), 1);
    assert!(versions.versions[0].choices.is_empty() && !versions.cut);
    assert_eq!(versions.versions[0].case, file.case);
    assert_eq!(file.case.unit.candidates.len(), 2);
}

#[test]
fn a_contested_number_gives_a_version_for_each_value_and_names_all_who_state_it() {
    let text = format!(
        "[[unit]]\ncandidates = 5\n{}[[unit]]\ncandidates = 6\n{}[[unit]]\ncandidates = 5\n{}",
        said("Nomination list", "Returning Officer"),
        said("Diary", "Presiding Officer"),
        said("Ballot paper", "Printer"),
    );
    let versions = versions(&text);
    assert_eq!(
        choices(&versions),
        [
            [
                "candidates: 5, as stated in Nomination list (by Returning Officer) and in Ballot paper (by Printer)"
            ],
            ["candidates: 6, as stated in Diary (by Presiding Officer)"],
        ]
    );
    let values = |place: usize| {
        versions.versions[place].case.unit.candidates.iter().map(|row| row.value).collect::<Vec<_>>()
    };
    assert_eq!((values(0), values(1)), (vec![5, 5], vec![6]));
    assert_eq!(versions.versions[0].choices[0].bases.len(), 2);
}

#[test]
fn every_kind_of_contested_fact_is_set_apart() {
    let none = |body: &str| [(body.to_owned(), "A"), ("none = true".to_owned(), "B")];
    let cases: Vec<(String, &str, &str)> = vec![
        (rows("unit", &[("serial = \"C1\"", "A"), ("serial = \"C2\"", "B")]), "serial: C1,", "serial: C2,"),
        (
            rows("unit", &[("role = \"control\"", "A"), ("role = \"ballot\"", "B")]),
            "role: control,",
            "role: ballot,",
        ),
        (
            rows("unit", &[("software = \"1\"", "A"), ("software = \"2\"", "B")]),
            "software: 1,",
            "software: 2,",
        ),
        (
            rows("unit", &[("ballot-units = [\"B1\"]", "A"), ("ballot-units = [\"B2\"]", "B")]),
            "ballot-units: B1,",
            "ballot-units: B2,",
        ),
        (
            rows("unit", &[("description = \"a\"", "A"), ("description = \"b\"", "B")]),
            "description: a,",
            "description: b,",
        ),
        (
            rows("setting", &[("mock-votes-least = 50", "A"), ("mock-votes-least = 60", "B")]),
            "mock-votes-least: 50,",
            "mock-votes-least: 60,",
        ),
        (
            rows(
                "count",
                &[("of = \"slips\"\nvalue = 4", "A"), ("of = \"slips\"\nleast = 4\nmost = 5", "B")],
            ),
            "count of slips: 4,",
            "count of slips: 4 to 5,",
        ),
        (
            rows("poll", &[("opens = \"07:00\"", "A"), ("opens = \"08:00\"", "B")]),
            "poll: opening 07:00,",
            "poll: opening 08:00,",
        ),
        (
            rows(
                "phase",
                &[("was = \"poll\"\nrecords = \"1-20\"", "A"), ("was = \"test\"\nrecords = \"20-30\"", "B")],
            ),
            "phase: records 1 to 20 were the poll,",
            "phase: records 20 to 30 were the test,",
        ),
        (
            rows("interruption", &none("text = \"Rain\"").each_ref().map(|(b, by)| (b.as_str(), *by))),
            "interruption: Rain,",
            "interruption: none,",
        ),
        (
            rows("storage", &none("text = \"Room\"").each_ref().map(|(b, by)| (b.as_str(), *by))),
            "storage: Room,",
            "storage: none,",
        ),
        (
            rows("custody", &none("text = \"Bag\"").each_ref().map(|(b, by)| (b.as_str(), *by))),
            "custody: Bag,",
            "custody: none,",
        ),
    ];
    for (text, first, second) in cases {
        let versions = versions(&text);
        let told = choices(&versions);
        assert_eq!(told.len(), 2, "{text}\n{told:?}");
        assert_eq!(told[0].len(), 1, "{text}");
        assert!(told[0][0].starts_with(first) && told[1][0].starts_with(second), "{told:?}");
        for version in &versions.versions {
            let again = version.case.versions();
            assert!(
                again.versions.len() == 1 && again.versions[0].choices.is_empty(),
                "still contested: {text}"
            );
        }
    }
}

#[test]
fn what_only_looks_contradictory_is_not_contested() {
    let cases = [
        rows("unit", &[("ballot-units = [\"B1\", \"B2\"]", "A"), ("ballot-units = [\"B2\", \"B1\"]", "B")]),
        rows("count", &[("of = \"slips\"\nvalue = 4", "A"), ("of = \"register\"\nvalue = 5", "B")]),
        rows(
            "phase",
            &[("was = \"poll\"\nrecords = \"1-20\"", "A"), ("was = \"test\"\nrecords = \"21-30\"", "B")],
        ),
        rows(
            "phase",
            &[("was = \"poll\"\nrecords = \"1-20\"", "A"), ("was = \"poll\"\nrecords = \"5-30\"", "B")],
        ),
        rows(
            "phase",
            &[("was = \"poll\"\nrecords = \"1-20\"", "A"), ("was = \"test\"\nlines = \"1-20\"", "B")],
        ),
        rows("poll", &[("opens = \"07:00\"", "A"), ("opens = \"07:00:00\"\ncloses = \"18:00\"", "B")]),
        rows(
            "poll",
            &[
                ("date = \"2031-05-10\"\nopens = \"07:00\"", "A"),
                ("date = \"2031-05-17\"\nopens = \"08:00\"", "A"),
            ],
        ),
        rows(
            "poll",
            &[("opens = \"07:00\"\ncloses = \"11:00\"", "A"), ("opens = \"13:00\"\ncloses = \"18:00\"", "A")],
        ),
        rows("interruption", &[("text = \"Rain\"", "A"), ("text = \"Power\"", "B")]),
    ];
    for text in cases {
        assert_eq!(choices(&versions(&text)), [Vec::<String>::new()], "{text}");
    }
}

#[test]
fn of_overlapping_phases_as_many_are_kept_together_as_agree() {
    let text = rows(
        "phase",
        &[
            ("was = \"poll\"\nrecords = \"1-100\"", "A"),
            ("was = \"mock-poll\"\nrecords = \"1-20\"", "B"),
            ("was = \"count\"\nrecords = \"90-100\"", "C"),
            ("was = \"training\"\nrecords = \"200-210\"", "D"),
        ],
    );
    let versions = versions(&text);
    let kept: Vec<Vec<&str>> = versions
        .versions
        .iter()
        .map(|v| v.case.phases.iter().map(|row| row.basis.by.as_str()).collect())
        .collect();
    assert_eq!(kept, [vec!["A", "D"], vec!["B", "C", "D"]]);
    assert_eq!(
        versions.versions[1].choices[0].text.as_str(),
        "phase: records 1 to 20 were the mock poll, as stated in Paper (by B); records 90 to 100 were the count, as stated in Paper (by C)"
    );
}

#[test]
fn combinations_come_in_a_fixed_order_and_past_sixteen_are_cut() {
    let two = |key: &str| {
        rows("unit", &[(&format!("{key} = \"1\"")[..], "A"), (&format!("{key} = \"2\"")[..], "B")])
    };
    let four = two("serial") + &two("software");
    let told = choices(&versions(&four));
    let short: Vec<String> =
        told.iter().map(|c| c.iter().map(|t| &t[t.find(": ").unwrap() + 2..][..1]).collect()).collect();
    assert_eq!(short, ["11", "12", "21", "22"]);

    let sixteen = four.clone()
        + &two("description")
        + &rows("setting", &[("mock-votes-least = 1", "A"), ("mock-votes-least = 2", "B")]);
    let all = versions(&sixteen);
    assert_eq!((all.versions.len(), all.cut), (MOST_VERSIONS, false));

    let more = versions(&(sixteen + &rows("unit", &[("candidates = 1", "A"), ("candidates = 2", "B")])));
    assert_eq!((more.versions.len(), more.cut), (MOST_VERSIONS, true));
    assert_eq!(more.versions[0].choices.len(), 5);

    let numbers: Vec<String> = (1..=17).map(|number| format!("candidates = {number}")).collect();
    let bodies: Vec<(&str, &str)> = numbers.iter().map(|body| (body.as_str(), "A")).collect();
    let many = versions(&rows("unit", &bodies));
    assert_eq!((many.versions.len(), many.cut), (MOST_VERSIONS, true));
}

#[test]
fn the_search_ends_on_rows_made_to_be_hard() {
    // 300 rows, each against its two neighbours: the number of ways is astronomical.
    let bodies: Vec<String> = (0..300_u32)
        .map(|n| {
            format!(
                "was = \"{}\"\nrecords = \"{}-{}\"",
                if n % 2 == 0 { "poll" } else { "test" },
                n * 10,
                n * 10 + 12
            )
        })
        .collect();
    let bodies: Vec<(&str, &str)> = bodies.iter().map(|body| (body.as_str(), "A")).collect();
    let versions = versions(&rows("phase", &bodies));
    assert_eq!((versions.versions.len(), versions.cut), (MOST_VERSIONS, true));
}

#[test]
fn texts_of_the_case_are_inert_in_a_choice() {
    let text = rows("unit", &[("serial = \"C\\u001b[31m\u{202e}\"", "A"), ("serial = \"D\"", "B\u{200b}")]);
    let told = choices(&versions(&text));
    assert_eq!(told[0][0], "serial: C\\u{1b}[31m\\u{202e}, as stated in Paper (by A)");
    assert_eq!(told[1][0], "serial: D, as stated in Paper (by B\\u{200b})");
}

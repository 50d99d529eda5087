//! Numbers that do not agree: who is said to differ, what the unit showed, and what a cut of the log leaves open.

use std::path::Path;

use logassay::examine;
use logassay::finding::{Finding, Place, Verdict};
use logassay::report::{Layout, json, terminal};
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::lives::{case, log};
use crate::pages::frame;

fn read(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(path);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

const DISPUTED: &str = "demonstration/disputed-unit";

/// The log of the disputed unit, whole or changed.
fn disputed() -> String {
    read(&format!("{DISPUTED}.log"))
}

fn without(text: &str, record: &str) -> String {
    text.lines().filter(|line| !line.starts_with(record)).map(|line| format!("{line}\n")).collect()
}

fn head(text: &str, lines: usize) -> String {
    text.lines().take(lines).map(|line| format!("{line}\n")).collect()
}

/// An examination: its findings of a rule and its answer, its page in one line and its report as JSON.
struct Told {
    findings: Vec<Finding>,
    page: String,
    report: Value,
}

impl Told {
    fn of(text: &str, papers: &str) -> Told {
        let (log, case, unit) = (log(text), case(&[papers.to_owned()]), UnitDescription::kestrane());
        let examinations = [examine(&log, &case, &unit)];
        let frame = frame(false);
        let page = terminal::report(&examinations, &frame, Layout::plain(100));
        let report = serde_json::from_str(&json::report(&examinations, &frame)).unwrap();
        let [examination] = examinations;
        Told {
            findings: examination.findings,
            page: page.split_whitespace().collect::<Vec<_>>().join(" "),
            report,
        }
    }

    fn finding(&self, rule: &str) -> &Finding {
        self.findings.iter().find(|finding| finding.rule == rule).unwrap_or_else(|| panic!("no {rule}"))
    }

    fn verdict(&self, rule: &str) -> &str {
        let answers = self.report["examinations"][0]["answers"].as_array().unwrap();
        answers.iter().find(|answer| answer["rule"] == rule).unwrap()["answer"].as_str().unwrap()
    }

    /// What of the ledger's numbers has these words: the number's ends and where it is from.
    fn number(&self, words: &str) -> (Value, String) {
        let text = self.report.to_string();
        let numbers = find(&self.report, "numbers").unwrap_or_else(|| panic!("no numbers in {text}"));
        let number = numbers.iter().find(|number| number["what"] == words);
        let number = number.unwrap_or_else(|| panic!("no {words} among {numbers:#?}"));
        (number["stated"].clone(), number["source"].as_str().unwrap().to_owned())
    }
}

/// The first list under this key whose entries have letters.
fn find<'v>(value: &'v Value, key: &str) -> Option<&'v Vec<Value>> {
    match value {
        Value::Object(map) => map
            .get(key)
            .and_then(Value::as_array)
            .filter(|list| list.iter().all(|entry| entry.get("letter").is_some()) && !list.is_empty())
            .or_else(|| map.values().find_map(|value| find(value, key))),
        Value::Array(list) => list.iter().find_map(|value| find(value, key)),
        _ => None,
    }
}

/// Where a difference follows only through another paper, the two papers are named, and neither is said to be wrong.
#[test]
fn two_papers_that_do_not_agree_are_told_as_two() {
    let papers = read(&format!("{DISPUTED}.case.toml"));
    // Which of them agrees with a number shown at the close or behind it is said, and of an earlier number nothing.
    let both = "The votes declared agree with 29 (records 292 and 296), the voters signed leave room for 28 (record 286); that \
                alone makes no paper right and none wrong.";
    let one = "The votes declared agree with none of these numbers, the voters signed leave room for 28 (record 286); that";
    for (text, shown, agrees) in [
        (disputed(), "28 (record 286) and 29 (records 292 and 296)", Some(both)),
        (without(&disputed(), "287 "), "28 (record 286) and 29 (records 292 and 296)", Some(both)),
        (head(&disputed(), 80), "20 (record 269)", None),
        (head(&disputed(), 81), "28 (record 286)", Some(one)),
    ] {
        let told = Told::of(&text, &papers);
        let finding = told.finding("register-differs");
        let title = "Two papers do not agree: votes declared 29, voters signed 28.";
        assert_eq!(finding.title.as_deref(), Some(title));
        match agrees {
            Some(sentence) => assert!(finding.shows.contains(sentence), "{}", finding.shows),
            None => assert!(!finding.shows.contains("that alone"), "{}", finding.shows),
        }
        assert_eq!(finding.main, Place::Log);
        assert!(told.page.contains(title), "{}", told.page);
        for part in [shown, "Returning officer", "Presiding officer", "does not follow"] {
            assert!(finding.shows.contains(part), "{part}: {}", finding.shows);
        }
        assert!(
            !told.page.contains("are not the votes in memory at the close. how it follows"),
            "{}",
            told.page
        );
        let against: Vec<&str> = finding.against.iter().map(|against| against.account).collect();
        assert!(
            against.contains(&"A voter signed and left without voting, and nobody noted it."),
            "{against:?}"
        );
        assert!(against.contains(&"Votes of the mock poll stayed in the memory."), "{against:?}");
    }
    let other = "faulted/declared-exceeds-register";
    let told = Told::of(&read(&format!("{other}.log")), &read(&format!("{other}.case.toml")));
    let finding = told.finding("register-differs");
    let title = "Two papers do not agree: votes declared 731, voters signed 690 to 700.";
    assert_eq!(finding.title.as_deref(), Some(title));
    assert!(finding.shows.contains("The log holds no number that the unit showed"), "{}", finding.shows);
}

/// Findings on the lines that show the numbers are named with the two papers.
#[test]
fn two_papers_lead_to_the_findings_on_the_numbers() {
    let told = Told::of(&disputed(), &read(&format!("{DISPUTED}.case.toml")));
    assert!(
        told.page.contains("same line Lines marked + are shown by findings 4 and 5 too."),
        "{}",
        told.page
    );
    let (text, papers) = (without(&disputed(), "287 "), read(&format!("{DISPUTED}.case.toml")));
    let told = Told::of(&text, &papers);
    assert!(told.page.contains("same line Lines marked + are shown by finding"), "{}", told.page);
}

/// A log that ends at the close does not say what was recorded behind it: it accuses no declaration, and clears none.
#[test]
fn a_log_cut_at_the_close_leaves_the_declaration_open() {
    let papers = read(&format!("{DISPUTED}.case.toml"));
    let cut = head(&disputed(), 81);
    for text in [cut.clone(), format!("{cut}287 2031-05-10")] {
        for declared in ["value = 29", "value = 28", "value = 27"] {
            let papers = papers.replacen("value = 29", declared, 1);
            let told = Told::of(&text, &papers);
            assert_eq!(told.verdict("declared-differs"), Verdict::CannotBeTold.words(), "{declared}");
        }
    }
    // A result at the count is the last word.
    let text = format!("{cut}288 2031-05-12 09:21:03 result total=28\n");
    let papers = format!(
        "{papers}\n[[phase]]\nwas = \"count\"\nrecords = \"288-288\"\nsource = \"Record of the count\"\nby = \"Registrar\"\n"
    )
    .replacen("227-297", "227-287", 1);
    let told = Told::of(&text, &papers);
    assert_eq!(told.verdict("declared-differs"), Verdict::NotKept.words());
    assert_eq!(told.finding("declared-differs").title, None);
}

/// What the papers count up to the close is set against the close, whatever the log holds behind it; what could only make the
/// register smaller is not asked for.
#[test]
fn a_log_cut_at_the_close_decides_what_is_about_the_close() {
    let lines = [
        "unit-event-log 1",
        "11 2031-05-10 06:52:00 clear",
        "12 2031-05-10 07:50:05 enable",
        "13 2031-05-10 07:50:31 vote",
        "14 2031-05-10 08:03:05 enable",
        "15 2031-05-10 08:03:31 vote",
        "16 2031-05-10 18:08:00 close total=2",
        "17 2031-05-10 18:12:00 power-off",
        "18 2031-05-12 09:21:03 power-on",
        "19 2031-05-12 09:21:33 result total=2",
    ];
    let row = |of: &str, value: u64| {
        format!("[[count]]\nof = \"{of}\"\nvalue = {value}\nsource = \"paper\"\nby = \"officer\"\n")
    };
    let papers = "[[phase]]\nwas = \"poll\"\nrecords = \"11-17\"\nsource = \"diary\"\nby = \"officer\"\n";
    for until in 7..=lines.len() {
        let text = lines.get(..until).unwrap().join("\n") + "\n";
        let of = |rows: &[(&str, u64)], rule: &str| {
            let rows: String = rows.iter().map(|(of, value)| row(of, *value)).collect();
            let told = Told::of(&text, &format!("{papers}{rows}"));
            let answers = told.report["examinations"][0]["answers"].as_array().unwrap().clone();
            let answer = answers.into_iter().find(|answer| answer["rule"] == rule).unwrap();
            (told.verdict(rule).to_owned(), answer.to_string())
        };
        let none = [("refused", 0), ("left-after-enable", 0), ("tendered", 0)];
        let all = |signed| [&none[..], &[("register", signed)]].concat();
        assert_eq!(of(&[("register", 1)], "register-differs").0, "not kept", "{text}");
        assert_eq!(of(&all(3), "register-differs").0, "not kept", "{text}");
        assert_eq!(of(&all(2), "register-differs").0, "kept", "{text}");
        let (open, asks) = of(&[("register", 3)], "register-differs");
        assert!(open == "cannot be told" && asks.contains("refused") && !asks.contains("ends"), "{asks}");
        for (slips, verdict) in [(1, "not kept"), (2, "kept"), (3, "not kept")] {
            assert_eq!(of(&[("slips", slips)], "slips-differ").0, verdict, "{text}");
        }
        let of_count = if until == lines.len() { "not kept" } else { "cannot be told" };
        assert_eq!(of(&[("declared", 3)], "declared-differs").0, of_count, "{text}");
        assert_eq!(of(&[("result-at-count", 3)], "result-differs").0, of_count, "{text}");
        assert_eq!(of(&[("total-at-close", 3)], "total-differs").0, "not kept", "{text}");
    }
    // Before the close the votes seen are the least that there were.
    let text = lines[..6].join("\n") + "\n";
    let verdict = |signed| {
        Told::of(&text, &format!("{papers}{}", row("register", signed)))
            .verdict("register-differs")
            .to_owned()
    };
    assert_eq!((verdict(1).as_str(), verdict(3).as_str()), ("not kept", "cannot be told"));
}

/// One number of the ledger has one value, and a line that shows another is told with the reason.
#[test]
fn a_number_shown_and_not_used_stands_with_the_reason() {
    let told = Told::of(&disputed(), &read(&format!("{DISPUTED}.case.toml")));
    let one = |value: &str| serde_json::json!({ "least": value, "most": value });
    let of = |words: &str| told.number(words);
    assert_eq!(of("votes shown by a close that other records contradict"), (one("28"), "line 81".to_owned()));
    assert_eq!(of("votes shown by a total behind that close"), (one("29"), "line 87".to_owned()));
    let (_, from) = of("votes in memory behind records that contradict each other");
    assert_eq!(from, "29 shown on line 91; not used: it lies in conflict 2");
    let (_, from) = of("votes in the unit's memory after its last record");
    assert_eq!(from, "29 shown on line 87; not used: what follows it lies in conflict 2");
    assert!(told.page.contains("28 - not known - not known = at most 28; 29 if F = C"), "{}", told.page);
    let (_, from) = of("votes of the poll released after the closing hour");
    assert_eq!(from, "line 80; line 82 lies in conflict 2 and is not counted");
    let says = "record 287 lies in a conflict and is not counted";
    assert!(told.page.to_lowercase().contains(says), "{}", told.page);
}

/// What the unit showed before a vote behind the close, and after it, stands with the finding and with the account.
#[test]
fn a_vote_behind_the_close_stands_with_the_numbers_shown() {
    let told = Told::of(&disputed(), &read(&format!("{DISPUTED}.case.toml")));
    assert_eq!(
        told.finding("vote-after-close").measured.as_deref(),
        Some(
            "votes shown before: 28 (record 286); shown after: 29 (records 292 and 296); votes recorded between: 1"
        )
    );
    let counted =
        "The numbers that the unit showed agree with this vote having been counted: 28 (record 286) before";
    assert!(told.page.contains(counted), "{}", told.page);
    // The same vote where the result is that of the close.
    let text = without(&disputed(), "292 ").replace("result total=29", "result total=28");
    let told = Told::of(&without(&text, "end "), "");
    assert_eq!(
        told.finding("vote-after-close").measured.as_deref(),
        Some("votes shown before: 28 (record 286); shown after: 28 (record 296); votes recorded between: 1")
    );
    assert!(told.page.contains("agree with one vote not having been counted"), "{}", told.page);
}

/// A conflict of the evening takes nothing from the votes counted by a time of the morning.
#[test]
fn a_conflict_of_the_evening_leaves_the_morning() {
    let papers = format!(
        "{}\n[[turnout]]\nat = \"2031-05-10 12:00\"\nwithin-seconds = 60\nvalue = 12\nsource = \"Diary\"\nby = \"Presiding officer\"\n",
        read(&format!("{DISPUTED}.case.toml"))
    );
    // Without the second enable of 11:16, so that the evening's conflict is the only one.
    let text = disputed().replace("246 2031-05-10 11:15:17 enable", "246 2031-05-10 11:15:17 total shown=9");
    let told = Told::of(&without(&text, "end "), &papers);
    let votes = serde_json::json!({ "least": "12", "most": "12" });
    let (stated, from) = told.number("votes recorded by 2031-05-10 12:00");
    assert_eq!((stated, from.as_str()), (votes, "12 records on lines 28 to 51"));
    assert_eq!(told.verdict("turnout-differs"), Verdict::Kept.words());
}

/// A cover opened in the night behind the close is told so.
#[test]
fn a_cover_opened_behind_the_close_is_told_so() {
    let told = Told::of(&disputed(), &read(&format!("{DISPUTED}.case.toml")));
    let shows = &told.finding("cover-opened").shows;
    for part in [
        "It stands behind record 286 (2031-05-10 18:03:10), a close, and no enable is recorded between.",
        "By the readings of the clock it was recorded while the unit was stored, as stated in Strong-room book, page 5 (by Registrar).",
    ] {
        assert!(shows.contains(part), "{part}: {shows}");
    }
    // And what that rests on stands under what is assumed.
    let premises: Vec<&str> =
        told.finding("cover-opened").assumptions.iter().map(|one| one.0.as_str()).collect();
    for part in [
        "the reading on line",
        "the clock kept within",
        "the unit was stored then, as stated in Strong-room book",
    ] {
        assert!(premises.iter().any(|premise| premise.contains(part)), "{part}: {premises:?}");
    }
}

/// The records that lie surely in the storage are named, and those next to them that are not counted too.
#[test]
fn the_records_in_the_storage_are_named() {
    let told = Told::of(&disputed(), &read(&format!("{DISPUTED}.case.toml")));
    let finding = told.finding("activity-in-storage");
    for part in [
        "3 records lie surely in this time: records 290, 291 and 292.",
        "Beside them, records 289 and 293 lie in a conflict and are not counted.",
    ] {
        assert!(finding.shows.contains(part), "{part}: {}", finding.shows);
    }
    assert_eq!(finding.others.len(), 2);
}

/// A covered line that could not be read is no comment with words of a choice.
#[test]
fn a_mistyped_line_beside_a_vote_is_no_comment_of_a_choice() {
    let text = "unit-event-log 1\n3 2031-05-10 06:03:01 power-on\n4 2031-05-10 06:03:zz enable\n5 2031-05-10 06:03:20 vote\n";
    let told = Told::of(text, "");
    let covered = "a line beside a vote could not be read, and its text is covered because it may hold words of a choice or an identity";
    assert!(told.page.contains(covered), "{}", told.page);
    assert!(!told.page.contains("comment beside a vote"), "{}", told.page);
    let text = "unit-event-log 1\n4 2031-05-10 06:03:05 enable\n; the voter chose candidate 3\n5 2031-05-10 06:03:20 vote\n";
    let told = Told::of(text, "");
    assert!(
        told.page.contains("a comment beside a vote has words of a choice, a vote or an identity"),
        "{}",
        told.page
    );
}

//! The forms of a report as data: SARIF by its own rules, tables read back by a second library, hostile input, files written.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use logassay::case::Case;
use logassay::finding::{Kind, Verdict, Weight};
use logassay::report::forms::{FORMS, form};
use logassay::report::{Layout, NO_EVIDENCE};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use serde_json::Value;

use crate::cli::{run, run_with};
use crate::pages::{corpus, frame, logs};

fn written(id: &str, examinations: &[Examination<'_>], demonstration: bool) -> String {
    (form(id).unwrap().write)(examinations, &frame(demonstration), Layout::plain(100))
}

fn each(mut check: impl FnMut(&str, &[Examination<'_>])) {
    let unit = UnitDescription::kestrane();
    for (name, logs, case) in corpus() {
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        check(&name, &examinations);
    }
}

/// The rows of a table behind its head, and the names of its columns, as the `csv` crate (MIT) reads them.
fn read_back(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::ReaderBuilder::new().flexible(false).from_reader(text.as_bytes());
    let names = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let row = |row: csv::StringRecord| row.iter().map(str::to_owned).collect();
    (names, reader.records().map(|record| row(record.unwrap())).collect())
}

#[test]
fn every_answer_and_finding_has_its_kind_in_sarif() {
    let (mut kinds, mut withheld) = (BTreeSet::new(), 0);
    each(|name, examinations| {
        let log: Value = serde_json::from_str(&written("sarif", examinations, false)).unwrap();
        let run = &log["runs"][0];
        let results = run["results"].as_array().unwrap();
        let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
        let mut at = results.iter();
        for examination in examinations {
            for answer in &examination.answers {
                for finding in examination.findings_of(answer.rule) {
                    let result = at.next().unwrap();
                    let expected = match (finding.weight, finding.kind) {
                        (Weight::Remark, _) => ("informational", "none"),
                        (Weight::Unusual, _) | (_, Kind::Conditional) => ("review", "none"),
                        (_, Kind::Contradiction) => ("fail", "error"),
                        (_, Kind::Shown) => ("fail", "warning"),
                    };
                    assert_eq!(result["ruleId"], finding.rule, "{name}");
                    assert_eq!(
                        (result["kind"].as_str(), result["level"].as_str()),
                        (Some(expected.0), Some(expected.1))
                    );
                    assert!(
                        !result["partialFingerprints"]["place/v1"].as_str().unwrap().is_empty(),
                        "{name}"
                    );
                }
                let expected = match answer.verdict {
                    Verdict::NotKept => continue,
                    Verdict::Kept => "pass",
                    Verdict::CannotBeTold => "open",
                    Verdict::DoesNotApply => "notApplicable",
                };
                let result = at.next().unwrap();
                assert_eq!(
                    (&result["ruleId"], &result["kind"]),
                    (&answer.rule.into(), &expected.into()),
                    "{name}"
                );
                assert_eq!(result["level"], "none", "{name}");
            }
        }
        assert!(at.next().is_none(), "{name}");
        for result in results {
            kinds.insert(result["kind"].as_str().unwrap().to_owned());
            // 3.27.6 and 3.27.10 of SARIF 2.1.0.
            let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
            assert_eq!(rules[index]["id"], result["ruleId"], "{name}");
            assert!(result["level"] == "none" || result["kind"] == "fail", "{name}");
            assert!(!result["locations"].as_array().unwrap().is_empty(), "{name}");
            assert!(result.get("baselineState").is_none(), "{name}");
        }
        let artifact = &run["artifacts"][0];
        if let Some((bytes, digest)) = examinations[0].log.file_identity(&examinations[0].secrecy) {
            assert_eq!(artifact["hashes"]["sha-256"], digest.to_string(), "{name}");
            assert_eq!(artifact["length"], bytes, "{name}");
        } else {
            assert!(artifact.get("hashes").is_none() && artifact.get("length").is_none(), "{name}");
            withheld += 1;
        }
    });
    let all = ["fail", "informational", "notApplicable", "open", "pass", "review"];
    assert!(withheld > 0, "the corpus holds a log with something covered");
    assert_eq!(kinds.iter().map(String::as_str).collect::<Vec<_>>(), all);
}

#[test]
fn a_region_covers_its_line_unless_its_length_would_tell() {
    let text = "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 enable\n\
                1203 2031-05-10 07:01:31 vote candidate=AB\n1204 2031-05-10 07:01:40 vote candidate=ABCDEF\n";
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let logs = logs("/some/folder/unit.log", text.as_bytes());
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let log: Value = serde_json::from_str(&written("sarif", &examinations, false)).unwrap();
    let (mut open, mut covered) = (0, 0);
    for result in log["runs"][0]["results"].as_array().unwrap() {
        for location in result["locations"].as_array().unwrap() {
            let physical = &location["physicalLocation"];
            assert_eq!(physical["artifactLocation"]["uri"], "unit.log");
            let Some(region) = physical.get("region") else { continue };
            let line = text
                .lines()
                .nth(usize::try_from(region["startLine"].as_u64().unwrap()).unwrap() - 1)
                .unwrap();
            if line.contains("candidate") {
                assert!(region.get("endColumn").is_none() && region.get("endLine").is_none(), "{region}");
                covered += 1;
            } else {
                assert_eq!(region["endColumn"], line.chars().count() + 1, "{region}");
                open += 1;
            }
        }
    }
    assert!(open > 0 && covered > 0);
}

#[test]
fn tables_are_read_back_by_a_second_library() {
    let (mut findings, mut lines) = (0, 0);
    each(|name, examinations| {
        let (columns, rows) = read_back(&written("csv-findings", examinations, false));
        let column = |what: &str| columns.iter().position(|column| column == what).unwrap();
        let expected: Vec<_> = examinations.iter().flat_map(|examination| &examination.findings).collect();
        assert_eq!(rows.len(), expected.len(), "{name}");
        for (row, finding) in rows.iter().zip(&expected) {
            assert_eq!(row[column("rule")], finding.rule, "{name}");
            assert_eq!(row[column("weight")], finding.weight.word(), "{name}");
            assert_eq!(row[column("record shows")], finding.shows, "{name}");
        }
        findings += rows.len();
        let (columns, rows) = read_back(&written("csv-answers", examinations, false));
        let column = |what: &str| columns.iter().position(|column| column == what).unwrap();
        let expected = examinations.iter().flat_map(|examination| &examination.answers);
        assert!(
            rows.iter().map(|row| row[column("answer")].as_str()).eq(expected.map(|a| a.verdict.words())),
            "{name}"
        );
        let (columns, rows) = read_back(&written("csv-timeline", examinations, false));
        let text = columns.iter().position(|column| column == "text").unwrap();
        let expected = examinations.iter().flat_map(|examination| {
            (0..examination.log.lines().len()).map(|line| examination.log.quote(line, &examination.secrecy))
        });
        for (row, quote) in rows.iter().zip(expected) {
            assert!([quote.as_str(), &format!("'{quote}")].contains(&row[text].as_str()), "{name}");
        }
        assert_eq!(rows.len(), examinations.iter().map(|e| e.log.lines().len()).sum::<usize>(), "{name}");
        lines += rows.len();
    });
    assert!(findings > 40 && lines > 1000, "{findings} {lines}");
}

/// A log that would act on whoever shows it without care.
fn hostile() -> String {
    format!(
        "unit-event-log 1\nserial: =HYPERLINK(\"http://x\")\nplace: <script>alert(1)</script>\n\
         ; <svg onload=alert(2)> [click](javascript:alert(3)) {{0}}\n=1+1\n@SUM(A1)\n-2+3\n\
         1 2031-05-10 06:00:00 power-on note=\"<img src=x onerror=alert(4)>\"\n\
         2 2031-05-10 06:00:01 warble note=\"\u{1b}[2J\u{202e}\u{7}\" x=\"{}\"\n\
         3 2031-05-10 07:00:05 enable\n4 2031-05-10 07:00:09 enable\n",
        "w".repeat(10_000)
    )
}

#[test]
fn a_hostile_log_leaves_every_form_inert() {
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    for name in ["=cmd|' /C calc'!A0", "\u{1b}]0;x\u{7}\u{202e}", "javascript:alert(5)"] {
        let logs = logs(name, hostile().as_bytes());
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        assert!(examinations.iter().any(|examination| !examination.findings.is_empty()));
        for form in FORMS {
            let text = (form.write)(&examinations, &frame(false), Layout::plain(100));
            assert!(!text.contains(&"w".repeat(1000)), "{form:?} shows an attribute without end");
            for c in text.chars() {
                assert!(matches!(c, '\n' | '\r') || !c.is_control(), "{form:?} lets {c:?} through");
                assert!(!matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'), "{form:?}");
            }
            if form.id.starts_with("csv") {
                let (names, rows) = read_back(&text);
                for cell in names.iter().chain(rows.iter().flatten()) {
                    assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']), "{form:?}: {cell}");
                }
                let guarded = rows.iter().flatten().any(|cell| cell.starts_with("'="));
                assert!(guarded || !name.starts_with('='), "{form:?}");
            }
        }
        let log: Value = serde_json::from_str(&written("sarif", &examinations, false)).unwrap();
        let mut todo = vec![&log];
        while let Some(value) = todo.pop() {
            match value {
                Value::Array(items) => todo.extend(items),
                Value::Object(members) => {
                    for (key, value) in members {
                        let text = value.get("text").and_then(Value::as_str).unwrap_or_default();
                        // 3.11.5 and 3.11.6: no placeholder and no link in a message; a snippet is quoted as it is.
                        if key != "snippet" && key != "coverage" {
                            assert!(!text.contains("]("), "{text}");
                        }
                        if key == "uri" {
                            assert!(!value.as_str().unwrap().contains([':', '\\', ' ']), "{value}");
                        }
                        todo.push(value);
                    }
                }
                _ => {}
            }
        }
    }
}

#[test]
fn a_demonstration_says_so_in_every_form_and_no_form_names_a_place_of_the_machine() {
    for form in FORMS {
        let (text, err, code) = run(&["examine", "--form", form.id, "--width", "300"]);
        assert_eq!((err.as_str(), code), ("", 1), "{form:?}");
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(NO_EVIDENCE), "{form:?}");
        let log = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/demonstration/clean-life.log");
        let case = log.with_extension("case.toml");
        let arguments =
            ["examine", log.to_str().unwrap(), "--case", case.to_str().unwrap(), "--form", form.id];
        let whole = run(&arguments).0;
        assert!(!whole.contains(env!("CARGO_MANIFEST_DIR")), "{form:?}");
        // A table of findings has no row where there is none.
        assert_eq!(whole.contains("clean-life.log"), form.id != "csv-findings", "{form:?}");
        assert_eq!(whole, run(&arguments).0, "{form:?}");
    }
    assert_eq!(
        run(&["examine", "--json"]).0.replace("--json", "--form json"),
        run(&["examine", "--form", "json"]).0
    );
    assert_eq!(run(&["examine", "--json", "--form", "text"]).2, 2);
}

/// A new folder of this test.
pub(crate) fn folder(test: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("forms").join(test);
    let _absent = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn a_report_is_written_whole_and_over_nothing_unless_told() {
    let folder = folder("out");
    let (log, out) = (folder.join("unit.log"), folder.join("report.json"));
    fs::write(&log, "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n").unwrap();
    let [log_name, out_name] = [&log, &out].map(|path| path.to_str().unwrap());
    let base = ["examine", log_name, "--form", "json"];
    let printed = run(&base).0;
    let with = |more: &[&str]| run(&[&base[..], more].concat());
    let (said, err, code) = with(&["--out", out_name]);
    assert_eq!((err.as_str(), code), ("", 0));
    assert!(
        said.contains("written: ")
            && said.contains(&logassay::source::Digest::of(printed.as_bytes()).to_string())
    );
    assert_eq!(fs::read_to_string(&out).unwrap(), printed, "the same bytes as on the standard output");
    // Over nothing: neither a file nor a link, even one that leads nowhere.
    fs::write(&out, "older").unwrap();
    assert_eq!(with(&["--out", out_name]).2, 2);
    assert_eq!(fs::read_to_string(&out).unwrap(), "older");
    #[cfg(unix)]
    {
        let link = folder.join("link.json");
        std::os::unix::fs::symlink(folder.join("nowhere"), &link).unwrap();
        assert_eq!(with(&["--out", link.to_str().unwrap()]).2, 2);
        assert!(!folder.join("nowhere").exists());
        fs::remove_file(&link).unwrap();
    }
    assert_eq!(with(&["--out", out_name, "--replace"]).2, 0);
    assert_eq!(fs::read_to_string(&out).unwrap(), printed);
    // Never over what was read, however it is named.
    let evidence = fs::read(&log).unwrap();
    let (_, err, code) = with(&["--out", folder.join("../out/unit.log").to_str().unwrap(), "--replace"]);
    assert_eq!(code, 2);
    assert!(err.contains("was") || err.contains("were read"), "{err}");
    assert_eq!(fs::read(&log).unwrap(), evidence);
    assert_eq!(with(&["--replace"]).2, 2, "nothing to replace");
    assert_eq!(with(&["--out", folder.to_str().unwrap(), "--replace"]).2, 2);
    assert_eq!(with(&["--out", folder.join("no/such/folder").to_str().unwrap()]).2, 2);
    let mut left: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["report.json", "unit.log"], "nothing begun is left behind");
}

#[test]
fn the_date_is_the_one_that_is_stated() {
    let case = folder("date").join("case.toml");
    fs::write(&case, "[matter]\ndate = \"2031-06-20\"\n").unwrap();
    let log = b"unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n";
    let date = |more: &[&str]| -> Value {
        let (text, _, _) = run_with(&[&["examine", "--json", "-"][..], more].concat(), log);
        serde_json::from_str::<Value>(&text).unwrap()["reproduction"]["date"].clone()
    };
    let case = case.to_str().unwrap();
    assert_eq!(date(&[]), Value::Null);
    assert_eq!(date(&["--case", case]), "2031-06-20");
    assert_eq!(date(&["--case", case, "--date", "2031-06-21"]), "2031-06-21");
    for wrong in ["2031-02-29", "20 June", "2031-6-20", ""] {
        assert_eq!(run_with(&["examine", "-", "--date", wrong], log).2, 2, "{wrong}");
    }
}

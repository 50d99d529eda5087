//! The corpus: every log in it has an expectation, and every expectation is met.
//!
//! `x.log` stands with `x.found` and, where a case is known, `x.case.toml`. The expectation lists every finding (line,
//! rule, kind) and every rule's answer. With `LOGASSAY_BLESS=1` the test writes what it found; read the diff.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use logassay::case::Case;
use logassay::finding::{Place, Verdict};
use logassay::source::Source;
use logassay::unit::UnitDescription;

/// Folders whose logs are examined, not only read.
pub(crate) const FOLDERS: &[&str] = &["demonstration", "clean", "faulted"];

pub(crate) fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name)
}

pub(crate) fn stems(name: &str, ending: &str) -> Vec<String> {
    let mut stems: Vec<String> = fs::read_dir(folder(name))
        .unwrap_or_else(|e| panic!("corpus/{name}: {e}"))
        .filter_map(|entry| entry.unwrap().file_name().to_str()?.strip_suffix(ending).map(str::to_owned))
        .collect();
    stems.sort();
    stems
}

/// What the tool finds in a log of the corpus, as text.
fn found(path: &Path) -> String {
    let source = Arc::new(Source::new("log", fs::read(path.with_extension("log")).unwrap()));
    let case = match fs::read_to_string(path.with_extension("case.toml")) {
        Ok(text) => Case::read("case", &text).unwrap_or_else(|e| panic!("{}: {e:?}", path.display())).case,
        Err(_) => Case::default(),
    };
    let unit = UnitDescription::kestrane();
    let mut text = String::new();
    for log in logassay::syntax::read(source) {
        let examination = logassay::examine(&log, &case, &unit);
        writeln!(text, "log from line {}: {} records", log.first_line, log.records().len()).unwrap();
        for finding in &examination.findings {
            let line = match finding.main {
                Place::Line(line) => format!("line {}", log.line_number(line)),
                Place::Log => "the log".to_owned(),
            };
            writeln!(text, "{line}: {} ({})", finding.rule, finding.kind.word()).unwrap();
        }
        if let Some(account) = &examination.replay.account {
            let groups = account.clusters.iter().map(|cluster| cluster.group).max().unwrap_or(0);
            let (changes, accounts) = (account.cost, &account.accounts);
            writeln!(text, "least assumed: {changes} changes, {accounts} accounts, {groups} conflicts")
                .unwrap();
        }
        for verdict in [Verdict::NotKept, Verdict::CannotBeTold, Verdict::DoesNotApply, Verdict::Kept] {
            let rules: Vec<&str> =
                examination.answers.iter().filter(|a| a.verdict == verdict).map(|a| a.rule).collect();
            writeln!(
                text,
                "{}: {}",
                verdict.words(),
                if rules.is_empty() { "none".to_owned() } else { rules.join(", ") }
            )
            .unwrap();
        }
    }
    text
}

#[test]
fn every_log_meets_its_expectation() {
    let bless = std::env::var_os("LOGASSAY_BLESS").is_some();
    let mut wrong = Vec::new();
    for name in FOLDERS {
        let logs = stems(name, ".log");
        assert!(!logs.is_empty(), "corpus/{name} holds no log");
        for stem in &logs {
            let path = folder(name).join(stem);
            let now = found(&path);
            let expectation = path.with_extension("found");
            if bless {
                fs::write(&expectation, &now).unwrap();
            }
            match fs::read_to_string(&expectation) {
                Ok(expected) if expected == now => {}
                Ok(expected) => {
                    wrong.push(format!("{name}/{stem}\n--- expected\n{expected}--- found\n{now}"));
                }
                Err(_) => wrong.push(format!("{name}/{stem}.found is missing; found:\n{now}")),
            }
        }
        for orphan in stems(name, ".found").into_iter().chain(stems(name, ".case.toml")) {
            assert!(logs.contains(&orphan), "corpus/{name}/{orphan} belongs to no log");
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn lawful_lives_stay_silent() {
    for name in ["clean"] {
        for stem in stems(name, ".log") {
            let found = found(&folder(name).join(&stem));
            assert!(found.contains("not kept: none"), "{name}/{stem} is lawful and yet:\n{found}");
        }
    }
    for stem in ["clean-life", "busy-unit"] {
        let found = found(&folder("demonstration").join(stem));
        assert!(found.contains("not kept: none"), "the demonstration {stem} is lawful and yet:\n{found}");
    }
}

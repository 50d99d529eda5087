//! The corpus of malformed files: each has its expectation beside it, and no expectation stands alone.

#![allow(clippy::unwrap_used, reason = "a test may stop")]

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use logassay::syntax::{FAULTS, Log};

use crate::syntax::logs;

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/malformed")
}

fn stems(extension: &str) -> BTreeSet<String> {
    fs::read_dir(corpus())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|found| found == extension))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect()
}

/// What was found in a file: each line with its kind and faults (with their columns, in bytes), then counts.
fn found(logs: &[Log]) -> String {
    let mut text = String::new();
    for log in logs {
        _ = writeln!(text, "log from line {}", log.first_line);
        for (index, line) in log.lines().iter().enumerate() {
            let kind = line.kind.word();
            _ = write!(text, "{} {kind}", log.line_number(index));
            for fault in log.faults().iter().filter(|fault| fault.line == index) {
                let (from, to) =
                    (fault.span.start - line.span.start + 1, fault.span.end - line.span.start + 1);
                _ = write!(text, " {}@{from}-{to}", fault.code.word());
            }
            text.push('\n');
        }
        if log.lines().is_empty() {
            let words: Vec<&str> = log.faults().iter().map(|fault| fault.code.word()).collect();
            _ = writeln!(text, "no line {}", words.join(" "));
        }
        let closing = match log.closing() {
            None => "none",
            Some(closing) if closing.is_intact() => "intact",
            Some(closing) if closing.digest.is_none() && closing.count == closing.found_count => "count fits",
            Some(_) => "differs",
        };
        _ = writeln!(
            text,
            "lines {} records {} headers {} faults {} closing {closing}",
            log.lines().len(),
            log.records().len(),
            log.headers().len(),
            log.fault_counts().total()
        );
    }
    text
}

#[test]
fn every_malformed_file_is_read_as_its_expectation_says() {
    let (files, expectations) = (stems("log"), stems("found"));
    // To look at what has changed, print into the files and read the diff; the test fails all the same.
    let print = std::env::var_os("LOGASSAY_PRINT_FOUND").is_some();
    if print {
        for stem in &files {
            let bytes = fs::read(corpus().join(format!("{stem}.log"))).unwrap();
            fs::write(corpus().join(format!("{stem}.found")), found(&logs(bytes))).unwrap();
        }
    }
    assert!(!print, "expectations were printed; run again without LOGASSAY_PRINT_FOUND");
    assert_eq!(files, expectations, "a file without expectation, or an expectation without file");
    for stem in &files {
        let bytes = fs::read(corpus().join(format!("{stem}.log"))).unwrap();
        let expected = fs::read_to_string(corpus().join(format!("{stem}.found"))).unwrap();
        assert_eq!(found(&logs(bytes)), expected, "{stem}");
    }
}

/// A file is named for the fault that it was written to show, with `.what` behind it where there are several.
#[test]
fn every_fault_has_a_file_named_for_it_that_shows_it() {
    let files = stems("log");
    // Two limits are too large for a file; `read.rs` tests them within smaller ones.
    let too_large = ["lines-too-many", "records-too-many"];
    for entry in FAULTS.iter().filter(|entry| !entry.code.is_foreign() && !too_large.contains(&entry.word)) {
        assert!(files.contains(entry.word), "no file for {}", entry.word);
    }
    for stem in files.iter().filter(|stem| !stem.starts_with("no-fault")) {
        let word = stem.split('.').next().unwrap();
        let bytes = fs::read(corpus().join(format!("{stem}.log"))).unwrap();
        let shown = logs(bytes).iter().any(|log| log.faults().iter().any(|fault| fault.code.word() == word));
        assert!(shown, "{stem} does not show {word}");
    }
}

#[test]
fn files_named_no_fault_have_none() {
    let files = stems("log");
    let clean: Vec<_> = files.iter().filter(|stem| stem.starts_with("no-fault")).collect();
    assert!(!clean.is_empty());
    for stem in clean {
        let bytes = fs::read(corpus().join(format!("{stem}.log"))).unwrap();
        assert!(logs(bytes).iter().all(|log| log.faults().is_empty()), "{stem}");
    }
}

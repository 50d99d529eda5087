//! What `--replace` may not write over: the evidence by whatever name or way it came, and what is no file.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::cli::{run, run_with};
use crate::report_forms::folder;

const LOG: &str = "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n";

/// Asserts that the command refuses to write there, and that what stands there is as it was.
fn refuses(name: &str, said: &(String, String, i32), log: &Path) {
    assert_eq!(said.2, 2, "{name}: {}{}", said.0, said.1);
    // The complaint is wrapped, with a line drawn beside it.
    let words: Vec<&str> = said.1.split_whitespace().filter(|word| *word != "│").collect();
    assert!(words.join(" ").contains("nothing is written over it"), "{name}: {}", said.1);
    assert_eq!(fs::read_to_string(log).unwrap(), LOG, "{name}");
}

#[test]
fn evidence_is_never_written_over_whatever_its_name() {
    let place = folder("overwriting");
    let (log, link) = (place.join("a.log"), place.join("b.log"));
    fs::write(&log, LOG).unwrap();
    fs::hard_link(&log, &link).unwrap();
    let [log_name, link_name] = [&log, &link].map(|path| path.to_str().unwrap());
    // A second name of the log.
    refuses("hard link", &run(&["examine", log_name, "--out", link_name, "--replace"]), &log);
    refuses("document", &run(&["document", log_name, "--out", link_name, "--replace"]), &log);
    // Through the standard input: as a file, and as bytes through a pipe.
    let from_file = Command::new(env!("CARGO_BIN_EXE_logassay"))
        .args(["examine", "-", "--out", log_name, "--replace"])
        .stdin(Stdio::from(fs::File::open(&log).unwrap()))
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let said = (text(from_file.stdout), text(from_file.stderr), from_file.status.code().unwrap());
    refuses("standard input", &said, &log);
    let piped = run_with(&["examine", "-", "--out", log_name, "--replace"], LOG.as_bytes());
    refuses("pipe", &piped, &log);
    // The mapping and the unit description are read too.
    let unit = place.join("unit.toml");
    fs::write(&unit, logassay::unit::UnitDescription::kestrane_text()).unwrap();
    let name = unit.to_str().unwrap();
    refuses("unit", &run(&["examine", log_name, "--unit", name, "--out", name, "--replace"]), &log);
    assert_eq!(fs::read_to_string(&unit).unwrap(), logassay::unit::UnitDescription::kestrane_text());
    // An older report is no evidence.
    let out = place.join("report.txt");
    fs::write(&out, "older").unwrap();
    assert_eq!(run(&["examine", log_name, "--out", out.to_str().unwrap(), "--replace"]).2, 0);
    assert_ne!(fs::read_to_string(&out).unwrap(), "older");
}

#[test]
fn what_is_no_file_is_never_replaced() {
    use std::os::unix::fs::FileTypeExt as _;
    let place = folder("no-file");
    let (log, pipe, link) = (place.join("a.log"), place.join("pipe"), place.join("link"));
    fs::write(&log, LOG).unwrap();
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    std::os::unix::fs::symlink(place.join("nowhere"), &link).unwrap();
    for target in [&pipe, &link, &place] {
        let name = target.to_str().unwrap();
        refuses(name, &run(&["examine", log.to_str().unwrap(), "--out", name, "--replace"]), &log);
    }
    assert!(fs::symlink_metadata(&pipe).unwrap().file_type().is_fifo());
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
}

#[test]
fn the_standard_input_makes_no_bundle_even_beside_a_case_file() {
    let place = folder("bundle-of-input").join("bundle");
    let case = "corpus/demonstration/clean-life.case.toml";
    let arguments = ["examine", "-", "--case", case, "--bundle", place.to_str().unwrap()];
    let (_, err, code) = run_with(&arguments, LOG.as_bytes());
    assert_eq!(code, 2);
    assert!(err.contains("no file with evidence was read") && !place.exists(), "{err}");
}

#[test]
fn a_new_empty_folder_is_found_at_the_later_look() {
    let place = folder("empty-folder");
    fs::create_dir_all(place.join("kept")).unwrap();
    fs::write(place.join("kept/a.log"), LOG).unwrap();
    let name = place.to_str().unwrap();
    assert_eq!(run(&["custody", "make", name]).2, 0);
    assert_eq!(run(&["custody", "check", name]).2, 0);
    fs::create_dir_all(place.join("more/inner")).unwrap();
    let (said, _, code) = run(&["custody", "check", name]);
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("new        more/inner: it is an empty folder"), "{said}");
    // A manifest lists files: it does not pass over a folder that holds none.
    fs::remove_file(place.join("MANIFEST.sha256")).unwrap();
    let (_, err, code) = run(&["custody", "make", name]);
    assert!(code == 2 && err.contains("it is an empty folder"), "{err}");
    // A folder that a listed file has left is not new.
    fs::remove_dir_all(place.join("more")).unwrap();
    assert_eq!(run(&["custody", "make", name]).2, 0);
    fs::remove_file(place.join("kept/a.log")).unwrap();
    let (said, _, _) = run(&["custody", "check", name]);
    assert!(said.contains("0 unchanged, 0 changed, 1 missing, 0 new."), "{said}");
}

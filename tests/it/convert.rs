//! `convert`, `fmt` and `mapping` as people run them: what is written, and what is refused.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may stop")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_logassay"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// The complaint as one line, without the frame that wraps it.
fn complaint(output: &Output) -> String {
    let text = String::from_utf8(output.stderr.clone()).unwrap();
    text.split_whitespace().filter(|word| *word != "\u{2502}").collect::<Vec<_>>().join(" ")
}

/// A folder of this test that is empty.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("convert").join(name);
    let _absent = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn a_log_is_written_in_its_canonical_form_beside_it_and_never_over_a_file() {
    let folder = folder("fmt");
    let log = folder.join("unit.log");
    let text = "unit-event-log 1\r\nserial: CU-1 \r\n1 2031-05-10 06:58:12 power-on\r\n2 - fault part=\"printer\"\r\n";
    fs::write(&log, text).unwrap();
    let done = run(&["fmt", log.to_str().unwrap()]);
    assert!(done.status.success(), "{}", complaint(&done));
    assert!(out(&done).contains("unit.canonical.log, ") && out(&done).contains("SHA-256 "), "{}", out(&done));
    let written = fs::read_to_string(folder.join("unit.canonical.log")).unwrap();
    assert_eq!(
        written,
        "unit-event-log 1\nserial: CU-1\n1 2031-05-10 06:58:12 power-on\n2 - fault part=printer\n"
    );
    assert_eq!(fs::read_to_string(&log).unwrap(), text, "the evidence stays as it was");
    let again = run(&["fmt", log.to_str().unwrap()]);
    assert_eq!(again.status.code(), Some(2));
    assert!(complaint(&again).contains("nothing is written over it"), "{}", complaint(&again));
    let over = run(&["fmt", log.to_str().unwrap(), "--out", log.to_str().unwrap()]);
    assert_eq!(over.status.code(), Some(2));
    assert_eq!(fs::read_to_string(&log).unwrap(), text);
}

#[test]
fn a_log_that_names_a_choice_is_not_written_unless_the_papers_say_that_it_was_no_poll() {
    let folder = folder("secrecy");
    let log = folder.join("unit.log");
    fs::write(&log, "unit-event-log 1\n1 - enable\n2 - vote candidate=QZXJ7\n").unwrap();
    let log = log.to_str().unwrap();
    for arguments in [&["fmt", log][..], &["convert", log], &["convert", log, "--to", "log"]] {
        let refused = run(arguments);
        assert_eq!(refused.status.code(), Some(2));
        assert!(complaint(&refused).contains("line 3 may name a voter's choice"), "{}", complaint(&refused));
        assert!(!complaint(&refused).contains("QZXJ7") && out(&refused).is_empty());
    }
    let case = folder.join("case.toml");
    fs::write(
        &case,
        "[[phase]]\nwas = \"test\"\nrecords = \"1-2\"\nsource = \"Test protocol\"\nby = \"Engineer\"\n",
    )
    .unwrap();
    let done = run(&["convert", log, "--case", case.to_str().unwrap()]);
    assert!(out(&done).contains("vote candidate=QZXJ7"), "{}{}", out(&done), complaint(&done));
}

#[test]
fn a_table_is_tried_examined_and_written_by_a_mapping() {
    let (table, mapping) = ("corpus/foreign/semicolon-table.csv", "corpus/foreign/semicolon-table.toml");
    let tried = out(&run(&["convert", table, "--mapping", mapping, "--try"]));
    assert!(tried.contains("The first 10 of 47 records"), "{tried}");
    assert!(tried.contains("is   1 2031-05-03 10:12:05 power-on"), "{tried}");
    let examined = run(&["examine", table, "--mapping", mapping]);
    assert_eq!(examined.status.code(), Some(0));
    assert!(out(&examined).contains("read as"), "{}", out(&examined));
    let written = out(&run(&["convert", table, "--mapping", mapping]));
    // Its lines above the rows are masked, as the rows of several units may stand there.
    assert!(
        written.contains("made-from: corpus/foreign/semicolon-table.csv, length and SHA-256 withheld"),
        "{written}"
    );
    let printout = ["corpus/foreign/printout.txt", "--mapping", "corpus/foreign/printout.toml"];
    let whole = out(&run(&["convert", printout[0], printout[1], printout[2]]));
    let length = std::fs::metadata(printout[0]).unwrap().len();
    assert!(whole.contains(&format!("made-from: {}, {length} bytes, SHA-256 ", printout[0])), "{whole}");
    assert!(written.contains("\n00047 2031-05-19 10:04:31 export\n"), "{written}");
    assert!(written.contains("\nend 47 sha256:"), "{written}");
    let without = out(&run(&["examine", table])).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(without.contains("'mapping new FILE' begins one"), "{without}");
    let missing = run(&["examine", table, "--mapping", "corpus/foreign/printout.toml"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(complaint(&missing).contains("fits no row"), "{}", complaint(&missing));
}

#[test]
fn a_mapping_is_begun_from_what_can_be_seen_and_checked() {
    for file in ["semicolon-table.csv", "printout.txt", "tab-table.txt"] {
        let begun = run(&["mapping", "new", &format!("corpus/foreign/{file}")]);
        let text = out(&begun);
        let toml: toml::Table = text.parse().unwrap_or_else(|error| panic!("{file}: {error}\n{text}"));
        assert!(toml.contains_key("mapping") && toml.contains_key("file"), "{text}");
    }
    let table = out(&run(&["mapping", "new", "corpus/foreign/semicolon-table.csv"]));
    for seen in [
        "separator = \"semicolon\"",
        "skip-first = 3",
        "#name = \"Date\"",
        "`99/99/9999`",
        "column-names = true",
    ] {
        assert!(table.contains(seen), "{seen}\n{table}");
    }
    let tabs = out(&run(&["mapping", "new", "corpus/foreign/tab-table.txt", "--events", "3"]));
    assert!(tabs.contains("encoding = \"utf-16\""), "{tabs}");
    assert!(
        tabs.contains("# stands 14 times, first on line 9\n#text = \"what stands on line 9, of 1 words\""),
        "{tabs}"
    );
    assert!(!tabs.contains("Freigabe"), "a word that is not of the trade may be a name");
    let table = out(&run(&["mapping", "new", "corpus/foreign/semicolon-table.csv", "--events", "7"]));
    assert!(table.contains("#text = \"RELEASED\"") && table.contains("#text = \"CAST\""), "{table}");
    let checked = run(&["mapping", "check", "corpus/foreign/tab-table.toml"]);
    assert!(out(&checked).contains("The mapping has no errors"), "{}", complaint(&checked));
    let wrong = run(&["mapping", "check", "corpus/demonstration/clean-life.case.toml"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(complaint(&wrong).contains("no table of a mapping"), "{}", complaint(&wrong));
}

//! The command and its files: standard input, files that cannot be read, complaints, evidence left as it was, speed.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use logassay::report::{EXIT_CODES, NO_EVIDENCE};

const CLEAN: &str = "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote\n";
const CONTRARY: &str = "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 enable\n";

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_logassay"));
    command.args(arguments).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env_remove("COLUMNS");
    command
}

fn run(arguments: &[&str]) -> Output {
    command(arguments).stdin(Stdio::null()).output().unwrap()
}

/// Runs the command with bytes on standard input.
pub(crate) fn fed(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = command(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A command that complains about its arguments reads nothing: the pipe may be closed by then.
    let _closed = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

/// A file of this test, in a folder of its own.
fn file(test: &str, name: &str, text: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("cli").join(test);
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

/// Every command that takes a log.
const COMMANDS: &[&[&str]] = &[
    &[],
    &["examine"],
    &["examine", "--json"],
    &["walk"],
    &["walk", "--json"],
    &["walk", "--blank"],
    &["case", "new"],
    &["states"],
    &["states", "--form", "dot"],
    &["states", "--form", "svg"],
];

#[test]
fn exit_codes_are_those_of_the_table() {
    for (log, expected) in [(CLEAN, 0), (CONTRARY, 1)] {
        assert_eq!(code(&fed(&["examine", "-"], log.as_bytes())), expected, "{log}");
        assert_eq!(code(&fed(&["-"], log.as_bytes())), expected, "{log}");
        assert_eq!(code(&fed(&["examine", "--json", "-"], log.as_bytes())), expected, "{log}");
        assert_eq!(code(&fed(&["walk", "-"], log.as_bytes())), 0, "{log}");
    }
    // A remark alone (an unread line, an unknown event) leaves the code at 0.
    let remarks = format!("{CLEAN}1203 2031-05-10 07:00:40 warble\nno record\n");
    let output = fed(&["-"], remarks.as_bytes());
    assert_eq!(code(&output), 0);
    assert!(out(&output).contains("NOT KEPT"), "a remark is a finding");
    for wrong in [
        &["--colour", "blue"][..],
        &["--width", "7"],
        &["--nonsense"],
        &["rules", "no-such-rule"],
        &["a", "b"],
    ] {
        let output = run(wrong);
        assert_eq!(code(&output), 2, "{wrong:?}");
        assert!(output.stdout.is_empty() && !output.stderr.is_empty(), "{wrong:?}");
    }
}

#[test]
fn the_help_prints_the_table_of_exit_codes() {
    let output = run(&["--help"]);
    assert_eq!(code(&output), 0);
    let flat = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
    for (code, meaning) in EXIT_CODES {
        let meaning = meaning.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(&format!("{code} {meaning}")), "{flat}");
    }
    assert_eq!(code(&run(&["--version"])), 0);
}

#[test]
fn without_a_log_the_demonstration_is_examined_and_says_so() {
    let bare = run(&[]);
    assert_eq!(code(&bare), 1);
    assert!(out(&bare).split_whitespace().collect::<Vec<_>>().join(" ").contains(NO_EVIDENCE));
    assert_eq!(out(&bare), out(&run(&["examine"])).replace("logassay examine", "logassay"));
    for name in ["clean-life", "busy-unit"] {
        let output = run(&["examine", "--demonstration", name]);
        assert_eq!(code(&output), 0, "{name}");
        assert!(out(&output).contains(name), "{name}");
    }
    for arguments in [&["walk"][..], &["walk", "--blank"], &["walk", "--json"], &["--json"]] {
        assert!(out(&run(arguments)).contains("no evidence was read"), "{arguments:?}");
    }
    assert_eq!(code(&run(&["examine", "--demonstration", "none-such"])), 2);
    assert_eq!(code(&fed(&["examine", "-", "--demonstration", "clean-life"], b"")), 2);
}

#[test]
fn several_logs_of_one_stream_are_examined_one_by_one() {
    let output = fed(&["-", "--width", "100"], format!("{CLEAN}{CONTRARY}").as_bytes());
    assert_eq!(code(&output), 1);
    let text = out(&output);
    assert!(text.contains("log 1 of 2") && text.contains("log 2 of 2"), "{text}");
    let output = fed(&["--json", "-"], format!("{CONTRARY}{CLEAN}").as_bytes());
    let report: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!(report["examinations"].as_array().unwrap().len(), 2);
    assert_eq!(report["examinations"][1]["source"]["first_line"], 4);
}

#[test]
fn broken_input_never_stops_the_command() {
    for input in [
        &b""[..],
        b"\0",
        b"\xff\xfe",
        b"unit-event-log 9\n",
        b"\n\n\n",
        b"1201",
        &[b'x'; 10_000],
        b"end 1\nend 1\n",
    ] {
        for arguments in COMMANDS {
            let output = fed(&[arguments, &["-"][..]].concat(), input);
            assert!(code(&output) < 2, "{arguments:?} on {input:?}: {}", complaint(&output));
        }
    }
}

#[test]
fn files_that_cannot_be_read_are_named() {
    let folder = file("unreadable", "x.log", CLEAN).parent().unwrap().to_owned();
    let missing = folder.join("missing.log");
    for (path, words) in [(&missing, "there is no file"), (&folder, "is a folder")] {
        let path = path.to_str().unwrap();
        for arguments in [&["examine"][..], &["walk"], &["case", "new"], &["case", "check"], &["states"]] {
            let output = run(&[arguments, &[path, "--width", "1000"]].concat());
            assert_eq!(code(&output), 2, "{arguments:?}");
            assert!(output.stdout.is_empty());
            let text = complaint(&output);
            assert!(text.contains(words) && text.contains(path) && text.contains("help"), "{text}");
        }
    }
    let large = file("unreadable", "large.toml", &"# a comment\n".repeat(100_000));
    let output = run(&["case", "check", large.to_str().unwrap(), "--width", "1000"]);
    assert_eq!(code(&output), 2);
    assert!(complaint(&output).contains("is larger than 1,048,576 bytes"), "{}", complaint(&output));
}

#[test]
fn a_case_file_with_errors_examines_nothing() {
    let log = file("case", "unit.log", CONTRARY);
    let case = file("case", "bad.case.toml", "[matter]\ntitle = 3\n\n[[phase]]\nwas = \"pol\"\n");
    let (log, case) = (log.to_str().unwrap(), case.to_str().unwrap());
    for arguments in
        [&["examine", log, "--case", case][..], &["walk", log, "--case", case], &["case", "check", case]]
    {
        let output = run(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        let text = complaint(&output);
        assert!(text.contains("title") && text.contains("nothing was examined"), "{text}");
    }
    // A case file without a log has nothing to speak about.
    assert_eq!(code(&run(&["examine", "--case", case])), 2);
    let starter = run(&["case", "new", log]);
    let good = file("case", "good.case.toml", &out(&starter));
    let output = run(&["case", "check", good.to_str().unwrap()]);
    assert_eq!(code(&output), 0, "{}", complaint(&output));
    assert!(out(&output).contains("Nothing: it holds no statement."), "{}", out(&output));
}

#[test]
fn a_unit_description_is_taken_as_asked_and_printed() {
    let text = out(&run(&["unit"]));
    let file = file("unit", "mine.toml", &text.replace("Kestrane unit", "Kestrane unit of another year"));
    let path = file.to_str().unwrap();
    assert!(out(&run(&["unit", "--unit", path])).contains("another year"));
    assert!(out(&run(&["examine", "--unit", path])).contains("Kestrane unit of another year"));
    assert_eq!(code(&run(&["unit", "--unit", "/no/such/file"])), 2);
}

#[test]
fn names_and_words_cannot_act_on_the_terminal() {
    let evil = "no\u{1b}[31m\u{202e}such\u{7}";
    let by_file = [&["examine", evil][..], &["walk", evil], &["case", "check", evil], &["rules", evil]];
    let by_usage = [&["--colour", evil][..], &["walk", "x", evil], &[evil, "more", "words"]];
    for arguments in by_file.iter().chain(&by_usage) {
        let output = run(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        let text = complaint(&output);
        assert!(!text.chars().any(|c| c.is_control() && c != '\n') && !text.contains('\u{202e}'), "{text:?}");
    }
}

#[test]
fn the_word_for_a_rule_is_helped() {
    let text = complaint(&run(&["rules", "two-enable", "--width", "200"]));
    assert!(text.contains("two-enables"), "{text}");
    let page = out(&run(&["rules", "two-enables"]));
    assert!(page.contains("Not measured for real logs") && page.contains("Example 1."), "{page}");
    assert!(out(&run(&["rules"])).contains("two-enables"));
}

#[test]
fn a_choice_in_the_log_comes_out_of_no_command() {
    let text = format!(
        "{CLEAN}1203 2031-05-10 07:01:00 vote candidate=QZXJ7\n1204 candidate=QZXJ7\n; party QZXJ7\n"
    );
    let log = file("secrecy", "unit.log", &text);
    for arguments in COMMANDS {
        for path in [log.to_str().unwrap(), "-"] {
            let output = fed(&[arguments, &[path][..]].concat(), text.as_bytes());
            let all = format!("{}{}", out(&output), complaint(&output));
            assert!(!all.contains("QZXJ7") && !all.is_empty(), "{arguments:?}\n{all}");
        }
    }
}

#[test]
fn evidence_is_left_as_it_was() {
    let log = file("evidence", "unit.log", CONTRARY);
    let folder = log.parent().unwrap();
    for arguments in COMMANDS {
        let output = command(&[arguments, &["unit.log"][..]].concat()).current_dir(folder).output().unwrap();
        assert!(code(&output) < 2, "{arguments:?}");
    }
    assert_eq!(fs::read_to_string(&log).unwrap(), CONTRARY);
    assert_eq!(fs::read_dir(folder).unwrap().count(), 1, "nothing is written beside it");
}

#[test]
fn a_reader_who_has_seen_enough_is_no_failure() {
    let mut child =
        command(&["walk", "--width", "80"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((code(&output), complaint(&output)), (0, String::new()));
}

#[test]
fn colour_is_used_when_asked_and_not_in_a_pipe() {
    assert!(!out(&run(&[])).contains('\u{1b}'));
    assert!(!out(&run(&["--colour", "never"])).contains('\u{1b}'));
    assert!(out(&run(&["--colour", "always"])).contains('\u{1b}'));
    assert!(!out(&run(&["--json", "--colour", "always"])).contains('\u{1b}'));
}

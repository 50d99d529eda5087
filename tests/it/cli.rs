//! The command as a person runs it: exit codes, streams, broken input, names that would act on a terminal.

use std::path::Path;

use crate::command::fed;

/// Runs the command; output, errors and exit code.
pub(crate) fn run(arguments: &[&str]) -> (String, String, i32) {
    run_with(arguments, b"")
}

/// The same with bytes on standard input.
pub(crate) fn run_with(arguments: &[&str], input: &[u8]) -> (String, String, i32) {
    let out = fed(arguments, input);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(out.stdout), text(out.stderr), out.status.code().unwrap())
}

#[test]
fn exit_codes_follow_the_table() {
    assert_eq!(run(&[]).2, 1, "the disputed unit is the demonstration");
    assert_eq!(run(&["examine", "--demonstration", "clean-life"]).2, 0);
    assert_eq!(run(&["examine", "--demonstration", "busy-unit"]).2, 0);
    // A remark alone leaves it at 0: an event that the vocabulary does not know.
    let remark = "corpus/faulted/unknown-event.log";
    let (out, _, code) = run(&["examine", remark]);
    assert!(out.contains("NOT KEPT"));
    assert_eq!(code, 0);
    // A conditional finding counts: a number is missing.
    assert_eq!(run(&["examine", "corpus/faulted/number-missing.log"]).2, 1);
    assert_eq!(run(&["examine", "no-such-file.log"]).2, 2);
    assert_eq!(run(&["examine", "corpus"]).2, 2);
    assert_eq!(run(&["examine", "--no-such-option"]).2, 2);
    assert_eq!(run(&["rules", "no-such-rule"]).2, 2);
    assert_eq!(run(&["examine", remark, "--case", "no-such-case.toml"]).2, 2);
    let help = run(&["--help"]).0;
    for line in ["0  ", "1  ", "2  "] {
        assert!(help.lines().any(|l| l.trim_start().starts_with(line)), "the help prints {line}");
    }
}

#[test]
fn a_stream_of_logs_comes_in_by_standard_input() {
    let bytes =
        std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/faulted/two-logs.log")).unwrap();
    let (out, err, code) = run_with(&["examine", "--json", "-"], &bytes);
    assert_eq!((err.as_str(), code), ("", 1));
    assert!(out.contains("CU-20417") && out.contains("CU-20418"));
}

#[test]
fn whatever_comes_in_nothing_acts_on_the_terminal() {
    let spoilt = b"unit-event-log 1\nserial: \x1b[2J\x1b]0;x\x07 \xe2\x80\xae\nodd\x1bkey: 1\n\x1b[31m1 - vote\n1 - a\x9bb\n\0\xff\n";
    for arguments in
        [&["examine", "-"][..], &["walk", "-"], &["examine", "--json", "-"], &["case", "new", "-"]]
    {
        let (out, err, _) = run_with(arguments, spoilt);
        for c in out.chars().chain(err.chars()) {
            assert!(c == '\n' || !c.is_control(), "{arguments:?} lets {c:?} through");
            assert!(!matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'), "{arguments:?}");
        }
    }
    let (_, err, code) = run(&["examine", "\u{1b}[31mno\u{202e}file"]);
    assert_eq!(code, 2);
    assert!(!err.contains('\u{1b}') && !err.contains('\u{202e}'), "{err:?}");
}

#[test]
fn a_starter_is_a_case_file_that_states_nothing() {
    let (starter, _, code) = run(&["case", "new", "corpus/demonstration/clean-life.log"]);
    assert_eq!(code, 0);
    let path = std::env::temp_dir().join(format!("logassay-starter-{}.toml", std::process::id()));
    std::fs::write(&path, starter).unwrap();
    let (_, err, code) = run(&["case", "check", path.to_str().unwrap()]);
    std::fs::write(&path, "[[unit]]\nserail = \"CU-1\"\n").unwrap();
    let (_, wrong, refused) = run(&["case", "check", path.to_str().unwrap()]);
    std::fs::remove_file(&path).unwrap();
    assert_eq!((err.as_str(), code), ("", 0));
    assert_eq!(refused, 2);
    assert!(wrong.contains("serial"), "{wrong}");
}

#[test]
fn every_rule_has_a_page() {
    let (list, _, _) = run(&["rules"]);
    for rule in logassay::rules::RULES {
        assert!(list.contains(rule.id), "{}", rule.id);
        let (page, _, code) = run(&["rules", rule.id, "--width", "140"]);
        assert_eq!(code, 0);
        for part in
            [rule.title, rule.asks, rule.kind.word(), rule.weight.word(), "Not measured for real logs"]
        {
            assert!(page.contains(part), "{}: {part}", rule.id);
        }
    }
}

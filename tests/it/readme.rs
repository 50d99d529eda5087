//! The README and the printed manuals: what they show is what the tool prints.
//!
//! A fenced block of the README behind `<!-- shown: ARGUMENTS | FIRST | LAST -->` holds the output of the command from
//! the first line that contains FIRST to before the next line that contains LAST; empty words mean begin and end.
//! With `LOGASSAY_BLESS=1` the test writes what the tool prints; read the diff.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn bless() -> bool {
    std::env::var_os("LOGASSAY_BLESS").is_some()
}

fn printed(arguments: &str) -> String {
    let out = Command::new(env!("CARGO_BIN_EXE_logassay"))
        .args(arguments.split_whitespace())
        .current_dir(root())
        .env_remove("COLUMNS")
        .output()
        .unwrap();
    assert!(out.stderr.is_empty(), "{arguments}: {}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8(out.stdout).unwrap()
}

fn cut(text: &str, first: &str, last: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let begin =
        lines.iter().position(|line| line.contains(first)).unwrap_or_else(|| panic!("no line has {first:?}"));
    let end = if last.is_empty() {
        lines.len()
    } else {
        let behind = lines.iter().skip(begin + 1).position(|line| line.contains(last));
        begin + 1 + behind.unwrap_or_else(|| panic!("no later line has {last:?}"))
    };
    lines[begin..end].iter().map(|line| line.trim_end()).collect::<Vec<_>>().join("\n").trim_end().to_owned()
}

#[test]
fn the_readme_shows_what_the_tool_prints() {
    let path = root().join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let (mut rest, mut now, mut blocks) = (readme.as_str(), String::new(), 0);
    while let Some(at) = rest.find("<!-- shown: ") {
        let (before, mark) = rest.split_at(at);
        let (mark, behind) = mark.split_once("-->\n").unwrap();
        let fields: Vec<&str> = mark.trim_start_matches("<!-- shown: ").split('|').map(str::trim).collect();
        let [arguments, first, last] = fields[..] else { panic!("a mark has three fields: {mark}") };
        let block = behind.strip_prefix("```text\n").expect("a fenced block follows the mark");
        let (_, after) = block.split_once("\n```\n").unwrap();
        now.push_str(&format!(
            "{before}{mark}-->\n```text\n{}\n```\n",
            cut(&printed(arguments), first, last)
        ));
        rest = after;
        blocks += 1;
    }
    now.push_str(rest);
    assert!(blocks >= 2, "the README shows at least two outputs");
    if bless() {
        fs::write(&path, &now).unwrap();
    } else {
        assert!(
            readme == now,
            "README.md shows something else than the tool prints; bless and read the diff"
        );
    }
}

#[test]
fn the_vocabulary_manual_is_printed_from_the_table() {
    let path = root().join("grammar/events.md");
    let now = logassay::event::manual();
    if bless() {
        fs::write(&path, &now).unwrap();
    }
    assert_eq!(fs::read_to_string(&path).unwrap_or_default(), now);
}

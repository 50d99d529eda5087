//! The key as a page of plain text, for the trainer.

use std::fmt::Write as _;

use super::{Conclusion, How, Key, Must, Said, Stand, brought_by};

/// Columns of the page.
const WIDTH: usize = 92;

/// The key as a page of text. `exists` says whether a rule is there already.
#[must_use]
pub fn page(key: &Key, exists: impl Fn(&str) -> bool) -> String {
    let mut page = String::from("ANSWER KEY, not for pupils. Everything in this rehearsal is invented.\n");
    paragraph(&mut page, "", &format!("Made again by: {}", key.command));
    page.push_str("\nWhat was done\n");
    for sentence in &key.done {
        paragraph(&mut page, "  - ", sentence);
    }
    page.push_str("\nWhat a correct examination concludes\n");
    for sentence in &key.concludes {
        paragraph(&mut page, "  - ", sentence);
    }
    let part = |want: fn(&Must) -> bool| key.conclusions.iter().filter(move |c| want(&c.must));
    section(&mut page, "Findings that must stand", part(|must| matches!(must, Must::Find(_))), &exists);
    section(
        &mut page,
        "No finding, and what must be answered",
        part(|must| matches!(must, Must::Answer(said) if !says_little(said))),
        &exists,
    );
    let left_out: Vec<&str> = part(|must| matches!(must, Must::Answer(said) if says_little(said)))
        .map(|conclusion| conclusion.rule)
        .collect();
    if !left_out.is_empty() {
        page.push_str("\nNo finding, whatever else is answered\n");
        let rows = match left_out.len() {
            1 => "1 row is".to_owned(),
            number => format!("{number} rows are"),
        };
        let text = format!(
            "{rows} left out here: of these rules nothing may be found, and 'kept', 'cannot be told' or 'does not apply' are \
             each right: {}.",
            left_out.join(", ")
        );
        paragraph(&mut page, "  - ", &text);
    }
    section(
        &mut page,
        "Rules of which this key asks nothing",
        part(|must| matches!(must, Must::Free)),
        &exists,
    );
    page.push_str("\nEvery other rule\n");
    paragraph(
        &mut page,
        "  - ",
        "Nothing may be found. Where the log does not show enough, 'cannot be told' is the answer.",
    );
    page
}

fn section<'k>(
    page: &mut String,
    title: &str,
    conclusions: impl Iterator<Item = &'k Conclusion>,
    exists: &impl Fn(&str) -> bool,
) {
    let mut any = false;
    for conclusion in conclusions {
        if !any {
            _ = writeln!(page, "\n{title}");
            any = true;
        }
        let mut text = match &conclusion.must {
            Must::Find(stands) => {
                let stands: Vec<String> = stands.iter().map(said_of).collect();
                format!("{}: not kept; {}.", conclusion.rule, stands.join("; "))
            }
            Must::Answer(said) => {
                let said: Vec<&str> = said.iter().map(|said| said.words()).collect();
                format!("{}: {}.", conclusion.rule, said.join(" or "))
            }
            Must::Free => format!("{}:", conclusion.rule),
        };
        _ = write!(text, " {}", conclusion.because);
        if !exists(conclusion.rule) {
            match brought_by(conclusion.rule) {
                Some(issue) => _ = write!(text, " [This rule is still to come, with issue {issue}.]"),
                None => text.push_str(" [This rule is still to come.]"),
            }
        }
        paragraph(page, "  - ", &text);
    }
}

/// Whether every answer but 'not kept' is right, so that the row tells nothing beyond that.
fn says_little(said: &[Said]) -> bool {
    [Said::Kept, Said::CannotBeTold].iter().all(|answer| said.contains(answer))
        && !said.contains(&Said::NotKept)
}

fn said_of(stand: &Stand) -> String {
    let how: Vec<&str> = stand.how.iter().map(|how: &How| how.word()).collect();
    let number = |numbers: &[String]| numbers.join(" or ");
    let lines: Vec<String> = stand.lines.iter().map(ToString::to_string).collect();
    let records: Vec<String> = stand.records.iter().map(ToString::to_string).collect();
    let place = match (lines.as_slice(), records.as_slice()) {
        ([], _) => "at a place that this key does not fix".to_owned(),
        ([first, _, .., last], _) => format!("on one of the lines from {first} to {last}"),
        (lines, []) => format!("on line {}", number(lines)),
        (lines, records) => format!("on line {} (record {})", number(lines), number(records)),
    };
    format!("{} {place}", how.join(" or "))
}

/// Breaks a sentence at the width of the page.
pub fn paragraph(page: &mut String, mark: &str, text: &str) {
    let indent = " ".repeat(mark.len());
    let mut line = mark.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            page.push_str(&line);
            page.push('\n');
            line.clone_from(&indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    page.push_str(&line);
    page.push('\n');
}

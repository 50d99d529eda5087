//! The starter: a case file in which every line is a comment, for a person to un-comment and fill in.

use super::SHEET;
use crate::sheet::{Key, Table};
use crate::source::{MASK, SHOWN_LIMIT, Shown};
use crate::syntax::Log;

const FROM_HEADER: &str = "from the log's header, not from a paper";
const FROM_RECORDS: &str = "from the log's records, not from a paper";

/// A case file for this log that states nothing yet: every table and key with its form and an example, as comments.
///
/// What the log itself gives is filled in and marked as such; it becomes a statement only when a person un-comments it
/// and names the paper that says so.
#[must_use]
pub fn starter(log: &Log) -> String {
    let mut page = String::from(
        "# A case file: what people wrote down about a unit and its poll, every row with its paper and who asserts it.\n\
         # As it stands it states nothing. Remove the # before a line that begins with #[ or #key to make it count.\n\
         # What is left out counts as not stated. All lines below are examples from the invented Commonwealth of\n\
         # Kestrane, except where a remark behind them says that they come from the log.\n#\n",
    );
    page.push_str(&format!("# The log: {}\n", log.source().name()));
    page.push_str(&format!("# {}\n", span_in_words(log)));
    for table in SHEET.tables {
        table.print_commented(&mut page, &|key| filled(log, table, key));
    }
    page
}

/// What the log gives for a key, with where it comes from.
fn filled(log: &Log, table: &Table, key: &Key) -> Option<(String, &'static str)> {
    match (table.name, key.name) {
        ("unit", "serial" | "software") => {
            let shown = log.header(key.name)?.shown();
            let text = shown.as_str();
            // A value of which a part is covered, or none, is no value to start from.
            let usable =
                !text.trim().is_empty() && !text.contains(MASK) && text.chars().count() <= SHOWN_LIMIT;
            usable.then(|| (quoted(&shown), FROM_HEADER))
        }
        ("phase", "records") => {
            let mut numbers = log.records().iter().filter_map(|record| record.number);
            let first = numbers.next()?;
            let last = numbers.next_back().unwrap_or(first);
            (first <= last).then(|| (format!("\"{first}-{last}\""), FROM_RECORDS))
        }
        _ => None,
    }
}

/// First and last record number and displayed time, in words.
fn span_in_words(log: &Log) -> String {
    let mut times = log.records().iter().filter_map(|record| record.time);
    let mut numbers = log.records().iter().filter_map(|record| record.number);
    let shown = match (times.next(), times.next_back()) {
        (Some(first), Some(last)) => format!("displayed from {first} to {last}"),
        (Some(only), None) => format!("displayed at {only}"),
        _ => "without a displayed time".to_owned(),
    };
    let counted = match (numbers.next(), numbers.next_back()) {
        (Some(first), Some(last)) => format!("numbered from {first} to {last}"),
        (Some(only), None) => format!("numbered {only}"),
        _ => "without numbers".to_owned(),
    };
    format!(
        "It holds {} records, {counted}, {shown} ({FROM_RECORDS}).",
        log.records().len()
    )
}

/// A TOML basic string (TOML 1.1, "String"): the gate has spelled out every control character already.
fn quoted(shown: &Shown) -> String {
    format!(
        "\"{}\"",
        shown.as_str().replace('\\', "\\\\").replace('"', "\\\"")
    )
}

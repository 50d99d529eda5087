//! The starter: a case file in which every line is a comment, for a person to un-comment and fill in.

use std::fmt::Write as _;

use super::SHEET;
use crate::event::Event;
use crate::sheet::{Key, Table};
use crate::source::{SHOWN_LIMIT, Shown};
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
    let _ = write!(page, "# The log: {}\n# {}\n", log.source().name(), span_in_words(log));
    for table in SHEET.tables {
        table.print_commented(&mut page, &|example, key| filled(log, table, example, key));
    }
    page
}

/// What the log gives for a key of an example, with where it comes from.
fn filled(log: &Log, table: &Table, example: &[&str], key: &Key) -> Option<(String, &'static str)> {
    match (table.name, key.name) {
        ("unit", "serial" | "software") => {
            let value = log.header(key.name)?;
            let shown = value.shown();
            // A value that the gate had to change, or that is empty or very long, is no value to start from.
            let text = shown.as_str();
            let usable = value.is(text) && !text.trim().is_empty() && text.chars().count() <= SHOWN_LIMIT;
            usable.then(|| (quoted(&shown), FROM_HEADER))
        }
        ("phase", "records") => {
            let mut numbers = log.records().iter().filter_map(|record| record.number);
            let first = numbers.next()?;
            let last = numbers.next_back().unwrap_or(first);
            // Only the first record: the whole log is never one phase, and a ready-made label would invite to call it so.
            (first <= last).then(|| (format!("\"{first}-{first}\""), FROM_RECORDS))
        }
        // The export makes a pair of times by itself; how far its clock may have been off, a person has to say.
        ("reading", "record") if example.contains(&"reference-from") => {
            log.header("exported-at")?;
            let export = log.records().iter().rfind(|record| record.event == Event::Export)?;
            Some((export.number?.to_string(), FROM_RECORDS))
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
    let records = match log.records().len() {
        1 => "1 record".to_owned(),
        number => format!("{number} records"),
    };
    format!("It holds {records}, {counted}, {shown} ({FROM_RECORDS}).")
}

/// A TOML basic string (TOML 1.1, "String"): the gate has spelled out every control character already.
fn quoted(shown: &Shown) -> String {
    format!("\"{}\"", shown.as_str().replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::case::Case;
    use crate::source::Source;

    /// A log with two headers and two records.
    fn log(serial: &str) -> Log {
        let text = format!(
            "unit-event-log 1\nserial: {serial}\nsoftware: 4.2\n\n\
             3 2031-05-10 06:00:00 power-on\n61 2031-05-10 17:40:00 power-on\n"
        );
        crate::syntax::read(Arc::new(Source::new("a\u{1b}.log", text.into_bytes()))).remove(0)
    }

    /// The example blocks of a starter: its lines to un-comment, cut at each header.
    fn blocks(starter: &str) -> Vec<String> {
        let mut blocks: Vec<String> = Vec::new();
        for line in starter.lines() {
            let Some(text) = line.strip_prefix('#').filter(|text| !text.is_empty() && !text.starts_with(' '))
            else {
                continue;
            };
            if text.starts_with('[') {
                blocks.push(String::new());
            }
            let block = blocks.last_mut().unwrap();
            block.push_str(text);
            block.push('\n');
        }
        blocks
    }

    #[test]
    fn a_starter_states_nothing_as_it_stands() {
        let text = starter(&log("CU-20417"));
        assert!(text.lines().all(|line| line.is_empty() || line.starts_with('#')), "{text}");
        assert_eq!(Case::read("starter", &text).unwrap().case, Case::default());
    }

    #[test]
    fn a_starter_fills_in_what_the_log_gives_and_says_where_it_comes_from() {
        let text = starter(&log("CU-20417"));
        for line in [
            "# The log: a\\u{1b}.log",
            "# It holds 2 records, numbered from 3 to 61, displayed from 2031-05-10 06:00:00 to 2031-05-10 17:40:00 \
             (from the log's records, not from a paper).",
            "#serial = \"CU-20417\" # from the log's header, not from a paper",
            "#software = \"4.2\" # from the log's header, not from a paper",
            "#records = \"3-3\" # from the log's records, not from a paper",
        ] {
            assert!(text.lines().any(|written| written == line), "{line}\n{text}");
        }
    }

    #[test]
    fn every_example_block_of_a_starter_reads_without_trouble_alone_and_all_together() {
        let text = starter(&log("CU-\"2\\0"));
        let blocks = blocks(&text);
        let expected: usize = SHEET.tables.iter().map(|table| table.examples.len()).sum();
        assert_eq!(blocks.len(), expected);
        for block in &blocks {
            let file = Case::read("block", block).unwrap_or_else(|troubles| panic!("{block}\n{troubles:?}"));
            assert_ne!(file.case, Case::default(), "{block}");
        }
        let all = Case::read("all", &blocks.concat()).unwrap();
        assert_eq!(all.case.unit.serial.first().unwrap().value, "CU-\"2\\0");
        assert_eq!(all.case.phases.len(), 2);
    }

    #[test]
    fn every_key_stands_in_an_example_and_its_example_has_its_form() {
        for table in SHEET.tables {
            for key in table.keys {
                assert!(
                    table.examples.iter().any(|example| example.contains(&key.name)),
                    "{} {}",
                    table.name,
                    key.name
                );
            }
            for name in table.examples.iter().copied().flatten() {
                assert!(table.key(name).is_some(), "{} {name}", table.name);
            }
        }
    }

    #[test]
    fn a_serial_that_the_gate_had_to_change_is_not_filled_in() {
        for serial in ["voter Someone", "Someone\u{202e}", " "] {
            let text = starter(&log(serial));
            assert!(!text.contains("Someone"), "{text}");
            assert!(text.contains("#serial = \"CU-20417\"\n"), "{text}");
        }
    }
}

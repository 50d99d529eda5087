//! How a file is read: its lines by kind, what could not be read, words that are not known, and the first records beside
//! the lines that they were read from. For the person who writes a mapping.

use crate::report::page::{Page, Tone};
use crate::report::{IDENTITY_WITHHELD, Layout, count, coverage, grouped, vocabulary};
use crate::syntax::{LineKind, Log, Secrecy};

/// Records that are shown of each log.
const SHOWN: usize = 10;

/// The page.
#[must_use]
pub fn page(logs: &[Log], layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    page.head("How the file is read");
    if let Some(log) = logs.first() {
        let source = log.source();
        page.field(0, "file", source.name().as_str());
        if let Some((bytes, digest)) = log.file_identity(&Secrecy::strict()) {
            page.field(0, "size", &count(bytes, "byte", "bytes"));
            page.field(0, "SHA-256", &digest.to_string());
        } else {
            page.field(0, "size, SHA-256", IDENTITY_WITHHELD);
        }
        let format =
            log.format().map_or_else(|| "neutral text format".to_owned(), |format| format.to_string());
        page.field(0, "read as", &format);
    }
    page.field(0, "holds", &count(logs.len(), "log", "logs"));
    for (place, log) in logs.iter().enumerate() {
        if logs.len() > 1 {
            page.head(&format!("Log {} of {}", place + 1, logs.len()));
        }
        one(&mut page, log);
    }
    page.finish()
}

fn one(page: &mut Page, log: &Log) {
    page.gap();
    page.field(0, "lines", &coverage::lines_in_words(log));
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        page.field(2, key.shown().as_str(), value.shown().as_str());
    }
    for (code, times) in log.fault_counts().iter() {
        let entry = code.entry();
        let first = log.faults().iter().find(|fault| fault.code == code);
        let at = first
            .map_or_else(String::new, |fault| format!(", first on line {}", log.line_number(fault.line)));
        page.field(0, entry.word, &format!("{}{at}. {}", count(times, "time", "times"), entry.message));
        page.text(2, Tone::Quiet, entry.help);
    }
    let unknown = vocabulary::unknown(log);
    if !unknown.is_empty() {
        page.gap();
        page.text(0, Tone::Head, "Words that are not known; they are kept and counted");
        for word in unknown {
            let times = count(word.times, "time", "times");
            page.field(0, word.what, &format!("{}: {times}, first on line {}", word.word, word.first_line));
        }
    }
    page.gap();
    let number = grouped(log.records().len().min(SHOWN) as u64);
    page.text(
        0,
        Tone::Head,
        &format!("The first {number} of {}", count(log.records().len(), "record", "records")),
    );
    let strict = Secrecy::strict();
    for record in log.records().iter().take(SHOWN) {
        page.quote(
            0,
            &log.line_number(record.line).to_string(),
            " ",
            Tone::Plain,
            log.quote(record.line, &strict).as_str(),
        );
        let number = record.number.map_or_else(|| "-".to_owned(), |n| n.to_string());
        let time = record.time.map_or_else(|| "-".to_owned(), |time| time.to_string());
        let mut said = format!("{number} {time} {}", log.word(record));
        for (key, value) in log.attributes(record) {
            said.push_str(&format!(" {}={}", key.shown(), value.shown()));
        }
        page.quote(0, "is", " ", Tone::Quiet, &said);
    }
    if log.lines().iter().any(|line| line.kind == LineKind::Unread) {
        page.gap();
        page.text(0, Tone::Head, "The first lines that could not be read");
        let unread = log.lines().iter().enumerate().filter(|(_, line)| line.kind == LineKind::Unread);
        for (index, _) in unread.take(SHOWN) {
            page.quote(
                0,
                &log.line_number(index).to_string(),
                " ",
                Tone::Plain,
                log.quote(index, &strict).as_str(),
            );
        }
    }
}

//! The limits of the neutral text format: one table, from which the reader, the manual and the tests read.

use std::fmt::Write as _;

/// How much of a log is read; what lies beyond is counted and said, never dropped in silence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of one line, without its end.
    pub line_bytes: usize,
    /// Digits of a record number or of the closing line's count.
    pub number_digits: usize,
    /// Characters of an event's word or of a key.
    pub word_chars: usize,
    /// Attributes of one record.
    pub attributes: usize,
    /// Header lines of one log.
    pub headers: usize,
    /// Logs of one source; the lines of further ones are counted with the last.
    pub logs: usize,
    /// Records of one log.
    pub records: usize,
    /// Lines of one log.
    pub lines: usize,
    /// Faults of one log that are kept with their place; the rest are counted by kind.
    pub faults: usize,
    /// Bytes of one source. The command checks it before it reads; the library takes what it is given.
    pub source_bytes: usize,
}

/// The limits that hold.
pub const LIMITS: Limits = Limits {
    line_bytes: 4096,
    number_digits: 19,
    word_chars: 40,
    attributes: 32,
    headers: 64,
    logs: 250,
    records: 1_000_000,
    lines: 2_000_000,
    faults: 1000,
    source_bytes: 256 * 1024 * 1024,
};

/// The limits as a table for `grammar/format.md`; a test compares.
#[must_use]
pub fn limits_manual() -> String {
    let rows = [
        ("bytes of one line, without its end", LIMITS.line_bytes, "`line-too-long`"),
        ("digits of a record number or of a count", LIMITS.number_digits, "`number-too-long`"),
        ("characters of an event's word or of a key", LIMITS.word_chars, "`word-too-long`, `key-too-long`"),
        ("attributes of one record", LIMITS.attributes, "`attributes-too-many`"),
        ("header lines of one log", LIMITS.headers, "`headers-too-many`"),
        ("logs of one file", LIMITS.logs, "lines of further logs are counted with the last as not read"),
        ("records of one log", LIMITS.records, "`records-too-many`; the rest is counted"),
        ("lines of one log", LIMITS.lines, "`lines-too-many`; the rest is counted"),
        ("faults of one log kept with their place", LIMITS.faults, "the rest is counted by kind"),
        ("bytes of one file", LIMITS.source_bytes, "the command refuses the file"),
    ];
    let mut page = String::from("| what | at most | beyond it |\n|---|---|---|\n");
    for (what, most, beyond) in rows {
        _ = writeln!(page, "| {what} | {most} | {beyond} |");
    }
    page
}

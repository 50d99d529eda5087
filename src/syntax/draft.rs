//! A log in the making: headers and records line by line, with chain and closing line as the format wants them.

use std::fmt::Write as _;

use crate::source::Digest;
use crate::syntax::words::in_bare;

/// A log in the making, for exporters, demonstrations and tests. It writes what it is given, lawful or not: what is
/// wrong with it, reading it will show.
#[derive(Debug, Clone)]
pub struct Draft {
    text: String,
    /// Body lines with LF, over which the closing line is made.
    body: String,
    count: u64,
    chain: Option<Digest>,
}

impl Default for Draft {
    fn default() -> Self {
        Draft::new()
    }
}

impl Draft {
    /// A log with a heading and nothing else.
    #[must_use]
    pub fn new() -> Draft {
        Draft { text: "unit-event-log 1\n".to_owned(), body: String::new(), count: 0, chain: None }
    }

    /// Adds a header line.
    #[must_use]
    pub fn header(mut self, key: &str, value: &str) -> Draft {
        _ = writeln!(self.text, "{key}: {value}");
        self
    }

    /// Adds a comment.
    #[must_use]
    pub fn comment(mut self, text: &str) -> Draft {
        _ = writeln!(self.text, "; {text}");
        self
    }

    /// Adds a blank line.
    #[must_use]
    pub fn blank(mut self) -> Draft {
        self.text.push('\n');
        self
    }

    /// From here on every record carries a chain field. `before` is the chain digest of the record before the first;
    /// 32 zero bytes where there is none.
    #[must_use]
    pub fn chained(mut self, before: Option<Digest>) -> Draft {
        self.chain = Some(before.unwrap_or_else(no_digest));
        self
    }

    /// Adds a record. `time` is `YYYY-MM-DD hh:mm:ss` with or without fraction, or `-`.
    #[must_use]
    pub fn record(
        self,
        number: impl Into<Option<u64>>,
        time: &str,
        word: &str,
        attributes: &[(&str, &str)],
    ) -> Draft {
        let number = number.into().map_or_else(|| "-".to_owned(), |number| number.to_string());
        self.row(&number, time, word, attributes)
    }

    /// As [`Draft::record`], with the number as it was written, leading zeros included, or `-`.
    #[must_use]
    pub fn row(self, number: &str, time: &str, word: &str, attributes: &[(&str, &str)]) -> Draft {
        let mut line = format!("{number} {time} {word}");
        for (key, value) in attributes {
            _ = write!(line, " {key}=");
            push_value(&mut line, value);
        }
        self.body_line(&line)
    }

    /// Adds a line of the body as it stands, with a chain field if the records have them.
    #[must_use]
    pub fn body_line(mut self, line: &str) -> Draft {
        let mut line = line.to_owned();
        if let Some(before) = self.chain {
            let digest = chain_next(&before, line.as_bytes());
            _ = write!(line, " chain:{digest}");
            self.chain = Some(digest);
        }
        line.push('\n');
        self.text.push_str(&line);
        self.body.push_str(&line);
        self.count += 1;
        self
    }

    /// The log with its closing line.
    #[must_use]
    pub fn close(self) -> String {
        format!("{}end {} sha256:{}\n", self.text, self.count, Digest::of(self.body.as_bytes()))
    }

    /// The log without a closing line.
    #[must_use]
    pub fn open(self) -> String {
        self.text
    }
}

/// 32 zero bytes, which stand before the first record of a unit's life.
fn no_digest() -> Digest {
    Digest::from_hex(&"0".repeat(64)).unwrap_or_else(|| Digest::of(b""))
}

/// The chain digest of a record: SHA-256 over the 32 bytes of the one before and the record's own bytes.
pub(crate) fn chain_next(before: &Digest, line: &[u8]) -> Digest {
    let mut bytes = before.bytes().to_vec();
    bytes.extend_from_slice(line);
    Digest::of(&bytes)
}

/// Writes a value: bare where the grammar lets it, else in quotes, with what acts on a terminal spelled out.
pub(crate) fn push_value(out: &mut String, value: &str) {
    if !value.is_empty() && value.chars().all(in_bare) {
        out.push_str(value);
        return;
    }
    out.push('"');
    for c in value.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c == ' ' || in_bare(c) => out.push(c),
            c => out.extend(c.escape_unicode()),
        }
    }
    out.push('"');
}

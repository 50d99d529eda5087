//! JSON as this tool writes it (RFC 8259): members in a fixed order, and nothing in a text that acts on a reader. `scan` reads it.

use std::fmt::Write as _;

use crate::source::acts_on_a_reader;

pub(super) mod scan;

/// Writes a text in quotes. What acts on a terminal or on the eye is escaped, so that no text is lost and none acts.
pub(super) fn push_text(out: &mut String, text: &str) {
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if acts_on_a_reader(c) => {
                for unit in c.encode_utf16(&mut [0; 2]) {
                    _ = write!(out, "\\u{unit:04x}");
                }
            }
            c => out.push(c),
        }
    }
    out.push('"');
}

/// A text in quotes.
pub(super) fn text(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    push_text(&mut out, text);
    out
}

/// An object in the making.
#[derive(Debug, Default)]
pub(super) struct Object(String);

impl Object {
    /// A member whose value is a text.
    pub(super) fn text(&mut self, key: &str, value: &str) -> &mut Object {
        self.key(key);
        push_text(&mut self.0, value);
        self
    }

    /// A member whose value is a text, where there is one.
    pub(super) fn text_if(&mut self, key: &str, value: Option<&str>) -> &mut Object {
        if let Some(value) = value {
            self.text(key, value);
        }
        self
    }

    /// A member whose value is a whole number.
    pub(super) fn number(&mut self, key: &str, value: usize) -> &mut Object {
        self.json(key, &value.to_string())
    }

    /// A member whose value is JSON already.
    pub(super) fn json(&mut self, key: &str, value: &str) -> &mut Object {
        self.key(key);
        self.0.push_str(value);
        self
    }

    /// The object.
    pub(super) fn finish(&self) -> String {
        format!("{{{}}}", self.0)
    }

    fn key(&mut self, key: &str) {
        if !self.0.is_empty() {
            self.0.push(',');
        }
        push_text(&mut self.0, key);
        self.0.push(':');
    }
}

/// The attributes of a record as an object; a key that stands more than once has a list.
pub(super) fn attributes(said: &super::row::Said) -> String {
    let mut object = Object::default();
    for (key, values) in said.by_key() {
        match values.as_slice() {
            [value] => object.text(key, value),
            values => object.json(key, &list(values.iter().map(|value| text(value)))),
        };
    }
    object.finish()
}

/// A list of what is JSON already.
pub(super) fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<String>>().join(","))
}

//! JSON read with places (RFC 8259): what stands where, so that evidence can be quoted and covered exactly.
//!
//! Nothing is built: a value is a span, and whoever wants to look inside asks for its members. So a file is bounded in
//! memory by its own size, and in depth by [`DEEPEST`].

use super::super::text::Text;
use crate::source::Span;

/// Deepest nesting that is read.
pub(in crate::exchange) const DEEPEST: usize = 128;

/// Why a text is no JSON, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::exchange) struct Wrong {
    pub(in crate::exchange) at: usize,
    pub(in crate::exchange) what: &'static str,
}

/// A reader at a place of a text.
struct Scan<'a> {
    bytes: &'a [u8],
    at: usize,
}

/// The one value that a text is, with nothing but space around it.
pub(in crate::exchange) fn document(text: &str, from: usize) -> Result<Span, Wrong> {
    let mut scan = Scan { bytes: text.as_bytes(), at: from };
    scan.space();
    let value = scan.value(0)?;
    scan.space();
    if scan.at < text.len() {
        return scan.wrong("something stands behind the end");
    }
    Ok(value)
}

/// The members of an object as name and value, in order; nothing where the value is no object.
pub(in crate::exchange) fn members(text: &str, object: Span, mut take: impl FnMut(Span, Span)) -> bool {
    within(text, object, b'{', |scan| {
        let name = scan.text()?;
        scan.space();
        scan.expect(b':', "a colon is missing")?;
        scan.space();
        let value = scan.value(0)?;
        take(name, value);
        Ok(())
    })
}

/// The elements of an array, in order; nothing where the value is no array.
pub(in crate::exchange) fn elements(text: &str, array: Span, mut take: impl FnMut(Span)) -> bool {
    within(text, array, b'[', |scan| {
        take(scan.value(0)?);
        Ok(())
    })
}

fn within(
    text: &str,
    span: Span,
    open: u8,
    mut item: impl FnMut(&mut Scan<'_>) -> Result<(), Wrong>,
) -> bool {
    let bytes = text.as_bytes().get(..span.end).unwrap_or_default();
    let mut scan = Scan { bytes, at: span.start };
    scan.peek() == Some(open) && scan.items(&mut item).is_ok()
}

/// What a value says as a text: a string decoded, with the place between its quotes; anything else as it stands.
pub(in crate::exchange) fn text(all: &str, value: Span) -> Text {
    let raw = all.get(value.start..value.end).unwrap_or_default();
    let Some(inside) = raw.strip_prefix('"').and_then(|raw| raw.strip_suffix('"')) else {
        return Text::plain(raw, value);
    };
    let mut text = Text::begin(Span::new(value.start + 1, value.end - 1), value.start + 1);
    let mut rest = inside;
    while let Some(at) = rest.find('\\') {
        let (before, escape) = rest.split_at_checked(at).unwrap_or((rest, ""));
        text.push(before, before.len());
        let (c, len) = escaped(escape);
        text.push(c.encode_utf8(&mut [0; 4]), len);
        rest = escape.get(len..).unwrap_or_default();
    }
    text.push(rest, rest.len());
    text
}

/// The character of an escape, and how long the escape is. Half a pair of surrogates stands for no character.
fn escaped(escape: &str) -> (char, usize) {
    let unit = |from: usize| u32::from_str_radix(escape.get(from..from + 4)?, 16).ok();
    let c = match escape.as_bytes().get(1) {
        Some(b'b') => '\u{8}',
        Some(b'f') => '\u{c}',
        Some(b'n') => '\n',
        Some(b'r') => '\r',
        Some(b't') => '\t',
        Some(b'u') => {
            let first = unit(2).unwrap_or(0xFFFD);
            let second = escape.get(6..8).filter(|mark| *mark == "\\u").and_then(|_| unit(8));
            if let (0xD800..0xDC00, Some(second @ 0xDC00..0xE000)) = (first, second) {
                let code = 0x10000 + ((first - 0xD800) << 10) + (second - 0xDC00);
                return (char::from_u32(code).unwrap_or(char::REPLACEMENT_CHARACTER), 12);
            }
            return (char::from_u32(first).unwrap_or(char::REPLACEMENT_CHARACTER), 6);
        }
        Some(other) => char::from(*other),
        None => '\\',
    };
    (c, 2.min(escape.len()))
}

impl Scan<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn wrong<T>(&self, what: &'static str) -> Result<T, Wrong> {
        let what = if self.at >= self.bytes.len() { "the text ends too early" } else { what };
        Err(Wrong { at: self.at.min(self.bytes.len()), what })
    }

    fn space(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    fn expect(&mut self, byte: u8, missing: &'static str) -> Result<(), Wrong> {
        if self.peek() != Some(byte) {
            return self.wrong(missing);
        }
        self.at += 1;
        Ok(())
    }

    /// Passes over one value.
    fn value(&mut self, depth: usize) -> Result<Span, Wrong> {
        let start = self.at;
        match self.peek() {
            Some(b'{' | b'[') if depth >= DEEPEST => return self.wrong("it is nested too deep"),
            Some(b'{') => self.items(&mut |scan| {
                scan.text()?;
                scan.space();
                scan.expect(b':', "a colon is missing")?;
                scan.space();
                scan.value(depth + 1).map(|_| ())
            })?,
            Some(b'[') => self.items(&mut |scan| scan.value(depth + 1).map(|_| ()))?,
            Some(b'"') => return self.text(),
            Some(b'-' | b'0'..=b'9') => self.number()?,
            _ => self.literal()?,
        }
        Ok(Span::new(start, self.at))
    }

    /// What stands between brackets, parted by commas.
    fn items(&mut self, item: &mut dyn FnMut(&mut Self) -> Result<(), Wrong>) -> Result<(), Wrong> {
        let close = if self.peek() == Some(b'{') { b'}' } else { b']' };
        self.at += 1;
        self.space();
        if self.peek() == Some(close) {
            self.at += 1;
            return Ok(());
        }
        loop {
            item(self)?;
            self.space();
            if self.peek() == Some(close) {
                self.at += 1;
                return Ok(());
            }
            self.expect(b',', "a comma or a closing bracket is missing")?;
            self.space();
        }
    }

    /// A string with its quotes.
    fn text(&mut self) -> Result<Span, Wrong> {
        let start = self.at;
        self.expect(b'"', "a quotation mark is missing")?;
        loop {
            match self.peek() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(Span::new(start, self.at));
                }
                Some(b'\\') => self.escape()?,
                Some(0x20..) => self.at += 1,
                _ => return self.wrong("a control character in a string"),
            }
        }
    }

    fn escape(&mut self) -> Result<(), Wrong> {
        self.at += 1;
        match self.peek() {
            Some(b'"' | b'\\' | b'/' | b'b' | b'f' | b'n' | b'r' | b't') => self.at += 1,
            Some(b'u') => {
                self.at += 1;
                for _ in 0..4 {
                    if !self.peek().is_some_and(|byte| byte.is_ascii_hexdigit()) {
                        return self.wrong("four hexadecimal digits are missing");
                    }
                    self.at += 1;
                }
            }
            _ => return self.wrong("there is no such escape"),
        }
        Ok(())
    }

    fn digits(&mut self) -> Result<(), Wrong> {
        if !self.peek().is_some_and(|byte| byte.is_ascii_digit()) {
            return self.wrong("a digit is missing");
        }
        while self.peek().is_some_and(|byte| byte.is_ascii_digit()) {
            self.at += 1;
        }
        Ok(())
    }

    fn number(&mut self) -> Result<(), Wrong> {
        if self.peek() == Some(b'-') {
            self.at += 1;
        }
        if self.peek() == Some(b'0') {
            self.at += 1;
        } else {
            self.digits()?;
        }
        if self.peek() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if matches!(self.peek(), Some(b'e' | b'E')) {
            self.at += 1;
            if matches!(self.peek(), Some(b'+' | b'-')) {
                self.at += 1;
            }
            self.digits()?;
        }
        Ok(())
    }

    fn literal(&mut self) -> Result<(), Wrong> {
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        let word = [&b"true"[..], b"false", b"null"].into_iter().find(|word| rest.starts_with(word));
        match word {
            Some(word) => self.at += word.len(),
            None => return self.wrong("no value begins so"),
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::Value;

    use super::*;

    /// What this reader finds in a value, as serde_json would build it.
    fn built(all: &str, value: Span) -> Value {
        match all.as_bytes()[value.start] {
            b'{' => {
                let mut map = serde_json::Map::new();
                assert!(members(all, value, |name, value| {
                    map.insert(text(all, name).text, built(all, value));
                }));
                Value::Object(map)
            }
            b'[' => {
                let mut list = Vec::new();
                assert!(elements(all, value, |value| list.push(built(all, value))));
                Value::Array(list)
            }
            b'"' => Value::String(text(all, value).text),
            _ => serde_json::from_str(&text(all, value).text).unwrap(),
        }
    }

    fn agrees(all: &str) {
        // A number past what serde_json holds, and half a pair of surrogates, are JSON that it refuses.
        match (document(all, 0), serde_json::from_str::<Value>(all)) {
            (Ok(span), Ok(value)) => assert_eq!(built(all, span), value, "{all}"),
            (Ok(_), Err(error)) => {
                let text = error.to_string();
                assert!(
                    text.contains("out of range")
                        || text.contains("surrogate")
                        || text.contains("hex escape"),
                    "{all}: {text}"
                );
            }
            (Err(wrong), Ok(_)) => panic!("{all}: {wrong:?}, and serde_json takes it"),
            (Err(_), Err(_)) => {}
        }
    }

    #[test]
    fn texts_that_are_json_and_texts_that_are_not() {
        for all in [
            "{}",
            " [ ] ",
            "[1,]",
            "[1 2]",
            "{\"a\":1,\"a\":2}",
            "{\"a\" 1}",
            "{a:1}",
            "\"\\u00e9\\n\"",
            "\"\\x\"",
            "\"\t\"",
            "01",
            "-",
            "-0",
            "1.",
            "1.5e+3",
            "1e",
            ".5",
            "+1",
            "nul",
            "null",
            "true false",
            "",
            "[",
            "\"\\ud83d\\ude00\"",
            "\"\\ud83d\"",
            "\"\\ud83dx\"",
            "\"\\ude00\\ud83d\"",
            "\u{feff}{}",
            "[[[[]]]]",
            "\"a",
            "{\"a\":}",
        ] {
            agrees(all);
        }
        assert_eq!(text("\"\\ud83d\\u0041\"", Span::new(0, 14)).text, "\u{FFFD}A");
        let deep = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
        assert!(document(&deep(DEEPEST), 0).is_ok());
        assert_eq!(document(&deep(DEEPEST + 1), 0).map_err(|wrong| wrong.what), Err("it is nested too deep"));
        assert!(document(&"[".repeat(1_000_000), 0).is_err());
    }

    proptest! {
        #[test]
        fn this_reader_and_serde_json_take_and_refuse_the_same(
            all in prop_oneof![
                "[\\[\\]{}:,\" \\\\untrfalse0-9.eE+-]{0,24}",
                "\\[(\"([a-z\u{e9}]|\\\\[\"n/]|\\\\u00[0-9a-f]{2}){0,4}\",){0,3}(true|null|-?[0-9]{1,3}|\\{\"k\":\\[\\]\\})\\]",
            ],
        ) {
            agrees(&all);
        }
    }
}

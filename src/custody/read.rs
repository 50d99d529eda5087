//! Reads a manifest. One that says anything in another form is refused whole: it is the measure of everything else.

use std::fmt;

use super::{HEADING, Item, Manifest, ROLES, RecordLines, Role, unfit};
use crate::source::Digest;

/// What is wrong with a manifest, and on which line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Number of the line, from 1.
    pub line: usize,
    /// What is wrong.
    pub what: &'static str,
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

/// Reads a manifest.
///
/// # Errors
/// The first thing that is not in its form: no heading, a name that leads out of the folder or stands twice, a digest
/// without the line that states length and role.
pub fn read(text: &str) -> Result<Manifest, Wrong> {
    let mut manifest = Manifest::default();
    // The line before a digest: role, length, record lines.
    let mut stated: Option<(Role, u64, Option<RecordLines>)> = None;
    let whole = text.strip_suffix('\n').unwrap_or(text);
    // Only a line feed ends a line: `sha256sum` takes a carriage return for a part of the name.
    for (at, line) in whole.split('\n').enumerate() {
        let wrong = |what: &'static str| Wrong { line: at + 1, what };
        if at == 0 {
            if line != HEADING {
                return Err(wrong("this is not the heading of a custody manifest of this version"));
            }
        } else if let Some(said) = line.strip_prefix("# ") {
            if stated.is_some() {
                return Err(wrong("a digest was to follow the line before"));
            }
            let (label, rest) = said.split_once(": ").ok_or_else(|| wrong("a label and ': ' are missing"))?;
            match ROLES.iter().find(|(_, word)| *word == label) {
                Some((role, _)) => {
                    let (bytes, records) = size(rest).ok_or_else(|| wrong("this states no length"))?;
                    stated = Some((*role, bytes, records));
                }
                None if manifest.items.is_empty() => {
                    manifest.about.push((label.to_owned(), rest.to_owned()));
                }
                None => return Err(wrong("this states neither length nor role of a file")),
            }
        } else {
            let (role, bytes, records) =
                stated.take().ok_or_else(|| wrong("no line before states length and role of this file"))?;
            let (digest, name) = entry(line).ok_or_else(|| wrong("this is no digest with a name"))?;
            if let Some(why) = unfit(&name) {
                return Err(wrong(why));
            }
            if manifest.items.insert(name, Item { role, bytes, digest, records }).is_some() {
                return Err(wrong("this name stands twice"));
            }
        }
    }
    if stated.is_some() || whole.len() == text.len() {
        return Err(Wrong { line: whole.split('\n').count(), what: "the manifest breaks off here" });
    }
    Ok(manifest)
}

/// `N bytes`, perhaps with `; M record lines, RFC 6962 tree head H`.
fn size(text: &str) -> Option<(u64, Option<RecordLines>)> {
    let (bytes, records) = match text.split_once(" bytes; ") {
        Some((bytes, records)) => {
            let (number, head) = records.split_once(" record lines, RFC 6962 tree head ")?;
            (bytes, Some(RecordLines { number: whole(number)?, head: Digest::from_hex(head)? }))
        }
        None => (text.strip_suffix(" bytes")?, None),
    };
    Some((whole(bytes)?, records))
}

/// Digits and nothing else: `parse` would take a sign.
fn whole(text: &str) -> Option<u64> {
    text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok())?
}

/// A line of `sha256sum`: a backslash where the name is spelled, the digest, two spaces, the name.
fn entry(line: &str) -> Option<(Digest, String)> {
    let (plain, spelled) = line.strip_prefix('\\').map_or((line, false), |rest| (rest, true));
    let (digest, name) = plain.split_once("  ")?;
    let name = if spelled { unescape(name)? } else { name.to_owned() };
    Some((Digest::from_hex(digest)?, name))
}

fn unescape(name: &str) -> Option<String> {
    let mut out = String::with_capacity(name.len());
    let mut chars = name.chars();
    while let Some(c) = chars.next() {
        out.push(match c {
            '\\' => match chars.next()? {
                '\\' => '\\',
                'n' => '\n',
                'r' => '\r',
                _ => return None,
            },
            c => c,
        });
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_manifest_in_another_form_is_refused_with_its_line() {
        let digest = Digest::of(b"abc");
        let with = |lines: &str| read(&format!("{HEADING}\n{lines}")).map_err(|wrong| wrong.line);
        let file = |name: &str| with(&format!("# kept: 3 bytes\n{digest}  {name}\n"));
        assert_eq!(file("a/b").map(|manifest| manifest.items.len()), Ok(1));
        for name in ["/etc/passwd", "../x", "a/../../x", "a//b", ".", "", "a/", "\u{1b}[2J", "a\u{202e}b"] {
            assert_eq!(file(name), Err(3), "{name:?}");
        }
        assert_eq!(with(&format!("# kept: 3 bytes\n\\{digest}  ..\\nx/\\x\n")), Err(3), "no such spelling");
        assert_eq!(with(&format!("{digest}  a\n")), Err(2), "no length");
        assert_eq!(with(&format!("# kept: +3 bytes\n{digest}  a\n")), Err(2));
        assert_eq!(with(&format!("# kept: 3 bytes\n{}  a\n", "0".repeat(63))), Err(3));
        assert_eq!(with("# kept: 3 bytes\n"), Err(2), "breaks off");
        assert_eq!(with(&format!("# kept: 3 bytes\n# kept: 3 bytes\n{digest}  a\n")), Err(3));
        let twice = format!("# kept: 3 bytes\n{digest}  a\n");
        assert_eq!(with(&twice.repeat(2)), Err(5));
        assert_eq!(with(&format!("{twice}# note: x\n")), Err(4));
        assert_eq!(with(twice.trim_end()), Err(3), "the last line is cut off");
        assert_eq!(read(&format!("{HEADING}\r\n")).map_err(|wrong| wrong.line), Err(1));
        assert_eq!(with("").map(|manifest| manifest.items.len()), Ok(0));
        assert_eq!(read("").map_err(|wrong| wrong.line), Err(1));
        assert_eq!(read(&format!("{digest}  a\n")).map_err(|wrong| wrong.line), Err(1));
    }
}

//! Custody: a manifest of files with their lengths, digests and, for logs, the tree head over their record lines; and what
//! a later look at the same files says.
//!
//! The manifest is a file that `sha256sum -c` accepts: what that tool does not know stands in lines that begin with `#`,
//! which it passes over. A name with a line end or a backslash is written as that tool writes it.

mod read;

use std::collections::BTreeMap;

use crate::source::{Digest, Shown, Tree, acts_on_a_reader};
use crate::syntax::Log;

pub use read::{Wrong, read};

/// The file name of a manifest in its folder.
pub const MANIFEST: &str = "MANIFEST.sha256";

/// The file name of the detached signature beside it, as `ssh-keygen -Y sign` names it.
pub const SIGNATURE: &str = "MANIFEST.sha256.sig";

/// The namespace under which a manifest is signed: a signature made for something else does not pass for one of these.
pub const NAMESPACE: &str = "logassay-custody";

/// The first line.
const HEADING: &str =
    "# Custody manifest of logassay, version 1; sha256sum -c --strict MANIFEST.sha256 checks the digests";

/// What a file was to the run that listed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// It was read.
    Read,
    /// It was written.
    Written,
    /// It lay in the folder.
    Kept,
}

/// The roles with their words.
const ROLES: [(Role, &str); 3] = [(Role::Read, "read"), (Role::Written, "written"), (Role::Kept, "kept")];

impl Role {
    fn word(self) -> &'static str {
        ROLES.iter().find(|(role, _)| *role == self).map_or("", |(_, word)| word)
    }
}

/// The record lines of a log: how many, and their tree head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RecordLines {
    /// How many.
    pub number: u64,
    /// The tree head over them, each without its line end, in the order of the file.
    pub head: Digest,
}

impl RecordLines {
    /// The record lines of all logs of a file. None where there is no record, and none where something in the file may be
    /// a choice or identity: with all other lines at hand, the head would let it be found by trying.
    #[must_use]
    pub fn of(logs: &[Log]) -> Option<RecordLines> {
        let mut tree = Tree::new();
        for log in logs {
            log.push_record_lines(&mut tree)?;
        }
        (tree.leaves() > 0).then(|| RecordLines { number: tree.leaves(), head: tree.head() })
    }
}

/// What is known of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// What it was to the run.
    pub role: Role,
    /// Number of bytes.
    pub bytes: u64,
    /// SHA-256.
    pub digest: Digest,
    /// Its record lines, where it is a log.
    pub records: Option<RecordLines>,
}

/// A manifest: files by their names in the folder, and what is said about all of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Manifest {
    /// Labels and texts.
    pub about: Vec<(String, String)>,
    /// The files, by name; parts of a name are separated by `/`.
    pub items: BTreeMap<String, Item>,
}

impl Manifest {
    /// The manifest as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!("{HEADING}\n");
        for (label, said) in &self.about {
            text.push_str(&format!("# {}: {}\n", Shown::inert(label), Shown::inert(said)));
        }
        for (name, item) in &self.items {
            text.push_str(&format!("# {}: {} bytes", item.role.word(), item.bytes));
            if let Some(RecordLines { number, head }) = item.records {
                text.push_str(&format!("; {number} record lines, RFC 6962 tree head {head}"));
            }
            let escaped = escape(name);
            let mark = if escaped == *name { "" } else { "\\" };
            text.push_str(&format!("\n{mark}{}  {escaped}\n", item.digest));
        }
        text
    }
}

/// A name as GNU `sha256sum` 9.1 writes it: backslash, line feed and carriage return are spelled.
fn escape(name: &str) -> String {
    name.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r")
}

/// Why a name cannot stand in a manifest; none where it can. A name is a way down from the folder, and nothing in it acts
/// on a terminal but line ends, which are spelled.
#[must_use]
pub fn unfit(name: &str) -> Option<&'static str> {
    if name.split('/').any(|part| matches!(part, "" | "." | "..")) {
        return Some("the name does not lead down from the folder");
    }
    if name.chars().any(|c| !matches!(c, '\n' | '\r') && acts_on_a_reader(c)) {
        return Some("the name has characters that act on a terminal or on the direction of writing");
    }
    None
}

/// What a folder without anything in it is called.
pub const EMPTY_FOLDER: &str = "an empty folder";

/// What was found under a name at a later look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// A file.
    File {
        /// Number of bytes.
        bytes: u64,
        /// SHA-256.
        digest: Digest,
        /// Its record lines, where it was read as a log.
        records: Option<RecordLines>,
    },
    /// Something else, in words: a link, a folder, a device.
    Other(&'static str),
}

/// How a file stands against the manifest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// The same bytes.
    Unchanged,
    /// Other bytes; what differs, in words.
    Changed(String),
    /// Not found.
    Missing,
    /// Not in the manifest; what it is, in words, where it is no file.
    New(Option<&'static str>),
}

impl Standing {
    /// The standing in one word.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Standing::Unchanged => "unchanged",
            Standing::Changed(_) => "changed",
            Standing::Missing => "missing",
            Standing::New(_) => "new",
        }
    }
}

/// Holds what was found against a manifest: every name of either, in order.
#[must_use]
pub fn compare<'a>(
    manifest: &'a Manifest,
    found: &'a BTreeMap<String, Found>,
) -> BTreeMap<&'a str, Standing> {
    let listed = manifest.items.iter().map(|(name, item)| {
        let standing = found.get(name).map_or(Standing::Missing, |found| standing(item, found));
        (name.as_str(), standing)
    });
    // A folder that a listed file has left is there because the manifest says so: the file is missing, nothing is new.
    let is_left = |name: &str| {
        let inside = format!("{name}/");
        manifest.items.range(inside.clone()..).next().is_some_and(|(listed, _)| listed.starts_with(&inside))
    };
    let new = found.iter().filter(|(name, _)| !manifest.items.contains_key(*name));
    let new = new.filter_map(|(name, found)| match found {
        Found::Other(EMPTY_FOLDER) if is_left(name) => None,
        Found::Other(what) => Some((name.as_str(), Standing::New(Some(*what)))),
        Found::File { .. } => Some((name.as_str(), Standing::New(None))),
    });
    listed.chain(new).collect()
}

fn standing(item: &Item, found: &Found) -> Standing {
    let (bytes, digest, records) = match found {
        Found::Other(what) => return Standing::Changed(format!("it is {what}, and no file of its own")),
        Found::File { bytes, digest, records } => (*bytes, digest, records),
    };
    if bytes == item.bytes && *digest == item.digest {
        return Standing::Unchanged;
    }
    let mut words = if bytes == item.bytes {
        format!("the same number of bytes, {bytes}, and another SHA-256, {digest}")
    } else {
        format!("{} bytes listed, {bytes} found; SHA-256 {digest}", item.bytes)
    };
    if let (Some(listed), Some(now)) = (item.records, records) {
        words.push_str(if listed == *now {
            "; its record lines are the same, and something beside them differs"
        } else {
            "; its record lines differ"
        });
    }
    Standing::Changed(words)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(text: &[u8]) -> Item {
        Item { role: Role::Kept, bytes: text.len() as u64, digest: Digest::of(text), records: None }
    }

    #[test]
    fn what_is_written_is_read_back() {
        let records = Some(RecordLines { number: 3, head: Digest::of(b"head") });
        let items = [
            ("a/unit.log", Item { role: Role::Read, records, ..item(b"log") }),
            ("back\\slash", item(b"1")),
            ("new\nline\r", Item { role: Role::Written, ..item(b"2") }),
            ("# x", item(b"3")),
            (" two  spaces", item(b"4")),
        ];
        let items = items.into_iter().map(|(name, item)| (name.to_owned(), item)).collect();
        let about = vec![("tool".to_owned(), "logassay 1: x".to_owned())];
        let manifest = Manifest { about, items };
        let text = manifest.text();
        assert!(text.contains(&format!("\n\\{}  new\\nline\\r\n", Digest::of(b"2"))), "{text}");
        assert_eq!(read(&text), Ok(manifest));
    }

    #[test]
    fn every_standing_is_named() {
        let listed = ["kept", "longer", "other", "gone", "link", "left/file"];
        let items = listed.into_iter().map(|name| (name.to_owned(), item(b"abc"))).collect();
        let manifest = Manifest { about: Vec::new(), items };
        let file =
            |text: &[u8]| Found::File { bytes: text.len() as u64, digest: Digest::of(text), records: None };
        let found = [
            ("kept", file(b"abc")),
            ("longer", file(b"abcd")),
            ("other", file(b"abd")),
            ("link", Found::Other("a link")),
            ("extra", file(b"")),
            ("folder/in", Found::Other(EMPTY_FOLDER)),
            // The file in it is gone; the folder was there.
            ("left", Found::Other(EMPTY_FOLDER)),
        ];
        let found = found.into_iter().map(|(name, found)| (name.to_owned(), found)).collect();
        let words: Vec<(&str, &str)> =
            compare(&manifest, &found).iter().map(|(name, standing)| (*name, standing.word())).collect();
        assert_eq!(
            words,
            [
                ("extra", "new"),
                ("folder/in", "new"),
                ("gone", "missing"),
                ("kept", "unchanged"),
                ("left/file", "missing"),
                ("link", "changed"),
                ("longer", "changed"),
                ("other", "changed")
            ]
        );
    }
}

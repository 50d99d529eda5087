//! The order of the house: rooms, one-way dependencies, small files, words, the one gate.

use std::fs;
use std::path::{Path, PathBuf};

/// Rooms of the library from the bottom up: a room may use what stands before it, and its own parts.
/// `mod a` below `mod b` in this list must not be named in a `crate::` path of `b`.
const ROOMS: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("event", &[]),
    ("zone", &[]),
    ("sheet", &["source", "zone"]),
    ("unit", &["source", "sheet"]),
    ("syntax", &["source", "event"]),
    ("exchange", &["source", "event", "sheet", "syntax"]),
    ("custody", &["source", "syntax"]),
    ("case", &["source", "event", "zone", "sheet", "unit", "syntax"]),
    ("rehearsal", &["source", "event", "unit", "syntax", "case"]),
    ("replay", &["source", "event", "unit", "syntax", "case"]),
    ("clock", &["source", "event", "zone", "unit", "syntax", "case", "replay"]),
    ("coverage", &["source", "event", "unit", "syntax", "case", "replay"]),
    ("counts", &["source", "event", "unit", "syntax", "case", "replay", "clock", "coverage"]),
    ("finding", &["source"]),
    ("pace", &["source", "event", "unit", "syntax", "case", "replay", "coverage"]),
    (
        "rules",
        &[
            "source", "event", "zone", "unit", "syntax", "case", "replay", "clock", "coverage", "counts",
            "finding", "pace",
        ],
    ),
    (
        "examination",
        &[
            "source", "event", "unit", "syntax", "case", "replay", "clock", "coverage", "counts", "finding",
            "pace", "rules",
        ],
    ),
    ("comparison", &["source", "unit", "syntax", "case", "finding", "rules", "examination"]),
    (
        "report",
        &[
            "source",
            "event",
            "zone",
            "sheet",
            "unit",
            "syntax",
            "exchange",
            "case",
            "replay",
            "clock",
            "coverage",
            "counts",
            "finding",
            "pace",
            "rules",
            "examination",
            "comparison",
        ],
    ),
    (
        "assessment",
        &[
            "source",
            "event",
            "unit",
            "syntax",
            "case",
            "rehearsal",
            "finding",
            "rules",
            "examination",
            "report",
        ],
    ),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files(under: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut todo = vec![root().join(under)];
    while let Some(dir) = todo.pop() {
        for entry in fs::read_dir(&dir).unwrap_or_else(|e| panic!("{}: {e}", dir.display())) {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn room(path: &Path) -> String {
    let inside = path.strip_prefix(root().join("src")).unwrap();
    let first = inside.components().next().unwrap().as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

/// The rooms that a `crate::...` path, or a `crate::{...}` list, names.
fn named(text: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let before = text[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '$') {
            continue;
        }
        let rest = &text[at + 7..];
        let word = |s: &str| s.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
        if let Some(list) = rest.strip_prefix('{') {
            let list = &list[..list.find('}').unwrap_or(list.len())];
            rooms.extend(list.split(',').map(|item| word(item.trim())));
        } else {
            rooms.push(word(rest));
        }
    }
    rooms
}

#[test]
fn dependencies_point_one_way() {
    let reexported = ["Examination", "ONE_VERSION", "examine"];
    for path in files("src", ".rs") {
        let here = room(&path);
        if matches!(here.as_str(), "lib" | "bin") {
            continue;
        }
        let allowed = ROOMS.iter().find(|(name, _)| *name == here);
        let (_, allowed) = allowed.unwrap_or_else(|| panic!("{} is in no room of the list", path.display()));
        for name in named(&fs::read_to_string(&path).unwrap()) {
            let name = if reexported.contains(&name.as_str()) { "examination".to_owned() } else { name };
            assert!(
                name == here || allowed.contains(&name.as_str()),
                "{} (room {here}) names crate::{name}, which stands above it",
                path.display()
            );
        }
    }
    // The reader of paths itself: a plain path, a list, and one that is no path.
    assert_eq!(named("use crate::a::B; use crate::{c::D, e};"), ["a", "c", "e"]);
}

#[test]
fn a_tidy_house() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        ".gitignore",
        ".gitattributes",
        "clippy.toml",
        "rustfmt.toml",
        "deny.toml",
        ".config",
        ".cargo",
        ".ci",
        ".git",
        "src",
        "grammar",
        "tests",
        "corpus",
        "benches",
        "fuzz",
        "target",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(allowed.contains(&name.as_str()), "the top level does not foresee {name}");
    }
    for path in files("src", ".rs").into_iter().chain(files("tests", ".rs")) {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.strip_prefix(root()).unwrap().display();
        assert!(text.starts_with("//!"), "{name} does not open with a sentence that says what lives there");
        assert!(text.lines().count() <= 400, "{name} is longer than 400 lines");
        for word in ["utils", "helpers", "common"] {
            assert!(!path.ends_with(format!("{word}.rs")), "{name}: modules are nouns of the trade");
        }
    }
    assert!(fs::read_to_string(root().join("DEVELOPERS.md")).unwrap().lines().count() < 200);
}

#[test]
fn only_rooms_that_read_formats_touch_the_raw_bytes() {
    for path in files("src", ".rs") {
        let here = room(&path);
        let text = fs::read_to_string(&path).unwrap();
        if !matches!(here.as_str(), "source" | "syntax" | "exchange") {
            assert!(
                !text.contains(".raw()") && !text.contains(".raw_at("),
                "{} reads raw bytes",
                path.display()
            );
        }
        // Length and digest of a file could undo a mask: one function says whether an output may name them.
        let asks = text.contains("source.identity()") || text.contains("source().identity()");
        assert_eq!(asks, path.ends_with("src/syntax/identity.rs"), "{}", path.display());
    }
}

#[test]
fn no_text_accuses() {
    let words = ["fraud", "tamper", "manipulat", "rigged", "rigging", "forged", "crook"];
    let texts = files("src", ".rs").into_iter().chain(files("grammar", "")).chain([root().join("README.md")]);
    for path in texts {
        let text = fs::read_to_string(&path).unwrap().to_lowercase();
        for word in words {
            assert!(!text.contains(word), "{} says {word}", path.display());
        }
    }
}

//! The checklist of contents (`standards.md`, 4.2) over every form of report, item by item: what must stand in which form,
//! and why an item is left to another. A form that drops a section fails here.

use logassay::case::CaseFile;
use logassay::examine;
use logassay::report::document::{CHECKLIST, Document, Edition};
use logassay::report::forms::FORMS;
use logassay::report::{Frame, Layout, Paper, html};
use logassay::source::{Digest, Shown};
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::pages::{frame, logs};

/// What a form holds of an item.
enum Held {
    /// These words.
    Words(&'static [&'static str]),
    /// Members at these JSON pointers, none of them empty.
    At(&'static [&'static str]),
    /// Nothing, for this reason.
    Not(&'static str),
}

use Held::{At, Not, Words};

const PERSON: Held = Not(
    "a field to be filled in by a person; data has no empty fields, and the case file's words stand in 'matter'",
);
const PERSON_SARIF: Held = Not("SARIF tells results to programs; the document has the field");
const NO_PAGES: Held = Not("a file for programs has no pages and no state of draft; the document has them");

/// For each item, what the text, JSON and SARIF forms hold of it. The document is held section by section in `document.rs`,
/// and as a page below. The tables (CSV) are parts of the JSON form for a spreadsheet and hold findings, answers and lines.
const HELD: &[(u8, [Held; 3])] = &[
    (
        1,
        [
            Words(&["Examination of a unit's event log", "Made by logassay"]),
            At(&["/tool/name", "/tool/version"]),
            At(&["/runs/0/tool/driver/version"]),
        ],
    ),
    (
        2,
        [
            Words(&["question asked", "asked by", "its number"]),
            At(&["/examinations/0/matter/0/text"]),
            At(&["/runs/0/properties/logs/0/matter"]),
        ],
    ),
    (3, [Not("a page for a terminal is not signed; the document is"), PERSON, PERSON_SARIF]),
    (
        4,
        [Words(&["exported-at"]), At(&["/reproduction/date"]), At(&["/runs/0/properties/reproduction/date"])],
    ),
    (
        5,
        [
            Words(&["SHA-256", "bytes", "exported-by"]),
            At(&[
                "/examinations/0/source/sha256",
                "/examinations/0/source/bytes",
                "/examinations/0/source/headers",
                "/case_file/sha256",
            ]),
            At(&[
                "/runs/0/artifacts/0/hashes/sha-256",
                "/runs/0/artifacts/0/length",
                "/runs/0/artifacts/1/hashes/sha-256",
            ]),
        ],
    ),
    (
        6,
        [
            Words(&["How far the log speaks", "kept by the unit", "before the first", "lines"]),
            At(&[
                "/examinations/0/coverage/in_words",
                "/examinations/0/coverage/lines",
                "/examinations/0/coverage/keeps",
            ]),
            At(&["/runs/0/properties/logs/0/coverage"]),
        ],
    ),
    (
        7,
        [
            Words(&["rule book", "zone data", "settings"]),
            At(&[
                "/reproduction/rule_book_sha256",
                "/reproduction/settings",
                "/reproduction/zone_data",
                "/examinations/0/unit_description/sha256",
            ]),
            At(&[
                "/runs/0/properties/reproduction/rule_book_sha256",
                "/runs/0/properties/reproduction/settings",
                "/runs/0/invocations/0/commandLine",
            ]),
        ],
    ),
    (
        8,
        [
            Words(&["it rests on", "the unit description"]),
            At(&["/examinations/0/answers/0/asks", "/examinations/0/findings/0/basis"]),
            At(&[
                "/runs/0/tool/driver/rules/0/fullDescription/text",
                "/runs/0/tool/driver/rules/0/help/text",
            ]),
        ],
    ),
    (
        9,
        [
            Words(&["Finding 1.", "record shows", "expected"]),
            At(&[
                "/examinations/0/findings/0/lines/0/text",
                "/examinations/0/findings/0/shows",
                "/examinations/0/findings/0/expected",
            ]),
            At(&["/runs/0/results/0/message/text", "/runs/0/results/0/locations"]),
        ],
    ),
    (
        10,
        [
            Words(&["not a judgment", "Supporting material"]),
            At(&["/cautions/0"]),
            At(&["/runs/0/invocations/0/toolExecutionNotifications"]),
        ],
    ),
    (
        11,
        [
            Words(&["ordinary explanations", "What decides it", "What to ask for"]),
            At(&[
                "/examinations/0/findings/0/ordinary/0/account",
                "/examinations/0/findings/0/look_next",
                "/examinations/0/asks/0/what",
            ]),
            Words(&["An ordinary explanation:", "What decides it"]),
        ],
    ),
    (
        12,
        [
            Words(&["What cannot be told, and why"]),
            Words(&["cannot be told"]),
            Words(&["\"kind\": \"open\""]),
        ],
    ),
    (
        13,
        [
            Words(&["kept", "does not apply"]),
            Words(&["\"kept\"", "\"does not apply\""]),
            Words(&["\"kind\": \"pass\"", "\"kind\": \"notApplicable\""]),
        ],
    ),
    (
        14,
        [
            Words(&["The unit's clock", "The numbers, side by side"]),
            At(&["/examinations/0/ledgers/0/numbers", "/examinations/0/days"]),
            At(&["/runs/0/properties/logs/0/coverage"]),
        ],
    ),
    (
        15,
        [
            Words(&["relates only to the items examined"]),
            Words(&["relates only to the items examined"]),
            Words(&["relates only to the items examined"]),
        ],
    ),
    (
        16,
        [
            Words(&["How often a rule errs on logs of real units is not known"]),
            At(&["/examinations/0/answers/0/error_rate"]),
            Words(&["errorRate"]),
        ],
    ),
    (17, [Words(&["logassay LOG"]), At(&["/command"]), At(&["/runs/0/invocations/0/commandLine"])]),
    (18, [Not("for a person to state; the document has the field"), PERSON, PERSON_SARIF]),
    (
        19,
        [
            Not("a manifest of custody tells it of files; the document has the fields"),
            Not("a manifest of custody tells it of files"),
            Not("a manifest of custody tells it of files"),
        ],
    ),
    (20, [Words(&["The day of the poll on a line"]), At(&["/examinations/0/days/0/half_hours"]), NO_PAGES]),
];

#[test]
fn every_form_holds_its_items_of_the_checklist() {
    let text = std::fs::read(crate::corpus::folder("demonstration").join("disputed-unit.log")).unwrap();
    let papers =
        std::fs::read_to_string(crate::corpus::folder("demonstration").join("disputed-unit.case.toml"))
            .unwrap();
    let CaseFile { case, .. } = logassay::case::Case::read("case", &papers).unwrap();
    let (unit, logs) = (UnitDescription::kestrane(), logs("unit.log", &text));
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let case_file = Some(Paper {
        name: Shown::inert("case"),
        bytes: papers.len(),
        digest: Digest::of(papers.as_bytes()),
    });
    let frame = Frame { case_file, date: Some(Shown::inert("2031-06-02")), ..frame(false) };
    let items: Vec<u8> = CHECKLIST.iter().map(|(item, ..)| *item).collect();
    assert_eq!(HELD.iter().map(|(item, _)| *item).collect::<Vec<u8>>(), items);
    let written = |id: &str| {
        let form = FORMS.iter().find(|form| form.id == id).unwrap();
        (form.write)(&examinations, &frame, Layout::plain(100))
    };
    let forms = ["text", "json", "sarif"].map(|id| (id, written(id)));
    let mut held = 0;
    for (item, row) in HELD {
        for ((form, text), wanted) in forms.iter().zip(row) {
            match wanted {
                Words(words) => {
                    // A page breaks its lines: words are looked for across them.
                    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
                    for word in *words {
                        assert!(flat.contains(word), "item {item}: the form {form} does not say {word:?}");
                        held += 1;
                    }
                }
                At(pointers) => {
                    let data: Value = serde_json::from_str(text).unwrap();
                    for pointer in *pointers {
                        let found = data.pointer(pointer);
                        let is_empty = match found {
                            None | Some(Value::Null) => true,
                            Some(Value::String(text)) => text.is_empty(),
                            Some(Value::Array(items)) => items.is_empty(),
                            Some(Value::Object(members)) => members.is_empty(),
                            Some(_) => false,
                        };
                        assert!(!is_empty, "item {item}: the form {form} has {found:?} at {pointer}");
                        held += 1;
                    }
                }
                Not(reason) => assert!(reason.len() > 20),
            }
        }
    }
    assert!(held > 60, "{held}");
}

/// Every section of the document and what it is there for: whoever drops one meets this list.
const SECTIONS: &[(&str, &[&str])] = &[
    ("matter", &["asked by", "legal authority"]),
    ("in-short", &["Finding 1", "It is not a judgment"]),
    ("items", &["SHA-256", "exported-by"]),
    ("unit-description", &["records kept before the oldest is written over"]),
    ("coverage", &["before the first", "Not examined"]),
    ("pictures", &["Across: the time that the unit displayed", "In words"]),
    ("stated", &["where it is stated, and by whom"]),
    ("findings", &["the record shows", "ordinary explanations", "What decides it"]),
    ("account", &["Fewest changes: 2", "conflict 1", "What this is not"]),
    (
        "ledger",
        &["votes declared for the unit", "in letters", "Both sides of each equation", "A second reckoning"],
    ),
    (
        "clock",
        &[
            "clock reading",
            "Chosen records in true time",
            "What the ends hang on",
            "Slips that fit",
            "what would settle it",
        ],
    ),
    ("pace", &["half hour, as displayed", "longest intervals", "shortest intervals", "No test of chance"]),
    ("open", &["Reason 1"]),
    ("requests", &["Of the", "the answers to some rules may change"]),
    ("requests-for-the-examiner", &["the rules that it serves", "key of the case file"]),
    ("occasions", &["open."]),
    ("answers", &["NOT KEPT", "how far it reaches"]),
    ("kept", &["A rule that is kept is a statement too"]),
    ("no-subject", &["why it does not apply"]),
    ("versions", &["in more than one version"]),
    ("uncertainty", &["either way"]),
    ("text", &["comment"]),
    ("method", &["strikes out each state"]),
    ("rule-book", &["Rests on", "asked of the record", "logassay rules ID"]),
    ("errors", &["On logs of real units it is not known", "rehearse judge --seeds 300"]),
    ("limits", &["relates only to the items examined"]),
    ("settings", &["where it comes from"]),
    ("repeat", &["the same document to the byte"]),
    ("disposition", &["It wrote this document, report id"]),
    ("person", &["opinion", "signature"]),
    ("glossary", &["contradiction"]),
    ("contents-checklist", &["asked for by"]),
    (
        "unit-annex",
        &[
            "[unit] keeps",
            "The power goes away without the switch",
            "an enable waits for its vote",
            "closed, power on",
            "not foreseen",
        ],
    ),
    ("annex", &["The unit:"]),
];

#[test]
fn the_page_holds_every_section_with_what_it_is_there_for() {
    for edition in ["full", "public"] {
        let place =
            std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("sections-{edition}.html"));
        let out = place.to_str().unwrap();
        let arguments =
            ["document", "--demonstration", "disputed-unit", "--edition", edition, "--out", out, "--replace"];
        assert_eq!(crate::cli::run(&arguments).2, 0);
        let page = std::fs::read_to_string(&place).unwrap();
        std::fs::remove_file(&place).unwrap();
        for (id, words) in SECTIONS {
            let from = page
                .find(&format!("<section id=\"{id}\""))
                .unwrap_or_else(|| panic!("{edition}: no section {id}"));
            // To its end: as many sections close as opened.
            let (mut depth, mut at) = (0_usize, from);
            loop {
                let next = page[at..].find("section").map(|found| at + found).unwrap();
                let closes = page[..next].ends_with("</");
                let opens = page[..next].ends_with('<');
                depth = if opens {
                    depth + 1
                } else if closes {
                    depth - 1
                } else {
                    depth
                };
                at = next + "section".len();
                if depth == 0 {
                    break;
                }
            }
            let text = page[from..at].replace("&amp;", "&");
            for word in *words {
                let left_out = edition == "public" && word.ends_with("intervals");
                assert!(
                    text.to_lowercase().contains(&word.to_lowercase()) != left_out,
                    "{edition}: section {id}: {word:?}"
                );
            }
        }
        let sections = page.matches("<section id=\"").count();
        assert!(sections > SECTIONS.len());
    }
}

#[test]
fn a_section_that_is_dropped_would_be_missed() {
    let text = std::fs::read(crate::corpus::folder("demonstration").join("disputed-unit.log")).unwrap();
    let (unit, logs) = (UnitDescription::kestrane(), logs("unit.log", &text));
    let case = logassay::case::Case::default();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let whole = Document::of(&examinations, &frame(false), Edition::Full);
    let named: Vec<&str> = SECTIONS.iter().map(|(id, _)| *id).collect();
    for section in &whole.sections {
        assert!(
            named.contains(&section.anchor.as_str()),
            "{} stands in no list of this test",
            section.anchor
        );
        let mut less = whole.clone();
        less.sections.retain(|other| other.anchor != section.anchor);
        assert!(!html::page(&less).contains(&format!("<section id=\"{}\"", section.anchor)));
    }
}

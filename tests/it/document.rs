//! The document for the court: its structure, its contents against the checklist, its editions, its page; nothing acts,
//! nothing is disclosed, the same input gives the same bytes.

use std::collections::BTreeSet;

use logassay::case::Case;
use logassay::examine;
use logassay::report::document::{
    Anchor, Block, CHECKLIST, Document, Edition, GLOSSARY, Piece, Section, Text,
};
use logassay::report::html;
use logassay::source::Shown;
use logassay::syntax::Log;
use logassay::unit::UnitDescription;

use crate::cli::run;
use crate::pages::{corpus, frame, logs};

fn document(logs: &[Log], case: &Case, edition: Edition) -> Document {
    let unit = UnitDescription::kestrane();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, case, &unit)).collect();
    Document::of(&examinations, &frame(false), edition)
}

/// Every text of a document.
fn texts(document: &Document) -> Vec<&Text> {
    let mut list: Vec<&Text> = Vec::new();
    for block in document.all_blocks() {
        match block {
            Block::Paragraph(text) | Block::Notice(text) => list.push(text),
            Block::List(texts) | Block::Steps(texts) => list.extend(texts),
            Block::Definitions(entries) => list.extend(entries.iter().flat_map(|entry| &entry.texts)),
            Block::Table(table) => list.extend(table.rows.iter().flat_map(|row| &row.cells)),
            Block::Lines(lines) => list.extend(lines.iter().flat_map(|line| &line.notes)),
            Block::Figure(figure) => list.extend([&figure.alternative, &figure.caption]),
            Block::Verbatim(_) | Block::Field(_) => {}
        }
    }
    list
}

/// Every anchor of a document, as often as it stands there.
pub(crate) fn anchors(document: &Document) -> Vec<&Anchor> {
    let mut list: Vec<&Anchor> = document.all_sections().map(|section| &section.anchor).collect();
    for block in document.all_blocks() {
        match block {
            Block::Definitions(entries) => {
                list.extend(entries.iter().filter_map(|entry| entry.anchor.as_ref()))
            }
            Block::Table(table) => list.extend(table.rows.iter().filter_map(|row| row.anchor.as_ref())),
            Block::Lines(lines) => list.extend(lines.iter().filter_map(|line| line.anchor.as_ref())),
            Block::Figure(figure) => list.push(&figure.anchor),
            _ => {}
        }
    }
    list
}

pub(crate) fn links(document: &Document) -> Vec<&Anchor> {
    let pieces = texts(document).into_iter().flat_map(|text| &text.0);
    let mut list: Vec<&Anchor> =
        pieces.filter_map(|piece| if let Piece::Link(to, _) = piece { Some(to) } else { None }).collect();
    for block in document.all_blocks() {
        match block {
            Block::Lines(lines) => list.extend(lines.iter().filter_map(|line| line.link.as_ref())),
            Block::Figure(figure) => list.extend(figure.picture.links()),
            _ => {}
        }
    }
    list
}

#[test]
fn every_anchor_is_unique_and_every_link_has_its_target() {
    let mut followed = 0;
    for (name, logs, case) in corpus() {
        for edition in [Edition::Full, Edition::Public] {
            let document = document(&logs, &case, edition);
            let anchors = anchors(&document);
            let unique: BTreeSet<&Anchor> = anchors.iter().copied().collect();
            assert_eq!(unique.len(), anchors.len(), "{name}: an anchor stands twice");
            for link in links(&document) {
                assert!(unique.contains(link), "{name}: {link} leads nowhere");
                followed += 1;
            }
            for block in document.all_blocks() {
                if let Block::Table(table) = block {
                    assert!(table.rows.iter().all(|row| row.cells.len() == table.columns.len()), "{name}");
                    assert!(!table.rows.is_empty(), "{name}: the table {} is empty", table.caption);
                }
            }
        }
    }
    assert!(followed > 1000, "the corpus has links to follow: {followed}");
}

/// Words that must stand in the sections that answer an item of the checklist of contents (`standards.md`, 4.2).
const MUST_SAY: &[(u8, &[&str])] = &[
    (1, &["report id", "edition", "draft"]),
    (2, &["asked by", "its number there", "legal authority", "question asked"]),
    (3, &["examiner", "qualification", "signature"]),
    (4, &["evidence received on", "work done on", "date of this report"]),
    (5, &["SHA-256", "bytes", "exported"]),
    (6, &["record numbers", "kept by the unit", "lines", "votes"]),
    (7, &["tool", "rule book", "unit description", "edition", "data on time zones"]),
    (8, &["vote-after-close", "Rests on"]),
    (9, &["the record shows", "expected"]),
    (10, &["facts of the record", "opinion"]),
    (11, &["What decides it", "Other explanations may exist", "What each request serves"]),
    (12, &["cannot be told"]),
    (13, &["kept", "does not apply"]),
    (14, &["either way", "displayed"]),
    (15, &["relates only to the items examined", "keeps its last"]),
    (16, &["On logs of real units it is not known", "rehearse judge --clean"]),
    (17, &["logassay LOG", "to the byte"]),
    (18, &["deviations", "amendments"]),
    (19, &["where the evidence is now", "opened 1 item for reading only"]),
    (20, &["contradiction", "Across: the time that the unit displayed"]),
];

/// All words of a section without those below it.
fn words(section: &Section) -> String {
    let mut text = format!("{}\n", section.title);
    for block in &section.blocks {
        text.push_str(&format!("{block:?}\n"));
    }
    text
}

#[test]
fn every_item_of_the_checklist_is_answered() {
    let case = Case::default();
    let text = std::fs::read(crate::corpus::folder("demonstration").join("disputed-unit.log")).unwrap();
    let logs = logs("unit.log", &text);
    let document = document(&logs, &case, Edition::Full);
    let items: Vec<u8> = CHECKLIST.iter().map(|(item, ..)| *item).collect();
    assert_eq!(items, (1..=20).collect::<Vec<u8>>());
    assert_eq!(MUST_SAY.iter().map(|(item, _)| *item).collect::<Vec<u8>>(), items);
    for (item, wanted) in MUST_SAY {
        let answering = document.all_sections().filter(|section| section.answers.contains(item));
        let said: String = answering
            .map(|section| words(section) + &section.sections.iter().map(words).collect::<String>())
            .collect();
        assert!(!said.is_empty(), "no section answers item {item}");
        for word in *wanted {
            assert!(said.contains(word), "item {item}: nothing says {word:?}");
        }
    }
    // What only a person can state is empty, and is seen to be.
    let page = html::page(&document);
    assert_eq!(page.matches("class=\"empty\"").count(), page.matches("class=\"field\"").count());
    assert!(!document.is_signed && page.contains("Draft. Nobody has signed it."));
}

#[test]
fn what_a_person_states_fills_the_fields() {
    let matter = "[matter]\ntitle = \"A matter\"\nopinion = \"None beyond the facts.\"\nsigned = \"Tarn Valley, E. Ash\"\n\
                  qualification = \"Engineer\"\ndate = \"2031-06-02\"\n";
    let case = Case::read("case", matter).unwrap().case;
    let logs = logs("log", b"unit-event-log 1\n1 2031-05-10 07:00:05 enable\n");
    let document = document(&logs, &case, Edition::Full);
    assert!(document.is_signed);
    let page = html::page(&document);
    for text in ["None beyond the facts.", "Tarn Valley, E. Ash", "Engineer"] {
        assert!(page.contains(text), "{text}");
    }
    assert!(!page.contains("Nobody has signed it"));
}

#[test]
fn the_page_is_the_same_bytes_each_time_and_needs_nothing_else() {
    for (name, logs, case) in corpus() {
        let page = html::page(&document(&logs, &case, Edition::Full));
        assert_eq!(page, html::page(&document(&logs, &case, Edition::Full)), "{name}");
        for word in [
            "<script", "<iframe", "<object", "<link", "<img", " src=", "@import", "url(", "http://",
            "https://",
        ] {
            assert!(!page.contains(word), "{name}: {word}");
        }
        assert!(page.contains("default-src 'none'"));
        for c in page.chars() {
            assert!(c == '\n' || !c.is_control(), "{name}: {c:?}");
        }
    }
}

#[test]
fn two_logs_have_their_own_places() {
    let text = "unit-event-log 1\nserial: A\n1 - enable\n2 - enable\n\nunit-event-log 1\nserial: B\n1 - enable\n2 - enable\n";
    let logs = logs("log", text.as_bytes());
    assert_eq!(logs.len(), 2);
    let document = document(&logs, &Case::default(), Edition::Full);
    let names: Vec<&str> = document.all_sections().map(|section| section.anchor.as_str()).collect();
    for name in ["log-1-finding-1", "log-2-finding-1", "log-1-annex", "log-2-annex", "glossary", "matter"] {
        assert!(names.contains(&name), "{name}");
    }
}

#[test]
fn hostile_text_stands_inert() {
    let long = "x".repeat(10_000);
    let text = format!(
        "unit-event-log 1\nserial: <script>alert(1)</script>\n\n; <svg onload=alert(1)> </main> \u{202e}abc\u{1b}[31m\n\
         1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote\n3 2031-05-10 07:00:40 <b> x=\"</code><a href=x>\"\n\
         4 2031-05-10 07:00:45 battery-level level={long}\n5 2031-05-10 07:00:50 enable\n6 2031-05-10 07:00:55 enable\n"
    );
    let case = "[matter]\ntitle = \"<img src=x onerror=alert(1)>\"\nopinion = \"</p><script>1</script>\"\n";
    let case = Case::read("case", case).unwrap().case;
    let logs = logs("<i>\u{202e}log", text.as_bytes());
    for edition in [Edition::Full, Edition::Public] {
        let page = html::page(&document(&logs, &case, edition));
        for word in
            ["<script", "<svg onload", "<img", "<b>", "<i>", "<a href=x", "\u{202e}", "\u{1b}", long.as_str()]
        {
            assert!(!page.contains(word), "{word}");
        }
        assert!(page.contains("&lt;script&gt;"), "what is inert is still shown");
        let longest = page.lines().map(str::len).max().unwrap();
        assert!(longest < page.len());
    }
}

/// Whether a text holds a time of day to the second, or with a date to the minute.
pub(crate) fn tells_a_time(text: &str) -> Option<&str> {
    let is = |at: usize, shape: &str| {
        text.get(at..at + shape.len()).is_some_and(|piece| {
            piece.bytes().zip(shape.bytes()).all(|(b, s)| if s == b'9' { b.is_ascii_digit() } else { b == s })
        })
    };
    let exact = (0..text.len()).find(|at| is(*at, "99:99:99"));
    let digit = |at: Option<usize>| at.and_then(|at| text.as_bytes().get(at)).is_some_and(u8::is_ascii_digit);
    let odd = (0..text.len()).find(|at| {
        is(*at, "99:99")
            && !matches!(text.get(at + 3..at + 5), Some("00" | "30"))
            && !digit(at.checked_sub(1))
            && !digit(Some(at + 5))
    });
    exact.or(odd).and_then(|at| text.get(at.saturating_sub(20)..(at + 12).min(text.len())))
}

#[test]
fn the_public_edition_tells_no_time_nearer_than_a_half_hour() {
    let mut full_tells = 0;
    for (name, logs, case) in corpus() {
        let public = html::page(&document(&logs, &case, Edition::Public));
        // The words of the page begin behind its style.
        let body = &public[public.find("<body>").unwrap()..];
        assert_eq!(tells_a_time(body), None, "{name}");
        assert!(public.contains("Public edition."));
        let full = html::page(&document(&logs, &case, Edition::Full));
        assert!(full.contains("Full edition."));
        full_tells += usize::from(tells_a_time(&full).is_some());
    }
    assert!(full_tells > 20, "the search can find a time: {full_tells}");
}

#[test]
fn the_glossary_is_sorted_and_explains_what_the_document_says() {
    let words: Vec<&str> = GLOSSARY.iter().map(|term| term.word).collect();
    let mut sorted = words.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(words, sorted);
    for word in ["contradiction", "conditional", "cannot be told", "ring", "digest (SHA-256)", "mock poll"] {
        assert!(words.contains(&word), "{word}");
    }
    let (out, _, code) = run(&["glossary"]);
    assert!(code == 0 && words.iter().all(|word| out.contains(word)));
}

#[test]
fn the_command_writes_the_document_once_and_the_same_in_every_folder() {
    let base = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("document");
    let _old = std::fs::remove_dir_all(&base);
    let mut written = Vec::new();
    for folder in ["a", "b/c"] {
        let folder = base.join(folder);
        std::fs::create_dir_all(&folder).unwrap();
        let path = |name: &str| folder.join(name).display().to_string();
        std::fs::write(
            path("unit.log"),
            "unit-event-log 1\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:06 enable\n",
        )
        .unwrap();
        let out = path(if written.is_empty() { "one.html" } else { "other.html" });
        let arguments = ["document", &path("unit.log"), "--date", "2031-06-02", "--out", &out];
        let (text, complaint, code) = run(&arguments);
        assert_eq!((complaint.as_str(), code), ("", 0));
        assert!(text.starts_with("written: "), "{text}");
        written.push(std::fs::read_to_string(&out).unwrap());
        let (_, complaint, code) = run(&arguments);
        assert!(code == 2 && complaint.contains("exists"), "{complaint}");
        let again: Vec<&str> = arguments.iter().copied().chain(["--replace"]).collect();
        assert_eq!(run(&again).2, 0);
        assert_eq!(std::fs::read_to_string(&out).unwrap(), written[written.len() - 1]);
        let names: Vec<_> =
            std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(names.len(), 2, "nothing else is left in the folder: {names:?}");
    }
    assert_eq!(written[0], written[1]);
    assert!(
        written[0]
            .contains("<code>logassay document unit.log --edition full --date 2031-06-02 --out FILE</code>")
    );
    assert_eq!(run(&["document", "--date", "2031-02-30", "--out", "x.html"]).2, 2);
    let _gone = std::fs::remove_dir_all(&base);
}

/// What the first page says in each form.
fn first_page(log: &str, edition: Edition) -> [String; 2] {
    let document = document(&logs("log", log.as_bytes()), &Case::default(), edition);
    let page = html::page(&document);
    let head = page.split_once("<dl class=\"head\">").unwrap().1.split_once("</dl>").unwrap().0;
    [head.to_owned(), crate::pdf::said(&crate::pdf::data(&document)["head"])]
}

#[test]
fn the_first_page_says_that_no_date_is_stated_and_why_no_digest_is_printed() {
    let plain = "unit-event-log 1\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote\n";
    for head in first_page(plain, Edition::Full) {
        assert!(head.contains("not stated") && !head.contains("withheld"), "{head}");
    }
    for head in first_page(plain, Edition::Public) {
        assert!(
            head.contains("left out in the public edition, as times in it could be found by trying"),
            "{head}"
        );
    }
    let covered = plain.replace("vote\n", "vote choice=3\n");
    for head in first_page(&covered, Edition::Full) {
        assert!(head.contains("withheld, as something in the log may tell of a choice"), "{head}");
    }
    let document = document(&logs("log", covered.as_bytes()), &Case::default(), Edition::Full);
    let running = "SHA-256 of the log's file: not printed; the first page says why";
    assert!(html::page(&document).contains(running));
    assert!(crate::pdf::data(&document)["digest"].as_str().is_some_and(|words| running.ends_with(words)));
}

/// Whoever is asked never sees the case file.
#[test]
fn a_request_names_no_key_of_the_case_file() {
    let mut keys = 0;
    for (name, logs, case) in corpus() {
        let document = document(&logs, &case, Edition::Full);
        for section in document.all_sections() {
            let anchor = section.anchor.as_str();
            let said: String = section.blocks.iter().map(|block| format!("{block:?}")).collect();
            let of = |word: &str| anchor.contains(word);
            if of("requests-for-the-examiner") {
                keys += said.matches("[[").count();
            } else if ["requests", "clock", "question-"].iter().any(|word| of(word)) && !of("on-clock") {
                assert!(!said.contains("[["), "{name}, {anchor}: {said}");
            }
        }
    }
    assert!(keys > 50, "{keys}");
}

#[test]
fn the_id_follows_from_what_was_examined_and_from_nothing_else() {
    let log = |text: &str| logs("log", text.as_bytes());
    let one = log("unit-event-log 1\n1 - enable\n");
    let case = Case::default();
    let id = |logs: &[Log], edition| document(logs, &case, edition).id;
    assert_eq!(id(&one, Edition::Full), id(&one, Edition::Full));
    assert_ne!(id(&one, Edition::Full), id(&one, Edition::Public));
    assert_ne!(id(&one, Edition::Full), id(&log("unit-event-log 1\n2 - enable\n"), Edition::Full));
    let dated = logassay::report::Frame { date: Some(Shown::inert("2031-06-02")), ..frame(false) };
    let unit = UnitDescription::kestrane();
    let examinations = [examine(&one[0], &case, &unit)];
    assert_ne!(Document::of(&examinations, &dated, Edition::Full).id, id(&one, Edition::Full));
}

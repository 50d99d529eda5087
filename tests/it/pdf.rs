//! The document as a PDF, up to the press: the data hold what the page holds, in the same order; nothing in them acts; every
//! character is covered or spelled out; fonts enter the provenance. With the feature `pdf`, the press itself.

use logassay::case::Case;
use logassay::examine;
use logassay::report::document::{CHECKLIST, Document, Edition, Section};
use logassay::report::html;
use logassay::report::pdf::{DATA, Fonts, Given, STANDARDS, Sources, TEMPLATE};
use logassay::syntax::Log;
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::cli::run;
use crate::document::{anchors, links, tells_a_time};
use crate::pages::{corpus, frame, logs};

fn document(logs: &[Log], case: &Case, edition: Edition) -> Document {
    let unit = UnitDescription::kestrane();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, case, &unit)).collect();
    Document::of(&examinations, &frame(false), edition)
}

pub(crate) fn data(document: &Document) -> Value {
    let fonts = Fonts::with(&[]).unwrap();
    serde_json::from_str(&Sources::of(document, &fonts, STANDARDS[0]).data).unwrap()
}

/// All that a value says: words in pieces as they stand together, everything else on a line of its own.
pub(crate) fn said(value: &Value) -> String {
    match value {
        Value::String(text) => format!("{text}\n"),
        Value::Array(list) if !list.is_empty() && list.iter().all(Value::is_string) => {
            list.iter().filter_map(Value::as_str).collect::<String>() + "\n"
        }
        Value::Array(list) => list.iter().map(said).collect(),
        Value::Object(map) => map.values().map(said).collect(),
        _ => String::new(),
    }
}

/// Titles of sections with their depth, in order.
fn titles(sections: &Value, depth: usize, into: &mut Vec<(usize, String)>) {
    for section in sections.as_array().unwrap() {
        into.push((depth, said(&section["title"]).trim_end().to_owned()));
        titles(&section["sections"], depth + 1, into);
    }
}

fn titles_of(sections: &[Section], depth: usize, into: &mut Vec<(usize, String)>) {
    for section in sections {
        into.push((depth, section.title.to_string()));
        titles_of(&section.sections, depth + 1, into);
    }
}

#[test]
fn the_data_hold_the_sections_of_the_page_in_its_order_and_every_place_that_a_link_names() {
    let mut places = 0;
    for (name, logs, case) in corpus() {
        for edition in [Edition::Full, Edition::Public] {
            let document = document(&logs, &case, edition);
            let data = data(&document);
            let (mut have, mut want) = (Vec::new(), Vec::new());
            titles(&data["sections"], 0, &mut have);
            titles_of(&document.sections, 0, &mut want);
            want.push((0, "How these pages were set".to_owned()));
            assert_eq!(have, want, "{name}");
            let text = data.to_string();
            for anchor in anchors(&document) {
                assert!(text.contains(&format!("\"anchor\":\"{anchor}\"")), "{name}: {anchor}");
                places += 1;
            }
            assert!(links(&document).len() > 10, "{name}");
            if edition == Edition::Public {
                let body: String = said(&data["sections"]);
                assert_eq!(tells_a_time(&body), None, "{name}");
            }
        }
    }
    assert!(places > 1000, "{places}");
}

#[test]
fn every_content_of_the_checklist_stands_in_the_data_with_its_place() {
    let text = std::fs::read(crate::corpus::folder("demonstration").join("disputed-unit.log")).unwrap();
    let data = data(&document(&logs("unit.log", &text), &Case::default(), Edition::Full));
    let all = said(&data["sections"]);
    for (item, contents, source) in CHECKLIST {
        assert!(all.contains(&format!("{item}. {contents}\n")) && all.contains(source), "{item}");
    }
    assert_eq!(data["about"]["date"], Value::Null, "no date is stated, and none is made up");
    assert!(data["sections"].to_string().contains("<svg"));
}

#[test]
fn hostile_text_is_data_and_the_template_does_nothing_with_it() {
    let lines = "#panic(1) $x$ *b* `c` @d <line-1> = e \\u{1F4A3} \"]) #eval(\\\"1\\\") \u{202e} \u{1b}[31m";
    let text = format!(
        "unit-event-log 1\nserial: #read(\"/etc/passwd\")\n\n; {lines} {}\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote\n\
         3 2031-05-10 07:00:45 battery-level\n",
        "x".repeat(10_000)
    );
    let case = "[matter]\ntitle = \"#include \\\"a.typ\\\"\"\nopinion = \"]) #import\"\n";
    let case = Case::read("case", case).unwrap().case;
    let logs = logs("#let\u{202e}log", text.as_bytes());
    let data = data(&document(&logs, &case, Edition::Full));
    let all = said(&data);
    for literal in [
        "#panic(1) $x$ *b* `c` @d <line-1> = e",
        "#read(\"/etc/passwd\")",
        "]) #import",
        "#include \"a.typ\"",
    ] {
        assert!(all.contains(literal), "{literal}");
    }
    for c in all.chars() {
        assert!(c == '\n' || !c.is_control() && c != '\u{202e}', "{c:?}");
    }
    // No piece is wider than a line, and none is lost.
    assert!(all.contains(&"x".repeat(60)) && !data.to_string().contains(&"x".repeat(60)));
    // The template reads its data and nothing else, and runs no text.
    for word in ["eval", "include", "import", "read(", "plugin", "sys.", "cbor", "toml(", "yaml(", "http"] {
        let code = TEMPLATE.lines().filter(|line| !line.starts_with("//"));
        assert!(code.into_iter().all(|line| !line.contains(word)), "{word}");
    }
    assert_eq!(TEMPLATE.matches("json(").count(), 1);
}

#[test]
fn what_the_fonts_lack_is_a_code_point_and_is_listed() {
    let case = "[matter]\nexaminer = \"\u{928}\u{926}\u{940} Ash\"\n";
    let case = Case::read("case", case).unwrap().case;
    let logs = logs("log", b"unit-event-log 1\n1 2031-05-10 07:00:05 enable\n");
    let data = data(&document(&logs, &case, Edition::Full));
    let all = said(&data["sections"]);
    assert!(all.contains("[U+0928][U+0926][U+0940] Ash"));
    assert!(all.contains("3 characters are covered by none of these fonts"), "{all}");
    assert!(!all.contains('\u{928}'));
}

#[test]
fn a_font_must_be_one() {
    let misfit = Fonts::with(&[Given { name: "log", bytes: b"unit-event-log 1\n" }]).unwrap_err();
    assert!(misfit.message.as_str().contains("no font"), "{misfit:?}");
}

#[test]
fn the_command_writes_what_typst_sets_the_same_in_every_folder() {
    let base = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pdf");
    let _old = std::fs::remove_dir_all(&base);
    let mut written = Vec::new();
    for folder in ["a", "b/c"] {
        let folder = base.join(folder);
        std::fs::create_dir_all(&folder).unwrap();
        let path = |name: &str| folder.join(name).display().to_string();
        std::fs::write(path("unit.log"), "unit-event-log 1\n1 2031-05-10 07:00:05 enable\n").unwrap();
        let out = path("set");
        let arguments =
            ["document", &path("unit.log"), "--form", "typst", "--date", "2031-06-02", "--out", &out];
        let (said, complaint, code) = run(&arguments);
        assert_eq!((complaint.as_str(), code), ("", 0));
        assert!(said.contains("--pdf-standard a-2b document.typ"), "{said}");
        assert_eq!(std::fs::read_to_string(folder.join("set/document.typ")).unwrap(), TEMPLATE);
        written.push(std::fs::read_to_string(folder.join("set").join(DATA)).unwrap());
        let fonts = std::fs::read_dir(folder.join("set/fonts")).unwrap().count();
        assert_eq!(fonts, 4);
        let (_, complaint, code) = run(&arguments);
        assert!(code == 2 && complaint.contains("exist"), "{complaint}");
    }
    assert_eq!(written[0], written[1]);
    let data: Value = serde_json::from_str(&written[0]).unwrap();
    assert!(said(&data).contains(
        "logassay document unit.log --edition full --date 2031-06-02 --form pdf --pdf-standard a-2b --out FILE"
    ));
    assert_eq!(data["about"]["date"], serde_json::json!([2031, 6, 2]));

    // A file that is no font is said by its name; what belongs to a PDF is not taken for the page.
    let log = base.join("a/unit.log").display().to_string();
    let out = base.join("other").display().to_string();
    let (_, complaint, code) =
        run(&["document", &log, "--form", "typst", "--date", "2031-06-02", "--font", &log, "--out", &out]);
    assert!(code == 2 && complaint.contains("unit.log: this file holds no font"), "{complaint}");
    let (_, complaint, code) = run(&["document", &log, "--form", "typst", "--out", &out]);
    assert!(code == 2 && complaint.contains("none is stated") && complaint.contains("--date"), "{complaint}");
    let (_, complaint, code) = run(&["document", &log, "--pdf-standard", "a-1b", "--out", &out]);
    assert!(code == 2 && complaint.contains("--form pdf"), "{complaint}");
    assert!(!base.join("other").exists());
    let _gone = std::fs::remove_dir_all(&base);
}

#[test]
fn a_font_enters_the_provenance_and_the_id() {
    let unit = UnitDescription::kestrane();
    let log = logs("log", b"unit-event-log 1\n1 - enable\n");
    let case = Case::default();
    let examinations = [examine(&log[0], &case, &unit)];
    let plain = Document::of(&examinations, &frame(false), Edition::Full);
    let paper = logassay::report::Paper::of("Noto.ttf", b"bytes of a font");
    let digest = paper.digest.to_string();
    let set = logassay::report::Frame { fonts: vec![paper], ..frame(false) };
    let with = Document::of(&examinations, &set, Edition::Full);
    assert_ne!(plain.id, with.id);
    let page = html::page(&with);
    assert!(page.contains(&digest) && page.contains("the file Noto.ttf"));
    assert!(page.contains("opened 2 items for reading only"));
}

#[cfg(not(feature = "pdf"))]
#[test]
fn a_program_without_the_press_says_how_to_get_it_before_it_reads_anything() {
    let (_, complaint, code) = run(&["document", "no-such.log", "--form", "pdf", "--out", "never.pdf"]);
    assert_eq!(code, 2);
    let complaint: String = complaint.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in ["cargo build --release --features pdf", "--form typst", "README.md"] {
        assert!(complaint.contains(word), "{complaint}");
    }
}

#[cfg(feature = "pdf")]
mod press {
    use super::*;
    use logassay::report::Frame;
    use logassay::source::Shown;

    /// A document with its date, for which PDF/A asks.
    fn dated(logs: &[Log], case: &Case) -> Document {
        let unit = UnitDescription::kestrane();
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, case, &unit)).collect();
        let frame = Frame { date: Some(Shown::inert("2031-06-02")), ..frame(false) };
        Document::of(&examinations, &frame, Edition::Full)
    }

    #[test]
    fn every_standard_is_set_twice_the_same() {
        assert!(logassay::report::pdf::TYPST.starts_with("0.15"));
        let text = std::fs::read(crate::corpus::folder("demonstration").join("clean-life.log")).unwrap();
        let document = dated(&logs("unit.log", &text), &Case::default());
        let fonts = Fonts::with(&[]).unwrap();
        for standard in STANDARDS {
            let sources = Sources::of(&document, &fonts, *standard);
            let one = sources.print(&fonts).unwrap();
            assert_eq!(one, sources.print(&fonts).unwrap(), "{}", standard.id);
            assert!(one.starts_with(b"%PDF-1."), "{}", standard.id);
            let (part, level) = (&standard.id[2..3], standard.id[3..].to_uppercase());
            let text = String::from_utf8_lossy(&one);
            for claim in [format!("<pdfaid:part>{part}<"), format!("<pdfaid:conformance>{level}<")] {
                assert!(text.contains(&claim), "{}: {claim}", standard.id);
            }
        }
    }

    #[test]
    fn a_hostile_text_is_set_as_it_stands() {
        let case = "[matter]\nexaminer = \"#panic(1) $x$ @nowhere <line-1> \u{928}\"\n";
        let case = Case::read("case", case).unwrap().case;
        let log =
            logs("log", b"unit-event-log 1\n1 2031-05-10 07:00:05 enable\n; #import \"@preview/a:1.0.0\"\n");
        let document = dated(&log, &case);
        let fonts = Fonts::with(&[]).unwrap();
        assert!(Sources::of(&document, &fonts, STANDARDS[0]).print(&fonts).is_ok());
    }

    #[test]
    fn the_command_writes_a_pdf() {
        let base = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("pdf-file");
        let _old = std::fs::remove_dir_all(&base);
        std::fs::create_dir_all(&base).unwrap();
        let out = base.join("report.pdf").display().to_string();
        let (said, complaint, code) =
            run(&["document", "--form", "pdf", "--date", "2031-06-02", "--out", &out]);
        assert_eq!((complaint.as_str(), code), ("", 0));
        assert!(said.starts_with("written: "), "{said}");
        assert!(std::fs::read(&out).unwrap().starts_with(b"%PDF-1.7"));
        let _gone = std::fs::remove_dir_all(&base);
    }
}

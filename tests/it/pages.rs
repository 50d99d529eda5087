//! Reports as pages: widths, colour, the contents that a report must hold, the walk, the sheet to fill in, the states.

use std::fs;
use std::sync::Arc;

use logassay::case::Case;
use logassay::event::EVENTS;
use logassay::finding::Verdict;
use logassay::replay::graph;
use logassay::report::drawing::{self, Way};
use logassay::report::{
    CAUTIONS, DEMONSTRATION, Frame, IDENTITY_WITHHELD, Layout, NOT_EXAMINED, Paper, catalogue, json,
    statements, terminal, walk,
};
use logassay::rules::RULES;
use logassay::source::{Shown, Source};
use logassay::syntax::{Log, read};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use unicode_width::UnicodeWidthStr as _;

use crate::corpus::{FOLDERS, folder, stems};

pub(crate) fn frame(demonstration: bool) -> Frame {
    Frame { demonstration, ..Frame::of(Shown::inert("logassay LOG")) }
}

pub(crate) fn logs(name: &str, bytes: &[u8]) -> Vec<Log> {
    read(Arc::new(Source::new(name, bytes.to_vec())))
}

/// Every log of the corpus that is examined, with its case.
pub(crate) fn corpus() -> Vec<(String, Vec<Log>, Case)> {
    let mut all = Vec::new();
    for name in FOLDERS {
        for stem in stems(name, ".log") {
            let path = folder(name).join(&stem);
            let bytes = fs::read(path.with_extension("log")).unwrap();
            let case = match fs::read_to_string(path.with_extension("case.toml")) {
                Ok(text) => Case::read("case", &text).unwrap().case,
                Err(_) => Case::default(),
            };
            all.push((format!("{name}/{stem}"), logs(&stem, &bytes), case));
        }
    }
    assert!(all.len() > 10);
    all
}

/// A log that is hard on a page: long serials, wide characters, characters that act on a terminal, faults.
fn hard() -> Vec<Log> {
    let text = format!(
        "unit-event-log 1\nserial: {}\nodd\u{202e}key: x\u{1b}[2J\nstrange: \u{1b}[31m\u{202e}\u{4e00}{}\n\n; {}\n\
         12 2031-05-10 07:00:00 power-on\n13 2031-05-10 07:00:01 {} a=\"{}\"\n14 2031-05-32 07:00:02 enable\n\
         15 2031-05-10 07:00:03 enable\n16 2031-05-10 07:00:09 enable\n",
        "CU-20417-".repeat(30),
        "\u{4e8c}".repeat(90),
        "word ".repeat(50),
        "w".repeat(40),
        "\u{4e09}".repeat(120),
    );
    logs(&format!("a\u{1b}[31m\u{202e}{}", "n".repeat(200)), text.as_bytes())
}

fn pages(examinations: &[Examination<'_>], layout: Layout) -> Vec<String> {
    let frame = frame(true);
    vec![
        terminal::report(examinations, &frame, layout),
        walk::page(examinations, &frame, layout),
        walk::blank(examinations, &frame, layout),
    ]
}

fn with_examinations(check: impl Fn(&str, &[Examination<'_>])) {
    let unit = UnitDescription::kestrane();
    for (name, logs, case) in corpus().into_iter().chain([("hard".to_owned(), hard(), Case::default())]) {
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        check(&name, &examinations);
    }
}

fn narrow(name: &str, page: &str, width: usize) {
    for line in page.lines() {
        assert!(line.width() <= width, "{name} at {width}: {} columns: {line}", line.width());
        assert_eq!(line.trim_end(), line, "{name} at {width}: spaces at the end");
    }
}

#[test]
fn no_line_is_wider_than_asked() {
    with_examinations(|name, examinations| {
        for width in [40, 80, 140] {
            for page in pages(examinations, Layout::plain(width)) {
                narrow(name, &page, width);
            }
        }
    });
    let text = fs::read_to_string(folder("demonstration").join("disputed-unit.case.toml")).unwrap();
    let file = Case::read("case", &text).unwrap();
    for width in [40, 80, 140] {
        narrow("rules", &catalogue::list(Layout::plain(width)), width);
        narrow("case check", &statements::page(&file, Layout::plain(width)), width);
        for rule in RULES {
            narrow(rule.id, &catalogue::page(rule, Layout::plain(width)), width);
        }
    }
}

#[test]
fn colour_says_nothing_of_its_own() {
    with_examinations(|name, examinations| {
        let plain = pages(examinations, Layout { width: 80, colour: false });
        let coloured = pages(examinations, Layout { width: 80, colour: true });
        for (plain, coloured) in plain.iter().zip(&coloured) {
            assert!(!plain.contains('\u{1b}'), "{name}");
            assert_eq!(anstream::adapter::strip_str(coloured).to_string(), *plain, "{name}");
        }
        assert!(coloured[0].contains('\u{1b}'), "{name}: colour was asked for");
    });
}

#[test]
fn nothing_in_a_page_acts_on_the_reader() {
    with_examinations(|name, examinations| {
        for page in pages(examinations, Layout::plain(80)) {
            for c in page.chars() {
                assert!(c == '\n' || !c.is_control(), "{name}: {c:?}");
                assert!(!matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'), "{name}: {c:?}");
            }
        }
    });
}

/// What a report must hold. Source of the list: `standards.md` 4.2 of the project (SWGDE 18-Q-002, NIJ 199408, NIST SP
/// 800-86 section 3.4, ISO/IEC 27042, as that page cites them); what a person must add is not asked of the tool.
#[test]
fn the_report_holds_what_it_must() {
    let heads = [
        "What was examined",
        "How far the log speaks",
        "What is not examined",
        "Answers, rule by rule",
        "Findings",
        "The fewest changes that would make the records possible",
        "What cannot be told, and why",
        "What to ask for, and of whom",
        "Rules that were kept",
        "Cautions",
        "How to repeat this",
    ];
    with_examinations(|name, examinations| {
        let mut frame = frame(true);
        frame.case_file = Some(Paper::of("papers", b"text"));
        let page = terminal::report(examinations, &frame, Layout::plain(140));
        let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let has = |text: &str| {
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(&text), "{name} lacks: {text}");
        };
        heads.iter().for_each(|head| has(head));
        NOT_EXAMINED.iter().chain(CAUTIONS).for_each(|text| has(text));
        has("logassay LOG");
        has(&Paper::of("", b"text").digest.to_string());
        for examination in examinations {
            if let Some((_, digest)) = examination.log.file_identity(&examination.secrecy) {
                has(&digest.to_string());
            } else {
                // With the other lines at hand, the digest of the file undoes a mask by trying.
                has(IDENTITY_WITHHELD);
            }
            has(&examination.unit.digest.to_string());
            for answer in &examination.answers {
                has(answer.rule);
                answer.why.iter().for_each(|why| has(why));
            }
            for (at, finding) in examination.findings.iter().enumerate() {
                // Of many findings of one conflict the page prints the first four; the others it names by line.
                let of_conflict = |other: &&logassay::finding::Finding| other.group == finding.group;
                let before = examination.findings[..at].iter().filter(of_conflict).count();
                match finding.main {
                    logassay::finding::Place::Line(line) if finding.group.is_some() && before >= 4 => {
                        has(&format!("{} (line {})", at + 1, examination.log.line_number(line)));
                    }
                    _ => has(&finding.shows),
                }
                has(finding.kind.meaning());
                finding.assumptions.iter().for_each(|assumption| has(&assumption.0));
            }
            for answer in examination.answers.iter().filter(|answer| answer.verdict == Verdict::NotKept) {
                let rule = logassay::rules::rule(answer.rule).unwrap();
                rule.ordinary.iter().for_each(|ordinary| has(ordinary.account));
                rule.look_next.iter().for_each(|next| has(next));
            }
        }
    });
}

#[test]
fn every_head_of_a_demonstration_says_that_no_evidence_was_read() {
    let unit = UnitDescription::kestrane();
    let (_, logs, case) =
        corpus().into_iter().find(|(name, _, _)| name == "demonstration/disputed-unit").unwrap();
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    for page in pages(&examinations, Layout::plain(80)) {
        let lines: Vec<&str> = page.lines().collect();
        let heads: Vec<usize> = (0..lines.len())
            .filter(|at| lines[*at].starts_with("\u{2500}\u{2500}\u{2500}\u{2500}"))
            // The line below the column heads of a table has no gap above it.
            .filter(|at| *at < 2 || lines[at - 1].is_empty())
            .collect();
        assert!(!heads.is_empty());
        let marked = lines.iter().filter(|line| **line == DEMONSTRATION).count();
        assert!(marked == heads.len(), "{marked} marks, {} lines", heads.len());
        assert!(lines[0].starts_with(DEMONSTRATION));
    }
    let without = terminal::report(&examinations, &frame(false), Layout::plain(80));
    assert!(!without.contains(DEMONSTRATION));
}

#[test]
fn the_sheet_to_fill_in_holds_no_answer() {
    with_examinations(|name, examinations| {
        let page = walk::blank(examinations, &frame(false), Layout::plain(1000));
        // A comment of the log may say what it likes: only the other lines are the tool's own.
        let page: String = page.lines().filter(|line| !line.contains("   ; ")).collect();
        for rule in RULES {
            assert!(!page.contains(rule.title) && !page.contains(rule.asks), "{name}: {}", rule.id);
        }
        for entry in EVENTS {
            assert!(!page.contains(entry.at_the_table), "{name}: {}", entry.word);
        }
        assert!(!page.contains("memory empty") && !page.contains("finding"), "{name}");
    });
}

#[test]
fn the_walk_knows_what_can_be_known() {
    let logs = logs(
        "log",
        b"unit-event-log 1\n7 2031-05-10 07:00:00 total shown=3\n8 2031-05-10 07:00:05 enable\n\
          9 2031-05-10 07:00:30 vote\n12 2031-05-10 07:00:40 close\n",
    );
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let rows = walk::rows(&examine(&logs[0], &case, &unit));
    let states = |names: &[&str]| Some(names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>());
    assert_eq!(rows[0].before, None, "the heading is not replayed");
    // Worked out by hand: an enable follows, so the unit was locked with the power on, its memory empty or not.
    assert_eq!(rows[1].before, states(&["cleared", "between"]));
    assert_eq!(rows[2].after, states(&["enabled-first", "enabled-again"]));
    assert_eq!(rows[3].after, states(&["between"]));
    assert_eq!(rows[4].missing_before, 2);
    assert_eq!(rows[4].after, states(&["closed"]));
    assert!(rows[4].findings.iter().any(|(_, rule)| rule == "number-missing"), "{:?}", rows[4].findings);
    let page = walk::page(&[examine(&logs[0], &case, &unit)], &frame(false), Layout::plain(80));
    assert!(page.contains("(by their numbers, 2 records are missing here)"), "{page}");
}

#[test]
fn the_walk_says_why_a_line_is_unread() {
    let logs =
        logs("log", b"unit-event-log 1\n1 - enable \n2 2031-13-10 07:00:12 vote\n\n3 - vote a=1 a=1 a=2");
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let rows = walk::rows(&examine(&logs[0], &case, &unit));
    let faults: Vec<&[&str]> = rows.iter().map(|row| row.faults.as_slice()).collect();
    let last: &[&str] = &["attribute-repeated", "attribute-repeated", "line-end-missing"];
    assert_eq!(faults, [&[][..], &["space-trailing"], &["month-out-of-range"], &[], last]);
}

#[test]
fn the_walk_says_what_the_unit_was_behind_a_contradiction() {
    let logs = logs(
        "log",
        b"unit-event-log 1\n7 2031-05-10 07:00:00 enable\n8 2031-05-10 07:00:05 enable\n\
          9 2031-05-10 07:00:30 vote\n",
    );
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examination = examine(&logs[0], &case, &unit);
    let rows = walk::rows(&examination);
    assert!(rows[1].in_conflict && rows[2].in_conflict && !rows[3].in_conflict);
    let page = walk::page(&[examination], &frame(false), Layout::plain(100));
    let (_, last) = page.split_once("07:00:30 vote").unwrap();
    assert!(last.contains("the unit, before"), "{page}");
}

#[test]
fn the_states_are_those_of_the_one_table() {
    let unit = UnitDescription::kestrane();
    let table = graph::table(&unit);
    // Worked out by hand from `domain.md`, "The unit, and its description" (common practice in the trade).
    for row in [
        "cleared\tenable\tenabled-first",
        "enabled-first\tvote\tbetween",
        "between\tenable\tenabled-again",
        "between\tclose\tclosed",
        "closed\tvote\t-",
        "closed\tresult\tresult-shown",
        "closed\tclear\t-",
        "result-shown\tclear\tcleared",
        "enabled-again\tpower-off\tbetween/off",
        "between/off\tpower-on\tbetween",
        "between/off\tvote\t-",
    ] {
        assert!(table.lines().any(|line| line.starts_with(&format!("{row}\t"))), "{row}");
    }
    assert!(graph::moves(&unit).len() > 100);
    let dot = graph::dot(&unit);
    assert!(dot.starts_with("digraph {") && dot.contains("vote") && dot.ends_with("}\n"), "{dot}");
    assert_eq!(graph::graph(&unit).node_count(), 12);
}

#[test]
fn the_picture_carries_the_way_of_a_log() {
    let logs = logs(
        "<log>&",
        b"unit-event-log 1\n8 2031-05-10 07:00:05 enable\n9 2031-05-10 07:00:30 vote\n10 - enable\n11 - vote\n",
    );
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examination = examine(&logs[0], &case, &unit);
    let picture = drawing::svg(&unit, &Way::of(&examination), false);
    assert!(picture.contains("enable \u{d7}1") && picture.contains("vote \u{d7}1"), "{picture}");
    assert!(picture.contains("&lt;log&gt;&amp;") && !picture.contains("<log>"));
    let boxes = ["k-node", "k-off"].map(|class| picture.matches(&format!("<rect class=\"{class}\"")).count());
    assert_eq!(boxes, [6, 6]);
    assert!(!json::schema().is_empty());
}

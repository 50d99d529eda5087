//! Foreign exports: read by a mapping or as the standard says, with the same answers as the log that they were made from.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use logassay::case::Case;
use logassay::event::Event;
use logassay::exchange::{self, Leaving, Mapping, Misfit};
use logassay::report::{Layout, trial};
use logassay::source::Source;
use logassay::syntax::{self, Log, Secrecy};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use proptest::prelude::*;

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

pub(crate) fn mapping(text: &str) -> Mapping {
    match Mapping::read_bytes("mapping", text.as_bytes()) {
        Ok(mapping) => mapping,
        Err(troubles) => panic!("{}", logassay::sheet::explain(&troubles, 100, false)),
    }
}

pub(crate) fn by(mapping: &Mapping, bytes: &[u8]) -> Result<Vec<Log>, Misfit> {
    exchange::read_by_mapping(Source::new("export", bytes.to_vec()), mapping)
}

/// Every file of `corpus/foreign` that holds an export, with its logs.
fn corpus() -> Vec<(String, Vec<Log>)> {
    let folder = root().join("corpus/foreign");
    let mut found = Vec::new();
    let mut paths: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    if cfg!(not(feature = "spreadsheet")) {
        eprintln!("the spreadsheets of corpus/foreign are read by `cargo test --features spreadsheet`");
        paths.retain(|path| !path.extension().is_some_and(|ending| ending == "xlsx" || ending == "ods"));
    }
    for path in paths.iter().filter(|path| path.extension().is_some_and(|ending| ending != "toml")) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let source = Source::new(name.clone(), fs::read(path).unwrap());
        let toml = path.with_extension("toml");
        let logs = if toml.exists() {
            exchange::read_by_mapping(source, &mapping(&fs::read_to_string(toml).unwrap()))
        } else {
            exchange::read(source)
        };
        found.push((name, logs.unwrap()));
    }
    found
}

/// The log that the exports of the corpus were made from, without its closing line, which no other format has.
fn original() -> Vec<Log> {
    let text = fs::read_to_string(root().join("corpus/demonstration/clean-life.log")).unwrap();
    let open: String =
        text.lines().filter(|line| !line.starts_with("end ")).map(|line| format!("{line}\n")).collect();
    syntax::read(Arc::new(Source::new("original", open.into_bytes())))
}

/// The answers that are about the events and the numbers, and not about the file.
fn answers(examination: &Examination<'_>) -> Vec<String> {
    // The head of an export says other things in every format; what a row is called is its own.
    let of_the_file =
        ["unreadable-line", "closing-disagrees", "identity-differs", "record-after-export", "ring-order"];
    examination
        .answers
        .iter()
        .filter(|answer| !of_the_file.contains(&answer.rule))
        .map(|a| format!("{}: {} {}/{}/{}", a.rule, a.verdict.words(), a.in_order, a.contrary, a.open))
        .collect()
}

#[test]
fn every_foreign_export_of_the_short_life_has_the_same_answers() {
    let unit = UnitDescription::kestrane();
    let case = fs::read_to_string(root().join("corpus/demonstration/clean-life.case.toml")).unwrap();
    let case = Case::read("case", &case).unwrap().case;
    let original = original();
    let expected = answers(&examine(&original[0], &case, &unit));
    let files = corpus();
    assert!(files.len() >= 3, "{}", files.len());
    for (name, logs) in &files {
        let log = logs.iter().max_by_key(|log| log.records().len()).unwrap();
        assert_eq!(log.records().len(), 47, "{name}");
        assert!(log.header("serial").is_none_or(|serial| serial.is("CU-20417")), "{name}");
        assert_eq!(answers(&examine(log, &case, &unit)), expected, "{name}");
        // What is written anew in our own format still says the same.
        let leaving = [Leaving { log, secrecy: &Secrecy::strict() }];
        let text = (exchange::format("log").unwrap().writes.unwrap())(&leaving).unwrap();
        let again = exchange::read(Source::new("again", text.into_bytes())).unwrap();
        assert!(again[0].faults().is_empty(), "{name}: {:?}", again[0].faults());
        assert!(again[0].closing().is_some_and(logassay::syntax::Closing::is_intact));
        let says = |log: &Log| -> Vec<_> {
            log.records().iter().map(|r| (r.number, r.time, r.event, log.attributes(r).count())).collect()
        };
        assert_eq!(says(&again[0]), says(log), "{name}");
    }
}

#[test]
fn a_line_of_the_report_is_the_line_of_the_original_file() {
    let files = corpus();
    let (_, logs) = files.iter().find(|(name, _)| name == "semicolon-table.csv").unwrap();
    let log = &logs[0];
    let close = log.records().iter().find(|record| record.event == Event::Close).unwrap();
    let quoted = log.quote(close.line, &Secrecy::strict());
    let bytes = fs::read_to_string(root().join("corpus/foreign/semicolon-table.csv")).unwrap();
    let number = log.line_number(close.line);
    assert_eq!(bytes.lines().nth(number - 1), Some(quoted.as_str()));
    // The head of the file is its head although its newest row stands first.
    assert!(log.header("software").unwrap().is("4.2") && log.header("serial").unwrap().is("CU-20417"));
    assert!(log.format().unwrap().as_str().contains("mapping 'Activity table', version 1, SHA-256"));
}

pub(crate) const TABLE: &str = "[mapping]\nname = \"t\"\nversion = \"1\"\n[file]\nform = \"delimited\"\nseparator = \"comma\"\n\
    column-names = true\n[time]\npattern = \"YYYY-MM-DD hh:mm:ss\"\nnone = [\"--\"]\n\
    [[column]]\nname = \"No\"\nholds = \"number\"\n[[column]]\nname = \"When\"\nholds = \"time\"\n\
    [[column]]\nname = \"What\"\nholds = \"event\"\n\
    [[word]]\ntext = \"ENABLE\"\nevent = \"enable\"\n[[word]]\ntext = \"VOTE\"\nevent = \"vote\"\n\
    [[word]]\ntext = \"ON\"\nevent = \"power-on\"\n";

pub(crate) fn kinds(log: &Log) -> Vec<&'static str> {
    log.lines().iter().map(|line| line.kind.word()).collect()
}

#[test]
fn rows_that_do_not_fit_are_kept_with_the_reason() {
    let text = "No,When,What\n1,2031-05-10 06:00:00,ON\n\nx,2031-05-10 07:00:00,ENABLE\n2,2031-13-10 07:00:00,ENABLE\n\
                3,2031-05-10 07:00:00,\n4,2031-05-10 07:00:00\n5,--,BEEP\n6,,ENABLE\n\"7,2031\n";
    let log = &by(&mapping(TABLE), text.as_bytes()).unwrap()[0];
    assert_eq!(
        kinds(log),
        ["comment", "record", "blank", "unread", "unread", "unread", "unread", "record", "record", "unread"]
    );
    let codes: Vec<(usize, &str)> =
        log.faults().iter().map(|fault| (log.line_number(fault.line), fault.code.word())).collect();
    assert_eq!(
        codes,
        [(4, "row-number"), (5, "row-time"), (6, "row-event"), (7, "row-form"), (10, "row-form")]
    );
    let times: Vec<bool> = log.records().iter().map(|record| record.time.is_some()).collect();
    assert_eq!(times, [true, false, false]);
    // An unmapped word is an unknown event, shown and counted.
    assert_eq!(log.word(&log.records()[1]).as_str(), "BEEP");
    let latin = TABLE.replace("separator", "encoding = \"utf-16\"\nseparator");
    let units: Vec<u8> = "No,When,What\n1,2031-05-10 06:00:00,ON\n"
        .encode_utf16()
        .chain([0x32, 0xD800, 0x2C, 0x2C, 0x4F, 0x4E, 0x0A])
        .flat_map(u16::to_le_bytes)
        .collect();
    let log = &by(&mapping(&latin), &units).unwrap()[0];
    assert_eq!(log.faults().first().map(|fault| fault.code.word()), Some("row-text"));
    // A quotation mark that is never closed takes no other row with it; one that spans lines is noted.
    let text = "No,When,What\n1,2031-05-10 06:00:00,ON\n2,2031-05-10 06:00:01,\"ON\n3,2031-05-10 06:00:02,ENABLE\n\
                4,2031-05-10 06:00:03,\"VO\nTE\"\n";
    let log = &by(&mapping(TABLE), text.as_bytes()).unwrap()[0];
    assert_eq!(kinds(log), ["comment", "record", "unread", "record", "record"]);
    let codes: Vec<&str> = log.faults().iter().map(|fault| fault.code.word()).collect();
    assert_eq!(codes, ["row-form", "row-over-lines"]);
    // A cell that holds what is a row by itself has swallowed one.
    let text = "No,When,What\n1,2031-05-10 06:00:00,ON\n2,2031-05-10 06:00:01,\"\n3,2031-05-10 06:00:02,\"\n";
    let log = &by(&mapping(TABLE), text.as_bytes()).unwrap()[0];
    assert_eq!(kinds(log), ["comment", "record", "unread", "unread"]);
    // Every fault of foreign rows has been shown here.
    let shown = ["row-number", "row-time", "row-event", "row-form", "row-text", "row-over-lines"];
    let rows = syntax::FAULTS.iter().filter(|entry| entry.word.starts_with("row-"));
    assert!(rows.clone().all(|entry| shown.contains(&entry.word)) && rows.count() == shown.len());
}

#[test]
fn a_mapping_that_fits_nothing_is_a_named_error() {
    let fails = |mapping_text: &str, file: &str| by(&mapping(mapping_text), file.as_bytes()).unwrap_err();
    let misfit = fails(TABLE, "Number;Moment;Deed\n1;2;3\n");
    assert_eq!(misfit.message.as_str(), "the file has no column named 'No'");
    assert!(misfit.help.as_str().contains("the row of names has 1 columns"), "{misfit:?}");
    let misfit = fails(TABLE, "No,When,What\n1,10.05.2031 07:00,ENABLE\n");
    assert!(misfit.message.as_str().contains("fits no row of the file; line 2"), "{misfit}");
    let utf16 = by(&mapping(TABLE), b"\xFF\xFEN\0o\0").unwrap_err();
    assert!(utf16.message.as_str().contains("UTF-16"));
    let by_place = TABLE.replace("column-names = true\n", "").replace("name = \"No\"", "place = 9");
    let by_place = by_place.replace("name = \"When\"", "place = 2").replace("name = \"What\"", "place = 3");
    assert_eq!(fails(&by_place, "1,2,3\n").help.as_str(), "its first row has 3 columns");
    // A row that holds a record is no row of names, and is not printed as one.
    let vote = "No,When,What\n1,2031-05-10 07:00:00,VOTE\n".replacen("No,When,What\n", "", 1);
    let misfit = fails(TABLE, &vote);
    assert!(misfit.message.as_str().contains("should name the columns"), "{misfit}");
    assert!(!format!("{misfit:?}").contains("VOTE"));
    let broken = by(&mapping(TABLE), b"No,When,Wh\xE4t\n1,2031-05-10 07:00:00,VOTE\n").unwrap_err();
    assert!(broken.message.as_str().contains("no text in the encoding"), "{broken}");
    assert!(fails(TABLE, "No,When,What\n").message.as_str().contains("finds no row"));
    let returns = fails(TABLE, "No,When,What\r1,2031-05-10 07:00:00,VOTE\r\r");
    assert!(returns.message.as_str().contains("carriage return"), "{returns}");
    assert!(
        fails(TABLE, "No,When,What,When\n1,2,3,4\n")
            .message
            .as_str()
            .contains("more than one column named 'When'")
    );
    let latin = TABLE.replace("separator", "encoding = \"latin-1\"\nseparator");
    assert!(
        fails(&latin, "No,When,What\n1,2031-05-10 07:00:00,\u{e9}\n").message.as_str().contains("is UTF-8")
    );
}

#[test]
fn an_error_in_a_mapping_points_at_its_place_with_the_right_form() {
    for (from, to, says) in [
        ("separator = \"comma\"", "separator = \"commas\"", "no single character"),
        ("event = \"vote\"", "event = \"voet\"", "did you mean `vote`"),
        ("name = \"No\"", "positions = \"1-4\"", "where it stands"),
        ("holds = \"event\"", "holds = \"number\"", "no column holds the event"),
        ("pattern = \"YYYY-MM-DD hh:mm:ss\"", "pattern = \"hh:mm\"", "lacks year, month or day"),
        ("column-names = true", "column-names = false", "no row names them"),
        ("holds = \"time\"", "holds = \"number\"", "more than one column holds the number"),
        ("holds = \"time\"", "holds = \"left-out\"", "no column holds one"),
        ("name = \"When\"", "name = \"No\"", "stated twice"),
        ("text = \"VOTE\"", "text = \"ENABLE\"", "mapped twice"),
        ("pattern = \"YYYY-MM-DD hh:mm:ss\"", "pattern = \"YYYY-MM-DD D hh:mm\"", "twice in the pattern"),
        ("separator = \"comma\"", "separator = \"comma\"\nsheet = \"x\"", "`sheet` says nothing"),
        ("holds = \"time\"", "holds = \"time\"\nattribute = \"bu\"", "`attribute` says nothing"),
        ("text = \"ENABLE\"", "pattern = \"(\"", "not a regular expression"),
        ("text = \"ENABLE\"", "text = \"E\"\npattern = \"E\"", "a text or a pattern"),
        (
            "event = \"enable\"",
            "event = \"enable\"\nattributes = [\"x=1\"]",
            "not an attribute of this event",
        ),
        (
            "[time]\npattern = \"YYYY-MM-DD hh:mm:ss\"\nnone = [\"--\"]\n",
            "",
            "nothing says how it is written",
        ),
    ] {
        assert!(TABLE.contains(from), "{from}");
        let troubles = Mapping::read_bytes("mapping", TABLE.replacen(from, to, 1).as_bytes()).unwrap_err();
        let drawn = logassay::sheet::explain(&troubles, 200, false);
        assert!(drawn.contains(says), "{from} -> {to}\n{drawn}");
    }
}

#[test]
fn rows_of_several_units_are_several_logs() {
    let two = TABLE.to_owned() + "[[column]]\nname = \"Unit\"\nholds = \"unit\"\n";
    let text = "No,When,What,Unit\n1,2031-05-10 06:00:00,ON,CU-1\n1,2031-05-10 06:00:01,ON,CU-2\n\
                2,2031-05-10 07:00:00,ENABLE,CU-1\n2,2031-05-10 07:00:00,ENABLE,CU-2\n3,bad,VOTE,CU-2\n";
    let logs = by(&mapping(&two), text.as_bytes()).unwrap();
    assert_eq!(logs.len(), 2);
    let numbers = |log: &Log| (0..log.lines().len()).map(|index| log.line_number(index)).collect::<Vec<_>>();
    assert_eq!((numbers(&logs[0]), numbers(&logs[1])), (vec![1, 2, 4], vec![3, 5, 6]));
    assert!(logs[0].header("serial").unwrap().is("CU-1") && logs[1].header("serial").unwrap().is("CU-2"));
    assert_eq!(kinds(&logs[1]), ["record", "record", "unread"]);
}

#[test]
fn a_display_of_minutes_is_not_taken_for_one_of_seconds() {
    let minutes = TABLE.replace("hh:mm:ss", "hh:mm");
    let text = "No,When,What\n1,2031-05-10 06:00,ON\n2,2031-05-10 07:00,ENABLE\n";
    let log = &by(&mapping(&minutes), text.as_bytes()).unwrap()[0];
    let time = log.records()[1].time.unwrap();
    assert_eq!((time.to_string().as_str(), time.step_ms()), ("2031-05-10 07:00", 60_000));
    let leaving = [Leaving { log, secrecy: &Secrecy::strict() }];
    let written = (exchange::format("log").unwrap().writes.unwrap())(&leaving).unwrap();
    assert!(
        written.contains("2 2031-05-10 07:00:00 enable") && written.contains("shows minutes only"),
        "{written}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_by_any_mapping_and_every_line_belongs_to_one_item(
        pieces in prop::collection::vec(prop::sample::select(&["1", ",", "\"", "\n", "\r\n", "VOTE", "2031-05-10 07:00:00", "x", " ", "\u{e9}", "\0"][..]), 0..60),
        bytes in prop::collection::vec(any::<u8>(), 0..20),
        encoding in prop::sample::select(&["utf-8", "latin-1"][..]),
        reversed in any::<bool>(),
    ) {
        let text = TABLE.replace("column-names = true", &format!("column-names = false\nencoding = \"{encoding}\"\nnewest-first = {reversed}"))
            .replace("name = \"No\"", "place = 1").replace("name = \"When\"", "place = 2").replace("name = \"What\"", "place = 3");
        let mapping = mapping(&text);
        let mut file = b"1,2031-05-10 06:00:00,ON\n".to_vec();
        file.extend(pieces.concat().into_bytes());
        file.extend(&bytes);
        if encoding == "latin-1" {
            // Else all of it may be UTF-8, which is refused.
            file.extend(b"\n\xE9");
        }
        let logs = by(&mapping, &file).unwrap();
        let mut numbers: Vec<usize> =
            logs.iter().flat_map(|log| (0..log.lines().len()).map(|index| log.line_number(index))).collect();
        numbers.sort_unstable();
        let before = numbers.len();
        numbers.dedup();
        prop_assert_eq!(numbers.len(), before, "a line begins one item");
        let lines = file.split(|b| *b == b'\n').count();
        prop_assert!(numbers.first() == Some(&1) && numbers.last() <= Some(&lines));
        let mut spans: Vec<_> = logs.iter().flat_map(|log| log.lines().iter().map(|line| line.span)).collect();
        spans.sort_unstable();
        for pair in spans.windows(2) {
            prop_assert!(pair[0].end <= pair[1].start, "{pair:?}");
        }
        let unit = UnitDescription::kestrane();
        let case = Case::default();
        for log in &logs {
            prop_assert!(!trial::page(std::slice::from_ref(log), Layout::plain(80)).is_empty());
            prop_assert!(!examine(log, &case, &unit).answers.is_empty());
        }
    }
}

//! Whether the swift reader and the grammar's agree: on arbitrary bytes, on lines near good ones, on the whole corpus.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use proptest::prelude::*;

use super::limits::{LIMITS, Limits};
use super::read::{Reader, read_with, read_within};
use super::swift;
use crate::event::EVENTS;
use crate::source::Source;
use crate::syntax::{Header, Line, LineKind, Log, Secrecy, Skimmed, Slice, skim};

/// All that was read, in a form that can be compared.
fn all_of(log: &Log) -> String {
    let slice = |slice: Slice| log.slice(slice);
    let headers: Vec<_> = log
        .headers
        .iter()
        .map(|Header { line, key, value, key_span, value_span }| {
            (*line, slice(*key), slice(*value), *key_span, *value_span)
        })
        .collect();
    let records: Vec<_> = log
        .records
        .iter()
        .map(|record| {
            let attributes: Vec<_> = log
                .attributes_of(record)
                .iter()
                .map(|a| (slice(a.key), slice(a.value), a.key_span, a.value_span))
                .collect();
            (record, slice(record.word), attributes)
        })
        .collect();
    let quotes: Vec<String> =
        (0..log.lines.len()).map(|line| log.quote(line, &Secrecy::strict()).to_string()).collect();
    format!(
        "{:#?}",
        (
            (log.first_line, &log.lines, log.lines_not_read, headers, records, quotes),
            (&log.closing, &log.faults, &log.fault_counts, log.chains_shown, &log.nearness, &log.text),
        )
    )
}

fn both_agree_within(bytes: &[u8], limits: &Limits) {
    let source = Arc::new(Source::new("s", bytes.to_vec()));
    let swift = read_within(&source, limits);
    let grammar = read_with(&source, limits, |_, _| None);
    assert_eq!(swift.len(), grammar.len());
    for (swift, grammar) in swift.iter().zip(&grammar) {
        // The text of a whole log is long; what differs is found quicker in a line of it.
        let (swift, grammar) = (all_of(swift), all_of(grammar));
        for (place, (one, other)) in swift.lines().zip(grammar.lines()).enumerate() {
            assert_eq!(one, other, "line {place} of what was read");
        }
        assert_eq!(swift.len(), grammar.len());
    }
}

fn both_agree(bytes: &[u8]) {
    both_agree_within(bytes, &LIMITS);
}

fn corpus(under: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut todo = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(under)];
    while let Some(dir) = todo.pop() {
        for entry in fs::read_dir(&dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Files of the corpus, those that are no logs included: as bytes they are as good as any.
#[test]
fn both_agree_on_every_file_of_the_corpus_with_either_line_end() {
    let files = corpus("corpus");
    assert!(files.len() > 100);
    for path in files {
        let bytes = fs::read(&path).unwrap();
        both_agree(&bytes);
        if let Ok(text) = std::str::from_utf8(&bytes) {
            both_agree(text.replace('\n', "\r\n").as_bytes());
        }
    }
}

#[test]
fn more_than_98_of_100_record_lines_of_lawful_logs_are_taken_swiftly() {
    let (mut records, mut taken) = (0, 0);
    for path in [corpus("corpus/demonstration"), corpus("corpus/clean")].concat() {
        if path.extension().is_none_or(|extension| extension != "log") {
            continue;
        }
        let source = Arc::new(Source::new("s", fs::read(&path).unwrap()));
        let count = std::cell::Cell::new(0);
        let logs = read_with(&source, &LIMITS, |reader: &mut Reader<'_>, at| {
            let behind = reader.take_swiftly(at);
            count.set(count.get() + usize::from(behind.is_some()));
            behind
        });
        records += logs.iter().map(|log| log.records.len()).sum::<usize>();
        taken += count.get();
    }
    assert!(records > 1500 && taken * 100 > records * 98, "{taken} of {records}");
}

#[test]
fn skimming_sees_every_line_once_and_the_records_that_reading_gives() {
    for path in corpus("corpus") {
        let source = Arc::new(Source::new("s", fs::read(&path).unwrap()));
        let logs = read_within(&source, &LIMITS);
        let lines: Vec<(&Log, &Line)> =
            logs.iter().flat_map(|log| log.lines.iter().map(move |line| (log, line))).collect();
        let mut at = 0;
        skim(&source, |skimmed| {
            let (log, line) = lines[at];
            at += 1;
            match (skimmed, line.kind) {
                (Skimmed::Record { number, time, event }, LineKind::Record(place)) => {
                    let record = &log.records[place];
                    assert_eq!((number, time, event), (record.number, record.time, record.event));
                }
                (Skimmed::Record { .. }, kind) => panic!("{}: {kind:?} skimmed as a record", path.display()),
                (Skimmed::Other(span), _) => assert_eq!(span, line.span),
            }
        });
        assert_eq!(at, lines.len(), "{}", path.display());
    }
}

/// Every day that the form can write, and those around them that are none.
#[test]
fn every_date_is_the_one_of_the_grammar() {
    for year in (0..=9999).filter(|year| year % 97 == 0 || year % 100 == 0 || year % 100 == 4 || *year < 9) {
        let mut text = String::new();
        for month in 0..=13 {
            for day in 0..=32 {
                text.push_str(&format!("1 {year:04}-{month:02}-{day:02} 23:59:58 vote\n"));
            }
        }
        let source = Arc::new(Source::new("s", text.into_bytes()));
        let (swift, grammar) = (read_within(&source, &LIMITS), read_with(&source, &LIMITS, |_, _| None));
        assert!(swift[0].records == grammar[0].records && swift[0].lines == grammar[0].lines, "{year}");
    }
}

#[test]
fn what_is_declined_leaves_no_trace_and_limits_hold() {
    let long = format!("1 - vote bu={}\n", "B".repeat(4096));
    let attributes = |count: usize| -> String {
        let fields = (0..count).fold(String::new(), |fields, at| format!("{fields} k{at}=v"));
        format!("7 - fault{fields}\n")
    };
    let text = format!(
        "unit-event-log 1\n{long}1 - vote bu=1 x=\"\n2 - vote a=1 a=1 b=2 a=3\n{}{}3 - vote {}=1\n4 - vote {}=1\nend 9\n5 - vote\n6 - close",
        attributes(32),
        attributes(33),
        "k".repeat(40),
        "k".repeat(41),
    );
    both_agree(text.as_bytes());
    for most in 0..9 {
        both_agree_within(text.as_bytes(), &Limits { records: most, ..LIMITS });
        both_agree_within(text.as_bytes(), &Limits { lines: most, ..LIMITS });
        both_agree_within(text.as_bytes(), &Limits { faults: most, ..LIMITS });
        both_agree_within(text.as_bytes(), &Limits { line_bytes: most * 2, logs: 1, ..LIMITS });
    }
}

#[test]
fn both_agree_at_the_edges_of_the_form() {
    for line in [
        "1 2031-05-10 07:00:00. vote",
        "1 2031-05-10 07:00:00.1234 vote",
        "1 2031-05-10 24:00:00 vote",
        "1 2031-05-10 23:60:00 vote",
        "1 2031-05-10 23:59:60 vote",
        "1 2031-05-10  07:00:00 vote",
        "1 2031-05-10 07:00:00 vote ",
        "1 2031-05-10 07:00:00 vote  bu=1",
        "1 2031-05-10 07:00:00 vote bu=",
        "1 2031-05-10 07:00:00 vote bu=\u{7f}",
        "1 2031-05-10 07:00:00 vote =1",
        "1 2031-05-10 07:00:00 vote chain:",
        "1 2031-05-10 07:00:00",
        "1 - vote\0",
        "1 -",
        "-- vote",
        "- - vote",
        "12345678901234567890 - vote",
        " 1 - vote",
    ] {
        both_agree(line.as_bytes());
        both_agree(format!("1 2031-05-10 07:00:00 enable\n{line}\r\n{line}\n").as_bytes());
    }
}

#[test]
fn every_word_of_the_vocabulary_is_taken() {
    for entry in EVENTS {
        let line = format!("9999999999999999999 2031-05-10 23:59:59.123 {}", entry.word);
        let taken = swift::record(line.as_bytes(), &mut swift::Today::default(), |_| ()).unwrap();
        assert_eq!((taken.event, taken.len), (entry.event, line.len()));
        both_agree(format!("{line}\n{line}-x\n{line}x\n{line} bu=1\r\n{line}\r").as_bytes());
    }
}

/// A line near the form, of fields that are mostly good.
fn near_line() -> impl Strategy<Value = String> {
    let pick = |good: &'static [&'static str], other: &'static str| prop_oneof![6 => prop::sample::select(good).prop_map(str::to_owned), 1 => other.prop_map(|text| text)];
    let number = pick(&["-", "1", "0042", "12345678", "123456789", "9999999999999999999"], "[0-9+x]{0,21}");
    let date =
        pick(&["2031-05-10", "2032-02-29", "0001-01-01", "9999-12-31"], "[0-9]{4}-[0-3][0-9]-[0-3][0-9]");
    let clock =
        pick(&["00:00:00", "23:59:59", "12:30:01.5", "06:07:08.999"], "[0-2][0-9]:[0-9]{2}:[0-9.]{2,7}");
    let time = prop_oneof![5 => (date, clock).prop_map(|(date, clock)| format!("{date} {clock}")), 1 => Just("-".to_owned())];
    let word = prop_oneof![
        6 => (0..EVENTS.len()).prop_map(|place| EVENTS[place].word.to_owned()),
        1 => "[a-z-]{0,20}".prop_map(|text| text)
    ];
    let field = pick(
        &["bu=BU-50931", "mv=6120", "shown=0", "before=2031-05-10T07:00:00", "x=\"a b\"", "bu=1"],
        "[a-z0-9-]{0,42}=?[ -~é\u{200b}]{0,12}",
    );
    let fields = prop::collection::vec(field, 0..4).prop_map(|fields| fields.join(" "));
    let chain = prop_oneof![5 => Just(String::new()), 1 => " chain:[0-9a-fA-F]{63,65}"];
    (number, time, word, fields, chain).prop_map(|(number, time, word, fields, chain)| {
        let space = if fields.is_empty() { "" } else { " " };
        format!("{number} {time} {word}{space}{fields}{chain}")
    })
}

proptest! {
    #[test]
    fn both_agree_on_lines_near_the_form(
        lines in prop::collection::vec((near_line(), prop::sample::select(vec!["\n", "\r\n", "\r", " \n", ""])), 1..12),
        heading in any::<bool>(),
    ) {
        let mut text = if heading { "unit-event-log 1\n".to_owned() } else { String::new() };
        lines.iter().for_each(|(line, end)| { text.push_str(line); text.push_str(end); });
        both_agree(text.as_bytes());
    }

    #[test]
    fn both_agree_on_spoilt_bytes(
        lines in prop::collection::vec(near_line(), 1..6),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), any::<bool>()), 0..6),
    ) {
        let mut bytes = lines.join("\n").into_bytes();
        for (place, byte, insert) in changes {
            let at = place.index(bytes.len());
            if insert { bytes.insert(at, byte) } else { bytes[at] = byte }
        }
        both_agree(&bytes);
    }

    #[test]
    fn both_agree_on_arbitrary_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        both_agree(&bytes);
    }
}

//! The corpus of single lines: of each, the reader finds the shape and the faults that `corpus/lines.txt` states.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use logassay::syntax::{Against, Effect, FAULTS, FaultCode, LIMITS, Log};

use crate::syntax::logs;

/// One entry of the corpus.
struct Entry {
    /// The kind of line, or none.
    shape: Option<String>,
    faults: Vec<FaultCode>,
    line: Vec<u8>,
    /// As it stands in the corpus.
    written: String,
}

fn corpus() -> Vec<Entry> {
    let text = include_str!("../../corpus/lines.txt");
    assert!(text.is_ascii());
    text.lines().filter(|line| !(line.is_empty() || line.starts_with('#'))).map(entry).collect()
}

fn entry(written: &str) -> Entry {
    let mut parts = written.splitn(3, '|');
    let mut part = || parts.next().unwrap_or_else(|| panic!("{written}"));
    let (shape, faults, line) = (part().trim_end(), part().trim(), part());
    Entry {
        shape: (shape != "none").then(|| shape.to_owned()),
        faults: if faults == "ok" {
            Vec::new()
        } else {
            faults.split(',').map(|word| FaultCode::of_word(word).expect(written)).collect()
        },
        line: bytes(line.strip_prefix(' ').unwrap_or(line)),
        written: written.to_owned(),
    }
}

/// The bytes of a line in the notation of the corpus.
fn bytes(notation: &str) -> Vec<u8> {
    let Some((before, rest)) = notation.split_once('<') else {
        return notation.as_bytes().to_vec();
    };
    let (inside, behind) = rest.split_once('>').expect(notation);
    let piece = match inside.split_once(" x ") {
        Some((times, piece)) => piece_of(piece).repeat(times.parse().expect(notation)),
        None => piece_of(inside),
    };
    [before.as_bytes(), &piece, &bytes(behind)].concat()
}

fn piece_of(piece: &str) -> Vec<u8> {
    let number = |hex| u32::from_str_radix(hex, 16).expect(piece);
    if let Some(hex) = piece.strip_prefix("U+") {
        char::from_u32(number(hex)).expect(piece).to_string().into_bytes()
    } else if let Some(hex) = piece.strip_prefix("byte ") {
        vec![u8::try_from(number(hex)).expect(piece)]
    } else {
        piece.as_bytes().to_vec()
    }
}

/// What the reader makes of a line that stands second, behind a heading.
fn verdict(line: &[u8]) -> (&'static str, Vec<FaultCode>) {
    let text = [b"unit-event-log 1\n", line, b"\n"].concat();
    let logs = logs(text);
    let log: &Log = logs.last().unwrap();
    // A line that is itself a heading begins a log of its own.
    let place = 2 - log.first_line;
    let faults = log.faults().iter().filter(|fault| fault.line == place).map(|fault| fault.code);
    (log.lines()[place].kind.word(), faults.collect())
}

#[test]
fn the_reader_finds_the_shape_and_the_faults_that_the_corpus_states() {
    let corpus = corpus();
    let mut wrong = String::new();
    for entry in &corpus {
        let (kind, faults) = verdict(&entry.line);
        let fits = faults.iter().all(|code| code.entry().against == Against::Value);
        let is_aside = matches!(kind, "comment" | "blank");
        let unread = faults.iter().any(|code| match code.entry().effect {
            Effect::Unread => true,
            Effect::Noted => false,
            Effect::UnreadRecord => !(is_aside || kind == "header"),
            Effect::UnreadButComment => !is_aside,
        });
        // A line that is too long is not looked at further, so that the reader says nothing about its shape.
        let is_judged = !(kind == "unread" && faults == [FaultCode::LineTooLong]);
        let right = faults == entry.faults
            && (!is_judged || fits == entry.shape.is_some())
            && (kind == "unread") == unread
            && (unread || entry.shape.as_deref().is_none_or(|shape| shape == kind));
        if !right {
            let words: Vec<_> = faults.iter().map(|code| code.word()).collect();
            _ = writeln!(wrong, "{}\n    is {kind} {}", entry.written, words.join(","));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(corpus.len() >= 300);
}

#[test]
fn the_corpus_of_lines_holds_every_kind_of_line_and_every_fault_that_one_line_can_have() {
    let corpus = corpus();
    let lines: BTreeSet<&[u8]> = corpus.iter().map(|entry| entry.line.as_slice()).collect();
    assert_eq!(lines.len(), corpus.len(), "a line stands twice");
    for kind in ["blank", "comment", "heading", "header", "record", "closing"] {
        let of_kind = corpus.iter().filter(|entry| entry.shape.as_deref() == Some(kind));
        assert!(of_kind.count() >= 5, "{kind}");
    }
    // These take more than two lines, or a line without its end.
    let of_files =
        ["line-end-missing", "lines-too-many", "records-too-many", "header-repeated", "headers-too-many"];
    for fault in FAULTS.iter().filter(|fault| !fault.code.is_foreign()) {
        let shown = corpus.iter().any(|entry| entry.faults.contains(&fault.code));
        let of_a_line = fault.against != Against::Log && !of_files.contains(&fault.word);
        assert_eq!(shown, of_a_line, "{}", fault.word);
    }
    assert!(corpus.iter().any(|entry| entry.line.len() == LIMITS.line_bytes));
    assert!(corpus.iter().any(|entry| entry.line.len() == LIMITS.line_bytes + 1));
}

/// Every time of a record in the corpus, by the crate `time`, which shares no code with the reader's `chrono`.
#[test]
fn another_calendar_agrees_on_every_time_in_the_corpus_of_lines() {
    let (mut good, mut bad) = (0, 0);
    for entry in corpus().iter().filter(|entry| entry.shape.as_deref() == Some("record")) {
        let text = std::str::from_utf8(&entry.line).unwrap();
        let [_, date, clock] = text.splitn(4, ' ').take(3).collect::<Vec<_>>()[..] else { panic!("{text}") };
        if date == "-" {
            continue;
        }
        let exists = exists(date, clock);
        let stated = entry
            .faults
            .iter()
            .all(|code| !code.word().ends_with("-out-of-range") && code.word() != "day-not-in-month");
        assert_eq!(exists, stated, "{}", entry.written);
        if exists { good += 1 } else { bad += 1 }
    }
    assert!(good > 50 && bad > 40, "{good} and {bad}");
}

/// Whether there is such a date and time, years 0001 to 9999.
fn exists(date: &str, clock: &str) -> bool {
    let date: Vec<u16> = date.split('-').map(|part| part.parse().unwrap()).collect();
    let (clock, fraction) = clock.split_once('.').unwrap_or((clock, "0"));
    let clock: Vec<u8> = clock.split(':').map(|part| part.parse().unwrap()).collect();
    let ms = format!("{fraction:0<3}").parse().unwrap();
    let of = |part: u16| u8::try_from(part).unwrap();
    date[0] > 0
        && time::Month::try_from(of(date[1]))
            .is_ok_and(|month| time::Date::from_calendar_date(i32::from(date[0]), month, of(date[2])).is_ok())
        && time::Time::from_hms_milli(clock[0], clock[1], clock[2], ms).is_ok()
}

//! The neutral text format: laws of the reader and the writer, the calendar, the manual.

use std::sync::Arc;

use logassay::source::{Digest, Source};
use logassay::syntax::{
    Draft, Effect, FAULTS, LIMITS, LineKind, Log, Refused, Secrecy, Stamp, fault_manual, faults_text,
    limits_manual, read, report, write,
};
use proptest::prelude::*;

use crate::syntax_gen::{lawful_log, spoilt_log};

pub(crate) fn logs(bytes: impl Into<Vec<u8>>) -> Vec<Log> {
    read(Arc::new(Source::new("export.log", bytes.into())))
}

pub(crate) fn one(text: &str) -> Log {
    let mut logs = logs(text);
    assert_eq!(logs.len(), 1);
    logs.remove(0)
}

pub(crate) fn codes(log: &Log) -> Vec<&'static str> {
    log.faults().iter().map(|fault| fault.code.word()).collect()
}

/// Headers and records as text, without places, to compare what two logs say.
fn says(log: &Log) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        said.push(format!("{} : {}", key.shown(), value.shown()));
    }
    for record in log.records() {
        let word = log.word(record);
        said.push(format!(
            "{:?}/{} {:?} {word} {:?} {:?}",
            record.number, record.number_digits, record.time, record.event, record.chain
        ));
    }
    said
}

fn physical_lines(bytes: &[u8]) -> usize {
    let ends = bytes.split(|b| *b == b'\n').count() - 1;
    ends + usize::from(bytes.last().is_some_and(|b| *b != b'\n'))
}

fn holds_the_laws(bytes: &[u8]) {
    let logs = logs(bytes);
    assert!(!logs.is_empty());
    let lines: usize = logs.iter().map(|log| log.lines().len() + log.lines_not_read()).sum();
    assert_eq!(lines, physical_lines(bytes), "every line belongs to one log");
    let mut next = 1;
    for log in &logs {
        assert_eq!(log.first_line, next);
        next += log.lines().len() + log.lines_not_read();
        let places = |wanted: fn(&LineKind) -> Option<usize>| -> Vec<usize> {
            log.lines().iter().filter_map(|line| wanted(&line.kind)).collect()
        };
        let records = places(|kind| if let LineKind::Record(place) = kind { Some(*place) } else { None });
        assert_eq!(records, (0..log.records().len()).collect::<Vec<_>>());
        let headers = places(|kind| if let LineKind::Header(place) = kind { Some(*place) } else { None });
        assert_eq!(headers, (0..log.headers().len()).collect::<Vec<_>>());
        for (index, line) in log.lines().iter().enumerate() {
            let faults: Vec<_> = log.faults().iter().filter(|fault| fault.line == index).collect();
            let unread = faults.iter().any(|fault| fault.code.entry().effect != Effect::Noted);
            assert!(line.kind != LineKind::Unread || unread, "an unread line says why");
            if matches!(line.kind, LineKind::Record(_) | LineKind::Closing | LineKind::Heading) {
                assert!(!unread, "a line with an unread fault is unread");
            }
        }
        for fault in log.faults() {
            let span = log.lines().get(fault.line).map_or_else(Default::default, |line| line.span);
            assert!(span.start <= fault.span.start && fault.span.end <= span.end, "{fault:?} in {span:?}");
            assert!(fault.span.start <= fault.span.end);
            let report = report(log, fault);
            let mark = report.mark();
            assert!(report.excerpt().get(mark.start..mark.end).is_some());
            assert!(report.drawn(80).contains(fault.code.word()));
        }
        assert!(log.faults().is_sorted_by_key(|fault| (fault.line, fault.span.start)));
        if let Ok(written) = write(log, &Secrecy::strict()) {
            let again = &one(&written);
            assert_eq!(says(again), says(log));
            assert_eq!(
                write(again, &Secrecy::strict()).as_ref(),
                Ok(&written),
                "the canonical form is its own canonical form"
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_and_every_line_is_accounted_for(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        holds_the_laws(&bytes);
    }

    #[test]
    fn spoilt_logs_are_read_and_every_line_is_accounted_for(bytes in spoilt_log()) {
        holds_the_laws(&bytes);
    }

    #[test]
    fn lawful_logs_have_no_fault_and_are_written_as_they_stand(text in lawful_log()) {
        let log = one(&text);
        prop_assert_eq!(codes(&log), Vec::<&str>::new());
        prop_assert_eq!(log.closing().is_none_or(logassay::syntax::Closing::is_intact), true);
        prop_assert_eq!(write(&log, &Secrecy::of(vec![true; log.records().len()], false)).unwrap(), text);
    }

    #[test]
    fn line_ends_and_spaces_at_them_change_nothing_that_a_log_says(text in lawful_log(), crlf in any::<bool>()) {
        let other = text.replace('\n', if crlf { "\r\n" } else { "  \n" });
        let (log, other) = (one(&text), one(&other));
        prop_assert_eq!(says(&log), says(&other));
        if crlf {
            prop_assert_eq!(codes(&other), Vec::<&str>::new());
            prop_assert_eq!(log.closing().map(|c| c.found_digest), other.closing().map(|c| c.found_digest));
        }
    }

    #[test]
    fn a_time_is_what_another_calendar_makes_of_it(day in 1_i32..=3_652_059, ms in 0_i64..86_400_000) {
        // Day 1 is 0001-01-01, day 3652059 is 9999-12-31, in the proleptic Gregorian calendar.
        let date = time::Date::from_julian_day(day + 1_721_425).unwrap();
        let (h, m, s, f) = (ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60, ms % 1000);
        let text = format!("{:04}-{:02}-{:02} {h:02}:{m:02}:{s:02}.{f:03}", date.year(), u8::from(date.month()), date.day());
        let log = one(&Draft::new().record(1, &text, "enable", &[]).open());
        let stamp = log.records()[0].time.unwrap();
        let expected = date.midnight().assume_utc().unix_timestamp() * 1000 + ms;
        prop_assert_eq!(stamp, Stamp::new(expected, 3));
        prop_assert_eq!(stamp.to_string(), text);
    }
}

#[test]
fn the_calendar_has_every_day_of_a_long_cycle_and_no_other() {
    // 400 years are a whole cycle of the Gregorian calendar; days that are none are tried beside.
    for year in (1..=9999).step_by(37).chain([1600, 1900, 2000, 2023, 2024, 2100]) {
        for month in 1..=12_u8 {
            for day in 28..=31_u8 {
                let text = format!("1 {year:04}-{month:02}-{day:02} 00:00:00 enable\n");
                let exists =
                    time::Date::from_calendar_date(year, time::Month::try_from(month).unwrap(), day).is_ok();
                let log = one(&format!("unit-event-log 1\n{text}"));
                assert_eq!(log.records().len() == 1, exists, "{text}");
                assert_eq!(codes(&log).contains(&"day-not-in-month"), !exists, "{text}");
            }
        }
    }
}

#[test]
fn the_examples_of_rfc_3339_stand_for_the_instants_it_gives() {
    // RFC 3339, section 5.8. The format writes the civil time without the zone, so the offset is left out here and the
    // milliseconds are those of the displayed calendar.
    let stamp = |text: &str| {
        let log = one(&format!("unit-event-log 1\n1 {text} enable\n"));
        log.records().first().and_then(|record| record.time).map(Stamp::ms).ok_or_else(|| codes(&log))
    };
    assert_eq!(stamp("1985-04-12 23:20:50.52"), Ok(482_196_050_520));
    assert_eq!(stamp("1996-12-19 16:39:57"), Ok(851_013_597_000));
    assert_eq!(stamp("1937-01-01 12:00:27.87"), Ok(-1_041_335_972_130));
    assert_eq!(stamp("1990-12-31 23:59:60"), Err(vec!["second-out-of-range"]));
    assert_eq!(stamp("1990-12-31 15:59:60"), Err(vec!["second-out-of-range"]));
    assert_eq!(stamp("1985-04-12T23:20:50.52Z"), Err(vec!["time-form"]));
    assert_eq!(stamp("1985-04-12 23:20:50.52Z"), Err(vec!["time-zone"]));
}

#[test]
fn the_specimen_is_read_as_it_says() {
    let log = one(&Draft::new()
        .header("serial", "CU-20417")
        .comment("a comment")
        .record(1201, "2031-05-10 06:58:12", "power-on", &[])
        .record(None, "2031-05-10 07:00:31.250", "fault", &[("part", "two words, \"quoted\"\u{1b}")])
        .record(7, "-", "enable", &[])
        .close());
    assert_eq!(codes(&log), Vec::<&str>::new());
    assert!(log.header("serial").unwrap().is("CU-20417"));
    let [on, fault, enable] = log.records() else { panic!("three records") };
    assert_eq!((on.number, on.number_digits, on.line), (Some(1201), 4, 3));
    assert_eq!(fault.number, None);
    assert_eq!(fault.time.unwrap().digits(), 3);
    assert!(log.attribute(fault, "part").unwrap().is("two words, \"quoted\"\u{1b}"));
    assert_eq!(enable.time, None);
    assert!(log.closing().unwrap().is_intact());
}

#[test]
fn a_closing_line_counts_unread_lines_and_neither_comments_nor_what_follows_it() {
    let body = "1 - enable\nnonsense\n2 - vote\n";
    let text = format!(
        "unit-event-log 1\nserial: CU-1\n1 - enable\n; between\n\nnonsense\n2 - vote\nend 3 sha256:{}\n3 - enable\n",
        Digest::of(body.as_bytes())
    );
    let log = one(&text);
    assert!(log.closing().unwrap().is_intact(), "{:?}", log.closing());
    assert_eq!(codes(&log), ["line-unknown", "after-closing"]);
    assert_eq!(log.records().len(), 3);
    assert!(one(&text.replace('\n', "\r\n")).closing().unwrap().is_intact());
    assert!(!one(&text.replace("nonsense", "nonsens")).closing().unwrap().is_intact());
    assert!(!one(&text.replace("1 - enable\n", "")).closing().unwrap().is_intact());
}

#[test]
fn several_logs_in_one_stream_are_read_each_by_itself() {
    let first = Draft::new().header("serial", "CU-1").record(1, "-", "enable", &[]).close();
    let second = Draft::new().header("serial", "CU-2").record(2, "-", "vote", &[]).close();
    let read = logs(format!("; both units\n{first}\n; and\n\u{FEFF}{second}"));
    assert_eq!(read.len(), 2);
    assert_eq!((read[0].first_line, read[1].first_line), (1, 8));
    assert_eq!(codes(&read[0]), Vec::<&str>::new());
    assert_eq!(codes(&read[1]), ["byte-order-mark"]);
    assert!(read.iter().all(|log| log.closing().unwrap().is_intact()));
    let read = logs(format!("3 - enable\n{first}"));
    assert_eq!(read.len(), 2);
    assert_eq!((read[0].records().len(), codes(&read[0])), (1, vec!["heading-missing"]));
    assert_eq!(codes(&logs("")[0]), ["log-empty"]);
    assert_eq!(codes(&logs("\n  \n")[0]), ["log-empty"]);
}

#[test]
fn an_attribute_that_says_two_things_says_nothing() {
    let log = one("unit-event-log 1\n1 - total shown=5 shown=6\n2 - total shown=5 shown=5\n");
    assert_eq!(codes(&log), ["attribute-repeated", "attribute-repeated"]);
    assert!(log.attribute(&log.records()[0], "shown").is_none());
    assert!(log.attribute(&log.records()[1], "shown").unwrap().is("5"));
    assert_eq!(log.attributes(&log.records()[0]).count(), 2);
}

#[test]
fn the_writer_refuses_what_it_cannot_vouch_for() {
    let refusal =
        |body: &str| write(&one(&format!("unit-event-log 1\n{body}")), &Secrecy::strict()).unwrap_err();
    assert_eq!(refusal("nonsense\n"), Refused::Unread(2));
    assert_eq!(refusal("1 - vote candidate=3\n"), Refused::Discloses(2));
    assert_eq!(refusal("1 - vote note=\"\\u{63}andidate 3\"\n"), Refused::Discloses(2));
    assert_eq!(refusal("; voter A\n1 - vote\n"), Refused::Discloses(2));
    assert_eq!(refusal("1 - enable\nend 2\n"), Refused::ClosingDiffers(3));
    assert_eq!(refusal("1 - enable\nend 1\nend 1\n"), Refused::SecondClosing(4));
    let chained = Draft::new().chained(None).body_line("1 - fault part=\"x\"").open();
    assert_eq!(write(&one(&chained), &Secrecy::strict()), Err(Refused::ChainBreaks(2)));
    assert_eq!(
        write(&one("unit-event-log 1\n01 - fault part=\"x\" \nend 1\n"), &Secrecy::strict()).unwrap(),
        "unit-event-log 1\n01 - fault part=x\nend 1\n"
    );
}

#[test]
fn a_fault_is_drawn_with_its_line_its_place_and_the_right_form_within_80_columns() {
    let log = one("unit-event-log 1\n\n1203 2031-05-10 23:59:60 enable\n");
    let drawn = report(&log, &log.faults()[0]).drawn(80);
    assert!(drawn.contains("export.log:3:23"), "{drawn}");
    assert!(drawn.contains("3 │ 1203 2031-05-10 23:59:60 enable"), "{drawn}");
    assert!(drawn.contains("second-out-of-range") && drawn.contains("leap second"), "{drawn}");
    assert!(!drawn.contains('\u{1b}'), "no colour");
    let marks = drawn.lines().find(|line| line.contains('┬')).unwrap();
    let line = drawn.lines().find(|line| line.contains("23:59:60")).unwrap();
    let at = line.find(":60").map(|place| line.get(..place).unwrap().chars().count() + 1).unwrap();
    assert_eq!(
        marks.chars().position(|c| c == '┬').map(|place| place.abs_diff(at) <= 1),
        Some(true),
        "{drawn}"
    );

    let wide = format!("unit-event-log 1\n1 - total {}shown=\"x\n", "shown=1 ".repeat(20));
    let log = one(&wide);
    let fault = log.faults().iter().find(|fault| fault.code.word() == "quote-open").unwrap();
    let drawn = report(&log, fault).drawn(80);
    assert!(drawn.lines().all(|line| line.chars().count() <= 80), "{drawn}");
    assert!(drawn.contains("export.log:2:171"), "{drawn}");
}

#[test]
fn faults_past_the_number_kept_are_counted_by_kind() {
    let text = format!("unit-event-log 1\n{}", "nonsense\n1 - enable \n".repeat(LIMITS.faults));
    let log = one(&text);
    assert_eq!(log.faults().len(), LIMITS.faults);
    assert_eq!(log.fault_counts().total(), 2 * LIMITS.faults);
    let text = faults_text(&log, 2, 80);
    assert_eq!(text.matches("export.log:").count(), 2);
    assert!(text.contains("999 x line-unknown") && text.contains("999 x space-trailing"), "{text}");
}

#[test]
fn the_manual_holds_the_tables_of_the_code_and_an_example_without_fault() {
    let manual = include_str!("../../grammar/format.md");
    assert!(
        manual.contains(&fault_manual(false)),
        "print the table of faults into format.md:\n{}",
        fault_manual(false)
    );
    assert!(
        manual.contains(&limits_manual()),
        "print the table of limits into format.md:\n{}",
        limits_manual()
    );
    assert!(FAULTS.iter().filter(|entry| !entry.code.is_foreign()).all(|entry| manual.contains(entry.word)));
    let example = manual.split("```").find(|block| block.starts_with("log\n")).unwrap();
    let log = one(example.strip_prefix("log\n").unwrap());
    assert_eq!(codes(&log), Vec::<&str>::new());
    let closing = log.closing().unwrap();
    assert!(
        closing.is_intact(),
        "the example's closing line: {} {}",
        closing.found_count,
        closing.found_digest
    );
    assert!(log.records().iter().all(|record| record.event.entry().is_some()));
}

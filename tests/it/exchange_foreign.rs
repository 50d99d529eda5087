//! Files of Election Event Logging that other tools wrote: whole, careless, malformed and hostile.

use std::fs;

use logassay::event::Event;
use logassay::exchange::{Misfit, read};
use logassay::source::Source;
use logassay::syntax::{LineKind, Log, Secrecy};

use crate::exchange_cdf::{BOTH, import};
use crate::exchange_timeline::{logs, write_as};

fn file(name: &str) -> Result<Vec<Log>, Misfit> {
    let path = crate::corpus::folder("foreign").join("malformed").join(name);
    read(Source::new(name, fs::read(path).unwrap()))
}

/// Line by line of a log, what it is and which faults it has.
fn faults(log: &Log) -> Vec<String> {
    let line = |(index, line): (usize, &logassay::syntax::Line)| {
        let kind = match line.kind {
            LineKind::Record(_) => "record",
            LineKind::Unread => "unread",
            LineKind::Header(_) => "header",
            _ => "other",
        };
        let codes: Vec<&str> =
            log.faults().iter().filter(|fault| fault.line == index).map(|fault| fault.code.word()).collect();
        (!codes.is_empty()).then(|| format!("{} {kind} {}", log.line_number(index), codes.join(" ")))
    };
    log.lines().iter().enumerate().filter_map(line).collect()
}

#[test]
fn what_the_schemas_let_through_is_named_line_by_line() {
    let logs = file("unchecked-by-schemas.cdf.json").unwrap();
    assert_eq!(
        faults(&logs[0]),
        [
            "3 record sequence-missing",
            "5 record sequence-repeated",
            "6 record disposition-unnamed",
            "7 record hash-unnamed",
            "8 unread entry-time",
            "9 record entry-zone",
            "10 unread entry-time",
            "11 unread entry-event",
            "12 unread entry-form",
            "13 record entry-incomplete",
            "14 unread entry-form",
        ]
    );
    let unplaced = logs[0].records().iter().find(|record| record.number == Some(7)).unwrap();
    assert_eq!(unplaced.time, None);
    assert!(logs[0].attribute(unplaced, "time-written").unwrap().is("2031-05-10T07:00:06"));

    let logs = file("no-device.cdf.xml").unwrap();
    assert_eq!((logs.len(), logs[0].records().len()), (1, 0));
    assert_eq!(faults(&logs[0]), ["3 header device-missing"]);
    assert!(logs[0].header("election-id").unwrap().is("Tarn Valley 2031"));
}

#[test]
fn a_file_that_is_none_of_its_kind_is_refused_with_its_place() {
    for (name, says) in [
        ("entities-that-grow.cdf.xml", "line 2, character 1: a document type declaration, which is not read"),
        ("entity-of-a-file.cdf.xml", "line 1, character 81: an entity that XML does not have by itself"),
        ("cut.cdf.json", "the text ends too early"),
        ("cut.cdf.xml", "the text ends too early"),
    ] {
        let misfit = file(name).unwrap_err();
        assert!(misfit.to_string().contains(says), "{name}: {misfit}");
    }
    let head = "<ElectionEventLog xmlns=\"http://itl.nist.gov/ns/voting/1500-101/v1\">";
    let end = "</ElectionEventLog>";
    let deep = format!("{head}{}{}{end}", "<a>".repeat(100_000), "</a>".repeat(100_000));
    let deep_json = format!("{{\"@type\":\"EventLogging.ElectionEventLog\",\"x\":{}", "[".repeat(100_000));
    for (text, says) in [
        (deep, "nested too deep"),
        (deep_json, "nested too deep"),
        (format!("{head}{end}{head}{end}"), "a second element"),
        (format!("{head}{end} x"), "text outside"),
        (format!("{head}</a>{end}"), "tags that do not fit"),
        (format!("{head}<a b=1/>{end}"), "attributes are in no form"),
        (format!("{head}<a>\u{1}</a>{end}"), "may stand in no XML"),
        (format!("{head}&#1;{end}"), "an entity"),
        ("{\"@type\":\"EventLogging.ElectionEventLog\"} {}".to_owned(), "behind the end"),
        ("{\"@type\":\"EventLogging.Device\"}".to_owned(), "holds no ElectionEventLog"),
    ] {
        let misfit = read(Source::new("made", text.into_bytes())).unwrap_err();
        assert!(misfit.to_string().contains(says), "{misfit}");
    }
    let mut bytes = b"{\"@type\":\"EventLogging.ElectionEventLog\",\"x\":\"\xff\"}".to_vec();
    assert!(read(Source::new("made", bytes.clone())).unwrap_err().to_string().contains("no text in UTF-8"));
    bytes.retain(|byte| *byte != 0xff);
    assert!(read(Source::new("made", bytes)).is_ok());
}

/// A log by another tool: offsets differ, fields are in another order, some are not of the standard.
const OTHER: &str = r#"{"Device":[{"Id":"CU-9","Manufacturer":"Makers","Type":"dre-controller","HashType":"md6","Event":[
  {"Id":"power-on","Sequence":"0001","TimeStamp":"2031-05-10T07:00:00.1234+02:00",
   "Type":"power","Disposition":"success","Hash":"aa","Severity":"info","Odd Field":[1,{"a":"b"}],"@type":"EventLogging.Event"},
  {"Id":"Poll \u0022Open\u0022","Sequence":"B-2","TimeStamp":"2031-05-10T06:00:01Z","Type":"state","Disposition":"na",
   "UserId":"official 4","Details":"{\"line\":1,\"attributes\":{}}","@type":"EventLogging.Event"}]}],
 "GeneratedTime":"2031-05-10T20:00:00+02:00","@type":"EventLogging.ElectionEventLog"}"#;

#[test]
fn nothing_of_a_foreign_event_is_dropped() {
    let log = &import(OTHER)[0];
    for (key, value) in [
        ("serial", "CU-9"),
        ("manufacturer", "Makers"),
        ("role", "control"),
        ("hash-type", "md6"),
        ("clock-zone", "+02:00"),
        ("exported-at", "2031-05-10T20:00:00+02:00"),
    ] {
        assert!(log.header(key).unwrap().is(value), "{key}");
    }
    let [first, second] = log.records() else { panic!("two records") };
    let has = |record, pairs: &[(&str, &str)]| {
        for (key, value) in pairs {
            assert!(log.attribute(record, key).is_some_and(|said| said.is(value)), "{key}");
        }
        assert_eq!(log.attributes(record).count(), pairs.len());
    };
    assert_eq!(first.time.unwrap().to_string(), "2031-05-10 07:00:00.123");
    assert_eq!((first.number, first.number_digits, first.event), (Some(1), 4, Event::PowerOn));
    has(
        first,
        &[
            ("time-written", "2031-05-10T07:00:00.1234+02:00"),
            ("type", "power"),
            ("disposition", "success"),
            ("hash", "aa"),
            ("severity", "info"),
            ("odd-field", "[1,{\"a\":\"b\"}]"),
        ],
    );
    // Another offset: put on the clock of the log, and the original kept.
    assert_eq!(second.time.unwrap().to_string(), "2031-05-10 08:00:01");
    assert_eq!((second.number, second.event), (None, Event::Unknown));
    has(
        second,
        &[
            ("time-written", "2031-05-10T06:00:01Z"),
            ("sequence", "B-2"),
            ("type", "state"),
            ("disposition", "na"),
            ("user-id", "official 4"),
            ("details", "{\"line\":1,\"attributes\":{}}"),
        ],
    );
    // A report quotes the event on one line, by its own line of the file.
    assert_eq!(log.line_number(first.line), 2);
    assert!(
        log.quote(first.line, &Secrecy::strict())
            .as_str()
            .starts_with("{\"Id\":\"power-on\",\"Sequence\":\"0001\"")
    );
    // The second stands beside no vote, and yet an unknown event may be one: what it says besides stays covered.
    assert!(!log.quote(second.line, &Secrecy::strict()).as_str().contains("official 4"));
}

#[test]
fn utf_16_and_byte_order_marks_are_read() {
    let text = write_as("cdf-xml", &logs("unit-event-log 1\n1 2031-05-10 06:58:12 power-on\n")).unwrap();
    let utf16: Vec<u8> = [0xFEFF].into_iter().chain(text.encode_utf16()).flat_map(u16::to_be_bytes).collect();
    for bytes in [utf16, format!("\u{feff}{text}").into_bytes(), text.replace('\n', "\r\n").into_bytes()] {
        let logs = read(Source::new("made", bytes)).unwrap();
        assert_eq!(logs[0].records()[0].event, Event::PowerOn);
        assert!(logs[0].faults().is_empty(), "{:?}", logs[0].faults());
    }
}

#[test]
fn a_choice_or_a_name_hides_nowhere_in_an_event() {
    let text = "unit-event-log 1\n1 2031-05-10 06:58:12 link-up bu=BU-1\n2 2031-05-10 06:58:13 enable\n\
        3 2031-05-10 06:58:14 vote bu=BU-1\n4 2031-05-10 06:58:15 power-off\n";
    let [json, xml] = BOTH.map(|id| write_as(id, &logs(text)).unwrap());
    let vote = ("\"Id\":\"vote\"", "<Id>vote</Id>");
    let mut spoilt = Vec::new();
    for more in [
        "\"Note\":\"Ashgrove\"",
        "\"Ashgrove\":\"1\"",
        "\"UserId\":\"Ashgrove\"",
        "\"Description\":\"Ashgrove\"",
        "\"Severity\":\"Ashgrove\"",
        "\"x\":{\"y\":[\"Ashgrove\"]}",
        "\"@type\":\"Ashgrove\"",
        "\"Note\":\"\\u0041shgrove\"",
    ] {
        spoilt.push(json.replace(vote.0, &format!("{},{more}", vote.0)));
    }
    let own = "{\\\"line\\\":4,\\\"attributes\\\":{\\\"bu\\\":\\\"";
    spoilt.push(json.replace(&format!("{own}BU-1"), &format!("{own}Ashgrove")));
    for more in [
        "<!-- Ashgrove -->",
        "<?Ashgrove?>",
        "Ashgrove",
        "<![CDATA[Ashgrove]]>",
        "<Ashgrove/>",
        "<Ashgrove>1</Ashgrove>",
        "<a>Ashgrove</a>",
        "<a b=\"Ashgrove\"/>",
        "<a><b>Ashgrove</b></a>",
        "<UserId><!-- Ashgrove --></UserId>",
        "<UserId>&#65;shgrove</UserId>",
    ] {
        spoilt.push(xml.replace(vote.1, &format!("{}{more}", vote.1)));
    }
    let tag = "<Event><Details>{\"line\":4";
    spoilt.push(xml.replace(tag, &tag.replace("<Event>", "<Event a=\"Ashgrove\">")));
    spoilt.push(xml.replace(tag, &tag.replace("<Details>", "<Details a=\"Ashgrove\">")));
    for text in spoilt {
        assert!(text.contains("shgrove"));
        let log = &import(&text)[0];
        for line in 0..log.lines().len() {
            let quoted = log.quote(line, &Secrecy::strict());
            assert!(!quoted.as_str().contains("shgrove"), "{quoted}");
        }
        for id in ["log", "csv", "jsonl", "xes", "cdf-json", "cdf-xml"] {
            if let Ok(written) = write_as(id, &import(&text)) {
                assert!(!written.contains("shgrove"), "{id}: {written}");
            }
        }
    }
}

//! Election Event Logging (NIST SP 1500-101): what is written is read back as the same log, in JSON and in XML.

use logassay::event::Event;
use logassay::exchange::read;
use logassay::source::{Source, disclosure_in};
use logassay::syntax::{Draft, FaultCode, LineKind, Log, Secrecy, Stamp, Value};
use proptest::prelude::*;

use crate::exchange_timeline::{logs, write_as};
use crate::syntax_gen::{value, word};

pub(crate) const BOTH: [&str; 2] = ["cdf-json", "cdf-xml"];

/// What a log says: its headers, and line by line a record or an unread line.
#[derive(Debug, PartialEq)]
struct Says<'a> {
    headers: Vec<(String, String)>,
    lines: Vec<Option<Line<'a>>>,
}

type Line<'a> = (Option<u64>, u8, Option<Stamp>, Event, String, Vec<(Value<'a>, Said<'a>)>);

/// A value: as the gate shows it where it is the ballot unit of a vote, else itself.
type Said<'a> = Result<Value<'a>, String>;

fn said<'a>(event: Event, key: Value<'_>, value: Value<'a>) -> Said<'a> {
    if event == Event::Vote && key.is("bu") { Err(value.shown().to_string()) } else { Ok(value) }
}

fn says(log: &Log) -> Says<'_> {
    let mut headers: Vec<(String, String)> = log
        .headers()
        .iter()
        .map(|header| log.header_parts(header))
        .map(|(key, value)| (key.shown().to_string(), value.shown().to_string()))
        .collect();
    headers.sort();
    let lines = log.lines().iter().filter_map(|line| match line.kind {
        LineKind::Unread => Some(None),
        LineKind::Record(place) => {
            let r = &log.records()[place];
            // A ballot unit that is part of the choice stays behind.
            let stays = |key: &str, value: &str| r.event == Event::Vote && key == "bu" && value == "[masked]";
            let leaves = |(key, value): &(_, _)| {
                let (key, value): (&logassay::syntax::Value<'_>, &logassay::syntax::Value<'_>) = (key, value);
                !stays(key.shown().as_str(), value.shown().as_str())
            };
            let attributes = log
                .attributes(r)
                .filter(leaves)
                .map(|(key, value)| (key, said(r.event, key, value)))
                .collect();
            Some(Some((r.number, r.number_digits, r.time, r.event, log.word(r).to_string(), attributes)))
        }
        _ => None,
    });
    Says { headers, lines: lines.collect() }
}

pub(crate) fn import(text: &str) -> Vec<Log> {
    read(Source::new("import", text.as_bytes().to_vec())).unwrap_or_else(|misfit| panic!("{misfit}: {text}"))
}

/// Asserts that logs leave and come back as they were, twice over.
fn returns(text: &str) {
    let before = logs(text);
    for id in BOTH {
        let written = write_as(id, &before).unwrap_or_else(|misfit| panic!("{id}: {misfit}\n{text}"));
        let after = import(&written);
        assert_eq!(after.len(), before.len(), "{id}\n{written}");
        for (before, after) in before.iter().zip(&after) {
            assert_eq!(says(after), says(before), "{id}\n{text}\n{written}");
            let repeats = |log: &Log| log.fault_counts().of(FaultCode::SequenceRepeated);
            let unread = after.lines().iter().filter(|line| line.kind == LineKind::Unread).count();
            assert_eq!(
                after.fault_counts().total(),
                unread + repeats(after),
                "{id}: {:?}\n{written}",
                after.faults()
            );
        }
        if !written.contains("[masked]")
            && before.iter().all(|log| log.lines().iter().all(|line| line.kind != LineKind::Unread))
        {
            let again = write_as(id, &after).unwrap();
            assert_eq!(
                import(&again).iter().map(says).collect::<Vec<_>>(),
                before.iter().map(says).collect::<Vec<_>>()
            );
        }
    }
}

#[test]
fn the_demonstrations_return() {
    for name in ["clean-life", "busy-unit", "disputed-unit"] {
        let path = crate::corpus::folder("demonstration").join(format!("{name}.log"));
        returns(&std::fs::read_to_string(path).unwrap());
    }
}

#[test]
fn what_the_standard_has_no_field_for_returns() {
    // Leading zeros, equal times, no zone known, a ring that has wrapped, events without number or time, an unread line.
    let first = "unit-event-log 1\nserial: CU-20417\nrole: control\nkeeps: 1000\nmodel: K \"2\"\n\
        00501 2031-05-10 06:58:12.25 power-on\n00502 2031-05-10 06:58:12.25 self-test result=pass\n\
        00503 - link-up bu=BU-1\n- 2031-05-10 06:58:13 battery-level mv=7400\nwhat is this\n- - power-off\n\
        00507 2031-05-10 06:58:14 fault note=\"a \\\"b\\\" \\\\ \\t\\u{1} \\u{202e} \u{e9} & <c> ]]>\"\n";
    returns(first);
    // Several units in one file, with the same numbers; one states its zone and no serial.
    let second = "unit-event-log 1\nclock-zone: -03:30\nrole: station hall\nelection-id: E-1\n1 2031-05-10 06:58:12 power-on\n";
    returns(&format!("{first}{second}{second}"));
}

#[test]
fn a_file_says_what_it_could_not_express() {
    let text = "unit-event-log 1\n; shown\n; the voter left\n1 - power-on\nwhat\n3 2031-05-10 06:58:12 power-off\nend 9\n";
    let json = write_as("cdf-json", &logs(text)).unwrap();
    let value: serde_json::Value = serde_json::from_str(&json).unwrap();
    let details: serde_json::Value = serde_json::from_str(value["Details"].as_str().unwrap()).unwrap();
    assert_eq!(
        details["left-out"],
        serde_json::json!([{"device": "log-1", "lines": [
            {"line": 4, "behind": 0, "number": "1", "event": "power-on", "attributes": {}},
            {"line": 5, "behind": 0, "unread": "the line could not be read, and its text is left out"},
        ]}])
    );
    let device: serde_json::Value =
        serde_json::from_str(value["Device"][0]["Details"].as_str().unwrap()).unwrap();
    assert_eq!(device["comments"], serde_json::json!([{"line": 2, "text": "; shown"}]));
    assert_eq!(device["comments-left-out"], 1);
    assert_eq!(device["original"]["closing-line"], "does not fit");
    assert!(device["zone"].as_str().unwrap().starts_with("not known"));
    assert!(!json.contains("what") && !json.contains("voter"));
}

#[test]
fn nothing_is_written_where_nothing_has_a_time() {
    for id in ["cdf-json", "cdf-xml", "cdf-json-documentation", "cdf-xml-documentation"] {
        let misfit = write_as(id, &logs("unit-event-log 1\n1 - power-on\n")).unwrap_err();
        assert!(misfit.to_string().contains("GeneratedTime"), "{misfit}");
    }
}

#[test]
fn the_documentation_describes_every_event_and_type() {
    let text = "unit-event-log 1\n1 2031-05-10 06:58:12 power-on\n2 2031-05-10 06:58:13 lamp-lit\n";
    let json = write_as("cdf-json-documentation", &logs(text)).unwrap();
    let value: serde_json::Value = serde_json::from_str(&json).unwrap();
    let ids: Vec<&str> =
        value["EventIdDescription"].as_array().unwrap().iter().map(|d| d["Id"].as_str().unwrap()).collect();
    let types: Vec<&str> = value["EventTypeDescription"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| d["Type"].as_str().unwrap())
        .collect();
    for event in Event::all() {
        assert!(ids.contains(&event.word()) && types.contains(&event.class_word()), "{}", event.word());
    }
    assert!(ids.contains(&"lamp-lit") && types.contains(&"unknown"));
    let xml = write_as("cdf-xml-documentation", &logs(text)).unwrap();
    assert_eq!(xml.matches("<Id>").count(), ids.len());
    assert_eq!(xml.matches("<Type>").count(), types.len());
    // It is no log, and is not taken for one.
    for text in [json, xml] {
        let misfit = read(Source::new("d", text.into_bytes())).unwrap_err();
        assert!(misfit.to_string().contains("holds no ElectionEventLog"), "{misfit}");
    }
}

#[test]
fn a_masked_value_stays_masked_when_the_export_is_quoted() {
    let several = "unit-event-log 1\n1 2031-05-10 06:58:12 link-up bu=BU-1\n2 2031-05-10 06:58:12 link-up bu=BU-2\n\
        3 2031-05-10 06:58:13 enable\n4 2031-05-10 06:58:14 vote bu=BU-2\n";
    for id in BOTH {
        let written = write_as(id, &logs(several)).unwrap();
        assert_eq!(written.matches("BU-2").count(), 1, "{written}");
        assert!(!written.contains("[masked]"), "a mark would be read as the serial of a ballot unit");
        // One that another tool wrote, with the ballot unit.
        let open = written
            .replace(r#"\"line\":5,\"attributes\":{}"#, r#"\"line\":5,\"attributes\":{\"bu\":\"BU-2\"}"#)
            .replace(r#""line":5,"attributes":{}"#, r#""line":5,"attributes":{"bu":"BU-2"}"#);
        assert_ne!(open, written);
        let log = &import(&open)[0];
        let vote = log.records().iter().find(|record| record.event == Event::Vote).unwrap();
        let quoted = log.quote(vote.line, &Secrecy::strict());
        assert!(quoted.as_str().contains("[masked]") && !quoted.as_str().contains("BU-2"), "{quoted}");
    }
}

/// Records that stand before the votes: any attribute at all may stand on them.
fn before_votes() -> impl Strategy<Value = Vec<Record>> {
    let event = prop::sample::select(vec![
        "power-on",
        "power-off",
        "self-test",
        "clock-set",
        "fault",
        "print",
        "battery-low",
    ]);
    let attributes =
        prop::collection::btree_map(word(), value(), 0..4).prop_map(|map| map.into_iter().collect());
    let record = (number(), time(), event.prop_map(str::to_owned), attributes);
    let unknown = (
        number(),
        time(),
        word().prop_filter("known", |word| Event::of_word(word.as_bytes()) == Event::Unknown),
        Just(vec![]),
    );
    prop::collection::vec(prop_oneof![6 => record, 1 => unknown], 0..12)
}

type Record = (String, String, String, Vec<(String, String)>);

fn number() -> impl Strategy<Value = String> {
    prop_oneof![1 => Just("-".to_owned()), 5 => "[0-9]{1,19}"]
}

fn time() -> impl Strategy<Value = String> {
    let day = (1_u32..10_000, 1_u32..13, 1_u32..29);
    let clock = (0_u32..24, 0_u32..60, 0_u32..60, prop::sample::select(vec!["", ".1", ".25", ".999"]));
    let time = (day, clock)
        .prop_map(|((y, m, d), (h, min, s, f))| format!("{y:04}-{m:02}-{d:02} {h:02}:{min:02}:{s:02}{f}"));
    prop_oneof![1 => Just("-".to_owned()), 3 => Just("2031-05-10 06:00:00".to_owned()), 6 => time]
}

fn made() -> impl Strategy<Value = String> {
    let header = "[!-~]([ -~]{0,12}[!-~])?"
        .prop_filter("tells", |text| disclosure_in(text.as_bytes(), false).is_none());
    let keys = prop::sample::select(vec![
        "serial",
        "role",
        "software",
        "model",
        "keeps",
        "exported-by",
        "manufacturer",
        "hash-type",
        "device-type",
        "other-type",
        "election-id",
        "details",
        "x",
    ]);
    let zone = prop::sample::select(vec!["", "+05:30", "Z", "-11:00", "+00:00", "hill time", "+14:30"]);
    let headers = prop::collection::btree_map(keys, header, 0..6);
    (headers, zone, before_votes(), 0_usize..4, any::<bool>()).prop_map(
        |(headers, zone, records, votes, closed)| {
            let mut draft = Draft::new();
            for (key, value) in &headers {
                draft = draft.header(key, value);
            }
            if !zone.is_empty() {
                draft = draft.header("clock-zone", zone);
            }
            for (number, time, word, attributes) in &records {
                let attributes: Vec<(&str, &str)> =
                    attributes.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
                draft = draft.row(number, time, word, &attributes);
            }
            draft = draft.row("7", "2031-05-10 07:00:00", "link-up", &[("bu", "BU-1")]);
            for _ in 0..votes {
                draft = draft.row("0008", "2031-05-10 07:00:00", "enable", &[]);
                draft = draft.row("0009", "2031-05-10 07:00:00", "vote", &[("bu", "BU-1")]);
            }
            if closed { draft.close() } else { draft.open() }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_log_returns(text in made(), other in made(), both in any::<bool>()) {
        let text = if both { text + &other } else { text };
        returns(&text);
    }

    /// Whatever becomes of a file, reading it neither stops nor lets a line out of the count.
    #[test]
    fn a_spoilt_file_is_read_or_refused(
        text in made(),
        xml in any::<bool>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..3, any::<u8>()), 0..6),
    ) {
        let mut bytes = write_as(BOTH[usize::from(xml)], &logs(&text)).unwrap().into_bytes();
        for (place, change, byte) in changes {
            let at = place.index(bytes.len());
            match change {
                0 => bytes.insert(at, byte),
                1 => bytes[at] = byte,
                _ => drop(bytes.remove(at)),
            }
        }
        if let Ok(logs) = read(Source::new("spoilt", bytes)) {
            for log in &logs {
                for line in 0..log.lines().len() {
                    let quoted = log.quote(line, &Secrecy::strict());
                    prop_assert!(!quoted.as_str().contains('\n'));
                }
            }
        }
    }
}

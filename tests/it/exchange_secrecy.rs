//! Secrecy of files by the standard: what stands in, on or between events beside the values that it knows.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]

use logassay::case::Case;
use logassay::examine;
use logassay::exchange::{self, Leaving};
use logassay::report::{Layout, json, terminal, trial, walk};
use logassay::source::Source;
use logassay::unit::UnitDescription;

use crate::pages::frame;

/// The planted secret; no word of the tool.
const SECRET: &str = "QZXJ7";

const XML: &str = "<ElectionEventLog xmlns=\"http://itl.nist.gov/ns/voting/1500-101/v1\"><Device>\
    <Event><Disposition>na</Disposition><Id>enable</Id><Sequence>1</Sequence><TimeStamp>2031-05-10T07:00:00+02:00</TimeStamp><Type>voting</Type></Event>\
    {between}<Event{attribute}><Disposition>na</Disposition>{inside}<Id>{id}</Id><Sequence>2</Sequence><TimeStamp>2031-05-10T07:00:05+02:00</TimeStamp><Type>voting</Type></Event>\
    <Event><Disposition>na</Disposition><Id>enable</Id><Sequence>3</Sequence><TimeStamp>2031-05-10T07:01:00+02:00</TimeStamp><Type>voting</Type></Event>\
    <Id>CU-1</Id></Device><GeneratedTime>2031-05-19T10:00:00+02:00</GeneratedTime></ElectionEventLog>";

const JSON: &str = r#"{"@type":"EventLogging.ElectionEventLog","Device":[{"@type":"EventLogging.Device","Event":[
    {"@type":"EventLogging.Event","Disposition":"na","Id":"enable","Sequence":"1","TimeStamp":"2031-05-10T07:00:00+02:00","Type":"voting"},
    {"@type":"{type}","Disposition":"na",{inside}"Id":"vote","Sequence":"2","TimeStamp":"2031-05-10T07:00:05+02:00","Type":"voting"},
    {"@type":"EventLogging.Event","Disposition":"na","Id":"enable","Sequence":"3","TimeStamp":"2031-05-10T07:01:00+02:00","Type":"voting"}
    ],"Id":"CU-1"}],"GeneratedTime":"2031-05-19T10:00:00+02:00"}"#;

fn xml(between: &str, attribute: &str, inside: &str, id: &str) -> String {
    XML.replace("{between}", between)
        .replace("{attribute}", attribute)
        .replace("{inside}", inside)
        .replace("{id}", id)
}

fn outputs(text: &str) -> Vec<String> {
    let logs = exchange::read(Source::new("file", text.as_bytes().to_vec())).unwrap();
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let layout = Layout { width: 120, colour: false };
    let mut outputs = vec![
        json::report(&examinations, &frame(false)),
        walk::json(&examinations, &frame(false)),
        terminal::report(&examinations, &frame(false), layout),
        walk::page(&examinations, &frame(false), layout),
        walk::blank(&examinations, &frame(false), layout),
        trial::page(&logs, layout),
    ];
    let leaving: Vec<_> = examinations.iter().map(|e| Leaving { log: e.log, secrecy: &e.secrecy }).collect();
    for format in exchange::FORMATS {
        if let Some(write) = format.writes {
            outputs.push(write(&leaving).unwrap_or_else(|misfit| misfit.to_string()));
        }
    }
    outputs
}

#[test]
fn what_stands_among_events_beside_their_values_is_in_no_output() {
    let files = [
        xml("aside $ <!-- x -->", "", "", "vote"),
        xml("<!-- $ -->", "", "", "vote"),
        xml("<Voter n=\"$\"/>", "", "", "vote"),
        xml("<Voter>$</Voter>", "", "", "vote"),
        xml("", " x=\"$\"", "", "vote"),
        xml("", " xmlns:qzxj7=\"u\"", "", "vote"),
        xml("", " xmlns:x=\"http://www.w3.org/2001/XMLSchema-instance\" x:type=\"$\"", "", "vote"),
        xml("", "", "<!-- $ -->", "vote"),
        xml("", "", "<Party>$</Party>", "vote"),
        xml("", "", "<Description>$</Description>", "vote"),
        xml("", "", "", "vo<!-- $ -->te"),
        xml("", "", "", "<![CDATA[vote]]><?p $?>"),
        JSON.replace("{type}", "EventLogging.$").replace("{inside}", ""),
        JSON.replace("{type}", "EventLogging.Event").replace("{inside}", "\"@type\":\"$\","),
        JSON.replace("{type}", "EventLogging.Event").replace("{inside}", "\"Note\":\"$\","),
        JSON.replace("{type}", "EventLogging.Event").replace("{inside}", "\"$\":1,"),
        JSON.replace("{type}", "EventLogging.Event").replace(
            "{inside}",
            "\"Details\":\"{\\\"line\\\":1,\\\"attributes\\\":{\\\"x\\\":\\\"$\\\"}}\",",
        ),
    ];
    for file in files {
        let file = file.replace('$', SECRET);
        for output in outputs(&file) {
            let joined: String = output.split_whitespace().collect::<String>().to_uppercase();
            assert!(!joined.contains(SECRET), "{file}\n{output}");
        }
    }
    // The same search finds what is no secret: the serial of the unit.
    let plain = outputs(&xml("", "", "", "vote").replace("CU-1", SECRET));
    assert!(plain[2].contains(SECRET) && plain[2].contains("<Id>vote</Id>"), "{}", plain[2]);
}

#[test]
fn a_file_that_would_be_said_again_of_many_devices_is_refused() {
    let fields: String = (0..200)
        .map(|n| format!("\"f{n}\":\"{}\",", "x".repeat(2000)))
        .fold(String::new(), |all, one| all + &one);
    let devices = vec![r#"{"Id":"a","Event":[]}"#; 200].join(",");
    let file = format!(r#"{{"@type":"EventLogging.ElectionEventLog",{fields}"Device":[{devices}]}}"#);
    let misfit = exchange::read(Source::new("file", file.into_bytes())).unwrap_err();
    assert!(misfit.message.as_str().contains("each of its devices"), "{misfit}");
}

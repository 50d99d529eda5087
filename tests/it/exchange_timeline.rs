//! The timeline that leaves the tool as a table, as JSON Lines and as XES.

use std::fs;

use logassay::exchange::{FORMATS, Leaving, Misfit, format, read};
use logassay::source::Source;
use logassay::syntax::{Log, Secrecy};

pub(crate) fn logs(text: &str) -> Vec<Log> {
    read(Source::new("log", text.as_bytes().to_vec())).unwrap()
}

pub(crate) fn write_as(id: &str, logs: &[Log]) -> Result<String, Misfit> {
    let secrecy = Secrecy::strict();
    let leaving: Vec<Leaving<'_>> = logs.iter().map(|log| Leaving { log, secrecy: &secrecy }).collect();
    (format(id).unwrap().writes.unwrap())(&leaving)
}

const LOG: &str = "unit-event-log 1\nserial: CU-20417\nclock-zone: +02:00\n\n\
    0041 2031-05-10 06:58:12.250 power-on\n\
    - - link-up bu=BU-50931\n\
    0043 2031-05-10 06:58:30 enable\n\
    0044 2031-05-10 06:58:40 vote bu=BU-50931\n\
    what is this\n\
    0045 2031-05-10 06:59:00 total shown=1\n\
    0046 2031-05-10 06:59:40 fault part=printer note=\"=1+1, \\\"two\\\"\" note=b\n";

#[test]
fn a_table_has_one_row_for_each_record_and_each_unread_line() {
    let table = write_as("csv", &logs(LOG)).unwrap();
    let expected = "log,line,kind,number,time,zone,event,attributes\r\n\
        CU-20417,5,record,0041,2031-05-10 06:58:12.250,UTC+02:00,power-on,\r\n\
        CU-20417,6,record,,,,link-up,bu=BU-50931\r\n\
        CU-20417,7,record,0043,2031-05-10 06:58:30,UTC+02:00,enable,\r\n\
        CU-20417,8,record,0044,2031-05-10 06:58:40,UTC+02:00,vote,bu=BU-50931\r\n\
        CU-20417,9,unread,,,,,\r\n\
        CU-20417,10,record,0045,2031-05-10 06:59:00,UTC+02:00,total,shown=1\r\n\
        CU-20417,11,record,0046,2031-05-10 06:59:40,UTC+02:00,fault,\
        \"part=printer note=\"\"=1+1, \\\"\"two\\\"\"\"\" note=b\"\r\n";
    assert_eq!(table, expected);
}

#[test]
fn json_lines_are_each_an_object_that_another_reader_takes() {
    let text = write_as("jsonl", &logs(LOG)).unwrap();
    let rows: Vec<serde_json::Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(rows.len(), 7);
    assert_eq!(
        rows[0],
        serde_json::json!({"log": "CU-20417", "line": 5, "kind": "record", "number": "0041",
            "time": "2031-05-10T06:58:12.250", "zone": "+02:00", "event": "power-on", "attributes": {}})
    );
    assert_eq!(rows[1].get("time"), None);
    assert_eq!(rows[4], serde_json::json!({"log": "CU-20417", "line": 9, "kind": "unread"}));
    assert_eq!(rows[6]["attributes"], serde_json::json!({"part": "printer", "note": ["=1+1, \"two\"", "b"]}));
}

#[test]
fn a_trace_states_its_zone_or_that_none_is_known() {
    let with = write_as("xes", &logs(LOG)).unwrap();
    assert!(with.contains("<date key=\"time:timestamp\" value=\"2031-05-10T06:58:12.250+02:00\"/>"));
    assert!(with.contains("<int key=\"lines-unread\" value=\"1\"/>"));
    let without = write_as("xes", &logs(&LOG.replace("clock-zone: +02:00\n", ""))).unwrap();
    assert!(without.contains("value=\"2031-05-10T06:58:12.250-00:00\"/>"));
    assert!(without.contains("<boolean key=\"zone-known\" value=\"false\"/>"));
}

#[test]
fn no_format_carries_a_choice_or_a_name() {
    let formats: Vec<&str> = FORMATS.iter().filter(|f| f.writes.is_some()).map(|f| f.id).collect();
    assert!(formats.len() > 3);
    let enable = "0043 2031-05-10 06:58:30 enable";
    for (planted, line) in [
        ("0044 2031-05-10 06:58:40 vote bu=BU-50931 candidate=Ashgrove", 8),
        ("0044 2031-05-10 06:58:40 vote bu=BU-50931 x=Ashgrove", 8),
        ("0044 2031-05-10 06:58:40 vote-of-ashgrove", 8),
        ("; the voter was Ashgrove", 0),
    ] {
        let text = LOG.replace("0044 2031-05-10 06:58:40 vote bu=BU-50931", planted);
        let text = text.replace("what is this\n", "");
        assert!(text.contains(enable));
        for id in &formats {
            match write_as(id, &logs(&text)) {
                Ok(out) => {
                    assert!(!out.to_lowercase().contains("ashgrove"), "{id} carries it: {planted}");
                    // A documentation says what words mean, and holds no line.
                    let is_whole = line == 0 || id.ends_with("documentation");
                    assert!(is_whole, "{id} wrote the log without the line that it may not hold: {planted}");
                }
                Err(misfit) => {
                    assert!(misfit.to_string().contains("line 8"), "{id}: {misfit}");
                    assert!(!misfit.to_string().to_lowercase().contains("ashgrove"));
                }
            }
        }
    }
    // The unread line may hold anything, and none of it leaves.
    for id in &formats {
        if let Ok(out) = write_as(id, &logs(LOG)) {
            assert!(!out.contains("what is"), "{id}");
        }
    }
}

#[test]
fn the_ballot_unit_of_a_vote_is_masked_where_there_were_several() {
    let several =
        LOG.replace("- - link-up bu=BU-50931\n", "- - link-up bu=BU-50931\n- - link-up bu=BU-50932\n");
    for id in ["csv", "jsonl", "xes"] {
        let out = write_as(id, &logs(&several)).unwrap();
        assert_eq!(out.matches("BU-50931").count(), 1, "{id}: only the link");
        assert_eq!(out.matches("[masked]").count(), 1, "{id}");
    }
}

#[test]
fn the_demonstrations_leave_in_every_timeline() {
    for path in fs::read_dir(crate::corpus::folder("demonstration")).unwrap() {
        let path = path.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "log") {
            continue;
        }
        let logs = logs(&fs::read_to_string(&path).unwrap());
        let records: usize = logs.iter().map(|log| log.records().len()).sum();
        let events = write_as("xes", &logs).unwrap().matches("<event>").count();
        let rows = write_as("csv", &logs).unwrap().matches(",record,").count();
        let objects = write_as("jsonl", &logs).unwrap().matches("\"kind\":\"record\"").count();
        assert_eq!([events, rows, objects], [records; 3], "{}", path.display());
    }
}

//! Poll secrecy in every form of report: what a voter chose, or who the voter was, stands in no output.

use logassay::case::Case;
use logassay::examine;
use logassay::report::document::{Document, Edition};
use logassay::report::drawing::{self, Way};
use logassay::report::forms::FORMS;
use logassay::report::pdf::{Fonts, STANDARDS, Sources};
use logassay::report::{Layout, html, json, terminal, walk};
use logassay::unit::UnitDescription;

use crate::pages::{frame, logs};
use crate::pdf::said;

/// The planted secret. It is no part of any word of the tool.
const SECRET: &str = "QZXJ7";

/// A log with the secret in one place.
fn planted(line: &str) -> String {
    format!(
        "unit-event-log 1\nserial: CU-20417\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote\n\
         1203 2031-05-10 07:00:50 enable\n{}\n1205 2031-05-10 07:02:02 vote\n1206 2031-05-10 07:02:20 vote\n",
        line.replace('$', SECRET)
    )
}

/// Lines that disclose a choice or an identity. Source of the prohibition: VVSG 2.0, 10.2.4-B, 11.1-B, 15.1-C.
const PLANTED: &[&str] = &[
    "1204 2031-05-10 07:01:40 vote candidate=$",
    "1204 2031-05-10 07:01:40 vote candidate=\"a $ b\"",
    "1204 2031-05-10 07:01:40 vote voter-name=$",
    "1204 2031-05-10 07:01:40 vote x=$",
    "1204 2031-05-10 07:01:40 vote bu=BU-50931 button=$",
    "1204 2031-05-10 07:01:40 slip-printed candidate=$",
    "1204 2031-05-10 07:01:40 warble candidate=$",
    "1204 2031-05-10 07:01:40 warble note=\"the voter pressed $\"",
    "1204 2031-13-10 07:01:40 vote candidate=$",
    "1204 2031-05-10 07:01:40 Vote for $",
    "vote $",
    "; the voter chose candidate=$",
    "candidate: $",
    "1204 2031-05-10 07:01:40 key-refused key=enable choice=$",
    // Known attributes with values in another form than the vocabulary states.
    "1204 2031-05-10 07:01:40 key-refused key=$",
    "1204 2031-05-10 07:01:40 print what=$",
    "1204 2031-05-10 07:01:40 fault code=\"J. $\"",
    "1204 2031-05-10 07:01:40 total shown=$",
    "1204 2031-05-10 07:01:40 link-up bu=\"mr $\"",
    "1204 2031-05-10 07:01:40 cover-opened section=$",
    "1204 2031-05-10 07:01:40 self-test result=$",
    "1204 2031-05-10 07:01:40 clock-set by=$",
    "1204 2031-05-10 07:01:40 enable-lapsed after=$",
    "1204 2031-13-10 07:01:40 key-refused key=$",
    // Keys and words that the vocabulary does not know.
    "1204 2031-05-10 07:01:40 vote qzxj7=1",
    "1204 2031-05-10 07:01:40 vote qzxj7-of-blue=1",
    "1204 2031-05-10 07:01:40 battery-level qzxj7=1",
    "1204 2031-05-10 07:01:40 qzxj7",
    "1204 2031-05-10 07:01:40 qzxj7 note=1",
    // Lines of the body that look like headers, and lines that cannot be read.
    "description: $",
    "Exported-By: $",
    "serial:$",
    "$",
    "1204 $",
    "1204 2031-05-10 07:01 vote fault code=$",
    "1204 2031-05-10 07:01:40 Total shown=1 version=$",
    // Records among the votes, not directly beside one.
    "1204 2031-05-10 07:01:40 battery-level\n1204 2031-05-10 07:01:40 total x=$\n1204 2031-05-10 07:01:40 battery-level",
    "1204 2031-05-10 07:01:40 total shown=0 who=$",
    "1204 2031-05-10 07:01:40 qzxj7\n1204 2031-05-10 07:01:40 result\n1204 2031-05-10 07:01:40 qzxj7",
    // A bare name in a comment among the votes.
    "; $",
    "; 07:01 Anna $ came back",
];

#[test]
fn no_form_of_report_discloses_a_choice() {
    let unit = UnitDescription::kestrane();
    let fonts = Fonts::with(&[]).unwrap();
    let label = "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1206\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n";
    for case in ["", label] {
        let case = Case::read("case", case).unwrap().case;
        for line in PLANTED {
            let logs = logs("log", planted(line).as_bytes());
            let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
            let frame = frame(false);
            let mut outputs: Vec<String> =
                FORMS.iter().map(|form| (form.write)(&examinations, &frame, Layout::plain(100))).collect();
            outputs.extend([
                walk::json(&examinations, &frame),
                drawing::svg(&unit, &Way::of(&examinations[0]), false),
                format!("{examinations:?}"),
            ]);
            for edition in [Edition::Full, Edition::Public] {
                let document = Document::of(&examinations, &frame, edition);
                let set = Sources::of(&document, &fonts, STANDARDS[0]);
                let set = said(&serde_json::from_str(&set.data).unwrap());
                outputs.extend([html::page(&document), format!("{document:?}"), set]);
            }
            for width in [40, 80, 140] {
                let layout = Layout { width, colour: width == 80 };
                outputs.push(terminal::report(&examinations, &frame, layout));
                outputs.push(walk::page(&examinations, &frame, layout));
                outputs.push(walk::blank(&examinations, &frame, layout));
            }
            for output in outputs {
                // A page may break a long word: the secret is looked for across line ends as well.
                let joined: String = output.split_whitespace().collect();
                let joined = joined.to_uppercase();
                assert!(!joined.contains(SECRET), "{line}\n{output}");
            }
        }
    }
}

#[test]
fn the_search_for_the_secret_can_find_it() {
    // The same search finds a planted word that secrecy does not cover: a comment before all records.
    let text = format!("; {SECRET} was here\n{}", planted(""));
    let logs = logs("log", text.as_bytes());
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    assert!(terminal::report(&examinations, &frame(false), Layout::plain(80)).contains(SECRET));
    assert!(json::report(&examinations, &frame(false)).contains(SECRET));
    let page = html::page(&Document::of(&examinations, &frame(false), Edition::Full));
    assert!(page.contains(SECRET));
    let document = Document::of(&examinations, &frame(false), Edition::Full);
    let set = Sources::of(&document, &Fonts::with(&[]).unwrap(), STANDARDS[0]);
    assert!(said(&serde_json::from_str(&set.data).unwrap()).contains(SECRET));
}

#[test]
fn the_ballot_unit_of_a_vote_is_covered_where_there_are_several() {
    let text = "unit-event-log 1\n1 2031-05-10 07:00:05 enable\n2 2031-05-10 07:00:31 vote bu=BU-50931\n\
                3 2031-05-10 07:00:50 enable\n4 2031-05-10 07:01:31 vote bu=BU-50932\n5 2031-05-10 07:01:40 vote bu=BU-50932\n";
    let logs = logs("log", text.as_bytes());
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    for output in [
        json::report(&examinations, &frame(false)),
        walk::json(&examinations, &frame(false)),
        terminal::report(&examinations, &frame(false), Layout::plain(80)),
        walk::page(&examinations, &frame(false), Layout::plain(80)),
        html::page(&Document::of(&examinations, &frame(false), Edition::Full)),
    ] {
        assert!(!output.contains("BU-50931") && !output.contains("BU-50932"), "{output}");
        assert!(output.contains("[masked]"), "{output}");
    }
}

#[test]
fn the_ballot_unit_of_a_vote_is_covered_where_only_the_case_file_names_several() {
    let text = "unit-event-log 1\n1 2031-05-10 06:50:00 link-up bu=BU-50931\n2 2031-05-10 07:00:05 enable\n\
                3 2031-05-10 07:00:31 vote bu=BU-50931\n4 2031-05-10 07:00:40 link-down bu=BU-50931\n\
                5 2031-05-10 07:00:50 enable\n6 2031-05-10 07:01:31 vote bu=BU-50931\n";
    let logs = logs("log", text.as_bytes());
    let unit = UnitDescription::kestrane();
    let papers = |units: &str| {
        format!(
            "[[unit]]\nballot-units = [{units}]\nsource = \"Register of sets\"\nby = \"Stores officer\"\n"
        )
    };
    let quoted = |units: &str| {
        let case = Case::read("case", &papers(units)).unwrap().case;
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        [
            json::report(&examinations, &frame(false)),
            terminal::report(&examinations, &frame(false), Layout::plain(140)),
            walk::page(&examinations, &frame(false), Layout::plain(140)),
            walk::json(&examinations, &frame(false)),
        ]
    };
    let one = quoted("\"BU-50931\"");
    assert!(one.iter().any(|output| output.contains("vote bu=BU-50931")));
    for output in quoted("\"BU-50931\", \"BU-50932\"") {
        assert!(!output.contains("vote bu=BU-50931"), "{output}");
        assert!(!output.contains("on line 5 of the file says that the link was gone"), "{output}");
    }
    assert!(quoted("\"BU-50931\", \"BU-50932\"")[2].contains("vote bu=[masked]"));
    // The finding does not point at the vote: its link would tell the ballot unit.
    let terminal = &quoted("\"BU-50931\", \"BU-50932\"")[1];
    assert!(
        terminal.contains("One vote comes from a ballot unit of which the records before say"),
        "{terminal}"
    );
}

#[test]
fn a_label_by_a_number_that_stands_twice_opens_nothing() {
    let unit = UnitDescription::kestrane();
    let shown = |text: &str, records: &str| {
        let label = format!(
            "[[phase]]\nwas = \"mock-poll\"\n{records}\nsource = \"Diary\"\nby = \"Presiding officer\"\n"
        );
        let case = Case::read("case", &label).unwrap().case;
        let logs = logs("log", text.as_bytes());
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        let page = walk::page(&examinations, &frame(false), Layout::plain(100));
        let blank = walk::blank(&examinations, &frame(false), Layout::plain(100));
        (page + &blank).matches("x=QZXJ7").count()
    };
    let once = "unit-event-log 1\n1 - enable\n2 - vote x=QZXJ7\n3 - close\n";
    assert_eq!(shown(once, "records = \"1-3\""), 2, "known not to be the poll: shown");
    let again = format!("{once}4 - result\n5 - clear\n1 - enable\n2 - vote x=QZXJ7\n");
    assert_eq!(shown(&again, "records = \"1-3\""), 0);
    assert_eq!(shown(&again, "lines = \"2-4\""), 2, "lines name one record each");
    let two = format!("{once}{once}");
    assert_eq!(shown(&two, "records = \"1-3\""), 0);
}

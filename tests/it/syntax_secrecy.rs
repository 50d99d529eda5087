//! Secrecy of the poll: a choice or identity that stands in a log occurs in nothing that the log shows.

use std::fmt::Write as _;

use logassay::syntax::{Draft, Log, Secrecy, faults_text, write};
use proptest::prelude::*;

use crate::syntax::{logs, one};

/// A name that occurs nowhere by chance.
const SECRET: &str = "zqxanna";

/// Everything that a log shows of itself under strict secrecy.
fn shown(log: &Log) -> String {
    let strict = Secrecy::strict();
    let mut text = String::new();
    for line in 0..log.lines().len() {
        text.push_str(log.quote(line, &strict).as_str());
        text.push('\n');
    }
    text.push_str(&faults_text(log, usize::MAX, 80));
    for record in log.records() {
        text.push_str(log.word(record).as_str());
        for (key, value) in log.attributes(record) {
            _ = write!(text, "{} {} {key:?} {value:?}", key.shown(), value.shown());
        }
    }
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        _ = write!(text, "{} {} {header:?}", key.shown(), value.shown());
    }
    _ = write!(text, "{log:?} {:?}", log.records());
    text
}

fn keeps_the_secret(text: &str) {
    for log in logs(text) {
        let shown = shown(&log).to_ascii_lowercase();
        assert!(!shown.contains(SECRET), "{text}\nshows\n{shown}");
        assert!(write(&log, &Secrecy::strict()).is_err() || !text.contains("voter"), "{text}");
    }
}

#[test]
fn a_choice_or_identity_in_a_record_is_covered_however_it_is_written() {
    for line in [
        "1 2031-05-10 07:00:00 vote candidate=zqxanna",
        "1 2031-05-10 07:00:00 vote bu=BU-1 candidate=zqxanna",
        "1 2031-05-10 07:00:00 vote voter-name=ZQXANNA",
        "1 2031-05-10 07:00:00 vote note=\"zqxanna\"",
        "1 2031-05-10 07:00:00 vote note=\"voter zqxanna\"",
        "1 2031-05-10 07:00:00 vote note=\"zqxanna was the \\u{76}oter\"",
        "1 2031-05-10 07:00:00 vote x=zqxanna bu=BU-1",
        "1 2031-05-10 07:00:00 vote voter-zqxanna=1",
        "1 2031-05-10 07:00:00 vote zqxanna-voted=1",
        "1 2031-05-10 07:00:00 enable voter=\"\\u{7a}zqxanna\"",
        "1 2031-05-10 07:00:00 enable for=zqxanna",
        "1 2031-05-10 07:00:00 voter-zqxanna",
        "1 2031-05-10 07:00:00 zqxanna-voted",
        "1 2031-05-10 07:00:00 vote-zqxanna",
        "1 2031-05-10 07:00:00 unheard-of what=zqxanna",
        "1 2031-05-10 07:00:00 total shown=\"voter zqxanna\"",
        "1 2031-05-10 07:00:00 total shown=\"zqxanna, the \\u{56}OTER\"",
        "1 2031-05-10 07:00:00 total voter=zqxanna",
        "1 2031-05-10 07:00:00 total voter=a voter=zqxanna",
    ] {
        keeps_the_secret(&format!("unit-event-log 1\nserial: CU-1\n{line}\n"));
        keeps_the_secret(&format!("{line} \r\n2 - enable\n"));
    }
    keeps_the_secret("unit-event-log 1\n1 - vote\n2 - total x=zqxanna\n3 - vote\n");
}

#[test]
fn a_choice_or_identity_in_comments_and_headers_is_covered() {
    for line in [
        "; voter zqxanna chose 3",
        "; ZQXANNA pressed 3",
        ";zqxanna voted",
        "voter: zqxanna",
        "presiding: the voter zqxanna",
        "presiding: zqxanna, a citizen",
        "zqxanna-voter: yes",
        "serial: zqxanna the voter",
        "Voter: zqxanna",
        "voter:zqxanna",
        "Presiding : zqxanna",
        "voter zqxanna",
    ] {
        keeps_the_secret(&format!("unit-event-log 1\n{line}\n1 - enable\n"));
        keeps_the_secret(&format!("unit-event-log 1\n1 - enable\n{line}\n"));
        keeps_the_secret(&format!("{line}\n"));
    }
}

#[test]
fn a_choice_or_identity_in_an_unread_line_is_covered_wherever_it_stands() {
    let fields = ["1203", "2031-05-10", "07:00:12", "vote", "bu=BU-1", "mv=7500", "chain:00"];
    for spoilt in [
        "candidate=zqxanna",
        "voter-name=ZQXANNA",
        "zqxanna",
        "\"zqxanna",
        "x=zqxanna=\"",
        "bu=zqxanna\"",
        "what=zqxanna\"",
        "zqxanna=3\"",
        "Zqxanna",
        "vote=zqxanna\\",
        "\\u{7a}zqxanna",
        "zqxanna\u{7}",
        "key=zqxanna\"",
    ] {
        for place in 0..=fields.len() {
            for instead in [false, true] {
                let mut line = fields.to_vec();
                if instead && place < line.len() {
                    line[place] = spoilt;
                } else {
                    line.insert(place, spoilt);
                }
                for separator in [" ", "  ", "\t"] {
                    keeps_the_secret(&format!("unit-event-log 1\n{}\n", line.join(separator)));
                }
            }
        }
    }
    keeps_the_secret("unit-event-log 1\nend zqxanna\nunit-event-log zqxanna\n");
    let long = format!("1203 - vote note={}zqxanna", "x".repeat(5000));
    keeps_the_secret(&format!("unit-event-log 1\n{long}\n"));
}

#[test]
fn the_ballot_unit_of_a_vote_is_covered_where_there_are_several() {
    let log = |other: &str| {
        one(&format!(
            "unit-event-log 1\n1 - link-up bu=BU-1\n2 - link-up bu={other}\n3 - total\n4 - vote bu=BU-1\n"
        ))
    };
    let quote = |log: &Log| log.quote(4, &Secrecy::strict()).to_string();
    assert_eq!(quote(&log("BU-1")), "4 - vote bu=BU-1");
    assert_eq!(quote(&log("BU-2")), "4 - vote bu=[masked]");
    assert_eq!(log("BU-2").attribute(&log("BU-2").records()[3], "bu").unwrap().shown().as_str(), "[masked]");
    assert_eq!(log("BU-2").quote(1, &Secrecy::strict()).as_str(), "1 - link-up bu=BU-1");
    // The papers name two, the log one: which one a vote came from is covered, and every chain value with it.
    assert_eq!(log("BU-1").quote(4, &Secrecy::of(Vec::new(), true)).as_str(), "4 - vote bu=[masked]");
    // Known not to be the poll: shown whole.
    let open = Secrecy::of(vec![true; 4], false);
    assert_eq!(log("BU-2").quote(4, &open).as_str(), "4 - vote bu=BU-1");
}

#[test]
fn no_chain_value_is_shown_where_one_line_is_covered_nor_the_digest_of_that_line() {
    let draft = |note: &[(&str, &str)]| {
        one(&Draft::new().chained(None).record(1, "-", "vote", note).record(2, "-", "total", &[]).open())
    };
    let strict = Secrecy::strict();
    let covered = draft(&[("slot", "3")]);
    assert_eq!(covered.quote(1, &strict).as_str(), "1 - vote slot=[masked] chain:[masked]");
    assert_eq!(covered.quote(2, &strict).as_str(), "2 - total chain:[masked]");
    assert_eq!(covered.line_digest(1, &strict), None);
    let plain = draft(&[]);
    assert!(!plain.is_veiled(1, &strict) && plain.line_digest(1, &strict).is_some());
}

#[test]
fn a_drawn_fault_does_not_tell_how_long_a_masked_text_is() {
    let drawn = |choice: &str| {
        let log = one(&format!("unit-event-log 1\n1 - vote candidate={choice} bu=\"x\n2 - enable"));
        faults_text(&log, 9, 80)
    };
    assert_eq!(drawn("3"), drawn("a-name-that-is-longer"));
    assert!(drawn("3").contains("export.log:2:10"));
    let end = drawn("3").lines().any(|line| line.contains("3 │ 2 - enable"));
    assert!(end && drawn("3").matches("here").count() == 2, "a missing line end is marked, too");
}

#[test]
fn what_is_no_secret_stays_readable() {
    let quote =
        |line: &str| one(&format!("unit-event-log 1\n{line}\n")).quote(1, &Secrecy::strict()).to_string();
    for line in [
        "exported-by: Registrar's office, Tarn Valley",
        "1203 2031-05-10 23:59:60 enable",
        "1203 2031-05-10 07:00:12 Enable",
        "1203 2031-05-10 07:00:12 candidate-set count=12",
        "1203 2031-05-10T07:00:12 self-test result=fail",
        "1203 - total shown=12,0",
        "; the paper of the station, sheet 2",
        "1203 - vote-cancelled",
        "end 4 sha256:",
        "Serial: CU-20417",
    ] {
        if line.starts_with("end") {
            assert_eq!(quote(line), "end 4 [masked]");
        } else {
            assert_eq!(quote(line), line);
        }
    }
    // A word that stands away from every voter's act is the unit's own; one that stands only beside votes may be a name.
    let log = one(
        "unit-event-log 1\n1 - blue\n2 - power-on\n3 - enable\n4 - blue\n5 - vote\n6 - green\n7 - enable\n",
    );
    let strict = Secrecy::strict();
    let words: Vec<String> = log.records().iter().map(|record| log.word(record).to_string()).collect();
    assert_eq!(words, ["blue", "power-on", "enable", "blue", "vote", "[masked]", "enable"]);
    // A comment in the head is shown; one among the votes may be a bare name.
    let log = one(
        "; Anna\nunit-event-log 1\n; Anna\n1 - power-on\n; Anna\n2 - total\n3 - enable\n; Anna\n4 - total\n",
    );
    let comments: Vec<String> = [0, 2, 4, 7].map(|line| log.quote(line, &strict).to_string()).to_vec();
    assert_eq!(comments, ["; Anna", "; Anna", "; Anna", ";[masked]"]);
    let open = Secrecy::of(vec![true; 4], false);
    assert_eq!(log.quote(7, &open).as_str(), "; Anna");
    assert_eq!(quote("1203 2031-05-10 07:00:12 vote Party 3"), "1203 2031-05-10 07:00:12 vote [masked]");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_value_beside_a_vote_is_never_shown_however_the_line_is_spoilt(
        place in 0_usize..46, byte in any::<u8>(), insert in any::<bool>()
    ) {
        let mut bytes = b"1203 2031-05-10 07:00:12 vote candidate=zqxanna bu=BU-1".to_vec();
        // The secret itself and the space behind it stay whole, else there would be nothing to look for.
        let place = if (40..48).contains(&place) { 39 } else { place };
        if insert {
            bytes.insert(place, byte);
        } else {
            bytes[place] = byte;
        }
        bytes.push(b'\n');
        for log in logs([b"unit-event-log 1\n".to_vec(), bytes.clone()].concat()) {
            let shown = shown(&log).to_ascii_lowercase();
            prop_assert!(!shown.contains(SECRET), "{}\n{shown}", String::from_utf8_lossy(&bytes));
        }
    }
}

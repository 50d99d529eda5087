//! Published requirements that can be compared and do not bind here, held against the rules: VVSG 2.0 on opening and
//! closing. Each test names its section.
//!
//! Source: Voluntary Voting System Guidelines 2.0 (EAC, 2021), sections as cited beside each test.

use logassay::examine;
use logassay::finding::Verdict;
use logassay::rules::{self, Basis};
use logassay::unit::UnitDescription;

use crate::examples;

/// The poll's label over some records, as a case file states it.
fn poll(records: &str) -> String {
    format!(
        "[[phase]]\nwas = \"poll\"\nrecords = \"{records}\"\nsource = \"Presiding officer's diary\"\n\
         by = \"Presiding officer\"\n"
    )
}

/// Record lines with numbers from 1201 and rising times.
fn log(events: &[&str]) -> String {
    let lines = events.iter().enumerate().map(|(at, event)| {
        format!("{} 2031-05-10 {:02}:{:02}:00 {event}\n", 1201 + at, 7 + at / 60, at % 60)
    });
    format!("unit-event-log 1\n{}", lines.collect::<String>())
}

/// The rules that are not kept, and the answer of one rule.
fn answers(events: &[&str], case: &str, rule: &str) -> (Vec<&'static str>, Verdict) {
    let (log, case, unit) = (examples::read(&log(events)), examples::case(case), UnitDescription::kestrane());
    let examination = examine(&log, &case, &unit);
    let broken = |answer: &&logassay::finding::Answer| answer.verdict == Verdict::NotKept;
    (
        examination.answers.iter().filter(broken).map(|answer| answer.rule).collect(),
        examination.answers.iter().find(|answer| answer.rule == rule).unwrap().verdict,
    )
}

fn is_called_comparable(rule: &str, section: &str) {
    let rule = rules::rule(rule).unwrap();
    let said = |basis: &&Basis| matches!(basis, Basis::Comparable(text) if text.starts_with("VVSG 2.0") && text.contains(section));
    assert!(rule.basis.iter().any(|basis| said(&basis)), "{} does not name {section}", rule.id);
}

/// VVSG 2.0, 1.1.3-B: voting mode is entered only when all vote counters are zero, and that is shown.
#[test]
fn the_poll_opens_only_behind_a_total_of_zero() {
    is_called_comparable("zero-not-shown", "1.1.3-B");
    let label = poll("1202-1204");
    let zero = answers(&["clear", "total shown=0", "enable", "vote"], &label, "zero-not-shown");
    assert_eq!(zero, (vec![], Verdict::CannotBeTold), "the occasion is in order; the ends of the log are open");
    let one = answers(&["clear", "total shown=1", "enable", "vote"], &label, "zero-not-shown");
    assert_eq!(one, (vec!["zero-not-shown"], Verdict::NotKept));
    let none = answers(&["clear", "print", "enable", "vote"], &label, "zero-not-shown");
    assert_eq!(none, (vec!["zero-not-shown"], Verdict::NotKept));
}

/// VVSG 2.0, 1.1.3-B: opening happens once; going on after a night with votes in memory needs no zero.
#[test]
fn a_poll_that_goes_on_after_a_night_needs_no_second_zero() {
    let night = ["clear", "total shown=0", "enable", "vote", "power-off", "power-on", "total shown=1", "enable", "vote"];
    assert_eq!(answers(&night, &poll("1202-1209"), "zero-not-shown").0, Vec::<&str>::new());
}

/// VVSG 2.0, 1.1.7-B: after voting was stopped, no activation and no casting.
#[test]
fn neither_enable_nor_vote_follows_a_close() {
    is_called_comparable("vote-after-close", "1.1.7-B");
    is_called_comparable("enable-after-close", "1.1.7-B");
    assert_eq!(answers(&["enable", "vote", "close", "vote"], "", "vote-after-close").0, ["vote-after-close"]);
    assert_eq!(answers(&["enable", "vote", "close", "enable"], "", "enable-after-close").0, ["enable-after-close"]);
    assert_eq!(answers(&["enable", "vote", "close", "power-off"], "", "vote-after-close").0, Vec::<&str>::new());
}

/// VVSG 2.0, 1.1.7-B: what is behind the hour and before the close is not behind the close. Time plays no part here.
#[test]
fn a_late_vote_before_the_close_is_no_vote_after_it() {
    let mut events = vec!["enable", "vote"];
    events.extend(["total shown=1"; 660]);
    events.extend(["enable", "vote", "close"]);
    assert_eq!(answers(&events, "", "vote-after-close").0, Vec::<&str>::new());
}

/// VVSG 2.0, 1.1.7-E: no return to voting after the close without an override; here the override is result and clear.
#[test]
fn voting_begins_again_only_behind_a_clear() {
    is_called_comparable("enable-after-close", "1.1.7-E");
    let again = ["enable", "vote", "close", "result", "enable"];
    assert_eq!(answers(&again, "", "enable-after-close").0, ["enable-after-close"]);
    let cleared = ["enable", "vote", "close", "result", "clear", "enable", "vote"];
    assert_eq!(answers(&cleared, "", "enable-after-close").0, Vec::<&str>::new());
}

/// VVSG 2.0, 1.1.9-K: no report of votes while the poll is open; the number of ballots may be shown.
#[test]
fn a_result_waits_for_the_close_and_a_total_does_not() {
    is_called_comparable("result-before-close", "1.1.9-K");
    assert_eq!(answers(&["enable", "vote", "result"], "", "result-before-close").0, ["result-before-close"]);
    assert_eq!(answers(&["enable", "vote", "total shown=1", "enable"], "", "result-before-close").0, Vec::<&str>::new());
    assert_eq!(answers(&["enable", "vote", "close", "result"], "", "result-before-close").0, Vec::<&str>::new());
}

/// A rule that rests on a comparable requirement says so in words that do not bind.
#[test]
fn comparable_requirements_are_cited_by_section() {
    for rule in rules::RULES {
        for basis in rule.basis {
            if let Basis::Comparable(text) = basis {
                assert!(text.starts_with("VVSG 2.0, ") || text.starts_with("VVSG 1.1, ") || !text.contains("VVSG"), "{}: {text}", rule.id);
                assert!(text.bytes().any(|b| b.is_ascii_digit()), "{}: {text}", rule.id);
            }
        }
    }
}

//! Published requirements that are comparable and not binding here, as tests of the state rules.
//!
//! Source of each: Voluntary Voting System Guidelines, version 2.0 (U.S. Election Assistance Commission, 10 February
//! 2021), the section beside it. A unit of the Commonwealth of Kestrane owes nothing to them.

use logassay::case::Case;
use logassay::examine;
use logassay::unit::UnitDescription;

use crate::lives::{case, log};

/// The rules that are not kept on some events, numbered from 1201, with their case.
fn not_kept_in(events: &[&str], case: &Case) -> Vec<&'static str> {
    let lines: String =
        events.iter().enumerate().map(|(at, event)| format!("{} - {event}\n", 1201 + at)).collect();
    let log = log(&format!("unit-event-log 1\n{lines}"));
    let mut rules: Vec<&'static str> = examine(&log, case, &UnitDescription::kestrane())
        .findings
        .iter()
        .map(|finding| finding.rule)
        .collect();
    rules.dedup();
    rules
}

fn not_kept(events: &[&str]) -> Vec<&'static str> {
    not_kept_in(events, &Case::default())
}

fn poll(records: &str) -> Case {
    case(&[format!(
        "[[phase]]\nwas = \"poll\"\nrecords = \"{records}\"\nsource = \"diary\"\nby = \"presiding officer\"\n"
    )])
}

#[test]
fn counters_are_zero_before_the_poll_opens_1_1_3_b() {
    let opening = ["result", "clear", "total shown=0", "enable", "vote", "close"];
    assert!(not_kept_in(&opening, &poll("1203-1206")).is_empty());
    let without = ["result", "clear", "enable", "vote", "close"];
    assert_eq!(not_kept_in(&without, &poll("1203-1205")), ["zero-not-shown"]);
    // Going on after a night is no second opening: nothing has to be zero.
    let overnight = [
        "result",
        "clear",
        "total shown=0",
        "enable",
        "vote",
        "power-off",
        "power-on",
        "enable",
        "vote",
        "close",
    ];
    assert!(not_kept_in(&overnight, &poll("1203-1210")).is_empty());
}

#[test]
fn nothing_is_activated_or_cast_after_the_close_1_1_7_b() {
    assert_eq!(not_kept(&["enable", "vote", "close", "vote"]), ["vote-after-close"]);
    assert_eq!(not_kept(&["enable", "vote", "close", "enable"]), ["enable-after-close"]);
    assert!(not_kept(&["enable", "vote", "enable", "vote", "close"]).is_empty());
}

#[test]
fn voting_is_not_entered_again_after_the_close_1_1_7_e() {
    assert_eq!(not_kept(&["close", "result", "enable"]), ["enable-after-close"]);
    assert!(not_kept(&["close", "result", "clear", "enable", "vote"]).is_empty());
}

#[test]
fn no_result_is_taken_while_voting_goes_on_and_a_number_of_votes_is_no_result_1_1_9_k() {
    assert_eq!(not_kept(&["enable", "vote", "result"]), ["result-before-close"]);
    assert!(not_kept(&["enable", "vote", "total shown=1", "enable", "vote", "close", "result"]).is_empty());
}

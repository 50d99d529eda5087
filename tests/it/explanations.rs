//! Ordinary explanations that the record itself speaks against: for the finding, in every form, and only where it does.

use std::sync::Arc;

use logassay::case::Case;
use logassay::examine;
use logassay::source::Source;
use logassay::syntax;
use logassay::unit::UnitDescription;

use crate::examples::prepare;

const LOST: &str = "A record between the two was lost when the log was written out.";
const COPIED: &str = "Lines were lost when the file was copied, cut at a page, or joined with another.";

/// What the record speaks against, for each finding of a rule in an example's log.
fn spoken(rule: &str, log: &str) -> Vec<Vec<(String, String)>> {
    let text = prepare(log).text;
    let logs = syntax::read(Arc::new(Source::new("example.log", text.into_bytes())));
    let unit = UnitDescription::kestrane();
    let case = Case::default();
    let examination = examine(&logs[0], &case, &unit);
    examination
        .findings
        .iter()
        .filter(|finding| finding.rule == rule)
        .map(|finding| finding.against.iter().map(|a| (a.account.to_owned(), a.says.clone())).collect())
        .collect()
}

const TWO: &str = "1201 2031-05-10 07:00:05 enable\n\
                   1202 2031-05-10 07:00:31 vote\n\
                   1203 2031-05-10 07:00:50 enable\n\
                   1204 2031-05-10 07:01:40 enable\n\
                   1205 2031-05-10 07:02:02 vote\n";

#[test]
fn a_lost_record_would_have_left_its_number_out() {
    let [finding] = &spoken("two-enables", TWO)[..] else { panic!("one finding") };
    let [(account, says)] = &finding[..] else { panic!("one explanation: {finding:?}") };
    assert_eq!(account, LOST);
    assert!(says.starts_with("From record 1203 to record 1204 no number is left out."), "{says}");
    assert!(says.contains("If each record takes a number"), "the premise is said: {says}");
}

#[test]
fn without_numbers_nothing_speaks_against_it() {
    let bare: String = TWO.lines().map(|line| format!("- {}\n", line.split_once(' ').unwrap().1)).collect();
    assert_eq!(spoken("two-enables", &bare), [Vec::new()]);
    // One number missing on one of the two is enough to leave it open.
    let one = TWO.replace("1204 ", "- ");
    assert_eq!(spoken("two-enables", &one), [Vec::new()]);
}

#[test]
fn a_closing_line_that_agrees_speaks_against_loss_in_copying_and_one_that_does_not_leaves_it_open() {
    let hole = "1201 2031-05-10 07:00:05 enable\n\
                1202 2031-05-10 07:00:31 vote\n\
                1205 2031-05-10 07:02:02 enable\n\
                1206 2031-05-10 07:02:12 vote\n";
    assert_eq!(spoken("number-missing", hole), [Vec::new()], "no closing line");
    let closed = format!("{hole}$close\n");
    let [finding] = &spoken("number-missing", &closed)[..] else { panic!("one finding") };
    assert_eq!(finding[0].0, COPIED);
    assert!(finding[0].1.contains("excludes no more than accidents"), "its limit is said: {}", finding[0].1);
    // The line lost after the closing line was written: the closing line no longer agrees.
    let text = prepare(&format!("{TWO}$close\n")).text.replace("1204 2031-05-10 07:01:40 enable\n", "");
    assert_eq!(spoken("number-missing", &text), [Vec::new()]);
}

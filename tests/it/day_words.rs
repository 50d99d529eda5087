//! What the terminal says of a day and its pace: no hour less sure than it is, none seen whole that was seen in part, no interval
//! across a clear, and why a finding is not on the line.

use std::fs;

use crate::corpus::folder;
use crate::hours::told;

/// The terminal's report of a case of the corpus.
fn page(of: &str, name: &str, width: usize, with_case: bool) -> String {
    let read = |ending: &str| fs::read_to_string(folder(of).join(format!("{name}{ending}"))).unwrap();
    let papers = if with_case { read(".case.toml") } else { String::new() };
    told(&read(".log"), &papers, width).0
}

/// The numbers of a row of the picture of the day.
fn row(page: &str, label: &str) -> Option<Vec<usize>> {
    let numbers =
        |line: &str| line.strip_prefix(label)?.split_whitespace().map(|word| word.parse().ok()).collect();
    page.lines().find_map(numbers)
}

fn in_one_line(page: &str) -> String {
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A vote of the one half hour or the next surely lies in the hour that both make.
#[test]
fn a_vote_beside_a_half_hour_is_sure_of_its_hour() {
    let name = "vote-as-an-interruption-begins";
    let (narrow, wide) = (page("clean", name, 80, true), page("clean", name, 140, true));
    assert!(row(&wide, "unsure").is_some(), "{wide}");
    assert!(narrow.contains("Each column is an hour.") && row(&narrow, "unsure").is_none(), "{narrow}");
    let sum = |page: &str, label: &str| row(page, label).unwrap().iter().sum::<usize>();
    assert_eq!(sum(&narrow, "votes"), sum(&wide, "votes") + sum(&wide, "unsure"));
}

/// An hour of which the records speak in part is drawn so.
#[test]
fn an_hour_that_was_seen_in_part_is_drawn_so() {
    let page = page("clean", "slow-clock-at-opening", 80, true);
    let drawn = page.lines().find(|line| line.starts_with("log ") && line.contains("~~~~"));
    assert!(drawn.is_some_and(|line| !line.contains('-')), "{page}");
    assert!(page.contains("~ it speaks of a part"), "{page}");
}

/// Two votes between which the memory was cleared are of two polls: their interval is none.
#[test]
fn no_interval_lies_across_a_clear() {
    let page = in_one_line(&page("demonstration", "clean-life", 100, false));
    assert!(page.contains("votes of tests and mock polls may be among them"), "{page}");
    assert!(page.contains("greatest 1 h 48 min 44 s") && !page.contains("2 h 7 min 54 s"), "{page}");
}

/// A finding on a header has no record to place.
#[test]
fn a_finding_that_is_not_on_the_line_says_why() {
    let page = page("faulted", "identity-differs", 140, true);
    assert!(page.contains("about lines that are no records. Each is told under Findings."), "{page}");
    assert!(!page.contains("nothing places. Each"), "{page}");
}

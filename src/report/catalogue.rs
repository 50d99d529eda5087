//! The catalogue of rules: the list by family, and one rule's whole page.

use crate::finding::capital;
use crate::report::page::{Page, Tone};
use crate::report::terminal::{basis_words, family_title};
use crate::report::{Layout, TOOL, VERSION, count, provenance, rehearsed};
use crate::rules::{Family, Needs, RULES, Rule};

/// Lines of an example that are always printed whole.
const IN_FULL: usize = 40;

/// Lines at both ends of a longer example.
const HEAD: usize = 4;

/// The list of all rules, family by family.
#[must_use]
pub fn list(layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    page.head(&format!("The rules of {TOOL} {VERSION}"));
    page.text(
        0,
        Tone::Plain,
        &format!(
            "{}. Each is printed with what it asks of the record. 'rules ID' prints one whole, with its examples.",
            count(RULES.len(), "rule", "rules")
        ),
    );
    page.field(0, "rule book", &format!("SHA-256 {}", provenance::rule_book()));
    let mut family: Option<Family> = None;
    for rule in RULES {
        if family != Some(rule.family) {
            page.gap();
            page.text(0, Tone::Head, family_title(rule.family));
            family = Some(rule.family);
        }
        page.item(0, "-", rule.id);
        page.text(4, Tone::Plain, rule.asks);
    }
    page.finish()
}

/// One rule's page.
#[must_use]
pub fn page(rule: &Rule, layout: Layout) -> String {
    let mut page = Page::new(layout, None);
    page.head(rule.title);
    page.field(0, "rule", rule.id);
    page.field(0, "family", family_title(rule.family));
    page.field(0, "it asks", rule.asks);
    page.field(
        0,
        "how it follows",
        &format!("{} at the strongest: {}.", rule.kind.word(), rule.kind.meaning()),
    );
    page.field(0, "what sort", &format!("{}: {}.", rule.weight.word(), rule.weight.meaning()));
    page.field(0, "it speaks about", rule.occasions);
    for basis in rule.basis {
        let (label, text) = basis_words(*basis);
        page.field(0, "it rests on", &format!("{label}: {text}"));
    }
    page.field(0, "why", rule.why);
    page.field(0, "error rate", &format!("{}.", capital(rehearsed::in_short())));

    page.gap();
    page.text(0, Tone::Head, "Ordinary explanations of a finding");
    for ordinary in rule.ordinary {
        page.item(0, "-", ordinary.account);
        page.text(2, Tone::Quiet, &format!("What decides it: {}.", ordinary.decided_by));
    }
    page.item(0, "-", "Other explanations may exist.");

    page.gap();
    page.text(0, Tone::Head, "What to examine next");
    rule.look_next.iter().for_each(|next| page.item(0, "-", next));

    page.gap();
    page.text(0, Tone::Head, "What must be known before the rule answers");
    let needs: Vec<Needs> = rule.needs.iter().copied().filter(|need| *need != Needs::Records).collect();
    if needs.is_empty() {
        page.text(0, Tone::Plain, "Nothing besides the log.");
    }
    needs.iter().for_each(|need| page.item(0, "-", need_words(*need)));

    for (place, example) in rule.examples.iter().enumerate() {
        page.gap();
        page.text(0, Tone::Head, &format!("Example {}. {}", place + 1, example.title));
        let all = example.log.lines().count();
        for (place, line) in example.log.lines().enumerate() {
            // A log as long as a unit's ring is not read line by line.
            if all > IN_FULL && (HEAD..all - HEAD).contains(&place) {
                if place == HEAD {
                    page.text(
                        4,
                        Tone::Quiet,
                        &format!("({} of the same kind)", count(all - 2 * HEAD, "more line", "more lines")),
                    );
                }
                continue;
            }
            match line.strip_prefix('^') {
                Some(id) => {
                    page.text(4, Tone::Weighty, &format!("(a finding on the line above: {})", id.trim()))
                }
                None if line.trim() == "$close" => page.text(4, Tone::Plain, "(a closing line that agrees)"),
                None => page.text(4, Tone::Plain, line),
            }
        }
        if !example.case.is_empty() {
            page.text(2, Tone::Quiet, "with the case file:");
            example.case.lines().for_each(|line| page.text(4, Tone::Plain, line));
        }
    }
    page.finish()
}

/// A need in words.
fn need_words(need: Needs) -> &'static str {
    match need {
        Needs::Records => "at least one record",
        Needs::Numbers => "record numbers, and a unit description that says how they step",
        Needs::Times => "displayed times on at least two records",
        Needs::PollLabel => "which records were the poll (case file: [[phase]])",
        Needs::MockPollLabel => "which records were the mock poll (case file: [[phase]])",
        Needs::Candidates => "the number of candidates (case file: [[unit]])",
        Needs::MockVotesLeast => "how many votes a mock poll must have (case file: [[setting]])",
        Needs::ClosingLine => "a closing line",
        Needs::Count(what) => crate::counts::words_of(what),
        Needs::LeastTime => {
            "a documented least time of one vote (unit description, or case file: [[setting]])"
        }
        Needs::Identity => "serial, role or software of the unit (case file: [[unit]])",
        Needs::PollDay => "the day of the poll (case file: [[poll]])",
        Needs::OpeningHour => "day and opening hour of the poll (case file: [[poll]])",
        Needs::ClosingHour => "day and closing hour of the poll (case file: [[poll]])",
        Needs::Readings => "readings of the unit's clock (case file: [[reading]])",
        Needs::Interruptions => {
            "interruptions of the poll, or that there was none (case file: [[interruption]])"
        }
        Needs::Storage => "when the unit was stored, or that it was not (case file: [[storage]])",
        Needs::Number(_) => "a number that the local procedure sets (case file: [[setting]])",
    }
}

/// Ids near to a word that is no id, nearest first, three at most.
#[must_use]
pub fn near(word: &str) -> Vec<&'static str> {
    let mut near: Vec<(usize, &'static str)> = RULES
        .iter()
        .filter_map(|rule| {
            let distance = distance(word, rule.id);
            let shares = word.len() >= 3 && (rule.id.contains(word) || word.contains(rule.id));
            (shares || distance * 3 <= rule.id.len()).then_some((if shares { 0 } else { distance }, rule.id))
        })
        .collect();
    near.sort_unstable();
    near.into_iter().map(|(_, id)| id).take(3).collect()
}

/// Number of letters to insert, drop or exchange to turn one word into another (Levenshtein's distance; from memory).
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    // No id is as long; a longer word is near to none.
    for (line, a) in one.chars().take(80).enumerate() {
        let mut corner = line;
        let mut left = line + 1;
        for (cell, b) in row.iter_mut().skip(1).zip(&other) {
            let above = *cell;
            *cell = (corner + usize::from(a != *b)).min(above + 1).min(left + 1);
            (corner, left) = (above, *cell);
        }
        if let Some(first) = row.first_mut() {
            *first = line + 1;
        }
    }
    row.last().copied().unwrap_or(usize::MAX)
}

/// The near ids in a sentence, for an error's help line.
#[must_use]
pub fn near_words(word: &str) -> String {
    let near = near(word);
    if near.is_empty() {
        "the command 'rules' lists all ids".to_owned()
    } else {
        format!("near to it: {}. The command 'rules' lists all ids", near.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_counts_single_letters() {
        // Values worked out by hand; kitten/sitting is the usual example (from memory).
        assert_eq!(distance("kitten", "sitting"), 3);
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("abc", ""), 3);
        assert_eq!(distance("abc", "abc"), 0);
        assert_eq!(distance("vote", "votes"), 1);
    }

    #[test]
    fn a_slip_of_the_pen_finds_the_rule() {
        assert_eq!(near("two-enable").first(), Some(&"two-enables"));
        assert_eq!(near("tow-enables").first(), Some(&"two-enables"));
        assert!(near("zzzzzzzzzz").is_empty());
        assert!(near_words("zzzzzzzzzz").contains("lists all ids"));
    }
}

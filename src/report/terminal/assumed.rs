//! The least that must be assumed: how many changes, what all accounts share, and per conflict the alternatives.

use crate::examination::Examination;
use crate::replay::{Cluster, Edit};
use crate::report::least::{self, Conflict};
use crate::report::page::{Page, Tone};
use crate::report::{grouped, listed, ranges};

/// How many conflicts are printed in full; the rest is listed by line.
const IN_FULL: usize = 12;
/// How many changes of one account, or common to several, are printed.
const CHANGES: usize = 6;

/// Prints the section.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    page.head(least::TITLE);
    for said in least::opening(examination) {
        page.text(0, Tone::Plain, &said);
    }
    let Some(account) = &examination.replay.account else { return };
    let conflicts = least::conflicts(examination);
    if account.accounts.bits() > 1 {
        page.text(0, Tone::Plain, least::common_to_all(account));
        let common: Vec<Edit> = account.common().collect();
        changes(page, examination, 0, &common);
    }
    for conflict in conflicts.iter().take(IN_FULL) {
        print_conflict(page, examination, conflict);
    }
    let rest: Vec<String> = conflicts
        .iter()
        .skip(IN_FULL)
        .map(|conflict| format!("conflict {} ({})", conflict.number, conflict.place()))
        .collect();
    if !rest.is_empty() {
        page.gap();
        page.text(0, Tone::Plain, &format!("Further: {}. The JSON form holds them in full.", listed(&rest)));
    }
    let open = least::stays_open(examination);
    if !open.is_empty() {
        page.gap();
        page.text(0, Tone::Head, "What stays open because of it");
        open.iter().for_each(|said| page.text(0, Tone::Plain, said));
    }
    page.gap();
    page.text(0, Tone::Head, "What this is not");
    least::limits(examination).iter().for_each(|said| page.item(0, "-", said));
}

fn print_conflict(page: &mut Page, examination: &Examination<'_>, conflict: &Conflict<'_>) {
    page.gap();
    page.text(0, Tone::Weighty, &format!("Conflict {}, {}", conflict.number, conflict.place()));
    let findings = match conflict.findings.as_slice() {
        [] => String::new(),
        [one] => format!(" Finding {one} rests on it."),
        some => format!(" Findings {} rest on it; read them as one.", ranges(some)),
    };
    let ways = match least::amount(&conflict.accounts).as_str() {
        "1" => "one account does it".to_owned(),
        ways => format!("{ways} equally small accounts do it"),
    };
    page.text(2, Tone::Plain, &format!("Fewest changes: {}; {ways}.{findings}", grouped(conflict.cost)));
    for said in least::shown_around(examination, conflict) {
        page.text(2, Tone::Plain, &said);
    }
    let (settled, open): (Vec<&Cluster>, Vec<&Cluster>) =
        conflict.parts.iter().partition(|part| part.accounts.bits() == 1);
    let settled: Vec<Edit> = settled.iter().flat_map(|part| part.common.iter().copied()).collect();
    if !settled.is_empty() {
        page.text(2, Tone::Plain, "In every account of this size:");
        self::changes(page, examination, 2, &settled);
    }
    for part in open.iter().take(IN_FULL) {
        print_part(page, examination, part);
    }
    if open.len() > IN_FULL {
        page.text(2, Tone::Plain, "and further parts, which the JSON form holds.");
    }
}

/// A part with more than one account: its alternatives, at most six.
fn print_part(page: &mut Page, examination: &Examination<'_>, part: &Cluster) {
    let shown = part.alternatives.len();
    let all = num_bigint::BigUint::from(shown) == part.accounts;
    page.text(2, Tone::Plain, if all { "Either" } else { "For example" });
    for (at, alternative) in part.alternatives.iter().enumerate() {
        let mut said = least::edits(examination, alternative);
        let more = match said.len().saturating_sub(CHANGES) {
            0 => "",
            _ => "; and more changes, which the JSON form holds",
        };
        said.truncate(CHANGES);
        let end = if at + 1 == shown { "." } else { "; or" };
        page.item(4, "-", &format!("{}{more}{end}", said.join("; and ")));
    }
    if all {
        return;
    }
    page.text(
        2,
        Tone::Plain,
        &format!(
            "These are {shown} of {}, in a fixed order that says nothing about which is right. In one or more of \
             them:",
            least::amount(&part.accounts)
        ),
    );
    if part.possible.len() <= CHANGES {
        changes(page, examination, 2, &part.possible);
    } else {
        for said in least::kinds(examination, &part.possible) {
            page.item(2, "-", &format!("{said}."));
        }
    }
}

fn changes(page: &mut Page, examination: &Examination<'_>, indent: usize, edits: &[Edit]) {
    let said = least::edits(examination, edits);
    for said in said.iter().take(CHANGES) {
        page.item(indent, "-", &format!("{said}."));
    }
    if said.len() > CHANGES {
        page.item(indent, "-", "and more, which the JSON form holds.");
    }
}

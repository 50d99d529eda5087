//! Record numbers that stand on no record between two records.

use super::{EXPORT_AGAIN, MAKER, WAY_OF_THE_FILE, count, places};
use crate::finding::{Kind, Weight};
use crate::replay::{Step, order};
use crate::rules::{
    Against, Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want,
};
use crate::source::Shown;
use crate::syntax::LineKind;

pub(crate) static RULE: Rule = Rule {
    id: "number-missing",
    family: Family::Record,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "Record numbers are missing between two records.",
    asks: "From one record number to the next, no number is left out.",
    basis: &[Basis::Unit("how record numbers step, and after how many digits they start again")],
    why: "A unit that numbers its records in steps leaves no number out. A missing number means that a record is \
          not in this file, or that the numbering is not as described. A ring that overwrites its oldest records \
          loses them at the front, never in the middle.",
    ordinary: &[
        Ordinary::new(
            "The export was made for some kinds of event only and leaves the others out.",
            "the exporter's settings, and whether all missing numbers would be of the same kinds",
        ),
        Ordinary::new(
            "Lines were lost when the file was copied, cut at a page, or joined with another.",
            "a second export of the unit, and the closing line's count and digest",
        )
        .against(Against::ClosingAgrees),
        Ordinary::new(
            "The counter of records started again from its beginning; then nothing is missing there.",
            "the displayed times in the order of the file, and the maker's description of when the counter \
                         starts again",
        ),
        Ordinary::new(
            "This model uses up a number for an event that it does not keep.",
            "the maker's description of the numbering",
        ),
    ],
    look_next: &[
        EXPORT_AGAIN,
        WAY_OF_THE_FILE,
        "The maker's description of how the unit numbers its records.",
    ],
    needs: &[Needs::Numbers],
    scope: Scope::Text,
    occasions: "steps from one record number to the next",
    examples: &[
        Example {
            title: "Two numbers are missing.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1205 2031-05-10 07:01:40 enable\n\
                  ^ number-missing\n\
                  1206 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "One unread line stands where three numbers are missing.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote1203 2031-05-10 07:00:40 total1204 2031-05-10 07:01:02 enable\n\
                  ^ unreadable-line\n\
                  1205 2031-05-10 07:01:40 vote\n\
                  ^ number-missing\n",
            case: "",
        },
        Example {
            title: "Near miss: a record without a number fills the place.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  - 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: one unread line stands where one number is missing.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:61 vote\n\
                  ^ unreadable-line\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let mut last: Option<(u64, usize)> = None;
        for step in 0..known.replay.steps.len() {
            let Some(next) = known.record(step).and_then(|record| record.number) else {
                continue;
            };
            if let Some(last) = last {
                pair(known, walk, last, (next, step));
            }
            last = Some((next, step));
        }
    },
};

/// Judges the way from one numbered record to the next.
fn pair(known: &Known<'_>, walk: &mut Walk<'_>, last: (u64, usize), next: (u64, usize)) {
    let at = known.place(next.1);
    let Some(missing) = order::missing_between(known.unit, last.0, next.0) else {
        if next.0 > last.0 {
            walk.open(
                at,
                Want::Other(
                    "record numbers lie apart by less or more than whole steps of the unit description"
                        .to_owned(),
                    MAKER,
                    "how this model numbers its records".to_owned(),
                ),
            );
        }
        // Numbers that go back or repeat have rules of their own.
        return;
    };
    let between = known.replay.steps.get(last.1 + 1..next.1).unwrap_or_default();
    let unnumbered = between.iter().filter(|step| matches!(step, Step::Record(_))).count() as u64;
    let unread = unread_between(known, last.1, next.1);
    let Some(missing) = missing.checked_sub(unnumbered) else {
        walk.open(
            at,
            Want::Other(
                "more records without a number stand between two numbers than the numbering leaves room for"
                    .to_owned(),
                MAKER,
                "which events of this model take no record number".to_owned(),
            ),
        );
        return;
    };
    if missing <= unread.len() as u64 {
        walk.in_order(at);
        return;
    }
    walk.contrary(at, contrary(known, last.1, next.1, missing, &unread));
}

fn contrary(known: &Known<'_>, last: usize, next: usize, missing: u64, unread: &[usize]) -> Contrary {
    let mut evidence = vec![known.place(last)];
    evidence.extend(places(unread));
    let mut shows = format!(
        "Between {} and {}, {} on no record that could be read.",
        known.name(last),
        known.name(next),
        count(missing, "number stands", "numbers stand")
    );
    if !unread.is_empty() {
        shows.push_str(&format!(
            " {} between them, and may hold some of the records or none.",
            count(unread.len() as u64, "unread line stands", "unread lines stand")
        ));
    }
    let time = |step: usize| known.record(step).and_then(|record| record.time);
    if time(next) < time(last) && time(next).is_some() {
        shows.push_str(
            " The displayed time goes back between the two: if the counter started again, they do not follow each other, \
             and nothing need be missing between them.",
        );
    }
    Contrary {
        others: evidence,
        expected: "Each record has the number that follows the number of the record before it.".to_owned(),
        shows,
        measured: Some(count(missing, "missing number", "missing numbers")),
        assumptions: vec![format!(
            "every record takes a number, and numbers step by {}, as the unit description '{}' says",
            known.unit.number_step.unwrap_or(1),
            Shown::inert(&known.unit.name)
        )],
    }
}

/// The unread lines between two steps, in the order of replay.
fn unread_between(known: &Known<'_>, last: usize, next: usize) -> Vec<usize> {
    let mut unread = Vec::new();
    for gap in known.replay.steps.get(last + 1..next).unwrap_or_default() {
        let Step::Gap(gap) = gap else { continue };
        let Some(first) = gap.line else { continue };
        // A gap stands for a run of unread lines, with blank lines and comments between them.
        let lines = known.log.lines().get(first..).unwrap_or_default();
        let run = lines.iter().enumerate().take_while(|(_, line)| !matches!(line.kind, LineKind::Record(_)));
        unread.extend(run.filter(|(_, line)| line.kind == LineKind::Unread).map(|(place, _)| first + place));
    }
    unread
}

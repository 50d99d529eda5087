//! The first lines of a report: how many rules have which answer, and how much that means.

use crate::examination::Examination;
use crate::finding::{Answer, Kind, Verdict, Weight};
use crate::report::{count, grouped, least};

/// The answers and findings in a few sentences.
pub(super) fn in_short(examination: &Examination<'_>) -> String {
    let of = |verdict: Verdict| examination.answers.iter().filter(|answer| answer.verdict == verdict).count();
    let findings = examination.findings.len();
    let mut text = format!(
        "Of {}, {} not kept, {} kept, {} cannot be told, and {} not apply. ",
        count(examination.answers.len(), "rule", "rules"),
        are(of(Verdict::NotKept)),
        are(of(Verdict::Kept)),
        of(Verdict::CannotBeTold),
        match of(Verdict::DoesNotApply) {
            1 => "1 does".to_owned(),
            number => format!("{number} do"),
        }
    );
    let follows = examination.answers.iter().filter_map(|answer| strongest(examination, answer));
    let only_if = follows.filter(|(kind, _)| *kind == Kind::Conditional).count();
    if only_if > 0 {
        text.push_str(&format!(
            "Of those that are not kept, {} so only if named assumptions hold. ",
            are(only_if)
        ));
    }
    text.push_str(&match findings {
        0 => "There is no finding, which does not mean that the log is in order.".to_owned(),
        _ => format!(
            "There {} {}.",
            if findings == 1 { "is" } else { "are" },
            count(findings, "finding", "findings")
        ),
    });
    let of_version = examination
        .findings
        .iter()
        .filter(|finding| {
            examination
                .answers
                .iter()
                .any(|answer| answer.rule == finding.rule && answer.verdict == Verdict::CannotBeTold)
        })
        .count();
    if of_version > 0 {
        text.push_str(&format!(
            " {} only under one version of contested facts; {} among those that cannot be told.",
            match (of_version, findings) {
                (1, 1) => "It follows".to_owned(),
                (1, _) => "One of them follows".to_owned(),
                _ => format!("{of_version} of them follow"),
            },
            if of_version == 1 { "its rule counts" } else { "their rules count" },
        ));
    }
    let conflicts = least::conflicts(examination).len();
    if conflicts > 0 && findings > 1 {
        let resting = examination.findings.iter().filter(|finding| finding.group.is_some()).count();
        text.push_str(&format!(
            " {} of them {} on {} among the records; findings of one conflict are to be read as one.",
            grouped(resting as u64),
            if resting == 1 { "rests" } else { "rest" },
            count(conflicts, "conflict", "conflicts"),
        ));
    }
    text.push_str(
        " An answer says what this record shows under the unit description named below. It is not a judgment on \
         the poll or on any person. Local law and the court's directions come first. The log shows what was recorded, \
         not what was done; how records came to be, only a qualified examiner of the physical unit can say.",
    );
    text
}

/// For a rule that is not kept: the strongest way in which that follows, and whether it may be lawful.
pub(super) fn standing(examination: &Examination<'_>, answer: &Answer) -> Option<String> {
    let (kind, weight) = strongest(examination, answer)?;
    let but = match weight {
        Weight::Departure | Weight::Discrepancy => "",
        Weight::Unusual => ", may be lawful",
        Weight::Remark => ", a remark",
    };
    Some(format!("{}{but}", kind.word()))
}

/// How a rule that is not kept follows at its strongest, and the weightiest of its findings.
fn strongest(examination: &Examination<'_>, answer: &Answer) -> Option<(Kind, Weight)> {
    let of_rule = || examination.findings_of(answer.rule).filter(|_| answer.verdict == Verdict::NotKept);
    Some((of_rule().map(|finding| finding.kind).min()?, of_rule().map(|finding| finding.weight).min()?))
}

fn are(number: usize) -> String {
    format!("{number} {}", if number == 1 { "is" } else { "are" })
}

//! The report as tables for a spreadsheet (RFC 4180): findings, answers, and the log line by line. No cell is a formula.

use crate::examination::Examination;
use crate::exchange::push_row;
use crate::report::json::{Examined, LineOf};
use crate::report::walk;
use crate::report::{Frame, NO_EVIDENCE, json};

/// A table in the making: every row has as many cells as the first, and says in its first two cells of which log it
/// speaks.
struct Table {
    out: String,
    columns: usize,
}

impl Table {
    fn new(frame: &Frame, columns: &[&str]) -> Table {
        let names = ["source", "log"].iter().chain(columns);
        let mut table = Table { out: String::new(), columns: columns.len() + 2 };
        table.push(names.map(|name| (*name).to_owned()).collect());
        if frame.demonstration {
            table.push(vec![NO_EVIDENCE.to_owned()]);
        }
        table
    }

    fn push(&mut self, mut cells: Vec<String>) {
        cells.resize(self.columns, String::new());
        push_row(&mut self.out, &cells);
    }

    fn row(&mut self, source: &str, log: usize, cells: impl IntoIterator<Item = String>) {
        let head = [source.to_owned(), (log + 1).to_string()];
        self.push(head.into_iter().chain(cells).collect());
    }
}

/// Every finding, one row each.
#[must_use]
pub fn findings(examinations: &[Examination<'_>], frame: &Frame) -> String {
    let mut table = Table::new(
        frame,
        &[
            "finding",
            "rule",
            "title",
            "how it follows",
            "weight",
            "expected",
            "record shows",
            "measured",
            "assumptions",
            "line",
            "record",
            "time",
            "text",
            "other lines",
            "group",
            "basis",
            "ordinary explanations",
            "examine next",
        ],
    );
    for (log, Examined { source, findings, .. }) in
        json::value(examinations, frame).examinations.into_iter().enumerate()
    {
        for finding in findings {
            let main = finding.lines.iter().find(|line| line.role == "main");
            let of = |read: fn(&LineOf) -> Option<String>| main.and_then(read).unwrap_or_default();
            let others = finding.lines.iter().filter(|line| line.role != "main");
            let ordinary = finding.ordinary.iter();
            table.row(
                &source.name,
                log,
                [
                    finding.number.to_string(),
                    finding.rule.clone(),
                    finding.title.clone(),
                    finding.kind.clone(),
                    finding.weight.clone(),
                    finding.expected.clone(),
                    finding.shows.clone(),
                    finding.measured.clone().unwrap_or_default(),
                    finding.assumptions.join("; "),
                    of(|line| Some(line.line.to_string())),
                    of(|line| line.record.clone()),
                    of(|line| line.time.clone()),
                    of(|line| Some(line.text.clone())),
                    joined(others.map(|line| line.line.to_string()), " "),
                    finding.group.map(|group| group.to_string()).unwrap_or_default(),
                    joined(
                        finding.basis.iter().map(|basis| format!("{}: {}", basis.about, basis.text)),
                        "; ",
                    ),
                    joined(
                        ordinary.map(|one| match &one.against {
                            None => format!("{} Decided by: {}.", one.account, one.decided_by),
                            Some(against) => format!("{} Against it: {against}", one.account),
                        }),
                        " ",
                    ),
                    finding.look_next.join(" "),
                ],
            );
        }
    }
    table.out
}

/// Every rule's answer, one row each: what no finding says must not be taken for an answer.
#[must_use]
pub fn answers(examinations: &[Examination<'_>], frame: &Frame) -> String {
    let columns = [
        "rule",
        "family",
        "asks",
        "answer",
        "in order",
        "contrary",
        "open",
        "extent",
        "why",
        "open at lines",
    ];
    let mut table = Table::new(frame, &columns);
    for (log, Examined { source, answers, .. }) in
        json::value(examinations, frame).examinations.into_iter().enumerate()
    {
        for answer in answers {
            let open_at = joined(answer.open_at.iter().map(usize::to_string), " ");
            let why = answer.why.join("; ");
            table.row(
                &source.name,
                log,
                [
                    answer.rule,
                    answer.family,
                    answer.asks,
                    answer.answer,
                    answer.in_order.to_string(),
                    answer.contrary.to_string(),
                    answer.open.to_string(),
                    answer.extent,
                    why,
                    open_at,
                ],
            );
        }
    }
    table.out
}

/// The log line by line, with what the rules saw at each line.
#[must_use]
pub fn timeline(examinations: &[Examination<'_>], frame: &Frame) -> String {
    let columns = [
        "line",
        "kind",
        "record",
        "time",
        "event",
        "not before",
        "not before by",
        "not after",
        "not after by",
        "text",
        "missing before",
        "in a contradiction",
        "unit after",
        "findings",
        "open rules",
        "faults",
    ];
    let mut table = Table::new(frame, &columns);
    for (log, examination) in examinations.iter().enumerate() {
        let source = examination.log.source().name();
        for row in walk::rows(examination) {
            let findings = row.findings.iter().map(|(number, rule)| format!("{number} ({rule})"));
            let [(from, from_by), (to, to_by)] = [row.not_before, row.not_after]
                .map(|end| end.map_or_else(Default::default, |end| (end.at, end.by)));
            table.row(
                source.as_str(),
                log,
                [
                    row.line.to_string(),
                    row.kind.clone(),
                    row.record.clone().unwrap_or_default(),
                    row.time.clone().unwrap_or_default(),
                    row.event.clone().unwrap_or_default(),
                    from,
                    from_by,
                    to,
                    to_by,
                    row.text.clone(),
                    row.missing_before.to_string(),
                    if row.in_conflict { "yes" } else { "no" }.to_owned(),
                    row.after.iter().flatten().cloned().collect::<Vec<_>>().join(" "),
                    joined(findings, " "),
                    row.open.join(" "),
                    row.faults.join(" "),
                ],
            );
        }
    }
    table.out
}

fn joined(parts: impl Iterator<Item = String>, between: &str) -> String {
    parts.collect::<Vec<_>>().join(between)
}

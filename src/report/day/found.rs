//! The findings of a day on a line: where their records may lie, and which findings are not on it.

use std::collections::BTreeMap;

use super::{CELL_MS, Cell};
use crate::examination::Examination;
use crate::finding::Place;
use crate::report::conflict;

/// The findings of an examination beside the line of a day, each by its number from 1.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(in crate::report) struct Found {
    /// Those whose record may lie on the line, by the first moment at which it may lie.
    pub(in crate::report) on_line: Vec<FindingOf>,
    /// Those whose record lies before or behind the line.
    pub(in crate::report) elsewhere: Vec<usize>,
    /// Those whose record lies in a conflict, between records that nothing places.
    pub(in crate::report) in_conflict: Vec<usize>,
    /// Others whose record nothing bounds from below.
    pub(in crate::report) unplaced: Vec<usize>,
    /// Those about a line that is no record.
    pub(in crate::report) no_record: Vec<usize>,
    /// Those about the log as a whole.
    pub(in crate::report) of_log: Vec<usize>,
}

/// A finding about a record of the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::report) struct FindingOf {
    /// Its number, from 1.
    pub(in crate::report) number: usize,
    /// From when its record may have been made, in milliseconds of the civil calendar.
    pub(in crate::report) from: i64,
    /// Till when; none where nothing bounds it.
    pub(in crate::report) to: Option<i64>,
    /// Whether its record itself is placed; else those before and behind it are.
    pub(in crate::report) is_own: bool,
}

impl Found {
    /// Marks every half hour in which the record of a finding may lie.
    pub(super) fn of(
        examination: &Examination<'_>,
        spans: &[Option<(i64, i64)>],
        cells: &mut [Cell],
        begins: i64,
    ) -> Found {
        // One walk over the records, not one for each finding: a log may give as many of the ones as of the others.
        let mut steps: BTreeMap<usize, usize> = BTreeMap::new();
        for step in 0..examination.replay.steps.len() {
            let record =
                examination.replay.record(step).and_then(|place| examination.log.records().get(place));
            if let Some(record) = record {
                steps.entry(record.line).or_insert(step);
            }
        }
        let cell = |at: i64| (at - begins).div_euclid(CELL_MS);
        let mut found = Found::default();
        for (number, finding) in (1..).zip(&examination.findings) {
            let Place::Line(line) = finding.main else {
                found.of_log.push(number);
                continue;
            };
            let own = steps.get(&line).and_then(|step| Some((*step, spans.get(*step).copied()?)));
            // A record that nothing places lies between its neighbours that something places.
            let before = |step: usize| spans.get(..step)?.iter().rev().flatten().next().copied();
            let behind = |step: usize| spans.get(step..)?.iter().flatten().next().copied();
            let ends = own.and_then(|(step, own)| {
                let (from, _) = own.or_else(|| before(step))?;
                let to = own.or_else(|| behind(step)).map(|(_, to)| to);
                // Where the display went back, the later neighbour displays the earlier time.
                Some((to.map_or(from, |to| to.min(from)), to.map(|to| to.max(from)), own.is_some()))
            });
            let Some((from, to, is_own)) = ends else {
                match steps.get(&line) {
                    None => found.no_record.push(number),
                    Some(step) if conflict::holds(examination, *step) => found.in_conflict.push(number),
                    Some(_) => found.unplaced.push(number),
                }
                continue;
            };
            let last = to.map_or(i64::MAX, cell);
            let may_lie = (0..).zip(cells.iter_mut()).filter(|(at, _)| (cell(from)..=last).contains(at));
            let mut is_on_line = false;
            for (_, cell) in may_lie {
                cell.findings.push(number);
                is_on_line = true;
            }
            if is_on_line {
                found.on_line.push(FindingOf { number, from, to, is_own });
            } else {
                found.elsewhere.push(number);
            }
        }
        found.on_line.sort_by_key(|finding| finding.from);
        found
    }

    /// Numbers of all that are not on the line, ascending.
    pub(in crate::report) fn not_on_line(&self) -> Vec<usize> {
        let mut all =
            [self.elsewhere.as_slice(), &self.in_conflict, &self.unplaced, &self.no_record, &self.of_log]
                .concat();
        all.sort_unstable();
        all
    }
}

//! The day of a poll on a line, as data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::examination::Examination;
use crate::report::day;

/// The day of a poll on a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DayOf {
    /// The day, `YYYY-MM-DD`.
    pub date: String,
    /// `true time` by the readings of the unit's clock, or `as displayed` where nothing ties it to true time, or where no zone
    /// is known for the hours of the poll.
    pub scale: String,
    /// The hours stated: opening and closing, each a civil time or `null`.
    pub hours: Vec<FromTo>,
    /// The interruptions stated.
    pub interruptions: Vec<FromTo>,
    /// The first and last record on the line, each with its bounds.
    pub ends: Vec<EndOf>,
    /// The half hours of the line.
    pub half_hours: Vec<HalfHour>,
    /// Votes that may lie in one of several half hours.
    pub votes_between: usize,
    /// Votes that nothing places.
    pub votes_unplaced: usize,
    /// Numbers of the findings that are not on the line: their records lie before or behind it, nothing places them, or they
    /// are about the log as a whole.
    pub findings_not_on_line: Vec<usize>,
}

/// From when to when, in civil time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FromTo {
    /// From when; `null` where it is not stated.
    pub from: Option<String>,
    /// Till when; `null` where it is not stated.
    pub to: Option<String>,
}

/// A record at an end of the line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EndOf {
    /// Its line in the file, from 1.
    pub line: usize,
    /// Not before this.
    pub earliest: String,
    /// Not after this.
    pub latest: String,
}

/// A half hour of the line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct HalfHour {
    /// When it begins.
    pub begins: String,
    /// Whether some of it lies within the stated hours.
    pub in_hours: bool,
    /// `spoken`, `in part` (what was recorded in the rest is not known), `closed` (nothing was recorded) or `open` (not known).
    pub log: String,
    /// Whether records may be missing or unread in it.
    pub records_missing: bool,
    /// Votes that surely lie in it.
    pub votes: usize,
    /// Votes that lie in it or in a later one.
    pub votes_between: usize,
    /// Whether an interruption is stated for some of it.
    pub interrupted: bool,
    /// Numbers of the findings whose record may lie in it.
    pub findings: Vec<usize>,
}

/// The days of an examination.
pub(super) fn days(examination: &Examination<'_>) -> Vec<DayOf> {
    day::lines(examination).iter().map(day_of).collect()
}

fn day_of(line: &day::Line) -> DayOf {
    let period = |(from, to): &(Option<i64>, Option<i64>)| FromTo {
        from: from.map(day::civil),
        to: to.map(day::civil),
    };
    DayOf {
        date: line.date.to_string(),
        scale: if line.is_true_time { "true time" } else { "as displayed" }.to_owned(),
        hours: line.hours.iter().map(period).collect(),
        interruptions: line.interruptions.iter().map(period).collect(),
        ends: line
            .ends
            .iter()
            .map(|end| EndOf {
                line: end.line,
                earliest: day::civil(end.from),
                latest: day::civil_after(end.to),
            })
            .collect(),
        half_hours: line.cells.iter().map(half_hour).collect(),
        votes_between: line.votes_between,
        votes_unplaced: line.votes_unplaced,
        findings_not_on_line: line.findings.not_on_line(),
    }
}

fn half_hour(cell: &day::Cell) -> HalfHour {
    let log = match cell.covered {
        day::Covered::Spoken => "spoken",
        day::Covered::Part => "in part",
        day::Covered::Closed => "closed",
        day::Covered::Open => "open",
    };
    HalfHour {
        begins: day::civil(cell.begins),
        in_hours: cell.in_hours,
        log: log.to_owned(),
        records_missing: cell.has_gap,
        votes: cell.votes,
        votes_between: cell.votes_between,
        interrupted: cell.interrupted,
        findings: cell.findings.clone(),
    }
}

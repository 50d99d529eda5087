//! The day of a poll on a line: hours, what the log covers, votes by half hours, interruptions and the places of findings.

mod found;

use crate::case::{Case, Phase};
use crate::clock::hours::{Day, Hour, days, lapses, zone};
use crate::event::Event;
use crate::examination::Examination;
use crate::replay::Cause;
use crate::report::conflict;
use crate::source::Shown;
use crate::syntax::Stamp;
pub(super) use found::{FindingOf, Found};

/// A cell of the line.
pub(super) const CELL_MS: i64 = 1_800_000;

/// How far the line reaches beyond the hours on either side.
const BEYOND_MS: i64 = 2 * 3_600_000;

/// Most cells of a line: a day and what lies beyond it.
const MOST_CELLS: i64 = 60;

/// The day of a poll.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    /// The day, and who states its hours.
    pub(super) date: Shown,
    /// Whether times are true times by the readings; else they are as the unit displayed them.
    pub(super) is_true_time: bool,
    /// Whether the readings give true times and only the zone of the poll, in which its hours are stated, is not known.
    pub(super) lacks_zone: bool,
    /// Opening and closing hours as stated, in milliseconds of the civil calendar.
    pub(super) hours: Vec<(Option<i64>, Option<i64>)>,
    /// Its half hours, in their order.
    pub(super) cells: Vec<Cell>,
    /// The first and last record of the day: number and time in words, its bounds.
    pub(super) ends: Vec<End>,
    /// Records next to the first and to the last record of the line, outwards, that nothing but the order of the log places.
    pub(super) beyond: [Beyond; 2],
    /// Where records are missing or could not be read.
    pub(super) gaps: Vec<GapOf>,
    /// The findings of the line, each with where its record may lie; and those that are not on it.
    pub(super) findings: Found,
    /// Interruptions as stated.
    pub(super) interruptions: Vec<(Option<i64>, Option<i64>)>,
    /// Votes of this day that may lie in one of two half hours or more, in all.
    pub(super) votes_between: usize,
    /// Votes that may be of the poll and that nothing places on this line.
    pub(super) votes_unplaced: usize,
    /// How many of these lie in a conflict.
    pub(super) votes_in_conflict: usize,
    /// Votes that may be of the poll and whose times lie, or may lie, before or behind this line.
    pub(super) votes_elsewhere: usize,
}

/// A half hour.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Cell {
    /// Its first instant, in milliseconds of the civil calendar of the place or of the display.
    pub(super) begins: i64,
    /// How much of it lies within the hours.
    pub(super) in_hours: bool,
    /// Whether the log speaks of it.
    pub(super) covered: Covered,
    /// Whether records may be missing or unread in it.
    pub(super) has_gap: bool,
    /// Votes that surely lie in it.
    pub(super) votes: usize,
    /// Votes that lie in it or in a later one.
    pub(super) votes_between: usize,
    /// How many of these surely lie in it or in the next one.
    pub(super) votes_next: usize,
    /// Whether an interruption is stated for some of it.
    pub(super) interrupted: bool,
    /// Numbers of the findings whose main record may lie in it, from 1.
    pub(super) findings: Vec<usize>,
}

/// Whether the log speaks of a half hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Covered {
    /// It lies between the first and the last record, or what of it does not is closed.
    Spoken,
    /// A part of it does, and what was recorded in the rest is not known.
    Part,
    /// It lies beyond an end of the log, and nothing was recorded there.
    Closed,
    /// It lies beyond an end of the log, and what was recorded there is not known.
    #[default]
    Open,
}

/// Records that are missing or could not be read, between two records of the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct GapOf {
    /// How many at least and at most; none where there is no bound.
    pub(super) number: (u64, Option<u64>),
    /// Lines of the file before and behind it, from 1.
    pub(super) lines: (usize, usize),
}

/// Records beyond an end of the line that nothing but the order of the log places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Beyond {
    /// How many there are.
    pub(super) records: usize,
    /// How many of them lie in a conflict.
    pub(super) in_conflict: usize,
    /// The line of the record that something places, behind them or before them; none at an end of the log.
    pub(super) next: Option<usize>,
}

/// The first or last record of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct End {
    /// Line of the log's file, from 1.
    pub(super) line: usize,
    /// From when it may have been made, in milliseconds of the civil calendar.
    pub(super) from: i64,
    /// Till when.
    pub(super) to: i64,
}

/// The lines of the days that the case file states, under the first version of contested facts.
pub(super) fn lines(examination: &Examination<'_>) -> Vec<Line> {
    let version = examination.case.versions().versions.into_iter().next();
    let case = version.as_ref().map_or(examination.case, |version| &version.case);
    days(case).iter().map(|day| line(examination, case, day)).collect()
}

/// When the record of a step was, in milliseconds of the civil calendar: from and to. In true time by the clock, or as
/// displayed. Both may be; no end is cut inwards.
fn span(examination: &Examination<'_>, day: &Day, is_true_time: bool, step: usize) -> Option<(i64, i64)> {
    let clock = &examination.clock;
    if !is_true_time {
        let record = examination.log.records().get(examination.replay.record(step)?)?;
        return record.time.map(|time| (time.ms(), time.ms() + time.step_ms().max(clock.grain()) - 1));
    }
    let when = clock.bounds(step);
    let civil = |ns: i128| {
        let ms = i64::try_from(ns.div_euclid(1_000_000)).unwrap_or(0);
        ms.saturating_add(i64::from(day.offset_minutes) * 60_000)
    };
    // Outwards: a later end within a millisecond is told by the next one.
    Some((civil(when.earliest?.at.ns()), civil(when.latest?.at.ns() + 999_999)))
}

fn line(examination: &Examination<'_>, case: &Case, day: &Day) -> Line {
    let replay = &examination.replay;
    let civil = |hour: Option<Hour>| hour.map(|hour| hour.civil);
    let hours: Vec<_> = day.parts.iter().map(|part| (civil(part.opens), civil(part.closes))).collect();
    let opens = hours.iter().filter_map(|(opens, _)| *opens).min().unwrap_or(day.civil);
    let closes = hours.iter().filter_map(|(_, closes)| *closes).max().unwrap_or(day.civil + 86_400_000);
    let begins = (opens - BEYOND_MS).div_euclid(CELL_MS) * CELL_MS;
    let number = ((closes + BEYOND_MS - begins + CELL_MS - 1) / CELL_MS).clamp(1, MOST_CELLS);
    // Without a zone of the place its civil time is not known, however well the readings bind true time.
    let has_zone = zone(case, &day.date, None).is_some();
    let is_true_time = examination.clock.is_bound() && has_zone;
    let spans: Vec<Option<(i64, i64)>> =
        (0..replay.steps.len()).map(|step| span(examination, day, is_true_time, step)).collect();
    // Where the display went back, the first record is not the earliest.
    let speaks = Speaks {
        first: spans.iter().flatten().map(|(from, _)| *from).min(),
        last: spans.iter().flatten().map(|(_, to)| *to).max(),
        // An end whose record nothing places may lie anywhere.
        is_closed_before: replay.front.is_closed() && spans.first().is_some_and(Option::is_some),
        is_closed_after: replay.back.is_closed() && spans.last().is_some_and(Option::is_some),
    };
    let interruptions: Vec<_> =
        lapses(case, &case.interruptions).iter().map(|lapse| (civil(lapse.from), civil(lapse.to))).collect();
    let mut cells: Vec<Cell> = (0..number)
        .map(|place| {
            let from = begins + place * CELL_MS;
            let to = from + CELL_MS;
            let meets = |(begin, end): &(Option<i64>, Option<i64>)| {
                begin.is_some_and(|begin| begin < to) && end.is_some_and(|end| end > from)
            };
            Cell {
                begins: from,
                in_hours: hours.iter().any(meets),
                covered: covered(speaks, from, to),
                interrupted: interruptions.iter().any(meets),
                ..Cell::default()
            }
        })
        .collect();
    let cell = |at: i64| usize::try_from((at - begins).div_euclid(CELL_MS)).ok();
    let (mut between, mut unplaced, mut in_conflict, mut elsewhere) = (0, 0, 0, 0);
    for step in votes(examination) {
        let Some((from, to)) = spans.get(step).copied().flatten() else {
            unplaced += 1;
            in_conflict += usize::from(conflict::holds(examination, step));
            continue;
        };
        let (first, last) = (cell(from), cell(to));
        let Some(slot) = first.and_then(|first| cells.get_mut(first)) else {
            elsewhere += 1;
            continue;
        };
        if first == last {
            slot.votes += 1;
        } else {
            slot.votes_between += 1;
            slot.votes_next += usize::from(first.map(|first| first + 1) == last);
            between += 1;
        }
    }
    let findings = Found::of(examination, &spans, &mut cells, begins);
    let gaps = place_gaps(examination, &spans, &mut cells);
    let of_day = |(_, span): &(usize, &Option<(i64, i64)>)| {
        span.is_some_and(|(from, to)| from >= begins && to < begins + number * CELL_MS)
    };
    let mut on_line = spans.iter().enumerate().filter(of_day);
    let first = on_line.next();
    let last = on_line.next_back();
    let is_placed = |step: &usize| spans.get(*step).is_some_and(Option::is_some);
    let beyond = [
        Beyond::of(examination, (0..first.map_or(0, |(step, _)| step)).rev(), is_placed),
        Beyond::of(
            examination,
            last.or(first).map_or(spans.len(), |(step, _)| step + 1)..spans.len(),
            is_placed,
        ),
    ];
    let ends =
        first.into_iter().chain(last).filter_map(|(step, span)| end(examination, step, (*span)?)).collect();
    Line {
        date: Shown::inert(&day.date),
        is_true_time,
        lacks_zone: examination.clock.is_bound() && !has_zone,
        hours,
        cells,
        ends,
        beyond,
        gaps,
        findings,
        interruptions,
        votes_between: between,
        votes_unplaced: unplaced,
        votes_in_conflict: in_conflict,
        votes_elsewhere: elsewhere,
    }
}

impl Beyond {
    /// Looks outwards over some steps as far as the next record that something places.
    fn of(
        examination: &Examination<'_>,
        steps: impl Iterator<Item = usize>,
        is_placed: impl Fn(&usize) -> bool,
    ) -> Beyond {
        let mut beyond = Beyond { records: 0, in_conflict: 0, next: None };
        for step in steps {
            let Some(line) = line_of(examination, step) else { continue };
            if is_placed(&step) {
                beyond.next = Some(line);
                break;
            }
            beyond.records += 1;
            beyond.in_conflict += usize::from(conflict::holds(examination, step));
        }
        beyond
    }
}

/// The number of the line of a step's record.
fn line_of(examination: &Examination<'_>, step: usize) -> Option<usize> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    Some(examination.log.line_number(record.line))
}

/// Steps of the votes that may be of the poll: all but those that the case file says were of something else.
fn votes<'e>(examination: &'e Examination<'_>) -> impl Iterator<Item = usize> + 'e {
    let replay = &examination.replay;
    (0..replay.steps.len()).filter(move |step| {
        let Some(place) = replay.record(*step) else { return false };
        let is_vote = examination.log.records().get(place).is_some_and(|record| record.event == Event::Vote);
        let label = replay.labels.get(place).copied().unwrap_or_default();
        is_vote && (label.is_empty() || label.may_be(Phase::Poll))
    })
}

/// From when to when the records lie that something places, and whether nothing was recorded before and after.
#[derive(Clone, Copy)]
struct Speaks {
    first: Option<i64>,
    last: Option<i64>,
    is_closed_before: bool,
    is_closed_after: bool,
}

fn covered(speaks: Speaks, from: i64, to: i64) -> Covered {
    let beyond = |is_closed: bool| if is_closed { Covered::Closed } else { Covered::Open };
    match (speaks.first, speaks.last) {
        (Some(begin), _) if to <= begin => beyond(speaks.is_closed_before),
        (_, Some(end)) if from > end => beyond(speaks.is_closed_after),
        (Some(begin), Some(end)) => {
            let is_open =
                (begin > from && !speaks.is_closed_before) || (end + 1 < to && !speaks.is_closed_after);
            if is_open { Covered::Part } else { Covered::Spoken }
        }
        _ => Covered::Open,
    }
}

/// Marks every half hour in which records may be missing or unread, and lists the gaps that lie on the line.
fn place_gaps(examination: &Examination<'_>, spans: &[Option<(i64, i64)>], cells: &mut [Cell]) -> Vec<GapOf> {
    let mut list = Vec::new();
    for (at, gap) in examination.replay.gaps() {
        if gap.cause == Cause::Conflict || gap.most == Some(0) {
            continue;
        }
        let placed = |(step, span): (usize, &Option<(i64, i64)>)| Some((step, (*span)?));
        let before = spans.iter().enumerate().take(at).rev().find_map(placed);
        let behind = spans.iter().enumerate().skip(at + 1).find_map(placed);
        let (Some((before, (from, _))), Some((behind, (_, to)))) = (before, behind) else { continue };
        let mut is_on_line = false;
        for cell in cells.iter_mut().filter(|cell| cell.begins <= to && cell.begins + CELL_MS > from) {
            cell.has_gap = true;
            is_on_line = true;
        }
        if is_on_line && let Some(lines) = line_of(examination, before).zip(line_of(examination, behind)) {
            list.push(GapOf { number: (gap.least, gap.most), lines });
        }
    }
    list
}

fn end(examination: &Examination<'_>, step: usize, (from, to): (i64, i64)) -> Option<End> {
    Some(End { line: line_of(examination, step)?, from, to })
}

/// A minute of the line: `hh:mm`, with its date where that is not the line's.
pub(super) fn minute(line: &Line, ms: i64) -> String {
    let minute = Stamp::new(ms, 0).to_the_minute();
    let text = minute.to_string();
    if text.starts_with(line.date.as_str()) { minute.time_of_day() } else { text }
}

/// The first minute of the line that is not before a moment.
pub(super) fn minute_after(line: &Line, ms: i64) -> String {
    minute(line, ms.saturating_add(59_999))
}

/// A civil time, `YYYY-MM-DD hh:mm:ss`.
pub(super) fn civil(ms: i64) -> String {
    Stamp::new(ms - ms.rem_euclid(1000), 0).to_string()
}

/// The first second that is not before a moment, likewise.
pub(super) fn civil_after(ms: i64) -> String {
    civil(ms.saturating_add(999))
}

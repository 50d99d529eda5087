//! From the opening to the first vote, and from the last vote to the close: measurements without judgment. Between records
//! as displayed; beside a stated hour in true time only.

use super::{Row, at, lines};
use crate::clock::hours::{Day, Hour, days};
use crate::clock::{Instant, When, length, outwards};
use crate::event::Event;
use crate::examination::Examination;
use crate::pace::{Measurements, duration};
use crate::replay::Step;
use crate::syntax::Stamp;

/// The measurements that the log and the case file allow.
pub(super) fn rows(examination: &Examination<'_>, measured: &Measurements) -> Vec<Row> {
    let mut votes = measured.half_hours.iter().flat_map(|half| half.steps.iter().copied());
    let Some(first) = votes.next() else { return Vec::new() };
    let last = votes.last().unwrap_or(first);
    let mut rows = Vec::new();
    if opening_is_seen(examination, first) {
        rows.extend(hour(examination, first));
        rows.extend(opening(examination, first));
    }
    rows.extend(close(examination, last));
    rows
}

fn event(examination: &Examination<'_>, step: usize) -> Option<Event> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    Some(record.event)
}

fn ms(examination: &Examination<'_>, step: usize) -> Option<i64> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    record.time.map(Stamp::ms)
}

/// Whether the opening lies in the log: it begins with the unit's first record, or the memory was cleared before the first
/// vote. Else votes of the poll may lie before it, and nothing is measured from it to the opening.
fn opening_is_seen(examination: &Examination<'_>, first: usize) -> bool {
    examination.replay.front.is_closed()
        || (0..first).any(|step| event(examination, step) == Some(Event::Clear))
}

/// The first vote against the stated hour of opening, in true time; a displayed time is never set beside an hour.
fn hour(examination: &Examination<'_>, first: usize) -> Option<Row> {
    let clock = &examination.clock;
    let when = if examination.clock_is_one { clock.bounds(first) } else { When::default() };
    let ends = when.earliest.zip(when.latest).map(|(from, to)| (from.at, to.at));
    let shown = ms(examination, first)?;
    let is_day = |day: &Day| match ends {
        Some((from, to)) => day.begins <= from && to < day.ends,
        None => (day.civil..day.civil + 86_400_000).contains(&shown),
    };
    let hours: Vec<Hour> = days(examination.case)
        .iter()
        .filter(|day| is_day(day))
        .flat_map(|day| &day.parts)
        .filter_map(|part| part.opens)
        .collect();
    let [opens] = hours.as_slice() else { return None };
    let name = format!("the first vote that this log holds, displayed at {}", at(examination, first));
    let text = match ends {
        Some((from, to)) => {
            let stated = Stamp::new(opens.civil, 0);
            format!(
                "{} the stated hour of opening, {stated}, in true time: {name}, by the readings of the clock and what the \
                 section on the clock says that they hang on",
                apart(from - opens.latest, to - opens.earliest)
            )
        }
        None => {
            format!("{name}; the hour of opening is not set beside a display that nothing ties to true time")
        }
    };
    Some(Row { text, value: None, lines: lines(examination, &[first]) })
}

/// From when to when something lies beside an hour, in words, rounded outwards.
fn apart(least: Instant, most: Instant) -> String {
    let zero = Instant::default();
    let between = |(least, most): (String, String), side: &str| format!("{least} to {most} {side}");
    if least > zero {
        between(outwards(least, most, zero), "after")
    } else if most < zero {
        between(outwards(zero - most, zero - least, zero), "before")
    } else {
        let (before, after) = ((zero - least).second_after(), most.second_after());
        format!("between {} before and {} after", length(before.ns()), length(after.ns()))
    }
}

/// The first enable of the same memory before the first vote.
fn opening(examination: &Examination<'_>, first: usize) -> Option<Row> {
    let before = (0..first).rev().take_while(|step| event(examination, *step) != Some(Event::Clear));
    let is_of_poll = |step: &usize| {
        let place = examination.replay.record(*step);
        let label = place.and_then(|place| examination.replay.labels.get(place)).copied().unwrap_or_default();
        label.is_empty() || label.may_be(crate::case::Phase::Poll)
    };
    let enable =
        before.filter(|step| event(examination, *step) == Some(Event::Enable)).filter(is_of_poll).last()?;
    between(
        examination,
        enable,
        first,
        "the first enable before it that the log holds and that may be of the poll",
        FIRST,
    )
}

/// What the first measured vote is: earlier ones may lie before the log.
const FIRST: &str = "the first vote that this log holds";

/// The close behind the last vote.
fn close(examination: &Examination<'_>, last: usize) -> Option<Row> {
    let mut behind = (last + 1..examination.replay.steps.len())
        .take_while(|step| event(examination, *step) != Some(Event::Clear));
    let close = behind.find(|step| event(examination, *step) == Some(Event::Close))?;
    between(examination, last, close, "the last vote that this log holds", "the close")
}

fn between(examination: &Examination<'_>, from: usize, to: usize, one: &str, other: &str) -> Option<Row> {
    let length = ms(examination, to)? - ms(examination, from)?;
    if length < 0 {
        return None;
    }
    let replay = &examination.replay;
    let hidden = (from..=to).any(|step| {
        replay.in_conflict.get(step) == Some(&true) || matches!(replay.steps.get(step), Some(Step::Gap(_)))
    });
    let hidden = if hidden { "; records may be missing inside" } else { "" };
    let text = format!(
        "{} from {one}, {}, to {other}, {}{hidden}",
        duration(length),
        at(examination, from),
        at(examination, to)
    );
    Some(Row { text, value: Some(length), lines: lines(examination, &[from, to]) })
}

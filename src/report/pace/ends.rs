//! From the opening to the first vote, and from the last vote to the close, as displayed: measurements without judgment.

use super::{Row, at, lines};
use crate::clock::hours::days;
use crate::event::Event;
use crate::examination::Examination;
use crate::pace::{Measurements, duration};
use crate::replay::Step;

/// The measurements that the log and the case file allow.
pub(super) fn rows(examination: &Examination<'_>, measured: &Measurements) -> Vec<Row> {
    let Some((first, last)) = measured.half_hours.first().zip(measured.half_hours.last()) else {
        return Vec::new();
    };
    let (first, last) = (first.first, last.last);
    [stated(examination, first), opening(examination, first), close(examination, last)]
        .into_iter()
        .flatten()
        .collect()
}

fn event(examination: &Examination<'_>, step: usize) -> Option<Event> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    Some(record.event)
}

fn ms(examination: &Examination<'_>, step: usize) -> Option<i64> {
    let record = examination.log.records().get(examination.replay.record(step)?)?;
    record.time.map(crate::syntax::Stamp::ms)
}

/// The stated hour of the day that the first vote displays; where papers state one.
fn stated(examination: &Examination<'_>, first: usize) -> Option<Row> {
    let vote = ms(examination, first)?;
    let days = days(examination.case);
    let hours: Vec<i64> = days
        .iter()
        .filter(|day| (day.civil..day.civil + 86_400_000).contains(&vote))
        .flat_map(|day| &day.parts)
        .filter_map(|part| part.opens.map(|hour| hour.civil))
        .collect();
    let [opens] = hours.as_slice() else { return None };
    let hour = crate::syntax::Stamp::new(*opens, 0);
    let name = at(examination, first);
    let text = if vote >= *opens {
        format!(
            "{} from the stated hour of opening, {hour}, to the first vote, {name}",
            duration(vote - opens)
        )
    } else {
        format!(
            "{} from the first vote, {name}, to the stated hour of opening, {hour}",
            duration(opens - vote)
        )
    };
    Some(Row { text, value: vote - opens, lines: lines(examination, &[first]) })
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
    between(examination, enable, first, "the first enable that the log holds of it", "the first vote")
}

/// The close behind the last vote.
fn close(examination: &Examination<'_>, last: usize) -> Option<Row> {
    let mut behind = (last + 1..examination.replay.steps.len())
        .take_while(|step| event(examination, *step) != Some(Event::Clear));
    let close = behind.find(|step| event(examination, *step) == Some(Event::Close))?;
    between(examination, last, close, "the last vote", "the close")
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
    Some(Row { text, value: length, lines: lines(examination, &[from, to]) })
}

//! Faults of a clock that goes on otherwise from one record to the next: steps, settings, a fall back to its base date.

use super::clock::{DAY, HOUR, MINUTE};
use super::hour::{as_a_pause, silences};
use super::injection::{Injection, SILENT};
use super::reckoned::{Ran, reckon, throughout};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::papers::Paper;
use crate::syntax::Stamp;

pub(super) fn hour_repeated(i: &mut Injection) -> Option<()> {
    let last = i.entries().len().checked_sub(1)?;
    let mut at = i
        .entries()
        .iter()
        .rposition(|entry| entry.event == Event::PowerOn)
        .filter(|at| *at > 0 && last - at < 3)?;
    let before = i.entry(at - 1)?.moment;
    let noon = i.entry(at)?.moment;
    // The night before the export, half past two.
    let night = noon - noon.rem_euclid(DAY) + 2 * HOUR + 30 * MINUTE;
    if night - before < DAY || noon - night < 2 * HOUR {
        return None;
    }
    let test = |result: &str| vec![("result", result.to_owned())];
    let start = at;
    i.insert(at, night, Event::PowerOn, Vec::new())?;
    i.insert(at + 1, night + MINUTE, Event::SelfTest, test("pass"))?;
    let turned = i.insert(at + 2, night + 40 * MINUTE, Event::SelfTest, test("pass"))?;
    i.insert(at + 3, night + 41 * MINUTE, Event::PowerOff, Vec::new())?;
    i.shift_display(at + 2, -HOUR);
    at += 4;
    // What was put in belongs to none of the stretches that the papers name.
    for (_, stretch, _) in &mut i.life.papers.phases {
        if stretch.end == at {
            stretch.end = start;
        }
    }
    i.life.papers.phase(Phase::Training, start..at, Paper::Order);
    i.life.papers.rows.retain(|row| row.table != "storage");
    i.key.did(
        "In the night before the export the display went back by an hour before this record",
        &[Spot::Of(turned)],
    );
    i.find("time-decreases", Conditional, turned, "The displayed time goes back, if nobody set the clock.");
    reckon(i, Ran { steps: &[start + 2], ..throughout(false) }).map(|_| ())
}

/// The moment at which a clock without time begins: 2020-01-01 00:00:00.
const EPOCH: i64 = 1_577_836_800_000;

pub(super) fn reset(i: &mut Injection, read: bool) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, first) = (i.id(at - 1)?, i.id(at)?);
    let moment = i.entry(at)?.moment;
    let shown = i.entry(at)?.time.ms();
    i.shift_display(at, EPOCH + 60_000 - shown);
    if !read {
        i.life.papers.readings.retain(|noted| noted.moment < moment);
    }
    i.key.did("The clock fell back to its base date before this record", &[Spot::Of(first)]);
    let both = [before, first];
    i.key.find(
        "time-decreases",
        &[Conditional],
        &[Spot::Of(first)],
        &both,
        "The displayed time goes back, if nobody set the clock.",
    );
    i.key.find("clock-reset", &[Conditional, Shown], &[], &both, "The clock fell back to its base date.");
    // Behind the reset the display counts from a base date of the catalogue.
    reckon(i, Ran { steps: &[at], slipped: |ahead| ahead < -300 * DAY, ..throughout(false) }).map(|_| ())
}

pub(super) fn stepped_back(i: &mut Injection) -> Option<()> {
    let step = i.size * MINUTE;
    let near = |i: &Injection, at: usize| {
        let pair = at.checked_sub(1).and_then(|before| i.entry(before)).zip(i.entry(at));
        pair.is_some_and(|(a, b)| b.moment - a.moment < step - 2000)
    };
    let sites: Vec<usize> = i.enables_between_votes().into_iter().filter(|at| near(i, *at)).collect();
    let at = i.pick(&sites)?;
    let (before, first) = (i.id(at - 1)?, i.id(at)?);
    i.shift_display(at, -step);
    i.key.did(format!("The clock stepped back by {} minutes before this record", i.size), &[Spot::Of(first)]);
    i.key.find(
        "time-decreases",
        &[Conditional],
        &[Spot::Of(first)],
        &[before, first],
        "The displayed time goes back, if nobody set the clock.",
    );
    i.key.free("turnout-differs", "How a clock that stepped ties to the noted turnout is not asked.");
    reckon(i, Ran { steps: &[at], ..throughout(false) }).map(|_| ())
}

pub(super) fn stepped_forward(i: &mut Injection) -> Option<()> {
    let sites = silences(i, i.size * MINUTE + 1000);
    let at = i.pick(&sites)?;
    let (before, next) = (i.id(at - 1)?, i.id(at)?);
    // The true time between the two was shorter by the step, so that the records are those of a pause.
    for entry in i.life.memory.entries.get_mut(..at)? {
        entry.moment += i.size * MINUTE;
    }
    i.life.papers.readings.clear();
    i.key.did(
        format!("The clock stepped forward by {} minutes between these records", i.size),
        &[Spot::Of(before), Spot::Of(next)],
    );
    as_a_pause(i)
}

pub(super) fn set_in_the_poll(i: &mut Injection) -> Option<()> {
    let by = i.size * MINUTE;
    let sites = silences(i, 2 * MINUTE);
    let at = i.pick(&sites)?;
    let form = |ms: i64| Stamp::new(ms, 0).written().replace(' ', "T");
    let before = i.entry(at - 1)?;
    let (moment, shown) = (before.moment + MINUTE, before.time.ms() + MINUTE);
    let attributes =
        vec![("before", form(shown)), ("after", form(shown + by)), ("by", "official".to_owned())];
    // An enable of the poll before it: without one, the setting may have been before the opening.
    let released = i.entries().iter().take(at).rfind(|entry| entry.event == Event::Enable)?.id;
    let set = i.insert(at, moment, Event::ClockSet, attributes)?;
    i.shift_display(at + 1, by);
    if let Some(entry) = i.entry_mut(at) {
        entry.time = Stamp::new(shown + by, 0);
    }
    i.key.did(format!("The clock was set by {} minutes, with a record of it", i.size), &[Spot::Of(set)]);
    i.key.find(
        "clock-set-in-poll",
        &[Shown, Conditional],
        &[Spot::Of(set)],
        &[released],
        "The clock was set during the poll.",
    );
    i.key.answer("time-decreases", SILENT, "The record of the setting explains the step.");
    reckon(i, throughout(false)).map(|_| ())
}

//! Faults of the clock: wrongly set, printed otherwise, stepped, reset, read wrongly.

use super::injection::Injection;
use super::reckoned::{Ran, reckon, throughout};
use super::step::{hour_repeated, reset, set_in_the_poll, stepped_back, stepped_forward};
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::rehearsal::setting::Setting;
use crate::syntax::Stamp;

pub(super) const MINUTE: i64 = 60_000;
pub(super) const HOUR: i64 = 60 * MINUTE;
pub(super) const DAY: i64 = 24 * HOUR;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    size: Option<Size>,
    level: Level,
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    Fault {
        number,
        id,
        injected: texts.0,
        concludes: texts.1,
        size,
        level,
        touches: Touches::All,
        setting,
        inject,
    }
}

pub(super) const MINUTES: Option<Size> = Some(Size { of: "minutes", least: 1, usual: 10, most: 60 });

pub(super) static FAULTS: &[Fault] = &[
    row(
        "11",
        "clock-slow",
        (
            "The clock is four minutes slow, with readings on paper",
            "The readings correct the times; nothing contrary.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| clock_slow(i, true),
    ),
    row(
        "12",
        "clock-slow-unread",
        (
            "The clock is four minutes slow, and nobody read it",
            "Whatever asks for the hour cannot be told; what asks for the order is as it was.",
        ),
        None,
        Level::Hard,
        nothing,
        |i| clock_slow(i, false),
    ),
    row(
        "13",
        "clock-half-day",
        (
            "The clock was set with the wrong half of the day",
            "If the readings hold, twelve hours explain the displayed times; every shift that fits is listed.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| slipped(i, -12 * HOUR, "The clock is twelve hours behind"),
    ),
    row(
        "14",
        "clock-day-and-month",
        (
            "The clock was set with day and month in the wrong order",
            "If the readings hold, day and month exchanged and the plain offset both explain the displayed times.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| slipped(i, 148 * DAY, "The clock was set to 5 October instead of 10 May"),
    ),
    row(
        "16",
        "clock-century",
        (
            "The century of the displayed year is wrong",
            "If the readings hold, a hundred years explain the displayed times.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| slipped(i, -36_525 * DAY, "The clock shows 1931 instead of 2031"),
    ),
    row(
        "17",
        "clock-in-utc",
        (
            "The log prints the times of UTC",
            "If the readings hold, the zone's two hours explain the displayed times.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| slipped(i, -2 * HOUR, "The clock shows UTC, two hours behind the civil time of Kestrane"),
    ),
    row(
        "18",
        "hour-repeated",
        (
            "The unit's software turned the display back by an hour in an autumn night",
            "The time goes back, if nobody set the clock; summer time explains it, and inside the repeated hour it cannot be \
         told which of the two it was.",
        ),
        None,
        Level::Hard,
        nothing,
        hour_repeated,
    ),
    row(
        "19",
        "clock-reset",
        (
            "The clock fell back to its base date in mid-poll and was read at the close",
            "The time goes back, and the readings before and behind it bound every record; votes count as usual.",
        ),
        None,
        Level::Middle,
        nothing,
        |i| reset(i, true),
    ),
    row(
        "20",
        "clock-reset-unread",
        (
            "The clock fell back to its base date in mid-poll and nobody read it afterwards",
            "The time goes back; for what follows only 'not before' is known, and whatever asks for its hour cannot be told.",
        ),
        None,
        Level::Hard,
        nothing,
        |i| reset(i, false),
    ),
    row(
        "21",
        "clock-stepped-back",
        (
            "The clock steps back without a record",
            "The time goes back, if nobody set the clock; the step is at least the decrease that is seen.",
        ),
        MINUTES,
        Level::Easy,
        nothing,
        stepped_back,
    ),
    row(
        "22",
        "clock-stepped-forward",
        (
            "The clock steps forward without a record, and nobody read it",
            "Nothing may be said: a pause gives the same records, word for word.",
        ),
        MINUTES,
        Level::Hard,
        nothing,
        stepped_forward,
    ),
    row(
        "24",
        "clock-set-in-the-poll",
        (
            "The clock is set in mid-poll, with a record of it",
            "The record says that the clock was set during the poll; the step it states explains the times.",
        ),
        Some(Size { of: "minutes, back or forward", least: -30, usual: -4, most: 30 }),
        Level::Easy,
        nothing,
        set_in_the_poll,
    ),
    row(
        "25",
        "clock-drifts",
        (
            "The clock gains 300 parts in a million, where the papers bound it by 20",
            "Two readings and the stated bound do not go together; which of the three is wrong cannot be told.",
        ),
        None,
        Level::Middle,
        |setting| (setting.clock.ppm, setting.clock.bound_ppm) = (0, 20),
        drifts,
    ),
    row(
        "26",
        "reading-mistyped",
        (
            "One reading of the clock was written down an hour wrong",
            "Readings do not go together; one stands in every conflict and is named as such, but not as the wrong one.",
        ),
        None,
        Level::Middle,
        nothing,
        mistyped,
    ),
];

fn clock_slow(i: &mut Injection, read: bool) -> Option<()> {
    i.shift_display(0, -4 * MINUTE);
    i.key.did("The clock is four minutes slow through the whole log", &[]);
    if !read {
        i.life.papers.readings.clear();
    }
    reckon(i, throughout(false)).map(|_| ())
}

fn slipped(i: &mut Injection, by: i64, done: &str) -> Option<()> {
    // Whatever else the clock was off must be small beside the slip, or no slip explains the readings.
    let most = if by.abs() < 12 * HOUR { 100_000 } else { 270_000 };
    let off = |displayed: i64, reference: i64| (displayed - reference).abs();
    let readings = &i.life.papers.readings;
    if readings.iter().any(|noted| off(noted.reading.displayed.ms(), noted.reading.reference) > most) {
        return None;
    }
    i.shift_display(0, by);
    i.key.did(format!("{done}, through the whole log"), &[]);
    i.entry(0)?;
    i.silent(&["time-decreases", "unreadable-line"], "One constant offset leaves the order as it is.");
    reckon(i, throughout(true)).map(|_| ())
}

fn drifts(i: &mut Injection) -> Option<()> {
    let first = i.entry(0)?.moment;
    let gained = |moment: i64| (moment - first) * 300 / 1_000_000;
    for entry in &mut i.life.memory.entries {
        let shown = entry.time.ms() + gained(entry.moment);
        entry.time = Stamp::new(shown - shown.rem_euclid(1000), 0);
    }
    for noted in &mut i.life.papers.readings {
        let shown = noted.reading.displayed.ms() + gained(noted.moment);
        noted.reading.displayed = Stamp::new(shown - shown.rem_euclid(1000), 0);
    }
    i.key.did("The clock gains 300 parts in a million", &[]);
    let truth = reckon(i, Ran { ppm: 20, ..throughout(false) })?;
    // Where the readings lie so close that the bound still takes them, this life has no place for the fault.
    (i.last.is_some() || !truth.conflicts.is_empty()).then_some(())
}

fn mistyped(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let (from, to) = (i.entry(poll.start)?.moment, i.entry(poll.end - 1)?.moment + 10 * MINUTE);
    let of_poll = |moment: i64| moment > from - 3 * HOUR && moment < to;
    let mistyped = i.life.papers.readings.iter().position(|noted| of_poll(noted.moment))?;
    i.life.papers.readings.get_mut(mistyped)?.reading.reference += HOUR;
    i.key.did("The reading before the poll was written down an hour wrong", &[]);
    let truth = reckon(i, throughout(false))?;
    if i.last.is_some() {
        return Some(());
    }
    let wrong = truth.readings.iter().position(|read| read.noted == mistyped)?;
    let is_in_every = truth.conflicts.iter().all(|(one, other)| *one == wrong || *other == wrong);
    (truth.conflicts.len() > 1 && is_in_every).then_some(())
}

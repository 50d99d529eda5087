//! Faults of the clock: wrongly set, printed otherwise, stepped, reset, read wrongly.

use super::injection::Injection;
use super::step::{hour_repeated, reset, set_in_the_poll, stepped_back, stepped_forward};
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::setting::Setting;
use crate::syntax::Stamp;

pub(super) const MINUTE: i64 = 60_000;
pub(super) const HOUR: i64 = 60 * MINUTE;
pub(super) const DAY: i64 = 24 * HOUR;

/// The rules that ask when something was.
pub(super) const HOURS: [&str; 4] = ["vote-before-opening", "vote-after-hour", "closed-early", "closed-late"];

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

#[allow(clippy::unnecessary_wraps, reason = "a row of the table, which may fail")]
fn clock_slow(i: &mut Injection, read: bool) -> Option<()> {
    i.shift_display(0, -4 * MINUTE);
    i.key.did("The clock is four minutes slow through the whole log", &[]);
    if read {
        i.silent(
            &["clock-slip", "readings-conflict", "closed-early", "vote-before-opening"],
            "The readings agree on the offset, and correct the times.",
        );
        i.key.free(
            "clock-offset",
            "No tolerance is stated; where a rule knows one, four minutes may be beyond it.",
        );
    } else {
        i.life.papers.readings.clear();
        i.open(&HOURS, "No reading of the clock is on paper.");
    }
    Some(())
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
    i.key.find("clock-slip", &[Conditional, Shown], &[], &[], "A common slip explains the readings.");
    i.key.free("clock-offset", "So large an offset may be named too.");
    i.silent(
        &["time-decreases", "readings-conflict", "unreadable-line"],
        "One constant offset leaves the order as it is.",
    );
    Some(())
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
    i.key.find(
        "readings-conflict",
        &[Conditional, Shown],
        &[],
        &[],
        "Two readings differ by more than the stated bound allows.",
    );
    for rule in ["clock-rate", "clock-offset", "clock-slip"] {
        i.key.free(rule, "A clock that drifts so far may be named here too.");
    }
    for rule in HOURS {
        i.key.free(rule, "Readings that conflict leave the hours to the rule.");
    }
    Some(())
}

fn mistyped(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let (from, to) = (i.entry(poll.start)?.moment, i.entry(poll.end - 1)?.moment + 10 * MINUTE);
    let of_poll = |moment: i64| moment > from - 3 * HOUR && moment < to;
    let noted = i.life.papers.readings.iter_mut().find(|noted| of_poll(noted.moment))?;
    noted.reading.reference += HOUR;
    let taken = noted.moment;
    // A paper names the record behind which a reading was taken.
    let behind = i.entries().iter().rfind(|entry| entry.moment <= taken)?.id;
    i.key.did("The reading before the poll was written down an hour wrong", &[]);
    i.key.find(
        "readings-conflict",
        &[Conditional, Shown],
        &[],
        &[behind],
        "A reading does not go together with the others.",
    );
    for rule in ["clock-offset", "clock-slip", "clock-rate"] {
        i.key.free(rule, "A wrong reading may show here too.");
    }
    for rule in HOURS {
        i.key.free(rule, "Readings that conflict leave the hours to the rule.");
    }
    Some(())
}

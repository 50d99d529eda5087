//! Faults of the clock's rate: readings that show it beyond one minute in 15 hours (VVSG 1.1, volume 1, 2.1.5.1), or not quite.

use super::clock::{HOUR, MINUTE};
use super::further;
use super::injection::Injection;
use super::{Fault, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::Spot;
use crate::rehearsal::papers::{Paper, Reading};
use crate::rehearsal::setting::Setting;
use crate::syntax::Stamp;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, Touches::All, setting, inject)
}

/// A clock that shows thousandths, of which the papers say nothing narrower than two in a thousand.
fn fine(setting: &mut Setting) {
    (setting.clock.ppm, setting.clock.bound_ppm) = (0, 2000);
    setting.clock.steps_ms = vec![1];
}

/// The same in whole seconds.
fn coarse(setting: &mut Setting) {
    (setting.clock.ppm, setting.clock.bound_ppm) = (0, 2000);
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "156",
        "clock-gains-a-minute",
        (
            "Two records were timed by a reference clock, 15 hours apart at the most; the unit's clock gained 60.000 s at the \
             least between them",
            "Nothing: exactly the limit is not beyond it, and whether it was more cannot be told.",
        ),
        fine,
        |i| timed(i, 60_000, true),
    ),
    row(
        "157",
        "clock-gains-more",
        (
            "As 156, and the clock gained 60.001 s at the least",
            "The clock ran beyond one minute in 15 hours, if both readings are right.",
        ),
        fine,
        |i| timed(i, 60_001, true),
    ),
    row(
        "158",
        "clock-loses-a-minute",
        (
            "Two records were timed by a reference clock, 15 hours apart at the least; the unit's clock lost 60.000 s at the \
             least between them",
            "Nothing: exactly the limit is not beyond it, and whether it was more cannot be told.",
        ),
        fine,
        |i| timed(i, 60_000, false),
    ),
    row(
        "159",
        "clock-loses-more",
        (
            "As 158, and the clock lost 60.001 s at the least",
            "The clock ran beyond one minute in 15 hours, if both readings are right.",
        ),
        fine,
        |i| timed(i, 60_001, false),
    ),
    row(
        "160",
        "clock-read-at-the-limit",
        (
            "The display was read twice, give or take three seconds; with every margin the clock gained 60 s in 15 hours",
            "Nothing: exactly the limit is not beyond it, though the clock truly ran faster.",
        ),
        coarse,
        |i| displayed(i, 60),
    ),
    row(
        "161",
        "clock-read-beyond-the-limit",
        (
            "As 160, and with every margin the clock gained 61 s",
            "The clock ran beyond one minute in 15 hours, if both readings are right.",
        ),
        coarse,
        |i| displayed(i, 61),
    ),
    row(
        "162",
        "clock-runs-fast",
        (
            "The clock gains 1,300 parts in a million through the whole log, and was read as usual",
            "Readings days apart show it beyond the limit; readings of one day leave it open.",
        ),
        coarse,
        |i| throughout(i, 1300),
    ),
    row(
        "163",
        "clock-runs-at-the-limit",
        (
            "The clock gains 1,110 parts in a million, just below the limit, and was read as usual",
            "Nothing: no readings show it beyond the limit.",
        ),
        coarse,
        |i| throughout(i, 1110),
    ),
    row(
        "164",
        "clock-beyond-a-set-limit",
        (
            "The clock gains 55 parts in a million, and the local procedure sets 30 as the limit",
            "Readings weeks apart show it beyond the limit that is set.",
        ),
        |setting| setting.clock.ppm = 0,
        set_limit,
    ),
];

/// Makes the display gain so many of so many milliseconds, from a moment on and, before it, up to it.
fn run(i: &mut Injection, from: i64, gained: i64, of: i64) {
    let gain = |moment: i64| {
        let gained = i128::from(moment - from) * i128::from(gained);
        i64::try_from(gained.div_euclid(i128::from(of))).unwrap_or(0)
    };
    let shown = |stamp: Stamp, moment: i64| {
        let ms = stamp.ms() + gain(moment);
        Stamp::new(ms - ms.rem_euclid(stamp.step_ms()), stamp.digits())
    };
    for entry in &mut i.life.memory.entries {
        entry.time = shown(entry.time, entry.moment);
    }
    for noted in &mut i.life.papers.readings {
        noted.reading.displayed = shown(noted.reading.displayed, noted.moment);
    }
}

/// The unit stays on into the evening, with a self-test so long after it came on in the morning; the two places.
fn long_day(i: &mut Injection, apart: impl Fn(i64) -> i64) -> Option<(usize, usize)> {
    let mock = i.phase(Phase::MockPoll)?.start;
    let morning = (0..mock).rfind(|at| i.event(*at) == Some(Event::PowerOn))?;
    let close = i.close_of_poll()?;
    let off = close + 1;
    if i.event(off) != Some(Event::PowerOff) {
        return None;
    }
    let from = i.entry(morning)?.moment;
    let evening = from + apart(from);
    // One day of a poll that begins before seven and ends after six.
    if evening - i.entry(close)?.moment < MINUTE || evening.rem_euclid(24 * HOUR) > 23 * HOUR {
        return None;
    }
    let later = evening + MINUTE - i.entry(off)?.moment;
    let entry = i.entry_mut(off)?;
    entry.moment += later;
    entry.time = Stamp::new(entry.time.ms() + later, entry.time.digits());
    i.insert(off, evening, Event::SelfTest, vec![("result", "pass".to_owned())])?;
    // The strong room had the unit later than its book says.
    i.life.papers.rows.retain(|row| row.table != "storage");
    i.life.papers.readings.clear();
    Some((morning, off))
}

/// Two records are timed to the second. Gaining: at most 15 hours apart, with so many milliseconds gained at least. Losing: at
/// least 15 hours apart, with so many lost at least.
fn timed(i: &mut Injection, by: i64, gains: bool) -> Option<()> {
    const FIFTEEN: i64 = 15 * HOUR;
    // The reference clock shows whole seconds, of which each may mean all of its second.
    let between = if gains { FIFTEEN - 1000 } else { FIFTEEN + 1000 };
    let (morning, evening) = long_day(i, |from| between + 500 - from.rem_euclid(1000))?;
    let (from, to) = (i.entry(morning)?.moment, i.entry(evening)?.moment);
    // The display shows thousandths, of which each may mean all of it.
    let shown = if gains { FIFTEEN + by + 1 } else { FIFTEEN - by - 1 };
    run(i, from, shown - (to - from), to - from);
    let mut spots = Vec::new();
    for at in [morning, evening] {
        let entry = i.entry(at)?;
        let reading = Reading { displayed: entry.time, reference: entry.moment, give_or_take_s: 0 };
        let (id, moment) = (entry.id, entry.moment);
        i.life.papers.record_timed(reading, moment, Paper::Diary);
        spots.push(Spot::Of(id));
    }
    let verb = if gains { "gained" } else { "lost" };
    let (s, ms) = (by / 1000, by % 1000);
    i.key.did(
        format!("Between these two records, both timed by a reference clock, the clock {verb} {s}.{ms:03} s at the least"),
        &spots,
    );
    Some(())
}

/// The display is read in the morning and in the evening, right to three seconds: with every margin 15 hours at the most, and so
/// many seconds gained at the least.
fn displayed(i: &mut Injection, by: i64) -> Option<()> {
    const WITHIN: i64 = 3;
    const FIFTEEN: i64 = 15 * 3600;
    // Of 15 hours at the most, the second of the later reference time and both margins.
    let between = FIFTEEN - 1 - 2 * WITHIN;
    let (morning, evening) = long_day(i, |_| between * 1000)?;
    let from = i.entry(morning)?.moment;
    // Of the display, the second of the earlier one.
    let shown = FIFTEEN + by + 1;
    run(i, from, shown - between, between);
    let first = i.entry(morning)?.time;
    let mut spots = Vec::new();
    for (at, shows) in [(morning, 0), (evening, shown * 1000)] {
        let entry = i.entry(at)?;
        let displayed = Stamp::new(first.ms() + shows, 0);
        let reading = Reading { displayed, reference: entry.moment, give_or_take_s: WITHIN };
        let (id, moment) = (entry.id, entry.moment);
        i.life.papers.reading(reading, moment, Paper::Diary);
        spots.push(Spot::Of(id));
    }
    i.key.did(
        format!("The display was read behind these two records; with every margin the clock gained {by} s in 15 hours"),
        &spots,
    );
    Some(())
}

fn throughout(i: &mut Injection, ppm: i64) -> Option<()> {
    let first = i.entry(0)?.moment;
    run(i, first, ppm, 1_000_000);
    i.key.did(format!("The clock gains {ppm} parts in a million through the whole log"), &[]);
    Some(())
}

fn set_limit(i: &mut Injection) -> Option<()> {
    throughout(i, 55)?;
    i.life.papers.row("setting", &["rate-tolerance-ppm = 30".to_owned()], Paper::Procedure);
    Some(())
}

//! The unit's clock: offset, rate, step of its display, and the slips of the people who set it.

use chrono::{DateTime, Datelike as _, TimeDelta};

use super::chance::{Chance, Permille};
use crate::syntax::Stamp;

const HOUR: i64 = 3_600_000;

/// What a clock may be like. *Assumptions*.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClockSetting {
    /// Largest error in seconds, either way, when it was set without a slip.
    pub offset_s: i64,
    /// Largest error of its rate in parts per million, either way. A good quartz keeps 20 (`methods.md`).
    pub ppm: i64,
    /// The bound on its rate that the papers state, in parts per million.
    pub bound_ppm: i64,
    /// Steps of the display in milliseconds, of which each unit has one: 60000, 10000, 1000, 100, 10 or 1.
    pub steps_ms: Vec<i64>,
    /// How often whoever set it made a slip.
    pub slip: Permille,
    /// How often it is set right, with a record, before the poll.
    pub set: Permille,
    /// How often its battery is changed in storage, and it begins again at its epoch.
    pub epoch: Permille,
}

/// What whoever set the clock did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// Nothing wrong.
    None,
    /// The wrong half of the day.
    HalfDay,
    /// The wrong day.
    Day,
    /// Another zone, 5 h 30 min away.
    Zone,
    /// Day and month in the wrong order, where the calendar has such a day.
    DayMonth,
}

impl Slip {
    const ALL: [Slip; 4] = [Slip::HalfDay, Slip::Day, Slip::Zone, Slip::DayMonth];

    /// How far the display is ahead because of it, when it was set at this moment.
    fn ahead(self, moment: i64) -> i64 {
        match self {
            Slip::None => 0,
            Slip::HalfDay => -12 * HOUR,
            Slip::Day => 24 * HOUR,
            Slip::Zone => -(5 * HOUR + HOUR / 2),
            Slip::DayMonth => DateTime::from_timestamp_millis(moment)
                .and_then(|at| at.with_day(1)?.with_month(at.day())?.with_day(at.month()))
                .map_or(0, |swapped| swapped.timestamp_millis() - moment),
        }
    }
}

/// A clock since it was last set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clock {
    set_at: i64,
    ahead: i64,
    ppm: i64,
    step_ms: i64,
}

/// The moment at which this clock begins when it has lost its time: 2020-01-01 00:00:00, an assumption.
const EPOCH: i64 = 1_577_836_800_000;

impl Clock {
    /// A clock that somebody set at a moment: an offset, an error of its rate, perhaps a slip.
    #[must_use]
    pub fn drawn(chance: &mut Chance, setting: &ClockSetting, moment: i64) -> Clock {
        let slip = if chance.happens(setting.slip) { chance.one_of(&Slip::ALL).copied() } else { None };
        let ahead = chance.whole(-setting.offset_s * 1000, setting.offset_s * 1000)
            + slip.unwrap_or(Slip::None).ahead(moment);
        let ppm = chance.whole(-setting.ppm, setting.ppm);
        let step_ms = chance.one_of(&setting.steps_ms).copied().unwrap_or(1000).clamp(1, 60_000);
        Clock { set_at: moment, ahead, ppm, step_ms }
    }

    /// What it displays at a moment.
    #[must_use]
    pub fn shows(&self, moment: i64) -> Stamp {
        let ran = i128::from(moment - self.set_at);
        let gained = i64::try_from(ran * i128::from(self.ppm) / 1_000_000).unwrap_or(0);
        let shown = moment + self.ahead + gained;
        let digits = match self.step_ms {
            1..10 => 3,
            10..100 => 2,
            100..1000 => 1,
            _ => 0,
        };
        Stamp::new(shown - shown.rem_euclid(self.step_ms), digits)
    }

    /// Sets it, at a moment, so that it is ahead by so much.
    pub fn set(&mut self, moment: i64, ahead: i64) {
        self.set_at = moment;
        self.ahead = ahead;
    }

    /// Lets it lose its time: it begins again at its epoch.
    pub fn lose(&mut self, moment: i64) {
        self.set(moment, EPOCH - moment);
    }
}

/// A moment as people write it: the civil time to the second.
pub(super) fn civil(moment: i64) -> String {
    let whole = DateTime::from_timestamp_millis(moment - moment.rem_euclid(1000));
    whole.map_or_else(String::new, |at| at.format("%Y-%m-%d %H:%M:%S").to_string())
}

/// The civil midnight that many days after the first of January 1970, in milliseconds.
pub(super) fn midnight(days: i64) -> i64 {
    TimeDelta::days(days).num_milliseconds()
}

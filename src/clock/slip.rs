//! Common slips of people who set a clock: which of them would bring what a unit displayed into agreement with its readings
//! and with the day of the poll.

use chrono::{DateTime, Datelike as _, NaiveDateTime};

use super::Instant;

const MINUTE_MS: i64 = 60_000;
const QUARTER_MS: i64 = 15 * MINUTE_MS;
const HOUR_MS: i64 = 60 * MINUTE_MS;
const DAY_MS: i64 = 24 * HOUR_MS;

/// How near a display must be to the time of another zone, at most: two minutes, an assumption of this project.
const ZONE_MS: i64 = 2 * MINUTE_MS;

/// Zones in use lie at most 14 hours from each other's UTC (as many quarters of an hour).
const QUARTERS: i64 = 14 * 4;

/// An hour and twelve hours are quarters too, and stand under the name by which people know them.
const NAMED: [i64; 2] = [4, 48];

/// Dates from which clocks count when they lose their time; the maker's document decides. 1970: POSIX (IEEE Std 1003.1,
/// 'Epoch'). 1 January 1980: date field of the FAT file system (Microsoft, FAT specification). 6 January 1980: GPS time
/// (IS-GPS-200). 2000: data sheet of the real-time clock DS1307, 'Clock and Calendar'. The others: *common practice*.
pub const BASE_DATES: &[&str] = &[
    "1970-01-01",
    "1980-01-01",
    "1980-01-06",
    "1990-01-01",
    "2000-01-01",
    "2001-01-01",
    "2010-01-01",
    "2020-01-01",
];

/// A common slip, as what the unit displayed by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Slip {
    /// Nothing was wrong.
    Identity,
    /// The wrong half of the day: so many hours ahead.
    HalfDay(i64),
    /// Summer time: so many hours ahead.
    Hour(i64),
    /// Another zone: so many quarters of an hour ahead.
    Quarters(i64),
    /// The wrong day: so many days ahead.
    Day(i64),
    /// Day and month were swapped when the clock was set: the same difference on every day since.
    SwappedAtSetting,
    /// Day and month are swapped in print: another difference on every day.
    SwappedInPrint,
    /// The wrong year: so many years ahead.
    Year(i32),
    /// Two digits of the year were read in the wrong century: so many years ahead.
    Century(i32),
    /// The clock counts from its base date, this place of [`BASE_DATES`].
    Epoch(usize),
}

impl Slip {
    /// All of them, in the fixed order in which they are listed.
    #[must_use]
    pub fn all() -> Vec<Slip> {
        let mut all =
            vec![Slip::Identity, Slip::HalfDay(-12), Slip::HalfDay(12), Slip::Hour(-1), Slip::Hour(1)];
        let quarters = (1..=QUARTERS).filter(|quarters| !NAMED.contains(quarters));
        all.extend(quarters.flat_map(|quarters| [Slip::Quarters(-quarters), Slip::Quarters(quarters)]));
        all.extend([Slip::Day(-1), Slip::Day(1), Slip::SwappedAtSetting, Slip::SwappedInPrint]);
        all.extend([Slip::Year(-1), Slip::Year(1), Slip::Century(-100), Slip::Century(100)]);
        all.extend((0..BASE_DATES.len()).map(Slip::Epoch));
        all
    }

    /// Slips in words, in their order; three neighbouring zones or more, as one.
    #[must_use]
    pub fn told(slips: &[Slip]) -> Vec<String> {
        let of_side = |ahead: bool| -> Vec<i64> {
            let quarters =
                slips.iter().filter_map(|slip| if let Slip::Quarters(by) = slip { Some(*by) } else { None });
            quarters.filter(|by| (*by > 0) == ahead).map(i64::abs).collect()
        };
        let (behind, ahead) = (of_side(false), of_side(true));
        let mut texts = Vec::new();
        for slip in slips {
            let Slip::Quarters(by) = *slip else {
                texts.push(slip.words());
                continue;
            };
            let row = if by > 0 { &ahead } else { &behind };
            match row.as_slice() {
                [first, .., last] if is_unbroken(row) => {
                    if by.abs() == *first {
                        texts.push(format!(
                            "the clock was {} to {} {}, by whole quarters of an hour (the time of another zone)",
                            hours_and_minutes(*first),
                            hours_and_minutes(*last),
                            side(by)
                        ));
                    }
                }
                _ => texts.push(slip.words()),
            }
        }
        texts
    }

    /// The slip in words, to stand after "would agree if".
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Slip::Identity => "the clock was right".to_owned(),
            Slip::HalfDay(by) => format!(
                "the clock was 12 hours {} (the wrong half of the day, or the time of another zone)",
                side(by)
            ),
            Slip::Hour(by) => {
                format!("the clock was 1 hour {} (summer time, or a neighbouring zone)", side(by))
            }
            Slip::Quarters(by) => format!(
                "the clock was {} {} (the time of another zone)",
                hours_and_minutes(by.abs()),
                side(by)
            ),
            Slip::Day(by) => format!("the clock was one day {}", side(by)),
            Slip::SwappedAtSetting => {
                "day and month were swapped in setting the clock (the same on every day)".to_owned()
            }
            Slip::SwappedInPrint => {
                "day and month are swapped in print (differently from day to day)".to_owned()
            }
            Slip::Year(by) => format!("the clock was one year {}", side(i64::from(by))),
            Slip::Century(by) => {
                format!(
                    "the clock was 100 years {} (two digits of the year, read in another century)",
                    side(i64::from(by))
                )
            }
            Slip::Epoch(place) => format!(
                "the clock had lost its time and counted from {}",
                BASE_DATES.get(place).copied().unwrap_or_default()
            ),
        }
    }

    /// By how much a clock with this slip is ahead on every day, in milliseconds: each that it may be, where that hangs on the
    /// day on which it was set; empty where it is ahead by another time from day to day, or nothing tells by how much. When it
    /// was set is not known: day and month within ninety days before `civil`, the first time that is to be explained. A clock
    /// that was set to another year runs on from there over leap days of its own, so that a day more or less lies between.
    fn ahead(self, civil: i64) -> Vec<i64> {
        let days = |years: i64, days: [i64; 2]| days.map(|days| years.signum() * days * DAY_MS).to_vec();
        match self {
            Slip::Identity => vec![0],
            Slip::HalfDay(hours) | Slip::Hour(hours) => vec![hours * HOUR_MS],
            Slip::Quarters(quarters) => vec![quarters * QUARTER_MS],
            Slip::Day(days) => vec![days * DAY_MS],
            Slip::Year(years) => days(years.into(), [365, 366]),
            Slip::Century(years) => days(years.into(), [36_524, 36_525]),
            Slip::SwappedAtSetting => {
                let set = (0..=90).map(|day| civil - day * DAY_MS);
                let by = set.filter_map(|set| swapped(set)?.checked_sub(set));
                // A slip that changes nothing is none.
                by.filter(|by| *by != 0).collect()
            }
            Slip::SwappedInPrint | Slip::Epoch(_) => Vec::new(),
        }
    }

    /// Within what a display is near a time: zones lie close, and a difference of some minutes is not to pass for one of a
    /// quarter of an hour.
    fn near(self, tolerance: i64) -> i64 {
        if matches!(self, Slip::Quarters(_)) { tolerance.min(ZONE_MS) } else { tolerance }
    }
}

fn side(by: i64) -> &'static str {
    if by < 0 { "behind" } else { "ahead" }
}

/// Quarters of an hour, from 1 on, as hours and minutes.
fn hours_and_minutes(quarters: i64) -> String {
    format!("{} h {:02} min", quarters / 4, quarters % 4 * 15)
}

/// Whether three quarters or more follow each other in the list of slips, without one left out.
fn is_unbroken(quarters: &[i64]) -> bool {
    quarters.len() > 2
        && quarters.windows(2).all(
            |pair| matches!(pair, [one, next] if (one + 1..*next).all(|between| NAMED.contains(&between))),
        )
}

fn calendar(ms: i64) -> Option<NaiveDateTime> {
    DateTime::from_timestamp_millis(ms).map(|at| at.naive_utc())
}

/// A civil time with day and month swapped; `None` where the calendar has no such day.
fn swapped(ms: i64) -> Option<i64> {
    let at = calendar(ms)?;
    let swapped = at.with_day(1)?.with_month(at.day())?.with_day(at.month())?;
    Some(swapped.and_utc().timestamp_millis())
}

/// A reading, for the test of slips: what was displayed and the civil time of the place, each from and to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    /// What was displayed, in milliseconds of its calendar: from, and before.
    pub displayed: (i64, i64),
    /// The civil time of the place at that moment, in milliseconds: from and to.
    pub civil: (i64, i64),
}

impl Shown {
    /// Whether the display lies within a tolerance of what was to be displayed, from and to.
    fn is_near(&self, (from, to): (i64, i64), tolerance: i64) -> bool {
        self.displayed.0 <= to.saturating_add(tolerance) && self.displayed.1 > from.saturating_sub(tolerance)
    }

    /// Whether it shows the clock ahead by so much, within a tolerance.
    fn is_ahead(&self, by: i64, tolerance: i64) -> bool {
        self.is_near((self.civil.0.saturating_add(by), self.civil.1.saturating_add(by)), tolerance)
    }
}

/// The slips that fit every reading to within a tolerance, in their fixed order.
///
/// A clock is never right to the second, so that a slip fits where the display lies within the tolerance of what a clock
/// with that slip displays.
#[must_use]
pub fn fitting(readings: &[Shown], tolerance_ms: i64) -> Vec<Slip> {
    if readings.is_empty() {
        return Vec::new();
    }
    Slip::all().into_iter().filter(|slip| fits(*slip, readings, tolerance_ms)).collect()
}

fn fits(slip: Slip, readings: &[Shown], tolerance: i64) -> bool {
    let first = readings.iter().map(|reading| reading.civil.0).min().unwrap_or(0);
    let tolerance = slip.near(tolerance);
    match slip {
        Slip::SwappedInPrint => {
            let changes = |reading: &Shown| swapped(reading.civil.0).is_some_and(|at| at != reading.civil.0);
            let near = |reading: &Shown| {
                let ends = swapped(reading.civil.0).zip(swapped(reading.civil.1));
                ends.is_some_and(|(from, to)| reading.is_near((from.min(to), from.max(to)), tolerance))
            };
            readings.iter().any(changes) && readings.iter().all(near)
        }
        Slip::Epoch(place) => BASE_DATES.get(place).is_some_and(|date| counts_from(date, readings)),
        _ => slip.ahead(first).into_iter().any(|by| readings.iter().all(|one| one.is_ahead(by, tolerance))),
    }
}

/// From the midnight of a poll so long its votes may be displayed: past its own day those who waited may vote, and by the
/// noon behind it no queue stands. *Common practice* does not name a limit; this one is an assumption of this project.
pub const POLL_MS: i64 = 36 * HOUR_MS;

/// The slips that put all that was displayed in a poll on its day, and fit the readings of the same stretch of the clock, in
/// their fixed order. The first display lies on the day that begins at `midnight`, in milliseconds of the civil calendar, and
/// none [`POLL_MS`] behind it. That the clock was right is no slip.
#[must_use]
pub fn fitting_day(displayed: &[i64], midnight: i64, readings: &[Shown], tolerance_ms: i64) -> Vec<Slip> {
    let (Some(first), Some(last)) = (displayed.iter().min(), displayed.iter().max()) else {
        return Vec::new();
    };
    let on_the_day =
        |first: i64, last: i64| (midnight..midnight + DAY_MS).contains(&first) && last < midnight + POLL_MS;
    let fits_day = |slip: Slip| {
        let read = || readings.is_empty() || fits(slip, readings, tolerance_ms);
        match slip {
            Slip::Identity => false,
            Slip::SwappedInPrint => {
                let civil: Option<Vec<i64>> = displayed.iter().map(|at| swapped(*at)).collect();
                let ends = civil.as_ref().and_then(|civil| civil.iter().min().zip(civil.iter().max()));
                let changes = civil.as_ref().is_some_and(|civil| civil.as_slice() != displayed);
                changes && ends.is_some_and(|(first, last)| on_the_day(*first, *last)) && read()
            }
            Slip::Epoch(place) => {
                let day = |at: &i64| Shown { displayed: (*at, *at + 1), civil: (midnight, midnight) };
                let counts = |date| counts_from(date, &[day(first), day(last)]);
                last - first < POLL_MS && BASE_DATES.get(place).is_some_and(|date| counts(date)) && read()
            }
            _ => {
                let from = readings.iter().map(|reading| reading.civil.0).fold(midnight, i64::min);
                let near = |by| readings.iter().all(|one| one.is_ahead(by, slip.near(tolerance_ms)));
                slip.ahead(from).into_iter().any(|by| on_the_day(first - by, last - by) && near(by))
            }
        }
    };
    Slip::all().into_iter().filter(|slip| fits_day(*slip)).collect()
}

/// Whether every display lies within a year behind a base date, which the true time does not.
fn counts_from(date: &str, readings: &[Shown]) -> bool {
    let Some(base) = crate::case::civil_ms(&format!("{date} 00:00")) else { return false };
    let year = base.saturating_add(366 * DAY_MS);
    readings.iter().all(|reading| {
        (base..year).contains(&reading.displayed.0) && !(base..year).contains(&reading.civil.0)
    })
}

/// The civil time of the place between two instants, in milliseconds, for an offset in minutes.
#[must_use]
pub fn civil(earliest: Instant, latest: Instant, offset_minutes: i32) -> (i64, i64) {
    let ms = |at: Instant, up: i128| {
        i64::try_from((at.ns() + up).div_euclid(1_000_000)).unwrap_or(0)
            + i64::from(offset_minutes) * MINUTE_MS
    };
    (ms(earliest, 0), ms(latest, 999_999))
}

#[cfg(test)]
#[path = "slip_tests.rs"]
mod tests;

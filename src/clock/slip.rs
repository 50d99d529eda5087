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
                            "the clock was {} to {} {}, by whole quarters of an hour (the time of another zone, or UTC)",
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
            Slip::HalfDay(by) => format!("the clock was 12 hours {} (the wrong half of the day)", side(by)),
            Slip::Hour(by) => {
                format!("the clock was 1 hour {} (summer time, or a neighbouring zone)", side(by))
            }
            Slip::Quarters(by) => format!(
                "the clock was {} {} (the time of another zone, or UTC)",
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

    /// What a clock with this slip displays, in milliseconds of its calendar, when the civil time is `civil`. `set` is the
    /// civil time at which the clock was set with the slip: from there its calendar runs on, over leap days of its own. `None`
    /// where it displays no time that can be told.
    #[must_use]
    pub fn displays(self, civil: i64, set: i64) -> Option<i64> {
        match self {
            Slip::Identity => Some(civil),
            Slip::HalfDay(hours) | Slip::Hour(hours) => civil.checked_add(hours * HOUR_MS),
            Slip::Quarters(quarters) => civil.checked_add(quarters * QUARTER_MS),
            Slip::Day(days) => civil.checked_add(days * DAY_MS),
            Slip::SwappedAtSetting => civil.checked_add(swapped(set)?.checked_sub(set)?),
            Slip::SwappedInPrint => swapped(civil),
            Slip::Year(years) | Slip::Century(years) => {
                let at = calendar(set)?;
                let other = at.with_year(at.year().checked_add(years)?)?.and_utc().timestamp_millis();
                civil.checked_add(other.checked_sub(set)?)
            }
            Slip::Epoch(_) => None,
        }
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

/// The slips that fit every reading to within a tolerance, in their fixed order.
///
/// A clock is never right to the second, so that a slip fits where the display lies within the tolerance of what a clock
/// with that slip displays. When the clock was set is not known: a swap at setting fits where one day within ninety days
/// before the first reading explains them all, and a wrong year where one day within a year does, so that leap days of
/// either calendar count.
#[must_use]
pub fn fitting(readings: &[Shown], tolerance_ms: i64) -> Vec<Slip> {
    if readings.is_empty() {
        return Vec::new();
    }
    Slip::all().into_iter().filter(|slip| fits(*slip, readings, tolerance_ms)).collect()
}

/// Whether a slip fits every reading.
#[must_use]
pub fn fits(slip: Slip, readings: &[Shown], tolerance: i64) -> bool {
    let first = readings.iter().map(|reading| reading.civil.0).min().unwrap_or(0);
    // Zones lie close: a difference of some minutes is not to pass for one of a quarter of an hour.
    let tolerance = if matches!(slip, Slip::Quarters(_)) { tolerance.min(ZONE_MS) } else { tolerance };
    let near = |reading: &Shown, set: i64| {
        let ends = slip.displays(reading.civil.0, set).zip(slip.displays(reading.civil.1, set));
        ends.is_some_and(|(from, to)| {
            reading.displayed.0 <= to.max(from).saturating_add(tolerance)
                && reading.displayed.1 > from.min(to).saturating_sub(tolerance)
        })
    };
    let set_within = |days: i64| {
        (0..=days).any(|day| {
            let set = first - day * DAY_MS;
            // A slip that changes nothing is none.
            slip.displays(set, set).is_some_and(|other| other != set)
                && readings.iter().all(|reading| near(reading, set))
        })
    };
    match slip {
        Slip::SwappedAtSetting => set_within(90),
        Slip::Year(_) | Slip::Century(_) => set_within(366),
        Slip::SwappedInPrint => {
            let changes =
                |reading: &Shown| swapped(reading.civil.0).is_some_and(|other| other != reading.civil.0);
            readings.iter().any(changes) && readings.iter().all(|reading| near(reading, 0))
        }
        Slip::Epoch(place) => BASE_DATES.get(place).is_some_and(|date| counts_from(date, readings)),
        _ => readings.iter().all(|reading| near(reading, 0)),
    }
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
mod tests {
    use super::*;

    fn ms(text: &str) -> i64 {
        crate::case::civil_ms(text).unwrap()
    }

    fn read(displayed: &str, civil: &str) -> Shown {
        let (from, at) = (ms(displayed), ms(civil));
        Shown { displayed: (from, from + 1000), civil: (at - 5000, at + 5000) }
    }

    fn fit(readings: &[(&str, &str)]) -> Vec<Slip> {
        let readings: Vec<Shown> = readings.iter().map(|(displayed, civil)| read(displayed, civil)).collect();
        fitting(&readings, 300_000)
    }

    #[test]
    fn every_slip_is_found_by_its_readings_and_none_beside_it() {
        for (readings, slips) in [
            (vec![("2031-05-10 06:40:00", "2031-05-10 06:41:00")], vec![Slip::Identity]),
            (vec![("2031-05-10 18:40:00", "2031-05-10 06:40:00")], vec![Slip::HalfDay(12)]),
            (vec![("2031-05-10 05:40:00", "2031-05-10 06:40:00")], vec![Slip::Hour(-1)]),
            // methods.md, 10, fault 17: a zone 5 h 30 min away.
            (vec![("2031-05-10 01:10:00", "2031-05-10 06:40:00")], vec![Slip::Quarters(-22)]),
            (vec![("2031-05-11 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Day(1)]),
            (vec![("2030-05-10 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Year(-1)]),
            // Set in January of a leap year with the year before, which had no 29 February: a day more from March on.
            (vec![("2031-05-11 06:40:00", "2032-05-10 06:40:00")], vec![Slip::Year(-1)]),
            (
                vec![
                    ("2031-01-20 06:40:00", "2032-01-20 06:40:00"),
                    ("2031-05-11 06:40:00", "2032-05-10 06:40:00"),
                ],
                vec![Slip::Year(-1)],
            ),
            (
                vec![
                    ("2031-01-20 06:40:00", "2032-01-20 06:40:00"),
                    ("2031-05-10 06:40:00", "2032-05-10 06:40:00"),
                ],
                vec![],
            ),
            (vec![("1931-05-10 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Century(-100)]),
            (vec![("2020-01-04 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Epoch(7)]),
            (vec![("2031-05-10 06:40:00", "2031-05-10 09:17:00")], vec![]),
        ] {
            assert_eq!(fit(&readings), slips, "{readings:?}");
        }
        assert!(fitting(&[], 1).is_empty());
    }

    /// methods.md, 3.4: 2024-05-07 set as 07-05 is 59 days off on every day; in print it is off by 59, 89, ... days.
    #[test]
    fn a_swap_at_setting_and_a_swap_in_print_are_two_slips() {
        // One reading on the day itself fits both, and both are listed.
        let both = fit(&[("2024-07-05 06:40:00", "2024-05-07 06:40:00")]);
        assert_eq!(both, [Slip::SwappedAtSetting, Slip::SwappedInPrint]);
        // The same difference on the next day: set so.
        let set = fit(&[
            ("2024-07-05 06:40:00", "2024-05-07 06:40:00"),
            ("2024-07-06 06:40:00", "2024-05-08 06:40:00"),
        ]);
        assert_eq!(set, [Slip::SwappedAtSetting]);
        let print = fit(&[
            ("2024-07-05 06:40:00", "2024-05-07 06:40:00"),
            ("2024-08-05 06:40:00", "2024-05-08 06:40:00"),
        ]);
        assert_eq!(print, [Slip::SwappedInPrint]);
        let days: Vec<i64> = (7..=12)
            .map(|day| {
                let civil = ms(&format!("2024-05-{day:02} 00:00"));
                (Slip::SwappedInPrint.displays(civil, 0).unwrap() - civil) / DAY_MS
            })
            .collect();
        assert_eq!(days, [59, 89, 119, 148, 178, 207], "methods.md, 3.4 [measured]");
        assert_eq!(Slip::SwappedInPrint.displays(ms("2024-05-13 00:00"), 0), None);
    }

    /// A row of zones is told once, at the place of its nearest; an hour and twelve hours stand under their own names.
    #[test]
    fn neighbouring_zones_are_told_as_one() {
        let slips =
            [Slip::Hour(-1), Slip::Quarters(-3), Slip::Quarters(3), Slip::Quarters(-5), Slip::Quarters(-6)];
        assert_eq!(
            Slip::told(&slips),
            [
                "the clock was 1 hour behind (summer time, or a neighbouring zone)",
                "the clock was 0 h 45 min to 1 h 30 min behind, by whole quarters of an hour (the time of another zone, or UTC)",
                "the clock was 0 h 45 min ahead (the time of another zone, or UTC)",
            ]
        );
        // One left out, and each stands for itself.
        assert_eq!(Slip::told(&[Slip::Quarters(1), Slip::Quarters(2), Slip::Quarters(5)]).len(), 3);
    }

    #[test]
    fn the_order_is_fixed_and_no_slip_stands_twice() {
        let all = Slip::all();
        let mut sorted = all.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), all.len());
        assert_eq!(all.first(), Some(&Slip::Identity));
        assert!(all.iter().all(|slip| !slip.words().is_empty()));
    }
}

//! True time: an instant as whole nanoseconds since 1970-01-01 00:00:00 UTC, and civil times of the place.

use std::fmt;
use std::ops::{Add, Sub};

use chrono::{NaiveDateTime, NaiveTime};

use crate::syntax::Stamp;

/// Nanoseconds in a millisecond.
pub(super) const MS: i128 = 1_000_000;

/// Nanoseconds in a second.
pub const SECOND: i128 = 1_000_000_000;

/// An instant of true time, or a difference of two: whole nanoseconds, exact over every calendar that a log can hold.
///
/// A rate is stated in parts per million and a display in whole milliseconds, so every product of the two is a whole
/// number of nanoseconds: bounds of a clock whose drift is bounded are never rounded. Leap seconds are not counted, as in
/// civil time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Instant(i128);

impl Instant {
    /// From nanoseconds since 1970-01-01 00:00:00 UTC.
    #[must_use]
    pub fn of_ns(ns: i128) -> Instant {
        Instant(ns)
    }

    /// Nanoseconds since 1970-01-01 00:00:00 UTC.
    #[must_use]
    pub fn ns(self) -> i128 {
        self.0
    }

    /// The instant at which a clock without error, in a zone so many minutes east of UTC, begins to display this.
    #[must_use]
    pub fn of_stamp(stamp: Stamp, offset_minutes: i32) -> Instant {
        Instant(i128::from(stamp.ms()) * MS - i128::from(offset_minutes) * 60 * SECOND)
    }

    /// The instant of a civil moment, `YYYY-MM-DD hh:mm` with optional seconds, in a zone so many minutes east of UTC.
    #[must_use]
    pub fn of_civil(moment: &str, offset_minutes: i32) -> Option<Instant> {
        stamp(moment).map(|stamp| Instant::of_stamp(stamp, offset_minutes))
    }

    /// The civil time in a zone so many minutes east of UTC, `YYYY-MM-DD hh:mm:ss` with as many digits of the second as
    /// it needs, up to the millisecond: the last millisecond not after the instant.
    #[must_use]
    pub fn civil(self, offset_minutes: i32) -> String {
        let ms = (self.0 + i128::from(offset_minutes) * 60 * SECOND).div_euclid(MS);
        let Ok(ms) = i64::try_from(ms) else { return "-".to_owned() };
        let digits = if ms.rem_euclid(1000) == 0 { 0 } else { 3 };
        Stamp::new(ms, digits).to_string()
    }

    /// The last whole second not after it.
    #[must_use]
    pub fn second_before(self) -> Instant {
        Instant(self.0.div_euclid(SECOND) * SECOND)
    }

    /// The first whole second not before it.
    #[must_use]
    pub fn second_after(self) -> Instant {
        Instant((self.0 + SECOND - 1).div_euclid(SECOND) * SECOND)
    }
}

impl Add for Instant {
    type Output = Instant;

    fn add(self, other: Instant) -> Instant {
        Instant(self.0 + other.0)
    }
}

impl Sub for Instant {
    type Output = Instant;

    fn sub(self, other: Instant) -> Instant {
        Instant(self.0 - other.0)
    }
}

/// As a number of seconds with nine digits behind the point, without zone.
impl fmt::Display for Instant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let second = SECOND.unsigned_abs();
        f.pad(&format!("{sign}{}.{:09}", size / second, size % second))
    }
}

/// A civil moment as the case file writes it, `YYYY-MM-DD hh:mm` with optional seconds, as a display of minutes or of
/// seconds.
#[must_use]
pub fn stamp(moment: &str) -> Option<Stamp> {
    let read = |form| NaiveDateTime::parse_from_str(moment, form).ok();
    let ms = |time: NaiveDateTime| time.and_utc().timestamp_millis();
    match moment.len() {
        16 => read("%Y-%m-%d %H:%M").map(|time| Stamp::new(ms(time), 0).to_the_minute()),
        _ => read("%Y-%m-%d %H:%M:%S").map(|time| Stamp::new(ms(time), 0)),
    }
}

/// An offset from UTC as the case file writes it, `+hh:mm` or `-hh:mm`, in minutes.
#[must_use]
pub fn offset(zone: &str) -> Option<i32> {
    let (sign, clock) = match zone.split_at_checked(1)? {
        ("+", clock) => (1, clock),
        ("-", clock) => (-1, clock),
        _ => return None,
    };
    let time = NaiveTime::parse_from_str(clock, "%H:%M").ok()?;
    let minutes = time.signed_duration_since(NaiveTime::MIN).num_minutes();
    i32::try_from(minutes).ok().map(|minutes| sign * minutes)
}

/// A length of time in words that lose nothing: `1 h 2 min 3.250 s`; from two days on in days: `148 days 12 h`.
#[must_use]
pub fn length(ns: i128) -> String {
    let sign = if ns < 0 { "-" } else { "" };
    let size = ns.unsigned_abs();
    let second = SECOND.unsigned_abs();
    let (whole, rest) = (size / second, size % second);
    let (mut hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    let mut words = Vec::new();
    if hours >= 48 {
        words.push(format!("{} days", hours / 24));
        hours %= 24;
    }
    if hours > 0 {
        words.push(format!("{hours} h"));
    }
    if minutes > 0 {
        words.push(format!("{minutes} min"));
    }
    if rest > 0 {
        let digits = format!("{rest:09}");
        words.push(format!("{seconds}.{} s", digits.trim_end_matches('0')));
    } else if seconds > 0 || words.is_empty() {
        words.push(format!("{seconds} s"));
    }
    format!("{sign}{}", words.join(" "))
}

/// Two ends of a length of time in words, rounded outwards: to seconds, or finer where less than four such steps lie between
/// the ends or where the lesser end would no longer lie above `above`, on which what is said of it hangs.
#[must_use]
pub fn outwards(least: Instant, most: Instant, above: Instant) -> (String, String) {
    let step = [SECOND, MS]
        .into_iter()
        .find(|step| most.0 - least.0 >= 4 * step && least.0.div_euclid(*step) * step > above.0)
        .unwrap_or(1);
    let up = (most.0 + step - 1).div_euclid(step) * step;
    (length(least.0.div_euclid(step) * step), length(up))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 3339, 5.8: 1985-04-12T23:20:50.52Z and 1996-12-19T16:39:57-08:00, which is 1996-12-20T00:39:57Z; the count of
    /// seconds of the first from `standards.md` 7, 5.
    #[test]
    fn civil_times_and_offsets_are_those_of_rfc_3339() {
        let first = Instant::of_stamp(Stamp::new(482_196_050_520, 2), 0);
        assert_eq!(first.civil(0), "1985-04-12 23:20:50.520");
        let second = Instant::of_civil("1996-12-19 16:39:57", -480).unwrap();
        assert_eq!(second, Instant::of_civil("1996-12-20 00:39:57", 0).unwrap());
        assert_eq!(second.civil(120), "1996-12-20 02:39:57");
        assert_eq!(Instant::of_ns(-1).civil(0), "1969-12-31 23:59:59.999");
    }

    #[test]
    fn ends_are_rounded_outwards_and_never_over_what_hangs_on_them() {
        let ms = |ms: i128| Instant::of_ns(ms * MS);
        let told = |least, most, above| outwards(ms(least), ms(most), ms(above));
        assert_eq!(told(58_979, 181_021, 0), ("58 s".to_owned(), "3 min 2 s".to_owned()));
        assert_eq!(told(400, 9_000, 0), ("0.4 s".to_owned(), "9 s".to_owned()));
        assert_eq!(told(60_001, 65_500, 60_000), ("1 min 0.001 s".to_owned(), "1 min 5.5 s".to_owned()));
        assert_eq!(told(60_001, 60_001, 60_000), ("1 min 0.001 s".to_owned(), "1 min 0.001 s".to_owned()));
        assert_eq!(told(1_500, 3_500, 0), ("1.5 s".to_owned(), "3.5 s".to_owned()));
        assert_eq!(ms(-1).second_before(), ms(-1_000));
        assert_eq!(ms(-1).second_after(), ms(0));
        assert_eq!(ms(2_000).second_after(), ms(2_000));
    }

    #[test]
    fn moments_offsets_and_lengths_are_read_and_written() {
        assert_eq!(stamp("2031-05-10 18:03").unwrap().step_ms(), 60_000);
        assert_eq!(stamp("2031-05-10 18:03:07").unwrap().step_ms(), 1000);
        assert_eq!(stamp("2031-02-29 18:03"), None);
        assert_eq!(stamp("18:03"), None);
        for (text, minutes) in [("+02:00", Some(120)), ("-03:30", Some(-210)), ("02:00", None), ("", None)] {
            assert_eq!(offset(text), minutes, "{text}");
        }
        for (ns, words) in [
            (0, "0 s"),
            (60 * SECOND, "1 min"),
            (-3_723_250_000_000, "-1 h 2 min 3.25 s"),
            (1, "0.000000001 s"),
        ] {
            assert_eq!(length(ns), words);
        }
        assert_eq!(Instant::of_ns(-1_500_000_000).to_string(), "-1.500000000");
    }
}

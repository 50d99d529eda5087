//! A time as the unit displayed it.

use std::fmt;

use chrono::{Datelike as _, Timelike as _};

/// A time as the unit displayed it: a civil date and time without zone, in whole milliseconds.
///
/// A displayed 18:00:00 means from 18:00:00 to before 18:00:01; see [`Stamp::step_ms`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp {
    ms: i64,
    digits: u8,
}

/// In place of the fraction digits: the display shows minutes and no seconds.
const MINUTES: u8 = u8::MAX;

impl Stamp {
    /// From milliseconds since 1970-01-01 00:00:00 of the displayed calendar, and the fraction digits shown (0 to 3).
    #[must_use]
    pub fn new(ms: i64, digits: u8) -> Stamp {
        Stamp { ms, digits: digits.min(3) }
    }

    /// Milliseconds since 1970-01-01 00:00:00 of the displayed calendar.
    #[must_use]
    pub fn ms(self) -> i64 {
        self.ms
    }

    /// The same on a display that shows minutes and no seconds.
    #[must_use]
    pub fn to_the_minute(self) -> Stamp {
        Stamp { ms: self.ms - self.ms.rem_euclid(60_000), digits: MINUTES }
    }

    /// Whether the display shows seconds.
    #[must_use]
    pub fn shows_seconds(self) -> bool {
        self.digits != MINUTES
    }

    /// Number of fraction digits displayed, 0 to 3.
    #[must_use]
    pub fn digits(self) -> u8 {
        if self.shows_seconds() { self.digits } else { 0 }
    }

    /// Step of the display in milliseconds: 60000, 1000, 100, 10 or 1.
    #[must_use]
    pub fn step_ms(self) -> i64 {
        if self.shows_seconds() { 10_i64.pow(3 - u32::from(self.digits)) } else { 60_000 }
    }

    /// As the neutral format writes it, with seconds, whether or not the display shows them.
    #[must_use]
    pub fn written(self) -> String {
        Stamp { digits: self.digits(), ..self }.to_string()
    }

    /// Only the time of day, `hh:mm:ss` with the fraction as displayed.
    #[must_use]
    pub fn time_of_day(self) -> String {
        let mut text = String::new();
        if let Some(instant) = chrono::DateTime::from_timestamp_millis(self.ms) {
            // Writing to a text cannot fail.
            _ = self.push_clock(&mut text, instant.time());
        } else {
            text.push('-');
        }
        text
    }

    fn push_clock(self, text: &mut impl fmt::Write, clock: chrono::NaiveTime) -> fmt::Result {
        write!(text, "{:02}:{:02}", clock.hour(), clock.minute())?;
        if self.shows_seconds() {
            write!(text, ":{:02}", clock.second())?;
        }
        if self.digits() > 0 {
            let fraction = self.ms.rem_euclid(1000) / self.step_ms();
            write!(text, ".{fraction:0width$}", width = usize::from(self.digits))?;
        }
        Ok(())
    }
}

impl Stamp {
    fn write(self, text: &mut impl fmt::Write, instant: chrono::DateTime<chrono::Utc>) -> fmt::Result {
        let (year, month, day) = (instant.year(), instant.month(), instant.day());
        // ISO 8601 wants a sign before years that four digits cannot hold.
        match year {
            0..=9999 => write!(text, "{year:04}-{month:02}-{day:02} ")?,
            _ => write!(text, "{year:+05}-{month:02}-{day:02} ")?,
        }
        self.push_clock(text, instant.time())
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(instant) = chrono::DateTime::from_timestamp_millis(self.ms) else {
            return f.pad("-");
        };
        if f.width().is_none() && f.precision().is_none() {
            return self.write(f, instant);
        }
        let mut text = String::new();
        self.write(&mut text, instant)?;
        f.pad(&text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// chrono's own formatting is the check; it reads its pattern anew each time, which is slow.
    #[test]
    fn a_time_is_written_as_chrono_writes_it() {
        let day = 86_400_000;
        let far = [i64::MIN, i64::MAX, -62_135_596_800_000, 253_402_300_799_999, 253_402_300_800_000];
        let spread = (-30_000..90_000).map(|n| n * (37 * day + 12_345_678) / 3);
        for ms in far.into_iter().chain(spread) {
            let Some(instant) = chrono::DateTime::from_timestamp_millis(ms) else {
                assert_eq!(Stamp::new(ms, 0).to_string(), "-");
                assert_eq!(Stamp::new(ms, 0).time_of_day(), "-");
                continue;
            };
            assert_eq!(Stamp::new(ms, 0).to_string(), instant.format("%Y-%m-%d %H:%M:%S").to_string());
            assert_eq!(Stamp::new(ms, 3).to_string(), instant.format("%Y-%m-%d %H:%M:%S%.3f").to_string());
            assert_eq!(Stamp::new(ms, 3).time_of_day(), instant.format("%H:%M:%S%.3f").to_string());
            let minute = Stamp::new(ms, 3).to_the_minute();
            assert_eq!(minute.to_string(), instant.format("%Y-%m-%d %H:%M").to_string());
            assert_eq!(minute.time_of_day(), instant.format("%H:%M").to_string());
        }
    }
}

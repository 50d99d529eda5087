//! A time as the unit displayed it.

use std::fmt;
use std::fmt::Write as _;

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
        self.format(if self.shows_seconds() { "%H:%M:%S" } else { "%H:%M" })
    }

    fn format(self, pattern: &str) -> String {
        let Some(instant) = chrono::DateTime::from_timestamp_millis(self.ms) else {
            return "-".to_owned();
        };
        let mut text = instant.format(pattern).to_string();
        if self.digits() > 0 {
            let fraction = self.ms.rem_euclid(1000) / self.step_ms();
            _ = write!(text, ".{fraction:0width$}", width = usize::from(self.digits));
        }
        text
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.format(if self.shows_seconds() { "%Y-%m-%d %H:%M:%S" } else { "%Y-%m-%d %H:%M" }))
    }
}

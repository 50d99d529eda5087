//! The standard's `TimeStamp`: what is read, and what it says.
//!
//! What at least one of four validators takes is read, where it is a time that a log can hold: so a leap second is not,
//! nor a year outside 0001 to 9999.

use chrono::NaiveDate;

use super::super::zone::offset;
use crate::syntax::Stamp;

/// A time as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Written {
    /// Civil time, in milliseconds since 1970-01-01 00:00:00 of its own calendar.
    ms: i64,
    /// Digits of the fraction, 0 to 3.
    digits: u8,
    /// Minutes from UTC, where written.
    pub(super) offset: Option<i32>,
    /// Whether the civil time says all that is written: no digit was cut, no hour 24 carried over.
    pub(super) is_whole: bool,
}

/// First millisecond of the year 0001, and last of the year 9999.
const RANGE: std::ops::RangeInclusive<i64> = -62_135_596_800_000..=253_402_300_799_999;

impl Written {
    /// Reads `YYYY-MM-DDThh:mm:ss[.f*][offset]`.
    pub(super) fn read(text: &str) -> Option<Written> {
        if !text.is_ascii() {
            return None;
        }
        let (date, rest) = text.split_at_checked(10)?;
        let rest = rest.strip_prefix(['T', 't', ' '])?;
        let (clock, rest) = rest.split_at_checked(8)?;
        let [year, month, day] = parts(date, '-', [4, 2, 2])?;
        let [hour, minute, second] = parts(clock, ':', [2, 2, 2])?;
        let (fraction, zone) = match rest.strip_prefix('.') {
            Some(rest) => {
                let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
                rest.split_at_checked(end).filter(|(digits, _)| !digits.is_empty())?
            }
            None => ("", rest),
        };
        let offset = if zone.is_empty() { None } else { Some(offset(zone)?) };
        let carried = hour == 24;
        let at_midnight = minute == 0 && second == 0 && fraction.bytes().all(|b| b == b'0');
        if carried && !at_midnight || hour > 24 {
            return None;
        }
        let day = NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)?;
        let time = day.and_hms_opt(if carried { 0 } else { hour }, minute, second)?;
        let kept = fraction.get(..3).unwrap_or(fraction);
        let mut ms = time.and_utc().timestamp_millis() + format!("{kept:0<3}").parse::<i64>().ok()?;
        if carried {
            ms += 86_400_000;
        }
        let digits = u8::try_from(kept.len()).ok()?;
        let is_whole = kept.len() == fraction.len() && !carried;
        RANGE.contains(&ms).then_some(Written { ms, digits, offset, is_whole })
    }

    /// The time on a clock with this offset; on its own clock where either is not known.
    pub(super) fn at(self, zone: Option<i32>) -> Option<Stamp> {
        let shift = zone.zip(self.offset).map_or(0, |(zone, own)| zone - own);
        let ms = self.ms + i64::from(shift) * 60_000;
        RANGE.contains(&ms).then(|| Stamp::new(ms, self.digits))
    }

    /// Milliseconds on the clock of UTC, where the offset is known.
    pub(super) fn utc(self) -> Option<i64> {
        Some(self.ms - i64::from(self.offset?) * 60_000)
    }
}

fn parts(text: &str, mark: char, lengths: [usize; 3]) -> Option<[u32; 3]> {
    let mut parts = text.split(mark);
    let mut next = |len: usize| {
        let part =
            parts.next().filter(|part| part.len() == len && part.bytes().all(|b| b.is_ascii_digit()))?;
        part.parse().ok()
    };
    let [first, second, third] = lengths;
    Some([next(first)?, next(second)?, next(third)?])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Measured with lxml 6.1.3, xmlschema 4.3.2, jsonschema 4.26.0 and ajv 8.20.0 against the schemas of NIST SP 1500-101
    /// version 1: whether XML Schema 1.0, jsonschema and ajv take a value. Beside it what this reader makes of it.
    #[test]
    fn what_is_read_is_what_some_validator_takes_and_a_log_can_hold() {
        for (value, [xsd, json, ajv], read) in [
            ("2024-05-07T07:00:00Z", [true, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+05:30", [true, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+14:00", [true, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00-00:00", [true, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00.123456789Z", [true, true, true], Some("2024-05-07 07:00:00.123")),
            ("2024-05-07T07:00:00", [true, false, false], Some("2024-05-07 07:00:00")),
            ("2016-12-31T23:59:60Z", [false, false, true], None),
            ("2016-12-31T12:30:60Z", [false, false, false], None),
            ("2024-05-07T24:00:00Z", [true, false, false], Some("2024-05-08 00:00:00")),
            ("2024-05-07t07:00:00z", [false, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07 07:00:00Z", [false, false, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+14:30", [false, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+23:59", [false, true, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+0530", [false, false, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00+05", [false, false, true], Some("2024-05-07 07:00:00")),
            ("2024-05-07T07:00:00,5Z", [false, false, false], None),
            ("2024-05-07T07:00Z", [false, false, false], None),
            ("20240507T070000Z", [false, false, false], None),
            ("2023-02-29T07:00:00Z", [false, false, false], None),
            ("0000-05-07T07:00:00Z", [false, false, true], None),
            ("12024-05-07T07:00:00Z", [true, false, false], None),
            ("-2024-05-07T07:00:00Z", [true, false, false], None),
        ] {
            let found =
                Written::read(value).and_then(|written| written.at(None)).map(|time| time.to_string());
            assert_eq!(found.as_deref(), read, "{value}");
            // Nothing is read that every validator refuses.
            assert!(read.is_none() || xsd || json || ajv, "{value}");
        }
        for value in [
            "",
            "2024-05-07",
            "2024-05-07T07:00:00.Z",
            "2024-05-07T24:00:01Z",
            "2024-05-07T07:00:00 Z",
            "2024-5-07T07:00:00Z1",
            "é024-05-07T07:00:00Z",
        ] {
            assert_eq!(Written::read(value), None, "{value}");
        }
    }

    #[test]
    fn a_time_is_put_on_another_clock() {
        // RFC 3339, 5.8: the second and third example are the same instant.
        let here = Written::read("1996-12-19T16:39:57-08:00").unwrap();
        let there = Written::read("1996-12-20T00:39:57Z").unwrap();
        assert_eq!(here.utc(), there.utc());
        assert_eq!(here.at(Some(0)), there.at(Some(0)));
        assert_eq!(there.at(Some(-480)).unwrap().to_string(), "1996-12-19 16:39:57");
        assert_eq!(Written::read("0001-01-01T00:00:00Z").unwrap().at(Some(-60)), None);
    }
}

//! Offsets from UTC, and times written with them.

use crate::syntax::{Log, Stamp};

/// Largest offset that every reader of `xs:dateTime` takes (XML Schema part 2, 3.2.7.3), in minutes.
pub(super) const WIDEST: i32 = 14 * 60;

/// The offset that a log's header `clock-zone` states, in minutes; none where it states none, or in other words.
pub(super) fn of_log(log: &Log) -> Option<i32> {
    let minutes = offset(log.header("clock-zone")?.text().trim())?;
    (minutes.abs() <= WIDEST).then_some(minutes)
}

/// `Z`, `±hh:mm`, `±hhmm` or `±hh` in minutes.
pub(super) fn offset(text: &str) -> Option<i32> {
    if matches!(text, "Z" | "z") {
        return Some(0);
    }
    let (sign, digits) = match text.split_at_checked(1)? {
        ("+", digits) => (1, digits),
        ("-", digits) => (-1, digits),
        _ => return None,
    };
    let (hours, minutes) = match digits.len() {
        5 => digits.split_once(':')?,
        4 => digits.split_at_checked(2)?,
        2 => (digits, "00"),
        _ => return None,
    };
    let (hours, minutes) = (two(hours)?, two(minutes)?);
    (hours <= 23 && minutes <= 59).then_some(sign * (hours * 60 + minutes))
}

fn two(digits: &str) -> Option<i32> {
    (digits.len() == 2 && digits.bytes().all(|b| b.is_ascii_digit())).then(|| digits.parse().ok()).flatten()
}

/// An offset as `Z` or `±hh:mm`.
pub(super) fn written(minutes: i32) -> String {
    if minutes == 0 {
        return "Z".to_owned();
    }
    let sign = if minutes < 0 { '-' } else { '+' };
    format!("{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
}

/// A time as `YYYY-MM-DDThh:mm:ss` with the fraction shown.
pub(super) fn civil(time: Stamp) -> String {
    time.written().replacen(' ', "T", 1)
}

/// A time with its offset, in the one form that every validator takes. Where the offset is not known it is `-00:00`
/// (RFC 3339, 4.3: the offset of the local time is not known); whoever writes it says beside it that the time is as
/// displayed, and that nothing is known of UTC either.
pub(super) fn with_offset(time: Stamp, offset: Option<i32>) -> String {
    civil(time) + &offset.map_or_else(|| "-00:00".to_owned(), written)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_are_read_and_written() {
        for (text, minutes) in
            [("Z", 0), ("+05:30", 330), ("-00:00", 0), ("+0530", 330), ("-03", -180), ("+23:59", 1439)]
        {
            assert_eq!(offset(text), Some(minutes), "{text}");
        }
        for text in ["", "+", "+5", "+24:00", "+05:60", "05:30", "UTC", "+é:30", "+0:530", "++5:30"] {
            assert_eq!(offset(text), None, "{text}");
        }
        assert_eq!(with_offset(Stamp::new(-62_135_596_800_000, 0), None), "0001-01-01T00:00:00-00:00");
        assert_eq!(with_offset(Stamp::new(250, 2), Some(-210)), "1970-01-01T00:00:00.25-03:30");
        assert_eq!(with_offset(Stamp::new(59_000, 0).to_the_minute(), Some(0)), "1970-01-01T00:00:00Z");
    }
}

//! The grammar of a record's time: the whole shape first, then the calendar.

use chrono::{Datelike as _, NaiveDate};
use nom::bytes::complete::take_while_m_n;
use nom::character::complete::char;
use nom::combinator::{map, opt, recognize, verify};
use nom::sequence::{preceded, terminated};
use nom::{Parser as _, branch::alt};

use super::wrong::{Parsed, Valued, Wrong, or_fault, token};
use crate::syntax::{FaultCode, Stamp};

/// Days from 0001-01-01 to 1970-01-01, both as the calendar counts them (day 1 is 0001-01-01).
pub(super) const EPOCH_DAY: i64 = 719_163;

/// `time = "-" / date space clock`
pub(super) fn time(input: &str) -> Parsed<'_, Valued<Option<Stamp>>> {
    if token(input) == "-" {
        return map(char('-'), |_| Ok(None)).parse(input);
    }
    let (rest, day) = or_fault(terminated(date, char(' ')).parse(input), input, name_bad_date)?;
    let (rest, (ms, digits)) = or_fault(clock(rest), rest, name_bad_clock)?;
    if rest.is_empty() || rest.starts_with(' ') {
        let stamp = |day| ms.map(|ms| Some(Stamp::new(day * 86_400_000 + ms, digits)));
        return Ok((rest, day.and_then(stamp)));
    }
    let code = match rest.bytes().next() {
        Some(b'0'..=b'9') if digits == 3 => FaultCode::FractionTooLong,
        Some(b'Z' | b'z' | b'+' | b'-') => FaultCode::TimeZone,
        _ => FaultCode::TimeForm,
    };
    Wrong::token(code, rest).stop()
}

fn name_bad_date(at: &str) -> Wrong {
    let word = token(at);
    // A word in the place of the time is the event: the time was left out.
    let is_event = word.starts_with(|c: char| c.is_ascii_alphabetic()) && !word.contains('=');
    Wrong::token(if word.is_empty() || is_event { FaultCode::TimeMissing } else { FaultCode::TimeForm }, at)
}

fn name_bad_clock(at: &str) -> Wrong {
    let spaces = at.len() - at.trim_start_matches(' ').len();
    if spaces == 0 {
        return Wrong::token(FaultCode::TimeForm, at);
    }
    // The first of the spaces has been taken already.
    Wrong { code: FaultCode::SpaceDoubled, from: at.len() + 1, to: at.len() - spaces }
}

/// `date = 4decimal "-" 2decimal "-" 2decimal`
///
/// The value is the day counted from 1970-01-01.
fn date(input: &str) -> Parsed<'_, Valued<i64>> {
    let mut shape = (figures::<4>, preceded(char('-'), figures::<2>), preceded(char('-'), figures::<2>));
    let (rest, (year, month, day)) = shape.parse(input)?;
    if !(rest.is_empty() || rest.starts_with(' ')) {
        return Wrong::token(FaultCode::TimeForm, input).stop();
    }
    let wrong = |code, place: usize, len: usize| {
        let from = input.len() - place;
        Err(Wrong { code, from, to: from - len })
    };
    let valued = if year == 0 {
        wrong(FaultCode::YearOutOfRange, 0, 4)
    } else if !(1..=12).contains(&month) {
        wrong(FaultCode::MonthOutOfRange, 5, 2)
    } else if !(1..=31).contains(&day) {
        wrong(FaultCode::DayOutOfRange, 8, 2)
    } else {
        match NaiveDate::from_ymd_opt(i32::try_from(year).unwrap_or_default(), month, day) {
            Some(date) => Ok(i64::from(date.num_days_from_ce()) - EPOCH_DAY),
            None => wrong(FaultCode::DayNotInMonth, 8, 2),
        }
    };
    Ok((rest, valued))
}

/// `clock = 2decimal ":" 2decimal ":" 2decimal [ "." 1*3decimal ]`
///
/// The value is the milliseconds since midnight and the number of fraction digits.
fn clock(input: &str) -> Parsed<'_, (Valued<i64>, u8)> {
    let mut shape = (figures::<2>, preceded(char(':'), figures::<2>), preceded(char(':'), figures::<2>));
    let (rest, (hour, minute, second)) = shape.parse(input)?;
    let (rest, fraction) = opt(preceded(char('.'), fraction)).parse(rest)?;
    let (ms, digits) = fraction.unwrap_or((0, 0));
    let bounds = [
        (hour, 23, 0, FaultCode::HourOutOfRange),
        (minute, 59, 3, FaultCode::MinuteOutOfRange),
        (second, 59, 6, FaultCode::SecondOutOfRange),
    ];
    for (value, most, place, code) in bounds {
        if value > most {
            let from = input.len() - place;
            return Ok((rest, (Err(Wrong { code, from, to: from - 2 }), digits)));
        }
    }
    let of_seconds = i64::from((hour * 60 + minute) * 60 + second) * 1000;
    Ok((rest, (Ok(of_seconds + i64::from(ms)), digits)))
}

/// `1*3decimal`, as milliseconds and the number of digits.
fn fraction(input: &str) -> Parsed<'_, (u32, u8)> {
    alt((
        map(figures::<3>, |ms| (ms, 3)),
        map(figures::<2>, |hundredths| (hundredths * 10, 2)),
        map(figures::<1>, |tenths| (tenths * 100, 1)),
    ))
    .parse(input)
}

/// Exactly `N` decimal digits (`decimal = %x30-39`), with their value; N is small.
fn figures<const N: usize>(input: &str) -> Parsed<'_, u32> {
    let digits = take_while_m_n(N, N, |c: char| c.is_ascii_digit());
    map(digits, |text: &str| text.bytes().fold(0, |value, byte| value * 10 + u32::from(byte - b'0')))
        .parse(input)
}

/// A whole number `1*19decimal`: its value and the number of its digits.
pub(super) fn whole(input: &str) -> Parsed<'_, (u64, u8)> {
    let digits = recognize(nom::character::complete::digit1);
    let (rest, text) = verify(digits, |text: &str| text.len() <= super::LIMITS.number_digits).parse(input)?;
    let value = text.bytes().fold(0_u64, |value, byte| value * 10 + u64::from(byte - b'0'));
    Ok((rest, (value, u8::try_from(text.len()).unwrap_or(u8::MAX))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Stamp, (FaultCode, String)> {
        match time(text) {
            Ok((_, Ok(stamp))) => Ok(stamp.unwrap()),
            Ok((_, Err(wrong))) | Err(nom::Err::Failure(wrong)) => Err((
                wrong.code,
                text.get(text.len() - wrong.from..text.len() - wrong.to).unwrap().to_owned(),
            )),
            Err(other) => panic!("a refusal without a fault: {other:?}"),
        }
    }

    #[test]
    fn every_bad_time_is_named_at_its_place() {
        use FaultCode::*;
        for (text, code, place) in [
            ("2031-13-10 07:00:00 x", MonthOutOfRange, "13"),
            ("2031-00-10 07:00:00 x", MonthOutOfRange, "00"),
            ("2031-05-32 07:00:00 x", DayOutOfRange, "32"),
            ("2023-02-29 07:00:00 x", DayNotInMonth, "29"),
            ("1900-02-29 07:00:00 x", DayNotInMonth, "29"),
            ("0000-05-10 07:00:00 x", YearOutOfRange, "0000"),
            ("2031-05-10 24:00:00 x", HourOutOfRange, "24"),
            ("2031-05-10 07:60:00 x", MinuteOutOfRange, "60"),
            ("2031-05-10 23:59:60 x", SecondOutOfRange, "60"),
            ("2031-05-10 23:59:59.1234 x", FractionTooLong, "4"),
            ("2031-05-10 23:59:59Z x", TimeZone, "Z"),
            ("2031-05-10 23:59:59+02:00 x", TimeZone, "+02:00"),
            ("2031-05-10T23:59:59 x", TimeForm, "2031-05-10T23:59:59"),
            ("2031-5-10 07:00:00 x", TimeForm, "2031-5-10"),
            ("2031-05-10 7:00:00 x", TimeForm, "7:00:00"),
            ("2031-05-10 07:00 x", TimeForm, "07:00"),
            ("2031-05-10 07:00:00, x", TimeForm, ","),
            // What leaves the shape comes before a value that cannot be.
            ("2031-13-10 7:00:00 x", TimeForm, "7:00:00"),
            ("2031-13-10", TimeForm, "2031-13-10"),
            ("2031-13-10 24:00:00 x", MonthOutOfRange, "13"),
            ("2031-05-10 24:00:00Z x", TimeZone, "Z"),
            ("enable", TimeMissing, "enable"),
            ("", TimeMissing, ""),
        ] {
            assert_eq!(read(text), Err((code, place.to_owned())), "{text}");
        }
        assert_eq!(read("1970-01-01 00:00:00").unwrap().ms(), 0);
        assert_eq!(read("0001-01-01 00:00:00").unwrap().ms(), -62_135_596_800_000);
        assert_eq!(read("9999-12-31 23:59:59.999").unwrap().ms(), 253_402_300_799_999);
        assert_eq!(read("2000-02-29 00:00:00.5").unwrap(), Stamp::new(951_782_400_500, 1));
    }
}

//! The swift reader: takes a record line in its plain form straight from the bytes, or declines it.
//!
//! It knows no fault and no grammar of its own: what it takes, the productions in [`super::line`] read to the same
//! record, and what it does not know goes there. Plain are lines with a known event, attributes without quotes in ASCII
//! and no space at the end, ended by LF, CRLF or the source.

use super::LIMITS;
use super::pages::LineEnd;
use crate::event::{Event, Packed};
use crate::source::Digest;
use crate::syntax::Stamp;

/// Bytes in which number, time and event of a plain line stand, whatever they are: 19 digits, a space, 23 characters of
/// a time, a space, 16 of a word.
const WINDOW: usize = 64;

/// One in every byte.
const ONES: u64 = 0x0101_0101_0101_0101;
/// The highest bit of every byte.
const HIGHS: u64 = 0x8080_8080_8080_8080;

/// A record line as it was taken. Places are counted from the line's begin.
#[derive(Debug, Clone, Copy)]
pub(super) struct Swift {
    pub(super) number: Option<u64>,
    pub(super) number_digits: u8,
    pub(super) time: Option<Stamp>,
    pub(super) event: Event,
    pub(super) word_from: usize,
    pub(super) word_to: usize,
    pub(super) chain: Option<Digest>,
    /// Where the space before the chain field stands; the line's length without one.
    pub(super) chain_from: usize,
    /// Length without the line end.
    pub(super) len: usize,
    pub(super) end: LineEnd,
}

/// A key and its value, as places in the line.
pub(super) struct SwiftAttribute {
    pub(super) key_from: usize,
    pub(super) equals: usize,
    pub(super) value_to: usize,
}

/// Takes the record line with which `rest` begins, or declines it; `rest` is what is left of a source. Attributes are
/// handed on as they are met, also those of a line that is declined later on.
#[inline]
pub(super) fn record(rest: &[u8], today: &mut Today, attribute: impl FnMut(SwiftAttribute)) -> Option<Swift> {
    let padded;
    let window = if let Some(window) = rest.first_chunk() {
        window
    } else {
        padded = padded_window(rest);
        &padded
    };
    let (number, number_digits, at) = number(window)?;
    let (time, at) = time(window, at, today)?;
    let (event, word_to) = event(window, at)?;
    let swift = Swift {
        number,
        number_digits,
        time,
        event,
        word_from: at,
        word_to,
        chain: None,
        chain_from: 0,
        len: word_to,
        end: LineEnd::Lf,
    };
    behind_the_event(rest, swift, attribute)
}

/// The end of a source, with zeros behind it, which no field takes.
#[cold]
fn padded_window(rest: &[u8]) -> [u8; WINDOW] {
    let mut padded = [0; WINDOW];
    padded.iter_mut().zip(rest).for_each(|(to, from)| *to = *from);
    padded
}

fn load(window: &[u8; WINDOW], at: usize) -> Option<u64> {
    window.get(at..)?.first_chunk().map(|bytes| u64::from_le_bytes(*bytes))
}

/// Number of bytes before the lowest byte that is flagged by its highest bit; 8 where none is.
fn unflagged(flags: u64) -> usize {
    flags.trailing_zeros() as usize / 8
}

/// Digits of the record number with the space behind them, or `- `: value, digits, where the next field begins.
#[inline]
fn number(window: &[u8; WINDOW]) -> Option<(Option<u64>, u8, usize)> {
    let digits = load(window, 0)? ^ (ONES * u64::from(b'0'));
    let plain = unflagged((digits.wrapping_add(ONES * 0x76) | digits) & HIGHS);
    let (value, len) = match plain {
        0 if window.starts_with(b"- ") => return Some((None, 0, 2)),
        0 => return None,
        1..8 => (eight_digits(digits << (64 - plain * 8)), plain),
        _ => more_digits(window)?,
    };
    (window.get(len) == Some(&b' ')).then_some((Some(value), u8::try_from(len).unwrap_or(u8::MAX), len + 1))
}

/// The value of eight digits, the first in the lowest byte. Pairs of bytes, then of pairs, are put together.
fn eight_digits(digits: u64) -> u64 {
    let pairs = digits.wrapping_mul(10).wrapping_add(digits >> 8);
    let low = (pairs & 0x0000_00FF_0000_00FF).wrapping_mul(0x000F_4240_0000_0064);
    let high = ((pairs >> 16) & 0x0000_00FF_0000_00FF).wrapping_mul(0x0000_2710_0000_0001);
    low.wrapping_add(high) >> 32
}

#[cold]
fn more_digits(window: &[u8; WINDOW]) -> Option<(u64, usize)> {
    let digits = window.iter().take_while(|byte| byte.is_ascii_digit());
    let (value, len) = digits.take(LIMITS.number_digits + 1).fold((0_u64, 0), |(value, len), byte| {
        (value.wrapping_mul(10).wrapping_add(u64::from(byte - b'0')), len + 1)
    });
    (len <= LIMITS.number_digits).then_some((value, len))
}

/// The day on which the last record was taken: its ten characters and a space, and its begin in milliseconds. Records
/// of one day mostly follow each other, so that the calendar is asked once a day.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Today {
    first: u64,
    second: u64,
    begin_ms: i64,
}

/// In each byte: it and the one behind it as a number of two digits.
fn pair(digits: u64, place: u32) -> u64 {
    (digits.wrapping_mul(10).wrapping_add(digits >> 8) >> (place * 8)) & 0xFF
}

/// `YYYY-MM-DD hh:mm:ss` with or without a fraction and the space behind it, or `- `: the time, where the next field
/// begins.
#[allow(clippy::inline_always, reason = "measured: parse and replay take 7 in 100 longer with a call here")]
#[inline(always)]
fn time(window: &[u8; WINDOW], at: usize, today: &mut Today) -> Option<(Option<Stamp>, usize)> {
    const SECOND: u64 = u64::from_le_bytes(*b"00 00:00");
    const THIRD: u64 = u64::from_le_bytes(*b":00\0\0\0\0\0");
    let (first, second, tail) = (load(window, at)?, load(window, at + 8)?, load(window, at + 16)?);
    if first != today.first || second & low_bytes(3) != today.second {
        if window.get(at..at + 2) == Some(b"- ") {
            return Some((None, at + 2));
        }
        *today = day(first, second & low_bytes(3))?;
    }
    let (second, third) = (second ^ SECOND, (tail & low_bytes(3)) ^ THIRD);
    let (hour, minute, seconds) = (pair(second, 3), pair(second, 6), pair(third, 1));
    let wrong = outside(second, SECOND) | outside(third, THIRD);
    if wrong != 0 || hour > 23 || minute > 59 || seconds > 59 {
        return None;
    }
    let ms = today.begin_ms + ((hour * 60 + minute) * 60 + seconds).cast_signed() * 1000;
    match (tail >> 24) & 0xFF {
        0x20 => Some((Some(Stamp::new(ms, 0)), at + 20)),
        0x2E => {
            let (fraction, digits) = fraction(window.get(at + 20..at + 24)?)?;
            Some((Some(Stamp::new(ms + fraction, digits)), at + 21 + usize::from(digits)))
        }
        _ => None,
    }
}

/// The day of `YYYY-MM-` and `DD `.
#[cold]
fn day(first: u64, second: u64) -> Option<Today> {
    const FIRST: u64 = u64::from_le_bytes(*b"0000-00-");
    const SECOND: u64 = u64::from_le_bytes(*b"00 \0\0\0\0\0");
    let (year_month, day) = (first ^ FIRST, second ^ SECOND);
    if outside(year_month, FIRST) | outside(day, SECOND) != 0 {
        return None;
    }
    let year = pair(year_month, 0) * 100 + pair(year_month, 2);
    let day = day_of(year, pair(year_month, 5), pair(day, 0))?;
    Some(Today { first, second, begin_ms: day * 86_400_000 })
}

/// Flags the bytes that do not fit a form, given their difference from it: a digit stands where it has `0`, and
/// elsewhere what it has.
const fn outside(difference: u64, form: u64) -> u64 {
    // Added to a difference, this carries into the highest bit from 10 on where a digit stands, from 1 on elsewhere.
    let digits = ONES * 0x76;
    let zero = form ^ (ONES * 0x30);
    // The highest bit of each byte that is not `0`, spread over 0x09 of it: 0x76 + 0x09 is 0x7F.
    let others = ((zero | zero.wrapping_add(ONES * 0x7F)) & HIGHS) >> 7;
    (difference.wrapping_add(digits + others * 0x09) | difference) & HIGHS
}

/// One to three digits with a space behind them, as milliseconds, and the number of the digits.
#[inline(never)]
fn fraction(bytes: &[u8]) -> Option<(i64, u8)> {
    let mut ms = 0;
    for (digits, (byte, unit)) in (0_u8..).zip(bytes.iter().zip([100, 10, 1, 0])) {
        match byte {
            b'0'..=b'9' if unit > 0 => ms += i64::from(byte - b'0') * unit,
            b' ' if digits > 0 => return Some((ms, digits)),
            _ => return None,
        }
    }
    None
}

/// Days of the months before each month, and behind the last; in a year without and in one with a 29 February.
const DAYS_BEFORE: [[u16; 14]; 2] = [
    [0, 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365],
    [0, 0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366],
];

/// The day counted from 1970-01-01, where there is such a day in the Gregorian calendar, years 1 to 9999.
fn day_of(year: u64, month: u64, day: u64) -> Option<i64> {
    let is_leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let before = DAYS_BEFORE.get(usize::from(is_leap))?;
    let month = usize::try_from(month).ok()?;
    let (from, to) = (u64::from(*before.get(month)?), u64::from(*before.get(month + 1)?));
    if year == 0 || month == 0 || day == 0 || day > to - from {
        return None;
    }
    let years = year - 1;
    let days = years * 365 + years / 4 - years / 100 + years / 400 + from + day;
    Some(days.cast_signed() - super::clock::EPOCH_DAY)
}

/// A word of the vocabulary, and where it ends. What stands behind it the caller looks at.
#[inline]
fn event(window: &[u8; WINDOW], at: usize) -> Option<(Event, usize)> {
    let (head, tail) = (load(window, at)?, load(window, at + 8)?);
    // Bytes before `!` end a word: space, CR, LF, the zeros behind the source. Others are no part of a known word.
    let (in_head, in_tail) = (unflagged(below(head, b'!')), unflagged(below(tail, b'!')));
    let packed = if in_head < 8 {
        Packed { head: head & low_bytes(in_head), tail: 0 }
    } else {
        Packed { head, tail: tail & low_bytes(in_tail) }
    };
    let event = packed.event();
    let len = if in_head < 8 { in_head } else { 8 + in_tail };
    (event != Event::Unknown).then_some((event, at + len))
}

/// Flags the bytes of a word that are lower than a limit of at most 0x80. Above the lowest flag there may be false ones.
const fn below(word: u64, limit: u8) -> u64 {
    word.wrapping_sub(ONES * limit as u64) & !word & HIGHS
}

const fn low_bytes(count: usize) -> u64 {
    if count < 8 { !(u64::MAX << (count * 8)) } else { u64::MAX }
}

/// Attributes, chain field and line end.
#[inline]
fn behind_the_event(
    rest: &[u8],
    mut swift: Swift,
    mut attribute: impl FnMut(SwiftAttribute),
) -> Option<Swift> {
    let mut at = swift.word_to;
    let mut met = 0;
    loop {
        match rest.get(at) {
            Some(b'\n') => break,
            Some(b' ') if swift.chain.is_none() => {}
            Some(b'\r') if rest.get(at + 1) == Some(&b'\n') => {
                swift.end = LineEnd::CrLf;
                break;
            }
            None => {
                swift.end = LineEnd::Missing;
                break;
            }
            _ => return None,
        }
        let key_from = at + 1;
        let equals = key_from + key(rest.get(key_from..)?)?;
        if rest.get(equals) == Some(&b'=') {
            at = equals + 1;
            at += value(rest.get(at..)?)?;
            met += 1;
            if met > LIMITS.attributes || equals - key_from > LIMITS.word_chars {
                return None;
            }
            attribute(SwiftAttribute { key_from, equals, value_to: at });
        } else {
            let digits = rest.get(key_from..)?.strip_prefix(b"chain:")?.first_chunk()?;
            swift.chain = Some(Digest::from_digits(digits)?);
            swift.chain_from = at;
            at = key_from + "chain:".len() + digits.len();
        }
    }
    if swift.chain.is_none() {
        swift.chain_from = at;
    }
    swift.len = at;
    Some(swift)
}

/// Length of the key with which some bytes begin; none where none does.
fn key(bytes: &[u8]) -> Option<usize> {
    if !bytes.first()?.is_ascii_lowercase() {
        return None;
    }
    bytes.iter().position(|byte| !matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-'))
}

/// Length of the bare value in ASCII with which some bytes begin; none where none does.
#[inline]
fn value(bytes: &[u8]) -> Option<usize> {
    let mut len = 0;
    while let Some(eight) = bytes.get(len..).and_then(<[u8]>::first_chunk) {
        let plain = unflagged(not_bare(u64::from_le_bytes(*eight)));
        len += plain;
        if plain < 8 {
            return (len > 0).then_some(len);
        }
    }
    let is_bare = |byte: &&u8| matches!(byte, b'!' | b'#'..=b'~');
    len += bytes.get(len..).unwrap_or_default().iter().take_while(is_bare).count();
    (len > 0).then_some(len)
}

/// Flags the bytes that are no bare character in ASCII: those before `!`, from DEL on, and `"`. Above the lowest flag
/// there may be false ones.
const fn not_bare(bytes: u64) -> u64 {
    let quotes = bytes ^ (ONES * b'"' as u64);
    (bytes | bytes.wrapping_add(ONES) | below(bytes, b'!') | below(quotes, 1)) & HIGHS
}

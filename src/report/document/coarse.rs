//! Texts of the public edition: every time of day by its half hour, however it is written, and no length of time that
//! would give a time back beside an hour that is known.

/// Minutes of a half hour.
const HALF_HOUR: u32 = 30;

/// What stands for a length of time. `58.9 s after 18:00` is a time of day.
pub(super) const LEFT_OUT: &str = "[length left out]";

/// A text in which every time of day is replaced by its half hour, and every length of time left out. A time without date
/// and seconds on a half hour, such as the hour of opening, stands as it is; so does an offset such as `+02:00`.
pub(super) fn coarse(text: &str) -> String {
    let text = plain_digits(text);
    let mut out = String::with_capacity(text.len());
    let mut rest = text.as_str();
    // Whether what was written last is a moment, behind which a sign begins an offset.
    let mut behind_moment = false;
    while let Some(place) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(place);
        out.push_str(before);
        let touches = behind_moment && matches!(before, "+" | "-" | "\u{2212}");
        if let Some(length) = length_at(from) {
            out.push_str(LEFT_OUT);
            rest = from.get(length..).unwrap_or_default();
            behind_moment = false;
            continue;
        }
        match time_at(&out, from) {
            Some(time) if !(time.is_offset && (touches || is_lone_sign(&out))) => {
                let is_dated = ends_with_date(&out);
                if time.is_plain && !is_dated && time.minutes.is_multiple_of(HALF_HOUR) {
                    out.push_str(from.get(..time.length).unwrap_or_default());
                } else {
                    let first = time.minutes - time.minutes % HALF_HOUR;
                    out.push_str(&format!("{}\u{2013}{}", clock(first), clock(first + HALF_HOUR)));
                }
                behind_moment = is_dated || !time.is_plain;
                rest = from.get(time.length..).unwrap_or_default();
            }
            _ => {
                // A run of digits that is no time is passed as a whole.
                let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
                let (digits, behind) = from.split_at(end);
                out.push_str(digits);
                rest = behind;
                behind_moment = false;
            }
        }
    }
    out.push_str(rest);
    out
}

/// Phrases around a length that is left out, and what the public edition says in their place. The first part of each is what
/// stands before the length, the second what may stand behind it.
const PHRASES: &[(&str, &str, &str)] = &[
    ("right to ", " or better", "as precise as the full edition says"),
    ("lies within ", " of ", "lies as near as the full edition says to "),
    ("leaves ", " more open either way", "leaves more open either way"),
    ("to within ", "", "as near as the full edition says"),
    (" of little more than ", "", ", as great as the full edition says,"),
    (" has steps of ", "", " has the steps that the full edition names"),
];

/// The same text with words where a length was left out.
pub(super) fn plain(text: &str) -> String {
    let mut text = text.to_owned();
    for (before, behind, instead) in PHRASES {
        text = text.replace(&format!("{before}{LEFT_OUT}{behind}"), instead);
    }
    text
}

/// What stands for a digest over lines of the log: who knows all of a line but its time can try the times out.
const NO_DIGEST: &str = "[digest left out]";

/// Figures of a digest that are enough to try it out.
const FIGURES: usize = 16;

/// The same text without digests.
pub(super) fn without_digests(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(|c: char| !c.is_ascii_alphanumeric()) {
        let figures = word.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
        if figures.len() >= FIGURES && figures.bytes().all(|b| b.is_ascii_hexdigit()) {
            out.push_str(NO_DIGEST);
            out.push_str(word.get(figures.len()..).unwrap_or_default());
        } else {
            out.push_str(word);
        }
    }
    out
}

fn clock(minutes: u32) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// The first of ten digits that follow each other, in scripts in which a person may write down a time.
const ZEROS: &[char] = &[
    '\u{660}', '\u{6f0}', '\u{966}', '\u{9e6}', '\u{a66}', '\u{ae6}', '\u{b66}', '\u{be6}', '\u{c66}',
    '\u{ce6}', '\u{d66}', '\u{e50}', '\u{ed0}', '\u{f20}', '\u{1040}', '\u{17e0}', '\u{1810}', '\u{ff10}',
];

/// The same with digits of other scripts as ASCII digits, and colons of other shapes as colons.
fn plain_digits(text: &str) -> String {
    let plain = |c: char| {
        if c.is_ascii() {
            return c;
        }
        if matches!(c, '\u{ff1a}' | '\u{2236}' | '\u{a789}' | '\u{fe55}') {
            return ':';
        }
        let digit = |zero: &char| (u32::from(c)).checked_sub(u32::from(*zero)).filter(|digit| *digit < 10);
        ZEROS.iter().find_map(digit).and_then(|digit| char::from_digit(digit, 10)).unwrap_or(c)
    };
    text.chars().map(plain).collect()
}

/// A time of day at the beginning of a text.
struct Time {
    /// Minutes since midnight.
    minutes: u32,
    /// Its length in bytes.
    length: usize,
    /// Whether it is `hh:mm` and no more.
    is_plain: bool,
    /// Whether it may be an offset from UTC: to the quarter of an hour, 14 hours at most.
    is_offset: bool,
}

fn time_at(before: &str, text: &str) -> Option<Time> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let number = |from: usize, to: usize| text.get(from..to)?.parse::<u32>().ok();
    let time = |hours: u32, minutes: u32, length: usize, is_plain: bool| {
        let is_offset = is_plain && minutes.is_multiple_of(15) && hours <= 14;
        (hours <= 24 && minutes <= 59).then_some(Time {
            minutes: hours * 60 + minutes,
            length,
            is_plain,
            is_offset,
        })
    };
    // Run together behind a date: `20310510T094207`, `20310510094207`.
    let behind_t = before.ends_with(['T', 't']) && before.len() > 8;
    if behind_t && (digits == 4 || digits == 6) {
        return time(number(0, 2)?, number(2, 4)?, digits, false);
    }
    if digits == 14 && (text.starts_with("19") || text.starts_with("20")) {
        return time(number(8, 10)?, number(10, 12)?, digits, false);
    }
    if (digits == 3 || digits == 4) && is_hours_word(text.get(digits..)?) {
        return time(number(0, digits - 2)?, number(digits - 2, digits)?, digits, false);
    }
    if !(1..=2).contains(&digits) || before.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let two = |at: usize| {
        let end = at + 2;
        let is_two = text.get(at..end).is_some_and(|two| two.bytes().all(|b| b.is_ascii_digit()))
            && !text.get(end..).unwrap_or_default().starts_with(|c: char| c.is_ascii_digit());
        is_two.then_some(end)
    };
    let separator = text.get(digits..)?.chars().next()?;
    let end = two(digits + 1)?;
    let mut length = end;
    if text.get(end..)?.starts_with(separator)
        && let Some(behind) = two(end + 1)
    {
        length = behind;
        let fraction = text.get(length..)?;
        let places = fraction.get(1..).unwrap_or_default().bytes().take_while(u8::is_ascii_digit).count();
        if fraction.starts_with(['.', ',']) && places > 0 && separator == ':' {
            length += 1 + places;
        }
    }
    let is_time = match separator {
        ':' => true,
        'h' | 'H' => length == end,
        '.' => is_hours_word(text.get(length..)?) || is_said_of_a_time(before),
        _ => false,
    };
    let (hours, minutes) = (number(0, digits)?, number(digits + 1, end)?);
    if is_time {
        time(hours, minutes, length, length == end && separator == ':' && digits == 2)
    } else {
        None
    }
}

/// Whether a text begins with a word that makes the number before it a time of day.
fn is_hours_word(text: &str) -> bool {
    const WORDS: &[&str] = &["am", "pm", "a.m", "p.m", "hrs", "hours", "hour", "h", "o'clock", "uhr"];
    let text = text.trim_start_matches([' ', '\u{a0}']).to_ascii_lowercase();
    WORDS.iter().any(|word| {
        text.strip_prefix(word).is_some_and(|behind| !behind.starts_with(|c: char| c.is_alphanumeric()))
    })
}

/// Whether a text ends with a word behind which a number with a point is a time of day.
fn is_said_of_a_time(before: &str) -> bool {
    let last = before.trim_end().rsplit(|c: char| !c.is_alphabetic()).next().unwrap_or_default();
    ["at", "by", "until", "till", "from", "since", "about", "around", "before", "after"]
        .contains(&last.to_ascii_lowercase().as_str())
}

/// The length in bytes of a length of time at the beginning of a text: `3 min 1.02 s`, `1 h 5 min`.
fn length_at(text: &str) -> Option<usize> {
    let mut at = 0;
    loop {
        let rest = text.get(at..)?;
        let number = rest.trim_start();
        let digits = number.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.' || *b == b',').count();
        let unit = number.get(digits..).and_then(|rest| rest.strip_prefix(' ')).unwrap_or_default();
        let word = unit.bytes().take_while(u8::is_ascii_alphabetic).count();
        let is_length = number.starts_with(|c: char| c.is_ascii_digit())
            && matches!(unit.get(..word), Some("s" | "min" | "h" | "d"));
        if !is_length {
            return (at > 0).then_some(at);
        }
        at += (rest.len() - number.len()) + digits + 1 + word;
    }
}

/// Whether a text ends with a sign that belongs to no number before it, as in `zone -03:30`.
fn is_lone_sign(text: &str) -> bool {
    text.strip_suffix(['+', '-', '\u{2212}'])
        .is_some_and(|before| !before.ends_with(|c: char| c.is_alphanumeric()))
        || text.ends_with('+')
}

/// Whether a text ends with a date and the space, comma or letter between it and a time.
fn ends_with_date(text: &str) -> bool {
    let text = text.trim_end_matches([' ', ',', 'T', 't']);
    let tail = text.as_bytes().iter().rev().take(10).rev();
    let shape: String = tail.map(|b| if b.is_ascii_digit() { '9' } else { char::from(*b) }).collect();
    shape == "9999-99-99"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_time_of_day_is_told_by_its_half_hour() {
        for (full, public) in [
            ("vote at 2031-05-10 18:04:02.", "vote at 2031-05-10 18:00\u{2013}18:30."),
            ("2031-05-10T09:59:59.999 and 07:00", "2031-05-10T09:30\u{2013}10:00 and 07:00"),
            ("2031-05-10 07:00", "2031-05-10 07:00\u{2013}07:30"),
            ("opens 07:00, closes 18:15", "opens 07:00, closes 18:00\u{2013}18:30"),
            ("zone +02:00 or -03:30, at 23:59:60", "zone +02:00 or -03:30, at 23:30\u{2013}24:00"),
            ("record 12:345 and 1200:30", "record 12:345 and 1200:30"),
            ("07:00:00", "07:00\u{2013}07:30"),
            ("2031-05-10T09:42:07+02:00", "2031-05-10T09:30\u{2013}10:00+02:00"),
            ("2031-05-10 09:42:07-03:30", "2031-05-10 09:30\u{2013}10:00-03:30"),
            ("0123:45:59", "0123:45:59"),
            ("\u{4e00}10:10\u{4e00}", "\u{4e00}10:00\u{2013}10:30\u{4e00}"),
        ] {
            assert_eq!(coarse(full), public);
        }
    }

    #[test]
    fn a_time_is_known_however_it_is_written() {
        for (full, public) in [
            ("at 9:15", "at 09:00\u{2013}09:30"),
            ("at 9:15:20 or 9.15 am", "at 09:00\u{2013}09:30 or 09:00\u{2013}09:30 am"),
            ("at 9.42, software 4.20", "at 09:30\u{2013}10:00, software 4.20"),
            ("0942 hrs, 942 hrs, room 942", "09:30\u{2013}10:00 hrs, 09:30\u{2013}10:00 hrs, room 942"),
            ("18h04", "18:00\u{2013}18:30"),
            ("20310510T094207Z", "20310510T09:30\u{2013}10:00Z"),
            ("20310510094207", "09:30\u{2013}10:00"),
            ("07:00-18:04", "07:00-18:00\u{2013}18:30"),
            ("07:00-08:45", "07:00-08:30\u{2013}09:00"),
            ("\u{966f}:\u{966a}\u{966}", "\u{966f}:\u{966a}0"),
            ("\u{96f}:\u{96a}\u{968}", "09:30\u{2013}10:00"),
            ("\u{669}:\u{664}\u{662}", "09:30\u{2013}10:00"),
            ("\u{ff10}\u{ff19}\u{ff1a}\u{ff14}\u{ff12}", "09:30\u{2013}10:00"),
            ("clause 9.42", "clause 9.42"),
        ] {
            assert_eq!(coarse(full), public, "{full}");
        }
    }

    #[test]
    fn what_is_left_out_leaves_a_sentence() {
        for (full, public) in [
            (
                "between 2031-05-10 17:59:28 and 2031-05-10 18:01:32",
                "between 2031-05-10 17:30\u{2013}18:00 and 2031-05-10 18:00\u{2013}18:30",
            ),
            (
                "right to 10 s or better: it decides unless the true time lies within 24 s of 18:00",
                "as precise as the full edition says: it decides unless the true time lies as near as the full edition says to 18:00",
            ),
            (
                "an error of that clock of little more than 4 min would put it",
                "an error of that clock, as great as the full edition says, would put it",
            ),
            (
                "every day between leaves 8.64 s more open either way.",
                "every day between leaves more open either way.",
            ),
            ("between a vote and 07:00", "between a vote and 07:00"),
        ] {
            assert_eq!(plain(&coarse(full)), public, "{full}");
        }
    }

    #[test]
    fn a_digest_that_could_be_tried_out_is_left_out() {
        let digest = "0f".repeat(32);
        assert_eq!(without_digests(&format!("sha256:{digest}, and 0f")), "sha256:[digest left out], and 0f");
        assert_eq!(without_digests("deadbeef, an effaced facade"), "deadbeef, an effaced facade");
    }

    #[test]
    fn lengths_that_give_a_time_back_are_left_out() {
        for (full, public) in [
            ("58.9789 s to 3 min 1.0209 s after 18:00", "[length left out] to [length left out] after 18:00"),
            ("by 1 h 5 min.", "by [length left out]."),
            ("2 d 3 h 4 min 5 s; 12 slips; 5 m", "[length left out]; 12 slips; 5 m"),
            ("give or take 60 seconds", "give or take 60 seconds"),
        ] {
            assert_eq!(coarse(full), public, "{full}");
        }
    }
}

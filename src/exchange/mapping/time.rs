//! How a foreign export writes its times: a pattern, held strictly against the text and the calendar.

use chrono::NaiveDate;

use crate::syntax::Stamp;

/// A pattern of dates and times.
#[derive(Debug, Clone)]
pub(in crate::exchange) struct TimePattern {
    parts: Vec<Part>,
    months: Vec<String>,
    half_days: Vec<String>,
    century: i32,
    none: Vec<String>,
}

/// A piece of the pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Year4,
    Year2,
    /// Month, day, hour, minute, second as digits; whether exactly two.
    Field(Field, bool),
    MonthName,
    Fraction,
    HalfDay,
    Literal(char),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Month,
    Day,
    Hour,
    Minute,
    Second,
}

/// What is wrong with a pattern, and what would help.
type Wrong = (&'static str, &'static str);

impl TimePattern {
    /// Reads a pattern, with the names that it needs.
    pub(super) fn read(
        pattern: &str,
        months: Option<Vec<String>>,
        half_days: Option<Vec<String>>,
        century: Option<u64>,
        none: Vec<String>,
    ) -> Result<TimePattern, Wrong> {
        let parts = parts(pattern)?;
        let has = |part: Part| parts.contains(&part);
        let field = |field| has(Part::Field(field, true)) || has(Part::Field(field, false));
        let year = has(Part::Year4) || has(Part::Year2);
        if !(year && (field(Field::Month) || has(Part::MonthName)) && field(Field::Day)) {
            return Err((
                "the pattern lacks year, month or day",
                "write, for instance, \"DD.MM.YYYY hh:mm:ss\"",
            ));
        }
        if !(field(Field::Hour) && field(Field::Minute)) {
            return Err(("the pattern lacks hour or minute", "write, for instance, \"DD.MM.YYYY hh:mm\""));
        }
        if has(Part::Year2) && century.is_none() {
            return Err(("the pattern has a year of two digits", "state its century: century = 20"));
        }
        if has(Part::MonthName) && months.as_ref().is_none_or(|months| months.len() != 12) {
            return Err((
                "the pattern names months",
                "state the twelve names in order: months = [\"Jan\", ...]",
            ));
        }
        let half_days = half_days.unwrap_or_else(|| vec!["AM".to_owned(), "PM".to_owned()]);
        if half_days.len() != 2 {
            return Err(("half days have two marks", "write half-days = [\"AM\", \"PM\"]"));
        }
        let century = century.and_then(|century| i32::try_from(century).ok()).unwrap_or(0) * 100;
        Ok(TimePattern { parts, months: months.unwrap_or_default(), half_days, century, none })
    }

    /// Whether a text says that the row has no time.
    pub(in crate::exchange) fn is_none(&self, text: &str) -> bool {
        text.is_empty() || self.none.iter().any(|none| none == text)
    }

    /// Whether the pattern shows seconds.
    pub(in crate::exchange) fn shows_seconds(&self) -> bool {
        self.parts.iter().any(|part| matches!(part, Part::Field(Field::Second, _)))
    }

    /// The time that a text states; nothing where it does not fit the pattern whole, or is not in the calendar.
    pub(in crate::exchange) fn time(&self, text: &str) -> Option<Stamp> {
        let mut rest = text;
        let (mut year, mut month, mut day) = (0, 0, 0);
        let (mut hour, mut minute, mut second) = (0, 0, 0);
        let (mut ms, mut digits) = (0, 0);
        let mut half: Option<usize> = None;
        for part in &self.parts {
            match *part {
                Part::Year4 => year = i32::try_from(number(&mut rest, 4, 4)?).ok()?,
                Part::Year2 => year = self.century + i32::try_from(number(&mut rest, 2, 2)?).ok()?,
                Part::Field(field, two) => {
                    let value = number(&mut rest, if two { 2 } else { 1 }, 2)?;
                    let slot = match field {
                        Field::Month => &mut month,
                        Field::Day => &mut day,
                        Field::Hour => &mut hour,
                        Field::Minute => &mut minute,
                        Field::Second => &mut second,
                    };
                    *slot = value;
                }
                Part::MonthName => month = u32::try_from(name(&mut rest, &self.months)? + 1).ok()?,
                Part::HalfDay => half = Some(name(&mut rest, &self.half_days)?),
                Part::Fraction => (ms, digits) = fraction(&mut rest)?,
                Part::Literal(c) => rest = rest.strip_prefix(c)?,
            }
        }
        if !rest.is_empty() {
            return None;
        }
        let hour = match half {
            None => hour,
            Some(_) if !(1..=12).contains(&hour) => return None,
            Some(half) => hour % 12 + if half == 1 { 12 } else { 0 },
        };
        let civil = NaiveDate::from_ymd_opt(year, month, day)?.and_hms_milli_opt(hour, minute, second, ms)?;
        // Years of four digits, as everywhere in the neutral format.
        (1..=9999).contains(&year).then(|| Stamp::new(civil.and_utc().timestamp_millis(), digits))
    }
}

/// The pieces of a pattern; the longest that fits is taken.
fn parts(pattern: &str) -> Result<Vec<Part>, Wrong> {
    const TOKENS: &[(&str, Part)] = &[
        ("YYYY", Part::Year4),
        ("YY", Part::Year2),
        ("MMM", Part::MonthName),
        ("MM", Part::Field(Field::Month, true)),
        ("M", Part::Field(Field::Month, false)),
        ("DD", Part::Field(Field::Day, true)),
        ("D", Part::Field(Field::Day, false)),
        ("hh", Part::Field(Field::Hour, true)),
        ("h", Part::Field(Field::Hour, false)),
        ("mm", Part::Field(Field::Minute, true)),
        ("ss", Part::Field(Field::Second, true)),
        ("f", Part::Fraction),
        ("AM", Part::HalfDay),
    ];
    let mut parts = Vec::new();
    let mut rest = pattern;
    while let Some(c) = rest.chars().next() {
        let token = TOKENS.iter().find_map(|(token, part)| Some((rest.strip_prefix(token)?, *part)));
        let (after, part) = token.unwrap_or((rest.get(c.len_utf8()..).unwrap_or_default(), Part::Literal(c)));
        if !matches!(part, Part::Literal(_)) && parts.contains(&part) {
            return Err((
                "a part of the date stands twice in the pattern",
                "each of year, month, day, hour, minute once",
            ));
        }
        parts.push(part);
        rest = after;
    }
    Ok(parts)
}

fn number(rest: &mut &str, least: usize, most: usize) -> Option<u32> {
    let len = rest.bytes().take(most).take_while(u8::is_ascii_digit).count();
    if len < least {
        return None;
    }
    let (digits, after) = rest.split_at_checked(len)?;
    *rest = after;
    digits.parse().ok()
}

/// The place of the name that stands next, without regard to case; the longest that fits.
fn name(rest: &mut &str, names: &[String]) -> Option<usize> {
    let fits = |name: &String| {
        rest.get(..name.len()).is_some_and(|start| start.to_lowercase() == name.to_lowercase())
    };
    let (place, found) =
        names.iter().enumerate().filter(|(_, name)| fits(name)).max_by_key(|(_, name)| name.len())?;
    *rest = rest.get(found.len()..)?;
    Some(place)
}

/// Milliseconds and the digits kept, at most three; further digits are finer than the neutral format holds.
fn fraction(rest: &mut &str) -> Option<(u32, u8)> {
    let len = rest.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, after) = rest.split_at_checked(len).filter(|(digits, _)| (1..=9).contains(&digits.len()))?;
    *rest = after;
    let kept = digits.get(..digits.len().min(3))?;
    let ms = format!("{kept:0<3}").parse().ok()?;
    Some((ms, u8::try_from(kept.len()).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pattern(text: &str) -> TimePattern {
        let months =
            "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(' ').map(str::to_owned).collect();
        TimePattern::read(text, Some(months), None, Some(20), vec!["--".to_owned()]).unwrap()
    }

    #[test]
    fn times_are_read_as_the_pattern_says_and_not_otherwise() {
        for (form, text, is) in [
            ("MM/DD/YYYY hh:mm:ss AM", "05/10/2031 06:58:12 AM", "2031-05-10 06:58:12"),
            ("MM/DD/YYYY hh:mm:ss AM", "05/10/2031 12:00:00 am", "2031-05-10 00:00:00"),
            ("M/D/YYYY h:mm:ss AM", "5/10/2031 12:30:00 PM", "2031-05-10 12:30:00"),
            ("DD.MM.YY hh:mm", "10.05.31 23:59", "2031-05-10 23:59:00"),
            ("D MMM YYYY, hh.mm.ss", "9 may 2031, 07.00.01", "2031-05-09 07:00:01"),
            ("YYYY-MM-DDThh:mm:ss.f", "2031-05-10T07:00:01.25", "2031-05-10 07:00:01.25"),
            ("YYYYMMDDhhmmss", "20320229070001", "2032-02-29 07:00:01"),
        ] {
            assert_eq!(
                pattern(form).time(text).map(|time| time.to_string()).as_deref(),
                Some(is),
                "{form} {text}"
            );
        }
        for (form, text) in [
            ("MM/DD/YYYY hh:mm:ss AM", "13/10/2031 06:58:12 AM"),
            ("MM/DD/YYYY hh:mm:ss AM", "05/10/2031 13:58:12 PM"),
            ("MM/DD/YYYY hh:mm:ss AM", "05/10/2031 00:58:12 AM"),
            ("MM/DD/YYYY hh:mm:ss AM", "5/10/2031 06:58:12 AM"),
            ("DD.MM.YY hh:mm", "29.02.31 23:59"),
            ("DD.MM.YY hh:mm", "10.05.31 24:00"),
            ("DD.MM.YY hh:mm", "10.05.31 23:59:01"),
            ("YYYY-MM-DD hh:mm:ss", "2031-05-10 23:59:60"),
            ("YYYY-MM-DD hh:mm:ss", "0000-05-10 23:59:00"),
        ] {
            assert_eq!(pattern(form).time(text), None, "{form} {text}");
        }
        assert!(pattern("DD.MM.YY hh:mm").is_none("--") && pattern("DD.MM.YY hh:mm").is_none(""));
        assert!(TimePattern::read("hh:mm", None, None, None, Vec::new()).is_err());
        assert!(TimePattern::read("DD.MM.YY hh:mm", None, None, None, Vec::new()).is_err());
    }
}

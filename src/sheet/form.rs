//! The forms that a value may have: how each is described, and how a value is held against it.

use chrono::NaiveDate;
use toml::de::DeValue;

use crate::zone::Zone;

/// A word that a key may take, and what it says.
#[derive(Debug, Clone, Copy)]
pub struct Choice {
    /// The word.
    pub word: &'static str,
    /// What it says.
    pub meaning: &'static str,
}

/// The form of a value.
#[derive(Debug, Clone, Copy)]
pub enum Form {
    /// Text that is not empty.
    Text,
    /// The id of a rule: small letters, digits and hyphens.
    Id,
    /// A whole number within these bounds.
    Whole(u64, u64),
    /// `true` or `false`.
    Truth,
    /// Only `true`; whoever does not mean it leaves the key out.
    True,
    /// A day of the calendar, `YYYY-MM-DD`.
    Date,
    /// A time of day, `hh:mm` or `hh:mm:ss`.
    Hour,
    /// A zone of civil time: an offset from UTC, or a name of the IANA time zone database.
    Zone,
    /// A day and a time of day.
    Moment,
    /// Two whole numbers, `first-last`, both included, the first at least this much.
    Range(u64),
    /// A list of texts.
    Texts,
    /// One word of a closed list.
    OneOf(&'static [Choice]),
    /// A list of words from a closed list.
    SomeOf(&'static [Choice]),
}

/// A value that has its form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Content {
    Text(String),
    Whole(u64),
    Truth(bool),
    Range(u64, u64),
    Texts(Vec<String>),
}

impl Form {
    /// The right form in words, to stand after "write" or "form:".
    #[must_use]
    pub fn right(self) -> String {
        match self {
            Form::Text => "text between quotes".to_owned(),
            Form::Id => "the id of a rule between quotes: small letters, digits and hyphens".to_owned(),
            Form::Whole(0, u64::MAX) => "a whole number without quotes".to_owned(),
            Form::Whole(least, u64::MAX) => format!("a whole number from {least}, without quotes"),
            Form::Whole(least, most) => format!("a whole number from {least} to {most}, without quotes"),
            Form::Truth => "true or false, without quotes".to_owned(),
            Form::True => "true, without quotes; leave the key out where it is not meant".to_owned(),
            Form::Date => "a day, \"YYYY-MM-DD\"".to_owned(),
            Form::Hour => "a time of day from 00:00 to 23:59:59, \"hh:mm\" or \"hh:mm:ss\"".to_owned(),
            Form::Zone => "an offset from UTC from -12:00 to +14:00, \"+hh:mm\" or \"-hh:mm\"; or a name of the IANA time \
                           zone database, as it spells it, such as \"Etc/GMT-2\" (which is +02:00)"
                .to_owned(),
            Form::Moment => {
                "a day and a time of day, \"YYYY-MM-DD hh:mm\" or \"YYYY-MM-DD hh:mm:ss\"".to_owned()
            }
            Form::Range(least) => {
                format!("two whole numbers from {least}, the smaller first, both included: \"first-last\"")
            }
            Form::Texts => "a list of texts between quotes, [\"...\", \"...\"], with at least one".to_owned(),
            Form::OneOf(choices) => format!("one of {}", listed(choices)),
            Form::SomeOf(choices) => format!("a list, [...], of any of {}", listed(choices)),
        }
    }

    /// The closed list that the form draws on.
    #[must_use]
    pub fn choices(self) -> &'static [Choice] {
        match self {
            Form::OneOf(choices) | Form::SomeOf(choices) => choices,
            _ => &[],
        }
    }

    /// Holds a value against the form; on failure says what is wrong with it. `raw` is the value as written.
    pub(crate) fn hold(self, value: &DeValue<'_>, raw: &str) -> Result<Content, String> {
        // A day or an hour may also be written without quotes, as TOML itself has them.
        let dated = match value {
            DeValue::Datetime(_) => Some(raw),
            other => other.as_str(),
        };
        match self {
            Form::Text => plain(value).map(|text| Content::Text(text.to_owned())),
            Form::Id => {
                let text = plain(value)?;
                let fits = text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
                if fits {
                    Ok(Content::Text(text.to_owned()))
                } else {
                    Err("is not the id of a rule".to_owned())
                }
            }
            Form::Whole(least, most) => whole(value, least, most).map(Content::Whole),
            Form::Truth => value.as_bool().map(Content::Truth).ok_or_else(|| format!("is {}", kind(value))),
            Form::True => match value.as_bool() {
                Some(true) => Ok(Content::Truth(true)),
                Some(false) => Err("is false, which states nothing".to_owned()),
                None => Err(format!("is {}", kind(value))),
            },
            Form::Date => {
                civil(dated, value, |text| is_day(text).then(|| text.to_owned()), "a day of the calendar")
            }
            Form::Hour => civil(dated, value, |text| hour(text).then(|| text.to_owned()), "a time of day"),
            Form::Zone => {
                let of = |text: &str| Zone::of(text).map(|_| text.to_owned());
                civil(dated, value, of, "a zone: neither an offset from UTC nor a name of the zone database")
            }
            Form::Moment => civil(dated, value, moment, "a day of the calendar with a time of day"),
            Form::Range(least) => range(value, least),
            Form::Texts => texts(value).map(Content::Texts),
            Form::OneOf(choices) => {
                let text = plain(value)?;
                known(text, choices).map(|()| Content::Text(text.to_owned()))
            }
            Form::SomeOf(choices) => {
                let words = match value.as_array() {
                    Some(list) if list.is_empty() => Vec::new(),
                    _ => texts(value)?,
                };
                words.iter().try_for_each(|word| known(word, choices)).map(|()| Content::Texts(words))
            }
        }
    }
}

fn listed(choices: &[Choice]) -> String {
    let words: Vec<String> = choices.iter().map(|choice| format!("\"{}\"", choice.word)).collect();
    words.join(", ")
}

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with a fraction",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time without quotes",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn plain<'v>(value: &'v DeValue<'_>) -> Result<&'v str, String> {
    match value.as_str() {
        Some(text) if text.trim().is_empty() => Err("is empty".to_owned()),
        Some(text) => Ok(text),
        None => Err(format!("is {}, not text", kind(value))),
    }
}

fn known(word: &str, choices: &[Choice]) -> Result<(), String> {
    if choices.iter().any(|choice| choice.word == word) {
        return Ok(());
    }
    let near = super::near_miss(word, choices.iter().map(|choice| choice.word));
    Err(match near {
        Some(near) => format!("is not on its list; did you mean \"{near}\"?"),
        None => "is not on its list".to_owned(),
    })
}

fn whole(value: &DeValue<'_>, least: u64, most: u64) -> Result<u64, String> {
    let Some(number) = value.as_integer() else {
        return Err(format!("is {}, not a whole number", kind(value)));
    };
    if number.as_str().starts_with('-') {
        return Err("is less than 0".to_owned());
    }
    match u64::from_str_radix(number.as_str(), number.radix()) {
        Ok(number) if (least..=most).contains(&number) => Ok(number),
        Ok(number) => {
            Err(if number < least { format!("is less than {least}") } else { format!("is more than {most}") })
        }
        Err(_) => Err("is too large a number".to_owned()),
    }
}

fn texts(value: &DeValue<'_>) -> Result<Vec<String>, String> {
    let Some(list) = value.as_array() else {
        return Err(format!("is {}, not a list", kind(value)));
    };
    if list.is_empty() {
        return Err("is an empty list".to_owned());
    }
    list.iter()
        .enumerate()
        .map(|(place, item)| {
            let said = |wrong| format!("is a list whose item {} {wrong}", place + 1);
            plain(item.get_ref()).map(str::to_owned).map_err(said)
        })
        .collect()
}

fn range(value: &DeValue<'_>, lowest: u64) -> Result<Content, String> {
    let text = plain(value)?;
    let numbers =
        text.split_once('-').and_then(|(first, last)| Some((digits(first, 20)?, digits(last, 20)?)));
    match numbers {
        Some((first, last)) if first > last => Err("has its larger number first".to_owned()),
        Some((first, _)) if first < lowest => Err(format!("begins before {lowest}")),
        Some((first, last)) => Ok(Content::Range(first, last)),
        None => Err("is not two whole numbers with a hyphen between".to_owned()),
    }
}

fn civil(
    dated: Option<&str>,
    value: &DeValue<'_>,
    check: impl Fn(&str) -> Option<String>,
    what: &str,
) -> Result<Content, String> {
    match dated {
        None => Err(format!("is {}, not {what}", kind(value))),
        Some(text) => check(text).map(Content::Text).ok_or_else(|| format!("is not {what}")),
    }
}

/// Decimal digits and nothing else: no sign, no space, at most this many.
fn digits(text: &str, most: usize) -> Option<u64> {
    let fits = !text.is_empty() && text.len() <= most && text.bytes().all(|b| b.is_ascii_digit());
    fits.then(|| text.parse().ok()).flatten()
}

/// Numbers of fixed widths, each followed by its separator (`None`: nothing after it).
fn fields(text: &str, shape: &[(usize, char)]) -> Option<Vec<u64>> {
    let mut rest = text;
    let mut numbers = Vec::new();
    for (place, (width, separator)) in shape.iter().enumerate() {
        numbers.push(digits(rest.get(..*width)?, *width)?);
        rest = rest.get(*width..)?;
        if place + 1 < shape.len() {
            rest = rest.strip_prefix(*separator)?;
        }
    }
    rest.is_empty().then_some(numbers)
}

/// Whether a text is a day, `YYYY-MM-DD`: of the proleptic Gregorian calendar in the extended format of ISO 8601-1:2019, 5.2.2.1 (from memory).
#[must_use]
pub fn is_day(text: &str) -> bool {
    let Some(numbers) = fields(text, &[(4, '-'), (2, '-'), (2, ' ')]) else {
        return false;
    };
    let [year, month, day] = numbers.as_slice() else {
        return false;
    };
    let Ok(year) = i32::try_from(*year) else {
        return false;
    };
    let (Ok(month), Ok(day)) = (u32::try_from(*month), u32::try_from(*day)) else {
        return false;
    };
    NaiveDate::from_ymd_opt(year, month, day).is_some()
}

/// A time of day; a second 60 and an hour 24 are refused, for no clock of a station shows them.
fn hour(text: &str) -> bool {
    let numbers =
        fields(text, &[(2, ':'), (2, ' ')]).or_else(|| fields(text, &[(2, ':'), (2, ':'), (2, ' ')]));
    match numbers.as_deref() {
        Some([hour, rest @ ..]) => *hour < 24 && rest.iter().all(|number| *number < 60),
        _ => false,
    }
}

/// A day and a time of day with a space between; a `T` between becomes a space, so that equal moments read alike.
fn moment(text: &str) -> Option<String> {
    let (day, time) = text.split_once([' ', 'T'])?;
    (is_day(day) && hour(time)).then(|| format!("{day} {time}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_hours_are_held_against_the_calendar_and_the_clock() {
        for good in ["2031-05-10", "2032-02-29", "2000-02-29"] {
            assert!(is_day(good), "{good}");
        }
        for bad in [
            "2031-02-29",
            "1900-02-29",
            "2031-13-01",
            "2031-5-10",
            "2031-05-10 ",
            "10-05-2031",
            "",
            "+031-05-10",
        ] {
            assert!(!is_day(bad), "{bad}");
        }
        for good in ["07:00", "23:59:59", "00:00"] {
            assert!(hour(good), "{good}");
        }
        for bad in ["24:00", "7:00", "07:60", "07:00:60", "07:00:0", "07.00", "+7:00", "07:00:00.5"] {
            assert!(!hour(bad), "{bad}");
        }
        assert_eq!(moment("2031-05-10T07:00").as_deref(), Some("2031-05-10 07:00"));
        assert_eq!(moment("2031-05-10 07:00:30").as_deref(), Some("2031-05-10 07:00:30"));
        assert_eq!(moment("2031-02-30 07:00"), None);
        assert_eq!(digits("18446744073709551616", 20), None);
    }
}

//! The hours of the polls and the periods of the papers, as instants of true time; each with what the paper leaves open.

use super::instant::{Instant, SECOND};
use crate::case::{Case, Period, Poll, Saying, Statements, civil_ms};
use crate::zone::{DATA, Instants, Zone};

const HOUR_MS: i64 = 3_600_000;
const DAY_MS: i64 = 24 * HOUR_MS;

/// An hour or a moment of a paper, as instants of true time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hour {
    /// What the paper writes, in milliseconds since 1970-01-01 00:00:00 of the civil calendar.
    pub civil: i64,
    /// The earliest instant that it may be.
    pub earliest: Instant,
    /// The latest: later than the earliest where the clocks of the place showed the hour twice, or the paper rounds.
    pub latest: Instant,
}

/// The hours of one row of the case file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Opening, where it is stated.
    pub opens: Option<Hour>,
    /// Closing, where it is stated; the instant itself is inside.
    pub closes: Option<Hour>,
    /// Who states it.
    pub basis: Saying,
}

/// A day for which the case file states a poll.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Day {
    /// The day, `YYYY-MM-DD`.
    pub date: String,
    /// Its first instant, at the earliest.
    pub begins: Instant,
    /// The same at the latest: later where the zone of the place is not known, or the day began twice.
    pub begins_by: Instant,
    /// The first instant after it, at the latest.
    pub ends: Instant,
    /// The same at the earliest.
    pub ends_from: Instant,
    /// The same in the civil calendar, in milliseconds.
    pub civil: i64,
    /// Minutes by which civil time is ahead of UTC at the opening, for printing.
    pub offset_minutes: i32,
    /// The hours stated for it, in the order of the case file.
    pub parts: Vec<Part>,
    /// Who states that the poll was held on no other day, where somebody does and no other day is stated.
    pub only: Option<Saying>,
}

/// A period of a paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lapse {
    /// When it began.
    pub from: Option<Hour>,
    /// When it ended.
    pub to: Option<Hour>,
    /// Who states it.
    pub basis: Saying,
}

/// The zone of the place on a day: its own where the row states one, else that of the polls of this day, else the one
/// that all polls of the case share; `None` where that is not known.
#[must_use]
pub fn zone(case: &Case, date: &str, own: Option<&str>) -> Option<Zone> {
    Zone::of(own.or_else(|| Some(stated_zone(case, date)?.0))?)
}

/// The zone of the place on a day as the polls state it, and who does so first.
fn stated_zone<'c>(case: &'c Case, date: &str) -> Option<(&'c str, &'c Saying)> {
    let zoned = |of_day: bool| {
        let polls = case.polls.iter().filter(move |row| !of_day || row.value.date.as_deref() == Some(date));
        polls.filter_map(|row| Some((row.value.zone.as_deref()?, &row.basis)))
    };
    let of_day = zoned(true).next().is_some();
    let first = zoned(of_day).next()?;
    zoned(of_day).all(|(zone, _)| zone == first.0).then_some(first)
}

/// Which zone the clocks of the place showed on a day, by what data, and who states it, as a part of a sentence; `None` where
/// the case file does not tell.
#[must_use]
pub fn zone_said(case: &Case, date: &str) -> Option<String> {
    let (zone, basis) = stated_zone(case, date)?;
    let (zone, said) = (with_data(zone), basis.said());
    let own =
        case.polls.iter().any(|row| row.value.date.as_deref() == Some(date) && row.value.zone.is_some());
    Some(if own {
        format!("the clocks of the place showed the time of the zone {zone}, {said}")
    } else {
        format!(
            "the clocks of the place showed the time of the zone {zone} on {date} as on the day for which it is stated, {said}"
        )
    })
}

/// The same for the hours of a day; where its rows state several zones, each with the hours to which it belongs.
#[must_use]
pub fn zones_said(case: &Case, date: &str) -> Vec<String> {
    if let Some(said) = zone_said(case, date) {
        return vec![said];
    }
    let rows = case.polls.iter().filter(|row| row.value.date.as_deref() == Some(date));
    rows.filter_map(|row| {
        let zone = row.value.zone.as_deref()?;
        let hours: Vec<&str> =
            [&row.value.opens, &row.value.closes].into_iter().flatten().map(String::as_str).collect();
        let noun = if hours.len() > 1 { "hours" } else { "hour" };
        let are = if hours.len() > 1 { "are" } else { "is" };
        let stated = format!("the {noun} {} of {date} {are}", hours.join(" to "));
        let zone = format!("in the time of the zone {}, {}", with_data(zone), row.basis.said());
        (!hours.is_empty()).then(|| format!("{stated} {zone}"))
    })
    .collect()
}

/// By what data a zone is known that has a name, as a part of a sentence; `None` for an offset from UTC.
pub(super) fn by_data(zone: &str) -> Option<String> {
    Zone::is_name(zone).then(|| format!("the zone {zone} was as the IANA time zone database {DATA} has it"))
}

/// A zone by its name, and by what data it is known.
fn with_data(zone: &str) -> String {
    if Zone::is_name(zone) {
        format!("{zone} by the IANA time zone database {DATA}")
    } else {
        zone.to_owned()
    }
}

/// Minutes by which the place's civil time is ahead of UTC at an instant; `None` where its zone is not known.
#[must_use]
pub fn ahead(case: &Case, at: Instant) -> Option<i32> {
    let ms = at.whole_ms();
    let mut zones: Vec<&str> = case.polls.iter().filter_map(|poll| poll.value.zone.as_deref()).collect();
    zones.sort_unstable();
    zones.dedup();
    // Which day it was in the place hangs on the zone, and which zone holds may hang on the day: one must fit the other.
    let fits = |name: &str| {
        let ahead = Zone::of(name)?.ahead(ms)?;
        let here = zone(case, &date_of(ms.checked_add(i64::from(ahead) * 60_000)?)?, None)?;
        (here.ahead(ms) == Some(ahead)).then_some(ahead)
    };
    let mut fitting: Vec<i32> = zones.into_iter().filter_map(fits).collect();
    fitting.dedup();
    if let [ahead] = fitting.as_slice() { Some(*ahead) } else { None }
}

/// The civil time of the place at an instant, `YYYY-MM-DD hh:mm:ss`: with its offset where the clocks of the place showed
/// that hour twice, and as UTC where its zone is not known.
#[must_use]
pub fn civil(case: &Case, at: Instant) -> String {
    let Some(minutes) = ahead(case, at) else { return format!("{} UTC", at.civil(0)) };
    let text = at.civil(minutes);
    let twice = at.whole_ms().checked_add(i64::from(minutes) * 60_000).is_some_and(|civil| {
        let zone = text.get(..10).and_then(|day| zone(case, day, None));
        matches!(zone.and_then(|zone| zone.instants(civil)), Some(Instants::Two(..)))
    });
    if !twice {
        return text;
    }
    let (sign, size) = if minutes < 0 { ('-', -minutes) } else { ('+', minutes) };
    format!("{text} (UTC{sign}{:02}:{:02})", size / 60, size % 60)
}

/// The instants of a civil moment, as earliest and latest; `None` for a moment that the calendar or the zone has not.
/// Where the zone is not known it may be any: from 14 hours ahead of UTC to 12 behind.
#[must_use]
pub fn instants(case: &Case, moment: &str, own: Option<&str>) -> Option<(Instant, Instant)> {
    let ms = civil_ms(moment)?;
    let (earliest, latest) = match zone(case, moment.get(..10)?, own) {
        Some(zone) => zone.instants(ms)?.span()?,
        None => (ms - 14 * HOUR_MS, ms + 12 * HOUR_MS),
    };
    Some((of_ms(earliest), of_ms(latest)))
}

/// The first instant of a day, as earliest and latest. Midnight may be an hour that was left out; the day then begins when the
/// clocks show the hour after it.
#[must_use]
pub fn midnight(case: &Case, date: &str, own: Option<&str>) -> Option<(Instant, Instant)> {
    ["00:00", "01:00"].iter().find_map(|hour| instants(case, &format!("{date} {hour}"), own))
}

/// The day of a civil moment, given in milliseconds since 1970-01-01 00:00:00, as `YYYY-MM-DD`.
#[must_use]
pub fn date_of(civil_ms: i64) -> Option<String> {
    Some(chrono::DateTime::from_timestamp_millis(civil_ms)?.format("%Y-%m-%d").to_string())
}

/// The days for which the case file states a poll with its date, in the order of the calendar.
#[must_use]
pub fn days(case: &Case) -> Vec<Day> {
    let mut days: Vec<Day> = Vec::new();
    // A row that says nothing but that there was no other day is no further part of a poll whose hours others state.
    let says_alone = |poll: &Poll| poll.only_day && poll.opens.is_none() && poll.closes.is_none();
    let (alone, of_hours): (Vec<_>, Vec<_>) = case.polls.iter().partition(|stated| says_alone(&stated.value));
    for stated in of_hours.into_iter().chain(alone) {
        let poll = &stated.value;
        let Some(date) = &poll.date else { continue };
        if says_alone(poll) && days.iter().any(|day| day.date == *date) {
            continue;
        }
        let part = Part {
            opens: hour(case, poll, date, poll.opens.as_deref()),
            closes: hour(case, poll, date, poll.closes.as_deref()),
            basis: stated.basis.clone(),
        };
        if let Some(day) = days.iter_mut().find(|day| day.date == *date) {
            day.parts.push(part);
            continue;
        }
        days.extend(day(case, poll, date, part));
    }
    days.sort_by(|one, other| one.date.cmp(&other.date));
    if let [day] = days.as_mut_slice()
        // Who says of records that they were of the poll of another day contradicts that there was none.
        && !case.phases.iter().filter_map(|row| row.value.poll.as_deref()).any(|said| said != day.date)
    {
        day.only = case.polls.iter().find(|stated| stated.value.only_day).map(|stated| stated.basis.clone());
    }
    days
}

fn day(case: &Case, poll: &Poll, date: &str, part: Part) -> Option<Day> {
    let civil = civil_ms(&format!("{date} 00:00"))?;
    let midnight = |date: &str| midnight(case, date, poll.zone.as_deref());
    let ((begins, begins_by), (ends_from, ends)) = (midnight(date)?, midnight(&date_of(civil + DAY_MS)?)?);
    let known = part.opens.or(part.closes);
    let ahead = known.map_or(civil - begins.whole_ms(), |hour| hour.civil - hour.earliest.whole_ms());
    Some(Day {
        date: date.to_owned(),
        begins,
        begins_by,
        ends,
        ends_from,
        civil,
        offset_minutes: i32::try_from(ahead / 60_000).unwrap_or(0),
        parts: vec![part],
        only: None,
    })
}

fn hour(case: &Case, poll: &Poll, date: &str, hour: Option<&str>) -> Option<Hour> {
    let moment = format!("{date} {}", hour?);
    let (earliest, latest) = instants(case, &moment, poll.zone.as_deref())?;
    Some(Hour { civil: civil_ms(&moment)?, earliest, latest })
}

/// Periods of the papers. People write a minute as it begins or as it ends, so that a moment written to the minute may
/// be a minute off either way, and one written to the second a second.
#[must_use]
pub fn lapses(case: &Case, statements: &Statements<Period>) -> Vec<Lapse> {
    let moment = |text: &Option<String>| {
        let text = text.as_deref()?;
        let (earliest, latest) = instants(case, text, None)?;
        let rounded = Instant::of_ns(if text.len() <= 16 { 60 * SECOND } else { SECOND });
        Some(Hour { civil: civil_ms(text)?, earliest: earliest - rounded, latest: latest + rounded })
    };
    let lapse = |from, to, basis: &Saying| Lapse { from, to, basis: basis.clone() };
    statements
        .stated
        .iter()
        .map(|stated| lapse(moment(&stated.value.from), moment(&stated.value.to), &stated.basis))
        .collect()
}

fn of_ms(ms: i64) -> Instant {
    Instant::of_ns(i128::from(ms) * 1_000_000)
}

impl Instant {
    /// The last whole millisecond not after it, since 1970-01-01 00:00:00 UTC.
    fn whole_ms(self) -> i64 {
        i64::try_from(self.ns().div_euclid(1_000_000)).unwrap_or(0)
    }
}

//! Charts of a log: what of one displayed day they show, gathered once for all of them.

mod bound;
mod close_up;
mod day;
mod ledger;
mod pace;

pub(super) use bound::TrueTime;
pub(super) use day::picture as day;
pub(super) use ledger::picture as ledger;
pub(super) use pace::{Rise, half_hours, picture as pace, rises};

use crate::case::{Phase, Turnout};
use crate::event::Event;
use crate::examination::Examination;
use crate::finding::Place;
use crate::replay::Cause;
use crate::report::picture::Point;
use crate::source::Shown;
use crate::syntax::{LineKind, Stamp};

pub(super) const MINUTE: i64 = 60_000;
pub(super) const HALF_HOUR: i64 = 30 * MINUTE;
pub(super) const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

/// How many days are drawn, those with the most votes.
const MOST_DAYS: usize = 3;

/// Acts that a chart names, each with its time.
const ACTS: &[Event] = &[
    Event::PowerOn,
    Event::PowerOff,
    Event::Close,
    Event::Result,
    Event::Clear,
    Event::ClockSet,
    Event::CoverOpened,
    Event::BatteryChanged,
    Event::Export,
];

/// A stretch of a day, in milliseconds, with a word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stretch {
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) word: String,
}

/// One displayed day of a log.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Day {
    /// Its date.
    pub(super) date: String,
    /// First and last moment of the axis, on whole hours.
    pub(super) axis: (i64, i64),
    /// Times of the votes that may be of the poll, sorted.
    pub(super) votes: Vec<i64>,
    /// Other votes of the day: labelled as a test, a mock poll or another phase.
    pub(super) other_votes: usize,
    /// Acts with their times, as a word and the time as displayed.
    pub(super) acts: Vec<(i64, String)>,
    /// Findings by their main line.
    pub(super) findings: Vec<(i64, usize)>,
    /// Findings that are about no record of the day.
    pub(super) other_findings: usize,
    /// What parts of the day were, as the case file states.
    pub(super) phases: Vec<Stretch>,
    /// Where nothing is known: before the first record, after the last, in gaps.
    pub(super) unknown: Vec<Stretch>,
    /// Hours of opening and closing as stated.
    pub(super) hours: Vec<(i64, String)>,
    /// Turnout as people noted it.
    pub(super) noted: Vec<Noted>,
    /// For each vote, in the order of `votes`, from when to when it was recorded by the readings of the clock, in the civil
    /// time of the place; `None` where nothing binds one of the ends. Empty where no band is drawn.
    pub(super) bounds: Vec<Option<(i64, i64)>>,
    /// When its votes were recorded in true time, where the readings of the clock bind one of them at both ends.
    pub(super) true_time: Option<TrueTime>,
    /// Whether the display went back to it: an earlier record displays a later day.
    pub(super) went_back: bool,
    /// Votes that may be of the poll and are displayed on other days: each day with its number, in the order of the record.
    pub(super) elsewhere: Vec<(String, usize)>,
    /// Whether every moment stands in the middle of its half hour.
    pub(super) is_coarse: bool,
    /// Votes of the day before the first of `votes`, in a close-up.
    pub(super) before: usize,
}

/// A number of voters or votes as noted at a time of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Noted {
    pub(super) ms: i64,
    pub(super) least: u64,
    pub(super) most: u64,
}

impl Noted {
    /// By how much the number rose since an earlier one; `None` where it fell.
    pub(super) fn since(&self, earlier: &Noted) -> Option<(u64, u64)> {
        Some((self.least.saturating_sub(earlier.most), self.most.checked_sub(earlier.least)?))
    }
}

/// The days to draw, in the order of the record. With `coarse`, every time is moved to the middle of its half hour.
pub(super) fn days(examination: &Examination<'_>, coarse: bool) -> Vec<Day> {
    let replay = &examination.replay;
    let mut counts: Vec<(i64, usize)> = Vec::new();
    for place in in_order(examination) {
        let Some((record, label)) = examination.log.records().get(place).zip(replay.labels.get(place)) else {
            continue;
        };
        let Some(time) = record.time.filter(|_| record.event == Event::Vote && is_of_poll(*label)) else {
            continue;
        };
        let day = time.ms().div_euclid(DAY);
        match counts.iter_mut().find(|(at, _)| *at == day) {
            Some((_, votes)) => *votes += 1,
            None => counts.push((day, 1)),
        }
    }
    let mut most: Vec<(i64, usize)> = counts.clone();
    most.sort_by_key(|(day, votes)| (std::cmp::Reverse(*votes), *day));
    most.truncate(MOST_DAYS);
    let is_drawn = |day: i64| most.iter().any(|(at, _)| *at == day);
    let others = |day: i64| {
        let other = |(at, votes): &(i64, usize)| (*at != day).then(|| (date(*at), *votes));
        counts.iter().filter_map(other).collect()
    };
    counts
        .iter()
        .filter(|(day, _)| is_drawn(*day))
        .map(|(day, _)| Day { elsewhere: others(*day), ..one(examination, *day, coarse) })
        .collect()
}

/// The records in the order in which they were made, by their places in the log.
fn in_order<'e>(examination: &'e Examination<'_>) -> impl Iterator<Item = usize> + 'e {
    let replay = &examination.replay;
    (0..replay.steps.len()).filter_map(|step| replay.record(step))
}

/// Whether a record before the first of a day displays a later day.
fn went_back(examination: &Examination<'_>, number: i64) -> bool {
    let day = |place: usize| Some(examination.log.records().get(place)?.time?.ms().div_euclid(DAY));
    in_order(examination).filter_map(day).take_while(|day| *day != number).any(|day| day > number)
}

fn is_of_poll(label: crate::replay::PhaseSet) -> bool {
    label.is_empty() || label.may_be(Phase::Poll)
}

fn one(examination: &Examination<'_>, number: i64, coarse: bool) -> Day {
    let (log, replay) = (examination.log, &examination.replay);
    let snap = |ms: i64| if coarse { ms - ms.rem_euclid(HALF_HOUR) + HALF_HOUR / 2 } else { ms };
    let within = |time: Option<Stamp>| time.map(Stamp::ms).filter(|ms| ms.div_euclid(DAY) == number);
    let mut day = Day {
        date: date(number),
        went_back: went_back(examination, number),
        is_coarse: coarse,
        ..Day::default()
    };
    let mut last_label: Option<String> = None;
    for place in in_order(examination) {
        let Some((record, label)) = log.records().get(place).zip(replay.labels.get(place)) else { continue };
        let Some((ms, time)) = within(record.time).map(snap).zip(record.time) else { continue };
        if record.event == Event::Vote {
            if is_of_poll(*label) { day.votes.push(ms) } else { day.other_votes += 1 }
        }
        if ACTS.contains(&record.event) {
            let told = if coarse { half_hour_of(ms) } else { time.time_of_day() };
            day.acts.push((ms, format!("{} {told}", record.event.word())));
        }
        let word = (!label.is_empty()).then(|| label.words());
        if let Some(word) = &word {
            match day.phases.last_mut().filter(|_| last_label.as_ref() == Some(word)) {
                Some(stretch) => stretch.to = ms.max(stretch.to),
                None => day.phases.push(Stretch { from: ms, to: ms, word: word.clone() }),
            }
        }
        last_label = word;
    }
    day.votes.sort_unstable();
    if !coarse {
        (day.bounds, day.true_time) = bound::of(examination, number);
    }
    // The sort is stable: acts that a coarse day shows at one moment stay in the order of the record.
    day.acts.sort_by_key(|(ms, _)| *ms);
    for (at, finding) in examination.findings.iter().enumerate() {
        if let Place::Line(line) = finding.main
            && let Some(LineKind::Record(place)) = log.lines().get(line).map(|line| line.kind)
            && let Some(ms) = log.records().get(place).and_then(|record| within(record.time))
        {
            day.findings.push((snap(ms), at));
        }
    }
    day.findings.sort_unstable();
    day.other_findings = examination.findings.len() - day.findings.len();
    hours(&mut day, examination, number);
    day.noted = noted(examination, number);
    day.noted.iter_mut().for_each(|noted| noted.ms = snap(noted.ms));
    if coarse {
        // Two that share a half hour are told in one order, whichever is the earlier.
        day.noted.sort_unstable();
    }
    let times = || log.records().iter().filter_map(|record| within(record.time)).map(snap);
    let bound = || day.bounds.iter().flatten().flat_map(|(from, to)| [*from, *to]);
    let stated =
        || day.hours.iter().map(|(ms, _)| *ms).chain(day.noted.iter().map(|noted| noted.ms)).chain(bound());
    let first = times().chain(stated()).min().unwrap_or(number * DAY);
    let last = times().chain(stated()).max().unwrap_or(number * DAY);
    day.axis = (first - first.rem_euclid(HOUR), last + HOUR - last.rem_euclid(HOUR));
    unknown(&mut day, examination, &|time| within(time).map(snap));
    day
}

/// What was noted of the turnout on a day, by time.
fn noted(examination: &Examination<'_>, number: i64) -> Vec<Noted> {
    let one = |turnout: &Turnout| {
        let (date, time) = turnout.at.split_once([' ', 'T'])?;
        let ms = number * DAY + time_of_day(time)?;
        (date == self::date(number)).then_some(Noted { ms, least: turnout.least, most: turnout.most })
    };
    let mut list: Vec<Noted> =
        examination.case.turnout.iter().filter_map(|stated| one(&stated.value)).collect();
    list.sort_unstable();
    list.dedup();
    list
}

fn hours(day: &mut Day, examination: &Examination<'_>, number: i64) {
    for stated in &examination.case.polls {
        let poll = &stated.value;
        if poll.date.as_deref().is_some_and(|date| date != day.date) {
            continue;
        }
        for (word, hour) in [("opens", &poll.opens), ("closes", &poll.closes)] {
            if let Some((text, ms)) = hour.as_ref().and_then(|hour| Some((hour, time_of_day(hour)?))) {
                let ms = number * DAY + ms;
                // A whole half hour is told as it is; another one stands in the middle of its half hour, as all else does.
                let entry = if day.is_coarse && ms % HALF_HOUR != 0 {
                    let begins = ms - ms.rem_euclid(HALF_HOUR);
                    (begins + HALF_HOUR / 2, format!("{word} {}", half_hour_of(ms)))
                } else {
                    (ms, format!("{word} {}", Shown::inert(text)))
                };
                if !day.hours.contains(&entry) {
                    day.hours.push(entry);
                }
            }
        }
    }
    day.hours.sort();
}

/// Where nothing is known: beyond open ends that lie in the day, and in gaps between two records of the day.
fn unknown(day: &mut Day, examination: &Examination<'_>, within: &dyn Fn(Option<Stamp>) -> Option<i64>) {
    let (log, replay) = (examination.log, &examination.replay);
    let time =
        |step: usize| replay.record(step).and_then(|place| log.records().get(place)).and_then(|r| r.time);
    let timed: Vec<usize> = (0..replay.steps.len()).filter(|step| time(*step).is_some()).collect();
    let first = timed.first().and_then(|step| within(time(*step)));
    let last = timed.last().and_then(|step| within(time(*step)));
    if let Some(first) = first.filter(|_| !replay.front.is_closed()) {
        day.unknown.push(Stretch { from: day.axis.0, to: first, word: "before the first record".to_owned() });
    }
    for (at, gap) in replay.gaps().filter(|(_, gap)| gap.cause != Cause::Conflict) {
        let before = timed.iter().rev().find(|step| **step < at).and_then(|step| within(time(*step)));
        let after = timed.iter().find(|step| **step > at).and_then(|step| within(time(*step)));
        if let (Some(from), Some(to)) = (before, after)
            && from <= to
        {
            let word = match gap.cause {
                Cause::Hole => "records missing",
                Cause::NumbersGoBack => "numbers go back",
                Cause::NoRoom => "no room by the numbers",
                _ => "unread",
            };
            day.unknown.push(Stretch { from, to, word: word.to_owned() });
        }
    }
    if let Some(last) = last.filter(|_| !replay.back.is_closed()) {
        day.unknown.push(Stretch { from: last, to: day.axis.1, word: "after the last record".to_owned() });
    }
}

/// `hh:mm` or `hh:mm:ss` in milliseconds.
fn time_of_day(text: &str) -> Option<i64> {
    let mut parts = text.split(':').map(str::parse::<i64>);
    let (hours, minutes) = (parts.next()?.ok()?, parts.next()?.ok()?);
    let seconds = parts.next().map_or(Some(0), Result::ok)?;
    Some(hours * HOUR + minutes * MINUTE + seconds * 1000)
}

/// The date of a day, counted from 1970-01-01.
fn date(number: i64) -> String {
    let text = Stamp::new(number * DAY, 0).to_string();
    text.split(' ').next().unwrap_or_default().to_owned()
}

/// `hh:mm` of a moment.
pub(super) fn clock(ms: i64) -> String {
    Stamp::new(ms, 0).to_the_minute().time_of_day()
}

/// The half hour in which a moment lies, `hh:mm–hh:mm`.
pub(super) fn half_hour_of(ms: i64) -> String {
    let begins = ms - ms.rem_euclid(HALF_HOUR);
    format!("{}\u{2013}{}", clock(begins), clock(begins + HALF_HOUR))
}

/// The drawing's plane: where a moment and a number come to stand.
#[derive(Debug, Clone, Copy)]
struct Plane {
    left: i32,
    right: i32,
    top: i32,
    bottom: i32,
    axis: (i64, i64),
    /// The numbers at its foot and at its head.
    least: i64,
    most: i64,
}

impl Plane {
    fn x(&self, ms: i64) -> i32 {
        let span = (self.axis.1 - self.axis.0).max(1);
        let at = (ms - self.axis.0).clamp(0, span);
        self.left + i32::try_from(at * i64::from(self.right - self.left) / span).unwrap_or(0)
    }

    fn y(&self, number: i64) -> i32 {
        self.y_of(number.into(), 1)
    }

    /// Where a fraction comes to stand, to the nearest pixel below.
    fn y_of(&self, number: i128, of: i128) -> i32 {
        let height = i128::from(self.bottom - self.top);
        let span = i128::from((self.most - self.least).max(1));
        let up = (number - i128::from(self.least) * of.max(1)) * height / (span * of.max(1));
        self.bottom - i32::try_from(up).unwrap_or(0)
    }

    fn at(&self, ms: i64, number: i64) -> Point {
        (self.x(ms), self.y(number))
    }
}

/// A round step so that a scale from 0 to `most` has at most `parts` parts.
fn step(most: i64, parts: i64) -> i64 {
    // Wider than what it divides: a paper may state any number.
    let mut unit = 1_i128;
    loop {
        for times in [1, 2, 5] {
            if i128::from(most) <= unit * times * i128::from(parts) {
                return i64::try_from(unit * times).unwrap_or(i64::MAX);
            }
        }
        unit *= 10;
    }
}

/// Pixels that a text takes, roughly: enough to keep texts apart.
fn width(text: &str) -> i32 {
    i32::try_from(text.chars().count()).unwrap_or(0) * 7 + 6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_has_round_steps() {
        assert_eq!([0, 5, 6, 24, 29, 497, 1200].map(|most| step(most, 5)), [1, 1, 2, 5, 10, 100, 500]);
        assert_eq!(time_of_day("07:30"), Some(7 * HOUR + 30 * MINUTE));
        assert_eq!(time_of_day("18:00:01"), Some(18 * HOUR + 1000));
        assert_eq!(time_of_day("x"), None);
        assert_eq!(date(0), "1970-01-01");
    }
}

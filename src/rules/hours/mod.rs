//! The hours: where the clock's bounds put a record by the hours of the poll and the periods of the papers.
//!
//! No displayed time is ever set against a true hour: a record has bounds of true time, or none.

pub(super) mod activity_in_storage;
mod close;
pub(super) mod closed_early;
pub(super) mod closed_late;
mod elsewhere;
mod examples;
mod margins;
pub(super) mod mock_poll_in_hours;
mod night;
mod period;
pub(super) mod result_outside_count;
mod rivals;
pub(super) mod vote_after_hour;
pub(super) mod vote_after_queue;
pub(super) mod vote_before_opening;
pub(super) mod vote_in_interruption;

use elsewhere::Elsewhere;
use margins::Margins;
use night::{Began, Night, OfNight, Untold};

use crate::case::{Case, Phase};
use crate::clock::hours::{Day, Hour, Part, civil, date_of, zones_said};
use crate::clock::{Bound, Instant, Premise, SECOND, When, length, outwards};
use crate::finding::Place;
use crate::rules::phases::said;
use crate::rules::{Contrary, Known, Ordinary, Walk, Want};

/// Whoever noted what the clock showed.
const PRESIDING: &str = "presiding officer of the station";

const REGISTRAR: &str = "registrar of the constituency";

/// What a finding on when voters were released rests on.
pub(in crate::rules) const RELEASED: &str = "each vote was released by the enable before it";

/// The explanation that every finding by bounds of true time has.
const READING_WRONG: Ordinary = Ordinary::new(
    "A reading of the unit's clock is wrong: misread, written down late, or beside a clock that was itself off.",
    "who read it, how, and beside which clock; further readings of the unit, made again now",
);

/// Where a record lies by what a rule asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// As the rule asks, wherever in its bounds it lies.
    InOrder,
    /// Otherwise, wherever in its bounds it lies.
    Contrary,
    /// Its bounds hold both, or nothing bounds it.
    Open,
}

pub(in crate::rules) fn surely_before(when: &When, instant: Instant) -> bool {
    when.latest.as_ref().is_some_and(|end| end.at < instant || (end.at == instant && !end.reached))
}

pub(in crate::rules) fn surely_from(when: &When, instant: Instant) -> bool {
    when.earliest.as_ref().is_some_and(|end| end.at >= instant)
}

pub(in crate::rules) fn surely_after(when: &When, instant: Instant) -> bool {
    when.earliest.as_ref().is_some_and(|end| end.at > instant || (end.at == instant && !end.reached))
}

pub(in crate::rules) fn surely_until(when: &When, instant: Instant) -> bool {
    when.latest.as_ref().is_some_and(|end| end.at <= instant)
}

/// The day that a record was surely made on, of those for which a poll is stated.
pub(in crate::rules) fn day_of<'d>(days: &'d [Day], when: &When) -> Option<&'d Day> {
    days.iter().find(|day| surely_from(when, day.begins_by) && surely_before(when, day.ends_from))
}

/// The one day on which the poll was held, where the case file says that it was held on no other and a vote of it surely was
/// recorded then: that is the day of every record of the poll, wherever in its bounds it lies. Where none was, the readings
/// and what is stated of the poll do not go together, and nothing is concluded from both.
fn the_only_day<'d>(known: &Known<'_>, days: &'d [Day]) -> Option<&'d Day> {
    let day = days.iter().find(|day| day.only.is_some())?;
    let lies = |vote: usize| day_of(days, &known.clock.bounds(vote)).is_some();
    known.votes_of_poll().any(lies).then_some(day)
}

/// A finding on records that are of a day because the poll was held on no other, with the vote that ties the poll to that day;
/// unchanged where their bounds tell the day.
fn alone_there(known: &Known<'_>, day: &Day, steps: &[usize], mut found: Contrary) -> Contrary {
    let lies = |step: &usize| day_of(std::slice::from_ref(day), &known.clock.bounds(*step)).is_some();
    if steps.iter().all(lies) {
        return found;
    }
    found.assumptions.extend(alone_said(day));
    tied_by(known, known.votes_of_poll().find(lies), day, found)
}

/// A finding on the hours of a day, with the vote that shows that the unit served the poll of that day.
fn tied_by(known: &Known<'_>, vote: Option<usize>, day: &Day, mut found: Contrary) -> Contrary {
    let Some(vote) = vote else { return found };
    let (name, place) = (known.name(vote), known.place(vote));
    // A record that the finding tells already is told once.
    if found.others.contains(&place) {
        found.shows.push_str(&format!(" {name} is a vote of the poll of {}.", day.date));
    } else {
        let when = between(known, vote);
        found.others.push(place);
        found.shows.push_str(&format!(" {name}, recorded {when}, is a vote of the poll of {}.", day.date));
    }
    found.assumptions.extend(known.label_premise(vote, Phase::Poll));
    found.assumptions.extend(clock_premises(known, &[vote]));
    found
}

/// That the poll was held on no other day, and who says so; `None` where nobody does.
pub(in crate::rules) fn alone_said(day: &Day) -> Option<String> {
    let only = day.only.as_ref()?;
    Some(format!("the poll was held on {} and on no other day, {}", day.date, said(only)))
}

/// Whether a record was surely made on none of the days for which a poll is stated.
fn is_on_no_day(days: &[Day], when: &When) -> bool {
    days.iter().all(|day| surely_before(when, day.begins) || surely_from(when, day.ends))
}

/// Whether a record lies surely within the hours of one part.
fn inside(part: &Part, when: &When) -> bool {
    part.opens.is_some_and(|hour| surely_from(when, hour.latest))
        && part.closes.is_some_and(|hour| surely_until(when, hour.earliest))
}

fn before(part: &Part, when: &When) -> bool {
    part.opens.is_some_and(|hour| surely_before(when, hour.earliest))
}

fn after(part: &Part, when: &When) -> bool {
    part.closes.is_some_and(|hour| surely_after(when, hour.latest))
}

/// Whether nothing bounds a record.
fn is_unbounded(known: &Known<'_>, step: usize) -> bool {
    known.clock.bounds(step) == When::default()
}

/// The hours that lie within the bounds of a step.
fn held<'h>(known: &Known<'_>, step: usize, hours: &'h [Hour]) -> impl Iterator<Item = &'h Hour> + use<'h> {
    let when = known.clock.bounds(step);
    hours.iter().filter(move |hour| {
        when.earliest.as_ref().is_none_or(|end| end.at <= hour.latest)
            && when.latest.as_ref().is_none_or(|end| end.at >= hour.earliest)
    })
}

/// The bounds of true time of a step in words, in the civil time of the place.
fn between(known: &Known<'_>, step: usize) -> String {
    between_by(known.case, &known.clock.bounds(step))
}

/// Bounds of true time in words.
fn between_by(case: &Case, when: &When) -> String {
    // To the second, outwards: no bound is said to be tighter than it is.
    let early = |end: &Bound| civil(case, end.at.second_before());
    let late = |end: &Bound| civil(case, end.at.second_after());
    match (&when.earliest, &when.latest) {
        (Some(from), Some(to)) => format!("between {} and {}", early(from), late(to)),
        (Some(from), None) => format!("not before {}", early(from)),
        (None, Some(to)) => format!("not after {}", late(to)),
        (None, None) => "at a time that nothing bounds".to_owned(),
    }
}

/// That the hours are those that the case file states, and that no others were set for the day.
pub(in crate::rules) fn hours_premise(known: &Known<'_>, day: &Day) -> Vec<String> {
    let mut premises: Vec<String> = day
        .parts
        .iter()
        .map(|part| {
            let text = |hour: Option<Hour>| hour.map(|hour| clock_face(hour.civil));
            let hours = match (text(part.opens), text(part.closes)) {
                (Some(opens), Some(closes)) => format!("opened at {opens} and closed at {closes}"),
                (Some(opens), None) => format!("opened at {opens}"),
                (None, Some(closes)) => format!("closed at {closes}"),
                (None, None) => "was held".to_owned(),
            };
            format!("the poll of {} {hours}, {}", day.date, said(&part.basis))
        })
        .collect();
    premises.extend(zones_said(known.case, &day.date));
    premises.push(format!("no other hours were set for {} than those that the case file states", day.date));
    premises
}

/// The time of day of a civil moment, `hh:mm` or with seconds.
fn clock_face(civil_ms: i64) -> String {
    let seconds = civil_ms.rem_euclid(86_400_000) / 1000;
    let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    if seconds == 0 {
        format!("{hours:02}:{minutes:02}")
    } else {
        format!("{hours:02}:{minutes:02}:{seconds:02}")
    }
}

/// An hour with its day, for a sentence that stands by itself: `18:00 on 2031-05-10`.
fn day_and_face(civil_ms: i64) -> String {
    format!("{} on {}", clock_face(civil_ms), date_of(civil_ms).unwrap_or_default())
}

/// How the readings bound a record on the side on which a finding rests.
pub(in crate::rules) fn clock_premises(known: &Known<'_>, steps: &[usize]) -> Vec<String> {
    premises_of(known, steps, Vec::new())
}

/// The same, with what a span between two records rests on.
fn premises_of(known: &Known<'_>, steps: &[usize], mut premises: Vec<Premise>) -> Vec<String> {
    for when in steps.iter().map(|step| known.clock.when(*step)) {
        premises.extend([when.earliest, when.latest].into_iter().flatten().flat_map(|end| end.rests_on));
    }
    premises.sort();
    premises.dedup();
    Premise::told(&premises)
}

/// Contrary occasions by the day of the poll on which they lie: those of one day are one finding.
struct OfDays<'d> {
    days: Vec<(&'d Day, Vec<usize>, Option<Began>)>,
}

impl<'d> OfDays<'d> {
    fn of(days: &'d [Day]) -> OfDays<'d> {
        OfDays { days: days.iter().map(|day| (day, Vec::new(), None)).collect() }
    }

    /// Adds one, with where its poll began if that had to be told.
    fn add(&mut self, day: &Day, step: usize, began: Option<Began>) {
        if let Some((_, steps, first)) = self.days.iter_mut().find(|(of, ..)| of.date == day.date) {
            steps.push(step);
            *first = first.take().or(began);
        }
    }

    fn tell(self, known: &Known<'_>, walk: &mut Walk<'_>, finding: Finding) {
        for (day, steps, began) in self.days {
            if !steps.is_empty() {
                let found = alone_there(known, day, &steps, finding(known, day, &steps));
                walk.contrary_all(&steps, began_there(known, found, began));
            }
        }
    }
}

/// A finding that rests on where the poll began, with the record that shows it.
fn began_there(known: &Known<'_>, mut found: Contrary, began: Option<Began>) -> Contrary {
    let Some(Began { behind, rests_on }) = began else { return found };
    if let Some(step) = behind {
        found.others.push(known.place(step));
        let (name, when) = (known.name(step), between(known, step));
        found.shows.push_str(&format!(" The poll did not begin before {name}, which was recorded {when}."));
    }
    let dated = behind.map_or_else(Vec::new, |step| clock_premises(known, &[step]));
    found.assumptions.extend(rests_on.into_iter().chain(dated));
    found
}

/// The end of the time allowed after an hour.
fn later(hour: &Hour, minutes: u64) -> Hour {
    let ms = i64::try_from(minutes).unwrap_or(0).saturating_mul(60_000);
    let by = Instant::of_ns(i128::from(ms) * (SECOND / 1000));
    Hour { civil: hour.civil.saturating_add(ms), earliest: hour.earliest + by, latest: hour.latest + by }
}

/// What is found on one day.
type Finding = fn(&Known<'_>, &Day, &[usize]) -> Contrary;

/// What a rule asks of every vote of the poll by the hours of its day.
struct ByDay<'q> {
    /// The days, with the hours that the rule asks about.
    days: &'q [Day],
    /// Where a vote, by its step, lies on its day.
    told: fn(&Known<'_>, &Day, usize) -> Told,
    /// The record whose time decides for a vote; `None` where it is not seen.
    decides: fn(&Known<'_>, usize) -> Option<usize>,
    /// The hours of a day between which and a vote the question lies.
    hours: fn(&Day) -> Vec<Hour>,
    /// What it is about, in words.
    what: &'q str,
    finding: Finding,
}

impl ByDay<'_> {
    /// Walks over the votes of the poll.
    fn walk(&self, known: &Known<'_>, walk: &mut Walk<'_>) {
        let days = self.days;
        let hours: Vec<_> = days.iter().flat_map(self.hours).collect();
        let (mut margins, mut elsewhere) = (Margins::default(), Elsewhere::default());
        let (night, mut of_night) = (Night::of(known), OfNight::default());
        let mut contrary = OfDays::of(days);
        let only = the_only_day(known, days);
        for step in known.votes_of_poll() {
            let day = day_of(days, &known.clock.bounds(step)).or(only);
            match day.map(|day| (day, (self.told)(known, day, step))) {
                Some((day, told @ (Told::InOrder | Told::Contrary))) => {
                    let began = night.told(known, (day, only), step);
                    // The papers may say that it is of the poll of another day: in a night then its hours are asked.
                    let other = began.as_ref().err().and_then(|_| night::said_of(known, days, day, step));
                    let by_other = other.map(|other| (other, (self.told)(known, other, step)));
                    let otherwise = self.otherwise(known, day, step, told);
                    match (by_other, began, told) {
                        (Some((other, Told::Contrary)), ..) => contrary.add(other, step, None),
                        (Some((_, Told::Open)), ..) => margins.add(step),
                        (None, Err(untold), _) => of_night.add(day, untold, step),
                        (None, Ok(began), told) => match (otherwise, told) {
                            (Some(untold), _) => of_night.add(day, untold, step),
                            (None, Told::Contrary) => contrary.add(day, step, began),
                            _ => walk.in_order(known.place(step)),
                        },
                        _ => walk.in_order(known.place(step)),
                    }
                }
                None if elsewhere::is(known, step, &hours) => elsewhere.add(step),
                _ => match (self.decides)(known, step) {
                    Some(deciding) => margins.add(deciding),
                    None => walk.open(known.place(step), release_not_seen(known, step)),
                },
            }
        }
        of_night.open(known, walk, days);
        margins.open(known, walk, &hours, self.what);
        elsewhere.open(known, walk, days);
        contrary.tell(known, walk, self.finding);
    }

    /// That the papers give a vote to the poll of another day, whose hours lead to another answer than those of its own.
    fn otherwise(&self, known: &Known<'_>, day: &Day, step: usize, told: Told) -> Option<Untold> {
        let untold = night::said_otherwise(known, day, step, Phase::Poll)?;
        let said = known.poll_said(step, Phase::Poll);
        let named = self.days.iter().find(|other| said == Some(other.date.as_str()));
        named.is_none_or(|other| (self.told)(known, other, step) != told).then_some(untold)
    }
}

/// That nothing shows when a voter was released.
fn release_not_seen(known: &Known<'_>, vote: usize) -> Want {
    Want::Other(
        format!("no record shows when the voter of {} was released", known.name(vote)),
        PRESIDING,
        "the diary's account of the last voters: who waited at the hour, and when each was let vote"
            .to_owned(),
    )
}

/// A sentence on how far a record lies beyond an hour, with both ends of its margin.
fn beyond(known: &Known<'_>, step: usize, hour: &Hour, is_after: bool) -> String {
    let when = known.clock.bounds(step);
    let (from, to) = (when.earliest.as_ref(), when.latest.as_ref());
    let ends = if is_after {
        (from.map(|end| end.at - hour.latest), to.map(|end| end.at - hour.earliest))
    } else {
        (to.map(|end| hour.earliest - end.at), from.map(|end| hour.latest - end.at))
    };
    let side = if is_after { "after" } else { "before" };
    match ends {
        (Some(least), Some(most)) => {
            let (least, most) = outwards(least, most, Instant::default());
            format!("{least} to {most} {side} {}", clock_face(hour.civil))
        }
        (Some(least), None) => format!("at least {} {side} {}", at_least(least), clock_face(hour.civil)),
        _ => String::new(),
    }
}

/// A length that is told as the least, from a second on in whole seconds.
fn at_least(least: Instant) -> String {
    let whole = least.second_before();
    length(if whole > Instant::default() { whole } else { least }.ns())
}

/// That a finding speaks of more records than one.
fn and_more(number: usize) -> String {
    match number {
        0 | 1 => String::new(),
        2 => " The same holds of one more.".to_owned(),
        _ => format!(" The same holds of {} more.", number - 1),
    }
}

/// The first and the last of some steps.
fn ends_of(steps: &[usize]) -> Vec<usize> {
    [steps.first(), steps.last()].into_iter().flatten().copied().collect()
}

/// The places of the steps but the first.
fn rest(known: &Known<'_>, steps: &[usize]) -> Vec<Place> {
    steps.iter().skip(1).map(|step| known.place(*step)).collect()
}

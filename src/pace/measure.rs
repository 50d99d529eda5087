//! Measurements of the pace of votes: how many per half hour, the longest and the shortest intervals, their spread.

use super::spread::Spread;
use super::{Tick, Timeline};
use crate::case::Phase;
use crate::event::Event;
use crate::replay::{PhaseSet, Replay, Step};
use crate::syntax::{Log, Stamp};

/// How many of the longest and of the shortest intervals are kept.
const ENDS: usize = 5;

/// Votes of a fast run, and how many such runs are kept.
pub const RUN: usize = 10;
const RUNS: usize = 3;

/// Half an hour in milliseconds.
const HALF_HOUR: i64 = 1_800_000;

/// The interval from one vote to the next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Silence {
    /// Step of the replay of the vote before it.
    pub from: usize,
    /// Step of the vote behind it.
    pub to: usize,
    /// The displayed length in milliseconds.
    pub ms: i64,
    /// What the record has inside, enables left out.
    pub inside: Vec<Inside>,
    /// Whether lines that could not be read, missing numbers or records in conflict lie inside.
    pub hidden: bool,
}

/// A record inside an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Inside {
    /// Its step of the replay.
    pub step: usize,
    /// What it says happened.
    pub event: Event,
}

/// Votes in one half hour of the display.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HalfHour {
    /// Its begin, as the unit displayed it.
    pub begins: Stamp,
    /// Steps of the replay of the votes in it, one or more, in the order of the record.
    pub steps: Vec<usize>,
}

/// A run of [`RUN`] votes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Step of its first vote.
    pub first: usize,
    /// Step of its last vote.
    pub last: usize,
    /// The displayed time from first to last, in milliseconds.
    pub ms: i64,
}

/// The pace of the votes of a log that may be of the poll: numbers, and no judgment.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Measurements {
    /// Votes measured: those with a time that the case file does not call something else than the poll.
    pub votes: usize,
    /// Votes left out, because the case file calls them something else or because they show no time.
    pub left_out: usize,
    /// How many of these show no time.
    pub untimed: usize,
    /// Votes per half hour of the display, in the order of the record; half hours without votes are left out.
    pub half_hours: Vec<HalfHour>,
    /// The longest intervals from one vote to the next, longest first.
    pub longest: Vec<Silence>,
    /// The shortest, under one clock and with nothing hidden inside, shortest first.
    pub shortest: Vec<Silence>,
    /// The fastest runs that do not overlap, fastest first.
    pub fastest: Vec<Run>,
    /// The spread of the intervals under one clock.
    pub spread: Option<Spread>,
    /// Intervals that are not under one clock or have a clear inside, so that the spread leaves them out.
    pub across: usize,
}

impl Measurements {
    /// Measures a log that was replayed. `labels` are those of its records, where all versions of the case file give the
    /// same.
    #[must_use]
    pub fn of(log: &Log, replay: &Replay, labels: Option<&[PhaseSet]>) -> Measurements {
        let timeline = Timeline::of(log, replay);
        let ticks = timeline.ticks();
        let of_poll = |tick: &Tick| {
            let label = replay.record(tick.step).and_then(|place| labels?.get(place)).copied();
            label.is_none_or(|label| label.is_empty() || label.may_be(Phase::Poll))
        };
        let votes: Vec<usize> = timeline
            .places_of(Event::Vote)
            .filter(|(_, tick)| tick.time.is_some() && of_poll(tick))
            .map(|(place, _)| place)
            .collect();
        let pairs = || votes.iter().copied().zip(votes.iter().copied().skip(1));
        let mut longest: Vec<Apart> = pairs().filter_map(|(from, to)| apart(ticks, from, to)).collect();
        let under_one_clock: Vec<i64> =
            pairs().filter_map(|(from, to)| together(&timeline, from, to)).collect();
        let one_clock = |apart: &&Apart| together(&timeline, apart.from, apart.to).is_some();
        let mut shortest: Vec<Apart> = longest.iter().filter(one_clock).copied().collect();
        // The sorts are stable: equal intervals stay in the order of the record.
        longest.sort_by_key(|apart| std::cmp::Reverse(apart.ms));
        shortest.sort_by_key(|apart| apart.ms);
        let ends = |list: &[Apart]| {
            list.iter().take(ENDS).filter_map(|apart| silence(ticks, replay, *apart)).collect()
        };
        let (longest, shortest) = (ends(&longest), ends(&shortest));
        Measurements {
            votes: votes.len(),
            left_out: timeline.places_of(Event::Vote).count() - votes.len(),
            untimed: timeline.places_of(Event::Vote).filter(|(_, tick)| tick.time.is_none()).count(),
            half_hours: half_hours(ticks, &votes),
            longest,
            shortest,
            fastest: fastest(&timeline, &votes),
            spread: Spread::of(&under_one_clock),
            across: votes.len().saturating_sub(1) - under_one_clock.len(),
        }
    }
}

/// Two votes on the timeline, and how far apart they are displayed.
#[derive(Debug, Clone, Copy)]
struct Apart {
    from: usize,
    to: usize,
    ms: i64,
}

/// How far apart two votes are; `None` where the display went back or the memory was cleared in between, so that they do
/// not follow each other in one poll.
fn apart(ticks: &[Tick], from: usize, to: usize) -> Option<Apart> {
    let ms = ticks.get(to)?.time?.ms() - ticks.get(from)?.time?.ms();
    (ms >= 0 && !is_cleared(ticks, from, to)).then_some(Apart { from, to, ms })
}

/// Whether the memory was cleared between two votes.
fn is_cleared(ticks: &[Tick], from: usize, to: usize) -> bool {
    ticks.get(from + 1..to).is_none_or(|inside| inside.iter().any(|tick| tick.event == Event::Clear))
}

/// The time from one vote to a later one under one clock, with the memory not cleared in between.
fn together(timeline: &Timeline, from: usize, to: usize) -> Option<i64> {
    timeline.between(from, to).filter(|_| !is_cleared(timeline.ticks(), from, to))
}

/// The interval between two votes, with what lies inside.
fn silence(ticks: &[Tick], replay: &Replay, apart: Apart) -> Option<Silence> {
    let (one, other) = (ticks.get(apart.from)?, ticks.get(apart.to)?);
    let inside = ticks
        .get(apart.from + 1..apart.to)?
        .iter()
        .filter(|tick| tick.event != Event::Enable)
        .map(|tick| Inside { step: tick.step, event: tick.event })
        .collect();
    let steps = replay.steps.get(one.step..=other.step).unwrap_or_default();
    let hidden = steps.iter().any(|step| matches!(step, Step::Gap(_)))
        || (one.step..=other.step).any(|step| replay.in_conflict.get(step) == Some(&true));
    Some(Silence { from: one.step, to: other.step, ms: apart.ms, inside, hidden })
}

fn half_hours(ticks: &[Tick], votes: &[usize]) -> Vec<HalfHour> {
    let mut list: Vec<HalfHour> = Vec::new();
    for tick in votes.iter().filter_map(|place| ticks.get(*place)) {
        let Some(time) = tick.time else { continue };
        let begins = Stamp::new(time.ms() - time.ms().rem_euclid(HALF_HOUR), 0).to_the_minute();
        match list.last_mut().filter(|last| last.begins == begins) {
            Some(last) => last.steps.push(tick.step),
            None => list.push(HalfHour { begins, steps: vec![tick.step] }),
        }
    }
    list
}

fn fastest(timeline: &Timeline, votes: &[usize]) -> Vec<Run> {
    let mut runs: Vec<(i64, usize)> = votes
        .iter()
        .zip(votes.iter().skip(RUN - 1))
        .enumerate()
        .filter_map(|(at, (first, last))| Some((together(timeline, *first, *last)?, at)))
        .collect();
    runs.sort_unstable();
    let mut kept: Vec<(i64, usize)> = Vec::new();
    for (ms, at) in runs {
        if kept.len() < RUNS && kept.iter().all(|(_, other)| at.abs_diff(*other) >= RUN) {
            kept.push((ms, at));
        }
    }
    let step = |at: usize| Some(timeline.ticks().get(*votes.get(at)?)?.step);
    kept.into_iter()
        .filter_map(|(ms, at)| Some(Run { first: step(at)?, last: step(at + RUN - 1)?, ms }))
        .collect()
}

//! The records in the order of replay with their displayed times, cut into sections in which one clock ran on.

use crate::event::Event;
use crate::replay::{Replay, Step};
use crate::syntax::{Log, Stamp};

/// A record on the timeline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tick {
    /// Its step of the replay.
    pub step: usize,
    /// What it says happened.
    pub event: Event,
    /// The time that the unit displayed.
    pub time: Option<Stamp>,
    /// Its section; two records of one section stand under one clock that nothing in the log set, reset or hid.
    pub section: usize,
}

/// A stretch of the timeline in which the displayed times never go back and nothing stands that may set a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Section {
    /// First and behind-last place on the timeline.
    pub start: usize,
    /// Behind the last place.
    pub end: usize,
    /// The largest step that all its displayed times have in common, in milliseconds, at least the display's own step;
    /// `None` where fewer than two different times stand in it, so that nothing shows how fine the clock is.
    pub grain: Option<i64>,
}

/// How fine the displayed times of a log are, as far as they show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resolution {
    /// To the second or finer.
    Seconds,
    /// The display shows minutes, or all times stand on steps of this many milliseconds, two seconds or more.
    Coarse(i64),
    /// Too few different times to say.
    Unknown,
}

/// Different lengths, and lengths in all, that must stand between the times of a log before they show a coarse clock.
const LENGTHS: (usize, usize) = (2, 20);

/// From this step on a clock is coarse.
const COARSE_MS: i64 = 2000;

/// The records in the order of replay.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Timeline {
    ticks: Vec<Tick>,
    sections: Vec<Section>,
}

impl Timeline {
    /// Lays out the records of a log that was replayed.
    #[must_use]
    pub fn of(log: &Log, replay: &Replay) -> Timeline {
        let mut ticks = Vec::with_capacity(replay.steps.len());
        let mut sections: Vec<Section> = Vec::new();
        let (mut start, mut grain) = (0, Grain::default());
        let mut last: Option<Stamp> = None;
        for (at, step) in replay.steps.iter().enumerate() {
            let record = match step {
                Step::Record(place) => log.records().get(*place),
                Step::Gap(_) => None,
            };
            let Some(record) = record else {
                close(&mut sections, &mut start, ticks.len(), &mut grain);
                last = None;
                continue;
            };
            let hidden = replay.in_conflict.get(at).copied().unwrap_or(false);
            let (before, after) = if hidden { (true, true) } else { upsets(record.event) };
            let back = matches!((last, record.time), (Some(last), Some(time)) if time.ms() < last.ms());
            if before || back {
                close(&mut sections, &mut start, ticks.len(), &mut grain);
                last = None;
            }
            if let Some(time) = record.time {
                grain.take(last, time);
                last = Some(time);
            }
            ticks.push(Tick { step: at, event: record.event, time: record.time, section: sections.len() });
            if after {
                close(&mut sections, &mut start, ticks.len(), &mut grain);
                last = None;
            }
        }
        close(&mut sections, &mut start, ticks.len(), &mut grain);
        Timeline { ticks, sections }
    }

    /// The records.
    #[must_use]
    pub fn ticks(&self) -> &[Tick] {
        &self.ticks
    }

    /// The sections, in their order.
    #[must_use]
    pub fn sections(&self) -> &[Section] {
        &self.sections
    }

    /// The records of an event with their places on the timeline.
    pub fn places_of(&self, event: Event) -> impl Iterator<Item = (usize, &Tick)> {
        self.ticks.iter().enumerate().filter(move |(_, tick)| tick.event == event)
    }

    /// The step of the clock in a section.
    #[must_use]
    pub fn grain(&self, section: usize) -> Option<i64> {
        self.sections.get(section)?.grain
    }

    /// The displayed time from one record to another of the same section, in milliseconds.
    #[must_use]
    pub fn between(&self, from: usize, to: usize) -> Option<i64> {
        let (from, to) = (self.ticks.get(from)?, self.ticks.get(to)?);
        (from.section == to.section).then(|| Some(to.time?.ms() - from.time?.ms())).flatten()
    }

    /// How fine the displayed times are.
    #[must_use]
    pub fn resolution(&self) -> Resolution {
        let mut times = self.ticks.iter().filter_map(|tick| tick.time).peekable();
        if times.peek().is_none() {
            return Resolution::Unknown;
        }
        if times.all(|time| !time.shows_seconds()) {
            return Resolution::Coarse(60_000);
        }
        let common = self.sections.iter().filter_map(|section| section.grain).reduce(divisor);
        match common {
            Some(grain) if grain < COARSE_MS => Resolution::Seconds,
            Some(grain) if self.shows(grain) => Resolution::Coarse(grain),
            None | Some(_) => Resolution::Unknown,
        }
    }

    /// Whether enough lengths of enough kinds stand between the times for a common step to be the clock's.
    fn shows(&self, grain: i64) -> bool {
        let lengths =
            (1..self.ticks.len()).filter_map(|to| self.between(to - 1, to)).filter(|length| *length > 0);
        let mut steps: Vec<i64> = lengths.map(|length| length / grain).collect();
        let all = steps.len();
        steps.sort_unstable();
        steps.dedup();
        steps.len() >= LENGTHS.0 && all >= LENGTHS.1
    }
}

/// Whether a clock may stand otherwise before, and behind, a record of this event than at it.
fn upsets(event: Event) -> (bool, bool) {
    match event {
        Event::PowerOn => (true, false),
        Event::PowerOff => (false, true),
        // Which side of a setting its own time belongs to is not known.
        Event::ClockSet | Event::BatteryChanged | Event::Fault | Event::Unknown => (true, true),
        _ => (false, false),
    }
}

fn close(sections: &mut Vec<Section>, start: &mut usize, end: usize, grain: &mut Grain) {
    if *start < end {
        sections.push(Section { start: *start, end, grain: grain.step() });
    }
    *start = end;
    *grain = Grain::default();
}

/// What the times of a section have in common.
#[derive(Debug, Clone, Copy, Default)]
struct Grain {
    common: i64,
    display: i64,
}

impl Grain {
    fn take(&mut self, last: Option<Stamp>, time: Stamp) {
        self.display = self.display.max(time.step_ms());
        let Some(last) = last else { return };
        let length = time.ms() - last.ms();
        if self.common == 0 {
            self.common = length;
        } else if length % self.common != 0 {
            self.common = divisor(self.common, length);
        }
    }

    fn step(self) -> Option<i64> {
        (self.common > 0).then(|| self.common.max(self.display))
    }
}

/// The greatest common divisor of two numbers that are not negative (Euclid).
fn divisor(mut one: i64, mut other: i64) -> i64 {
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_greatest_common_divisor_is_found() {
        assert_eq!(divisor(12_000, 18_000), 6_000);
        assert_eq!(divisor(0, 7), 7);
        assert_eq!(divisor(7, 0), 7);
        assert_eq!(divisor(13, 8), 1);
    }
}

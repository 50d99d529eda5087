//! From when to when, in true civil time, each record must have been made: interval arithmetic from one reading to one
//! record at a time, and the order of the records. `methods.md`, 3, gives the bound on the rate; all is in milliseconds.

use super::Sight;
use crate::event::Event;
use crate::rehearsal::memory::Entry;
use crate::syntax::Stamp;

/// A million, of which a rate is so many parts.
const MILLION: i128 = 1_000_000;

/// Bounds of true civil time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Within {
    /// Not before this, where something says so.
    pub(super) earliest: Option<i64>,
    /// Not after this.
    pub(super) latest: Option<i64>,
}

/// Bounds of every record that the log holds.
pub(super) struct Bounds {
    within: Vec<Within>,
    /// Whether some record would have to be later than it can be: readings, rate and order do not go together.
    pub(super) conflict: bool,
}

impl Bounds {
    pub(super) fn at(&self, at: usize) -> Within {
        self.within.get(at).copied().unwrap_or(Within { earliest: None, latest: None })
    }
}

/// The bounds; `None` where the papers do not bound the rate of the clock.
pub(super) fn of(sight: &Sight<'_>) -> Option<Bounds> {
    let rate = i128::from(sight.setting("drift-ppm")?);
    let (runs, grain) = (runs(sight), grain(sight));
    let mut within = vec![Within { earliest: None, latest: None }; sight.held.len()];
    for read in super::readings(sight, &runs, grain) {
        let super::Read { behind, of_record, run, mut shown, truly: (first, last) } = read;
        // A display is read between two records, and goes on only where nobody sets it.
        let beside = |at: usize| {
            let is_known = run.is_some() && !of_record;
            let entry = sight.entry(at).filter(|entry| is_known && entry.event != Event::ClockSet)?;
            Some(display(entry.time, grain))
        };
        shown.0 = beside(behind).map_or(shown.0, |before| shown.0.max(before.0));
        shown.1 = beside(behind + 1).map_or(shown.1, |next| shown.1.min(next.1));
        for (at, bounds) in within.iter_mut().enumerate() {
            if at <= behind {
                bounds.not_after(last);
            }
            if at > behind || (of_record && at == behind) {
                bounds.not_before(first);
            }
            let (Some(entry), true) = (sight.entry(at), run.is_some() && runs.get(at).copied() == run) else {
                continue;
            };
            if entry.event == Event::ClockSet {
                // Which side of the setting its own time belongs to is not said.
                continue;
            }
            let this = display(entry.time, grain);
            bounds.not_before(first.saturating_add(least_true(this.0 - shown.1, rate)));
            bounds.not_after(last.saturating_add(most_true(this.1 - shown.0, rate)));
        }
    }
    Some(in_order(within))
}

/// Bounds that the order of the records narrows.
fn in_order(mut within: Vec<Within>) -> Bounds {
    let mut earliest = None;
    for bounds in &mut within {
        earliest = earliest.max(bounds.earliest);
        bounds.earliest = earliest;
    }
    let mut latest: Option<i64> = None;
    for bounds in within.iter_mut().rev() {
        if let Some(end) = latest {
            bounds.not_after(end);
        }
        latest = bounds.latest;
    }
    let conflict =
        within.iter().any(|bounds| bounds.earliest.zip(bounds.latest).is_some_and(|(from, to)| from > to));
    Bounds { within, conflict }
}

impl Within {
    fn not_before(&mut self, moment: i64) {
        self.earliest = self.earliest.max(Some(moment));
    }

    fn not_after(&mut self, moment: i64) {
        self.latest = Some(self.latest.map_or(moment, |latest| latest.min(moment)));
    }
}

/// What the display stood for: from this, and before that.
pub(super) fn display(stamp: Stamp, grain: i64) -> (i64, i64) {
    let from = stamp.ms() - stamp.ms().rem_euclid(stamp.step_ms());
    (from, from + stamp.step_ms().max(grain))
}

/// The least true time in which the display goes on by so much; below zero where it goes back.
fn least_true(shown: i64, rate: i128) -> i64 {
    let by = if shown >= 0 { MILLION + rate } else { MILLION - rate };
    whole((i128::from(shown) * MILLION).div_euclid(by.max(1)))
}

/// The most.
fn most_true(shown: i64, rate: i128) -> i64 {
    let by = if shown >= 0 { MILLION - rate } else { MILLION + rate };
    whole(-(-i128::from(shown) * MILLION).div_euclid(by.max(1)))
}

fn whole(ms: i128) -> i64 {
    i64::try_from(ms).unwrap_or(if ms < 0 { i64::MIN } else { i64::MAX })
}

/// The step by which the display goes on, as all its times show it: a minute at most.
pub(super) fn grain(sight: &Sight<'_>) -> i64 {
    let mut grain = 60_000;
    for held in &sight.held {
        let mut rest = held.entry.time.ms().rem_euclid(60_000);
        while rest != 0 {
            (grain, rest) = (rest, grain % rest);
        }
    }
    grain
}

/// Per record, the run of the clock it lies in: a new one wherever the clock may have been set or lost its time.
pub(super) fn runs(sight: &Sight<'_>) -> Vec<usize> {
    let (mut run, mut runs) = (0, Vec::with_capacity(sight.held.len()));
    let mut greatest: Option<i64> = None;
    for held in &sight.held {
        let (entry, shown) = (held.entry, held.entry.time.ms());
        let back = greatest.is_some_and(|most| shown + entry.time.step_ms() <= most);
        if held.behind_a_hole || back || loses_time(entry) {
            run += 1;
            greatest = None;
        }
        greatest = greatest.max(Some(shown));
        runs.push(run);
        if entry.event == Event::ClockSet || loses_time(entry) {
            run += 1;
            greatest = None;
        }
    }
    runs
}

/// Whether the clock may stand otherwise before a record, and behind it.
fn loses_time(entry: &Entry) -> bool {
    matches!(entry.event, Event::BatteryChanged | Event::Fault | Event::Unknown)
}

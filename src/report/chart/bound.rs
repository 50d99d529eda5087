//! The true time of the votes of a displayed day, as the readings of the clock bind it.

use crate::clock::{Instant, hours};
use crate::event::Event;
use crate::examination::Examination;
use crate::pace::duration;
use crate::report::chart::{DAY, MINUTE, is_of_poll};
use crate::syntax::Stamp;

const NS_PER_MS: i128 = 1_000_000;
const SECOND: i64 = 1000;

/// When the votes of a displayed day were recorded in true time: those that the readings bind at both ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) struct TrueTime {
    /// Votes that are bound at both ends.
    pub(in crate::report) votes: usize,
    /// The earliest and the latest moment of any of them, in milliseconds of the civil time of the place.
    pub(in crate::report) span: (i64, i64),
    /// What the display was ahead of true time, at least and at most; less than zero where it was behind.
    pub(in crate::report) ahead: (i64, i64),
}

/// From when to when a vote was recorded in true time.
type Ends = Option<(i64, i64)>;

impl TrueTime {
    /// From when to when, to the second outwards.
    pub(in crate::report) fn ends(&self) -> (String, String) {
        let told = |ms: i64| Stamp::new(ms, 0).to_string();
        let (from, to) = self.span;
        (told(from.div_euclid(SECOND) * SECOND), told(up(to)))
    }

    /// How far the display was from true time, to the second outwards.
    pub(in crate::report) fn off(&self) -> String {
        let (least, most) = (self.ahead.0.div_euclid(SECOND) * SECOND, up(self.ahead.1));
        if least >= 0 {
            format!("{} to {} ahead of true time", duration(least), duration(most))
        } else if most <= 0 {
            format!("{} to {} behind true time", duration(-most), duration(-least))
        } else {
            format!("between {} behind and {} ahead of true time", duration(-least), duration(most))
        }
    }
}

/// The next whole second, not before a moment.
fn up(ms: i64) -> i64 {
    (ms + SECOND - 1).div_euclid(SECOND) * SECOND
}

/// For each vote of a day that may be of the poll, in the order of their displayed times, from when to when it was recorded
/// within this day; and what holds of all of them together.
pub(super) fn of(examination: &Examination<'_>, number: i64) -> (Vec<Ends>, Option<TrueTime>) {
    let (log, replay, clock) = (examination.log, &examination.replay, &examination.clock);
    if !clock.is_bound() || !examination.clock_is_one {
        return (Vec::new(), None);
    }
    let civil = |at: Instant| {
        let ahead = hours::ahead(examination.case, at)?;
        Some(i64::try_from(at.ns().div_euclid(NS_PER_MS)).ok()? + i64::from(ahead) * MINUTE)
    };
    let mut list: Vec<(i64, Ends)> = Vec::new();
    let mut all: Option<TrueTime> = None;
    for step in 0..replay.steps.len() {
        let Some(place) = replay.record(step) else { continue };
        let (Some(record), Some(label)) = (log.records().get(place), replay.labels.get(place)) else {
            continue;
        };
        let Some(time) = record.time.filter(|time| time.ms().div_euclid(DAY) == number) else { continue };
        if record.event != Event::Vote || !is_of_poll(*label) {
            continue;
        }
        let when = clock.bounds(step);
        let ends =
            when.earliest.zip(when.latest).and_then(|(from, to)| Some((civil(from.at)?, civil(to.at)?)));
        if let Some((from, to)) = ends {
            let ahead = (time.ms() - to, time.ms() + time.step_ms().max(clock.grain()) - from);
            all = Some(all.map_or(TrueTime { votes: 1, span: (from, to), ahead }, |known| TrueTime {
                votes: known.votes + 1,
                span: (known.span.0.min(from), known.span.1.max(to)),
                ahead: (known.ahead.0.min(ahead.0), known.ahead.1.max(ahead.1)),
            }));
        }
        let is_here = |ms: i64| ms.div_euclid(DAY) == number;
        list.push((time.ms(), ends.filter(|(from, to)| is_here(*from) && is_here(*to))));
    }
    list.sort_by_key(|(ms, _)| *ms);
    (list.into_iter().map(|(_, ends)| ends).collect(), all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_far_the_display_was_off_is_rounded_outwards() {
        let off = |least, most| TrueTime { votes: 1, span: (0, 0), ahead: (least, most) }.off();
        assert_eq!(off(1_500, 2_100), "1 s to 3 s ahead of true time");
        assert_eq!(off(-62_001, -10_500), "10 s to 1 min 3 s behind true time");
        assert_eq!(off(-500, 500), "between 1 s behind and 1 s ahead of true time");
    }
}

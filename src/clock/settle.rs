//! What would settle it: for a record of which an hour cannot be told, the note of the display that could decide.

use super::Clock;
use super::hours::Hour;
use super::instant::{Instant, MS, SECOND};
use crate::syntax::Stamp;

/// Margins that a note may be asked for, in seconds, from the coarsest: an hour is what people remember of a day, a minute
/// what any watch gives.
const MARGINS: [i128; 10] = [3600, 900, 300, 60, 30, 20, 10, 5, 2, 1];

/// A note of what the unit displayed, beside a reference clock, that could decide on which side of an hour a record lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settling {
    /// Near which displayed time it would have to be made: the record's own, where drift counts least.
    pub near: Stamp,
    /// How far its true time may be off, either way.
    pub within: Instant,
    /// How far from the hour the record must lie for a note that is as good to be sure to decide.
    pub reach: Instant,
    /// From when to when true time may be for which it may fail to decide: so far about the hour, and what the paper that
    /// states the hour leaves open.
    pub undecided: (Instant, Instant),
}

impl Clock<'_> {
    /// The note that could decide on which side of an hour the record of a step lies; `None` where the record shows no time,
    /// or where even one that is right to a second is sure to decide nowhere within the bounds.
    ///
    /// A note that is right to within P, made when the display stood where the record displays, and written to the second,
    /// leaves a stretch of 2 P, of one second, and of two steps of the display: one for the note, one for the record. It
    /// decides wherever the record lies farther from the hour than that. Asked for is the coarsest that decides for at least
    /// half of what the bounds leave open; where none does, one that is right to a second. Without bounds, or with one alone,
    /// nothing says how large the open stretch is: asked for is the coarsest that decides if the display was right.
    #[must_use]
    pub fn settling(&self, step: usize, hour: &Hour) -> Option<Settling> {
        let near = self.record(step)?.time?;
        let rho = self.rate().map_or(0, |rate| i128::from(rate.ppm));
        // The display runs on for a step of its own time, at the slowest rate.
        let display = i128::from(near.step_ms().max(self.grain())) * (MS + rho);
        let of = |seconds: i128| {
            let within = Instant::of_ns(seconds * SECOND);
            let reach = Instant::of_ns(2 * within.ns() + SECOND + 2 * display);
            Settling { near, within, reach, undecided: (hour.earliest - reach, hour.latest + reach) }
        };
        let all = || MARGINS.iter().map(|seconds| of(*seconds));
        let bounds = self.bounds(step);
        if let (Some(earliest), Some(latest)) = (bounds.earliest, bounds.latest) {
            let (from, to) = (earliest.at, latest.at);
            let open = |one: &Settling| one.undecided.1.min(to) - one.undecided.0.max(from);
            let most = |one: &Settling| 2 * open(one).ns() <= (to - from).ns();
            return all().find(most).or_else(|| Some(of(1)).filter(|one| open(one) < to - from));
        }
        let least = self.least_error(step, hour)?.by;
        Some(all().find(|one| one.reach < least).unwrap_or_else(|| of(1)))
    }
}

//! What would settle it: for a record of which an hour cannot be told, the one reading that could decide.

use super::Clock;
use super::hours::Hour;
use super::instant::{Instant, MS};
use crate::syntax::Stamp;

/// A reading that could decide on which side of an hour a record lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settling {
    /// Near which displayed time it would have to be taken: the record's own, where its drift counts least.
    pub near: Stamp,
    /// How far its true time may be off, either way. One that is as good decides wherever the record lies far enough from
    /// the hour, and it may lie so far; of a coarser one that is not sure, wherever the record lies.
    pub within: Instant,
    /// The step of the display, which any reading of it leaves open twice: once for the reading, once for the record.
    pub step: Instant,
}

impl Clock<'_> {
    /// The reading that could decide on which side of an hour the record of a step lies; `None` where the record shows no
    /// time, or the display is too coarse for any reading of it to be sure to decide.
    ///
    /// A reading that is right to within P, taken when the display stood where the record displays, leaves a stretch of
    /// 2 P and two steps of the display. It decides wherever the record lies farther from the hour than that. So a reading
    /// is worth asking for where this stretch is shorter than the wider side of the bounds; without bounds, where P and a
    /// step are less than the error of the clock that would change the answer.
    #[must_use]
    pub fn settling(&self, step: usize, hour: &Hour) -> Option<Settling> {
        let near = self.record(step)?.time?;
        let rho = self.rate().map_or(0, |rate| i128::from(rate.ppm));
        // The display runs on for a step of its own time, at the slowest rate.
        let display = Instant::of_ns(i128::from(near.step_ms().max(self.grain())) * (MS + rho));
        let bounds = self.bounds(step);
        let within = if let (Some(earliest), Some(latest)) = (bounds.earliest, bounds.latest) {
            let room = (hour.earliest - earliest.at).max(latest.at - hour.latest);
            Instant::of_ns((room - display - display).ns() / 2)
        } else {
            self.least_error(step, hour)?.by - display
        };
        (within.ns() > 0).then_some(Settling { near, within, step: display })
    }
}

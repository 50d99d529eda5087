//! What would settle it: for a record of which an hour cannot be told, the one reading that could decide.

use super::instant::{Instant, MS};
use super::{Clock, LeastError};
use crate::syntax::Stamp;

/// A reading that could decide on which side of an hour a record lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settling {
    /// Near which displayed time it would have to be taken: the record's own, where its drift counts least.
    pub near: Stamp,
    /// How far its true time may be off, either way. One that is coarser cannot decide as the readings stand now, unless
    /// it contradicts them; one that is as good decides if what it shows lies well on one side.
    pub within: Instant,
}

impl Clock<'_> {
    /// The reading that could decide on which side of an hour the record of a step lies; `None` where the record shows no
    /// time, or its own display is too coarse for any reading to decide.
    #[must_use]
    pub fn settling(&self, step: usize, hour: Instant, offset_minutes: i32) -> Option<Settling> {
        let near = self.record(step)?.time?;
        let rho = self.rate().map_or(0, |rate| i128::from(rate.ppm));
        // The step of the display stays in whatever a reading says, at the fastest rate.
        let step_ns = Instant::of_ns(i128::from(near.step_ms()) * (MS + rho));
        let bounds = self.bounds(step);
        let room = if let (Some(earliest), Some(latest)) = (bounds.earliest, bounds.latest) {
            // The wider side of the hour is what a reading can still point into.
            (hour - earliest.at).max(latest.at - hour)
        } else {
            let LeastError { by, .. } = self.least_error(step, hour, offset_minutes)?;
            by + by
        };
        let within = Instant::of_ns((room - step_ns).ns() / 2);
        (within.ns() > 0).then_some(Settling { near, within })
    }
}

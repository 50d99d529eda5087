//! The rows of several units become several logs, in the order in which the units appear.

use std::sync::Arc;

use crate::source::Source;
use crate::syntax::{Log, Maker, among_others};

/// The logs in the making, one for each unit.
pub(super) struct Logs<'s> {
    source: &'s Arc<Source>,
    format: &'s str,
    makers: Vec<(Option<String>, Maker)>,
    /// The one that the last record went to.
    last: usize,
    /// Whether rows of several units may stand between each other.
    pub(super) mixed: bool,
}

/// Most units that one file may name; the rows of further ones go to the last.
const MOST_UNITS: usize = 4_000;

impl<'s> Logs<'s> {
    pub(super) fn new(source: &'s Arc<Source>, format: &'s str) -> Logs<'s> {
        Logs { source, format, makers: vec![(None, Maker::begin(source, format))], last: 0, mixed: false }
    }

    /// The log that the last record went to: what is no record stands beside it.
    pub(super) fn current(&mut self) -> Option<&mut Maker> {
        self.makers.get_mut(self.last).map(|(_, maker)| maker)
    }

    /// The log of a unit. What stood before the first record belongs to the first unit.
    pub(super) fn of_unit(&mut self, unit: Option<&str>) -> Option<&mut Maker> {
        if let [(name @ None, maker)] = self.makers.as_mut_slice()
            && maker.records() == 0
        {
            *name = unit.map(str::to_owned);
        }
        let place = self.makers.iter().position(|(name, _)| name.as_deref() == unit);
        self.last = place.unwrap_or(self.makers.len()).min(MOST_UNITS - 1);
        if self.last >= self.makers.len() {
            self.makers.push((unit.map(str::to_owned), Maker::begin(self.source, self.format)));
        }
        self.current()
    }

    pub(super) fn finish(self) -> Vec<Log> {
        let mut logs: Vec<Log> = self.makers.into_iter().map(|(_, maker)| maker.finish(self.mixed)).collect();
        among_others(&mut logs);
        logs
    }
}

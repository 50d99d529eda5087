//! What the counts are looked up in: a log with its papers, its replay, its clock and the votes in memory.

use std::ops::Range;

use super::memory::Memory;
use crate::case::{Case, Phase};
use crate::clock::Clock;
use crate::event::Event;
use crate::replay::cycle::poll_said;
use crate::replay::{PhaseSet, Replay, Step};
use crate::syntax::Log;
use crate::unit::UnitDescription;

/// What is looked up.
#[derive(Clone, Copy)]
pub(super) struct View<'a> {
    pub(super) log: &'a Log,
    pub(super) case: &'a Case,
    pub(super) unit: &'a UnitDescription,
    pub(super) replay: &'a Replay,
    pub(super) clock: &'a Clock<'a>,
    pub(super) memory: &'a Memory,
}

impl View<'_> {
    /// The event of a step that no contradiction rests on.
    pub(super) fn event(&self, step: usize) -> Option<Event> {
        if self.replay.in_conflict.get(step).copied().unwrap_or(false) {
            return None;
        }
        self.log.records().get(self.replay.record(step)?).map(|record| record.event)
    }

    pub(super) fn label(&self, step: usize) -> PhaseSet {
        let label = self.replay.record(step).and_then(|place| self.replay.labels.get(place));
        label.copied().unwrap_or_default()
    }

    pub(super) fn is_labelled(&self, step: usize, phase: Phase) -> bool {
        self.label(step).is_only(phase)
    }

    /// Whether the case file says that the record of a step is of the poll of another day than this.
    pub(super) fn is_of_another_day(&self, step: usize, date: &str) -> bool {
        let record = self.replay.record(step).and_then(|place| self.log.records().get(place));
        let said = record.and_then(|record| poll_said(self.log, self.case, record, Phase::Poll));
        said.is_some_and(|said| said != date)
    }

    pub(super) fn may_be(&self, step: usize, phase: Phase) -> bool {
        let label = self.label(step);
        label.is_empty() || label.may_be(phase)
    }

    /// Whether something may have happened unseen at a step.
    pub(super) fn is_blind(&self, step: usize) -> bool {
        match self.replay.steps.get(step) {
            Some(Step::Gap(_)) => true,
            Some(Step::Record(_)) => self.event(step).is_none_or(|event| event == Event::Unknown),
            None => false,
        }
    }

    /// Whether a gap stands in a range.
    pub(super) fn has_gap(&self, steps: Range<usize>) -> bool {
        self.replay.steps.get(steps).unwrap_or_default().iter().any(|step| matches!(step, Step::Gap(_)))
    }

    /// The first such step in a range.
    pub(super) fn blind_in(&self, mut steps: Range<usize>) -> Option<usize> {
        steps.find(|step| self.is_blind(*step))
    }
}

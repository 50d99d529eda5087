//! What the case file says that records were, and the sentences that name what a finding rests on.
//!
//! A label speaks for the records that it covers and for no others: a record beside them, in the same cycle, may have
//! been anything. So a label that is dropped, or a record that is lost, can only make a rule say less.

use std::ops::Range;

use crate::case::{End, Labelled, Phase, Saying};
use crate::event::Event;
use crate::replay::cycle::{covers, poll_said};
use crate::replay::{Bound, Cycle, PhaseSet, Step};
use crate::rules::{Known, Want};

impl<'a> Known<'a> {
    /// The phases that the case file states for the record of a step; empty where it states none.
    #[must_use]
    pub fn label(&self, step: usize) -> PhaseSet {
        self.replay.record(step).and_then(|place| self.replay.labels.get(place)).copied().unwrap_or_default()
    }

    /// Whether the case file says that the record of a step was this phase and no other.
    #[must_use]
    pub fn is_labelled(&self, step: usize, phase: Phase) -> bool {
        self.label(step).is_only(phase)
    }

    /// Whether the record of a step may have belonged to a phase: the case file says so or says nothing.
    #[must_use]
    pub fn may_be_at(&self, step: usize, phase: Phase) -> bool {
        let label = self.label(step);
        label.is_empty() || label.may_be(phase)
    }

    /// Steps of an event in a cycle that the case file says belong to a phase, outside conflicts.
    #[must_use]
    pub fn labelled_in(
        &self,
        cycle: &'a Cycle,
        event: Event,
        phase: Phase,
    ) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.in_cycle(cycle, event).filter(move |step| self.is_labelled(*step, phase))
    }

    /// That the record of a step belonged to a phase, who says so and where; `None` when nobody does.
    #[must_use]
    pub fn label_premise(&self, step: usize, phase: Phase) -> Option<String> {
        let record = self.record(step)?;
        let rows = self.case.phases.iter();
        let mut says =
            rows.filter(|row| row.value.phase == phase && covers(&row.value.stretch, self.log, record));
        let first = says.next()?;
        // One that also says of which day the poll was says more.
        let stated = [first].into_iter().chain(says).find(|row| row.value.poll.is_some()).unwrap_or(first);
        Some(format!("{}, {}", stated.value.said(), said(&stated.basis)))
    }

    /// That the records of some steps belonged to a phase: each row of the case file that says so, once.
    #[must_use]
    pub fn label_premises(&self, steps: &[usize], phase: Phase) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        for premise in steps.iter().filter_map(|step| self.label_premise(*step, phase)) {
            if !said.contains(&premise) {
                said.push(premise);
            }
        }
        said
    }

    /// What the case file says that the votes of a stretch were besides a phase, who says so and where.
    #[must_use]
    pub fn labels_beside(&self, steps: Range<usize>, phase: Phase) -> Vec<String> {
        let votes = || {
            let votes = self.between(Event::Vote, steps.start, steps.end);
            votes.filter(|vote| !self.is_labelled(*vote, phase))
        };
        let covers_one = |row: &Labelled| {
            let mut records = votes().filter_map(|vote| self.record(vote));
            records.any(|record| covers(&row.stretch, self.log, record))
        };
        let rows = self.case.phases.iter().filter(|row| row.value.phase != phase && covers_one(&row.value));
        rows.map(|row| format!("{}, {}", row.value.said(), said(&row.basis))).collect()
    }

    /// The day of the poll that the case file says the record of a step belongs to, as part of a phase of it; `None` where it
    /// says none, or more than one.
    #[must_use]
    pub fn poll_said(&self, step: usize, phase: Phase) -> Option<&'a str> {
        poll_said(self.log, self.case, self.record(step)?, phase)
    }

    /// That nothing was recorded before the first record, and why that is said; `None` when it is not said.
    #[must_use]
    pub fn front_premise(&self) -> Option<String> {
        self.replay.front.said(End::Front, self.case)
    }

    /// That nothing was recorded after the last record, and why that is said; `None` when it is not said.
    #[must_use]
    pub fn back_premise(&self) -> Option<String> {
        self.replay.back.said(End::Back, self.case)
    }

    /// That nothing was recorded beyond the end of the log at which a cycle begins; `None` where a clear begins it.
    #[must_use]
    pub fn begin_premise(&self, cycle: &Cycle) -> Option<String> {
        if cycle.begin == Bound::Closed { self.front_premise() } else { None }
    }

    /// That unread lines hold no record, where the numbers beside them leave room for none, from one step to before
    /// another; `None` where there is no such line.
    #[must_use]
    pub fn numbering_premise(&self, from: usize, to: usize) -> Option<String> {
        let steps = self.replay.steps.get(from..to).unwrap_or_default();
        steps.iter().any(|step| matches!(step, Step::Gap(_))).then(|| {
            "record numbers step as the unit description says, so that the lines that could not be read hold no record"
                .to_owned()
        })
    }

    /// The votes that the case file says belong to the poll, outside conflicts, in the order of replay.
    #[must_use]
    pub fn votes_of_poll(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.between(Event::Vote, 0, self.replay.steps.len())
            .filter(|step| self.is_labelled(*step, Phase::Poll))
    }

    /// The last of these votes before a step.
    #[must_use]
    pub fn vote_of_poll_before(&self, step: usize) -> Option<usize> {
        self.between(Event::Vote, 0, step).rfind(|vote| self.is_labelled(*vote, Phase::Poll))
    }

    /// Why something may have happened unseen at a step.
    #[must_use]
    pub fn why_blind(&self, step: usize) -> Want {
        match self.replay.steps.get(step) {
            Some(Step::Gap(gap)) => Want::of_gap(*gap),
            _ if self.in_conflict(step) => Want::Conflict,
            _ => Want::UnknownEvents,
        }
    }

    /// Why something may have happened unseen between two steps: the first reason; `None` when all of it was seen.
    #[must_use]
    pub fn want_between(&self, from: usize, to: usize) -> Option<Want> {
        self.want_in(from + 1, to)
    }

    /// Why something may have happened unseen from one step to before another, both looked at themselves.
    #[must_use]
    pub fn want_in(&self, from: usize, to: usize) -> Option<Want> {
        let blind = self.blind();
        let first = blind.get(blind.partition_point(|step| *step < from))?;
        (*first < to).then(|| self.why_blind(*first))
    }
}

/// Who says so and where, for the end of a sentence.
pub(super) fn said(basis: &Saying) -> String {
    basis.said().to_string()
}

//! What is known when the rules walk: the log, the unit description, one version of the case, and the replay.

use std::cell::OnceCell;

use crate::case::{Case, Phase};
use crate::clock::{Clock, When};
use crate::counts::Counts;
use crate::coverage::records_before;
use crate::event::Event;
use crate::finding::Place;
use crate::pace::Timeline;
use crate::replay::{Cycle, Deviation, Reason, Replay, Step};
use crate::syntax::{Log, Record};
use crate::unit::UnitDescription;

/// All that a rule may look at.
#[derive(Debug)]
pub struct Known<'a> {
    /// The log as read.
    pub log: &'a Log,
    /// The description of the unit.
    pub unit: &'a UnitDescription,
    /// One version of the case: nothing in it is contested.
    pub case: &'a Case,
    /// The log replayed.
    pub replay: &'a Replay,
    /// The unit's clock: bounds on the true time of every record.
    pub clock: &'a Clock<'a>,
    /// The counts of the log and its papers.
    pub counts: Counts,
    /// The record steps, sorted by event; what a rule looks up instead of walking the log again.
    by_event: Vec<Vec<usize>>,
    /// The steps at which something may have happened unseen, in order.
    blind: Vec<usize>,
    /// The displayed times, laid out when a rule first asks for them.
    timeline: OnceCell<Timeline>,
    /// The ends of the record numbers where none is left out in the whole log, once a rule has asked.
    pub(super) whole: OnceCell<Option<(u64, u64)>>,
    /// Where readings of the clock contradict each other: by each of the first of them alone, its line of the case file and
    /// the bounds of every step.
    pub(super) alone: OnceCell<Vec<(usize, Vec<When>)>>,
}

impl<'a> Known<'a> {
    /// The enable that released a vote, where nothing went unseen between.
    pub(super) fn enable_of(&self, vote: usize) -> Option<usize> {
        let enable = self.between(Event::Enable, 0, vote).next_back()?;
        let other = [Event::Vote, Event::Clear, Event::EnableLapsed];
        let unbroken = other.iter().all(|event| self.between(*event, enable, vote).next().is_none());
        (unbroken && !self.unseen_between(enable, vote)).then_some(enable)
    }

    /// How many records came before the first of the log by its number, where the unit description tells.
    pub(super) fn older_records(&self) -> Option<u64> {
        let first = self.replay.steps.iter().find_map(|step| match step {
            Step::Record(place) => self.log.records().get(*place)?.number,
            Step::Gap(_) => None,
        })?;
        records_before(first, self.unit)
    }

    /// Gathers what the rules need.
    #[must_use]
    pub fn of(
        log: &'a Log,
        unit: &'a UnitDescription,
        case: &'a Case,
        replay: &'a Replay,
        clock: &'a Clock<'a>,
    ) -> Known<'a> {
        let mut by_event: Vec<Vec<usize>> = vec![Vec::new(); Event::KNOWN + 1];
        for (at, step) in replay.steps.iter().enumerate() {
            if let Step::Record(place) = step
                && let Some(record) = log.records().get(*place)
                && let Some(list) = by_event.get_mut(record.event as usize)
            {
                list.push(at);
            }
        }
        let blind = (0..replay.steps.len()).filter(|at| is_blind(log, replay, *at)).collect();
        let counts = Counts::of(log, case, unit, replay, clock);
        Known {
            log,
            unit,
            case,
            replay,
            clock,
            counts,
            by_event,
            blind,
            timeline: OnceCell::new(),
            whole: OnceCell::new(),
            alone: OnceCell::new(),
        }
    }

    /// The records with their displayed times, cut where the clock may have been set or reset.
    #[must_use]
    pub fn timeline(&self) -> &Timeline {
        self.timeline.get_or_init(|| Timeline::of(self.log, self.replay))
    }

    /// The record of a step; `None` for a gap.
    #[must_use]
    pub fn record(&self, step: usize) -> Option<&'a Record> {
        self.log.records().get(self.replay.record(step)?)
    }

    /// The steps at which an event is recorded, in the order of replay.
    #[must_use]
    pub fn steps_of(&self, event: Event) -> &[usize] {
        self.by_event.get(event as usize).map(Vec::as_slice).unwrap_or_default()
    }

    /// Where a step stands in the log; a hole stands at the record before it.
    #[must_use]
    pub fn place(&self, step: usize) -> Place {
        match self.replay.steps.get(step) {
            Some(Step::Record(place)) => {
                self.log.records().get(*place).map_or(Place::Log, |r| Place::Line(r.line))
            }
            Some(Step::Gap(gap)) => match gap.line {
                Some(line) => Place::Line(line),
                None => step.checked_sub(1).map_or(Place::Log, |before| self.place(before)),
            },
            None => Place::Log,
        }
    }

    /// The record's number and displayed time in words, for a sentence: `record 1204 (07:00:31)`.
    #[must_use]
    pub fn name(&self, step: usize) -> String {
        self.record(step).map_or_else(|| "a gap".to_owned(), |record| self.record_name(record))
    }

    /// The same for a record that may not be a step of the replay.
    #[must_use]
    pub fn record_name(&self, record: &Record) -> String {
        crate::clock::name(self.log, record)
    }

    /// Whether a contradiction rests on this step.
    #[must_use]
    pub fn in_conflict(&self, step: usize) -> bool {
        self.replay.in_conflict.get(step).copied().unwrap_or(false)
    }

    /// The deviations of one kind.
    pub fn deviations(&self, reason: Reason) -> impl Iterator<Item = &'a Deviation> {
        self.replay.deviations.iter().filter(move |deviation| deviation.reason == reason)
    }

    /// The cycles that can only have been this phase.
    pub fn only(&self, phase: Phase) -> impl Iterator<Item = &'a Cycle> {
        self.replay.cycles.iter().filter(move |cycle| cycle.phases.is_only(phase))
    }

    /// The cycles that may have been this phase, those that can only have been it included.
    pub fn may_be(&self, phase: Phase) -> impl Iterator<Item = &'a Cycle> {
        self.replay.cycles.iter().filter(move |cycle| cycle.phases.may_be(phase))
    }

    /// The cycle of a step.
    #[must_use]
    pub fn cycle_of(&self, step: usize) -> Option<&'a Cycle> {
        let cycles = &self.replay.cycles;
        cycles
            .get(cycles.partition_point(|cycle| cycle.steps.end <= step))
            .filter(|cycle| cycle.steps.contains(&step))
    }

    /// Steps of an event inside a cycle, outside conflicts.
    #[must_use]
    pub fn in_cycle(&self, cycle: &'a Cycle, event: Event) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.between(event, cycle.steps.start, cycle.steps.end)
    }

    /// Steps of an event from one step to before another, outside conflicts.
    #[must_use]
    pub fn between(
        &self,
        event: Event,
        from: usize,
        to: usize,
    ) -> impl DoubleEndedIterator<Item = usize> + '_ {
        let steps = self.steps_of(event);
        let (first, last) = (steps.partition_point(|s| *s < from), steps.partition_point(|s| *s < to));
        steps
            .get(first..last)
            .unwrap_or_default()
            .iter()
            .copied()
            .filter(move |step| !self.in_conflict(*step))
    }

    /// Whether something may have happened unseen between two steps: a gap, a record in a conflict, or an event that
    /// the vocabulary does not hold.
    #[must_use]
    pub fn unseen_between(&self, from: usize, to: usize) -> bool {
        self.unseen_in(from + 1, to)
    }

    /// Whether something may have happened unseen from one step to before another, both looked at themselves.
    #[must_use]
    pub fn unseen_in(&self, from: usize, to: usize) -> bool {
        self.blind.get(self.blind.partition_point(|step| *step < from)).is_some_and(|step| *step < to)
    }

    /// The steps at which something may have happened unseen, in order.
    #[must_use]
    pub fn blind(&self) -> &[usize] {
        &self.blind
    }
}

fn is_blind(log: &Log, replay: &Replay, step: usize) -> bool {
    match replay.steps.get(step) {
        Some(Step::Gap(_)) => true,
        Some(Step::Record(place)) => {
            replay.in_conflict.get(step).copied().unwrap_or(false)
                || log.records().get(*place).is_none_or(|record| record.event == Event::Unknown)
        }
        None => false,
    }
}

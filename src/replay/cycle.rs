//! Cycles: what lies between two clears, and the set of phases that each may have been.

use std::ops::Range;

use crate::case::{Case, Labelled, Phase, Stretch};
use crate::event::Event;
use crate::replay::order::Step;
use crate::syntax::{Log, Record};

/// A set of phases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct PhaseSet(u8);

impl PhaseSet {
    /// Every phase: nothing is known.
    pub const ANY: PhaseSet = PhaseSet(0b1_1111);

    /// The set of one phase.
    #[must_use]
    pub fn of(phase: Phase) -> PhaseSet {
        PhaseSet(1 << phase as u8)
    }

    /// The set with one more.
    #[must_use]
    pub fn and(self, phase: Phase) -> PhaseSet {
        PhaseSet(self.0 | 1 << phase as u8)
    }

    /// The set without one.
    #[must_use]
    pub fn without(self, phase: Phase) -> PhaseSet {
        PhaseSet(self.0 & !(1 << phase as u8))
    }

    /// Whether it may have been this phase.
    #[must_use]
    pub fn may_be(self, phase: Phase) -> bool {
        self.0 & (1 << phase as u8) != 0
    }

    /// Whether it can only have been this phase.
    #[must_use]
    pub fn is_only(self, phase: Phase) -> bool {
        self == PhaseSet::of(phase)
    }

    /// Whether nothing is in it.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The set in words.
    #[must_use]
    pub fn words(self) -> String {
        let words: Vec<&str> = Phase::ALL.iter().filter(|p| self.may_be(**p)).map(|p| p.words()).collect();
        words.join(" or ")
    }
}

impl Phase {
    /// The phase in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Phase::Test => "test",
            Phase::MockPoll => "mock poll",
            Phase::Poll => "poll",
            Phase::Count => "count",
            Phase::Training => "training or inspection",
        }
    }
}

/// Where a cycle begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// A clear: its step.
    Clear(usize),
    /// The log's end on this side, and nothing was recorded beyond it.
    Closed,
    /// The log's end on this side; what lies beyond is not known.
    Open,
}

impl Bound {
    /// Whether the cycle is seen up to this bound.
    #[must_use]
    pub fn is_seen(self) -> bool {
        !matches!(self, Bound::Open)
    }
}

/// What lies between two clears.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cycle {
    /// Its steps; the clear that ends it is its last.
    pub steps: Range<usize>,
    /// Where it begins.
    pub begin: Bound,
    /// Where it ends.
    pub end: Bound,
    /// Enables readable in it and outside every conflict.
    pub enables: usize,
    /// Votes likewise.
    pub votes: usize,
    /// Closes likewise: their steps.
    pub closes: Vec<usize>,
    /// Results likewise: their steps.
    pub results: Vec<usize>,
    /// Gaps in it, conflicts and events that the vocabulary does not hold included: more may have happened, and it may
    /// be several cycles.
    pub gaps: usize,
    /// What it may have been.
    pub phases: PhaseSet,
    /// Whether the case file says what it was.
    pub labelled: bool,
}

impl Cycle {
    /// Whether all of it was seen: both bounds, and no gap between.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.begin.is_seen() && self.end.is_seen() && self.gaps == 0
    }
}

/// Whether a stretch of the case file covers a record.
#[must_use]
pub fn covers(stretch: &Stretch, log: &Log, record: &Record) -> bool {
    match *stretch {
        Stretch::Records(first, last) => record.number.is_some_and(|number| (first..=last).contains(&number)),
        Stretch::Lines(first, last) => (first..=last).contains(&log.line_number(record.line)),
    }
}

/// The day of the poll that the case file says a record belongs to, as part of a phase of it; `None` where it says none, or more
/// than one.
#[must_use]
pub fn poll_said<'c>(log: &Log, case: &'c Case, record: &Record, phase: Phase) -> Option<&'c str> {
    let labels = case.phases.iter().map(|stated| &stated.value);
    let named = labels.filter(|label| label.phase == phase && label.poll.is_some());
    let of_record = named.filter(|label| covers(&label.stretch, log, record));
    let mut days = of_record.filter_map(|label| label.poll.as_deref());
    let first = days.next()?;
    days.all(|day| day == first).then_some(first)
}

/// Per record: the phases that the case file states for it; empty where it states none.
#[must_use]
pub fn labels(log: &Log, case: &Case) -> Vec<PhaseSet> {
    let mut labels = vec![PhaseSet::default(); log.records().len()];
    for stated in &case.phases {
        let Labelled { phase, stretch, .. } = &stated.value;
        for (label, record) in labels.iter_mut().zip(log.records()) {
            if covers(stretch, log, record) {
                *label = label.and(*phase);
            }
        }
    }
    labels
}

/// Cuts the steps into cycles. Conflicts stand in `steps` as gaps.
pub(super) fn cycles(log: &Log, labels: &[PhaseSet], steps: &[Step], front: bool, back: bool) -> Vec<Cycle> {
    let mut cycles = Vec::new();
    let mut begin = if front { Bound::Closed } else { Bound::Open };
    let mut from = 0;
    for (at, step) in steps.iter().enumerate() {
        let is_clear =
            matches!(step, Step::Record(p) if log.records().get(*p).is_some_and(|r| r.event == Event::Clear));
        if is_clear {
            cycles.push(cycle(log, labels, steps, from..at + 1, begin, Bound::Clear(at)));
            begin = Bound::Clear(at);
            from = at + 1;
        }
    }
    if from < steps.len() || cycles.is_empty() {
        let end = if back { Bound::Closed } else { Bound::Open };
        cycles.push(cycle(log, labels, steps, from..steps.len(), begin, end));
    }
    cycles
}

fn cycle(
    log: &Log,
    labels: &[PhaseSet],
    steps: &[Step],
    range: Range<usize>,
    begin: Bound,
    end: Bound,
) -> Cycle {
    let mut cycle = Cycle {
        steps: range.clone(),
        begin,
        end,
        enables: 0,
        votes: 0,
        closes: Vec::new(),
        results: Vec::new(),
        gaps: 0,
        phases: PhaseSet::default(),
        labelled: false,
    };
    for (at, step) in range.clone().zip(steps.get(range).unwrap_or_default()) {
        let place = match *step {
            Step::Record(place) => place,
            Step::Gap(_) => {
                cycle.gaps += 1;
                continue;
            }
        };
        let label = labels.get(place).copied().unwrap_or_default();
        cycle.phases = PhaseSet(cycle.phases.0 | label.0);
        match log.records().get(place).map(|record| record.event) {
            Some(Event::Enable) => cycle.enables += 1,
            Some(Event::Vote) => cycle.votes += 1,
            Some(Event::Close) => cycle.closes.push(at),
            Some(Event::Result) => cycle.results.push(at),
            // A maker's own word may stand for anything, a clear included.
            Some(Event::Unknown) => cycle.gaps += 1,
            _ => {}
        }
    }
    cycle.labelled = !cycle.phases.is_empty();
    if !cycle.labelled {
        cycle.phases = PhaseSet::ANY;
        if cycle.votes + cycle.enables > 0 {
            // A count reads totals; it records no vote.
            cycle.phases = cycle.phases.without(Phase::Count);
        } else if cycle.is_whole() {
            // Nothing was released and nothing voted from clear to clear: neither poll nor mock poll.
            cycle.phases = cycle.phases.without(Phase::Poll).without(Phase::MockPoll);
        }
    }
    cycle
}

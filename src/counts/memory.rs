//! The number of votes in the unit's memory, step by step, and the numbers that the unit showed set against it.

use super::Interval;
use super::passage::{Passage, Passages};
use crate::event::Event;
use crate::replay::{Belief, Cause, Replay, Step};
use crate::syntax::{Log, Record, Value};
use crate::unit::UnitDescription;

/// From where the votes in memory are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Since {
    /// The first record of the log.
    Front,
    /// A clear: its step.
    Clear(usize),
    /// A number that the unit showed: its step.
    Shown(usize),
    /// A place where the memory may have been cleared unseen: its step.
    Blind(usize),
}

/// What an end of an interval rests on besides the records that were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rests {
    /// That nothing was recorded before the first record.
    pub front: bool,
    /// That record numbers step as the description says, and missing records are of known kinds.
    pub numbering: bool,
}

/// The votes counted from one place on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tally {
    /// From where.
    pub since: Since,
    /// Votes in memory there.
    pub before: Interval,
    /// Votes recorded since.
    pub seen: u64,
    /// Votes that may have been recorded unseen since.
    pub unseen: Interval,
    /// The first place since at which something may have happened unseen.
    pub blind: Option<usize>,
    /// What the lower end rests on.
    pub low: Rests,
    /// What the upper end rests on.
    pub high: Rests,
}

impl Tally {
    fn begin(since: Since, before: Interval, rests: Rests) -> Tally {
        Tally {
            since,
            before,
            seen: 0,
            unseen: Interval::ZERO,
            blind: None,
            low: Rests::default(),
            high: rests,
        }
    }

    /// Votes in memory.
    #[must_use]
    pub fn votes(&self) -> Interval {
        self.before.plus(Interval::of(self.seen)).plus(self.unseen).not_below_zero()
    }

    /// What either end rests on.
    #[must_use]
    pub fn rests(&self) -> Rests {
        Rests {
            front: self.low.front || self.high.front,
            numbering: self.low.numbering || self.high.numbering,
        }
    }

    fn pass(&mut self, step: usize, passage: Passage) {
        let numbering = passage.by_number;
        let before = self.votes();
        self.blind = self.blind.or(passage.is_blind().then_some(step));
        match (passage.kept, passage.cleared) {
            (kept, Some(cleared)) => {
                let cleared = Interval::from_to(cleared.0, cleared.1);
                let kept = kept.map(|(least, most)| before.plus(Interval::from_to(least, most)));
                self.since = Since::Blind(step);
                self.before = kept.map_or(cleared, |kept| kept.hull(cleared));
                self.seen = 0;
                self.unseen = Interval::ZERO;
                self.low = Rests { front: false, numbering };
            }
            (Some((least, most)), None) => {
                self.unseen = self.unseen.plus(Interval::from_to(least, most));
                self.low.numbering |= numbering;
            }
            (None, None) => {}
        }
        self.high.numbering |= numbering;
    }
}

/// Whether a number that the unit showed is the number of votes counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// It is the only number that the records allow.
    Agrees,
    /// The records allow it, and others too.
    Open,
    /// The records do not allow it.
    Differs,
}

/// A number of votes that the unit showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    /// The record's step.
    pub step: usize,
    /// Total, close or result.
    pub event: Event,
    /// The number, where the record states one.
    pub value: Option<u64>,
    /// The votes counted since the number shown before it, or since the clear or the front.
    pub tally: Tally,
}

impl Shown {
    /// Whether it is the number of votes counted; `None` where the record states no number.
    #[must_use]
    pub fn fit(&self) -> Option<Fit> {
        let value = i128::from(self.value?);
        let votes = self.tally.votes();
        Some(if votes.only() == Some(value) {
            Fit::Agrees
        } else if votes.holds(value) {
            Fit::Open
        } else {
            Fit::Differs
        })
    }

    /// By how much the number shown is greater than the votes counted.
    #[must_use]
    pub fn exceeds_by(&self) -> Interval {
        self.value.map_or(Interval::ANY, |value| Interval::of(value).exceeds_by(self.tally.votes()))
    }
}

/// The votes in memory over a whole log.
#[derive(Debug, Clone)]
pub struct Memory {
    /// Per step: the votes in memory before it, from both sides.
    pub before: Vec<Interval>,
    /// The votes in memory after the last step.
    pub at_end: Interval,
    /// The numbers that the unit showed, in order.
    pub shown: Vec<Shown>,
    /// Per number shown: the votes counted since the clear or the front, other numbers shown left aside.
    pub since_clear: Vec<Tally>,
    /// From which step on they are counted anew or with more in doubt, and the tally there.
    whole: Vec<(usize, Tally)>,
    /// The steps of the votes.
    votes: Vec<usize>,
}

/// The number that a record states, where its event shows the number of votes.
#[must_use]
pub fn number_shown(log: &Log, record: &Record) -> Option<u64> {
    let key = if record.event == Event::Total { "shown" } else { "total" };
    log.attribute(record, key).and_then(Value::number)
}

impl Memory {
    /// Counts over a log.
    #[must_use]
    pub fn of(log: &Log, unit: &UnitDescription, replay: &Replay) -> Memory {
        let mut reader = Reader::of(log, unit, replay);
        let walk: Vec<Passing> = (0..replay.steps.len()).map(|step| reader.passing(step)).collect();
        let mut tally = front(log, unit, replay);
        let mut whole = tally;
        // The votes of the tally, kept along: most records are votes or say nothing about them.
        let mut now = tally.votes();
        let (mut before, mut shown, mut since_clear) =
            (Vec::with_capacity(walk.len()), Vec::new(), Vec::new());
        let (mut wholes, mut votes) = (vec![(0, whole)], Vec::new());
        for (step, passing) in walk.iter().enumerate() {
            before.push(now);
            match passing {
                Passing::Vote => {
                    tally.seen += 1;
                    whole.seen += 1;
                    votes.push(step);
                    now = now.plus(Interval::of(1));
                    continue;
                }
                Passing::Nothing => continue,
                Passing::Clear => {
                    tally = Tally::begin(Since::Clear(step), Interval::ZERO, Rests::default());
                    whole = tally;
                    wholes.push((step + 1, whole));
                }
                Passing::Shows(event, value) => {
                    shown.push(Shown { step, event: *event, value: *value, tally });
                    since_clear.push(whole);
                    if let Some(value) = *value {
                        tally = Tally::begin(Since::Shown(step), Interval::of(value), Rests::default());
                    }
                }
                Passing::Blind(passage) => {
                    tally.pass(step, **passage);
                    whole.pass(step, **passage);
                    wholes.push((step + 1, whole));
                }
            }
            now = tally.votes();
        }
        let mut memory = Memory { before, at_end: now, shown, since_clear, whole: wholes, votes };
        memory.narrow_backwards(&walk);
        memory
    }

    /// The votes in memory after a step.
    #[must_use]
    pub fn after(&self, step: usize) -> Interval {
        self.before.get(step + 1).copied().unwrap_or(self.at_end)
    }

    /// The votes counted before a step since the clear or the front, numbers shown left aside.
    #[must_use]
    pub fn whole_before(&self, step: usize) -> Tally {
        let place = self.whole.partition_point(|(from, _)| *from <= step);
        let Some((from, tally)) = place.checked_sub(1).and_then(|place| self.whole.get(place)) else {
            return Tally::begin(Since::Front, Interval::SOME, Rests::default());
        };
        let (first, last) =
            (self.votes.partition_point(|vote| vote < from), self.votes.partition_point(|vote| *vote < step));
        Tally { seen: tally.seen + last.saturating_sub(first) as u64, ..*tally }
    }

    /// What a later number says about the memory before it. Behind a number that does not fit, nothing is carried back.
    fn narrow_backwards(&mut self, walk: &[Passing]) {
        if self.shown.iter().all(|shown| shown.value.is_none()) {
            return;
        }
        let mut after = self.at_end;
        let mut shown = self.shown.iter().rev();
        for (passing, before) in walk.iter().zip(&mut self.before).rev() {
            let back = match passing {
                Passing::Nothing if *before == after => continue,
                Passing::Vote => after.minus(Interval::of(1)),
                Passing::Shows(_, value) => {
                    let differs = shown.next().is_some_and(|shown| shown.fit() == Some(Fit::Differs));
                    match value {
                        _ if differs => Interval::SOME,
                        Some(value) => Interval::of(*value),
                        None => after,
                    }
                }
                Passing::Blind(passage) => match **passage {
                    Passage { kept: Some((least, most)), cleared: None, .. } => {
                        after.minus(Interval::from_to(least, most))
                    }
                    Passage { .. } => Interval::SOME,
                },
                Passing::Clear => Interval::SOME,
                Passing::Nothing => after,
            };
            let narrowed = before.meet(back.not_below_zero());
            // Ends that were widened on the way forward may leave nothing; then nothing is said.
            if !narrowed.is_empty() {
                *before = narrowed;
            }
            after = *before;
        }
    }
}

/// What a step does to the number of votes in memory.
enum Passing {
    Vote,
    Clear,
    Shows(Event, Option<u64>),
    Blind(Box<Passage>),
    Nothing,
}

/// Reads the steps one after the other.
struct Reader<'a> {
    passages: Passages<'a>,
    log: &'a Log,
    replay: &'a Replay,
    /// Whether a record in a conflict stands for exactly one record of some kind that the vocabulary knows.
    counts_conflicts: bool,
    /// The states after a run of places that could not be read, where they are known more closely than by the replay.
    states: Option<Belief>,
}

impl<'a> Reader<'a> {
    fn of(log: &'a Log, unit: &'a UnitDescription, replay: &'a Replay) -> Reader<'a> {
        let in_order = !replay
            .steps
            .iter()
            .any(|step| matches!(step, Step::Gap(gap) if matches!(gap.cause, Cause::NumbersGoBack | Cause::NoRoom)));
        let known = log.records().iter().all(|record| record.event != Event::Unknown);
        let counts_conflicts = unit.number_step.is_some() && in_order && known;
        Reader { passages: Passages::of(unit), log, replay, counts_conflicts, states: None }
    }

    fn passing(&mut self, step: usize) -> Passing {
        let conflict = self.replay.in_conflict.get(step).copied().unwrap_or(false);
        let record = self.replay.record(step).and_then(|place| self.log.records().get(place));
        if let (Some(record), false) = (record, conflict) {
            let before = self.replay.before.get(step).copied().unwrap_or_default();
            self.states = self.states.map(|states| self.passages.after(states.and(before), record.event));
            return match record.event {
                Event::Vote => Passing::Vote,
                Event::Clear => Passing::Clear,
                Event::Total | Event::Close | Event::Result => {
                    Passing::Shows(record.event, number_shown(self.log, record))
                }
                Event::Unknown => Passing::Blind(Box::new(Passage::ANY)),
                _ => Passing::Nothing,
            };
        }
        let (least, most) = match (self.replay.steps.get(step), record) {
            // The numbers beside it say that it is one record, whatever it should have said.
            (_, Some(record)) if self.counts_conflicts && record.number.is_some() => (1, Some(1)),
            (Some(Step::Gap(gap)), _) => (gap.least, gap.most),
            _ => (0, None),
        };
        let before = self.replay.before.get(step).copied().unwrap_or_default();
        let known = self.states.map(|states| states.and(before)).filter(|states| !states.is_empty());
        let before = known.unwrap_or(before);
        let after = self.replay.after(step);
        let (passage, states) = self.passages.through(before, after, least, most);
        // A conflict may rest on another record than this one, which then is what it says.
        let as_written = record.and_then(|record| passage.or(record.event));
        self.states = Some(if as_written.is_some() { after } else { states });
        Passing::Blind(Box::new(as_written.unwrap_or(passage)))
    }
}

/// What was in memory before the first record.
fn front(log: &Log, unit: &UnitDescription, replay: &Replay) -> Tally {
    let in_doubt = replay.deviations.iter().any(|deviation| deviation.needs_closed_front);
    if replay.front.is_closed() && !in_doubt {
        return Tally::begin(Since::Front, Interval::ZERO, Rests { front: true, numbering: false });
    }
    // Each vote has an enable before it, so that of the records before the first at most every second is a vote.
    let first = match replay.steps.first() {
        Some(Step::Record(place)) => log.records().get(*place).and_then(|record| record.number),
        _ => None,
    };
    let older = match (first, unit.first_number, unit.number_step, unit.number_digits) {
        (Some(first), Some(zero), Some(step), None) if step > 0 => {
            first.checked_sub(zero).map(|distance| distance / step)
        }
        _ => None,
    };
    let most = older.map(|records| records / 2);
    let rests = Rests { front: false, numbering: most.is_some() };
    Tally::begin(Since::Front, Interval::from_to(0, most), rests)
}

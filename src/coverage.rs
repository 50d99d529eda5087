//! Coverage: from when to when a log speaks, what its ring may have lost, and how many votes it can see.

use std::collections::BTreeMap;

use crate::case::{Case, CountOf, Phase};
use crate::event::Event;
use crate::replay::{Ending, PhaseSet, Replay};
use crate::syntax::{LineKind, Log, Stamp};
use crate::unit::UnitDescription;

/// What a ring of limited length says about older records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ring {
    /// The first record has the first number that the description knows: nothing older existed.
    NothingOlder,
    /// The first record's number shows how many older records existed and are not in this log.
    OlderNotKept {
        /// Number of older records, by the numbering of the description.
        records: u64,
        /// How many of them the ring would still hold beside those of this log.
        still_kept: u64,
    },
    /// The log holds as many records as the unit keeps: older ones may have been overwritten.
    PossiblyFull,
    /// The log holds fewer records than the unit keeps. By itself this does not show that none are missing.
    NotFull,
}

/// The window through which a log shows a unit's life.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coverage {
    /// Lines of each kind, in the order blank, comment, heading, header, record, closing, unread.
    pub lines: [usize; 7],
    /// Lines past the limit of lines per log.
    pub lines_not_read: usize,
    /// First and last record number, in the order of replay.
    pub numbers: Option<(u64, u64)>,
    /// First and last displayed time, in the order of replay.
    pub times: Option<(Stamp, Stamp)>,
    /// Earliest and latest displayed time.
    pub reach: Option<(Stamp, Stamp)>,
    /// Whether the displayed times never go back in the order of the file, and do in the order of replay.
    pub times_speak_for_the_file: bool,
    /// Records that the unit keeps: the log's header, else the unit description.
    pub keeps: u64,
    /// What the ring says about older records.
    pub ring: Ring,
    /// Whether and why the log's front is closed.
    pub front: Ending,
    /// Whether and why the log's back is closed.
    pub back: Ending,
    /// Votes recorded in the log.
    pub votes: usize,
    /// Votes under each label of the case file, in the order of the phases; `None` for those that carry no label, or one
    /// that does not settle the phase. Empty where versions of the case file label the records differently.
    pub votes_labelled: Vec<(Option<Phase>, usize)>,
    /// Votes that may be of the poll: not labelled as something else.
    pub votes_of_poll: usize,
    /// Votes declared for the unit, as each statement of the case file has them.
    pub declared: Vec<Declared>,
}

/// A number of votes declared for the unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Declared {
    /// Day of the poll that it is about, where the paper says so.
    pub poll: Option<String>,
    /// Least value.
    pub least: u64,
    /// Greatest value.
    pub most: u64,
}

impl Coverage {
    /// Measures a log. `labels` are those of its records, where all versions of the case file give the same.
    #[must_use]
    pub fn of(
        log: &Log,
        case: &Case,
        unit: &UnitDescription,
        replay: &Replay,
        labels: Option<&[PhaseSet]>,
    ) -> Coverage {
        let lines = kinds(log);
        let replayed = || (0..replay.steps.len()).filter_map(|at| log.records().get(replay.record(at)?));
        let numbers = ends(replayed().filter_map(|record| record.number));
        let keeps = log.header("keeps").and_then(crate::syntax::Value::number).unwrap_or(unit.keeps);
        let declared = case.counts.iter().filter(|count| count.value.what == CountOf::Declared);
        // A record that repeats an earlier one word for word is one record.
        let votes = replayed().filter(|record| record.event == Event::Vote).count();
        let votes_labelled = labels.map_or(Vec::new(), |labels| votes_labelled(log, replay, labels));
        let of_other: usize = votes_labelled
            .iter()
            .filter(|(phase, _)| phase.is_some_and(|phase| phase != Phase::Poll))
            .map(|(_, number)| number)
            .sum();
        Coverage {
            lines,
            lines_not_read: log.lines_not_read(),
            numbers,
            times: ends(replayed().filter_map(|record| record.time)),
            reach: replayed().filter_map(|record| record.time).fold(None, |reach, time| {
                let (least, most) = reach.unwrap_or((time, time));
                Some((least.min(time), most.max(time)))
            }),
            times_speak_for_the_file: rise(log.records().iter().filter_map(|record| record.time))
                && !rise(replayed().filter_map(|record| record.time)),
            keeps,
            ring: ring(log, unit, keeps, numbers),
            front: replay.front,
            back: replay.back,
            votes,
            votes_of_poll: votes.saturating_sub(of_other),
            votes_labelled,
            declared: declared
                .map(|count| Declared {
                    poll: count.value.poll.clone(),
                    least: count.value.least,
                    most: count.value.most,
                })
                .collect(),
        }
    }
}

/// How many lines of each kind a log has, in the order of [`LineKind`].
#[must_use]
pub fn kinds(log: &Log) -> [usize; 7] {
    let mut lines = [0usize; 7];
    for line in log.lines() {
        let place = match line.kind {
            LineKind::Blank => 0,
            LineKind::Comment => 1,
            LineKind::Heading => 2,
            LineKind::Header(_) => 3,
            LineKind::Record(_) => 4,
            LineKind::Closing => 5,
            LineKind::Unread => 6,
        };
        if let Some(count) = lines.get_mut(place) {
            *count += 1;
        }
    }
    lines
}

/// How many votes stand under each label; labels that leave several phases open count as none.
fn votes_labelled(log: &Log, replay: &Replay, labels: &[PhaseSet]) -> Vec<(Option<Phase>, usize)> {
    let mut counts: BTreeMap<(bool, usize), (Option<Phase>, usize)> = BTreeMap::new();
    let is_vote = |place: &usize| log.records().get(*place).is_some_and(|r| r.event == Event::Vote);
    let votes = (0..replay.steps.len()).filter_map(|at| replay.record(at)).filter(is_vote);
    for label in votes.filter_map(|place| labels.get(place)) {
        let place = Phase::ALL.iter().position(|phase| label.is_only(*phase));
        let phase = place.and_then(|place| Phase::ALL.get(place)).copied();
        counts.entry((phase.is_none(), place.unwrap_or(0))).or_insert((phase, 0)).1 += 1;
    }
    counts.into_values().collect()
}

/// Whether times never go back.
fn rise(mut times: impl Iterator<Item = Stamp>) -> bool {
    let Some(mut last) = times.next() else { return true };
    times.all(|time| {
        let goes_on = time >= last;
        last = time;
        goes_on
    })
}

fn ends<T: Copy>(items: impl Iterator<Item = T>) -> Option<(T, T)> {
    items.fold(None, |ends, item| Some((ends.map_or(item, |(first, _)| first), item)))
}

/// How many records came before the one of this number, where the unit description tells how numbers run.
pub(crate) fn records_before(first: u64, unit: &UnitDescription) -> Option<u64> {
    let distance = first.checked_sub(unit.first_number?)?;
    unit.number_digits.is_none().then_some(distance / unit.number_step?)
}

fn ring(log: &Log, unit: &UnitDescription, keeps: u64, numbers: Option<(u64, u64)>) -> Ring {
    if let Some((first, step)) = numbers.map(|(first, _)| first).zip(unit.number_step)
        && let Some(older) = records_before(first, unit)
    {
        return match older {
            0 => Ring::NothingOlder,
            records => {
                // Missing numbers count as records: the ring has room for what is left of it.
                let last = numbers.map_or(first, |(_, last)| last);
                let span = last.saturating_sub(first) / step + 1;
                let held = span.max(log.records().len() as u64);
                Ring::OlderNotKept { records, still_kept: records.min(keeps.saturating_sub(held)) }
            }
        };
    }
    if log.records().len() as u64 >= keeps { Ring::PossiblyFull } else { Ring::NotFull }
}

//! What of a log stands so close to a voter's act that it may tell of the voter.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::source::names_only_kinds;
use crate::syntax::{LineKind, Log, Record};

/// What stands on or beside a voter's act, found once for a whole log.
#[derive(Debug, Default, Clone)]
pub(crate) struct Nearness {
    /// One flag per record: whether it is a voter's act or stands beside one.
    near: Vec<bool>,
    /// Words of unknown events that stand beside a voter's act and nowhere else, sorted: each may be a choice or a name.
    words: Vec<String>,
    /// Whether more than one ballot unit may have been linked: the log names more than one, or shows no linking at all.
    several_units: bool,
}

/// A voter's act and what goes with it.
fn is_act(event: Event) -> bool {
    matches!(event, Event::Vote | Event::Enable | Event::EnableLapsed)
}

/// What may stand between a voter's act and a record that tells of it.
fn is_passed_over(event: Event) -> bool {
    matches!(event, Event::SlipPrinted | Event::SlipNotCut | Event::KeyRefused | Event::Unknown)
}

impl Nearness {
    /// Looks through a log whose records are complete.
    pub(crate) fn of(log: &Log) -> Nearness {
        let mut beside: Vec<Beside> = vec![Beside::default(); log.records.len()];
        look_back(log.records.iter().zip(&mut beside));
        look_back(log.records.iter().zip(&mut beside).rev());
        let near = log
            .records
            .iter()
            .zip(&beside)
            .map(|(record, beside)| beside.vote || record.event.touches_ballot())
            .collect();
        Nearness { near, words: lone_words(log, &beside), several_units: several_units(log) }
    }
}

/// What a record stands beside.
#[derive(Clone, Copy, Default)]
struct Beside {
    vote: bool,
    act: bool,
}

/// Notes for each record what the last one before it is that is not passed over.
fn look_back<'r>(records: impl Iterator<Item = (&'r Record, &'r mut Beside)>) {
    let mut last = Beside::default();
    for (record, beside) in records {
        beside.vote |= last.vote;
        beside.act |= last.act;
        if !is_passed_over(record.event) {
            last = Beside { vote: record.event == Event::Vote, act: is_act(record.event) };
        }
    }
}

/// Unknown words that stand beside a voter's act and nowhere else.
fn lone_words(log: &Log, beside: &[Beside]) -> Vec<String> {
    let mut met: BTreeMap<&str, bool> = BTreeMap::new();
    for (record, beside) in log.records.iter().zip(beside) {
        if record.event == Event::Unknown {
            *met.entry(log.slice(record.word)).or_insert(true) &= beside.act;
        }
    }
    met.into_iter()
        .filter(|(word, lone)| *lone && !names_only_kinds(word))
        .map(|(word, _)| word.to_owned())
        .collect()
}

/// One ballot unit named does not mean one linked: only a log that shows the linking says which were there.
fn several_units(log: &Log) -> bool {
    let mut units = log.attributes.iter().filter(|attribute| log.slice(attribute.key) == "bu");
    let first = units.next().map(|attribute| log.slice(attribute.value));
    units.any(|attribute| Some(log.slice(attribute.value)) != first)
        || !log.records.iter().any(|record| record.event == Event::LinkUp)
}

impl Log {
    /// Whether a record is a voter's act or stands beside one: next to a vote in the file, slips, refused keys and
    /// unknown events passed over.
    #[must_use]
    pub fn touches_ballot(&self, place: usize) -> bool {
        self.nearness.near.get(place).copied().unwrap_or(true)
    }

    /// Whether more than one ballot unit may have been linked: the log names more than one, or shows no linking at all.
    #[must_use]
    pub fn several_ballot_units(&self) -> bool {
        self.nearness.several_units
    }

    /// Whether the word of an unknown event may itself be a choice or a name.
    pub(super) fn is_telling_word(&self, record: &Record) -> bool {
        let word = self.slice(record.word);
        self.nearness.words.binary_search_by(|lone| lone.as_str().cmp(word)).is_ok()
    }

    /// The place of a record in the log.
    pub(super) fn place_of(&self, record: &Record) -> Option<usize> {
        match self.lines.get(record.line)?.kind {
            LineKind::Record(place) => Some(place),
            _ => None,
        }
    }

    /// The records next to a line that is none, before and behind it in the file.
    pub(super) fn neighbours(&self, line: usize) -> [Option<usize>; 2] {
        let behind = self.records.partition_point(|record| record.line < line);
        [behind.checked_sub(1), (behind < self.records.len()).then_some(behind)]
    }
}

//! What of a log stands so close to voters' acts that it may tell of a voter.

use std::collections::BTreeSet;

use crate::event::Event;
use crate::source::names_only_kinds;
use crate::syntax::{Line, LineKind, Log, Record};

/// What stands among or beside voters' acts, found once for a whole log.
///
/// An act is a vote, an enable, the lapse of one or the slip of a vote; a line of the body that could not be read may be one, and counts as
/// one.
#[derive(Debug, Default, Clone)]
pub(crate) struct Nearness {
    /// Index of the first line of the body: a record, or a line that could not be read and is none of the head.
    pub(super) body: usize,
    /// Indexes of the body's unread lines.
    unread: Vec<usize>,
    /// Lines from the first act of the log to the last, with the record on either side: first and behind-last index.
    span: (usize, usize),
    /// Lines directly beside an act, what goes with it passed over: one flag per line.
    beside: Vec<bool>,
    /// Words of unknown events among the acts, each of which may be a choice or a name.
    words: BTreeSet<String>,
    /// Whether a vote names its ballot unit.
    pub(super) votes_name_units: bool,
    /// Whether the log names more than one ballot unit.
    names_several: bool,
    /// Whether more than one ballot unit may have been linked: the log names more than one, or shows no linking at all.
    several_units: bool,
}

/// A voter's act, or what may be one.
fn is_act(log: &Log, line: &Line, body: bool) -> bool {
    match line.kind {
        LineKind::Record(place) => log.records.get(place).is_some_and(|record| {
            matches!(record.event, Event::Vote | Event::Enable | Event::EnableLapsed | Event::SlipPrinted)
        }),
        LineKind::Unread => body,
        _ => false,
    }
}

/// Whether a line begins the body: a record, or a line that could not be read and does not look like one of the head.
fn is_of_body(log: &Log, line: &Line) -> bool {
    let raw = log.source.raw_at(line.span);
    match line.kind {
        LineKind::Record(_) => true,
        LineKind::Unread => {
            log.foreign.is_some()
                || !(super::line::looks_like_header(raw)
                    || raw.starts_with(super::line::HEADING_WORD.as_bytes()))
        }
        _ => false,
    }
}

/// Whether a line is passed over in looking for what stands beside it: no record, or one that goes with a voter's act.
fn is_passed_over(log: &Log, line: &Line) -> bool {
    match line.kind {
        LineKind::Record(place) => log.records.get(place).is_some_and(|record| {
            matches!(record.event, Event::SlipNotCut | Event::KeyRefused | Event::Unknown)
        }),
        LineKind::Unread => false,
        _ => true,
    }
}

impl Nearness {
    /// Looks through a log whose records are complete.
    pub(crate) fn of(log: &Log) -> Nearness {
        let body = log.lines.iter().position(|line| is_of_body(log, line)).unwrap_or(log.lines.len());
        let lines = || log.lines.iter().enumerate();
        let unread = lines()
            .filter(|(at, line)| line.kind == LineKind::Unread && *at >= body)
            .map(|(at, _)| at)
            .collect();
        let acts: Vec<bool> = lines().map(|(at, line)| is_act(log, line, at >= body)).collect();
        let span = span(log, &acts);
        let items = || log.lines.iter().zip(acts.iter().copied());
        let after = beside(log, items());
        let mut before = beside(log, items().rev());
        before.reverse();
        let beside = after.into_iter().zip(before).map(|(after, before)| after || before).collect();
        let names_several = names_several(log);
        let several_units = names_several || is_linking_unknown(log);
        let names_unit =
            |record: &Record| record.event == Event::Vote && log.attribute(record, "bu").is_some();
        let mut nearness = Nearness {
            body,
            unread,
            span,
            beside,
            words: BTreeSet::new(),
            votes_name_units: log.records.iter().any(names_unit),
            names_several,
            several_units,
        };
        nearness.words = telling_words(log, &nearness);
        nearness
    }

    /// Whether a line that could not be read stands between two lines; an absent one is the beginning or the end.
    pub(super) fn is_unread_between(&self, [before, behind]: [Option<usize>; 2]) -> bool {
        let first = self.unread.partition_point(|line| before.is_some_and(|before| *line < before));
        self.unread.get(first).is_some_and(|line| behind.is_none_or(|behind| *line < behind))
    }
}

/// From the record before the first act to behind the record after the last.
fn span(log: &Log, acts: &[bool]) -> (usize, usize) {
    let (Some(first), Some(last)) = (acts.iter().position(|act| *act), acts.iter().rposition(|act| *act))
    else {
        return (0, 0);
    };
    let counts = |at: &usize| log.lines.get(*at).is_some_and(|line| !is_passed_over(log, line));
    let from = (0..first).rev().find(counts).unwrap_or(0);
    let to = (last + 1..log.lines.len()).find(counts).map_or(log.lines.len(), |at| at + 1);
    (from, to)
}

/// For each line, whether the last one before it that is not passed over is an act.
fn beside<'l>(log: &Log, lines: impl Iterator<Item = (&'l Line, bool)>) -> Vec<bool> {
    let mut last = false;
    lines
        .map(|(line, act)| {
            let before = last;
            if !is_passed_over(log, line) {
                last = act;
            }
            before
        })
        .collect()
}

/// Unknown words among the acts that are not made of plain words of the trade, unless the unit writes them before the
/// first act of the log too, where no vote can be told and no result has been shown.
fn telling_words(log: &Log, nearness: &Nearness) -> BTreeSet<String> {
    let (mut early, mut among): (BTreeSet<&str>, BTreeSet<&str>) = (BTreeSet::new(), BTreeSet::new());
    let mut has_result = false;
    for record in &log.records {
        has_result |= record.event == Event::Result;
        if record.event != Event::Unknown {
            continue;
        }
        let word = log.slice(record.word);
        if record.line >= nearness.span.0 && record.line < nearness.span.1 {
            among.insert(word);
        } else if record.line < nearness.span.0 && !has_result {
            early.insert(word);
        }
    }
    among
        .into_iter()
        .filter(|word| !early.contains(word) && !names_only_kinds(word))
        .map(str::to_owned)
        .collect()
}

fn names_several(log: &Log) -> bool {
    let mut units = log.attributes.iter().filter(|attribute| log.slice(attribute.key) == "bu");
    let first = units.next().map(|attribute| log.slice(attribute.value));
    units.any(|attribute| Some(log.slice(attribute.value)) != first)
}

/// One ballot unit named does not mean one linked: only a log that shows the linking, and names the unit each time, says
/// which were there.
fn is_linking_unknown(log: &Log) -> bool {
    let mut links = log.records.iter().filter(|record| record.event == Event::LinkUp).peekable();
    links.peek().is_none() || links.any(|record| log.attribute(record, "bu").is_none())
}

impl Log {
    /// Whether a record is a voter's act, goes with one, or stands among voters' acts: from the first of the log to the
    /// last, with the record on either side.
    #[must_use]
    pub fn touches_ballot(&self, place: usize) -> bool {
        let Some(record) = self.records.get(place) else {
            return true;
        };
        let (from, to) = self.nearness.span;
        record.event.touches_ballot() || (from..to).contains(&record.line)
    }

    /// Whether more than one ballot unit may have been linked: the log names more than one, or shows no linking at all.
    #[must_use]
    pub fn several_ballot_units(&self) -> bool {
        self.nearness.several_units
    }

    /// Whether the log names more than one ballot unit.
    #[must_use]
    pub fn names_several_ballot_units(&self) -> bool {
        self.nearness.names_several
    }

    /// Whether a line stands directly beside a voter's act.
    pub(super) fn is_beside_act(&self, line: usize) -> bool {
        self.nearness.beside.get(line).copied().unwrap_or(true)
    }

    /// Whether the word of an unknown event may itself be a choice or a name.
    pub(super) fn is_telling_word(&self, record: &Record) -> bool {
        self.nearness.words.contains(self.slice(record.word))
    }

    /// The place in the log's records of the one on a line.
    pub(super) fn record_at(&self, line: usize) -> Option<usize> {
        match self.lines.get(line)?.kind {
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

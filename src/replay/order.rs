//! The order in which records are replayed, and the gaps between them: by number where numbers allow it, else as the file has them.

use std::collections::HashMap;

use crate::event::Event;
use crate::syntax::{LineKind, Log, Record};
use crate::unit::UnitDescription;

/// One step of the replay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// A record; its place in the log's records.
    Record(usize),
    /// A gap: records that may or must have stood here.
    Gap(Gap),
}

/// A gap between two records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// At least so many records are missing.
    pub least: u64,
    /// At most so many; `None`: any number. Never none at all: where the numbers leave no room, they say how many are
    /// missing at least, and an unread line may hold a record without a number.
    pub most: Option<u64>,
    /// The first unread line in the gap, as an index of the log's lines.
    pub line: Option<usize>,
    /// Why there is a gap.
    pub cause: Cause,
}

/// Why there is a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// A line that could not be read.
    Unread,
    /// Record numbers that are missing.
    Hole,
    /// Record numbers that go back, so that the order is in doubt.
    NumbersGoBack,
    /// Records without a number, between two numbers that leave no room for all of them.
    NoRoom,
    /// Records that contradict each other, taken as unreadable for other questions.
    Conflict,
}

/// In which order the records are replayed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// As the file has them.
    File,
    /// The file holds the ring as stored: the replay begins at this record and goes round once.
    Rotated(usize),
    /// By record number: every record has its own number, and the file has them in another order.
    ByNumber,
}

/// The steps of a log, and what was found on the way.
#[derive(Debug)]
pub struct Sequence {
    /// Records and gaps in the order of replay.
    pub steps: Vec<Step>,
    /// Which order that is.
    pub order: Order,
    /// Records that repeat an earlier one word for word with its number; they are replayed once. (first, again)
    pub repeated: Vec<(usize, usize)>,
}

#[derive(Clone, Copy)]
enum Entry {
    Record(usize),
    Unread(usize),
}

impl Sequence {
    /// Lays out the steps of a log.
    #[must_use]
    pub fn of(log: &Log, unit: &UnitDescription) -> Sequence {
        let repeated = repeated(log);
        let mut again: Vec<usize> = repeated.iter().map(|(_, again)| *again).collect();
        again.sort_unstable();
        let mut entries: Vec<Entry> = Vec::with_capacity(log.lines().len());
        for (index, line) in log.lines().iter().enumerate() {
            match line.kind {
                LineKind::Record(place) if again.binary_search(&place).is_err() => {
                    entries.push(Entry::Record(place))
                }
                LineKind::Unread => entries.push(Entry::Unread(index)),
                _ => {}
            }
        }
        let order = order(log, unit, &mut entries);
        let incomplete = log.records().iter().any(|record| record.event == Event::Unknown);
        let mut steps = steps(log, unit, &entries, incomplete);
        if log.lines_not_read() > 0 {
            steps.push(Step::Gap(Gap { least: 0, most: None, line: None, cause: Cause::Unread }));
        }
        Sequence { steps, order, repeated }
    }
}

/// Whether `next` follows `last` directly, the counter's width included.
#[must_use]
pub fn follows(unit: &UnitDescription, last: u64, next: u64) -> bool {
    unit.number_step.is_some_and(|step| advance(unit, last, step) == Some(next))
}

fn advance(unit: &UnitDescription, number: u64, by: u64) -> Option<u64> {
    let sum = number.checked_add(by)?;
    match unit.number_digits.and_then(|digits| 10_u64.checked_pow(u32::from(digits))) {
        Some(modulus) if sum >= modulus => Some(sum % modulus),
        _ => Some(sum),
    }
}

/// How many records are missing between two numbers; `None` when numbers go back, repeat, or follow no stated step.
#[must_use]
pub fn missing_between(unit: &UnitDescription, last: u64, next: u64) -> Option<u64> {
    let step = unit.number_step?;
    if step > 0 && last.checked_add(step) == Some(next) {
        return Some(0);
    }
    let wrapped = unit
        .number_digits
        .and_then(|digits| 10_u64.checked_pow(u32::from(digits)))
        // A wrap is taken for one only when the counter was near its end.
        .filter(|modulus| {
            next < last && last < *modulus && modulus - last + next <= unit.keeps.saturating_mul(step)
        })
        .map(|modulus| modulus - last + next);
    let distance = wrapped.or_else(|| next.checked_sub(last))?;
    if distance == 0 || distance % step != 0 { None } else { Some(distance / step - 1) }
}

fn number(log: &Log, place: usize) -> Option<u64> {
    log.records().get(place).and_then(|record| record.number)
}

/// Records that say the same as an earlier one under the same number: one record written out twice.
fn repeated(log: &Log) -> Vec<(usize, usize)> {
    let ascending = log
        .records()
        .iter()
        .filter_map(|record| record.number)
        .try_fold(None, |last: Option<u64>, number| match last {
            Some(last) if last >= number => Err(()),
            _ => Ok(Some(number)),
        })
        .is_ok();
    if ascending {
        return Vec::new();
    }
    let mut first_of: HashMap<u64, Vec<usize>> = HashMap::new();
    let mut repeated = Vec::new();
    for (place, record) in log.records().iter().enumerate() {
        let Some(number) = record.number else { continue };
        let earlier = first_of.entry(number).or_default();
        match earlier
            .iter()
            .find(|first| log.records().get(**first).is_some_and(|first| same(log, first, record)))
        {
            Some(first) => repeated.push((*first, place)),
            // Two versions of one number are enough to know that the number is in doubt.
            None if earlier.len() < 8 => earlier.push(place),
            None => {}
        }
    }
    repeated
}

/// Whether two records say the same: time, event and attributes.
#[must_use]
pub fn same(log: &Log, one: &Record, other: &Record) -> bool {
    one.time == other.time
        && one.event == other.event
        && log.same_word(one, other)
        && log.attributes(one).eq(log.attributes(other))
}

fn order(log: &Log, unit: &UnitDescription, entries: &mut [Entry]) -> Order {
    let mut numbers = Vec::with_capacity(entries.len());
    let mut unread = 0usize;
    for entry in entries.iter() {
        match entry {
            Entry::Record(place) => match number(log, *place) {
                Some(number) => numbers.push((number, *place)),
                None => return Order::File,
            },
            Entry::Unread(_) => unread += 1,
        }
    }
    let descents: Vec<usize> = numbers
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| matches!(pair, [(last, _), (next, _)] if last >= next && missing_between(unit, *last, *next).is_none()))
        .map(|(place, _)| place + 1)
        .collect();
    let [first_descent, ..] = descents.as_slice() else {
        return Order::File;
    };
    let (first, last) = (numbers.first().copied(), numbers.last().copied());
    let start = numbers.get(*first_descent).copied();
    if let (1, Some((first, _)), Some((last, _)), Some((_, start))) = (descents.len(), first, last, start)
        && follows(unit, last, first)
    {
        let at = entries.iter().position(|e| matches!(e, Entry::Record(place) if *place == start));
        entries.rotate_left(at.unwrap_or(0));
        return Order::Rotated(start);
    }
    let mut unique: Vec<u64> = numbers.iter().map(|(number, _)| *number).collect();
    unique.sort_unstable();
    unique.dedup();
    if unread == 0
        && unit.number_step.is_some()
        && unit.number_digits.is_none()
        && unique.len() == numbers.len()
    {
        entries.sort_by_key(|entry| match entry {
            Entry::Record(place) => number(log, *place),
            Entry::Unread(_) => None,
        });
        return Order::ByNumber;
    }
    Order::File
}

/// Puts gaps between the entries: unread lines, holes in the numbers, places where numbers go back.
fn steps(log: &Log, unit: &UnitDescription, entries: &[Entry], incomplete: bool) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::with_capacity(entries.len());
    // Steps since the last numbered record: its number, and where they begin.
    let mut last: Option<(u64, usize)> = None;
    // Unread lines since then.
    let mut lines = 0;
    for entry in entries {
        match *entry {
            Entry::Unread(line) => {
                lines += 1;
                match steps.last_mut() {
                    // Unread lines in a row are one gap.
                    Some(Step::Gap(gap)) if gap.cause == Cause::Unread => gap.line = gap.line.or(Some(line)),
                    _ => steps.push(Step::Gap(Gap {
                        least: 0,
                        most: None,
                        line: Some(line),
                        cause: Cause::Unread,
                    })),
                }
            }
            Entry::Record(place) => {
                if let Some(next) = number(log, place) {
                    if let Some((last, from)) = last {
                        settle(unit, &mut steps, from, (last, next), lines, incomplete);
                    } else if unit.number_step.is_some() {
                        loosen(&mut steps, 0, Cause::Hole);
                    }
                    lines = 0;
                    steps.push(Step::Record(place));
                    last = Some((next, steps.len()));
                } else {
                    steps.push(Step::Record(place));
                }
            }
        }
    }
    if let (Some((_, from)), true) = (last, unit.number_step.is_some()) {
        loosen(&mut steps, from, Cause::Hole);
    }
    steps
}

/// In a log that numbers its records, one without a number may stand anywhere: others may be missing on each side.
fn loosen(steps: &mut Vec<Step>, from: usize, cause: Cause) {
    let tail = steps.split_off(from.min(steps.len()));
    if !tail.iter().any(|step| matches!(step, Step::Record(_))) {
        steps.extend(tail);
        return;
    }
    let hole = Step::Gap(Gap { least: 0, most: None, line: None, cause });
    let trailing = from > 0;
    for step in tail {
        if matches!(step, Step::Record(_)) && !matches!(steps.last(), None | Some(Step::Gap(_))) {
            steps.push(hole);
        }
        steps.push(step);
    }
    if !trailing && !matches!(steps.last(), Some(Step::Gap(_))) {
        steps.push(hole);
    }
}

/// Uses the numbers on both sides of `steps[from..]` to say how many records its gaps stand for. Where the log has
/// events that the vocabulary does not know (`incomplete`), a missing record may be one too and may lead anywhere.
/// More unread lines (`lines`) than missing numbers speak against the numbers themselves: such a line may hold a record
/// that has no number of its own, and then the numbers say only how many are missing at least.
fn settle(
    unit: &UnitDescription,
    steps: &mut Vec<Step>,
    from: usize,
    (last, next): (u64, u64),
    lines: u64,
    incomplete: bool,
) {
    let Some(missing) = missing_between(unit, last, next) else {
        loosen(steps, from, Cause::NumbersGoBack);
        if next < last && !matches!(steps.last(), Some(Step::Gap(gap)) if gap.most.is_none()) {
            steps.push(Step::Gap(Gap { least: 0, most: None, line: None, cause: Cause::NumbersGoBack }));
        }
        return;
    };
    let between = steps.get(from..).unwrap_or_default();
    let gaps = between.iter().filter(|step| matches!(step, Step::Gap(_))).count() as u64;
    let unnumbered = between.len() as u64 - gaps;
    // An unread line may hold several records (a lost line end) or none (a page header).
    let room = missing.checked_sub(unnumbered).filter(|room| unnumbered == 0 || lines <= *room);
    let Some(missing) = room else {
        // The numbers leave no room for all of the records without one: some may have been written out twice.
        loosen(steps, from, Cause::NoRoom);
        steps.push(Step::Gap(Gap { least: 0, most: None, line: None, cause: Cause::NoRoom }));
        return;
    };
    if incomplete && missing > 0 && gaps > 0 {
        return;
    }
    match (gaps, unnumbered) {
        (0, _) if missing == 0 => {}
        (0, 0) => {
            let most = if incomplete { None } else { Some(missing) };
            steps.push(Step::Gap(Gap { least: missing, most, line: None, cause: Cause::Hole }));
        }
        (1, 0) => {
            if let Some(Step::Gap(gap)) = steps.get_mut(from) {
                (gap.least, gap.most) = (missing, (lines <= missing).then_some(missing));
            }
        }
        _ => {
            // Where among the unnumbered records they are missing is not known: up to all of them at each place.
            let most = if incomplete { None } else { Some(missing) };
            let hole = Gap { least: 0, most, line: None, cause: Cause::Hole };
            let tail = steps.split_off(from.min(steps.len()));
            for step in tail {
                match step {
                    Step::Gap(gap) => steps.push(Step::Gap(Gap { least: 0, most, ..gap })),
                    record @ Step::Record(_) => {
                        if missing > 0 && !matches!(steps.last(), Some(Step::Gap(_))) {
                            steps.push(Step::Gap(hole));
                        }
                        steps.push(record);
                    }
                }
            }
            if missing > 0 && !matches!(steps.last(), Some(Step::Gap(_))) {
                steps.push(Step::Gap(hole));
            }
        }
    }
}

#[cfg(test)]
#[path = "order_tests.rs"]
mod tests;

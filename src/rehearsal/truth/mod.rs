//! What follows from a life's true course, its papers and the records that its log still holds: conclusions of a key that
//! no rule, no replay and no clock of the examination is asked for.

mod bounds;
pub(in crate::rehearsal) mod day;
mod hours;
mod numbers;
mod rate;
mod slip;

use super::key::Draft;
use super::memory::{Entry, Id};
use super::papers::{NotedReading, Papers};
use super::unwritten::{Print, Unwritten, Written};
use crate::case::Phase;
use crate::event::Event;
use crate::syntax::Stamp;

/// A record that the log holds and that can be read, with what is true of it.
pub(super) struct Held<'l> {
    pub(super) entry: &'l Entry,
    /// Whether records are missing or cannot be read between it and the one before it.
    behind_a_hole: bool,
}

/// What the log of a life still shows, and the papers beside it.
pub(super) struct Sight<'l> {
    /// The records in their order.
    held: Vec<Held<'l>>,
    papers: &'l Papers,
    /// Every record of the life, with when it was made.
    made: Vec<(Id, i64)>,
    /// Whether the first of them is the first of the unit's life, by its number.
    from_the_first: bool,
    /// Whether it is known that nothing was recorded behind the last of them.
    closed: bool,
    /// Whether the papers name records by their numbers.
    by_number: bool,
    /// Records that no lawful course explains, with those they stand in conflict with.
    disputed: Vec<Id>,
}

impl<'l> Sight<'l> {
    /// Looks at a life as written; `None` where its dates or its order are not those of its records.
    fn of(life: &'l Unwritten, places: &[Written], disputed: Vec<Id>) -> Option<Sight<'l>> {
        let mut unread: Vec<Id> = Vec::new();
        for print in &life.prints {
            match print {
                Print::Garbles(id, _) | Print::Times(id, _) => unread.push(*id),
                Print::SwapsDayAndMonth => return None,
                _ => {}
            }
        }
        let written: std::collections::BTreeSet<Id> =
            places.iter().filter(|place| !place.again).map(|place| place.id).collect();
        let mut held = Vec::new();
        let mut hole = false;
        for entry in &life.memory.entries {
            if !written.contains(&entry.id) {
                continue;
            }
            hole |= entry.renumbered.is_some();
            if unread.contains(&entry.id) {
                hole = true;
                continue;
            }
            held.push(Held { entry, behind_a_hole: std::mem::take(&mut hole) });
        }
        let by_number = life.unit.number_step.is_some() && life.memory.numbers_name(&life.unit);
        let made = life.memory.entries.iter().map(|entry| (entry.id, entry.moment)).collect();
        let last = held.last().is_some_and(|held: &Held<'_>| held.entry.event == Event::Export);
        let cut = life
            .prints
            .iter()
            .any(|print| matches!(print, Print::EndsBehind(_) | Print::Counts(_) | Print::Closes(_)));
        let closed = last && !cut && life.closed && life.unit.export_recorded;
        let first = places.first().and_then(|place| place.number);
        let from_the_first = by_number && first.is_some() && first == life.unit.first_number;
        Some(Sight { held, made, from_the_first, closed, papers: &life.papers, by_number, disputed })
    }

    /// Places in `held` of the events of a phase that no conflict makes doubtful.
    fn of_phase(&self, life: &Unwritten, phase: Phase, event: Event) -> Vec<usize> {
        let stretches = life.papers.phases.iter().filter(|(of, ..)| *of == phase);
        let ids: Vec<Id> = stretches.flat_map(|(_, places, _)| life.memory.ids(places)).collect();
        let fits = |entry: &Entry| {
            entry.event == event && ids.contains(&entry.id) && !self.disputed.contains(&entry.id)
        };
        (0..self.held.len()).filter(|at| self.held.get(*at).is_some_and(|held| fits(held.entry))).collect()
    }

    fn entry(&self, at: usize) -> Option<&'l Entry> {
        self.held.get(at).map(|held| held.entry)
    }

    fn id(&self, at: usize) -> Option<Id> {
        self.entry(at).map(|entry| entry.id)
    }

    /// A number of the papers' settings, as `drift-ppm = 60` words it.
    fn setting(&self, key: &str) -> Option<i64> {
        let rows = self.papers.rows.iter().filter(|row| row.table == "setting");
        rows.flat_map(|row| &row.keys).find_map(|text| value(text, key)?.parse().ok())
    }
}

/// The value behind `key = ` in a line of a sheet, without its quotes.
fn value<'t>(text: &'t str, key: &str) -> Option<&'t str> {
    Some(text.strip_prefix(key)?.strip_prefix(" = ")?.trim_matches('"'))
}

/// A civil time of the papers in milliseconds, to the minute.
fn minute(text: &str) -> Option<i64> {
    let at = chrono::NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").ok()?;
    Some(at.and_utc().timestamp_millis())
}

/// The place in `held` of the record behind which a reading was taken; `None` where the papers cannot name it.
fn read_behind(sight: &Sight<'_>, moment: i64) -> Option<usize> {
    if !sight.by_number {
        return None;
    }
    let last = sight.made.iter().rfind(|(_, made)| *made <= moment)?.0;
    (0..sight.held.len()).find(|at| sight.id(*at) == Some(last))
}

/// The run of the clock in which a reading behind a record was taken; `None` where the clock may have been set before the
/// next record, or nobody knows that there is none.
fn run_behind(sight: &Sight<'_>, runs: &[usize], behind: usize) -> Option<usize> {
    let next = runs.get(behind + 1);
    let run = runs.get(behind).copied()?;
    (next == Some(&run) || (next.is_none() && sight.closed)).then_some(run)
}

/// A reading of the clock as the papers word it.
struct Read {
    /// The place in `held` of the record that was timed, or behind which the display was read.
    behind: usize,
    /// Whether the record itself was timed.
    of_record: bool,
    /// The run of the clock, where it is known.
    run: Option<usize>,
    /// What was displayed: from this, and before that.
    shown: (i64, i64),
    /// When it was, in true civil time.
    truly: (i64, i64),
}

/// The readings on paper that name a record which the log holds.
fn readings(sight: &Sight<'_>, runs: &[usize], grain: i64) -> Vec<Read> {
    let read = |noted: &NotedReading| {
        let behind = read_behind(sight, noted.moment)?;
        let (reading, entry) = (&noted.reading, sight.entry(behind)?);
        // People write whole seconds, of either clock.
        let second = reading.reference - reading.reference.rem_euclid(1000);
        let give = reading.give_or_take_s * 1000;
        let truly = (second - give, second + 1000 + give);
        let of_record = noted.of_record;
        let (shown, run) = if of_record {
            let run = runs.get(behind).copied().filter(|_| entry.event != Event::ClockSet);
            (bounds::display(entry.time, grain), run)
        } else {
            let displayed = Stamp::new(reading.displayed.ms(), 0);
            (bounds::display(displayed, grain), run_behind(sight, runs, behind))
        };
        Some(Read { behind, of_record, run, shown, truly })
    };
    sight.papers.readings.iter().filter_map(read).collect()
}

/// Adds to a key what follows for the rules of which its faults do not speak.
pub(super) fn conclude(life: &Unwritten, places: &[Written], key: &mut Draft) {
    let Some(sight) = Sight::of(life, places, key.contradicted()) else { return };
    if !key.speaks_of("clock-slip") {
        slip::conclude(&sight, key);
    }
    if !key.speaks_of("poll-day-not-displayed") {
        day::conclude(&sight, life, key);
    }
    if !key.speaks_of("coarse-clock") {
        numbers::coarse(&sight, key);
    }
    if !key.speaks_of("last-digit-uneven") {
        numbers::digits(&sight, key);
    }
    if !key.speaks_of("lapses-differ") {
        numbers::lapses(&sight, life, key);
    }
    let bounds = bounds::of(&sight);
    if !key.speaks_of("clock-rate") {
        rate::conclude(&sight, bounds.as_ref().is_some_and(|bounds| bounds.conflict), key);
    }
    let Some(bounds) = bounds.filter(|bounds| !bounds.conflict) else { return };
    if !key.speaks_of("vote-after-hour") {
        hours::after_the_hour(&sight, life, &bounds, key);
    }
    if !key.speaks_of("vote-in-interruption") {
        hours::in_interruption(&sight, life, &bounds, key);
    }
    if !key.speaks_of("mock-poll-in-hours") {
        hours::mock_poll(&sight, life, &bounds, key);
    }
    if !key.speaks_of("turnout-differs") {
        numbers::turnout(&sight, life, &bounds, key);
    }
}

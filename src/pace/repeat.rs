//! Runs of lengths between records that stand in one log twice, the same to the step of the display.

use libm::log2;
use std::collections::BTreeMap;

use super::suffixes::repeats;
use super::{Tick, Timeline};
use crate::event::Event;

/// Different lengths that a run must hold to be told from a regular pace.
pub const DIFFERENT: usize = 8;

/// Lengths of a stretch in which the commonest value is looked for.
const STRETCH: usize = 50;

/// Lengths between the same two kinds of events that a stretch must hold to say how common a value is.
const LEAST_OF_KIND: usize = 10;

/// Bits that a run must have beyond those that so many pairs of places give by chance.
const MARGIN_BITS: f64 = 20.0;

/// Runs reported, and runs weighed before the search stops.
const MOST: (usize, usize) = (5, 50);

/// A run of consecutive lengths between records that stands twice without overlap.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeated {
    /// Places on the timeline of its first and last record.
    pub first: (usize, usize),
    /// The same where it stands again.
    pub again: (usize, usize),
    /// How many lengths it holds.
    pub lengths: usize,
    /// How many different ones.
    pub different: usize,
    /// How rare it is: the sum over its lengths of -log2 of the share of the commonest value near it.
    pub bits: f64,
    /// The bits that were asked for.
    pub asked: f64,
}

/// From one record to the next: how long, and between which events. `None` where that cannot be said.
type Length = Option<(i64, Event, Event)>;

/// The lengths between neighbouring records: place n is from record n to record n + 1 of the timeline.
fn lengths(ticks: &[Tick]) -> impl Iterator<Item = Length> + '_ {
    ticks.iter().zip(ticks.iter().skip(1)).map(|(from, to)| between(from, to))
}

fn between(from: &Tick, to: &Tick) -> Length {
    let same = from.section == to.section;
    same.then(|| Some((to.time?.ms() - from.time?.ms(), from.event, to.event))).flatten()
}

/// The length at a place.
fn length_at(ticks: &[Tick], place: usize) -> Length {
    between(ticks.get(place)?, ticks.get(place + 1)?)
}

/// Whether the run that stands at two places alike is long and unlike enough to be weighed. No length is worth more than 6
/// bits, for a stretch holds at most 50, and the commonest value among these has a share of a fiftieth at least.
fn is_worth_weighing(ticks: &[Tick], one: usize, other: usize) -> bool {
    let alike = |one: usize, other: usize| {
        length_at(ticks, one).filter(|length| length_at(ticks, other).as_ref() == Some(length))
    };
    let back = (0..=one.min(other)).map_while(|back| alike(one - back, other - back));
    let ahead = (1..).map_while(|ahead| alike(one + ahead, other + ahead));
    let mut values: Vec<i64> = back.chain(ahead).map(|(ms, ..)| ms).collect();
    let worth = number(values.len()) * 6.0;
    values.sort_unstable();
    values.dedup();
    values.len() >= DIFFERENT && worth >= asked(lengths(ticks).flatten().count())
}

/// The bits that a run must have among so many lengths.
fn asked(lengths: usize) -> f64 {
    2.0 * log2(number(lengths)) + MARGIN_BITS
}

/// Whether a run may stand twice that is worth weighing; in one pass, for nearly every log has none. Where some run of as
/// many lengths as must be different stands three times, it may.
#[must_use]
pub fn may_repeat(timeline: &Timeline) -> bool {
    const FACTOR: u64 = 0x9E37_79B9_7F4A_7C15;
    let leaving = (0..DIFFERENT).fold(1_u64, |power, _| power.wrapping_mul(FACTOR));
    let ticks = timeline.ticks();
    let bits = usize::BITS - (ticks.len() * 2).leading_zeros();
    let mut table = vec![(0_u64, 0_usize, false); 1 << bits];
    let mask = table.len() - 1;
    let mut recent = [0_u64; DIFFERENT];
    let (mut hash, mut filled) = (0_u64, 0_usize);
    for (place, length) in lengths(ticks).enumerate() {
        let Some((ms, from, to)) = length else {
            (hash, filled, recent) = (0, 0, [0; DIFFERENT]);
            continue;
        };
        let kinds = (u64::from(from as u8) << 8) | u64::from(to as u8);
        let symbol = (ms.cast_unsigned() ^ kinds.rotate_right(16)).wrapping_mul(FACTOR).rotate_left(29);
        let Some(oldest) = recent.get_mut(place % DIFFERENT) else { continue };
        hash = hash
            .wrapping_mul(FACTOR)
            .wrapping_add(symbol)
            .wrapping_sub(leaving.wrapping_mul(std::mem::replace(oldest, symbol)));
        filled += 1;
        if filled < DIFFERENT {
            continue;
        }
        let key = hash | 1;
        let mut slot = usize::try_from(hash >> 20).unwrap_or(0) & mask;
        while let Some(entry) = table.get_mut(slot) {
            if entry.0 == key {
                if entry.2 || is_worth_weighing(ticks, entry.1, place) {
                    return true;
                }
                entry.2 = true;
                break;
            }
            if entry.0 == 0 {
                *entry = (key, place, false);
                break;
            }
            slot = (slot + 1) & mask;
        }
    }
    false
}

/// The runs that stand twice and are long enough, among values rare enough, not to be expected by chance; longest first.
#[must_use]
pub fn repeated(timeline: &Timeline) -> Vec<Repeated> {
    let lengths: Vec<Length> = lengths(timeline.ticks()).collect();
    let known = lengths.iter().flatten().count();
    if known < 2 * DIFFERENT {
        return Vec::new();
    }
    let asked = asked(known);
    let numbered = numbered(&lengths);
    let holds_enough = enough(&lengths);
    let mut shares = Shares::of(&lengths);
    let mut found: Vec<Repeated> = Vec::new();
    let mut weighed = 0;
    for repeat in repeats(&numbered, DIFFERENT) {
        if found.len() >= MOST.0 || weighed >= MOST.1 {
            break;
        }
        let (first, again) = (repeat.first_end - repeat.length, repeat.last_end - repeat.length);
        let inside = |run: &Repeated| run.again.0 <= again && again + repeat.length <= run.again.1;
        if found.iter().any(inside) {
            continue;
        }
        if holds_enough.get(again).copied().flatten().is_none_or(|end| end > again + repeat.length) {
            continue;
        }
        weighed += 1;
        let bits = [first, again]
            .map(|start| shares.bits(start, repeat.length))
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        if bits >= asked {
            found.push(Repeated {
                first: (first, repeat.first_end),
                again: (again, repeat.last_end),
                lengths: repeat.length,
                different: different(&lengths, again, repeat.length),
                bits,
                asked,
            });
        }
    }
    found
}

/// A number for every length, equal for equal ones; what cannot be said is equal to nothing.
fn numbered(lengths: &[Length]) -> Vec<u32> {
    let mut known: BTreeMap<(i64, Event, Event), u32> = BTreeMap::new();
    let mut fresh = 0_u32;
    let mut new = || {
        fresh += 1;
        fresh
    };
    lengths
        .iter()
        .map(|length| match length {
            Some(length) => *known.entry(*length).or_insert_with(&mut new),
            None => new(),
        })
        .collect()
}

fn different(lengths: &[Length], start: usize, number: usize) -> usize {
    let run = lengths.get(start..start + number).unwrap_or_default();
    let mut values: Vec<i64> = run.iter().flatten().map(|(ms, ..)| *ms).collect();
    values.sort_unstable();
    values.dedup();
    values.len()
}

/// For each place, behind which place a run that begins there holds enough different lengths; `None` where none does. One
/// pass: a run that begins later ends no earlier.
fn enough(lengths: &[Length]) -> Vec<Option<usize>> {
    let mut held: BTreeMap<i64, usize> = BTreeMap::new();
    let mut end = 0;
    let mut list = Vec::with_capacity(lengths.len());
    for length in lengths {
        while held.len() < DIFFERENT
            && let Some(next) = lengths.get(end)
        {
            if let Some((ms, ..)) = next {
                *held.entry(*ms).or_default() += 1;
            }
            end += 1;
        }
        list.push((held.len() >= DIFFERENT).then_some(end));
        if let Some((ms, ..)) = length
            && let Some(times) = held.get_mut(ms)
        {
            *times -= 1;
            if *times == 0 {
                held.remove(ms);
            }
        }
    }
    list
}

/// A share as a fraction: how many, of how many.
type Share = (usize, usize);

/// Shares of displayed intervals, by the events at their ends.
type ByEnds = Vec<((Event, Event), Share)>;

/// How common the commonest value between the same kinds of events is, by stretches; each stretch is counted once.
struct Shares<'l> {
    lengths: &'l [Length],
    of_stretch: Vec<Option<ByEnds>>,
}

impl<'l> Shares<'l> {
    fn of(lengths: &'l [Length]) -> Shares<'l> {
        Shares { lengths, of_stretch: vec![None; lengths.len()] }
    }

    /// How rare a run is, by the commonest value between the same kinds of events in any stretch near it.
    fn bits(&mut self, start: usize, number: usize) -> f64 {
        let near = start.saturating_sub(STRETCH)..(start + number + STRETCH).min(self.lengths.len());
        let long = STRETCH.min(near.len()).max(1);
        // For each pair of kinds, the largest share of one value.
        let mut shares: BTreeMap<(Event, Event), Share> = BTreeMap::new();
        for begin in near.start..(near.end + 1).saturating_sub(long) {
            for (kinds, (times, all)) in self.stretch(begin, long) {
                let share = shares.entry(*kinds).or_insert((0, 1));
                if times * share.1 > share.0 * all {
                    *share = (*times, *all);
                }
            }
        }
        let run = self.lengths.get(start..start + number).unwrap_or_default();
        run.iter()
            .flatten()
            .filter_map(|(_, from, to)| shares.get(&(*from, *to)))
            .map(|(times, all)| -log2(self::number(*times) / self::number(*all)))
            .sum()
    }

    /// The share of the commonest value of each pair of kinds in one stretch. Stretches are all of one length: that of the
    /// log where it is shorter than [`STRETCH`].
    fn stretch(&mut self, begin: usize, long: usize) -> &[((Event, Event), Share)] {
        let lengths = self.lengths;
        let Some(slot) = self.of_stretch.get_mut(begin) else { return &[] };
        slot.get_or_insert_with(|| {
            let stretch = lengths.get(begin..begin + long).unwrap_or_default();
            let mut sorted: Vec<(Event, Event, i64)> =
                stretch.iter().flatten().map(|(ms, from, to)| (*from, *to, *ms)).collect();
            sorted.sort_unstable();
            let of_kinds = sorted.chunk_by(|one, other| (one.0, one.1) == (other.0, other.1));
            let share = |of: &[(Event, Event, i64)]| {
                let times = of.chunk_by(|one, other| one.2 == other.2).map(<[_]>::len).max()?;
                let (from, to, _) = of.first()?;
                (of.len() >= LEAST_OF_KIND).then_some(((*from, *to), (times, of.len())))
            };
            of_kinds.filter_map(share).collect()
        })
    }
}

#[allow(clippy::cast_precision_loss, reason = "numbers of records are far below 2^53")]
fn number(count: usize) -> f64 {
    count as f64
}

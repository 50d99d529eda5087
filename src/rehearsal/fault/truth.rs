//! What the papers and the log of a life bound, by plain arithmetic that shares nothing with the clock of the examination:
//! every statement about two instants is written out as a pair, and all pairs are gone over until nothing changes.

use super::clock::{DAY, MINUTE};
use super::injection::Injection;
use crate::event::Event;
use crate::rehearsal::memory::Id;

/// Nanoseconds in a millisecond. A rate of parts per million makes whole ones.
const NS: i128 = 1_000_000;

/// How close to a contradiction, in nanoseconds, two readings may come for a key to be sure whether they make one.
const NEAR: i128 = 3000 * NS;

/// An instant that the papers and the log speak of: a record, or a reading of the clock.
#[derive(Debug, Clone)]
struct Moment {
    /// What the clock displayed then: the piece of its running, from and to before, in milliseconds.
    shown: Vec<(usize, i64, i64)>,
    /// What a reading states of its true time, in nanoseconds of the civil calendar.
    stated: Option<(i128, i128)>,
    /// Where it stands in the order of recording: records even, readings behind their record odd.
    place: usize,
}

/// How the clock of a life ran and how its log prints it, as it was injected.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ran<'p> {
    /// Bound on the rate that the papers state, in parts per million.
    pub(super) ppm: i64,
    /// Step of the display, as all times of the log show it, in milliseconds.
    pub(super) step_ms: i64,
    /// Places of records before which the display stepped with no record of it.
    pub(super) steps: &'p [usize],
    /// Whether a slip of the catalogue explains a display that is so many milliseconds ahead at the least.
    pub(super) slipped: fn(i64) -> bool,
    /// What the log prints of a displayed time, in milliseconds; `None` where it is no date.
    pub(super) printed: fn(i64) -> Option<i64>,
}

/// A reading that the case file holds.
#[derive(Debug, Clone)]
pub(super) struct Read {
    /// Its place among the papers' readings.
    pub(super) noted: usize,
    /// The last record before it.
    pub(super) after: Id,
    /// The piece of the clock's running in which it was taken, where no step may lie between it and the next record.
    pub(super) piece: Option<usize>,
    /// By how much the display was ahead, in milliseconds, at least and at most.
    pub(super) ahead: (i64, i64),
    at: usize,
}

/// From when to when something was, in nanoseconds of the civil calendar; `None` where nothing bounds it.
pub(super) type Bounds = (Option<i128>, Option<i128>);

/// What is bounded, and which readings contradict each other.
#[derive(Debug, Clone)]
pub(super) struct Truth {
    pub(super) readings: Vec<Read>,
    /// Readings after a record that the log does not hold.
    pub(super) unplaced: usize,
    /// Readings, by their places in `readings`, whose display does not fit between those of the records beside them.
    misfits: Vec<usize>,
    /// Pairs of readings, by their places in `readings`, that cannot both be right.
    pub(super) conflicts: Vec<(usize, usize)>,
    bounds: Vec<Bounds>,
    records: usize,
}

/// On which side of an hour something lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Before,
    Behind,
    Open,
}

impl Truth {
    /// Bounds of every record. The records of settings are known by themselves. It fails where a bound is too close to
    /// call, or the ring has lost records.
    pub(super) fn of(i: &Injection, ran: Ran<'_>) -> Option<Truth> {
        let ppm = ran.ppm;
        if i.entries().len() > usize::try_from(i.life.unit.keeps).ok()? {
            return None;
        }
        let (mut moments, behind) = records(i, ran);
        let (readings, unplaced) = readings(i, ran, &mut moments, &behind)?;
        let mut truth = Truth {
            readings,
            unplaced,
            misfits: Vec::new(),
            conflicts: Vec::new(),
            bounds: Vec::new(),
            records: i.entries().len(),
        };
        let misfits: Vec<usize> =
            (0..truth.readings.len()).filter(|place| truth.misfits_at(*place, &moments)).collect();
        truth.misfits = misfits;
        truth.forget(&mut moments);
        truth.find_conflicts(&moments, ppm)?;
        truth.forget(&mut moments);
        truth.bounds = settle(&moments, ppm);
        Some(truth)
    }

    /// Whether a reading stands in a conflict.
    pub(super) fn is_doubted(&self, place: usize) -> bool {
        self.misfits.contains(&place) || self.conflicts.iter().any(|(a, b)| *a == place || *b == place)
    }

    /// Readings in conflict bind nothing.
    fn forget(&self, moments: &mut [Moment]) {
        for (place, read) in self.readings.iter().enumerate().filter(|(place, _)| self.is_doubted(*place)) {
            for moment in moments.iter_mut().skip(read.at).take(1) {
                moment.stated = None;
                if self.misfits.contains(&place) {
                    moment.shown.clear();
                }
            }
        }
    }

    /// Whether what a reading displays does not fit between what the records before and behind it display.
    fn misfits_at(&self, place: usize, moments: &[Moment]) -> bool {
        let Some(reading) = self.readings.get(place).and_then(|read| moments.get(read.at)) else {
            return false;
        };
        let Some((piece, from, to)) = reading.shown.first().copied() else { return false };
        moments.iter().take(self.records).any(|record| {
            let mut of = record.shown.iter().filter(|(other, ..)| *other == piece);
            of.any(|(_, a, b)| if record.place < reading.place { *a >= to } else { from >= *b })
        })
    }

    /// Each reading by itself bounds the others; one whose statement lies outside contradicts it. The records beside the
    /// readings, the settings between and the records on both sides of where the clock may have stepped are enough for that,
    /// to some seconds.
    fn find_conflicts(&mut self, moments: &[Moment], ppm: i64) -> Option<()> {
        let of_records = moments.get(..self.records).unwrap_or_default();
        let piece =
            |at: usize| of_records.get(at).and_then(|moment| moment.shown.first()).map(|(of, ..)| *of);
        let is_edge = |at: usize| {
            let beside = [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter_map(piece);
            piece(at).is_some_and(|own| beside.into_iter().any(|of| of != own))
        };
        let beside = |moment: &Moment| {
            moment.shown.len() > 1
                || self
                    .readings
                    .iter()
                    .filter_map(|read| moments.get(read.at))
                    .any(|reading| moment.place.abs_diff(reading.place) <= 1)
        };
        let kept: Vec<usize> = moments
            .iter()
            .enumerate()
            .filter(|(at, moment)| beside(moment) || is_edge(*at))
            .map(|(at, _)| at)
            .collect();
        let mut pairs = Vec::new();
        for (place, read) in self.readings.iter().enumerate() {
            let of = |at: &usize| {
                let moment = moments.get(*at)?.clone();
                Some(Moment { stated: moment.stated.filter(|_| *at == read.at), ..moment })
            };
            let bounds = settle(&kept.iter().filter_map(of).collect::<Vec<_>>(), ppm);
            for (other, with) in self.readings.iter().enumerate().filter(|(other, _)| *other != place) {
                let of = kept.iter().position(|at| *at == with.at).and_then(|at| bounds.get(at).copied());
                let (Some((early, late)), Some((from, to))) = (moments.get(with.at)?.stated, of) else {
                    continue;
                };
                let apart =
                    [from.map(|from| from - late), to.map(|to| early - to)].into_iter().flatten().max();
                match apart {
                    Some(apart) if apart.abs() < NEAR => return None,
                    Some(apart) if apart > 0 => pairs.push((place.min(other), place.max(other))),
                    _ => {}
                }
            }
        }
        pairs.sort_unstable();
        pairs.dedup();
        self.conflicts = pairs;
        Some(())
    }

    /// The bounds of a record.
    pub(super) fn record(&self, place: usize) -> Bounds {
        self.bounds.get(place).copied().filter(|_| place < self.records).unwrap_or((None, None))
    }
}

/// The records as moments, and per record the piece of the clock's running behind it.
fn records(i: &Injection, ran: Ran<'_>) -> (Vec<Moment>, Vec<usize>) {
    let Ran { step_ms, steps, printed, .. } = ran;
    let (mut piece, mut lost, mut greatest) = (0, false, i64::MIN);
    let mut behind: Vec<usize> = Vec::new();
    let mut moments: Vec<Moment> = Vec::new();
    for (at, entry) in i.entries().iter().enumerate() {
        let upset = matches!(entry.event, Event::BatteryChanged | Event::Unknown)
            || (entry.event == Event::Fault && entry.attributes.iter().any(|(_, part)| part == "display"));
        let shows = printed(entry.time.ms()).filter(|_| at >= i.first_held());
        // A line that cannot be read may stand for a setting, and a display that goes back is another piece.
        let breaks = (shows.is_some() && lost) || shows.is_some_and(|from| from + step_ms <= greatest);
        lost = shows.is_none();
        piece += usize::from(steps.contains(&at) || upset || breaks);
        greatest = if steps.contains(&at) || upset || breaks { i64::MIN } else { greatest };
        let mut shown = Vec::new();
        if entry.event == Event::ClockSet && shows.is_some() {
            for (key, value) in &entry.attributes {
                let text = value.replace('T', " ");
                if let Some(ms) = crate::case::civil_ms(&text).filter(|_| matches!(*key, "before" | "after"))
                {
                    shown.push((piece + usize::from(*key == "after"), ms, ms + step_ms.max(1000)));
                }
            }
            piece += 1;
            greatest = i64::MIN;
        } else if let Some(from) = shows {
            shown.push((piece, from, from + step_ms));
            greatest = greatest.max(from);
        }
        moments.push(Moment { shown, stated: None, place: 2 * at });
        piece += usize::from(upset);
        behind.push(piece);
    }
    (moments, behind)
}

/// The readings that the case file holds, put behind the records among the moments; and how many name a record that the log
/// does not hold.
fn readings(
    i: &Injection,
    ran: Ran<'_>,
    moments: &mut Vec<Moment>,
    behind: &[usize],
) -> Option<(Vec<Read>, usize)> {
    let (entries, Ran { step_ms, printed, .. }) = (i.entries(), ran);
    let (mut readings, mut unplaced) = (Vec::new(), 0);
    for (noted, paper) in i.life.papers.readings.iter().enumerate() {
        let Some(after) = entries.iter().rposition(|entry| entry.moment <= paper.moment) else {
            continue;
        };
        let is_read = |at: usize| entries.get(at).is_some_and(|entry| printed(entry.time.ms()).is_some());
        if after < i.first_held() {
            // Without a record behind which it stands the paper's row is no reading.
            continue;
        }
        if !is_read(after) {
            // The case file names a record that the log does not hold.
            unplaced += 1;
            continue;
        }
        let here = *behind.get(after)?;
        let first = |moment: &Moment| moment.shown.first().map(|(piece, ..)| *piece);
        let next = moments.get(after + 1).filter(|_| after + 1 < entries.len());
        let known = next.is_none_or(|next| is_read(after + 1) && first(next) == Some(here));
        // Whole seconds are written, of the display and of the reference clock.
        let second = |ms: i64| ms - ms.rem_euclid(1000);
        let (from, reference) = (second(paper.reading.displayed.ms()), second(paper.reading.reference));
        let within = paper.reading.give_or_take_s * 1000;
        let (early, late) = (reference - within, reference + 1000 + within);
        let to = from + step_ms.max(1000);
        let shown = if known { vec![(here, from, to)] } else { Vec::new() };
        readings.push(Read {
            noted,
            after: i.id(after)?,
            piece: known.then_some(here),
            ahead: (from - late, to - early),
            at: moments.len(),
        });
        let stated = Some((i128::from(early) * NS, i128::from(late) * NS));
        moments.push(Moment { shown, stated, place: 2 * after + 1 });
    }
    Some((readings, unplaced))
}

/// On which side of an hour of the civil calendar a record lies; an error where that is too close to call.
pub(super) fn side((from, to): Bounds, hour_ms: i64) -> Option<Side> {
    let hour = i128::from(hour_ms) * NS;
    let near = |end: Option<i128>| end.is_some_and(|end| (end - hour).abs() < NEAR / 100);
    if near(from) || near(to) {
        return None;
    }
    Some(match (from, to) {
        (Some(from), _) if from > hour => Side::Behind,
        (_, Some(to)) if to < hour => Side::Before,
        _ => Side::Open,
    })
}

/// The midnight before a moment.
pub(super) fn midnight(moment: i64) -> i64 {
    moment - moment.rem_euclid(DAY)
}

/// A moment of a paper that is written to the minute.
pub(super) fn minute_of(keys: &[String], key: &str) -> Option<i64> {
    let text = keys.iter().find_map(|row| row.strip_prefix(&format!("{key} = \""))?.strip_suffix('"'))?;
    let ms = crate::case::civil_ms(text)?;
    (ms % MINUTE == 0).then_some(ms)
}

/// Goes over all pairs until nothing changes. A contradiction would go on for ever, so that the rounds are counted.
fn settle(moments: &[Moment], ppm: i64) -> Vec<Bounds> {
    let mut bounds: Vec<Bounds> = moments
        .iter()
        .map(|moment| moment.stated.map_or((None, None), |(from, to)| (Some(from), Some(to))))
        .collect();
    let mut order: Vec<usize> = (0..moments.len()).collect();
    order.sort_by_key(|at| moments.get(*at).map(|moment| moment.place));
    for _ in 0..60 {
        let before = bounds.clone();
        in_order(moments, &order, &mut bounds);
        for (at, one) in moments.iter().enumerate() {
            for (from, other) in moments.iter().enumerate().filter(|(from, _)| *from != at) {
                let Some((least, most)) = bounds.get(from).copied() else { continue };
                for (piece, a, b) in &one.shown {
                    for (_, c, d) in other.shown.iter().filter(|(of, ..)| of == piece) {
                        // From the other's beginning to this one's end at most, and the other way about.
                        let (to, back) = (ran(b - c, ppm), ran(d - a, ppm));
                        narrow(
                            &mut bounds,
                            at,
                            (least.map(|least| least - back), most.map(|most| most + to)),
                        );
                    }
                }
            }
        }
        if bounds == before {
            break;
        }
    }
    bounds
}

/// A later record is no earlier than an earlier one. Two readings behind one record have no order.
fn in_order(moments: &[Moment], order: &[usize], bounds: &mut [Bounds]) {
    let is_record = |at: usize| moments.get(at).is_some_and(|moment| moment.place % 2 == 0);
    let (mut least, mut of_records): (Option<i128>, Option<i128>) = (None, None);
    for at in order {
        narrow(bounds, *at, (if is_record(*at) { least } else { of_records }, None));
        let from = bounds.get(*at).and_then(|bounds| bounds.0);
        least = least.max(from);
        if is_record(*at) {
            of_records = least;
        }
    }
    let tighter = |one: Option<i128>, other: Option<i128>| match (one, other) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    };
    let (mut most, mut of_records): (Option<i128>, Option<i128>) = (None, None);
    for at in order.iter().rev() {
        narrow(bounds, *at, (None, if is_record(*at) { most } else { of_records }));
        let to = bounds.get(*at).and_then(|bounds| bounds.1);
        most = tighter(most, to);
        if is_record(*at) {
            of_records = most;
        }
    }
}

/// The longest true time in which the display can have run on by so much, in nanoseconds; of a step back the shortest.
fn ran(ms: i64, ppm: i64) -> i128 {
    i128::from(ms) * i128::from(if ms >= 0 { 1_000_000 + ppm } else { 1_000_000 - ppm })
}

fn narrow(bounds: &mut [Bounds], at: usize, (from, to): Bounds) {
    let Some(slot) = bounds.get_mut(at) else { return };
    slot.0 = slot.0.max(from);
    slot.1 = match (slot.1, to) {
        (Some(known), Some(to)) => Some(known.min(to)),
        (known, to) => known.or(to),
    };
}

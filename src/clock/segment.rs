//! Segments: stretches of the log over which the unit's clock ran without a step, and what it displayed on them.

use std::ops::Range;

use super::network::Shown;
use crate::event::Event;
use crate::replay::{Cause, Replay, Step};
use crate::syntax::{Log, Record, Stamp};

/// A stretch of the log over which nothing shows that the clock was set or reset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Segment {
    /// How it begins.
    pub begins: Begins,
    /// Its steps. A clock-set record stands at the end of one segment; the next begins behind it.
    pub steps: Range<usize>,
}

impl Segment {
    /// Whether it begins where a record says that the clock was set.
    fn is_set(&self) -> bool {
        matches!(self.begins, Begins::ClockSet { .. })
    }
}

/// How a segment of the clock begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// With the log.
    Log,
    /// At the clock-set record of this step. Where it states both times, the segments are joined by the step.
    ClockSet {
        /// The step.
        step: usize,
        /// Whether both times are stated and agree with the records around them.
        joined: bool,
    },
    /// At this step, whose displayed time is earlier than one before it.
    WentBack(usize),
    /// At this step: something may have set the clock unseen.
    Unseen(usize),
    /// At this step: the battery was changed, a part that the clock hangs on failed, or an event is not known.
    Upset(usize),
}

impl Begins {
    /// In words, to stand after "begins".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Begins::Log => "with the log",
            Begins::ClockSet { joined: true, .. } => {
                "where the clock was set, by a step that the record states"
            }
            Begins::ClockSet { joined: false, .. } => "where the clock was set, by a step that is not known",
            Begins::WentBack(_) => "where the displayed time goes back with no record of a setting",
            Begins::Unseen(_) => "behind records that cannot be read or are missing",
            Begins::Upset(_) => "where the clock may have been reset: battery, fault or unknown event",
        }
    }
}

/// The log laid out for the clock.
#[derive(Debug, Default)]
pub(super) struct Layout {
    pub(super) segments: Vec<Segment>,
    /// Per segment: what was displayed on it, by step.
    pub(super) shown: Vec<Vec<Shown>>,
    /// Per step: the segment it lies in; that before a setting.
    pub(super) at: Vec<usize>,
    /// Steps of records that may be used, in the order of recording; a new list wherever the order is in doubt.
    pub(super) ordered: Vec<Vec<usize>>,
    /// Whether some record shows that the clock was set or went back.
    pub(super) stepped: bool,
    /// Whether it is stated that the clock was not set, so that what is not seen did not set it.
    pub(super) never_set: bool,
}

/// What was displayed, from when to before when, in milliseconds. A display may change less often than it is written.
pub(super) fn shown(node: usize, stamp: Stamp, grain: i64) -> Shown {
    Shown { node, from: stamp.ms(), to: stamp.ms().saturating_add(stamp.step_ms().max(grain)) }
}

/// The step of the display as the times of the log show it, in milliseconds: a minute or less, of which every displayed
/// time is a multiple. A unit that shows minutes may be written out with seconds, all of them 00. To take a display for
/// coarser than it is only widens bounds; with fewer times less is known, and the step can only be larger.
pub(super) fn grain(log: &Log) -> i64 {
    let times = log.records().iter().filter_map(|record| record.time);
    times.fold(60_000, |grain, time| divisor(grain, time.ms().rem_euclid(60_000)))
}

fn divisor(one: i64, other: i64) -> i64 {
    if other == 0 { one } else { divisor(other, one % other) }
}

/// The node of a step in the network.
pub(super) fn node(step: usize) -> usize {
    step + 1
}

impl Layout {
    /// Lays out a log.
    pub(super) fn of(log: &Log, replay: &Replay, never_set: bool) -> Layout {
        let mut layout = Layout {
            segments: vec![Segment { begins: Begins::Log, steps: 0..0 }],
            shown: vec![Vec::new()],
            at: Vec::with_capacity(replay.steps.len()),
            ordered: vec![Vec::new()],
            stepped: false,
            never_set,
        };
        let grain = grain(log);
        // The greatest time displayed on the segment, and the step that displayed it.
        let mut greatest: Option<(i64, usize)> = None;
        for (step, what) in replay.steps.iter().enumerate() {
            let record = match what {
                Step::Gap(gap) => {
                    if !never_set {
                        layout.cut(Begins::Unseen(step), &mut greatest);
                    }
                    if matches!(gap.cause, Cause::NumbersGoBack | Cause::NoRoom) {
                        layout.ordered.push(Vec::new());
                    }
                    layout.stand(step);
                    continue;
                }
                Step::Record(place) => log.records().get(*place),
            };
            let Some(record) = record else {
                layout.stand(step);
                continue;
            };
            let conflict = replay.in_conflict.get(step).copied().unwrap_or(false);
            if !conflict && let Some(steps) = layout.ordered.last_mut() {
                steps.push(step);
            }
            if record.event == Event::ClockSet {
                layout.stand(step);
                layout.set(log, record, step, grain, conflict, &mut greatest);
                continue;
            }
            let upset = !never_set && upsets(log, record);
            if upset {
                layout.cut(Begins::Upset(step), &mut greatest);
            }
            if let Some(stamp) = record.time.filter(|_| !conflict) {
                layout.show(step, stamp, grain, &mut greatest);
            }
            layout.stand(step);
            if upset {
                layout.cut(Begins::Upset(step + 1), &mut greatest);
            }
        }
        layout
    }

    /// Per step: the segment whose display its record shows. A record of a setting shows those of two.
    pub(super) fn shown_in(&self, log: &Log, replay: &Replay) -> Vec<Option<usize>> {
        let mut shown_in = vec![None; replay.steps.len()];
        for (segment, list) in self.shown.iter().enumerate() {
            for step in list.iter().filter_map(|shown| shown.node.checked_sub(1)) {
                let record = replay.record(step).and_then(|place| log.records().get(place));
                if let Some(slot) = shown_in.get_mut(step)
                    && record.is_some_and(|record| record.event != Event::ClockSet)
                {
                    *slot = Some(segment);
                }
            }
        }
        shown_in
    }

    /// A step stands in the segment that is open.
    fn stand(&mut self, step: usize) {
        self.at.push(self.segments.len() - 1);
        if let Some(segment) = self.segments.last_mut() {
            segment.steps.end = step + 1;
        }
    }

    fn cut(&mut self, begins: Begins, greatest: &mut Option<(i64, usize)>) {
        let from = self.at.len();
        let nothing = self.shown.last().is_none_or(Vec::is_empty);
        *greatest = None;
        let several = self.segments.len() > 1;
        match self.segments.last_mut() {
            // Two reasons at one place make one segment. A setting is no such reason: a reading may lie behind it and before
            // what comes next, and there the clock runs as it was set.
            Some(segment) if segment.steps.is_empty() && several && nothing && !segment.is_set() => {
                segment.begins = begins;
            }
            _ => {
                self.segments.push(Segment { begins, steps: from..from });
                self.shown.push(Vec::new());
            }
        }
    }

    /// Takes what a record displays; cuts before it where the display went back.
    fn show(&mut self, step: usize, stamp: Stamp, grain: i64, greatest: &mut Option<(i64, usize)>) {
        let shown = shown(node(step), stamp, grain);
        if let Some((most, by)) = *greatest
            && shown.to <= most
        {
            self.stepped = true;
            // Between the greatest time and this one the step lies somewhere: those between belong to neither side.
            if let Some(list) = self.shown.last_mut() {
                list.retain(|shown| shown.node <= node(by));
            }
            self.cut(Begins::WentBack(step), greatest);
        }
        if greatest.is_none_or(|(most, _)| shown.from >= most) {
            *greatest = Some((shown.from, step));
        }
        if let Some(list) = self.shown.last_mut() {
            list.push(shown);
        }
    }

    /// A clock-set record ends a segment and begins another; at its instant the display showed the time before and the
    /// time after. What the record's own time is, of the two, is not known.
    fn set(
        &mut self,
        log: &Log,
        record: &Record,
        step: usize,
        grain: i64,
        conflict: bool,
        greatest: &mut Option<(i64, usize)>,
    ) {
        self.stepped = true;
        let stated = |key| {
            let (from, to) = moment(log.attribute(record, key)?.text())?;
            let step_ms = record.time.map_or(0, Stamp::step_ms).max(grain);
            (!conflict).then_some(Shown { node: node(step), from, to: to.max(from.saturating_add(step_ms)) })
        };
        let (before, after) = (stated("before"), stated("after"));
        let before = before.filter(|before| greatest.is_none_or(|(most, _)| before.to > most));
        if let (Some(before), Some(list)) = (before, self.shown.last_mut()) {
            list.push(before);
        }
        self.segments.push(Segment {
            begins: Begins::ClockSet { step, joined: before.is_some() && after.is_some() },
            steps: step + 1..step + 1,
        });
        self.shown.push(after.into_iter().collect());
        *greatest = after.map(|after| (after.from, step));
    }
}

/// Whether the clock may have been reset at a record.
fn upsets(log: &Log, record: &Record) -> bool {
    match record.event {
        Event::Unknown | Event::BatteryChanged => true,
        Event::Fault => log.attribute(record, "part").is_none_or(|part| {
            ![
                "ballot-unit",
                "cable",
                "cutter",
                "keypad",
                "lamp",
                "link",
                "paper",
                "paper-trail",
                "printer",
                "sensor",
            ]
            .iter()
            .any(|other| part.is(other))
        }),
        _ => false,
    }
}

/// A displayed time in an attribute, `YYYY-MM-DDThh:mm:ss` with up to three digits of a fraction: from when to when.
fn moment(text: &str) -> Option<(i64, i64)> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let civil = whole.replacen('T', " ", 1);
    let stamp =
        super::instant::stamp(&civil).filter(|stamp| stamp.shows_seconds() && stamp.written() == civil)?;
    let digits = u8::try_from(fraction.len()).ok().filter(|digits| *digits <= 3)?;
    let step = 10_i64.pow(3 - u32::from(digits));
    let part = if fraction.is_empty() { 0 } else { fraction.parse::<u16>().ok()?.into() };
    let from = stamp.ms() + part * step;
    Some((from, from + step))
}

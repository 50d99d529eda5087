//! Where each reading stands in the log.

use std::collections::BTreeMap;

use super::reading;
use super::segment::Layout;
use super::{Placement, Reading};
use crate::case::{Case, ReadAt};
use crate::event::Event;
use crate::replay::Replay;
use crate::syntax::Log;

/// The readings of a case with their places in the log, and the log laid out for them.
pub(super) fn placed(log: &Log, case: &Case, replay: &Replay) -> (Vec<Reading>, Layout) {
    let given = reading::given(log, case);
    let claimed = given.iter().any(|one| one.reading.not_set && one.reading.is_placed());
    let mut layout = Layout::of(log, replay, claimed);
    // What a battery or a gap may have hidden still went back: only the log laid out whole shows it.
    let stepped = layout.stepped;
    if claimed && stepped {
        layout = Layout::of(log, replay, false);
    }
    let mut steps = BTreeMap::new();
    if !given.is_empty() {
        let named = log.named_by_number();
        for step in 0..replay.steps.len() {
            if let Some(place) = replay.record(step).filter(|place| named.get(*place) == Some(&true))
                && let Some(number) = log.records().get(place).and_then(|record| record.number)
            {
                steps.insert(number, step);
            }
        }
    }
    let readings = given.into_iter().map(|one| {
        let mut reading = one.reading;
        if !matches!(reading.placement, Placement::Nowhere(_)) {
            reading.placement = match (&one.unit, one.after) {
                (ReadAt::Record(number), _) => match steps.get(number) {
                    Some(step) if reading.exported && !is_export(log, replay, *step) => {
                        Placement::Nowhere("it takes its time from that of the export, and its record is not of an export")
                    }
                    Some(step) if replay.in_conflict.get(*step) == Some(&true) => {
                        Placement::Nowhere("a contradiction rests on its record")
                    }
                    Some(step) => Placement::Record(*step),
                    None => Placement::Nowhere("the case file names its record, and no one record that can be read has that number"),
                },
                (_, Some(number)) => match steps.get(&number) {
                    Some(step) => {
                        Placement::After { step: *step, segment: segment_after(log, replay, &layout, *step) }
                    }
                    None => Placement::Nowhere(
                        "the case file places it after a record, and no one record that can be read has that number",
                    ),
                },
                _ if !reading.not_set => Placement::Nowhere(
                    "the case file says neither after which record it was taken (after-record) nor that the clock was not \
                     set between it and the records (clock-not-set)",
                ),
                _ if !stepped => Placement::Throughout,
                _ => Placement::Nowhere(
                    "the log shows that the clock was set or went back, although the paper says that it was not, and the \
                     case file does not say after which record the reading was taken",
                ),
            };
        }
        reading
    });
    (readings.collect(), layout)
}

/// Whether the record of a step is of an export.
fn is_export(log: &Log, replay: &Replay, step: usize) -> bool {
    let record = replay.record(step).and_then(|place| log.records().get(place));
    record.is_some_and(|record| record.event == Event::Export)
}

/// The segment of the clock behind a record, where nothing can have set the clock unseen before the next one.
fn segment_after(log: &Log, replay: &Replay, layout: &Layout, step: usize) -> Option<usize> {
    let is_set = |step: usize| {
        replay
            .record(step)
            .and_then(|place| log.records().get(place))
            .is_some_and(|record| record.event == Event::ClockSet)
    };
    let here = *layout.at.get(step)? + usize::from(is_set(step));
    let known = match replay.steps.get(step + 1) {
        Some(_) => layout.at.get(step + 1) == Some(&here),
        // Behind the end of the log a clock may have fallen back with a later record to show it.
        None => replay.back.is_closed() || layout.never_set,
    };
    known.then_some(here)
}

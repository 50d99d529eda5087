//! Occasions that stay open because the clock does not tell: how wide it leaves them, and which reading would decide.

use super::{PRESIDING, between, clock_face};
use crate::clock::hours::Hour;
use crate::clock::{Instant, LeastError, SECOND, Settling, export_pair, length};
use crate::rules::{Known, Walk, Want};

/// The occasions of a rule that stay open because the clock does not tell, gathered so that one sentence speaks of all.
#[derive(Debug, Default)]
pub(super) struct Margins {
    steps: Vec<usize>,
}

impl Margins {
    pub(super) fn add(&mut self, step: usize) {
        self.steps.push(step);
    }

    /// Opens them. `hours` are the hours between which and the bounds the question lies.
    pub(super) fn open(
        self,
        known: &Known<'_>,
        walk: &mut Walk<'_>,
        hours: &[Hour],
        what: &str,
        offset: i32,
    ) {
        let Some(first) = self.steps.first() else { return };
        let want = if self.steps.iter().all(|step| is_unbounded(known, *step)) {
            unbounded(known, &self.steps, hours, what)
        } else {
            margin(known, &self.steps, *first, hours, what, offset)
        };
        for step in self.steps {
            walk.open(known.place(step), &want);
        }
    }
}

fn is_unbounded(known: &Known<'_>, step: usize) -> bool {
    let when = known.clock.bounds(step);
    when.earliest.is_none() && when.latest.is_none()
}

/// Nothing ties the unit's clock to true time. The least error of the clock that would change the answer is said, and
/// nothing more: displayed times are not compared with hours.
fn unbounded(known: &Known<'_>, steps: &[usize], hours: &[Hour], what: &str) -> Want {
    let pairs = steps.iter().flat_map(|step| hours.iter().map(move |hour| (*step, hour)));
    let nearest = pairs
        .filter_map(|(step, hour)| Some((known.clock.least_error(step, hour)?, step, hour)))
        .min_by_key(|(least, ..)| least.by);
    let mut ask = "readings of the unit's clock beside a reference clock, with how far that may have been off; best one \
                   before and one after the hours in question (case file: [[reading]])"
        .to_owned();
    if export_pair(known.log, known.replay).is_some() {
        ask.push_str(
            "; the export itself can give one, if whoever made it says how far the exporter's clock may have been off (case \
             file: [[reading]] with reference-from)",
        );
    }
    let mut least = String::new();
    if let Some((LeastError { by, .. }, step, hour)) = nearest
        && let Some(time) = known.record(step).and_then(|record| record.time)
    {
        least = format!(
            ", and what it displayed does not tell on which side of {} they lie: an error of that clock of little more than \
             {} would put the one displayed at {time} on the other side",
            clock_face(hour.civil),
            length(by.ns()),
        );
        if let Some(Settling { near, within, .. }) = known.clock.settling(step, hour) {
            ask.push_str(&format!(
                "; if one taken when the unit displayed about {near} shows the display to be right, it decides for this \
                 record where it is right to within {} either way",
                length(rounded(within))
            ));
        }
    }
    Want::Other(format!("nothing ties the unit's clock to true time for {what}{least}"), PRESIDING, ask)
}

/// The clock is tied, and the bounds of some records hold the hour.
fn margin(known: &Known<'_>, steps: &[usize], first: usize, hours: &[Hour], what: &str, offset: i32) -> Want {
    let number = steps.len();
    let also = match number {
        1 => String::new(),
        _ => format!(", the first of {number},"),
    };
    let hour = held(known, first, hours)
        .next()
        .map_or_else(String::new, |hour| format!(", and {} lies in it", clock_face(hour.civil)));
    Want::Other(
        format!(
            "the bounds of true time are too wide for {what}: {}{also} was made {}{hour}",
            known.name(first),
            between(known, first, offset),
        ),
        PRESIDING,
        asked(known, steps, hours),
    )
}

/// The one reading that would decide: for the record that asks most of it.
fn asked(known: &Known<'_>, steps: &[usize], hours: &[Hour]) -> String {
    let pairs = || steps.iter().flat_map(|step| held(known, *step, hours).map(move |hour| (*step, hour)));
    let sharpest = pairs()
        .filter_map(|(step, hour)| Some((known.clock.settling(step, hour)?, step, hour)))
        .min_by_key(|(settling, ..)| settling.within);
    match (sharpest, pairs().next()) {
        (Some((Settling { near, within, step: display }, step, hour)), _) => format!(
            "a reading of the unit's clock taken when it displayed about {near}, right to within {} either way, or a better \
             account of those that are stated: a coarser one is not sure to decide for {}, and one as good as this decides \
             unless that lies closer to {} than twice this and {}, which are two steps of the display (case file: \
             [[reading]])",
            length(rounded(within)),
            known.name(step),
            clock_face(hour.civil),
            length(rounded(display + display)),
        ),
        (None, Some((step, hour))) => format!(
            "a paper that times {} itself beside a reference clock (case file: [[reading]], record = n): the steps of the \
             display and the bounds leave so little room about {} that no reading of the display is sure to decide",
            known.name(step),
            clock_face(hour.civil),
        ),
        (None, None) => {
            "a further reading of the unit's clock near the times in question (case file: [[reading]])"
                .to_owned()
        }
    }
}

/// The hours that lie within the bounds of a step.
fn held<'h>(known: &Known<'_>, step: usize, hours: &'h [Hour]) -> impl Iterator<Item = &'h Hour> + use<'h> {
    let when = known.clock.bounds(step);
    hours.iter().filter(move |hour| {
        when.earliest.as_ref().is_none_or(|end| end.at <= hour.latest)
            && when.latest.as_ref().is_none_or(|end| end.at >= hour.earliest)
    })
}

/// A margin that may be asked for: from a second on in whole seconds, and never more than it is.
fn rounded(within: Instant) -> i128 {
    let unit = if within.ns() >= SECOND { SECOND } else { SECOND / 1000 };
    within.ns() / unit * unit
}

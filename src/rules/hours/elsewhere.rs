//! Records that no stated hour could place: they lie, or may lie, on a day for which the case file states no poll.
//!
//! Such a record stays open, also where it lies outside all hours that are stated: a poll may have been adjourned to a day, or
//! ordered again for one, that the case file does not state, and whoever learns of that day must not find an answer turned
//! round. That the stated hours of a day are all that were set for it is taken for granted, and said; that no other day had a
//! poll is not, unless the case file says so: then every record of the poll is of its one day.

use super::margins::first_of;
use super::night::EVERY_DAY;
use super::{Day, Hour, PRESIDING, REGISTRAR, When};
use super::{after, before, between, held, is_on_no_day, is_unbounded};
use crate::rules::{Known, Walk, Want};

/// Which day such a record lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    /// One for which no poll is stated.
    Unstated,
    /// Perhaps one for which no poll is stated.
    PerhapsUnstated,
    /// One of several for which polls are stated.
    OneOfSeveral,
}

/// Whether a record is bounded, and no hour lies within its bounds, so that none is told from another by a better reading.
pub(super) fn is(known: &Known<'_>, step: usize, hours: &[Hour]) -> bool {
    !is_unbounded(known, step) && held(known, step, hours).next().is_none()
}

/// Such records, gathered so that one sentence speaks of all.
#[derive(Debug, Default)]
pub(super) struct Elsewhere {
    steps: Vec<usize>,
}

impl Elsewhere {
    pub(super) fn add(&mut self, step: usize) {
        self.steps.push(step);
    }

    pub(super) fn open(self, known: &Known<'_>, walk: &mut Walk<'_>, days: &[Day]) {
        for which in [Which::Unstated, Which::PerhapsUnstated, Which::OneOfSeveral] {
            let of = |step: &usize| which_day(days, &known.clock.bounds(*step)) == which;
            let steps: Vec<usize> = self.steps.iter().copied().filter(of).collect();
            let Some(first) = steps.first() else { continue };
            let want = want(known, days, &steps, (which, outside(days, &known.clock.bounds(*first))));
            for step in &steps {
                walk.open(known.place(*step), &want);
            }
        }
    }
}

/// Where the days for which a poll is stated leave a record.
fn which_day(days: &[Day], when: &When) -> Which {
    if is_on_no_day(days, when) {
        return Which::Unstated;
    }
    let (Some(from), Some(to)) = (&when.earliest, &when.latest) else { return Which::PerhapsUnstated };
    // The days in their order, each beginning where the one before it ends.
    let mut covered = from.at;
    for day in days.iter().filter(|day| day.ends_from > from.at) {
        if day.begins_by <= covered {
            covered = covered.max(day.ends_from);
        }
    }
    if covered > to.at { Which::OneOfSeveral } else { Which::PerhapsUnstated }
}

/// Whether a record lies outside all hours of all days, wherever in its bounds it lies.
fn outside(days: &[Day], when: &When) -> bool {
    days.iter().flat_map(|day| &day.parts).all(|part| before(part, when) || after(part, when))
}

fn want(known: &Known<'_>, days: &[Day], steps: &[usize], (which, outside): (Which, bool)) -> Want {
    let first = steps.first().copied().unwrap_or_default();
    let mut made = format!("{} was made {}", first_of(known, steps), between(known, first));
    if outside && which != Which::Unstated {
        made.push_str(", outside all hours that the case file states");
    }
    let day = "a note of the unit's clock that shows on which day it was made (case file: [[reading]])";
    let only = days.iter().find(|day| day.only.is_some());
    match (which, only) {
        (Which::Unstated, Some(only)) => Want::Other(
            format!(
                "{made}, and the case file says that the poll was held on {} and on no other day; no vote of it that this log holds lies \
                 surely on that day",
                only.date
            ),
            PRESIDING,
            "who read the unit's clock, when, and beside which clock; the notice of poll; and the diary's account of which records \
             were the poll"
                .to_owned(),
        ),
        (Which::PerhapsUnstated, Some(only)) => Want::Other(
            format!("{made}, and whether it was made on {}, the only day of the poll, is not told", only.date),
            PRESIDING,
            day.to_owned(),
        ),
        (Which::Unstated, None) => Want::Other(
            format!("{made}, and the case file states no poll for that day"),
            REGISTRAR,
            EVERY_DAY.to_owned(),
        ),
        (Which::PerhapsUnstated, None) => Want::Other(
            format!("{made}, and may lie on a day for which the case file states no poll"),
            REGISTRAR,
            format!("{EVERY_DAY}; or {day}"),
        ),
        (Which::OneOfSeveral, _) => {
            Want::Other(format!("{made}, and on which of these days is not told"), PRESIDING, day.to_owned())
        }
    }
}

//! Periods of the papers: where a record lies by an interruption or a storage that the case file states.

use super::margins::{Margins, first_of};
use super::{Told, between, held, surely_after, surely_before};
use crate::case::Period;
use crate::clock::When;
use crate::clock::hours::{Hour, Lapse, zone_said};
use crate::rules::phases::said;
use crate::rules::{Known, Walk, Want};

/// Where a record lies by one period: contrary inside it, in order outside.
pub(super) fn told(lapse: &Lapse, when: &When) -> Told {
    let early = lapse.from.is_some_and(|from| surely_before(when, from.earliest));
    let late = lapse.to.is_some_and(|to| surely_after(when, to.latest));
    let begun = lapse.from.is_some_and(|from| surely_after(when, from.latest));
    let not_ended = lapse.to.is_some_and(|to| surely_before(when, to.earliest));
    match (early || late, begun && not_ended) {
        (true, _) => Told::InOrder,
        (_, true) => Told::Contrary,
        _ => Told::Open,
    }
}

/// The ends of the periods, for the hours that a margin may hold.
pub(super) fn ends(lapses: &[Lapse]) -> Vec<Hour> {
    lapses.iter().flat_map(|lapse| [lapse.from, lapse.to]).flatten().collect()
}

const LEFT_OUT: &str = "a time that the clocks of the place left out";

/// What a rule asks of every record by the periods of a kind.
pub(super) struct ByPeriod<'q> {
    pub(super) stated: &'q [Lapse],
    /// What a period is called, as `the interruption`.
    pub(super) called: &'q str,
    /// What it is about, in words.
    pub(super) what: &'q str,
    /// Who could state a missing end, and what to ask for.
    pub(super) ask: (&'static str, &'static str),
}

impl ByPeriod<'_> {
    /// Walks over records: those outside are in order. Gives, per period, the records surely within it.
    pub(super) fn walk(
        &self,
        known: &Known<'_>,
        walk: &mut Walk<'_>,
        steps: impl Iterator<Item = usize>,
    ) -> Vec<Vec<usize>> {
        let mut margins = Margins::by(self.ask.0);
        let mut within: Vec<Vec<usize>> = self.stated.iter().map(|_| Vec::new()).collect();
        let mut endless = within.clone();
        let put = |lists: &mut [Vec<usize>], at: usize, step| {
            lists.iter_mut().skip(at).take(1).for_each(|steps| steps.push(step));
        };
        for step in steps {
            let when = known.clock.bounds(step);
            let told = || self.stated.iter().map(|lapse| told(lapse, &when));
            if let Some(at) = told().position(|told| told == Told::Contrary) {
                put(&mut within, at, step);
            } else if told().all(|told| told == Told::InOrder) {
                walk.in_order(known.place(step));
            } else if let Some(at) = self.stated.iter().position(|lapse| lacks_an_end(known, lapse, step)) {
                put(&mut endless, at, step);
            } else {
                margins.add(step);
            }
        }
        margins.open(known, walk, &ends(self.stated), self.what);
        for (steps, lapse) in endless.iter().zip(self.stated).filter(|(steps, _)| !steps.is_empty()) {
            let want = self.endless(known, lapse, steps);
            for step in steps {
                walk.open(known.place(*step), &want);
            }
        }
        within
    }

    fn endless<'k>(&self, known: &'k Known<'_>, lapse: &Lapse, steps: &[usize]) -> Want {
        let (from, to) = written(known, lapse);
        let left_out = |hour: Option<Hour>, text: Option<&'k str>| text.filter(|_| hour.is_none());
        let lacks = match (left_out(lapse.from, from), left_out(lapse.to, to), from, to) {
            (None, None, Some(from), _) => {
                format!("the case file does not state when {} that began at {from} ended", self.called)
            }
            (None, None, None, Some(to)) => {
                format!("the case file does not state when {} that ended at {to} began", self.called)
            }
            (None, None, None, None) => {
                format!("the case file does not state when {} began and when it ended", self.called)
            }
            (Some(from), None, ..) => format!("{} is said to have begun at {from}, {LEFT_OUT}", self.called),
            (None, Some(to), ..) => format!("{} is said to have ended at {to}, {LEFT_OUT}", self.called),
            (Some(from), Some(to), ..) => {
                format!("{} is said to have lasted from {from} to {to}, both {LEFT_OUT}", self.called)
            }
        };
        let first = steps.first().copied().unwrap_or_default();
        Want::Other(
            format!("{lacks}; {} was made {}", first_of(known, steps), between(known, first)),
            self.ask.0,
            self.ask.1.to_owned(),
        )
    }
}

/// Whether a record is left open for nothing but that one end of a period is not stated.
fn lacks_an_end(known: &Known<'_>, lapse: &Lapse, step: usize) -> bool {
    let when = known.clock.bounds(step);
    (lapse.from.is_none() || lapse.to.is_none())
        && told(lapse, &when) == Told::Open
        && when != When::default()
        && held(known, step, &ends(std::slice::from_ref(lapse))).next().is_none()
}

/// A period in words, with who states it, and what is taken for how exactly its ends are written.
pub(super) fn premise(known: &Known<'_>, what: &str, lapse: &Lapse) -> Vec<String> {
    let minute = |text: &&str| text.len() <= 16;
    let (from, to) = written(known, lapse);
    let texts: Vec<&str> = [from, to].into_iter().flatten().collect();
    let exact = match texts.iter().filter(|text| minute(text)).count() {
        0 => "each end is within a second of the time written",
        all if all == texts.len() => "each end is within a minute of the time written",
        _ => {
            "an end written to the minute is within a minute of it, one written to the second within a second"
        }
    };
    let zones = texts.iter().filter_map(|text| zone_said(known.case, text.get(..10)?));
    let lasted = format!("{what} lasted {}, {}", span(known, lapse), said(&lapse.basis));
    [lasted, exact.to_owned()].into_iter().chain(zones).collect()
}

/// From when to when a period lasted, as the paper writes it.
pub(super) fn span(known: &Known<'_>, lapse: &Lapse) -> String {
    let (from, to) = written(known, lapse);
    let text = |end: Option<&str>| end.map_or_else(|| "a time not stated".to_owned(), str::to_owned);
    format!("from {} to {}", text(from), text(to))
}

/// Both ends of a period as the case file writes them.
fn written<'k>(known: &'k Known<'_>, lapse: &Lapse) -> (Option<&'k str>, Option<&'k str>) {
    let stated = known.case.interruptions.stated.iter().chain(&known.case.storage.stated);
    let period: Option<&Period> =
        stated.filter(|stated| stated.basis == lapse.basis).map(|stated| &stated.value).next();
    period.map_or((None, None), |period| (period.from.as_deref(), period.to.as_deref()))
}

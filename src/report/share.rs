//! The share of the stated hours of a poll for which the log can speak, in true time.
//!
//! The log can speak for a time between two of its records if nothing is missing between them: what was recorded then stands
//! in it. Every record has an earliest and a latest instant, so that the share lies between two ends.

use crate::case::Case;
use crate::clock::Instant;
use crate::clock::hours::{Day, days};
use crate::examination::Examination;
use crate::replay::{Cause, Ending, Step};
use crate::source::Shown;

/// What a statement about the share is about.
pub(super) const ABOUT: &str = "hours of the poll";

const SECOND: i128 = 1_000_000_000;

/// The share of the hours of one day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Share {
    /// The day, where the case file states one.
    pub(super) date: Option<Shown>,
    /// How much of its hours; or why that cannot be told.
    pub(super) told: Result<Spoken, &'static str>,
}

/// For how much of the hours the log can speak, in nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spoken {
    /// The hours in all.
    pub(super) hours: i128,
    /// At least so much of them.
    pub(super) least: i128,
    /// At most so much.
    pub(super) most: i128,
}

/// A stretch of true time; an end that nothing bounds is absent.
type Stretch = (Option<Instant>, Option<Instant>);

/// A run of records with nothing missing between them: where it lies at least, and where at most.
#[derive(Debug, Clone, Copy)]
struct Run {
    surely: Option<Stretch>,
    at_most: Stretch,
}

/// The share for each day of a poll; one entry without a day where the case file states none.
pub(super) fn shares(examination: &Examination<'_>) -> Vec<Share> {
    let versions = examination.case.versions().versions;
    let first = versions.first().map_or(examination.case, |version| &version.case);
    let days = days(first);
    let differ = versions.iter().any(|version| hours_of(&version.case) != hours_of(first));
    if days.is_empty() {
        return vec![Share {
            date: None,
            told: Err("no paper that was read states a day of a poll with its hours"),
        }];
    }
    let share = |day: &Day| {
        let told = match () {
            () if differ => Err("versions of the contested facts state other hours"),
            () => of_day(examination, day),
        };
        Share { date: Some(Shown::inert(&day.date)), told }
    };
    days.iter().map(share).collect()
}

/// The stated hours, to be compared between versions.
fn hours_of(case: &Case) -> Vec<(String, Vec<Stretch>)> {
    let parts = |day: &Day| {
        let part = day.parts.iter();
        part.map(|part| (part.opens.map(|hour| hour.earliest), part.closes.map(|hour| hour.latest))).collect()
    };
    days(case).iter().map(|day| (day.date.clone(), parts(day))).collect()
}

fn of_day(examination: &Examination<'_>, day: &Day) -> Result<Spoken, &'static str> {
    let mut hours: Vec<(Instant, Instant)> = Vec::new();
    for part in &day.parts {
        let (Some(opens), Some(closes)) = (part.opens, part.closes) else {
            return Err("the case file does not state both hours");
        };
        if opens.earliest != opens.latest || closes.earliest != closes.latest {
            return Err("an hour is not one instant: its zone is not known, or the clocks showed it twice");
        }
        hours.push((opens.earliest, closes.earliest));
    }
    let clock = &examination.clock;
    if clock.readings().is_empty() {
        return Err(
            "no reading of the unit's clock beside another clock is stated, so that displayed times are not times of the \
             place",
        );
    }
    if !clock.is_bound() {
        return Err("no reading of the unit's clock binds the time of a record");
    }
    if !examination.clock_is_one {
        return Err("versions of the contested facts bind the unit's clock otherwise");
    }
    let hours = merged(hours);
    let bounds = Bounds::of(examination);
    if bounds.own.iter().all(|(from, to)| from.is_none() && to.is_none()) {
        return Err(
            "no reading of the unit's clock binds the time of a record, for readings contradict each other",
        );
    }
    let runs = runs(examination, &bounds);
    let within = |stretches: &[Stretch]| covered(&hours, stretches);
    let surely: Vec<Stretch> = runs.iter().filter_map(|run| run.surely).collect();
    let at_most: Vec<Stretch> = runs.iter().map(|run| run.at_most).collect();
    Ok(Spoken {
        hours: length(&hours),
        // Where numbers do not tell, records may be missing anywhere, and no time is surely spoken for.
        least: if is_numbered(examination) { within(&surely) } else { 0 },
        most: within(&at_most),
    })
}

/// Whether a missing record would be seen by the numbers.
fn is_numbered(examination: &Examination<'_>) -> bool {
    examination.unit.number_step.is_some()
        && examination.log.records().iter().all(|record| record.number.is_some())
}

/// The runs of records, in the order of replay.
fn runs(examination: &Examination<'_>, bounds: &Bounds) -> Vec<Run> {
    let steps = &examination.replay.steps;
    let is_gap = |step: &Step| matches!(step, Step::Gap(gap) if gap.most != Some(0));
    let mut runs = Vec::new();
    let mut begin = 0;
    for at in 0..=steps.len() {
        if at < steps.len() && !steps.get(at).is_some_and(is_gap) {
            continue;
        }
        let records: Vec<usize> =
            (begin..at).filter(|step| examination.replay.record(*step).is_some()).collect();
        let is_last = at == steps.len();
        runs.extend(run(examination, bounds, &records, (begin == 0, is_last)));
        begin = at + 1;
    }
    runs
}

/// What the clock says of each step.
struct Bounds {
    /// Not before, not after.
    own: Vec<Stretch>,
    /// Not before, as the records up to it have it.
    from: Vec<Option<Instant>>,
    /// Not after, as the records from it on have it.
    to: Vec<Option<Instant>>,
}

impl Bounds {
    fn of(examination: &Examination<'_>) -> Bounds {
        let own: Vec<Stretch> = (0..examination.replay.steps.len())
            .map(|step| {
                let when = examination.clock.bounds(step);
                (when.earliest.map(|bound| bound.at), when.latest.map(|bound| bound.at))
            })
            .collect();
        // Where numbers go back, what stands later need not be later.
        let goes_back = |step: usize| {
            let entry = examination.replay.steps.get(step);
            matches!(entry, Some(Step::Gap(gap)) if gap.cause == Cause::NumbersGoBack)
        };
        let carry = |last: &mut Option<Instant>, (step, own): (usize, Option<Instant>)| {
            *last = if goes_back(step) { None } else { own.or(*last) };
            Some(*last)
        };
        let from = own.iter().map(|(from, _)| *from).enumerate().scan(None, carry).collect();
        let mut to: Vec<Option<Instant>> =
            own.iter().map(|(_, to)| *to).enumerate().rev().scan(None, carry).collect();
        to.reverse();
        Bounds { own, from, to }
    }
}

fn run(
    examination: &Examination<'_>,
    bounds: &Bounds,
    records: &[usize],
    (is_first, is_last): (bool, bool),
) -> Option<Run> {
    let (first, last) = (*records.first()?, *records.last()?);
    let own = |step: &usize| bounds.own.get(*step).copied().unwrap_or_default();
    // A stated end reaches as far as one likes. An export says what came before it and nothing of what came after.
    let from_ever = is_first && examination.replay.front.is_closed();
    let for_good = is_last && examination.replay.back == Ending::Stated;
    let from = if from_ever { None } else { Some(records.iter().find_map(|step| own(step).1)) };
    let to = if for_good { None } else { Some(records.iter().rev().find_map(|step| own(step).0)) };
    let surely = match (from, to) {
        // No record of the run is bound on that side, so that nothing is sure.
        (Some(None), _) | (_, Some(None)) => None,
        (from, to) => Some((from.flatten(), to.flatten())),
    };
    let at_most = (
        if from_ever { None } else { bounds.from.get(first).copied().flatten() },
        if for_good { None } else { bounds.to.get(last).copied().flatten() },
    );
    Some(Run { surely, at_most })
}

/// How much of the hours lies in one of the stretches.
fn covered(hours: &[(Instant, Instant)], stretches: &[Stretch]) -> i128 {
    let within = hours.iter().flat_map(|(opens, closes)| {
        stretches.iter().map(|(from, to)| {
            let from = from.map_or(*opens, |from| from.max(*opens));
            (from, to.map_or(*closes, |to| to.min(*closes)))
        })
    });
    length(&merged(within.filter(|(from, to)| from < to).collect()))
}

/// Stretches without what they have in common.
fn merged(mut stretches: Vec<(Instant, Instant)>) -> Vec<(Instant, Instant)> {
    stretches.sort_unstable();
    let mut merged: Vec<(Instant, Instant)> = Vec::new();
    for (from, to) in stretches {
        match merged.last_mut() {
            Some((_, end)) if from <= *end => *end = (*end).max(to),
            _ => merged.push((from, to)),
        }
    }
    merged
}

fn length(stretches: &[(Instant, Instant)]) -> i128 {
    stretches.iter().map(|(from, to)| (*to - *from).ns().max(0)).sum()
}

impl Spoken {
    /// The ends in whole seconds, the lower one rounded down and the upper one up.
    pub(super) fn seconds(&self) -> (i128, i128) {
        (self.least.div_euclid(SECOND), (self.most + SECOND - 1).div_euclid(SECOND))
    }

    /// The ends in percent of the hours, rounded likewise.
    pub(super) fn percent(&self) -> (i128, i128) {
        let hours = self.hours.max(1);
        ((self.least * 100).div_euclid(hours), (self.most * 100 + hours - 1).div_euclid(hours))
    }
}

/// The statement on each day.
pub(super) fn in_words(examination: &Examination<'_>) -> Vec<String> {
    shares(examination).iter().map(|share| sentence(examination, share)).collect()
}

fn sentence(examination: &Examination<'_>, share: &Share) -> String {
    let of_day = share.date.as_ref().map_or_else(String::new, |date| format!(" of {date}"));
    let spoken = match share.told {
        Err(why) => {
            return format!("For what share of the hours{of_day} the log can speak cannot be told: {why}.");
        }
        Ok(spoken) => spoken,
    };
    let words = |seconds: i128| crate::clock::length(seconds * SECOND);
    let ((least, most), (low, high)) = (spoken.seconds(), spoken.percent());
    let all = words(spoken.hours.div_euclid(SECOND));
    let share = match (least, most) {
        (_, 0) => "none of them".to_owned(),
        (least, most) if least == most && spoken.least == spoken.hours => "all of them".to_owned(),
        (0, most) => format!("at most {}, {high} percent", words(most)),
        (least, most) => format!("{} to {}, {low} to {high} percent", words(least), words(most)),
    };
    let room = if spoken.least == spoken.most {
        ""
    } else if is_numbered(examination) {
        " The two ends lie apart because the clock leaves room."
    } else {
        " No least can be told, for without record numbers nothing shows whether records are missing."
    };
    format!(
        "Of the stated hours{of_day}, {all} of true time, the log can speak for {share}.{room} It can speak for a time if its \
         records before and after leave nothing out between them; what was recorded then stands in it."
    )
}

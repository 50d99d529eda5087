//! Occasions that stay open because the clock does not tell: how wide it leaves them, and which note would decide.

use super::rivals::{readings_named, told_by_each};
use super::{
    PRESIDING, REGISTRAR, between, clock_face, day_and_face, held, is_unbounded, surely_from, surely_until,
};
use crate::case::SettingOf;
use crate::clock::hours::{Hour, civil, date_of};
use crate::clock::{Instant, LeastError, Placement, SECOND, Settling, length};
use crate::rules::want::{READINGS, export_asked};
use crate::rules::{Known, Walk, Want};

/// An hour that may be any instant of so long a stretch has no zone: +14:00 and -12:00 are 26 hours apart.
const NO_ZONE: i128 = 12 * 3600 * SECOND;

const DAY_MS: i64 = 86_400_000;

/// Whoever can read the unit's clock today.
const HOLDER: &str = "whoever holds the unit now";

/// Whoever could read it on a day of no poll.
const HELD_THEN: &str = "whoever held the unit then";

/// The occasions of a rule that stay open because the clock does not tell, gathered so that one sentence speaks of all.
#[derive(Debug)]
pub(super) struct Margins {
    steps: Vec<usize>,
    /// Who keeps the paper that states the hours.
    keeper: &'static str,
}

impl Default for Margins {
    fn default() -> Margins {
        Margins::by(REGISTRAR)
    }
}

impl Margins {
    pub(super) fn by(keeper: &'static str) -> Margins {
        Margins { steps: Vec::new(), keeper }
    }

    pub(super) fn add(&mut self, step: usize) {
        self.steps.push(step);
    }

    /// Opens them. `hours` are the hours between which and the bounds the question lies.
    pub(super) fn open(self, known: &Known<'_>, walk: &mut Walk<'_>, hours: &[Hour], what: &str) {
        let zoned = |hour: &Hour| (hour.latest - hour.earliest).ns() < NO_ZONE;
        if !hours.is_empty() && !hours.iter().any(zoned) {
            return open_all(known, walk, &self.steps, || no_zone(what));
        }
        let (untied, tied): (Vec<usize>, Vec<usize>) =
            self.steps.into_iter().partition(|step| is_unbounded(known, *step));
        let (beside, aside): (Vec<usize>, Vec<usize>) =
            tied.into_iter().partition(|step| held(known, *step, hours).next().is_some());
        open_all(known, walk, &beside, || margin(known, (&beside, hours), what, self.keeper));
        open_all(known, walk, &aside, || no_hour(known, &aside, what));
        open_all(known, walk, &untied, || unbounded(known, &untied, hours, what));
    }
}

fn open_all(known: &Known<'_>, walk: &mut Walk<'_>, steps: &[usize], want: impl FnOnce() -> Want) {
    if steps.is_empty() {
        return;
    }
    let want = want();
    for step in steps {
        walk.open(known.place(*step), &want);
    }
}

fn no_zone(what: &str) -> Want {
    Want::Other(
        format!("the case file does not state in which zone its hours are, so that {what} cannot be set against each other"),
        REGISTRAR,
        "the zone of the hours of the poll, as an offset from UTC or a name of the IANA time zone database (case file: [[poll]], \
         zone)"
            .to_owned(),
    )
}

/// The name of the first of some records, for a sentence on all of them.
pub(super) fn first_of(known: &Known<'_>, steps: &[usize]) -> String {
    let name = steps.first().map_or_else(String::new, |first| known.name(*first));
    match steps.len() {
        0 | 1 => name,
        number => format!("{name}, the first of {number},"),
    }
}

/// Nothing ties the unit's clock to true time. The least error of the clock that would change the answer is said, and
/// nothing more: displayed times are not compared with hours.
fn unbounded(known: &Known<'_>, steps: &[usize], hours: &[Hour], what: &str) -> Want {
    let doubted = readings_named(known);
    if !doubted.is_empty() {
        return Want::Other(
            format!(
                "{doubted}, so that nothing ties the unit's clock to true time for {what}{}",
                told_by_each(known, steps)
            ),
            PRESIDING,
            "which of the readings that contradict each other is right: the originals of their papers, who read what and beside \
             which clock; or a note of what the unit displayed at another moment between the same settings of its clock (case \
             file: [[reading]])"
                .to_owned(),
        );
    }
    let pairs = steps.iter().flat_map(|step| hours.iter().map(move |hour| (*step, hour)));
    let nearest = pairs
        .filter_map(|(step, hour)| Some((known.clock.least_error(step, hour)?, step, hour)))
        .min_by_key(|(least, ..)| least.by);
    let mut least = String::new();
    if let Some((LeastError { by, .. }, step, hour)) = nearest
        && let Some(time) = known.record(step).and_then(|record| record.time)
    {
        least = format!(
            ", and what it displayed does not tell on which side of {} they lie: an error of that clock of little more than \
             {} would put the one displayed at {time} on the other side",
            day_and_face(hour.civil),
            length(by.ns()),
        );
    }
    let which = "two readings of the unit's clock, best one before and one after the hours in question";
    let mut asks =
        vec![(PRESIDING, READINGS.to_owned()), (PRESIDING, which.to_owned()), (HOLDER, made_now(known))];
    asks.extend(export_asked(known));
    asks.extend(nearest_note(known, steps, hours));
    Want::Several(format!("{} ties the unit's clock to true time for {what}{least}", nothing(known)), asks)
}

/// Nothing, or no reading among those that the case file states, with why the first of them says nothing here.
fn nothing(known: &Known<'_>) -> String {
    let readings = known.clock.readings();
    let Some(first) = readings.first() else { return "nothing".to_owned() };
    let unused = readings.iter().find_map(|reading| match reading.placement {
        Placement::Nowhere(why) => Some((reading.line, why)),
        _ => None,
    });
    match unused {
        Some((line, why)) => {
            format!("no reading that the case file states (that on line {line} cannot be used: {why})")
        }
        None if known.clock.rate().is_none() => {
            "no reading, without a bound on the rate of the clock,".to_owned()
        }
        None => format!("no reading that the case file states (the first is on line {})", first.line),
    }
}

/// The note that would decide for the record nearest to an hour.
fn nearest_note(known: &Known<'_>, steps: &[usize], hours: &[Hour]) -> Option<(&'static str, String)> {
    let pairs = steps.iter().flat_map(|step| hours.iter().map(move |hour| (*step, hour)));
    let (_, step, hour) = pairs
        .filter_map(|(step, hour)| Some((known.clock.least_error(step, hour)?.by, step, hour)))
        .min_by_key(|(by, ..)| *by)?;
    let settling = known.clock.settling(step, hour)?;
    // Where the display shows another day than that of the hour, a note made then would be looked for in vain.
    let is_of_the_day = settling.near.ms().div_euclid(DAY_MS) == hour.civil.div_euclid(DAY_MS);
    is_of_the_day.then(|| note(known, &settling, (step, hour)))
}

/// The clock is tied, and the bounds of some records hold an hour.
fn margin(known: &Known<'_>, (steps, hours): (&[usize], &[Hour]), what: &str, keeper: &'static str) -> Want {
    let first = steps.first().copied().unwrap_or_default();
    let hour = held(known, first, hours).next().map_or_else(String::new, |hour| {
        let face = clock_face(hour.civil);
        if hour.latest == hour.earliest {
            format!(", and {face} lies in it")
        } else {
            let (from, to) = (civil(known.case, hour.earliest), civil(known.case, hour.latest));
            format!(", and {face} as the paper states it may be any time from {from} to {to}")
        }
    });
    let doubted = readings_named(known);
    let doubted = if doubted.is_empty() { doubted } else { format!("; {doubted}") };
    let is_within = |step: &usize| held(known, *step, hours).any(|hour| within(known, *step, hour));
    let too_wide = if steps.iter().all(is_within) {
        format!("what the paper states is not exact enough for {what}")
    } else {
        format!("the bounds of true time are too wide for {what}")
    };
    Want::Several(
        format!("{too_wide}: {} was made {}{hour}{doubted}", first_of(known, steps), between(known, first)),
        asked(known, steps, hours, keeper),
    )
}

/// Whether a record lies within what the paper leaves open of an hour, so that nothing that is learnt of the record decides.
fn within(known: &Known<'_>, step: usize, hour: &Hour) -> bool {
    let when = known.clock.bounds(step);
    hour.latest != hour.earliest && surely_from(&when, hour.earliest) && surely_until(&when, hour.latest)
}

/// The clock is tied, no hour lies within the bounds, and yet what is stated does not tell.
fn no_hour(known: &Known<'_>, steps: &[usize], what: &str) -> Want {
    let first = steps.first().copied().unwrap_or_default();
    Want::Other(
        format!(
            "what the case file states does not tell for {what}: {} was made {}, and none of the hours that it states for that lies in that time",
            first_of(known, steps),
            between(known, first),
        ),
        REGISTRAR,
        "every hour that was set for that day (case file: [[poll]])".to_owned(),
    )
}

/// The one note that would decide, for the record that asks most of it; and what could serve besides.
fn asked(
    known: &Known<'_>,
    steps: &[usize],
    hours: &[Hour],
    keeper: &'static str,
) -> Vec<(&'static str, String)> {
    let pairs = || steps.iter().flat_map(|step| held(known, *step, hours).map(move |hour| (*step, hour)));
    let of_paper = pairs().find(|(step, hour)| within(known, *step, hour)).map(|(_, hour)| {
        let at = day_and_face(hour.civil);
        (keeper, format!("when exactly the time was that the paper gives as {at}, and how that is known"))
    });
    let sharpest = pairs()
        .filter(|(step, hour)| !within(known, *step, hour))
        .filter_map(|(step, hour)| Some((known.clock.settling(step, hour)?, step, hour)))
        .min_by_key(|(settling, ..)| settling.within);
    let of_clock = match (sharpest, pairs().find(|(step, hour)| !within(known, *step, hour))) {
        (Some((settling, step, hour)), _) => vec![
            note(known, &settling, (step, hour)),
            (PRESIDING, "a better account of the readings that are stated".to_owned()),
            (HOLDER, made_now(known)),
        ],
        (None, Some((step, hour))) => vec![(
            had_it(known, hour.civil),
            format!(
                "a paper that times {} itself beside a reference clock (case file: [[reading]], record = n): the steps of the \
                 display and the bounds leave so little room about {} that no note of the display is sure to decide",
                known.name(step),
                day_and_face(hour.civil),
            ),
        )],
        (None, None) if of_paper.is_some() => Vec::new(),
        (None, None) => vec![(
            HELD_THEN,
            "a note of what the unit displayed near the times in question, beside a reference clock (case file: [[reading]])"
                .to_owned(),
        )],
    };
    of_paper.into_iter().chain(of_clock).collect()
}

/// Who had the unit on the day of a civil moment: on a day of a poll the presiding officer.
fn had_it(known: &Known<'_>, civil_ms: i64) -> &'static str {
    let on = date_of(civil_ms);
    let mut days = known.case.polls.iter().filter_map(|row| row.value.date.as_deref());
    if days.any(|day| Some(day) == on.as_deref()) { PRESIDING } else { HELD_THEN }
}

/// A note that would decide, of whom it is asked, and where it may fail to.
fn note(known: &Known<'_>, settling: &Settling, (step, hour): (usize, &Hour)) -> (&'static str, String) {
    // What the paper leaves open about the hour is no margin about one instant.
    let unless = if hour.latest == hour.earliest {
        format!("within {} of it", length(whole(settling.reach).ns()))
    } else {
        let (from, to) = settling.undecided;
        let (from, to) = (from.second_before(), to.second_after());
        format!("between {} and {}", civil(known.case, from), civil(known.case, to))
    };
    // Without a bound on the rate a reading binds no record to true time from both sides.
    let and_rate = if known.clock.rate().is_some() {
        String::new()
    } else {
        format!(
            ", together with a bound on the rate of the clock ([[setting]], {} = n)",
            SettingOf::DriftPpm.word()
        )
    };
    let note = format!(
        "a note, made then, of what the unit displayed about {} beside a reference clock, right to {} or better (case file: \
         [[reading]]){and_rate}: it tells on which side of {} {} lies, unless the true time of that record lies {unless}",
        settling.near,
        length(settling.within.ns()),
        day_and_face(hour.civil),
        known.name(step),
    );
    (had_it(known, settling.near.ms()), note)
}

/// A length, upwards in whole seconds, or in whole minutes from five minutes on.
fn whole(reach: Instant) -> Instant {
    let step = if reach.ns() < 300 * SECOND { SECOND } else { 60 * SECOND };
    Instant::of_ns((reach.ns() + step - 1).div_euclid(step) * step)
}

/// What a reading made later can still do.
fn made_now(known: &Known<'_>) -> String {
    match known.clock.rate() {
        Some(rate) => format!(
            "a reading made now serves only if the clock was neither set nor reset since then, and every day between \
             leaves {} more open either way ({} parts per million)",
            length(86_400 * SECOND * i128::from(rate.ppm) / 1_000_000),
            rate.ppm
        ),
        None => format!(
            "without a bound on the rate of the clock (case file: [[setting]], {} = n) a reading binds only the order of the \
             records",
            SettingOf::DriftPpm.word()
        ),
    }
}

//! Two readings between which the clock ran faster or slower than a published limit, or a tighter one that is set.

use std::collections::BTreeMap;

use super::{MISREAD, PRESIDING, place};
use crate::case::{SettingOf, Stated};
use crate::clock::{Instant, Premise, Reading, Run, SECOND, length, outwards};
use crate::finding::{Kind, Place, Weight};
use crate::rules::phases::said;
use crate::rules::want::export_asked;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "clock-rate",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Remark,
    title: "Between two readings the clock ran faster or slower than a published limit.",
    asks: "Between any two readings the clock gains or loses no more than one minute in 15 hours, or what the case file sets.",
    basis: &[Basis::Comparable(
        "VVSG 1.1, volume 1, 2.1.5.1 D, item vi: drift limited to one minute within 15 hours after the clock is set",
    )],
    why: "The published limit is one minute in 15 hours, which is 1,111 millionths (VVSG 1.1, volume 1, 2.1.5.1 D, as NIST \
          SP 1500-101, 2.1, quotes it). It speaks only of the 15 hours after a setting, and its text says a minimum of one \
          minute where a maximum is evidently meant. A sound clock stays far within it: crystals for clocks are commonly \
          sold to within 10 or 20 millionths (Nisshinbo Micro Devices, questions and answers on real-time clocks, 099). To hold it against other lengths of time is this \
          project's own extrapolation. It does not bind here, so that a finding is a remark.",
    ordinary: &[
        Ordinary::new(
            "The battery was weak, or the unit very cold or hot.",
            "battery papers, and a measurement of this unit's clock over some days",
        ),
        Ordinary::new(
            "The clock was set between the two readings, and this model keeps no record of it.",
            "the diary, and the maker's description",
        ),
        MISREAD,
    ],
    look_next: &["A measurement of the unit's clock over some days, beside a reference clock."],
    needs: &[Needs::Readings],
    scope: Scope::Text,
    occasions: "pairs of readings with no step of the clock between",
    examples: &[
        Example {
            title: "More than a minute lost in fifteen hours.",
            log: "1201 2031-05-10 04:50:07 power-on\n\
                  1202 2031-05-10 19:50:04 total\n\
                  ^ clock-rate\n\
                  1203 2031-05-10 20:10:00 power-off\n",
            case: super::examples::MINUTE_LOST,
        },
        Example {
            title: "Near miss: less than a minute in fifteen hours.",
            log: "1201 2031-05-10 04:50:07 power-on\n\
                  1202 2031-05-10 19:50:04 total\n\
                  1203 2031-05-10 20:10:00 power-off\n",
            case: super::examples::MINUTE_KEPT,
        },
    ],
    walk,
};

/// A limit: so much in so long, both in one unit.
type Limit = (i128, i128);

/// One minute in 15 hours, in seconds.
const PUBLISHED: Limit = (60, 15 * 3600);

/// The limit that holds: the case file's, else the published one.
fn limit(set: Option<&Stated<(SettingOf, u64)>>) -> Limit {
    set.map_or(PUBLISHED, |stated| (i128::from(stated.value.1), 1_000_000))
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let set = known.case.settings.number(SettingOf::RateTolerancePpm);
    let (part, of) = limit(set);
    // Per segment of the clock the places of its readings, in the order of true time.
    let mut segments: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for at in 0..known.clock.readings().len() {
        if let Some(segment) = known.clock.segment_of(at) {
            segments.entry(segment).or_default().push(at);
        }
    }
    let mut pairs = 0;
    let (conflict, wider) = (conflict(), wider(known, (part, of)));
    for readings in segments.values_mut() {
        readings.sort_by_key(|at| known.clock.readings().get(*at).map(|one| (one.earliest, one.latest)));
        // Every pair whose rate is off is one and the same clock's: the first is told, the rest counted.
        let mut off: Option<(Run, usize)> = None;
        for (at, one) in readings.iter().enumerate() {
            for other in readings.iter().skip(at + 1) {
                let Some(run) = known.clock.run_between(*one, *other) else { continue };
                pairs += 1;
                let place = reading(known, *other).map_or(Place::Log, |reading| place(known, reading));
                if known.clock.is_doubted(*one) || known.clock.is_doubted(*other) {
                    walk.open(place, &conflict);
                } else if run.surely_beyond(part, of) {
                    off = Some(off.map_or((run, 0), |(first, more)| (first, more + 1)));
                } else if run.surely_within(part, of) {
                    walk.in_order(place);
                } else {
                    walk.open(place, &wider);
                }
            }
        }
        if let Some((run, more)) = off
            && let (Some(one), Some(other)) = (reading(known, run.readings.0), reading(known, run.readings.1))
        {
            walk.contrary(place(known, other), finding(known, one, other, run, more));
        }
    }
    if pairs == 0 {
        walk.unseen(wider);
    }
}

fn reading<'k>(known: &'k Known<'_>, at: usize) -> Option<&'k Reading> {
    known.clock.readings().get(at)
}

fn conflict() -> Want {
    Want::Other(
        "readings contradict each other, so that they tell no rate".to_owned(),
        PRESIDING,
        "the originals of the papers on which the readings stand, and a reading of the unit's clock made again".to_owned(),
    )
}

fn wider(known: &Known<'_>, (part, of): (i128, i128)) -> Want {
    let a_day = length(86_400 * SECOND * part / of);
    let readings = format!(
        "two readings of the unit's clock without a setting of it between them, so far apart that their margins are small beside \
         what the limit allows in that time: {a_day} in a day (case file: [[reading]])"
    );
    Want::Several(
        "no two readings of the clock without a step between them tell its rate well enough".to_owned(),
        [(PRESIDING, readings)].into_iter().chain(export_asked(known)).collect(),
    )
}

fn finding(known: &Known<'_>, one: &Reading, other: &Reading, run: Run, more: usize) -> Contrary {
    let Run { unit, truly, .. } = run;
    let gained = unit.least > truly.most;
    // How far at least and at most, and the length of time to which the limit is held.
    let (least, most, over) = if gained {
        (unit.least - truly.most, unit.most - truly.least, truly.most)
    } else {
        (truly.least - unit.most, truly.most - unit.least, truly.least)
    };
    let set = known.case.settings.number(SettingOf::RateTolerancePpm);
    let (part, of) = limit(set);
    let (least, most) = outwards(least, most, Instant::of_ns(part * over.ns() / of));
    let between = outwards(truly.least, truly.most, Instant::default());
    let expected = match set {
        Some(stated) => format!("The clock gains or loses no more than {} millionths.", stated.value.1),
        None => "The clock gains or loses no more than one minute in 15 hours, in proportion.".to_owned(),
    };
    let verb = if gained { "gained" } else { "lost" };
    let others = match more {
        0 => String::new(),
        1 => " One more pair of readings without a step between them is beyond the limit.".to_owned(),
        _ => format!(" {more} more pairs of readings without a step between them are beyond the limit."),
    };
    Contrary {
        others: vec![place(known, one)],
        expected,
        shows: format!(
            "From the reading on line {} of the case file to that on line {} the clock {verb} {least} to {most}. The time \
             between them was {} to {}.{others}",
            one.line, other.line, between.0, between.1
        ),
        measured: Some(format!("{verb} {least} to {most}")),
        assumptions: Premise::told(&known.clock.run_rests_on(&run))
            .into_iter()
            .chain(set.map(|stated| format!("this limit holds, {}", said(&stated.basis))))
            .collect(),
    }
}

//! Votes that follow each other in less than the documented least time, one by one or over a run of votes.

use super::{MAKER, READINGS, SECOND_EXPORT, SPECIMEN, name, place};
use crate::case::SettingOf;
use crate::counts::{Outcome, Term, counted, figures};
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::pace::{Timeline, duration};
use crate::rules::counts;
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

/// Bound on the clock's rate where nobody states one, in parts per million: a little more than one minute in 15 hours.
const ASSUMED_PPM: u64 = 1112;

const CASE: &str = "[[setting]]\nseconds-per-vote = 12\nsource = \"Maker's manual, page 9\"\nby = \"Maker\"\n\n\
                    [[setting]]\ndrift-ppm = 100\nsource = \"Maker's manual, page 14\"\nby = \"Maker\"\n";

pub(crate) static RULE: Rule = Rule {
    id: "vote-too-soon",
    family: Family::Pace,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "Votes follow each other in less than the documented least time.",
    asks: "From one vote to the next at least the documented least time passes, also over a run of votes.",
    basis: &[
        Basis::Unit(
            "least time of one vote (least-ms-per-vote), or the least time that the case file states",
        ),
        Basis::Practice("a unit takes one vote at a time and needs a time for each that the maker can state"),
    ],
    why: "A least time is a limit of the machine, not a matter of chance. Between two displayed times d apart less than d \
          and one step of the clock has passed; the rule speaks only where even that is too short, the error of the \
          clock's rate included. Over a run of votes the step counts once. No test of chance is used for fast votes: \
          the usual ones call clean days unusual. At a level of 0.001 the scan test did so on up to 97.5% of days, and \
          the fastest ten votes against the rate around them on up to 92%. These shares were measured for this \
          project's generator of clean days.",
    ordinary: &[
        Ordinary::new(
            "The documented least time does not hold for this model, its software or its way of use.",
            "the maker's description, and a trial on a unit of the same model and software",
        ),
        Ordinary::new(
            "The clock was set back between the votes, and this model keeps no record of it.",
            "readings of the clock on both sides, and the maker's description of the clock",
        ),
        Ordinary::new(
            "The records bear the time at which they were written, and they were written later than the votes.",
            "the maker's description of when a vote is recorded",
        ),
    ],
    look_next: &[SPECIMEN, READINGS, SECOND_EXPORT],
    needs: &[Needs::Times, Needs::LeastTime],
    scope: Scope::Events,
    occasions: "pairs of votes in succession",
    examples: &[
        Example {
            title: "Two votes seven seconds apart, where twelve are documented.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:34 enable\n\
                  1204 2031-05-10 07:00:38 vote\n\
                  ^ vote-too-soon\n\
                  1205 2031-05-10 07:01:04 enable\n\
                  1206 2031-05-10 07:01:31 vote\n",
            case: CASE,
        },
        Example {
            title: "Each interval of eleven seconds may be twelve by the step of the display; two in a row cannot.",
            log: "1201 2031-05-10 17:40:03 enable\n\
                  1202 2031-05-10 17:40:11 vote\n\
                  1203 2031-05-10 17:40:14 enable\n\
                  1204 2031-05-10 17:40:23 vote\n\
                  1205 2031-05-10 17:40:26 enable\n\
                  1206 2031-05-10 17:40:34 vote\n\
                  1207 2031-05-10 17:40:37 enable\n\
                  1208 2031-05-10 17:40:45 vote\n\
                  ^ vote-too-soon\n\
                  1209 2031-05-10 17:40:48 enable\n\
                  1210 2031-05-10 17:40:57 vote\n",
            case: CASE,
        },
        Example {
            title: "Near miss: a queue before the close, with a vote every fourteen seconds.",
            log: "1201 2031-05-10 17:40:03 enable\n\
                  1202 2031-05-10 17:40:11 vote\n\
                  1203 2031-05-10 17:40:18 enable\n\
                  1204 2031-05-10 17:40:25 vote\n\
                  1205 2031-05-10 17:40:31 enable\n\
                  1206 2031-05-10 17:40:39 vote\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the clock was set between two votes. This stays open.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:00:32 clock-set before=2031-05-10T07:01:32 after=2031-05-10T07:00:32\n\
                  1204 2031-05-10 07:00:34 enable\n\
                  1205 2031-05-10 07:00:38 vote\n",
            case: CASE,
        },
        Example {
            title: "Near miss: a clock of ten-second steps shows ten seconds, which may be nearly twenty.",
            log: "1201 2031-05-10 07:00:00 enable\n\
                  1202 2031-05-10 07:00:30 vote\n\
                  1203 2031-05-10 07:00:30 enable\n\
                  1204 2031-05-10 07:00:40 vote\n",
            case: CASE,
        },
    ],
    walk,
};

/// The least time and the error of the clock's rate, with who says so.
struct Least {
    ms: u64,
    ppm: u64,
    assumptions: Vec<String>,
}

impl Least {
    fn of(known: &Known<'_>) -> Option<Least> {
        let settings = &known.case.settings;
        let (ms, why) = match (settings.number(SettingOf::SecondsPerVote), known.unit.least_ms_per_vote) {
            (Some(stated), _) => (stated.value.1.saturating_mul(1000), said(&stated.basis)),
            (None, Some(ms)) => (ms, "as the unit description says".to_owned()),
            (None, None) => return None,
        };
        let (ppm, rate) = match (settings.number(SettingOf::DriftPpm), &known.unit.clock_ppm) {
            (Some(stated), _) => (stated.value.1, said(&stated.basis)),
            (None, Some((ppm, _))) => (u64::from(*ppm), "as the unit description says".to_owned()),
            (None, None) => (ASSUMED_PPM, "which nobody states: it is assumed here".to_owned()),
        };
        let assumptions = vec![
            format!("at least {} pass from one vote to the next, {why}", duration(signed(ms))),
            format!(
                "the rate of the unit's clock is off by at most {}, {rate}",
                counted(ppm, "part per million", "parts per million")
            ),
            "the clock was neither set nor reset between these votes".to_owned(),
        ];
        Some(Least { ms, ppm: ppm.min(1_000_000), assumptions })
    }

    /// A displayed length in millionths of a millisecond, as the numbers here count.
    fn parts(ms: i64) -> i128 {
        i128::from(ms) * 1_000_000
    }

    /// What a clock that runs slow shows at least for that many intervals.
    fn least_shown(&self, intervals: usize) -> i128 {
        intervals as i128 * i128::from(self.ms) * i128::from(1_000_000 - self.ppm)
    }

    /// What a clock that runs fast shows at most for one least time.
    fn most_shown(&self) -> i128 {
        i128::from(self.ms) * i128::from(1_000_000 + self.ppm)
    }
}

/// A vote with its place on the timeline.
#[derive(Clone, Copy)]
struct Vote {
    at: usize,
    ms: i64,
    section: usize,
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let Some(least) = Least::of(known) else { return };
    before_the_first(known, walk);
    let timeline = known.timeline();
    let votes: Vec<(usize, Option<Vote>)> = timeline
        .places_of(Event::Vote)
        .filter(|(_, tick)| !known.in_conflict(tick.step))
        .map(|(at, tick)| (at, tick.time.map(|time| Vote { at, ms: time.ms(), section: tick.section })))
        .collect();
    // A vote without a time parts the votes before it from those behind it.
    let mut too_soon: Vec<(usize, usize)> = Vec::new();
    for run in votes.chunk_by(|(_, one), (_, next)| joined(timeline, *one, *next).is_some()) {
        let run: Vec<Vote> = run.iter().filter_map(|(_, vote)| *vote).collect();
        for (first, last) in stretches(timeline, &least, &run) {
            if let Some((first, last)) = run.get(first).zip(run.get(last)) {
                too_soon.push((first.at, last.at));
            }
            contrary(known, walk, &least, run.get(first..=last).unwrap_or_default());
        }
    }
    for ((one, before), (other, after)) in votes.iter().zip(votes.iter().skip(1)) {
        if too_soon.iter().any(|(first, last)| first <= one && other <= last) {
            continue;
        }
        let at = place(known, *other);
        match joined(timeline, *before, *after) {
            None => walk.open(at, why_apart(known, *one, *other)),
            Some((length, grain)) if Least::parts(length - grain) >= least.most_shown() => walk.in_order(at),
            Some(_) => walk.open(at, undecided()),
        }
    }
}

/// More votes before the first record than there was time for. Nothing follows where there was time: by the numbers alone
/// no vote is in order.
fn before_the_first(known: &Known<'_>, walk: &mut Walk<'_>) {
    let ledger = &known.counts.ledger;
    for balance in ledger.balances.iter().filter(|balance| balance.rule == RULE.id) {
        let side = |terms: &[Term]| terms.first().and_then(|term| ledger.items.get(term.item));
        let (Outcome::Differs(_), Some(before), Some(room)) =
            (&balance.outcome, side(&balance.left), side(&balance.right))
        else {
            continue;
        };
        let (Some(votes), Some(most)) = (before.follows.least, room.value.most) else { continue };
        let (said, time_for) = (figures(votes), figures(most));
        let contrary = Contrary {
            shows: format!(
                "At least {said} votes lay in the memory before the first record, by the other numbers of this report. From \
                 the opening to this record there was time for {time_for} at most."
            ),
            measured: Some(format!(
                "{said} votes against time for {time_for}: {} more",
                figures(votes - most)
            )),
            ..counts::contrary(known, balance)
        };
        walk.contrary(balance.at.map_or(Place::Log, |step| known.place(step)), contrary);
    }
}

/// Length and step of the clock between two votes under one clock.
fn joined(timeline: &Timeline, one: Option<Vote>, other: Option<Vote>) -> Option<(i64, i64)> {
    let (one, other) = (one?, other?);
    let grain = timeline.grain(one.section)?;
    (one.section == other.section).then_some((other.ms - one.ms, grain))
}

/// The stretches of votes that are too fast: the shortest windows that are, those that touch joined. A window of votes is
/// too fast where its displayed length and one step of the clock are at most the least time of its intervals.
fn stretches(timeline: &Timeline, least: &Least, run: &[Vote]) -> Vec<(usize, usize)> {
    let Some(grain) = run.first().and_then(|vote| timeline.grain(vote.section)) else {
        return Vec::new();
    };
    let begin = run.first().map_or(0, |vote| vote.ms);
    // With the least time of all intervals before it taken off, a window is too fast where this falls by a step.
    let lead: Vec<i128> = run
        .iter()
        .enumerate()
        .map(|(place, vote)| Least::parts(vote.ms - begin) - least.least_shown(place))
        .collect();
    let step = Least::parts(grain);
    let mut windows: Vec<(usize, usize)> = Vec::new();
    // A window that begins no later than the one before it contains it, and is not a shortest one.
    let (mut highest, mut next_first) = (i128::MIN, 0);
    for (last, here) in lead.iter().enumerate() {
        if highest >= *here + step
            && let Some(first) = lead.iter().take(last).rposition(|before| *before >= *here + step)
            && first >= next_first
        {
            next_first = first + 1;
            match windows.last_mut() {
                Some(window) if first <= window.1 => window.1 = last,
                _ => windows.push((first, last)),
            }
        }
        highest = highest.max(*here);
    }
    windows
}

/// The window of a stretch that lacks most time: its first and last place.
fn fastest(least: &Least, stretch: &[Vote]) -> (usize, usize) {
    let lead =
        |place: usize| stretch.get(place).map_or(0, |vote| Least::parts(vote.ms) - least.least_shown(place));
    let mut best = (0, stretch.len().saturating_sub(1));
    let mut highest = 0;
    for place in 0..stretch.len() {
        if lead(place) > lead(highest) {
            highest = place;
        }
        if lead(highest) - lead(place) > lead(best.0) - lead(best.1) {
            best = (highest, place);
        }
    }
    best
}

fn contrary(known: &Known<'_>, walk: &mut Walk<'_>, least: &Least, stretch: &[Vote]) {
    let (first, last) = fastest(least, stretch);
    let (Some(one), Some(other)) = (stretch.get(first), stretch.get(last)) else { return };
    let grain = known.timeline().grain(one.section).unwrap_or_default();
    let (length, intervals) = (other.ms - one.ms, last - first);
    let shows = if intervals == 1 {
        format!(
            "{} and {} are votes in succession. Their displayed times are {} apart.",
            name(known, one.at),
            name(known, other.at),
            duration(length)
        )
    } else {
        format!(
            "{} votes stand from {} to {}. The displayed times of the first and the last are {} apart.",
            intervals + 1,
            name(known, one.at),
            name(known, other.at),
            duration(length)
        )
    };
    let needed = signed(least.ms).saturating_mul(i64::try_from(intervals).unwrap_or(i64::MAX));
    let measured = format!(
        "less than {} passed on the unit's clock ({} and its step of {}); {} of at least {} take {}",
        duration(length + grain),
        duration(length),
        duration(grain),
        if intervals == 1 { "one interval".to_owned() } else { format!("{intervals} intervals") },
        duration(signed(least.ms)),
        duration(needed)
    );
    let contrary = Contrary {
        others: stretch.iter().map(|vote| place(known, vote.at)).collect(),
        expected: format!("At least {} pass from one vote to the next.", duration(signed(least.ms))),
        shows,
        measured: Some(measured),
        assumptions: least.assumptions.clone(),
    };
    walk.contrary(place(known, other.at), contrary);
}

fn why_apart(known: &Known<'_>, one: usize, other: usize) -> Want {
    let step = |at: usize| known.timeline().ticks().get(at).map_or(0, |tick| tick.step);
    known.want_in(step(one), step(other) + 1).unwrap_or_else(|| {
        Want::Other(
            "between some votes a time is missing or goes back, the clock was set or the unit was off, so that the time \
             between them is not known"
                .to_owned(),
            "presiding officer of the station",
            "readings of the unit's clock beside a reference clock, before and after".to_owned(),
        )
    })
}

fn undecided() -> Want {
    Want::Other(
        "the time between some votes is within a step of the clock of the least time, so that it may be longer or shorter"
            .to_owned(),
        MAKER,
        "the records with a finer time, where the unit keeps one".to_owned(),
    )
}

fn signed(ms: u64) -> i64 {
    i64::try_from(ms).unwrap_or(i64::MAX)
}

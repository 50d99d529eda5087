//! Votes of the poll that the unit displays on another day than that of the poll.

use super::{NEAR_MS, header_zone, right, shown};
use crate::case::{Phase, Saying};
use crate::clock::Reading;
use crate::clock::hours::{Day, days};
use crate::clock::slip::{self, Slip};
use crate::event::Event;
use crate::finding::{Kind, Weight, capital};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Stamp;

/// On so many stretches of the clock slips are tried. The clock of a unit is set a few times in the life of a log; one that
/// fell back a hundred times has no slip that would explain it.
const MOST_TRIED: usize = 100;

pub(crate) static RULE: Rule = Rule {
    id: "poll-day-not-displayed",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "Votes of the poll are displayed on another day than that of the poll.",
    asks: "The unit displayed each vote of the poll on a day of the poll, or before noon of the day after.",
    basis: &[Basis::Practice(
        "people who set a clock take the wrong half of the day, zone, day, month or year; clocks lose their time",
    )],
    why: "Only the displayed day is looked at, not the hour: what true time it was, only readings of the clock can say. The \
          slips of a fixed list are tried on the day of the poll, and on the readings of the same stretch of the clock where \
          there are any; all that fit are listed in a fixed order, and none is called the likeliest. Up to noon of the day after \
          counts as the day of the poll, since those who wait at the closing hour may vote; that margin is this tool's own. Where the case file \
          does not say that the poll was held on no other day, it may have been adjourned to one, and this stays open.",
    ordinary: &[
        Ordinary::new(
            "The unit's clock was set with such a slip, or had lost its time.",
            "the record of the preparation, readings of the unit's clock, and the export's own time",
        ),
        Ordinary::new(
            "The log is that of another poll: of another unit, or exported before this one.",
            "the serial of the unit, the papers of the export, and the registers that name the unit",
        ),
        Ordinary::new(
            "These records are not those of the poll.",
            "who says that they are, and the number of votes that the papers of the station give",
        ),
        Ordinary::new(
            "The poll was held on that day, or the paper names a wrong one.",
            "the notice of poll and every order that adjourned it or set it again",
        ),
    ],
    look_next: &[
        "The notice of poll, and every order on its day.",
        "The record of the preparation: who set the clock, when, and by which clock.",
        "The papers of the export: when it was made, of which unit.",
    ],
    needs: &[Needs::PollLabel, Needs::PollDay],
    scope: Scope::Poll,
    occasions: "votes of the poll",
    examples: &[
        Example {
            title: "Displayed in October, and the poll was held in May and on no other day: day and month exchanged fit.",
            log: "1201 2031-10-05 06:58:00 total shown=0\n\
                  1202 2031-10-05 07:10:05 enable\n\
                  1203 2031-10-05 07:10:31 vote\n\
                  ^ poll-day-not-displayed\n\
                  1204 2031-10-05 07:19:20 enable\n\
                  1205 2031-10-05 07:19:52 vote\n\
                  1206 2031-10-05 18:02:40 close\n",
            case: super::examples::POLL_OF_ONE_DAY,
        },
        Example {
            title: "Near miss: the same, and nobody says that the poll was held on no other day. It stays open.",
            log: "1201 2031-10-05 06:58:00 total shown=0\n\
                  1202 2031-10-05 07:10:05 enable\n\
                  1203 2031-10-05 07:10:31 vote\n\
                  1204 2031-10-05 07:19:20 enable\n\
                  1205 2031-10-05 07:19:52 vote\n\
                  1206 2031-10-05 18:02:40 close\n",
            case: super::examples::POLL,
        },
        Example {
            title: "Near miss: the last voter of the queue votes after midnight.",
            log: "1201 2031-05-10 06:58:00 total shown=0\n\
                  1202 2031-05-10 07:10:05 enable\n\
                  1203 2031-05-10 07:10:31 vote\n\
                  1204 2031-05-11 00:19:20 enable\n\
                  1205 2031-05-11 00:19:52 vote\n\
                  1206 2031-05-11 00:22:40 close\n",
            case: super::examples::POLL_OF_ONE_DAY,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let days = days(known.case);
    let on_a_day =
        |time: Stamp| days.iter().any(|day| (day.civil..day.civil + slip::POLL_MS).contains(&time.ms()));
    for step in known.votes_of_poll() {
        match known.record(step).and_then(|record| record.time) {
            None => walk.open(known.place(step), no_time()),
            Some(time) if on_a_day(time) => walk.in_order(known.place(step)),
            Some(_) => {}
        }
    }
    let only = days.first().and_then(|day| Some((day, day.only.as_ref()?)));
    for segment in 0..known.clock.segments().len() {
        let all = votes_of(known, segment);
        let elsewhere: Vec<(usize, Stamp)> =
            all.iter().copied().filter(|(_, time)| !on_a_day(*time)).collect();
        let Some((first, _)) = elsewhere.first() else { continue };
        let slips = (segment < MOST_TRIED).then(|| fitting(known, &days, segment, &all));
        if let Some(only) = only {
            walk.contrary(known.place(*first), finding(known, only, &elsewhere, slips.as_ref()));
            continue;
        }
        let want = not_said_to_be_all(&days, &elsewhere, slips.as_ref());
        elsewhere.iter().for_each(|(step, _)| walk.open(known.place(*step), &want));
    }
}

/// What the slips of the list say of the votes of a stretch.
#[derive(Default)]
pub(super) struct Fit {
    /// Those that would put all of them on a day of the poll, and agree with the readings of the stretch.
    pub(super) slips: Vec<Slip>,
    /// Whether none does, and some would without the readings.
    barred: bool,
    /// The readings of the stretch, by their places in the clock's list.
    readings: Vec<usize>,
    /// The votes.
    votes: Vec<usize>,
}

/// The slips that would put the votes of a stretch on a day of the poll, and agree with the readings of the same stretch.
pub(super) fn fitting(known: &Known<'_>, days: &[Day], segment: usize, votes: &[(usize, Stamp)]) -> Fit {
    let readings = known.clock.readings().iter().enumerate();
    let of_stretch = readings.filter(|(at, _)| known.clock.segment_of(*at) == Some(segment));
    let (readings, read): (Vec<usize>, Vec<slip::Shown>) =
        of_stretch.filter_map(|(at, reading)| Some((at, shown(known, reading)?))).unzip();
    let displays: Vec<i64> = votes.iter().map(|(_, time)| time.ms()).collect();
    let by_day: Vec<Vec<Slip>> =
        days.iter().map(|day| slip::fitting_day(&displays, day.civil, &read, NEAR_MS)).collect();
    let fitting = by_day.concat();
    let slips = Slip::all().into_iter().filter(|slip| fitting.contains(slip)).collect();
    // Where none fits: whether it is the readings alone that speak against one.
    let barred = fitting.is_empty()
        && !read.is_empty()
        && days.iter().any(|day| !slip::fitting_day(&displays, day.civil, &[], NEAR_MS).is_empty());
    Fit { slips, barred, readings, votes: votes.iter().map(|(step, _)| *step).collect() }
}

/// The votes of the poll on a stretch of the clock, with their displayed times.
pub(super) fn votes_of(known: &Known<'_>, segment: usize) -> Vec<(usize, Stamp)> {
    let steps = known.clock.segments().get(segment).map(|segment| segment.steps.clone()).unwrap_or_default();
    let votes = known.between(Event::Vote, steps.start, steps.end);
    let of_poll = votes.filter(|step| known.is_labelled(*step, Phase::Poll));
    of_poll.filter_map(|step| Some((step, known.record(step)?.time?))).collect()
}

/// How many votes are displayed when, in words.
fn displayed(votes: &[(usize, Stamp)]) -> String {
    let times = || votes.iter().map(|(_, time)| *time);
    let (Some(first), Some(last)) = (times().min_by_key(|t| t.ms()), times().max_by_key(|t| t.ms())) else {
        return String::new();
    };
    match votes.len() {
        1 => format!("one vote of the poll is displayed at {first}"),
        number => format!("{number} votes of the poll are displayed from {first} to {last}"),
    }
}

/// What is said where the clock was set or fell back too often.
const NOT_TRIED: &str = "the clock was set or fell back so often that no slip was tried";

/// The slips that fit, as the end of a sentence.
fn would_fit(fit: Option<&Fit>) -> String {
    let Some(fit) = fit else { return NOT_TRIED.to_owned() };
    match Slip::told(&fit.slips).as_slice() {
        [] => none(fit),
        texts => {
            format!("a slip of the list would put {} on such a day: {}", fit.them(), texts.join("; or "))
        }
    }
}

/// That none fits.
fn none(fit: &Fit) -> String {
    let it = format!("no slip of the list would put {} on a day of the poll", fit.them());
    if fit.barred { format!("{it} and fit the readings too") } else { it }
}

impl Fit {
    fn them(&self) -> &'static str {
        if self.votes.len() == 1 { "it" } else { "them" }
    }
}

/// The slips that fit, as sentences.
fn explained(fit: Option<&Fit>) -> String {
    let Some(fit) = fit else { return format!("{}.", capital(NOT_TRIED)) };
    let texts = Slip::told(&fit.slips);
    let which = match texts.len() {
        0 => return format!("{}.", capital(&none(fit))),
        1 => format!("One slip of the list would put {} there", fit.them()),
        number => format!("{number} slips of the list would put {} there, each by itself", fit.them()),
    };
    format!("{which}: {}. That a slip fits does not show that it was made.", texts.join("; "))
}

fn finding(
    known: &Known<'_>,
    (day, only): (&Day, &Saying),
    votes: &[(usize, Stamp)],
    fit: Option<&Fit>,
) -> Contrary {
    let steps: Vec<usize> = votes.iter().map(|(step, _)| *step).collect();
    Contrary {
        others: votes.iter().skip(1).map(|(step, _)| known.place(*step)).collect(),
        expected: "The votes of the poll are displayed on its day; a margin of this tool, for those who wait, ends at noon of the day after."
            .to_owned(),
        shows: format!(
            "{}. The poll was held on {}, by the case file, and on no other day. {}{}",
            capital(&displayed(votes)),
            day.date,
            explained(fit),
            header_zone(known)
        ),
        measured: None,
        assumptions: known
            .label_premises(&steps, Phase::Poll)
            .into_iter()
            .chain([format!("the poll was held on {} and on no other day, {}", day.date, said(only))])
            .chain(fit.map_or_else(Vec::new, |fit| of_slips(known, fit, &steps)))
            .collect(),
    }
}

/// What the sentence on slips rests on, and the finding does not.
fn of_slips(known: &Known<'_>, fit: &Fit, told: &[usize]) -> Vec<String> {
    let said = known.label_premises(told, Phase::Poll);
    let mut labels = known.label_premises(&fit.votes, Phase::Poll);
    labels.retain(|label| !said.contains(label));
    let readings: Vec<&Reading> =
        fit.readings.iter().filter_map(|at| known.clock.readings().get(*at)).collect();
    let ends = readings.iter().filter_map(|reading| known.clock.taken_behind(reading));
    let premises = labels.into_iter().chain(right(known, &readings)).chain(ends);
    premises.map(|text| format!("for what is said of slips: {text}")).collect()
}

fn not_said_to_be_all(days: &[Day], votes: &[(usize, Stamp)], fit: Option<&Fit>) -> Want {
    let dates: Vec<&str> = days.iter().map(|day| day.date.as_str()).collect();
    Want::Other(
        format!(
            "{}, and the case file states a poll on {} and does not say whether one was held on another day; {}",
            displayed(votes),
            dates.join(" and "),
            would_fit(fit)
        ),
        "registrar of the constituency",
        "every day on which the poll was held, adjourned or ordered again, or that it was held on no other (case file: [[poll]], \
         only-day = true)"
            .to_owned(),
    )
}

fn no_time() -> Want {
    Want::Other(
        "a vote of the poll stands in the log without a displayed time".to_owned(),
        "whoever made the export",
        "the export again, with the time of every record".to_owned(),
    )
}

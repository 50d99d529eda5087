//! A voter who was surely released beyond the minutes that are stated for those who waited at the closing hour.

use super::vote_after_hour::{passed, told, turning};
use super::{
    ByDay, READING_WRONG, RELEASED, Told, between, beyond, clock_premises, hours_premise, later, rest, said,
};
use crate::case::{Phase, SettingOf};
use crate::clock::When;
use crate::clock::hours::{Day, days};
use crate::counts::counted;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "vote-after-queue",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "Voters were released, and voted, beyond the minutes stated for those who waited at the closing hour.",
    asks: "By the readings of the unit's clock, no voter who voted was released beyond the minutes stated for the queue.",
    basis: &[Basis::Practice(
        "those who wait at the closing hour still vote, within the time that the local procedure sets",
    )],
    why: "Where a paper states for how long after the hour those who waited may vote, a voter released beyond that time departs \
          from the paper. Who was released in time may vote a little later. It does not show that the voter had not waited: a queue can be longer than the paper foresaw.",
    ordinary: &[
        Ordinary::new(
            "The queue at the hour was longer than the stated minutes foresee, and all of it was let vote.",
            "the presiding officer's diary and note on the queue, the tokens given out at the hour, the agents who were present",
        ),
        Ordinary::new(
            "Voting stood still after the hour for a time, as by a fault or an exchange of a unit, and was made up for.",
            "the diary, and the papers on faults and exchanges",
        ),
        Ordinary::new(
            "The hour was lawfully extended at this station.",
            "the order of extension, and the diary",
        ),
        super::vote_after_hour::NEXT_PART,
        READING_WRONG,
    ],
    look_next: &[
        "The paper that states the minutes: whether it binds, and whether it speaks of this station and this poll.",
        "The presiding officer's diary: how many waited at the hour, and when the last one voted.",
    ],
    needs: &[Needs::PollLabel, Needs::ClosingHour, Needs::Number(SettingOf::QueueMinutes)],
    scope: Scope::Poll,
    occasions: "votes of the poll",
    examples: &[
        Example {
            title: "The paper gives those who waited thirty minutes, and readings put the last vote at a quarter to seven.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:01:05 enable\n\
                  1204 2031-05-10 18:01:31 vote\n\
                  ^ vote-after-hour\n\
                  1205 2031-05-10 18:45:05 enable\n\
                  1206 2031-05-10 18:45:31 vote\n\
                  ^ vote-after-queue\n\
                  1207 2031-05-10 18:46:40 close\n",
            case: super::examples::QUEUE,
        },
        Example {
            title: "Near miss: three seconds beyond the thirty minutes by the display, and the readings are good to five.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:01:05 enable\n\
                  1204 2031-05-10 18:01:31 vote\n\
                  ^ vote-after-hour\n\
                  1205 2031-05-10 18:29:45 enable\n\
                  1206 2031-05-10 18:30:03 vote\n\
                  1207 2031-05-10 18:31:40 close\n",
            case: super::examples::QUEUE,
        },
    ],
    walk,
};

fn minutes(known: &Known<'_>) -> Option<u64> {
    known.case.settings.number(SettingOf::QueueMinutes).map(|stated| stated.value.1)
}

/// A day with every closing hour later by the minutes of the queue: each part of a day has its own.
fn with_queue(mut day: Day, minutes: u64) -> Day {
    for part in &mut day.parts {
        part.closes = part.closes.map(|hour| later(&hour, minutes));
    }
    day
}

/// When the voter was released: by the enable of the vote. Where it is not seen, not after the vote, and nothing more is known.
fn released(known: &Known<'_>, vote: usize) -> When {
    match known.enable_of(vote) {
        Some(enable) => known.clock.bounds(enable),
        None => When { earliest: None, latest: known.clock.bounds(vote).latest },
    }
}

/// Where the release of each vote lies by the hours of its day and the minutes of the queue; empty where none are stated.
pub(super) fn told_with(known: &Known<'_>, day: &Day, steps: &[usize]) -> Vec<Told> {
    let Some(minutes) = minutes(known) else { return Vec::new() };
    let day = with_queue(day.clone(), minutes);
    steps.iter().map(|step| released_in_time(known, &day, *step)).collect()
}

/// By the release; a voter released after the hour of one part may have been let vote within the hours of the next.
fn released_in_time(known: &Known<'_>, day: &Day, vote: usize) -> Told {
    match told(day, &released(known, vote)) {
        Told::Contrary => told(day, &known.clock.bounds(vote)),
        by_release => by_release,
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let Some(minutes) = minutes(known) else { return };
    let days: Vec<Day> = days(known.case).into_iter().map(|day| with_queue(day, minutes)).collect();
    let what = "votes of the poll and the minutes of the queue after its closing hour";
    ByDay {
        days: &days,
        told: released_in_time,
        decides: |known, vote| known.enable_of(vote),
        hours: turning,
        what,
        finding,
    }
    .walk(known, walk);
}

fn finding(known: &Known<'_>, day: &Day, steps: &[usize]) -> Contrary {
    let (first, last) =
        (steps.first().copied().unwrap_or_default(), steps.last().copied().unwrap_or_default());
    let stated = known.case.settings.number(SettingOf::QueueMinutes);
    let (minutes, by) =
        stated.map_or((0, String::new()), |stated| (stated.value.1, format!(", {}", said(&stated.basis))));
    let minutes = counted(minutes, "minute", "minutes");
    let all = days(known.case);
    let own = all.iter().find(|own| own.date == day.date);
    // Without its enable seen, no vote is found beyond the minutes.
    let release = |step| known.enable_of(step).unwrap_or(step);
    let spoken = match steps.len() {
        1 => format!(
            "{} is a vote of the poll. By the readings its voter was released {}, and the vote was recorded {}.",
            known.name(first),
            between(known, release(first)),
            between(known, first)
        ),
        number => format!(
            "The voters of {number} votes of the poll were released beyond the minutes of the queue by the readings. The first \
             vote is {}, its voter released {}. The last is {}, its voter released {}.",
            known.name(first),
            between(known, release(first)),
            known.name(last),
            between(known, release(last))
        ),
    };
    let of = |step| {
        passed(day, &known.clock.bounds(release(step))).map(|hour| beyond(known, release(step), &hour, true))
    };
    Contrary {
        // The enable shows when the voter was released.
        others: rest(known, steps)
            .into_iter()
            .chain(steps.iter().filter_map(|step| known.enable_of(*step)).map(|step| known.place(step)))
            .collect(),
        expected: format!("Those who waited at the closing hour vote within {minutes} after it{by}."),
        shows: format!("{spoken} The queue may vote for {minutes} after the hour{by}."),
        measured: of(first).zip(of(last)).map(|(first_of, last_of)| {
            if steps.len() == 1 {
                format!("released {first_of}")
            } else {
                format!("the first released {first_of}; the last {last_of}")
            }
        }),
        assumptions: known
            .label_premises(steps, Phase::Poll)
            .into_iter()
            .chain(own.map_or_else(Vec::new, |own| hours_premise(known, own)))
            .chain([format!("the queue may vote for {minutes} after the hour{by}"), RELEASED.to_owned()])
            .chain(clock_premises(known, &[release(first), first, release(last), last]))
            .collect(),
    }
}

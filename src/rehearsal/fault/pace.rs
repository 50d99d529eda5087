//! Faults of the pace: votes too fast, too regular, copied, and clocks that tick coarsely.

use super::hour::{insert_voter, silences};
use super::injection::{Injection, SILENT};
use super::reckoned::{Ran, reckon, throughout};
use super::{Fault, Level, Size, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Id;
use crate::rehearsal::setting::Setting;
use crate::syntax::Stamp;

/// The documented least time of a vote, in milliseconds.
const FLOOR: u64 = 12_000;

/// A unit with a documented least time, and voters who keep to it.
fn floor(setting: &mut Setting) {
    setting.unit.least_ms_per_vote = Some(FLOOR);
    setting.service.vote_least = 9.0;
    setting.service.between = 8.0;
}

/// A usual station, whose votes are many enough for their last digits to be counted.
fn many(setting: &mut Setting) {
    setting.voters = (180, 220);
    setting.unit.keeps = 1000;
}

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        number: "29",
        id: "votes-too-fast",
        injected: "Votes stand three seconds apart, though the unit's papers state twelve as the least",
        concludes: "If the stated least time holds, these votes came too fast.",
        size: Some(Size { of: "votes", least: 3, usual: 20, most: 40 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: floor,
        inject: votes_too_fast,
    },
    Fault {
        number: "30",
        id: "votes-just-slow-enough",
        injected: "Votes stand 14 seconds apart before the close, where twelve is the stated least",
        concludes: "Nothing contrary: a queue at closing looks so.",
        size: Some(Size { of: "votes", least: 5, usual: 40, most: 60 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| {
            floor(setting);
            setting.voters = (8, 12);
        },
        inject: votes_just_slow_enough,
    },
    Fault {
        number: "31",
        id: "votes-regular",
        injected: "Votes stand exactly 30 seconds apart",
        concludes: "Nothing contrary: a busy desk is regular. The rule on last digits is off, and no run of different \
                    intervals is repeated.",
        size: Some(Size { of: "votes", least: 30, usual: 100, most: 200 }),
        level: Level::Hard,
        touches: Touches::All,
        setting: |setting| (setting.voters, setting.waiting) = ((4, 6), 0.0),
        inject: votes_regular,
    },
    Fault {
        number: "32",
        id: "times-rounded",
        injected: "Many votes' times are rounded to ten seconds",
        concludes: "The last digits of the seconds are uneven, if every second is as likely as the next.",
        size: Some(Size { of: "votes in a hundred", least: 30, usual: 40, most: 100 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: many,
        inject: times_rounded,
    },
    Fault {
        number: "33",
        id: "clock-in-tens",
        injected: "The whole unit's clock ticks in ten seconds",
        concludes: "The resolution is noted, and whatever counts seconds is off.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| {
            many(setting);
            setting.clock.steps_ms = vec![10_000];
        },
        inject: |i| coarse(i, "The clock ticks in ten seconds", 10_000),
    },
    Fault {
        number: "34",
        id: "run-copied",
        injected: "A run of votes stands in the poll a second time, with its times moved",
        concludes: "The same run of intervals stands twice, to the second; not which of the two is the first, nor why.",
        size: Some(Size { of: "votes", least: 25, usual: 30, most: 40 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| (setting.voters, setting.waiting) = ((6, 10), 60.0),
        inject: run_copied,
    },
    Fault {
        number: "51",
        id: "clock-in-minutes",
        injected: "The log gives whole minutes",
        concludes: "The resolution is noted, and whatever counts seconds is off, with the reason.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| {
            many(setting);
            setting.clock.steps_ms = vec![60_000];
        },
        inject: |i| coarse(i, "The log gives whole minutes", 60_000),
    },
];

/// Voters put into a silence, so far apart.
fn insert_voters(i: &mut Injection, apart: i64, takes: i64) -> Option<Vec<Spot>> {
    let sites = silences(i, (i.size + 2) * apart + 20_000);
    let mut at = i.pick(&sites)?;
    let from = i.entry(at - 1)?.moment + 10_000;
    let mut votes = Vec::new();
    for count in 0..i.size {
        votes.push(insert_voter(i, at, from + count * apart, takes)?);
        at += 2;
    }
    // The papers noted the turnout before these voters were put in.
    i.life.papers.rows.retain(|row| row.table != "turnout");
    Some(votes)
}

fn votes_too_fast(i: &mut Injection) -> Option<()> {
    let votes = insert_voters(i, 3000, 1500)?;
    i.key.did("Votes three seconds apart were put in", &votes);
    let how = [Conditional, Shown];
    let all: Vec<Id> = votes.iter().map(|spot| spot.id()).collect();
    let because = "These votes are closer together than the documented least time.";
    i.key.find_in_all("vote-too-soon", &how, &votes, &all, because);
    i.silent(&["interval-run-repeated"], "Equal intervals are a run of one value.");
    Some(())
}

fn votes_just_slow_enough(i: &mut Injection) -> Option<()> {
    let closes = i.closes()?;
    let close = i.close_of_poll()?;
    let from = closes - (i.size + 1) * 14_000;
    if i.entry(close.checked_sub(1)?)?.moment > from - 30_000 {
        return None;
    }
    let mut at = close;
    let mut votes = Vec::new();
    for count in 0..i.size {
        votes.push(insert_voter(i, at, from + count * 14_000, 12_500)?);
        at += 2;
    }
    i.life.papers.rows.retain(|row| row.table != "turnout");
    i.key.did("Votes 14 seconds apart were put in before the close", &votes);
    let because = "Each is later than the documented least time allows, and a queue at closing looks so.";
    i.silent(&["vote-too-soon", "interval-run-repeated"], because);
    Some(())
}

fn votes_regular(i: &mut Injection) -> Option<()> {
    let votes = insert_voters(i, 30_000, 15_000)?;
    i.key.did("Votes exactly 30 seconds apart were put in", &votes);
    i.silent(
        &["vote-too-soon", "interval-run-repeated", "last-digit-uneven"],
        "A constant cycle is what a busy desk gives; equal intervals are no repeated run, and the digits follow from them.",
    );
    Some(())
}

fn times_rounded(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let votes = i.places(poll, Event::Vote);
    let mut rounded = 0;
    for at in votes {
        if i.chance.whole(1, 100) > i.size {
            continue;
        }
        let Some(next) = i.entry(at + 1).map(|entry| entry.time.ms()) else { continue };
        let entry = i.entry_mut(at)?;
        // Upwards, so that a vote stays behind its enable; not past the record behind it.
        let up = entry.time.ms() + (10_000 - entry.time.ms().rem_euclid(10_000)) % 10_000;
        if up <= next {
            entry.time = Stamp::new(up, 0);
            rounded += 1;
        }
    }
    if rounded < 40 {
        return None;
    }
    i.key.did(format!("The times of {rounded} votes were rounded to ten seconds"), &[]);
    Some(())
}

fn coarse(i: &mut Injection, done: &str, step_ms: i64) -> Option<()> {
    i.entry(0)?;
    i.key.did(format!("{done}, through the whole log"), &[]);
    let because = "The display is too coarse for whatever counts seconds.";
    for rule in ["vote-too-soon", "last-digit-uneven", "interval-run-repeated"] {
        i.key.answer(rule, SILENT, because);
    }
    reckon(i, Ran { step_ms, ..throughout(false) }).map(|_| ())
}

fn run_copied(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    // The run: a first vote, and so many voters behind it with nothing else between.
    let length = usize::try_from(i.size).ok()? * 2;
    let is_run = |start: &usize| {
        (0..length).all(|place| {
            let wanted = if place % 2 == 0 { Event::Enable } else { Event::Vote };
            i.event(start + place) == Some(wanted)
        }) && start + length < poll.end
    };
    let start = poll.clone().find(|at| is_run(at))?;
    let run: Vec<_> = i.entries().get(start..start + length)?.to_vec();
    let (first, last) = (run.first()?, run.last()?);
    let lasts = last.moment - first.moment;
    // A time that moves by whole seconds keeps every displayed interval.
    let sites: Vec<usize> =
        silences(i, lasts + 60_000).into_iter().filter(|at| *at > start + length).collect();
    let mut at = i.pick(&sites)?;
    let moved = (i.entry(at - 1)?.moment + 20_000 - first.moment) / 1000 * 1000;
    let mut copies = Vec::new();
    for entry in &run {
        let id = i.insert(at, entry.moment + moved, entry.event, entry.attributes.clone())?;
        let copy = i.entry_mut(at)?;
        copy.time = Stamp::new(entry.time.ms() + moved, entry.time.digits());
        copies.push(Spot::Of(id));
        at += 1;
    }
    i.raise_totals(at, i.size);
    i.raise_poll_counts(i.size);
    i.life.papers.rows.retain(|row| row.table != "turnout");
    let originals: Vec<Spot> = run.iter().map(|entry| Spot::Of(entry.id)).collect();
    i.key.did("These records were copied", &originals);
    i.key.did("Here they stand again, with their times moved", &copies);
    let both: Vec<Id> = originals.iter().chain(&copies).map(|spot| spot.id()).collect();
    let because = "The same run of intervals stands twice.";
    i.key.find_in_all("interval-run-repeated", &[Conditional, Shown], &[], &both, because);
    Some(())
}

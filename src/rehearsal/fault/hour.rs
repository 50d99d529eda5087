//! Faults around the hours of the poll: votes beside an hour, pauses, a mock poll that nobody noted.

use super::injection::{Injection, SILENT};
use super::reckoned::{reckon, throughout};
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::key::Spot;
use crate::rehearsal::papers::Paper;
use crate::rehearsal::setting::Setting;

const MINUTE: i64 = 60_000;

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        number: "5",
        id: "votes-after-the-hour",
        injected: "Votes are recorded from one minute after the closing hour on, before the close",
        concludes: "Votes after the hour, if the readings and the stated hours hold; those who queued at the hour may vote, \
                    so that it is not irregular by itself.",
        size: Some(Size { of: "votes", least: 1, usual: 6, most: 12 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| setting.service.close = (500, 560),
        inject: votes_after_the_hour,
    },
    Fault {
        number: "6",
        id: "vote-at-the-hour",
        injected: "A vote is recorded within seconds of the closing hour, and the clock was read to the minute only",
        concludes: "Whether the vote was before or after the hour cannot be told.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: |setting| setting.service.close = (200, 240),
        inject: vote_at_the_hour,
    },
    Fault {
        number: "7",
        id: "unnoted-mock-poll",
        injected: "Votes before the opening, then close, result and clear, of which no paper speaks",
        concludes: "Nothing may be said: it fits a mock poll.",
        size: Some(Size { of: "votes", least: 1, usual: 3, most: 20 }),
        level: Level::Hard,
        touches: Touches::All,
        setting: nothing,
        inject: unnoted_mock_poll,
    },
    Fault {
        number: "23",
        id: "pause",
        injected: "Nobody votes for a while",
        concludes: "Nothing may be said: a clock that was set forward without a record gives the same records.",
        size: Some(Size { of: "minutes", least: 1, usual: 10, most: 60 }),
        level: Level::Hard,
        touches: Touches::All,
        setting: nothing,
        inject: pause,
    },
    Fault {
        number: "27",
        id: "lunch",
        injected: "Nobody votes over lunch",
        concludes: "Nothing: a silence is a measurement, and the log does not say why.",
        size: Some(Size { of: "minutes", least: 10, usual: 40, most: 60 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: nothing,
        inject: lunch,
    },
    Fault {
        number: "28",
        id: "off-in-the-poll",
        injected: "The unit is switched off in mid-poll and on again after a while",
        concludes: "Nothing contrary: the records show the unit off, and bound for how long.",
        size: Some(Size { of: "minutes", least: 2, usual: 10, most: 30 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: nothing,
        inject: off_in_the_poll,
    },
    Fault {
        number: "53",
        id: "queue-all-day",
        injected: "Nothing: a lawful day on which the queue never ends",
        concludes: "Nothing contrary.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| (setting.voters, setting.waiting) = ((40, 60), 60.0),
        inject: lawful,
    },
    Fault {
        number: "167",
        id: "lawful-day",
        injected: "Nothing: a lawful day at a small station",
        concludes: "Nothing contrary.",
        size: None,
        level: Level::Easy,
        touches: Touches::All,
        setting: nothing,
        inject: lawful,
    },
    Fault {
        number: "168a",
        id: "votes-after-the-queue",
        injected: "A paper gives those who waited at the closing hour 15 minutes, and voters are released within them and beyond",
        concludes: "Voters released beyond the minutes of the queue, if the readings, the stated hours and the paper hold; who \
                    was released within them may vote.",
        size: Some(Size { of: "voters released beyond", least: 1, usual: 3, most: 6 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| setting.service.close = (1500, 1600),
        inject: votes_after_the_queue,
    },
    Fault {
        number: "168b",
        id: "vote-as-the-queue-ends",
        injected: "A paper gives those who waited at the closing hour 15 minutes, a voter is released within seconds of their \
                   end, and the clock was read to the minute only",
        concludes: "Whether the voter was released within the minutes of the queue cannot be told.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: |setting| setting.service.close = (1500, 1600),
        inject: vote_as_the_queue_ends,
    },
    Fault {
        number: "54",
        id: "slow-start",
        injected: "Nothing: a lawful day that begins slowly, with a silence of at least 20 minutes",
        concludes: "Nothing contrary.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: |setting| setting.profiles = vec![crate::rehearsal::setting::Profile::SlowStart],
        inject: slow_start,
    },
];

/// A pair of enable and vote before a place, the enable at a moment.
pub(super) fn insert_voter(i: &mut Injection, at: usize, moment: i64, takes: i64) -> Option<Spot> {
    let attributes = i.vote_attributes();
    i.insert(at, moment, Event::Enable, Vec::new())?;
    let vote = i.insert(at + 1, moment + takes, Event::Vote, attributes)?;
    i.raise_totals(at + 2, 1);
    i.raise_poll_counts(1);
    Some(Spot::Of(vote))
}

pub(super) fn votes_after_the_hour(i: &mut Injection) -> Option<()> {
    let (mut at, closes) = (i.close_of_poll()?, i.closes()?);
    let last = i.entry(at.checked_sub(1)?)?.moment;
    if last > closes - 10_000 {
        return None;
    }
    let mut votes = Vec::new();
    for count in 0..i.size {
        votes.push(insert_voter(i, at, closes + MINUTE + count * 35_000, 12_000)?);
        at += 2;
    }
    i.key.did("Votes were put in after the hour and before the close", &votes);
    i.silent(&["tokens-differ"], "No paper states how many tokens were given out.");
    reckon(i, throughout(false)).map(|_| ())
}

/// Minutes that a paper gives those who waited at the closing hour.
const QUEUE: i64 = 15;

/// States the minutes of the queue, and puts in a voter who was released within them. Gives the place behind, and their end.
fn queue(i: &mut Injection) -> Option<(usize, i64, Spot)> {
    let (at, closes) = (i.close_of_poll()?, i.closes()?);
    if i.entry(at.checked_sub(1)?)?.moment > closes - 10_000 {
        return None;
    }
    i.life.papers.row("setting", &[format!("queue-minutes = {QUEUE}")], Paper::Procedure);
    i.silent(&["tokens-differ"], "No paper states how many tokens were given out.");
    let waited = insert_voter(i, at, closes + 2 * MINUTE, 12_000)?;
    Some((at + 2, closes + QUEUE * MINUTE, waited))
}

fn votes_after_the_queue(i: &mut Injection) -> Option<()> {
    let (mut at, ends, waited) = queue(i)?;
    let mut votes = Vec::new();
    for count in 0..i.size {
        votes.push(insert_voter(i, at, ends + 2 * MINUTE + count * 35_000, 12_000)?);
        at += 2;
    }
    i.key.did("A voter who had waited was put in after the hour", &[waited]);
    i.key.did("Voters were put in beyond the minutes of the queue, and before the close", &votes);
    reckon(i, throughout(false)).map(|_| ())
}

fn vote_as_the_queue_ends(i: &mut Injection) -> Option<()> {
    let (at, ends, waited) = queue(i)?;
    let released = ends + i.chance.whole(-15_000, 15_000);
    let vote = insert_voter(i, at, released, 12_000)?;
    read_to_the_minute(i);
    i.key.did("A voter who had waited was put in after the hour", &[waited]);
    i.key.did(
        "A voter was put in at the end of the minutes of the queue, and every reading is to the minute",
        &[vote],
    );
    reckon(i, throughout(false)).map(|_| ())
}

/// Every reading of the clock is noted to the minute.
fn read_to_the_minute(i: &mut Injection) {
    for noted in &mut i.life.papers.readings {
        noted.reading.give_or_take_s = 60;
        noted.reading.reference -= noted.reading.reference.rem_euclid(MINUTE);
    }
}

fn vote_at_the_hour(i: &mut Injection) -> Option<()> {
    let (at, closes) = (i.close_of_poll()?, i.closes()?);
    if i.entry(at.checked_sub(1)?)?.moment > closes - 2 * MINUTE {
        return None;
    }
    let moment = closes + i.chance.whole(-15_000, 15_000);
    let vote = insert_voter(i, at, moment - 12_000, 12_000)?;
    read_to_the_minute(i);
    i.key.did("A vote was put in at the closing hour, and every reading is to the minute", &[vote]);
    reckon(i, throughout(false)).map(|_| ())
}

fn unnoted_mock_poll(i: &mut Injection) -> Option<()> {
    let mock = i.life.papers.phases.iter().find(|(of, ..)| *of == Phase::MockPoll)?.1.clone();
    let mut at = mock.start;
    let (from, to) = (i.entry(at.checked_sub(1)?)?.moment, i.entry(at)?.moment);
    let mut events = Vec::new();
    for _ in 0..i.size {
        events.extend([(Event::Enable, Vec::new()), (Event::Vote, i.vote_attributes())]);
    }
    let total = vec![("total", i.size.to_string())];
    events.extend([(Event::Close, total.clone()), (Event::Result, total), (Event::Clear, Vec::new())]);
    let step = (to - from) / (i64::try_from(events.len()).ok()? + 1);
    let mut spots = Vec::new();
    for (place, (event, attributes)) in (1..).zip(events) {
        spots.push(Spot::Of(i.insert(at, from + step * place, event, attributes)?));
        at += 1;
    }
    // What was put in is in no stretch that the papers name.
    for (_, stretch, _) in &mut i.life.papers.phases {
        if stretch.end == at {
            stretch.end = mock.start;
        }
    }
    i.key.did("Votes, close, result and clear were put in before the mock poll", &spots);
    i.silent(
        &["vote-before-opening", "mock-poll-not-cleared", "mock-poll-too-small", "no-close"],
        "Votes that were closed, shown and cleared before the opening fit a mock poll that nobody noted.",
    );
    i.key.answer("mock-votes-differ", SILENT, "The mock poll that was noted stands in the log as noted.");
    Some(())
}

/// Places of enables in the poll before which nothing was recorded for at least so long, after a vote.
pub(super) fn silences(i: &Injection, least: i64) -> Vec<usize> {
    let Some(poll) = i.phase(Phase::Poll) else { return Vec::new() };
    i.places(poll, Event::Enable)
        .into_iter()
        .filter(|at| {
            let before = at.checked_sub(1).and_then(|before| i.entry(before));
            let pair = before.zip(i.entry(*at));
            pair.is_some_and(|(a, b)| a.event == Event::Vote && b.moment - a.moment >= least)
        })
        .collect()
}

fn pause(i: &mut Injection) -> Option<()> {
    let sites = silences(i, i.size * MINUTE + 1000);
    let at = i.pick(&sites)?;
    let (before, next) = (i.id(at - 1)?, i.id(at)?);
    i.life.papers.readings.clear();
    i.key
        .did("Nothing was injected: nobody voted between these records", &[Spot::Of(before), Spot::Of(next)]);
    as_a_pause(i)
}

/// What the log of a pause says, and that of a clock that was set forward: the same.
pub(super) fn as_a_pause(i: &mut Injection) -> Option<()> {
    i.silent(
        &["time-decreases", "clock-set-in-poll", "clock-reset"],
        "A silence is not contrary to anything; a pause and a clock set forward give the same records.",
    );
    reckon(i, throughout(false)).map(|_| ())
}

fn lunch(i: &mut Injection) -> Option<()> {
    let sites = silences(i, i.size * MINUTE);
    let at = i.pick(&sites)?;
    let (before, next) = (i.id(at - 1)?, i.id(at)?);
    i.key
        .did("Nothing was injected: nobody voted between these records", &[Spot::Of(before), Spot::Of(next)]);
    Some(())
}

fn off_in_the_poll(i: &mut Injection) -> Option<()> {
    let sites = silences(i, (i.size + 2) * MINUTE);
    let at = i.pick(&sites)?;
    let off = i.entry(at - 1)?.moment + MINUTE / 2;
    let (first, last, _) = i.off_and_on(at, off, off + i.size * MINUTE)?;
    i.key.did("The unit was switched off and on again", &[Spot::Of(first), Spot::Of(last)]);
    i.silent(&["power-lost", "event-while-off"], "The switch left its records.");
    Some(())
}

#[allow(clippy::unnecessary_wraps, reason = "a row of the table, which may fail")]
fn lawful(i: &mut Injection) -> Option<()> {
    i.key.did("Nothing: the day is lawful from morning to evening", &[]);
    Some(())
}

fn slow_start(i: &mut Injection) -> Option<()> {
    let sites = silences(i, 20 * MINUTE);
    let at = i.pick(&sites)?;
    let (before, next) = (i.id(at - 1)?, i.id(at)?);
    i.key.did(
        "Nothing: the day is lawful; the silence stands between these records",
        &[Spot::Of(before), Spot::Of(next)],
    );
    Some(())
}

/// Mock votes that stay in the memory, as by a written order.
pub(super) fn keeps_mock_votes(setting: &mut Setting) {
    setting.rates.insert(Act::MockVotesKept, 1000);
    setting.rates.insert(Act::SecondMockPoll, 0);
}

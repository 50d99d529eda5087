//! Faults beyond the catalogue: acts at a time at which they should not be, and acts that are wanting; one for each rule that
//! asks for them.

use super::further;
use super::hour::insert_voter;
use super::injection::Injection;
use super::order::nothing;
use super::{Fault, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::{How, Spot};
use crate::rehearsal::memory::Id;
use crate::rehearsal::papers::Paper;
use crate::rehearsal::setting::Setting;

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

const HOW: [How; 2] = [Conditional, Shown];

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, Touches::All, setting, inject)
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "124",
        "vote-before-the-hour",
        (
            "A vote of the poll is recorded ten minutes before the opening hour",
            "The vote is named, if the readings hold.",
        ),
        nothing,
        vote_before_the_hour,
    ),
    row(
        "125",
        "closed-before-the-hour",
        ("The unit is closed well before the closing hour", "The close is named, if the readings hold."),
        nothing,
        closed_before_the_hour,
    ),
    row(
        "126",
        "closed-long-after",
        (
            "The unit is closed three quarters of an hour after the last voter, where the procedure asks for half an hour",
            "The close is named, if the readings hold.",
        ),
        |setting| setting.service.close = (45 * 60, 50 * 60),
        closed_long_after,
    ),
    row(
        "127",
        "never-closed",
        ("The unit is never closed, and no paper says that it was taken out of use", "The close is wanting."),
        |setting| {
            setting.rates.insert(Act::ReplacedUnit, 1000);
            setting.rates.insert(Act::ResultUnclosed, 0);
        },
        never_closed,
    ),
    row(
        "128",
        "mock-poll-left-out",
        (
            "No mock poll was held",
            "The mock poll is wanting, where the log reaches back to the unit's first record.",
        ),
        |setting| {
            setting.rates.insert(Act::SecondMockPoll, 0);
        },
        mock_poll_left_out,
    ),
    row(
        "129",
        "mock-poll-late",
        (
            "The mock poll lies within the hours, and no paper says that the unit took another's place",
            "Its records within the hours are named, if the readings hold.",
        ),
        |setting| {
            setting.rates.insert(Act::ReplacementUnit, 1000);
            setting.rates.insert(Act::SecondMockPoll, 0);
        },
        mock_poll_late,
    ),
    row(
        "130",
        "switched-on-in-storage",
        (
            "The unit is switched on and off while it is stored",
            "The records in storage are named, if the readings hold.",
        ),
        nothing,
        |i| in_storage(i, false),
    ),
    row(
        "131",
        "result-in-storage",
        (
            "The result is shown while the unit is stored, and the papers count it to the count",
            "The result is outside the count, and the records lie in storage, if the readings hold.",
        ),
        nothing,
        |i| in_storage(i, true),
    ),
    row(
        "132",
        "battery-higher",
        (
            "The battery measures more at the count than in the poll, and no record says that it was changed",
            "The two measurements are named, as a remark.",
        ),
        |setting| {
            setting.rates.insert(Act::BatteryReplaced, 0);
        },
        battery_higher,
    ),
    row(
        "133",
        "voted-in-an-interruption",
        (
            "The papers say that the poll was interrupted at a time at which votes were recorded",
            "Votes in the time of the interruption are named, if the readings hold.",
        ),
        |setting| setting.voters = (40, 60),
        voted_in_an_interruption,
    ),
    row(
        "134",
        "clock-beyond-tolerance",
        (
            "The clock is four minutes slow, and the procedure tolerates one",
            "Each reading shows the clock off by more than is tolerated.",
        ),
        nothing,
        clock_beyond_tolerance,
    ),
];

fn vote_before_the_hour(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let at = poll.clone().find(|at| i.event(*at) == Some(Event::Enable))?;
    let opens = i.closes()? - 11 * HOUR;
    if i.entry(at.checked_sub(1)?)?.moment > opens - 11 * MINUTE {
        return None;
    }
    let vote = insert_voter(i, at, opens - 10 * MINUTE, 12_000)?;
    i.key.did("A voter was put in before the opening hour", &[vote]);
    let because = "By the readings this vote of the poll lies before the opening hour.";
    // Without the reading of that morning the clock may not tell the day; those behind it may be enough.
    let read =
        i.life.papers.readings.iter().map(|noted| noted.moment).filter(|at| *at < opens - 10 * MINUTE).max();
    let read = read.and_then(|at| i.entries().iter().rfind(|entry| entry.moment <= at)).map(|entry| entry.id);
    let weighs: Vec<Id> = read.into_iter().chain([vote.id()]).collect();
    i.key.find_in_all("vote-before-opening", &HOW, &[vote], &weighs, because);
    Some(())
}

fn closed_before_the_hour(i: &mut Injection) -> Option<()> {
    let (at, closes) = (i.close_of_poll()?, i.closes()?);
    let before = i.entry(at.checked_sub(1)?)?;
    let moment = before.moment + MINUTE;
    if moment > closes - 10 * MINUTE {
        return None;
    }
    let shown = before.time.ms() + MINUTE;
    let close = i.id(at)?;
    // Without a vote before it, it may be the close of a poll of the day before.
    let voted = i.id((0..at).rfind(|at| i.event(*at) == Some(Event::Vote))?)?;
    let entry = i.entry_mut(at)?;
    let step = entry.time.step_ms();
    entry.moment = moment;
    entry.time = crate::syntax::Stamp::new(shown - shown.rem_euclid(step), entry.time.digits());
    i.key.did("The close was put a minute behind the last voter", &[Spot::Of(close)]);
    i.key.find(
        "closed-early",
        &HOW,
        &[Spot::Of(close)],
        &[voted],
        "By the readings the close lies before the hour.",
    );
    Some(())
}

fn closed_long_after(i: &mut Injection) -> Option<()> {
    let at = i.close_of_poll()?;
    let close = i.id(at)?;
    let last = i.id((0..at).rfind(|at| i.event(*at) == Some(Event::Vote))?)?;
    i.key.did("The unit was closed long after the hour and the last voter", &[Spot::Of(close)]);
    let because = "By the readings the close lies more than half an hour behind the hour and the last vote.";
    i.key.find("closed-late", &HOW, &[Spot::Of(close)], &[last], because);
    Some(())
}

fn never_closed(i: &mut Injection) -> Option<()> {
    i.life.papers.rows.retain(|row| !row.keys.iter().any(|key| key.contains("unit-replaced")));
    let poll = i.phase(Phase::Poll)?;
    let votes = i.places(poll, Event::Vote);
    let last = i.id(*votes.last()?)?;
    i.key.did("No close was recorded behind this vote", &[Spot::Of(last)]);
    i.key.find(
        "no-close",
        &HOW,
        &[],
        &[last],
        "The log goes on to its export, and holds no close of the poll.",
    );
    Some(())
}

fn mock_poll_left_out(i: &mut Injection) -> Option<()> {
    let mock = i.phase(Phase::MockPoll)?;
    for _ in mock.clone() {
        i.remove(mock.start)?;
    }
    i.life.papers.phases.retain(|(of, ..)| *of != Phase::MockPoll);
    i.life.papers.counts.retain(|noted| noted.of != "mock-votes");
    let first = i.id(0)?;
    i.key.did("The mock poll was left out, with its close, result and clear", &[]);
    let because = "The log reaches back to the unit's first record, and shows no vote of a mock poll.";
    i.key.find("no-mock-poll", &HOW, &[], &[first], because);
    Some(())
}

fn mock_poll_late(i: &mut Injection) -> Option<()> {
    let rows = &mut i.life.papers.rows;
    rows.retain(|row| !row.keys.iter().any(|key| key.contains("unit-took-anothers-place")));
    let mock = i.phase(Phase::MockPoll)?;
    // What follows is reckoned from the readings and the records that the log still holds.
    let spots: Vec<Spot> = mock.filter_map(|at| i.id(at)).map(Spot::Of).collect();
    i.key.did("The mock poll was held within the hours", &spots);
    Some(())
}

/// Between poll and count the unit is switched on and off, noon of the day before the count.
fn in_storage(i: &mut Injection, with_result: bool) -> Option<()> {
    let count = i.phase(Phase::Count)?;
    let (before, after) = (i.entry(count.start.checked_sub(1)?)?.moment, i.entry(count.start)?.moment);
    let noon = after - after.rem_euclid(DAY) - DAY / 2;
    if i.event(count.start - 1) != Some(Event::PowerOff) || noon - before < HOUR {
        return None;
    }
    let total = i.vote_total()?;
    let mut events =
        vec![(Event::PowerOn, Vec::new()), (Event::SelfTest, vec![("result", "pass".to_owned())])];
    if with_result {
        events.push((Event::Result, vec![("total", total)]));
    }
    events.push((Event::PowerOff, Vec::new()));
    let mut spots = Vec::new();
    let mut result = None;
    for (place, (event, attributes)) in (0..).zip(events) {
        let at = count.start + spots.len();
        let id = i.insert(at, noon + place * MINUTE / 2, event, attributes)?;
        result = result.or((event == Event::Result).then_some(id));
        spots.push(Spot::Of(id));
    }
    // What was put in at its end is not of the poll.
    for (of, stretch, _) in &mut i.life.papers.phases {
        if *of == Phase::Poll && stretch.end == count.start + spots.len() {
            stretch.end = count.start;
        }
    }
    if with_result {
        let places = count.start..count.start + spots.len();
        i.life.papers.phases.push((Phase::Count, places, Paper::Declaration));
    }
    i.key.did("The unit was switched on and off while it was stored", &spots);
    let because =
        "By the readings these records lie in the time for which the papers say that the unit was stored.";
    i.key.find("activity-in-storage", &HOW, &spots, &[], because);
    if let Some(result) = result {
        let because = "By the readings the result was shown while the unit was stored.";
        i.key.find("result-outside-count", &HOW, &[Spot::Of(result)], &[], because);
    }
    Some(())
}

fn battery_higher(i: &mut Injection) -> Option<()> {
    let (poll, count) = (i.phase(Phase::Poll)?, i.phase(Phase::Count)?);
    let result = i.places(count, Event::Result).first().copied()?;
    let higher = i.insert_between(result, Event::BatteryLevel, vec![("mv", "7600".to_owned())])?;
    let close = i.close_of_poll().filter(|at| poll.contains(at))?;
    let lower = i.insert_between(close, Event::BatteryLevel, vec![("mv", "7100".to_owned())])?;
    i.key.did("The battery was measured in the poll and at the count", &[Spot::Of(lower), Spot::Of(higher)]);
    let because = "The battery has more voltage at the count than in the poll.";
    i.key.find("battery-higher-at-count", &HOW, &[Spot::Of(higher)], &[lower], because);
    Some(())
}

fn voted_in_an_interruption(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let votes = i.places(poll, Event::Vote);
    let middle = votes.get(votes.len() / 2).copied()?;
    let at = i.entry(middle)?.moment;
    i.life.papers.rows.retain(|row| row.table != "interruption");
    i.life.papers.period("interruption", at - 20 * MINUTE, at + 20 * MINUTE, "rain came in", Paper::Diary);
    // What follows is reckoned from the readings and the votes that the log still holds.
    let vote = i.id(middle)?;
    i.key.did("The papers were given an interruption of forty minutes about this vote", &[Spot::Of(vote)]);
    Some(())
}

fn clock_beyond_tolerance(i: &mut Injection) -> Option<()> {
    i.shift_display(0, -4 * MINUTE);
    i.life.papers.row("setting", &["offset-tolerance-seconds = 60".to_owned()], Paper::Procedure);
    let behind = |moment: i64| i.entries().iter().rfind(|entry| entry.moment <= moment).map(|entry| entry.id);
    let spots: Vec<Spot> =
        i.life.papers.readings.iter().filter_map(|noted| behind(noted.moment)).map(Spot::Of).collect();
    if spots.is_empty() {
        return None;
    }
    i.key.did(
        "The clock is four minutes slow through the whole log; it was read behind these records",
        &spots,
    );
    let because = "The readings put the display farther off than the procedure tolerates.";
    i.key.find("clock-offset", &HOW, &spots, &[], because);
    Some(())
}

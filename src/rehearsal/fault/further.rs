//! Faults beyond the catalogue: one for each rule on procedure that the catalogue does not touch.

use super::injection::Injection;
use super::order::{nothing, result_behind};
use super::{Fault, Level, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::setting::Setting;

/// A row without a size.
pub(super) const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    touches: Touches,
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    let (injected, concludes) = texts;
    Fault { number, id, injected, concludes, size: None, level: Level::Middle, touches, setting, inject }
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "101",
        "enable-behind-close",
        (
            "An enable is recorded after the close and before the clear",
            "A contradiction: no enable follows a close before the memory is cleared.",
        ),
        Touches::Order,
        nothing,
        enable_behind_close,
    ),
    row(
        "102",
        "candidates-set-in-poll",
        (
            "The number of candidates is set in mid-poll, with votes in the memory",
            "A contradiction: the unit takes no such setting before its memory is cleared.",
        ),
        Touches::Order,
        nothing,
        candidates_set_in_poll,
    ),
    row(
        "103",
        "event-after-switch-off",
        ("An event is recorded while the unit is off", "A contradiction: the switch was off."),
        Touches::All,
        nothing,
        event_after_switch_off,
    ),
    row(
        "104",
        "power-lost-in-poll",
        (
            "The unit records two switchings on in mid-poll and none off between",
            "The power went away without the switch, as this unit may record it.",
        ),
        Touches::All,
        nothing,
        power_lost_in_poll,
    ),
    row(
        "105",
        "self-test-failed",
        ("A self-test fails and voting goes on", "The failed test is named with the votes behind it."),
        Touches::All,
        nothing,
        self_test_failed,
    ),
    row(
        "106",
        "cover-opened",
        ("A cover is opened in mid-poll, and no paper says why", "The opening is named."),
        Touches::Line,
        nothing,
        cover_opened,
    ),
    row(
        "107",
        "enable-waits-at-close",
        (
            "An enable waits for its vote when the unit is closed",
            "The enable is named; a voter who left explains it.",
        ),
        Touches::Order,
        nothing,
        enable_waits_at_close,
    ),
    row(
        "108",
        "cleared-before-count",
        (
            "The memory is cleared between poll and count",
            "The clear is named: at the count nothing was left to be shown.",
        ),
        Touches::All,
        nothing,
        cleared_before_count,
    ),
    row(
        "109",
        "zero-not-shown",
        (
            "Neither a total nor a printed report shows zero before the poll",
            "Zero was not shown, if the log holds all of the morning.",
        ),
        Touches::All,
        |setting| setting.rates.retain(|act, _| *act != Act::ZeroPrinted),
        zero_not_shown,
    ),
    row(
        "110",
        "mock-poll-too-small",
        (
            "The mock poll has fewer votes than the procedure asks",
            "The mock poll was too small by the stated number.",
        ),
        Touches::All,
        |setting| {
            setting.mock_votes_least = (3, 4);
            setting.rates.insert(Act::SecondMockPoll, 0);
        },
        mock_poll_too_small,
    ),
];

fn enable_behind_close(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let closes = i.places(poll, Event::Close);
    let at = i.pick(&closes)?;
    let close = i.id(at)?;
    let enable = i.insert_between(at + 1, Event::Enable, Vec::new())?;
    i.key.did("An enable was put in behind the close", &[Spot::Of(enable)]);
    let because = "An enable stands between close and clear.";
    i.key.find("enable-after-close", &[Contradiction], &[Spot::Of(enable)], &[close, enable], because);
    result_behind(i, at + 1, enable);
    i.silent(&["lapses-differ"], "The enable stands in a conflict, and is no voter's.");
    Some(())
}

fn candidates_set_in_poll(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let before = i.id(at - 1)?;
    let known = i.entries().iter().find(|entry| entry.event == Event::CandidateSet)?.attributes.clone();
    let set = i.insert_between(at, Event::CandidateSet, known)?;
    i.key.did("The candidates were set between two voters", &[Spot::Of(set)]);
    let because = "The candidates are set with a vote in the memory.";
    i.key.find("candidates-set-with-votes", &[Contradiction], &[Spot::Of(set)], &[before, set], because);
    Some(())
}

fn event_after_switch_off(i: &mut Injection) -> Option<()> {
    let count = i.phase(Phase::Count)?;
    let sites = i.places(count, Event::PowerOn);
    let at = i.pick(&sites)?;
    let off = i.id(at - 1).filter(|_| i.event(at - 1) == Some(Event::PowerOff))?;
    let moment = i.entry(at - 1)?.moment + 1000;
    let total = i.insert(at, moment, Event::PaperLow, Vec::new())?;
    i.key.did("An event was put in between switching off and on", &[Spot::Of(total)]);
    let because = "The record stands between power-off and power-on.";
    i.key.find("event-while-off", &[Contradiction], &[Spot::Of(total)], &[off, total], because);
    if i.first_held() == at {
        // With this record alone the unit was on, and nothing says that it was switched off.
        let on = i.id(at + 1)?;
        let because =
            "The power-off before it is not in the log, so that a power-on stands where the unit was on.";
        i.key.find("power-lost", &[Shown, Conditional], &[Spot::Of(on)], &[total, on], because);
    }
    let because = "The record was made before the storage began, or in the minute in which it did.";
    i.silent(&["activity-in-storage"], because);
    Some(())
}

fn power_lost_in_poll(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (from, to) = (i.entry(at - 1)?.moment, i.entry(at)?.moment);
    let before = i.id(at - 1)?;
    let on = i.switch_on(at, i64::midpoint(from, to))?;
    i.key.did("The unit came on again without having been switched off", &[Spot::Of(on)]);
    let because = "A power-on stands where the unit was on.";
    i.key.find("power-lost", &[Shown, Conditional], &[Spot::Of(on)], &[before, on], because);
    Some(())
}

fn self_test_failed(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let test = i.insert_between(at, Event::SelfTest, vec![("result", "fail".to_owned())])?;
    i.key.did("A self-test failed between two voters", &[Spot::Of(test)]);
    let how = [Shown, Conditional];
    let because = "A vote follows a failed self-test, and no passed one stands between.";
    i.key.find("self-test-failed-and-voting-went-on", &how, &[], &[test], because);
    Some(())
}

fn cover_opened(i: &mut Injection) -> Option<()> {
    if i.life.acts.contains(&Act::BatteryReplaced) {
        return None;
    }
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let opened = i.insert_between(at, Event::CoverOpened, vec![("section", "battery".to_owned())])?;
    i.key.did("A cover was opened between two voters", &[Spot::Of(opened)]);
    i.find("cover-opened", Conditional, opened, "A cover was opened, and no paper gives a cause.");
    Some(())
}

fn enable_waits_at_close(i: &mut Injection) -> Option<()> {
    let close = i.close_of_poll()?;
    let at = i.pick(&[close])?;
    if i.event(at.checked_sub(1)?) != Some(Event::Vote) {
        return None;
    }
    let close = i.id(at)?;
    let enable = i.insert_between(at, Event::Enable, Vec::new())?;
    i.key.did("An enable was put in before the close, and nobody voted", &[Spot::Of(enable)]);
    let how = [Shown, Conditional];
    let spots = [Spot::Of(enable), Spot::Of(close)];
    i.key.find("enable-pending-at-close", &how, &spots, &[enable, close], "An enable waits at the close.");
    Some(())
}

fn cleared_before_count(i: &mut Injection) -> Option<()> {
    let count = i.phase(Phase::Count)?;
    let close = i.close_of_poll()?;
    let closed = i.id(close)?;
    // Without a vote of the poll the numbers shown may be those of a mock poll that was not cleared.
    let voted = i.id((0..close).rfind(|at| i.event(*at) == Some(Event::Vote))?)?;
    let off = (close..count.start).find(|at| i.event(*at) == Some(Event::PowerOff))?;
    let total = i.votes_before(close).to_string();
    let (from, to) = (i.entry(off - 1)?.moment, i.entry(off)?.moment);
    // A reading names the record behind which it was taken, so that nothing is put in before it; seconds are displayed.
    let taken = i.life.papers.readings.iter().map(|noted| noted.moment).filter(|at| (from..to).contains(at));
    let from = taken.max().map_or(from, |at| at + 1000);
    if to - from < 6000 {
        return None;
    }
    let third = (to - from) / 3;
    i.insert(off, from + third, Event::Result, vec![("total", total)])?;
    let clear = i.insert(off + 1, from + 2 * third, Event::Clear, Vec::new())?;
    // At the count the unit is closed once more, to show what is left in it.
    let mut place = off + 2;
    while let Some(event) = i.event(place) {
        if event == Event::Result {
            let moment = i64::midpoint(i.entry(place - 1)?.moment, i.entry(place)?.moment);
            i.insert(place, moment, Event::Close, vec![("total", "0".to_owned())])?;
            break;
        }
        place += 1;
    }
    for entry in i.life.memory.entries.iter_mut().skip(off + 2) {
        for (key, value) in &mut entry.attributes {
            if *key == "total" {
                "0".clone_into(value);
            }
        }
    }
    i.key.did(
        "Result and clear were put in after the close of the poll, before the count",
        &[Spot::Of(clear)],
    );
    let how = [Shown, Conditional];
    i.key.find(
        "memory-cleared-before-count",
        &how,
        &[Spot::Of(clear)],
        &[voted, clear],
        "The memory was cleared before the count.",
    );
    // The count notes what the unit shows it.
    for noted in i.life.papers.counts.iter_mut().filter(|noted| noted.of == "result-at-count") {
        (noted.least, noted.most) = (0, 0);
    }
    let because = "The count was shown nothing, where the unit had the votes of the poll at its close.";
    i.key.find("result-differs", &[Conditional, Shown, Contradiction], &[], &[closed], because);
    let because =
        "The numbers that the unit showed fit its records: all before the clear, and none behind it.";
    i.silent(&["total-differs", "declared-differs", "register-differs"], because);
    let because = "The result was shown on the evening of the poll, before the storage, and the close at the count is not the poll's.";
    i.silent(&["result-outside-count", "closed-late"], because);
    Some(())
}

fn zero_not_shown(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let first = poll.clone().find(|at| i.event(*at) == Some(Event::Vote))?;
    let shows = (poll.start..first).find(|at| i.event(*at) == Some(Event::Total))?;
    let cleared = (0..shows).rev().find(|at| i.event(*at) == Some(Event::Clear)).and_then(|at| i.id(at))?;
    i.remove(shows)?;
    i.key.did("The total that showed zero before the poll was left out", &[]);
    let how = [Conditional, Shown];
    i.key.find(
        "zero-not-shown",
        &how,
        &[],
        &[cleared],
        "No zero stands between the clear and the first vote of the poll.",
    );
    Some(())
}

fn mock_poll_too_small(i: &mut Injection) -> Option<()> {
    let mock = i.phase(Phase::MockPoll)?;
    let votes = i.places(mock.clone(), Event::Vote);
    let first = votes.first().copied()?;
    let cleared =
        (0..mock.start).rev().find(|at| i.event(*at) == Some(Event::Clear)).and_then(|at| i.id(at))?;
    let before = votes.len();
    // All but one voter of the mock poll are left out.
    while i.places(i.phase(Phase::MockPoll)?, Event::Vote).len() > 1 {
        i.remove(first)?;
        i.remove(first - 1)?;
    }
    let less = i64::try_from(before).ok()? - 1;
    i.raise_totals(mock.start, -less);
    i.raise_count("mock-votes", -less);
    i.key.did("All votes of the mock poll but one were left out", &[]);
    let how = [Conditional, Shown];
    // Without the first record of all, an earlier mock poll may have been large enough.
    let needs = [cleared, i.id(0)?];
    i.key.find("mock-poll-too-small", &how, &[], &needs, "One vote is fewer than the procedure asks.");
    Some(())
}

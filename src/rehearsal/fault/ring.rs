//! Faults of the mock poll, of the ring that overwrites, and of exports that hold less than the unit.

use super::hour::keeps_mock_votes;
use super::injection::{Injection, OPEN};
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::papers::Paper;
use crate::rehearsal::unwritten::Print;

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        number: "8",
        id: "mock-votes-kept",
        injected: "The mock poll's votes were not cleared, no paper speaks of it, and the log shows all of it",
        concludes: "The mock poll was not cleared. The total is that of both; what it exceeds the register by is the number \
                    of mock votes.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: keeps_mock_votes,
        inject: |i| mock_votes_kept(i, false),
    },
    Fault {
        number: "9",
        id: "mock-votes-kept-unseen",
        injected: "As 8, but the ring has overwritten the opening",
        concludes: "Whether the mock poll was cleared cannot be told. The count alone speaks: total less register.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: keeps_mock_votes,
        inject: |i| mock_votes_kept(i, true),
    },
    Fault {
        number: "10",
        id: "clear-overwritten",
        injected: "Nothing: all was lawful, and the ring has overwritten the mock poll and its clear",
        concludes: "Nothing may be said: what a full ring does not hold supports nothing.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: nothing,
        inject: clear_overwritten,
    },
    Fault {
        number: "40",
        id: "ring-as-stored",
        injected: "The export writes the ring as it is stored, so that the newest records stand before the oldest",
        concludes: "The turn is undone and noted; nothing else.",
        size: None,
        level: Level::Middle,
        touches: Touches::All,
        setting: nothing,
        inject: ring_as_stored,
    },
    Fault {
        number: "46",
        id: "file-cut-short",
        injected: "The file ends in mid-poll, without the close and without a closing line",
        concludes: "Nothing may be said about the closing.",
        size: None,
        level: Level::Hard,
        touches: Touches::All,
        setting: nothing,
        inject: file_cut_short,
    },
    Fault {
        number: "47",
        id: "ring-flooded",
        injected: "Self-tests after the count fill the whole ring",
        concludes: "Nothing may be said about the poll: no vote stands in the log.",
        size: Some(Size { of: "records", least: 20, usual: 60, most: 1000 }),
        level: Level::Middle,
        touches: Touches::All,
        setting: nothing,
        inject: ring_flooded,
    },
];

/// A ring that begins in the poll behind so many of its votes.
fn overwrite_to(i: &mut Injection, votes: usize) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let first = i.places(poll, Event::Vote).get(votes).copied()?;
    i.life.unit.keeps = u64::try_from(i.entries().len() - first).ok()?;
    Some(())
}

fn mock_votes_kept(i: &mut Injection, unseen: bool) -> Option<()> {
    let mock = i.phase(Phase::MockPoll)?;
    let poll = i.phase(Phase::Poll)?;
    let (mock_votes, poll_votes) = (i.places(mock.clone(), Event::Vote), i.places(poll, Event::Vote));
    // Between the last vote of the one and the first of the other nothing is cleared.
    let ends = [i.id(*mock_votes.last()?)?, i.id(*poll_votes.first()?)?];
    let votes = i64::try_from(i.places(mock, Event::Vote).len()).ok()?;
    i.life.papers.rows.retain(|row| !row.keys.iter().any(|key| key.contains("mock-votes-deducted")));
    // Nobody deducted them: the declared number is the unit's.
    i.raise_count("declared", votes);
    if unseen {
        overwrite_to(i, 3)?;
        let because = "The ring has overwritten the mock poll and whatever followed it.";
        i.open(&["mock-poll-not-cleared", "no-mock-poll", "zero-not-shown"], because);
    }
    i.key.did(
        format!("The {votes} votes of the mock poll stayed in the memory and were declared with the others"),
        &[],
    );
    if !unseen {
        let how = [Conditional, Shown, Contradiction];
        i.key.find("mock-poll-not-cleared", &how, &[], &ends, "No clear stands between mock poll and poll.");
        let because = "One deviation, one rule: votes that stayed in the memory leave no zero to be shown.";
        i.silent(&["zero-not-shown"], because);
    }
    let because = format!("The total exceeds the register by the {votes} mock votes.");
    // A log that holds no record of the poll does not say which number is the poll's.
    let close = i.id(i.close_of_poll()?)?;
    i.key.find("register-differs", &[Conditional, Shown, Contradiction], &[], &[close], &because);
    i.silent(&["mock-votes-differ"], "As many votes of the mock poll were noted as were cast in it.");
    Some(())
}

fn clear_overwritten(i: &mut Injection) -> Option<()> {
    overwrite_to(i, 2)?;
    i.key.did("Nothing was injected; the ring begins in mid-poll", &[]);
    let because = "The ring has overwritten it; what is not there supports nothing.";
    i.open(&["no-mock-poll", "mock-poll-not-cleared", "mock-poll-too-small", "zero-not-shown"], because);
    Some(())
}

fn ring_as_stored(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let sites = i.places(poll.clone(), Event::Enable);
    // The ring has come round: its first place holds a record of the poll.
    let keeps = i.entries().len() - poll.start.checked_sub(10)?;
    i.life.unit.keeps = u64::try_from(keeps).ok()?;
    let at = i.pick(&sites)?;
    let first = (i.entries().len() - keeps).max(i.first_held());
    let (newest, oldest) = (i.id(at)?, i.id(first)?);
    i.print(Print::BeginsAt(newest));
    i.key.did(
        "The file begins with the first of these records; the oldest is the second",
        &[Spot::Of(newest), Spot::Of(oldest)],
    );
    if at > first {
        i.key.find(
            "ring-order",
            &[Shown],
            &[Spot::Of(oldest)],
            &[],
            "The file holds the ring as stored; read in order, it is one run.",
        );
    }
    i.silent(
        &["numbers-out-of-order", "number-missing", "time-decreases"],
        "The turn of the ring explains it.",
    );
    Some(())
}

fn file_cut_short(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let last = i.id(at - 1)?;
    i.print(Print::EndsBehind(last));
    i.key.did("The file ends behind this record", &[Spot::Of(last)]);
    i.open(
        &["no-close", "closing-disagrees", "enable-pending-at-close", "closed-early", "closed-late"],
        "The file ends before the close, and without a closing line.",
    );
    let because = "The file ends before the unit's total; it can be set against nothing.";
    for rule in ["total-differs", "result-differs", "register-differs"] {
        i.key.answer(rule, OPEN, because);
    }
    Some(())
}

fn ring_flooded(i: &mut Injection) -> Option<()> {
    let count = i.phase(Phase::Count)?;
    let result = i.places(count, Event::Result).first().copied()?;
    let from = i.entry(result)?.moment;
    let to = i.entry(result + 1)?.moment;
    // Not evenly, which would be a clock that ticks coarsely.
    let mut moments: Vec<i64> = (0..i.size).map(|_| i.chance.whole(from, to)).collect();
    moments.sort_unstable();
    for (place, moment) in (0..i.size).zip(moments) {
        let at = result + 1 + usize::try_from(place).ok()?;
        i.insert(at, moment, Event::SelfTest, vec![("result", "pass".to_owned())])?;
    }
    let after = i.entries().len() - result - 1;
    i.life.unit.keeps = u64::try_from(after).ok()?;
    i.key.did(format!("{} self-tests were recorded after the result, and overwrote the poll", i.size), &[]);
    let because = "No record of the poll stands in the log.";
    i.open(
        &[
            "no-mock-poll",
            "mock-poll-not-cleared",
            "zero-not-shown",
            "no-close",
            "memory-cleared-before-count",
        ],
        because,
    );
    // Papers that speak of a storage to the minute say nothing about self-tests within a minute of it.
    i.life.papers.rows.retain(|row| row.table != "storage");
    i.life.papers.row("storage", &["none = true".to_owned()], Paper::StrongRoom);
    Some(())
}

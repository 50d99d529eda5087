//! Faults of a chained log: what became of one record after the unit had made the chain.

use super::further;
use super::injection::Injection;
use super::order::nothing;
use super::{Fault, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::{How, Spot};
use crate::rehearsal::memory::{Id, Renumbered};
use crate::rehearsal::unwritten::Print;
use crate::syntax::Stamp;

const HOW: [How; 2] = [Conditional, Shown];

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, Touches::All, nothing, inject)
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "117",
        "chained",
        (
            "Nothing: every record carries a chain value, and each follows from the one before",
            "Nothing contrary: the chain holds.",
        ),
        chained,
    ),
    row(
        "135",
        "chain-record-changed",
        (
            "The time of one vote in mid-poll is a second later than when the chain was made; the closing line was made anew",
            "The chain value of this record does not follow from its bytes, and every other one does.",
        ),
        changed_in_the_middle,
    ),
    row(
        "136",
        "chain-first-changed",
        (
            "The time of the unit's first record is a second later than when the chain was made",
            "Before the first record of a unit's life stand 32 zero bytes, so that its value is known; it is another.",
        ),
        first_changed,
    ),
    row(
        "137",
        "chain-oldest-changed",
        (
            "The ring has overwritten the opening, and the time of the oldest record that is left was changed",
            "Nothing may be said: the value before it is not known, and the next one follows from the value, not from the \
             record.",
        ),
        oldest_changed,
    ),
    row(
        "138",
        "chain-last-changed",
        (
            "The time of the last record is a second later than when chain and closing line were made",
            "Its chain value does not follow from its bytes, and the closing line does not agree.",
        ),
        last_changed,
    ),
    row(
        "139",
        "chain-record-taken-out",
        (
            "A record was taken out of a chained log, and its number is missing",
            "The number is missing; behind the hole the chain has nothing to follow from.",
        ),
        |i| taken_out(i, false),
    ),
    row(
        "140",
        "chain-numbers-closed-up",
        (
            "A record was taken out of a chained log, and all later ones were given the numbers that follow",
            "No number is missing. Behind the place no record is as it was when the chain was made.",
        ),
        |i| taken_out(i, true),
    ),
];

/// The unit chains every record as it makes it.
fn chain(i: &mut Injection) {
    let values = i.life.chain();
    i.print(Print::Chains(values));
}

/// Makes a record's time a second later, where the next one leaves room for it.
fn change(i: &mut Injection, at: usize) -> Option<Id> {
    let next = i.entry(at + 1).map(|next| next.time.ms());
    let entry = i.entry_mut(at)?;
    let later = entry.time.ms() + 1000;
    if next.is_some_and(|next| next < later) {
        return None;
    }
    entry.time = Stamp::new(later, entry.time.digits());
    Some(entry.id)
}

fn chained(i: &mut Injection) -> Option<()> {
    i.entry(0)?;
    chain(i);
    i.key.did("Every record was given a chain value", &[]);
    i.silent(&["chain-broken"], "Each chain value follows from the one before it.");
    Some(())
}

fn changed_in_the_middle(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)? + 1;
    let before = i.id(at - 1)?;
    chain(i);
    let changed = change(i, at)?;
    i.key.did("The time of this vote was made a second later", &[Spot::Of(changed)]);
    let because =
        "The value was made over another time of this record; the next one follows from this value.";
    i.key.find("chain-broken", &HOW, &[Spot::Of(changed)], &[before, changed], because);
    Some(())
}

fn first_changed(i: &mut Injection) -> Option<()> {
    i.life.unit.first_number?;
    chain(i);
    let first = change(i, 0)?;
    i.key.did("The time of the first record was made a second later", &[Spot::Of(first)]);
    let because = "The unit's first record follows 32 zero bytes, and its value was made over another time.";
    i.key.find("chain-broken", &HOW, &[Spot::Of(first)], &[first], because);
    Some(())
}

fn oldest_changed(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let oldest = i.places(poll, Event::Vote).get(2).copied()?;
    i.life.unit.keeps = u64::try_from(i.entries().len() - oldest).ok()?;
    chain(i);
    let changed = change(i, oldest)?;
    i.key.did("The time of the oldest record in the ring was made a second later", &[Spot::Of(changed)]);
    let because = "The chain value before the oldest record was overwritten with its record.";
    i.silent(&["chain-broken"], because);
    let because = "The ring has overwritten it; what is not there supports nothing.";
    i.open(&["no-mock-poll", "mock-poll-not-cleared", "mock-poll-too-small", "zero-not-shown"], because);
    Some(())
}

fn last_changed(i: &mut Injection) -> Option<()> {
    let at = i.entries().len().checked_sub(1)?;
    let before = i.id(at.checked_sub(1)?)?;
    chain(i);
    let closing = i.closing_line()?;
    let last = change(i, at)?;
    i.print(Print::Closes(closing));
    i.key.did("The time of the last record was made a second later, and nothing else", &[Spot::Of(last)]);
    let because = "The value was made over another time of this record.";
    i.key.find("chain-broken", &HOW, &[Spot::Of(last)], &[before, last], because);
    i.key.find("closing-disagrees", &HOW, &[], &[last], "The closing digest was made over another time.");
    Some(())
}

fn taken_out(i: &mut Injection, closed_up: bool) -> Option<()> {
    // A measurement of the battery, between poll day's setting up and its mock poll: no rule asks for it.
    let mock = i.phase(Phase::MockPoll)?.start;
    let at = (0..mock).rfind(|at| i.event(*at) == Some(Event::BatteryLevel)).filter(|at| *at > 0)?;
    let (before, next) = (i.id(at - 1)?, i.id(at + 1)?);
    chain(i);
    i.remove(at)?;
    i.key.did("A record was taken out before this one", &[Spot::Of(next)]);
    if closed_up {
        // Of the first record in the file nobody knows what it follows from.
        let from = at.max(i.first_held() + 1);
        let later: Vec<Spot> = i.entries().iter().skip(from).map(|entry| Spot::Of(entry.id)).collect();
        let because = "Each value was made over another number of its record.";
        if later.is_empty() {
            i.silent(&["chain-broken"], because);
        } else {
            i.key.find("chain-broken", &HOW, &later, &[], because);
        }
        i.silent(&["number-missing"], "The numbers were made to follow.");
    } else {
        i.entry_mut(at)?.renumbered = Some(Renumbered::Skips(1));
        let because = "Behind a missing number the value before is not known.";
        i.silent(&["chain-broken"], because);
        let at = [Spot::Of(before), Spot::Of(next)];
        let because = "The numbers on both sides do not follow.";
        i.key.find("number-missing", &[Conditional], &at, &[before, next], because);
    }
    Some(())
}

//! Faults that no rule on the order of events names by itself: records of which no state is left that explains them.

use super::further;
use super::hour::silences;
use super::injection::Injection;
use super::order::nothing;
use super::{Fault, Touches};
use crate::event::Event;
use crate::rehearsal::key::How::Contradiction;
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Id;
use crate::rehearsal::setting::Setting;
use crate::unit::Unlogged;

const RULE: &str = "no-lawful-course";

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    touches: Touches,
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, touches, setting, inject)
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "150",
        "closed-twice",
        (
            "The close of the poll is recorded twice, some seconds apart",
            "A contradiction: a closed unit takes no close. A record is too many, or result and clear are missing between.",
        ),
        Touches::Order,
        nothing,
        closed_twice,
    ),
    row(
        "151",
        "lapse-without-enable",
        (
            "An enable lapses that nobody pressed",
            "A contradiction: nothing can lapse behind a vote. An enable is missing, or the lapse is too many.",
        ),
        Touches::Order,
        nothing,
        lapse_without_enable,
    ),
    row(
        "152",
        "cleared-behind-an-enable",
        (
            "A clear is recorded between an enable and its vote",
            "A contradiction, whatever was in the memory: two reasons stand against the clear, and which one depends on what \
             lies before. The vote behind it has no enable.",
        ),
        Touches::Order,
        nothing,
        |i| between_enable_and_vote(i, Event::Clear),
    ),
    row(
        "153",
        "candidates-set-behind-an-enable",
        (
            "The candidates are set between an enable and its vote",
            "A contradiction, whatever was in the memory: two reasons stand against the setting, and which one depends on what \
             lies before. The vote behind it has no enable.",
        ),
        Touches::Order,
        nothing,
        |i| between_enable_and_vote(i, Event::CandidateSet),
    ),
    row(
        "154",
        "vote-behind-switching-on",
        (
            "The unit is switched off and on in mid-poll, and the enable of the next vote was never recorded",
            "A contradiction: behind a switching on no vote can stand. It lacks an enable, or the unit was closed; the records \
             between cannot say which.",
        ),
        Touches::All,
        nothing,
        vote_behind_switching_on,
    ),
    row(
        "155",
        "switched-on-twice",
        (
            "The unit is switched on while it is on, and this model never loses its power without a record",
            "A contradiction: no rule names it, and no state explains it.",
        ),
        Touches::All,
        |setting| setting.unit.unlogged = vec![Unlogged::EnableLapse],
        switched_on_twice,
    ),
];

fn contradicts(i: &mut Injection, before: Id, odd: Id, because: &str) {
    i.key.find(RULE, &[Contradiction], &[Spot::Of(odd)], &[before, odd], because);
}

fn closed_twice(i: &mut Injection) -> Option<()> {
    let close = i.close_of_poll()?;
    let at = i.pick(&[close])?;
    let first = i.id(at)?;
    let attributes = i.entry(at)?.attributes.clone();
    let second = i.insert_between(at + 1, Event::Close, attributes)?;
    i.key.did("The close was put in a second time behind itself", &[Spot::Of(second)]);
    contradicts(i, first, second, "The unit was closed when it was closed.");
    let because = "Both closes show the same number, and it is that of the votes.";
    i.silent(&["total-differs", "result-differs", "closed-late", "no-close"], because);
    Some(())
}

fn lapse_without_enable(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let before = i.id(at - 1)?;
    let lapse = i.insert_between(at, Event::EnableLapsed, vec![("after", "60".to_owned())])?;
    i.key.did("A lapse was put in between a vote and the next enable", &[Spot::Of(lapse)]);
    contradicts(i, before, lapse, "Behind a vote no enable waits that could lapse.");
    i.silent(&["lapses-differ"], "The lapse stands in a conflict, and is no voter's.");
    Some(())
}

fn between_enable_and_vote(i: &mut Injection, event: Event) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)? + 1;
    let (enable, vote) = (i.id(at - 1)?, i.id(at)?);
    let like = i.entries().iter().find(|entry| entry.event == event)?.attributes.clone();
    let odd = i.insert_between(at, event, like)?;
    i.key.did("This record was put in between an enable and its vote", &[Spot::Of(odd)]);
    contradicts(i, enable, odd, "Nothing but a vote, a lapse or a close follows an enable.");
    let because =
        "Only an empty and locked memory lets the record before it be; a vote behind that has no enable.";
    i.key.find("vote-without-enable", &[Contradiction], &[Spot::Of(vote)], &[odd, vote], because);
    let because = "The record stands in a conflict, and one rule speaks for it already.";
    i.silent(&["candidates-set-with-votes", "clear-before-result", "memory-cleared-before-count"], because);
    Some(())
}

fn vote_behind_switching_on(i: &mut Injection) -> Option<()> {
    let sites: Vec<usize> = silences(i, 120_000);
    let sites: Vec<usize> = sites
        .into_iter()
        .filter(|at| i.event(*at) == Some(Event::Enable) && i.event(*at + 1) == Some(Event::Vote))
        .collect();
    let at = i.pick(&sites)?;
    let off = i.entry(at - 1)?.moment + 30_000;
    let (_, switched, at) = i.off_and_on(at, off, off + 40_000)?;
    let vote = i.id(at + 1)?;
    i.remove(at)?;
    let spots = [Spot::Of(switched), Spot::Of(vote)];
    i.key.did("The unit was switched off and on, and the enable before the vote was left out", &spots);
    contradicts(i, switched, vote, "A unit that comes on has no enable that waits.");
    Some(())
}

fn switched_on_twice(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, from, to) = (i.id(at - 1)?, i.entry(at - 1)?.moment, i.entry(at)?.moment);
    let on = i.switch_on(at, i64::midpoint(from, to))?;
    i.key.did("The unit came on while it was on", &[Spot::Of(on)]);
    contradicts(i, before, on, "The vote before it was recorded with the power on.");
    i.silent(&["power-lost"], "This model records every loss of power, so that none explains it.");
    Some(())
}

//! The enables over the same records as the votes of a poll, and what became of each.

use std::ops::Range;

use super::ledger::{Balance, Outcome, Source};
use super::polls::{Poll, lapsed_in};
use super::sheet::{Sheet, minus, plus};
use super::view::View;
use super::{Doubt, Interval};
use crate::event::Event;

/// The enables recorded over the same records as the votes: each is followed by its vote, or by none.
pub(super) fn enables(
    sheet: &mut Sheet<'_>,
    view: View<'_>,
    poll: &Poll,
    recorded: usize,
    over: Range<usize>,
) {
    let of = |event| move |step: &usize| view.event(*step) == Some(event);
    let given: Vec<usize> = over.clone().filter(of(Event::Enable)).collect();
    let lapsed = lapsed_in(view, over.clone(), poll.steps.end, |_| true);
    let value = Interval::of(given.len() as u64);
    let given = sheet.put("enables recorded since", value, Source::Records(given), None);
    // Where records are not known, some may be votes of these enables and others enables of these votes.
    if view.blind_in(over.clone()).is_some() {
        return;
    }
    let least = lapsed.surely.len() as u64;
    let value = Interval::from_to(least, Some(least + lapsed.perhaps as u64));
    let doubt = (lapsed.perhaps > 0).then_some(Doubt::NoClose);
    let lapses = sheet.put("enables that no vote followed", value, Source::Records(lapsed.surely), doubt);
    let mut right = vec![plus(given), minus(lapses)];
    // The enable of a first vote may come before the first of these records.
    let first = over.clone().find(|step| matches!(view.event(*step), Some(Event::Enable | Event::Vote)));
    if let Some(vote) = first.filter(|step| view.event(*step) == Some(Event::Vote)) {
        let words = "votes whose enable comes before these records";
        right.push(plus(sheet.put(words, Interval::of(1), Source::Records(vec![vote]), None)));
    }
    sheet.balance(Balance {
        rule: "",
        words: "each vote recorded has its enable, and each other enable had no vote",
        at: Some(poll.at),
        left: vec![plus(recorded)],
        right,
        of_shown: false,
        rests: Vec::new(),
        outcome: Outcome::Within,
    });
}

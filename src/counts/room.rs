//! For how many votes there was time before the first record, by the documented least time of one vote.

use super::ledger::{Balance, Outcome, Source};
use super::polls::Poll;
use super::sheet::{Sheet, plus};
use super::view::View;
use super::{Doubt, Interval, Rest};
use crate::case::SettingOf;
use crate::clock::{Instant, hours};

const EMPTY_AT_OPENING: &str =
    "no vote lay in the memory at the opening, and no voter was released before it";

/// The votes before an open front, by the time that there was for them.
pub(super) fn room(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll, before: usize) {
    let Some((value, rests)) = before_the_first(view, poll) else { return };
    let words = "votes for which there was time from the opening to the first record";
    let room = sheet.put(words, value, Source::Unseen, Some(Doubt::Front));
    sheet.balance(Balance {
        rule: "vote-too-soon",
        words: "the votes before the first record took at least their least time",
        at: Some(poll.at),
        left: vec![plus(before)],
        right: vec![plus(room)],
        of_shown: false,
        rests,
        outcome: Outcome::Within,
    });
}

/// The votes that may have been recorded from the opening of a poll to the first record, with all that this rests on:
/// floor(elapsed / least time). `None` where no paper states an opening, nothing bounds the true time of the first
/// record, or no least time is documented.
fn before_the_first(view: View<'_>, poll: &Poll) -> Option<(Interval, Vec<Rest>)> {
    let (ms, stated) =
        match (view.case.settings.number(SettingOf::SecondsPerVote), view.unit.least_ms_per_vote) {
            (Some(stated), _) => (stated.value.1.saturating_mul(1000), Some(stated.basis.clone())),
            (None, Some(ms)) => (ms, None),
            (None, None) => return None,
        };
    let least = Instant::of_ns(i128::from(ms) * 1_000_000);
    let mut opening: Option<(Instant, Rest)> = None;
    for stated in &view.case.polls {
        let row = &stated.value;
        if poll.day.is_some() && row.date != poll.day {
            continue;
        }
        // A poll whose opening is not stated may have begun before every other.
        let moment = format!("{} {}", row.date.as_ref()?, row.opens.as_ref()?);
        let (earliest, _) = hours::instants(view.case, &moment, row.zone.as_deref())?;
        if opening.as_ref().is_none_or(|(first, _)| earliest < *first) {
            opening = Some((earliest, Rest::Opening(moment, stated.basis.clone())));
        }
    }
    let (opens, opening) = opening?;
    let first = (0..view.replay.steps.len()).find(|step| view.replay.record(*step).is_some())?;
    // Most logs need no more than the bound itself; what it rests on is worked out only where there is one.
    let elapsed = view.clock.bounds(first).latest?.at.ns() - opens.ns();
    if elapsed < 0 || least.ns() <= 0 {
        return None;
    }
    let most = u64::try_from(elapsed / least.ns()).ok()?;
    let clock = view.clock.when(first).latest.map_or(Vec::new(), |end| end.rests_on);
    let mut rests = vec![Rest::LeastTime(ms, stated), opening, Rest::Unstated(EMPTY_AT_OPENING)];
    rests.extend(clock.into_iter().map(Rest::Clock));
    Some((Interval::from_to(0, Some(most)), rests))
}

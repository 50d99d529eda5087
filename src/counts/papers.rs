//! What papers state of a time of the day, and the numbers on paper that no equation holds.

use super::ledger::{Balance, Outcome, Source};
use super::polls::Poll;
use super::sheet::{Sheet, minus, plus, words_of};
use super::view::View;
use super::{Doubt, Interval, Rest, Timed};
use crate::case::{CountOf, Phase};

/// A number of votes on one side of a time, or any where they cannot be counted.
fn votes(sheet: &mut Sheet<'_>, words: &str, timed: &Result<Timed, Doubt>) -> usize {
    match timed {
        Ok(timed) => {
            let source = match timed.left_out.as_slice() {
                [] => Source::Records(timed.surely.clone()),
                left_out => Source::RecordsBut(timed.surely.clone(), left_out.to_vec()),
            };
            sheet.put(words, timed.votes, source, timed.doubt.clone())
        }
        Err(doubt) => sheet.put(words, Interval::SOME, Source::Unseen, Some(doubt.clone())),
    }
}

/// The tokens given at the hour: each is one vote after it, or was not used.
pub(super) fn tokens(sheet: &mut Sheet<'_>, poll: &Poll, after_hour: Option<&Result<Timed, Doubt>>) {
    let Some(timed) = after_hour else { return };
    let Some(given) = sheet.paper(CountOf::Tokens) else { return };
    let after = votes(sheet, "votes of the poll released after the closing hour", timed);
    let unused = sheet.put("tokens that no vote used", Interval::SOME, Source::NotStated, None);
    let rests = sheet.paper_rest(given).into_iter();
    let rests = rests.chain([Rest::Labels(vec![poll.labelled], Phase::Poll)]).chain(poll.which()).collect();
    sheet.balance(Balance {
        rule: "tokens-differ",
        words: "the tokens given, less those that no vote used, are the votes released after the closing hour",
        at: Some(poll.at),
        left: vec![plus(given), minus(unused)],
        right: vec![plus(after)],
        of_shown: false,
        rests,
        outcome: Outcome::Within,
    });
}

/// The turnouts noted during a poll, each beside the votes recorded by then.
pub(super) fn turnouts(
    sheet: &mut Sheet<'_>,
    view: View<'_>,
    place: usize,
    poll: &Poll,
    turnouts: &[Result<Timed, Doubt>],
) {
    for (row, timed) in view.case.turnout.iter().zip(turnouts) {
        // One that cannot be given to any poll stands with the first.
        if timed.as_ref().map_or(0, |timed| timed.poll) != place {
            continue;
        }
        let value = Interval::from_to(row.value.least, Some(row.value.most));
        let words = format!("turnout noted at {}", row.value.at);
        let noted = sheet.put(&words, value, Source::Turnout(row.basis.clone()), None);
        let by_then = votes(sheet, &format!("votes recorded by {}", row.value.at), timed);
        sheet.balance(Balance {
            rule: "turnout-differs",
            words: "the turnout noted is the number of votes recorded by then",
            at: Some(poll.at),
            left: vec![plus(noted)],
            right: vec![plus(by_then)],
            of_shown: false,
            rests: [Rest::Labels(vec![poll.labelled], Phase::Poll)].into_iter().chain(poll.which()).collect(),
            outcome: Outcome::Within,
        });
    }
}

/// The numbers on paper that no equation holds: they are put down all the same, with their source.
pub(super) fn others(sheet: &mut Sheet<'_>, view: View<'_>) {
    for row in &view.case.counts {
        let value = Interval::from_to(row.value.least, Some(row.value.most));
        if sheet.holds(row.value.what, value) {
            continue;
        }
        let words = words_of(row.value.what);
        let words = match &row.value.poll {
            Some(day) => format!("{words}, poll of {day}"),
            None => words.to_owned(),
        };
        sheet.put(&words, value, Source::Paper(row.value.what, row.basis.clone()), None);
    }
}

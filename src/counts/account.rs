//! The account of each poll: its numbers are put down with their sources, and what must agree is drawn up.

use super::at_close;
use super::enables::enables;
use super::ledger::{Balance, Ledger, Outcome, Source};
use super::mocks::{self, Mocks};
use super::papers;
use super::polls::Poll;
use super::room::room;
use super::sheet::{Sheet, Side, minus, plus};
use super::view::View;
use super::{Doubt, Interval, Rest, Shown, Since, Timed, numbers_shown};
use crate::case::{CountOf, Fact, Phase};
use crate::event::Event;
use crate::replay::Bound;

const NO_TESTS: &str = "no vote was deducted as a test; the case file has no such count";
const NO_MOCK: &str = "no vote of a mock poll was deducted; the case file states no order to do so";
const NOT_TWICE: &str = "nobody was released a second time, and everybody who left is noted";
const LATER: &str = "votes by which records behind the last one seen change the number in memory";

/// Draws up the ledger of a log.
pub(super) fn ledger(
    view: View<'_>,
    polls: &Result<Vec<Poll>, Doubt>,
    turnouts: &[Result<Timed, Doubt>],
    after_hour: &[Result<Timed, Doubt>],
) -> Ledger {
    let mut sheet = Sheet::new(view.case);
    let held = mocks::mocks(view);
    match polls {
        Ok(polls) => {
            for (place, poll) in polls.iter().enumerate() {
                sheet.of_day(poll.day.as_deref());
                let before = place.checked_sub(1).and_then(|before| polls.get(before));
                // Without a close of it seen, whatever lies behind its last vote may have been for the next.
                match before.map(|before| before.anchor.unwrap_or(before.last)) {
                    Some(from) => of_poll(&mut sheet, view, poll, &held.of(view, from, poll.until), from),
                    None if polls.len() > 1 => {
                        let mut first = held.of(view, 0, poll.until);
                        first.unseen =
                            Some(Doubt::Front).filter(|_| !view.replay.front.is_closed()).or(first.unseen);
                        of_poll(&mut sheet, view, poll, &first, 0);
                    }
                    None => of_poll(&mut sheet, view, poll, &held, 0),
                }
                papers::tokens(&mut sheet, poll, after_hour.get(place));
                papers::turnouts(&mut sheet, view, place, poll, turnouts);
            }
            sheet.of_day(None);
            papers::others(&mut sheet, view);
            sheet.settle(None)
        }
        Err(doubt) => {
            papers::others(&mut sheet, view);
            sheet.settle(Some(doubt.clone()))
        }
    }
}

/// What papers say of a poll. `held`: its mock polls, behind the end of the poll before it.
fn of_poll(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll, held: &Mocks, from: usize) {
    let mut rests: Vec<Rest> = poll.labels(view).into_iter().chain(poll.which()).collect();
    rests.extend(matches!(poll.ends, Some(Bound::Closed)).then_some(Rest::Back));
    rests.extend(poll.rests.front.then_some(Rest::Front));
    rests.extend(poll.rests.numbering.then_some(Rest::Numbering));
    let (before, memory) = memory(sheet, view, poll);
    // A paper is about a record only where that record fixes the number.
    let at = poll.anchor;
    let draw = |sheet: &mut Sheet<'_>, rule, words, left: Side, right: Side, more: &[Rest]| {
        let papers = left.iter().chain(&right).filter_map(|term| sheet.paper_rest(term.item));
        let rests = papers.chain(more.iter().cloned()).chain(rests.iter().cloned()).collect();
        let of_shown = false;
        sheet.balance(Balance { rule, words, at, left, right, of_shown, rests, outcome: Outcome::Within });
    };
    if let Some(noted) = sheet.paper(CountOf::TotalAtClose) {
        let words = "the total noted at the close is the number in the unit's memory";
        draw(sheet, "total-differs", words, vec![plus(noted)], vec![plus(memory)], &[]);
    }
    // What is taken from the unit after the close is the number at the close only if nothing behind it changed that.
    let later = poll
        .unsettled
        .clone()
        .map(|doubt| plus(sheet.put(LATER, Interval::ANY, Source::Unseen, Some(doubt))));
    let last: Side = [plus(memory)].into_iter().chain(later).collect();
    let last_word: Vec<Rest> = poll.last_word.iter().cloned().collect();
    if let Some(noted) = sheet.paper(CountOf::ResultAtCount) {
        let words = "the result noted at the count is the number in the unit's memory";
        draw(sheet, "result-differs", words, vec![plus(noted)], last.clone(), &last_word);
    }
    let (deducted, unstated) = deducted(sheet, view, poll);
    let declared = sheet.paper(CountOf::Declared);
    if let Some(declared) = declared {
        let words = "the number declared is the number in the unit's memory, less what was deducted";
        let right = last.into_iter().chain(deducted.iter().map(|item| minus(*item))).collect();
        draw(
            sheet,
            "declared-differs",
            words,
            vec![plus(declared)],
            right,
            &[unstated.clone(), last_word].concat(),
        );
    }
    in_conflict(sheet, view, poll, declared);
    let at = (memory, deducted.as_slice());
    let slips = at_close::slips(sheet, poll, memory);
    let register = at_close::register(sheet, view, poll, at).map(|mut register| {
        register.rests.extend(unstated);
        register
    });
    for paper in slips.into_iter().chain(register) {
        let beside = match poll.unsettled {
            Some(_) => at_close::beside_the_count(sheet, &paper, at),
            None => Vec::new(),
        };
        for equation in [paper].into_iter().chain(beside) {
            draw(sheet, equation.rule, equation.words, equation.left, equation.right, &equation.rests);
        }
    }
    if let Some(left) = sheet.paper(CountOf::LeftAfterEnable) {
        let (value, doubt) = poll.lapses.clone();
        let lapses =
            sheet.put("enables that no vote followed", value, Source::Records(poll.lapsed.clone()), doubt);
        let mut more = vec![Rest::Unstated(NOT_TWICE)];
        more.extend(poll.seen.front.then_some(Rest::Front));
        more.extend(poll.seen.numbering.then_some(Rest::Numbering));
        let words = "the voters who left after the enable are as many as the enables without a vote";
        draw(sheet, "lapses-differ", words, vec![plus(left)], vec![plus(lapses)], &more);
    }
    mocks::mock_votes(sheet, view, poll, held, from);
    if poll.tally.since == Since::Front && poll.tally.before.only().is_none() {
        room(sheet, view, poll, before);
    }
}

/// The votes in memory: what was there before, what was recorded, and what the unit showed.
fn memory(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll) -> (usize, usize) {
    let tally = &poll.tally;
    let (begin, place, doubt) = match tally.since {
        Since::Front => ("votes in memory before the first record", Vec::new(), Some(Doubt::Front)),
        Since::Clear(step) => ("votes in memory after the clear", vec![step], None),
        Since::Shown(step) => ("votes in memory as shown before", vec![step], None),
        Since::Blind(step) if view.event(step).is_none() && view.replay.record(step).is_some() => (
            "votes in memory behind records that contradict each other",
            vec![step],
            Some(Doubt::Blind(step)),
        ),
        Since::Blind(step) if view.replay.record(step).is_some() => {
            ("votes in memory behind an event that is not known", vec![step], Some(Doubt::Blind(step)))
        }
        Since::Blind(step) => (
            "votes in memory behind records that are missing or could not be read",
            vec![step],
            Some(Doubt::Blind(step)),
        ),
    };
    let source = if place.is_empty() { Source::Unseen } else { Source::Records(place) };
    let before = sheet.put(begin, tally.before, source, doubt);
    let from = match tally.since {
        Since::Front => 0,
        Since::Clear(step) | Since::Shown(step) | Since::Blind(step) => step + 1,
    };
    let until =
        if poll.anchor.is_some() { poll.until } else { poll.votes.last().map_or(poll.until, |v| v + 1) };
    let seen: Vec<usize> = (from..until).filter(|step| view.event(*step) == Some(Event::Vote)).collect();
    let recorded = sheet.put("votes recorded since", Interval::of(tally.seen), Source::Records(seen), None);
    let mut side = vec![plus(before), plus(recorded)];
    if tally.unseen != Interval::ZERO {
        let doubt = tally.blind.map(Doubt::Blind);
        side.push(plus(sheet.put(
            "votes that may stand among records that are missing, could not be read or contradict each other",
            tally.unseen,
            Source::Unseen,
            doubt,
        )));
    }
    let shown: Vec<_> = poll.anchor.map_or(Vec::new(), |anchor| {
        let all = view.memory.shown.iter();
        all.filter(|shown| shown.value.is_some() && (anchor..poll.steps.end).contains(&shown.step)).collect()
    });
    let words = match poll.anchor {
        Some(_) => "votes in the unit's memory at the close",
        None if poll.ends.is_some() => "votes in the unit's memory after its last record",
        None => "votes in the unit's memory at its close, which is not seen",
    };
    let doubt = if poll.in_doubt {
        Some(Doubt::AtOdds)
    } else if poll.anchor.is_none() && poll.ends.is_none() {
        Some(Doubt::NoClose)
    } else {
        tally.blind.map(Doubt::Blind).or(Some(Doubt::Front))
    };
    let places =
        if shown.is_empty() { vec![poll.at] } else { shown.iter().map(|shown| shown.step).collect() };
    let memory = sheet.put(words, poll.memory, Source::Records(places), doubt);
    let rests = tally.rests();
    let mut side_rests = Vec::new();
    side_rests.extend(rests.front.then_some(Rest::Front));
    side_rests.extend(rests.numbering.then_some(Rest::Numbering));
    if poll.anchor.is_none() && poll.ends.is_none() {
        let later = sheet.put(
            "votes recorded after the last one seen",
            Interval::SOME,
            Source::Unseen,
            Some(Doubt::NoClose),
        );
        side.push(plus(later));
    }
    let rule = match poll.anchor.and_then(|anchor| view.event(anchor)) {
        Some(Event::Result) => "result-differs",
        _ => "total-differs",
    };
    let words = "what was in memory and what was recorded since make the number at the close";
    if poll.in_doubt {
        each_number_shown(sheet, &shown, &side, &side_rests);
    } else {
        let right = vec![plus(memory)];
        sheet.balance(Balance {
            rule,
            words,
            at: Some(poll.at),
            left: side,
            right,
            of_shown: true,
            rests: side_rests,
            outcome: Outcome::Within,
        });
    }
    enables(sheet, view, poll, recorded, from..until);
    (before, memory)
}

/// The numbers shown, each by itself: which of them is right is not for the ledger to say.
fn each_number_shown(sheet: &mut Sheet<'_>, shown: &[&Shown], side: &Side, rests: &[Rest]) {
    for shown in shown {
        let value = shown.value.map_or(Interval::SOME, Interval::of);
        let words = format!("votes shown by the {}", shown.event.word());
        let item = sheet.put(&words, value, Source::Records(vec![shown.step]), None);
        let (rule, words) = match shown.event {
            Event::Result => {
                ("result-differs", "the result shows what was in memory and what was recorded since")
            }
            _ => ("total-differs", "the number shown is what was in memory and what was recorded since"),
        };
        sheet.balance(Balance {
            rule,
            words,
            at: Some(shown.step),
            left: vec![plus(item)],
            right: side.clone(),
            of_shown: true,
            rests: rests.to_vec(),
            outcome: Outcome::Within,
        });
    }
}

/// Numbers shown by records that others contradict: they are told, and nothing rests on them.
fn in_conflict(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll, declared: Option<usize>) {
    if poll.anchor.is_some() {
        return;
    }
    let event = |step: usize| {
        let record = view.replay.record(step).and_then(|place| view.log.records().get(place));
        record.map(|record| record.event)
    };
    // From the close of the poll on, whatever contradicts it.
    let close = |step: &usize| event(*step) == Some(Event::Close) && view.is_labelled(*step, Phase::Poll);
    let closed = poll.steps.clone().find(close);
    let from = closed.unwrap_or(poll.steps.start);
    for (step, value) in numbers_shown(view.log, view.replay, from..poll.steps.end) {
        let Some(event) = event(step) else { continue };
        let contradicted = view.event(step).is_none();
        if !contradicted && closed.is_none() {
            continue;
        }
        let behind = if contradicted { "that other records contradict" } else { "behind that close" };
        let words = format!("votes shown by a {} {behind}", event.word());
        let shown = sheet.put(&words, Interval::of(value), Source::Records(vec![step]), None);
        if let (Some(declared), Event::Result, true) = (declared, event, contradicted) {
            sheet.balance(Balance {
                rule: "",
                words: "the number declared is the number shown by that result",
                at: Some(step),
                left: vec![plus(declared)],
                right: vec![plus(shown)],
                of_shown: false,
                rests: Vec::new(),
                outcome: Outcome::Within,
            });
        }
    }
}

/// What the count deducted: votes of the mock poll kept by written order, and tests; and what is taken for granted where
/// no paper speaks of it.
fn deducted(sheet: &mut Sheet<'_>, view: View<'_>, poll: &Poll) -> (Vec<usize>, Vec<Rest>) {
    let (mut items, mut unstated) = (Vec::new(), Vec::new());
    if view.case.facts.iter().any(|fact| fact.value == Fact::MockVotesDeducted) {
        let noted = sheet.stated(CountOf::MockVotes).map(|(value, _)| value);
        // The log may hold fewer or more than the paper says: either may be right.
        let value = noted.map_or(poll.mock, |noted| noted.hull(poll.mock));
        let source = match sheet.stated(CountOf::MockVotes) {
            Some((_, basis)) => Source::Paper(CountOf::MockVotes, basis.clone()),
            None => Source::Unseen,
        };
        let words = "votes of the mock poll, deducted by written order";
        items.push(sheet.put(words, value, source, Some(Doubt::NotStated(CountOf::MockVotes))));
        // Before the first record of the poll lie those of the mock poll.
        unstated.push(Rest::Labels(vec![poll.labelled], Phase::Poll));
        unstated.extend(poll.tally.rests().front.then_some(Rest::Front));
    } else if poll.mock.most != Some(0) {
        unstated.push(Rest::Unstated(NO_MOCK));
    }
    match sheet.paper(CountOf::TestVotes) {
        Some(tests) => items.push(tests),
        None => unstated.push(Rest::Unstated(NO_TESTS)),
    }
    (items, unstated)
}

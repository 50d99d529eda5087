//! What is told of an equation with a paper that cannot hold: which papers it sets against each other, where it follows only
//! through another one, and which explanations the record speaks against.

use super::contrary;
use crate::case::{CountOf, Fact};
use crate::counts::{
    Balance, Interval, OfPaper, Outcome, Poll, Rest, figures, numbers_shown, numbers_told, words_of,
};
use crate::event::Event;
use crate::finding::{Place, SpokenAgainst, capital};
use crate::replay::Bound;
use crate::rules::phases::said;
use crate::rules::{Known, Ordinary, Told, Walk};
use crate::source::Shown as Text;

/// A voter who signed and is not in the unit.
pub(super) const LEFT_UNNOTED: Ordinary = Ordinary::new(
    "A voter signed and left without voting, and nobody noted it.",
    "the register itself, signature by signature, against the diary",
);

/// A voter who is in the unit and did not sign.
pub(super) const NOT_SIGNED: Ordinary = Ordinary::new(
    "A voter voted whose signature was forgotten.",
    "the register itself, signature by signature, against the diary",
);

/// Votes that are no voter's.
pub(super) const MOCK_STAYED: Ordinary = Ordinary::new(
    "Votes of the mock poll stayed in the memory.",
    "the certificate of the mock poll, and the order to deduct its votes",
);

/// One of the numbers was taken before it, the other after.
pub(super) const BEHIND_THE_CLOSE: Ordinary = Ordinary::new(
    "A vote was recorded after the close, and only one of the two numbers holds it.",
    "the findings on votes behind a close, and the numbers that the unit shows before and after such a vote",
);

/// Tells an equation that cannot hold. Where it follows only through another paper, neither is told to be the wrong one, and
/// the finding is about the log as a whole.
pub(super) fn tell(known: &Known<'_>, walk: &mut Walk<'_>, place: Place, balance: &Balance) {
    let ledger = &known.counts.ledger;
    let poll = poll_of(known, balance);
    let mut told = Told { title: None, against: against(known, poll, balance) };
    let mut contrary = contrary(known, balance);
    if let Some(papers) = ledger.papers_at_odds(balance) {
        let short = papers.each_ref().map(short).join(", ");
        // The numbers as the papers state them; what follows from each for the votes stands with the measure.
        let stated =
            papers.each_ref().map(|paper| format!("{} {}", noted(paper.what), paper.stated)).join(", ");
        told.title = Some(format!("Two papers do not agree: {stated}."));
        "Papers that count the votes of one unit agree with each other.".clone_into(&mut contrary.expected);
        contrary.shows = between(known, poll, &papers, &mut contrary.others);
        let [theirs, ours] = papers.each_ref().map(|paper| paper.votes);
        contrary.measured = Some(format!("{short}: the first is {}", exceeds(theirs.exceeds_by(ours))));
        return walk.contrary_told(Place::Log, contrary, told);
    }
    let beside = ledger.beside(balance);
    if !beside.is_empty() {
        let papers = beside.into_iter().chain([balance]).filter_map(|balance| ledger.paper_of(balance));
        let papers: Vec<OfPaper<'_>> = papers.collect();
        let named = papers.iter().map(|paper| format!("{} {}", noted(paper.what), paper.stated));
        let named = named.collect::<Vec<_>>().join(", ");
        told.title = Some(format!("Papers and record do not all agree: {named}."));
        contrary.shows.push_str(&shown_by_unit(known, poll, &papers, &mut contrary.others));
    }
    walk.contrary_told(place, contrary, told);
}

/// The text of two papers that do not agree.
fn between(
    known: &Known<'_>,
    poll: Option<&Poll>,
    papers: &[OfPaper<'_>; 2],
    others: &mut Vec<Place>,
) -> String {
    let stated = papers.each_ref().map(|paper| {
        capital(&format!("{}: {}, {}. ", words_of(paper.what), paper.stated, said(paper.basis)))
    });
    let less = papers.iter().filter(|paper| !paper.is_alone).map(|paper| {
        format!("Less those who did not vote, as far as papers say: {} {}. ", noted(paper.what), paper.votes)
    });
    let less: String = less.collect();
    let shown = shown_by_unit(known, poll, papers, others);
    Text::inert(&format!(
        "{}{less}Each is to be the number of votes in the unit's memory. They are not one number: one of them is wrong, \
         or a vote lies between what they count. Which of this holds does not follow.{shown}",
        stated.concat()
    ))
    .to_string()
}

/// The numbers that the unit showed at the close of a poll and behind it, as facts, and which of the papers agree with one of
/// them.
fn shown_by_unit(
    known: &Known<'_>,
    poll: Option<&Poll>,
    papers: &[OfPaper<'_>],
    others: &mut Vec<Place>,
) -> String {
    let Some(poll) = poll else { return String::new() };
    let of_poll = poll.labelled..poll.steps.end;
    let close = known.steps_of(Event::Close).iter().copied().find(|step| of_poll.contains(step));
    let mut numbers = numbers_shown(known.log, known.replay, close.unwrap_or(of_poll.start)..of_poll.end);
    if close.is_none() && numbers.len() > 1 {
        numbers.drain(..numbers.len() - 1);
    }
    others.extend(numbers.iter().map(|(step, _)| known.place(*step)));
    let told = numbers_told(known.log, known.replay, &numbers);
    match (numbers.is_empty(), close) {
        (true, _) => {
            " The log holds no number that the unit showed at the close of this poll or behind it.".to_owned()
        }
        (false, Some(_)) => {
            let agree = agreeing(known, papers, &numbers);
            format!(" The unit showed at the close and behind it: {told}.{agree}")
        }
        (false, None) => format!(" No close is seen; the last number that the unit showed is {told}."),
    }
}

/// Which of some papers agree with a number that the unit showed, as a sentence that calls none of them right; nothing where
/// none does, or where what was deducted stands between the paper and the unit.
fn agreeing(known: &Known<'_>, papers: &[OfPaper<'_>], numbers: &[(usize, u64)]) -> String {
    let deducted = known.case.facts.iter().any(|fact| fact.value == Fact::MockVotesDeducted)
        || known.case.counts.iter().any(|count| count.value.what == CountOf::TestVotes);
    let fits = |paper: &OfPaper<'_>| -> Vec<(usize, u64)> {
        numbers.iter().copied().filter(|(_, shown)| paper.votes.holds(i128::from(*shown))).collect()
    };
    if deducted || papers.iter().all(|paper| fits(paper).is_empty()) {
        return String::new();
    }
    let each = papers.iter().map(|paper| {
        let (fits, what) = (fits(paper), noted(paper.what));
        let told = numbers_told(known.log, known.replay, &fits);
        // A total and a result are one, votes and voters are many.
        let end = if what.contains(" noted ") { "s" } else { "" };
        match (fits.is_empty(), paper.votes.only()) {
            (true, _) => format!("the {what} agree{end} with none of these numbers"),
            (false, Some(_)) => format!("the {what} agree{end} with {told}"),
            (false, None) => format!("the {what} leave{end} room for {told}"),
        }
    });
    let each: Vec<String> = each.collect();
    format!(" {}; that alone makes no paper right and none wrong.", capital(&each.join(", ")))
}

/// The poll that an equation is about.
fn poll_of<'k>(known: &'k Known<'_>, balance: &Balance) -> Option<&'k Poll> {
    let label = balance.rests.iter().find_map(|rest| match rest {
        Rest::Labels(steps, _) => steps.first().copied(),
        _ => None,
    });
    let polls = known.counts.polls.as_deref().ok()?;
    polls.iter().find(|poll| label.is_some_and(|step| poll.steps.contains(&step)))
}

/// One paper and what it makes of the votes, in few words: `voters signed at most 28`.
fn short(paper: &OfPaper<'_>) -> String {
    format!("{} {}", noted(paper.what), paper.votes)
}

/// What a paper counts, in few words.
fn noted(what: CountOf) -> &'static str {
    match what {
        CountOf::Declared => "votes declared",
        CountOf::Register => "voters signed",
        CountOf::Slips => "slips counted",
        CountOf::TotalAtClose => "total noted at the close",
        CountOf::ResultAtCount => "result noted at the count",
        _ => words_of(what),
    }
}

fn exceeds(by: Interval) -> String {
    let by_least = |least: i128, most: Option<i128>| match most {
        Some(most) if most == least => figures(least),
        Some(most) => format!("{} to {}", figures(least), figures(most)),
        None => format!("at least {}", figures(least)),
    };
    match (by.least, by.most) {
        (Some(least), most) if least > 0 => format!("greater by {}", by_least(least, most)),
        (least, Some(most)) if most < 0 => format!("less by {}", by_least(-most, least.map(|least| -least))),
        _ => "another".to_owned(),
    }
}

/// Which explanations the record and the direction of a difference speak against.
fn against(known: &Known<'_>, poll: Option<&Poll>, balance: &Balance) -> Vec<SpokenAgainst> {
    let mut against: Vec<SpokenAgainst> = Vec::new();
    let mut say = |ordinary: &Ordinary, says: String| {
        against.push(SpokenAgainst { account: ordinary.account, says });
    };
    if balance.rule == "register-differs"
        && let Outcome::Differs(by) = &balance.outcome
    {
        if by.most.is_some_and(|most| most < 0) {
            say(
                &LEFT_UNNOTED,
                "It would make the register the greater number, and here it is the smaller one.".to_owned(),
            );
        }
        if by.least.is_some_and(|least| least > 0) {
            say(
                &NOT_SIGNED,
                "It would make the register the smaller number, and here it is the greater one.".to_owned(),
            );
        }
        match poll.and_then(|poll| cleared_before(known, poll)) {
            Some(cleared) => say(&MOCK_STAYED, cleared),
            None if by.least.is_some_and(|least| least > 0) => {
                say(
                    &MOCK_STAYED,
                    "They would make the votes in memory more than the voters, and here they are fewer."
                        .to_owned(),
                );
            }
            None => {}
        }
    }
    if let Some(none) = poll.and_then(|poll| nothing_behind(known, poll))
        && matches!(balance.rule, "register-differs" | "declared-differs" | "slips-differ")
    {
        say(&BEHIND_THE_CLOSE, none);
    }
    against
}

/// That the memory was cleared before the first record of a poll, with no vote between.
fn cleared_before(known: &Known<'_>, poll: &Poll) -> Option<String> {
    let Bound::Clear(clear) = known.cycle_of(poll.labelled)?.begin else { return None };
    let between = clear + 1..poll.labelled;
    if known.unseen_in(clear, poll.labelled + 1)
        || known.between(Event::Vote, between.start, between.end).next().is_some()
    {
        return None;
    }
    let first = poll.steps.clone().find(|step| {
        known.record(*step).is_some_and(|record| matches!(record.event, Event::Enable | Event::Vote))
    })?;
    let zero = numbers_shown(known.log, known.replay, clear + 1..first);
    let zero = match zero.last() {
        Some((step, 0)) => format!(", and {} shows 0 votes", known.name(*step)),
        Some(_) => return None,
        None => String::new(),
    };
    Some(format!(
        "{} is a clear{zero}; no vote stands between it and {}, the first record after it that releases a voter or holds a \
         vote.",
        capital(&known.name(clear)),
        known.name(first)
    ))
}

/// That behind the close of a poll no vote is recorded, where all of it was seen.
fn nothing_behind(known: &Known<'_>, poll: &Poll) -> Option<String> {
    let close =
        poll.anchor.filter(|at| known.record(*at).is_some_and(|record| record.event == Event::Close))?;
    let end = poll.steps.end;
    let seen = known.cycle_of(close)?.end.is_seen() && !known.unseen_in(close, end);
    let votes = known.between(Event::Vote, close, end).next().is_some();
    let last = (close..end).rev().find(|step| known.record(*step).is_some())?;
    (seen && !votes).then(|| {
        format!("From {}, the close, to {} no vote is recorded.", known.name(close), known.name(last))
    })
}

//! Numbers that must agree: what the unit showed, what it recorded, and what people wrote down.

use crate::case::CountOf;
use crate::counts::{self, Balance, Doubt, Fit, Interval, Outcome, Rest, Rests, Shown, Since};
use crate::event::Event;
use crate::finding::capital;
use crate::rules::phases::said;
use crate::rules::{Against, Contrary, Known, Ordinary, Walk, Want};
use crate::source::Shown as Text;

/// A row of a case file in an example: what records were, as the diary says.
macro_rules! phase {
    ($was:literal, $records:literal) => {
        concat!(
            "[[phase]]\nwas = \"",
            $was,
            "\"\nrecords = \"",
            $records,
            "\"\nsource = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n"
        )
    };
}

/// A row of a case file in an example: a number, as the diary says or another paper.
macro_rules! count {
    ($of:literal, $least:literal to $most:literal) => {
        count!(@ $of, concat!("least = ", $least, "\nmost = ", $most), "Presiding officer's diary", "Presiding officer")
    };
    ($of:literal, $value:literal) => {
        count!($of, $value, "Presiding officer's diary", "Presiding officer")
    };
    ($of:literal, $value:literal, $source:literal, $by:literal) => {
        count!(@ $of, concat!("value = ", $value), $source, $by)
    };
    (@ $of:literal, $number:expr, $source:literal, $by:literal) => {
        concat!("[[count]]\nof = \"", $of, "\"\n", $number, "\nsource = \"", $source, "\"\nby = \"", $by, "\"\n")
    };
}

/// The log of an example: a poll of two votes, whose close shows two and is the last record; with a rule's mark at the close.
macro_rules! two_votes {
    () => {
        "501 2031-05-10 06:30:00 power-on\n\
         502 2031-05-10 06:31:00 total shown=0\n\
         503 2031-05-10 07:00:05 enable\n\
         504 2031-05-10 07:00:31 vote\n\
         505 2031-05-10 07:02:05 enable\n\
         506 2031-05-10 07:02:31 vote\n\
         507 2031-05-10 18:03:00 close total=2\n"
    };
    ($rule:literal) => {
        concat!(two_votes!(), "^ ", $rule, "\n")
    };
}

pub(super) mod battery_higher_at_count;
pub(super) mod declared_differs;
pub(super) mod lapses_differ;
pub(super) mod mock_votes_differ;
pub(super) mod register_differs;
pub(super) mod result_differs;
pub(super) mod slips_differ;
pub(super) mod tokens_differ;
mod told;
pub(super) mod total_differs;
pub(super) mod turnout_differs;
mod wants;

use wants::{allowance, whether_none};
pub(in crate::rules) use wants::{not_stated, want};

/// The log of an example: a poll of two votes, whose close shows two.
const TWO_VOTES: &str = two_votes!();

/// The officer's own notes of the day.
const DIARY: &str =
    "The presiding officer's diary and account of votes, from the registrar of the constituency.";

/// The unit itself shows its result again.
const UNIT: &str = "The result that the unit shows, before the parties, from whoever holds the unit.";

/// A number may have been written down wrongly.
const SLIP_OF_THE_PEN: Ordinary = Ordinary::new(
    "A number was misread or miswritten when the paper was filled in.",
    "the other copies of the paper, and the unit's own result shown again",
);

/// The paper may speak of more than this unit.
const MORE_THAN_THIS: Ordinary = Ordinary::new(
    "The paper counts for another unit or another poll as well, or only for a part of this one.",
    "the paper itself, and the diary's list of the units that were used",
);

/// A label of the case file may be wrong.
const OTHER_RECORDS: Ordinary = Ordinary::new(
    "The case file takes the wrong records for the poll or the mock poll.",
    "the diary's times of mock poll, opening and close, set against the displayed times",
);

/// A record may be missing from the export.
const LOST_RECORD: Ordinary = Ordinary::new(
    "A record was lost or written twice when the log was written out.",
    "the record numbers on both sides, and a second export of the unit",
)
.against(Against::NumbersFollow);

/// The description may not fit the model.
const OTHER_MODEL: Ordinary = Ordinary::new(
    "This model counts otherwise than the unit description says.",
    "the maker's description of the model, and a trial on a unit of the same model",
);

/// The rule's balances with papers as occasions.
fn papers(known: &Known<'_>, walk: &mut Walk<'_>, id: &str, of: CountOf) {
    let ledger = &known.counts.ledger;
    let mut stated = known.case.counts.iter().filter(|count| count.value.what == of).peekable();
    if stated.peek().is_none() {
        return;
    }
    // Two rules have numbers that the unit showed as occasions as well.
    if !matches!(of, CountOf::TotalAtClose | CountOf::ResultAtCount) {
        walk.on_papers(stated.clone().map(|count| count.basis.line));
    }
    match (&ledger.unclear, &known.counts.polls) {
        (Some(doubt), _) => walk.unseen(want(known, doubt)),
        // A number that names no poll is about none of several.
        (None, Ok(polls))
            if polls.iter().any(|poll| {
                stated.clone().all(|count| count.value.poll != poll.day && poll.day.is_some())
            }) =>
        {
            walk.unseen(want(known, &Doubt::WhichPoll));
        }
        _ => {}
    }
    for balance in &ledger.balances {
        let on_paper = balance.rests.iter().any(|rest| matches!(rest, Rest::Paper(what, ..) if *what == of));
        if balance.rule != id || !on_paper {
            continue;
        }
        let place = balance.at.map_or(crate::finding::Place::Log, |step| known.place(step));
        match &balance.outcome {
            Outcome::Agrees => match balance.rests.iter().find_map(taken_for_none) {
                Some(what) => walk.open(place, whether_none(what)),
                None => walk.in_order(place),
            },
            Outcome::Within => walk.open(place, allowance(&counts::verdict(ledger, balance))),
            Outcome::Open(doubts) => {
                for (at, doubt) in doubts.iter().enumerate() {
                    match at {
                        0 => walk.open(place, want(known, doubt)),
                        _ => walk.unseen(want(known, doubt)),
                    }
                }
            }
            Outcome::Differs(_) => told::tell(known, walk, place, balance),
        }
    }
}

/// A balance that cannot hold, for the finding.
pub(in crate::rules) fn contrary(known: &Known<'_>, balance: &Balance) -> Contrary {
    let ledger = &known.counts.ledger;
    let plain = |text: String| Text::inert(&text).to_string();
    let mut expected = plain(balance.words.to_owned());
    expected.push('.');
    Contrary {
        others: Vec::new(),
        expected: capital(&expected),
        shows: plain(format!("{}.", counts::finding(ledger, balance))),
        measured: Some(plain(format!(
            "{}: {}",
            counts::equation(ledger, balance),
            counts::verdict(ledger, balance)
        ))),
        assumptions: balance.rests.iter().flat_map(|rest| premise(known, rest)).collect(),
    }
}

/// What something rests on, as sentences without their stops.
fn premise(known: &Known<'_>, rest: &Rest) -> Vec<String> {
    let one = match rest {
        Rest::Labels(steps, phase) => return known.label_premises(steps, *phase),
        Rest::Days(days) => {
            return days
                .iter()
                .map(|(day, basis)| format!("a poll was held on {day}, {}", said(basis)))
                .collect();
        }
        Rest::LabelsBeside(steps, phase) => return known.labels_beside(steps.clone(), *phase),
        Rest::Front => known.front_premise(),
        Rest::Back => known.back_premise(),
        Rest::Numbering => Some(NUMBERING.to_owned()),
        Rest::Paper(what, value, basis) => {
            Some(format!("{}: {value}, {}", counts::words_of(*what), said(basis)))
        }
        Rest::LeastTime(ms, stated) => Some(counts::least_time(*ms, stated.as_ref())),
        Rest::Opening(moment, basis) => Some(counts::opening(moment, basis)),
        Rest::Clock(premise) => Some(premise.words()),
        Rest::Unstated(text) | Rest::NoSuch(_, text) => Some((*text).to_owned()),
    };
    one.into_iter().collect()
}

/// The count that something rests on as none, since no paper speaks of it.
fn taken_for_none(rest: &Rest) -> Option<CountOf> {
    match rest {
        Rest::NoSuch(what, _) => Some(*what),
        _ => None,
    }
}

const NUMBERING: &str = "record numbers step as the unit description says, so that only the missing numbers are \
                         missing, and each missing record is of a kind that the vocabulary knows";

/// The numbers that the unit showed at some events, as occasions.
fn shown_numbers(known: &Known<'_>, walk: &mut Walk<'_>, events: &[Event]) {
    for shown in known.counts.memory.shown.iter().filter(|shown| events.contains(&shown.event)) {
        let place = known.place(shown.step);
        match shown.fit() {
            None => walk.open(place, no_number()),
            // It agrees with the number shown before it, and that one with the votes recorded does not.
            Some(Fit::Agrees) if is_at_odds(known, shown) => walk.open(place, want(known, &Doubt::AtOdds)),
            Some(Fit::Agrees) => walk.in_order(place),
            Some(Fit::Open) => {
                walk.open(place, shown.tally.blind.map_or(Want::Front, |blind| known.why_blind(blind)));
            }
            Some(Fit::Differs) => walk.contrary(place, of_shown(known, shown)),
        }
    }
}

/// Whether an equation of the ledger between this number and others of the record does not hold, whatever papers say.
fn is_at_odds(known: &Known<'_>, shown: &Shown) -> bool {
    let balances = known.counts.ledger.balances.iter();
    balances
        .filter(|balance| balance.of_shown && balance.at == Some(shown.step))
        .filter(|balance| !balance.rests.iter().any(|rest| matches!(rest, Rest::Paper(..))))
        .any(|balance| matches!(balance.outcome, Outcome::Differs(_)))
}

fn no_number() -> Want {
    Want::Other(
        "a record does not say which number the unit showed".to_owned(),
        "whoever made the export",
        "the export with the numbers that the unit showed".to_owned(),
    )
}

fn of_shown(known: &Known<'_>, shown: &Shown) -> Contrary {
    let tally = &shown.tally;
    let (votes, by) = (tally.votes(), shown.exceeds_by());
    let (since, begin) = match tally.since {
        Since::Front => ("the first record of this log".to_owned(), None),
        Since::Clear(step) => (format!("the clear in {}", known.name(step)), Some(step)),
        Since::Shown(step) => (format!("the number shown in {}", known.name(step)), Some(step)),
        Since::Blind(step) => ("the place where records are not known".to_owned(), Some(step)),
    };
    let from = begin.map_or(0, |step| step + 1);
    let seen: Vec<usize> = known.between(Event::Vote, from, shown.step).collect();
    let value = shown.value.map_or(Interval::ANY, Interval::of);
    let mut shows = format!(
        "{} shows {value}. Since {since}, where {} were in memory, {} recorded",
        known.name(shown.step),
        tally.before,
        votes_of(tally.seen),
    );
    if tally.unseen != Interval::ZERO {
        shows.push_str(&format!("; {} may stand where records are not known", tally.unseen));
    }
    shows.push_str(&format!(". That makes {votes}."));
    let rests = if by.most.is_some_and(|most| most < 0) { tally.low } else { tally.high };
    Contrary {
        others: begin
            .into_iter()
            .chain(seen.first().copied())
            .chain(seen.last().copied())
            .map(|step| known.place(step))
            .collect(),
        expected:
            "The number that the unit shows is the number of votes recorded since its memory was empty."
                .to_owned(),
        shows,
        measured: Some(format!("shown {value}, counted {votes}: {}", counts::difference(by))),
        assumptions: premises(known, rests),
    }
}

fn votes_of(number: u64) -> String {
    if number == 1 { "1 vote is".to_owned() } else { format!("{} votes are", Interval::of(number)) }
}

fn premises(known: &Known<'_>, rests: Rests) -> Vec<String> {
    let front = rests.front.then(|| known.front_premise()).flatten();
    front.into_iter().chain(rests.numbering.then(|| NUMBERING.to_owned())).collect()
}

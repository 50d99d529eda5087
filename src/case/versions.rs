//! Versions of a case: where people contradict each other, one uncontested case for each way to choose between them.

use std::collections::BTreeSet;

use super::contest::{Item, Question, Slot, Way};
use super::rows::with_seconds;
use super::{Case, Count, CountOf, Labelled, Period, Poll, Saying, SettingOf, Stated, Statements, Stretch};
use crate::source::Shown;

/// Most versions that are examined.
pub const MOST_VERSIONS: usize = 16;

/// What the manual says about contested facts.
pub(super) const CONTESTED: &str = "\n## Contested facts\n\n\
Facts are contested where two rows cannot both be right: different values of one key of `[[unit]]` or of one \
number of `[[setting]]`; different numbers of one kind of `[[count]]`, unless they are about the polls of different days; different hours or zones of one day and place in \
`[[poll]]`, unless both rows give both hours and these do not overlap (an adjourned poll); `only-day = true` beside another day of one place; different labels in `[[phase]]`, or different days of its poll, \
of stretches that overlap (records are compared with records, lines with lines); `none = true` beside a row that states \
something. The same value by two people is not contested. Each way to choose is examined as a version of its own; at most \
16 are, in a fixed order, and the report says when there would be more.\n";

/// The versions of a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Versions {
    /// At least one; the case as it stands where nothing is contested. In a fixed order: the first chooses always what
    /// stands first in the case file, and the last contest changes fastest.
    pub versions: Vec<Version>,
    /// Whether there would be more than [`MOST_VERSIONS`].
    pub cut: bool,
}

/// One version of a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// What was chosen where facts are contested; empty where none is.
    pub choices: Vec<Choice>,
    /// The case that follows: nothing in it is contested.
    pub case: Case,
}

/// What a version takes as true where people contradict each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What is contested: a key, or a table with its kind.
    pub about: String,
    /// The choice in words: `candidates: 5, as stated in Nomination list (by Returning Officer)`.
    pub text: Shown,
    /// Who states it, and where.
    pub bases: Vec<Saying>,
}

impl Case {
    /// One uncontested case for each way to choose between contested facts.
    #[must_use]
    pub fn versions(&self) -> Versions {
        let mut cut = false;
        let contests: Vec<Vec<Way<'_>>> =
            self.questions().iter().flat_map(|q| q.contests(&mut cut)).collect();
        let ways = contests.iter().fold(1_usize, |ways, options| ways.saturating_mul(options.len()));
        let versions = (0..ways.min(MOST_VERSIONS)).map(|place| self.version(&contests, place)).collect();
        Versions { versions, cut: cut || ways > MOST_VERSIONS }
    }

    fn version(&self, contests: &[Vec<Way<'_>>], mut place: usize) -> Version {
        let mut chosen: Vec<&Way<'_>> = Vec::new();
        for options in contests.iter().rev() {
            let count = options.len().max(1);
            chosen.extend(options.get(place % count));
            place /= count;
        }
        chosen.reverse();
        let dropped: BTreeSet<(Slot, usize)> =
            chosen.iter().flat_map(|way| way.dropped.iter().copied()).collect();
        Version { choices: chosen.iter().map(|way| way.choice()).collect(), case: self.without(&dropped) }
    }

    fn without(&self, dropped: &BTreeSet<(Slot, usize)>) -> Case {
        fn rest<T: Clone>(slot: Slot, all: &[T], dropped: &BTreeSet<(Slot, usize)>) -> Vec<T> {
            all.iter()
                .enumerate()
                .filter(|(at, _)| !dropped.contains(&(slot, *at)))
                .map(|(_, one)| one.clone())
                .collect()
        }
        let said = |stated, none, all: &Statements<Period>| Statements {
            stated: rest(stated, &all.stated, dropped),
            none: rest(none, &all.none, dropped),
        };
        let mut case = self.clone();
        case.unit.serial = rest(Slot::Serial, &self.unit.serial, dropped);
        case.unit.role = rest(Slot::Role, &self.unit.role, dropped);
        case.unit.software = rest(Slot::Software, &self.unit.software, dropped);
        case.unit.candidates = rest(Slot::Candidates, &self.unit.candidates, dropped);
        case.unit.ballot_units = rest(Slot::BallotUnits, &self.unit.ballot_units, dropped);
        case.unit.description = rest(Slot::Description, &self.unit.description, dropped);
        case.settings.mock_votes_least = rest(Slot::MockVotesLeast, &self.settings.mock_votes_least, dropped);
        case.settings.numbers = rest(Slot::Setting, &self.settings.numbers, dropped);
        case.polls = rest(Slot::Poll, &self.polls, dropped);
        case.phases = rest(Slot::Phase, &self.phases, dropped);
        case.counts = rest(Slot::Count, &self.counts, dropped);
        case.interruptions = said(Slot::Interruption, Slot::NoInterruption, &self.interruptions);
        case.storage = said(Slot::Storage, Slot::NoStorage, &self.storage);
        case.custody = said(Slot::Custody, Slot::NoCustody, &self.custody);
        case
    }

    /// Everything that may be contested, in a fixed order.
    fn questions(&self) -> Vec<Question<'_>> {
        let unit = &self.unit;
        let mut questions = vec![
            values("serial", Slot::Serial, &unit.serial, Clone::clone),
            values("role", Slot::Role, &unit.role, Clone::clone),
            values("software", Slot::Software, &unit.software, Clone::clone),
            values("candidates", Slot::Candidates, &unit.candidates, u64::to_string),
            values("ballot-units", Slot::BallotUnits, &unit.ballot_units, |serials| {
                // The order in which a paper lists them says nothing.
                serials
                    .iter()
                    .map(String::as_str)
                    .collect::<BTreeSet<_>>()
                    .into_iter()
                    .collect::<Vec<_>>()
                    .join(", ")
            }),
            values("description", Slot::Description, &unit.description, Clone::clone),
            values("mock-votes-least", Slot::MockVotesLeast, &self.settings.mock_votes_least, u64::to_string),
            related("poll", Slot::Poll, &self.polls, poll_in_words, polls_conflict),
            related("phase", Slot::Phase, &self.phases, Labelled::said, phases_conflict),
        ];
        for what in CountOf::ALL {
            let about = format!("count of {}", what.word());
            let of_this = |row: &Stated<Count>| row.value.what == what;
            questions.push(chosen(
                &about,
                Slot::Count,
                &self.counts,
                of_this,
                count_in_words,
                counts_conflict,
            ));
        }
        for of in SettingOf::ALL {
            let of_this = |row: &Stated<(SettingOf, u64)>| row.value.0 == of;
            let words = |(_, number): &(SettingOf, u64)| number.to_string();
            questions.push(chosen(
                of.word(),
                Slot::Setting,
                &self.settings.numbers,
                of_this,
                words,
                |a, b| a != b,
            ));
        }
        questions.push(none_beside(
            "interruption",
            Slot::Interruption,
            Slot::NoInterruption,
            &self.interruptions,
        ));
        questions.push(none_beside("storage", Slot::Storage, Slot::NoStorage, &self.storage));
        questions.push(none_beside("custody", Slot::Custody, Slot::NoCustody, &self.custody));
        questions
    }
}

/// A key whose different values contradict each other.
fn values<'c, T>(
    about: &str,
    slot: Slot,
    rows: &'c [Stated<T>],
    words: impl Fn(&T) -> String,
) -> Question<'c> {
    let items = rows.iter().enumerate().map(|(index, row)| Item {
        slot,
        index,
        text: words(&row.value),
        basis: &row.basis,
    });
    Question::of_texts(about.to_owned(), items.collect())
}

/// Rows of which some contradict each other.
fn related<'c, T>(
    about: &str,
    slot: Slot,
    rows: &'c [Stated<T>],
    words: impl Fn(&T) -> String,
    conflict: impl Fn(&T, &T) -> bool,
) -> Question<'c> {
    chosen(about, slot, rows, |_| true, words, conflict)
}

/// Some rows of a table, of which some contradict each other.
fn chosen<'c, T>(
    about: &str,
    slot: Slot,
    rows: &'c [Stated<T>],
    takes: impl Fn(&Stated<T>) -> bool,
    words: impl Fn(&T) -> String,
    conflict: impl Fn(&T, &T) -> bool,
) -> Question<'c> {
    let rows: Vec<(usize, &'c Stated<T>)> = rows.iter().enumerate().filter(|(_, row)| takes(row)).collect();
    let items = rows.iter().map(|(index, row)| Item {
        slot,
        index: *index,
        text: words(&row.value),
        basis: &row.basis,
    });
    let at_odds = |one: usize, other: usize| match (rows.get(one), rows.get(other)) {
        (Some((_, one)), Some((_, other))) => conflict(&one.value, &other.value),
        _ => false,
    };
    Question::new(about.to_owned(), items.collect(), at_odds)
}

fn count_in_words(count: &Count) -> String {
    let number = if count.least == count.most {
        count.least.to_string()
    } else {
        format!("{} to {}", count.least, count.most)
    };
    match &count.poll {
        Some(day) => format!("{number} in the poll of {day}"),
        None => number,
    }
}

/// Whether two numbers of one kind differ, unless they are about the polls of different days.
fn counts_conflict(one: &Count, other: &Count) -> bool {
    let apart = matches!((&one.poll, &other.poll), (Some(a), Some(b)) if a != b);
    !apart && (one.least, one.most) != (other.least, other.most)
}

/// Rows that state something beside rows that state that there was none.
fn none_beside<'c>(about: &str, some: Slot, none: Slot, all: &'c Statements<Period>) -> Question<'c> {
    let stated = all.stated.iter().enumerate().map(|(index, row)| {
        let text = period_in_words(&row.value);
        Item { slot: some, index, text, basis: &row.basis }
    });
    let denied = all.none.iter().enumerate().map(|(index, basis)| Item {
        slot: none,
        index,
        text: "none".to_owned(),
        basis,
    });
    let border = all.stated.len();
    Question::new(about.to_owned(), stated.chain(denied).collect(), |one, other| {
        (one < border) != (other < border)
    })
}

/// Whether two stretches overlap and bear different labels, or are of polls of different days. Records and lines cannot be
/// compared without the log.
fn phases_conflict(one: &Labelled, other: &Labelled) -> bool {
    let overlap = match (one.stretch, other.stretch) {
        (Stretch::Records(a, b), Stretch::Records(c, d)) => a <= d && c <= b,
        (Stretch::Lines(a, b), Stretch::Lines(c, d)) => a <= d && c <= b,
        _ => false,
    };
    let days = one.poll.as_ref().zip(other.poll.as_ref());
    overlap && (one.phase != other.phase || days.is_some_and(|(one, other)| one != other))
}

fn poll_in_words(poll: &Poll) -> String {
    let said = [
        ("", &poll.place),
        ("on ", &poll.date),
        ("opening ", &poll.opens),
        ("closing ", &poll.closes),
        ("zone ", &poll.zone),
    ];
    let parts = said.iter().filter_map(|(before, text)| text.as_ref().map(|text| format!("{before}{text}")));
    parts.chain(poll.only_day.then(|| "on no other day".to_owned())).collect::<Vec<_>>().join(", ")
}

/// Whether two rows speak of one day and place and give it different hours or zones, or give two days to a poll of one day. Hours that do not overlap are two
/// parts of an adjourned poll, which contradict nothing.
fn polls_conflict(one: &Poll, other: &Poll) -> bool {
    let differ = |a: &Option<String>, b: &Option<String>| match (a, b) {
        (Some(a), Some(b)) => with_seconds(a) != with_seconds(b),
        _ => false,
    };
    let apart = |a: &Poll, b: &Poll| match (&a.closes, &b.opens) {
        (Some(closes), Some(opens)) => with_seconds(closes) <= with_seconds(opens),
        _ => false,
    };
    let same_place = !differ(&one.place, &other.place);
    if same_place && (one.only_day || other.only_day) && differ(&one.date, &other.date) {
        return true;
    }
    let same_poll = same_place && !differ(&one.date, &other.date);
    let hours = differ(&one.opens, &other.opens) || differ(&one.closes, &other.closes);
    same_poll && (differ(&one.zone, &other.zone) || (hours && !apart(one, other) && !apart(other, one)))
}

fn period_in_words(period: &Period) -> String {
    let said = [("from ", &period.from), ("to ", &period.to), ("", &period.text)];
    let parts = said.iter().filter_map(|(before, text)| text.as_ref().map(|text| format!("{before}{text}")));
    parts.collect::<Vec<_>>().join(", ")
}

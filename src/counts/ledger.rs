//! The ledger: every number with its source, every equation with what follows from it, for a reader with a pencil.

use super::{Doubt, Interval, Rest, Sign, System};
use crate::case::{CountOf, Saying};

/// The numbers of one log and its papers, side by side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ledger {
    /// The numbers.
    pub items: Vec<Item>,
    /// The equations between them.
    pub balances: Vec<Balance>,
    /// The same as bare numbers, for the second opinion.
    pub system: System,
    /// Why papers cannot be set against the log at all, where they cannot.
    pub unclear: Option<Doubt>,
}

/// One number of the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// What it is.
    pub words: String,
    /// As it is seen or stated.
    pub value: Interval,
    /// Where it is from.
    pub source: Source,
    /// Why it is not known more closely, where that is not the paper's own.
    pub doubt: Option<Doubt>,
    /// As it follows from all equations that can hold together.
    pub follows: Interval,
}

/// Where a number is from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// From records: the first and the last, and how many.
    Records(Vec<usize>),
    /// The same, and records of the same kind that lie in a conflict and are not counted.
    RecordsBut(Vec<usize>, Vec<usize>),
    /// From a paper.
    Paper(CountOf, Saying),
    /// From a paper that notes a turnout.
    Turnout(Saying),
    /// From what the log cannot show.
    Unseen,
    /// From nothing: no paper states it.
    NotStated,
}

/// One number of an equation, added or taken away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// Added or taken away.
    pub sign: Sign,
    /// Which item.
    pub item: usize,
}

/// The sum of some terms, with one of the values of each item: as stated, or as it follows.
pub(super) fn total(items: &[Item], terms: &[Term], value: fn(&Item) -> Interval) -> Interval {
    let of = |term: &Term| term.sign.of(items.get(term.item).map_or(Interval::ANY, value));
    terms.iter().fold(Interval::ZERO, |sum, term| sum.plus(of(term)))
}

/// An equation between numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Balance {
    /// The rule that speaks for it.
    pub rule: &'static str,
    /// What must agree, in words.
    pub words: &'static str,
    /// The step that it is about.
    pub at: Option<usize>,
    /// One side.
    pub left: Vec<Term>,
    /// The other.
    pub right: Vec<Term>,
    /// Whether it holds a number that the unit showed against the votes in its records.
    pub of_shown: bool,
    /// What it rests on besides the records.
    pub rests: Vec<Rest>,
    /// What follows.
    pub outcome: Outcome,
}

impl Balance {
    /// The numbers of both sides.
    pub fn terms(&self) -> impl Iterator<Item = &Term> {
        self.left.iter().chain(&self.right)
    }

    /// By how much the left side is greater, with one of the values of each item.
    pub(super) fn differs(&self, items: &[Item], value: fn(&Item) -> Interval) -> Interval {
        total(items, &self.left, value).minus(total(items, &self.right, value))
    }

    /// Whether it could hold by itself and cannot beside the equations before it. Then one of them is wrong, and which
    /// does not follow.
    pub(super) fn is_contradicted_by_others(&self, items: &[Item]) -> bool {
        matches!(self.outcome, Outcome::Differs(_)) && self.differs(items, |item| item.value).holds(0)
    }
}

/// A paper in an equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OfPaper<'l> {
    /// What it counts.
    pub what: CountOf,
    /// The number that it states.
    pub stated: Interval,
    /// Who says so, and where.
    pub basis: &'l Saying,
    /// What its side of the equation comes to.
    pub votes: Interval,
    /// Whether that is its number alone.
    pub is_alone: bool,
}

/// What follows from an equation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Both sides are the same number.
    Agrees,
    /// They are for some of the numbers that a paper leaves open.
    Within,
    /// They cannot be: the left side is greater by so much (or less, where that is below zero).
    Differs(Interval),
    /// It cannot be told.
    Open(Vec<Doubt>),
}

/// What the exact search over whole numbers says of the numbers that follow.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Opinion {
    /// The same ends for every number.
    Same,
    /// Narrower ends for some.
    Narrower(Vec<Interval>),
    /// No whole numbers fulfil the equations that seemed to hold together.
    Conflict,
    /// The search gave up.
    GaveUp,
}

impl Ledger {
    /// Of an equation that cannot hold beside others, though by itself it could: those few beside which it cannot.
    #[must_use]
    pub fn beside(&self, balance: &Balance) -> Vec<&Balance> {
        if !balance.is_contradicted_by_others(&self.items) {
            return Vec::new();
        }
        let Some(place) = self.balances.iter().position(|other| other == balance) else { return Vec::new() };
        let before = self.balances.iter().enumerate().take(place);
        let held = before.filter(|(_, other)| !matches!(other.outcome, Outcome::Differs(_)));
        let held: Vec<usize> = held.map(|(place, _)| place).collect();
        let against = self.system.against(&held, place);
        against.iter().filter_map(|other| self.balances.get(*other)).collect()
    }

    /// Of an equation of a paper that cannot hold beside that of one other paper, whatever the unit's memory held, since both
    /// say the same of it: both papers, the other first.
    #[must_use]
    pub fn papers_at_odds<'l>(&'l self, balance: &'l Balance) -> Option<[OfPaper<'l>; 2]> {
        let ours = self.paper_of(balance)?;
        if let Some(theirs) = self.other_paper(balance) {
            let differs = matches!(balance.outcome, Outcome::Differs(_));
            return differs.then_some([theirs, ours]);
        }
        let beside = self.beside(balance);
        let [other] = beside.as_slice() else { return None };
        let theirs = self.paper_of(other)?;
        let at_odds = balance.right == other.right && ours.votes.meet(theirs.votes).is_empty();
        at_odds.then_some([theirs, ours])
    }

    /// The paper that stands on the left of an equation, and what that side comes to.
    #[must_use]
    pub fn paper_of<'l>(&'l self, balance: &'l Balance) -> Option<OfPaper<'l>> {
        let votes = total(&self.items, &balance.left, |item| item.value);
        balance.rests.iter().find_map(|rest| match rest {
            Rest::Paper(what, stated, basis) => Some(OfPaper {
                what: *what,
                stated: *stated,
                basis,
                votes,
                is_alone: balance.left.len() == 1,
            }),
            _ => None,
        })
    }

    /// The paper of the count on the right of an equation that sets two papers against each other.
    fn other_paper<'l>(&'l self, balance: &Balance) -> Option<OfPaper<'l>> {
        let votes = total(&self.items, &balance.right, |item| item.value);
        let items = balance.right.iter().filter_map(|term| self.items.get(term.item));
        items.into_iter().find_map(|item| match &item.source {
            Source::Paper(what @ (CountOf::Declared | CountOf::ResultAtCount), basis) => {
                Some(OfPaper { what: *what, stated: item.value, basis, votes, is_alone: true })
            }
            _ => None,
        })
    }

    /// The second opinion: an exact search over the equations that can hold together.
    #[must_use]
    pub fn second_opinion(&self) -> Opinion {
        let held = self.balances.iter().zip(&self.system.sums);
        let held = held.filter(|(balance, _)| !matches!(balance.outcome, Outcome::Differs(_)));
        let system =
            System { values: self.system.values.clone(), sums: held.map(|(_, sum)| sum.clone()).collect() };
        match system.exact() {
            None => Opinion::GaveUp,
            Some(None) => Opinion::Conflict,
            Some(Some(exact)) if self.items.iter().map(|item| item.follows).eq(exact.iter().copied()) => {
                Opinion::Same
            }
            Some(Some(exact)) => Opinion::Narrower(exact),
        }
    }
}

//! A ledger in the making: items are put down, balances drawn up, and the whole is settled.

use super::ledger::{Balance, Item, Ledger, Outcome, Source, Term, total};
use super::{Doubt, Interval, Rest, Sign, Sum, System};
use crate::case::{Case, CountOf, Saying};

/// A ledger in the making.
pub(super) struct Sheet<'a> {
    case: &'a Case,
    day: Option<&'a str>,
    items: Vec<Item>,
    balances: Vec<Balance>,
}

/// One side of a balance: items that are added and items that are taken away.
pub(super) type Side = Vec<Term>;

pub(super) fn plus(item: usize) -> Term {
    Term { sign: Sign::Plus, item }
}

pub(super) fn minus(item: usize) -> Term {
    Term { sign: Sign::Minus, item }
}

impl<'a> Sheet<'a> {
    pub(super) fn new(case: &'a Case) -> Sheet<'a> {
        Sheet { case, day: None, items: Vec::new(), balances: Vec::new() }
    }

    /// What follows is about the poll of this day; `None`: about the only one.
    pub(super) fn of_day(&mut self, day: Option<&'a str>) {
        self.day = day;
    }

    /// Puts a number down, or finds it where it stands already: the same number from the same place is one.
    pub(super) fn put(
        &mut self,
        words: &str,
        value: Interval,
        source: Source,
        doubt: Option<Doubt>,
    ) -> usize {
        let words = self.day.map_or_else(|| words.to_owned(), |day| format!("{words}, poll of {day}"));
        let item = Item { words, value, source, doubt, follows: value };
        if let Some(place) = self.items.iter().position(|known| *known == item) {
            return place;
        }
        self.items.push(item);
        self.items.len() - 1
    }

    pub(super) fn value(&self, item: usize) -> Interval {
        self.items.get(item).map_or(Interval::ANY, |item| item.value)
    }

    /// What a side comes to, of the numbers as they are stated.
    pub(super) fn sum(&self, side: &Side) -> Interval {
        total(&self.items, side, |item| item.value)
    }

    /// The number on paper, where one states it.
    pub(super) fn stated(&self, what: CountOf) -> Option<(Interval, &'a Saying)> {
        let row = self.case.counts.iter().find(|row| {
            row.value.what == what && (self.day.is_none() || row.value.poll.as_deref() == self.day)
        })?;
        Some((Interval::from_to(row.value.least, Some(row.value.most)), &row.basis))
    }

    /// Puts down the number on paper.
    pub(super) fn paper(&mut self, what: CountOf) -> Option<usize> {
        let (value, basis) = self.stated(what)?;
        Some(self.put(words_of(what), value, Source::Paper(what, basis.clone()), None))
    }

    /// Puts down the number on paper; where none states it, it is any number.
    pub(super) fn paper_or_any(&mut self, what: CountOf) -> usize {
        self.paper(what).unwrap_or_else(|| {
            self.put(words_of(what), Interval::SOME, Source::NotStated, Some(Doubt::NotStated(what)))
        })
    }

    /// Whether a number on paper was put down already.
    pub(super) fn holds(&self, what: CountOf, value: Interval) -> bool {
        let is_it =
            |item: &Item| item.value == value && matches!(item.source, Source::Paper(of, _) if of == what);
        self.items.iter().any(is_it)
    }

    /// What a conclusion from an item rests on, where it is a paper.
    pub(super) fn paper_rest(&self, item: usize) -> Option<Rest> {
        let item = self.items.get(item)?;
        match &item.source {
            Source::Paper(what, basis) => Some(Rest::Paper(*what, item.value, basis.clone())),
            _ => None,
        }
    }

    /// Draws up a balance: the two sides are the same number.
    pub(super) fn balance(&mut self, balance: Balance) {
        self.balances.push(balance);
    }

    /// Settles the whole: what each balance says by itself, then what follows from all of them together.
    pub(super) fn settle(mut self, unclear: Option<Doubt>) -> Ledger {
        let system = System {
            values: self.items.iter().map(|item| item.value).collect(),
            sums: self.balances.iter().map(sum).collect(),
        };
        for balance in &mut self.balances {
            balance.outcome = outcome(&self.items, balance);
        }
        let settled = system.settle();
        for (item, follows) in self.items.iter_mut().zip(&settled.values) {
            item.follows = *follows;
        }
        for place in &settled.conflicts {
            self.together(&system, &settled.conflicts, *place);
        }
        Ledger { items: self.items, balances: self.balances, system, unclear }
    }

    /// A balance that cannot hold beside those before it, though by itself it could. That the few others hold beside which
    /// it cannot is an assumption too: any of them may be the one that does not.
    fn together(&mut self, system: &System, conflicts: &[usize], place: usize) {
        let Some(balance) = self.balances.get(place) else { return };
        if matches!(balance.outcome, Outcome::Differs(_)) {
            return;
        }
        let differs = balance.differs(&self.items, |item| item.follows);
        let held: Vec<usize> = (0..place).filter(|other| !conflicts.contains(other)).collect();
        let against = system.against(&held, place);
        // Two papers that say the same of the memory differ by what they state, whatever it held.
        let of_two = match against.as_slice() {
            [one] => self.balances.get(*one).filter(|one| one.right == balance.right),
            _ => None,
        };
        let left = |balance: &Balance| total(&self.items, &balance.left, |item| item.follows);
        let differs = of_two.map_or(differs, |one| left(balance).minus(left(one)));
        let others = against.iter().filter_map(|other| self.balances.get(*other));
        let rests: Vec<Rest> = others
            .flat_map(|other| other.rests.iter().cloned().chain([Rest::Unstated(other.words)]))
            .collect();
        if let Some(balance) = self.balances.get_mut(place) {
            balance.outcome = Outcome::Differs(differs);
            for rest in rests {
                if !balance.rests.contains(&rest) {
                    balance.rests.push(rest);
                }
            }
        }
    }
}

fn sum(balance: &Balance) -> Sum {
    let left = balance.left.iter().map(|term| (term.sign, term.item));
    let right = balance.right.iter().map(|term| match term.sign {
        Sign::Plus => (Sign::Minus, term.item),
        Sign::Minus => (Sign::Plus, term.item),
    });
    Sum { terms: left.chain(right).collect() }
}

/// What a balance says by itself, from the numbers as they are stated.
fn outcome(items: &[Item], balance: &Balance) -> Outcome {
    let differs = balance.differs(items, |item| item.value);
    if !differs.holds(0) {
        return Outcome::Differs(differs);
    }
    if differs.only() == Some(0) {
        return Outcome::Agrees;
    }
    let loose =
        balance.terms().filter_map(|term| items.get(term.item)).filter(|item| item.value.only().is_none());
    let mut doubts: Vec<Doubt> = Vec::new();
    for doubt in loose.filter_map(|item| item.doubt.clone()) {
        if !doubts.contains(&doubt) {
            doubts.push(doubt);
        }
    }
    if doubts.is_empty() { Outcome::Within } else { Outcome::Open(doubts) }
}

/// What a paper counted, as the name of a line of the ledger.
#[must_use]
pub fn words_of(what: CountOf) -> &'static str {
    match what {
        CountOf::Declared => "votes declared for the unit",
        CountOf::Register => "voters signed in the register",
        CountOf::MockVotes => "votes of the mock poll, as noted",
        CountOf::Refused => "voters who signed and refused, or left before the enable",
        CountOf::Slips => "paper slips counted",
        CountOf::TotalAtClose => "total at the close, as noted",
        CountOf::ResultAtCount => "result at the count, as noted",
        CountOf::LeftAfterEnable => "voters who left after the enable",
        CountOf::Unsigned => "voters who voted without having signed",
        CountOf::TestVotes => "votes deducted as tests",
        CountOf::Tendered => "tendered ballots, on paper",
        CountOf::Tokens => "numbered tokens given at the hour",
    }
}

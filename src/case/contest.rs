//! Contests: statements that contradict each other, and every way to take as many of them as agree.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::Saying;
use super::versions::{Choice, MOST_VERSIONS};
use crate::source::Shown;

/// Statements that one choice names; more are counted.
const NAMED: usize = 4;

/// Steps that the search for ways takes before it stops and says so. Rows that a person writes need a few dozen.
const MOST_STEPS: usize = 20_000;

/// Where a statement stands in a [`crate::case::Case`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Slot {
    Serial,
    Role,
    Software,
    Candidates,
    BallotUnits,
    Description,
    MockVotesLeast,
    Setting,
    Poll,
    Phase,
    Count,
    Interruption,
    NoInterruption,
    Storage,
    NoStorage,
    Custody,
    NoCustody,
}

/// One statement that others may contradict.
pub(super) struct Item<'c> {
    pub(super) slot: Slot,
    pub(super) index: usize,
    /// What it states, in words.
    pub(super) text: String,
    pub(super) basis: &'c Saying,
}

/// Statements about one thing, and for each those that contradict it.
pub(super) struct Question<'c> {
    about: String,
    items: Vec<Item<'c>>,
    against: Vec<Vec<usize>>,
}

/// One way to choose: what is taken, and what falls away.
pub(super) struct Way<'c> {
    about: String,
    taken: Vec<(String, &'c Saying)>,
    pub(super) dropped: Vec<(Slot, usize)>,
}

impl<'c> Question<'c> {
    pub(super) fn new(
        about: String,
        items: Vec<Item<'c>>,
        at_odds: impl Fn(usize, usize) -> bool,
    ) -> Question<'c> {
        let others = |one| (0..items.len()).filter(|other| *other != one && at_odds(one, *other)).collect();
        let against = (0..items.len()).map(others).collect();
        Question { about, items, against }
    }

    /// Statements that contradict each other where their words differ.
    pub(super) fn of_texts(about: String, items: Vec<Item<'c>>) -> Question<'c> {
        let texts: Vec<String> = items.iter().map(|item| item.text.clone()).collect();
        Question::new(about, items, |one, other| texts.get(one) != texts.get(other))
    }

    /// Its contests, each with the ways to choose. Statements that contradict each other, directly or through a third,
    /// are one contest; statements that nobody contradicts are in none.
    pub(super) fn contests(&self, cut: &mut bool) -> Vec<Vec<Way<'c>>> {
        let mut seen = BTreeSet::new();
        let mut contests = Vec::new();
        for start in 0..self.items.len() {
            let group = self.reached(start, &mut seen);
            if group.len() > 1 {
                let mut search = Search { question: self, group: &group, found: Vec::new(), steps: 0 };
                search.walk(0, &mut vec![0; self.items.len()], &mut Vec::new());
                *cut |= search.found.len() > MOST_VERSIONS || search.steps > MOST_STEPS;
                search.found.truncate(MOST_VERSIONS);
                contests.push(search.found.iter().map(|taken| self.way(&group, taken)).collect());
            }
        }
        contests
    }

    /// The statements that hang together with this one by contradiction, in the order of the file; each only once.
    fn reached(&self, start: usize, seen: &mut BTreeSet<usize>) -> Vec<usize> {
        let mut open = vec![start];
        let mut group = Vec::new();
        while let Some(at) = open.pop() {
            if seen.insert(at) {
                group.push(at);
                open.extend(self.against(at));
            }
        }
        group.sort_unstable();
        group
    }

    fn against(&self, item: usize) -> &[usize] {
        self.against.get(item).map(Vec::as_slice).unwrap_or_default()
    }

    fn way(&self, group: &[usize], taken: &[usize]) -> Way<'c> {
        let item = |at: &usize| self.items.get(*at);
        Way {
            about: self.about.clone(),
            taken: taken.iter().filter_map(item).map(|item| (item.text.clone(), item.basis)).collect(),
            dropped: group
                .iter()
                .filter(|at| !taken.contains(at))
                .filter_map(item)
                .map(|item| (item.slot, item.index))
                .collect(),
        }
    }
}

/// The search for every largest set of statements of a group that agree: taking a statement is tried before leaving it,
/// and it is only left where a later one that contradicts it can still be taken.
struct Search<'q, 'c> {
    question: &'q Question<'c>,
    group: &'q [usize],
    found: Vec<Vec<usize>>,
    steps: usize,
}

impl Search<'_, '_> {
    /// `blocked` counts, for each statement, those taken that contradict it.
    fn walk(&mut self, place: usize, blocked: &mut Vec<usize>, taken: &mut Vec<usize>) {
        self.steps += 1;
        if self.steps > MOST_STEPS || self.found.len() > MOST_VERSIONS {
            return;
        }
        let Some(at) = self.group.get(place).copied() else {
            if self.group.iter().all(|one| taken.contains(one) || is_blocked(blocked, *one)) {
                self.found.push(taken.clone());
            }
            return;
        };
        if is_blocked(blocked, at) {
            return self.walk(place + 1, blocked, taken);
        }
        let against = self.question.against(at).to_vec();
        taken.push(at);
        shift(blocked, &against, 1);
        self.walk(place + 1, blocked, taken);
        shift(blocked, &against, -1);
        taken.pop();
        if against.iter().any(|other| *other > at && !is_blocked(blocked, *other)) {
            self.walk(place + 1, blocked, taken);
        }
    }
}

fn is_blocked(blocked: &[usize], item: usize) -> bool {
    blocked.get(item).is_some_and(|count| *count > 0)
}

fn shift(blocked: &mut [usize], items: &[usize], by: isize) {
    for item in items {
        if let Some(count) = blocked.get_mut(*item) {
            *count = count.saturating_add_signed(by);
        }
    }
}

impl Way<'_> {
    /// The choice in words: equal statements of several people are said once, with all who make them.
    pub(super) fn choice(&self) -> Choice {
        let mut said: Vec<(&str, Vec<String>)> = Vec::new();
        for (text, basis) in &self.taken {
            let who = basis.place();
            match said.iter_mut().find(|(known, _)| known == text) {
                Some((_, all)) => all.push(who),
                None => said.push((text, vec![who])),
            }
        }
        let rest = said.len().saturating_sub(NAMED);
        let parts: Vec<String> = said
            .iter()
            .take(NAMED)
            .map(|(text, who)| format!("{text}, as stated {}", named(who, " and ")))
            .collect();
        let mut text = format!("{}: {}", self.about, parts.join("; "));
        if rest > 0 {
            let _ = write!(text, "; and {rest} more");
        }
        Choice {
            about: self.about.clone(),
            text: Shown::inert(&text),
            bases: self.taken.iter().map(|(_, basis)| (*basis).clone()).collect(),
        }
    }
}

fn named(who: &[String], between: &str) -> String {
    let rest = who.len().saturating_sub(NAMED);
    let mut text = who.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(between);
    if rest > 0 {
        let _ = write!(text, " and {rest} more");
    }
    text
}

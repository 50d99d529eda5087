//! The difference of two examinations: which answers changed, and on which changed facts each of them hangs.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::{Case, Saying, Stated, Statements};
use crate::examination::{Examination, examine};
use crate::finding::{Finding, Verdict};
use crate::syntax::Log;
use crate::unit::UnitDescription;

/// Facts that are tried one by one; with more, only all of them together are named.
pub const MOST_FACTS: usize = 60;

/// What one examination rests on.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// The log.
    pub log: &'a Log,
    /// The case file's statements.
    pub case: &'a Case,
    /// The unit description.
    pub unit: &'a UnitDescription,
}

/// A fact that is not the same on both sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// Another log.
    Log,
    /// Another unit description.
    Unit,
    /// A statement of the case file.
    Statement {
        /// What it is about.
        about: &'static str,
        /// Line of the case file before; `None` where it was added.
        before: Option<usize>,
        /// Line of the case file after; `None` where it was dropped.
        after: Option<usize>,
    },
}

/// On what a changed answer hangs. Numbers are places in [`Comparison::facts`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cause {
    /// Each of these facts makes the change by itself.
    Each(Vec<usize>),
    /// None makes it by itself; these make it together, and leaving out any of them undoes it. Other such sets may exist.
    Together(Vec<usize>),
    /// There are too many changed facts to try them.
    Untried,
}

/// An answer that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The rule's id.
    pub rule: &'static str,
    /// The answer before.
    pub before: Verdict,
    /// The answer after.
    pub after: Verdict,
    /// On what the change hangs.
    pub cause: Cause,
}

/// Two examinations side by side.
#[derive(Debug)]
pub struct Comparison<'a> {
    /// The examination before.
    pub before: Examination<'a>,
    /// The examination after.
    pub after: Examination<'a>,
    /// The facts that differ.
    pub facts: Vec<Fact>,
    /// The answers that changed, in the order of the rules.
    pub changes: Vec<Change>,
    /// Findings of rules whose answer is the same, that stand on one side only: places in the findings of that side.
    /// Empty where the logs differ, for their lines cannot be compared.
    pub gone: Vec<usize>,
    /// The same for the side after.
    pub new: Vec<usize>,
}

/// Compares two examinations. Pure, as an examination is.
#[must_use]
pub fn compare<'a>(before: Side<'a>, after: Side<'a>) -> Comparison<'a> {
    let edits = edits(before.case, after.case);
    let mut facts: Vec<Fact> = Vec::new();
    let same_log =
        before.log.source().is_same(after.log.source()) && before.log.first_line == after.log.first_line;
    if !same_log {
        facts.push(Fact::Log);
    }
    if before.unit.digest != after.unit.digest {
        facts.push(Fact::Unit);
    }
    facts.extend(edits.iter().map(|edit| Fact::Statement {
        about: edit.about,
        before: edit.before.map(|(_, line)| line),
        after: edit.after.map(|(_, line)| line),
    }));
    let (first, second) = (run(before), run(after));
    let changed: Vec<(&'static str, Verdict, Verdict)> = first
        .answers
        .iter()
        .zip(&second.answers)
        .filter(|(one, other)| one.verdict != other.verdict)
        .map(|(one, other)| (one.rule, one.verdict, other.verdict))
        .collect();
    let all = (0..facts.len()).collect();
    let tried = BTreeMap::from([(all, changed.iter().map(|(_, _, after)| *after).collect())]);
    let mut trial = Trial { before, after, facts: &facts, edits: &edits, changed: &changed, tried };
    let causes = if facts.len() > MOST_FACTS { None } else { Some(trial.causes()) };
    let changes = changed
        .iter()
        .enumerate()
        .map(|(place, (rule, before, after))| Change {
            rule,
            before: *before,
            after: *after,
            cause: causes.as_ref().and_then(|list| list.get(place)).cloned().unwrap_or(Cause::Untried),
        })
        .collect();
    let only = |here: &Examination<'_>, there: &Examination<'_>| -> Vec<usize> {
        let stands = |finding: &Finding| {
            there.findings.iter().any(|other| {
                (other.rule, other.main, &other.shows) == (finding.rule, finding.main, &finding.shows)
            })
        };
        let steady = |finding: &Finding| changed.iter().all(|(rule, ..)| *rule != finding.rule);
        let places = here.findings.iter().enumerate();
        places.filter(|(_, f)| same_log && steady(f) && !stands(f)).map(|(at, _)| at).collect()
    };
    let (gone, new) = (only(&first, &second), only(&second, &first));
    Comparison { before: first, after: second, facts, changes, gone, new }
}

fn run(side: Side<'_>) -> Examination<'_> {
    examine(side.log, side.case, side.unit)
}

/// Examinations with some of the facts changed, each made once.
struct Trial<'a, 't> {
    before: Side<'a>,
    after: Side<'a>,
    facts: &'t [Fact],
    edits: &'t [Edit],
    changed: &'t [(&'static str, Verdict, Verdict)],
    tried: BTreeMap<BTreeSet<usize>, Vec<Verdict>>,
}

impl Trial<'_, '_> {
    /// The cause of every change.
    fn causes(&mut self) -> Vec<Cause> {
        let changed = self.changed;
        let after = |(place, (_, _, after)): (usize, &(&'static str, Verdict, Verdict))| (place, *after);
        changed.iter().enumerate().map(after).map(|(place, after)| self.cause(place, after)).collect()
    }

    fn cause(&mut self, place: usize, after: Verdict) -> Cause {
        let by_itself: Vec<usize> =
            (0..self.facts.len()).filter(|fact| self.makes(&BTreeSet::from([*fact]), place, after)).collect();
        if by_itself.is_empty() { self.together(place, after) } else { Cause::Each(by_itself) }
    }

    /// Leaves facts out one after the other as long as the answer stays, until none can be left out any more: a fact that
    /// was needed beside others may not be without them.
    fn together(&mut self, place: usize, after: Verdict) -> Cause {
        let mut chosen: BTreeSet<usize> = (0..self.facts.len()).collect();
        loop {
            let before = chosen.clone();
            for fact in &before {
                let mut fewer = chosen.clone();
                fewer.remove(fact);
                if self.makes(&fewer, place, after) {
                    chosen = fewer;
                }
            }
            if chosen == before {
                return Cause::Together(chosen.into_iter().collect());
            }
        }
    }

    /// Whether these facts, changed without the others, give a changed rule the answer after.
    fn makes(&mut self, chosen: &BTreeSet<usize>, place: usize, after: Verdict) -> bool {
        if !self.tried.contains_key(chosen) {
            let verdicts = self.verdicts(chosen);
            self.tried.insert(chosen.clone(), verdicts);
        }
        self.tried.get(chosen).and_then(|verdicts| verdicts.get(place)) == Some(&after)
    }

    /// The answers to the changed rules with these facts changed and the others as they were before.
    fn verdicts(&self, chosen: &BTreeSet<usize>) -> Vec<Verdict> {
        let takes = |wanted: Fact| {
            self.facts.iter().enumerate().any(|(at, fact)| *fact == wanted && chosen.contains(&at))
        };
        let statements = self.facts.len() - self.edits.len();
        let edits: Vec<Edit> = self
            .edits
            .iter()
            .enumerate()
            .filter(|(at, _)| chosen.contains(&(at + statements)))
            .map(|(_, edit)| *edit)
            .collect();
        let case = apply(self.before.case, self.after.case, &edits);
        let log = if takes(Fact::Log) { self.after.log } else { self.before.log };
        let unit = if takes(Fact::Unit) { self.after.unit } else { self.before.unit };
        let examination = examine(log, &case, unit);
        let of = |rule: &str| {
            examination.answers.iter().find(|answer| answer.rule == rule).map(|answer| answer.verdict)
        };
        self.changed.iter().map(|(rule, before, _)| of(rule).unwrap_or(*before)).collect()
    }
}

/// A statement that is not the same in two case files: its list, and its place there and line on each side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Edit {
    list: usize,
    about: &'static str,
    before: Option<(usize, usize)>,
    after: Option<(usize, usize)>,
}

/// What a list of a case file holds.
trait Row: Clone {
    fn same(&self, other: &Self) -> bool;
    fn line(&self) -> usize;
}

impl Row for Saying {
    fn same(&self, other: &Self) -> bool {
        self.source == other.source && self.by == other.by
    }

    fn line(&self) -> usize {
        self.line
    }
}

impl<T: Clone + PartialEq> Row for Stated<T> {
    fn same(&self, other: &Self) -> bool {
        self.value == other.value && self.basis.same(&other.basis)
    }

    fn line(&self) -> usize {
        self.basis.line
    }
}

/// Something done with the same list of two case files.
trait Visit {
    fn list<R: Row>(&mut self, about: &'static str, before: &mut Vec<R>, after: &[R]);
}

/// Goes through every list of statements that an answer may rest on. The matter and the questions change no answer.
fn visit(visit: &mut impl Visit, before: &mut Case, after: &Case) {
    fn statements<T: Clone + PartialEq>(
        visit: &mut impl Visit,
        about: &'static str,
        before: &mut Statements<T>,
        after: &Statements<T>,
    ) {
        visit.list(about, &mut before.stated, &after.stated);
        visit.list(about, &mut before.none, &after.none);
    }
    visit.list("poll", &mut before.polls, &after.polls);
    visit.list("unit serial", &mut before.unit.serial, &after.unit.serial);
    visit.list("unit role", &mut before.unit.role, &after.unit.role);
    visit.list("unit software", &mut before.unit.software, &after.unit.software);
    visit.list("candidates", &mut before.unit.candidates, &after.unit.candidates);
    visit.list("ballot units", &mut before.unit.ballot_units, &after.unit.ballot_units);
    visit.list("unit description", &mut before.unit.description, &after.unit.description);
    visit.list("phase", &mut before.phases, &after.phases);
    visit.list("end of the log", &mut before.ends, &after.ends);
    visit.list("fact", &mut before.facts, &after.facts);
    visit.list("number", &mut before.counts, &after.counts);
    visit.list("reading", &mut before.readings, &after.readings);
    visit.list("turnout", &mut before.turnout, &after.turnout);
    statements(visit, "interruption", &mut before.interruptions, &after.interruptions);
    statements(visit, "storage", &mut before.storage, &after.storage);
    statements(visit, "custody", &mut before.custody, &after.custody);
    visit.list("setting", &mut before.settings.mock_votes_least, &after.settings.mock_votes_least);
    visit.list("setting", &mut before.settings.numbers, &after.settings.numbers);
    visit.list("setting", &mut before.settings.clock_line, &after.settings.clock_line);
    visit.list("local clause", &mut before.settings.clauses, &after.settings.clauses);
}

/// Finds the statements that differ. In each list, what is gone and what is new are paired in their order: a pair is one
/// changed statement.
#[derive(Default)]
struct Find {
    lists: usize,
    edits: Vec<Edit>,
}

impl Visit for Find {
    fn list<R: Row>(&mut self, about: &'static str, before: &mut Vec<R>, after: &[R]) {
        let mut gone: Vec<(usize, usize)> = Vec::new();
        let mut left: Vec<usize> = (0..after.len()).collect();
        for (at, row) in before.iter().enumerate() {
            let twin = left.iter().position(|other| after.get(*other).is_some_and(|other| row.same(other)));
            match twin {
                Some(place) => drop(left.remove(place)),
                None => gone.push((at, row.line())),
            }
        }
        let new: Vec<(usize, usize)> =
            left.iter().filter_map(|at| Some((*at, after.get(*at)?.line()))).collect();
        for place in 0..gone.len().max(new.len()) {
            let (before, after) = (gone.get(place).copied(), new.get(place).copied());
            self.edits.push(Edit { list: self.lists, about, before, after });
        }
        self.lists += 1;
    }
}

fn edits(before: &Case, after: &Case) -> Vec<Edit> {
    let mut find = Find::default();
    visit(&mut find, &mut before.clone(), after);
    find.edits
}

/// Makes chosen edits.
struct Make<'e> {
    lists: usize,
    edits: &'e [Edit],
}

impl Visit for Make<'_> {
    fn list<R: Row>(&mut self, _: &'static str, before: &mut Vec<R>, after: &[R]) {
        let here = self.lists;
        self.lists += 1;
        let edits: Vec<&Edit> = self.edits.iter().filter(|edit| edit.list == here).collect();
        if edits.is_empty() {
            return;
        }
        let mut rows: Vec<R> = Vec::with_capacity(before.len());
        for (at, row) in before.iter().enumerate() {
            match edits.iter().find(|edit| edit.before.is_some_and(|(place, _)| place == at)) {
                None => rows.push(row.clone()),
                // What takes the place of a statement stands where it stood: the first of contested facts counts first.
                Some(edit) => rows.extend(edit.after.and_then(|(place, _)| after.get(place)).cloned()),
            }
        }
        let added = edits.iter().filter(|edit| edit.before.is_none());
        rows.extend(added.filter_map(|edit| after.get(edit.after?.0)).cloned());
        *before = rows;
    }
}

fn apply(before: &Case, after: &Case, edits: &[Edit]) -> Case {
    let mut case = before.clone();
    visit(&mut Make { lists: 0, edits }, &mut case, after);
    case
}

//! An examination: one log, one case, one unit description; every rule's answer, every finding, in one value.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::{Case, Labelled, Phase, Stretch, Version};
use crate::clock::Clock;
use crate::counts::Ledger;
use crate::coverage::Coverage;
use crate::finding::{Answer, Ask, Assumption, Finding, Kind, Place, Verdict};
use crate::pace::Measurements;
use crate::replay::cycle::covers;
use crate::replay::{Machine, Replay};
use crate::rules::{self, Known, Outcome, RULES, Rule};
use crate::source::Shown;
use crate::syntax::{Log, Secrecy};
use crate::unit::UnitDescription;

/// How the assumption begins that a finding rests on one version of the contested facts.
pub const ONE_VERSION: &str = "this version of the contested facts holds";

/// The whole examination of one log. Reports are pure functions of it.
#[derive(Debug)]
pub struct Examination<'a> {
    /// The log.
    pub log: &'a Log,
    /// The case file's statements, contested ones included.
    pub case: &'a Case,
    /// The unit description.
    pub unit: &'a UnitDescription,
    /// The replay, under the first version of the case.
    pub replay: Replay,
    /// The unit's clock, under the first version of the case.
    pub clock: Clock<'a>,
    /// Whether every version of the case gives this clock, so that nothing said of it hangs on what is contested.
    pub clock_is_one: bool,
    /// From when to when the log speaks.
    pub coverage: Coverage,
    /// Every rule's answer, in the order of [`RULES`].
    pub answers: Vec<Answer>,
    /// Every finding, in the order in which they are told: by weight, then by how they follow, then by their place, those of one
    /// rule together.
    pub findings: Vec<Finding>,
    /// The numbers side by side, once for each version of the contested facts that gives another.
    pub ledgers: Vec<(Shown, Ledger)>,
    /// What may be shown of the records.
    pub secrecy: Secrecy,
    /// Whether there were more versions of contested facts than are examined.
    pub versions_cut: bool,
    /// The versions of contested facts that were examined, each in words; one empty entry when nothing is contested.
    pub versions: Vec<Shown>,
}

impl Examination<'_> {
    /// Whether some rule is not kept by a departure or a discrepancy. What is unusual may be lawful, and a remark has no
    /// weight of its own.
    #[must_use]
    pub fn has_weight(&self) -> bool {
        use crate::finding::Weight;
        self.answers.iter().filter(|answer| answer.verdict == Verdict::NotKept).any(|answer| {
            self.findings
                .iter()
                .any(|finding| finding.rule == answer.rule && finding.weight <= Weight::Discrepancy)
        })
    }

    /// Measures the pace of the votes; no answer rests on it.
    #[must_use]
    pub fn measurements(&self) -> Measurements {
        // Where versions of the case file label the records differently, no label counts.
        let labels = (!self.coverage.votes_labelled.is_empty()).then_some(self.replay.labels.as_slice());
        Measurements::of(self.log, &self.replay, labels)
    }

    /// The findings rule by rule, in their order, each with its place among all.
    pub(crate) fn findings_by_rule(&self) -> Vec<(&'static Rule, Vec<(usize, &Finding)>)> {
        let mut list: Vec<(&'static Rule, Vec<(usize, &Finding)>)> = Vec::new();
        for (place, finding) in self.findings.iter().enumerate() {
            match list.last_mut().filter(|(rule, _)| rule.id == finding.rule) {
                Some((_, of_rule)) => of_rule.push((place, finding)),
                None => list.extend(rules::rule(finding.rule).map(|rule| (rule, vec![(place, finding)]))),
            }
        }
        list
    }

    /// The findings of a rule.
    pub fn findings_of(&self, rule: &str) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |finding| finding.rule == rule)
    }
}

/// Examines a log: replay, rules, answers. Pure: the same input gives the same result on every machine.
#[must_use]
pub fn examine<'a>(log: &'a Log, case: &'a Case, unit: &'a UnitDescription) -> Examination<'a> {
    let machine = Machine::of(unit);
    let versions = case.versions();
    let mut runs: Vec<Run<'a>> = versions
        .versions
        .iter()
        .map(|version| {
            let replay = Replay::with(&machine, log, &version.case, unit);
            let clock = Clock::of(log, &version.case, unit, &replay);
            let known = Known::of(log, unit, &version.case, &replay, &clock);
            let outcomes = RULES.iter().map(|rule| rules::run(rule, &known)).collect();
            let ledger = known.counts.ledger.clone();
            Run { words: words(version), replay, clock, outcomes, ledger }
        })
        .collect();
    let secrecy = secrecy(log, case, runs.iter().map(|run| &run.replay));
    let (mut answers, mut findings) = (Vec::with_capacity(RULES.len()), Vec::new());
    if let [only] = runs.as_mut_slice() {
        for outcome in std::mem::take(&mut only.outcomes) {
            answers.push(outcome.answer);
            findings.extend(outcome.findings);
        }
    } else {
        for place in 0..RULES.len() {
            let (answer, found) = agree(&runs, place);
            answers.extend(answer);
            findings.extend(found);
        }
    }
    let words = runs.iter().map(|run| run.words.clone()).collect();
    let mut ledgers: Vec<(Shown, Ledger)> = Vec::new();
    for run in &runs {
        if ledgers.iter().all(|(_, ledger)| *ledger != run.ledger) {
            ledgers.push((run.words.clone(), run.ledger.clone()));
        }
    }
    let labels_agree =
        runs.windows(2).all(|pair| matches!(pair, [a, b] if a.replay.labels == b.replay.labels));
    let clock_is_one =
        runs.windows(2).all(|pair| matches!(pair, [a, b] if a.clock.says_the_same_as(&b.clock)));
    // There is always at least one version: the case as it stands.
    let (replay, clock) = if runs.is_empty() {
        let replay = Replay::with(&machine, log, case, unit);
        let clock = Clock::of(log, case, unit, &replay);
        (replay, clock)
    } else {
        let first = runs.swap_remove(0);
        (first.replay, first.clock)
    };
    number_groups(&mut findings, log, &replay);
    by_what_matters(&mut findings);
    let coverage = Coverage::of(log, case, unit, &replay, labels_agree.then_some(&replay.labels));
    Examination {
        log,
        case,
        unit,
        replay,
        clock,
        clock_is_one,
        coverage,
        answers,
        findings,
        ledgers,
        secrecy,
        versions_cut: versions.cut,
        versions: words,
    }
}

/// The examination under one version of the contested facts.
struct Run<'a> {
    words: Shown,
    replay: Replay,
    clock: Clock<'a>,
    outcomes: Vec<Outcome>,
    ledger: Ledger,
}

/// What a version takes as true, in words; empty where nothing is contested.
fn words(version: &Version) -> Shown {
    let choices: Vec<&str> = version.choices.iter().map(|choice| choice.text.as_str()).collect();
    Shown::inert(&choices.join("; "))
}

/// One rule's answer over several versions: where they differ, it cannot be told, and each version's answer is kept.
fn agree(runs: &[Run<'_>], place: usize) -> (Option<Answer>, Vec<Finding>) {
    let outcomes: Vec<(&Shown, &Outcome)> =
        runs.iter().filter_map(|run| Some((&run.words, run.outcomes.get(place)?))).collect();
    let Some((_, first)) = outcomes.first() else {
        return (None, Vec::new());
    };
    let mut answer = first.answer.clone();
    if outcomes.iter().any(|(_, outcome)| outcome.answer.verdict != answer.verdict) {
        answer.verdict = Verdict::CannotBeTold;
        answer.why = vec![
            "the case file states contested facts, and the answer depends on which of them holds".to_owned(),
        ];
        let contested = Ask {
            of: "those who assert the contested facts",
            what: "the papers on which each version of the contested facts rests".to_owned(),
        };
        let asked = outcomes.iter().flat_map(|(_, outcome)| &outcome.answer.asks);
        let asks: BTreeSet<Ask> = asked.cloned().chain([contested]).collect();
        answer.asks = asks.into_iter().collect();
        answer.versions =
            outcomes.iter().map(|(words, outcome)| ((*words).clone(), outcome.answer.verdict)).collect();
    }
    // Findings are told apart by the places they point at.
    let places = |outcome: &Outcome| -> BTreeSet<(Place, Vec<Place>)> {
        outcome.findings.iter().map(|finding| (finding.main, finding.others.clone())).collect()
    };
    let of_each: Vec<BTreeSet<(Place, Vec<Place>)>> =
        outcomes.iter().map(|(_, outcome)| places(outcome)).collect();
    let mut seen: BTreeSet<(Place, Vec<Place>)> = BTreeSet::new();
    let mut findings: Vec<Finding> = Vec::new();
    for (words, outcome) in &outcomes {
        for finding in &outcome.findings {
            let key = (finding.main, finding.others.clone());
            let in_all = of_each.iter().all(|places| places.contains(&key));
            if !seen.insert(key) {
                continue;
            }
            let mut finding = finding.clone();
            // A finding that not every version gives follows only if a version that gives it holds.
            if !in_all {
                finding.kind = Kind::Conditional;
                finding.assumptions.push(Assumption(format!("{ONE_VERSION}: {words}")));
            }
            findings.push(finding);
        }
    }
    (Some(answer), findings)
}

/// Puts the findings into the order in which they are numbered and told: by weight, then by how they follow, then by their
/// place; those of one rule stay together, at the place of the first of them.
fn by_what_matters(findings: &mut [Finding]) {
    let of = |finding: &Finding| (finding.weight, finding.kind, finding.main);
    findings.sort_by_key(of);
    let mut of_rule: BTreeMap<&'static str, usize> = BTreeMap::new();
    for (place, finding) in findings.iter().enumerate() {
        of_rule.entry(finding.rule).or_insert(place);
    }
    findings.sort_by_key(|finding| of_rule.get(finding.rule).copied());
}

/// Findings carry the number of the conflict that they rest on, as the account of the replay counts them: the account of
/// another version of the contested facts may count otherwise.
fn number_groups(findings: &mut [Finding], log: &Log, replay: &Replay) {
    if findings.iter().all(|finding| finding.group.is_none()) {
        return;
    }
    let line = |step: usize| log.records().get(replay.record(step)?).map(|record| Place::Line(record.line));
    let groups: BTreeMap<Place, usize> = replay
        .deviations
        .iter()
        .filter_map(|deviation| Some((line(deviation.last)?, deviation.group)))
        .collect();
    for finding in findings {
        finding.group = finding.group.and_then(|_| groups.get(&finding.main).copied());
    }
}

/// Records that every version of the case says were not part of the poll may be shown whole, unless the number by which
/// the case names them stands on other records too.
fn secrecy<'r>(log: &Log, case: &Case, replays: impl Iterator<Item = &'r Replay>) -> Secrecy {
    let mut open = log.named_by_number();
    for Labelled { phase, stretch, .. } in case.phases.iter().map(|stated| &stated.value) {
        if *phase != Phase::Poll && matches!(stretch, Stretch::Lines(..)) {
            for (flag, record) in open.iter_mut().zip(log.records()) {
                *flag |= covers(stretch, log, record);
            }
        }
    }
    for replay in replays {
        for (flag, label) in open.iter_mut().zip(&replay.labels) {
            *flag &= !label.is_empty() && !label.may_be(Phase::Poll);
        }
    }
    Secrecy::of(open, case.names_several_ballot_units())
}

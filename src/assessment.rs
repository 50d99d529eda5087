//! The second judge: an examination of a rehearsal set against its key, rule by rule.
//!
//! The key knows what was injected and asks no rule; the examination knows the log and the papers and sees no key. Where
//! the two disagree, a rule, the replay or the key is wrong.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use crate::case::Case;
use crate::finding::{Finding, Kind, Place, Verdict};
use crate::rehearsal::fault::{Fault, Rehearsed, rehearse};
use crate::rehearsal::key::{Conclusion, Key, Must, Stand, brought_by};
use crate::rules::{RULES, rule};
use crate::source::Source;
use crate::syntax::{Log, read};
use crate::{Examination, examine};

/// What came of one conclusion of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mark {
    /// The examination says what the key asks.
    Agreed,
    /// It says something else; what, in one sentence.
    Disagreed(String),
    /// The key asks nothing here, so that nothing was proved.
    Free,
    /// There is no such rule yet; the number of the issue that brings it.
    Awaiting(Option<u8>),
}

/// One rule's answer, judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    /// The rule's id.
    pub rule: &'static str,
    /// What the key asks, in a few words.
    pub expected: String,
    /// What came of it.
    pub mark: Mark,
}

/// Examines a rehearsal and sets every answer against the key. A rule that the key does not name is listed only where
/// it disagrees.
#[must_use]
pub fn assess(rehearsed: &Rehearsed) -> Vec<Judged> {
    let broken = |sentence: &str| {
        vec![Judged {
            rule: "the rehearsal",
            expected: "can be read".to_owned(),
            mark: Mark::Disagreed(sentence.to_owned()),
        }]
    };
    let logs = read(Arc::new(Source::new("rehearsal", rehearsed.life.log.clone().into_bytes())));
    let [log] = logs.as_slice() else {
        return broken("the file does not hold one log");
    };
    let Ok(case) = Case::read("rehearsal", &rehearsed.life.case) else {
        return broken("the case file has errors");
    };
    against(&rehearsed.key, &examine(log, &case.case, &rehearsed.unit))
}

/// Sets an examination against a key.
#[must_use]
pub fn against(key: &Key, examination: &Examination<'_>) -> Vec<Judged> {
    let log = examination.log;
    let mut judged = Vec::new();
    for conclusion in &key.conclusions {
        if rule(conclusion.rule).is_none() {
            let mark = Mark::Awaiting(brought_by(conclusion.rule));
            judged.push(Judged { rule: conclusion.rule, expected: asked(&conclusion.must), mark });
        }
    }
    for answer in &examination.answers {
        let findings: Vec<&Finding> = examination.findings_of(answer.rule).collect();
        let conclusion = key.of(answer.rule);
        let disagreement = match conclusion {
            None => silent(&findings, log),
            Some(conclusion) => differs(conclusion, answer.verdict, &findings, log),
        };
        let expected = conclusion.map_or_else(|| "no finding".to_owned(), |known| asked(&known.must));
        let mark = match (disagreement, conclusion) {
            (Some(sentence), _) => Mark::Disagreed(sentence),
            (None, Some(Conclusion { must: Must::Free, .. })) => Mark::Free,
            (None, Some(_)) => Mark::Agreed,
            (None, None) => continue,
        };
        judged.push(Judged { rule: answer.rule, expected, mark });
    }
    judged
}

/// What the key asks, in a few words.
fn asked(must: &Must) -> String {
    match must {
        Must::Find(_) => "not kept".to_owned(),
        Must::Answer(said) => {
            let said: Vec<&str> = said.iter().map(|said| said.words()).collect();
            match said.as_slice() {
                ["kept", "cannot be told", "does not apply"] => "no finding".to_owned(),
                said => said.join(" or "),
            }
        }
        Must::Free => "anything".to_owned(),
    }
}

fn line_of(finding: &Finding, log: &Log) -> Option<usize> {
    match finding.main {
        Place::Line(line) => Some(log.line_number(line)),
        Place::Log => None,
    }
}

fn silent(findings: &[&Finding], log: &Log) -> Option<String> {
    let first = findings.first()?;
    Some(format!("{} ({}) where nothing may be found", named(first, log), first.kind.word()))
}

fn named(finding: &Finding, log: &Log) -> String {
    line_of(finding, log)
        .map_or_else(|| "a finding about the log".to_owned(), |line| format!("a finding on line {line}"))
}

fn differs(conclusion: &Conclusion, verdict: Verdict, findings: &[&Finding], log: &Log) -> Option<String> {
    match &conclusion.must {
        Must::Free => None,
        Must::Answer(said) => silent(findings, log).or_else(|| {
            let fits = said.iter().any(|said| said.words() == verdict.words());
            (!fits).then(|| format!("answered '{}'", verdict.words()))
        }),
        Must::Find(stands) => {
            if verdict != Verdict::NotKept {
                return Some(format!("answered '{}'", verdict.words()));
            }
            let mut left: Vec<&Finding> = findings.to_vec();
            for stand in stands {
                match left.iter().position(|finding| shows(stand, finding, log)) {
                    Some(place) => {
                        left.remove(place);
                    }
                    // One finding may hold several records, of which the key names each.
                    None if findings.iter().any(|finding| covers(stand, finding, log)) => {}
                    None => return Some(format!("no finding {}", wanted(stand))),
                }
            }
            // A finding that stands anywhere may stand more than once.
            let anywhere = stands.iter().any(|stand| stand.lines.is_empty());
            left.retain(|finding| !anywhere && !stands.iter().any(|stand| shows(stand, finding, log)));
            left.first().map(|more| format!("{} that the key does not foresee", named(more, log)))
        }
    }
}

fn kind_fits(stand: &Stand, kind: Kind) -> bool {
    stand.how.iter().any(|how| how.word() == kind.word())
}

fn shows(stand: &Stand, finding: &Finding, log: &Log) -> bool {
    let place =
        stand.lines.is_empty() || line_of(finding, log).is_some_and(|line| stand.lines.contains(&line));
    place && kind_fits(stand, finding.kind)
}

/// Whether a line of the stand is among all that a finding points at.
fn covers(stand: &Stand, finding: &Finding, log: &Log) -> bool {
    let others = finding.others.iter().filter_map(|place| match place {
        Place::Line(line) => Some(log.line_number(*line)),
        Place::Log => None,
    });
    let mut all = line_of(finding, log).into_iter().chain(others);
    kind_fits(stand, finding.kind) && all.any(|line| stand.lines.contains(&line))
}

fn wanted(stand: &Stand) -> String {
    let how: Vec<&str> = stand.how.iter().map(|how| how.word()).collect();
    let lines: Vec<String> = stand.lines.iter().map(ToString::to_string).collect();
    match lines.as_slice() {
        [] => format!("that is {}", how.join(" or ")),
        lines => format!("that is {} on line {}", how.join(" or "), lines.join(" or ")),
    }
}

/// How often a rule and a fault agreed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    /// What the key asks.
    pub expected: String,
    /// Seeds judged.
    pub seeds: u32,
    /// Of which the key wants a finding.
    pub wanted: u32,
    /// Agreed.
    pub agreed: u32,
    /// Disagreed.
    pub disagreed: u32,
    /// Of which the key asked nothing.
    pub free: u32,
    /// The issue that brings the rule, where it does not exist yet; 0 where none is known.
    pub awaiting: Option<u8>,
}

/// A disagreement, and the command that makes it again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Disagreement {
    /// What disagrees.
    pub sentence: String,
    /// The command that makes the rehearsal.
    pub command: String,
}

/// Many rehearsals judged.
#[derive(Debug, Clone, Default)]
pub struct Sitting {
    /// By fault and rule.
    pub rows: BTreeMap<(usize, &'static str, &'static str), Tally>,
    /// Every disagreement, in the order of faults and seeds.
    pub disagreements: Vec<Disagreement>,
    /// Rehearsals judged.
    pub judged: u32,
}

impl Sitting {
    /// Judges one rehearsal. `place` orders the table, `name` is the fault's.
    pub fn take(&mut self, place: usize, name: &'static str, rehearsed: &Rehearsed) {
        self.judged += 1;
        for judged in assess(rehearsed) {
            let tally = self.rows.entry((place, name, judged.rule)).or_default();
            if judged.expected.len() > tally.expected.len() {
                tally.expected.clone_from(&judged.expected);
            }
            tally.seeds += 1;
            tally.wanted += u32::from(judged.expected == asked(&Must::Find(Vec::new())));
            match judged.mark {
                Mark::Agreed => tally.agreed += 1,
                Mark::Free => tally.free += 1,
                Mark::Awaiting(issue) => tally.awaiting = Some(issue.unwrap_or(0)),
                Mark::Disagreed(sentence) => {
                    tally.disagreed += 1;
                    let sentence =
                        format!("{name}, {}: expected {}; {sentence}", judged.rule, judged.expected);
                    self.disagreements
                        .push(Disagreement { sentence, command: rehearsed.key.command.clone() });
                }
            }
        }
    }

    /// Judges a fault over seeds from 1, of each log the `last` so many records only, or all of them. A seed for which no
    /// life has a place counts as a disagreement.
    pub fn take_fault(
        &mut self,
        place: usize,
        fault: &'static Fault,
        size: i64,
        seeds: u64,
        last: Option<usize>,
    ) {
        for seed in 1..=seeds {
            match rehearse(&[(fault, size)], seed, last) {
                Ok(rehearsed) => self.take(place, fault.id, &rehearsed),
                Err(sentence) => self.disagreements.push(Disagreement {
                    sentence: format!("{}: {sentence}", fault.id),
                    command: format!("logassay rehearse fault {} --seed {seed}", fault.id),
                }),
            }
        }
    }

    /// Answers of which the key asked nothing, and all that were given: what the judge does not prove, of what it could.
    #[must_use]
    pub fn free(&self) -> (u32, u32) {
        let free = self.rows.values().map(|tally| tally.free).sum();
        (free, self.judged * u32::try_from(RULES.len()).unwrap_or(u32::MAX))
    }

    /// Rules of which no key wanted a finding: that they find what they should is not judged here.
    #[must_use]
    pub fn unsought(&self) -> Vec<&'static str> {
        let wanted = |id: &str| self.rows.iter().any(|((.., of), tally)| *of == id && tally.wanted > 0);
        RULES.iter().map(|rule| rule.id).filter(|id| !wanted(id)).collect()
    }

    /// Whether every answer agreed or waits for its rule.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.disagreements.is_empty()
    }

    /// The table of fault and answer, and every disagreement.
    #[must_use]
    pub fn page(&self) -> String {
        let mut page = format!(
            "{:<32} {:<36} {:<28} {:>6} {:>9} {:>5}  awaits\n",
            "fault", "rule", "expected", "agreed", "disagreed", "free"
        );
        for ((_, fault, rule), tally) in &self.rows {
            let awaits = match tally.awaiting {
                None => String::new(),
                Some(0) => "a rule".to_owned(),
                Some(issue) => format!("issue {issue}"),
            };
            let Tally { expected, agreed, disagreed, free, .. } = tally;
            let line = format!(
                "{fault:<32} {rule:<36} {expected:<28} {agreed:>6} {disagreed:>9} {free:>5}  {awaits}"
            );
            page.push_str(line.trim_end());
            page.push('\n');
        }
        for disagreement in &self.disagreements {
            _ = write!(page, "\n{}\n  made again by: {}\n", disagreement.sentence, disagreement.command);
        }
        let awaiting = self.rows.values().filter(|tally| tally.awaiting.is_some()).count();
        let unsought = self.unsought();
        // Of one fault alone, that other rules are not sought says nothing.
        let judged: std::collections::BTreeSet<&str> = self.rows.keys().map(|(_, fault, _)| *fault).collect();
        if judged.len() > 1 && unsought.is_empty() {
            page.push_str("\nOf every rule some key wants a finding.");
        } else if unsought.len() < RULES.len() && judged.len() > 1 {
            _ = write!(page, "\nNo key wants a finding of: {}.", unsought.join(", "));
        }
        let (free, all) = self.free();
        _ = write!(page, "\n{free} of {all} answers were free: of these the key asks nothing.");
        _ = write!(
            page,
            "\n{} rehearsals judged by {} rules; {} disagreements; {awaiting} rows wait for their rule.\n",
            self.judged,
            RULES.len(),
            self.disagreements.len()
        );
        page
    }
}

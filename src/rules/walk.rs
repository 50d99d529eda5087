//! A rule's walk over its occasions: each is in order, contrary or open, and from these the answer follows.

use crate::case::Phase;
use crate::finding::{Answer, Ask, Assumption, Finding, Kind, Place, Verdict};
use crate::replay::{Cause, Cycle, Deviation, Gap, Step};
use crate::rules::{DEVIATIONS, Known, Needs, Rule, Scope};
use crate::syntax::LineKind;

/// How many places of open occasions an answer keeps.
const OPEN_PLACES: usize = 5;

/// Why something cannot be told, and what would be needed to tell it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Want {
    /// What was recorded before the first record.
    Front,
    /// What was recorded after the last record.
    Back,
    /// Lines that could not be read.
    UnreadLines,
    /// Record numbers that are missing.
    MissingNumbers,
    /// Record numbers that go back.
    Order,
    /// Records that contradict each other.
    Conflict,
    /// What a part of the log was.
    Label(Phase),
    /// A need of the rule that is not met.
    Need(&'static str, &'static str, &'static str),
    /// Anything else: why it is open, who holds what would decide it, what that is.
    Other(String, &'static str, String),
}

impl Want {
    /// Why it is open, as a sentence without its stop.
    #[must_use]
    pub fn why(&self) -> String {
        match self {
            Want::Front => "what was recorded before the first record of this log is not known".to_owned(),
            Want::Back => "what was recorded after the last record of this log is not known".to_owned(),
            Want::UnreadLines => "some lines could not be read, and each may stand for any number of records".to_owned(),
            Want::MissingNumbers => "record numbers are missing, and what these records said is not known".to_owned(),
            Want::Order => "record numbers go back, so that the order of the records is in doubt".to_owned(),
            Want::Conflict => "conflict: records that it would rest on contradict each other".to_owned(),
            Want::Label(phase) => format!("the case file does not say which records were the {}", phase.words()),
            Want::Need(why, _, _) => (*why).to_owned(),
            Want::Other(why, _, _) => why.clone(),
        }
    }

    /// What to ask for, and of whom.
    #[must_use]
    pub fn ask(&self) -> Ask {
        let ask = |of, what: &str| Ask { of, what: what.to_owned() };
        match self {
            Want::Front => ask("custodian of the unit and of earlier exports", "an earlier export of the same unit, or a statement with its source that nothing was recorded before (case file: [[end]], closed = \"front\")"),
            Want::Back => ask("custodian of the unit and of earlier exports", "a later export of the same unit, or a statement with its source that nothing was recorded after (case file: [[end]], closed = \"back\")"),
            Want::UnreadLines => ask("whoever made the export", "the export again, with the lines that could not be read"),
            Want::MissingNumbers => ask("whoever made the export", "the records whose numbers are missing, or the reason why the export leaves them out"),
            Want::Order => ask("whoever made the export", "the export in the order in which the unit recorded"),
            Want::Conflict => ask("qualified examiner of the physical unit", "the unit's own memory, read again, for the records that contradict each other"),
            Want::Label(_) => ask("presiding officer of the station", "the diary with the times of mock poll, opening and close, to state in the case file ([[phase]]) which records were which"),
            Want::Need(_, of, what) => ask(of, what),
            Want::Other(_, of, what) => ask(of, what),
        }
    }
}

/// A contrary occasion, as a rule states it. The walk adds id, kind and weight.
#[derive(Debug, Clone, Default)]
pub struct Contrary {
    /// Other places that show it.
    pub others: Vec<Place>,
    /// What was expected: one sentence.
    pub expected: String,
    /// What the record shows: one or more sentences.
    pub shows: String,
    /// The measured quantity with its margin.
    pub measured: Option<String>,
    /// What it rests on besides the records. Any entry makes the finding conditional.
    pub assumptions: Vec<String>,
}

/// What a rule has said so far.
#[derive(Debug)]
pub struct Walk<'a> {
    known: &'a Known<'a>,
    rule: &'static Rule,
    in_order: Vec<Place>,
    open: Vec<(Place, Want)>,
    unseen: Vec<Want>,
    no_subject: Option<String>,
    findings: Vec<Finding>,
    groups: Vec<Option<usize>>,
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id)
    }
}

impl Walk<'_> {
    /// An occasion in order.
    pub fn in_order(&mut self, at: Place) {
        self.in_order.push(at);
    }

    /// An occasion that stays open.
    pub fn open(&mut self, at: Place, want: Want) {
        self.open.push((at, want));
    }

    /// An occasion contrary to the rule. The main evidence is an argument of its own: no finding without it.
    pub fn contrary(&mut self, main: Place, contrary: Contrary) {
        self.push(main, contrary, None);
    }

    /// Occasions may have gone unseen.
    pub fn unseen(&mut self, want: Want) {
        if !self.unseen.contains(&want) {
            self.unseen.push(want);
        }
    }

    /// The rule has no subject here.
    pub fn does_not_apply(&mut self, why: &str) {
        self.no_subject = Some(why.to_owned());
    }

    /// The minimal contradictory stretches that this rule speaks for, as contrary occasions.
    pub fn deviations(&mut self, expected: &str, shows: impl Fn(&Known<'_>, &Deviation) -> String) {
        let known = self.known;
        for reason in DEVIATIONS.iter().filter(|(_, id)| *id == self.rule.id).map(|(reason, _)| *reason) {
            for deviation in known.deviations(reason) {
                let mut assumptions = Vec::new();
                if deviation.needs_closed_front {
                    assumptions.push(
                        "nothing was recorded before the first record of this log: it has the first number that the \
                         unit description knows"
                            .to_owned(),
                    );
                }
                if deviation.needs_numbering {
                    assumptions.push(
                        "record numbers step as the unit description says, so that only the missing numbers are \
                         missing, and each missing record is of a kind that the vocabulary knows"
                            .to_owned(),
                    );
                }
                let others = (deviation.first..deviation.last)
                    .filter(|step| deviation.core.contains(step) || known.record(*step).is_none())
                    .map(|step| known.place(step))
                    .collect();
                let contrary = Contrary {
                    others,
                    expected: expected.to_owned(),
                    shows: shows(known, deviation),
                    measured: None,
                    assumptions,
                };
                self.push(known.place(deviation.last), contrary, Some(deviation.group));
            }
        }
    }

    fn push(&mut self, main: Place, contrary: Contrary, group: Option<usize>) {
        let kind = if contrary.assumptions.is_empty() { self.rule.kind } else { Kind::Conditional };
        let mut others = contrary.others;
        others.retain(|place| *place != main);
        others.sort_unstable();
        others.dedup();
        self.findings.push(Finding {
            rule: self.rule.id,
            kind: kind.max(self.rule.kind),
            weight: self.rule.weight,
            main,
            others,
            expected: contrary.expected,
            shows: contrary.shows,
            measured: contrary.measured,
            assumptions: contrary.assumptions.into_iter().map(Assumption).collect(),
            group,
        });
        self.groups.push(group);
    }

    fn unseen_by_scope(&mut self) {
        match self.rule.scope {
            Scope::Text | Scope::Own => {}
            Scope::Events => {
                let replay = self.known.replay;
                if !replay.front.is_closed() {
                    self.unseen(Want::Front);
                }
                if !replay.back.is_closed() {
                    self.unseen(Want::Back);
                }
                self.unseen_steps(0, replay.steps.len());
            }
            Scope::Poll => {
                let known = self.known;
                for cycle in known.may_be(Phase::Poll) {
                    if cycle.phases.is_only(Phase::Poll) {
                        self.unseen_in(cycle);
                    } else {
                        self.unseen(Want::Label(Phase::Poll));
                    }
                }
            }
        }
    }

    /// What may have gone unseen in a cycle: its open ends, its gaps.
    pub fn unseen_in(&mut self, cycle: &Cycle) {
        if !cycle.begin.is_seen() {
            self.unseen(Want::Front);
        }
        if !cycle.end.is_seen() {
            self.unseen(Want::Back);
        }
        self.unseen_steps(cycle.steps.start, cycle.steps.end);
    }

    fn unseen_steps(&mut self, from: usize, to: usize) {
        for step in from..to {
            match self.known.replay.steps.get(step) {
                Some(Step::Gap(gap)) if gap.most != Some(0) => self.unseen(want_of(*gap)),
                _ if self.known.in_conflict(step) => self.unseen(Want::Conflict),
                _ => {}
            }
        }
    }

    fn finish(self) -> Outcome {
        let rule = self.rule;
        let (contrary, open) = (self.findings.len(), self.open.len());
        let mut wants: Vec<Want> = Vec::new();
        for want in self.open.iter().map(|(_, want)| want).chain(&self.unseen) {
            if !wants.contains(want) {
                wants.push(want.clone());
            }
        }
        let verdict = if contrary > 0 {
            Verdict::NotKept
        } else if self.no_subject.is_some() {
            Verdict::DoesNotApply
        } else if wants.is_empty() {
            Verdict::Kept
        } else {
            Verdict::CannotBeTold
        };
        let why = match (verdict, self.no_subject) {
            (Verdict::DoesNotApply, Some(why)) => vec![why],
            (Verdict::CannotBeTold, _) => wants.iter().map(Want::why).collect(),
            _ => Vec::new(),
        };
        let mut asks: Vec<Ask> = wants.iter().map(Want::ask).collect();
        asks.dedup();
        if verdict == Verdict::DoesNotApply {
            asks.clear();
        }
        let mut places = self.in_order.clone();
        places.extend(self.findings.iter().map(|finding| finding.main));
        places.extend(self.open.iter().map(|(place, _)| *place));
        let answer = Answer {
            rule: rule.id,
            verdict,
            in_order: self.in_order.len(),
            contrary,
            open,
            extent: extent(self.known, rule, &mut places),
            why,
            asks,
            open_at: self.open.iter().map(|(place, _)| *place).take(OPEN_PLACES).collect(),
            versions: Vec::new(),
        };
        Outcome { answer, findings: self.findings }
    }
}

/// A gap as a reason why something cannot be told.
fn want_of(gap: Gap) -> Want {
    match gap.cause {
        Cause::Unread => Want::UnreadLines,
        Cause::Hole => Want::MissingNumbers,
        Cause::NumbersGoBack => Want::Order,
        Cause::Conflict => Want::Conflict,
    }
}

/// How far an answer reaches: how many occasions, from where to where.
fn extent(known: &Known<'_>, rule: &Rule, places: &mut [Place]) -> String {
    places.sort_unstable();
    let lines: Vec<usize> = places.iter().filter_map(|p| if let Place::Line(line) = p { Some(*line) } else { None }).collect();
    let name = |line: usize| {
        let log = known.log;
        let number = log.line_number(line);
        let time = log.lines().get(line).and_then(|entry| match entry.kind {
            LineKind::Record(place) => log.records().get(place)?.time,
            _ => None,
        });
        match time {
            Some(time) => format!("{time} (line {number})"),
            None => format!("line {number}"),
        }
    };
    match (places.len(), lines.first(), lines.last()) {
        (0, _, _) => format!("no {} in this log", rule.occasions),
        (count, Some(first), Some(last)) if first != last => {
            format!("{count} {}, from {} to {}", rule.occasions, name(*first), name(*last))
        }
        (count, Some(only), _) => format!("{count} {}, at {}", rule.occasions, name(*only)),
        (count, _, _) => format!("{count} {}", rule.occasions),
    }
}

/// What a rule says about one log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// Its answer.
    pub answer: Answer,
    /// Its findings.
    pub findings: Vec<Finding>,
}

/// Lets a rule answer.
#[must_use]
pub fn run(rule: &'static Rule, known: &Known<'_>) -> Outcome {
    let mut walk = Walk {
        known,
        rule,
        in_order: Vec::new(),
        open: Vec::new(),
        unseen: Vec::new(),
        no_subject: None,
        findings: Vec::new(),
        groups: Vec::new(),
    };
    let missing: Vec<Want> = rule.needs.iter().filter_map(|need| missing(*need, known)).collect();
    if missing.is_empty() {
        (rule.walk)(known, &mut walk);
        walk.unseen_by_scope();
    } else {
        missing.into_iter().for_each(|want| walk.unseen(want));
    }
    walk.finish()
}

fn missing(need: Needs, known: &Known<'_>) -> Option<Want> {
    let records = known.log.records();
    let registrar = "registrar of the constituency";
    match need {
        Needs::Records if records.is_empty() => Some(Want::Need(
            "the log has no record that could be read",
            "whoever made the export",
            "an export that holds records",
        )),
        Needs::Numbers if known.unit.number_step.is_none() || records.iter().filter(|r| r.number.is_some()).count() < 2 => {
            Some(Want::Need(
                "the records carry no numbers, or the unit description does not say how numbers step",
                "whoever made the export",
                "an export with record numbers",
            ))
        }
        Needs::Times if records.iter().filter(|r| r.time.is_some()).count() < 2 => Some(Want::Need(
            "fewer than two records carry a time",
            "whoever made the export",
            "an export with the times that the unit displayed",
        )),
        Needs::PollLabel if known.only(Phase::Poll).next().is_none() => Some(Want::Label(Phase::Poll)),
        Needs::MockPollLabel if !known.replay.labels.iter().any(|label| label.may_be(Phase::MockPoll)) => {
            Some(Want::Label(Phase::MockPoll))
        }
        Needs::Candidates if known.case.unit.candidates.is_empty() => Some(Want::Need(
            "the case file does not state the number of candidates",
            registrar,
            "the list of candidates (case file: [[unit]], candidates = n)",
        )),
        Needs::MockVotesLeast if known.case.settings.mock_votes_least.is_empty() => Some(Want::Need(
            "the case file does not state how many votes a mock poll must have",
            registrar,
            "the local procedure for the mock poll (case file: [[setting]], mock-votes-least = n)",
        )),
        Needs::ClosingLine if known.log.closing().is_none() => Some(Want::Need(
            "the log has no closing line, so that nothing says whether the file is whole",
            "whoever made the export",
            "an export with its closing line, or its number of records",
        )),
        Needs::Identity
            if known.case.unit.serial.is_empty()
                && known.case.unit.role.is_empty()
                && known.case.unit.software.is_empty() =>
        {
            Some(Want::Need(
                "the case file states neither serial nor role nor software of the unit",
                registrar,
                "the register of units for the station (case file: [[unit]])",
            ))
        }
        _ => None,
    }
}

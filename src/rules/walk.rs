//! A rule's walk over its occasions: each is in order, contrary or open, and from these the answer follows.

use std::borrow::Borrow;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Answer, Ask, Assumption, Finding, Kind, Place, SpokenAgainst, Verdict};
use crate::replay::Deviation;
use crate::rules::against::spoken_against;
use crate::rules::extent::{self, Reach};
use crate::rules::want::{Want, missing};
use crate::rules::{DEVIATIONS, Known, Rule, Scope};

/// How many places of open occasions an answer keeps: as many as a unit keeps records. A longer log could be open everywhere
/// by every rule.
const OPEN_PLACES: usize = 1000;

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

/// What one occasion says besides what its rule says of all.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// Its sentence.
    pub title: Option<String>,
    /// Explanations of the rule that the record speaks against here.
    pub against: Vec<SpokenAgainst>,
}

/// What a rule has said so far.
#[derive(Debug)]
pub struct Walk<'a> {
    known: &'a Known<'a>,
    rule: &'static Rule,
    in_order: usize,
    open: usize,
    /// The open occasions, up to so many.
    open_at: Vec<Place>,
    /// Why occasions are open, each once.
    open_for: Vec<Want>,
    reach: Reach,
    /// Whether all that the rule needs is there, so that it walked at all.
    walked: bool,
    unseen: Vec<Want>,
    no_subject: Option<String>,
    findings: Vec<Finding>,
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id)
    }
}

impl Walk<'_> {
    /// An occasion in order.
    pub fn in_order(&mut self, at: Place) {
        self.in_order += 1;
        self.reach.add(self.known, at);
    }

    /// An occasion that stays open.
    pub fn open(&mut self, at: Place, want: impl Borrow<Want>) {
        self.open += 1;
        self.reach.add(self.known, at);
        if self.open_at.len() < OPEN_PLACES {
            self.open_at.push(at);
        }
        if !self.open_for.contains(want.borrow()) {
            self.open_for.push(want.borrow().clone());
        }
    }

    /// An occasion contrary to the rule. The main evidence is an argument of its own: no finding without it.
    pub fn contrary(&mut self, main: Place, contrary: Contrary) {
        self.push(main, contrary, None, None);
    }

    /// As [`Walk::contrary`] of several occasions at once, all of them among the evidence of one finding, the first its main one.
    pub fn contrary_all(&mut self, steps: &[usize], contrary: Contrary) {
        let places: Vec<Place> = steps.iter().map(|step| self.known.place(*step)).collect();
        self.contrary_at(&places, contrary);
    }

    /// The same of occasions by their places.
    pub fn contrary_at(&mut self, places: &[Place], contrary: Contrary) {
        let Some((first, further)) = places.split_first() else { return };
        self.contrary(*first, contrary);
        further.iter().for_each(|place| self.reach.add(self.known, *place));
    }

    /// As [`Walk::contrary`], with what only this occasion says: its sentence, where the rule's own would say more than follows, and
    /// which explanations the record speaks against.
    pub fn contrary_told(&mut self, main: Place, contrary: Contrary, told: Told) {
        self.push(main, contrary, None, None);
        if let Some(finding) = self.findings.last_mut() {
            finding.title = told.title;
            finding.against.extend(told.against);
        }
    }

    /// Occasions may have gone unseen.
    pub fn unseen(&mut self, want: Want) {
        if !self.unseen.contains(&want) {
            self.unseen.push(want);
        }
    }

    /// The occasions are statements of the case file, on these lines of it.
    pub fn on_papers(&mut self, lines: impl Iterator<Item = usize>) {
        self.reach.papers.get_or_insert_default().extend(lines);
    }

    /// What the occasions are called here, in the plural, where the rule's own word would say too much.
    pub fn called(&mut self, occasions: &'static str) {
        self.reach.called = Some(occasions);
    }

    /// What else of the record the answer names: what it is, and its place.
    pub fn beside(&mut self, what: &'static str, at: Place) {
        self.reach.beside.push((what, at));
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
                    assumptions.extend(known.front_premise());
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
                let steps = deviation.first..=deviation.last;
                self.push(known.place(deviation.last), contrary, Some(deviation.group), Some(&steps));
            }
        }
    }

    /// What was measured at each of the stretches that [`Walk::deviations`] told.
    pub fn measure_deviations(&mut self, measured: impl Fn(&Known<'_>, &Deviation) -> Option<String>) {
        let known = self.known;
        let reasons = DEVIATIONS.iter().filter(|(_, id)| *id == self.rule.id).map(|(reason, _)| *reason);
        let told = reasons.flat_map(|reason| known.deviations(reason));
        for (finding, deviation) in self.findings.iter_mut().zip(told) {
            finding.measured = measured(known, deviation);
        }
    }

    fn push(
        &mut self,
        main: Place,
        contrary: Contrary,
        group: Option<usize>,
        steps: Option<&RangeInclusive<usize>>,
    ) {
        let kind = if contrary.assumptions.is_empty() { self.rule.kind } else { Kind::Conditional };
        let mut others = contrary.others;
        others.retain(|place| *place != main);
        others.sort_unstable();
        others.dedup();
        let places: Vec<Place> = others.iter().copied().chain([main]).collect();
        let against = spoken_against(self.rule, self.known, &places, steps);
        self.reach.add(self.known, main);
        self.findings.push(Finding {
            rule: self.rule.id,
            kind: kind.max(self.rule.kind),
            weight: self.rule.weight,
            title: None,
            main,
            others,
            expected: contrary.expected,
            shows: sentences(&contrary.shows),
            measured: contrary.measured,
            assumptions: each_once(contrary.assumptions),
            group,
            against,
        });
    }

    fn unseen_by_scope(&mut self) {
        match self.rule.scope {
            Scope::Text | Scope::Own => {}
            Scope::Events => self.unseen_anywhere(),
            Scope::Poll => {
                self.unseen_anywhere();
                self.unlabelled(Event::Enable, Phase::Poll);
                self.unlabelled(Event::Vote, Phase::Poll);
            }
        }
    }

    /// Records of an event of which the case file does not say, or not with one voice, what they belong to may belong to
    /// a phase.
    pub fn unlabelled(&mut self, event: Event, phase: Phase) {
        self.unlabelled_where(event, phase, |_| true);
    }

    /// The same of those records only of which it matters.
    pub fn unlabelled_where(&mut self, event: Event, phase: Phase, matters: impl Fn(usize) -> bool) {
        let known = self.known;
        let in_doubt = |step: usize| known.may_be_at(step, phase) && !known.is_labelled(step, phase);
        let mut steps = known.steps_of(event).iter().copied().filter(|step| !known.in_conflict(*step));
        if steps.any(|step| in_doubt(step) && matters(step)) {
            self.unseen(Want::Label(phase));
        }
    }

    /// Whatever was not seen may hold an occasion.
    pub fn unseen_events(&mut self) {
        self.unseen_anywhere();
    }

    fn unseen_anywhere(&mut self) {
        let known = self.known;
        if !known.replay.front.is_closed() {
            self.unseen(Want::Front);
        }
        if !known.replay.back.is_closed() {
            self.unseen(Want::Back);
        }
        for step in known.blind() {
            self.unseen(known.why_blind(*step));
        }
    }

    fn finish(self) -> Outcome {
        let rule = self.rule;
        let contrary = self.findings.len();
        let open_reasons = self.open_for.len();
        let mut wants = self.open_for;
        for want in self.unseen {
            if !wants.contains(&want) {
                wants.push(want);
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
            // What is not kept may have occasions that stay open; why they do is said with them.
            (Verdict::NotKept, _) => wants.iter().take(open_reasons).map(Want::why).collect(),
            _ => Vec::new(),
        };
        let mut asks: Vec<Ask> = wants.iter().flat_map(|want| want.asks(self.known)).collect();
        asks.dedup();
        if verdict == Verdict::DoesNotApply {
            asks.clear();
        }
        let in_order = Some(self.in_order).filter(|number| *number > 0 && verdict == Verdict::CannotBeTold);
        // What was not looked at is not said to be absent.
        let looked = self.walked && (verdict != Verdict::DoesNotApply || self.reach.is_any());
        let extent = if looked {
            extent::looked_at(self.known, rule, &self.reach, in_order)
        } else {
            format!("not looked at: {}", why.join("; "))
        };
        let answer = Answer {
            rule: rule.id,
            verdict,
            in_order: self.in_order,
            contrary,
            open: self.open,
            extent,
            why,
            asks,
            open_at: self.open_at,
            versions: Vec::new(),
        };
        Outcome { answer, findings: self.findings }
    }
}

/// Assumptions in their order, none said twice.
fn each_once(texts: Vec<String>) -> Vec<Assumption> {
    let mut seen = BTreeSet::new();
    texts.into_iter().filter(|text| seen.insert(text.clone())).map(Assumption).collect()
}

/// Sentences with a capital at the beginning of each: a record's name may open one, or stand inside.
fn sentences(text: &str) -> String {
    let mut begins = true;
    let mut last = ' ';
    text.chars()
        .map(|c| {
            let here = begins && !c.is_whitespace();
            begins = if here { false } else { begins || (last == '.' && c == ' ') };
            last = c;
            if here { c.to_ascii_uppercase() } else { c }
        })
        .collect()
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
        in_order: 0,
        open: 0,
        open_at: Vec::new(),
        open_for: Vec::new(),
        reach: Reach::default(),
        walked: false,
        unseen: Vec::new(),
        no_subject: None,
        findings: Vec::new(),
    };
    let missing: Vec<Want> = rule.needs.iter().filter_map(|need| missing(*need, known)).collect();
    if missing.is_empty() {
        walk.walked = true;
        (rule.walk)(known, &mut walk);
        walk.unseen_by_scope();
    } else {
        missing.into_iter().for_each(|want| walk.unseen(want));
    }
    walk.finish()
}

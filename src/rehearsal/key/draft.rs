//! A key in the making: conclusions that point at records by what they are, before it is known on which line they stand.

use super::{Conclusion, How, Must, Said, Stand};
use crate::rehearsal::memory::Id;
use crate::rehearsal::unwritten::Written;

/// A record, or its second copy in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rehearsal) enum Spot {
    Of(Id),
    Again(Id),
}

impl Spot {
    /// The record, whichever copy it is.
    pub(in crate::rehearsal) fn id(self) -> Id {
        match self {
            Spot::Of(id) | Spot::Again(id) => id,
        }
    }
}

#[derive(Debug, Clone)]
struct Expected {
    how: Vec<How>,
    at: Vec<Spot>,
    /// Records without which nothing follows.
    needs: Vec<Id>,
    /// Records of which a part may or may not be enough: where some are lost, nothing is asked.
    weighs: Vec<Id>,
}

#[derive(Debug, Clone)]
enum Drafted {
    Find(Expected),
    Answer(Vec<Said>),
    Free,
}

/// A key in the making.
#[derive(Debug, Clone, Default)]
pub(in crate::rehearsal) struct Draft {
    rows: Vec<(&'static str, Drafted, String)>,
    /// What was done, with the records it is about.
    done: Vec<(String, Vec<Spot>)>,
}

impl Draft {
    /// A finding must stand at one of these records, and follows only if the others are seen too.
    pub(in crate::rehearsal) fn find(
        &mut self,
        rule: &'static str,
        how: &[How],
        at: &[Spot],
        needs: &[Id],
        because: &str,
    ) {
        let weighs = Vec::new();
        let expected = Expected { how: how.to_vec(), at: at.to_vec(), needs: needs.to_vec(), weighs };
        self.rows.push((rule, Drafted::Find(expected), because.to_owned()));
    }

    /// The same where all of some records are seen, and none where none is; a part of them may or may not be enough.
    pub(in crate::rehearsal) fn find_in_all(
        &mut self,
        rule: &'static str,
        how: &[How],
        at: &[Spot],
        weighs: &[Id],
        because: &str,
    ) {
        let (at, weighs) = (at.to_vec(), weighs.to_vec());
        let expected = Expected { how: how.to_vec(), at, needs: Vec::new(), weighs };
        self.rows.push((rule, Drafted::Find(expected), because.to_owned()));
    }

    /// No finding, and one of these answers.
    pub(in crate::rehearsal) fn answer(&mut self, rule: &'static str, said: &[Said], because: &str) {
        self.rows.push((rule, Drafted::Answer(said.to_vec()), because.to_owned()));
    }

    /// Nothing is asked of a rule here.
    pub(in crate::rehearsal) fn free(&mut self, rule: &'static str, because: &str) {
        self.rows.push((rule, Drafted::Free, because.to_owned()));
    }

    /// What was done.
    pub(in crate::rehearsal) fn did(&mut self, sentence: impl Into<String>, at: &[Spot]) {
        self.done.push((sentence.into(), at.to_vec()));
    }

    pub(in crate::rehearsal) fn speaks_of(&self, rule: &str) -> bool {
        self.rows.iter().any(|(of, ..)| *of == rule)
    }

    /// The records of which the key says that they cannot all be: what they say is for nothing to rest on.
    pub(in crate::rehearsal) fn contradicted(&self) -> Vec<Id> {
        let mut ids = Vec::new();
        for (_, drafted, _) in &self.rows {
            if let Drafted::Find(Expected { how, at, needs, .. }) = drafted
                && how.as_slice() == [How::Contradiction]
            {
                ids.extend(at.iter().map(|spot| spot.id()).chain(needs.iter().copied()));
            }
        }
        ids
    }

    /// What was done, in sentences that name lines of the file.
    pub(in crate::rehearsal) fn done(&self, places: &[Written]) -> Vec<String> {
        let sentence = |(text, at): &(String, Vec<Spot>)| {
            let lines = lines(places, at);
            match lines.as_slice() {
                [] if at.is_empty() => format!("{text}."),
                [] => format!("{text}. The ring has overwritten it, or the file ends before it."),
                lines => format!("{text} ({}).", named(lines)),
            }
        };
        self.done.iter().map(sentence).collect()
    }

    /// The conclusions, once it is known which records the log holds, and on which lines.
    pub(in crate::rehearsal) fn resolve(&self, places: &[Written]) -> Vec<Conclusion> {
        let mut out: Vec<Conclusion> = Vec::new();
        for (rule, drafted, because) in &self.rows {
            let (must, because) = match drafted {
                Drafted::Find(expected) if is_in_part(expected, places) => (
                    Must::Free,
                    format!("{because} The log holds only a part of it, which may be enough or not."),
                ),
                Drafted::Find(expected) => match stand(expected, places) {
                    Some(stand) => (Must::Find(vec![stand]), because.clone()),
                    None => (
                        Must::Answer(vec![Said::CannotBeTold, Said::Kept, Said::DoesNotApply]),
                        format!(
                            "{because} The log no longer holds what shows it, so that nothing may be said."
                        ),
                    ),
                },
                Drafted::Answer(said) => (Must::Answer(said.clone()), because.clone()),
                Drafted::Free => (Must::Free, because.clone()),
            };
            match out.iter_mut().find(|conclusion| conclusion.rule == *rule) {
                None => out.push(Conclusion { rule, must, because }),
                Some(known) => join(known, must, &because),
            }
        }
        out
    }
}

/// Two faults that speak of one rule: what one of them leaves free stays free; else what must be found must be found,
/// whatever the other leaves open.
fn join(known: &mut Conclusion, must: Must, because: &str) {
    if !known.because.contains(because) {
        known.because = format!("{} {because}", known.because);
    }
    match (&mut known.must, must) {
        (_, Must::Free) => known.must = Must::Free,
        (Must::Find(known), Must::Find(more)) => known.extend(more),
        (Must::Free, _) | (Must::Find(_), Must::Answer(_)) => {}
        (Must::Answer(_), find @ Must::Find(_)) => known.must = find,
        (Must::Answer(known), Must::Answer(more)) => {
            known.extend(more);
            known.sort_unstable();
            known.dedup();
        }
    }
}

fn find(places: &[Written], spot: Spot) -> Option<&Written> {
    let again = matches!(spot, Spot::Again(_));
    places.iter().find(|place| place.id == spot.id() && place.again == again)
}

/// Whether some of the records that must be weighed are seen, and others not.
fn is_in_part(expected: &Expected, places: &[Written]) -> bool {
    let held = expected.weighs.iter().filter(|id| find(places, Spot::Of(**id)).is_some()).count();
    (1..expected.weighs.len()).contains(&held)
}

fn stand(expected: &Expected, places: &[Written]) -> Option<Stand> {
    if !expected.weighs.iter().all(|id| find(places, Spot::Of(*id)).is_some()) {
        return None;
    }
    if expected.needs.iter().any(|id| find(places, Spot::Of(*id)).is_none()) {
        return None;
    }
    let at: Vec<&Written> = expected.at.iter().filter_map(|spot| find(places, *spot)).collect();
    if at.is_empty() && !expected.at.is_empty() {
        return None;
    }
    let (lines, records) = (at.iter().map(|place| place.line), at.iter().filter_map(|place| place.number));
    Some(Stand { how: expected.how.clone(), lines: lines.collect(), records: records.collect() })
}

fn lines(places: &[Written], at: &[Spot]) -> Vec<Written> {
    at.iter().filter_map(|spot| find(places, *spot)).copied().collect()
}

/// `line 14, record 7`; of many, the first and the last.
fn named(places: &[Written]) -> String {
    let one = |place: &Written| match place.number {
        Some(number) => format!("line {}, record {number}", place.line),
        None => format!("line {}", place.line),
    };
    match places {
        [] => String::new(),
        [only] => one(only),
        [first, second] => format!("{}, and {}", one(first), one(second)),
        [first, .., last] => format!("from {} to {}; {} lines", one(first), one(last), places.len()),
    }
}

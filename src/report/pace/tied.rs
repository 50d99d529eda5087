//! How far the votes of a half hour are tied to true time: bound by readings, in a conflict, or bound by no reading.

use crate::clock::{Instant, hours};
use crate::examination::Examination;
use crate::report::conflict;

/// The votes of a half hour by what ties them to true time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(in crate::report) struct Tied {
    /// How many readings bind from both sides, and from when to when these were recorded, to the second outwards.
    bound: Option<(usize, String, String)>,
    /// How many lie in a conflict, and in which.
    in_conflict: Option<(usize, String)>,
    /// How many no reading binds from both sides.
    loose: usize,
}

impl Tied {
    /// Sorts the votes of some steps.
    pub(super) fn of(examination: &Examination<'_>, steps: &[usize]) -> Tied {
        let bounds = |step: &usize| {
            let when = examination.clock.bounds(*step);
            Some((when.earliest?.at, when.latest?.at))
        };
        let bound: Vec<(Instant, Instant)> = steps.iter().filter_map(bounds).collect();
        let (in_conflict, loose): (Vec<usize>, Vec<usize>) = steps
            .iter()
            .filter(|step| bounds(step).is_none())
            .partition(|step| conflict::holds(examination, **step));
        let civil = |at: Instant| hours::civil(examination.case, at);
        let from = bound.iter().map(|(from, _)| from.second_before()).min();
        let to = bound.iter().map(|(_, to)| to.second_after()).max();
        Tied {
            bound: from.zip(to).map(|(from, to)| (bound.len(), civil(from), civil(to))),
            in_conflict: (!in_conflict.is_empty())
                .then(|| (in_conflict.len(), conflict::named(examination, &in_conflict))),
            loose: loose.len(),
        }
    }

    /// Whether a reading binds one of them from both sides.
    pub(super) fn is_bound(&self) -> bool {
        self.bound.is_some()
    }

    /// What is known of them in words; their bounds as `ends` writes them.
    pub(in crate::report) fn words(&self, ends: impl Fn(&str, &str) -> String) -> String {
        let bound = self.bound.as_ref().map(|(number, from, to)| (*number, ends(from, to)));
        let in_conflict = self.in_conflict.as_ref().map(|(number, conflict)| {
            let lie = if *number == 1 { "it lies" } else { "they lie" };
            (*number, format!("not known, because {lie} in {conflict}"))
        });
        let loose = (self.loose > 0).then(|| {
            let them = if self.loose == 1 { "it" } else { "them" };
            (self.loose, format!("not known, because no reading of the clock binds {them} from both sides"))
        });
        let kinds: Vec<(usize, String)> = [bound, in_conflict, loose].into_iter().flatten().collect();
        match kinds.as_slice() {
            [(_, words)] => words.clone(),
            several => {
                let of = |at: usize| if at == 0 { " of them" } else { "" };
                let each = several.iter().enumerate();
                each.map(|(at, (number, words))| format!("{number}{} {words}", of(at)))
                    .collect::<Vec<_>>()
                    .join("; ")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Tied;

    #[test]
    fn votes_are_told_by_what_ties_them() {
        let bound = |number| Some((number, "07:00:01".to_owned(), "07:00:09".to_owned()));
        let in_conflict = |number, of: &str| Some((number, of.to_owned()));
        let words = |tied: Tied| tied.words(|from, to| format!("{from} to {to}"));
        assert_eq!(words(Tied { bound: bound(3), ..Tied::default() }), "07:00:01 to 07:00:09");
        assert_eq!(
            words(Tied { in_conflict: in_conflict(1, "conflict 2"), ..Tied::default() }),
            "not known, because it lies in conflict 2"
        );
        assert_eq!(
            words(Tied { loose: 2, ..Tied::default() }),
            "not known, because no reading of the clock binds them from both sides"
        );
        assert_eq!(
            words(Tied { bound: bound(3), in_conflict: in_conflict(2, "conflicts 1 and 4"), loose: 1 }),
            "3 of them 07:00:01 to 07:00:09; 2 not known, because they lie in conflicts 1 and 4; 1 not known, because no \
             reading of the clock binds it from both sides"
        );
    }
}

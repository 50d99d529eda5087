//! What in the record itself speaks against an ordinary explanation of a finding.

use std::ops::RangeInclusive;

use crate::finding::{Place, SpokenAgainst};
use crate::replay::order;
use crate::rules::{Known, Rule};

/// What can speak against an explanation without any further paper. It never removes one: it stands beside it, with
/// what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// A record was lost: its number would be missing among the records that the finding rests on.
    NumbersFollow,
    /// The file changed after it was written out: the closing line's count and digest would not agree.
    ClosingAgrees,
}

/// What of a rule's explanations the record speaks against, for one finding.
///
/// `steps` are those that the finding rests on; without them it rests on the log as a whole.
pub(super) fn spoken_against(
    rule: &Rule,
    known: &Known<'_>,
    places: &[Place],
    steps: Option<&RangeInclusive<usize>>,
) -> Vec<SpokenAgainst> {
    let tried = rule.ordinary.iter().filter_map(|ordinary| Some((ordinary, ordinary.against?)));
    tried
        .filter_map(|(ordinary, against)| {
            let says = match against {
                Against::NumbersFollow => numbers_follow(known, steps),
                Against::ClosingAgrees => closing_agrees(known, places),
            }?;
            Some(SpokenAgainst { account: ordinary.account, says })
        })
        .collect()
}

fn numbers_follow(known: &Known<'_>, steps: Option<&RangeInclusive<usize>>) -> Option<String> {
    let (first, last) = match steps {
        Some(steps) => known.unbroken(steps.clone())?,
        None => known.unbroken_log()?,
    };
    Some(format!(
        "From record {first} to record {last} no number is left out. If each record takes a number, as the unit \
         description says, no numbered record was lost there."
    ))
}

fn closing_agrees(known: &Known<'_>, places: &[Place]) -> Option<String> {
    let closing = known.log.closing()?;
    let agrees = closing.count == closing.found_count && closing.digest == Some(closing.found_digest);
    let covered = places.iter().all(|place| matches!(place, Place::Line(line) if *line <= closing.line));
    (agrees && covered).then(|| {
        format!(
            "The closing line on line {} counts and digests the lines of this file as they stand: they have not \
             changed by accident since it was written. Anybody can work such a digest out anew, so that it excludes no more \
             than accidents.",
            known.log.line_number(closing.line)
        )
    })
}

impl Known<'_> {
    /// The first and the last number of records that follow one another without a number left out or a line unread
    /// between; `None` where they do not, where one has no number, or where there are fewer than two.
    fn unbroken(&self, steps: RangeInclusive<usize>) -> Option<(u64, u64)> {
        let mut ends: Option<(u64, u64)> = None;
        for step in steps {
            let number = self.record(step)?.number?;
            ends = match ends {
                None => Some((number, number)),
                Some((first, last)) if order::follows(self.unit, last, number) => Some((first, number)),
                Some(_) => return None,
            };
        }
        ends.filter(|(first, last)| first != last)
    }

    /// The same for the whole log.
    fn unbroken_log(&self) -> Option<(u64, u64)> {
        let steps = self.replay.steps.len();
        *self.whole.get_or_init(|| self.unbroken(0..=steps.checked_sub(1)?))
    }
}

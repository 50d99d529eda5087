//! Close-ups: where findings lie too near each other to be told apart on the line of a day.

use crate::report::chart::{Day, MINUTE, Stretch};

/// Findings that lie nearer than this to the next one stand in a close-up.
const NEAR: i64 = 10 * MINUTE;

/// No close-up reaches over more than this from its first finding to its last.
const WIDEST: i64 = 30 * MINUTE;

/// What a close-up shows on both sides of its findings.
const AROUND: i64 = 3 * MINUTE;

/// Most close-ups of a day; the findings of all stand in their list.
const MOST: usize = 3;

/// The parts of a day, each with two findings or more that lie near each other and not on one record.
pub(super) fn parts(day: &Day) -> Vec<Day> {
    if day.is_coarse {
        return Vec::new();
    }
    let mut runs: Vec<(i64, i64)> = Vec::new();
    for (ms, _) in &day.findings {
        match runs.last_mut().filter(|(from, to)| ms - *to < NEAR && ms - *from < WIDEST) {
            Some((_, to)) => *to = *ms,
            None => runs.push((*ms, *ms)),
        }
    }
    let whole = |ms: i64| ms.div_euclid(MINUTE) * MINUTE;
    runs.into_iter()
        .filter(|(from, to)| from < to)
        .take(MOST)
        .map(|(from, to)| part(day, (whole(from - AROUND), whole(to + AROUND + MINUTE))))
        .collect()
}

fn part(day: &Day, (from, to): (i64, i64)) -> Day {
    let is_in = |ms: &i64| (from..=to).contains(ms);
    let pairs = |list: &[(i64, String)]| list.iter().filter(|(ms, _)| is_in(ms)).cloned().collect();
    let clipped = |list: &[Stretch]| {
        list.iter()
            .filter(|stretch| stretch.from < to && stretch.to > from)
            .map(|stretch| Stretch {
                from: stretch.from.max(from),
                to: stretch.to.min(to),
                word: stretch.word.clone(),
            })
            .collect()
    };
    let before = day.votes.iter().filter(|ms| **ms < from).count();
    let votes: Vec<i64> = day.votes.iter().copied().filter(|ms| is_in(ms)).collect();
    Day {
        date: day.date.clone(),
        axis: (from, to),
        bounds: day.bounds.iter().skip(before).take(votes.len()).copied().collect(),
        votes,
        acts: pairs(&day.acts),
        findings: day.findings.iter().filter(|(ms, _)| is_in(ms)).copied().collect(),
        unknown: clipped(&day.unknown),
        hours: pairs(&day.hours),
        before,
        ..Day::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn findings_that_lie_near_each_other_stand_in_a_close_up() {
        let at = |minutes: i64| minutes * MINUTE + 7;
        let day = Day {
            votes: vec![at(60), at(99), at(101), at(140)],
            findings: vec![(at(10), 0), (at(100), 1), (at(104), 2), (at(104), 3), (at(200), 4), (at(200), 5)],
            ..Day::default()
        };
        let parts = parts(&day);
        // One record with two findings needs none, for nothing would lie further apart.
        assert_eq!(parts.len(), 1);
        assert_eq!(parts[0].axis, (97 * MINUTE, 108 * MINUTE));
        assert_eq!((parts[0].before, parts[0].votes.len(), parts[0].findings.len()), (1, 2, 3));
        assert!(super::parts(&Day { is_coarse: true, ..day }).is_empty());
    }
}

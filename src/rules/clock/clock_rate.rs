//! Two readings between which the clock ran faster or slower than a published limit, or a tighter one that is set.

use super::{MISREAD, PRESIDING, displayed, place, segment, step_ms};
use crate::case::SettingOf;
use crate::clock::{Reading, SECOND, length};
use crate::finding::{Kind, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "clock-rate",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Remark,
    title: "Between two readings the clock ran faster or slower than a published limit.",
    asks: "Between any two readings the clock gains or loses no more than one minute in 15 hours, or what the case file sets.",
    basis: &[Basis::Comparable(
        "VVSG 1.1, volume 1, 2.1.5.1 D, item vi: drift limited to one minute within 15 hours after the clock is set",
    )],
    why: "The published limit is one minute in 15 hours, which is 1,111 millionths; a good quartz keeps 20 (both as \
          methods and standards of this project name them). It speaks only of the 15 hours after a setting, and its text \
          says a minimum of one minute where a maximum is evidently meant. To hold it against other lengths of time is this \
          project's own extrapolation. It does not bind here, so that a finding is a remark.",
    ordinary: &[
        Ordinary::new(
            "The battery was weak, or the unit very cold or hot.",
            "battery papers, and a measurement of this unit's clock over some days",
        ),
        Ordinary::new(
            "The clock was set between the two readings, and this model keeps no record of it.",
            "the diary, and the maker's description",
        ),
        MISREAD,
    ],
    look_next: &["A measurement of the unit's clock over some days, beside a reference clock."],
    needs: &[Needs::Readings],
    scope: Scope::Text,
    occasions: "pairs of readings with no step of the clock between",
    examples: &[
        Example {
            title: "More than a minute lost in fifteen hours.",
            log: "1201 2031-05-10 04:50:07 power-on\n\
                  1202 2031-05-10 19:50:04 total\n\
                  ^ clock-rate\n\
                  1203 2031-05-10 20:10:00 power-off\n",
            case: super::examples::MINUTE_LOST,
        },
        Example {
            title: "Near miss: less than a minute in fifteen hours.",
            log: "1201 2031-05-10 04:50:07 power-on\n\
                  1202 2031-05-10 19:50:04 total\n\
                  1203 2031-05-10 20:10:00 power-off\n",
            case: super::examples::MINUTE_KEPT,
        },
    ],
    walk,
};

/// A limit: so much in so long. One minute in 15 hours unless the case file sets another.
#[derive(Debug, Clone, Copy)]
struct Limit {
    much: i128,
    long: i128,
}

const PUBLISHED: Limit = Limit { much: 60, long: 15 * 3600 };

impl Limit {
    /// Whether an error of this size over this length of time is beyond it; both in one unit. At the limit is within it.
    fn is_beyond(self, error: i128, over: i128) -> bool {
        error.saturating_mul(self.long) > over.saturating_mul(self.much)
    }
}

/// What passed between two readings, in nanoseconds: on the display and in truth, each at least and at most.
#[derive(Debug, Clone, Copy)]
struct Passed {
    shown: (i128, i128),
    truly: (i128, i128),
}

impl Passed {
    fn between(known: &Known<'_>, one: &Reading, other: &Reading) -> Option<Passed> {
        let (first, second) = (displayed(known, one)?, displayed(known, other)?);
        let ns = |ms: i64| i128::from(ms) * (SECOND / 1000);
        let apart = ns(second.ms() - first.ms());
        Some(Passed {
            shown: (apart - ns(step_ms(known, first)), apart + ns(step_ms(known, second))),
            truly: ((other.earliest - one.latest).ns(), (other.latest - one.earliest).ns()),
        })
    }

    /// Whether the clock surely gained or lost more than the limit. The ends of the display's step are not reached.
    fn is_beyond(self, limit: Limit) -> bool {
        let gained = self.shown.0 - self.truly.1;
        let lost = self.truly.0 - self.shown.1;
        self.truly.0 > 0 && (limit.is_beyond(gained, self.truly.1) || limit.is_beyond(lost, self.truly.0))
    }

    /// Whether it surely gained or lost no more than the limit.
    fn is_within(self, limit: Limit) -> bool {
        let gained = self.shown.1 - self.truly.0;
        let lost = self.truly.1 - self.shown.0;
        self.truly.0 > 0 && !limit.is_beyond(gained, self.truly.0) && !limit.is_beyond(lost, self.truly.1)
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let set = known.case.settings.number(SettingOf::RateTolerancePpm);
    let limit = set.map_or(PUBLISHED, |stated| Limit { much: i128::from(stated.value.1), long: 1_000_000 });
    let mut readings: Vec<&Reading> =
        known.clock.readings().iter().filter(|reading| segment(known, reading).is_some()).collect();
    readings.sort_by_key(|reading| (reading.earliest, reading.latest));
    let mut pairs = 0;
    let in_conflict = |reading: &Reading| {
        let mut lines = known.clock.conflicts().iter().flat_map(|conflict| &conflict.readings);
        lines.any(|at| known.clock.readings().get(*at).is_some_and(|other| other.line == reading.line))
    };
    for (at, one) in readings.iter().enumerate() {
        for other in readings.iter().skip(at + 1).filter(|other| segment(known, other) == segment(known, one))
        {
            let Some(passed) = Passed::between(known, one, other) else { continue };
            pairs += 1;
            let place = place(known, other);
            if in_conflict(one) || in_conflict(other) {
                walk.open(place, conflict());
            } else if passed.is_beyond(limit) {
                walk.contrary(place, finding(known, one, other, passed));
            } else if passed.is_within(limit) {
                walk.in_order(place);
            } else {
                walk.open(place, wider());
            }
        }
    }
    if pairs == 0 {
        walk.unseen(wider());
    }
}

fn conflict() -> Want {
    Want::Other(
        "readings contradict each other, so that they tell no rate".to_owned(),
        PRESIDING,
        "the originals of the papers on which the readings stand, and a reading of the unit's clock made again".to_owned(),
    )
}

fn wider() -> Want {
    Want::Other(
        "no two readings without a step of the clock between them tell its rate well enough".to_owned(),
        PRESIDING,
        "two readings of the unit's clock some hours or days apart, each right to a second or two (case file: [[reading]])"
            .to_owned(),
    )
}

fn finding(known: &Known<'_>, one: &Reading, other: &Reading, passed: Passed) -> Contrary {
    let gained = passed.shown.0 > passed.truly.1;
    let (least, most) = if gained {
        (passed.shown.0 - passed.truly.1, passed.shown.1 - passed.truly.0)
    } else {
        (passed.truly.0 - passed.shown.1, passed.truly.1 - passed.shown.0)
    };
    let set = known.case.settings.number(SettingOf::RateTolerancePpm);
    let expected = match set {
        Some(stated) => format!("The clock gains or loses no more than {} millionths.", stated.value.1),
        None => "The clock gains or loses no more than one minute in 15 hours, in proportion.".to_owned(),
    };
    let verb = if gained { "gained" } else { "lost" };
    Contrary {
        others: vec![place(known, one)],
        expected,
        shows: format!(
            "From the reading on line {} of the case file to that on line {} the clock {verb} {} to {}. The time between \
             them was {} to {}.",
            one.line,
            other.line,
            length(least),
            length(most),
            length(passed.truly.0),
            length(passed.truly.1)
        ),
        measured: Some(format!("{verb} {} to {}", length(least), length(most))),
        assumptions: [one, other]
            .iter()
            .map(|reading| format!("{} is right", reading.words()))
            .chain(set.map(|stated| format!("this limit holds, {}", said(&stated.basis))))
            .chain([
                "the clock was neither set nor reset between the two readings without a record".to_owned()
            ])
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// VVSG 1.1, volume 1, 2.1.5.1 D, item vi; the boundary of `standards.md` 7, 6.
    #[test]
    fn a_minute_in_fifteen_hours_is_within_the_limit_and_a_millisecond_more_is_not() {
        let over = 15 * 3600 * SECOND;
        let exact = |error: i128| Passed { shown: (over + error, over + error), truly: (over, over) };
        for sign in [1, -1] {
            assert!(exact(sign * 60 * SECOND).is_within(PUBLISHED));
            assert!(!exact(sign * 60 * SECOND).is_beyond(PUBLISHED));
            assert!(exact(sign * 60_001 * (SECOND / 1000)).is_beyond(PUBLISHED));
        }
        // A good quartz, 20 millionths: 1.08 s in 15 hours.
        assert!(exact(108 * SECOND / 100).is_within(PUBLISHED));
        assert!(!exact(108 * SECOND / 100).is_beyond(Limit { much: 20, long: 1_000_000 }));
        assert!(exact(109 * SECOND / 100).is_beyond(Limit { much: 20, long: 1_000_000 }));
    }
}

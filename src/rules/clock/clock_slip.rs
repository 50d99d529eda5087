//! Readings that a common slip of whoever set the clock would explain.

use super::poll_day_not_displayed::{self, votes_of};
use super::{NEAR_MS, PRESIDING, header_zone, place, right, shown};
use crate::case::{Phase, SettingOf};
use crate::clock::hours::{Day, days};
use crate::clock::slip::{self, Slip};
use crate::clock::{Begins, Placement, Reading};
use crate::finding::{Kind, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Stamp;

pub(crate) static RULE: Rule = Rule {
    id: "clock-slip",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Remark,
    title: "Common slips in setting a clock would explain the readings.",
    asks: "The readings fit a clock that was right to within five minutes, so that they give no reason to correct a time.",
    basis: &[Basis::Practice(
        "people who set a clock take the wrong half of the day, zone, day, month or year; clocks lose their time",
    )],
    why: "Each slip of a fixed list is tried on the readings: the wrong half of the day, other zones by quarters of an hour, \
          the day, day and month swapped, year, century, base dates. All that fit are listed in a fixed order. That one \
          fits does not show that it happened, and none is called the likeliest.",
    ordinary: &[
        Ordinary::new(
            "The clock was set inexactly or has drifted, and no slip was made.",
            "the record of the preparation, and the rate of the clock from readings some days apart",
        ),
        Ordinary::new(
            "The clock was set by hand with such a slip.",
            "the record of the preparation, and further readings on another day",
        ),
        Ordinary::new(
            "The readings are wrong by as much as the slip.",
            "who read the clock, how, and beside which clock",
        ),
    ],
    look_next: &[
        "The record of the preparation: who set the clock, when, and by which clock.",
        "The exporter's description: in which zone and order it writes dates.",
    ],
    needs: &[Needs::Readings],
    scope: Scope::Text,
    occasions: "stretches of the clock with readings",
    examples: &[
        Example {
            title: "The display shows the evening in the morning.",
            log: "1201 2031-05-10 18:30:07 power-on\n\
                  ^ clock-slip\n\
                  1202 2031-05-10 18:40:00 total\n",
            case: super::examples::HALF_DAY,
        },
        Example {
            title: "Near miss: the display agrees with the reference clock. Nothing is to be corrected.",
            log: "1201 2031-05-10 06:30:07 power-on\n\
                  1202 2031-05-10 06:40:00 total\n",
            case: super::examples::RIGHT,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let tolerated = known.case.settings.number(SettingOf::OffsetToleranceSeconds);
    let tolerance = tolerated
        .and_then(|stated| i64::try_from(stated.value.1).ok()?.checked_mul(1000))
        .map_or(NEAR_MS, |set| set.min(NEAR_MS));
    let mut stretches: Vec<(Option<usize>, Option<usize>, Vec<&Reading>)> = Vec::new();
    for (at, reading) in known.clock.readings().iter().enumerate() {
        if shown(known, reading).is_none() {
            walk.open(place(known, reading), unusable());
            continue;
        }
        let of = known.clock.segment_of(at);
        // Where the stretch is not known each reading stands by itself.
        match stretches.iter_mut().find(|(other, ..)| of.is_some() && *other == of) {
            Some((.., readings)) => readings.push(reading),
            None => stretches.push((of, perhaps_one(known, reading, of), vec![reading])),
        }
    }
    let of = |readings: &[&Reading]| -> Vec<slip::Shown> {
        readings.iter().filter_map(|reading| shown(known, reading)).collect()
    };
    let days = days(known.case);
    for (of_stretch, one, readings) in &stretches {
        let Some(first) = readings.first() else { continue };
        let at = place(known, first);
        let fitting = slip::fitting(&of(readings), tolerance);
        let joined: Vec<&Reading> =
            stretches.iter().filter(|(_, other, _)| other == one).flat_map(|(.., all)| all.clone()).collect();
        if fitting.contains(&Slip::Identity) {
            walk.in_order(at);
        } else if fitting.is_empty() {
            walk.open(at, unexplained());
        } else if one.is_some() && slip::fitting(&of(&joined), tolerance).is_empty() {
            walk.open(at, perhaps_not_set());
        } else {
            let mut found = finding(known, readings, &fitting, tolerance);
            found.assumptions.push(match tolerated {
                Some(set) if tolerance < NEAR_MS => {
                    format!("{} is tolerated, {}", super::span(tolerance), said(&set.basis))
                }
                _ => format!(
                    "a display that is off by no more than {} counts as right here",
                    super::span(tolerance)
                ),
            });
            if readings.len() > 1 {
                let behind = readings.iter().filter_map(|reading| known.clock.taken_behind(reading));
                found.assumptions.extend(behind);
            }
            let votes = of_stretch.map(|stretch| (stretch, votes_of(known, stretch)));
            if let Some((stretch, votes)) = votes.filter(|(_, votes)| !votes.is_empty() && !days.is_empty()) {
                found.shows.push_str(&by_the_poll(known, &days, (stretch, &votes), &fitting));
                found.assumptions.extend(of_the_poll(known, &days, &votes));
            }
            found.shows.push_str(&header_zone(known));
            walk.contrary(at, found);
        }
    }
}

fn finding(known: &Known<'_>, readings: &[&Reading], fitting: &[Slip], tolerance: i64) -> Contrary {
    let slips = Slip::told(fitting);
    let which = match slips.len() {
        1 => "One slip of the list would explain it".to_owned(),
        number => format!("{number} slips of the list would explain it, each by itself"),
    };
    let others = readings.iter().skip(1).map(|reading| place(known, reading)).collect();
    let lines: Vec<String> = readings.iter().map(|reading| reading.line.to_string()).collect();
    Contrary {
        others,
        expected: "The display agrees with the civil time of the place.".to_owned(),
        shows: format!(
            "The display does not agree with {} of the case file to within {}. {which}: {}. That a slip fits does not show \
             that it was made.",
            if lines.len() == 1 {
                format!("the reading on line {}", lines.join(", "))
            } else {
                format!("the readings on lines {}", lines.join(", "))
            },
            super::span(tolerance),
            slips.join("; ")
        ),
        measured: None,
        assumptions: right(known, readings),
    }
}

/// Which of the slips that fit the readings also leave the votes of the poll on its day, as a sentence.
fn by_the_poll(
    known: &Known<'_>,
    days: &[Day],
    (stretch, votes): (usize, &[(usize, Stamp)]),
    slips: &[Slip],
) -> String {
    let by_day = poll_day_not_displayed::fitting(known, days, stretch, votes).slips;
    let both: Vec<Slip> = slips.iter().copied().filter(|slip| by_day.contains(slip)).collect();
    let votes = "the votes of the poll on a day for which the case file states one";
    let left = format!("would leave {votes}");
    match (both.len(), slips.len()) {
        (0, 1) => format!(" It would not leave {votes}."),
        (0, _) => format!(" None of them {left}."),
        (1, 1) => format!(" Set against the day of the poll too, it {left}."),
        (both, all) if both == all => format!(" Set against the day of the poll too, each of them {left}."),
        _ => format!(
            " Set against the day of the poll too, only some {left}: {}.",
            Slip::told(&both).join("; ")
        ),
    }
}

/// What that rests on, and the finding does not.
fn of_the_poll(known: &Known<'_>, days: &[Day], votes: &[(usize, Stamp)]) -> Vec<String> {
    let steps: Vec<usize> = votes.iter().map(|(step, _)| *step).collect();
    let held = |day: &Day| {
        let basis = day.parts.first().map(|part| said(&part.basis)).unwrap_or_default();
        format!("a poll was held on {}, {basis}", day.date)
    };
    let premises = known.label_premises(&steps, Phase::Poll).into_iter().chain(days.iter().map(held));
    premises.map(|text| format!("for what is said of the day of the poll: {text}")).collect()
}

/// Stretches that only unseen records part may be one; which of them a reading lies in, then, as a number of its own.
/// `None` where it stands by itself.
fn perhaps_one(known: &Known<'_>, reading: &Reading, of: Option<usize>) -> Option<usize> {
    let segments = known.clock.segments();
    let parts = |begins: Begins| !matches!(begins, Begins::Log | Begins::Unseen(_));
    let at = match reading.placement {
        // Between two records that something parts it lies in either stretch.
        Placement::After { step, segment: None }
            if segments.iter().any(|next| next.steps.start == step + 1 && parts(next.begins)) =>
        {
            return None;
        }
        Placement::After { step, segment: None } => {
            segments.iter().position(|segment| segment.steps.contains(&step))
        }
        _ => of,
    };
    Some(segments.iter().take(at? + 1).filter(|begun| parts(begun.begins)).count())
}

fn perhaps_not_set() -> Want {
    Want::Other(
        "records that are not known lie between the readings; if the clock was not set there, no slip of the list explains \
         all of them"
            .to_owned(),
        "whoever made the export",
        "the export again, with the records that could not be read or are missing".to_owned(),
    )
}

fn unusable() -> Want {
    Want::Other(
        "some readings do not say what was displayed after which record, or their zone is not stated".to_owned(),
        PRESIDING,
        "for each reading what was displayed, after which record, and the zone of the reference clock (case file: [[reading]])"
            .to_owned(),
    )
}

fn unexplained() -> Want {
    Want::Other(
        "the display does not agree with the readings, and no slip of the list explains it".to_owned(),
        PRESIDING,
        "further readings of the unit's clock, and the record of who set it, when and by which clock (case file: [[reading]])"
            .to_owned(),
    )
}

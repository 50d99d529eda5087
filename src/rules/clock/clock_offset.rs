//! A reading at which the display was off by more than the case file tolerates.

use super::{MISREAD, PRESIDING, displayed, place, right, shown, span};
use crate::case::SettingOf;
use crate::clock::Reading;
use crate::clock::slip::Shown;
use crate::finding::{Kind, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "clock-offset",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "At a reading the display was off by more than is tolerated.",
    asks: "At every reading the display agrees with the civil time of the place, to within what the case file tolerates.",
    basis: &[Basis::Practice(
        "the unit's clock is set to the civil time of the place, and checked on the day of the poll",
    )],
    why: "A clock that is off shifts every displayed time. That is no fault of the records: readings give their true time. \
          How far a clock may be off is set locally, and no number is assumed here.",
    ordinary: &[
        Ordinary::new(
            "The clock was set wrongly by hand, or has drifted since it was set, months before.",
            "the record of the preparation: when and by whom the clock was set; the rule clock-slip",
        ),
        MISREAD,
    ],
    look_next: &[
        "The unit's clock, read again beside a reference clock.",
        "The record of the preparation of the unit.",
    ],
    needs: &[Needs::Readings, Needs::Number(SettingOf::OffsetToleranceSeconds)],
    scope: Scope::Text,
    occasions: "readings of the clock",
    examples: &[
        Example {
            title: "Four minutes behind, and a minute is tolerated.",
            log: "1201 2031-05-10 06:30:07 power-on\n\
                  ^ clock-offset\n\
                  1202 2031-05-10 06:40:00 total\n",
            case: super::examples::FOUR_BEHIND,
        },
        Example {
            title: "Near miss: behind by a minute and a second at most, and by less than a minute at least. It stays open.",
            log: "1201 2031-05-10 06:30:07 power-on\n\
                  1202 2031-05-10 06:40:00 total\n",
            case: super::examples::A_MINUTE_BEHIND,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let Some(tolerated) = known.case.settings.number(SettingOf::OffsetToleranceSeconds) else { return };
    let tolerance = i64::try_from(tolerated.value.1).unwrap_or(i64::MAX).saturating_mul(1000);
    for reading in known.clock.readings() {
        let at = place(known, reading);
        let Some(shown) = shown(known, reading) else {
            walk.open(at, not_placed(reading));
            continue;
        };
        let (least, most) = ahead(shown);
        if least > tolerance || most < -tolerance {
            let contrary = Contrary {
                others: Vec::new(),
                expected: format!("The display is off by {} at most.", span(tolerance)),
                shows: format!(
                    "At {} the unit displayed {}. It was {}.",
                    reading.reference,
                    displayed(known, reading).map_or_else(String::new, |stamp| stamp.to_string()),
                    in_words(least, most)
                ),
                measured: Some(in_words(least, most)),
                assumptions: right(known, &[reading])
                    .into_iter()
                    .chain([
                        format!("{} is tolerated, {}", span(tolerance), said(&tolerated.basis)),
                        "the unit's clock was meant to show the civil time of the place".to_owned(),
                    ])
                    .collect(),
            };
            walk.contrary(at, contrary);
        } else if least >= -tolerance && most <= tolerance {
            walk.in_order(at);
        } else {
            walk.open(
                at,
                Want::Other(
                    format!("the display was {}, and {} is tolerated", in_words(least, most), span(tolerance)),
                    PRESIDING,
                    format!(
                        "a reading of the unit's clock with a smaller margin than {} (case file: [[reading]], within-seconds)",
                        span((most - least) / 2)
                    ),
                ),
            );
        }
    }
}

/// By how much the display was ahead of the civil time: at least and at most, in milliseconds.
fn ahead(shown: Shown) -> (i64, i64) {
    (shown.displayed.0 - shown.civil.1, shown.displayed.1 - shown.civil.0)
}

/// How far ahead or behind, in words.
fn in_words(least: i64, most: i64) -> String {
    if least >= 0 {
        format!("{} to {} ahead of the reference clock", span(least), span(most))
    } else if most <= 0 {
        format!("{} to {} behind the reference clock", span(-most), span(-least))
    } else {
        format!("between {} behind and {} ahead of the reference clock", span(-least), span(most))
    }
}

fn not_placed(reading: &Reading) -> Want {
    Want::Other(
        format!("{} cannot be set against the display, or its zone is not stated", reading.words()),
        PRESIDING,
        "for each reading what was displayed, after which record, and the zone of the reference clock (case file: \
         [[reading]])"
            .to_owned(),
    )
}

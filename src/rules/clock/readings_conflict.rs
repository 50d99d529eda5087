//! Readings of the clock that cannot all be right, given the bound on its rate and the order of the records.

use super::{MISREAD, place};
use crate::case::SettingOf;
use crate::clock::{Conflict, MOST_EXPLAINED, Placement, Premise};
use crate::finding::{Kind, Place, Weight, capital};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "readings-conflict",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "Readings of the clock contradict each other.",
    asks: "The readings of the clock can all be right, given how far its rate may be off and the settings that are recorded.",
    basis: &[Basis::Practice("between two settings a clock runs on at nearly one rate")],
    why: "Readings that contradict each other cannot all bind the true times, and those that stand in a conflict bind none. \
          The conflict shows that one reading is wrong, or that the clock was set or reset without a record, or that its \
          rate was off by more than is stated. It does not show which.",
    ordinary: &[
        MISREAD,
        Ordinary::new(
            "The clock was set or fell back between the readings, and no record says so.",
            "the diary, battery papers, and what this model records",
        ),
        Ordinary::new(
            "The clock's rate is off by more than is stated for it.",
            "a measurement of this unit's clock over some days",
        ),
    ],
    look_next: &[
        "The originals of the papers on which the readings stand.",
        "Whoever made the readings: which clock they used, and when they wrote them down.",
    ],
    needs: &[Needs::Readings],
    scope: Scope::Text,
    occasions: "readings of the clock",
    examples: &[
        Example {
            title: "The second of three readings is an hour off from the others.",
            log: "1201 2031-05-10 06:30:07 power-on\n\
                  ^ readings-conflict\n\
                  1202 2031-05-10 18:50:00 power-off\n",
            case: super::examples::CONFLICT,
        },
        Example {
            title: "Near miss: two readings that ten seconds and the bound on the rate bring together.",
            log: "1201 2031-05-10 06:30:07 power-on\n\
                  1202 2031-05-10 18:50:00 power-off\n",
            case: super::examples::AGREE,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let (readings, conflicts) = (known.clock.readings(), known.clock.conflicts());
    for (_, reading) in readings.iter().enumerate().filter(|(at, _)| !known.clock.is_doubted(*at)) {
        // A reading of which it is not known where in the log it stands is held against none of the others.
        if matches!(reading.placement, Placement::Nowhere(_) | Placement::After { segment: None, .. }) {
            walk.open(place(known, reading), not_placed());
        } else {
            walk.in_order(place(known, reading));
        }
    }
    if !conflicts.is_empty() {
        walk.contrary_at(&places(known), finding(known));
    }
    if known.clock.rate().is_none() {
        walk.unseen(Want::Other(
            "nothing states how far the rate of the unit's clock may be off, so that readings bind only the order of the \
             records"
                .to_owned(),
            "maker of the unit, or whoever holds its description",
            format!(
                "the documented bound on the rate of the clock, or a measurement of this unit's clock (case file: [[setting]], \
                 {} = n)",
                SettingOf::DriftPpm.word()
            ),
        ));
    }
}

fn not_placed() -> Want {
    Want::Other(
        "it is not known where among the records a reading of the unit's clock was taken, so that it is held against none of \
         the others"
            .to_owned(),
        "presiding officer of the station",
        "the number of the last record made before each reading (case file: [[reading]], after-record = n)".to_owned(),
    )
}

/// The places of the readings in conflicts, that of the first conflict's first reading before the others.
fn places(known: &Known<'_>) -> Vec<Place> {
    let first = known.clock.conflicts().first().and_then(|conflict| conflict.readings.first()).copied();
    let further =
        (0..known.clock.readings().len()).filter(|at| known.clock.is_doubted(*at) && Some(*at) != first);
    let readings = first.into_iter().chain(further).filter_map(|at| known.clock.readings().get(at));
    readings.map(|reading| place(known, reading)).collect()
}

fn finding(known: &Known<'_>) -> Contrary {
    let line = |at: &usize| known.clock.readings().get(*at).map_or(0, |reading| reading.line);
    let lines =
        |places: &[usize]| places.iter().map(|at| line(at).to_string()).collect::<Vec<_>>().join(" and ");
    let conflicts = known.clock.conflicts();
    let listed = conflicts.get(..MOST_EXPLAINED).unwrap_or(conflicts);
    let (single, several): (Vec<&Conflict>, Vec<&Conflict>) =
        listed.iter().partition(|conflict| conflict.readings.len() == 1);
    let mut said: Vec<String> = Vec::new();
    if !several.is_empty() {
        let mut sets: Vec<String> =
            several.iter().map(|conflict| format!("lines {}", lines(&conflict.readings))).collect();
        if conflicts.len() > listed.len() {
            let more = conflicts.len() - listed.len();
            sets.push(format!("and {more} further pairs of those that are named below"));
        }
        said.push(format!(
            "If what is assumed here holds, these readings of the case file cannot {} be right: {}.",
            if sets.len() == 1 && several.iter().all(|conflict| conflict.readings.len() == 2) {
                "both"
            } else {
                "all"
            },
            sets.join("; ")
        ));
    }
    said.extend(single.iter().map(|conflict| {
        format!(
            "What the reading on line {} of the case file says that the unit displayed does not fit between what the records \
             beside it display.",
            lines(&conflict.readings)
        )
    }));
    let each = match known.clock.in_every_conflict().as_slice() {
        _ if conflicts.len() < 2 => String::new(),
        [] => " No reading stands in every one of them.".to_owned(),
        all => format!(
            " The reading on line {} stands in every one of them; which reading is wrong does not follow.",
            lines(all)
        ),
    };
    let readings: Vec<usize> =
        (0..known.clock.readings().len()).filter(|at| known.clock.is_doubted(*at)).collect();
    let others =
        readings.iter().filter_map(|at| known.clock.readings().get(*at)).map(|reading| place(known, reading));
    let rests_on = listed.iter().flat_map(|conflict| &conflict.rests_on);
    let mut premises: Vec<Premise> = rests_on.filter(|one| one.reading().is_none()).cloned().collect();
    premises.sort();
    premises.dedup();
    let mut assumptions = Premise::told(&premises);
    if conflicts.len() > listed.len() {
        assumptions.push("the like holds for the further pairs".to_owned());
    }
    if assumptions.is_empty() {
        assumptions.push("the records stand in the order of recording".to_owned());
    }
    Contrary {
        others: others.collect(),
        expected: "The readings of the clock can all be right.".to_owned(),
        shows: format!(
            "{}{each} {}",
            said.join(" "),
            readings
                .iter()
                .filter_map(|at| known.clock.readings().get(*at))
                .map(|reading| format!("{}.", capital(&reading.words())))
                .collect::<Vec<_>>()
                .join(" ")
        ),
        measured: None,
        assumptions,
    }
}

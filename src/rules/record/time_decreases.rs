//! A displayed time earlier than that of the record before it.

use super::{EXPORT_AGAIN, MAKER, count, duration, places};
use crate::event::Event;
use crate::finding::{Kind, Weight, capital};
use crate::replay::Step;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::{Record, Stamp, Value};

pub(crate) static RULE: Rule = Rule {
    id: "time-decreases",
    family: Family::Record,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "The displayed time goes back from one record to the next, and no setting of the clock is recorded.",
    asks: "In this file, from one record to the next, the displayed time does not go back, unless the clock was set.",
    basis: &[
        Basis::Practice("the unit's clock runs on by itself, and a clock that is set leaves a record"),
        Basis::Comparable(
            "VVSG 1.1, volume 1, 2.1.5.1 D, item ii: times precise enough to put all records in their order",
        ),
    ],
    why: "A clock that nobody sets runs on. When a displayed time is earlier than the one before it, the clock was set \
          or fell back without a record between the two, or the records do not stand in the order of recording. \
          Times inside the same step of the display can be in any order.",
    ordinary: &[
        Ordinary::new(
            "The clock fell back to an earlier date when its supply was interrupted.",
            "the date that the display fell back to, the maker's description of the clock, battery papers",
        ),
        Ordinary::new(
            "The unit turned its display back by an hour at the end of summer time.",
            "whether the step is one hour, in the night in which the clocks of the place were turned back, and the maker's \
             description of the clock",
        ),
        Ordinary::new(
            "The clock was set by an official and this model keeps no record of it.",
            "the diary of the station, and the refusals and records in the unit description",
        ),
        Ordinary::new(
            "The export is in another order than that of recording.",
            "the record numbers, and the exporter's description",
        ),
        Ordinary::new(
            "The exporter writes year-day-month, so that dates with a day up to 12 are read with day and month \
                      exchanged and the others cannot be read.",
            "whether all dates of the file rise when read so, and the exporter's description",
        ),
    ],
    look_next: &[
        "Readings of the unit's clock beside a reference clock, from the officials who noted them.",
        EXPORT_AGAIN,
        "The maker's description of the clock: what it does when its supply is interrupted.",
    ],
    needs: &[Needs::Times],
    scope: Scope::Text,
    occasions: "steps from one displayed time to the next",
    examples: &[
        Example {
            title: "The display goes back by seven minutes.",
            log: "1201 2031-05-10 07:10:05 enable\n\
                  1202 2031-05-10 07:10:31 vote\n\
                  1203 2031-05-10 07:03:20 enable\n\
                  ^ time-decreases\n\
                  1204 2031-05-10 07:03:52 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the clock was set back between the two, and the record says by how much.",
            log: "1201 2031-05-10 07:10:05 enable\n\
                  1202 2031-05-10 07:10:31 vote\n\
                  1203 2031-05-10 07:03:01 clock-set before=2031-05-10T07:11:01 after=2031-05-10T07:03:01\n\
                  1204 2031-05-10 07:03:20 enable\n\
                  1205 2031-05-10 07:03:52 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the same second twice, and a time without fraction after one with.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:05 vote\n\
                  1203 2031-05-10 07:01:40.700 enable\n\
                  1204 2031-05-10 07:01:40 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the unit was off in between, so the clock may have fallen back. This stays open.",
            log: "1201 2031-05-10 07:00:05 total\n\
                  1202 2031-05-10 07:00:30 power-off\n\
                  1203 2025-01-01 00:00:02 power-on\n\
                  1204 2025-01-01 00:01:40 total\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        let mut last: Option<(usize, Stamp)> = None;
        // A run of steps back without a break: the record before it, then each that goes back.
        let mut run: Vec<(usize, Stamp)> = Vec::new();
        for step in 0..known.replay.steps.len() {
            let Some(time) = known.record(step).and_then(|record| record.time) else {
                continue;
            };
            let Some((before, earlier)) = last.replace((step, time)) else {
                continue;
            };
            if !is_surely_before(time, earlier) {
                close(known, walk, &mut run);
                walk.in_order(known.place(step));
                continue;
            }
            match lawful(known, (before, earlier), (step, time)) {
                Lawful::Set => {
                    close(known, walk, &mut run);
                    walk.in_order(known.place(step));
                }
                Lawful::Perhaps(want) => {
                    close(known, walk, &mut run);
                    walk.open(known.place(step), want);
                }
                Lawful::No => {
                    if run.is_empty() {
                        run.push((before, earlier));
                    }
                    run.push((step, time));
                }
            }
        }
        close(known, walk, &mut run);
    },
};

/// Whether every instant shown by `later` lies before every instant shown by `earlier`.
fn is_surely_before(later: Stamp, earlier: Stamp) -> bool {
    later.ms() + later.step_ms() <= earlier.ms()
}

enum Lawful {
    /// A record between the two says that the clock was set, and that explains it.
    Set,
    /// The clock may have been set or reset between the two.
    Perhaps(Want),
    No,
}

fn lawful(known: &Known<'_>, from: (usize, Stamp), to: (usize, Stamp)) -> Lawful {
    let event = |step: usize| known.record(step).map(|record| record.event);
    // Which side of a setting the times of its neighbours belong to is not known, so both ends count.
    let sets: Vec<&Record> = (from.0..=to.0)
        .filter_map(|step| known.record(step))
        .filter(|record| record.event == Event::ClockSet)
        .collect();
    if !sets.is_empty() {
        return if explains(known, &sets, from.1, to.1) {
            Lawful::Set
        } else {
            Lawful::Perhaps(Want::Other(
                "a clock-set record stands between, and the change that it states does not cover the step back".to_owned(),
                MAKER,
                "what a clock-set record of this model states, and whether every setting leaves one".to_owned(),
            ))
        };
    }
    for step in from.0..=to.0 {
        if let Some(Step::Gap(gap)) = known.replay.steps.get(step) {
            return Lawful::Perhaps(Want::of_gap(*gap));
        }
        if known.in_conflict(step) {
            return Lawful::Perhaps(Want::Conflict);
        }
    }
    let between = || from.0 + 1..to.0;
    let is_off = event(from.0) == Some(Event::PowerOff)
        || event(to.0) == Some(Event::PowerOn)
        || between().any(|step| matches!(event(step), Some(Event::PowerOff | Event::PowerOn)));
    let is_upset = |step| matches!(event(step), Some(Event::BatteryChanged | Event::Fault));
    if is_off || (from.0..=to.0).any(is_upset) {
        return Lawful::Perhaps(Want::Other(
            "the unit was off, had its battery changed or reported a fault between two records whose time goes back, \
             and its clock may have been reset"
                .to_owned(),
            "presiding officer of the station",
            "readings of the unit's clock beside a reference clock, before and after".to_owned(),
        ));
    }
    if (from.0..=to.0).any(|step| event(step) == Some(Event::Unknown)) {
        return Lawful::Perhaps(Want::Other(
            "an event that the vocabulary does not know stands beside a step back of the time, and may have set the \
             clock"
                .to_owned(),
            MAKER,
            "what the unknown event does to the clock".to_owned(),
        ));
    }
    Lawful::No
}

/// Whether what the settings state, taken together, can bring the clock back from one displayed time to the other.
/// A setting that does not state both its times may have set the clock to anything.
fn explains(known: &Known<'_>, sets: &[&Record], from: Stamp, to: Stamp) -> bool {
    let mut back = 0;
    for record in sets {
        let stated = |key| known.log.attribute(record, key).and_then(instant);
        let (Some(before), Some(after)) = (stated("before"), stated("after")) else {
            return true;
        };
        // Both are whole seconds of a display: the setting may be a second more on either side.
        back += before - after + 1000;
    }
    // Time runs on between the two records, so the step back that is seen is at most the setting.
    from.ms() - to.ms() - to.step_ms() < back
}

/// A displayed time in an attribute, `YYYY-MM-DDThh:mm:ss`, in milliseconds.
fn instant(value: Value<'_>) -> Option<i64> {
    let text = value.text();
    // The shape first: the calendar would take times that no display shows.
    let digits = text.bytes().enumerate().all(|(place, byte)| match place {
        4 | 7 => byte == b'-',
        10 => byte == b'T',
        13 | 16 => byte == b':',
        _ => byte.is_ascii_digit(),
    });
    if text.len() != 19 || !digits || text.ends_with("60") {
        return None;
    }
    let time = chrono::NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%S").ok()?;
    Some(time.and_utc().timestamp_millis())
}

fn close(known: &Known<'_>, walk: &mut Walk<'_>, run: &mut Vec<(usize, Stamp)>) {
    let run = std::mem::take(run);
    let [(before, _), (main, _), ..] = run.as_slice() else {
        return;
    };
    let largest = run
        .iter()
        .zip(run.iter().skip(1))
        .map(|((_, earlier), (_, later))| {
            (earlier.ms() - later.ms(), earlier.step_ms().max(later.step_ms()), later.step_ms())
        })
        .max();
    let Some((difference, step, later_step)) = largest else {
        return;
    };
    let shows = match run.last() {
        Some((last, _)) if run.len() > 2 => format!(
            "From {} to {}, each displayed time is earlier than the one before it.",
            known.name(*before),
            known.name(*last)
        ),
        _ => format!("{} follows {}.", capital(&known.name(*main)), known.name(*before)),
    };
    let many = match run.len() {
        2 => String::new(),
        steps => format!("{}; the largest: ", count(steps as u64 - 1, "step back", "steps back")),
    };
    let measured = format!(
        "{many}the displayed times differ by {}, give or take the display's step of {}; the display went back by more than {}",
        duration(difference),
        duration(step),
        duration(difference - later_step)
    );
    let lines: Vec<usize> = run
        .iter()
        .filter(|(step, _)| step != main)
        .filter_map(|(step, _)| known.record(*step))
        .map(|record| record.line)
        .collect();
    let contrary = Contrary {
        others: places(&lines),
        expected: "A record displays the time of the record before it, or a later one.".to_owned(),
        shows,
        measured: Some(measured),
        assumptions: vec!["the clock was neither set nor reset between these records".to_owned()],
    };
    walk.contrary(known.place(*main), contrary);
}

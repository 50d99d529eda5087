//! The displayed time falls back to a date from which clocks count when they have lost their time.

use crate::clock::slip::BASE_DATES;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Stamp;

const DAY_MS: i64 = 86_400_000;

pub(crate) static RULE: Rule = Rule {
    id: "clock-reset",
    family: Family::Clock,
    kind: Kind::Conditional,
    weight: Weight::Remark,
    title: "The displayed time falls back to a date from which clocks count when they have lost their time.",
    asks: "From one record to the next the displayed time does not fall back to a base date, unless the battery was changed.",
    basis: &[Basis::Practice(
        "a clock that loses its supply begins again at its base date, often the first of January of a year",
    )],
    why: "From there the displayed times no longer follow those before, and their true time is bounded only by the order of \
          the records until somebody reads the clock again. The votes count as before. Which base date a model has is in \
          its maker's documents. Tried here are the first of January 1970 (POSIX, IEEE Std 1003.1, 'Epoch'), of 1980 (date \
          field of the FAT file system, Microsoft's FAT specification) and of 2000 (data sheet of the clock DS1307, 'Clock \
          and Calendar'); 6 January 1980 (GPS time, IS-GPS-200); and, without a published source, the first of January of \
          1990, 2001, 2010 and 2020.",
    ordinary: &[
        Ordinary::new(
            "The supply of the clock was interrupted: a battery was empty, or was changed.",
            "battery papers, the diary, the maker's description of the clock",
        ),
        Ordinary::new(
            "Somebody set the clock to that date by hand.",
            "records of settings, and whether this model keeps them",
        ),
    ],
    look_next: &[
        "Readings of the unit's clock after this record, beside a reference clock.",
        "The maker's description: the base date, and what makes the clock begin there.",
    ],
    needs: &[Needs::Times],
    scope: Scope::Own,
    occasions: "steps from one displayed time to the next",
    examples: &[
        Example {
            title: "After the unit was off the display begins in the year 2020.",
            log: "1201 2031-05-10 18:00:05 total\n\
                  1202 2031-05-10 18:00:30 power-off\n\
                  1203 2020-01-01 00:00:02 power-on\n\
                  ^ clock-reset\n\
                  1204 2020-01-01 00:01:40 total\n\
                  1205 2020-01-01 00:02:10 power-off\n",
            case: "",
        },
        Example {
            title: "Near miss: the record that would say so behind the fall cannot be read.",
            log: "1201 2031-05-10 18:00:05 total\n\
                  1202 2031-05-10 18:00:30 power-off\n\
                  1203 2020-01-01 00:00:02 power-on\n\
                  1204 2020-01-01 00:0?:05 battery-changed\n\
                  ^ unreadable-line\n\
                  1205 2020-01-01 00:01:40 total\n\
                  1206 2020-01-01 00:02:10 power-off\n",
            case: "",
        },
        Example {
            title: "Near miss: the log ends behind the fall, and the unit may still say so.",
            log: "1201 2031-05-10 18:00:05 total\n\
                  1202 2031-05-10 18:00:30 power-off\n\
                  1203 2020-01-01 00:00:02 power-on\n",
            case: "",
        },
        Example {
            title: "Near miss: the same, and the unit says that it found another battery.",
            log: "1201 2031-05-10 18:00:05 total\n\
                  1202 2031-05-10 18:00:30 power-off\n\
                  1203 2020-01-01 00:00:02 power-on\n\
                  1204 2020-01-01 00:00:05 battery-changed\n\
                  1205 2020-01-01 00:01:40 total\n",
            case: "",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let mut last: Option<(usize, Stamp)> = None;
    for step in 0..known.replay.steps.len() {
        let Some(time) = known.record(step).and_then(|record| record.time) else { continue };
        let Some((before, earlier)) = last.replace((step, time)) else { continue };
        let place = known.place(step);
        let goes_back = time.ms() + time.step_ms() <= earlier.ms();
        let within =
            |of: Event| (before..=step).any(|at| known.record(at).is_some_and(|record| record.event == of));
        let Some(base) = goes_back.then(|| base(time)).flatten() else {
            // Behind a time without power the date may be one from which this model's clock counts, or one soon after it.
            let far = earlier.ms() - time.ms() >= DAY_MS;
            let powered = within(Event::PowerOn) || within(Event::PowerOff);
            if far && powered && ![Event::BatteryChanged, Event::ClockSet].into_iter().any(within) {
                walk.open(place, base_not_known(known, before, step));
            } else {
                walk.in_order(place);
            }
            continue;
        };
        if within(Event::BatteryChanged) {
            walk.in_order(place);
            continue;
        }
        if let Some(want) = known.want_in(before, step + 1) {
            walk.open(place, want);
            continue;
        }
        if within(Event::ClockSet) {
            walk.in_order(place);
            continue;
        }
        // The unit may say later that it found another battery: up to its next release or switching off.
        let end = (step + 1..known.replay.steps.len()).find(|at| ends(known, *at));
        let battery = end.and_then(|at| known.record(at)).map(|record| record.event == Event::BatteryChanged);
        if let Some(want) = known.want_in(step + 1, end.unwrap_or(known.replay.steps.len())) {
            walk.open(place, want);
            continue;
        }
        match battery {
            Some(true) => walk.in_order(place),
            None if !known.replay.back.is_closed() => walk.open(place, Want::Back),
            _ => walk.contrary(place, finding(known, before, step, base, battery.is_none())),
        }
    }
    walk.unseen_events();
    if known.log.records().iter().any(|record| record.time.is_none()) {
        walk.unseen(Want::Other(
            "some records carry no time".to_owned(),
            "whoever made the export",
            "an export with the times that the unit displayed".to_owned(),
        ));
    }
}

/// The base date on whose day a display lies.
fn base(time: Stamp) -> Option<&'static str> {
    let begins = |date: &str| crate::case::civil_ms(&format!("{date} 00:00"));
    let on = |date: &&&str| begins(date).is_some_and(|ms| (ms..ms + DAY_MS).contains(&time.ms()));
    BASE_DATES.iter().find(on).copied()
}

/// That a display fell far, without power between, to a date that is none of those from which clocks are known to count.
fn base_not_known(known: &Known<'_>, before: usize, step: usize) -> Want {
    Want::Other(
        format!(
            "{} displays a time a day or more before that of {}, and the power was off or came on between; whether the clock of \
             this model counts from that date, or from one before it, is not stated",
            known.name(step),
            known.name(before)
        ),
        "maker of the unit",
        "the documents on the unit's clock: from which date it counts when it has lost its time".to_owned(),
    )
}

/// Whether the unit says at a step that it found another battery, or will not say so any more of a fall before it.
fn ends(known: &Known<'_>, step: usize) -> bool {
    let event = known.record(step).map(|record| record.event);
    matches!(event, Some(Event::BatteryChanged | Event::Enable | Event::Vote | Event::PowerOff))
}

fn finding(known: &Known<'_>, before: usize, step: usize, base: &str, to_the_end: bool) -> Contrary {
    Contrary {
        others: vec![known.place(before)],
        expected: "A record displays the time of the record before it, or a later one.".to_owned(),
        shows: format!(
            "{} follows {}. {base} is a date from which some clocks count.",
            known.name(step),
            known.name(before)
        ),
        measured: None,
        assumptions: [
            format!(
                "the clock of this model counts from {base} when it has lost its time, as its maker's documents say"
            ),
            "the records stand in the order of recording".to_owned(),
        ]
        .into_iter()
        .chain(to_the_end.then(|| known.back_premise()).flatten())
        .collect(),
    }
}

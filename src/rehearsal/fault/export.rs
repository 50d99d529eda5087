//! Faults of an export: more records than the unit keeps, and records that are later than the export they stand in.

use super::further;
use super::injection::Injection;
use super::order::nothing;
use super::{Fault, Size, Touches};
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::clock::civil;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Id;
use crate::rehearsal::setting::Setting;
use crate::rehearsal::unwritten::Print;

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, Touches::All, setting, inject)
}

const RECORDS: Option<Size> = Some(Size { of: "records", least: 1, usual: 3, most: 50 });

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        size: RECORDS,
        ..row(
            "141",
            "ring-overfull",
            (
                "The file holds more records than the unit keeps, each of them once",
                "A contradiction: a ring cannot give out more records than it holds.",
            ),
            nothing,
            ring_overfull,
        )
    },
    row(
        "142",
        "ring-full-line-twice",
        (
            "The ring is exactly full, and one line stands in the file twice",
            "Nothing but the repetition: the same record twice is one record.",
        ),
        nothing,
        ring_full_line_twice,
    ),
    row(
        "143",
        "ring-full-line-unreadable",
        (
            "The file holds one line more than the unit keeps records, and that line cannot be read",
            "Whether there are more records than the unit keeps cannot be told: the line may have been one, or none.",
        ),
        nothing,
        ring_full_line_unreadable,
    ),
    Fault {
        size: RECORDS,
        ..row(
            "144",
            "header-states-fewer-kept",
            (
                "The header states that the unit keeps fewer records than the file holds, and the unit's description more",
                "Nothing contrary: the description's number is the greater, and the file holds fewer.",
            ),
            nothing,
            header_states_fewer,
        )
    },
    Fault {
        size: Some(Size { of: "hours", least: 1, usual: 48, most: 400 }),
        ..row(
            "145",
            "records-behind-the-export",
            (
                "The unit was switched on and exported once more, and the header has the time of the export before it",
                "Records follow the export that the header states. A header that was kept explains it.",
            ),
            nothing,
            records_behind,
        )
    },
    row(
        "146",
        "header-of-an-earlier-export",
        (
            "The unit was exported twice, and the header of the second file has the time of the first",
            "Records follow the export that the header states. A header that was kept explains it.",
        ),
        |setting| {
            setting.rates.insert(Act::ExportedBefore, 1000);
        },
        header_of_an_earlier_export,
    ),
    row(
        "147",
        "header-before-its-records",
        (
            "The header states a time three days before the last records, at which nothing was exported; the clock was read",
            "By the reading, records were made after the stated time of export.",
        ),
        nothing,
        |i| header_before_its_records(i, true),
    ),
    row(
        "148",
        "header-before-its-records-unread",
        (
            "As 147, and nobody read the clock",
            "Nothing may be said: a clock that runs three days ahead displays the same times.",
        ),
        nothing,
        |i| header_before_its_records(i, false),
    ),
    row(
        "149",
        "clock-ahead-at-export",
        (
            "The clock is four minutes ahead, so that the unit's record of the export displays a later time than the header",
            "Nothing contrary: the display was ahead, and nothing was recorded after the export.",
        ),
        nothing,
        clock_ahead,
    ),
];

fn ring_overfull(i: &mut Injection) -> Option<()> {
    let (all, over) = (i.entries().len(), usize::try_from(i.size).ok()?);
    let keeps = all.checked_sub(over)?;
    i.life.unit.keeps = u64::try_from(keeps).ok()?;
    i.print(Print::HoldsAll);
    i.key.did(format!("The unit keeps {keeps} records; {all} were made, and all were written"), &[]);
    let because = "More different records stand in the file than the ring has places.";
    let too_many: Vec<Spot> =
        i.entries().iter().skip(i.first_held() + keeps).map(|entry| Spot::Of(entry.id)).collect();
    if too_many.is_empty() {
        i.silent(&["more-records-than-kept"], "The file holds no more records than the ring has places.");
    } else {
        i.key.find("more-records-than-kept", &[Contradiction], &too_many, &[], because);
    }
    Some(())
}

fn ring_full_line_twice(i: &mut Injection) -> Option<()> {
    i.life.unit.keeps = u64::try_from(i.entries().len()).ok()?;
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)? + 1;
    let id = i.id(at)?;
    i.print(Print::Twice(id));
    i.key.did("This line stands a second time behind itself, in a file of a full ring", &[Spot::Again(id)]);
    i.key.find("record-repeated", &[Shown], &[Spot::Again(id)], &[id], "A line stands twice, byte for byte.");
    i.silent(&["more-records-than-kept"], "There are as many different records as the ring has places.");
    Some(())
}

fn ring_full_line_unreadable(i: &mut Injection) -> Option<()> {
    let (all, sites) = (i.entries().len(), i.enables_between_votes());
    i.life.unit.keeps = u64::try_from(all.checked_sub(1)?).ok()?;
    let at = i.pick(&sites)?;
    let id = i.id(at)?;
    i.print(Print::HoldsAll);
    i.print(Print::Garbles(id, "4~~7 203#-05-10 1#:2#:## ena".to_owned()));
    i.key.did(
        "This line cannot be read; with it there is one line more than the ring has places",
        &[Spot::Of(id)],
    );
    i.key.find("unreadable-line", &[Shown], &[Spot::Of(id)], &[id], "The line cannot be read.");
    if i.first_held() == 0 {
        let because = "The line may have been a record, which would be one more than the ring has places.";
        i.open(&["more-records-than-kept"], because);
    } else {
        i.silent(&["more-records-than-kept"], "There are no more lines than the ring has places.");
    }
    Some(())
}

fn header_states_fewer(i: &mut Injection) -> Option<()> {
    let all = u64::try_from(i.entries().len()).ok()?;
    let states = all.checked_sub(u64::try_from(i.size).ok()?)?;
    i.print(Print::States(states));
    i.key.did(format!("The header states that the unit keeps {states} records; it has made {all}"), &[]);
    let because = "The unit's description gives its ring more places than the file has records.";
    i.silent(&["more-records-than-kept"], because);
    Some(())
}

/// Records that follow the export of the header, and display a later time: one finding, at any of them.
fn follow(i: &mut Injection, export: Id, later: &[Spot]) {
    let because = "These records were made after the export whose time the header states.";
    // A reading behind the last record puts it days after that time, whether the record of the export is seen or not.
    let last = i.entries().last().map(|last| last.moment);
    let is_read = i.life.papers.readings.iter().any(|noted| last.is_some_and(|last| noted.moment >= last));
    let needs: &[Id] = if is_read { &[] } else { &[export] };
    i.key.find("record-after-export", &[Conditional], later, needs, because);
}

fn records_behind(i: &mut Injection) -> Option<()> {
    let end = i.entries().len();
    let export = i.entry(end.checked_sub(1)?).filter(|last| last.event == Event::Export)?;
    let (export, moment) = (export.id, export.moment);
    let on = moment + i.size * HOUR;
    let events = [(moment + 40_000, Event::PowerOff), (on, Event::PowerOn), (on + 30_000, Event::Export)];
    let mut spots = Vec::new();
    for (place, (moment, event)) in (end..).zip(events) {
        spots.push(Spot::Of(i.insert(place, moment, event, Vec::new())?));
    }
    i.key.did("The unit was switched off, on and exported again; the header was kept", &spots);
    follow(i, export, &spots);
    Some(())
}

fn header_of_an_earlier_export(i: &mut Injection) -> Option<()> {
    let at = i.entries().iter().position(|entry| entry.event == Event::Export)?;
    let export = i.entry(at)?;
    let (export, moment) = (export.id, export.moment);
    i.life.exported_at = stated(moment);
    let later: Vec<Spot> = i.entries().iter().skip(at + 1).map(|entry| Spot::Of(entry.id)).collect();
    i.key.did("The header has the time of this export", &[Spot::Of(export)]);
    if later.is_empty() {
        return None;
    }
    follow(i, export, &later);
    Some(())
}

/// A civil time as the header words it.
fn stated(moment: i64) -> String {
    format!("{}+02:00", civil(moment).replace(' ', "T"))
}

fn header_before_its_records(i: &mut Injection, read: bool) -> Option<()> {
    let last = i.entries().last()?;
    let moment = last.moment - 3 * DAY;
    // At that time the unit was off: what is later was made days later.
    let later: Vec<Spot> =
        i.entries().iter().filter(|entry| entry.moment > moment).map(|entry| Spot::Of(entry.id)).collect();
    let is_near = |at: i64| (at - moment).abs() < HOUR;
    if i.entries().iter().any(|entry| is_near(entry.moment)) {
        return None;
    }
    i.life.exported_at = stated(moment);
    i.key.did("The header states a time three days before the last record", &later);
    if read {
        let because = "The reading behind the last record puts it days after the stated time of export.";
        i.key.find("record-after-export", &[Conditional], &later, &[], because);
    } else {
        i.life.papers.readings.clear();
        let because = "Without a reading a clock that runs ahead displays the same times.";
        i.open(&["record-after-export"], because);
    }
    Some(())
}

fn clock_ahead(i: &mut Injection) -> Option<()> {
    i.entry(0)?;
    i.shift_display(0, 4 * MINUTE);
    i.key.did("The clock is four minutes ahead through the whole log", &[]);
    i.silent(&["record-after-export"], "Every record was made by the time of the export.");
    Some(())
}

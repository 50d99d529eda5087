//! Faults of the file as text: lines that cannot be read, numbers, dates, words that nobody knows.

use super::injection::{Injection, SILENT};
use super::reckoned::{Ran, reckon, throughout};
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Renumbered;
use crate::rehearsal::truth::day::the_only_day;
use crate::rehearsal::unwritten::{Print, day_and_month_swapped};
use crate::syntax::Stamp;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    size: Option<Size>,
    touches: Touches,
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    let (injected, concludes) = texts;
    Fault { number, id, injected, concludes, size, level: Level::Easy, touches, setting: nothing, inject }
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "15",
        "dates-turned",
        (
            "Day and month stand in the wrong order in every date of the file",
            "Dates that no calendar has cannot be read, and the others go back and forth; the exchanged order restores both.",
        ),
        None,
        Touches::All,
        dates_turned,
    ),
    row(
        "45",
        "line-unreadable",
        (
            "One line of the poll cannot be read",
            "The line is named; it may have been any record, and whatever rests on it is weaker.",
        ),
        None,
        Touches::Line,
        line_unreadable,
    ),
    row(
        "50a",
        "numbers-left-out",
        (
            "Record numbers are left out in mid-poll",
            "The numbers are missing, if they step as the unit's description says; what stood there cannot be told.",
        ),
        Some(Size { of: "numbers", least: 1, usual: 3, most: 200 }),
        Touches::All,
        numbers_left_out,
    ),
    row(
        "50b",
        "number-twice",
        ("Two different records have the same number", "A contradiction: one number on two records."),
        None,
        Touches::All,
        number_twice,
    ),
    row(
        "50c",
        "numbers-begin-anew",
        (
            "The record numbers begin anew in mid-poll",
            "The numbers go back, though the unit's description lets them run on. In their order they leave a hole, if they step \
             as described; a counter that began anew explains both.",
        ),
        None,
        Touches::All,
        numbers_begin_anew,
    ),
    row(
        "52a",
        "day-that-is-none",
        (
            "One record is dated 29 February 2031, a day that is none",
            "The line cannot be read as the format wants; its date is not interpreted.",
        ),
        None,
        Touches::Line,
        |i| time_that_is_none(i, "2031-02-29 10:00:00"),
    ),
    row(
        "52b",
        "hour-24",
        (
            "One record's time is 24:00:00",
            "The line cannot be read as the format wants; its time is not interpreted.",
        ),
        None,
        Touches::Line,
        |i| time_that_is_none(i, "2031-05-10 24:00:00"),
    ),
    row(
        "52c",
        "second-60",
        (
            "One record's time is 23:59:60",
            "The line cannot be read as the format wants; its time is not interpreted.",
        ),
        None,
        Touches::Line,
        |i| time_that_is_none(i, "2031-05-10 23:59:60"),
    ),
    row(
        "55",
        "word-unknown",
        (
            "An event stands in the log that the vocabulary does not hold, though the unit may do it",
            "The unknown event is named; it may have led anywhere, so that nothing about the order is contrary.",
        ),
        None,
        Touches::Line,
        word_unknown,
    ),
];

#[allow(clippy::unnecessary_wraps, reason = "a row of the table, which may fail")]
fn dates_turned(i: &mut Injection) -> Option<()> {
    i.print(Print::SwapsDayAndMonth);
    let times: Vec<(crate::rehearsal::memory::Id, String)> =
        i.entries().iter().map(|entry| (entry.id, entry.time.written())).collect();
    // A month beyond December is no date.
    let readable = |time: &str| {
        let turned = day_and_month_swapped(time);
        chrono::NaiveDateTime::parse_from_str(turned.trim_end(), "%Y-%m-%d %H:%M:%S").ok()
    };
    i.key.did("Day and month were exchanged in every date", &[]);
    // Lines that stand behind each other are one finding.
    for run in times.chunk_by(|(_, one), (_, next)| readable(one).is_some() == readable(next).is_some()) {
        if run.first().is_some_and(|(_, time)| readable(time).is_none()) {
            let spots: Vec<Spot> = run.iter().map(|(id, _)| Spot::Of(*id)).collect();
            i.key.find("unreadable-line", &[Shown], &spots, &[], "A month beyond December is no date.");
        }
    }
    i.silent(
        &["time-decreases", "clock-reset", "record-after-export"],
        "Where the dates that can be read go back the unit was off, and no display lies on a base date.",
    );
    if the_only_day(&i.life).is_some() {
        let votes = i.phase(Phase::Poll).map(|stretch| i.places(stretch, Event::Vote)).unwrap_or_default();
        let spots: Vec<Spot> = votes.into_iter().filter_map(|place| i.id(place)).map(Spot::Of).collect();
        let because = "The papers know one day of the poll, and its votes stand in the file with another.";
        i.key.find("poll-day-not-displayed", &[Conditional], &spots, &[], because);
    }
    i.key.free("turnout-differs", "The dates as they stand say nothing about the noted turnout.");
    reckon(i, Ran { printed: turned, ..throughout(false) }).map(|_| ())
}

/// A displayed time with day and month exchanged; `None` where no calendar has it.
fn turned(ms: i64) -> Option<i64> {
    let text = day_and_month_swapped(&Stamp::new(ms, 0).written());
    chrono::NaiveDateTime::parse_from_str(text.trim_end(), "%Y-%m-%d %H:%M:%S")
        .ok()
        .map(|at| at.and_utc().timestamp_millis())
}

fn line_unreadable(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let id = i.id(at)?;
    i.print(Print::Garbles(id, "4~~7 203#-05-10 1#:2#:## ena".to_owned()));
    i.key.did("This line cannot be read; an enable stood there", &[Spot::Of(id)]);
    i.key.find("unreadable-line", &[Shown], &[Spot::Of(id)], &[id], "The line cannot be read.");
    i.silent(
        &["vote-without-enable", "two-enables", "no-lawful-course", "number-missing"],
        "The unreadable line may have been the enable whose place it has.",
    );
    Some(())
}

fn numbers_left_out(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, id) = (i.id(at - 1)?, i.id(at)?);
    let size = u64::try_from(i.size).ok()?;
    i.entry_mut(at)?.renumbered = Some(Renumbered::Skips(size));
    i.key.did(format!("{size} numbers were left out before this record"), &[Spot::Of(id)]);
    let at = [Spot::Of(before), Spot::Of(id)];
    i.key.find(
        "number-missing",
        &[Conditional],
        &at,
        &[before, id],
        "The numbers on both sides do not follow.",
    );
    let because = "What stood in the hole cannot be told, and the numbers shown on both sides fit that it held no vote.";
    i.silent(&["total-differs"], because);
    Some(())
}

fn number_twice(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let (before, id) = (i.id(at - 1)?, i.id(at)?);
    i.entry_mut(at)?.renumbered = Some(Renumbered::Repeats);
    i.key.did("This record has the number of the one before it", &[Spot::Of(id)]);
    i.key.find(
        "number-repeated",
        &[Contradiction],
        &[Spot::Of(id)],
        &[before, id],
        "One number stands on two records.",
    );
    Some(())
}

fn numbers_begin_anew(i: &mut Injection) -> Option<()> {
    let poll = i.phase(Phase::Poll)?;
    let middle = poll.start + poll.len() / 2;
    // All numbers behind it are then smaller than all before it, and none stands twice.
    let first = u64::try_from(i.entries().len()).ok()? * 2;
    let sites: Vec<usize> = i.enables_between_votes().into_iter().filter(|at| *at >= middle).collect();
    let at = i.pick(&sites)?;
    let (before, id) = (i.id(at - 1)?, i.id(at)?);
    i.entry_mut(0)?.renumbered = Some(Renumbered::BeginsAt(first));
    i.entry_mut(at)?.renumbered = Some(Renumbered::BeginsAt(0));
    i.key.did("The numbers begin anew with this record", &[Spot::Of(id)]);
    let about = "The numbers go back by more than the unit's counter could.";
    i.key.find("numbers-out-of-order", &[Shown], &[], &[before, id], about);
    let about = "In the order of their numbers the records leave a hole, if numbers step as described.";
    i.key.find("number-missing", &[Conditional], &[], &[before, id], about);
    i.silent(&["number-repeated", "time-decreases"], "No number stands twice, and the times go on.");
    let of_counts = ["total-differs", "register-differs", "result-differs"];
    if i.first_held() < at {
        let because =
            "Where the order is in doubt, so are the records between; and every number is the true one.";
        i.silent(&of_counts, because);
        return Some(());
    }
    let because = "The log holds none of the earlier numbers: if numbers step as described, too few records came before it for \
                   the votes that the unit shows.";
    for rule in of_counts.into_iter().chain(["turnout-differs", "declared-differs", "vote-without-enable"]) {
        i.key.free(rule, because);
    }
    Some(())
}

fn time_that_is_none(i: &mut Injection, time: &str) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let id = i.id(at)?;
    i.print(Print::Times(id, time.to_owned()));
    i.key.did(format!("The time of this record is written as {time}"), &[Spot::Of(id)]);
    i.key.find(
        "unreadable-line",
        &[Shown],
        &[Spot::Of(id)],
        &[id],
        "The time is none, and the line is not read.",
    );
    i.key.answer("time-decreases", SILENT, "A time that is none is not interpreted.");
    Some(())
}

fn word_unknown(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)?;
    let id = i.insert_between(at, Event::Unknown, Vec::new())?;
    i.entry_mut(at)?.word = Some("lamp-test");
    i.key.did("An event that nobody knows was put in", &[Spot::Of(id)]);
    i.key.find("unknown-event", &[Shown], &[Spot::Of(id)], &[id], "The vocabulary does not hold the word.");
    let because =
        "The unknown event may have changed the votes in the memory, and the numbers fit that it did not.";
    if i.key.speaks_of("total-differs") {
        i.key.free("total-differs", because);
    } else {
        i.silent(&["total-differs"], because);
    }
    i.silent(
        &["no-lawful-course", "two-enables", "vote-without-enable"],
        "The unknown event may have led anywhere.",
    );
    Some(())
}

//! The pace of votes: half hours as a picture and a table beside the turnout that people noted, and the measurements.

use crate::examination::Examination;
use crate::report::chart::{self, Day, Rise};
use crate::report::document::{Block, Definition, Edition, Figure, Place, Section, Table, Text, day};
use crate::report::{pace, papers};
use crate::source::Shown;

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("pace"), pace::TITLE).answering(&[9, 14]);
    let days = chart::days(examination, place.edition == Edition::Public);
    for (nth, day) in days.iter().enumerate() {
        of_day(&mut section, place, examination, (nth, day));
    }
    noted(&mut section, examination);
    // The half hours stand in the tables.
    let measured = examination.measurements();
    let mut groups = pace::groups(examination, &measured);
    groups.retain(|group| days.is_empty() || group.about != pace::HALF_HOURS);
    if groups.is_empty() {
        section.say(pace::NOTHING);
        return section;
    }
    section.say(pace::INTRODUCTION);
    section.say(pace::NO_TEST);
    section.say(pace::subject(examination, &measured));
    if place.edition == Edition::Public {
        section.say(
            "The public edition leaves the intervals out: a chain of them, beside one time that is known, gives all times.",
        );
        return section;
    }
    let measured = groups.iter().map(|group| Definition {
        anchor: None,
        term: Shown::inert(group.about),
        texts: group.rows.iter().map(|row| format!("{}.", row.text).into()).collect(),
    });
    section.push(Block::Definitions(measured.collect()));
    section
}

/// One day: its picture and its table.
fn of_day(section: &mut Section, place: Place, examination: &Examination<'_>, (nth, day): (usize, &Day)) {
    let rises = chart::rises(day);
    let mut caption = Text::from(
        "Each column is one half hour of displayed time. A pale column with a dashed border: the log sees only a part of \
         that half hour, so that its number is a least number. Dashed upright: an hour that a paper states; it is true time, and \
         the columns stand at displayed times.",
    );
    if !rises.is_empty() {
        caption = caption.plain(
            " Dashed across: what the noted turnout rose by between two notes, spread evenly over the half hours between \
             them; two lines where it is known only from a least to a most number. The notes are by the clock of whoever \
             made them.",
        );
    }
    section.push(Block::Figure(Figure {
        anchor: place.anchor(&format!("pace-{}", nth + 1)),
        title: day::title(place, &format!("Votes by the half hour, {}", day::named(day))),
        alternative: Text::from("The table below gives the numbers of the columns.")
            .plain(&risen(place, &rises)),
        caption,
        picture: chart::pace(day),
    }));
    let true_times = if place.edition == Edition::Full { pace::true_times(examination) } else { Vec::new() };
    let mut columns = vec!["half hour, as displayed", "#votes in this log", "seen"];
    if !day.noted.is_empty() {
        columns.push("noted within it, and when");
    }
    if !true_times.is_empty() {
        columns.push("its votes in true time");
    }
    let mut table = Table::new(&format!("Votes by the half hour, {}", day::named(day)), &columns);
    for half_hour in chart::half_hours(day) {
        let end = half_hour.from + chart::HALF_HOUR;
        let mut cells: Vec<Text> = vec![
            format!("{} to {}", chart::clock(half_hour.from), chart::clock(end)).into(),
            half_hour.votes.to_string().into(),
            if half_hour.is_part { "in part" } else { "whole" }.into(),
        ];
        if !day.noted.is_empty() {
            let within = day.noted.iter().filter(|noted| noted.ms > half_hour.from && noted.ms <= end);
            let noted: Vec<String> = within
                .map(|noted| {
                    format!(
                        "{} at {}",
                        papers::turnout_number(noted.least, noted.most),
                        chart::clock(noted.ms)
                    )
                })
                .collect();
            cells.push(noted.join("; ").into());
        }
        if !true_times.is_empty() {
            let of_day =
                |text: &str| text.strip_prefix(day.date.as_str()).map_or(text, str::trim_start).to_owned();
            let ends = |from: &str, to: &str| format!("from {} to {}", of_day(from), of_day(to));
            let tied = true_times.iter().find(|(begins, _)| *begins == half_hour.from);
            cells.push(tied.map_or_else(String::new, |(_, tied)| tied.words(ends)).into());
        }
        table.push(cells);
    }
    section.push(Block::Table(table));
}

/// What the noted turnout rose by, as the picture writes it. The moments of a public edition are no moments of a note.
fn risen(place: Place, rises: &[Rise]) -> String {
    let one = |rise: &Rise| match place.edition {
        Edition::Full => {
            let [from, to] = [rise.from, rise.to].map(chart::clock);
            format!("by {} from {from} to {to}", rise.words())
        }
        Edition::Public => format!("by {}", rise.words()),
    };
    if rises.is_empty() {
        return String::new();
    }
    let list: Vec<String> = rises.iter().map(one).collect();
    format!(" The noted turnout rose {}.", list.join("; "))
}

/// Turnout as people noted it.
fn noted(section: &mut Section, examination: &Examination<'_>) {
    let stated = papers::statements(examination.case);
    let mut table =
        Table::new("Turnout as noted at the station", &["noted", "where it is stated, and by whom"]);
    for paper in stated.iter().filter(|paper| paper.about == "turnout") {
        table.push(vec![(&paper.text).into(), (&paper.basis).into()]);
    }
    if table.rows.is_empty() {
        section
            .say("No paper that was read states a turnout noted during the poll, so that nothing noted stands beside the pace.");
    } else {
        section.push(Block::Table(table));
    }
}

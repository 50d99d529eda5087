//! The pictures of a log: the day, the pace, the states; each with what it shows in words.

use crate::examination::Examination;
use crate::report::chart::{self, Day};
use crate::report::document::{Block, Edition, Figure, Place, Section, Table, Text};
use crate::report::drawing::{self, Way};
use crate::report::{count, papers};
use crate::source::Shown;

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("pictures"), "The day in pictures").answering(&[20]);
    section.on_new_page = true;
    let days = chart::days(examination, place.edition == Edition::Public);
    if days.is_empty() {
        section.say("No vote of the log that may be of the poll carries a time, so no day can be drawn.");
    }
    for (nth, day) in days.iter().enumerate() {
        let anchor = |name: &str| place.anchor(&format!("{name}-{}", nth + 1));
        section.push(Block::Figure(Figure {
            anchor: anchor("day"),
            title: title(place, &format!("The unit's day, {}", day.date)),
            alternative: day_in_words(place, day),
            caption: Text::from(
                "Across: the time that the unit displayed. Up: votes recorded in this log, added up from its first vote of the \
                 day. Slanting lines: not in this log. Dashed: an hour that a paper states. Numbers in boxes: findings.",
            ),
            picture: chart::day(day, place),
        }));
        section.push(Block::Figure(Figure {
            anchor: anchor("pace"),
            title: title(place, &format!("Votes by the half hour, {}", day.date)),
            alternative: Text::from("The table below gives every number of the picture."),
            caption: Text::from(
                "Each column is one half hour of displayed time. A pale column with a dashed border: the log sees only a part \
                 of that half hour, so that its number is a least number.",
            ),
            picture: chart::pace(day),
        }));
        section.push(Block::Table(pace(day)));
    }
    if !days.is_empty() {
        section.say("How many votes fall into a half hour has no lawful measure of its own. The numbers are printed without a judgment.");
    }
    turnout(&mut section, examination);
    let way = Way::of(examination);
    section.push(Block::Figure(Figure {
        anchor: place.anchor("states"),
        title: title(place, "The states of the unit, and the way that this log took through them"),
        alternative: Text::from(format!("In words: {}.", listed(&way.steps()))),
        caption: Text::from(way.words()).plain(" ").plain(drawing::READING),
        picture: drawing::picture(examination.unit, &way),
    }));
    section
}

/// The title of a figure: where there are several logs, each has figures of these names.
fn title(place: Place, words: &str) -> Shown {
    if place.logs > 1 {
        Shown::inert(&format!("Log {}: {words}", place.log + 1))
    } else {
        Shown::inert(words)
    }
}

fn listed(steps: &[String]) -> String {
    if steps.is_empty() { "the log took no step that is known for sure".to_owned() } else { steps.join("; ") }
}

/// What the picture of a day shows, in words.
fn day_in_words(place: Place, day: &Day) -> Text {
    let mut text =
        Text::from(format!("In words: {} that may be of the poll", count(day.votes.len(), "vote", "votes")));
    if let (Some(first), Some(last)) = (day.votes.first(), day.votes.last()) {
        // The moments of a coarse day are the middles of half hours: their half hour is what they say.
        let told = |ms: i64| match place.edition {
            Edition::Full => chart::clock(ms),
            Edition::Public => format!(
                "{}\u{2013}{}",
                chart::clock(ms - chart::HALF_HOUR / 2),
                chart::clock(ms + chart::HALF_HOUR / 2)
            ),
        };
        text = text.plain(&format!(", the first at {}, the last at {}", told(*first), told(*last)));
    }
    if day.other_votes > 0 {
        text = text.plain(&format!(
            "; {} of a test, mock poll or other phase, not drawn",
            count(day.other_votes, "vote", "votes")
        ));
    }
    for (_, word) in &day.hours {
        text = text.plain(&format!("; {word}, as stated"));
    }
    for phase in &day.phases {
        text = text.plain(&format!("; {} as the case file states", phase.word));
    }
    for stretch in &day.unknown {
        text = text.plain(&format!("; not in this log: {}", stretch.word));
    }
    for (_, word) in &day.acts {
        text = text.plain(&format!("; {word}"));
    }
    text.plain(&match day.findings.len() {
        0 => ". No finding lies on a record of this day.".to_owned(),
        number => format!(". {} on records of this day.", count(number, "finding lies", "findings lie")),
    })
}

fn pace(day: &Day) -> Table {
    let mut table = Table::new(
        &format!("Votes by the half hour, {}", day.date),
        &["half hour, as displayed", "#votes in this log", "seen"],
    );
    for half_hour in chart::half_hours(day) {
        let (from, to) = (chart::clock(half_hour.from), chart::clock(half_hour.from + chart::HALF_HOUR));
        table.push(vec![
            format!("{from} to {to}").into(),
            half_hour.votes.to_string().into(),
            if half_hour.is_part { "in part" } else { "whole" }.into(),
        ]);
    }
    table
}

/// Turnout as people noted it, beside the pace.
fn turnout(section: &mut Section, examination: &Examination<'_>) {
    let stated: Vec<papers::Paper> =
        papers::statements(examination.case).into_iter().filter(|paper| paper.about == "turnout").collect();
    if stated.is_empty() {
        return;
    }
    let mut table = Table::new("Turnout as noted at the station", &["noted", "who states it, and where"]);
    for paper in stated {
        table.push(vec![(&paper.text).into(), (&paper.basis).into()]);
    }
    section.push(Block::Table(table));
}

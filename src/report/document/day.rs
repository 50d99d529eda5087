//! The pictures of a log: the day and the states; each with what it shows in words.

use crate::examination::Examination;
use crate::report::chart::{self, Day};
use crate::report::count;
use crate::report::document::{Block, Edition, Figure, Place, Section, Text};
use crate::report::drawing::{self, Way};
use crate::source::Shown;

/// How the picture of a day is read.
const CAPTION: &str = "Across: the time that the unit displayed. Up: votes recorded in this log, added up from its first vote of the \
     day. Slanting lines: not in this log. Dashed: an hour that a paper states. Numbers in boxes: findings.";

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("pictures"), "The day in pictures").answering(&[20]);
    section.on_new_page = true;
    let days = chart::days(examination, place.edition == Edition::Public);
    if days.is_empty() {
        section.say("No vote of the log that may be of the poll carries a time, so no day can be drawn.");
    }
    for (nth, day) in days.iter().enumerate() {
        section.push(Block::Figure(Figure {
            anchor: place.anchor(&format!("day-{}", nth + 1)),
            title: title(place, &format!("The unit's day, {}", day.date)),
            alternative: day_in_words(place, day),
            caption: Text::from(CAPTION).plain(true_time(place, examination, day)),
            picture: chart::day(day, place),
        }));
    }
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

/// What the picture says of true time.
fn true_time(place: Place, examination: &Examination<'_>, day: &Day) -> &'static str {
    if place.edition == Edition::Public {
        " When the votes were recorded in true time is not drawn in the public edition."
    } else if day.bounds.iter().any(Option::is_some) {
        " Pale band: from when to when the votes were recorded in true time, by the readings of the clock; \
         where it ends, no reading binds."
    } else if examination.clock.is_bound() && !examination.clock_is_one {
        " True time is not drawn, because versions of the contested facts bind it otherwise."
    } else {
        " True time is not drawn: no reading of the clock binds these votes from both sides."
    }
}

/// The title of a figure: where there are several logs, each has figures of these names.
pub(super) fn title(place: Place, words: &str) -> Shown {
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

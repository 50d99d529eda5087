//! The pictures of a log: the day and the states; each with what it shows in words.

use crate::examination::Examination;
use crate::report::chart::{self, Day};
use crate::report::count;
use crate::report::document::{Block, Edition, Figure, Place, Section, Text};
use crate::report::drawing::{self, Way};
use crate::source::Shown;

/// How the picture of a day is read: across, and the rest.
const ACROSS: &str = "Across: the time that the unit displayed.";
const ACROSS_COARSE: &str = "Across: the time that the unit displayed, by the half hour: every vote, act and finding stands \
     in the middle of its half hour, so that neither its place nor its distance from another says more.";
const CAPTION: &str = " Up: votes recorded in this log, added up from its first vote of the displayed day. Slanting lines: not in \
     this log. Dashed: an hour that a paper states; it is true time, and the votes beside it stand at displayed times. \
     Numbers in boxes: findings.";

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
            title: title(place, &format!("The unit's day, {}", named(day))),
            alternative: day_in_words(place, day),
            caption: Text::from(if day.is_coarse { ACROSS_COARSE } else { ACROSS })
                .plain(CAPTION)
                .plain(&true_time(place, examination, day)),
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

/// A day by what the unit displayed.
pub(super) fn named(day: &Day) -> String {
    if day.went_back {
        format!("displayed {}, after the display went back", day.date)
    } else {
        day.date.clone()
    }
}

/// What the picture says of true time.
fn true_time(place: Place, examination: &Examination<'_>, day: &Day) -> String {
    if place.edition == Edition::Public {
        return " When the votes were recorded in true time is not drawn in the public edition.".to_owned();
    }
    let Some(known) = day.true_time else {
        return if examination.clock.is_bound() && !examination.clock_is_one {
            " True time is not drawn, because versions of the contested facts bind it otherwise."
        } else {
            " True time is not drawn: no reading of the clock binds these votes from both sides."
        }
        .to_owned();
    };
    let off = known.off();
    let which = if known.votes == day.votes.len() {
        "these votes".to_owned()
    } else {
        format!("{} of these {}", known.votes, count(day.votes.len(), "vote", "votes"))
    };
    if day.bounds.iter().any(Option::is_some) {
        format!(
            " Lighter band: from when to when the votes were recorded in true time, by the readings of the clock; where it \
             ends, no reading binds. By the same readings the display was {off} when {which} were recorded."
        )
    } else {
        let (from, to) = known.ends();
        format!(
            " True time is not drawn: by the readings of the clock {which} were recorded between {from} and {to}, and not on \
             the displayed day; the display was {off}."
        )
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
            Edition::Public => chart::half_hour_of(ms),
        };
        text = text.plain(&format!(", the first at {}, the last at {}", told(*first), told(*last)));
    }
    if day.other_votes > 0 {
        text = text.plain(&format!(
            "; {} of a test, mock poll or other phase, not drawn",
            count(day.other_votes, "vote", "votes")
        ));
    }
    for (date, votes) in &day.elsewhere {
        let votes = count(*votes, "more vote of this log is", "more votes of this log are");
        text = text.plain(&format!("; {votes} displayed on {date}, not drawn here"));
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
    let told = if day.is_coarse { " that this edition tells" } else { "" };
    let others = match day.other_findings {
        0 => String::new(),
        number => format!(
            " {} about no record of this day and {} not drawn; all stand under the findings.",
            count(number, "finding is", "findings are"),
            if number == 1 { "is" } else { "are" }
        ),
    };
    text.plain(&match day.findings.len() {
        0 => format!(". No finding{told} is about a record of this day.{others}"),
        number => {
            format!(". {} about a record of this day.{others}", count(number, "finding is", "findings are"))
        }
    })
}

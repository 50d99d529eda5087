//! How far a log speaks, in plain words: one list of statements for every form of report.

use crate::case::Phase;
use crate::counts::counted;
use crate::coverage::{Declared, Ring, kinds};
use crate::examination::Examination;
use crate::replay::{Cause, Ending, Order, Step};
use crate::report::{count, grouped, listed, share};
use crate::source::Shown;
use crate::syntax::Log;

/// One statement about the coverage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Statement {
    /// What it is about.
    pub(super) about: &'static str,
    /// What is stated.
    pub(super) text: String,
}

/// The statements, in the order of the report.
pub(super) fn statements(examination: &Examination<'_>) -> Vec<Statement> {
    let coverage = &examination.coverage;
    let mut list: Vec<Statement> = Vec::new();
    let mut say = |about: &'static str, text: String| list.push(Statement { about, text });
    say(
        "times",
        match coverage.times {
            // Where the display went back the first record is not the earliest, or the last not the latest.
            Some((first, last)) if coverage.reach != coverage.times => format!(
                "Its first record displays {first} and its last {last}, in the order in which the records are taken, \
                 without a zone.{} The displayed times do not rise throughout.",
                coverage.reach.map_or_else(String::new, |(least, most)| format!(
                    " The earliest displayed time is {least}, the latest {most}."
                ))
            ),
            Some((first, last)) => format!(
                "The log speaks from {first} to {last}, as the unit displayed the time, without a zone. What came \
                 before and after is not in it."
            ),
            None => "No record carries a time, so the log does not say when anything happened.".to_owned(),
        },
    );
    say(
        "record numbers",
        match coverage.numbers {
            Some((first, last)) => {
                format!("Record numbers run from {first} to {last} in the order of replay.")
            }
            None => "No record carries a number.".to_owned(),
        },
    );
    share::in_words(examination).into_iter().for_each(|text| say(share::ABOUT, text));
    say("kept by the unit", ring(examination));
    say("before the first", front(coverage.front).to_owned());
    say("after the last", back(coverage.back).to_owned());
    say("votes", votes(examination));
    say("lines", lines(&coverage.lines, coverage.lines_not_read));
    say("order of replay", order(examination));
    say("gaps", gaps(examination));
    if let Some(text) = closing(examination) {
        say("closing line", text);
    }
    list
}

fn ring(examination: &Examination<'_>) -> String {
    let coverage = &examination.coverage;
    let keeps = format!(
        "The unit keeps its last {} and writes over older ones.",
        counted(coverage.keeps, "record", "records")
    );
    let older = match coverage.ring {
        Ring::NothingOlder => {
            "Nothing older existed: the first record has the first number that a unit of this description gives."
                .to_owned()
        }
        Ring::OlderNotKept { records, still_kept } => {
            let number = |n: u64, one, many| count(usize::try_from(n).unwrap_or(usize::MAX), one, many);
            let existed = format!(
                "By the numbering of the unit description, {} existed and {} not in this log.",
                number(records, "older record", "older records"),
                if records == 1 { "is" } else { "are" }
            );
            let kept = match still_kept {
                0 => String::new(),
                n => format!(
                    " By the same description the unit would still have held {} of them when the log was written \
                     out, unless its log was emptied in between. An export may also be made from a date on: whoever \
                     made it can say.",
                    number(n, "", "").trim_end()
                ),
            };
            let against = if coverage.front == Ending::Stated {
                " The case file states that nothing was recorded before: numbering and statement cannot both be right."
            } else {
                ""
            };
            format!("{existed}{kept}{against}")
        }
        Ring::PossiblyFull => {
            "The log holds as many as that. Older records may have been written over; how many is not known.".to_owned()
        }
        Ring::NotFull => {
            "The log holds fewer. That does not show by itself that nothing is missing: an export may leave records \
             out, and a log may have been erased."
                .to_owned()
        }
    };
    format!("{keeps} {older}")
}

fn front(ending: Ending) -> &'static str {
    match ending {
        Ending::FirstNumber => {
            "Closed: the first record has the first number of a new unit, so nothing came before."
        }
        Ending::Stated => {
            "Closed on a statement of the case file: nothing was recorded before the first record."
        }
        Ending::ExportRecord => "Closed.",
        Ending::Open => {
            "Open: what was recorded before the first record is not known. That nothing of it is seen shows nothing."
        }
    }
}

fn back(ending: Ending) -> &'static str {
    match ending {
        Ending::ExportRecord => {
            "Closed: the last record is that of the export, and the closing line agrees with the lines of the file."
        }
        Ending::Stated => {
            "Closed on a statement of the case file: nothing was recorded after the last record."
        }
        Ending::FirstNumber => "Closed.",
        Ending::Open => {
            "Open: what was recorded after the last record is not known. That nothing of it is seen shows nothing."
        }
    }
}

fn votes(examination: &Examination<'_>) -> String {
    let coverage = &examination.coverage;
    let seen = format!(
        "The log holds {}, those of any test or mock poll in it included.{}",
        count(coverage.votes, "vote record", "vote records"),
        votes_by_label(&coverage.votes_labelled)
    );
    if coverage.declared.is_empty() {
        return format!("{seen} No paper that was read states a declared number of votes.");
    }
    let range = |one: &Declared| {
        if one.least == one.most {
            grouped(one.least)
        } else {
            format!("{} to {}", grouped(one.least), grouped(one.most))
        }
    };
    let mut polls: Vec<Option<&str>> = coverage.declared.iter().map(|one| one.poll.as_deref()).collect();
    polls.sort_unstable();
    polls.dedup();
    let of_poll = |poll: Option<&str>| {
        let mut stated: Vec<String> =
            coverage.declared.iter().filter(|one| one.poll.as_deref() == poll).map(range).collect();
        stated.dedup();
        let day = poll.map(|poll| format!(" for the poll of {}", Shown::inert(poll))).unwrap_or_default();
        format!("{}{day}", stated.join(", or "))
    };
    let stated: Vec<String> = polls.iter().copied().map(of_poll).collect();
    let told = format!("{seen} Declared for the unit, as the case file states: {}.", listed(&stated));
    // Votes of several polls are not set against the number of one; the ledger has each.
    let least = coverage.declared.iter().map(|one| one.least).min().filter(|_| polls.len() == 1).unwrap_or(0);
    let unseen = least.saturating_sub(coverage.votes_of_poll as u64);
    if unseen == 0 {
        return told;
    }
    let by_label = unseen > least.saturating_sub(coverage.votes as u64);
    format!(
        "{told} {} least {} of the declared votes {} not in it, if the number declared is right.",
        if by_label { "If the labels hold, at" } else { "At" },
        grouped(unseen),
        if unseen == 1 { "is" } else { "are" }
    )
}

/// The votes under each label of the case file, in words.
fn votes_by_label(labelled: &[(Option<Phase>, usize)]) -> String {
    if labelled.iter().all(|(phase, _)| phase.is_none()) {
        return String::new();
    }
    let parts: Vec<String> = labelled
        .iter()
        .map(|(phase, number)| match phase {
            Some(phase) => format!("{} of the {}", grouped(*number as u64), phase.words()),
            None => format!("{} without a label of one phase", grouped(*number as u64)),
        })
        .collect();
    format!(" By the labels of the case file: {}.", parts.join(", "))
}

/// The lines of a log by kind.
pub(super) fn lines_in_words(log: &Log) -> String {
    lines(&kinds(log), log.lines_not_read())
}

fn lines(counts: &[usize; 7], not_read: usize) -> String {
    let words = ["blank", "comments", "headings", "header lines", "records", "closing lines", "unread"];
    let parts: Vec<String> = counts
        .iter()
        .zip(words)
        .map(|(number, word)| {
            let word = if *number == 1 { word.strip_suffix('s').unwrap_or(word) } else { word };
            format!("{} {word}", grouped(*number as u64))
        })
        .collect();
    let mut text = format!("{}: {}.", count(counts.iter().sum(), "line", "lines"), parts.join(", "));
    if not_read > 0 {
        text.push_str(&format!(
            " Past the limit of lines: {}, hashed and counted, not read.",
            count(not_read, "further line", "further lines")
        ));
    }
    text
}

fn order(examination: &Examination<'_>) -> String {
    let log = examination.log;
    let mut text = match examination.replay.order {
        Order::File => "The records are taken in the order of the file.".to_owned(),
        Order::Rotated(first) => {
            let line = log.records().get(first).map_or(0, |record| log.line_number(record.line));
            format!(
                "The file holds the records as the unit's ring stores them. They are taken from line {line} to the \
                 end and then from the first record on, as their numbers run."
            )
        }
        Order::ByNumber => {
            "The file does not hold the records in the order of their numbers. They are taken by number."
                .to_owned()
        }
    };
    if examination.coverage.times_speak_for_the_file {
        text.push_str(
            " In that order the displayed times go back; in the order of the file they do not. If the unit's counter of \
             records started again, the order of the file is that of recording, and what rests on the order by number \
             falls.",
        );
    }
    let repeated = examination.replay.repeated.len();
    if repeated > 0 {
        text.push_str(&format!(
            " {} word for word with the same number; each is taken once.",
            count(repeated, "record repeats an earlier one", "records repeat earlier ones")
        ));
    }
    text
}

fn gaps(examination: &Examination<'_>) -> String {
    let mut counts = [0usize; 4];
    let mut missing = 0;
    for step in &examination.replay.steps {
        let Step::Gap(gap) = step else { continue };
        let place = match gap.cause {
            Cause::Unread | Cause::Conflict => 0,
            Cause::Hole => 1,
            Cause::NumbersGoBack => 2,
            Cause::NoRoom => 3,
        };
        if let Some(slot) = counts.get_mut(place) {
            *slot += 1;
        }
        if gap.cause == Cause::Hole {
            missing += gap.least;
        }
    }
    let [unread, holes, back, no_room] = counts;
    let mut parts = Vec::new();
    if unread > 0 {
        parts.push(format!("{} with lines that could not be read", count(unread, "place", "places")));
    }
    if holes > 0 {
        parts.push(format!(
            "{} where record numbers are missing ({} on no record that could be read)",
            count(holes, "place", "places"),
            count(usize::try_from(missing).unwrap_or(usize::MAX), "number", "numbers")
        ));
    }
    if back > 0 {
        parts.push(format!("{} where record numbers go back", count(back, "place", "places")));
    }
    if no_room > 0 {
        parts.push(format!(
            "{} where record numbers leave no room for a record that stands there",
            count(no_room, "place", "places")
        ));
    }
    if parts.is_empty() {
        return "Between the first record and the last, no line is unread and no record number is missing."
            .to_owned();
    }
    format!(
        "Between the first record and the last: {}. What was recorded there is not known.",
        parts.join(", ")
    )
}

fn closing(examination: &Examination<'_>) -> Option<String> {
    let closing = examination.log.closing()?;
    let line = examination.log.line_number(closing.line);
    let stated = match closing.digest {
        Some(_) => "a number of lines and their digest",
        None => "a number of lines and no digest",
    };
    let count = if closing.count == closing.found_count {
        format!("The number agrees: {}.", grouped(closing.count))
    } else {
        format!("It states {} and {} were found.", grouped(closing.count), grouped(closing.found_count))
    };
    let digest = match closing.digest {
        Some(digest) if digest == closing.found_digest => " The digest agrees.",
        Some(_) => " The digest does not agree.",
        None => "",
    };
    Some(format!("Line {line} states {stated}. {count}{digest}"))
}

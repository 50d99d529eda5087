//! The annex: the log line by line as secrecy lets it be shown, with what was found and what stays open at each line.

use crate::examination::Examination;
use crate::report::document::{Block, Edition, Line, Mark, Place, Section, Text, findings};
use crate::report::{count, grouped, walk};
use crate::rules;
use crate::source::Shown;
use crate::syntax::{LineKind, Stamp};

/// How many lines of a log the annex holds; the rest is counted.
const LINES: usize = 20_000;

/// Whether a line stands in the annex.
pub(super) fn holds(examination: &Examination<'_>, line: usize) -> bool {
    line < LINES.min(examination.log.lines().len())
}

/// A line as the edition shows it. The public edition tells a record by its number, half hour and event, for the text
/// of a line may give a time in any form.
pub(super) fn line_text(place: Place, examination: &Examination<'_>, line: usize) -> Shown {
    let log = examination.log;
    if place.edition == Edition::Full {
        return log.quote(line, &examination.secrecy);
    }
    let Some(entry) = log.lines().get(line) else { return Shown::inert("") };
    match entry.kind {
        LineKind::Record(at) => log.records().get(at).map_or(Shown::inert(""), |record| {
            let number = record.number.map_or("-".to_owned(), |number| number.to_string());
            let time = record.time.map_or("-".to_owned(), |time| half_hour(time).to_string());
            Shown::inert(&format!("{number} {time} {}", log.word(record)))
        }),
        LineKind::Blank => Shown::inert(""),
        kind => Shown::inert(&format!("({} line, left out in the public edition)", kind.word())),
    }
}

/// The begin of the half hour in which a time lies; the edition then tells it as a half hour.
fn half_hour(time: Stamp) -> Stamp {
    let half_hour = 30 * 60_000;
    Stamp::new(time.ms() - time.ms().rem_euclid(half_hour), 0)
}

/// The annex of one log.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("annex"), "Annex: the log, line by line").answering(&[9]);
    section.on_new_page = true;
    section.say(match place.edition {
        Edition::Full => {
            "The lines stand in the order of the file, word for word. What could name a voter's choice or a voter is \
             replaced by [masked]; characters that act on a screen are spelled out; what is longer than 240 characters is cut and counted."
        }
        Edition::Public => {
            "The lines stand in the order of the file. Each record is given by its number, the half hour of its time and \
             its event; the texts of other lines are left out."
        }
    });
    section.say(
        "Under a line stands what was found at it, and which rules have an open occasion there. 'The unit' says what the \
         unit can have been after the record, where that changes.",
    );
    let mut last = String::new();
    let rows = walk::rows(examination);
    let total = rows.len();
    let mut lines: Vec<Line> = Vec::with_capacity(total.min(LINES));
    for (index, row) in rows.iter().enumerate().take(LINES) {
        let mut notes: Vec<Text> = Vec::new();
        if row.missing_before > 0 {
            let missing = usize::try_from(row.missing_before).unwrap_or(usize::MAX);
            notes.push(Text::new().strong(&format!(
                "Before this line, by the numbers, {} missing.",
                count(missing, "record is", "records are")
            )));
        }
        for (number, rule) in &row.findings {
            let title = rules::rule(rule).map_or("", |rule| rule.title);
            notes.push(
                findings::link(place, examination, number - 1, &format!("Finding {number}"))
                    .plain(&format!(": {title}")),
            );
        }
        if row.in_conflict {
            notes.push(
                "It lies in the stretch of a contradiction and is taken as unreadable for other questions."
                    .into(),
            );
        } else if row.kind == "unread" {
            notes.push("This line could not be read, and may stand for any number of records.".into());
        } else if let Some((before, after)) = row.states() {
            if before != after && after != last {
                notes.push(Text::from("The unit: ").plain(after).plain("."));
            }
            after.clone_into(&mut last);
        }
        if !row.open.is_empty() {
            notes.push(Text::from("Open here: ").plain(&row.open.join(", ")).plain("."));
        }
        lines.push(Line {
            anchor: Some(place.line(row.line)),
            link: None,
            number: row.line,
            mark: if row.findings.is_empty() { Mark::Beside } else { Mark::Also },
            after_gap: false,
            text: line_text(place, examination, index),
            notes,
        });
    }
    section.push(Block::Lines(lines));
    if total > LINES {
        section.say(format!(
            "The annex holds the first {} lines; {} more stand in the file and were examined.",
            grouped(LINES as u64),
            grouped((total - LINES) as u64)
        ));
    }
    section
}

//! The day of the poll drawn on a line, a few characters for each half hour.

use std::fmt::Write as _;

use crate::examination::Examination;
use crate::report::day::{CELL_MS, Cell, Covered, Line, civil, face, lines};
use crate::report::page::{Page, Tone};
use crate::rules::clock::SILENCE;

/// Columns before the line.
const LABEL: usize = 10;

/// Columns of a cell.
const WIDTH: usize = 4;

/// Prints the section, where the case file states a day.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    let days = lines(examination);
    if days.is_empty() {
        return;
    }
    page.head("The day of the poll on a line");
    for day in &days {
        draw(page, day);
    }
    page.text(
        0,
        Tone::Quiet,
        "hours: = within the stated hours. log: - the log speaks; ? what was recorded is not known; . nothing was recorded, \
         for the reason in the coverage. votes: those that surely lie in the column's time, ++ for more than fit; either: those \
         that lie in it or in a later one. stopped: x an interruption is stated. finding: ^ the record of a finding may \
         lie here. The picture only shows; what follows stands under the answers.",
    );
    page.text(0, Tone::Quiet, SILENCE);
}

fn draw(page: &mut Page, day: &Line) {
    page.gap();
    let scale = if day.is_true_time {
        "in true time, by the readings of the unit's clock"
    } else {
        "as the unit displayed it: nothing ties these times to true time"
    };
    page.text(0, Tone::Head, &format!("{}, {scale}", day.date));
    let room = page.width().saturating_sub(LABEL);
    // Four columns each: a half hour where there is room, else an hour.
    let is_wide = room >= day.cells.len() * WIDTH;
    let hourly: Vec<Cell>;
    let all = if is_wide {
        &day.cells
    } else {
        hourly = hours(&day.cells);
        &hourly
    };
    let cells = all.get(..(room / WIDTH).clamp(1, all.len().max(1))).unwrap_or(all);
    page.text(
        0,
        Tone::Quiet,
        if is_wide { "Each column is half an hour." } else { "Each column is an hour." },
    );
    let mut row = |label: &str, text: String| {
        page.lines(std::iter::once(format!("{label:<LABEL$}{}", text.trim_end())));
    };
    row("", axis(cells));
    row("hours", bar(cells, |cell| if cell.in_hours { '=' } else { ' ' }));
    row("log", bar(cells, log));
    row("votes", counts(cells, |cell| cell.votes));
    if day.votes_between > 0 {
        row("either", counts(cells, |cell| cell.votes_between));
    }
    if cells.iter().any(|cell| cell.interrupted) {
        row("stopped", bar(cells, |cell| if cell.interrupted { 'x' } else { ' ' }));
    }
    if cells.iter().any(|cell| !cell.findings.is_empty()) {
        row("finding", marks(cells));
    }
    if cells.len() < all.len() {
        page.text(0, Tone::Quiet, "The line is cut on the right; a wider report shows all of it.");
    }
    in_words(page, day);
}

fn in_words(page: &mut Page, day: &Line) {
    for (which, end) in ["first", "last"].iter().zip(&day.ends) {
        let when = if day.is_true_time {
            format!("made between {} and {}", civil(end.from), civil(end.to + 999))
        } else {
            format!("displayed at {}", civil(end.from))
        };
        page.item(
            0,
            "-",
            &format!("The {which} record on this line stands on line {} of the file, {when}.", end.line),
        );
    }
    let nowhere = day.votes_unplaced.saturating_sub(day.votes_in_conflict);
    for (what, number) in [
        ("Votes in a conflict, not placed", day.votes_in_conflict),
        ("Votes that nothing places on the line", nowhere),
        ("Votes that may be of the poll and whose times lie outside this line", day.votes_elsewhere),
    ] {
        if number > 0 {
            page.item(0, "-", &format!("{what}: {number}."));
        }
    }
    for (from, to) in &day.interruptions {
        let hour = |at: &Option<i64>| at.map_or_else(|| "a time not stated".to_owned(), face);
        page.item(0, "-", &format!("An interruption is stated from {} to {}.", hour(from), hour(to)));
    }
    let findings: Vec<String> =
        day.cells.iter().flat_map(|cell| &cell.findings).map(ToString::to_string).collect();
    if !findings.is_empty() {
        page.item(0, "-", &format!("Findings on this line, from left to right: {}.", findings.join(", ")));
    }
}

/// Two half hours as one hour each, from the first full hour on.
fn hours(cells: &[Cell]) -> Vec<Cell> {
    let mut hours: Vec<Cell> = Vec::new();
    for cell in cells {
        match hours.last_mut().filter(|hour| cell.begins < hour.begins + 2 * CELL_MS) {
            Some(hour) => {
                hour.in_hours |= cell.in_hours;
                hour.votes += cell.votes;
                hour.votes_between += cell.votes_between;
                hour.interrupted |= cell.interrupted;
                hour.findings.extend(&cell.findings);
                // An hour of which the log speaks in part counts as spoken of.
                if hour.covered != cell.covered {
                    hour.covered = Covered::Spoken;
                }
            }
            None => hours.push(cell.clone()),
        }
    }
    hours
}

/// The hours above the line, each over the cell in which it begins.
fn axis(cells: &[Cell]) -> String {
    cells.iter().fold(String::new(), |mut text, cell| {
        let hour = if cell.begins.rem_euclid(2 * CELL_MS) == 0 { face(cell.begins) } else { String::new() };
        _ = write!(text, "{:<WIDTH$}", hour.chars().take(2).collect::<String>());
        text
    })
}

fn bar(cells: &[Cell], of: impl Fn(&Cell) -> char) -> String {
    cells.iter().flat_map(|cell| std::iter::repeat_n(of(cell), WIDTH)).collect()
}

fn log(cell: &Cell) -> char {
    match cell.covered {
        Covered::Spoken => '-',
        Covered::Closed => '.',
        Covered::Open => '?',
    }
}

fn counts(cells: &[Cell], of: impl Fn(&Cell) -> usize) -> String {
    cells.iter().fold(String::new(), |mut text, cell| {
        let number = of(cell);
        // One column stays free, so that two numbers do not become one.
        let shown = match number.to_string() {
            _ if number == 0 => String::new(),
            digits if digits.len() < WIDTH => digits,
            _ => "++".to_owned(),
        };
        _ = write!(text, "{shown:<WIDTH$}");
        text
    })
}

fn marks(cells: &[Cell]) -> String {
    cells.iter().fold(String::new(), |mut text, cell| {
        _ = write!(text, "{:<WIDTH$}", if cell.findings.is_empty() { "" } else { "^" });
        text
    })
}

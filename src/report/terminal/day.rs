//! The day of the poll drawn on a line, a few characters for each half hour.

use std::fmt::Write as _;

use crate::examination::Examination;
use crate::report::day::{
    Beyond, CELL_MS, Cell, Covered, FindingOf, Line, civil, civil_after, lines, minute, minute_after,
};
use crate::report::page::{Page, Tone};
use crate::report::{count, grouped, ranges};
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
        "hours: = within the stated hours. log: - the log speaks; ~ it speaks of a part, and what was recorded in the rest is \
         not known; / it speaks, and records may be missing or unread there; \
         ? what was recorded is not known; . nothing was recorded, for the reason in the coverage. votes: those that surely \
         lie in the column's time, ++ for more than fit. unsure: votes that may lie in the column's time or in a later one; \
         each is counted once, where it may lie first. stopped: x an interruption is stated. finding: numbers of the \
         findings whose record may lie there, ^ for more than fit. The picture only shows; what follows stands under the \
         answers.",
    );
    page.text(0, Tone::Quiet, SILENCE);
}

fn draw(page: &mut Page, day: &Line) {
    page.gap();
    let scale = if day.is_true_time {
        "in true time, by the readings of the unit's clock"
    } else if day.lacks_zone {
        "as the unit displayed it: readings tie it to true time, but no zone is stated for the hours of the poll"
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
    if cells.iter().any(|cell| cell.votes_between > 0) {
        row("unsure", counts(cells, |cell| cell.votes_between));
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
    let sides = [("first", ["Before", "behind"]), ("last", ["Behind", "before"])];
    for (((which, side), end), beyond) in sides.iter().zip(&day.ends).zip(&day.beyond) {
        let when = if day.is_true_time {
            format!("made between {} and {}", civil(end.from), civil_after(end.to))
        } else {
            format!("displayed at {}", civil(end.from))
        };
        page.item(
            0,
            "-",
            &format!("The {which} record on this line stands on line {} of the file, {when}.", end.line),
        );
        if beyond.records > 0 {
            page.item(0, "-", &outside(*side, beyond));
        }
    }
    let nowhere = day.votes_unplaced.saturating_sub(day.votes_in_conflict);
    for (what, number) in [
        ("Votes in a conflict, not placed", day.votes_in_conflict),
        ("Votes that nothing places on the line", nowhere),
        (
            "Votes that may be of the poll and whose times lie, or may lie, before or behind this line",
            day.votes_elsewhere,
        ),
    ] {
        if number > 0 {
            page.item(0, "-", &format!("{what}: {number}."));
        }
    }
    for (from, to) in &day.interruptions {
        let hour = |at: &Option<i64>| at.map_or_else(|| "a time not stated".to_owned(), |at| minute(day, at));
        page.item(0, "-", &format!("An interruption is stated from {} to {}.", hour(from), hour(to)));
    }
    for gap in &day.gaps {
        let number = match gap.number {
            (least, Some(most)) if least == most => grouped(least),
            (least, Some(most)) => format!("{} to {}", grouped(least), grouped(most)),
            (0, None) => "how many is not known".to_owned(),
            (least, None) => format!("{} or more", grouped(least)),
        };
        let (before, behind) = gap.lines;
        let text = format!(
            "Records are missing or unread between lines {before} and {behind} of the file: {number}."
        );
        page.item(0, "-", &text);
    }
    found(page, day);
}

/// Records beside the line that nothing but the order of the log places.
fn outside([side, other]: [&str; 2], beyond: &Beyond) -> String {
    let conflict = match beyond.in_conflict {
        0 => String::new(),
        number if number == beyond.records => ", because they lie in a conflict".to_owned(),
        number => format!(", {number} of them because they lie in a conflict"),
    };
    let next =
        beyond.next.map_or_else(String::new, |line| format!(", and {other} the record on line {line},"));
    let records = count(beyond.records, "record that", "records that");
    let stand = if beyond.records == 1 { "stands" } else { "stand" };
    format!("{side} it{next} {stand} {records} the order of the log alone places{conflict}.")
}

/// When the records of findings may lie, and which findings are not on the line.
fn found(page: &mut Page, day: &Line) {
    let told = |finding: &FindingOf| {
        let (number, from) = (finding.number, minute(day, finding.from));
        match finding.to {
            // What a record displays is no stretch of time.
            Some(_) if finding.is_own && !day.is_true_time => format!("{number} at {from}"),
            Some(to) => format!("{number} from {from} to {}", minute_after(day, to)),
            None => format!("{number} at {from} or later"),
        }
    };
    let findings: Vec<String> = day.findings.on_line.iter().map(told).collect();
    if !findings.is_empty() {
        let when = if day.is_true_time {
            "When the record of each finding may lie"
        } else {
            "What the unit displayed at the record of each finding, or at the records beside it"
        };
        page.item(0, "-", &format!("{when}: {}.", findings.join("; ")));
    }
    let not_here: Vec<String> = [
        (
            &day.findings.elsewhere,
            "whose record lies before or behind it",
            "whose records lie before or behind it",
        ),
        (&day.findings.in_conflict, "whose record lies in a conflict", "whose records lie in a conflict"),
        (
            &day.findings.unplaced,
            "whose record nothing bounds from below",
            "whose records nothing bounds from below",
        ),
        (&day.findings.no_record, "about a line that is no record", "about lines that are no records"),
        (&day.findings.of_log, "which is about the log as a whole", "which are about the log as a whole"),
    ]
    .into_iter()
    .filter_map(|(numbers, one, many)| match numbers.as_slice() {
        [] => None,
        [number] => Some(format!("finding {number}, {one}")),
        several => Some(format!("findings {}, {many}", ranges(several))),
    })
    .collect();
    if !not_here.is_empty() {
        let told = if day.findings.not_on_line().len() == 1 { "It is told" } else { "Each is told" };
        let text = format!("Not on this line: {}. {told} under Findings.", not_here.join("; "));
        page.item(0, "-", &text);
    }
}

/// Two half hours as one hour each, from the first full hour on.
fn hours(cells: &[Cell]) -> Vec<Cell> {
    let mut hours: Vec<Cell> = Vec::new();
    for cell in cells {
        match hours.last_mut().filter(|hour| cell.begins < hour.begins + 2 * CELL_MS) {
            Some(hour) => {
                hour.in_hours |= cell.in_hours;
                // A vote of the one half hour or the other surely lies in the hour.
                let inside = std::mem::replace(&mut hour.votes_next, cell.votes_next);
                hour.votes += cell.votes + inside;
                hour.votes_between = hour.votes_between - inside + cell.votes_between;
                hour.interrupted |= cell.interrupted;
                hour.has_gap |= cell.has_gap;
                hour.findings.extend(&cell.findings);
                hour.findings.sort_unstable();
                hour.findings.dedup();
                if hour.covered != cell.covered {
                    let is_known = |covered| matches!(covered, Covered::Spoken | Covered::Closed);
                    let both = is_known(hour.covered) && is_known(cell.covered);
                    hour.covered = if both { Covered::Spoken } else { Covered::Part };
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
        let hour = cell.begins.div_euclid(2 * CELL_MS).rem_euclid(24);
        let is_full = cell.begins.rem_euclid(2 * CELL_MS) == 0;
        _ = write!(text, "{:<WIDTH$}", if is_full { format!("{hour:02}") } else { String::new() });
        text
    })
}

fn bar(cells: &[Cell], of: impl Fn(&Cell) -> char) -> String {
    cells.iter().flat_map(|cell| std::iter::repeat_n(of(cell), WIDTH)).collect()
}

fn log(cell: &Cell) -> char {
    match cell.covered {
        Covered::Spoken | Covered::Part if cell.has_gap => '/',
        Covered::Part => '~',
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
        let numbers: Vec<String> = cell.findings.iter().map(ToString::to_string).collect();
        let numbers = numbers.join(",");
        // One column stays free.
        _ = write!(text, "{:<WIDTH$}", if numbers.len() < WIDTH { &numbers } else { "^" });
        text
    })
}

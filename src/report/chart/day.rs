//! The unit's day as a picture: votes as they add up, stated hours, what parts of the day were, what is not known, findings.

use crate::report::chart::{Day, HALF_HOUR, HOUR, MINUTE, Plane, clock, close_up, step, width};
use crate::report::document::Place;
use crate::report::picture::{Drawn, Hold, Ink, Picture};
use crate::report::{count, grouped};
use crate::source::Shown;

/// Width of the pictures of a day: on A4 their words are eight points high.
pub(super) const WIDTH: i32 = 800;
const LEFT: i32 = 56;
const RIGHT: i32 = 776;
const TOP: i32 = 74;
const BOTTOM: i32 = 314;

/// Height of a close-up's plane.
const CLOSE_UP: i32 = 150;

/// Height of a row of words.
const ROW: i32 = 17;

/// Most rows of acts; what finds no row is counted.
const ROWS: usize = 9;

/// What lies between the marks of two findings.
const APART: i32 = 4;

/// An axis that is no longer has minutes for its scale.
const SHORT: i64 = 90 * MINUTE;

/// The picture: the day, and below it close-ups of where findings lie near each other.
pub(in crate::report) fn picture(day: &Day, place: Place) -> Picture {
    let parts = close_up::parts(day);
    let mut picture = Picture::new(WIDTH, 0);
    let plane = body(&mut picture, day, place, TOP, BOTTOM);
    for part in &parts {
        let (from, to) = (plane.x(part.axis.0), plane.x(part.axis.1));
        let size = ((to - from).max(6), plane.bottom - plane.top);
        picture.draw(Drawn::Box((from, plane.top), size, 0, Ink::Axis));
    }
    let below = phases(&mut picture, &plane, day, BOTTOM + 34);
    let mut bottom = acts(&mut picture, &plane, day, below);
    for (date, votes) in &day.elsewhere {
        let words = format!("Not drawn: {} displayed on {date}", count(*votes, "vote", "votes"));
        picture.write((LEFT, bottom + 14), Hold::Start, Ink::Small, &words);
        bottom += ROW;
    }
    for part in &parts {
        let words = format!("Close-up of the frame: {} to {}", clock(part.axis.0), clock(part.axis.1));
        picture.write((8, bottom + 30), Hold::Start, Ink::Head, &words);
        let top = bottom + 34 + TOP;
        let plane = body(&mut picture, part, place, top, top + CLOSE_UP);
        bottom = acts(&mut picture, &plane, part, plane.bottom + 26);
    }
    picture.height = bottom + 10;
    picture
}

/// What lies on the plane of a day or of a part of it.
fn body(picture: &mut Picture, day: &Day, place: Place, top: i32, bottom: i32) -> Plane {
    let votes = i64::try_from(day.votes.len()).unwrap_or(i64::MAX);
    // Room above the last vote, so that its number stands below the words on the hours.
    let plane = plane(day, votes + votes / 8 + 1, top, bottom);
    grid(picture, &plane, "votes", day.is_coarse);
    unknown(picture, &plane, day);
    band(picture, &plane, day);
    curve(picture, &plane, day);
    findings(picture, &plane, day, place);
    hours(picture, &plane, day, 12);
    plane
}

/// A plane on which so many votes have room.
pub(super) fn plane(day: &Day, votes: i64, top: i32, bottom: i32) -> Plane {
    let step = step(votes.max(1), 5);
    let least = i64::try_from(day.before).unwrap_or(0);
    let most = least + (votes.max(1) + step - 1) / step * step;
    Plane { left: LEFT, right: RIGHT, top, bottom, axis: day.axis, least, most }
}

/// The scale at the left, the hours below; where times are told by the half hour, none stands between two.
pub(super) fn grid(picture: &mut Picture, plane: &Plane, what: &str, is_coarse: bool) {
    let by = step(plane.most - plane.least, 5);
    let mut number = plane.least;
    while number <= plane.most {
        let y = plane.y(number);
        picture.line((plane.left, y), (plane.right, y), Ink::Grid);
        picture.write((plane.left - 8, y + 4), Hold::End, Ink::Small, &grouped(number.unsigned_abs()));
        number += by;
    }
    picture.write((8, plane.top - 14), Hold::Start, Ink::Small, what);
    let span = plane.axis.1 - plane.axis.0;
    let unit = if span <= SHORT { MINUTE } else { HOUR };
    let every = step((span / unit).max(1), 12) * unit;
    let every = if is_coarse { (every + HALF_HOUR - 1) / HALF_HOUR * HALF_HOUR } else { every };
    let mut hour = plane.axis.0;
    while hour <= plane.axis.1 {
        let x = plane.x(hour);
        picture.line((x, plane.top), (x, plane.bottom + 5), Ink::Grid);
        picture.write((x, plane.bottom + 20), Hold::Middle, Ink::Small, &clock(hour));
        hour += every;
    }
    picture.line((plane.left, plane.bottom), (plane.right, plane.bottom), Ink::Axis);
}

/// What is not known, as slanting lines; wide stretches carry their word.
pub(super) fn unknown(picture: &mut Picture, plane: &Plane, day: &Day) {
    for stretch in &day.unknown {
        let (from, to) = (plane.x(stretch.from), plane.x(stretch.to).max(plane.x(stretch.from) + 4));
        picture.draw(Drawn::Hatch((from, plane.top), (to - from, plane.bottom - plane.top), Ink::Unknown));
        let lines = ["not in this log:", stretch.word.as_str()];
        let fitting = lines.into_iter().filter(|line| width(line) < to - from);
        for (nth, line) in (0..).zip(fitting) {
            let at = (i32::midpoint(from, to), plane.top + 30 + 16 * nth);
            picture.write(at, Hold::Middle, Ink::Label, line);
        }
    }
}

/// The stated hours, as dashed lines with their words so far above the plane.
pub(super) fn hours(picture: &mut Picture, plane: &Plane, day: &Day, above: i32) {
    let mut free = i32::MIN;
    for (ms, word) in &day.hours {
        let x = plane.x(*ms);
        picture.line((x, plane.top - above + 4), (x, plane.bottom), Ink::Stated);
        let words = format!("{word} (stated)");
        let (from, hold) =
            if x + width(&words) > WIDTH { (x - width(&words), Hold::End) } else { (x, Hold::Start) };
        if from >= free {
            picture.write((x, plane.top - above), hold, Ink::Label, &words);
            free = from + width(&words);
        }
    }
}

/// When the votes were recorded in true time, as a band from the earliest to the latest moment of each. Where the next
/// vote is not bound, the band ends.
fn band(picture: &mut Picture, plane: &Plane, day: &Day) {
    let before = i64::try_from(day.before).unwrap_or(0);
    let bound = (before + 1..).zip(&day.bounds).filter_map(|(nth, ends): (i64, _)| Some((nth, (*ends)?)));
    let mut runs: Vec<Vec<(i64, (i64, i64))>> = Vec::new();
    for (nth, ends) in bound {
        match runs.last_mut().filter(|run| run.last().is_some_and(|(last, _)| last + 1 == nth)) {
            Some(run) => run.push((nth, ends)),
            None => runs.push(vec![(nth, ends)]),
        }
    }
    for run in runs {
        // Up along the earliest moments, back down along the latest; a band is wider than the curve, to be seen beside it.
        let up = run.iter().flat_map(|(nth, (from, _))| {
            let x = plane.x(*from) - 3;
            [(x, plane.y(nth - 1)), (x, plane.y(*nth))]
        });
        let down = run.iter().rev().flat_map(|(nth, (_, to))| {
            let x = plane.x(*to) + 3;
            [(x, plane.y(*nth)), (x, plane.y(nth - 1))]
        });
        picture.draw(Drawn::Shape(up.chain(down).collect(), Ink::TrueTime));
    }
}

/// The votes as they add up.
fn curve(picture: &mut Picture, plane: &Plane, day: &Day) {
    let Some(first) = day.votes.first() else { return };
    let before = i64::try_from(day.before).unwrap_or(0);
    // A close-up begins with the votes before it.
    let begin = if before == 0 { *first } else { day.axis.0 };
    let mut points = vec![plane.at(begin, before)];
    for (nth, ms) in (before + 1..).zip(&day.votes) {
        let (x, y) = plane.at(*ms, nth);
        let before = points.last().map_or(y, |(_, y)| *y);
        points.extend([(x, before), (x, y)]);
    }
    points.dedup();
    picture.draw(Drawn::Line(points.clone(), Ink::Main));
    if let Some((x, y)) = points.last() {
        let words = grouped((day.before + day.votes.len()) as u64);
        picture.write((*x + 6, *y - 6), Hold::Start, Ink::WeightyLabel, &words);
    }
}

/// The findings, as numbered marks above the plane, each leading to its finding.
fn findings(picture: &mut Picture, plane: &Plane, day: &Day, place: Place) {
    let mut groups: Vec<Group> = Vec::new();
    for (ms, finding) in &day.findings {
        groups.push(Group { at: vec![plane.x(*ms)], findings: vec![*finding] });
        while let [.., one, other] = groups.as_slice()
            && other.middle() - other.half() < one.middle() + one.half() + APART
            && let Some(other) = groups.pop()
            && let Some(one) = groups.last_mut()
        {
            one.at.extend(other.at);
            one.findings.extend(other.findings);
        }
    }
    let (y, height) = (plane.top - 52, 20);
    for mut group in groups {
        group.findings.sort_unstable();
        group.at.dedup();
        let Some(first) = group.findings.first().copied() else { continue };
        let (x, half, words) = (group.middle(), group.half(), numbers(&group.findings));
        // WCAG 2.2, 2.5.3: the name holds the text that is seen.
        let title = format!("Finding {words}");
        let line = |at: &i32| Drawn::Line(vec![(*at, y + height), (*at, plane.bottom)], Ink::Found);
        let mut marks: Vec<Drawn> = group.at.iter().map(line).collect();
        marks.push(Drawn::Box((x - half, y), (2 * half, height), 4, Ink::Finding));
        marks.push(Drawn::Words((x, y + 15), Hold::Middle, Ink::OnFinding, Shown::inert(&words)));
        picture.draw(Drawn::Link(place.finding(first), Shown::inert(&title), marks));
    }
    if !day.findings.is_empty() {
        picture.write((8, y - 7), Hold::Start, Ink::Small, "finding");
    }
}

/// Findings that share a mark, and where their records lie.
struct Group {
    at: Vec<i32>,
    findings: Vec<usize>,
}

impl Group {
    /// Where the mark stands: over its records, and on the sheet.
    fn middle(&self) -> i32 {
        let ends = self.at.iter().min().zip(self.at.iter().max());
        let middle = ends.map_or(0, |(from, to)| i32::midpoint(*from, *to));
        middle.clamp(self.half() + 2, WIDTH - self.half() - 2)
    }

    fn half(&self) -> i32 {
        let mut findings = self.findings.clone();
        findings.sort_unstable();
        (width(&numbers(&findings)) / 2).max(11)
    }
}

/// The numbers of findings that share a mark: `3, 7`; of more than three, the first and how many more there are.
fn numbers(group: &[usize]) -> String {
    match group {
        [first, _, _, rest @ ..] if !rest.is_empty() => {
            format!("{} and {} more", first + 1, group.len() - 1)
        }
        _ => {
            let words: Vec<String> = group.iter().map(|finding| (finding + 1).to_string()).collect();
            words.join(", ")
        }
    }
}

/// What parts of the day were, as a band below the hours; the height below it is given back.
fn phases(picture: &mut Picture, plane: &Plane, day: &Day, top: i32) -> i32 {
    if day.phases.is_empty() {
        return top;
    }
    let height = 22;
    let mut words: Vec<(i32, String)> = Vec::new();
    for (nth, phase) in day.phases.iter().enumerate() {
        let (from, to) = (plane.x(phase.from), plane.x(phase.to).max(plane.x(phase.from) + 3));
        let ink = if nth % 2 == 0 { Ink::BandOne } else { Ink::BandTwo };
        picture.draw(Drawn::Box((from, top), (to - from, height), 0, ink));
        if width(&phase.word) < to - from {
            picture.write((i32::midpoint(from, to), top + 15), Hold::Middle, Ink::Text, &phase.word);
        } else {
            words.push((from, phase.word.clone()));
        }
    }
    picture.write((8, top + 15), Hold::Start, Ink::Small, "was");
    rows(picture, top, top + height, &words)
}

/// The acts, each with its word below the band; the height below them is given back.
fn acts(picture: &mut Picture, plane: &Plane, day: &Day, top: i32) -> i32 {
    let words: Vec<(i32, String)> = day.acts.iter().map(|(ms, word)| (plane.x(*ms), word.clone())).collect();
    if words.is_empty() {
        return top;
    }
    rows(picture, top + 4, top + 10, &words)
}

/// Words at their places, in as many rows as keep them apart, each with a line up to `from`.
fn rows(picture: &mut Picture, from: i32, top: i32, words: &[(i32, String)]) -> i32 {
    let mut free: Vec<i32> = Vec::new();
    let mut left_out = 0;
    // From the last to the first: the line of a word in a lower row then passes left of those above it.
    for (x, word) in words.iter().rev() {
        let (begin, end, hold) = if x + 4 + width(word) > WIDTH {
            (x - 4 - width(word), *x, Hold::End)
        } else {
            (*x, x + 4 + width(word), Hold::Start)
        };
        let row = free.iter().position(|taken| end <= *taken).unwrap_or(free.len());
        if row >= ROWS {
            left_out += 1;
            continue;
        }
        if row == free.len() {
            free.push(begin);
        } else if let Some(taken) = free.get_mut(row) {
            *taken = begin;
        }
        let y = top + ROW * i32::try_from(row).unwrap_or(0);
        picture.line((*x, from), (*x, y + 13), Ink::Axis);
        let at = if hold == Hold::Start { x + 4 } else { x - 4 };
        picture.write((at, y + 13), hold, Ink::Small, word);
    }
    let mut bottom = top + ROW * i32::try_from(free.len()).unwrap_or(0);
    if left_out > 0 {
        picture.write(
            (LEFT, bottom + 14),
            Hold::Start,
            Ink::Small,
            &format!("and {left_out} more acts, in the annex"),
        );
        bottom += ROW;
    }
    bottom + 4
}

//! The unit's day as a picture: votes as they add up, stated hours, what parts of the day were, what is not known, findings.

use crate::report::chart::{Day, HOUR, Plane, clock, step, width};
use crate::report::document::Place;
use crate::report::grouped;
use crate::report::picture::{Drawn, Hold, Ink, Picture};
use crate::source::Shown;

/// Width of the pictures of a day.
pub(super) const WIDTH: i32 = 960;
const LEFT: i32 = 56;
const RIGHT: i32 = 936;
const TOP: i32 = 74;
const BOTTOM: i32 = 314;

/// Height of a row of words.
const ROW: i32 = 17;

/// Most rows of acts; what finds no row is counted.
const ROWS: usize = 9;

/// How near two findings may stand before they share a mark.
const NEAR: i32 = 52;

/// The picture.
pub(in crate::report) fn picture(day: &Day, place: Place) -> Picture {
    let votes = i64::try_from(day.votes.len()).unwrap_or(i64::MAX);
    // Room above the last vote, so that its number stands below the words on the hours.
    let plane = plane(day, votes + votes / 8 + 1, TOP, BOTTOM);
    let mut picture = Picture::new(WIDTH, 0);
    grid(&mut picture, &plane, "votes");
    unknown(&mut picture, &plane, day);
    band(&mut picture, &plane, day);
    curve(&mut picture, &plane, day);
    findings(&mut picture, &plane, day, place);
    hours(&mut picture, &plane, day, 12);
    let below = phases(&mut picture, &plane, day, BOTTOM + 34);
    picture.height = acts(&mut picture, &plane, day, below) + 10;
    picture
}

pub(super) fn plane(day: &Day, most: i64, top: i32, bottom: i32) -> Plane {
    let step = step(most.max(1), 5);
    let most = (most.max(1) + step - 1) / step * step;
    Plane { left: LEFT, right: RIGHT, top, bottom, axis: day.axis, most }
}

/// The scale at the left, the hours below.
pub(super) fn grid(picture: &mut Picture, plane: &Plane, what: &str) {
    let by = step(plane.most, 5);
    let mut number = 0;
    while number <= plane.most {
        let y = plane.y(number);
        picture.line((plane.left, y), (plane.right, y), Ink::Grid);
        picture.write((plane.left - 8, y + 4), Hold::End, Ink::Small, &grouped(number.unsigned_abs()));
        number += by;
    }
    picture.write((8, plane.top - 14), Hold::Start, Ink::Small, what);
    let hours = (plane.axis.1 - plane.axis.0) / HOUR;
    let every = step(hours.max(1), 13) * HOUR;
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
    let bound = (1..).zip(&day.bounds).filter_map(|(nth, ends): (i64, _)| Some((nth, (*ends)?)));
    let mut runs: Vec<Vec<(i64, (i64, i64))>> = Vec::new();
    for (nth, ends) in bound {
        match runs.last_mut().filter(|run| run.last().is_some_and(|(last, _)| last + 1 == nth)) {
            Some(run) => run.push((nth, ends)),
            None => runs.push(vec![(nth, ends)]),
        }
    }
    for run in runs {
        // Up along the earliest moments, back down along the latest; a band is two pixels wide at least, to be seen.
        let up = run.iter().flat_map(|(nth, (from, _))| {
            let x = plane.x(*from) - 1;
            [(x, plane.y(nth - 1)), (x, plane.y(*nth))]
        });
        let down = run.iter().rev().flat_map(|(nth, (_, to))| {
            let x = plane.x(*to) + 1;
            [(x, plane.y(*nth)), (x, plane.y(nth - 1))]
        });
        picture.draw(Drawn::Shape(up.chain(down).collect(), Ink::BandOne));
    }
}

/// The votes as they add up.
fn curve(picture: &mut Picture, plane: &Plane, day: &Day) {
    let Some(first) = day.votes.first() else { return };
    let mut points = vec![plane.at(*first, 0)];
    for (nth, ms) in (1..).zip(&day.votes) {
        let (x, y) = plane.at(*ms, nth);
        let before = points.last().map_or(y, |(_, y)| *y);
        points.extend([(x, before), (x, y)]);
    }
    points.dedup();
    picture.draw(Drawn::Line(points.clone(), Ink::Main));
    if let Some((x, y)) = points.last() {
        let words = grouped(day.votes.len() as u64);
        picture.write((*x + 6, *y - 6), Hold::Start, Ink::WeightyLabel, &words);
    }
}

/// The findings, as numbered marks above the plane, each leading to its finding.
fn findings(picture: &mut Picture, plane: &Plane, day: &Day, place: Place) {
    let mut groups: Vec<(i32, Vec<usize>)> = Vec::new();
    for (ms, finding) in &day.findings {
        let x = plane.x(*ms);
        match groups.last_mut().filter(|(at, _)| x - at < NEAR) {
            Some((_, group)) => group.push(*finding),
            None => groups.push((x, vec![*finding])),
        }
    }
    for (x, mut group) in groups {
        group.sort_unstable();
        let Some(first) = group.first().copied() else { continue };
        let words = numbers(&group);
        let half = (width(&words) / 2).max(11);
        let (y, height) = (22, 20);
        // WCAG 2.2, 2.5.3: the name holds the text that is seen.
        let title = format!("Finding {words}");
        let marks = vec![
            Drawn::Line(vec![(x, y + height), (x, plane.bottom)], Ink::Found),
            Drawn::Box((x - half, y), (2 * half, height), 4, Ink::Finding),
            Drawn::Words((x, y + 15), Hold::Middle, Ink::OnFinding, Shown::inert(&words)),
        ];
        picture.draw(Drawn::Link(place.finding(first), Shown::inert(&title), marks));
    }
    if !day.findings.is_empty() {
        picture.write((8, 15), Hold::Start, Ink::Small, "finding");
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

//! The ledger as a picture: the two sides of each equation under each other, on one scale.

use crate::counts::{Interval, figures};
use crate::finding::capital;
use crate::report::chart::day::WIDTH;
use crate::report::chart::{step, width};
use crate::report::ledger::{Entry, Sheet};
use crate::report::picture::{Drawn, Hold, Ink, Picture};

/// Where the scale begins and ends; behind it there is room for the number of a bar.
const LEFT: i32 = 150;
const RIGHT: i32 = 650;
/// Height of an equation, of its two rows of heading, and of one of its two bars.
const HIGH: i32 = 102;
const HEAD: i32 = 42;
const BAR: i32 = 16;
/// Half the width of the mark of a number that is known exactly.
const MARK: i32 = 4;

/// The scale from the least number to the greatest, on round numbers.
struct Scale {
    from: i128,
    to: i128,
    by: i128,
}

impl Scale {
    fn of(sheet: &Sheet) -> Scale {
        let sides = sheet.entries.iter().flat_map(|entry| entry.sides);
        let ends: Vec<i128> = sides.flat_map(|side| [side.least, side.most]).flatten().collect();
        let least = ends.iter().copied().min().unwrap_or(0);
        let most = ends.iter().copied().max().unwrap_or(1).max(least + 1);
        let is_plain = ends.iter().all(|end| *end == least) || most <= 20 * (most - least);
        // From zero, unless the differences would be too small to be seen then.
        let begins = if least >= 0 && is_plain { 0 } else { least };
        let span = i64::try_from(most - begins).unwrap_or(i64::MAX / 16);
        let by = i128::from(step(span + span / 8 + 1, 6));
        let from = if begins == 0 { 0 } else { (begins - by / 4).div_euclid(by) * by };
        let to = (most + by / 4).div_euclid(by) * by + by;
        Scale { from, to, by }
    }

    fn x(&self, number: i128) -> i32 {
        let span = (self.to - self.from).max(1);
        let at = (number - self.from).clamp(0, span);
        LEFT + i32::try_from(at * i128::from(RIGHT - LEFT) / span).unwrap_or(0)
    }
}

/// The picture.
pub(in crate::report) fn picture(sheet: &Sheet) -> Picture {
    let scale = Scale::of(sheet);
    let number = i32::try_from(sheet.entries.len()).unwrap_or(0);
    let bottom = 12 + number * HIGH;
    let mut picture = Picture::new(WIDTH, bottom + 34);
    let mut at = scale.from;
    while at <= scale.to {
        let x = scale.x(at);
        picture.line((x, 12), (x, bottom + 5), Ink::Grid);
        picture.write((x, bottom + 20), Hold::Middle, Ink::Small, &figures(at));
        at += scale.by;
    }
    picture.line((LEFT, bottom), (RIGHT, bottom), Ink::Axis);
    let mut top = 12;
    for entry in &sheet.entries {
        equation(&mut picture, &scale, entry, top);
        top += HIGH;
    }
    picture
}

fn equation(picture: &mut Picture, scale: &Scale, entry: &Entry, top: i32) {
    picture.write((8, top + 16), Hold::Start, Ink::Label, &format!("{}.", capital(entry.words)));
    picture.write((LEFT, top + 33), Hold::Start, Ink::WeightyLabel, short(entry.verdict.as_str()));
    let letters: Vec<&str> = entry.letters.split(" = ").collect();
    for (nth, side) in entry.sides.into_iter().enumerate() {
        let y = top + HEAD + i32::try_from(nth).unwrap_or(0) * (BAR + 8);
        let name = letters.get(nth).copied().unwrap_or_default();
        picture.write((LEFT - 10, y + 13), Hold::End, Ink::Text, name);
        let by = entry.derived.get(nth).and_then(Option::as_ref);
        bar(picture, scale, side, by.is_some(), y);
        let value = match by {
            Some(by) => format!("{side} if {by}"),
            None => side.to_string(),
        };
        let (end, hold) = beside(scale, side, &value);
        picture.write((end, y + 13), hold, Ink::WeightyLabel, &value);
    }
}

/// What follows, without its reasons: they stand in the table.
fn short(verdict: &str) -> &str {
    verdict.split([':', ',']).next().unwrap_or(verdict)
}

/// Where the number of a bar is written: behind it, where the sheet has room.
fn beside(scale: &Scale, side: Interval, words: &str) -> (i32, Hold) {
    let end = side.most.map_or(RIGHT, |most| scale.x(most)) + MARK + 6;
    if end + width(words) <= WIDTH { (end, Hold::Start) } else { (WIDTH - 4, Hold::End) }
}

/// The bar of a side. One that follows only through other equations is hollow.
fn bar(picture: &mut Picture, scale: &Scale, side: Interval, derived: bool, y: i32) {
    if let Some(only) = side.only() {
        picture.draw(Drawn::Box(
            (scale.x(only) - MARK, y),
            (2 * MARK, BAR),
            0,
            if derived { Ink::Main } else { Ink::Area },
        ));
        return;
    }
    let from = side.least.map(|least| scale.x(least));
    let to = side.most.map(|most| scale.x(most));
    let (begin, end) = (from.unwrap_or(LEFT), to.unwrap_or(RIGHT));
    picture.draw(Drawn::Box(
        (begin, y),
        ((end - begin).max(2), BAR),
        0,
        if derived { Ink::Main } else { Ink::PartArea },
    ));
    let open = 70.min((end - begin) / 2).max(8);
    if from.is_none() {
        picture.draw(Drawn::Hatch((begin, y), (open, BAR), Ink::Unknown));
    }
    if to.is_none() {
        picture.draw(Drawn::Hatch((end - open, y), (open, BAR), Ink::Unknown));
    }
}

//! The pace of a day as a picture: votes by the half hour, and which half hours the log sees in part.

use crate::report::chart::day::{WIDTH, grid, hours, plane, unknown};
use crate::report::chart::{Day, HALF_HOUR};
use crate::report::picture::{Drawn, Hold, Ink, Picture};

/// A half hour: its begin, its votes, and whether something of it is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) struct HalfHour {
    pub(in crate::report) from: i64,
    pub(in crate::report) votes: i64,
    pub(in crate::report) is_part: bool,
}

/// The half hours from the first vote to the last.
pub(in crate::report) fn half_hours(day: &Day) -> Vec<HalfHour> {
    let (Some(first), Some(last)) = (day.votes.first(), day.votes.last()) else { return Vec::new() };
    let begin = |ms: i64| ms - ms.rem_euclid(HALF_HOUR);
    let mut list = Vec::new();
    let mut from = begin(*first);
    while from <= begin(*last) {
        let to = from + HALF_HOUR;
        let votes = day.votes.iter().filter(|ms| (from..to).contains(*ms)).count();
        let is_part = day.unknown.iter().any(|stretch| stretch.from < to && stretch.to > from);
        list.push(HalfHour { from, votes: i64::try_from(votes).unwrap_or(i64::MAX), is_part });
        from = to;
    }
    list
}

/// The picture.
pub(in crate::report) fn picture(day: &Day) -> Picture {
    let list = half_hours(day);
    let most = list.iter().map(|half_hour| half_hour.votes).max().unwrap_or(0);
    let plane = plane(day, most, 48, 228);
    let mut picture = Picture::new(WIDTH, 262);
    grid(&mut picture, &plane, "votes");
    unknown(&mut picture, &plane, day);
    hours(&mut picture, &plane, day);
    for half_hour in list {
        let (from, to) = (plane.x(half_hour.from) + 2, plane.x(half_hour.from + HALF_HOUR) - 2);
        let y = plane.y(half_hour.votes);
        let ink = if half_hour.is_part { Ink::PartArea } else { Ink::Area };
        picture.draw(Drawn::Box((from, y), ((to - from).max(2), plane.bottom - y), 0, ink));
        let at = (i32::midpoint(from, to), y - 5);
        picture.write(at, Hold::Middle, Ink::WeightyLabel, &half_hour.votes.to_string());
    }
    picture
}

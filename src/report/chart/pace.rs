//! The pace of a day as a picture: votes by the half hour, and which half hours the log sees in part.

use crate::report::chart::day::{WIDTH, grid, hours, plane, unknown};
use crate::report::chart::{Day, HALF_HOUR, Noted, Plane, width};
use crate::report::papers::turnout_number;
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
    let noted = rises(day);
    let most =
        list.iter().map(|half_hour| half_hour.votes).chain(noted.iter().map(Rise::above)).max().unwrap_or(0);
    let plane = plane(day, most, 84, 264);
    let mut picture = Picture::new(WIDTH, 298);
    grid(&mut picture, &plane, "votes", day.is_coarse);
    unknown(&mut picture, &plane, day);
    hours(&mut picture, &plane, day, 46);
    for half_hour in list {
        let (from, to) = (plane.x(half_hour.from) + 2, plane.x(half_hour.from + HALF_HOUR) - 2);
        let y = plane.y(half_hour.votes);
        let ink = if half_hour.is_part { Ink::PartArea } else { Ink::Area };
        picture.draw(Drawn::Box((from, y), ((to - from).max(2), plane.bottom - y), 0, ink));
        let at = (i32::midpoint(from, to), y - 5);
        picture.write(at, Hold::Middle, Ink::WeightyLabel, &half_hour.votes.to_string());
    }
    for rise in noted {
        let (from, to) = (plane.x(rise.from), plane.x(rise.to));
        let [low, high] = rise.heights(&plane);
        // One line for a number, two for the least and the most of an interval.
        let mut across = vec![low, high];
        across.dedup();
        for x in [from, to] {
            picture.line((x, high - 4), (x, low + 4), Ink::Axis);
        }
        for y in across {
            picture.line((from, y), (to, y), Ink::Stated);
        }
        let words = format!("noted: {}", rise.words());
        if width(&words) < to - from {
            // In a row of its own, above the numbers of the columns.
            picture.write((i32::midpoint(from, to), plane.top - 26), Hold::Middle, Ink::Label, &words);
        }
    }
    picture
}

/// What the noted turnout rose by from one note to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) struct Rise {
    pub(in crate::report) from: i64,
    pub(in crate::report) to: i64,
    pub(in crate::report) least: u64,
    pub(in crate::report) most: u64,
}

impl Rise {
    /// Its least and its most number, each spread evenly over the half hours between the two notes, as fractions of one
    /// denominator: nothing is rounded before it is drawn.
    fn spread(&self) -> ([i128; 2], i128) {
        let halves = |number: u64| i128::from(number) * i128::from(HALF_HOUR);
        ([halves(self.least), halves(self.most)], i128::from((self.to - self.from).max(1)))
    }

    /// Where both come to stand.
    fn heights(&self, plane: &Plane) -> [i32; 2] {
        let (ends, of) = self.spread();
        ends.map(|end| plane.y_of(end, of))
    }

    /// The least whole number that no part of it lies above.
    fn above(&self) -> i64 {
        let ([_, most], of) = self.spread();
        i64::try_from((most + of - 1) / of).unwrap_or(i64::MAX)
    }

    /// The number.
    pub(in crate::report) fn words(&self) -> String {
        turnout_number(self.least, self.most)
    }
}

/// The rises of a day, from the stated hour of opening to the first note, and from note to note.
pub(in crate::report) fn rises(day: &Day) -> Vec<Rise> {
    let opening = day.hours.iter().find(|(_, word)| word.starts_with("opens")).map(|(ms, _)| *ms);
    let opening = opening.map(|ms| Noted { ms, least: 0, most: 0 });
    let all: Vec<Noted> = opening.into_iter().chain(day.noted.iter().copied()).collect();
    let rise = |pair: &[Noted]| {
        let [earlier, later] = pair else { return None };
        let (least, most) = later.since(earlier)?;
        (later.ms > earlier.ms).then_some(Rise { from: earlier.ms, to: later.ms, least, most })
    };
    all.windows(2).filter_map(rise).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::chart::HOUR;

    #[test]
    fn what_was_noted_is_spread_over_its_half_hours() {
        let noted = |ms, least, most| Noted { ms, least, most };
        let day = Day {
            hours: vec![(7 * HOUR, "opens 07:00".to_owned()), (18 * HOUR, "closes 18:00".to_owned())],
            noted: vec![noted(9 * HOUR, 40, 40), noted(11 * HOUR, 90, 100), noted(12 * HOUR, 80, 80)],
            ..Day::default()
        };
        let rises = rises(&day);
        let told: Vec<(i64, String, i64)> =
            rises.iter().map(|rise| (rise.from / HOUR, rise.words(), rise.above())).collect();
        // 40 in four half hours; 50 to 60 in four, which is 12.5 to 15; a number that fell is no rise.
        assert_eq!(told, [(7, "40".to_owned(), 10), (9, "50 to 60".to_owned(), 15)]);
        // Of 200 pixels for 20 votes, a number has one height and an interval two, at its own ends and not at their middle.
        let plane =
            Plane { left: 0, right: 100, top: 0, bottom: 200, axis: (0, 24 * HOUR), least: 0, most: 20 };
        let heights: Vec<[i32; 2]> = rises.iter().map(|rise| rise.heights(&plane)).collect();
        assert_eq!(heights, [[100, 100], [75, 50]]);
        let across = |picture: Picture| -> Vec<(i64, i32)> {
            let lines = picture.marks.into_iter().filter_map(|mark| match mark {
                Drawn::Line(points, Ink::Stated) if points[0].1 == points[1].1 => Some(points),
                _ => None,
            });
            lines.map(|points| (i64::from(points[1].0 - points[0].0), points[0].1)).collect()
        };
        let day = Day { axis: (7 * HOUR, 18 * HOUR), votes: vec![8 * HOUR], ..day };
        assert_eq!(across(picture(&day)).len(), 3, "one line and two");
    }
}

//! Whether the votes on paper called those of the poll are displayed on the day on which the papers say it was held.

use super::{Sight, minute, value};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::{Draft, How, Spot};
use crate::rehearsal::unwritten::Unwritten;

const HOUR: i64 = 3_600_000;

/// From the midnight of a poll so long its votes may be displayed: to the noon behind its night.
const LONGEST: i64 = 36 * HOUR;

/// Where the papers say that there was no other day, votes that are displayed elsewhere are told.
pub(super) fn conclude(sight: &Sight<'_>, life: &Unwritten, key: &mut Draft) {
    let Some(midnight) = the_only_day(life) else { return };
    let displayed_elsewhere = |at: &usize| {
        sight.entry(*at).is_some_and(|entry| !(0..LONGEST).contains(&(entry.time.ms() - midnight)))
    };
    let votes = sight.of_phase(life, Phase::Poll, Event::Vote).into_iter().filter(displayed_elsewhere);
    let spots: Vec<Spot> = votes.filter_map(|at| sight.id(at)).map(Spot::Of).collect();
    if !spots.is_empty() {
        let because = "The papers know one day of the poll, and these votes are displayed on another.";
        key.find("poll-day-not-displayed", &[How::Conditional], &spots, &[], because);
    }
}

/// The midnight at which the day of the poll began, where the papers say that there was no other.
pub(in crate::rehearsal) fn the_only_day(life: &Unwritten) -> Option<i64> {
    let mut polls = life.papers.rows.iter().filter(|row| row.table == "poll");
    let (row, None) = (polls.next()?, polls.next()) else { return None };
    let says = row.keys.iter().any(|key| key.starts_with("only-day"));
    let date = row.keys.iter().find_map(|key| value(key, "date"))?;
    says.then(|| minute(&format!("{date} 00:00"))).flatten()
}

//! Periods of the papers: where a record lies by an interruption or a storage that the case file states.

use super::{Told, surely_after, surely_before};
use crate::clock::When;
use crate::clock::hours::{Hour, Lapse};
use crate::rules::Known;
use crate::rules::phases::said;

/// Where a record lies by one period: contrary inside it, in order outside.
pub(super) fn told(lapse: &Lapse, when: &When) -> Told {
    let early = lapse.from.is_some_and(|from| surely_before(when, from.earliest));
    let late = lapse.to.is_some_and(|to| surely_after(when, to.latest));
    let begun = lapse.from.is_some_and(|from| surely_after(when, from.latest));
    let not_ended = lapse.to.is_some_and(|to| surely_before(when, to.earliest));
    match (early || late, begun && not_ended) {
        (true, _) => Told::InOrder,
        (_, true) => Told::Contrary,
        _ => Told::Open,
    }
}

/// The ends of the periods, for the hours that a margin may hold.
pub(super) fn ends(lapses: &[Lapse]) -> Vec<Hour> {
    lapses.iter().flat_map(|lapse| [lapse.from, lapse.to]).flatten().collect()
}

/// A period in words, with who states it.
pub(super) fn premise(what: &str, lapse: &Lapse) -> String {
    format!("{what} lasted {}, give or take a minute at each end, {}", span(lapse), said(&lapse.basis))
}

/// From when to when a period lasted, as the paper writes it.
pub(super) fn span(lapse: &Lapse) -> String {
    let civil = |hour: Option<Hour>| {
        let at = hour.and_then(|hour| chrono::DateTime::from_timestamp_millis(hour.civil));
        at.map_or_else(|| "a time not stated".to_owned(), |at| at.format("%Y-%m-%d %H:%M").to_string())
    };
    format!("from {} to {}", civil(lapse.from), civil(lapse.to))
}

/// The minutes of the offset in which times are printed.
pub(super) fn offset(known: &Known<'_>) -> i32 {
    crate::clock::hours::offset_minutes(known.case)
}

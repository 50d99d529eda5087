//! What a key says of the hours and of the clock, reckoned from the injected truth and the papers: rule by rule, exactly.

use super::clock::{DAY, HOUR, MINUTE};
use super::injection::{Injection, OPEN};
pub(super) use super::truth::Ran;
use super::truth::{Bounds, Read, Side, Truth, midnight, minute_of, side};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::{Said, Spot};
use crate::rehearsal::memory::Id;
use crate::rehearsal::truth::day::the_only_day;

const HOURS: [&str; 9] = [
    "vote-before-opening",
    "vote-after-hour",
    "closed-early",
    "closed-late",
    "mock-poll-in-hours",
    "result-outside-count",
    "vote-in-interruption",
    "activity-in-storage",
    "vote-after-queue",
];

/// Minutes within which the papers of every life ask for the close.
const CLOSE_WITHIN: i64 = 30 * MINUTE;

/// How far a clock that was set right may be off, and how far one that shows another zone's time: what the catalogue of
/// slips takes as near.
const NEAR: i64 = 5 * MINUTE;
const NEAR_ZONE: i64 = 2 * MINUTE;

/// What an occasion of a rule is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Is {
    InOrder,
    Contrary,
    Open,
}

/// The bound that the papers of lives state unless a fault sets another.
pub(super) const PPM: i64 = 60;

/// A clock that ran through the whole log, right or off by one slip.
pub(super) fn throughout(slipped: bool) -> Ran<'static> {
    Ran {
        ppm: PPM,
        step_ms: 1000,
        steps: &[],
        slipped: if slipped { |_| true } else { |_| false },
        printed: Some,
    }
}

/// Rows on the hours and on what readings show of the clock, each with its one answer.
pub(super) fn reckon(i: &mut Injection, ran: Ran<'_>) -> Option<Truth> {
    let truth = Truth::of(i, ran)?;
    // Where lines cannot be read, or earlier ones are left out, something may always have gone unseen among them.
    let unread = i.entries().iter().any(|entry| (ran.printed)(entry.time.ms()).is_none());
    let kept: &[Said] =
        if unread || i.last.is_some() { &[Said::Kept, Said::CannotBeTold] } else { &[Said::Kept] };
    hours(i, &truth, ran, kept)?;
    if truth.readings.is_empty() && truth.unplaced == 0 {
        let none = "No reading of the clock is on paper.";
        for rule in ["readings-conflict", "clock-slip", "clock-rate"] {
            i.key.answer(rule, &[Said::CannotBeTold], none);
        }
    } else {
        conflicts(i, &truth);
        slips(i, &truth, ran.slipped);
    }
    i.key.answer(
        "clock-offset",
        &[Said::CannotBeTold],
        "The papers state no tolerance for the offset of the clock.",
    );
    Some(truth)
}

/// The day of a poll: its beginning, and its hours, in milliseconds of the civil calendar.
#[derive(Debug, Clone, Copy)]
struct Day {
    begins: i64,
    opens: i64,
    closes: i64,
}

/// Where a record lies by the day of the poll.
#[derive(Debug, Clone, Copy)]
struct Lies {
    by_begin: Side,
    by_end: Side,
    by_opening: Side,
    by_closing: Side,
    /// By the times in which the unit was stored.
    stored: Is,
    /// Whether the papers say that the poll was held on no other day, so that every record of it is of this one.
    alone: bool,
}

impl Lies {
    fn of(bounds: Bounds, day: Day, storage: &[(i64, i64)], alone: bool) -> Option<Lies> {
        Some(Lies {
            by_begin: side(bounds, day.begins)?,
            by_end: side(bounds, day.begins + DAY)?,
            by_opening: side(bounds, day.opens)?,
            by_closing: side(bounds, day.closes)?,
            stored: in_any(bounds, storage)?,
            alone,
        })
    }

    fn inside(self) -> bool {
        self.by_opening == Side::Behind && self.by_closing == Side::Before
    }

    /// What is said of a record of the poll, where it is surely of the day.
    fn of_the_day(self, is: Is) -> Is {
        if self.alone { is } else { self.on_the_day(is) }
    }

    /// What is said of a record that must surely lie on the day for anything to be said.
    fn on_the_day(self, is: Is) -> Is {
        if self.by_begin == Side::Behind && self.by_end == Side::Before { is } else { Is::Open }
    }

    fn before_opening(self) -> Is {
        self.of_the_day(match self.by_opening {
            Side::Behind => Is::InOrder,
            Side::Before => Is::Contrary,
            Side::Open => Is::Open,
        })
    }

    fn after_hour(self) -> Is {
        self.of_the_day(match self.by_closing {
            // On whichever side of the opening it lies: that is asked by another rule.
            Side::Before => Is::InOrder,
            Side::Behind => Is::Contrary,
            Side::Open => Is::Open,
        })
    }

    fn closed_early(self) -> Is {
        self.of_the_day(match self.by_closing {
            Side::Behind => Is::InOrder,
            Side::Before => Is::Contrary,
            Side::Open => Is::Open,
        })
    }

    fn mock(self) -> Is {
        // A poll may have been held on an earlier day that no paper states.
        if self.by_begin == Side::Before && self.alone {
            return Is::InOrder;
        }
        self.on_the_day(if self.by_opening == Side::Before {
            Is::InOrder
        } else if self.inside() {
            Is::Contrary
        } else {
            Is::Open
        })
    }

    /// Whether the unit was surely closed on the day, and took no vote since, so that it is the result of no other.
    fn result(self, closed: bool) -> Is {
        let on_the_day = self.by_begin == Side::Behind && self.by_end == Side::Before;
        let beyond = self.by_opening == Side::Before || self.by_closing == Side::Behind;
        let another = self.by_begin == Side::Before || self.by_end == Side::Behind;
        let of_it = on_the_day || self.alone || (closed && self.by_end == Side::Behind);
        let apart = (beyond || another) && of_it;
        if self.inside() || self.stored == Is::Contrary {
            Is::Contrary
        } else if apart && self.stored == Is::InOrder {
            Is::InOrder
        } else {
            Is::Open
        }
    }
}

/// The rules on hours.
fn hours(i: &mut Injection, truth: &Truth, ran: Ran<'_>, kept: &[Said]) -> Option<()> {
    let begins = midnight(i.entry(i.close_of_poll()?)?.moment);
    let day = Day { begins, opens: begins + 7 * HOUR, closes: begins + 18 * HOUR };
    let mut found: [Vec<(Id, Is)>; 9] = Default::default();
    let queue = queue_minutes(i).map(|minutes| day.closes + minutes * MINUTE);
    let mut released: Option<Bounds> = None;
    let (storage, interruptions) = (periods(i, "storage"), periods(i, "interruption"));
    let of = |phase: Phase| {
        let stretches = i.life.papers.phases.iter().filter(move |(of, ..)| *of == phase);
        stretches.flat_map(|(_, places, _)| places.clone()).collect::<Vec<usize>>()
    };
    let (poll, mock, count) = (of(Phase::Poll), of(Phase::MockPoll), of(Phase::Count));
    // Where no vote of the poll was surely recorded on the one day that is stated, the papers do not go together.
    let on_the_day = |at: &usize| {
        let is_vote = i.entry(*at).is_some_and(|entry| {
            entry.event == Event::Vote && (ran.printed)(entry.time.ms()).is_some() && *at >= i.first_held()
        });
        let lies = Lies::of(truth.record(*at), day, &storage, false).filter(|_| is_vote);
        lies.is_some_and(|lies| lies.on_the_day(Is::InOrder) == Is::InOrder)
    };
    let alone = the_only_day(&i.life).is_some() && poll.iter().any(on_the_day);
    let (mut last_vote, mut closed): (Option<Bounds>, Option<Bounds>) = (None, None);
    for (at, entry) in i.entries().iter().enumerate().skip(i.first_held()) {
        if (ran.printed)(entry.time.ms()).is_none() {
            continue;
        }
        let bounds = truth.record(at);
        let lies = Lies::of(bounds, day, &storage, alone)?;
        let mut said = vec![(7, lies.stored)];
        let of_poll = poll.contains(&at);
        match entry.event {
            Event::Enable | Event::Vote | Event::Clear => closed = None,
            Event::Close => closed = Some(bounds),
            _ => {}
        }
        match entry.event {
            Event::Enable => released = Some(bounds),
            Event::Vote if of_poll => {
                if let Some(ends) = queue {
                    let of_queue = beyond_the_queue(released.take(), bounds, ends)?;
                    said.push((8, lies.on_the_day(of_queue)));
                }
                let paused = in_any(bounds, &interruptions)?;
                said.extend([(0, lies.before_opening()), (1, lies.after_hour()), (6, paused)]);
                last_vote = Some(bounds);
            }
            Event::Close if of_poll => {
                let late = last_vote.map(|vote| closed_late(bounds, vote, day.closes));
                said.extend([(2, lies.closed_early()), (3, lies.of_the_day(late.unwrap_or(Is::Open)))]);
            }
            Event::Result if of_poll || count.contains(&at) => {
                let closed = closed.and_then(|close| Lies::of(close, day, &storage, false));
                let closed = closed.is_some_and(|close| close.on_the_day(Is::InOrder) == Is::InOrder);
                said.push((5, lies.result(closed)));
            }
            Event::Vote | Event::Close | Event::Result | Event::Clear if mock.contains(&at) => {
                said.push((4, lies.mock()));
            }
            _ => {}
        }
        for (rule, is) in said {
            found.iter_mut().skip(rule).take(1).for_each(|list| list.push((entry.id, is)));
        }
    }
    // Of a queue that no paper speaks of the key says nothing.
    let asked =
        HOURS.into_iter().zip(found).filter(|(rule, _)| *rule != "vote-after-queue" || queue.is_some());
    for (rule, occasions) in asked {
        let asks_storage = matches!(rule, "activity-in-storage" | "result-outside-count");
        if storage.is_empty() && asks_storage && occasions.iter().all(|(_, is)| *is != Is::Contrary) {
            i.key.answer(rule, &[Said::CannotBeTold], "No paper says when the unit was stored.");
        } else if rule == "vote-in-interruption" && interruptions.is_empty() {
            // Without a record of the poll it may not even be known that one was held.
            let said: &[Said] = if i.last.is_some() { OPEN } else { &[Said::DoesNotApply] };
            i.key.answer(rule, said, "The diary notes that the poll was not interrupted.");
        } else if rule == "closed-late" && occasions.iter().all(|(_, is)| *is == Is::Open) {
            let because =
                "The unit's own clock may tell how long it stood open behind the last vote; no reading does.";
            i.key.answer(rule, &[Said::Kept, Said::CannotBeTold], because);
        } else {
            conclude(i, rule, &occasions, kept);
        }
    }
    Some(())
}

/// Minutes of the queue after the closing hour, where a paper states them.
fn queue_minutes(i: &Injection) -> Option<i64> {
    let rows = i.life.papers.rows.iter().filter(|row| row.table == "setting");
    rows.flat_map(|row| &row.keys).find_map(|key| key.strip_prefix("queue-minutes = ")?.parse().ok())
}

/// Whether a voter was released beyond the end of the queue's minutes: by the enable, and where the log does not hold it, not
/// behind the vote.
fn beyond_the_queue(released: Option<Bounds>, (_, voted): Bounds, ends: i64) -> Option<Is> {
    Some(match side(released.unwrap_or((None, voted)), ends)? {
        Side::Before => Is::InOrder,
        Side::Behind => Is::Contrary,
        Side::Open => Is::Open,
    })
}

fn closed_late((early, late): Bounds, (from, to): Bounds, closes: i64) -> Is {
    let ns = |ms: i64| i128::from(ms) * 1_000_000;
    let (hour, allowed) = (ns(closes), ns(CLOSE_WITHIN));
    match (early, late, from.map(|at| at.max(hour)), to.map(|at| at.max(hour))) {
        (Some(early), _, _, Some(to)) if early > to + allowed => Is::Contrary,
        (_, Some(late), Some(from), _) if late <= from + allowed => Is::InOrder,
        _ => Is::Open,
    }
}

/// Where a record lies by all periods of a paper: contrary in any, in order outside all.
fn in_any(bounds: Bounds, periods: &[(i64, i64)]) -> Option<Is> {
    let each: Vec<Is> = periods.iter().map(|(from, to)| within(bounds, *from, *to)).collect::<Option<_>>()?;
    Some(if each.contains(&Is::Contrary) {
        Is::Contrary
    } else if each.iter().all(|is| *is == Is::InOrder) {
        Is::InOrder
    } else {
        Is::Open
    })
}

/// Where a record lies by a period of a paper, whose ends are each a minute wide either way.
fn within(bounds: Bounds, from: i64, to: i64) -> Option<Is> {
    let outside = side(bounds, from - MINUTE)? == Side::Before || side(bounds, to + MINUTE)? == Side::Behind;
    let inside = side(bounds, from + MINUTE)? == Side::Behind && side(bounds, to - MINUTE)? == Side::Before;
    Some(match (outside, inside) {
        (true, _) => Is::InOrder,
        (_, true) => Is::Contrary,
        _ => Is::Open,
    })
}

fn periods(i: &Injection, table: &str) -> Vec<(i64, i64)> {
    let rows = i.life.papers.rows.iter().filter(|row| row.table == table);
    rows.filter_map(|row| Some((minute_of(&row.keys, "from")?, minute_of(&row.keys, "to")?))).collect()
}

/// One answer for all occasions of a rule: contrary ones are one finding, at the first of them.
fn conclude(i: &mut Injection, rule: &'static str, occasions: &[(Id, Is)], kept: &[Said]) {
    let contrary: Vec<Spot> =
        occasions.iter().filter(|(_, is)| *is == Is::Contrary).map(|(id, _)| Spot::Of(*id)).collect();
    if let Some(first) = contrary.first() {
        let because =
            "By the readings, and the times reckoned from them, it lies on the other side of the hour.";
        i.key.find(rule, &[Conditional, Shown], &[*first], &[], because);
    } else if occasions.iter().any(|(_, is)| *is == Is::Open) {
        let because = "The readings leave both sides of an hour open for one of its records.";
        i.key.answer(rule, &[Said::CannotBeTold], because);
    } else {
        let because = "By the readings every record lies on the side that the rule asks for.";
        i.key.answer(rule, kept, because);
    }
}

fn conflicts(i: &mut Injection, truth: &Truth) {
    const RULE: &str = "readings-conflict";
    let first = truth.readings.iter().enumerate().find(|(place, _)| truth.is_doubted(*place));
    if let Some((_, read)) = first {
        let because = "Readings differ by more than the stated bound on the rate allows.";
        i.key.find(RULE, &[Conditional, Shown], &[Spot::Of(read.after)], &[], because);
    } else if truth.unplaced > 0 || truth.readings.iter().any(|read| read.piece.is_none()) {
        let because = "A reading was taken where the clock may have stepped before the next record.";
        i.key.answer(RULE, &[Said::CannotBeTold], because);
    } else {
        i.key.answer(RULE, &[Said::Kept], "All readings go together with the stated bound on the rate.");
    }
}

/// Slips are asked for each piece of the clock's running by itself.
fn slips(i: &mut Injection, truth: &Truth, slipped: fn(i64) -> bool) {
    const RULE: &str = "clock-slip";
    let mut pieces: Vec<(Option<usize>, Vec<&Read>)> = Vec::new();
    for read in &truth.readings {
        match pieces.iter_mut().find(|(piece, _)| piece.is_some() && *piece == read.piece) {
            Some((_, reads)) => reads.push(read),
            None => pieces.push((read.piece, vec![read])),
        }
    }
    let near = |reads: &[&Read], by: i64, near: i64| {
        reads.iter().all(|read| read.ahead.0 <= by + near && read.ahead.1 > by - near)
    };
    let quarter = 15 * MINUTE;
    let (mut open, mut found) = (truth.unplaced > 0, false);
    for (_, reads) in &pieces {
        let zone = |quarters: i64| {
            let named = matches!(quarters.abs(), 4 | 48);
            near(reads, quarters * quarter, if named { NEAR } else { NEAR_ZONE })
        };
        let fits = (1..=56).any(|quarters| zone(quarters) || zone(-quarters))
            || reads.iter().all(|read| slipped(read.ahead.0));
        match reads.first() {
            Some(first) if fits && !near(reads, 0, NEAR) => {
                let because = "A common slip explains the readings.";
                i.key.find(RULE, &[Conditional, Shown], &[Spot::Of(first.after)], &[], because);
                found = true;
            }
            _ => open |= !near(reads, 0, NEAR),
        }
    }
    if found {
        return;
    }
    if open {
        let because = "The display does not agree with the readings, and no common slip explains it.";
        i.key.answer(RULE, &[Said::CannotBeTold], because);
    } else {
        i.key.answer(RULE, &[Said::Kept], "The display agrees with the readings to within some minutes.");
    }
}

//! Turnouts noted beside the votes that the log holds, and how coarsely the clock ticks.

use std::collections::BTreeSet;

use super::bounds::{self, Bounds};
use super::{Sight, minute, value};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::{Draft, How, Said};
use crate::rehearsal::memory::Entry;
use crate::rehearsal::unwritten::Unwritten;

const MINUTE: i64 = 60_000;
const DAY: i64 = 24 * 60 * MINUTE;

/// A turnout that is fewer than the votes surely made by then, or more than those that may have been.
pub(super) fn turnout(sight: &Sight<'_>, life: &Unwritten, bounds: &Bounds, key: &mut Draft) {
    let of_poll: BTreeSet<usize> = sight.of_phase(life, Phase::Poll, Event::Vote).into_iter().collect();
    let events = [Event::Vote, Event::Enable, Event::Close];
    let of_the_poll: BTreeSet<usize> =
        events.into_iter().flat_map(|event| sight.of_phase(life, Phase::Poll, event)).collect();
    let tests: i64 =
        life.papers.counts.iter().filter(|noted| noted.of == "test-votes").map(|noted| noted.most).sum();
    for row in life.papers.rows.iter().filter(|row| row.table == "turnout") {
        let of = |word: &str| row.keys.iter().find_map(|text| value(text, word));
        let (Some(at), Some(noted)) =
            (of("at").and_then(minute), of("value").and_then(|n| n.parse::<i64>().ok()))
        else {
            continue;
        };
        let within = of("within-seconds").and_then(|n| n.parse::<i64>().ok()).unwrap_or(0) * 1000;
        let (from, to) = (at - within, at + within + MINUTE);
        // The memory that was counted: from the last clear before that time on.
        let is_clear = |at: &usize| {
            let cleared = sight.entry(*at).filter(|entry| entry.event == Event::Clear);
            cleared.is_some_and(|entry| entry.moment < from)
        };
        let begin = (0..sight.held.len()).rev().find(is_clear).map_or(0, |cleared| cleared + 1);
        let cycle = (begin..sight.held.len())
            .take_while(|at| sight.entry(*at).is_some_and(|entry| entry.event != Event::Clear));
        // Records of another poll, or of none, say nothing of this one.
        let of_this = |at: usize| {
            of_the_poll.contains(&at)
                && sight.entry(at).is_some_and(|entry| entry.moment.div_euclid(DAY) == to.div_euclid(DAY))
        };
        if !cycle.clone().any(of_this) {
            continue;
        }
        // Behind a clear nothing was in memory; else the first number shown tells how much, less the votes before it.
        let before = if begin > 0 || sight.from_the_first {
            Some(0)
        } else {
            let mut voted = 0;
            cycle.clone().filter_map(|at| sight.entry(at)).find_map(|entry| {
                voted += i64::from(entry.event == Event::Vote);
                Some(shown(entry)? - voted)
            })
        };
        let votes: Vec<usize> = cycle
            .clone()
            .filter(|at| sight.entry(*at).is_some_and(|entry| entry.event == Event::Vote))
            .collect();
        let doubtful = |at: usize| {
            let unknown = |held: &super::Held<'_>| {
                held.behind_a_hole
                    || held.entry.event == Event::Unknown
                    || sight.disputed.contains(&held.entry.id)
            };
            sight.held.get(at).is_some_and(unknown)
        };
        // A log that ends before that time, with the poll still open, does not hold all that was recorded by then.
        let ends = |at: usize| {
            bounds.at(at).earliest.is_some_and(|begin| begin > to)
                || sight.entry(at).is_some_and(|entry| entry.event == Event::Close)
        };
        let whole = !cycle.clone().any(doubtful)
            && (sight.closed || cycle.clone().any(ends) || begin + cycle.clone().count() < sight.held.len());
        let surely =
            |at: &&usize| of_poll.contains(*at) && bounds.at(**at).latest.is_some_and(|end| end < from);
        let perhaps = |at: &&usize| bounds.at(**at).earliest.is_none_or(|begin| begin <= to);
        let least = i64::try_from(votes.iter().filter(surely).count()).unwrap_or(0) - tests;
        let most = i64::try_from(votes.iter().filter(perhaps).count()).unwrap_or(0);
        let most = before.filter(|_| whole).map(|before| before + most);
        if noted < least || most.is_some_and(|most| noted > most) {
            let because = format!(
                "A turnout of {noted} was noted. By the readings {least} votes at least were recorded by then{}.",
                most.map_or_else(String::new, |most| format!(", and {most} at most"))
            );
            let how = [How::Conditional, How::Shown];
            key.find("turnout-differs", &how, &[], &[], &because);
        }
    }
}

/// The number of votes that a record shows.
fn shown(entry: &Entry) -> Option<i64> {
    let shows = matches!(entry.event, Event::Total | Event::Close | Event::Result);
    let number = entry.attributes.iter().find(|(key, _)| shows && matches!(*key, "shown" | "total"));
    number?.1.parse().ok()
}

/// Enables of the poll that no vote followed, against the voters that the papers note as having left after theirs.
pub(super) fn lapses(sight: &Sight<'_>, life: &Unwritten, key: &mut Draft) {
    let noted: Vec<i64> = life
        .papers
        .counts
        .iter()
        .filter(|noted| noted.of == "left-after-enable")
        .map(|noted| noted.least)
        .collect();
    let polls = life.papers.phases.iter().filter(|(of, ..)| *of == Phase::Poll).count();
    let ([noted], 1) = (noted.as_slice(), polls) else { return };
    let ends = [Event::Enable, Event::Vote, Event::Close, Event::Clear];
    let enables = sight.of_phase(life, Phase::Poll, Event::Enable);
    let mut lapsed = 0;
    for enable in enables {
        // The next record that ends it, unless something unseen may have done so before.
        for held in sight.held.iter().skip(enable + 1) {
            if held.behind_a_hole
                || held.entry.event == Event::Unknown
                || sight.disputed.contains(&held.entry.id)
            {
                break;
            }
            if ends.contains(&held.entry.event) {
                lapsed += i64::from(held.entry.event != Event::Vote);
                break;
            }
        }
    }
    if lapsed > *noted {
        let because = format!(
            "{lapsed} enables of the poll were followed by no vote, and the papers note {noted} voters who left after theirs."
        );
        key.find("lapses-differ", &[How::Conditional, How::Shown], &[], &[], &because);
    }
}

/// Lengths between times, and different ones among them, of which a coarse step may be told: fewer may be so by chance.
const ENOUGH: (usize, usize) = (20, 2);

/// A display that goes on by ten seconds or a minute, where the log holds enough times to show it.
pub(super) fn coarse(sight: &Sight<'_>, key: &mut Draft) {
    const RULE: &str = "coarse-clock";
    if bounds::grain(sight) < 10_000 {
        return;
    }
    // What lies across a switching off, or a place where the clock may have been set, is no length of it.
    let apart = |event: Event, before: bool| match event {
        Event::PowerOn => before,
        Event::PowerOff => !before,
        Event::ClockSet | Event::BatteryChanged | Event::Fault | Event::Unknown => true,
        _ => false,
    };
    let pairs = sight.held.iter().zip(sight.held.iter().skip(1));
    let of_one_run = pairs.filter(|(one, next)| {
        !apart(one.entry.event, false) && !apart(next.entry.event, true) && !next.behind_a_hole
    });
    let lengths: Vec<i64> = of_one_run
        .map(|(one, next)| next.entry.time.ms() - one.entry.time.ms())
        .filter(|length| *length > 0)
        .collect();
    let kinds: BTreeSet<i64> = lengths.iter().copied().collect();
    if lengths.len() >= ENOUGH.0 && kinds.len() >= ENOUGH.1 {
        let how = [How::Shown, How::Conditional];
        key.find(RULE, &how, &[], &[], "The display shows steps of ten seconds or of a minute.");
    } else {
        let because = "The display shows coarse steps, in a log with too few times to say so.";
        key.answer(RULE, &[Said::CannotBeTold, Said::DoesNotApply], because);
    }
}

/// Counts of the last digits of displayed seconds.
type Digits = [i64; 10];

/// Fewer tell nothing.
const LEAST: i64 = 100;

/// Thousandths of the chi-square distribution with 9 degrees of freedom that 1 in 10,000 and 1 in 100 exceed (NIST/SEMATECH
/// e-Handbook of Statistical Methods, 1.3.6.7.4, table of upper critical values, for the second; the first from memory).
const VERY_UNEVEN: i64 = 33_720;
const UNEVEN: i64 = 21_666;

/// So near to either, nothing is asked.
const MARGIN: i64 = 60;

/// Votes whose last digits are far from even, where those of the other records are not.
pub(super) fn digits(sight: &Sight<'_>, key: &mut Draft) {
    const RULE: &str = "last-digit-uneven";
    if bounds::grain(sight) >= 10_000 {
        return;
    }
    let clears =
        (0..sight.held.len()).filter(|at| sight.entry(*at).is_some_and(|entry| entry.event == Event::Clear));
    let ends: Vec<usize> = clears.chain(sight.held.len().checked_sub(1)).collect();
    let mut from = 0;
    for end in ends {
        let of = |vote: bool| {
            let mut digits: Digits = [0; 10];
            for held in sight.held.get(from..=end).unwrap_or_default() {
                let digit =
                    usize::try_from(held.entry.time.ms().div_euclid(1000).rem_euclid(10)).unwrap_or(0);
                if (held.entry.event == Event::Vote) == vote
                    && let Some(number) = digits.get_mut(digit)
                {
                    *number += 1;
                }
            }
            digits
        };
        let (votes, others) = (of(true), of(false));
        from = end + 1;
        if votes.iter().sum::<i64>() < LEAST || statistic(&votes) < VERY_UNEVEN - MARGIN {
            continue;
        }
        if others.iter().sum::<i64>() < LEAST || statistic(&others) > UNEVEN + MARGIN {
            let because = "The last digits of other records are uneven as well, by chance or by the clock.";
            key.answer(RULE, &[Said::CannotBeTold, Said::DoesNotApply], because);
        } else if (statistic(&votes) - VERY_UNEVEN).abs() < MARGIN
            || (statistic(&others) - UNEVEN).abs() < MARGIN
        {
            key.free(RULE, "The digits lie at the very bound beyond which they are called uneven.");
        } else {
            key.find(
                RULE,
                &[How::Conditional, How::Shown],
                &[],
                &[],
                "Far more votes than a tenth end in one digit.",
            );
        }
    }
}

/// Pearson's statistic against an even spread, in thousandths.
fn statistic(digits: &Digits) -> i64 {
    let number: i64 = digits.iter().sum();
    let squares: i64 = digits.iter().map(|count| count * count).sum();
    (1000 * (10 * squares - number * number)).checked_div(number).unwrap_or(0)
}

//! Last digits of the displayed seconds of votes that are spread unevenly, while those of other records are not.

use super::{MAKER, SECOND_EXPORT, SPECIMEN, coarse, name, place};
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::pace::digits::{self, Digits, LEAST};
use crate::pace::duration;
use crate::pace::spread::Spread;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};
use crate::syntax::Stamp;

/// The level at which votes count as uneven: so large a share of clean days would do so by chance.
const LEVEL: f64 = 1e-4;

/// The level at which other records count as uneven too: less is asked, for it speaks in favour of the record.
const LEVEL_OF_OTHERS: f64 = 0.01;

/// Half of the intervals within less than this: a constant cycle, which makes digits uneven by itself.
const CONSTANT_MS: i64 = 5000;

/// Votes in a part of the poll that is looked at for a constant cycle.
const PART: usize = 100;

pub(crate) static RULE: Rule = Rule {
    id: "last-digit-uneven",
    family: Family::Pace,
    kind: Kind::Shown,
    weight: Weight::Unusual,
    title: "Votes end on some last digits of the second far more often than on others; other records do not.",
    asks: "In this file, votes do not end on some last digits of the displayed second far more often than on others.",
    basis: &[Basis::Practice(
        "nobody votes by the last digit of the second, so that the ten digits come about equally often",
    )],
    why: "Over many votes each last digit of the second, 0 to 9, comes about equally often, however the rate changes \
          through the day. With at least 100 votes between two clears the ten counts are compared with equal ones \
          (chi-square), and the rule speaks only where chance alone makes counts so unequal once in 10,000 times or less. A \
          constant cycle of work makes some digits commoner by itself, and so does a clock that ticks in steps; where \
          either may be, the rule does not speak. In 10,000 clean days of this project's generator no day was called \
          uneven. Tests of the rate itself are not used: on such days, where one in a thousand was meant, the largest gap \
          called up to 80% unusual, dispersion up to 100%.",
    ordinary: &[
        Ordinary::new(
            "The unit, or a program behind it, rounds the times of votes and not those of other events.",
            "the maker's description, and a trial on a unit of the same model",
        ),
        Ordinary::new(
            "The votes were given to a beat, as in a test by a list of times.",
            "the papers of tests and training, and what the case file says these records were",
        ),
        Ordinary::new(
            "Chance: among 10,000 clean logs about one is called uneven.",
            "a second unit of the same station, and how this unit was chosen for examination",
        ),
    ],
    look_next: &[SPECIMEN, SECOND_EXPORT, "How the unit was chosen for examination, and from how many."],
    needs: &[Needs::Times],
    scope: Scope::Text,
    occasions: "stretches between clears with 100 votes or more",
    examples: &[
        Example {
            title: "Of 120 votes every fourth stands on a full ten seconds; the enables do not.",
            log: ROUNDED.text(),
            case: "",
        },
        Example {
            title: "Near miss: the same pace, and no digit is preferred.",
            log: PLAIN.text(),
            case: "",
        },
        Example {
            title: "Near miss: too few votes for such a comparison.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:30 vote\n\
                  1203 2031-05-10 07:00:44 enable\n\
                  1204 2031-05-10 07:01:00 vote\n",
            case: "",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    if let Some(want) = coarse(known) {
        walk.open(Place::Log, want);
        return;
    }
    let ticks = known.timeline().ticks();
    let mut some = false;
    for cycle in &known.replay.cycles {
        let first = ticks.partition_point(|tick| tick.step < cycle.steps.start);
        let last = ticks.partition_point(|tick| tick.step < cycle.steps.end);
        some |= one(known, walk, first..last);
    }
    if !some {
        walk.does_not_apply("fewer than 100 votes with a displayed time stand between any two clears");
    }
}

/// Looks at one stretch between clears; says whether it holds enough votes.
fn one(known: &Known<'_>, walk: &mut Walk<'_>, stretch: std::ops::Range<usize>) -> bool {
    let timeline = known.timeline();
    let ticks = timeline.ticks().get(stretch.clone()).unwrap_or_default();
    let times = |vote: bool| {
        ticks
            .iter()
            .filter(move |tick| (tick.event == Event::Vote) == vote)
            .filter_map(|tick| tick.time.filter(|time| time.shows_seconds()))
            .map(Stamp::ms)
    };
    let of_votes = digits::count(times(true));
    if digits::number(&of_votes) < LEAST {
        return false;
    }
    let votes: Vec<usize> = stretch
        .filter(|at| timeline.ticks().get(*at).is_some_and(|tick| tick.event == Event::Vote))
        .collect();
    let (Some(begin), Some(end)) = (votes.first().copied(), votes.last().copied()) else {
        return false;
    };
    if digits::share_above(digits::statistic(&of_votes)) >= LEVEL {
        walk.in_order(place(known, begin));
        return true;
    }
    let of_others = digits::count(times(false));
    if let Some(want) = doubt(known, &votes, &of_others) {
        walk.open(place(known, begin), want);
    } else {
        walk.contrary(place(known, begin), contrary(known, (begin, end), &of_votes, &of_others));
    }
    true
}

/// Why uneven digits may have their ground in the pace or the clock; `None` where neither shows.
fn doubt(known: &Known<'_>, votes: &[usize], of_others: &Digits) -> Option<Want> {
    let timeline = known.timeline();
    let lengths: Vec<i64> = votes
        .iter()
        .zip(votes.iter().skip(1))
        .filter_map(|(from, to)| timeline.between(*from, *to))
        .collect();
    let parts = lengths.chunks(PART).filter(|part| part.len() * 2 >= PART);
    let spread = parts.chain([lengths.as_slice()]).filter_map(Spread::of).map(|s| s.middle_half()).min();
    if spread.is_none_or(|spread| spread < CONSTANT_MS) {
        return Some(Want::Other(
            format!(
                "a constant cycle: half of the intervals between votes, in the whole or in a part, lie within {}, and that \
                 spreads digits unevenly by itself",
                duration(spread.unwrap_or_default())
            ),
            "presiding officer of the station",
            "how the queue was served, and whether it was long all day".to_owned(),
        ));
    }
    if digits::number(of_others) < LEAST {
        return Some(Want::Other(
            "fewer than 100 other records stand beside the votes, so that a clock that ticks unevenly cannot be told apart"
                .to_owned(),
            MAKER,
            "how the clock of this model ticks, and which records it keeps beside votes".to_owned(),
        ));
    }
    if digits::share_above(digits::statistic(of_others)) < LEVEL_OF_OTHERS {
        return Some(Want::Other(
            "the digits of other records are uneven as well, as a clock that ticks in steps or unevenly makes them".to_owned(),
            MAKER,
            "how the clock of this model ticks, and whether the export rounds its times".to_owned(),
        ));
    }
    None
}

fn contrary(
    known: &Known<'_>,
    (begin, end): (usize, usize),
    of_votes: &Digits,
    of_others: &Digits,
) -> Contrary {
    let listed = |digits: &Digits| digits.iter().map(u64::to_string).collect::<Vec<_>>().join(" ");
    let number = digits::number(of_votes);
    Contrary {
        others: vec![place(known, end)],
        expected: "The ten last digits of the seconds of votes come about equally often.".to_owned(),
        shows: format!(
            "Of the {number} votes from {} to {}, these numbers end in the digits 0 to 9: {}. Of {} other records: {}.",
            name(known, begin),
            name(known, end),
            listed(of_votes),
            digits::number(of_others),
            listed(of_others)
        ),
        measured: Some(format!(
            "chi-square over ten digits {} for the votes; an even spread gives more than 33.72 in 1 of 10,000 cases",
            tenths(digits::scaled_statistic(of_votes), number)
        )),
        assumptions: Vec::new(),
    }
}

/// A fraction to one place behind the point, cut and not rounded.
fn tenths(above: u64, below: u64) -> String {
    let tenths = (above * 10).checked_div(below).unwrap_or(0);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// 120 enables and votes in unequal intervals, with a mark under the first vote where every fourth is rounded.
struct Day<const LENGTH: usize>([u8; LENGTH]);

const VOTERS: usize = 120;
const LINE: usize = b"1201 2031-05-10 07:00:00 enable\n".len() + b"1202 2031-05-10 07:00:00 vote\n".len();
const MARK: &[u8] = b"^ last-digit-uneven\n";

static PLAIN: Day<{ VOTERS * LINE }> = Day::write(false);
static ROUNDED: Day<{ VOTERS * LINE + MARK.len() }> = Day::write(true);

#[allow(clippy::indexing_slicing, reason = "worked out by the compiler, which refuses a wrong place")]
impl<const LENGTH: usize> Day<LENGTH> {
    const fn write(rounded: bool) -> Day<LENGTH> {
        let mut day = Day([b' '; LENGTH]);
        let (mut at, mut voter) = (0, 0);
        let mut second = 7 * 3600;
        while voter < VOTERS {
            // Unequal times from a fixed sequence: multiples of 37 and 53, each cut at a span.
            second += 9 + voter * 37 % 31;
            at = day.line(at, 1201 + 2 * voter, second, b"enable\n");
            second += 11 + voter * 53 % 29;
            if rounded && voter % 4 == 0 {
                second -= second % 10;
            }
            at = day.line(at, 1202 + 2 * voter, second, b"vote\n");
            if rounded && voter == 0 {
                at = day.put(at, MARK);
            }
            voter += 1;
        }
        day
    }

    const fn line(&mut self, at: usize, number: usize, second: usize, word: &[u8]) -> usize {
        let mut at = self.number(at, number, 1000);
        at = self.put(at, b" 2031-05-10 ");
        at = self.number(at, second / 3600, 10);
        at = self.put(at, b":");
        at = self.number(at, second / 60 % 60, 10);
        at = self.put(at, b":");
        at = self.number(at, second % 60, 10);
        at = self.put(at, b" ");
        self.put(at, word)
    }

    const fn number(&mut self, mut at: usize, number: usize, mut unit: usize) -> usize {
        const DIGITS: &[u8] = b"0123456789";
        while unit > 0 {
            self.0[at] = DIGITS[number / unit % 10];
            at += 1;
            unit /= 10;
        }
        at
    }

    const fn put(&mut self, at: usize, text: &[u8]) -> usize {
        let mut place = 0;
        while place < text.len() {
            self.0[at + place] = text[place];
            place += 1;
        }
        at + place
    }

    const fn text(&self) -> &str {
        match std::str::from_utf8(&self.0) {
            Ok(text) => text,
            Err(_) => "",
        }
    }
}

//! A vote of the poll that lies surely after the closing hour, before the close.

use super::{
    READING_WRONG, Told, after, before, between, beyond, clock_premises, hours_premise, inside, rest, said,
    votes_by_day,
};
use crate::case::{CountOf, Phase, SettingOf};
use crate::clock::When;
use crate::clock::hours::Day;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

pub(crate) static RULE: Rule = Rule {
    id: "vote-after-hour",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "Votes of the poll lie after the closing hour and before the close.",
    asks: "By the readings of the unit's clock, the votes of the poll lie within its hours.",
    basis: &[Basis::Practice(
        "at the closing hour those who wait in the queue still vote, often by numbered tokens given out from its tail",
    )],
    why: "A vote after the hour is not irregular by itself: whoever stood in the queue at the hour may usually vote. How \
          many there were can be held against the tokens and the diary. Whether a record lies after the hour can only be \
          said through readings of the unit's clock.",
    ordinary: &[
        Ordinary::new(
            "Voters who waited in the queue at the closing hour were allowed to vote.",
            "the number of tokens given out at the hour, the diary, the agents who were present",
        ),
        READING_WRONG,
        Ordinary::new(
            "The hour was lawfully extended at this station.",
            "the order of extension, and the diary",
        ),
    ],
    look_next: &[
        "The presiding officer's diary: how many waited at the hour, how many tokens were given, when the last one voted.",
        "The local rule on those who wait at the closing hour.",
    ],
    needs: &[Needs::PollLabel, Needs::ClosingHour],
    scope: Scope::Poll,
    occasions: "votes of the poll",
    examples: &[
        Example {
            title: "Readings put the last two votes after six; they may be those of the queue.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:01:05 enable\n\
                  1204 2031-05-10 18:01:31 vote\n\
                  ^ vote-after-hour\n\
                  1205 2031-05-10 18:01:45 enable\n\
                  1206 2031-05-10 18:02:00 vote\n\
                  1207 2031-05-10 18:02:40 close\n",
            case: super::examples::QUEUE,
        },
        Example {
            title: "Near miss: displayed at 18:01:31 by a clock that was five minutes fast.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:01:05 enable\n\
                  1204 2031-05-10 18:01:31 vote\n\
                  1205 2031-05-10 18:08:40 close\n",
            case: super::examples::FAST,
        },
        Example {
            title: "Near miss: three seconds after the hour by the display, and the readings are good to five. It stays open.",
            log: "1201 2031-05-10 17:59:40 enable\n\
                  1202 2031-05-10 18:00:03 vote\n\
                  1203 2031-05-10 18:02:40 close\n",
            case: super::examples::AT_THE_HOUR,
        },
    ],
    walk,
};

/// In order inside the hours, and before the first of them, of which another rule speaks; contrary outside all hours of
/// the day, and not before all of them.
fn told(day: &Day, when: &When) -> Told {
    let parts = &day.parts;
    if parts.iter().any(|part| inside_or_unopened(part, when)) || parts.iter().all(|part| before(part, when))
    {
        Told::InOrder
    } else if parts.iter().all(|part| before(part, when) || after(part, when))
        && parts.iter().any(|p| after(p, when))
    {
        Told::Contrary
    } else {
        Told::Open
    }
}

/// Inside a part; where only its closing hour is stated, or for the first of a day, anything up to that hour.
fn inside_or_unopened(part: &crate::clock::hours::Part, when: &When) -> bool {
    let until = part.closes.is_some_and(|hour| super::surely_until(when, hour.earliest));
    inside(part, when) || (part.opens.is_none() && until)
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    votes_by_day(known, walk, told, |part| part.closes, "votes of the poll and its closing hour", finding);
}

fn finding(known: &Known<'_>, day: &Day, steps: &[usize]) -> Contrary {
    let (first, last) =
        (steps.first().copied().unwrap_or_default(), steps.last().copied().unwrap_or_default());
    let closes = day.parts.iter().filter_map(|part| part.closes).max_by_key(|hour| hour.latest);
    let spoken = match steps.len() {
        1 => format!(
            "{} is a vote of the poll. By the readings it was recorded {}.",
            known.name(first),
            between(known, first, day.offset_minutes)
        ),
        number => format!(
            "{number} votes of the poll lie after the closing hour by the readings. The first is {}, recorded {}. The \
             last is {}, recorded {}.",
            known.name(first),
            between(known, first, day.offset_minutes),
            known.name(last),
            between(known, last, day.offset_minutes)
        ),
    };
    Contrary {
        others: rest(known, steps),
        expected: "The votes of the poll lie within its hours, those of the queue excepted.".to_owned(),
        shows: format!("{spoken} This is not irregular by itself.{}", queue(known, steps.len())),
        measured: closes.map(|hour| {
            let of = |step| beyond(known, step, &hour, true);
            if steps.len() == 1 {
                of(first)
            } else {
                format!("the first {}; the last {}", of(first), of(last))
            }
        }),
        assumptions: known
            .label_premise(first, Phase::Poll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(clock_premises(known, &[first, last]))
            .collect(),
    }
}

/// What the papers say of those who waited; it is printed and decides nothing.
fn queue(known: &Known<'_>, votes: usize) -> String {
    let mut text = String::new();
    if let Some(minutes) = known.case.settings.number(SettingOf::QueueMinutes) {
        text.push_str(&format!(
            " The queue may vote for {} minutes after the hour, {}.",
            minutes.value.1,
            said(&minutes.basis)
        ));
    }
    for tokens in known.case.counts.iter().filter(|count| count.value.what == CountOf::Tokens) {
        let number = if tokens.value.least == tokens.value.most {
            tokens.value.least.to_string()
        } else {
            format!("{} to {}", tokens.value.least, tokens.value.most)
        };
        text.push_str(&format!(
            " Tokens given out at the hour: {number}, {}; votes seen here: {votes}.",
            said(&tokens.basis)
        ));
    }
    if text.is_empty() {
        text.push_str(
            " The case file states neither tokens given out at the hour nor how long the queue may vote.",
        );
    }
    text
}

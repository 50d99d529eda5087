//! A vote of the poll that lies surely after the closing hour, before the close.

use super::{
    ByDay, READING_WRONG, Told, after, before, between, beyond, clock_premises, ends_of, hours_premise,
    inside, rest, said, surely_after, surely_until, vote_after_queue,
};
use crate::case::{CountOf, Phase, SettingOf};
use crate::clock::When;
use crate::clock::hours::{Day, Hour, Part, days};
use crate::counts::counted;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk};

/// What a vote behind an hour may be besides one of those who waited.
pub(super) const NEXT_PART: Ordinary = Ordinary::new(
    "The voter was let vote for the next part of the poll, or for the poll of the next day, before its opening hour.",
    "the notice of poll with every day and part, and the diary: when voting began again",
);

pub(crate) static RULE: Rule = Rule {
    id: "vote-after-hour",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "Votes of the poll lie after the closing hour.",
    asks: "By the readings of the unit's clock, the votes of the poll lie within its hours.",
    basis: &[Basis::Practice(
        "at the closing hour those who wait in the queue still vote, often by numbered tokens given out from its tail",
    )],
    why: "A vote after the hour is not irregular by itself: whoever stood in the queue at the hour may usually vote. How \
          many there were can be held against the tokens and the diary. Whether a record lies after the hour can only be \
          said through readings of the unit's clock. A vote that may lie on a day for which the case file states no poll \
          stays open, for the poll may have been adjourned to it; unless the case file says that it was held on no other day.",
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
        NEXT_PART,
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

/// In order inside the hours, and up to every closing hour of the day: a vote before the opening is another rule's. Contrary
/// outside all hours of the day, and not before all of them.
pub(super) fn told(day: &Day, when: &When) -> Told {
    let parts = &day.parts;
    if parts.iter().any(|part| inside_or_unopened(part, when))
        || parts.iter().all(|part| not_after(part, when))
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
fn inside_or_unopened(part: &Part, when: &When) -> bool {
    let until = part.closes.is_some_and(|hour| surely_until(when, hour.earliest));
    inside(part, when) || (part.opens.is_none() && until)
}

/// Up to the closing hour of a part, on whichever side of its opening.
fn not_after(part: &Part, when: &When) -> bool {
    before(part, when) || part.closes.is_some_and(|hour| surely_until(when, hour.earliest))
}

/// The hours between which it is decided: every closing hour, and where a day has parts also the openings behind one.
pub(super) fn turning(day: &Day) -> Vec<Hour> {
    let closes: Vec<Hour> = day.parts.iter().filter_map(|part| part.closes).collect();
    let opens = day.parts.iter().filter_map(|part| part.opens);
    let later = opens.filter(|hour| closes.iter().any(|close| close.earliest <= hour.latest));
    later.chain(closes.iter().copied()).collect()
}

/// The last closing hour of a day behind which a record surely lies.
pub(super) fn passed(day: &Day, when: &When) -> Option<Hour> {
    let closes = day.parts.iter().filter_map(|part| part.closes);
    closes.filter(|hour| surely_after(when, hour.latest)).max_by_key(|hour| hour.latest)
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let what = "votes of the poll and its closing hour";
    let told = |known: &Known<'_>, day: &Day, step| told(day, &known.clock.bounds(step));
    ByDay { days: &days(known.case), told, decides: |_, vote| Some(vote), hours: turning, what, finding }
        .walk(known, walk);
}

fn finding(known: &Known<'_>, day: &Day, steps: &[usize]) -> Contrary {
    let (first, last) =
        (steps.first().copied().unwrap_or_default(), steps.last().copied().unwrap_or_default());
    let closes = |step| passed(day, &known.clock.bounds(step));
    let spoken = match steps.len() {
        1 => format!(
            "{} is a vote of the poll. By the readings it was recorded {}.",
            known.name(first),
            between(known, first)
        ),
        number => format!(
            "{number} votes of the poll lie after the closing hour by the readings. The first is {}, recorded {}. The \
             last is {}, recorded {}.",
            known.name(first),
            between(known, first),
            known.name(last),
            between(known, last)
        ),
    };
    Contrary {
        others: rest(known, steps),
        expected: "The votes of the poll lie within its hours, those of the queue excepted.".to_owned(),
        shows: format!("{spoken}{}", queue(known, day, steps)),
        measured: closes(first).zip(closes(last)).map(|(hour, hour_of_last)| {
            let (first_of, last_of) =
                (beyond(known, first, &hour, true), beyond(known, last, &hour_of_last, true));
            if steps.len() == 1 { first_of } else { format!("the first {first_of}; the last {last_of}") }
        }),
        assumptions: known
            .label_premises(steps, Phase::Poll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(clock_premises(known, &ends_of(steps)))
            .collect(),
    }
}

/// What the papers say of those who waited. Here it decides nothing: whether votes lie beyond the minutes that are stated for
/// them is asked by a rule of its own, and whether they are more than the tokens by another.
fn queue(known: &Known<'_>, day: &Day, steps: &[usize]) -> String {
    let mut text = String::new();
    let minutes = known.case.settings.number(SettingOf::QueueMinutes);
    let released = vote_after_queue::told_with(known, day, steps);
    let late = released.iter().filter(|told| **told == Told::Contrary).count();
    text.push_str(match (late, minutes) {
        (0, Some(_)) => " This is not irregular by itself.",
        (0, None) => " Those who waited at the hour may vote after it; how long is for the local rule.",
        _ => " A vote after the hour is not irregular by itself.",
    });
    if let Some(stated) = minutes {
        text.push_str(&format!(
            " The queue may vote for {} after the hour, {}",
            counted(stated.value.1, "minute", "minutes"),
            said(&stated.basis)
        ));
        let within = released.iter().all(|told| *told == Told::InOrder);
        text.push_str(&match (late, steps.len()) {
            (0, 1) if within => "; this voter was released within them.".to_owned(),
            (0, _) if within => "; these voters were released within them.".to_owned(),
            (0, _) => "; whether all of these voters were released within them is not told.".to_owned(),
            (1, 1) => "; this voter was released beyond them.".to_owned(),
            (late, all) => {
                format!(
                    "; of these {all} voters {late} {} released beyond them by the readings.",
                    if late == 1 { "was" } else { "were" }
                )
            }
        });
    }
    let several = days(known.case).len() > 1;
    let tokens = known.case.counts.iter().filter(|count| {
        count.value.what == CountOf::Tokens && count.value.poll.as_ref().is_none_or(|poll| *poll == day.date)
    });
    let mut given = false;
    for tokens in tokens {
        given = true;
        let number = if tokens.value.least == tokens.value.most {
            tokens.value.least.to_string()
        } else {
            format!("{} to {}", tokens.value.least, tokens.value.most)
        };
        let of = if several && tokens.value.poll.is_none() { " (of which day is not said)" } else { "" };
        text.push_str(&format!(
            " Tokens given out at the hour{of}: {number}, {}; votes seen here: {}. A voter who was released before the hour needs none.",
            said(&tokens.basis),
            steps.len()
        ));
    }
    if !given && minutes.is_none() {
        text.push_str(
            " The case file states neither tokens given out at the hour nor how long the queue may vote.",
        );
    }
    text
}

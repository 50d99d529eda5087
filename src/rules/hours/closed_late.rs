//! A long time between the closing hour, or the last vote, and the close.

use super::close::{not_every_closing_hour, of_the_day};
use super::night::{self, Night};
use super::{
    Elsewhere, Margins, PRESIDING, READING_WRONG, alone_there, at_least, between, day_of, elsewhere,
    hours_premise, later, premises_of, said, surely_from, the_only_day,
};
use crate::case::{Phase, SettingOf};
use crate::clock::hours::{Day, Hour, days};
use crate::clock::{Bound, Instant, Premise, SECOND, When, outwards};
use crate::counts::counted;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

pub(crate) static RULE: Rule = Rule {
    id: "closed-late",
    family: Family::Hours,
    kind: Kind::Conditional,
    weight: Weight::Unusual,
    title: "The unit was closed later after the hour and the last vote than the procedure allows.",
    asks: "By the readings of the unit's clock, the unit is closed within the time allowed after the hour and the last vote.",
    basis: &[Basis::Practice("the unit is closed when the last of the queue has voted")],
    why: "Until it is closed the unit takes votes. The longer it stands open after the last voter, the more weight rests on \
          those who watched over it.",
    ordinary: &[
        Ordinary::new(
            "Voters were still expected, or the papers were completed first.",
            "the presiding officer's diary, and the agents who were present",
        ),
        READING_WRONG,
    ],
    look_next: &["The presiding officer's diary: when the last voter left, and when the unit was closed."],
    needs: &[Needs::PollLabel, Needs::ClosingHour, Needs::Number(SettingOf::CloseWithinMinutes)],
    scope: Scope::Own,
    occasions: "closes of the poll",
    examples: &[
        Example {
            title: "The last vote before six, the close after half past six; the procedure allows fifteen minutes.",
            log: "1201 2031-05-10 17:40:00 enable\n\
                  1202 2031-05-10 17:40:30 vote\n\
                  1203 2031-05-10 18:31:00 close\n\
                  ^ closed-late\n",
            case: super::examples::WITHIN_15,
        },
        Example {
            title: "Near miss: the last of the queue voted at twenty past six, and the close follows it.",
            log: "1201 2031-05-10 18:20:00 enable\n\
                  1202 2031-05-10 18:20:30 vote\n\
                  ^ vote-after-hour\n\
                  1203 2031-05-10 18:31:00 close\n",
            case: super::examples::WITHIN_15,
        },
        Example {
            title: "Near miss: the poll was adjourned to the next day, nobody came, and the close follows its hour.",
            log: "1201 2031-05-10 16:20:00 enable\n\
                  1202 2031-05-10 16:20:30 vote\n\
                  1203 2031-05-11 18:03:00 close\n",
            case: super::examples::ADJOURNED_WITHIN_15,
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let days = days(known.case);
    let Some(within) = known.case.settings.number(SettingOf::CloseWithinMinutes) else { return };
    let allowed = Instant::of_ns(i128::from(within.value.1) * 60 * SECOND);
    let due: Vec<Hour> = days
        .iter()
        .flat_map(|day| day.parts.iter().filter_map(|part| part.closes))
        .map(|hour| later(&hour, within.value.1))
        .collect();
    let (mut margins, mut elsewhere) = (Margins::default(), Elsewhere::default());
    let mut hours: Vec<Hour> = Vec::new();
    let closes = known.between(Event::Close, 0, known.replay.steps.len());
    let (only, night) = (the_only_day(known, &days), Night::of(known));
    for close in closes.filter(|step| known.is_labelled(*step, Phase::Poll)) {
        let place = known.place(close);
        let when = known.clock.bounds(close);
        let Some(vote) = known.vote_of_poll_before(close) else {
            walk.open(place, no_vote(known, close));
            continue;
        };
        let behind_vote = since_vote(known, vote, close);
        let in_time = |behind: &Behind| behind.most.is_some_and(|most| most <= allowed);
        // A vote of which the case file does not say what it was may be a later one of the poll.
        let unsaid =
            known.between(Event::Vote, vote + 1, close).any(|vote| known.may_be_at(vote, Phase::Poll));
        let unseen = known.want_between(vote, close).or(unsaid.then_some(Want::Label(Phase::Poll)));
        if in_time(&behind_vote) && unseen.is_none() {
            // Whatever the hour was, the close is due from the later of hour and vote.
            walk.in_order(place);
            continue;
        }
        // The hour is that of the day of the close, whether or not anybody voted on it. The poll may have been adjourned
        // to a day that the case file does not state, and its hour is not known then.
        let Some(mut day) = day_of(&days, &when).or(only) else {
            if elsewhere::is(known, close, &due) {
                elsewhere.add(close);
            } else {
                margins.add(close);
            }
            continue;
        };
        let behind_hours = |day: &Day| {
            let mut closes = day.parts.iter().map(|part| part.closes);
            closes.all(|hour| hour.is_some_and(|hour| surely_from(&when, hour.latest)))
        };
        if !behind_hours(day)
            && let Err(want) = of_the_day(known, &night, (&days, only), day, close)
        {
            // The papers may say that it is the close of the poll of another day: then its hour is asked.
            let Some(other) = night::said_of(known, &days, day, close) else {
                walk.open(place, want);
                continue;
            };
            day = other;
        } else if let Some(untold) = night::said_otherwise(known, day, close, Phase::Poll) {
            walk.open(place, untold.want(known, day, &[close]));
            continue;
        }
        let closes: Option<Vec<Hour>> = day.parts.iter().map(|part| part.closes).collect();
        let Some(closes) = closes else {
            walk.open(place, not_every_closing_hour(known, day, close));
            continue;
        };
        let Some(hour) = closes.into_iter().max_by_key(|hour| hour.latest) else {
            margins.add(close);
            continue;
        };
        if let Some(want) = unseen {
            walk.open(place, want);
            continue;
        }
        let behind_hour = since_hour(&when, &hour);
        let late = behind_hour.least.zip(behind_vote.least).map(|(hour, vote)| hour.min(vote));
        if let Some(late) = late.filter(|late| *late > allowed) {
            let found = finding(known, (day, within.value.1), (vote, close), late, behind_vote.premises);
            walk.contrary(place, alone_there(known, day, &[vote, close], found));
        } else if in_time(&behind_hour) {
            walk.in_order(place);
        } else if behind_hour.least.is_some_and(|least| least > allowed)
            && let Some((least, most)) = behind_vote.least.zip(behind_vote.most)
        {
            walk.open(place, beside_the_vote(known, (vote, close), (least, most), within.value.1));
        } else {
            hours.push(later(&hour, within.value.1));
            margins.add(close);
        }
    }
    let hours = if hours.is_empty() { due } else { hours };
    margins.open(known, walk, &hours, "the close of the poll and the time allowed for it");
    elsewhere.open(known, walk, &days);
    walk.unseen_events();
    walk.unlabelled(Event::Close, Phase::Poll);
}

/// That the close is late for the hour, and for the last vote it may be or not.
fn beside_the_vote(
    known: &Known<'_>,
    (vote, close): (usize, usize),
    (least, most): (Instant, Instant),
    minutes: u64,
) -> Want {
    let (least, most) = outwards(least, most, Instant::default());
    Want::Other(
        format!(
            "between {}, the last vote, and {}, the close, {least} to {most} passed, and {} allowed",
            known.name(vote),
            known.name(close),
            counted(minutes, "minute is", "minutes are")
        ),
        PRESIDING,
        "a paper that times the last vote and the close themselves, each to the second (case file: [[reading]], record = n)"
            .to_owned(),
    )
}

/// No vote of the poll stands before the close, so that the time since the last one is not known.
fn no_vote(known: &Known<'_>, close: usize) -> Want {
    if !known.replay.front.is_closed() {
        return Want::Front;
    }
    known.want_in(0, close).unwrap_or_else(|| {
        Want::Other(
            format!(
                "no vote of the poll stands before {}, so that nothing is measured from the last one",
                known.name(close)
            ),
            PRESIDING,
            "which records were votes of the poll (case file: [[phase]])".to_owned(),
        )
    })
}

/// How long the close came behind something, where it is known, and what that rests on besides the bounds of both.
#[derive(Default)]
struct Behind {
    least: Option<Instant>,
    most: Option<Instant>,
    premises: Vec<Premise>,
}

fn since_hour(close: &When, hour: &Hour) -> Behind {
    Behind {
        least: close.earliest.as_ref().map(|early| early.at - hour.latest),
        most: close.latest.as_ref().map(|late| late.at - hour.earliest),
        premises: Vec::new(),
    }
}

/// By the bounds of both records, or by the unit's own clock between them: it tells a span better than two moments.
fn since_vote(known: &Known<'_>, vote: usize, close: usize) -> Behind {
    let (first, last) = (known.clock.bounds(vote), known.clock.bounds(close));
    let apart = |late: &Option<Bound>, early: &Option<Bound>| Some(late.as_ref()?.at - early.as_ref()?.at);
    let (least, most) = (apart(&last.earliest, &first.latest), apart(&last.latest, &first.earliest));
    match known.clock.span_between(vote, close) {
        Some((spread, premises)) => Behind {
            least: Some(least.map_or(spread.least, |least| least.max(spread.least))),
            most: Some(most.map_or(spread.most, |most| most.min(spread.most))),
            premises,
        },
        None => Behind { least, most, premises: Vec::new() },
    }
}

fn finding(
    known: &Known<'_>,
    (day, minutes): (&Day, u64),
    (vote, close): (usize, usize),
    late: Instant,
    premises: Vec<Premise>,
) -> Contrary {
    let setting = known.case.settings.number(SettingOf::CloseWithinMinutes);
    let minutes = counted(minutes, "minute", "minutes");
    Contrary {
        others: vec![known.place(vote)],
        expected: format!(
            "The unit is closed within {minutes} after the later of the closing hour and the last vote."
        ),
        shows: format!(
            "{} is the close of the poll, recorded {} by the readings. {} is the last vote before it, recorded {}.",
            known.name(close),
            between(known, close),
            known.name(vote),
            between(known, vote)
        ),
        measured: Some(format!("at least {} after the later of the two", at_least(late))),
        assumptions: known
            .label_premises(&[vote, close], Phase::Poll)
            .into_iter()
            .chain(hours_premise(known, day))
            .chain(
                setting.map(|stated| format!("the close is due within {minutes}, {}", said(&stated.basis))),
            )
            .chain(premises_of(known, &[vote, close], premises))
            .collect(),
    }
}

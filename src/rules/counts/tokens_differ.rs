//! More votes released after the closing hour than numbered tokens were given.

use crate::case::{Count, CountOf, Phase, Stated};
use crate::clock::Premise;
use crate::clock::hours::{Day, days};
use crate::counts::{Doubt, Poll, Rest, counted, records_named, words_of};
use crate::event::Event;
use crate::finding::{Kind, Place, Weight, capital};
use crate::rules::hours::{
    RELEASED, alone_said, day_of, hours_premise, surely_after, surely_from, surely_until,
};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SLIP_OF_THE_PEN, want};

pub(crate) static RULE: Rule = Rule {
    id: "tokens-differ",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "More voters were released after the closing hour, and voted, than numbered tokens were given.",
    asks: "Not more votes are released after the closing hour than numbered tokens were given to those who waited.",
    basis: &[Basis::Practice("those who wait at the closing hour get numbered tokens and may still vote")],
    why: "Whoever waits at the hour gets a token, and nobody else is released after it. Who was released by the hour needed \
          none, also where the vote fell after it. Some with a token may leave, so that fewer votes say nothing; more votes \
          than tokens need an explanation.",
    ordinary: &[
        Ordinary::new(
            "A voter was at the table already when the hour struck, and needed no token.",
            "the diary's remarks on the closing hour",
        ),
        Ordinary::new(
            "A test vote was cast after the hour, or a reading of the clock is wrong.",
            "the diary, and the papers on which the readings stand",
        ),
        SLIP_OF_THE_PEN,
        OTHER_RECORDS,
    ],
    look_next: &["The account of numbered tokens, from the registrar of the constituency.", DIARY],
    needs: &[Needs::Count(CountOf::Tokens)],
    scope: Scope::Own,
    occasions: "accounts of tokens",
    examples: &[
        Example {
            title: "Two voters were surely released after the hour, and one token was given.",
            log: "501 2031-05-10 17:50:05 enable\n\
                  502 2031-05-10 17:50:31 vote\n\
                  503 2031-05-10 18:03:05 enable\n\
                  504 2031-05-10 18:03:31 vote\n\
                  ^ vote-after-hour\n\
                  505 2031-05-10 18:05:05 enable\n\
                  506 2031-05-10 18:05:31 vote\n\
                  ^ tokens-differ\n\
                  507 2031-05-10 18:08:00 close total=3\n\
                  508 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the second vote may have been before the hour, by the reading.",
            log: "501 2031-05-10 17:50:05 enable\n\
                  502 2031-05-10 17:50:31 vote\n\
                  503 2031-05-10 17:59:45 enable\n\
                  504 2031-05-10 18:00:05 vote\n\
                  505 2031-05-10 18:05:05 enable\n\
                  506 2031-05-10 18:05:31 vote\n\
                  ^ vote-after-hour\n\
                  507 2031-05-10 18:08:00 close total=3\n\
                  508 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the second voter was released before the hour, and voted after it.",
            log: "501 2031-05-10 17:50:05 enable\n\
                  502 2031-05-10 17:50:31 vote\n\
                  503 2031-05-10 17:59:05 enable\n\
                  504 2031-05-10 18:00:55 vote\n\
                  ^ vote-after-hour\n\
                  505 2031-05-10 18:05:05 enable\n\
                  506 2031-05-10 18:05:31 vote\n\
                  507 2031-05-10 18:08:00 close total=3\n\
                  508 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the record begins after the hour, and what came before it may have been after the hour too.",
            log: "505 2031-05-10 18:05:05 enable\n\
                  506 2031-05-10 18:05:31 vote\n\
                  ^ vote-after-hour\n\
                  507 2031-05-10 18:08:00 close total=3\n\
                  508 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
    ],
    walk,
};

/// The case file of the examples.
const CASE: &str = "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\n\
    source = \"Notice of poll\"\nby = \"Returning officer\"\n\n\
    [[phase]]\nwas = \"poll\"\nrecords = \"501-507\"\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n\n\
    [[reading]]\ndisplayed = \"2031-05-10 18:08:30\"\nreference = \"2031-05-10 18:08:30\"\nwithin-seconds = 30\n\
    after-record = 507\nsource = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n\n\
    [[setting]]\ndrift-ppm = 100\nsource = \"Maker's data sheet\"\nby = \"Registrar\"\n\n\
    [[count]]\nof = \"tokens\"\nvalue = 1\nsource = \"Account of tokens\"\nby = \"Presiding officer\"\n";

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    match &known.counts.polls {
        Ok(polls) => {
            polls.iter().enumerate().for_each(|(place, poll)| of_poll(known, walk, place, poll));
        }
        Err(doubt) => {
            // Tokens that name their day need no bounds of memory between the polls: the clock tells the days apart.
            let days = days(known.case);
            let of_days: Vec<_> = tokens(known)
                .filter_map(|tokens| {
                    let date = tokens.value.poll.as_ref()?;
                    Some((tokens, days.iter().find(|day| day.date == *date && day.parts.len() == 1)?))
                })
                .collect();
            let by_day = matches!(doubt, Doubt::WhichPoll | Doubt::NotParted);
            if !by_day || of_days.len() < tokens(known).count() {
                walk.unseen(want(known, doubt));
            }
            if by_day {
                of_days.into_iter().for_each(|(tokens, day)| of_day(known, walk, tokens, (day, &days)));
            }
        }
    }
}

/// The votes that lie in a conflict and are not counted, as a sentence; nothing where there is none.
fn left_out(known: &Known<'_>, steps: &[usize]) -> String {
    if steps.is_empty() {
        return String::new();
    }
    let named = capital(&records_named(known.log, known.replay, steps));
    let lie = if steps.len() == 1 { "lies in a conflict and is" } else { "lie in a conflict and are" };
    format!(" {named} {lie} not counted.")
}

fn tokens<'k>(known: &'k Known<'_>) -> impl Iterator<Item = &'k Stated<Count>> + use<'k> {
    known.case.counts.iter().filter(|count| count.value.what == CountOf::Tokens)
}

fn of_poll(known: &Known<'_>, walk: &mut Walk<'_>, place: usize, poll: &Poll) {
    let of_this = |day: Option<&str>| poll.day.is_none() || poll.day.as_deref() == day;
    let Some(tokens) = tokens(known).find(|tokens| of_this(tokens.value.poll.as_deref())) else {
        walk.unseen(super::not_stated(CountOf::Tokens));
        return;
    };
    walk.on_papers(std::iter::once(tokens.basis.line));
    let at = poll.anchor.map_or(Place::Log, |close| known.place(close));
    let after = match known.counts.after_hour.get(place) {
        Some(Ok(after)) => after,
        Some(Err(doubt)) => return walk.open(at, want(known, doubt)),
        None => return,
    };
    let surely = after.surely.len() as u64;
    let within = |most: i128| most <= i128::from(tokens.value.least);
    let days = days(known.case);
    let day = days.iter().find(|day| poll.day.as_ref().is_none_or(|date| *date == day.date));
    if surely > tokens.value.most {
        tell(known, walk, (tokens, day, &poll.which()), (&after.surely, &after.left_out));
    } else if after.votes.most.is_some_and(within) {
        walk.in_order(at);
        let closes = day.and_then(|day| day.parts.first()?.closes);
        // A vote that surely lies before the hour needs no label.
        walk.unlabelled_where(Event::Vote, Phase::Poll, |vote| {
            !closes.is_some_and(|hour| surely_until(&known.clock.bounds(vote), hour.earliest))
        });
    } else if let Some(doubt) = &after.doubt {
        walk.open(at, if *doubt == Doubt::NotTimed { not_timed() } else { want(known, doubt) });
        if !after.left_out.is_empty() {
            let of = records_named(known.log, known.replay, &after.left_out);
            let why = left_out(known, &after.left_out);
            walk.unseen(Want::Other(
                format!(
                    "of the votes that may be after the closing hour, not all are counted.{}",
                    why.trim_end_matches('.')
                ),
                "qualified examiner of the physical unit",
                format!("whether the unit made {of}, in a conflict with others"),
            ));
        }
    } else {
        walk.open(
            at,
            super::allowance(&format!("{} against {} or more tokens", votes(surely), tokens.value.least)),
        );
    }
}

/// Tokens of a day, where the log holds polls of several days and nothing in memory parts them: by the clock alone.
fn of_day(known: &Known<'_>, walk: &mut Walk<'_>, tokens: &Stated<Count>, (day, days): (&Day, &[Day])) {
    walk.on_papers(std::iter::once(tokens.basis.line));
    let Some(closes) = day.parts.first().and_then(|part| part.closes) else {
        walk.open(Place::Log, want(known, &Doubt::NoHour));
        return;
    };
    // A vote before the next poll opens may be one of this day's queue.
    let later = days.iter().filter(|later| later.begins >= day.ends).flat_map(|later| &later.parts);
    let next = later.filter_map(|part| part.opens).map(|hour| hour.latest).min();
    let (mut surely, mut perhaps) = (Vec::new(), 0_u64);
    for vote in known.votes_of_poll() {
        let when = known.clock.bounds(vote);
        let enable = known.enable_of(vote).map(|enable| known.clock.bounds(enable));
        let elsewhere = known.poll_said(vote, Phase::Poll).is_some_and(|said| said != day.date);
        let of_day = !elsewhere && day_of(days, &when).is_some_and(|of| of.date == day.date);
        if of_day && enable.as_ref().is_some_and(|enable| surely_after(enable, closes.latest)) {
            surely.push(vote);
        } else if !surely_until(&when, closes.earliest)
            && !enable.is_some_and(|enable| surely_until(&enable, closes.earliest))
            && !next.is_some_and(|next| surely_from(&when, next))
        {
            perhaps += 1;
        }
    }
    let number = surely.len() as u64;
    let at = surely.last().map_or(Place::Log, |vote| known.place(*vote));
    if number > tokens.value.most {
        tell(known, walk, (tokens, Some(day), &[]), (&surely, &[]));
    } else if number + perhaps <= tokens.value.least {
        walk.in_order(at);
        walk.unseen_events();
        walk.unlabelled(Event::Vote, Phase::Poll);
    } else if perhaps > 0 {
        walk.open(at, not_timed());
    } else {
        walk.open(
            at,
            super::allowance(&format!("{} against {} or more tokens", votes(number), tokens.value.least)),
        );
    }
}

fn not_timed() -> Want {
    Want::Other(
        "of some votes beside the closing hour neither the records nor a reading of the clock tell whether the voter was \
         released before it or after it"
            .to_owned(),
        "presiding officer of the station",
        "readings of the unit's clock beside a reference clock (case file: [[reading]]), and the bound on its rate \
         ([[setting]], drift-ppm = n)"
            .to_owned(),
    )
}

fn votes(number: u64) -> String {
    counted(number, "vote", "votes")
}

/// More votes than tokens: `surely` are those whose enable lies surely after the hour.
fn tell(
    known: &Known<'_>,
    walk: &mut Walk<'_>,
    (tokens, day, which): (&Stated<Count>, Option<&Day>, &[Rest]),
    (surely, in_conflict): (&[usize], &[usize]),
) {
    let Some(last) = surely.last() else { return };
    let (number, given) = (surely.len() as u64, tokens.value.most);
    // By the order of the records, what bounds the first enable bounds those behind it.
    let first = surely.first().and_then(|vote| known.enable_of(*vote));
    let mut clock: Vec<Premise> =
        first.and_then(|enable| known.clock.when(enable).earliest).map_or(Vec::new(), |end| end.rests_on);
    // That the last of them is one of this day.
    let only = day.and_then(alone_said);
    let latest = known.clock.when(*last).latest.filter(|_| only.is_none());
    clock.extend(latest.map_or(Vec::new(), |end| end.rests_on));
    clock.sort();
    clock.dedup();
    let contrary = Contrary {
        others: surely
            .iter()
            .flat_map(|vote| known.enable_of(*vote).into_iter().chain([*vote]))
            .map(|step| known.place(step))
            .collect(),
        expected: "Every vote released after the closing hour is that of a voter with a token.".to_owned(),
        shows: format!(
            "Votes of the poll whose enable lies surely after the closing hour: {number}. {} is the last of them. Tokens given: \
             {given}.{}",
            known.name(*last),
            left_out(known, in_conflict)
        ),
        measured: Some(format!(
            "{} against {given} {}: {} more",
            votes(number),
            if given == 1 { "token" } else { "tokens" },
            number - given
        )),
        assumptions: known
            .label_premises(surely, Phase::Poll)
            .into_iter()
            .chain(which.iter().flat_map(|rest| super::premise(known, rest)))
            .chain([format!("{}: {given}, {}", words_of(CountOf::Tokens), said(&tokens.basis))])
            .chain(day.map_or_else(Vec::new, |day| hours_premise(known, day)))
            .chain([RELEASED.to_owned()])
            .chain(only)
            .chain(Premise::told(&clock))
            .collect(),
    };
    walk.contrary(known.place(*last), contrary);
}

//! More votes after the closing hour than numbered tokens were given.

use crate::case::CountOf;
use crate::clock::{Placed, hours};
use crate::counts::{Poll, words_of};
use crate::finding::{Kind, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SLIP_OF_THE_PEN, not_timed, want};

pub(crate) static RULE: Rule = Rule {
    id: "tokens-differ",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "More votes were recorded after the closing hour than numbered tokens were given.",
    asks: "Not more votes are recorded after the closing hour than numbered tokens were given to those who waited.",
    basis: &[Basis::Practice("those who wait at the closing hour get numbered tokens and may still vote")],
    why: "Whoever waits at the hour gets a token, and nobody else votes after it. Some with a token may leave, so that \
          fewer votes say nothing; more votes than tokens need an explanation.",
    ordinary: &[
        Ordinary {
            account: "A voter was at the table already when the hour struck, and needed no token.",
            decided_by: "the diary's remarks on the closing hour",
        },
        Ordinary {
            account: "A test vote was cast after the hour, or a reading of the clock is wrong.",
            decided_by: "the diary, and the papers on which the readings stand",
        },
        SLIP_OF_THE_PEN,
        OTHER_RECORDS,
    ],
    look_next: &["The account of numbered tokens, from the registrar of the constituency.", DIARY],
    needs: &[Needs::Count(CountOf::Tokens)],
    scope: Scope::Own,
    occasions: "accounts of tokens",
    examples: &[
        Example {
            title: "Two votes are surely after the hour, and one token was given.",
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
            title: "Near miss: the record begins after the hour, and what came before it may have been after the hour too.",
            log: "505 2031-05-10 18:05:05 enable\n\
                  506 2031-05-10 18:05:31 vote\n\
                  ^ vote-after-hour\n\
                  507 2031-05-10 18:08:00 close total=3\n\
                  508 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
    ],
    walk: |known, walk| match &known.counts.polls {
        Ok(polls) => polls.iter().for_each(|poll| of_poll(known, walk, poll)),
        Err(doubt) => walk.unseen(want(known, doubt)),
    },
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

fn of_poll(known: &Known<'_>, walk: &mut Walk<'_>, poll: &Poll) {
    let of_this = |day: Option<&str>| poll.day.is_none() || poll.day.as_deref() == day;
    let tokens = known
        .case
        .counts
        .iter()
        .find(|count| count.value.what == CountOf::Tokens && of_this(count.value.poll.as_deref()));
    let Some(tokens) = tokens else {
        walk.unseen(super::not_stated(CountOf::Tokens));
        return;
    };
    let mut stated = known.case.polls.iter().filter(|stated| of_this(stated.value.date.as_deref()));
    let hour = stated.next().and_then(|stated| {
        let (date, closes) = (stated.value.date.as_ref()?, stated.value.closes.as_ref()?);
        hours::instants(known.case, &format!("{date} {closes}"), stated.value.zone.as_deref())
    });
    let place = known.place(poll.at);
    let (Some((earliest, latest)), None) = (hour, stated.next()) else {
        walk.open(place, no_hour());
        return;
    };
    // An hour that the zone repeats has two instants: surely after is after both, surely before is before both.
    let by = |step: usize, hour| known.clock.bounds(step).placed(None, Some(hour));
    let is_after = |step: &usize| by(*step, latest) == Placed::After;
    let after: Vec<usize> = poll.votes.iter().copied().filter(is_after).collect();
    let in_doubt = |step: &&usize| {
        !is_after(step) && matches!(by(**step, earliest), Placed::CannotBeTold | Placed::After)
    };
    let surely_until = |step: usize| by(step, earliest) == Placed::Inside;
    let perhaps = poll.votes.iter().filter(in_doubt).count();
    let surely = after.len() as u64;
    if let (true, Some(last)) = (surely > tokens.value.most, after.last()) {
        let at = known.clock.when(*last);
        let clock = at.earliest.map_or(Vec::new(), |end| end.rests_on);
        let number = tokens.value.most;
        let contrary = Contrary {
            others: after.iter().map(|step| known.place(*step)).collect(),
            expected: "Every vote after the closing hour is that of a voter with a token.".to_owned(),
            shows: format!(
                "Votes of the poll that are surely after the closing hour: {surely}. {} is the last of them. Tokens given: \
                 {number}.",
                known.name(*last)
            ),
            measured: Some(format!("{surely} votes against {number} tokens: {} more", surely - number)),
            assumptions: [known.label_premise(*last, crate::case::Phase::Poll)]
                .into_iter()
                .flatten()
                .chain([format!("{}: {number}, {}", words_of(CountOf::Tokens), said(&tokens.basis))])
                .chain(clock.iter().map(crate::clock::Premise::words))
                .collect(),
        };
        walk.contrary(known.place(*last), contrary);
    } else if perhaps > 0 {
        walk.open(place, not_timed());
    } else if let Some(want) = known.want_in(poll.steps.start, poll.until) {
        walk.open(place, want);
    } else if poll.anchor.is_none() && !known.replay.back.is_closed() {
        walk.open(place, Want::Back);
    } else if known.cycle_of(poll.labelled).is_none_or(|cycle| !cycle.begin.is_seen())
        && !(0..poll.until).any(surely_until)
    {
        // Votes before the first record may have been after the hour too.
        walk.open(place, Want::Front);
    } else if tokens.value.least < surely {
        walk.open(
            place,
            super::allowance(&format!("{surely} votes against {} or more tokens", tokens.value.least)),
        );
    } else if poll.votes.is_empty() {
        walk.open(place, Want::Label(crate::case::Phase::Poll));
    } else {
        walk.in_order(place);
        walk.unlabelled(crate::event::Event::Vote, crate::case::Phase::Poll);
    }
}

fn no_hour() -> Want {
    Want::Other(
        "the case file does not state one closing hour of the poll with its zone".to_owned(),
        "registrar of the constituency",
        "the hours of the poll (case file: [[poll]])".to_owned(),
    )
}

//! More votes after the closing hour than numbered tokens were given.

use crate::case::{CountOf, Phase};
use crate::counts::{Poll, Timed, records_named, words_of};
use crate::finding::{Kind, Weight, capital};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS, SLIP_OF_THE_PEN, want};

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
        Ok(polls) => {
            polls.iter().enumerate().for_each(|(place, poll)| of_poll(known, walk, place, poll));
        }
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

/// The votes that lie in a conflict and are not counted, as a sentence; nothing where there is none.
fn left_out(known: &Known<'_>, after: &Timed) -> String {
    if after.left_out.is_empty() {
        return String::new();
    }
    let named = capital(&records_named(known.log, known.replay, &after.left_out));
    let lie =
        if after.left_out.len() == 1 { "lies in a conflict and is" } else { "lie in a conflict and are" };
    format!(" {named} {lie} not counted.")
}

fn of_poll(known: &Known<'_>, walk: &mut Walk<'_>, place: usize, poll: &Poll) {
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
    walk.on_papers(std::iter::once(tokens.basis.line));
    let at = poll.anchor.map_or(crate::finding::Place::Log, |close| known.place(close));
    let after = match known.counts.after_hour.get(place) {
        Some(Ok(after)) => after,
        Some(Err(doubt)) => return walk.open(at, want(known, doubt)),
        None => return,
    };
    let surely = after.surely.len() as u64;
    if let (true, Some(last)) = (surely > tokens.value.most, after.surely.last()) {
        let when = known.clock.when(*last);
        let clock = when.earliest.map_or(Vec::new(), |end| end.rests_on);
        let number = tokens.value.most;
        let contrary = Contrary {
            others: after.surely.iter().map(|step| known.place(*step)).collect(),
            expected: "Every vote after the closing hour is that of a voter with a token.".to_owned(),
            shows: format!(
                "Votes of the poll that are surely after the closing hour: {surely}. {} is the last of them. Tokens given: \
                 {number}.{}",
                known.name(*last),
                left_out(known, after)
            ),
            measured: Some(format!("{surely} votes against {number} tokens: {} more", surely - number)),
            assumptions: [known.label_premise(*last, Phase::Poll)]
                .into_iter()
                .flatten()
                .chain([format!("{}: {number}, {}", words_of(CountOf::Tokens), said(&tokens.basis))])
                .chain(crate::clock::Premise::told(&clock))
                .collect(),
        };
        walk.contrary(known.place(*last), contrary);
    } else if let Some(doubt) = &after.doubt {
        walk.open(at, want(known, doubt));
        if !after.left_out.is_empty() {
            let why = format!(
                "of the votes that may be after the closing hour, not all are counted.{}",
                left_out(known, after)
            );
            walk.unseen(Want::Other(
                why.trim_end_matches('.').to_owned(),
                "qualified examiner of the physical unit",
                "which of the records of that conflict the unit made".to_owned(),
            ));
        }
    } else if tokens.value.least < surely {
        walk.open(
            at,
            super::allowance(&format!("{surely} votes against {} or more tokens", tokens.value.least)),
        );
    } else {
        walk.in_order(at);
        walk.unlabelled(crate::event::Event::Vote, Phase::Poll);
    }
}

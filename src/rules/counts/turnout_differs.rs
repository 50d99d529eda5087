//! A turnout noted at a time that is not the number of votes recorded by then.

use crate::case::{CountOf, Fact, Phase, Stated, Turnout};
use crate::clock::Premise;
use crate::clock::hours::{days, zone_said};
use crate::counts::{Interval, Poll, Timed, words_of};
use crate::finding::{Kind, Weight};
use crate::rules::hours::alone_said;
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, NUMBERING, OTHER_RECORDS, SLIP_OF_THE_PEN, want};

pub(crate) static RULE: Rule = Rule {
    id: "turnout-differs",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "A turnout noted during the poll is not a number of votes that the unit can have recorded by then.",
    asks: "A turnout noted at a stated time is the number of votes that the unit had recorded by then.",
    basis: &[Basis::Practice("the turnout is read from the unit's total at stated hours and noted")],
    why: "The votes that are surely before the stated time are its least, and those that may be before it are its most. \
          A number outside these ends does not fit this record, if the readings of its clock hold.",
    ordinary: &[
        Ordinary::new(
            "The turnout was counted from the register, with voters who signed and had not voted yet.",
            "the diary, which says how the turnout was counted",
        ),
        Ordinary::new(
            "The number was noted at another time than the paper says, or for another unit as well.",
            "the slip or message with which the turnout was reported",
        ),
        Ordinary::new(
            "A vote was cast as a test, or others of the unit's votes were left out or added, by whoever noted the turnout.",
            "the diary's remarks on complaints and test votes",
        ),
        SLIP_OF_THE_PEN,
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, "The reports of turnout as received, from the registrar of the constituency."],
    needs: &[],
    scope: Scope::Own,
    occasions: "turnouts noted",
    examples: &[
        Example {
            title: "Three are noted for noon, and two votes at most were recorded by then.",
            log: "501 2031-05-10 06:52:00 total shown=0\n\
                  502 2031-05-10 07:50:05 enable\n\
                  503 2031-05-10 07:50:31 vote\n\
                  504 2031-05-10 08:03:05 enable\n\
                  505 2031-05-10 08:03:31 vote\n\
                  ^ turnout-differs\n\
                  506 2031-05-10 14:05:05 enable\n\
                  507 2031-05-10 14:05:31 vote\n\
                  508 2031-05-10 18:08:00 close total=3\n\
                  509 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the third vote is so near to noon that it may have been before.",
            log: "501 2031-05-10 06:52:00 total shown=0\n\
                  502 2031-05-10 07:50:05 enable\n\
                  503 2031-05-10 07:50:31 vote\n\
                  504 2031-05-10 08:03:05 enable\n\
                  505 2031-05-10 08:03:31 vote\n\
                  506 2031-05-10 12:05:05 enable\n\
                  507 2031-05-10 12:05:31 vote\n\
                  508 2031-05-10 18:08:00 close total=3\n\
                  509 2031-05-10 18:12:00 power-off\n",
            case: CASE,
        },
        Example {
            title: "Near miss: the log ends in the morning, and the close in it is that of the mock poll.",
            log: "501 2031-05-10 06:30:00 total shown=0\n\
                  502 2031-05-10 06:31:05 enable\n\
                  503 2031-05-10 06:31:31 vote\n\
                  504 2031-05-10 06:32:00 close total=1\n\
                  505 2031-05-10 06:33:00 result total=1\n\
                  506 2031-05-10 06:3?:00 clear\n\
                  ^ unreadable-line\n\
                  507 2031-05-10 06:52:00 total shown=0\n\
                  508 2031-05-10 07:50:05 enable\n\
                  509 2031-05-10 07:50:31 vote\n",
            case: CUT_SHORT,
        },
    ],
    walk,
};

/// The case file of the examples.
const CASE: &str = "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\n\
    source = \"Notice of poll\"\nby = \"Returning officer\"\n\n\
    [[phase]]\nwas = \"poll\"\nrecords = \"501-508\"\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n\n\
    [[reading]]\ndisplayed = \"2031-05-10 18:08:30\"\nreference = \"2031-05-10 18:08:30\"\nwithin-seconds = 30\n\
    after-record = 508\nsource = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n\n\
    [[setting]]\ndrift-ppm = 100\nsource = \"Maker's data sheet\"\nby = \"Registrar\"\n\n\
    [[turnout]]\nat = \"2031-05-10 12:00\"\nwithin-seconds = 300\nvalue = 3\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n";

/// The case file of an example whose log ends in the morning.
const CUT_SHORT: &str = "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\n\
    source = \"Notice of poll\"\nby = \"Returning officer\"\n\n\
    [[phase]]\nwas = \"mock-poll\"\nrecords = \"502-506\"\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n\n\
    [[phase]]\nwas = \"poll\"\nrecords = \"507-900\"\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n\n\
    [[turnout]]\nat = \"2031-05-10 12:00\"\nvalue = 112\nsource = \"Presiding officer's diary\"\n\
    by = \"Presiding officer\"\n";

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    walk.on_papers(known.case.turnout.iter().map(|noted| noted.basis.line));
    if known.case.turnout.is_empty() {
        walk.unseen(Want::Need(
            "the case file states no turnout noted during the poll",
            "presiding officer of the station",
            "the turnout as noted at stated hours (case file: [[turnout]])",
        ));
        return;
    }
    match &known.counts.polls {
        Ok(polls) => {
            for (noted, timed) in known.case.turnout.iter().zip(&known.counts.turnouts) {
                match timed {
                    Ok(timed) => of_turnout(known, walk, polls, noted, timed),
                    Err(doubt) => walk.unseen(want(known, doubt)),
                }
            }
        }
        Err(doubt) => walk.unseen(want(known, doubt)),
    }
}

fn of_turnout(
    known: &Known<'_>,
    walk: &mut Walk<'_>,
    polls: &[Poll],
    noted: &Stated<Turnout>,
    timed: &Timed,
) {
    let Some(poll) = polls.get(timed.poll) else { return };
    let stated = Interval::from_to(noted.value.least, Some(noted.value.most));
    let place = timed.surely.last().map_or(crate::finding::Place::Log, |step| known.place(*step));
    if timed.votes.meet(stated).is_empty() {
        return walk.contrary(place, contrary(known, poll, noted, timed));
    }
    // Votes of a mock poll or a test may be among them, and then no number is the only right one.
    let deducts = known.case.facts.iter().any(|fact| fact.value == Fact::MockVotesDeducted)
        || known
            .case
            .counts
            .iter()
            .any(|count| count.value.what == CountOf::TestVotes && count.value.most > 0);
    if timed.votes.only().is_some() && timed.votes == stated && !deducts {
        return walk.in_order(place);
    }
    let open = match &timed.doubt {
        Some(doubt) => want(known, doubt),
        None if deducts => super::not_stated(CountOf::TestVotes),
        None => super::allowance(&format!("{stated} noted, {} recorded by then", timed.votes)),
    };
    walk.open(place, open);
}

fn contrary(known: &Known<'_>, poll: &Poll, noted: &Stated<Turnout>, timed: &Timed) -> Contrary {
    let (value, possible) = (&noted.value, timed.votes);
    let stated = Interval::from_to(value.least, Some(value.most));
    let (least, most) = (possible.least.unwrap_or(0), possible.most);
    let too_few = stated.most < possible.least;
    let rests = timed.rests;
    let mut assumptions: Vec<String> = Vec::new();
    let labelled: Vec<usize> = [poll.labelled].into_iter().chain(timed.surely.iter().copied()).collect();
    assumptions.extend(known.label_premises(&labelled, Phase::Poll));
    assumptions.extend(poll.which().iter().flat_map(|rest| super::premise(known, rest)));
    assumptions.push(format!("turnout noted at {}: {stated}, {}", date_time(&value.at), said(&noted.basis)));
    assumptions.extend(value.at.get(..10).and_then(|day| zone_said(known.case, day)));
    assumptions.push("the turnout noted is a number of votes of this unit".to_owned());
    let tests = known.case.counts.iter().filter(|count| count.value.what == CountOf::TestVotes);
    let before = assumptions.len();
    // They widen the lesser of the two numbers, where there is one.
    let tests = tests.filter(|tests| too_few || (tests.value.most > 0 && !timed.surely.is_empty()));
    assumptions.extend(tests.map(|tests| {
        let value = Interval::from_to(tests.value.least, Some(tests.value.most));
        format!("{}: {value}, {}", words_of(CountOf::TestVotes), said(&tests.basis))
    }));
    if too_few && assumptions.len() == before {
        let none = "no vote was cast as a test by then; the case file has no such count";
        assumptions.push(none.to_owned());
    }
    assumptions.extend(timed.closed.then(|| known.back_premise()).flatten());
    assumptions.extend(rests.front.then(|| known.front_premise()).flatten());
    assumptions.extend(rests.numbering.then(|| NUMBERING.to_owned()));
    // Both numbers are shown: that of the votes surely recorded by then, on that day, and that of those possibly.
    let days = days(known.case);
    let only = days.iter().find(|day| value.at.starts_with(&day.date)).and_then(alone_said);
    let only = only.filter(|_| !timed.surely.is_empty());
    let alone = only.is_some();
    assumptions.extend(only);
    let when = |step: Option<&usize>| step.map(|step| known.clock.when(*step)).unwrap_or_default();
    let ends = [
        when(timed.surely.last()).latest,
        when(timed.surely.first()).earliest.filter(|_| !alone),
        when(timed.after.as_ref()).earliest,
    ];
    let mut clock: Vec<Premise> = ends.into_iter().flatten().flat_map(|end| end.rests_on).collect();
    clock.sort();
    clock.dedup();
    assumptions.extend(Premise::told(&clock));
    Contrary {
        others: timed.beyond.into_iter().map(|step| known.place(step)).collect(),
        expected: "The turnout noted lies between the votes surely and possibly recorded by then.".to_owned(),
        shows: format!(
            "Noted at {}: {stated}. Votes surely recorded on that day by then: {least}. Votes possibly recorded by then: {}.",
            date_time(&value.at),
            most.map_or("not known".to_owned(), |most| most.to_string())
        ),
        measured: Some(format!(
            "{stated} noted, {possible} recorded: {}",
            crate::counts::difference(stated.exceeds_by(possible))
        )),
        assumptions,
    }
}

/// A civil time of the case file, made inert.
fn date_time(text: &str) -> String {
    crate::source::Shown::inert(text).to_string()
}

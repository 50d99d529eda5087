//! A turnout noted at a time that is not the number of votes recorded by then.

use crate::case::{CountOf, Fact, Phase, Stated, Turnout};
use crate::clock::{Instant, Placed, SECOND, hours};
use crate::counts::{Interval, Poll, Since};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, NUMBERING, OTHER_RECORDS, SLIP_OF_THE_PEN, not_timed, want};

pub(crate) static RULE: Rule = Rule {
    id: "turnout-differs",
    family: Family::Counts,
    kind: Kind::Conditional,
    weight: Weight::Discrepancy,
    title: "A turnout noted during the poll is not a number of votes that the unit can have recorded by then.",
    asks: "A turnout noted at a stated time is a number of votes that the unit can have recorded by then.",
    basis: &[Basis::Practice("the turnout is read from the unit's total at stated hours and noted")],
    why: "The votes that are surely before the stated time are its least, and those that may be before it are its most. \
          A number outside these ends was not read from this record at that time.",
    ordinary: &[
        Ordinary {
            account: "The turnout was counted from the register, with voters who signed and had not voted yet.",
            decided_by: "the diary, which says how the turnout was counted",
        },
        Ordinary {
            account: "The number was noted at another time than the paper says, or for another unit as well.",
            decided_by: "the slip or message with which the turnout was reported",
        },
        Ordinary {
            account: "A vote was cast as a test, and whoever noted the turnout left it out.",
            decided_by: "the diary's remarks on complaints and test votes",
        },
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
    if known.case.turnout.is_empty() {
        walk.unseen(Want::Need(
            "the case file states no turnout noted during the poll",
            "presiding officer of the station",
            "the turnout as noted at stated hours (case file: [[turnout]])",
        ));
        return;
    }
    match &known.counts.polls {
        Ok(polls) => known.case.turnout.iter().for_each(|noted| of_turnout(known, walk, polls, noted)),
        Err(doubt) => walk.unseen(want(known, doubt)),
    }
}

fn of_turnout(known: &Known<'_>, walk: &mut Walk<'_>, polls: &[Poll], noted: &Stated<Turnout>) {
    let value = &noted.value;
    let date: String = value.at.chars().take(10).collect();
    let poll = polls.iter().find(|poll| poll.day.as_deref().is_none_or(|day| day == date));
    let zone = hours::zone(known.case, &date, None);
    let at = zone.and_then(|_| hours::instants(known.case, &value.at, None));
    let (Some(poll), Some((earliest, latest))) = (poll, at) else {
        walk.unseen(Want::Other(
            "the case file does not say in which zone, or of which poll, a turnout was noted".to_owned(),
            "registrar of the constituency",
            "the day and zone of the poll (case file: [[poll]])".to_owned(),
        ));
        return;
    };
    let within = i128::from(value.within_seconds) * SECOND;
    // A time to the minute may mean any instant of that minute.
    let minute = if value.at.len() == 16 { 60 * SECOND } else { 0 };
    let (from, to) = (Instant::of_ns(earliest.ns() - within), Instant::of_ns(latest.ns() + within + minute));
    let begin = match poll.tally.since {
        Since::Front => 0,
        Since::Clear(step) | Since::Shown(step) | Since::Blind(step) => step + 1,
    };
    let placed = |step: usize| known.clock.bounds(step).placed(Some(from), Some(to));
    let votes: Vec<(usize, Placed)> =
        known.between(Event::Vote, begin, poll.steps.end).map(|step| (step, placed(step))).collect();
    let is_of_poll = |step: usize| known.is_labelled(step, Phase::Poll);
    let before: Vec<usize> = votes
        .iter()
        .filter(|(step, at)| *at == Placed::Before && is_of_poll(*step))
        .map(|(s, _)| *s)
        .collect();
    let perhaps = votes.iter().filter(|(_, at)| *at != Placed::After).count();
    let tests = known.case.counts.iter().filter(|count| count.value.what == CountOf::TestVotes);
    let deducted: u64 = tests.map(|count| count.value.most).sum();
    let least = (before.len() as u64).saturating_sub(deducted);
    // A log that ends before the noted time, with the poll still open, does not hold all that was recorded by then. Only
    // a close of the poll itself ends it: its cycle may hold that of a mock poll too.
    let reaches = known.replay.back.is_closed()
        || poll.steps.end < known.replay.steps.len()
        || poll.anchor.is_some()
        || poll.steps.clone().any(|step| placed(step) == Placed::After);
    let seen = known.want_in(begin, poll.steps.end).or((!reaches).then_some(Want::Back));
    let before_it = known.counts.memory.before.get(begin).copied().unwrap_or(Interval::SOME);
    let unseen = before_it.most.filter(|_| seen.is_none());
    let most = unseen.map(|unseen| unseen + perhaps as i128);
    let possible = Interval { least: Some(i128::from(least)), most };
    let stated = Interval::from_to(value.least, Some(value.most));
    let place = before.last().map_or(known.place(poll.at), |step| known.place(*step));
    if possible.meet(stated).is_empty() {
        let too_few = stated.most < possible.least;
        let later = votes.iter().find(|(_, at)| *at == Placed::After).map(|(step, _)| *step);
        let clock = if too_few {
            before.last().and_then(|step| known.clock.when(*step).latest)
        } else {
            later.and_then(|step| known.clock.when(step).earliest)
        };
        let rests = poll.tally.rests();
        let mut assumptions: Vec<String> = Vec::new();
        assumptions.extend(known.label_premise(poll.labelled, Phase::Poll));
        assumptions.push(format!(
            "turnout noted at {}: {stated}, {}",
            date_time(&value.at),
            said(&noted.basis)
        ));
        assumptions.push("the turnout noted is a number of votes of this unit".to_owned());
        if too_few && !known.case.counts.iter().any(|count| count.value.what == CountOf::TestVotes) {
            let none = "no vote was cast as a test by then; the case file has no such count";
            assumptions.push(none.to_owned());
        }
        assumptions.extend((rests.front && !too_few).then(|| known.front_premise()).flatten());
        assumptions.extend((rests.numbering && !too_few).then(|| NUMBERING.to_owned()));
        assumptions
            .extend(clock.map_or(Vec::new(), |end| end.rests_on).iter().map(crate::clock::Premise::words));
        let contrary = Contrary {
            others: later.into_iter().map(|step| known.place(step)).collect(),
            expected: "The turnout noted lies between the votes surely and possibly recorded by then."
                .to_owned(),
            shows: format!(
                "Noted at {}: {stated}. Votes surely recorded by then: {least}. Votes possibly recorded by then: {}.",
                date_time(&value.at),
                most.map_or("not known".to_owned(), |most| most.to_string())
            ),
            measured: Some(format!(
                "{stated} noted, {possible} recorded: {}",
                crate::counts::difference(stated.exceeds_by(possible))
            )),
            assumptions,
        };
        walk.contrary(place, contrary);
        return;
    }
    let deducts = known.case.facts.iter().any(|fact| fact.value == Fact::MockVotesDeducted);
    if possible.only().is_some() && possible == stated && deducted == 0 && !deducts {
        walk.in_order(place);
    } else if let Some(want) = seen {
        walk.open(place, want);
    } else if before_it.only().is_none() {
        walk.open(place, Want::Front);
    } else {
        walk.open(place, not_timed());
    }
}

/// A civil time of the case file, made inert.
fn date_time(text: &str) -> String {
    crate::source::Shown::inert(text).to_string()
}

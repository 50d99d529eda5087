//! A vote of the poll after a self-test that failed, with no passed self-test between.

use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, LOST_RECORD, MAKER, OTHER_RECORDS};

pub(crate) static RULE: Rule = Rule {
    id: "self-test-failed-and-voting-went-on",
    family: Family::Procedure,
    kind: Kind::Shown,
    weight: Weight::Departure,
    title: "A vote of the poll follows a failed self-test, with no passed one between.",
    asks: "After a failed self-test, no vote of the poll is recorded before a self-test passes.",
    basis: &[Basis::Practice("a unit whose self-test fails is put right or replaced before voting goes on")],
    why: "The self-test is how the unit says that its parts work. Votes recorded after a failed one may be sound; the \
          procedure asks that the failure be cleared up first.",
    ordinary: &[
        Ordinary::new(
            "The failed part has nothing to do with voting, such as the printer.",
            "the code in the self-test record, and the maker's list of codes",
        ),
        Ordinary::new(
            "The officer was told by the sector officer that voting may go on.",
            "the presiding officer's diary and the sector officer's report",
        ),
        LOST_RECORD,
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, MAKER, "The physical unit's self-test, repeated by a qualified examiner."],
    needs: &[Needs::Records],
    scope: Scope::Poll,
    occasions: "self-tests",
    examples: &[
        Example {
            title: "The self-test fails in mid-poll, and voting goes on.",
            log: "1201 2031-05-10 09:00:05 power-on\n\
                  1202 2031-05-10 09:00:15 self-test result=fail code=17\n\
                  ^ self-test-failed-and-voting-went-on\n\
                  1203 2031-05-10 09:01:00 enable\n\
                  1204 2031-05-10 09:01:30 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: a second self-test passed before voting went on.",
            log: "1201 2031-05-10 09:00:05 power-on\n\
                  1202 2031-05-10 09:00:15 self-test result=fail code=17\n\
                  1203 2031-05-10 09:03:15 self-test result=pass\n\
                  1204 2031-05-10 09:04:00 enable\n\
                  1205 2031-05-10 09:04:30 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1205\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: a record is missing before voting went on, and it may be a passed self-test.",
            log: "1201 2031-05-10 09:00:05 power-on\n\
                  1202 2031-05-10 09:00:15 self-test result=fail code=17\n\
                  1204 2031-05-10 09:04:00 enable\n\
                  ^ number-missing\n\
                  1205 2031-05-10 09:04:30 vote\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1205\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: nobody says that the votes were the poll's; they may be a test's.",
            log: "1201 2031-05-10 09:00:05 power-on\n\
                  1202 2031-05-10 09:00:15 self-test result=fail code=17\n\
                  1203 2031-05-10 09:01:00 enable\n\
                  1204 2031-05-10 09:01:30 vote\n",
            case: "",
        },
    ],
    walk,
};

/// What a self-test says of itself.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Said {
    Passed,
    Failed,
    Neither,
}

fn said(known: &Known<'_>, step: usize) -> Said {
    let result = known.record(step).and_then(|record| known.log.attribute(record, "result"));
    match result {
        Some(value) if value.is("pass") => Said::Passed,
        Some(value) if value.is("fail") => Said::Failed,
        _ => Said::Neither,
    }
}

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let end = known.replay.steps.len();
    let tests: Vec<usize> = known.between(Event::SelfTest, 0, end).collect();
    for (at, test) in tests.iter().enumerate() {
        let place = known.place(*test);
        // A later test speaks for what follows it.
        let next = tests.get(at + 1).copied();
        let until = next.unwrap_or(end);
        let first_vote =
            known.between(Event::Vote, *test, until).find(|vote| known.may_be_at(*vote, Phase::Poll));
        let poll_vote =
            known.between(Event::Vote, *test, until).find(|vote| known.is_labelled(*vote, Phase::Poll));
        let said = said(known, *test);
        if said == Said::Passed {
            walk.in_order(place);
        } else if said == Said::Neither {
            walk.open(place, result_not_stated());
        } else if let Some(vote) = poll_vote
            && !known.unseen_between(*test, vote)
        {
            walk.contrary(place, contrary(known, *test, vote));
        } else if let Some(want) = known.want_in(*test, until) {
            walk.open(place, want);
        } else if first_vote.is_some() {
            walk.open(place, Want::Label(Phase::Poll));
        } else if next.is_none() && !known.replay.back.is_closed() {
            walk.open(place, Want::Back);
        } else {
            walk.in_order(place);
        }
    }
}

fn result_not_stated() -> Want {
    Want::Other(
        "a self-test record does not say whether the test passed".to_owned(),
        "maker of the unit",
        "how the unit records the result of a self-test".to_owned(),
    )
}

fn contrary(known: &Known<'_>, test: usize, vote: usize) -> Contrary {
    Contrary {
        others: vec![known.place(vote)],
        expected: "A passed self-test stands between a failed one and the next vote of the poll.".to_owned(),
        shows: format!(
            "{} is a self-test that failed. {} is a vote of the poll, and no passed self-test is recorded between.",
            known.name(test),
            known.name(vote)
        ),
        measured: None,
        assumptions: [known.label_premise(vote, Phase::Poll), known.numbering_premise(test, vote)]
            .into_iter()
            .flatten()
            .collect(),
    }
}

//! A cover of the unit opened during the poll.

use crate::case::{Fact, Phase};
use crate::clock::Placed;
use crate::clock::hours::{Hour, lapses};
use crate::event::Event;
use crate::finding::{Kind, Weight};
use crate::rules::hours::clock_premises;
use crate::rules::{Basis, Contrary, Example, Family, Known, Needs, Ordinary, Rule, Scope, Walk, Want};

use super::{DIARY, OTHER_RECORDS};

pub(crate) static RULE: Rule = Rule {
    id: "cover-opened",
    family: Family::Procedure,
    kind: Kind::Shown,
    weight: Weight::Departure,
    title: "A cover-opened record stands among the records that the case file calls the poll.",
    asks: "No cover is opened in the records that the case file calls the poll, unless it states a cause.",
    basis: &[Basis::Practice(
        "the sections of the unit are sealed before the poll and stay sealed until the count",
    )],
    why: "The sections of the unit are sealed before the poll. A cover under seal cannot be opened without \
          breaking its seal, so the papers must say when, why and before whom. The log cannot say what was done behind the cover.",
    ordinary: &[
        Ordinary::new(
            "The battery or the paper roll was changed before the polling agents.",
            "the presiding officer's diary, and battery-changed or paper-low records nearby",
        ),
        Ordinary::new(
            "The switch of the cover answered to a knock or to a cover that was not quite shut.",
            "an examination of the cover's switch by a qualified examiner of the physical unit",
        ),
        Ordinary::new(
            "The records that the case file calls the poll reach beyond the close, and the cover was opened in \
                      storage or before the count as the procedure allows.",
            "the strong-room book, the list of seals, and where the poll ends in the log",
        ),
        OTHER_RECORDS,
    ],
    look_next: &[DIARY, "The seal numbers before and after the poll, from the registrar's list of seals."],
    needs: &[Needs::Records],
    scope: Scope::Poll,
    occasions: "openings of a cover",
    examples: &[
        Example {
            title: "A cover is opened between two votes of the poll.",
            log: "1201 2031-05-10 09:00:05 enable\n\
                  1202 2031-05-10 09:00:31 vote\n\
                  1203 2031-05-10 09:04:00 cover-opened section=battery\n\
                  ^ cover-opened\n\
                  1204 2031-05-10 09:08:00 enable\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the case file states that the cover was opened for a reason.",
            log: "1201 2031-05-10 09:00:05 enable\n\
                  1202 2031-05-10 09:00:31 vote\n\
                  1203 2031-05-10 09:04:00 cover-opened section=battery\n\
                  1204 2031-05-10 09:08:00 enable\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1204\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[fact]]\nwhat = \"cover-opened-for-cause\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n",
        },
        Example {
            title: "Near miss: the cover was opened after the poll, in an inspection.",
            log: "1201 2031-05-10 18:00:05 close\n\
                  1202 2031-05-10 18:02:31 power-off\n\
                  1203 2031-06-10 09:04:00 power-on\n\
                  1204 2031-06-10 09:08:00 cover-opened section=memory\n",
            case: "[[phase]]\nwas = \"poll\"\nrecords = \"1201-1202\"\nsource = \"Presiding officer's diary\"\n\
                   by = \"Presiding officer\"\n\n\
                   [[phase]]\nwas = \"training\"\nrecords = \"1203-1204\"\nsource = \"Record of the inspection\"\n\
                   by = \"Registrar\"\n",
        },
    ],
    walk,
};

fn walk(known: &Known<'_>, walk: &mut Walk<'_>) {
    let causes = known.case.facts.iter().filter(|fact| fact.value == Fact::CoverOpenedForCause).count();
    let all = || known.between(Event::CoverOpened, 0, known.replay.steps.len());
    let openings = all().filter(|step| known.may_be_at(*step, Phase::Poll)).count();
    for step in all() {
        let place = known.place(step);
        if !known.may_be_at(step, Phase::Poll) || (causes > 0 && causes >= openings) {
            walk.in_order(place);
        } else if causes > 0 {
            walk.open(place, fewer_causes());
        } else if known.is_labelled(step, Phase::Poll) {
            walk.contrary(place, contrary(known, step));
        } else {
            walk.open(place, Want::Label(Phase::Poll));
        }
    }
}

/// One cause does not excuse two openings, and nothing says which of them it is about.
fn fewer_causes() -> Want {
    Want::Other(
        "the case file states fewer causes than covers were opened".to_owned(),
        "presiding officer of the station",
        "for each opening of a cover, the time, the cause and the witnesses (case file: one [[fact]] each)"
            .to_owned(),
    )
}

/// When it was, by the close recorded before it and by the papers on storage: an opening behind the close is another thing
/// than one while voters vote. Beside the sentence, what it rests on.
fn when(known: &Known<'_>, step: usize) -> (String, Vec<String>) {
    let last = |event| known.steps_of(event).iter().copied().take_while(|at| *at < step).last();
    let behind_voting =
        |close: &usize| last(Event::Enable) < Some(*close) && last(Event::Clear) < Some(*close);
    let mut said = String::new();
    if let Some(close) = last(Event::Close).filter(behind_voting) {
        said.push_str(&format!(
            " It stands behind {}, a close, and no enable is recorded between.",
            known.name(close)
        ));
    }
    let bounds = known.clock.bounds(step);
    let stored = lapses(known.case, &known.case.storage).into_iter().find(|lapse| {
        let within =
            |from: Hour, to: Hour| bounds.placed(Some(from.latest), Some(to.earliest)) == Placed::Inside;
        lapse.from.zip(lapse.to).is_some_and(|(from, to)| within(from, to))
    });
    let mut premises = Vec::new();
    if let Some(stored) = stored {
        let stored_then = format!("the unit was stored then, {}", crate::rules::phases::said(&stored.basis));
        let all = clock_premises(known, &[step]).into_iter().chain([stored_then]);
        premises = all.map(|premise| format!("for what is said of the storage: {premise}")).collect();
        said.push_str(&format!(
            " By the readings of the clock it was recorded while the unit was stored, {}.",
            crate::rules::phases::said(&stored.basis)
        ));
    }
    (said, premises)
}

fn contrary(known: &Known<'_>, step: usize) -> Contrary {
    let (when, premises) = when(known, step);
    Contrary {
        others: Vec::new(),
        expected: "No cover is opened during the poll, unless the papers state a reason.".to_owned(),
        shows: format!(
            "{} says that a cover was opened. The case file calls this record part of the poll.{}",
            known.name(step),
            when
        ),
        measured: None,
        assumptions: known
            .label_premise(step, Phase::Poll)
            .into_iter()
            .chain(premises)
            .chain([
                "the cover was not opened for a reason that the procedure allows; the case file states none"
                    .to_owned(),
            ])
            .collect(),
    }
}

//! Faults of a poll that was repeated on the same unit: papers of one day that speak of the other.

use super::further;
use super::injection::Injection;
use super::{Fault, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::key::How::Conditional;
use crate::rehearsal::key::Spot;
use crate::rehearsal::memory::Id;
use crate::rehearsal::setting::Setting;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    further::row(number, id, texts, Touches::All, two_days, inject)
}

/// Two polls on one unit, a week apart, each with one mock poll.
fn two_days(setting: &mut Setting) {
    setting.rates.insert(Act::Repeated, 1000);
    setting.rates.insert(Act::SecondMockPoll, 0);
    (setting.voters, setting.mock_votes_least) = ((8, 14), (2, 9));
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "165",
        "mock-votes-of-swapped-days",
        (
            "The poll was repeated, and the papers give the mock votes of each day as those of the other",
            "Neither number is that of the mock poll before the poll of its day.",
        ),
        swapped,
    ),
    row(
        "166",
        "mock-votes-of-two-days",
        (
            "Nothing: the poll was repeated, and the papers give the mock votes of each day",
            "Nothing contrary: each number is that of the mock poll before the poll of its day.",
        ),
        of_two_days,
    ),
];

/// The mock polls of both days, each with its votes and what must be seen for anything to follow from its number.
fn mock_polls(i: &Injection) -> Option<[(Vec<Id>, Id); 2]> {
    let of = |phase: Phase| i.life.papers.phases.iter().filter(move |(of, ..)| *of == phase);
    let mocks: Vec<Vec<Id>> = of(Phase::MockPoll)
        .map(|(_, places, _)| {
            i.places(places.clone(), Event::Vote).into_iter().filter_map(|at| i.id(at)).collect()
        })
        .collect();
    let [first, second] = mocks.as_slice() else { return None };
    // Before the first there may have been another, unless the log reaches back to the unit's first record; the second is
    // the only one behind the close of the first poll.
    let (_, poll, _) = of(Phase::Poll).next()?;
    let closed = poll.clone().rfind(|at| i.event(*at) == Some(Event::Close)).and_then(|at| i.id(at))?;
    Some([(first.clone(), i.id(0)?), (second.clone(), closed)])
}

fn swapped(i: &mut Injection) -> Option<()> {
    let mocks = mock_polls(i)?;
    let mut noted = i.life.papers.counts.iter_mut().filter(|count| count.of == "mock-votes");
    let (Some(first), Some(second), None) = (noted.next(), noted.next(), noted.next()) else { return None };
    if first.least == second.least {
        return None;
    }
    std::mem::swap(&mut first.least, &mut second.least);
    std::mem::swap(&mut first.most, &mut second.most);
    i.key.did("The mock votes noted for the two days were exchanged", &[]);
    for (votes, needs) in mocks {
        let spots: Vec<Spot> = votes.into_iter().map(Spot::Of).collect();
        let because = "The mock poll held for this day's poll had another number of votes than the papers give for the day.";
        i.key.find("mock-votes-differ", &[Conditional], &spots, &[needs], because);
    }
    Some(())
}

fn of_two_days(i: &mut Injection) -> Option<()> {
    mock_polls(i)?;
    i.key.did("Nothing: each day's mock votes are those of its mock poll", &[]);
    i.silent(&["mock-votes-differ"], "Each day's number is that of its mock poll.");
    Some(())
}

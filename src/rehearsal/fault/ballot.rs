//! Faults beyond the catalogue: ballot units, the unit's identity, the closing line, the chain, secrecy.

use super::injection::Injection;
use super::{Fault, Level, Size, Touches, order::nothing};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::key::How::{Conditional, Shown};
use crate::rehearsal::key::Spot;
use crate::rehearsal::papers::Paper;
use crate::rehearsal::unwritten::Print;

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    size: Option<Size>,
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    let (injected, concludes) = texts;
    let (level, touches) = (Level::Easy, Touches::All);
    Fault { number, id, injected, concludes, size, level, touches, setting: nothing, inject }
}

pub(super) static FAULTS: &[Fault] = &[
    row(
        "111",
        "vote-on-another-ballot-unit",
        (
            "A vote names a ballot unit that is not linked",
            "If each change of a link leaves its record, this vote cannot be; which vote it is appears in no output.",
        ),
        None,
        vote_on_another,
    ),
    row(
        "112",
        "ballot-unit-changed",
        ("A ballot unit is changed in mid-poll, and no paper says so", "The change is named."),
        None,
        ballot_unit_changed,
    ),
    row(
        "113",
        "serial-differs",
        ("The papers name another serial than the log", "The two serials are named."),
        None,
        serial_differs,
    ),
    row(
        "114",
        "closing-line-counts-more",
        (
            "The closing line counts more records than the file holds",
            "Closing line and file do not agree; a file cut short explains it.",
        ),
        Some(Size { of: "records", least: 1, usual: 1, most: 100 }),
        closing_line_counts_more,
    ),
    row(
        "115",
        "choice-at-a-vote",
        (
            "A vote record names a candidate",
            "The disclosure is named by its line; what it says appears nowhere.",
        ),
        None,
        choice_at_a_vote,
    ),
    row(
        "116",
        "candidates-not-as-listed",
        ("The unit was prepared for one candidate more than the list holds", "The two numbers are named."),
        None,
        candidates_not_as_listed,
    ),
];

/// Lives whose votes name their only ballot unit.
fn names_ballot_units(i: &Injection) -> Option<()> {
    (i.life.linked.len() == 1 && !i.vote_attributes().is_empty()).then_some(())
}

fn vote_on_another(i: &mut Injection) -> Option<()> {
    names_ballot_units(i)?;
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)? + 1;
    let vote = i.id(at)?;
    i.entry_mut(at)?.attributes = vec![("bu", "BU-49999".to_owned())];
    i.key.did("This vote names another ballot unit", &[Spot::Of(vote)]);
    let because = "The ballot unit that a vote names was never linked. Which vote it is appears in no output, for a ballot unit \
                   may be part of the choice.";
    let first = i.id(0)?;
    i.key.find("vote-on-unlinked-ballot-unit", &[Conditional], &[], &[first, vote], because);
    let because = "No record says that a ballot unit was changed; and where one is linked, naming it discloses no choice.";
    i.silent(&["ballot-unit-changed-in-poll", "choice-disclosed"], because);
    Some(())
}

fn ballot_unit_changed(i: &mut Injection) -> Option<()> {
    names_ballot_units(i)?;
    let poll = i.phase(Phase::Poll)?;
    let sites = i.enables_between_votes();
    let mut at = i.pick(&sites)?;
    // Links are found anew when the unit comes on, which leaves open what was linked before.
    if (poll.start..at).any(|place| i.event(place) == Some(Event::PowerOff)) {
        return None;
    }
    let cleared =
        (0..poll.start).rev().find(|at| i.event(*at) == Some(Event::Clear)).and_then(|at| i.id(at))?;
    let old = i.life.linked.first()?.clone();
    let (from, to) = (i.entry(at - 1)?.moment, i.entry(at)?.moment);
    let third = (to - from) / 3;
    let down = i.insert(at, from + third, Event::LinkDown, vec![("bu", old.clone())])?;
    let new = "BU-49999".to_owned();
    let up = i.insert(at + 1, from + 2 * third, Event::LinkUp, vec![("bu", new.clone())])?;
    at += 2;
    // To the end of the poll every record that named the old one names the new one.
    for entry in i.life.memory.entries.get_mut(at..poll.end + 2)? {
        for (_, value) in entry.attributes.iter_mut().filter(|(key, value)| *key == "bu" && *value == old) {
            value.clone_from(&new);
        }
    }
    for entry in i.life.memory.entries.iter_mut().skip(at) {
        for (_, value) in entry.attributes.iter_mut().filter(|(key, value)| *key == "bu" && *value == old) {
            value.clone_from(&new);
        }
    }
    for row in &mut i.life.papers.rows {
        for key in row.keys.iter_mut().filter(|key| key.starts_with("ballot-units")) {
            *key = format!("ballot-units = [\"{old}\", \"{new}\"]");
        }
    }
    i.key.did("The ballot unit was changed for another", &[Spot::Of(down), Spot::Of(up)]);
    let how = [Shown, Conditional];
    let because = "Another ballot unit was linked in mid-poll.";
    i.key.find("ballot-unit-changed-in-poll", &how, &[], &[cleared, down, up], because);
    Some(())
}

fn serial_differs(i: &mut Injection) -> Option<()> {
    let own = i.life.serial.clone();
    let row = i.life.papers.rows.iter_mut().find(|row| row.keys.iter().any(|key| key.contains(&own)))?;
    for key in &mut row.keys {
        *key = key.replace(&own, "CU-19999");
    }
    i.key.did("The papers name the serial CU-19999", &[]);
    i.key.find("identity-differs", &[Conditional], &[], &[], "Log and papers name different serials.");
    Some(())
}

fn closing_line_counts_more(i: &mut Injection) -> Option<()> {
    let more = u64::try_from(i.size).ok()?;
    i.print(Print::Counts(more));
    i.key.did(format!("The closing line counts {more} records more than the file holds"), &[]);
    i.key.find("closing-disagrees", &[Shown], &[], &[], "Count and lines do not agree.");
    Some(())
}

fn choice_at_a_vote(i: &mut Injection) -> Option<()> {
    let sites = i.enables_between_votes();
    let at = i.pick(&sites)? + 1;
    let vote = i.id(at)?;
    i.entry_mut(at)?.attributes.push(("candidate", "2".to_owned()));
    i.key.did("This vote names a candidate", &[Spot::Of(vote)]);
    i.find("choice-disclosed", Conditional, vote, "An attribute at a vote is in words of a choice.");
    Some(())
}

fn candidates_not_as_listed(i: &mut Injection) -> Option<()> {
    let set = i.entries().iter().rfind(|entry| entry.event == Event::CandidateSet).map(|entry| entry.id)?;
    let row = i
        .life
        .papers
        .rows
        .iter_mut()
        .find(|row| row.keys.iter().any(|key| key.starts_with("candidates = ")))?;
    let stated: i64 = row.keys.first()?.trim_start_matches("candidates = ").parse().ok()?;
    if stated < 2 {
        return None;
    }
    row.keys = vec![format!("candidates = {}", stated - 1)];
    row.paper = Paper::CandidateList;
    i.key.did("The list of candidates holds one fewer than the unit was prepared for", &[]);
    i.key.find(
        "candidates-not-the-cases",
        &[Conditional, Shown],
        &[],
        &[set],
        "The numbers of candidates differ.",
    );
    Some(())
}

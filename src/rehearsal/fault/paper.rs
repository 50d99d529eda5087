//! Faults beyond the catalogue: numbers on paper that are not the unit's, one for each rule that sets a paper against the log.

use super::further;
use super::hour::votes_after_the_hour;
use super::injection::Injection;
use super::order::nothing;
use super::{Fault, Level, Size, Touches};
use crate::case::Phase;
use crate::event::Event;
use crate::rehearsal::acts::Act;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};
use crate::rehearsal::key::{How, Spot};
use crate::rehearsal::memory::Id;
use crate::rehearsal::papers::Paper;
use crate::rehearsal::setting::Setting;

const ANY: [How; 3] = [Conditional, Shown, Contradiction];

const VOTES: Option<Size> = Some(Size { of: "votes", least: 1, usual: 2, most: 10 });

const fn row(
    number: &'static str,
    id: &'static str,
    texts: (&'static str, &'static str),
    touches: Touches,
    setting: fn(&mut Setting),
    inject: fn(&mut Injection) -> Option<()>,
) -> Fault {
    Fault { size: VOTES, level: Level::Easy, ..further::row(number, id, texts, touches, setting, inject) }
}

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        size: None,
        level: Level::Middle,
        ..row(
            "36",
            "log-under-another-name",
            (
                "The export is supplied a second time under another unit's name, whose entry in the register the papers hold",
                "Serial and software of the log are not those of the papers, which a clerk's slip explains too; nothing about \
                 either unit. That the two files are the same is for the examination of several logs.",
            ),
            Touches::Paper,
            nothing,
            under_another_name,
        )
    },
    row(
        "118",
        "declared-higher",
        (
            "More votes are declared for the unit than it holds",
            "Declaration and unit differ by exactly so many.",
        ),
        Touches::All,
        nothing,
        declared_higher,
    ),
    row(
        "119",
        "mock-votes-noted-higher",
        (
            "More votes are noted for the mock poll than were cast in it",
            "Certificate and log of the mock poll differ.",
        ),
        Touches::All,
        |setting| {
            setting.rates.insert(Act::SecondMockPoll, 0);
        },
        mock_votes_noted_higher,
    ),
    row(
        "120",
        "result-higher",
        (
            "The result that the unit shows at the count is higher than the total of its close",
            "A contradiction: nothing changes the votes in the memory after the close.",
        ),
        Touches::All,
        nothing,
        result_higher,
    ),
    row(
        "121",
        "slips-fewer",
        ("Fewer slips are counted than the unit holds votes", "Slips and votes differ by exactly so many."),
        Touches::All,
        |setting| {
            setting.rates.insert(Act::PaperTrail, 1000);
        },
        slips_fewer,
    ),
    Fault {
        size: Some(Size { of: "votes after the hour", least: 2, usual: 6, most: 12 }),
        ..row(
            "122",
            "tokens-fewer",
            (
                "Votes are recorded after the closing hour, and a token fewer was given out",
                "More votes after the hour than tokens, if the readings and the stated hour hold.",
            ),
            Touches::All,
            |setting| setting.service.close = (500, 560),
            tokens_fewer,
        )
    },
    Fault {
        size: Some(Size { of: "voters", least: 40, usual: 60, most: 100 }),
        ..row(
            "123",
            "turnout-noted-higher",
            (
                "A turnout is noted that is higher than all votes of the day",
                "The number cannot be that of the votes recorded by then.",
            ),
            Touches::All,
            nothing,
            turnout_noted_higher,
        )
    },
];

fn under_another_name(i: &mut Injection) -> Option<()> {
    let own = format!("serial = \"{}\"", i.life.serial);
    let row = i.life.papers.rows.iter_mut().find(|row| row.keys.contains(&own))?;
    row.keys = vec![
        "serial = \"CU-19999\"".to_owned(),
        "role = \"control\"".to_owned(),
        "software = \"3.9\"".to_owned(),
    ];
    i.key.did("The papers hold the entry of the unit CU-19999 in the register, with software 3.9", &[]);
    // One finding for the serial, one for the software: of the header, and of a record where one states it.
    for about in ["The serial", "The software"] {
        let because = format!("{about} of the log is not that of the papers.");
        i.key.find("identity-differs", &[Conditional], &[], &[], &because);
    }
    Some(())
}

/// The clear before the poll, and its close: between them its votes are counted.
fn of_the_poll(i: &Injection) -> Option<[Id; 2]> {
    let close = i.close_of_poll()?;
    let cleared = i.entries().iter().take(close).rfind(|entry| entry.event == Event::Clear)?.id;
    Some([cleared, i.id(close)?])
}

fn declared_higher(i: &mut Injection) -> Option<()> {
    i.raise_count("declared", i.size);
    // The close shows the number, whatever of the day is seen.
    let [_, close] = of_the_poll(i)?;
    i.key.did(format!("The number declared was raised by {}", i.size), &[]);
    i.key.find("declared-differs", &ANY, &[], &[close], "More votes are declared than the unit shows.");
    Some(())
}

fn mock_votes_noted_higher(i: &mut Injection) -> Option<()> {
    i.raise_count("mock-votes", i.size);
    i.phase(Phase::MockPoll)?;
    let first = i.id(0)?;
    i.key.did(format!("The votes noted for the mock poll were raised by {}", i.size), &[]);
    let because = "The mock poll has fewer votes than were noted, and the log shows every one that was held.";
    i.key.find("mock-votes-differ", &ANY, &[], &[first], because);
    Some(())
}

fn result_higher(i: &mut Injection) -> Option<()> {
    let [_, close] = of_the_poll(i)?;
    let from = i.entries().iter().position(|entry| entry.id == close)?;
    let mut results = Vec::new();
    for entry in i.life.memory.entries.iter_mut().skip(from).filter(|entry| entry.event == Event::Result) {
        for (key, value) in &mut entry.attributes {
            if *key == "total" {
                *value = (value.parse::<i64>().ok()? + i.size).to_string();
            }
        }
        results.push(entry.id);
    }
    let first = *results.first()?;
    let spots: Vec<Spot> = results.into_iter().map(Spot::Of).collect();
    i.raise_count("result-at-count", i.size);
    i.key.did(format!("Every result behind the close was raised by {}", i.size), &spots);
    i.key.find("result-differs", &ANY, &[], &[close, first], "Close and result show different numbers.");
    Some(())
}

fn slips_fewer(i: &mut Injection) -> Option<()> {
    if !i.life.papers.counts.iter().any(|noted| noted.of == "slips" && noted.least > i.size) {
        return None;
    }
    i.raise_count("slips", -i.size);
    // Where the clear is not seen, votes of the mock poll may be in the memory whose slips were set apart.
    let needs = of_the_poll(i)?;
    i.key.did(format!("The number of slips counted was lowered by {}", i.size), &[]);
    i.key.find("slips-differ", &ANY, &[], &needs, "Fewer slips were counted than the unit shows votes.");
    Some(())
}

fn tokens_fewer(i: &mut Injection) -> Option<()> {
    votes_after_the_hour(i)?;
    let tokens = i.size - 1;
    i.life.papers.count("tokens", tokens, Paper::Diary);
    i.key.did(format!("{tokens} tokens were noted as given out"), &[]);
    // Each of the votes counts, by the enable that released it; a log that holds some of them only may hold no more than
    // there were tokens.
    let of_queue = [Event::Enable, Event::Vote];
    let votes: Vec<Id> = i
        .entries()
        .iter()
        .filter(|entry| of_queue.contains(&entry.event) && i.closes().is_some_and(|hour| entry.moment > hour))
        .map(|entry| entry.id)
        .collect();
    i.key.find(
        "tokens-differ",
        &ANY,
        &[],
        &votes,
        "More votes were recorded after the hour than tokens given.",
    );
    Some(())
}

fn turnout_noted_higher(i: &mut Injection) -> Option<()> {
    let row = i.life.papers.rows.iter_mut().rfind(|row| row.table == "turnout")?;
    let key = row.keys.iter_mut().find(|key| key.starts_with("value = "))?;
    let noted = key.trim_start_matches("value = ").parse::<i64>().ok()? + i.size;
    *key = format!("value = {noted}");
    // What follows is reckoned from the readings and the votes that the log still holds.
    i.key.did(format!("The last turnout noted was raised by {}, to {noted}", i.size), &[]);
    Some(())
}

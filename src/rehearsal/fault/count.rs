//! Faults of counts: the unit's totals and the papers' numbers.

use super::injection::{Injection, SILENT};
use super::order::{nothing, since_cleared};
use super::{Fault, Level, Size, Touches};
use crate::case::Phase;
use crate::rehearsal::key::How::{Conditional, Contradiction, Shown};

pub(super) static FAULTS: &[Fault] = &[
    Fault {
        number: "41",
        id: "total-too-high",
        injected: "Every total that the unit shows from the close on is more than the votes in its log",
        concludes: "Totals and vote records of the unit contradict each other, by exactly so many.",
        size: Some(Size { of: "votes", least: 1, usual: 1, most: 50 }),
        level: Level::Easy,
        touches: Touches::All,
        setting: nothing,
        inject: total_too_high,
    },
    Fault {
        number: "42",
        id: "register-higher",
        injected: "The register holds more signatures than the unit has votes, and the papers allow for some refusals",
        concludes: "The numbers go together with the refusals that the papers allow for, which the answer names.",
        size: Some(Size { of: "signatures", least: 1, usual: 2, most: 5 }),
        level: Level::Middle,
        touches: Touches::Paper,
        setting: nothing,
        inject: register_higher,
    },
];

fn total_too_high(i: &mut Injection) -> Option<()> {
    let close = i.close_of_poll()?;
    i.raise_totals(close, i.size);
    i.raise_count("total-at-close", i.size);
    i.raise_count("declared", i.size);
    i.raise_count("result-at-count", i.size);
    let close = i.id(close)?;
    i.phase(Phase::Count)?;
    i.key.did(
        format!("From this record on every total is {} more than the votes recorded", i.size),
        &[super::super::key::Spot::Of(close)],
    );
    let any = [Contradiction, Shown, Conditional];
    let needs = since_cleared(i, close);
    i.key.find("total-differs", &any, &[], &needs, "Total and vote records of one unit differ.");
    i.key.find(
        "register-differs",
        &any,
        &[],
        &[close],
        "The total exceeds the register, less those who did not vote.",
    );
    Some(())
}

fn register_higher(i: &mut Injection) -> Option<()> {
    let more = i.size;
    i.raise_count("register", more);
    let refused = i.life.papers.counts.iter_mut().find(|noted| noted.of == "refused")?;
    refused.most += 5;
    i.key.did(
        format!("The register was given {more} more signatures, and the refusals were noted as an interval"),
        &[],
    );
    i.key.answer(
        "register-differs",
        SILENT,
        "The refusals that the papers allow for explain the difference.",
    );
    Some(())
}

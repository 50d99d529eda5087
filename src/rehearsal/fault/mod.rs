//! Faults: one table of what is injected into made-up lives, with size, and what a correct examination concludes.

mod ballot;
mod chain;
mod clock;
mod count;
mod course;
mod day;
mod days;
mod export;
mod further;
mod hour;
mod injection;
mod order;
mod pace;
mod paper;
mod print;
mod rate;
mod reckoned;
mod ring;
mod step;
mod together;
mod truth;

use super::setting::Setting;
use injection::Injection;

pub use together::{Rehearsed, clean, rehearse};

/// How hard it is for a pupil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// One line shows it.
    Easy,
    /// Several lines, or a paper, show it.
    Middle,
    /// What must be seen is what cannot be told.
    Hard,
}

impl Level {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Level::Easy => "easy",
            Level::Middle => "middle",
            Level::Hard => "hard",
        }
    }
}

/// A size of a fault: what is measured, from least to most, and the usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// What is counted.
    pub of: &'static str,
    /// Least.
    pub least: i64,
    /// Usual.
    pub usual: i64,
    /// Greatest.
    pub most: i64,
}

/// What of a life a fault touches. Two faults may be combined where they touch different things.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touches {
    /// Which events stand at one place in the poll.
    Order,
    /// How one line is written.
    Line,
    /// A number on paper.
    Paper,
    /// What every record or the whole life is like; such a fault stands alone.
    All,
}

impl Touches {
    /// Whether such a fault stands alone in its life.
    #[must_use]
    pub fn stands_alone(self) -> bool {
        self == Touches::All
    }
}

/// A fault.
#[derive(Debug, Clone, Copy)]
pub struct Fault {
    /// Number in the catalogue, with a letter where one number has several forms: `50b`.
    pub number: &'static str,
    /// Its id.
    pub id: &'static str,
    /// What is injected: one sentence without its stop.
    pub injected: &'static str,
    /// What a correct examination concludes: one sentence.
    pub concludes: &'static str,
    /// Its size, where size matters.
    pub size: Option<Size>,
    /// How hard it is.
    pub level: Level,
    /// What it touches.
    pub touches: Touches,
    /// How the life is made that it is injected into.
    setting: fn(&mut Setting),
    /// How it is injected; it fails where this life has no place for it.
    inject: fn(&mut Injection) -> Option<()>,
}

impl Fault {
    /// The size to use.
    ///
    /// # Errors
    /// A sentence where the fault has no size, or not this one.
    pub fn size(&self, asked: Option<i64>) -> Result<i64, String> {
        match (self.size, asked) {
            (None, None) => Ok(0),
            (None, Some(_)) => Err(format!("the fault {} has no size", self.id)),
            (Some(size), None) => Ok(size.usual),
            (Some(size), Some(asked)) if (size.least..=size.most).contains(&asked) => Ok(asked),
            (Some(size), Some(_)) => {
                let Size { of, least, most, .. } = size;
                Err(format!("the size of the fault {} is from {least} to {most} {of}", self.id))
            }
        }
    }
}

/// A row of the catalogue that cannot be injected into one unit's log.
#[derive(Debug, Clone, Copy)]
pub struct Awaited {
    /// Number in the catalogue.
    pub number: &'static str,
    /// What would be injected.
    pub injected: &'static str,
    /// What a correct examination would conclude.
    pub concludes: &'static str,
    /// What is missing for it. No issue brings it yet; it belongs to the examination of several units.
    pub missing: &'static str,
}

/// The rows that speak of two units, or of two exports of one unit.
pub static AWAITED: &[Awaited] = &[
    Awaited {
        number: "35",
        injected: "200 events of one unit are copied into another",
        concludes: "An identical run in both, the same to the second; not which is the copy.",
        missing: "the logs of two units, read together",
    },
    Awaited {
        number: "37",
        injected: "One record differs in the part that two exports of a unit share",
        concludes: "A contradiction; the record is named.",
        missing: "two exports of one unit, read together",
    },
    Awaited {
        number: "38",
        injected: "Two exports of one unit share no record",
        concludes: "Nothing about continuity.",
        missing: "two exports of one unit, read together",
    },
    Awaited {
        number: "39",
        injected: "A later export lacks the last 100 records of an earlier one, though its ring is not full",
        concludes: "A contradiction.",
        missing: "two exports of one unit, read together",
    },
    Awaited {
        number: "43",
        injected: "The paper-trail unit's own log lacks one event in its middle",
        concludes: "One event without its counterpart; which unit is right cannot be told.",
        missing: "the log of the paper-trail unit, read together with that of the control unit",
    },
    Awaited {
        number: "44",
        injected: "Two units record perfectly regular events",
        concludes: "The offset between their clocks cannot be told.",
        missing: "the logs of two units, and a clock for each",
    },
];

/// The faults, part by part.
static PARTS: &[&[Fault]] = &[
    order::FAULTS,
    hour::FAULTS,
    ring::FAULTS,
    clock::FAULTS,
    pace::FAULTS,
    count::FAULTS,
    print::FAULTS,
    further::FAULTS,
    ballot::FAULTS,
    chain::FAULTS,
    export::FAULTS,
    course::FAULTS,
    rate::FAULTS,
    days::FAULTS,
    paper::FAULTS,
    day::FAULTS,
];

/// Every fault, in the order of its number.
#[must_use]
pub fn faults() -> Vec<&'static Fault> {
    let mut faults: Vec<&Fault> = PARTS.iter().flat_map(|part| part.iter()).collect();
    faults.sort_by_key(|fault| {
        let digits = fault.number.trim_end_matches(|c: char| c.is_ascii_lowercase());
        (digits.parse::<u32>().unwrap_or(u32::MAX), fault.number)
    });
    faults
}

/// The fault with this id or number.
#[must_use]
pub fn fault(name: &str) -> Option<&'static Fault> {
    PARTS.iter().flat_map(|part| part.iter()).find(|fault| fault.id == name || fault.number == name)
}

//! Counts that must agree: numbers with their sources, the equations between them, and what follows.

mod account;
mod interval;
mod ledger;
mod memory;
mod mocks;
mod passage;
mod polls;
mod sheet;
mod system;
mod words;

use crate::case::{Case, CountOf, Phase, Saying};
use crate::replay::Replay;
use crate::syntax::Log;
use crate::unit::UnitDescription;

pub use interval::{Interval, figures};
pub use ledger::{Balance, Item, Ledger, Opinion, Outcome, Source, Term};
pub use memory::{Fit, Memory, Rests, Shown, Since, Tally, number_shown};
pub use polls::Poll;
pub use sheet::words_of;
pub use system::{Settled, Sign, Sum, System};
pub use words::{difference, equation, finding, letter, letters, verdict};

/// Why a number is not known, or an equation cannot be decided.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Doubt {
    /// What was recorded before the first record is not known.
    Front,
    /// What was recorded after the last record is not known.
    Back,
    /// Something may have happened unseen at this step.
    Blind(usize),
    /// The case file does not say of every record what it belonged to.
    Label(Phase),
    /// Several polls, and which number is of which cannot be told.
    WhichPoll,
    /// No close and no result of the poll was seen, so that its number of votes is not fixed.
    NoClose,
    /// Numbers that the unit showed do not agree with each other or with its votes.
    AtOdds,
    /// No paper states it.
    NotStated(CountOf),
    /// The two sides agree for some of the values that are left open.
    Allowance(String),
}

/// What a conclusion rests on besides the records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Rest {
    /// That a record was of a phase, as the case file says.
    Label(usize, Phase),
    /// That nothing was recorded before the first record.
    Front,
    /// That nothing was recorded after the last record.
    Back,
    /// That record numbers step as the description says, and missing records are of known kinds.
    Numbering,
    /// A number on paper.
    Paper(CountOf, Interval, Saying),
    /// Something that the case file does not state otherwise.
    Unstated(&'static str),
    /// That a count is none, of which the case file does not speak. A difference is told under this premise; that there is
    /// none is not.
    NoSuch(CountOf, &'static str),
}

/// All counts of one log under one version of the case.
#[derive(Debug, Clone)]
pub struct Counts {
    /// The votes in memory, and the numbers that the unit showed.
    pub memory: Memory,
    /// The polls in the log; or why papers cannot be set against them.
    pub polls: Result<Vec<Poll>, Doubt>,
    /// The numbers side by side.
    pub ledger: Ledger,
}

impl Counts {
    /// Counts.
    #[must_use]
    pub fn of(log: &Log, case: &Case, unit: &UnitDescription, replay: &Replay) -> Counts {
        let memory = Memory::of(log, unit, replay);
        let view = polls::View { log, case, replay, memory: &memory };
        let polls = polls::polls(view);
        let ledger = account::ledger(view, &polls);
        Counts { memory, polls, ledger }
    }
}

//! Counts that must agree: numbers with their sources, the equations between them, and what follows.

mod account;
mod at_close;
mod enables;
mod interval;
mod ledger;
mod memory;
mod mocks;
mod papers;
mod passage;
mod polls;
mod room;
mod sheet;
mod shown;
mod system;
mod timed;
mod view;
mod words;

use std::ops::Range;

use crate::case::{Case, CountOf, Phase, Saying};
use crate::clock::{Clock, Premise};
use crate::replay::Replay;
use crate::syntax::Log;
use crate::unit::UnitDescription;

pub use interval::{Interval, counted, figures};
pub use ledger::{Balance, Item, Ledger, OfPaper, Opinion, Outcome, Source, Term};
pub use memory::{Fit, Memory, Rests, Shown, Since, Tally, number_shown};
pub use polls::Poll;
pub use sheet::words_of;
pub use shown::{Around, numbers_shown, numbers_told, records_named};
pub use system::{Settled, Sign, Sum, System};
pub use timed::Timed;
pub use words::{
    derived, difference, equation, equation_derived, finding, least_time, letter, letters, opening, sides,
    verdict,
};

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
    /// Every number names its poll, and the memory shows fewer polls than the papers state: no clear between them is seen.
    NotParted,
    /// No close and no result of the poll was seen, so that its number of votes is not fixed.
    NoClose,
    /// Numbers that the unit showed do not agree with each other or with its votes.
    AtOdds,
    /// No paper states it.
    NotStated(CountOf),
    /// The two sides agree for some of the values that are left open.
    Allowance(String),
    /// The clock's bounds do not say of every vote on which side of a stated time it lies.
    NotTimed,
    /// Not every vote surely lies on the day of what is noted, and that may count the votes of that day alone.
    OfTheDay,
    /// No paper states one hour with its zone, or of which poll.
    NoHour,
    /// Whether votes cast as tests were counted is not stated.
    Tests,
}

/// What a conclusion rests on besides the records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Rest {
    /// That records were of a phase, as the case file says.
    Labels(Vec<usize>, Phase),
    /// That votes in a stretch were of no such phase, as far as the case file says what they were.
    LabelsBeside(Range<usize>, Phase),
    /// That nothing was recorded before the first record.
    Front,
    /// That nothing was recorded after the last record.
    Back,
    /// That record numbers step as the description says, and missing records are of known kinds.
    Numbering,
    /// A number on paper.
    Paper(CountOf, Interval, Saying),
    /// The least time of one vote in milliseconds, and who states it; `None`: the unit description.
    LeastTime(u64, Option<Saying>),
    /// The opening of the poll, as a paper writes it.
    Opening(String, Saying),
    /// What bounds the true time of a record.
    Clock(Premise),
    /// That there were polls on these days, and who first says so of each.
    Days(Vec<(String, Saying)>),
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
    /// Per turnout of the case file: the votes recorded by then. Empty where papers cannot be set against the polls.
    pub turnouts: Vec<Result<Timed, Doubt>>,
    /// Per poll: its votes after the closing hour.
    pub after_hour: Vec<Result<Timed, Doubt>>,
    /// The numbers side by side.
    pub ledger: Ledger,
}

impl Counts {
    /// Counts.
    #[must_use]
    pub fn of(log: &Log, case: &Case, unit: &UnitDescription, replay: &Replay, clock: &Clock<'_>) -> Counts {
        let memory = Memory::of(log, unit, replay);
        let view = view::View { log, case, unit, replay, clock, memory: &memory };
        let polls = polls::polls(view);
        let held = polls.as_deref().unwrap_or_default();
        let turnouts = if polls.is_ok() { timed::turnouts(view, held) } else { Vec::new() };
        let tokens = case.counts.iter().any(|count| count.value.what == CountOf::Tokens);
        let after_hour = if tokens { timed::after_hour(view, held) } else { Vec::new() };
        let ledger = account::ledger(view, &polls, &turnouts, &after_hour);
        Counts { memory, polls, turnouts, after_hour, ledger }
    }
}

//! The one transition table: in which state the unit takes which event, where it leads, and what stands against it.

use crate::event::Event;
use crate::unit::{UnitDescription, Unlogged};

/// What the memory of votes is in. Power is a dimension of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
pub enum Mode {
    /// Memory empty, ready for the first enable.
    Cleared,
    /// Released for the first vote since the clear.
    EnabledFirst,
    /// At least one vote in memory, ready for the next enable.
    Between,
    /// At least one vote in memory, released for the next.
    EnabledAgain,
    /// Closed: no vote until the memory is cleared.
    Closed,
    /// Closed, and the result has been shown.
    ResultShown,
}

/// The modes, in the order of the table's columns.
pub const MODES: [Mode; 6] =
    [Mode::Cleared, Mode::EnabledFirst, Mode::Between, Mode::EnabledAgain, Mode::Closed, Mode::ResultShown];

impl Mode {
    /// The mode in plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Mode::Cleared => "memory empty and locked",
            Mode::EnabledFirst => "memory empty and released for one vote",
            Mode::Between => "votes in memory and locked",
            Mode::EnabledAgain => "votes in memory and released for one vote",
            Mode::Closed => "closed",
            Mode::ResultShown => "closed with the result shown",
        }
    }

    /// A short name for drawings and for other programs.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Mode::Cleared => "cleared",
            Mode::EnabledFirst => "enabled-first",
            Mode::Between => "between",
            Mode::EnabledAgain => "enabled-again",
            Mode::Closed => "closed",
            Mode::ResultShown => "result-shown",
        }
    }

    /// The mode after a waiting enable has ended without a vote.
    fn without_enable(self) -> Mode {
        match self {
            Mode::EnabledFirst => Mode::Cleared,
            Mode::EnabledAgain => Mode::Between,
            other => other,
        }
    }
}

/// One state of the unit: mode and power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State {
    /// The mode.
    pub mode: Mode,
    /// Whether the power is on.
    pub on: bool,
}

impl State {
    /// Number of states.
    pub const COUNT: usize = 12;

    /// All states, those with the power on first.
    pub fn all() -> impl Iterator<Item = State> {
        [true, false].into_iter().flat_map(|on| MODES.into_iter().map(move |mode| State { mode, on }))
    }

    /// Its place among [`State::all`].
    #[must_use]
    pub fn index(self) -> usize {
        self.mode as usize + if self.on { 0 } else { MODES.len() }
    }

    /// The state in plain words.
    #[must_use]
    pub fn words(self) -> String {
        format!("{}, power {}", self.mode.words(), if self.on { "on" } else { "off" })
    }

    /// A short name for drawings and for other programs.
    #[must_use]
    pub fn name(self) -> String {
        format!("{}{}", self.mode.name(), if self.on { "" } else { "/off" })
    }
}

/// What stands against an event in a state. A table in `rules` maps each to its rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reason {
    /// An enable while another waits for its vote.
    TwoEnables,
    /// A vote while the unit is locked.
    VoteWithoutEnable,
    /// A vote between close and clear.
    VoteAfterClose,
    /// An enable between close and clear.
    EnableAfterClose,
    /// A result shown before the close.
    ResultBeforeClose,
    /// The memory cleared before the result was shown.
    ClearBeforeResult,
    /// The number of candidates set before the memory was cleared.
    CandidatesSetWithVotes,
    /// A record other than power-on while the power is off.
    EventWhileOff,
    /// Any other event that the table does not foresee.
    NoLawfulCourse,
}

/// Where an event leads from a mode, with the power on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// To another mode.
    To(Mode),
    /// The mode stays as it is.
    Stays,
    /// The unit does not take the event.
    Not(Reason),
}

use Mode::{Between, Cleared, Closed, EnabledAgain, EnabledFirst, ResultShown};
use Outcome::{Not, Stays, To};
use Reason::{
    CandidatesSetWithVotes, ClearBeforeResult, EnableAfterClose, NoLawfulCourse, ResultBeforeClose,
    TwoEnables, VoteAfterClose, VoteWithoutEnable,
};

/// The events that depend on the mode; all others stay in every mode. Columns in the order of [`MODES`].
/// Source: `domain.md` of the project, marked there as common practice in the trade.
#[rustfmt::skip]
pub static TABLE: &[(Event, [Outcome; 6])] = &[
    //                      cleared                 enabled, empty       votes, locked            votes, enabled            closed                       result shown
    (Event::CandidateSet, [Stays,                  Not(NoLawfulCourse),  Not(CandidatesSetWithVotes), Not(CandidatesSetWithVotes), Not(CandidatesSetWithVotes), Not(CandidatesSetWithVotes)]),
    (Event::Enable,       [To(EnabledFirst),       Not(TwoEnables),      To(EnabledAgain),        Not(TwoEnables),         Not(EnableAfterClose),       Not(EnableAfterClose)]),
    (Event::EnableLapsed, [Not(NoLawfulCourse),    To(Cleared),          Not(NoLawfulCourse),     To(Between),             Not(NoLawfulCourse),         Not(NoLawfulCourse)]),
    (Event::Vote,         [Not(VoteWithoutEnable), To(Between),          Not(VoteWithoutEnable),  To(Between),             Not(VoteAfterClose),         Not(VoteAfterClose)]),
    (Event::Close,        [To(Closed),             To(Closed),           To(Closed),              To(Closed),              Not(NoLawfulCourse),         Not(NoLawfulCourse)]),
    (Event::Result,       [Not(ResultBeforeClose), Not(ResultBeforeClose), Not(ResultBeforeClose), Not(ResultBeforeClose), To(ResultShown),             Stays]),
    (Event::Clear,        [Stays,                  Not(NoLawfulCourse),  Not(ClearBeforeResult),  Not(ClearBeforeResult),  Not(ClearBeforeResult),      To(Cleared)]),
];

/// What an event does in a mode with the power on.
#[must_use]
pub fn outcome(event: Event, mode: Mode) -> Outcome {
    TABLE
        .iter()
        .find(|(row, _)| *row == event)
        .and_then(|(_, outcomes)| outcomes.get(mode as usize))
        .copied()
        .unwrap_or(Stays)
}

/// What an event does in a state of a unit as described; the unit's unlogged moves come before it, not in it.
pub(super) fn step(unit: &UnitDescription, event: Event, state: State) -> Result<State, Reason> {
    let resting = if unit.power_cycle_cancels_enable { state.mode.without_enable() } else { state.mode };
    match (event, state.on) {
        (Event::PowerOn, false) => Ok(State { mode: resting, on: true }),
        // A second power-on means that the power went away in between; a unit may leave no record of that.
        (Event::PowerOn, true) if unit.unlogged.contains(&Unlogged::PowerLoss) => {
            Ok(State { mode: resting, on: true })
        }
        (Event::PowerOn, true) => Err(NoLawfulCourse),
        (Event::PowerOff, true) => Ok(State { mode: resting, on: false }),
        // The log can be written out without the unit's switch.
        (Event::Export, _) => Ok(state),
        (_, false) => Err(Reason::EventWhileOff),
        (event, true) => match outcome(event, state.mode) {
            To(mode) => Ok(State { mode, on: true }),
            Stays => Ok(state),
            Not(reason) => Err(reason),
        },
    }
}

/// The states that unlogged moves reach from a state, besides a loss of power, which [`step`] holds in `power-on`.
pub(super) fn unlogged_from(unit: &UnitDescription, state: State) -> Option<State> {
    let lapsed = State { mode: state.mode.without_enable(), ..state };
    (unit.unlogged.contains(&Unlogged::EnableLapse) && state.on && lapsed != state).then_some(lapsed)
}

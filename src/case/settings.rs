//! What the local procedure or the examiner's instructions set: numbers by name, and clauses that a rule rests on.

use super::{Saying, Stated};

/// What the local procedure sets.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Settings {
    /// Least number of votes in a mock poll.
    pub mock_votes_least: Vec<Stated<u64>>,
    /// Other numbers, each by its name.
    pub numbers: Vec<Stated<(SettingOf, u64)>>,
    /// Who states that the clock may be taken to run at one constant rate between two settings.
    pub clock_line: Vec<Saying>,
    /// A clause of the local law or procedure that a rule rests on: the rule's id and the clause's words.
    pub clauses: Vec<Stated<(String, String)>>,
}

impl Settings {
    /// The first statement of a number, where there is one.
    #[must_use]
    pub fn number(&self, of: SettingOf) -> Option<&Stated<(SettingOf, u64)>> {
        self.numbers.iter().find(|stated| stated.value.0 == of)
    }
}

/// A number that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SettingOf {
    /// Bound on the rate of the unit's clock, in parts per million either way.
    DriftPpm,
    /// How far the displayed time may be off, in seconds either way, before it is told.
    OffsetToleranceSeconds,
    /// How far the rate may be off, in parts per million either way, before it is told.
    RateTolerancePpm,
    /// Minutes after the closing hour in which those who waited may still vote.
    QueueMinutes,
    /// Minutes after the later of closing hour and last vote within which the close is expected.
    CloseWithinMinutes,
    /// Documented least time of one vote, in seconds.
    SecondsPerVote,
}

impl SettingOf {
    /// All of them, in the order of the manual.
    pub const ALL: [SettingOf; 6] = [
        SettingOf::DriftPpm,
        SettingOf::OffsetToleranceSeconds,
        SettingOf::RateTolerancePpm,
        SettingOf::QueueMinutes,
        SettingOf::CloseWithinMinutes,
        SettingOf::SecondsPerVote,
    ];

    /// Its key in `[[setting]]`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            SettingOf::DriftPpm => "drift-ppm",
            SettingOf::OffsetToleranceSeconds => "offset-tolerance-seconds",
            SettingOf::RateTolerancePpm => "rate-tolerance-ppm",
            SettingOf::QueueMinutes => "queue-minutes",
            SettingOf::CloseWithinMinutes => "close-within-minutes",
            SettingOf::SecondsPerVote => "seconds-per-vote",
        }
    }
}

//! The closed lists of words of a case file, and what each stands for.

use super::{CountOf, End, Fact, Phase, Reference};
use crate::sheet::Choice;

const fn choice(word: &'static str, meaning: &'static str) -> Choice {
    Choice { word, meaning }
}

/// The words for [`super::Phase`].
pub(super) const PHASES: &[Choice] = &[
    choice("poll", "The poll."),
    choice("mock-poll", "A mock poll before the candidates' agents."),
    choice("test", "A function test or a test of many votes, days or weeks before."),
    choice("count", "The count or a recount."),
    choice("training", "Training or inspection."),
];

/// The words for [`super::End`].
pub(super) const ENDS: &[Choice] = &[
    choice("front", "Nothing was recorded before the log's first record."),
    choice("back", "Nothing was recorded after the log's last record."),
];

/// The words for [`super::Fact`], all but its free sentence.
pub(super) const FACTS: &[Choice] = &[
    choice(
        "unit-replaced",
        "The unit was taken out of use in mid-poll and another put in its place; nobody closed it.",
    ),
    choice(
        "unit-took-anothers-place",
        "The unit was put in the place of another in mid-poll, so that its mock poll lies within the hours.",
    ),
    choice(
        "mock-votes-deducted",
        "The votes of the mock poll stayed in the memory and were deducted by written order.",
    ),
    choice("ballot-unit-replaced", "A ballot unit was replaced during the poll."),
    choice("cleared-after-count", "The memory was cleared after the count, as the procedure allows."),
    choice("cover-opened-for-cause", "A cover was opened during the poll for a stated reason."),
];

/// Where a log states a reference time itself.
pub(super) const REFERENCES: &[Choice] = &[choice(
    Reference::EXPORTED,
    "The time of export in the header of the log. The margin is to cover the exporter's clock and the time the export took.",
)];

/// The words for [`super::CountOf`].
pub(super) const COUNTS: &[Choice] = &[
    choice("declared", "Votes declared for the unit."),
    choice("register", "Voters signed in the register."),
    choice("mock-votes", "Votes of the mock poll as noted."),
    choice("refused", "Voters who signed and then refused to vote, or left before the enable."),
    choice("slips", "Paper slips counted."),
    choice("total-at-close", "The unit's total as noted at the close."),
    choice("result-at-count", "The result as noted at the count: the sum over all candidates."),
    choice("left-after-enable", "Voters who left after the enable without voting."),
    choice("unsigned", "Voters who voted without having signed."),
    choice("test-votes", "Votes cast as tests during the poll, to be deducted."),
    choice("tendered", "Tendered ballots, cast on paper."),
    choice("tokens", "Numbered tokens given at the closing hour to those who waited."),
];

/// The words for the role of a unit.
pub(super) const ROLES: &[Choice] = &[
    choice("control", "The control unit, worked by the official."),
    choice("ballot", "A ballot unit, worked by the voter."),
    choice("paper-trail", "The unit that prints a slip for each vote."),
];

impl Phase {
    /// Every phase, in the order of a unit's life.
    pub const ALL: [Phase; 5] = [Phase::Test, Phase::MockPoll, Phase::Poll, Phase::Count, Phase::Training];

    pub(super) fn of_word(word: &str) -> Option<Phase> {
        Phase::ALL.into_iter().find(|phase| phase.word() == word)
    }

    /// Its word in the case file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Phase::Test => "test",
            Phase::MockPoll => "mock-poll",
            Phase::Poll => "poll",
            Phase::Count => "count",
            Phase::Training => "training",
        }
    }
}

impl End {
    pub(super) fn of_word(word: &str) -> Option<End> {
        [End::Front, End::Back].into_iter().find(|end| end.word() == word)
    }

    /// Its word in the case file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            End::Front => "front",
            End::Back => "back",
        }
    }
}

impl Fact {
    pub(super) fn of_word(word: &str) -> Option<Fact> {
        [
            Fact::UnitReplaced,
            Fact::UnitTookAnothersPlace,
            Fact::MockVotesDeducted,
            Fact::BallotUnitReplaced,
            Fact::ClearedAfterCount,
            Fact::CoverOpenedForCause,
        ]
        .into_iter()
        .find(|fact| fact.word() == Some(word))
    }

    /// Its word in the case file; `None` for a free sentence.
    #[must_use]
    pub fn word(&self) -> Option<&'static str> {
        match self {
            Fact::UnitReplaced => Some("unit-replaced"),
            Fact::UnitTookAnothersPlace => Some("unit-took-anothers-place"),
            Fact::MockVotesDeducted => Some("mock-votes-deducted"),
            Fact::BallotUnitReplaced => Some("ballot-unit-replaced"),
            Fact::ClearedAfterCount => Some("cleared-after-count"),
            Fact::CoverOpenedForCause => Some("cover-opened-for-cause"),
            Fact::Other(_) => None,
        }
    }
}

impl CountOf {
    pub(super) fn of_word(word: &str) -> Option<CountOf> {
        CountOf::ALL.into_iter().find(|count| count.word() == word)
    }

    /// All of them, in the order of the manual.
    pub const ALL: [CountOf; 12] = [
        CountOf::Declared,
        CountOf::Register,
        CountOf::MockVotes,
        CountOf::Refused,
        CountOf::Slips,
        CountOf::TotalAtClose,
        CountOf::ResultAtCount,
        CountOf::LeftAfterEnable,
        CountOf::Unsigned,
        CountOf::TestVotes,
        CountOf::Tendered,
        CountOf::Tokens,
    ];

    /// Its word in the case file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            CountOf::Declared => "declared",
            CountOf::Register => "register",
            CountOf::MockVotes => "mock-votes",
            CountOf::Refused => "refused",
            CountOf::Slips => "slips",
            CountOf::TotalAtClose => "total-at-close",
            CountOf::ResultAtCount => "result-at-count",
            CountOf::LeftAfterEnable => "left-after-enable",
            CountOf::Unsigned => "unsigned",
            CountOf::TestVotes => "test-votes",
            CountOf::Tendered => "tendered",
            CountOf::Tokens => "tokens",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_the_closed_lists_is_understood() {
        assert!(PHASES.iter().all(|choice| Phase::of_word(choice.word).is_some()));
        assert!(ENDS.iter().all(|choice| End::of_word(choice.word).is_some()));
        assert!(FACTS.iter().all(|choice| Fact::of_word(choice.word).is_some()));
        assert!(COUNTS.iter().all(|choice| CountOf::of_word(choice.word).is_some()));
        assert_eq!((PHASES.len(), ENDS.len(), FACTS.len(), COUNTS.len()), (5, 2, 6, 12));
    }
}

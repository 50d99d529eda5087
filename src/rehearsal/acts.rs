//! Lawful acts that a careless reader accuses: one table, each with how often it happens.

use super::chance::Permille;

/// Whether a rate is per life or per voter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// Once in a life, or not.
    Life,
    /// For each voter anew.
    Voter,
}

/// One row of [`ACTS`].
#[derive(Debug, Clone, Copy)]
pub struct ActEntry {
    /// The act.
    pub act: Act,
    /// How often, unless a [`super::Setting`] says otherwise. An *assumption*.
    pub often: Permille,
    /// Of what it is so many thousandths.
    pub per: Per,
    /// What happens, in one sentence.
    pub meaning: &'static str,
}

macro_rules! acts {
    ($($act:ident $often:literal $per:ident $meaning:literal;)*) => {
        /// A lawful act.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Act { $(#[doc = $meaning] $act),* }

        /// The acts. That they are lawful and met is *common practice* (`domain.md`); every rate is an *assumption*,
        /// to be varied, and no measurement of any election.
        pub static ACTS: &[ActEntry] =
            &[$(ActEntry { act: Act::$act, often: $often, per: Per::$per, meaning: $meaning }),*];
    };
}

acts! {
    ManyTestVotes 100 Life "The first check ends with a test of many votes, which a tenth of the units have.";
    PreparationVotes 100 Life "The preparation ends with a test of many votes, which a tenth of the units have.";
    TestFailedOnce 30 Life "A self-test fails on the morning of the poll, and is passed when repeated.";
    SecondMockPoll 50 Life "The mock poll is held a second time for an agent who came late.";
    MockVotesKept 30 Life "The votes of the mock poll stay in the memory and are deducted by written order.";
    ZeroPrinted 200 Life "Zero is shown before the poll by a printed report, not by the total.";
    ReplacedUnit 20 Life "The unit fails in mid-poll and another takes its place; nobody closes it.";
    ReplacementUnit 20 Life "The unit takes another's place in mid-poll, with a mock poll inside the hours.";
    SimultaneousPolls 30 Life "Two polls are held at once, and each voter votes on this unit and on another.";
    Adjourned 20 Life "The poll is adjourned and goes on the next day.";
    Repeated 15 Life "The poll is repeated a week after the count, on the same unit.";
    Interrupted 80 Life "The poll is interrupted for a while.";
    TenderedBallots 100 Life "Some voters cast tendered ballots on paper.";
    BatteryReplaced 50 Life "The battery is replaced in mid-poll, with its cover opened for that cause.";
    BallotUnitReplaced 30 Life "A ballot unit is replaced in mid-poll.";
    CableLoose 50 Life "A ballot unit's cable works loose and is put back.";
    PaperTrail 200 Life "A paper-trail unit stands between, and prints a slip for each vote.";
    PaperReplaced 300 Life "The paper-trail unit's roll is replaced in mid-poll, with its cover opened for that cause.";
    KeysTooEarly 100 Life "Keys are pressed before their time, and the unit refuses them.";
    Recounted 100 Life "The result is shown again at recounts.";
    ResultUnclosed 300 Life "A unit that was replaced is closed at the count, to show its result.";
    Inspected 60 Life "The unit is inspected between poll and export.";
    ClearedAfterCount 60 Life "The memory is cleared after the count, as the procedure allows.";
    Trained 60 Life "The unit serves a training between poll and export, after its memory was cleared.";
    ExportedBefore 60 Life "The log was exported once before.";
    EnableLapsed 4 Voter "A voter leaves after the enable, which ends without a vote.";
    EnableCancelled 2 Voter "A voter leaves after the enable, and the official switches off and on to end it.";
    Refused 3 Voter "A voter signs the register and then refuses to vote.";
    EnabledTwice 3 Voter "The official presses enable twice, and the unit refuses the second.";
    TestVote 1 Voter "A test vote is cast after a complaint about a paper slip, and deducted later.";
    SlipNotCut 1 Voter "A paper slip hangs behind the window and the official is called.";
}

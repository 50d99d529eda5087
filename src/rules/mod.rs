//! The rules: what each asks, on what it rests, which ordinary explanations are open, and the one list of them all.

mod against;
pub mod asked;
pub mod clock;
pub mod counts;
mod extent;
pub mod hours;
mod known;
pub mod pace;
mod phases;
pub mod procedure;
pub mod record;
mod walk;
mod want;

use crate::case::{CountOf, SettingOf};
use crate::finding::{Kind, Weight};
use crate::replay::Reason;

pub use against::Against;
pub use known::Known;
pub use walk::{Contrary, Outcome, Told, Walk, run};
pub use want::Want;

/// The families of rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// The export as a record: its lines, numbers, times, ends.
    Record,
    /// The order of events and the procedure around a poll.
    Procedure,
    /// The hours of the poll and of what surrounds it.
    Hours,
    /// The unit's clock.
    Clock,
    /// Numbers that must agree.
    Counts,
    /// The time between votes.
    Pace,
}

impl Family {
    /// The family's name.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Family::Record => "record",
            Family::Procedure => "procedure",
            Family::Hours => "hours",
            Family::Clock => "clock",
            Family::Counts => "counts",
            Family::Pace => "pace",
        }
    }
}

/// What a rule rests on, in the order of authority. A clause of the case file (*local*) comes before all of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The unit description; what of it.
    Unit(&'static str),
    /// The neutral format or the closing line that the exporter wrote; what of it.
    Format(&'static str),
    /// Common practice in the trade, without a published source.
    Practice(&'static str),
    /// A published requirement that is comparable and not binding here.
    Comparable(&'static str),
}

/// An ordinary explanation, and what would decide whether it holds.
#[derive(Debug, Clone, Copy)]
pub struct Ordinary {
    /// The explanation.
    pub account: &'static str,
    /// What supports or excludes it.
    pub decided_by: &'static str,
    /// What in the record itself may speak against it.
    pub against: Option<Against>,
}

impl Ordinary {
    /// An explanation, and what would decide whether it holds.
    #[must_use]
    pub const fn new(account: &'static str, decided_by: &'static str) -> Ordinary {
        Ordinary { account, decided_by, against: None }
    }

    /// The same, where the record itself may speak against it.
    #[must_use]
    pub const fn against(self, against: Against) -> Ordinary {
        Ordinary { against: Some(against), ..self }
    }
}

/// What must be known for a rule to answer at all. Where it is missing, the answer is *cannot be told* by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// At least one record.
    Records,
    /// Record numbers on records, and a description that says how they step.
    Numbers,
    /// Times on records.
    Times,
    /// A stretch of the log that the case file calls the poll.
    PollLabel,
    /// A stretch of the log that the case file calls the mock poll.
    MockPollLabel,
    /// The number of candidates, stated in the case file.
    Candidates,
    /// The least number of votes of a mock poll, stated in the case file.
    MockVotesLeast,
    /// A closing line.
    ClosingLine,
    /// Serial, role or software stated in the case file.
    Identity,
    /// The day of a poll.
    PollDay,
    /// The opening hour of a poll, with its day.
    OpeningHour,
    /// The closing hour of a poll, with its day.
    ClosingHour,
    /// Readings of the unit's clock.
    Readings,
    /// Interruptions of the poll, or that there was none.
    Interruptions,
    /// Where the unit was stored, or that it was not.
    Storage,
    /// A number that the local procedure sets.
    Number(SettingOf),
    /// A number on paper, stated in the case file.
    Count(CountOf),
    /// A documented least time from one vote to the next.
    LeastTime,
}

/// Which part of a unit's life a rule speaks about, and so what counts as unseen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// The export as a text: nothing of it is unseen.
    Text,
    /// All events of the unit: what lies before, after and in gaps is unseen.
    Events,
    /// The events of the poll. A poll may lie in any part that is unseen, so all that is unseen counts; and so do
    /// enables and votes of which the case file does not say what they belong to.
    Poll,
    /// The rule says itself what is unseen.
    Own,
}

/// An example: a log with marks, and whether the rule fires on it.
#[derive(Debug, Clone, Copy)]
pub struct Example {
    /// What it shows.
    pub title: &'static str,
    /// Record lines of the neutral format. A line `^ rule-id` marks a finding of that rule on the line above it. A log
    /// without heading gets one; `$close` stands for a correct closing line.
    pub log: &'static str,
    /// A case file in TOML, or nothing.
    pub case: &'static str,
}

/// A rule.
pub struct Rule {
    /// Its id: the file's name; says what stands in the record.
    pub id: &'static str,
    /// Its family.
    pub family: Family,
    /// The strongest way in which a finding of it can follow.
    pub kind: Kind,
    /// How much a finding of it weighs.
    pub weight: Weight,
    /// What stands in the record when it is not kept: one plain sentence.
    pub title: &'static str,
    /// What is asked of the record, as a rule that can be kept: one plain sentence.
    pub asks: &'static str,
    /// What it rests on, strongest first; never empty.
    pub basis: &'static [Basis],
    /// Why it matters and why it holds.
    pub why: &'static str,
    /// Ordinary explanations; never empty.
    pub ordinary: &'static [Ordinary],
    /// What to examine next, and who holds it.
    pub look_next: &'static [&'static str],
    /// What must be known.
    pub needs: &'static [Needs],
    /// What it speaks about.
    pub scope: Scope,
    /// What one occasion of it is called, in the plural.
    pub occasions: &'static str,
    /// At least one example that fires and one near miss that does not.
    pub examples: &'static [Example],
    /// Walks over its occasions.
    pub walk: fn(&Known<'_>, &mut Walk<'_>),
}

/// Every rule, in the order of the reports.
pub static RULES: &[&Rule] = &[
    &record::unreadable_line::RULE,
    &record::number_missing::RULE,
    &record::record_repeated::RULE,
    &record::number_repeated::RULE,
    &record::numbers_out_of_order::RULE,
    &record::ring_order::RULE,
    &record::time_decreases::RULE,
    &record::closing_disagrees::RULE,
    &record::more_records_than_kept::RULE,
    &record::unknown_event::RULE,
    &record::record_after_export::RULE,
    &record::identity_differs::RULE,
    &record::chain_broken::RULE,
    &record::choice_disclosed::RULE,
    &procedure::two_enables::RULE,
    &procedure::vote_without_enable::RULE,
    &procedure::vote_after_close::RULE,
    &procedure::enable_after_close::RULE,
    &procedure::result_before_close::RULE,
    &procedure::clear_before_result::RULE,
    &procedure::memory_cleared_before_count::RULE,
    &procedure::candidates_set_with_votes::RULE,
    &procedure::candidates_not_the_cases::RULE,
    &procedure::no_mock_poll::RULE,
    &procedure::mock_poll_not_cleared::RULE,
    &procedure::mock_poll_too_small::RULE,
    &procedure::zero_not_shown::RULE,
    &procedure::no_close::RULE,
    &procedure::vote_on_unlinked_ballot_unit::RULE,
    &procedure::ballot_unit_changed_in_poll::RULE,
    &procedure::event_while_off::RULE,
    &procedure::power_lost::RULE,
    &procedure::self_test_failed_and_voting_went_on::RULE,
    &procedure::cover_opened::RULE,
    &procedure::enable_pending_at_close::RULE,
    &procedure::no_lawful_course::RULE,
    &hours::vote_before_opening::RULE,
    &hours::vote_after_hour::RULE,
    &hours::vote_after_queue::RULE,
    &hours::closed_early::RULE,
    &hours::closed_late::RULE,
    &hours::mock_poll_in_hours::RULE,
    &hours::activity_in_storage::RULE,
    &hours::result_outside_count::RULE,
    &hours::vote_in_interruption::RULE,
    &clock::clock_offset::RULE,
    &clock::clock_rate::RULE,
    &clock::clock_set_in_poll::RULE,
    &clock::clock_reset::RULE,
    &clock::poll_day_not_displayed::RULE,
    &clock::readings_conflict::RULE,
    &clock::clock_slip::RULE,
    &counts::total_differs::RULE,
    &counts::result_differs::RULE,
    &counts::declared_differs::RULE,
    &counts::register_differs::RULE,
    &counts::slips_differ::RULE,
    &counts::mock_votes_differ::RULE,
    &counts::lapses_differ::RULE,
    &counts::tokens_differ::RULE,
    &counts::turnout_differs::RULE,
    &counts::battery_higher_at_count::RULE,
    &pace::vote_too_soon::RULE,
    &pace::interval_run_repeated::RULE,
    &pace::last_digit_uneven::RULE,
    &pace::coarse_clock::RULE,
];

/// Which rule speaks for which kind of deviation: one deviation, one rule.
pub static DEVIATIONS: &[(Reason, &str)] = &[
    (Reason::TwoEnables, "two-enables"),
    (Reason::VoteWithoutEnable, "vote-without-enable"),
    (Reason::VoteAfterClose, "vote-after-close"),
    (Reason::EnableAfterClose, "enable-after-close"),
    (Reason::ResultBeforeClose, "result-before-close"),
    (Reason::ClearBeforeResult, "clear-before-result"),
    (Reason::CandidatesSetWithVotes, "candidates-set-with-votes"),
    (Reason::EventWhileOff, "event-while-off"),
    (Reason::NoLawfulCourse, "no-lawful-course"),
];

/// The rule with this id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.id == id)
}

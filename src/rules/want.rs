//! Reasons why something cannot be told, each with what would tell it and who holds that.

use crate::case::{Phase, Poll, SettingOf};
use crate::clock::export_pair;
use crate::finding::Ask;
use crate::replay::{Cause, Gap};
use crate::rules::{Known, Needs};

/// What is asked for wherever a reading of the clock would help, in the same words everywhere.
pub(super) const READINGS: &str = "readings of the unit's clock beside a reference clock, with how far that may have been off \
                                   (case file: [[reading]])";

/// What makes the export's own two times a reading, and of whom it is asked; `None` where the log has no such pair.
pub(super) fn export_asked(known: &Known<'_>) -> Option<(&'static str, String)> {
    let ask = "how far the exporter's clock may have been off: with that, the export's own two times are a reading (case file: \
               [[reading]] with reference-from)";
    export_pair(known.log, known.replay).map(|_| ("whoever made the export", ask.to_owned()))
}

/// Why something cannot be told, and what would be needed to tell it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Want {
    /// What was recorded before the first record.
    Front,
    /// What was recorded after the last record.
    Back,
    /// Lines that could not be read.
    UnreadLines,
    /// Record numbers that are missing.
    MissingNumbers,
    /// Record numbers that go back.
    Order,
    /// Record numbers that leave no room for a record.
    NoRoom,
    /// Records that contradict each other.
    Conflict,
    /// Events that the vocabulary does not hold.
    UnknownEvents,
    /// What a part of the log was.
    Label(Phase),
    /// A need of the rule that is not met.
    Need(&'static str, &'static str, &'static str),
    /// Anything else: why it is open, who holds what would decide it, what that is.
    Other(String, &'static str, String),
    /// The same where more than one thing would help: each with who holds it. Rules that need the same thing ask for it in the
    /// same words, so that it is asked for once.
    Several(String, Vec<(&'static str, String)>),
}

impl Want {
    /// A gap as a reason why something cannot be told.
    #[must_use]
    pub fn of_gap(gap: Gap) -> Want {
        match gap.cause {
            Cause::Unread => Want::UnreadLines,
            Cause::Hole => Want::MissingNumbers,
            Cause::NumbersGoBack => Want::Order,
            Cause::NoRoom => Want::NoRoom,
            Cause::Conflict => Want::Conflict,
        }
    }

    /// Why it is open, as a sentence without its stop.
    #[must_use]
    pub fn why(&self) -> String {
        match self {
            Want::Front => "what was recorded before the first record of this log is not known".to_owned(),
            Want::Back => "what was recorded after the last record of this log is not known".to_owned(),
            Want::UnreadLines => {
                "some lines could not be read, and each may stand for any number of records".to_owned()
            }
            Want::MissingNumbers => {
                "record numbers are missing, and what these records said is not known".to_owned()
            }
            Want::Order => "record numbers go back, so that the order of the records is in doubt".to_owned(),
            Want::NoRoom => {
                "record numbers leave no room for a record that stands between them, so that its place is in doubt"
                    .to_owned()
            }
            Want::Conflict => "conflict: records that it would rest on contradict each other".to_owned(),
            Want::UnknownEvents => {
                "some events are not in the vocabulary, and each may have changed the unit in any way"
                    .to_owned()
            }
            Want::Label(phase) => {
                format!("the case file does not say of every record whether it was of the {}", phase.words())
            }
            Want::Need(why, _, _) => (*why).to_owned(),
            Want::Other(why, _, _) | Want::Several(why, _) => why.clone(),
        }
    }

    /// What to ask for, and of whom.
    #[must_use]
    pub(super) fn asks(&self, known: &Known<'_>) -> Vec<Ask> {
        let ask = |of, what: &str| vec![Ask { of, what: what.to_owned() }];
        match self {
            Want::Front => match known.older_records().filter(|older| *older > 0) {
                // That nothing was recorded before cannot be stated where the numbers say otherwise.
                Some(older) => ask(
                    "custodian of the unit and of earlier exports",
                    &format!(
                        "an earlier export of the same unit, and what the unit itself still holds: by the number of the \
                         first record of this log, {older} came before it"
                    ),
                ),
                None => ask(
                    "custodian of the unit and of earlier exports",
                    "an earlier export of the same unit, or a statement with its source that nothing was recorded before (case file: [[end]], closed = \"front\")",
                ),
            },
            Want::Back => ask(
                "custodian of the unit and of earlier exports",
                "a later export of the same unit, or a statement with its source that nothing was recorded after (case file: [[end]], closed = \"back\")",
            ),
            Want::UnreadLines => {
                ask("whoever made the export", "the export again, with the lines that could not be read")
            }
            Want::MissingNumbers => ask(
                "whoever made the export",
                "the records whose numbers are missing, or the reason why the export leaves them out",
            ),
            Want::Order | Want::NoRoom => {
                ask("whoever made the export", "the export in the order in which the unit recorded")
            }
            Want::Conflict => ask(
                "qualified examiner of the physical unit",
                "the unit's own memory, read again, for the records that contradict each other",
            ),
            Want::UnknownEvents => {
                ask("maker of the unit", "the meaning of the event words that the vocabulary does not hold")
            }
            Want::Label(_) => ask(
                "presiding officer of the station",
                "the diary with the times of mock poll, opening and close, to state in the case file ([[phase]]) which records were which",
            ),
            Want::Need(_, of, what) => ask(of, what),
            Want::Other(_, of, what) => ask(of, what),
            Want::Several(_, asks) => asks.iter().flat_map(|(of, what)| ask(of, what)).collect(),
        }
    }
}

/// What a need asks for, when it is not met.
pub(super) fn missing(need: Needs, known: &Known<'_>) -> Option<Want> {
    let records = known.log.records();
    let registrar = "registrar of the constituency";
    // Without a row that gives the label no record has it.
    let labelled = |phase: Phase| {
        known.case.phases.iter().any(|stated| stated.value.phase == phase)
            && known.replay.labels.iter().any(|label| label.is_only(phase))
    };
    match need {
        Needs::Records if records.is_empty() => Some(Want::Need(
            "the log has no record that could be read",
            "whoever made the export",
            "an export that holds records",
        )),
        Needs::Numbers
            if known.unit.number_step.is_none()
                || records.iter().filter(|r| r.number.is_some()).take(2).count() < 2 =>
        {
            Some(Want::Need(
                "the records carry no numbers, or the unit description does not say how numbers step",
                "whoever made the export",
                "an export with record numbers",
            ))
        }
        Needs::Times if records.iter().filter(|r| r.time.is_some()).take(2).count() < 2 => Some(Want::Need(
            "fewer than two records carry a time",
            "whoever made the export",
            "an export with the times that the unit displayed",
        )),
        Needs::PollLabel if !labelled(Phase::Poll) => Some(Want::Label(Phase::Poll)),
        Needs::MockPollLabel if !labelled(Phase::MockPoll) => Some(Want::Label(Phase::MockPoll)),
        Needs::Candidates if known.case.unit.candidates.is_empty() => Some(Want::Need(
            "the case file does not state the number of candidates",
            registrar,
            "the list of candidates (case file: [[unit]], candidates = n)",
        )),
        Needs::MockVotesLeast if known.case.settings.mock_votes_least.is_empty() => Some(Want::Need(
            "the case file does not state how many votes a mock poll must have",
            registrar,
            "the local procedure for the mock poll (case file: [[setting]], mock-votes-least = n)",
        )),
        Needs::Count(what) if !known.case.counts.iter().any(|count| count.value.what == what) => {
            Some(super::counts::not_stated(what))
        }
        Needs::ClosingLine if known.log.closing().is_none() => Some(Want::Need(
            "the log has no closing line, so that nothing says whether the file is whole",
            "whoever made the export",
            "an export with its closing line, or its number of records",
        )),
        Needs::Identity
            if known.case.unit.serial.is_empty()
                && known.case.unit.role.is_empty()
                && known.case.unit.software.is_empty() =>
        {
            Some(Want::Need(
                "the case file states neither serial nor role nor software of the unit",
                registrar,
                "the register of units for the station (case file: [[unit]])",
            ))
        }
        _ => missing_of_time(need, known),
    }
}

/// The same for what the rules on hours and clock need.
fn missing_of_time(need: Needs, known: &Known<'_>) -> Option<Want> {
    let registrar = "registrar of the constituency";
    match need {
        Needs::PollDay if known.case.polls.iter().all(|poll| poll.value.date.is_none()) => Some(Want::Need(
            "the case file does not state the day of a poll",
            registrar,
            "the notice of poll with its day (case file: [[poll]], date)",
        )),
        Needs::OpeningHour
            if !known.case.polls.iter().any(|poll| has(&poll.value, poll.value.opens.as_ref())) =>
        {
            Some(Want::Need(
                "the case file does not state the day and the opening hour of a poll",
                registrar,
                "the notice of poll with its day and hours (case file: [[poll]], date, opens, closes, zone)",
            ))
        }
        Needs::ClosingHour
            if !known.case.polls.iter().any(|poll| has(&poll.value, poll.value.closes.as_ref())) =>
        {
            Some(Want::Need(
                "the case file does not state the day and the closing hour of a poll",
                registrar,
                "the notice of poll with its day and hours (case file: [[poll]], date, opens, closes, zone)",
            ))
        }
        Needs::Readings if known.case.readings.is_empty() => Some(Want::Need(
            "the case file states no reading of the unit's clock",
            "presiding officer of the station",
            READINGS,
        )),
        Needs::Interruptions if known.case.interruptions.is_empty() => Some(Want::Need(
            "the case file does not state whether the poll was interrupted",
            "presiding officer of the station",
            "the diary's entries on interruptions, or that there was none (case file: [[interruption]])",
        )),
        Needs::Storage if known.case.storage.is_empty() => Some(Want::Need(
            "the case file does not state when the unit was stored",
            registrar,
            "the register of the strong room, or that the unit was not stored (case file: [[storage]])",
        )),
        Needs::Number(of) if known.case.settings.number(of).is_none() => Some(number(of)),
        Needs::LeastTime
            if known.unit.least_ms_per_vote.is_none()
                && known.case.settings.number(SettingOf::SecondsPerVote).is_none() =>
        {
            Some(Want::Need(
                "neither the unit description nor the case file states a least time from one vote to the next",
                "maker of the unit, or whoever holds its description",
                "the documented least time of one vote (case file: [[setting]], seconds-per-vote = n)",
            ))
        }
        _ => None,
    }
}

fn has(poll: &Poll, hour: Option<&String>) -> bool {
    poll.date.is_some() && hour.is_some()
}

/// A number that the local procedure sets, and that the case file does not state.
fn number(of: SettingOf) -> Want {
    let what = match of {
        SettingOf::DriftPpm => "how far the rate of the unit's clock may be off",
        SettingOf::OffsetToleranceSeconds => "how far the unit's clock may be off",
        SettingOf::RateTolerancePpm => "how far the rate of the unit's clock may be off before that is told",
        SettingOf::QueueMinutes => "how long after the closing hour those who waited may vote",
        SettingOf::CloseWithinMinutes => "within what time after the last vote the unit is to be closed",
        SettingOf::SecondsPerVote => "the least time of one vote",
    };
    Want::Other(
        format!("the case file does not state {what}"),
        "registrar of the constituency",
        format!(
            "the local procedure or the maker's document on {what} (case file: [[setting]], {} = n)",
            of.word()
        ),
    )
}

//! What is wanted where a number is not known or an equation stays open: why, of whom, and what to ask for.

use crate::case::CountOf;
use crate::counts::Doubt;
use crate::replay::Ending;
use crate::rules::{Known, Want};

/// What is wanted where no paper speaks of a count, so that an equation took it for none.
pub(in crate::rules) fn whether_none(what: CountOf) -> Want {
    if what != CountOf::Tendered {
        return not_stated(what);
    }
    Want::Other(
        "the case file does not state how many voters signed the register and cast a tendered ballot on paper".to_owned(),
        "presiding officer",
        "the list of tendered ballots, also where there was none (case file: [[count]], of = \"tendered\", value = 0)"
            .to_owned(),
    )
}

/// A doubt as a reason why something cannot be told, with what would tell it.
pub(in crate::rules) fn want(known: &Known<'_>, doubt: &Doubt) -> Want {
    match doubt {
        Doubt::Front => Want::Front,
        Doubt::Back => Want::Back,
        Doubt::Blind(step) => known.why_blind(*step),
        Doubt::Label(phase) => Want::Label(*phase),
        Doubt::NotParted => Want::Other(
            "the log shows fewer polls, parted by clears of the memory, than the case file states, so that it is not told of which \
             of them the number in memory is"
                .to_owned(),
            "registrar of the constituency",
            "whether the memory was cleared between the polls, when, and the number of votes of each by its own result".to_owned(),
        ),
        Doubt::WhichPoll => Want::Other(
            "the case file does not say which of several polls in this log its numbers are about".to_owned(),
            "registrar of the constituency",
            "the day of the poll of each number (case file: [[count]], poll = \"YYYY-MM-DD\") and the days of all polls ([[poll]])".to_owned(),
        ),
        Doubt::NoClose if known.replay.back == Ending::Open => Want::Back,
        Doubt::NoClose => Want::Other(
            "no close and no result of the poll stands in the record, so that its number of votes is not fixed".to_owned(),
            "custodian of the unit and of earlier exports",
            "the result that the unit shows, and who closed it".to_owned(),
        ),
        Doubt::AtOdds => Want::Other(
            "conflict: numbers that the unit showed do not agree with each other or with its votes".to_owned(),
            "qualified examiner of the physical unit",
            "the unit's own memory and the result that it shows".to_owned(),
        ),
        Doubt::NotStated(what) => not_stated(*what),
        Doubt::Allowance(text) => allowance(text),
        Doubt::NotTimed => not_timed(),
        Doubt::OfTheDay => of_the_day(),
        Doubt::NoHour => no_hour(),
        Doubt::Tests => not_stated(CountOf::TestVotes),
    }
}

/// That the clock's bounds leave open on which side of a time some votes lie.
fn not_timed() -> Want {
    Want::Other(
        "no reading of the clock says of every vote whether it was before or after the stated time".to_owned(),
        "presiding officer and returning officer",
        "readings of the unit's clock beside a reference clock (case file: [[reading]]), and the bound on its rate ([[setting]], drift-ppm)".to_owned(),
    )
}

/// That votes may be of another day than what is noted.
fn of_the_day() -> Want {
    Want::Other(
        "not every vote that may be counted surely lies on the day of what is noted, and that may be the number of the day alone"
            .to_owned(),
        "presiding officer of the station",
        "whether the number noted counts the votes of that day alone, and, if it is so, that the poll was held on no other day (case \
         file: [[poll]], only-day = true)"
            .to_owned(),
    )
}

/// That no hour is stated against which votes could be set.
fn no_hour() -> Want {
    Want::Other(
        "the case file does not state one hour with its zone, or of which poll a number is".to_owned(),
        "registrar of the constituency",
        "the day, the hours and the zone of the poll (case file: [[poll]])".to_owned(),
    )
}

pub(in crate::rules) fn allowance(verdict: &str) -> Want {
    Want::Other(
        format!("a paper leaves a number open, and the sides agree for some of its values: {verdict}"),
        "presiding officer of the station",
        "the exact numbers that the papers leave open".to_owned(),
    )
}

/// That no paper states a number, and who could.
pub(in crate::rules) fn not_stated(what: CountOf) -> Want {
    let officer = "presiding officer of the station";
    let registrar = "registrar of the constituency";
    let (why, of, ask) = match what {
        CountOf::Declared => (
            "the case file does not state how many votes were declared for the unit",
            registrar,
            "the declaration of the result by unit (case file: [[count]], of = \"declared\")",
        ),
        CountOf::Register => (
            "the case file does not state how many voters signed the register",
            officer,
            "the register of voters and the account of votes (case file: [[count]], of = \"register\")",
        ),
        CountOf::MockVotes => (
            "the case file does not state how many votes of the mock poll were noted",
            officer,
            "the certificate of the mock poll (case file: [[count]], of = \"mock-votes\")",
        ),
        CountOf::Refused => (
            "the case file does not state how many voters signed and refused to vote",
            officer,
            "the remarks in the register of voters (case file: [[count]], of = \"refused\")",
        ),
        CountOf::Slips => (
            "the case file does not state how many paper slips were counted",
            registrar,
            "the record of the count of paper slips, where there was one (case file: [[count]], of = \"slips\")",
        ),
        CountOf::LeftAfterEnable => (
            "the case file does not state how many voters left after the enable",
            officer,
            "the diary, for voters who left after the enable (case file: [[count]], of = \"left-after-enable\")",
        ),
        CountOf::TestVotes => (
            "the case file does not say whether the number counts the votes that were cast as tests",
            officer,
            "the diary's remarks on test votes, and how the turnout was counted",
        ),
        CountOf::Tokens => (
            "the case file does not state how many numbered tokens were given at the hour",
            officer,
            "the account of numbered tokens (case file: [[count]], of = \"tokens\")",
        ),
        CountOf::Tendered => (
            "the case file states tendered ballots, and not how many of their voters signed the register",
            officer,
            "the list of tendered ballots, set against the register signature by signature",
        ),
        CountOf::Unsigned => (
            "the case file does not state how many voters voted without having signed",
            officer,
            "the register and the diary, for voters without a signature (case file: [[count]], of = \"unsigned\")",
        ),
        CountOf::TotalAtClose => (
            "the case file does not state the total that was noted at the close",
            officer,
            "the account of votes of the station (case file: [[count]], of = \"total-at-close\")",
        ),
        CountOf::ResultAtCount => (
            "the case file does not state the result that was noted at the count",
            registrar,
            "the record of the count, by unit (case file: [[count]], of = \"result-at-count\")",
        ),
    };
    Want::Need(why, of, ask)
}

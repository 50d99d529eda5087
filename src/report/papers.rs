//! What the case file states, statement by statement, each with its source and who asserts it.

use crate::case::{
    Case, ClockReading, CountOf, End, Fact, Period, Poll, ReadAt, Reference, Saying, SettingOf, Stated,
    Statements, Turnout,
};
use crate::counts::counted;
use crate::report::grouped;
use crate::rules::{self, Needs, RULES};
use crate::source::Shown;
use crate::zone::{DATA, Zone};

/// One statement of the case file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Paper {
    /// What it is about.
    pub(super) about: &'static str,
    /// What is stated.
    pub(super) text: Shown,
    /// Who asserts it, and where it is written.
    pub(super) basis: Shown,
    /// Line of the case file.
    pub(super) line: usize,
    /// Whether a rule uses it.
    pub(super) used: bool,
}

/// The matter's lines: label and text.
pub(super) fn matter(case: &Case) -> Vec<(&'static str, Shown)> {
    let matter = &case.matter;
    [
        ("matter", &matter.title),
        ("court or body", &matter.court),
        ("its number", &matter.number),
        ("question asked", &matter.question),
        ("asked by", &matter.requested_by),
        ("examiner", &matter.examiner),
    ]
    .into_iter()
    .filter_map(|(label, text)| Some((label, Shown::inert(text.as_deref()?))))
    .collect()
}

/// Every statement, in the order of the case file.
pub(super) fn statements(case: &Case) -> Vec<Paper> {
    let mut list = Vec::new();
    let mut say = |about: &'static str, text: String, basis: &Saying, used: bool| {
        let (text, line) = (Shown::inert(&text), basis.line);
        list.push(Paper { about, text, basis: basis.said(), line, used });
    };
    for stated in &case.polls {
        let used = needed(|need| matches!(need, Needs::PollDay | Needs::OpeningHour | Needs::ClosingHour));
        say("poll", poll(&stated.value), &stated.basis, used);
    }
    let unit = &case.unit;
    for (about, facts) in
        [("unit serial", &unit.serial), ("unit role", &unit.role), ("unit software", &unit.software)]
    {
        facts.iter().for_each(|stated| say(about, stated.value.clone(), &stated.basis, true));
    }
    unit.candidates.iter().for_each(|s| say("candidates", grouped(s.value), &s.basis, true));
    unit.ballot_units.iter().for_each(|s| say("ballot units", s.value.join(", "), &s.basis, true));
    unit.description.iter().for_each(|s| say("unit description", s.value.clone(), &s.basis, true));
    for stated in &case.phases {
        say("phase", stated.value.said(), &stated.basis, true);
    }
    for stated in &case.ends {
        let text = match stated.value {
            End::Front => "nothing was recorded before the first record",
            End::Back => "nothing was recorded after the last record",
        };
        say("end of the log", text.to_owned(), &stated.basis, true);
    }
    case.facts.iter().for_each(|s| {
        let used = !matches!(s.value, Fact::Other(_));
        say("fact", fact(&s.value).to_owned(), &s.basis, used);
    });
    for stated in &case.counts {
        let value = &stated.value;
        let number = if value.least == value.most {
            grouped(value.least)
        } else {
            format!("{} to {}", grouped(value.least), grouped(value.most))
        };
        say("number", format!("{}: {number}", count_of(value.what)), &stated.basis, true);
    }
    let (stops, stored) =
        (needed(|need| *need == Needs::Interruptions), needed(|need| *need == Needs::Storage));
    periods(&mut say, "interruption", &case.interruptions, stops);
    periods(&mut say, "storage", &case.storage, stored);
    // No need of a rule names the custody of the unit.
    periods(&mut say, "custody", &case.custody, false);
    for stated in &case.settings.mock_votes_least {
        say(
            "setting",
            format!("a mock poll has at least {}", counted(stated.value, "vote", "votes")),
            &stated.basis,
            true,
        );
    }
    for Stated { value: (of, number), basis } in &case.settings.numbers {
        say("setting", setting(*of, *number), basis, rules::rule(uses(*of)).is_some());
    }
    for basis in &case.settings.clock_line {
        say("setting", "the clock may be taken to run at one constant rate".to_owned(), basis, true);
    }
    for stated in &case.readings {
        say("reading", reading(&stated.value), &stated.basis, true);
    }
    for stated in &case.turnout {
        let used = rules::rule("turnout-differs").is_some();
        say("turnout", turnout(&stated.value), &stated.basis, used);
    }
    for Stated { value: (rule, clause), basis } in &case.settings.clauses {
        say("local clause", format!("for the rule {rule}: {clause}"), basis, true);
    }
    list.sort_by_key(|paper| paper.line);
    list
}

/// Whether a rule needs a statement of a kind, and so uses it.
fn needed(kind: impl Fn(&Needs) -> bool) -> bool {
    RULES.iter().any(|rule| rule.needs.iter().any(&kind))
}

/// A rule that rests on a setting; the bound on the rate serves every rule about time.
fn uses(of: SettingOf) -> &'static str {
    match of {
        SettingOf::DriftPpm | SettingOf::SecondsPerVote => "vote-too-soon",
        SettingOf::OffsetToleranceSeconds => "clock-offset",
        SettingOf::RateTolerancePpm => "clock-rate",
        SettingOf::QueueMinutes => "vote-after-hour",
        SettingOf::CloseWithinMinutes => "closed-late",
    }
}

fn setting(of: SettingOf, number: u64) -> String {
    let parts = || counted(number, "part per million", "parts per million");
    let minutes = || counted(number, "minute", "minutes");
    let seconds = || counted(number, "second", "seconds");
    match of {
        SettingOf::DriftPpm => format!("the rate of the unit's clock is off by at most {}", parts()),
        SettingOf::OffsetToleranceSeconds => format!("the displayed time may be off by {}", seconds()),
        SettingOf::RateTolerancePpm => format!("the rate may be off by {}", parts()),
        SettingOf::QueueMinutes => {
            format!("those who waited may vote until {} after the closing hour", minutes())
        }
        SettingOf::CloseWithinMinutes => {
            format!("the close is expected within {} of the later of closing hour and last vote", minutes())
        }
        SettingOf::SecondsPerVote => format!("one vote takes at least {}", seconds()),
    }
}

fn reading(reading: &ClockReading) -> String {
    let unit = match &reading.unit {
        ReadAt::Displayed(time) => format!("the unit displayed {time}"),
        ReadAt::Record(number) => format!("record {number} was made"),
    };
    let zone = reading.zone.as_ref().map_or_else(String::new, |zone| format!(" ({zone})"));
    let how = reading.how.as_ref().map_or_else(String::new, |how| format!(" by {how}"));
    let after = reading.after_record.map_or_else(String::new, |number| format!(", after record {number}"));
    let within = counted(reading.within_seconds, "second", "seconds");
    let reference = match &reading.reference {
        Reference::Written(time) => time.as_str(),
        Reference::Exported => "the time of export that the header of the log states",
    };
    let not_set = if reading.not_set { "; the clock was not set between this and the records" } else { "" };
    format!("{unit} at {reference}{zone}{how}, give or take {within}{after}{not_set}")
}

/// A number noted, or the ends between which it is.
pub(super) fn turnout_number(least: u64, most: u64) -> String {
    let (least, most) = (grouped(least), grouped(most));
    if least == most { least } else { format!("{least} to {most}") }
}

fn turnout(turnout: &Turnout) -> String {
    let number = turnout_number(turnout.least, turnout.most);
    let within = counted(turnout.within_seconds, "second", "seconds");
    format!("{number} had voted at {}, give or take {within}", turnout.at)
}

fn periods(
    say: &mut impl FnMut(&'static str, String, &Saying, bool),
    about: &'static str,
    statements: &Statements<Period>,
    used: bool,
) {
    for stated in &statements.stated {
        let period = &stated.value;
        let parts = [
            period.from.as_ref().map(|from| format!("from {from}")),
            period.to.as_ref().map(|to| format!("to {to}")),
            period.text.clone(),
        ];
        say(about, parts.into_iter().flatten().collect::<Vec<_>>().join(", "), &stated.basis, used);
    }
    for basis in &statements.none {
        say(about, "there was none".to_owned(), basis, used);
    }
}

fn poll(poll: &Poll) -> String {
    let parts = [
        poll.place.clone(),
        poll.date.clone(),
        poll.opens.as_ref().map(|hour| format!("opens {hour}")),
        poll.closes.as_ref().map(|hour| format!("closes {hour}")),
        poll.zone.as_deref().map(zone),
        poll.only_day.then(|| "held on no other day".to_owned()),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A zone in words: a name means what a version of the zone database says of it, so that the version stands with it.
fn zone(zone: &str) -> String {
    if Zone::is_name(zone) {
        format!("zone {zone} (IANA time zone database {DATA})")
    } else {
        format!("zone {zone}")
    }
}

fn fact(fact: &Fact) -> &str {
    match fact {
        Fact::UnitReplaced => "the unit was taken out of use in mid-poll and another put in its place",
        Fact::UnitTookAnothersPlace => "the unit was put in the place of another in mid-poll",
        Fact::MockVotesDeducted => {
            "the votes of the mock poll stayed in the memory and were deducted by written order"
        }
        Fact::BallotUnitReplaced => "a ballot unit was replaced during the poll",
        Fact::ClearedAfterCount => "the memory was cleared after the count, as the procedure allows",
        Fact::CoverOpenedForCause => "a cover was opened during the poll for a stated reason",
        Fact::Other(text) => text,
    }
}

fn count_of(what: CountOf) -> &'static str {
    match what {
        CountOf::Declared => "votes declared for the unit",
        CountOf::Register => "voters signed in the register",
        CountOf::MockVotes => "votes of the mock poll as noted",
        CountOf::Refused => "voters who signed and then refused to vote, or left before the enable",
        CountOf::Slips => "paper slips counted",
        CountOf::TotalAtClose => "the unit's total as noted at the close",
        CountOf::ResultAtCount => "the result as noted at the count, over all candidates",
        CountOf::LeftAfterEnable => "voters who left after the enable without voting",
        CountOf::Unsigned => "voters who voted without having signed",
        CountOf::TestVotes => "votes cast as tests during the poll",
        CountOf::Tendered => "tendered ballots, cast on paper",
        CountOf::Tokens => "numbered tokens given at the closing hour",
    }
}

//! The case file: what people wrote down about a unit and its poll, every fact with its source and who asserts it.

mod contest;
mod keys;
mod readings;
mod rows;
mod settings;
mod starter;
mod versions;
mod words;

use crate::sheet::{Sheet, Trouble, decode, read};
use crate::source::{Digest, Shown, Span};

pub use keys::SHEET;
pub use readings::{ClockReading, Question, ReadAt, Reference, Turnout};
pub(crate) use rows::civil_ms;
pub use settings::{SettingOf, Settings};
pub use starter::starter;
pub use versions::{Choice, MOST_VERSIONS, Version, Versions};

/// A case file as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseFile {
    /// Its name, as given by whoever brought it.
    pub name: Shown,
    /// SHA-256 of its bytes.
    pub digest: Digest,
    /// What it states.
    pub case: Case,
}

/// Who says so, and where it is written. Texts are kept as written; every output of them passes [`Shown::inert`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saying {
    /// The paper or other source.
    pub source: String,
    /// Who asserts it.
    pub by: String,
    /// Where it stands in the case file.
    pub span: Span,
    /// Line of the case file, from 1.
    pub line: usize,
}

impl Saying {
    /// Where it is written and who asserts it, as the end of a sentence: texts of people, to which no article can be put.
    #[must_use]
    pub fn said(&self) -> Shown {
        Shown::inert(&format!("as stated {}", self.place()))
    }

    /// The same without its verb, where several say one thing.
    fn place(&self) -> String {
        format!("in {} (by {})", self.source, self.by)
    }
}

/// A stated fact with its basis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stated<T> {
    /// What is stated.
    pub value: T,
    /// Source and asserter.
    pub basis: Saying,
}

/// What a stretch of the log was, or may have been.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// Function test or test of many votes, weeks or days before.
    Test,
    /// Mock poll before the candidates' agents.
    MockPoll,
    /// The poll.
    Poll,
    /// The count or a recount.
    Count,
    /// Training or inspection.
    Training,
}

/// A stretch of the log, as the case file points at it: by record numbers or by lines of the file, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// Record numbers.
    Records(u64, u64),
    /// Lines of the file, from 1.
    Lines(usize, usize),
}

/// What a stretch of the log is said to have been.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Labelled {
    /// What it was.
    pub phase: Phase,
    /// Which stretch.
    pub stretch: Stretch,
    /// The day of the poll that it belongs to, `YYYY-MM-DD`, where that is said.
    pub poll: Option<String>,
}

impl Labelled {
    /// As a sentence without its stop: `records 5 to 20 were the mock poll`.
    #[must_use]
    pub fn said(&self) -> String {
        let (word, first, last) = match self.stretch {
            Stretch::Records(first, last) => ("records", first.to_string(), last.to_string()),
            Stretch::Lines(first, last) => ("lines", first.to_string(), last.to_string()),
        };
        let what = match (&self.poll, self.phase) {
            (Some(day), Phase::Poll) => format!("the poll of {day}"),
            (Some(day), phase) => format!("the {} of the poll of {day}", phase.words()),
            (None, phase) => format!("the {}", phase.words()),
        };
        if first == last {
            return format!("{} {first} was {what}", word.trim_end_matches('s'));
        }
        format!("{word} {first} to {last} were {what}")
    }
}

/// Which end of the log is said to be closed: nothing came before, or nothing after.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Nothing was recorded before the first record.
    Front,
    /// Nothing was recorded after the last record.
    Back,
}

/// The matter that the examination serves. Plain text, printed at the head of a report.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Matter {
    /// Title of the matter.
    pub title: Option<String>,
    /// The court or body.
    pub court: Option<String>,
    /// Its number there.
    pub number: Option<String>,
    /// The question that the examiner was asked.
    pub question: Option<String>,
    /// Who asked.
    pub requested_by: Option<String>,
    /// The examiner.
    pub examiner: Option<String>,
    /// Date of the report, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// The examiner's qualification, in the examiner's words.
    pub qualification: Option<String>,
    /// The examiner's opinion, in the examiner's words.
    pub opinion: Option<String>,
    /// Where, when and by whom the report is signed.
    pub signed: Option<String>,
}

/// A poll as stated: day and hours are civil times of the place, whose zone is stated with them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Poll {
    /// Constituency, station or other place.
    pub place: Option<String>,
    /// Day of the poll, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// Opening hour, `hh:mm` or `hh:mm:ss`.
    pub opens: Option<String>,
    /// Closing hour, `hh:mm` or `hh:mm:ss`.
    pub closes: Option<String>,
    /// Offset from UTC, `+hh:mm` or `-hh:mm`.
    pub zone: Option<String>,
    /// Whether it is stated that the poll was held on no other day.
    pub only_day: bool,
}

/// What is stated about the unit. Each may be stated more than once; different values are *contested*.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct UnitFacts {
    /// Serial of the control unit.
    pub serial: Vec<Stated<String>>,
    /// `control`, `ballot` or `paper-trail`.
    pub role: Vec<Stated<String>>,
    /// Version of its software.
    pub software: Vec<Stated<String>>,
    /// Number of candidates on the ballot.
    pub candidates: Vec<Stated<u64>>,
    /// Serials of the ballot units used.
    pub ballot_units: Vec<Stated<Vec<String>>>,
    /// File of the unit description to use.
    pub description: Vec<Stated<String>>,
}

/// Facts of one sentence each, from a closed list; anything else is kept as [`Fact::Other`] and shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fact {
    /// The unit was taken out of use in mid-poll and another put in its place, so nobody closed it.
    UnitReplaced,
    /// The unit was put in the place of another in mid-poll, so that its mock poll lies within the hours.
    UnitTookAnothersPlace,
    /// The votes of the mock poll stayed in the memory and were deducted by written order.
    MockVotesDeducted,
    /// A ballot unit was replaced during the poll.
    BallotUnitReplaced,
    /// The memory was cleared after the count, as the procedure allows.
    ClearedAfterCount,
    /// A cover was opened during the poll for a stated reason (a battery, a paper roll).
    CoverOpenedForCause,
    /// Anything else that somebody states.
    Other(String),
}

/// A number that a paper states, as an interval when the paper gives one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// What was counted.
    pub what: CountOf,
    /// Least value.
    pub least: u64,
    /// Greatest value.
    pub most: u64,
    /// Day of the poll that it is about, where the paper says so.
    pub poll: Option<String>,
}

/// What a paper counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CountOf {
    /// Votes declared for the unit.
    Declared,
    /// Voters signed in the register.
    Register,
    /// Votes of the mock poll as noted.
    MockVotes,
    /// Voters who signed and then refused to vote, or left before the enable.
    Refused,
    /// Paper slips counted.
    Slips,
    /// The unit's total as noted at the close.
    TotalAtClose,
    /// The result as noted at the count: the sum over all candidates.
    ResultAtCount,
    /// Voters who left after the enable without voting.
    LeftAfterEnable,
    /// Voters who voted without having signed.
    Unsigned,
    /// Votes cast as tests during the poll, to be deducted.
    TestVotes,
    /// Tendered ballots, cast on paper.
    Tendered,
    /// Numbered tokens given at the closing hour to those who waited.
    Tokens,
}

/// A stretch of time in words and civil times, for interruptions, storage and custody.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Period {
    /// Begin, `YYYY-MM-DD hh:mm` with optional seconds.
    pub from: Option<String>,
    /// End, likewise.
    pub to: Option<String>,
    /// Place, holder or reason in words.
    pub text: Option<String>,
}

/// Statements of one kind. *Absent* means not stated; `none` holds who states that there was none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statements<T> {
    /// What is stated.
    pub stated: Vec<Stated<T>>,
    /// Who states that there was none.
    pub none: Vec<Saying>,
}

impl<T> Statements<T> {
    /// Whether nothing is stated, not even that there was none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.stated.is_empty() && self.none.is_empty()
    }
}

impl<T> Default for Statements<T> {
    fn default() -> Self {
        Statements { stated: Vec::new(), none: Vec::new() }
    }
}

/// All that a case file states. Everything is optional; the default states nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Case {
    /// The matter.
    pub matter: Matter,
    /// The polls stated.
    pub polls: Vec<Stated<Poll>>,
    /// The unit.
    pub unit: UnitFacts,
    /// What stretches of the log are said to have been.
    pub phases: Vec<Stated<Labelled>>,
    /// Ends of the log that are said to be closed.
    pub ends: Vec<Stated<End>>,
    /// Facts of one sentence.
    pub facts: Vec<Stated<Fact>>,
    /// Numbers on paper.
    pub counts: Vec<Stated<Count>>,
    /// Readings of the unit's clock.
    pub readings: Vec<Stated<ClockReading>>,
    /// Turnout noted during the poll.
    pub turnout: Vec<Stated<Turnout>>,
    /// Questions that the examiner was asked.
    pub questions: Vec<Stated<Question>>,
    /// Interruptions of the poll.
    pub interruptions: Statements<Period>,
    /// Where the unit was stored.
    pub storage: Statements<Period>,
    /// Who held the unit and the export.
    pub custody: Statements<Period>,
    /// What the local procedure sets.
    pub settings: Settings,
}

impl Case {
    /// Whether anybody states that more than one ballot unit was used.
    #[must_use]
    pub fn names_several_ballot_units(&self) -> bool {
        let mut serials = self.unit.ballot_units.iter().flat_map(|stated| &stated.value);
        let first = serials.next();
        serials.any(|serial| Some(serial) != first)
    }

    /// Reads a case file from its text. An empty text states nothing. At most [`crate::sheet::LARGEST`] bytes and
    /// [`crate::sheet::MOST_ROWS`] tables are read; a larger file is refused as a whole.
    ///
    /// # Errors
    /// Everything that is wrong in the text, in its order, each with its place and the right form.
    pub fn read(name: &str, text: &str) -> Result<CaseFile, Vec<Trouble>> {
        Case::read_bytes(name, text.as_bytes())
    }

    /// Reads a case file from its bytes.
    ///
    /// # Errors
    /// As [`Case::read`], and where the bytes are not UTF-8 or more than [`crate::sheet::LARGEST`].
    pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<CaseFile, Vec<Trouble>> {
        let text = decode(&SHEET, name, bytes)?;
        let (rows, mut troubles) = read(&SHEET, name, text);
        let mut case = Case::default();
        for row in &rows {
            rows::take(&mut case, row, &mut troubles);
        }
        let troubles = troubles.finish();
        if troubles.is_empty() {
            Ok(CaseFile { name: Shown::inert(name), digest: Digest::of(bytes), case })
        } else {
            Err(troubles)
        }
    }
}

/// `grammar/case.md`: the tables and keys of a case file as a page for the person who writes one.
#[must_use]
pub fn manual() -> String {
    Sheet::manual(&SHEET, "The case file", "src/case/keys.rs", versions::CONTESTED)
}

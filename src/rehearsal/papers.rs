//! The station's papers: what the people of a life wrote down, as a case file that fits the log.

use std::fmt::Write as _;
use std::ops::Range;

use super::clock::civil;
use super::memory::Memory;
use crate::case::Phase;
use crate::syntax::Stamp;
use crate::unit::UnitDescription;

/// Which paper, and whose.
#[derive(Debug, Clone, Copy)]
pub(super) enum Paper {
    Diary,
    Procedure,
    UnitRegister,
    CandidateList,
    Preparation,
    StrongRoom,
    Declaration,
    Order,
}

impl Paper {
    fn saying(self) -> (&'static str, &'static str) {
        match self {
            Paper::Diary => ("Presiding officer's diary", "Presiding officer"),
            Paper::Procedure => ("Poll procedure of the Commonwealth of Kestrane, clause 14", "Registrar"),
            Paper::UnitRegister => ("Register of units for Tarn Valley", "Registrar"),
            Paper::CandidateList => ("List of candidates for Tarn Valley", "Registrar"),
            Paper::Preparation => ("Record of the preparation of units for Tarn Valley", "Registrar"),
            Paper::StrongRoom => ("Strong-room book", "Registrar"),
            Paper::Declaration => ("Declaration of the result", "Returning officer"),
            Paper::Order => ("Order of the returning officer", "Returning officer"),
        }
    }
}

/// A reading of the unit's clock beside a reference clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// What the unit displayed.
    pub displayed: Stamp,
    /// The civil time of the reference clock, in milliseconds.
    pub reference: i64,
    /// How far the reading may be off, either way, in seconds.
    pub give_or_take_s: i64,
}

/// The papers in the making.
#[derive(Debug, Default)]
pub(super) struct Papers {
    rows: String,
    phases: Vec<(Phase, Range<usize>, Paper)>,
    counts: Vec<(&'static str, i64, Paper, String)>,
    /// Day of the poll that numbers are about.
    pub(super) day: String,
    pub(super) readings: Vec<Reading>,
    pub(super) interrupted: bool,
}

impl Papers {
    /// A row of a table: its keys in TOML, its paper.
    pub(super) fn row(&mut self, table: &str, keys: &[String], paper: Paper) {
        let (source, by) = paper.saying();
        _ = write!(self.rows, "\n[[{table}]]\n{}\nsource = \"{source}\"\nby = \"{by}\"\n", keys.join("\n"));
    }

    /// A fact of the closed list.
    pub(super) fn fact(&mut self, word: &str, paper: Paper) {
        self.row("fact", &[format!("what = \"{word}\"")], paper);
    }

    /// A fact in free words.
    pub(super) fn note(&mut self, sentence: &str, paper: Paper) {
        self.row("fact", &[format!("other = \"{sentence}\"")], paper);
    }

    /// A number on paper, about the poll of the day.
    pub(super) fn count(&mut self, of: &'static str, value: i64, paper: Paper) {
        self.counts.push((of, value, paper, self.day.clone()));
    }

    /// A stretch of time, as people write it: to the minute, begun or ended.
    pub(super) fn period(&mut self, table: &str, from: i64, to: i64, text: &str, paper: Paper) {
        let minute = |moment: i64| civil(moment).chars().take(16).collect::<String>();
        let keys = [
            format!("from = \"{}\"", minute(from)),
            format!("to = \"{}\"", minute(to + 59_999)),
            format!("text = \"{text}\""),
        ];
        self.row(table, &keys, paper);
    }

    /// What a stretch of events was.
    pub(super) fn phase(&mut self, phase: Phase, places: Range<usize>, paper: Paper) {
        self.phases.push((phase, places, paper));
    }

    /// A reading of the unit's clock. The case file has no table of readings yet, so that it stands there as a sentence.
    pub(super) fn reading(&mut self, displayed: Stamp, moment: i64, give_or_take_s: i64, paper: Paper) {
        let sentence = format!(
            "Clock reading: the unit displayed {displayed} when the reference clock showed {}, give or take {give_or_take_s} s",
            civil(moment)
        );
        self.note(&sentence, paper);
        self.readings.push(Reading { displayed, reference: moment, give_or_take_s });
    }

    /// The case file, for a log whose records begin after so many lines.
    pub(super) fn write(
        mut self,
        title: &str,
        memory: &Memory,
        unit: &UnitDescription,
        lines: usize,
    ) -> String {
        for (phase, places, paper) in std::mem::take(&mut self.phases) {
            if let Some(stretch) = memory.stretch(unit, &places, lines) {
                self.row("phase", &[format!("was = \"{}\"", phase.word()), stretch], paper);
            }
        }
        // Where there was one poll, nobody writes its day beside every number.
        let counts = std::mem::take(&mut self.counts);
        let several = counts.iter().any(|(.., day)| *day != self.day);
        for (of, value, paper, day) in counts {
            let mut keys = vec![format!("of = \"{of}\""), format!("value = {value}")];
            if several {
                keys.push(format!("poll = \"{day}\""));
            }
            self.row("count", &keys, paper);
        }
        format!(
            "# The papers of a made-up life: everything in it is invented.\n[matter]\ntitle = \"{title}\"\n\
             question = \"What does the log of this unit establish?\"\n{}",
            self.rows
        )
    }
}

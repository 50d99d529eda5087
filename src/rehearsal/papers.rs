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
    DataSheet,
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
            Paper::DataSheet => ("Maker's data sheet of the unit's clock", "Registrar"),
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
    readings_taken: Vec<(Reading, Option<usize>, Paper)>,
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

    /// A reading of the unit's clock, taken after the event at this place.
    pub(super) fn reading(&mut self, reading: Reading, after: Option<usize>, paper: Paper) {
        self.readings_taken.push((reading, after, paper));
    }

    /// The readings, as many as there are.
    pub(super) fn readings(&self) -> Vec<Reading> {
        self.readings_taken.iter().map(|(reading, ..)| reading.clone()).collect()
    }

    /// A reading as a row, where a record that the log still holds alone by its number says when it was taken. Else it
    /// stands as a sentence: a row without that number would say that the clock was never set.
    fn write_reading(&mut self, reading: &Reading, after: Option<u64>, paper: Paper) {
        let (displayed, reference) = (reading.displayed.written(), civil(reading.reference));
        let within = reading.give_or_take_s;
        let Some(after) = after else {
            let sentence = format!(
                "Clock reading: the unit displayed {displayed} when the reference clock showed {reference}, give or take \
                 {within} s"
            );
            self.note(&sentence, paper);
            return;
        };
        let displayed: String = displayed.chars().take(19).collect();
        let keys = [
            format!("displayed = \"{displayed}\""),
            format!("reference = \"{reference}\""),
            format!("within-seconds = {within}"),
            format!("after-record = {after}"),
        ];
        self.row("reading", &keys, paper);
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
        for (reading, after, paper) in std::mem::take(&mut self.readings_taken) {
            let number = after.and_then(|place| memory.alone(unit, place));
            self.write_reading(&reading, number, paper);
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

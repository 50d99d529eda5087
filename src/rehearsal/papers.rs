//! The station's papers: what the people of a life wrote down, as a case file that fits the log.

use std::ops::Range;

use super::clock::civil;
use super::memory::Id;
use crate::case::Phase;
use crate::syntax::Stamp;

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

/// A row of the case file.
#[derive(Debug, Clone)]
pub(super) struct PaperRow {
    pub(super) table: &'static str,
    pub(super) keys: Vec<String>,
    pub(super) paper: Paper,
}

impl PaperRow {
    fn write(&self) -> String {
        let (source, by) = self.paper.saying();
        let keys = self.keys.join("\n");
        format!("\n[[{}]]\n{keys}\nsource = \"{source}\"\nby = \"{by}\"\n", self.table)
    }
}

/// A number on paper: one value, or an interval.
#[derive(Debug, Clone)]
pub(super) struct Noted {
    pub(super) of: &'static str,
    pub(super) least: i64,
    pub(super) most: i64,
    /// Day of the poll that it is about.
    pub(super) poll: String,
    pub(super) paper: Paper,
}

/// A reading with the paper on which it stands and the last record made before it.
#[derive(Debug, Clone)]
pub(super) struct NotedReading {
    pub(super) reading: Reading,
    pub(super) paper: Paper,
    /// True civil time at which it was taken.
    pub(super) moment: i64,
    /// Whether it times the record made at that moment, and not the display.
    pub(super) of_record: bool,
}

/// The papers in the making.
#[derive(Debug, Clone, Default)]
pub(super) struct Papers {
    pub(super) rows: Vec<PaperRow>,
    pub(super) phases: Vec<(Phase, Range<usize>, Paper)>,
    pub(super) counts: Vec<Noted>,
    /// Day of the poll that numbers are about.
    pub(super) day: String,
    pub(super) readings: Vec<NotedReading>,
    pub(super) interrupted: bool,
}

impl Papers {
    /// A row of a table: its keys in TOML, its paper.
    pub(super) fn row(&mut self, table: &'static str, keys: &[String], paper: Paper) {
        self.rows.push(PaperRow { table, keys: keys.to_vec(), paper });
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
        let noted = Noted { of, least: value, most: value, poll: self.day.clone(), paper };
        self.counts.push(noted);
    }

    /// A stretch of time, as people write it: to the minute, begun or ended.
    pub(super) fn period(&mut self, table: &'static str, from: i64, to: i64, text: &str, paper: Paper) {
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

    /// A reading of the unit's clock, taken at a moment.
    pub(super) fn reading(&mut self, reading: Reading, moment: i64, paper: Paper) {
        self.readings.push(NotedReading { reading, paper, moment, of_record: false });
    }

    /// The time of a record, by a reference clock.
    pub(super) fn record_timed(&mut self, reading: Reading, moment: i64, paper: Paper) {
        self.readings.push(NotedReading { reading, paper, moment, of_record: true });
    }

    /// The case file. `stretch` words a stretch of events as a key; it gives nothing where the log holds none of them.
    /// `last_record` gives the number of the last record made before a moment, where the log holds it and no other has it.
    pub(super) fn write(
        &self,
        title: &str,
        stretch: impl Fn(&Range<usize>) -> Option<String>,
        last_record: impl Fn(i64) -> Option<u64>,
    ) -> String {
        let mut rows = self.rows.clone();
        rows.extend(self.readings.iter().map(|noted| {
            let Reading { displayed, reference, give_or_take_s } = &noted.reading;
            // People write down whole seconds.
            let (displayed, reference) = (Stamp::new(displayed.ms(), 0), civil(*reference));
            let Some(after) = last_record(noted.moment) else {
                // A row that does not say after which record would say that the clock was never set.
                let sentence = format!(
                    "Clock reading: the unit displayed {displayed} when the reference clock showed {reference}, give or \
                     take {give_or_take_s} s"
                );
                let keys = vec![format!("other = \"{sentence}\"")];
                return PaperRow { table: "fact", keys, paper: noted.paper };
            };
            if noted.of_record {
                let keys = vec![
                    format!("record = {after}"),
                    format!("reference = \"{reference}\""),
                    format!("within-seconds = {give_or_take_s}"),
                ];
                return PaperRow { table: "reading", keys, paper: noted.paper };
            }
            let keys = vec![
                format!("displayed = \"{displayed}\""),
                format!("reference = \"{reference}\""),
                format!("within-seconds = {give_or_take_s}"),
                format!("after-record = {after}"),
                "how = \"Radio time signal\"".to_owned(),
            ];
            PaperRow { table: "reading", keys, paper: noted.paper }
        }));
        rows.extend(self.phases.iter().filter_map(|(phase, places, paper)| {
            let keys = vec![format!("was = \"{}\"", phase.word()), stretch(places)?];
            Some(PaperRow { table: "phase", keys, paper: *paper })
        }));
        let several = self.counts.iter().any(|noted| noted.poll != self.day);
        rows.extend(self.counts.iter().map(|noted| {
            let number = if noted.least == noted.most {
                vec![format!("value = {}", noted.least)]
            } else {
                vec![format!("least = {}", noted.least), format!("most = {}", noted.most)]
            };
            // Where there was one poll, nobody writes its day beside every number.
            let poll = several.then(|| format!("poll = \"{}\"", noted.poll));
            let keys = vec![format!("of = \"{}\"", noted.of)];
            let keys: Vec<String> = keys.into_iter().chain(number).chain(poll).collect();
            PaperRow { table: "count", keys, paper: noted.paper }
        }));
        let head = format!(
            "# The papers of a made-up life: everything in it is invented.\n[matter]\ntitle = \"{title}\"\n\
             question = \"What does the log of this unit establish?\"\n"
        );
        rows.iter().fold(head, |text, row| text + &row.write())
    }
}

/// The stretch of events that the log still holds, as a key of the case file: by record numbers where these name a
/// record for certain, else by lines.
pub(super) fn stretch_key(
    held: &[(Id, Option<u64>, usize)],
    ids: &[Id],
    numbers_name: bool,
) -> Option<String> {
    // In the order in which they happened, whatever the order of the file.
    let mut inside = ids.iter().filter_map(|id| held.iter().find(|(held, ..)| held == id));
    let first = inside.next()?;
    let last = inside.next_back().unwrap_or(first);
    match (first.1, last.1) {
        (Some(from), Some(to)) if numbers_name => Some(format!("records = \"{from}-{to}\"")),
        _ => Some(format!("lines = \"{}-{}\"", first.2, last.2)),
    }
}

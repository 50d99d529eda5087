//! A life before it is written down: what was recorded, the papers, and how the export shall print them.

use std::collections::{BTreeMap, BTreeSet};

use super::acts::Act;
use super::life::Life;
use super::memory::{Id, Memory, Row};
use super::papers::{Papers, stretch_key};
use crate::syntax::Draft;
use crate::unit::UnitDescription;

/// What the export does that an export should not do, or need not.
#[derive(Debug, Clone)]
pub(super) enum Print {
    /// A line stands in a record's place that is none.
    Garbles(Id, String),
    /// A record's time is written so.
    Times(Id, String),
    /// A record is written twice, byte for byte.
    Twice(Id),
    /// The file ends behind this record, without a closing line.
    EndsBehind(Id),
    /// Day and month stand in the wrong order in every date.
    SwapsDayAndMonth,
    /// The records stand as the ring holds them: from this one on first, then those before it.
    BeginsAt(Id),
    /// Only the last so many records are written.
    Last(usize),
    /// Every record carries the chain value that the unit made when it recorded it.
    Chains(BTreeMap<Id, String>),
    /// What the ring has overwritten is written too.
    HoldsAll,
    /// The header states that the unit keeps so many records.
    States(u64),
    /// The closing line is this one, as it was made before something was changed.
    Closes(String),
    /// The closing line states another number of records, by so many more.
    Counts(u64),
}

/// A life before it is written down.
#[derive(Debug, Clone)]
pub(super) struct Unwritten {
    pub(super) title: String,
    pub(super) serial: String,
    pub(super) software: String,
    /// Serials of the ballot units at the cables.
    pub(super) linked: Vec<String>,
    pub(super) exported_at: String,
    pub(super) unit: UnitDescription,
    pub(super) memory: Memory,
    pub(super) papers: Papers,
    pub(super) acts: BTreeSet<Act>,
    pub(super) prints: Vec<Print>,
    /// Whether a closing line stands at the end.
    pub(super) closed: bool,
}

/// Where a record stands in the log as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Written {
    pub(super) id: Id,
    pub(super) again: bool,
    pub(super) number: Option<u64>,
    /// Line of the file, from 1.
    pub(super) line: usize,
}

/// A life as written, and where each record stands.
pub(super) struct Manuscript {
    pub(super) life: Life,
    pub(super) places: Vec<Written>,
}

impl Unwritten {
    /// The chain values of all records as they stand, from the first of the unit's life on.
    pub(super) fn chain(&self) -> BTreeMap<Id, String> {
        let rows = self.memory.numbered(&self.unit);
        let text = rows.iter().fold(Draft::new().chained(None), write_row).open();
        let values = text.lines().filter_map(|line| Some(line.rsplit_once(" chain:")?.1.to_owned()));
        rows.iter().map(|row| row.id).zip(values).collect()
    }

    /// Writes log and case file.
    pub(super) fn write(&self) -> Manuscript {
        let states = self.prints.iter().find_map(|print| match print {
            Print::States(keeps) => Some(*keeps),
            _ => None,
        });
        let head = Draft::new()
            .header("serial", &self.serial)
            .header("role", "control")
            .header("software", &self.software)
            .header("clock-zone", "+02:00")
            .header("keeps", &states.unwrap_or(self.unit.keeps).to_string())
            .header("exported-at", &self.exported_at)
            .header("exported-by", "Registrar's office, Tarn Valley")
            .blank();
        let lines = head.clone().open().lines().count();
        let rows = self.rows();
        let places: Vec<Written> = rows
            .iter()
            .enumerate()
            .map(|(at, row)| Written {
                id: row.id,
                again: row.again,
                number: row.number,
                line: lines + 1 + at,
            })
            .collect();
        let chain = self.prints.iter().find_map(|print| match print {
            Print::Chains(values) => Some(values),
            _ => None,
        });
        let draft = rows.iter().fold(head, |draft, row| match chain.and_then(|chain| chain.get(&row.id)) {
            Some(value) => draft.body_line(&format!("{} chain:{value}", line_of(row))),
            None => write_row(draft, row),
        });
        let held: Vec<(Id, Option<u64>, usize)> =
            places.iter().map(|place| (place.id, place.number, place.line)).collect();
        let by_number = self.memory.numbers_name(&self.unit);
        let stretch = |places: &_| stretch_key(&held, &self.memory.ids(places), by_number);
        let last = |moment| {
            let before = self.memory.entries.iter().rfind(|entry| entry.moment <= moment)?;
            let place = held.iter().find(|(id, ..)| *id == before.id)?;
            place.1.filter(|_| by_number)
        };
        let case = self.papers.write(&self.title, stretch, last);
        let life = Life {
            log: self.close(draft),
            readings: self.papers.readings.iter().map(|noted| noted.reading.clone()).collect(),
            case,
            acts: self.acts.clone(),
        };
        Manuscript { life, places }
    }

    fn close(&self, draft: Draft) -> String {
        let cut = self.prints.iter().any(|print| matches!(print, Print::EndsBehind(_)));
        if cut || !self.closed {
            return draft.open();
        }
        let more = self.prints.iter().find_map(|print| match print {
            Print::Counts(more) => Some(*more),
            _ => None,
        });
        let log = draft.close();
        let as_made = self.prints.iter().find_map(|print| match print {
            Print::Closes(line) => Some(line),
            _ => None,
        });
        if let Some((body, line)) = log.trim_end().rsplit_once('\n').map(|(body, _)| body).zip(as_made) {
            return format!("{body}\n{line}\n");
        }
        let Some(more) = more else { return log };
        let (body, end) = log.trim_end().rsplit_once("\nend ").unwrap_or((&log, ""));
        let (count, digest) = end.split_once(' ').unwrap_or((end, ""));
        let count = count.parse::<u64>().unwrap_or(0) + more;
        format!("{body}\nend {count} {digest}\n")
    }

    /// The records as the export writes them.
    fn rows(&self) -> Vec<Row> {
        let holds_all = self.prints.iter().any(|print| matches!(print, Print::HoldsAll));
        let mut rows =
            if holds_all { self.memory.numbered(&self.unit) } else { self.memory.ring(&self.unit) };
        // A ring is turned as it is written: by then it is known which records are.
        let turns = |print: &&Print| matches!(print, Print::BeginsAt(_));
        let (last, first): (Vec<&Print>, Vec<&Print>) = self.prints.iter().partition(turns);
        for print in first.into_iter().chain(last) {
            let at = |id: &Id| rows.iter().position(|row| row.id == *id);
            match print {
                Print::Garbles(id, text) => {
                    if let Some(row) = at(id).and_then(|at| rows.get_mut(at)) {
                        row.text = Some(text.clone());
                    }
                }
                Print::Times(id, time) => {
                    if let Some(row) = at(id).and_then(|at| rows.get_mut(at)) {
                        row.time.clone_from(time);
                    }
                }
                Print::Twice(id) => {
                    if let Some(at) = at(id)
                        && let Some(row) = rows.get(at).cloned()
                    {
                        rows.insert(at + 1, Row { again: true, ..row });
                    }
                }
                Print::EndsBehind(id) => {
                    if let Some(at) = at(id) {
                        rows.truncate(at + 1);
                    }
                }
                Print::SwapsDayAndMonth => {
                    rows.iter_mut().for_each(|row| row.time = day_and_month_swapped(&row.time));
                }
                Print::BeginsAt(id) => {
                    if let Some(at) = at(id) {
                        rows.rotate_left(at);
                    }
                }
                Print::Last(count) => {
                    rows.drain(..rows.len().saturating_sub(*count));
                }
                Print::Chains(_)
                | Print::HoldsAll
                | Print::States(_)
                | Print::Closes(_)
                | Print::Counts(_) => {}
            }
        }
        rows
    }
}

/// `YYYY-MM-DD ...` as `YYYY-DD-MM ...`.
pub(super) fn day_and_month_swapped(time: &str) -> String {
    let (date, rest) = time.split_once(' ').unwrap_or((time, ""));
    let parts: Vec<&str> = date.split('-').collect();
    match parts.as_slice() {
        [year, month, day] => format!("{year}-{day}-{month} {rest}"),
        _ => time.to_owned(),
    }
}

/// A record's line without its chain value.
fn line_of(row: &Row) -> String {
    write_row(Draft::new(), row).open().lines().last().unwrap_or_default().to_owned()
}

fn write_row(draft: Draft, row: &Row) -> Draft {
    if let Some(text) = &row.text {
        return draft.body_line(text);
    }
    let attributes: Vec<(&str, &str)> =
        row.attributes.iter().map(|(key, value)| (*key, value.as_str())).collect();
    draft.record(row.number, &row.time, row.word, &attributes)
}

//! Words of a log that the vocabulary and the format do not know: headers, events, attributes, each shown and counted.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::source::Shown;
use crate::syntax::{Log, Value};

/// Header keys that the format knows.
const HEADERS: &[&str] = &["serial", "role", "software", "clock-zone", "keeps", "exported-at", "exported-by"];

/// One word that is not known, where it was met first and how often.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Unknown {
    /// `header`, `event` or `attribute`.
    pub(super) what: &'static str,
    /// The word, behind the gate.
    pub(super) word: Shown,
    /// How often it stands in the log.
    pub(super) times: usize,
    /// Number of the first line that has it.
    pub(super) first_line: usize,
}

/// The unknown words of a log, headers first, then events, then attributes; each list by first line.
pub(super) fn unknown(log: &Log) -> Vec<Unknown> {
    let mut met: BTreeMap<(usize, Shown), (usize, usize)> = BTreeMap::new();
    let mut meet = |rank: usize, word: Shown, line: usize| {
        let (times, first) = met.entry((rank, word)).or_insert((0, line));
        *times += 1;
        *first = line.min(*first);
    };
    for header in log.headers() {
        let (key, _) = log.header_parts(header);
        if !HEADERS.iter().any(|known| key.is(known)) {
            meet(0, key.shown(), log.line_number(header.line));
        }
    }
    for record in log.records() {
        let line = log.line_number(record.line);
        if record.event == Event::Unknown {
            meet(1, log.word(record), line);
        }
        for (key, _) in log.attributes(record).filter(|(key, _)| !record.event.knows(key.text())) {
            meet(2, attribute(log.word(record).as_str(), key), line);
        }
    }
    let mut list: Vec<(usize, Unknown)> = met
        .into_iter()
        .map(|((rank, word), (times, first_line))| {
            let what = ["header", "event", "attribute"].get(rank).copied().unwrap_or_default();
            (rank, Unknown { what, word, times, first_line })
        })
        .collect();
    list.sort_by_key(|(rank, unknown)| (*rank, unknown.first_line));
    list.into_iter().map(|(_, unknown)| unknown).collect()
}

/// An attribute's key beside its event.
fn attribute(event: &str, key: Value<'_>) -> Shown {
    Shown::inert(&format!("{} (on {event})", key.shown()))
}

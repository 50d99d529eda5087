//! Made-up lives of units for the laws: lawful sessions, spoilt by a few changes, with papers that may or may not fit.

use std::sync::Arc;

use logassay::case::Case;
use logassay::source::{Digest, Source};
use logassay::syntax::{Log, read};
use proptest::prelude::*;

/// A life: record texts without numbers, the first number, and the rows of the case file.
#[derive(Debug, Clone)]
pub(crate) struct Life {
    pub(crate) events: Vec<String>,
    pub(crate) first: usize,
    /// Before these records one number is missing, each.
    pub(crate) holes: Vec<usize>,
    pub(crate) rows: Vec<String>,
    /// Whether it ends with a correct closing line.
    pub(crate) closed: bool,
}

impl Life {
    /// The record lines.
    pub(crate) fn lines(&self) -> Vec<String> {
        let number = |at: usize| self.first + at + self.holes.iter().filter(|hole| **hole <= at).count();
        self.events.iter().enumerate().map(|(at, event)| format!("{} - {event}", number(at))).collect()
    }

    /// The log as text.
    pub(crate) fn text(&self) -> String {
        file(&self.lines(), self.closed)
    }
}

/// A log file of some body lines.
pub(crate) fn file(lines: &[String], closed: bool) -> String {
    let body: String = lines.iter().map(|line| format!("{line}\n")).collect();
    let end = if closed {
        format!("end {} sha256:{}\n", lines.len(), Digest::of(body.as_bytes()))
    } else {
        String::new()
    };
    format!("unit-event-log 1\n{body}{end}")
}

/// The only log of a text.
pub(crate) fn log(text: &str) -> Log {
    let mut logs = read(Arc::new(Source::new("life", text.as_bytes().to_vec())));
    assert_eq!(logs.len(), 1);
    logs.remove(0)
}

/// The case that some rows state.
pub(crate) fn case(rows: &[String]) -> Case {
    let text = rows.join("\n");
    Case::read("case", &text).unwrap_or_else(|troubles| panic!("{troubles:?}\n{text}")).case
}

fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"diary\"\nby = \"presiding officer\"\n")
}

/// Something that may stand anywhere, lawful there or not.
const ODD: &[&str] = &[
    "enable",
    "vote",
    "vote bu=BU-1",
    "close",
    "result",
    "clear",
    "power-on",
    "power-off",
    "cover-opened",
    "self-test result=fail",
    "self-test result=pass",
    "link-up bu=BU-1",
    "link-up bu=BU-2",
    "link-down bu=BU-1",
    "candidate-set count=3",
    "total shown=0",
    "total shown=4",
    "enable-lapsed",
    "lamp-test",
    // A line that cannot be read.
    "?",
    "battery-level mv=7400",
    "export",
];

fn session(events: &mut Vec<String>, voters: &[u8]) {
    for voter in voters {
        events.push("enable".to_owned());
        match voter % 8 {
            0 => events.push("enable-lapsed after=60".to_owned()),
            1 => events.extend(["power-off", "power-on", "link-up bu=BU-1"].map(str::to_owned)),
            2 => events.push("vote".to_owned()),
            _ => events.push("vote bu=BU-1".to_owned()),
        }
    }
}

/// Lives of units: preparation, mock polls, poll, storage, count, export; then up to three odd changes.
#[allow(clippy::too_many_lines, reason = "one strategy, from its parts to the life")]
pub(crate) fn life() -> impl Strategy<Value = Life> {
    let parts = (
        prop::sample::select(vec![1_usize, 501]),
        prop::collection::vec(prop::collection::vec(any::<u8>(), 0..4), 0..3),
        prop::collection::vec(any::<u8>(), 0..6),
        prop::collection::vec(any::<bool>(), 12),
        prop::collection::vec(
            (any::<prop::sample::Index>(), 0_u8..3, prop::sample::select(ODD.to_vec())),
            0..4,
        ),
        prop::collection::vec(any::<bool>(), 14),
        prop::collection::vec(any::<prop::sample::Index>(), 0..3),
        any::<bool>(),
        prop::collection::vec(prop::option::of(0_i64..7), 9),
    );
    parts.prop_map(|(first, mocks, voters, choose, changes, papers, holes, has_holes, numbers)| {
        let mut events: Vec<String> = Vec::new();
        let say =
            |events: &mut Vec<String>, words: &[&str]| events.extend(words.iter().map(|w| (*w).to_owned()));
        say(&mut events, &["power-on", "self-test result=pass"]);
        if choose[0] {
            say(&mut events, &["candidate-set count=2"]);
        }
        if choose[1] {
            say(&mut events, &["link-up bu=BU-1"]);
        }
        let mut labels = Vec::new();
        for mock in &mocks {
            let from = events.len();
            session(&mut events, mock);
            say(&mut events, &["close", "result"]);
            if choose[2] {
                say(&mut events, &["clear"]);
            }
            labels.push(("mock-poll", from, events.len() - 1));
        }
        let from = events.len();
        if choose[3] {
            say(&mut events, &["total shown=0"]);
        }
        session(&mut events, &voters);
        if choose[4] {
            say(&mut events, &["close"]);
        }
        if choose[5] {
            say(&mut events, &["power-off", "power-on", "result"]);
        }
        if choose[6] {
            say(&mut events, &["clear"]);
        }
        labels.push(("poll", from, events.len().max(from + 1) - 1));
        if choose[7] {
            say(&mut events, &["export"]);
        }
        for (at, what, odd) in changes {
            let at = at.index(events.len().max(1));
            match what {
                0 if events.len() > 1 => drop(events.remove(at)),
                1 => events.insert(at, odd.to_owned()),
                _ => events.insert(at, events[at].clone()),
            }
        }
        let mut rows: Vec<String> = labels
            .iter()
            .zip(&papers)
            // Most lives are labelled: else most answers are open and the law says little.
            .filter(|((was, ..), keep)| **keep || *was == "poll")
            .map(|((was, from, to), _)| {
                row("phase", &format!("was = \"{was}\"\nrecords = \"{}-{}\"", first + from, first + to))
            })
            .collect();
        let facts = [
            "unit-replaced",
            "mock-votes-deducted",
            "ballot-unit-replaced",
            "cleared-after-count",
            "cover-opened-for-cause",
        ];
        rows.extend(
            facts
                .iter()
                .zip(&papers[4..])
                .filter(|(_, no)| !**no)
                .take(2)
                .map(|(what, _)| row("fact", &format!("what = \"{what}\""))),
        );
        if papers[10] {
            rows.push(row("end", "closed = \"front\""));
        }
        if papers[11] {
            rows.push(row("end", "closed = \"back\""));
        }
        if papers[12] {
            rows.push(row("unit", "candidates = 2"));
        }
        if papers[13] {
            rows.push(row("setting", "mock-votes-least = 2"));
        }
        rows.extend(count_rows(&events, &numbers));
        show_numbers(&mut events, choose[9]);
        let holes = holes.iter().filter(|_| has_holes).map(|hole| hole.index(events.len() + 1)).collect();
        Life { events, first, holes, rows, closed: choose[8] }
    })
}

/// Numbers on paper: for some of them the right one, for others one that is off by a little.
fn count_rows(events: &[String], numbers: &[Option<i64>]) -> Vec<String> {
    let clear = events.iter().rposition(|event| event == "clear").map_or(0, |at| at + 1);
    let votes = |events: &[String]| events.iter().filter(|event| event.starts_with("vote")).count();
    let last = i64::try_from(votes(&events[clear..])).unwrap();
    let kinds = [
        "declared",
        "register",
        "refused",
        "left-after-enable",
        "slips",
        "mock-votes",
        "test-votes",
        "unsigned",
        "total-at-close",
    ];
    let near_zero = ["refused", "left-after-enable", "test-votes", "unsigned"];
    let pairs = kinds.iter().zip(numbers).filter_map(|(kind, number)| Some((*kind, (*number)?)));
    pairs
        .map(|(kind, number)| {
            let off = (number - 4).max(0);
            let value = if near_zero.contains(&kind) { off } else { last + off };
            row("count", &format!("of = \"{kind}\"\nvalue = {value}"))
        })
        .collect()
}

/// Totals, closes and results state the number of votes since the clear; now and then one more.
fn show_numbers(events: &mut [String], shown: bool) {
    let mut votes = 0;
    for event in events.iter_mut() {
        match event.as_str() {
            "clear" => votes = 0,
            "close" | "result" if shown => *event = format!("{event} total={votes}"),
            word if word.starts_with("vote") => votes += 1,
            _ => {}
        }
    }
}

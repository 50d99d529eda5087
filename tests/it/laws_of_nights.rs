//! The law of less knowledge over days and nights: lawful records spread over two days and the nights about them, polls stated
//! for some of the days with more or fewer of their hours, and less and less of all of it.

use std::cell::Cell;
use std::collections::BTreeMap;

use logassay::examine;
use logassay::finding::Verdict;
use logassay::rules::{Family, rule};
use logassay::syntax::Stamp;
use logassay::unit::UnitDescription;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::lives::{case, file, log};

/// 2031-05-10 00:00 in Kestrane, as seconds since 1970-01-01 00:00:00 of the place's civil time.
const MIDNIGHT: i64 = 1_936_137_600;
const HOUR: i64 = 3600;

/// What people may do, by what the memory of votes is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Memory {
    Empty,
    Voting,
    Closed,
    Shown,
}

/// Records and what is written about them; each row with its table.
#[derive(Debug, Clone)]
pub(crate) struct World {
    pub(crate) lines: Vec<String>,
    pub(crate) rows: Vec<(&'static str, String)>,
}

fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"diary\"\nby = \"presiding officer\"\n")
}

fn civil(second: i64) -> String {
    Stamp::new(second * 1000, 0).to_string()
}

/// The records of one stretch of lawful doings, at these true times, as a clock that is so many seconds ahead displays them.
fn records(begins: Memory, doings: &[(i64, u8)], ahead: i64) -> (Vec<i64>, Vec<String>) {
    let (mut memory, mut votes) = (begins, u32::from(begins != Memory::Empty));
    let (mut times, mut lines) = (Vec::new(), Vec::new());
    let mut write = |at: i64, what: &str| {
        lines.push(format!("{} {} {what}", lines.len() + 101, civil(at + ahead)));
        times.push(at);
    };
    for (at, doing) in doings {
        match (memory, doing) {
            (Memory::Empty | Memory::Voting, 0..=5) => {
                write(*at, "enable");
                write(at + 7, "vote");
                (memory, votes) = (Memory::Voting, votes + 1);
            }
            (Memory::Empty | Memory::Voting, 6) => {
                write(*at, &format!("close total={votes}"));
                memory = Memory::Closed;
            }
            (Memory::Closed, _) => {
                write(*at, &format!("result total={votes}"));
                memory = Memory::Shown;
            }
            (Memory::Shown, _) => {
                write(*at, "clear");
                (memory, votes) = (Memory::Empty, 0);
            }
            _ => write(*at, &format!("total shown={votes}")),
        }
    }
    (times, lines)
}

/// The rows of the polls: which of the three days have one, and which of their hours are stated.
fn polls(stated: [(bool, bool, bool); 3], early: bool, only: bool) -> Vec<(&'static str, String)> {
    let is_one = stated.iter().filter(|(has, ..)| *has).count() == 1;
    let rows = stated.iter().enumerate().filter(|(_, (has, ..))| *has).map(|(day, (_, opens, closes))| {
        let mut keys = format!("date = \"2031-05-{:02}\"\nzone = \"+02:00\"", day + 9);
        if *opens {
            keys.push_str(if early { "\nopens = \"00:00\"" } else { "\nopens = \"07:00\"" });
        }
        if *closes {
            keys.push_str("\ncloses = \"18:00\"");
        }
        if is_one && only {
            keys.push_str("\nonly-day = true");
        }
        ("poll", row("poll", &keys))
    });
    rows.collect()
}

pub(crate) fn world() -> impl Strategy<Value = World> {
    // Near the hours and midnights of two days.
    let near = prop::sample::select(vec![-6, 0, 0, 7, 18, 24, 24, 31, 42]);
    let at = (near, -900_i64..900).prop_map(|(hour, by)| MIDNIGHT + hour * HOUR + by);
    let doings = prop::collection::vec((at, 0_u8..9), 2..9);
    let begins = prop::sample::select(vec![Memory::Empty, Memory::Voting, Memory::Closed]);
    let reading = (any::<Index>(), prop::sample::select(vec![2_i64, 90, 1200]), any::<bool>());
    let poll = (any::<bool>(), prop::bool::weighted(0.8), prop::bool::weighted(0.9));
    let days = (poll, poll, poll, prop::bool::weighted(0.15), any::<bool>());
    let labels = (any::<Index>(), any::<Index>(), any::<bool>());
    (doings, begins, -200_i64..200, prop::collection::vec(reading, 1..4), days, labels).prop_map(
        |(mut doings, begins, ahead, readings, (ninth, tenth, eleventh, early, only), (cut, split, mock))| {
            doings.sort_unstable();
            doings.dedup_by(|later, earlier| later.0 - earlier.0 < 10);
            let (times, lines) = records(begins, &doings, ahead);
            let mut rows = polls([ninth, tenth, eleventh], early, only);
            for (at, within, set) in readings {
                let at = at.index(lines.len());
                let set = if set { "\nclock-not-set = true" } else { "" };
                let keys = format!(
                    "displayed = \"{}\"\nreference = \"{}\"\nwithin-seconds = {within}\nafter-record = {}{set}",
                    civil(times[at] + ahead),
                    civil(times[at]),
                    at + 101
                );
                rows.push(("reading", row("reading", &keys)));
            }
            // The first records may have been of the mock poll, the rest is the poll, in two rows.
            let first = if mock { cut.index(lines.len()) } else { 0 };
            let split = first + split.index(lines.len() - first);
            for (was, from, to) in
                [("mock-poll", 0, first), ("poll", first, split), ("poll", split, lines.len())]
            {
                if from < to {
                    let keys = format!("was = \"{was}\"\nrecords = \"{}-{}\"", from + 101, to + 100);
                    rows.push(("phase", row("phase", &keys)));
                }
            }
            for keys in ["drift-ppm = 100", "queue-minutes = 20", "close-within-minutes = 10"] {
                rows.push(("setting", row("setting", keys)));
            }
            rows.push(("storage", row("storage", "none = true")));
            if begins == Memory::Empty {
                rows.push(("end", row("end", "closed = \"front\"")));
            }
            rows.push(("end", row("end", "closed = \"back\"")));
            World { lines, rows }
        },
    )
}

/// Less of it.
fn lesser(world: &World, how: u8, at: Index) -> Option<World> {
    let mut less = world.clone();
    let without = |less: &mut World, table: &str, key: &str| {
        less.rows.retain(|(of, text)| *of != table || !text.contains(key));
    };
    match how {
        0 => {
            drop(less.lines.drain(..=at.index(world.lines.len() - 1)));
            without(&mut less, "end", "front");
        }
        1 => {
            less.lines.truncate(1 + at.index(world.lines.len() - 1));
            without(&mut less, "end", "back");
        }
        2 => {
            let line = at.index(world.lines.len());
            "this line cannot be read".clone_into(&mut less.lines[line]);
        }
        3 => without(&mut less, "end", "front"),
        // A row, or what it states of an hour or a day.
        _ => {
            let row = at.index(world.rows.len());
            let (table, text) = less.rows[row].clone();
            let weak = |part: &str| text.lines().find(|line| line.starts_with(part)).map(str::to_owned);
            let part = [weak("only-day"), weak("opens"), weak("clock-not-set")].into_iter().flatten().next();
            match (table, part) {
                ("setting", _) => return None,
                (_, Some(part)) => less.rows[row].1 = text.replace(&format!("{part}\n"), ""),
                _ => drop(less.rows.remove(row)),
            }
        }
    }
    Some(less)
}

fn answers(world: &World) -> BTreeMap<&'static str, Verdict> {
    let rows: Vec<String> = world.rows.iter().map(|(_, text)| text.clone()).collect();
    let (log, case) = (log(&file(&world.lines, true)), case(&rows));
    let unit = UnitDescription::kestrane();
    let of_hours = |id| rule(id).is_some_and(|rule| rule.family == Family::Hours);
    let examination = examine(&log, &case, &unit);
    let answers = examination.answers.iter().map(|answer| (answer.rule, answer.verdict));
    answers.filter(|(id, _)| of_hours(id) || *id == "poll-day-not-displayed").collect()
}

#[test]
fn less_of_two_days_and_nights_never_turns_an_answer_round() {
    let config = Config { cases: 1500, failure_persistence: None, ..Config::default() };
    let told: Cell<[u32; 3]> = Cell::new([0; 3]);
    TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &[29; 32]))
        .run(&(world(), 0_u8..8, any::<Index>()), |(world, how, at)| {
            prop_assume!(world.lines.len() > 1);
            let Some(less) = lesser(&world, how, at) else { return Ok(()) };
            let (known, fewer) = (answers(&world), answers(&less));
            for (id, verdict) in &fewer {
                let same = *verdict == known[id];
                prop_assert!(
                    same || *verdict == Verdict::CannotBeTold,
                    "{}: {:?} became {:?}\n{}\n{:#?}",
                    id,
                    known[id],
                    verdict,
                    less.lines.join("\n"),
                    less.rows
                );
                let mut counts = told.get();
                let kind = if same { 1 + usize::from(*verdict == Verdict::NotKept) } else { 0 };
                counts[kind] += u32::from(known[id] != Verdict::CannotBeTold);
                told.set(counts);
            }
            Ok(())
        })
        .unwrap();
    let [weaker, kept, contrary] = told.get();
    println!("told of all of it: {weaker} became open, {kept} stayed kept, {contrary} stayed not kept");
    assert!(weaker > 500 && kept > 150 && contrary > 300, "{weaker} {kept} {contrary}");
}

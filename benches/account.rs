//! How long the least-assumption account takes for a log of 1,000 records with 80 faults.
//!
//! The log is the demonstration's busy unit, spoilt at 80 places evenly spread: in turn a record taken out, one written
//! twice, two in each other's place and one replaced; the records are numbered anew. The yardstick is SHA-256 of the same
//! bytes in the same run.

use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;

use logassay::case::Case;
use logassay::replay::{Account, Belief, Machine, Replay};
use logassay::source::{Digest, Source};
use logassay::syntax::read;
use logassay::unit::UnitDescription;

const BUSY: &str = include_str!("../corpus/demonstration/busy-unit.log");
const FAULTS: usize = 80;

fn spoilt() -> String {
    let rests = BUSY.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit()));
    let mut records: Vec<&str> = rests.filter_map(|line| Some(line.split_once(' ')?.1)).collect();
    let apart = records.len() / FAULTS;
    for fault in (0..FAULTS).rev() {
        let at = fault * apart + apart / 2;
        match fault % 4 {
            0 => drop(records.remove(at)),
            1 => {
                let again = records.get(at).copied().unwrap_or_default();
                records.insert(at, again);
            }
            2 => records.swap(at, at + 1),
            _ => {
                if let Some(record) = records.get_mut(at) {
                    *record = "2031-05-10 12:00:00 result";
                }
            }
        }
    }
    let mut text = "unit-event-log 1\n".to_owned();
    for (at, rest) in records.iter().enumerate() {
        text.push_str(&format!("{} {rest}\n", at + 501));
    }
    text
}

fn main() {
    let rounds = if std::env::args().any(|argument| argument == "--bench") { 301 } else { 1 };
    let text = spoilt();
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let machine = Machine::of(&unit);
    let logs = read(Arc::new(Source::new("spoilt.log", text.clone().into_bytes())));
    let Some(log) = logs.first() else { return };
    let replay = Replay::with(&machine, log, &case, &unit);
    let cost = replay.account.as_ref().map_or(0, |account| account.cost);
    assert!(cost >= FAULTS as u64 / 2, "the log is not spoilt enough: {cost} changes");
    let (mut hash, mut account, mut ratios) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..rounds {
        let begin = Instant::now();
        black_box(Digest::of(black_box(text.as_bytes())));
        let hashed = begin.elapsed().as_secs_f64() * 1e3;
        let begin = Instant::now();
        black_box(Account::of(&machine, black_box(log), &replay.steps, Belief::ANY));
        let accounted = begin.elapsed().as_secs_f64() * 1e3;
        ratios.push(accounted / hashed);
        hash.push(hashed);
        account.push(accounted);
    }
    println!(
        "{} records, {FAULTS} faults, {cost} changes at the least, {} contradictions; {rounds} rounds",
        log.records().len(),
        replay.deviations.len()
    );
    for (name, values) in
        [("SHA-256, ms", &mut hash), ("account, ms", &mut account), ("account / SHA-256", &mut ratios)]
    {
        values.sort_by(f64::total_cmp);
        let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
        println!("{name:<20} median {:>10.3}  fastest {:>10.3}", at(values.len() / 2), at(0));
    }
}

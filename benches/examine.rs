//! How long an examination takes, step by step, for one log of 1,000 records.
//!
//! The yardstick is SHA-256 of the same bytes in the same run, because evidence must be hashed anyway; quote the ratio,
//! not the time. Every round measures every step. Printed are the fastest round's time, which other work on the machine
//! disturbs least, with its ratio, and the median of the rounds' ratios.

use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;

use logassay::case::Case;
use logassay::clock::Clock;
use logassay::pace::Timeline;
use logassay::pace::repeat::{may_repeat, repeated};
use logassay::replay::{Belief, Machine, Replay};
use logassay::source::{Digest, Source};
use logassay::syntax::{Log, Skimmed, read, skim};
use logassay::unit::UnitDescription;

const BUSY: &[u8] = include_bytes!("../corpus/demonstration/busy-unit.log");
const ROUNDS: usize = 151;
/// Logs per step and round.
const LOGS: u32 = 10;

fn main() {
    // `cargo test --benches` and the like only ask whether it runs.
    let rounds = if std::env::args().any(|argument| argument == "--bench") { ROUNDS } else { 1 };
    steps(rounds);
    divan::main();
}

fn new_source() -> Arc<Source> {
    Arc::new(Source::new("busy-unit.log", BUSY.to_vec()))
}

/// Reads, replays and answers every rule for one log.
fn examine(source: &Arc<Source>, case: &Case, unit: &UnitDescription) -> usize {
    examine_all(&read(Arc::clone(source)), case, unit)
}

fn examine_all(logs: &[Log], case: &Case, unit: &UnitDescription) -> usize {
    logs.iter().map(|log| logassay::examine(log, case, unit).answers.len()).sum()
}

/// Parses and replays without keeping anything: the belief behind the last record.
fn replay_in_passing(source: &Source, machine: &Machine) -> Belief {
    let mut belief = Belief::ANY;
    skim(source, |line| {
        if let Skimmed::Record { event, .. } = line {
            let next = machine.after(belief, event);
            belief = if next.is_empty() { Belief::ANY } else { next };
        }
    });
    belief
}

fn steps(rounds: usize) {
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let machine = Machine::of(&unit);
    let source = new_source();
    let logs = read(Arc::clone(&source));
    let records = logs.iter().map(|log| log.records().len()).sum::<usize>();
    let records = u32::try_from(records).unwrap_or(u32::MAX);
    let crlf = String::from_utf8_lossy(BUSY).replace('\n', "\r\n").into_bytes();
    let crlf = Arc::new(Source::new("busy-unit.log", crlf));
    let replays: Vec<Replay> = logs.iter().map(|log| Replay::with(&machine, log, &case, &unit)).collect();
    let timelines: Vec<Timeline> =
        logs.iter().zip(&replays).map(|(log, replay)| Timeline::of(log, replay)).collect();
    let read_thrice = readings(&logs);
    let clocks = |case: &Case| {
        for (log, replay) in logs.iter().zip(&replays) {
            drop(black_box(Clock::of(log, case, &unit, replay)));
        }
    };
    let work: [(&str, &dyn Fn()); 14] = [
        ("SHA-256", &|| {
            black_box(Digest::of(black_box(BUSY)));
        }),
        ("parse", &|| {
            skim(black_box(&source), |line| {
                black_box(line);
            });
        }),
        ("parse and replay", &|| {
            black_box(replay_in_passing(black_box(&source), &machine));
        }),
        ("read, lines ended by CRLF", &|| drop(black_box(read(Arc::clone(&crlf))))),
        ("read", &|| drop(black_box(read(Arc::clone(&source))))),
        ("replay of a log that was read", &|| {
            logs.iter().for_each(|log| drop(black_box(Replay::with(&machine, log, &case, &unit))));
        }),
        ("timeline of a log", &|| {
            logs.iter().zip(&replays).for_each(|(log, replay)| drop(black_box(Timeline::of(log, replay))));
        }),
        ("whether a run may repeat", &|| {
            black_box(timelines.iter().filter(|timeline| may_repeat(timeline)).count());
        }),
        ("every run that repeats", &|| {
            timelines.iter().for_each(|timeline| drop(black_box(repeated(timeline))));
        }),
        ("its clock, without readings", &|| clocks(&case)),
        ("its clock, with three readings", &|| clocks(&read_thrice)),
        ("examine a log that was read", &|| {
            black_box(examine_all(black_box(&logs), &case, &unit));
        }),
        ("hash and read", &|| drop(black_box(read(new_source())))),
        ("hash, read and examine", &|| {
            black_box(examine(&new_source(), &case, &unit));
        }),
    ];
    let mut measured: Vec<(Vec<f64>, Vec<f64>)> = vec![(Vec::new(), Vec::new()); work.len()];
    for _ in 0..rounds {
        let times: Vec<f64> = work.iter().map(|(_, step)| nanoseconds_a_record(step, records)).collect();
        let hash = times.first().copied().unwrap_or(f64::NAN);
        for ((times_of, ratios_of), time) in measured.iter_mut().zip(times) {
            times_of.push(time);
            ratios_of.push(time / hash);
        }
    }
    println!("{records} records in {} bytes, one core; {rounds} rounds of {LOGS} logs", BUSY.len());
    println!(
        "{:<32} {:>21} {:>21} {:>21}",
        "", "fastest, ns a record", "SHA-256 = 1, fastest", "median of ratios"
    );
    let hash = measured.first().map_or(f64::NAN, |(times, _)| least(times));
    for ((name, _), (times, mut ratios)) in work.iter().zip(measured) {
        let fastest = least(&times);
        println!("{name:<32} {fastest:>21.1} {:>21.2} {:>21.2}", fastest / hash, median(&mut ratios));
    }
    println!();
}

/// A case that times three records of a log, each to the minute, with a bound on the rate of the clock.
fn readings(logs: &[Log]) -> Case {
    let mut text = String::from(
        "[[poll]]\ndate = \"2031-05-10\"\nzone = \"+02:00\"\nsource = \"Notice\"\nby = \"Returning Officer\"\n\
         [[setting]]\ndrift-ppm = 100\nsource = \"Data sheet\"\nby = \"Maker\"\n",
    );
    let records = logs.first().map_or(&[][..], Log::records);
    for record in [100, 500, 900].iter().filter_map(|place| records.get(*place)) {
        if let (Some(number), Some(time)) = (record.number, record.time) {
            text.push_str(&format!(
                "[[reading]]\nrecord = {number}\nreference = \"{}\"\nwithin-seconds = 60\nsource = \"Diary\"\nby = \
                 \"Official\"\n",
                time.to_the_minute()
            ));
        }
    }
    Case::read("case", &text).map_or_else(|_| Case::default(), |file| file.case)
}

fn least(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}

fn nanoseconds_a_record(step: &dyn Fn(), records: u32) -> f64 {
    let begin = Instant::now();
    (0..LOGS).for_each(|_| step());
    begin.elapsed().as_secs_f64() * 1e9 / f64::from(LOGS) / f64::from(records)
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// One log of 1,000 records, already in memory and hashed.
#[divan::bench]
fn one_log(bencher: divan::Bencher<'_, '_>) {
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let source = new_source();
    bencher.bench(|| examine(&source, &case, &unit));
}

/// Reading alone.
#[divan::bench(name = "read")]
fn read_alone(bencher: divan::Bencher<'_, '_>) {
    let source = new_source();
    bencher.bench(|| read(Arc::clone(&source)).len());
}

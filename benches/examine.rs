//! How long an examination takes: one log of 1,000 records, and 100 MB of logs as a ratio to hashing the same bytes.
//!
//! The yardstick is SHA-256 of the same bytes in the same process, because evidence must be hashed anyway; quote the
//! ratio, not the seconds.

use std::sync::Arc;
use std::time::{Duration, Instant};

use logassay::case::Case;
use logassay::source::{Digest, Source};
use logassay::unit::UnitDescription;

const BUSY: &[u8] = include_bytes!("../corpus/demonstration/busy-unit.log");
const TOTAL: usize = 100_000_000;

fn main() {
    ratio();
    divan::main();
}

/// Reads, replays and answers every rule for one log.
fn examine(source: &Arc<Source>, case: &Case, unit: &UnitDescription) -> usize {
    logassay::syntax::read(Arc::clone(source))
        .iter()
        .map(|log| logassay::examine(log, case, unit).answers.len())
        .sum()
}

/// 100 MB as the files of many units, one after another: hashing alone, reading alone, the whole examination.
fn ratio() {
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let units = TOTAL / BUSY.len();
    let mut ratios: Vec<(f64, f64)> = (0..3)
        .map(|_| {
            let hash = timed(units, |bytes| Digest::of(bytes).bytes().len());
            // Taking bytes into evidence hashes them, so both figures below hold the hash too.
            let read = timed(units, |bytes| {
                logassay::syntax::read(Arc::new(Source::new("bench", bytes.to_vec()))).len()
            });
            let whole =
                timed(units, |bytes| examine(&Arc::new(Source::new("bench", bytes.to_vec())), &case, &unit));
            (read.as_secs_f64() / hash.as_secs_f64(), whole.as_secs_f64() / hash.as_secs_f64())
        })
        .collect();
    ratios.sort_by(|a, b| a.1.total_cmp(&b.1));
    let records = logassay::syntax::read(Arc::new(Source::new("bench", BUSY.to_vec())))
        .iter()
        .map(|log| log.records().len())
        .sum::<usize>()
        * units;
    println!(
        "{units} logs of {} bytes, {records} records, one core; median of {} runs",
        BUSY.len(),
        ratios.len()
    );
    let Some((read, whole)) = ratios.get(ratios.len() / 2) else { return };
    println!("hash and read:    {read:.2} times SHA-256 of the same bytes");
    println!("hash and examine: {whole:.2} times SHA-256 of the same bytes\n");
}

fn timed(units: usize, mut work: impl FnMut(&[u8]) -> usize) -> Duration {
    let begin = Instant::now();
    let mut sum = 0;
    for _ in 0..units {
        sum += work(std::hint::black_box(BUSY));
    }
    std::hint::black_box(sum);
    begin.elapsed()
}

/// One log of 1,000 records, already in memory and hashed.
#[divan::bench]
fn one_log(bencher: divan::Bencher<'_, '_>) {
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let source = Arc::new(Source::new("busy-unit.log", BUSY.to_vec()));
    bencher.bench(|| examine(&source, &case, &unit));
}

/// Reading alone.
#[divan::bench]
fn read(bencher: divan::Bencher<'_, '_>) {
    let source = Arc::new(Source::new("busy-unit.log", BUSY.to_vec()));
    bencher.bench(|| logassay::syntax::read(Arc::clone(&source)).len());
}

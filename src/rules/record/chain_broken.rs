//! A chain value that does not follow from the record before it.

use sha2::{Digest as _, Sha256};

use super::{EXPORT_AGAIN, EXPORTER, MAKER, WAY_OF_THE_FILE, count, places};
use crate::finding::{Kind, Place, Weight};
use crate::replay::{Ending, Step};
use crate::rules::{Against, Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Walk, Want};
use crate::source::Digest;
use crate::syntax::Record;

pub(crate) static RULE: Rule = Rule {
    id: "chain-broken",
    family: Family::Record,
    kind: Kind::Shown,
    weight: Weight::Discrepancy,
    title: "A record's chain value does not follow from the record before it.",
    asks: "Each chain value follows from the chain value before it and from its own record.",
    basis: &[
        Basis::Format(
            "a chain value is the SHA-256 of the chain value before it and of the record's own bytes",
        ),
        Basis::Comparable("VVSG 2.0, 11.1-C: entries cannot be changed without its being noticed"),
    ],
    why: "A chain ties each record to all before it. Where a value does not follow, one of the two records is not as \
          it was when the chain was made, or a record between them is gone. Before the first record of a unit's life \
          stand 32 zero bytes, so that its value is known too. Where older records were overwritten, the first value \
          of the log has nothing to follow from: of its record and of those before it the chain says nothing. Whoever \
          can make the whole chain anew can make any log fit.",
    ordinary: &[
        Ordinary::new(
            "A program that opened and saved the file changed spaces or characters of a record.",
            "a comparison with the file as first written out, byte by byte",
        )
        .against(Against::ClosingAgrees)
        .against(Against::ClosingAgrees),
        Ordinary::new(
            "The exporter started a new chain here, for instance after a power cycle.",
            "the description of the exporter: where a chain begins anew",
        ),
        Ordinary::new(
            "The records were put into another order after the chain was made.",
            "the record numbers, and a second export",
        ),
    ],
    look_next: &[EXPORT_AGAIN, WAY_OF_THE_FILE],
    needs: &[],
    scope: Scope::Text,
    occasions: "chain values",
    // The values are SHA-256 as Python's hashlib gives it, each over the value before it and the record's bytes.
    examples: &[
        Example {
            title: "The second record's minute is not the one that was chained.",
            log: BROKEN,
            case: "",
        },
        Example { title: "Near miss: each value follows from the one before it.", log: INTACT, case: "" },
        Example {
            title: "The first record of a unit's life does not follow from 32 zero bytes.",
            log: FIRST_OF_ALL,
            case: "",
        },
        Example {
            title: "Near miss: a missing record leaves a new start, and nothing to compare.",
            log: GAP,
            case: "",
        },
    ],
    walk: |known, walk| {
        if known.log.records().iter().all(|record| record.chain.is_none()) {
            walk.does_not_apply("no record of this log carries a chain value");
            return;
        }
        let mut before: Option<usize> = None;
        let mut run = Run::default();
        for (at, step) in known.replay.steps.iter().enumerate() {
            let Some(record) = known.record(at) else {
                before = None;
                run.tell(known, walk);
                if let Step::Gap(gap) = step {
                    walk.unseen(Want::of_gap(*gap));
                }
                continue;
            };
            let last = before.replace(at).and_then(|before| known.record(before));
            if at == 0 && known.replay.front == Ending::FirstNumber && !begins(known, record) {
                walk.contrary(Place::Line(record.line), not_the_first(known, record));
                continue;
            }
            match link(known, walk, last, record) {
                Some(before) => run.lines.push((record.line, before)),
                None => run.tell(known, walk),
            }
        }
        run.tell(known, walk);
    },
};

/// Records directly behind each other whose values do not follow: the line of each, and of the record before it.
#[derive(Default)]
struct Run {
    lines: Vec<(usize, usize)>,
}

impl Run {
    /// Tells a run as one finding, and begins another: where a record was put in or taken out and all later numbers written
    /// anew, it reaches to the end of the log.
    fn tell(&mut self, known: &Known<'_>, walk: &mut Walk<'_>) {
        let lines = std::mem::take(&mut self.lines);
        let Some(((main, before), rest)) = lines.split_first() else { return };
        let name = |line: usize| {
            let record = known.log.records().iter().find(|record| record.line == line);
            record.map_or_else(String::new, |record| known.record_name(record))
        };
        let mut shows =
            format!("The chain value of {} is not the one that follows from {}.", name(*main), name(*before));
        if let Some((last, _)) = rest.last() {
            let more = count(rest.len() as u64, "record", "records");
            shows.push_str(&format!(
                " Nor does that of the {more} directly behind it follow from the one before, up to {}.",
                name(*last)
            ));
        }
        let others: Vec<usize> = std::iter::once(*before).chain(rest.iter().map(|(line, _)| *line)).collect();
        let contrary = Contrary {
            others: places(&others),
            expected: "The chain value follows from the one before it and from the record's own bytes."
                .to_owned(),
            shows,
            ..Contrary::default()
        };
        walk.contrary(Place::Line(*main), contrary);
    }
}

/// Judges a record's chain value against the record before it in replay, and against the one before it in the file:
/// an exporter may chain in either order. Gives the line of the record from which it does not follow.
fn link(known: &Known<'_>, walk: &mut Walk<'_>, last: Option<&Record>, record: &Record) -> Option<usize> {
    let at = Place::Line(record.line);
    let Some(stated) = record.chain else {
        walk.open(
            at,
            Want::Other(
                "some records carry a chain value and others do not".to_owned(),
                EXPORTER,
                "which records the exporter chains".to_owned(),
            ),
        );
        return None;
    };
    let in_file = record_before(known, record);
    let chained = |record: Option<&Record>| record.and_then(|record| record.chain);
    let candidates = [chained(last), chained(in_file)];
    if candidates.iter().flatten().any(|before| follows(known, *before, record) == stated) {
        walk.in_order(at);
    } else if last.is_none() || in_file.is_none() {
        // First in one of the two orders, or the first behind a gap: a new start, with nothing to compare.
        walk.in_order(at);
    } else if candidates.first().copied().flatten().is_none() {
        walk.open(
            at,
            Want::Other(
                "a chain value stands behind a record without one, and has nothing to follow from".to_owned(),
                MAKER,
                "where a chain begins anew".to_owned(),
            ),
        );
    } else {
        return last.map(|last| last.line);
    }
    None
}

/// Whether a record's chain value follows from what stands before the first record of a unit's life; one without a value
/// is judged as any other is.
fn begins(known: &Known<'_>, record: &Record) -> bool {
    let zero = Digest::from_hex(&"0".repeat(64));
    record.chain.zip(zero).is_none_or(|(stated, zero)| follows(known, zero, record) == stated)
}

fn not_the_first(known: &Known<'_>, record: &Record) -> Contrary {
    Contrary {
        expected: "The chain value of the unit's first record follows from 32 zero bytes and from the record's own bytes."
            .to_owned(),
        shows: format!(
            "The chain value of {} is not the one that follows from 32 zero bytes.",
            known.record_name(record)
        ),
        assumptions: known
            .front_premise()
            .into_iter()
            .chain(["the chain begins with the first record of the unit's life".to_owned()])
            .collect(),
        ..Contrary::default()
    }
}

/// The record on the line before, when no unread line stands between.
fn record_before<'a>(known: &Known<'a>, record: &Record) -> Option<&'a Record> {
    use crate::syntax::LineKind;
    let lines = known.log.lines().get(..record.line)?;
    let before =
        lines.iter().rev().find(|line| matches!(line.kind, LineKind::Record(_) | LineKind::Unread))?;
    match before.kind {
        LineKind::Record(place) => known.log.records().get(place),
        _ => None,
    }
}

fn follows(known: &Known<'_>, before: Digest, record: &Record) -> Digest {
    let mut hasher = Sha256::new();
    hasher.update(before.bytes());
    hasher.update(known.log.chain_input(record));
    Digest::finish(hasher)
}

const INTACT: &str = "\
    1201 2031-05-10 06:58:05 total shown=0 chain:7f3c706c9b1532cb6f682b8909016f55977474f5ebf3047c9aeabf6eaab4e21b\n\
    1202 2031-05-10 06:59:31 paper-low chain:90e41a1b91aaf14be7e7ca590a90e744eebcbe980bc17f74d46ac72220c7c9d8\n\
    1203 2031-05-10 07:00:02 total shown=0 chain:5491a9b65a05e2790dfa51a1939d30ea40de6438685af40553879b9abf57a4cb\n";

const BROKEN: &str = "\
    1201 2031-05-10 06:58:05 total shown=0 chain:7f3c706c9b1532cb6f682b8909016f55977474f5ebf3047c9aeabf6eaab4e21b\n\
    1202 2031-05-10 06:58:31 paper-low chain:90e41a1b91aaf14be7e7ca590a90e744eebcbe980bc17f74d46ac72220c7c9d8\n\
    ^ chain-broken\n\
    1203 2031-05-10 07:00:02 total shown=0 chain:5491a9b65a05e2790dfa51a1939d30ea40de6438685af40553879b9abf57a4cb\n";

const GAP: &str = "\
    1201 2031-05-10 06:58:05 total shown=0 chain:7f3c706c9b1532cb6f682b8909016f55977474f5ebf3047c9aeabf6eaab4e21b\n\
    1202 2031-05-10 06:59:31 paper-low chain:90e41a1b91aaf14be7e7ca590a90e744eebcbe980bc17f74d46ac72220c7c9d8\n\
    1203 2031-05-10 07:00:02 total shown=0 chain:5491a9b65a05e2790dfa51a1939d30ea40de6438685af40553879b9abf57a4cb\n\
    1206 2031-05-10 07:01:02 total shown=0 chain:7b1b763ee8f62eb88e4742a760f912d0b19bcd58b2b948999784bacc15a7f4d7\n\
    ^ number-missing\n";

/// The chain was made over a first record of 06:58:05.
const FIRST_OF_ALL: &str = "\
    1 2031-05-10 06:58:04 total shown=0 chain:e2b1990ec12ade558064bb5f66f2c33f9d8e71482f2c21dac2d39546edea1b71\n\
    ^ chain-broken\n\
    2 2031-05-10 06:59:31 paper-low chain:0296511c463f414cc4b538818e51690f0eea3acd42b045bec8b50ed2f04c6cb9\n";

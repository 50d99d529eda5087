//! Laws that hold of every fault: other serials, a later beginning of the log, other times.

use std::sync::Arc;

use logassay::assessment::{Judged, Mark, assess};
use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Place, Verdict};
use logassay::rehearsal::fault::{Rehearsed, faults, rehearse};
use logassay::rehearsal::key::brought_by;
use logassay::rules::{Family, rule};
use logassay::source::{Digest, Source};
use logassay::syntax::read;

/// A rule's answer and its findings, each by kind and by the number that its record has, or its line.
type Said = Vec<(&'static str, Verdict, Vec<(&'static str, Option<String>)>)>;

fn said(made: &Rehearsed) -> Said {
    let logs = read(Arc::new(Source::new("rehearsal", made.life.log.clone().into_bytes())));
    let case = Case::read("case", &made.life.case).unwrap();
    let examination = examine(&logs[0], &case.case, &made.unit);
    let text = |place| match place {
        Place::Line(line) => made.life.log.lines().nth(line).map(|text| {
            // What the record is, without what the laws change.
            let mut words = text.split(' ');
            let number = words.next().unwrap_or_default();
            format!("{number} {}", words.nth(2).unwrap_or_default())
        }),
        Place::Log => None,
    };
    examination
        .answers
        .iter()
        .map(|answer| {
            let findings = examination.findings_of(answer.rule);
            (answer.rule, answer.verdict, findings.map(|f| (f.kind.word(), text(f.main))).collect())
        })
        .collect()
}

/// The log with every line changed, and a closing line that fits it as well or as badly as before.
fn rewritten(log: &str, change: impl Fn(&str) -> String) -> String {
    let (mut text, mut body) = (String::new(), String::new());
    let mut in_body = false;
    for line in log.lines() {
        if let Some(rest) = line.strip_prefix("end ") {
            let count = rest.split(' ').next().unwrap();
            text += &format!("end {count} sha256:{}\n", Digest::of(body.as_bytes()));
            continue;
        }
        let line = change(line) + "\n";
        if in_body {
            body += &line;
        }
        in_body |= line.trim().is_empty();
        text += &line;
    }
    text
}

#[test]
fn other_serials_change_no_answer() {
    for fault in faults() {
        // Chain values are made over the serials.
        if fault.id == "chained" {
            continue;
        }
        for seed in 1..=3 {
            let made = rehearse(&[(fault, fault.size(None).unwrap())], seed, None).unwrap();
            let change = |text: &str| text.replace("CU-2", "CU-9").replace("BU-5", "BU-8");
            let mut other = made.clone();
            other.life.log = rewritten(&made.life.log, change);
            other.life.case = change(&made.life.case);
            assert_ne!(other.life.log, made.life.log);
            assert_eq!(said(&made), said(&other), "{}, seed {seed}", fault.id);
        }
    }
}

/// Faults whose keys reckon every answer on the hours from the injected truth.
const RECKONED: [&str; 19] = [
    "5", "6", "11", "12", "13", "14", "15", "16", "17", "18", "19", "20", "21", "22", "23", "24", "25", "26",
    "51",
];

/// The law of less knowledge: of a log that begins later, every answer of a rule about events is the same or *cannot be
/// told*, no finding is new, and the key says so too.
#[test]
fn a_log_that_begins_later_is_told_no_more() {
    let mut fewer = 0;
    for fault in faults() {
        for (seed, last) in [(1, 40), (2, 25), (3, 60), (4, 12)] {
            // The last lines of a ring as stored are not its last records; nor are those whose numbers begin anew.
            if matches!(fault.id, "ring-as-stored" | "numbers-begin-anew") {
                continue;
            }
            let chosen = [(fault, fault.size(None).unwrap())];
            let whole = rehearse(&chosen, seed, None).unwrap();
            let cut = rehearse(&chosen, seed, Some(last)).unwrap();
            let name = format!("{}, seed {seed}, last {last}", fault.id);
            // Keys of the other families do not yet take away what falls away with the records that are cut: readings
            // behind them, and votes of which a rule needs many. Those that reckon the hours and the clock do.
            let is_reckoned = RECKONED.contains(&fault.number);
            let is_held = |judged: &&Judged| match rule(judged.rule).unwrap().family {
                Family::Procedure => true,
                Family::Hours => is_reckoned,
                _ => false,
            };
            for judged in assess(&cut).iter().filter(is_held) {
                assert!(!matches!(judged.mark, Mark::Disagreed(_)), "{name}: {judged:?}");
            }
            for ((id, before, findings), (_, after, fewer_findings)) in
                said(&whole).into_iter().zip(said(&cut))
            {
                if rule(id).unwrap().family != Family::Procedure {
                    continue;
                }
                let weaker = [before, Verdict::CannotBeTold, Verdict::DoesNotApply].contains(&after);
                let fell_away = before == Verdict::NotKept && fewer_findings.is_empty();
                assert!(weaker || fell_away, "{name}: {id} from {before:?} to {after:?}");
                let places: Vec<_> = findings.iter().map(|(_, place)| place).collect();
                assert!(fewer_findings.iter().all(|(_, p)| places.contains(&p)), "{name}: {id} is new");
                fewer += usize::from(fewer_findings.len() < findings.len());
            }
        }
    }
    assert!(fewer > 20, "{fewer} findings fell away");
}

/// Only what asks for an hour may change where every displayed time moves by the same amount.
#[test]
fn other_times_change_only_what_asks_for_the_hour() {
    const MOVED: chrono::TimeDelta = chrono::TimeDelta::seconds(3 * 3600 + 17 * 60);
    let moved = |line: &str| {
        let mut words: Vec<String> = line.split(' ').map(str::to_owned).collect();
        if words.len() < 4 {
            return line.to_owned();
        }
        let time = format!("{} {}", words[1], words[2]);
        let Ok(at) = chrono::NaiveDateTime::parse_from_str(&time, "%Y-%m-%d %H:%M:%S") else {
            return line.to_owned();
        };
        let later = (at + MOVED).format("%Y-%m-%d %H:%M:%S").to_string();
        let (date, hour) = later.split_once(' ').unwrap();
        words[1] = date.to_owned();
        words[2] = hour.to_owned();
        words.join(" ")
    };
    for fault in faults() {
        // A time that is none is not moved, and what a setting states is.
        let stands_out =
            matches!(fault.id, "chained" | "dates-turned" | "day-that-is-none" | "second-60" | "hour-24");
        if stands_out || fault.id == "clock-set-in-the-poll" {
            continue;
        }
        for seed in 1..=3 {
            let made = rehearse(&[(fault, fault.size(None).unwrap())], seed, None).unwrap();
            let mut other = made.clone();
            other.life.log = rewritten(&made.life.log, moved);
            assert_ne!(other.life.log, made.life.log);
            for (one, two) in said(&made).into_iter().zip(said(&other)) {
                // Whether a record is later than the export asks for the hour too.
                if one.0 != "record-after-export" && brought_by(one.0).is_none() {
                    assert_eq!(one, two, "{}, seed {seed}", fault.id);
                }
            }
        }
    }
}

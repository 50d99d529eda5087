//! Laws that hold of every fault: other serials, a later beginning of the log, other times.

use std::collections::BTreeSet;
use std::sync::Arc;

use logassay::assessment::{Mark, assess};
use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Answer, Finding, Place, Verdict};
use logassay::rehearsal::fault::{Fault, Rehearsed, faults, rehearse};
use logassay::rules::{Family, RULES, Scope, rule};
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
        if fault.id.starts_with("chain") {
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

/// A rule's answer, the records at which its findings stand, and all that they point at.
type Pointed = Vec<(&'static str, Verdict, Vec<Option<String>>, BTreeSet<Option<String>>)>;

fn pointed(made: &Rehearsed) -> Pointed {
    let logs = read(Arc::new(Source::new("rehearsal", made.life.log.clone().into_bytes())));
    let case = Case::read("case", &made.life.case).unwrap();
    let examination = examine(&logs[0], &case.case, &made.unit);
    let text = |place: &Place| match place {
        Place::Line(line) => made.life.log.lines().nth(*line).map(str::to_owned),
        Place::Log => None,
    };
    let of = |answer: &Answer| {
        let findings: Vec<&Finding> = examination.findings_of(answer.rule).collect();
        let mains = findings.iter().map(|finding| text(&finding.main)).collect();
        let all = findings.iter().flat_map(|f| f.others.iter().chain([&f.main])).map(text).collect();
        (answer.rule, answer.verdict, mains, all)
    };
    examination.answers.iter().map(of).collect()
}

/// The law of less knowledge: of a log that begins later, every answer is the same or *cannot be told*, or there is nothing
/// left to ask; no finding is new, though one that gathers several records may stand at a later one of them; and the key,
/// which is made anew for what is left, says so too. Of all rules and all families.
///
/// Rules about the file as text fall away with the lines that they are about.
#[test]
fn a_log_that_begins_later_is_told_no_more() {
    let (mut fewer, mut judged, mut free) = (0, 0, 0);
    for fault in faults() {
        for (seed, last) in [(1, 500), (2, 200), (5, 100), (3, 60), (6, 50), (1, 40), (2, 25), (4, 12)] {
            // The last lines of a ring as stored are not its last records; nor are those of a log whose numbers begin anew, of
            // which the first by number are the last by time.
            if matches!(fault.id, "ring-as-stored" | "numbers-begin-anew") {
                continue;
            }
            let chosen = [(fault, fault.size(None).unwrap())];
            let whole = rehearse(&chosen, seed, None).unwrap();
            let cut = rehearse(&chosen, seed, Some(last)).unwrap();
            let name = format!("{}, seed {seed}, last {last}", fault.id);
            for judged in assess(&cut) {
                assert!(!matches!(judged.mark, Mark::Disagreed(_)), "{name}: {judged:?}");
                free += usize::from(judged.mark == Mark::Free);
            }
            judged += RULES.len();
            // Where the whole log contradicts itself no course of events fits it, and the law asks nothing of what it left open:
            // a part of it may be free of the contradiction.
            let contradicts =
                said(&whole).iter().any(|(_, _, f)| f.iter().any(|(kind, _)| *kind == "contradiction"));
            for ((id, before, mains, all), (_, after, fewer_mains, _)) in
                pointed(&whole).into_iter().zip(pointed(&cut))
            {
                if contradicts && before == Verdict::CannotBeTold {
                    continue;
                }
                let of_the_text = rule(id).unwrap().scope == Scope::Text && fewer_mains.is_empty();
                let weaker = [before, Verdict::CannotBeTold, Verdict::DoesNotApply].contains(&after);
                assert!(weaker || of_the_text, "{name}: {id} from {before:?} to {after:?}");
                // What is measured or counted over a whole log or poll stands at its first or last record, wherever that is; and
                // what is said of a file as text may stand at a line that is written anew.
                let of_the_whole = matches!(rule(id).unwrap().family, Family::Pace | Family::Counts)
                    || rule(id).unwrap().scope == Scope::Text;
                let known = |place: &Option<String>| all.contains(place);
                assert!(of_the_whole || fewer_mains.iter().all(known), "{name}: {id} is new");
                fewer += usize::from(fewer_mains.len() < mains.len());
            }
        }
    }
    assert!(fewer > 100, "{fewer} findings fell away");
    assert!(free * 50 <= judged, "{free} of {judged} answers were free");
}

/// By how much every displayed time is moved: no step of a display, so that its last digits stay.
const MOVED: chrono::TimeDelta = chrono::TimeDelta::seconds(3 * 3600 + 17 * 60);

fn later(civil: &str, form: &str) -> Option<String> {
    let at = chrono::NaiveDateTime::parse_from_str(civil, form).ok()?;
    Some((at + MOVED).format(form).to_string())
}

/// A line of a log with its displayed times moved, those that a setting states too.
fn moved(line: &str) -> String {
    let mut words: Vec<String> = line.split(' ').map(str::to_owned).collect();
    if words.len() < 4 {
        return line.to_owned();
    }
    let form = if words[2].contains('.') { "%Y-%m-%d %H:%M:%S%.3f" } else { "%Y-%m-%d %H:%M:%S" };
    let Some(time) = later(&format!("{} {}", words[1], words[2]), form) else {
        return line.to_owned();
    };
    let (date, hour) = time.split_once(' ').unwrap();
    (words[1], words[2]) = (date.to_owned(), hour.to_owned());
    for word in &mut words[3..] {
        // What a setting states; an enable that lapsed has a number of seconds there.
        if let Some((key @ ("before" | "after"), time)) = word.split_once('=')
            && let Some(time) = later(time, "%Y-%m-%dT%H:%M:%S")
        {
            *word = format!("{key}={time}");
        }
    }
    words.join(" ")
}

/// A line of a case file with what the unit displayed at a reading moved.
fn reread(line: &str) -> String {
    let displayed = line.strip_prefix("displayed = \"").and_then(|rest| rest.strip_suffix('"'));
    displayed.map_or_else(
        || line.to_owned(),
        |time| format!("displayed = \"{}\"", later(time, "%Y-%m-%d %H:%M:%S").unwrap()),
    )
}

/// Lives of faults with every displayed time of the log moved, and those of the readings too where `reread` is asked.
fn each_moved(with_readings: bool, check: impl Fn(&Fault, u64, &Rehearsed, &Rehearsed)) {
    for fault in faults() {
        // A chain is made over the times; a time that is none is not moved.
        let unmoved = ["dates-turned", "day-that-is-none", "second-60", "hour-24"].contains(&fault.id);
        if unmoved || fault.id.starts_with("chain") {
            continue;
        }
        for seed in 1..=3 {
            let made = rehearse(&[(fault, fault.size(None).unwrap())], seed, None).unwrap();
            let mut other = made.clone();
            other.life.log = rewritten(&made.life.log, moved);
            assert_ne!(other.life.log, made.life.log);
            if with_readings {
                other.life.case = made.life.case.lines().map(|line| reread(line) + "\n").collect();
            }
            check(fault, seed, &made, &other);
        }
    }
}

/// A clock that is off by as much through the whole log, and was read so, changes nothing but what sets a display against
/// the true time itself: every hour is corrected by the readings.
#[test]
fn a_clock_that_is_off_and_was_read_so_changes_no_answer() {
    const OF_THE_DISPLAY: [&str; 3] = ["clock-offset", "clock-slip", "record-after-export"];
    each_moved(true, |fault, seed, made, other| {
        for (one, two) in said(made).into_iter().zip(said(other)) {
            if !OF_THE_DISPLAY.contains(&one.0) {
                assert_eq!(one, two, "{}, seed {seed}", fault.id);
            }
        }
    });
}

/// Where the displays move and the papers do not, only what sets the one against the other may change: the hours, the
/// readings, what was counted by a time, and the header's time of export.
#[test]
fn other_times_change_only_what_asks_for_the_hour() {
    const BY_READINGS: [&str; 7] = [
        "clock-offset",
        "clock-rate",
        "clock-slip",
        "readings-conflict",
        "tokens-differ",
        "turnout-differs",
        "record-after-export",
    ];
    each_moved(false, |fault, seed, made, other| {
        for (one, two) in said(made).into_iter().zip(said(other)) {
            if rule(one.0).unwrap().family != Family::Hours && !BY_READINGS.contains(&one.0) {
                assert_eq!(one, two, "{}, seed {seed}", fault.id);
            }
        }
    });
}

//! Pace: clean lives that no rule of the family accuses, the rows of `methods.md` 10 that speak of pace, chi-square
//! against published values, and that nothing is said about why an interval is long.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use logassay::case::Case;
use logassay::finding::{Verdict, Weight};
use logassay::pace::repeat::{may_repeat, repeated};
use logassay::pace::{Timeline, digits};
use logassay::rehearsal::{Profile, Setting, life};
use logassay::replay::Replay;
use logassay::report::json;
use logassay::rules::{Family, rule};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};
use serde_json::Value;

use crate::examples::{case, read};
use crate::pages::frame;

fn clock(second: i64) -> String {
    format!("2031-05-10 {:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60)
}

/// A log of votes: displayed second of each enable and vote.
pub(crate) fn poll(pairs: &[(i64, i64)]) -> String {
    let mut text = "unit-event-log 1\n".to_owned();
    for (place, (enable, vote)) in pairs.iter().enumerate() {
        let number = 1201 + 2 * place;
        writeln!(text, "{number} {} enable\n{} {} vote", clock(*enable), number + 1, clock(*vote)).unwrap();
    }
    text
}

/// Voters one after the other, each after so many seconds, with the vote so many seconds behind its enable.
pub(crate) fn queue(number: i64, each: impl Fn(i64) -> i64, vote: impl Fn(i64) -> i64) -> Vec<(i64, i64)> {
    let mut second = 7 * 3600 + 5;
    (0..number)
        .map(|voter| {
            let enable = second;
            second += each(voter);
            (enable, enable + vote(voter))
        })
        .collect()
}

/// A sequence without a pattern that matters here (Knuth's multiplier).
pub(crate) fn spread(place: i64, least: i64, span: i64) -> i64 {
    let mixed = (place.cast_unsigned() + 1).wrapping_mul(6_364_136_223_846_793_005).rotate_left(23);
    least + i64::try_from(mixed.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 33).unwrap() % span
}

pub(crate) fn floor(seconds: i64) -> Case {
    case(&format!(
        "[[setting]]\nseconds-per-vote = {seconds}\ndrift-ppm = 0\nsource = \"Manual\"\nby = \"Maker\"\n"
    ))
}

/// The answers of the family on a log, and the rules with findings.
fn answers(text: &str, case: &Case) -> (Vec<(&'static str, Verdict)>, BTreeSet<&'static str>) {
    let (log, unit) = (read(text), UnitDescription::kestrane());
    let examination = examine(&log, case, &unit);
    let of_pace = |id: &&'static str| rule(id).unwrap().family == Family::Pace;
    let answers = examination.answers.iter().map(|a| (a.rule, a.verdict)).filter(|(id, _)| of_pace(id));
    let found = examination.findings.iter().map(|f| f.rule).filter(of_pace);
    (answers.collect(), found.collect())
}

pub(crate) fn verdict(text: &str, case: &Case, id: &str) -> Verdict {
    answers(text, case).0.into_iter().find(|(rule, _)| *rule == id).unwrap().1
}

/// The measurements of a log as the JSON report has them.
fn measured(text: &str, case: &Case) -> Value {
    let (log, unit) = (read(text), UnitDescription::kestrane());
    let report = json::report(&[examine(&log, case, &unit)], &frame(false));
    let report: Value = serde_json::from_str(&report).unwrap();
    report["examinations"][0]["pace"].clone()
}

fn rows(measured: &Value, about: &str) -> Vec<String> {
    let groups = measured["groups"].as_array().unwrap();
    let group = groups.iter().find(|group| group["about"] == about).unwrap_or_else(|| panic!("{about}"));
    let rows = group["measured"].as_array().unwrap();
    rows.iter().map(|row| row["text"].as_str().unwrap().to_owned()).collect()
}

fn accused(examination: &Examination<'_>) -> Vec<(&'static str, String)> {
    let of_pace = |id: &str| rule(id).unwrap().family == Family::Pace;
    let findings = examination.findings.iter();
    findings
        .filter(|f| of_pace(f.rule) && f.weight != Weight::Remark)
        .map(|f| (f.rule, f.shows.clone()))
        .collect()
}

/// How many lives; 10,000 with `LOGASSAY_LIVES=10000`, in release mode.
fn number_of_lives() -> u64 {
    std::env::var("LOGASSAY_LIVES").ok().map_or(1000, |text| text.parse().expect("a number of lives"))
}

/// `methods.md` 10, rows 53 and 54, and 4.4: small stations, stations of usual size, saturated ones with a constant cycle,
/// slow starts. No rule of the family fires; coarse clocks are remarked on.
#[test]
fn clean_lives_are_not_accused_for_their_pace() {
    let mut unit = UnitDescription::kestrane();
    // Between two votes of a made-up life lie at least the 3 seconds of a voter and what the official needs.
    unit.least_ms_per_vote = Some(5000);
    let small = Setting::small(unit.clone());
    let mut usual = Setting::of(unit.clone());
    usual.test_votes = 200;
    let mut saturated = usual.clone();
    (saturated.voters, saturated.waiting) = ((900, 1000), 80.0);
    (saturated.service.identified_sigma, saturated.service.vote_sigma) = (0.02, 0.02);
    let mut slow = usual.clone();
    (slow.profiles, slow.voters, slow.service.pauses) = (vec![Profile::SlowStart], (600, 1000), 4.0);
    let (mut votes, mut told, mut remarks, mut runs) = (0, std::collections::BTreeMap::new(), 0, 0);
    for seed in 0..number_of_lives() {
        let setting = match seed % 40 {
            0 => &saturated,
            1 => &slow,
            2 => &usual,
            _ => &small,
        };
        let made = life(seed + 7_000_000, setting);
        let log = read(&made.log);
        let case = Case::read("case", &made.case).unwrap().case;
        let examination = examine(&log, &case, &unit);
        assert_eq!(accused(&examination), [], "seed {seed}");
        votes += examination.measurements().votes;
        // The quick look misses no run that the long one finds, planted ones included.
        // Without numbers, for what is repeated word for word with its number is one record.
        let voting = made.log.lines().filter(|line| line.ends_with(" enable") || line.contains(" vote"));
        let planted: Vec<String> =
            voting.filter_map(|line| Some(format!("- {}", line.split_once(' ')?.1))).collect();
        let planted = format!("unit-event-log 1\n{}\n{}\n", planted.join("\n"), planted.join("\n"));
        for text in [&made.log, &planted].into_iter().take(if seed % 10 == 0 { 2 } else { 1 }) {
            let log = read(text);
            let timeline = Timeline::of(&log, &Replay::of(&log, &Case::default(), &unit));
            let found = repeated(&timeline).len();
            assert!(found == 0 || may_repeat(&timeline), "seed {seed}");
            runs += found;
        }
        remarks += examination.findings_of("coarse-clock").count();
        for answer in examination.answers.iter().filter(|a| rule(a.rule).unwrap().family == Family::Pace) {
            *told.entry((answer.rule, answer.verdict.words())).or_insert(0) += 1;
        }
    }
    // The rules were put to the test, and did not fall silent for want of something to look at.
    assert!(votes > 20_000 && remarks > 50 && runs > 20, "{votes} {remarks} {runs}");
    for put in [
        ("last-digit-uneven", "kept"),
        ("interval-run-repeated", "kept"),
        ("vote-too-soon", "cannot be told"),
    ] {
        assert!(told.get(&put).is_some_and(|times| *times > 10), "{put:?}: {told:?}");
    }
}

/// `methods.md` 10, rows 22 and 23: a pause of ten minutes and a forward step of the clock by ten minutes that nothing
/// records leave the same text, word for word, and it names no cause.
#[test]
fn a_pause_and_a_forward_step_of_the_clock_are_told_in_the_same_words() {
    let voters = |pause: i64, ahead: i64| {
        let mut voters = queue(30, |v| spread(v, 20, 40), |v| spread(v, 8, 9));
        for (enable, vote) in &mut voters[15..] {
            // True time runs on by the pause; the display by the pause and the step.
            (*enable, *vote) = (*enable + pause + ahead, *vote + pause + ahead);
        }
        poll(&voters)
    };
    let (paused, stepped) =
        (measured(&voters(600, 0), &Case::default()), measured(&voters(0, 600), &Case::default()));
    assert_eq!(paused, stepped);
    let longest = &rows(&paused, "longest intervals")[0];
    assert!(longest.starts_with("10 min"), "{longest}");
    assert!(paused["introduction"].as_str().unwrap().contains("the log cannot say why"));
    for word in ["pause", "improbable", "unusual", "stopped", "set ahead"] {
        assert!(!longest.contains(word), "{longest}");
    }
}

/// Rows 27 and 28: a long lunch, and a silence that holds a power-off and a power-on: measured, and no finding.
#[test]
fn a_silence_is_measured_with_what_lies_inside() {
    let mut voters = queue(40, |v| spread(v, 20, 40), |v| spread(v, 8, 9));
    voters[20..].iter_mut().for_each(|(enable, vote)| (*enable, *vote) = (*enable + 2400, *vote + 2400));
    let text = poll(&voters);
    assert_eq!(answers(&text, &floor(5)).1, BTreeSet::new());
    assert!(rows(&measured(&text, &Case::default()), "longest intervals")[0].starts_with("40 min"));
    let last = voters[19].1;
    let off = format!("9001 {} power-off\n9002 {} power-on\n", clock(last + 60), clock(last + 2000));
    let enable = format!("{} {} enable", 1201 + 40, clock(voters[20].0));
    let text = text.replace(&enable, &format!("{off}{enable}")).replace("9001", "-").replace("9002", "-");
    let longest = &rows(&measured(&text, &Case::default()), "longest intervals")[0];
    assert!(
        longest.contains("inside: power-off at 2031-05-10") && longest.contains("power-on at"),
        "{longest}"
    );
    assert_eq!(answers(&text, &floor(5)).1, BTreeSet::new());
}

/// Rows 29 and 30: twenty votes three seconds apart break a floor of twelve; forty at fourteen seconds do not.
#[test]
fn a_documented_least_time_is_held_against_votes_and_nothing_else_is() {
    let fast = poll(&queue(20, |_| 3, |_| 2));
    assert_eq!(answers(&fast, &floor(12)).1, BTreeSet::from(["vote-too-soon"]));
    // Without a documented least time, it is a description.
    assert_eq!(verdict(&fast, &Case::default(), "vote-too-soon"), Verdict::CannotBeTold);
    assert!(rows(&measured(&fast, &Case::default()), "fastest runs")[0].starts_with("10 votes in 27 s"));
    let queue_at_close = poll(&queue(40, |_| 14, |v| spread(v, 8, 2)));
    assert_eq!(answers(&queue_at_close, &floor(12)).1, BTreeSet::new());
}

/// `methods.md` 4.5 at its border: a displayed difference d with step q is flagged where d + q is at most tau (1 - rho).
#[test]
fn the_least_time_is_undercut_only_beyond_the_step_of_the_display() {
    // Odd seconds beside keep the common step of all times at one second.
    let pair = |gap: i64| poll(&[(25_203, 25_210), (25_240, 25_261), (25_261 + gap - 2, 25_261 + gap)]);
    let case = floor(12);
    assert_eq!(verdict(&pair(10), &case, "vote-too-soon"), Verdict::NotKept);
    assert_eq!(
        verdict(&pair(11), &case, "vote-too-soon"),
        Verdict::NotKept,
        "11 s and the step are 12 s at most"
    );
    assert_eq!(verdict(&pair(12), &case, "vote-too-soon"), Verdict::CannotBeTold);
    let drift = "[[setting]]\nseconds-per-vote = 12\ndrift-ppm = 1\nsource = \"Manual\"\nby = \"Maker\"\n";
    assert_eq!(
        verdict(&pair(11), &self::case(drift), "vote-too-soon"),
        Verdict::CannotBeTold,
        "11.999988 s are enough"
    );
}

/// The law of less knowledge for the one rule of the family that speaks about events: cut the log anywhere, or make any
/// record unreadable.
#[test]
fn less_of_the_log_never_turns_the_answer_on_votes_too_soon() {
    let close = |text: &str| {
        format!(
            "{text}[[end]]\nclosed = \"front\"\nsource = \"a\"\nby = \"b\"\n\n[[end]]\nclosed = \"back\"\nsource = \"a\"\nby = \"b\"\n"
        )
    };
    let setting =
        "[[setting]]\nseconds-per-vote = 12\ndrift-ppm = 0\nsource = \"Manual\"\nby = \"Maker\"\n\n";
    let fast = poll(&queue(9, |v| if v == 4 { 6 } else { 25 + v }, |v| 3 + v % 2));
    let slow = poll(&queue(9, |v| 25 + v, |v| 9 + v % 4));
    let mut weaker = 0;
    for (text, whole) in [(fast, Verdict::NotKept), (slow, Verdict::Kept)] {
        assert_eq!(verdict(&text, &case(&close(setting)), "vote-too-soon"), whole);
        let lines: Vec<&str> = text.lines().collect();
        let mut lesser: Vec<String> = Vec::new();
        for from in 1..lines.len() {
            lesser.extend((from + 1..lines.len()).map(|to| lines[from..to].join("\n")));
            let unread: Vec<&str> =
                lines.iter().enumerate().map(|(at, line)| if at == from { "?????" } else { line }).collect();
            lesser.push(unread[1..].join("\n"));
        }
        for part in lesser {
            let now = verdict(&format!("unit-event-log 1\n{part}\n"), &case(setting), "vote-too-soon");
            assert!(now == whole || now == Verdict::CannotBeTold, "{now:?}\n{part}");
            weaker += usize::from(now != whole);
        }
    }
    assert!(weaker > 20, "{weaker}");
}

/// Rows 31 to 34, and 51: a constant cycle, rounded votes, a clock that ticks in ten seconds, a run that stands twice.
#[test]
fn digits_and_runs_are_told_apart_from_a_constant_cycle_and_a_coarse_clock() {
    let none = Case::default();
    let constant = poll(&queue(120, |_| 30, |_| 13));
    assert_eq!(answers(&constant, &none).1, BTreeSet::new());
    assert_eq!(verdict(&constant, &none, "last-digit-uneven"), Verdict::CannotBeTold);
    assert_eq!(verdict(&constant, &none, "interval-run-repeated"), Verdict::Kept);
    let people = queue(600, |v| spread(v, 20, 60), |v| spread(v + 9000, 6, 11));
    assert_eq!(answers(&poll(&people), &none).1, BTreeSet::new());
    assert_eq!(verdict(&poll(&people), &none, "last-digit-uneven"), Verdict::Kept);
    // A tenth of the votes on multiples of ten seconds, moved back.
    let mut rounded = people.clone();
    rounded.iter_mut().skip(3).step_by(10).for_each(|(_, vote)| *vote -= vote.rem_euclid(10));
    rounded.iter_mut().for_each(|(enable, vote)| *enable = (*enable).min(*vote));
    assert_eq!(answers(&poll(&rounded), &none).1, BTreeSet::from(["last-digit-uneven"]));
    let ticking: Vec<(i64, i64)> = people.iter().map(|(e, v)| (e - e % 10, v - v % 10)).collect();
    assert_eq!(answers(&poll(&ticking), &none).1, BTreeSet::from(["coarse-clock"]));
    for id in ["last-digit-uneven", "interval-run-repeated"] {
        assert_eq!(verdict(&poll(&ticking), &none, id), Verdict::CannotBeTold, "{id}");
    }
    let minutes: Vec<(i64, i64)> = people.iter().map(|(e, v)| (e - e % 60, v - v % 60)).collect();
    assert_eq!(answers(&poll(&minutes), &none).1, BTreeSet::from(["coarse-clock"]));
    // Fifty events once more, an hour and eleven seconds later.
    let mut twice = people[..200].to_vec();
    let later = twice[199].0 - twice[100].0 + 611;
    twice.extend(people[100..125].iter().map(|(e, v)| (e + later, v + later)));
    assert_eq!(answers(&poll(&twice), &none).1, BTreeSet::from(["interval-run-repeated"]));
    let (log, unit) = (read(&poll(&twice)), UnitDescription::kestrane());
    let examination = examine(&log, &none, &unit);
    let finding = examination.findings_of("interval-run-repeated").next().unwrap();
    assert!(
        finding.shows.contains("The 49 intervals") && finding.shows.contains("same to the second"),
        "{}",
        finding.shows
    );
    assert!(!finding.shows.contains("copied"));
}

/// Upper critical values of chi-square: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4 (seen in copies of that
/// table in public repositories): degrees of freedom, then the values that 0.10, 0.05, 0.025, 0.01 and 0.001 exceed.
const NIST: &[(u32, [f64; 5])] = &[
    (6, [10.645, 12.592, 14.449, 16.812, 22.458]),
    (7, [12.017, 14.067, 16.013, 18.475, 24.322]),
    (8, [13.362, 15.507, 17.535, 20.090, 26.125]),
    (9, [14.684, 16.919, 19.023, 21.666, 27.877]),
    (10, [15.987, 18.307, 20.483, 23.209, 29.588]),
    (11, [17.275, 19.675, 21.920, 24.725, 31.264]),
    (12, [18.549, 21.026, 23.337, 26.217, 32.910]),
    (13, [19.812, 22.362, 24.736, 27.688, 34.528]),
];

#[test]
fn chi_square_has_the_published_critical_values() {
    for (degrees, values) in NIST {
        for (value, share) in values.iter().zip([0.10, 0.05, 0.025, 0.01, 0.001]) {
            // The table has three places behind the point: half a unit of the last moves the share by less than this.
            let (above, below) =
                (digits::upper_tail(value - 0.0006, *degrees), digits::upper_tail(value + 0.0006, *degrees));
            assert!(above > share && share > below, "{degrees} {value}: {below} {share} {above}");
        }
    }
    assert!(digits::share_above(33.71) > 1e-4 && digits::share_above(33.73) < 1e-4);
}

/// `tests/oracles/chi_square.txt` holds the shares as this crate computes them; `tests/oracles/chi_square.py` holds it to
/// scipy.
#[test]
fn the_table_for_the_outside_check_is_what_this_crate_computes() {
    let mut now = String::new();
    for degrees in 1..=20 {
        for x in [0.01, 0.5, 1.0, 3.3, 9.0, 16.919, 33.72, 60.0, 150.0] {
            writeln!(now, "{degrees} {x} {:.12e}", digits::upper_tail(x, degrees)).unwrap();
        }
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracles/chi_square.txt");
    if std::env::var_os("LOGASSAY_BLESS").is_some() {
        std::fs::write(&path, &now).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), now);
}

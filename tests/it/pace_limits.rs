//! Where the rules of pace are switched off, why none of them is a test of chance, and that none takes long on any log.

use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Verdict, Weight};
use logassay::pace::Timeline;
use logassay::pace::repeat::repeated;
use logassay::replay::Replay;
use logassay::rules::{Family, RULES};
use logassay::unit::UnitDescription;

use crate::examples::read;
use crate::pace::{floor, poll, queue, spread, verdict};

/// A display of whole minutes switches off what rests on single seconds, and says so.
#[test]
fn a_display_of_minutes_switches_off_what_counts_seconds() {
    let people = queue(200, |v| spread(v, 20, 160), |v| spread(v + 9000, 6, 11));
    let minutes: Vec<(i64, i64)> = people.iter().map(|(e, v)| (e - e % 60, v - v % 60)).collect();
    let (log, unit, papers) = (read(&poll(&minutes)), UnitDescription::kestrane(), floor(12));
    let examination = examine(&log, &papers, &unit);
    for id in ["last-digit-uneven", "interval-run-repeated"] {
        let answer = examination.answers.iter().find(|answer| answer.rule == id).unwrap();
        assert_eq!(answer.verdict, Verdict::CannotBeTold, "{id}");
        let said = answer.why.iter().any(|why| why.contains("stand on steps of 1 min"));
        assert!(said, "{id}: {:?}", answer.why);
    }
    let soon = examination.answers.iter().find(|answer| answer.rule == "vote-too-soon").unwrap();
    assert_eq!((soon.verdict, soon.contrary), (Verdict::CannotBeTold, 0));
    assert!(soon.why.iter().any(|why| why.contains("a step of the clock")), "{:?}", soon.why);
    let notes: Vec<_> = examination.findings_of("coarse-clock").collect();
    assert_eq!(notes.len(), 1);
    assert_eq!(notes[0].weight, Weight::Remark);
    // The same people on a clock of seconds: what counts seconds speaks.
    let seconds = poll(&people);
    assert_eq!(verdict(&seconds, &floor(12), "last-digit-uneven"), Verdict::Kept);
    assert_eq!(verdict(&seconds, &floor(12), "coarse-clock"), Verdict::Kept);
}

#[test]
fn every_page_of_the_family_says_why_no_test_of_chance_is_used() {
    let family: Vec<_> = RULES.iter().filter(|rule| rule.family == Family::Pace).collect();
    assert!(family.len() >= 4);
    for rule in family {
        assert!(
            rule.why.contains("clean days") || rule.why.contains("No test of chance is used"),
            "{}",
            rule.id
        );
    }
}

/// Equal intervals repeat at every place, and so does one that is broken by a few unlike ones: a search that looks at every
/// pair, or through every run, takes minutes here.
#[test]
fn very_regular_logs_are_searched_in_one_pass() {
    let begin = std::time::Instant::now();
    let regular = queue(25_000, |_| 2, |_| 1);
    let broken = queue(25_000, |v| if v % 12_500 < 12 { 2 + v % 12_500 } else { 2 }, |_| 1);
    for pairs in [regular, broken] {
        let (log, unit) = (read(&poll(&pairs)), UnitDescription::kestrane());
        let replay = Replay::of(&log, &Case::default(), &unit);
        let timeline = Timeline::of(&log, &replay);
        assert!(repeated(&timeline).is_empty(), "a regular pace is no repetition");
    }
    assert!(begin.elapsed().as_secs() < 60, "{:?}", begin.elapsed());
}

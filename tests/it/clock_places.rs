//! Where readings stand: what they may not be carried across, and which civil time they are held to.

use logassay::case::Case;
use logassay::clock::Placement;
use logassay::finding::Verdict;
use logassay::unit::UnitDescription;

use crate::clock::{POLL, with_clock};

/// A reading behind a setting of which the record does not say to what, and what the record behind it may be.
fn behind_a_setting(next: &str) -> String {
    format!(
        "unit-event-log 1\n1 2031-05-10 17:40:07 power-on\n2 2031-05-10 17:41:00 clock-set before=2031-05-10T17:41:00\n\
         {next}4 2031-05-10 18:08:01 total\n5 2031-05-10 18:09:00 power-off\n"
    )
}

/// A reading that shows the clock to be right behind the setting.
const BEHIND: &str = "[[reading]]\ndisplayed = \"2031-05-10 17:42:00\"\nreference = \"2031-05-10 17:42:00\"\n\
     within-seconds = 2\nafter-record = 2\nsource = \"Diary\"\nby = \"Presiding Officer\"\n";

#[test]
fn a_reading_behind_a_setting_is_carried_across_nothing_that_may_have_set_the_clock_again() {
    for next in [
        "",
        "3 2031-05-10 17:4\n",
        "3 2031-05-10 17:43:00 battery-changed\n",
        "3 2031-05-10 17:43:00 clock-set\n",
    ] {
        with_clock(&behind_a_setting(next), &format!("{POLL}{BEHIND}"), |clock, replay| {
            let last = replay.steps.len() - 2;
            let when = clock.when(last);
            // The record came after the reading, and no more is known of it.
            assert_eq!(
                when.earliest.map(|end| end.at.civil(120)).as_deref(),
                Some("2031-05-10 17:41:58"),
                "{next}"
            );
            assert_eq!(when.latest, None, "{next}");
        });
    }
    // Behind a record that cannot have set the clock it is carried on.
    with_clock(
        &behind_a_setting("3 2031-05-10 17:43:00 enable\n"),
        &format!("{POLL}{BEHIND}"),
        |clock, _| {
            assert_eq!(clock.readings()[0].placement, Placement::After { step: 1, segment: Some(1) });
            assert!(clock.when(3).latest.is_some());
        },
    );
}

#[test]
fn readings_on_either_side_of_a_setting_and_a_battery_do_not_conflict() {
    let later = "[[reading]]\nrecord = 4\nreference = \"2031-05-10 18:28:01\"\nwithin-seconds = 2\nsource = \"Diary\"\n\
                 by = \"Presiding Officer\"\n";
    let log = behind_a_setting("3 2031-05-10 17:43:00 battery-changed\n");
    with_clock(&log, &format!("{POLL}{BEHIND}{later}"), |clock, _| assert!(clock.conflicts().is_empty()));
}

/// The answer of a rule on a log whose clock stood at one reading.
fn answer(rule: &str, log: &str, case: &str) -> Verdict {
    let logs = logassay::syntax::read(std::sync::Arc::new(logassay::source::Source::new(
        "log",
        log.as_bytes().to_vec(),
    )));
    let (case, unit) = (Case::read("case", case).unwrap().case, UnitDescription::kestrane());
    let examined = logassay::examine(&logs[0], &case, &unit);
    examined.answers.iter().find(|answer| answer.rule == rule).unwrap().verdict
}

fn poll(date: &str, zone: &str) -> String {
    format!(
        "[[poll]]\ndate = \"{date}\"\nzone = \"{zone}\"\nsource = \"Notice\"\nby = \"Returning Officer\"\n"
    )
}

fn reading(displayed: &str, reference: &str) -> String {
    format!(
        "[[reading]]\ndisplayed = \"{displayed}\"\nreference = \"{reference}\"\nwithin-seconds = 2\nclock-not-set = true\n\
         source = \"Diary\"\nby = \"Presiding Officer\"\n[[setting]]\noffset-tolerance-seconds = 60\n\
         source = \"Handbook\"\nby = \"Electoral Office\"\n"
    )
}

#[test]
fn a_display_that_shows_the_civil_time_of_the_place_is_right_whatever_day_it_is_by_utc() {
    let log = |time: &str| format!("unit-event-log 1\n1 {time} power-on\n");
    for (first, second, time) in
        [("+12:00", "+13:00", "2031-05-11 06:30:01"), ("+02:00", "+01:00", "2031-05-11 00:30:01")]
    {
        let polls = poll("2031-05-10", first) + &poll("2031-05-11", second);
        let case = polls + &reading(time, time);
        assert_eq!(answer("clock-offset", &log(time), &case), Verdict::Kept, "{first} {second}");
        assert_eq!(answer("clock-slip", &log(time), &case), Verdict::Kept, "{first} {second}");
    }
}

/// In Europe/Berlin the clocks show 02:00 to 03:00 twice on 2031-10-26 (IANA time zone database: last Sunday of October).
#[test]
fn in_the_hour_that_is_shown_twice_a_display_is_held_to_the_civil_time() {
    let log = |time: &str| format!("unit-event-log 1\n1 {time} power-on\n");
    let told = |shown: &str, civil: &str| {
        let case = poll("2031-10-26", "Europe/Berlin") + &reading(shown, civil);
        [answer("clock-offset", &log(shown), &case), answer("clock-slip", &log(shown), &case)]
    };
    assert_eq!(told("2031-10-26 02:30:01", "2031-10-26 02:30:01"), [Verdict::Kept, Verdict::Kept]);
    // An hour ahead of it is off whichever of the two hours it was.
    assert_eq!(told("2031-10-26 03:30:01", "2031-10-26 02:30:01"), [Verdict::NotKept, Verdict::NotKept]);
}

#[test]
fn a_moment_in_the_hour_that_is_shown_twice_is_told_with_its_offset() {
    let case = Case::read("case", &poll("2031-10-26", "Europe/Berlin")).unwrap().case;
    let at = |utc: &str| logassay::clock::Instant::of_civil(utc, 0).unwrap();
    let told = |utc: &str| logassay::clock::hours::civil(&case, at(utc));
    assert_eq!(told("2031-10-26 00:30:00"), "2031-10-26 02:30:00 (UTC+02:00)");
    assert_eq!(told("2031-10-26 01:30:00"), "2031-10-26 02:30:00 (UTC+01:00)");
    assert_eq!(told("2031-10-26 02:30:00"), "2031-10-26 03:30:00");
    assert_eq!(
        logassay::clock::hours::civil(&Case::default(), at("2031-10-26 02:30:00")),
        "2031-10-26 02:30:00 UTC"
    );
}

#[test]
fn a_reading_in_an_hour_that_was_left_out_says_so() {
    let case = poll("2031-03-30", "Europe/Berlin") + &reading("2031-03-30 02:50:00", "2031-03-30 02:50:00");
    with_clock("unit-event-log 1\n1 2031-03-30 02:50:01 power-on\n", &case, |clock, _| {
        let Placement::Nowhere(why) = clock.readings()[0].placement else { panic!() };
        assert!(why.contains("left out"), "{why}");
    });
}

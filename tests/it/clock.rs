//! The unit's clock: bounds on true time from readings, held to published and measured values.

use std::sync::Arc;

use logassay::case::Case;
use logassay::clock::{Clock, Placed, Placement};
use logassay::replay::Replay;
use logassay::source::Source;
use logassay::syntax::read;
use logassay::unit::UnitDescription;

/// Bounds of every record, as civil times at +02:00.
pub(crate) fn bounds(log: &str, case: &str) -> Vec<(String, String)> {
    with_clock(log, case, |clock, replay| {
        (0..replay.steps.len())
            .filter(|step| replay.record(*step).is_some())
            .map(|step| {
                let when = clock.when(step);
                let civil = |bound: Option<logassay::clock::Bound>| {
                    bound.map_or("-".to_owned(), |bound| bound.at.civil(120))
                };
                (civil(when.earliest), civil(when.latest))
            })
            .collect()
    })
}

pub(crate) fn with_clock<T>(log: &str, case: &str, look: impl Fn(&Clock<'_>, &Replay) -> T) -> T {
    let unit = UnitDescription::kestrane();
    let case = Case::read("case", case).unwrap().case;
    let logs = read(Arc::new(Source::new("log", log.as_bytes().to_vec())));
    let replay = Replay::of(&logs[0], &case, &unit);
    let clock = Clock::of(&logs[0], &case, &unit, &replay);
    look(&clock, &replay)
}

pub(crate) const POLL: &str = "[[poll]]\nplace = \"Tarn Valley\"\ndate = \"2031-05-10\"\nopens = \"07:00\"\n\
     closes = \"18:00\"\nzone = \"+02:00\"\nsource = \"Notice\"\nby = \"Returning Officer\"\n\
     [[setting]]\ndrift-ppm = 100\nsource = \"Maker's data sheet\"\nby = \"Maker\"\n";

/// The reset example of `methods.md` 3.3. Its table chains the two votes after the reset, so that the step of the display
/// counts twice for the first of them; the network here also ties each of them to the reading itself. The first record has
/// an odd second, so that the display is not taken for coarser than a second.
const RESET: &str = "unit-event-log 1\n\
     1 2031-05-10 06:45:07 power-on\n\
     2 2031-05-10 06:46:30 enable\n\
     3 2031-05-10 09:00:00 vote\n\
     4 2020-01-01 00:05:00 enable\n\
     5 2020-01-01 00:05:10 vote\n\
     6 2020-01-01 00:29:00 enable\n\
     7 2020-01-01 00:30:00 vote\n\
     8 2020-01-01 03:10:00 close\n";

#[test]
fn the_reset_example_of_the_methods() {
    let morning = "[[reading]]\ndisplayed = \"2031-05-10 06:46:00\"\nreference = \"2031-05-10 06:50\"\nwithin-seconds = 0\n\
                   after-record = 1\nsource = \"Diary\"\nby = \"Presiding Officer\"\n";
    let evening = "[[reading]]\nrecord = 8\nreference = \"2031-05-10 17:05\"\nwithin-seconds = 0\n\
                   source = \"Diary\"\nby = \"Presiding Officer\"\n";
    let both = bounds(RESET, &format!("{POLL}{morning}{evening}"));
    let day = |from: &str, to: &str| (format!("2031-05-10 {from}"), format!("2031-05-10 {to}"));
    assert_eq!(both[2], day("09:03:58.196", "09:05:01.804"));
    assert_eq!(both[4], day("14:00:07.890", "14:01:12.108"));
    assert_eq!(both[6], day("14:24:58.039", "14:26:01.959"));
    // Without the closing reading the votes after the reset have only a lower bound.
    let alone = bounds(RESET, &format!("{POLL}{morning}"));
    assert_eq!(alone[4].1, "-");
    // The first record after the reset came after the vote before it, and displayed ten seconds less a step later.
    assert_eq!(alone[3].0, "2031-05-10 09:03:58.196");
    assert_eq!(alone[4].0, "2031-05-10 09:04:07.195");
}

#[test]
fn what_binds_an_end_is_said_and_a_reading_that_names_no_record_says_that_the_clock_was_not_set() {
    let log = "unit-event-log 1\n1201 2031-05-10 17:58:00 enable\n1202 2031-05-10 18:00:40 vote\n";
    let reading = "[[reading]]\ndisplayed = \"2031-05-10 17:00:00\"\nreference = \"2031-05-10 17:00:00\"\n\
                   within-seconds = 5\nsource = \"Diary\"\nby = \"Presiding Officer\"\n";
    with_clock(log, &format!("{POLL}{reading}"), |clock, _| {
        assert_eq!(clock.readings()[0].placement, Placement::Throughout);
        let when = clock.when(1);
        let closes = logassay::clock::Instant::of_civil("2031-05-10 18:00:00", 120);
        assert_eq!(when.placed(None, closes), Placed::After);
        let words: Vec<String> = when.earliest.unwrap().rests_on.iter().map(|one| one.words()).collect();
        assert_eq!(
            words,
            [
                "the reading on line 13 of the case file (the display read 2031-05-10 17:00:00 at 2031-05-10 17:00:00; \
                 Diary, Presiding Officer) is right",
                "the clock kept within 100 parts per million (Maker's data sheet, Maker)",
                "the clock was neither set nor reset over the records and readings, as the reading on line 13 of the case \
                 file (the display read 2031-05-10 17:00:00 at 2031-05-10 17:00:00; Diary, Presiding Officer) implies by \
                 naming no record",
            ]
        );
    });
    // A clock that went back: where the reading belongs is not known.
    let back = "unit-event-log 1\n1201 2031-05-10 17:58:00 enable\n1202 2031-05-10 17:00:40 vote\n";
    with_clock(back, &format!("{POLL}{reading}"), |clock, _| {
        assert!(matches!(clock.readings()[0].placement, Placement::Nowhere(_)));
        assert_eq!(clock.when(1), logassay::clock::When::default());
    });
}

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
fn what_binds_an_end_is_said_and_that_the_clock_was_not_set_is_a_statement_of_its_own() {
    let log = "unit-event-log 1\n1201 2031-05-10 17:58:00 enable\n1202 2031-05-10 18:00:40 vote\n";
    let reading = "[[reading]]\ndisplayed = \"2031-05-10 17:00:00\"\nreference = \"2031-05-10 17:00:00\"\n\
                   within-seconds = 5\nclock-not-set = true\nsource = \"Diary\"\nby = \"Presiding Officer\"\n";
    with_clock(log, &format!("{POLL}{reading}"), |clock, _| {
        assert_eq!(clock.readings()[0].placement, Placement::Throughout);
        let when = clock.when(1);
        let closes = logassay::clock::Instant::of_civil("2031-05-10 18:00:00", 120);
        assert_eq!(when.placed(None, closes), Placed::After);
        let words: Vec<String> =
            when.earliest.unwrap().rests_on.iter().map(logassay::clock::Premise::words).collect();
        assert_eq!(
            words,
            [
                "the reading on line 13 of the case file (the display read 2031-05-10 17:00:00 at 2031-05-10 17:00:00, give or \
                 take 5 s; Diary, Presiding Officer) is right",
                "the clocks of the place showed the time of the zone +02:00, as stated in Notice (by Returning Officer)",
                "the clock kept within 100 parts per million (Maker's data sheet, Maker)",
                "the clock was neither set nor reset over the records and readings, as the paper of the reading on \
                 line 13 of the case file (the display read 2031-05-10 17:00:00 at 2031-05-10 17:00:00, give or take 5 s; Diary, \
                 Presiding Officer) says",
                "a displayed time stood for 20 s at most: all times that this log displays are multiples of that",
            ]
        );
    });
    // Behind the last record it binds only because nothing was recorded behind that.
    let behind =
        reading.replace("clock-not-set = true", "after-record = 1202").replace("17:00:00", "18:05:00");
    let end = "[[end]]\nclosed = \"back\"\nsource = \"Receipt\"\nby = \"Registrar\"\n";
    with_clock(log, &format!("{POLL}{behind}{end}"), |clock, _| {
        let words: Vec<String> =
            clock.when(1).earliest.unwrap().rests_on.iter().map(logassay::clock::Premise::words).collect();
        let nothing =
            "nothing was recorded after the last record of this log, as stated in Receipt (by Registrar)";
        assert!(words.iter().any(|one| one == nothing), "{words:?}");
    });
    with_clock(log, &format!("{POLL}{behind}"), |clock, _| assert_eq!(clock.when(1).earliest, None));
    // A key that is left out says nothing: without it the reading binds nothing.
    with_clock(log, &format!("{POLL}{}", reading.replace("clock-not-set = true\n", "")), |clock, _| {
        assert!(matches!(clock.readings()[0].placement, Placement::Nowhere(_)));
        assert_eq!(clock.when(1), logassay::clock::When::default());
    });
    // A clock that went back: where the reading belongs is not known.
    let back = "unit-event-log 1\n1201 2031-05-10 17:58:00 enable\n1202 2031-05-10 17:00:40 vote\n";
    with_clock(back, &format!("{POLL}{reading}"), |clock, _| {
        assert!(matches!(clock.readings()[0].placement, Placement::Nowhere(_)));
        assert_eq!(clock.when(1), logassay::clock::When::default());
    });
}

/// An hour at +02:00.
fn hour(civil: &str) -> logassay::clock::hours::Hour {
    let at = logassay::clock::Instant::of_civil(civil, 120).unwrap();
    let ms = logassay::clock::stamp(civil).unwrap().ms();
    logassay::clock::hours::Hour { civil: ms, earliest: at, latest: at }
}

/// A reading at a displayed moment of the poll's day, after a record.
pub(crate) fn noted(displayed: &str, reference: &str, within: u32, after: u32) -> String {
    format!(
        "[[reading]]\ndisplayed = \"2031-05-10 {displayed}\"\nreference = \"2031-05-10 {reference}\"\nwithin-seconds = \
         {within}\nafter-record = {after}\nsource = \"Diary\"\nby = \"Presiding Officer\"\n"
    )
}

/// A setting that states both times joins the segments; one that does not cuts them.
#[test]
fn a_setting_that_states_both_times_joins_and_one_that_does_not_cuts() {
    let log = |attributes: &str| {
        format!(
            "unit-event-log 1\n1 2031-05-10 07:00:01 power-on\n2 2031-05-10 07:00:11 total\n\
             3 2031-05-10 07:10:00 clock-set{attributes}\n4 2031-05-10 08:00:00 total\n"
        )
    };
    let reading = noted("07:00:05", "07:00:05", 0, 1);
    let case = format!("{POLL}{reading}");
    // The clock was set back by ten minutes: a displayed 08:00:00 was 08:10:00.
    let joined = bounds(&log(" before=2031-05-10T07:20:00 after=2031-05-10T07:10:00"), &case);
    assert_eq!(joined[3].0, "2031-05-10 08:09:57.580");
    assert_eq!(joined[3].1, "2031-05-10 08:10:03.419");
    let cut = bounds(&log(" after=2031-05-10T07:10:00"), &case);
    assert_eq!(cut[3].1, "-");
    with_clock(&log(" before=2031-05-10T07:20:00 after=2031-05-10T07:10:00"), &case, |clock, _| {
        let words = clock.when(3).latest.unwrap().rests_on;
        assert!(
            words.iter().any(|one| matches!(one, logassay::clock::Premise::ClockSet { step: 2, .. })),
            "{words:?}"
        );
    });
}

#[test]
fn readings_that_conflict_are_named_in_every_smallest_set_and_bind_nothing() {
    let log = "unit-event-log 1\n1 2031-05-10 06:40:01 power-on\n2 2031-05-10 17:30:00 total\n3 2031-05-10 18:00:00 total\n";
    let rows = [
        noted("06:46:00", "06:50:00", 30, 1),
        noted("11:55:50", "12:00:00", 30, 1),
        noted("17:08:58", "17:13:20", 30, 1),
        noted("14:26:40", "14:26:40", 30, 1),
    ];
    with_clock(log, &format!("{POLL}{}", rows.concat()), |clock, _| {
        let sets: Vec<&[usize]> = clock.conflicts().iter().map(|one| one.readings.as_slice()).collect();
        assert_eq!(sets, [[0, 3], [1, 3], [2, 3]]);
        assert_eq!(clock.in_every_conflict(), [3]);
        assert_eq!(clock.when(1), logassay::clock::When::default());
        assert!(clock.conflicts()[0].rests_on.len() >= 4, "{:?}", clock.conflicts()[0]);
    });
    with_clock(log, &format!("{POLL}{}", rows[..3].concat()), |clock, _| {
        assert!(clock.conflicts().is_empty() && clock.when(1).latest.is_some());
    });
}

/// VVSG 1.1, volume 1, 2.1.5.1 D vi: one minute in 15 hours; exactly as much is not more.
#[test]
fn one_minute_in_fifteen_hours_is_not_more_than_that() {
    use logassay::clock::{Instant, Run, Spread};
    let exactly =
        |ms: i128| Spread { least: Instant::of_ns(ms * 1_000_000), most: Instant::of_ns(ms * 1_000_000) };
    let run =
        |ahead: i128| Run { readings: (0, 1), unit: exactly(54_000_000 + ahead), truly: exactly(54_000_000) };
    for (ahead, beyond) in [(60_000, false), (60_001, true), (-60_000, false), (-60_001, true), (1080, false)]
    {
        assert_eq!(run(ahead).surely_beyond(60, 54_000), beyond, "{ahead}");
        assert_eq!(run(ahead).surely_within(60, 54_000), !beyond, "{ahead}");
    }
    // A good quartz, 20 millionths: 1.08 s in 15 hours; and a limit that is set so.
    assert!(run(1080).surely_within(20, 1_000_000) && !run(1081).surely_within(20, 1_000_000));
    assert!(run(1081).surely_beyond(20, 1_000_000) && !run(1080).surely_beyond(20, 1_000_000));
    // Between two readings whose widths leave room, neither is sure.
    let wide = Spread { least: Instant::of_ns(53_990_000_000_000), most: Instant::of_ns(54_010_000_000_000) };
    let open = Run { truly: wide, ..run(60_000) };
    assert!(!open.surely_beyond(60, 54_000) && !open.surely_within(60, 54_000));
}

#[test]
fn a_line_is_narrower_where_it_may_be_assumed_and_binds_nothing_where_it_fails() {
    let straight = "[[setting]]\nclock-line = true\nsource = \"Order\"\nby = \"Court\"\n";
    let log = "unit-event-log 1\n1 2031-05-10 06:00:01 power-on\n2 2031-05-10 09:00:07 total\n3 2031-05-10 12:00:00 total\n\
               4 2031-05-10 17:30:00 total\n5 2031-05-10 18:00:00 total\n";
    let rows = [
        noted("06:00:31", "06:00:31", 0, 1),
        noted("11:00:00", "11:00:00", 0, 2),
        noted("17:00:00", "17:00:00", 60, 3),
    ]
    .concat();
    let poll = POLL.replace("drift-ppm = 100\n", "drift-ppm = 1000\n");
    let drift = bounds(log, &format!("{poll}{rows}"));
    let line = bounds(log, &format!("{poll}{straight}{rows}"));
    assert!(line[3].0 > drift[3].0 && line[3].1 < drift[3].1, "{line:?} {drift:?}");
    with_clock(log, &format!("{poll}{straight}{rows}"), |clock, _| {
        assert!(clock.line().unwrap().holds);
        // The line leaves some seconds: a note right to a second may decide beside their edge, and not in their middle.
        assert!(clock.settling(3, &hour("2031-05-10 17:29:56")).is_some());
        assert_eq!(clock.settling(3, &hour("2031-05-10 17:30:00")), None);
    });
    // Helly's three: each pair fits a line within 100 ppm, all three do not; bounded drift takes them.
    let bent = [
        noted("08:00:00", "08:00:00", 0, 1),
        noted("12:00:00", "12:00:03", 0, 3),
        noted("16:00:00", "16:00:00", 0, 3),
    ];
    with_clock(log, &format!("{POLL}{straight}{}", bent.concat()), |clock, _| {
        let line = clock.line().unwrap();
        assert_eq!((line.conflicts.as_slice(), line.holds), ([vec![0, 1, 2]].as_slice(), false));
        assert!(clock.conflicts().is_empty() && clock.when(3).latest.is_some());
    });
}

/// A display of minutes, written out with seconds that are all 00: a displayed 17:59:00 may be anything before 18:00:00, so
/// that without a reading a clock that is right to the second puts the record on no side of 17:59:30, and one that lags by
/// nothing puts a displayed 18:01:00 a minute behind 18:00. methods.md 3.4, the row of minute resolution.
#[test]
fn a_display_of_minutes_counts_as_one_where_no_reading_and_where_one_is() {
    use logassay::clock::{Instant, LeastError, SECOND};
    let of = |seconds: &str| {
        format!(
            "unit-event-log 1\n1 2031-05-10 07:10:00 power-on\n2 2031-05-10 17:59:00 enable\n\
             3 2031-05-10 18:01:00 vote\n4 2031-05-10 18:05:{seconds} close\n"
        )
    };
    let least = |log: &str, step, civil: &str| {
        with_clock(log, POLL, |clock, _| clock.least_error(step, &hour(civil)).unwrap())
    };
    let by = |seconds: i128, ahead| LeastError { by: Instant::of_ns(seconds * SECOND), ahead };
    // Every second is 00: steps of a minute.
    assert_eq!(with_clock(&of("00"), POLL, |clock, _| clock.grain()), 60_000);
    assert_eq!(least(&of("00"), 1, "2031-05-10 18:00:00"), by(0, false));
    assert_eq!(least(&of("00"), 1, "2031-05-10 17:59:30"), by(0, false));
    assert_eq!(least(&of("00"), 1, "2031-05-10 18:02:00"), by(120, false));
    assert_eq!(least(&of("00"), 2, "2031-05-10 18:00:00"), by(60, true));
    // One odd second shows steps of a second.
    assert_eq!(least(&of("07"), 1, "2031-05-10 18:00:00"), by(59, false));
    assert_eq!(least(&of("07"), 1, "2031-05-10 17:59:30"), by(29, false));
    // A note to the second leaves two steps of the display and a second: 2 min 1 s at least, so that bounds of 2 min to one
    // side of the hour are not told apart by any, and of bounds of 10 min to either side one that is right to a minute
    // decides for more than half.
    let reading = |within| noted("18:01:00", "18:01:00", within, 2);
    let settling = |log: &str, within| {
        let case = format!("{POLL}{}", reading(within));
        with_clock(log, &case, |clock, _| clock.settling(2, &hour("2031-05-10 18:01:00")))
    };
    assert_eq!(settling(&of("00"), 0), None);
    let found = settling(&of("00"), 539).unwrap();
    // Bounds from 17:51:01 - 1 min to 18:10:00 + 1 s + 1 min, drift aside: 20 min 2 s, of which 4 min 1 s to either side of the
    // hour stay open.
    assert_eq!(found.within.ns() / SECOND, 60, "{found:?}");
    assert_eq!(found.reach, Instant::of_ns(2 * 60_006_000_000 + 121 * SECOND));
    let fine = settling(&of("07"), 539).unwrap();
    assert_eq!((fine.within, fine.reach.ns()), (found.within, 2 * 1_000_100_000 + 121 * SECOND));
}

/// The pair of times that an export makes, with a margin that a person states.
const EXPORT_PAIR: &str = "[[reading]]\nrecord = 3\nreference-from = \"exported-at\"\nwithin-seconds = 60\n\
     source = \"Record of the export\"\nby = \"Registrar\"\n";

/// A log whose header states such a time of export.
fn exported_at(stated: &str) -> String {
    format!(
        "unit-event-log 1\nexported-at: {stated}\n\n1 2031-05-10 18:00:01 power-on\n2 2031-05-10 18:04:59 total\n\
         3 2031-05-10 18:05:01 export\n"
    )
}

#[test]
fn the_export_s_own_pair_is_a_reading_where_a_person_states_its_margin() {
    // The header means from 16:04:01 to before 16:04:02 UTC, the display from 18:05:01 to before 18:05:02, the paper a minute
    // either way: the export lies from 18:03:01 to 18:05:02, and the first record five minutes less a step or more of the display earlier.
    let case = format!("{POLL}{EXPORT_PAIR}");
    let told = bounds(&exported_at("2031-05-10T16:04:01Z"), &case);
    let of = |from: &str, to: &str| (format!("2031-05-10 {from}"), format!("2031-05-10 {to}"));
    assert_eq!(told[2], of("18:03:01", "18:05:02"));
    // 100 parts in a million of 301 s and of 299 s: 30.1 ms and 29.9 ms.
    assert_eq!(told[0], of("17:57:59.969", "18:00:03.029"));
    // The header's own offset counts, and a part of a second is as short as it is written.
    assert_eq!(
        bounds(&exported_at("2031-05-10T18:04:01.5+02:00"), &case)[2],
        of("18:03:01.500", "18:05:01.600")
    );
}

#[test]
fn a_header_that_states_no_instant_makes_no_reading() {
    for stated in ["2031-05-10T16:04:01-00:00", "2031-05-10 18:04:01", "Saturday", "2031-05-10T16:04:60Z"] {
        with_clock(&exported_at(stated), &format!("{POLL}{EXPORT_PAIR}"), |clock, _| {
            let Placement::Nowhere(why) = clock.readings()[0].placement else { panic!("{stated}") };
            assert!(why.contains("RFC 3339"), "{why}");
            assert_eq!(clock.when(0), logassay::clock::When::default());
        });
    }
}

#[test]
fn a_case_file_states_the_reference_of_a_reading_in_one_way() {
    for (text, said) in [
        ("reference = \"2031-05-10 18:04\"\nreference-from = \"exported-at\"\n", "stand in one [[reading]]"),
        ("", "`reference` or `reference-from` is missing"),
        ("reference-from = \"exported-at\"\nzone = \"+02:00\"\n", "has an offset of its own"),
        ("reference-from = \"header\"\n", "exported-at"),
    ] {
        let row = format!(
            "[[reading]]\nrecord = 3\n{text}within-seconds = 60\nsource = \"Paper\"\nby = \"Registrar\"\n"
        );
        let troubles = Case::read("case", &row).unwrap_err();
        assert!(format!("{troubles:?}").contains(said), "{text}: {troubles:?}");
    }
}

#[test]
fn a_close_long_after_the_last_vote_is_told_by_the_unit_s_own_clock_between_the_two() {
    // Readings to five minutes leave each moment open by ten; between vote and close the display ran for 40 minutes.
    let log = |close: &str| {
        format!(
            "1201 2031-05-10 18:20:00 enable\n1202 2031-05-10 18:20:31 vote\n1203 2031-05-10 {close} close\n"
        )
    };
    let case = format!(
        "{POLL}[[reading]]\nrecord = 1202\nreference = \"2031-05-10 18:20:31\"\nwithin-seconds = 900\nsource = \"Diary\"\n\
         by = \"Presiding Officer\"\n[[setting]]\nclose-within-minutes = 15\nsource = \"Handbook\"\nby = \"Electoral Office\"\n\
         [[phase]]\nwas = \"poll\"\nrecords = \"1201-1203\"\nsource = \"Diary\"\nby = \"Presiding Officer\"\n"
    );
    let verdict = |close: &str| {
        let text = format!("unit-event-log 1\n{}", log(close));
        let logs = read(Arc::new(Source::new("log", text.into_bytes())));
        let (case, unit) = (Case::read("case", &case).unwrap().case, UnitDescription::kestrane());
        let examined = logassay::examine(&logs[0], &case, &unit);
        let answer = examined.answers.iter().find(|answer| answer.rule == "closed-late").unwrap();
        let found = examined.findings.iter().filter(|found| found.rule == "closed-late");
        (
            answer.verdict,
            answer.in_order,
            found.filter_map(|found| found.measured.clone()).collect::<Vec<_>>(),
        )
    };
    // Between a vote displayed 18:20:31 and a close displayed 18:45:02 lie at least 24 min 30 s, less 100 parts in a million.
    let late = vec!["at least 24 min 29 s after the later of the two".to_owned()];
    assert_eq!(verdict("18:45:02"), (logassay::finding::Verdict::NotKept, 0, late));
    assert_eq!((verdict("18:35:31").1, verdict("18:35:29").1), (0, 1));
    assert_eq!((verdict("18:35:31").2.len(), verdict("18:35:29").2.len()), (0, 0));
}

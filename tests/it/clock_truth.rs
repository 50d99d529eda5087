//! Whatever happened to the clock, what is said of true time holds: clocks that drift, are set with and without a word of to
//! what, lose their time with a battery, and change behind lines that cannot be read or are missing.

use std::sync::Arc;

use logassay::case::Case;
use logassay::clock::{Clock, Instant};
use logassay::replay::Replay;
use logassay::source::Source;
use logassay::syntax::{Stamp, read};
use logassay::unit::UnitDescription;
use proptest::prelude::*;

use crate::clock::POLL;

/// 2031-05-10 07:00:00 as a civil time, in milliseconds.
const SEVEN: i64 = 1_936_137_600_000 + 25_200_000;

/// The bound on the rate that the case of the tests states, in parts per million.
const PPM: i64 = 100;

/// What the record says of a setting.
#[derive(Debug, Clone, Copy)]
enum Says {
    Both,
    Before,
    Nothing,
}

/// What becomes of the next line.
#[derive(Debug, Clone, Copy)]
enum Line {
    Total,
    Set(i64, Says),
    Battery(i64),
    /// A record that cannot be read or is missing, at which the clock may have been set by this.
    Lost(i64, bool),
}

#[derive(Debug, Clone)]
struct Made {
    /// Milliseconds of the display before the line.
    wait: i64,
    /// The rate over them, in parts per million.
    rate: i64,
    line: Line,
}

#[derive(Debug, Clone)]
struct Noted {
    /// After which line, and whether it times that line's record itself.
    after: usize,
    record: bool,
    /// How far the reference was off, in milliseconds, and the margin stated in seconds.
    off: i64,
    within: i64,
}

fn step() -> impl Strategy<Value = i64> {
    prop_oneof![Just(0_i64), -900..900_i64, -900_000..900_000_i64, -20_000_000..20_000_000_i64]
}

fn made() -> impl Strategy<Value = Made> {
    let says = prop_oneof![Just(Says::Both), Just(Says::Before), Just(Says::Nothing)];
    let line = prop_oneof![
        5 => Just(Line::Total),
        1 => (step(), says).prop_map(|(by, says)| Line::Set(by, says)),
        1 => step().prop_map(Line::Battery),
        1 => (step(), any::<bool>()).prop_map(|(by, missing)| Line::Lost(by, missing)),
    ];
    let wait = prop_oneof![0..3_000_i64, 0..4_000_000_i64];
    (wait, -PPM..=PPM, line).prop_map(|(wait, rate, line)| Made { wait, rate, line })
}

fn day() -> impl Strategy<Value = (Vec<Made>, Vec<Noted>)> {
    prop::collection::vec(made(), 3..14).prop_flat_map(|made| {
        let noted = (0..made.len(), any::<bool>(), -1000..=1000_i64, 1..90_i64)
            .prop_map(|(after, record, off, within)| Noted { after, record, off: off * within, within });
        (Just(made), prop::collection::vec(noted, 1..4))
    })
}

/// The log, the rows of the case file, and the true time of each record by its number, in nanoseconds of the civil calendar.
fn written(made: &[Made], noted: &[Noted]) -> (String, String, Vec<i128>) {
    let (mut truly, mut display) = (i128::from(SEVEN) * 1_000_000, SEVEN);
    let (mut log, mut rows, mut truth) = (String::from("unit-event-log 1\n"), String::new(), Vec::new());
    let show = |ms: i64| Stamp::new(ms - ms.rem_euclid(1000), 0).to_string();
    // The first record has an odd second, so that the display is not taken for coarser than it is.
    display += 1_000;
    let run = |truly: &mut i128, display: &mut i64, ms: i64, rate: i64| {
        *display += ms;
        *truly += i128::from(ms) * i128::from(1_000_000 + rate);
    };
    for (place, one) in made.iter().enumerate() {
        let number = place + 1;
        run(&mut truly, &mut display, one.wait + 7, one.rate);
        let before = display;
        match one.line {
            Line::Total => log.push_str(&format!("{number} {} total\n", show(display))),
            Line::Set(by, says) => {
                display += by;
                let stated = |ms: i64| show(ms).replace(' ', "T");
                let said = match says {
                    Says::Both => format!(" before={} after={}", stated(before), stated(display)),
                    Says::Before => format!(" before={}", stated(before)),
                    Says::Nothing => String::new(),
                };
                log.push_str(&format!("{number} {} clock-set{said}\n", show(display)));
            }
            Line::Battery(by) => {
                display += by;
                log.push_str(&format!("{number} {} battery-changed\n", show(display)));
            }
            Line::Lost(by, missing) => {
                display += by;
                if !missing {
                    log.push_str(&format!("{number} 2031-05-10 ??:??:?? ???\n"));
                }
            }
        }
        truth.push(truly);
        let at_record = truly;
        // A reading stands a moment behind its line, or at it.
        for noted in noted.iter().filter(|noted| noted.after == place) {
            let readable = !matches!(one.line, Line::Lost(..));
            if !noted.record {
                run(&mut truly, &mut display, 1_500, one.rate);
            }
            // To the second, and still within the margin of what it was: the step of the reference is the reading's own.
            let then = if noted.record { at_record } else { truly };
            let reference = i64::try_from(then.div_euclid(1_000_000)).unwrap() + noted.off;
            let unit = if noted.record {
                format!("record = {number}")
            } else {
                format!("displayed = \"{}\"\nafter-record = {number}", show(display))
            };
            if readable {
                rows.push_str(&format!(
                    "[[reading]]\n{unit}\nreference = \"{}\"\nwithin-seconds = {}\nsource = \"Diary\"\nby = \"Official\"\n",
                    show(reference),
                    noted.within
                ));
            }
        }
    }
    (log, rows, truth)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_said_of_true_time_holds_whatever_happened_to_the_clock((made, noted) in day()) {
        let (log, rows, truth) = written(&made, &noted);
        let case = Case::read("case", &format!("{POLL}{rows}")).unwrap().case;
        let log = read(Arc::new(Source::new("log", log.into_bytes()))).remove(0);
        let unit = UnitDescription::kestrane();
        let replay = Replay::of(&log, &case, &unit);
        let clock = Clock::of(&log, &case, &unit, &replay);
        prop_assert!(clock.conflicts().is_empty(), "readings that are right conflict: {:?}", clock.conflicts());
        for step in 0..replay.steps.len() {
            let number = replay.record(step).and_then(|place| log.records()[place].number);
            let Some(truly) = number.and_then(|number| truth.get(usize::try_from(number).unwrap() - 1)) else { continue };
            // The civil calendar of the tests is two hours ahead of UTC.
            let truly = Instant::of_ns(*truly - 7_200 * 1_000_000_000);
            let when = clock.when(step);
            prop_assert!(when.earliest.as_ref().is_none_or(|end| end.at <= truly), "{number:?}: {truly} < {when:?}");
            prop_assert!(when.latest.as_ref().is_none_or(|end| end.at >= truly), "{number:?}: {truly} > {when:?}");
        }
    }
}

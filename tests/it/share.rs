//! The share of the stated hours for which a log can speak: hand-reckoned values, reasons, and less where less is known.

use logassay::case::Case;
use logassay::examine;
use logassay::report::json;
use logassay::unit::UnitDescription;
use serde_json::Value;

use crate::pages::{frame, logs};

const HOURS: &str = "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\nsource = \"Notice\"\n\
                     by = \"Registrar\"\n";

/// A reading right to the second, and a clock whose rate is right to a millionth.
const READING: &str = "[[reading]]\ndisplayed = \"2031-05-10 06:50:20\"\nreference = \"2031-05-10 06:50:20\"\nwithin-seconds = 1\n\
                       after-record = 1201\nhow = \"a radio clock\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n\
                       [[reading]]\ndisplayed = \"2031-05-10 19:00:20\"\nreference = \"2031-05-10 19:00:20\"\nwithin-seconds = 1\n\
                       after-record = 1205\nhow = \"a radio clock\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n\
                       [[setting]]\ndrift-ppm = 1\nsource = \"Data sheet\"\nby = \"Maker\"\n";

/// Five records: number 1203 is missing in the hour from 09:00:11 to 10:00:11.
const LOG: &str = "unit-event-log 1\n1201 2031-05-10 06:50:07 power-on\n1202 2031-05-10 09:00:11 total\n\
                   1204 2031-05-10 10:00:11 total\n1205 2031-05-10 19:00:05 total\n1206 2031-05-10 19:30:31 power-off\n";

fn share(log: &str, case: &str, unit: &UnitDescription) -> (Value, String) {
    let case = Case::read("case", case).unwrap_or_else(|troubles| panic!("{troubles:?}")).case;
    let logs = logs("unit.log", log.as_bytes());
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, unit)).collect();
    let report: Value = serde_json::from_str(&json::report(&examinations, &frame(false))).unwrap();
    let coverage = &report["examinations"][0]["coverage"];
    let words = coverage["in_words"].as_array().unwrap();
    let said = words.iter().find(|one| one["about"] == "hours of the poll").unwrap();
    (coverage["poll_hours"][0].clone(), said["text"].as_str().unwrap().to_owned())
}

fn ends(share: &Value) -> (i64, i64) {
    (share["least_s"].as_i64().unwrap(), share["most_s"].as_i64().unwrap())
}

#[test]
fn the_hour_of_a_missing_record_is_not_spoken_for() {
    let (told, said) = share(LOG, &format!("{HOURS}{READING}"), &UnitDescription::kestrane());
    assert_eq!((&told["date"], &told["hours_s"]), (&Value::from("2031-05-10"), &Value::from(39_600)));
    // 11 h less the hour from 09:00 to 10:00. Each end of it is right to the second of the reading, to the step of the display
    // twice (of the reading and of the record) and to 0.012 s of drift in three hours: some three seconds either way.
    let (least, most) = ends(&told);
    assert!(least <= 36_000 && 36_000 <= most, "{least} to {most}");
    assert!(most - least <= 16 && most > least, "{least} to {most}");
    assert!(said.contains("90 to 91 percent") || said.contains("90 to 92 percent"), "{said}");
    assert!(said.contains("because the clock leaves room"), "{said}");
}

#[test]
fn a_log_that_reaches_over_all_hours_speaks_for_all_of_them() {
    let whole = LOG.replace("1206 ", "1205 ").replace("1205 2031-05-10 19:00", "1204 2031-05-10 19:00");
    let whole = whole.replace("1204 2031-05-10 10:00", "1203 2031-05-10 10:00");
    let (kestrane, behind_1204) = (UnitDescription::kestrane(), READING.replace("1205", "1204"));
    let (told, said) = share(&whole, &format!("{HOURS}{behind_1204}"), &kestrane);
    assert_eq!(ends(&told), (39_600, 39_600));
    assert!(said.contains("can speak for all of them"), "{said}");
    let before = "unit-event-log 1\n1201 2031-05-10 06:50:07 power-on\n1202 2031-05-10 06:55:31 power-off\n";
    let (told, said) = share(before, &format!("{HOURS}{READING}"), &UnitDescription::kestrane());
    assert_eq!(ends(&told), (0, 0));
    assert!(said.contains("none of them"), "{said}");
}

#[test]
fn without_readings_or_hours_it_cannot_be_told_and_the_reason_is_named() {
    let unit = UnitDescription::kestrane();
    for (case, why) in [
        (String::new(), "states a day of a poll"),
        (HOURS.to_owned(), "no reading of the unit's clock"),
        (READING.to_owned(), "states a day of a poll"),
        (format!("{}{READING}", HOURS.replace("closes = \"18:00\"\n", "")), "does not state both hours"),
        (format!("{}{READING}", HOURS.replace("zone = \"+02:00\"\n", "")), "is not one instant"),
        (
            format!(
                "{HOURS}{}{READING}",
                HOURS
                    .replace("18:00", "17:00")
                    .replace("Notice", "Petition")
                    .replace("Registrar", "Petitioner")
            ),
            "other hours",
        ),
    ] {
        let (told, said) = share(LOG, &case, &unit);
        let reason = told["cannot_be_told"].as_str().unwrap_or_else(|| panic!("{why}: {told}"));
        assert!(reason.contains(why) && said.contains(reason), "{why}: {reason}: {said}");
        assert!(told["least_s"].is_null() && told["most_s"].is_null() && told["hours_s"].is_null());
    }
}

#[test]
fn without_record_numbers_no_least_is_told() {
    let plain = LOG.replace("1202 ", "- ").replace("1204 ", "- ");
    let (told, said) = share(&plain, &format!("{HOURS}{READING}"), &UnitDescription::kestrane());
    assert_eq!(ends(&told).0, 0);
    assert!(said.contains("at most") && said.contains("without record numbers"), "{said}");
}

/// Cutting the log, or giving a reading less exactly, never makes it speak for more, or more surely.
#[test]
fn whoever_knows_less_is_told_of_no_greater_share() {
    let folder = crate::corpus::folder("demonstration");
    let log = std::fs::read_to_string(folder.join("disputed-unit.log")).unwrap();
    let case = std::fs::read_to_string(folder.join("disputed-unit.case.toml")).unwrap();
    let unit = UnitDescription::kestrane();
    let (whole, _) = share(&log, &case, &unit);
    let (least, most) = ends(&whole);
    // By the displayed times the numbers leave out 1 h 29 min 35 s of the 11 h: 34,225 s.
    assert!(least < 34_225 && 34_225 < most, "{least} to {most}");
    let (vague, _) = share(&log, &case.replace("within-seconds = 30", "within-seconds = 300"), &unit);
    assert!(ends(&vague).0 < least && ends(&vague).1 >= most, "{vague}");
    // The gap grows backwards, record by record; the records that the readings follow stay.
    let lines: Vec<&str> = log.lines().collect();
    let end = lines.iter().position(|line| line.starts_with("258 ")).unwrap() + 1;
    let (mut last, mut smaller) = ((least, most), 0);
    for cut in 1..11 {
        let kept: Vec<&str> = lines[..end - cut].iter().chain(&lines[end..]).copied().collect();
        let (told, _) = share(&kept.join("\n"), &case, &unit);
        let now = ends(&told);
        assert!(now.0 <= last.0 && now.1 <= last.1, "{cut}: {now:?} after {last:?}");
        smaller += usize::from(now.0 < last.0 && now.1 < last.1);
        last = now;
    }
    assert!(smaller > 5, "{smaller} of 10 cuts made the gap longer");
}

//! What is asked for where an hour stays open: the note that would settle it, the zone, and every open line as data.

use logassay::finding::Verdict;
use logassay::syntax::Stamp;

use crate::hours_told::{DAY, Told, poll, read_at, row, says};

/// What would settle it keeps its word: with the note asked for, as far off as it may be, either way, a vote farther from the
/// hour than is said is told, and so is none that could lie on the other side.
#[test]
fn the_note_that_is_asked_for_decides_where_it_says_so() {
    let midnight = 1_936_137_600_i64;
    let lines = |second: i64, ahead: i64| {
        let shown = |offset: i64| Stamp::new((midnight + 18 * 3600 + second + ahead + offset) * 1000, 0);
        vec![
            "2031-05-10 06:45:07 power-on".to_owned(),
            format!("{} enable", shown(-20)),
            format!("{} vote", shown(0)),
            format!("{} close", shown(1800)),
        ]
    };
    // Bounds of two minutes to either side; the clock is eleven seconds ahead.
    let wide = lines(0, 11);
    let strs: Vec<&str> = wide.iter().map(String::as_str).collect();
    let asked = Told::of(&strs, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 18:00:11", 120, 3)]);
    let open = asked.open("vote-after-hour");
    says(
        &open,
        &[
            "a note, made then, of what the unit displayed about 2031-05-10 18:00:11 beside a reference clock, right to 20 s or \
             better (case file: [[reading]]): it tells on which side of 18:00 on 2031-05-10 record 3 (2031-05-10 18:00:11) lies, unless the true \
             time of that record lies within 44 s of it",
            "a reading made now serves only if the clock was neither set nor reset since then, and every day between \
             leaves 8.64 s more open either way (100 parts per million)",
        ],
    );
    for second in [-45, 45] {
        let made = lines(second, 11);
        let strs: Vec<&str> = made.iter().map(String::as_str).collect();
        for off in [-20, 0, 20] {
            let truly = Stamp::new((midnight + 18 * 3600 + second + off) * 1000, 0);
            let shown = Stamp::new((midnight + 18 * 3600 + second + 11) * 1000, 0);
            let keys = format!(
                "displayed = \"{shown}\"\nreference = \"{truly}\"\nwithin-seconds = 20\nafter-record = 3"
            );
            let told = Told::of(&strs, &[poll(DAY, "07:00", "18:00"), row("reading", &keys)]);
            let verdict = if second > 0 { Verdict::NotKept } else { Verdict::Kept };
            assert_eq!(told.verdict("vote-after-hour"), verdict, "{second} {off}");
        }
    }
    // One bound only, behind a clock that fell back: no absurd margin.
    let fell = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 09:00:00 total",
        "2020-01-01 00:05:00 enable",
        "2020-01-01 00:30:00 vote",
        "2020-01-01 03:10:00 close",
    ];
    let open = Told::of(&fell, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 06:46:00", 0, 1)])
        .open("vote-after-hour");
    says(
        &open,
        &[
            "displayed about 2020-01-01 00:30:00",
            "right to 1 h or better",
            "on which side of 18:00 on 2031-05-10",
            "lies within 2 h 1 min of it",
        ],
    );
}

/// A poll without a zone: the zone is asked for, and no reading.
#[test]
fn hours_without_a_zone_ask_for_the_zone() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 11:58:31 enable",
        "2031-05-10 11:59:01 vote",
        "2031-05-10 14:02:00 close",
    ];
    let papers = [
        poll(DAY, "07:00", "18:00").replace("zone = \"+02:00\"\n", ""),
        read_at("2031-05-10 14:00:30", 3, 3).replace("within-seconds", "zone = \"+02:00\"\nwithin-seconds"),
    ];
    let open = Told::of(&lines, &papers).open("vote-after-hour");
    says(&open, &["does not state in which zone its hours are", "[[poll]], zone"]);
}

/// Data name every line at which a rule stays open.
#[test]
fn every_open_occasion_is_in_the_data() {
    let mut lines = vec!["2031-05-10 06:45:07 power-on".to_owned()];
    for voter in 0..9 {
        lines.push(format!("2031-05-10 11:{:02}:05 enable", 10 + voter));
        lines.push(format!("2031-05-10 11:{:02}:31 vote", 10 + voter));
    }
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let told = Told::of(&lines, &[poll(DAY, "07:00", "18:00")]);
    let answers = told.json.as_array().unwrap();
    let answer = answers.iter().find(|answer| answer["rule"] == "vote-after-hour").unwrap();
    assert_eq!((answer["open"].as_u64(), answer["open_at"].as_array().unwrap().len()), (Some(9), 9));
}

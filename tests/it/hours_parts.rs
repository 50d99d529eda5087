//! Parts of a day, days and zones that the papers do not state, and records of which they do not say what they were: where the
//! record does not tell whose vote, close or result it is, no rule says so.

use crate::hours_told::{Told, count, row, says};
use logassay::finding::Verdict::{self, CannotBeTold, Kept, NotKept};

fn poll(keys: &str) -> String {
    row("poll", &format!("date = \"2031-05-10\"\nzone = \"+02:00\"\n{keys}"))
}

fn reading(day: &str) -> String {
    let keys = format!(
        "displayed = \"{day} 06:42:00\"\nreference = \"{day} 06:42:00\"\nwithin-seconds = 1\nzone = \"+02:00\"\nclock-not-set = true"
    );
    row("reading", &keys)
}

fn queue() -> String {
    row("setting", "queue-minutes = 30") + &row("setting", "close-within-minutes = 15")
}

fn verdicts<const N: usize>(told: &Told, rules: [&str; N]) -> [Verdict; N] {
    rules.map(|rule| told.verdict(rule))
}

/// Two parts of a day. A vote within the second is none behind the queue of the first, a close behind a part whose hour is not
/// stated is neither early nor late, and a row that says only that there was no other day is no part.
#[test]
fn each_part_of_a_day_has_its_hours() {
    const RULES: [&str; 4] = ["vote-after-hour", "vote-after-queue", "closed-early", "closed-late"];
    let day = [
        "2031-05-10 06:41:03 total shown=0",
        "2031-05-10 13:59:41 enable",
        "2031-05-10 14:00:07 vote",
        "2031-05-10 21:00:31 close total=1",
    ];
    let papers = |second: &str| {
        [poll("opens = \"07:00\"\ncloses = \"12:00\""), poll(second), reading("2031-05-10"), queue()]
    };
    let both = Told::of(&day, &papers("opens = \"14:00\"\ncloses = \"18:00\""));
    assert_eq!(verdicts(&both, RULES), [Kept, Kept, Kept, NotKept]);
    let unstated = Told::of(&day, &papers("opens = \"14:00\""));
    assert_eq!(verdicts(&unstated, RULES), [CannotBeTold; 4]);
    says(&unstated.open("closed-late"), &["does not state every closing hour"]);
    // Between the parts: behind the hour of one and before that of the next.
    let mut between = day;
    between[2] = "2031-05-10 13:59:50 vote";
    let told = Told::of(&between, &papers("opens = \"14:00\"\ncloses = \"18:00\""));
    let found = told.found("vote-after-queue");
    says(&found[0].shows, &["its voter was released between 2031-05-10 13:59:3"]);
    says(found[0].measured.as_deref().unwrap(), &["released 1 h 29 min"]);
    let alone = Told::of(&day, &[papers("only-day = true").concat()]);
    assert_eq!(verdicts(&alone, RULES), [NotKept, NotKept, Kept, NotKept]);
}

/// Without the zone it is not known when the day of the poll began and ended, and a vote of the next day is not taken for a late one.
#[test]
fn without_a_zone_no_record_lies_surely_on_a_day() {
    let day = ["2031-05-10 06:41:03 total shown=0", "2031-05-11 09:59:41 enable", "2031-05-11 10:00:07 vote"];
    let hours = "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"";
    for zone in ["\nzone = \"+02:00\"", ""] {
        let told = Told::of(&day, &[row("poll", &format!("{hours}{zone}")), reading("2031-05-11"), queue()]);
        assert_eq!(told.verdict("vote-after-hour"), CannotBeTold, "{zone}");
        assert_eq!(told.verdict("vote-after-queue"), CannotBeTold, "{zone}");
    }
}

/// A close within the minutes allowed behind the last vote is in time whatever the hour was; a vote of which nothing says what it
/// was may have been that last vote.
#[test]
fn a_close_soon_behind_the_last_vote_is_in_time() {
    let day = ["2031-05-12 19:59:41 enable", "2031-05-12 20:00:07 vote", "2031-05-12 20:05:33 close total=1"];
    let told =
        Told::of(&day, &[poll("opens = \"07:00\"\ncloses = \"18:00\""), reading("2031-05-12"), queue()]);
    assert_eq!(verdicts(&told, ["closed-late", "closed-early"]), [Kept, CannotBeTold]);
    let lines = [
        "1 2031-05-10 17:00:41 enable",
        "2 2031-05-10 17:01:07 vote",
        "3 2031-05-10 18:29:41 enable",
        "4 2031-05-10 18:30:07 vote",
        "5 2031-05-10 18:35:33 close total=2",
    ]
    .map(str::to_owned);
    for (records, verdict) in [("1-5", Kept), ("1-2", CannotBeTold)] {
        let label = |records: &str| row("phase", &format!("was = \"poll\"\nrecords = \"{records}\""));
        let papers = [
            poll("opens = \"07:00\"\ncloses = \"18:00\""),
            reading("2031-05-10"),
            queue(),
            row("setting", "drift-ppm = 100"),
            label(records),
            label("5-5"),
            row("end", "closed = \"front\""),
            row("end", "closed = \"back\""),
        ];
        assert_eq!(Told::read(&lines, &papers.concat()).verdict("closed-late"), verdict, "{records}");
    }
}

/// A result on a day for which no poll is stated is outside the hours only where the unit was closed on a day before and took no
/// vote since; and so it is where that day has a poll.
#[test]
fn a_result_of_another_day_is_told_by_the_close_before_it() {
    let stored = row("storage", "from = \"2031-05-10 20:00\"\nto = \"2031-05-11 07:00\"");
    let told = |close: &str, more: &str, next: bool| {
        let day = [
            "2031-05-10 09:59:31 enable",
            "2031-05-10 09:59:50 vote",
            close,
            "2031-05-11 10:05:21 result total=1",
        ];
        let hours = poll(&format!("opens = \"07:00\"\ncloses = \"18:00\"{more}"));
        let eleventh = if next { hours.replace("05-10", "05-11") } else { String::new() };
        Told::of(&day, &[hours, eleventh, reading("2031-05-11"), stored.clone()])
            .verdict("result-outside-count")
    };
    for (close, verdict) in
        [("2031-05-10 18:03:33 close total=1", Kept), ("2031-05-11 10:00:33 close total=1", CannotBeTold)]
    {
        assert_eq!(told(close, "", false), verdict, "{close}");
        assert_eq!(told(close, "", true), verdict, "{close}, with a poll of that day");
    }
    assert_eq!(told("2031-05-11 10:00:33 close total=1", "\nonly-day = true", false), Kept);
}

/// An enable of which the case file does not say what it was may be the first of the poll before a setting of the clock.
#[test]
fn fewer_labels_do_not_clear_a_setting_of_the_clock() {
    let lines = [
        "1 2031-05-10 07:10:11 total shown=0",
        "2 2031-05-10 07:10:41 enable",
        "3 2031-05-10 07:11:07 vote",
        "4 2031-05-10 08:00:00 clock-set before=2031-05-10T07:59:00 after=2031-05-10T08:00:00",
        "5 2031-05-10 08:10:11 enable",
        "6 2031-05-10 08:10:31 vote",
        "7 2031-05-10 18:05:21 close total=2",
    ]
    .map(str::to_owned);
    for (records, verdict) in [("1-7", NotKept), ("4-7", CannotBeTold)] {
        let label = row("phase", &format!("was = \"poll\"\nrecords = \"{records}\""));
        let ends = row("end", "closed = \"front\"") + &row("end", "closed = \"back\"");
        assert_eq!(Told::read(&lines, &(label + &ends)).verdict("clock-set-in-poll"), verdict, "{records}");
    }
}

/// A fall of the display that nothing explains: to a date from which clocks count, to one soon after it, and beside an event that
/// the vocabulary does not hold.
#[test]
fn a_fall_without_power_is_not_denied_to_be_a_reset() {
    for (second, verdict) in [
        ("2020-01-01 00:00:05 power-on", NotKept),
        ("2020-01-02 00:00:05 power-on", CannotBeTold),
        ("2020-01-01 00:00:05 battery-new", CannotBeTold),
        ("2031-05-09 18:00:05 power-on", Kept),
    ] {
        let log = ["2031-05-10 06:41:03 power-off", second, "2031-05-10 06:50:03 power-off"];
        let told = Told::of(&log, &[count("tokens", 0, None)]);
        assert_eq!(told.verdict("clock-reset"), verdict, "{second}");
    }
}

/// Votes of a day for which no poll is stated are no votes of those who waited on the day before, a turnout of the second day may
/// count that day alone, and a close that the papers give to the first day is not measured by the hours of the second.
#[test]
fn what_is_noted_of_one_day_is_not_held_against_the_votes_of_two() {
    let days = [
        "2031-05-10 06:52:00 total shown=0",
        "2031-05-10 17:10:00 enable",
        "2031-05-10 17:10:30 vote",
        "2031-05-11 08:15:05 enable",
        "2031-05-11 08:15:31 vote",
        "2031-05-11 18:12:40 close total=2",
    ];
    let hours = "opens = \"07:00\"\ncloses = \"18:00\"";
    let second = row("poll", &format!("date = \"2031-05-11\"\nzone = \"+02:00\"\n{hours}"));
    let papers = |more: String| [poll(hours), reading("2031-05-10"), queue(), more];
    let told = Told::of(&days, &papers(count("tokens", 0, None)));
    assert_eq!(told.verdict("tokens-differ"), CannotBeTold);
    // By the order of the same records a vote of the evening is one of those who waited.
    let mut evening = days;
    (evening[3], evening[4]) = ("2031-05-10 18:15:05 enable", "2031-05-10 18:15:31 vote");
    let told = Told::of(&evening, &papers(count("tokens", 0, None)));
    assert_eq!(told.verdict("tokens-differ"), NotKept);
    let noted = |at: &str| row("turnout", &format!("at = \"{at}\"\nvalue = 1\nwithin-seconds = 60"));
    let told = Told::of(&days, &papers(second.clone() + &noted("2031-05-11 09:00")));
    assert_eq!(told.verdict("turnout-differs"), CannotBeTold);
    let told = Told::of(&evening, &papers(second.clone() + &noted("2031-05-10 19:00")));
    assert_eq!(told.verdict("turnout-differs"), NotKept);
    let said = row("phase", "was = \"poll\"\nrecords = \"6-6\"\npoll = \"2031-05-10\"");
    assert_eq!(Told::of(&days, &papers(second.clone())).verdict("closed-late"), Kept);
    assert_eq!(Told::of(&days, &papers(second + &said)).verdict("closed-late"), CannotBeTold);
}

/// A mock poll behind the opening hour of a day whose closing hour nobody states may lie behind that.
#[test]
fn a_mock_poll_behind_an_opening_lies_within_hours_only_where_the_closing_is_stated() {
    let day = ["2031-05-10 06:41:03 total shown=0", "2031-05-10 19:50:05 enable", "2031-05-10 19:50:31 vote"];
    let mock = row("phase", "was = \"mock-poll\"\nrecords = \"1-3\"");
    let verdict = |hours: &str| {
        let rows =
            [poll(hours), reading("2031-05-10"), row("setting", "drift-ppm = 100"), mock.clone()].concat();
        let lines: Vec<String> =
            day.iter().enumerate().map(|(at, line)| format!("{} {line}", at + 1)).collect();
        Told::read(&lines, &rows).verdict("mock-poll-in-hours")
    };
    assert_eq!(verdict("opens = \"07:00\""), CannotBeTold);
    assert_eq!(verdict("opens = \"07:00\"\ncloses = \"18:00\""), CannotBeTold);
    assert_eq!(verdict("opens = \"07:00\"\ncloses = \"21:00\""), NotKept);
}

/// A day of which the clocks left out midnight begins an hour later, and a turnout noted on it is set against its votes (IANA time
/// zone database, `northamerica`, rules `Cuba`: summer time begins at 0:00 on the second Sunday of March).
#[test]
fn a_day_without_a_midnight_has_a_turnout() {
    let day = ["2031-03-09 06:41:03 total shown=0", "2031-03-09 08:15:05 enable", "2031-03-09 08:15:31 vote"];
    let papers = [
        row(
            "poll",
            "date = \"2031-03-09\"\nzone = \"America/Havana\"\nopens = \"07:00\"\ncloses = \"18:00\"",
        ),
        row(
            "reading",
            "displayed = \"2031-03-09 06:42:00\"\nreference = \"2031-03-09 06:42:00\"\nwithin-seconds = 1\nclock-not-set = true",
        ),
        row("turnout", "at = \"2031-03-09 09:00\"\nvalue = 0\nwithin-seconds = 60"),
    ];
    assert_eq!(Told::of(&day, &papers).verdict("turnout-differs"), NotKept);
}

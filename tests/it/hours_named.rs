//! What findings on hours count and name: each record once and none left out, each paper by whose word something holds, and what is
//! the matter with a time that no clock of the place showed.

use crate::hours_told::{DAY, Told, count, poll, read_at, row, says};
use logassay::finding::Verdict::{CannotBeTold, Kept, NotKept};

fn named(told: &Told, rule: &str) -> String {
    let found = told.found(rule);
    let premises = found.iter().flat_map(|finding| &finding.assumptions);
    premises.map(|premise| premise.0.clone()).collect::<Vec<_>>().join("\n")
}

const THREE: [&str; 8] = [
    "2031-05-10 06:52:00 total shown=0",
    "2031-05-10 17:10:00 enable",
    "2031-05-10 17:10:31 vote",
    "2031-05-10 17:31:00 enable",
    "2031-05-10 17:31:31 vote",
    "2031-05-10 17:41:00 enable",
    "2031-05-10 17:41:31 vote",
    "2031-05-10 17:45:31 close total=3",
];

/// A vote that a finding tells beside another is one of the votes that were looked at.
#[test]
fn all_votes_in_an_interruption_and_records_in_storage_are_counted() {
    let read = read_at("2031-05-10 17:10:31", 5, 3);
    let pause = row("interruption", "from = \"2031-05-10 17:20\"\nto = \"2031-05-10 18:30\"");
    let told = Told::of(&THREE, &[poll(DAY, "07:00", "18:00"), read.clone(), pause]);
    assert_eq!(told.verdict("vote-in-interruption"), NotKept);
    says(&told.extent("vote-in-interruption"), &["votes of the poll: 3, "]);
    let storage = row("storage", "from = \"2031-05-10 17:20\"\nto = \"2031-05-10 18:30\"");
    let told = Told::of(&THREE, &[poll(DAY, "07:00", "18:00"), read, storage]);
    assert_eq!(told.verdict("activity-in-storage"), NotKept);
    says(&told.extent("activity-in-storage"), &["records: 8, "]);
}

/// A period that begins in an hour which the clocks left out has both ends stated, and one of them was never shown.
#[test]
fn a_period_that_begins_in_an_hour_left_out_is_said_to_do_so() {
    let night = [
        "2031-03-30 01:10:00 enable",
        "2031-03-30 01:10:31 vote",
        "2031-03-30 03:40:00 enable",
        "2031-03-30 03:40:31 vote",
    ];
    let hours = "opens = \"01:00\"\ncloses = \"18:00\"\nzone = \"Europe/Berlin\"";
    let papers = [
        row("poll", &format!("date = \"2031-03-30\"\n{hours}")),
        read_at("2031-03-30 03:40:31", 5, 4),
        row("interruption", "from = \"2031-03-30 02:10\"\nto = \"2031-03-30 03:20\""),
    ];
    let told = Told::of(&night, &papers);
    assert_eq!(told.verdict("vote-in-interruption"), CannotBeTold);
    let open = told.open("vote-in-interruption");
    says(&open, &["is said to have begun at 2031-03-30 02:10, a time that the clocks of the place left out"]);
    assert!(!open.contains("does not state when the interruption"), "{open}");
}

/// Two parts of a day in two zones: each is named with its hours.
#[test]
fn hours_of_several_zones_are_named_with_their_zone() {
    let part = |place, opens, closes, zone| {
        let keys = format!(
            "place = \"{place}\"\ndate = \"{DAY}\"\nopens = \"{opens}\"\ncloses = \"{closes}\"\nzone = \"{zone}\""
        );
        row("poll", &keys)
    };
    let keys = "record = 8\nreference = \"2031-05-10 16:15:31\"\nwithin-seconds = 5\nzone = \"Etc/UTC\"";
    let papers = [
        part("Old school", "07:00", "12:00", "+02:00"),
        part("New school", "14:00", "17:00", "Europe/Berlin"),
        row("reading", keys),
        row("setting", "offset-tolerance-seconds = 60"),
    ];
    let told = Told::of(&THREE, &papers);
    assert_eq!(told.verdict("vote-after-hour"), NotKept);
    let premises = named(&told, "vote-after-hour");
    says(
        &premises,
        &[
            "the hours 07:00 to 12:00 of 2031-05-10 are in the time of the zone +02:00, as stated in",
            "the hours 14:00 to 17:00 of 2031-05-10 are in the time of the zone Europe/Berlin by the IANA time zone database",
            "at 2031-05-10 16:15:31 in the zone Etc/UTC, give or take 5 s",
            "the zone Etc/UTC was as the IANA time zone database 20",
        ],
    );
}

/// Of several papers by which the clock was never set, that of the reading which binds is named.
#[test]
fn that_the_clock_was_never_set_is_said_by_the_reading_that_binds() {
    let read = |at: &str, within: u32, source: &str| {
        let keys = format!("displayed = \"{at}\"\nreference = \"{at}\"\nwithin-seconds = {within}");
        format!("[[reading]]\n{keys}\nclock-not-set = true\nsource = \"{source}\"\nby = \"Registrar\"\n\n")
    };
    let papers = [
        poll(DAY, "07:00", "17:30"),
        read("2031-05-09 06:00:00", 3600, "Old diary"),
        read("2031-05-10 18:10:00", 5, "New diary"),
    ];
    let told = Told::of(&THREE, &papers);
    assert_eq!(told.verdict("vote-after-hour"), NotKept);
    let premises = named(&told, "vote-after-hour");
    says(&premises, &["New diary, Registrar) says"]);
    assert!(!premises.contains("Old diary"), "{premises}");
}

/// The close is late, and its last vote ties the poll to its day: told once, as what it is.
#[test]
fn a_vote_that_is_told_already_is_not_told_again() {
    let day = [THREE[0], THREE[5], THREE[6], "2031-05-11 00:45:31 close total=1"];
    let papers = [
        row(
            "poll",
            "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\nonly-day = true",
        ),
        read_at("2031-05-10 17:41:31", 5, 3),
        row("setting", "close-within-minutes = 15"),
    ];
    let mut one = papers.clone();
    one[1] = row("reading", "record = 3\nreference = \"2031-05-10 17:41:31\"\nwithin-seconds = 5");
    for papers in [papers, one] {
        let told = Told::of(&day, &papers);
        assert_eq!(told.verdict("closed-late"), NotKept);
        let found = told.found("closed-late");
        says(&found[0].shows, &["Record 3 (2031-05-10 17:41:31) is a vote of the poll of 2031-05-10."]);
        assert_eq!(found[0].shows.matches("recorded between").count(), 2, "{}", found[0].shows);
    }
}

/// Votes that the papers give to the poll of another day count for no tokens of this one.
#[test]
fn a_vote_that_is_said_to_be_of_another_day_is_not_set_against_tokens() {
    let late = [
        "2031-05-10 06:52:00 total shown=0",
        "2031-05-10 17:10:00 enable",
        "2031-05-10 17:10:31 vote",
        "2031-05-10 18:05:05 enable",
        "2031-05-10 18:05:31 vote",
        "2031-05-10 18:45:31 close total=2",
    ];
    for (label, verdict) in [("", NotKept), ("\npoll = \"2031-05-11\"", CannotBeTold)] {
        let lines: Vec<String> =
            late.iter().enumerate().map(|(at, line)| format!("{} {line}", at + 1)).collect();
        let papers = [
            poll(DAY, "07:00", "18:00"),
            row("reading", "record = 3\nreference = \"2031-05-10 17:10:31\"\nwithin-seconds = 5"),
            count("tokens", 0, None),
            row("setting", "drift-ppm = 100"),
            row("end", "closed = \"back\""),
            row("phase", "was = \"poll\"\nrecords = \"1-3\""),
            row("phase", &format!("was = \"poll\"\nrecords = \"4-6\"{label}")),
        ];
        let told = Told::read(&lines, &papers.concat());
        assert_eq!(told.verdict("tokens-differ"), verdict, "{label}");
    }
}

/// One memory holds the votes of two days; each number names its day, and none is said to be of no poll.
#[test]
fn polls_that_nothing_parts_are_said_to_lie_in_one_memory() {
    let days = [
        "2031-05-10 06:52:00 total shown=0",
        "2031-05-10 17:10:00 enable",
        "2031-05-10 17:10:31 vote",
        "2031-05-11 08:15:05 enable",
        "2031-05-11 08:15:31 vote",
        "2031-05-11 18:05:40 close total=2",
    ];
    let papers = [
        poll(DAY, "07:00", "18:00"),
        poll("2031-05-11", "07:00", "18:00"),
        count("declared", 5, Some("2031-05-11")),
    ];
    let told = Told::of(&days, &papers);
    assert_eq!(told.verdict("declared-differs"), CannotBeTold);
    let open = told.open("declared-differs");
    says(&open, &["the log shows fewer polls, parted by clears of the memory, than the case file states"]);
    assert!(!open.contains("does not say which of several polls"), "{open}");
    assert_eq!(told.verdict("total-differs"), Kept);
}

/// A vote of which nothing says what it was, and which surely lies before the hour, was not let vote after it.
#[test]
fn a_vote_before_the_hour_needs_no_label_to_need_no_token() {
    let day = [
        "2031-05-10 06:26:07 enable",
        "2031-05-10 06:26:31 vote",
        "2031-05-10 06:27:00 close total=1",
        "2031-05-10 06:28:00 result total=1",
        "2031-05-10 06:29:00 clear",
        "2031-05-10 18:05:05 enable",
        "2031-05-10 18:05:31 vote",
        "2031-05-10 18:45:31 close total=1",
    ];
    let told = |keys: &str| {
        let lines: Vec<String> =
            day.iter().enumerate().map(|(at, line)| format!("{} {line}", at + 1)).collect();
        let papers = [
            poll(DAY, "07:00", "18:00"),
            row("reading", keys),
            count("tokens", 1, None),
            row("setting", "drift-ppm = 100"),
            row("end", "closed = \"front\""),
            row("end", "closed = \"back\""),
            row("phase", "was = \"poll\"\nrecords = \"6-8\""),
        ];
        Told::read(&lines, &papers.concat()).verdict("tokens-differ")
    };
    assert_eq!(told("record = 5\nreference = \"2031-05-10 06:29:00\"\nwithin-seconds = 5"), Kept);
    // Read behind all records, with so wide a margin that the morning may have been the evening.
    assert_eq!(told("record = 5\nreference = \"2031-05-10 06:29:00\"\nwithin-seconds = 50000"), CannotBeTold);
}

/// Votes behind the last one of a poll whose close is not seen may have been a mock poll for the next.
#[test]
fn votes_behind_an_unseen_close_may_be_of_the_next_mock_poll() {
    let told = |noted: u32| {
        let days = [
            "1 2031-05-10 08:58:03 enable",
            "2 2031-05-10 08:58:22 vote",
            "this line cannot be read",
            "4 2031-05-11 06:26:58 enable",
            "5 2031-05-11 06:27:13 vote",
            "6 2031-05-11 06:29:25 close total=2",
            "7 2031-05-11 06:30:11 result total=2",
            "8 2031-05-11 06:30:48 clear",
            "9 2031-05-11 06:30:57 enable",
            "10 2031-05-11 06:31:24 vote",
            "11 2031-05-11 06:31:38 close total=1",
            "12 2031-05-11 06:32:14 result total=1",
            "13 2031-05-11 06:32:48 clear",
            "14 2031-05-11 08:08:08 enable",
            "15 2031-05-11 08:08:21 vote",
            "16 2031-05-11 18:31:12 close total=1",
        ]
        .map(str::to_owned);
        let papers = [
            row("end", "closed = \"front\""),
            row("end", "closed = \"back\""),
            row("phase", "was = \"poll\"\nrecords = \"1-2\"\npoll = \"2031-05-10\""),
            row("phase", "was = \"mock-poll\"\nrecords = \"9-13\""),
            row("phase", "was = \"poll\"\nrecords = \"14-16\"\npoll = \"2031-05-11\""),
            count("declared", 1, Some(DAY)),
            count("mock-votes", noted, Some("2031-05-11")),
        ];
        Told::read(&days, &papers.concat()).verdict("mock-votes-differ")
    };
    assert_eq!(told(2), CannotBeTold);
    assert_eq!(told(9), CannotBeTold);
}

/// The zone of one day is not what a paper says of another.
#[test]
fn a_zone_that_is_stated_for_another_day_is_said_to_be() {
    let papers = [
        row("poll", "date = \"2031-05-09\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\""),
        read_at("2031-05-10 17:10:31", 5, 3),
        row("setting", "offset-tolerance-seconds = 1"),
        row("turnout", "at = \"2031-05-10 17:20\"\nvalue = 0"),
    ];
    let told = Told::of(&THREE, &papers);
    let premises = named(&told, "turnout-differs");
    says(&premises, &["the time of the zone +02:00 on 2031-05-10 as on the day for which it is stated"]);
}

/// Readings that contradict each other are all readings that were looked at; a reference to the minute is any second of it.
#[test]
fn readings_in_a_conflict_are_counted_and_a_minute_is_any_second_of_it() {
    let papers = [
        poll(DAY, "07:00", "17:00"),
        read_at("2031-05-10 17:10:40", 5, 3),
        row(
            "reading",
            "displayed = \"2031-05-10 17:11:00\"\nreference = \"2031-05-10 16:11\"\nwithin-seconds = 5\nafter-record = 3",
        ),
    ];
    let told = Told::of(&THREE, &papers);
    assert_eq!(told.verdict("readings-conflict"), NotKept);
    says(&told.extent("readings-conflict"), &["readings of the clock: 2, "]);
    let found = told.found("readings-conflict");
    says(
        &found[0].shows,
        &["cannot both be right", "at 2031-05-10 16:11 (any second of that minute), give or take 5 s"],
    );
}

/// A vote behind the hour of which the papers say two things may have needed a token.
#[test]
fn a_late_vote_with_two_labels_leaves_tokens_open() {
    let day = [
        "1 2031-05-10 18:05:05 enable",
        "2 2031-05-10 18:05:31 vote",
        "3 2031-05-10 18:45:31 close total=1",
        "4 2031-05-10 18:46:00 result total=1",
        "5 2031-05-10 18:47:00 clear",
        "6 2031-05-10 18:48:00 enable",
        "7 2031-05-10 18:48:31 vote",
    ]
    .map(str::to_owned);
    let told = |second: &str| {
        let papers = [
            poll(DAY, "07:00", "18:00"),
            row("reading", "record = 5\nreference = \"2031-05-10 18:47:00\"\nwithin-seconds = 5"),
            count("tokens", 1, None),
            row("setting", "drift-ppm = 100"),
            row("end", "closed = \"front\""),
            row("end", "closed = \"back\""),
            row("phase", "was = \"poll\"\nrecords = \"1-3\""),
            row("phase", "was = \"test\"\nrecords = \"6-7\""),
            second.to_owned(),
        ];
        Told::read(&day, &papers.concat()).verdict("tokens-differ")
    };
    assert_eq!(told(""), Kept);
    assert_eq!(told(&row("phase", "was = \"poll\"\nrecords = \"7-7\"")), CannotBeTold);
}

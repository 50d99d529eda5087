//! The hours, told with care: votes that no stated hour places, the queue's minutes and tokens, periods as their paper writes
//! them, and readings that contradict each other.

use logassay::case::Case;
use logassay::examine;
use logassay::finding::{Answer, Finding, Verdict};
use logassay::report::json;
use logassay::unit::UnitDescription;

use crate::hours::frame;
use crate::lives::{file, log};

/// A row that a diary states.
pub(crate) fn row(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"Diary\"\nby = \"Presiding officer\"\n\n")
}

pub(crate) fn poll(date: &str, opens: &str, closes: &str) -> String {
    row("poll", &format!("date = \"{date}\"\nopens = \"{opens}\"\ncloses = \"{closes}\"\nzone = \"+02:00\""))
}

pub(crate) fn read_at(at: &str, within: u32, after: u32) -> String {
    let keys = format!(
        "displayed = \"{at}\"\nreference = \"{at}\"\nwithin-seconds = {within}\nafter-record = {after}"
    );
    row("reading", &keys)
}

pub(crate) fn count(of: &str, value: u32, poll: Option<&str>) -> String {
    let day = poll.map_or_else(String::new, |day| format!("\npoll = \"{day}\""));
    row("count", &format!("of = \"{of}\"\nvalue = {value}{day}"))
}

/// The rate of the clock, both ends of the log, and all records one poll.
pub(crate) fn rest(records: usize) -> String {
    [
        row("setting", "drift-ppm = 100"),
        row("end", "closed = \"front\""),
        row("end", "closed = \"back\""),
        row("phase", &format!("was = \"poll\"\nrecords = \"1-{records}\"")),
    ]
    .concat()
}

pub(crate) const DAY: &str = "2031-05-10";

pub(crate) struct Told {
    answers: Vec<Answer>,
    findings: Vec<Finding>,
    pub(crate) json: serde_json::Value,
}

impl Told {
    pub(crate) fn of(lines: &[&str], papers: &[String]) -> Told {
        let lines: Vec<String> =
            lines.iter().enumerate().map(|(at, line)| format!("{} {line}", at + 1)).collect();
        Told::read(&lines, &format!("{}{}", papers.concat(), rest(lines.len())))
    }

    /// Of numbered lines and a whole case file.
    pub(crate) fn read(lines: &[String], papers: &str) -> Told {
        let case = Case::read("case", papers).unwrap_or_else(|troubles| panic!("{troubles:?}")).case;
        let (log, unit) = (log(&file(lines, true)), UnitDescription::kestrane());
        let examination = examine(&log, &case, &unit);
        let (answers, findings) = (examination.answers.clone(), examination.findings.clone());
        let mut value: serde_json::Value =
            serde_json::from_str(&json::report(&[examination], &frame())).unwrap();
        Told { answers, findings, json: value["examinations"][0]["answers"].take() }
    }

    fn answer(&self, id: &str) -> &Answer {
        self.answers.iter().find(|answer| answer.rule == id).unwrap()
    }

    pub(crate) fn verdict(&self, id: &str) -> Verdict {
        self.answer(id).verdict
    }

    pub(crate) fn extent(&self, id: &str) -> String {
        self.answer(id).extent.clone()
    }

    pub(crate) fn found(&self, id: &str) -> Vec<&Finding> {
        self.findings.iter().filter(|finding| finding.rule == id).collect()
    }

    /// Reasons and requests of a rule as one text.
    pub(crate) fn open(&self, id: &str) -> String {
        let answer = self.answer(id);
        let asks = answer.asks.iter().map(|ask| ask.what.as_str());
        answer.why.iter().map(String::as_str).chain(asks).collect::<Vec<_>>().join(" | ")
    }
}

pub(crate) fn says(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "{part}\n{text}");
    }
}

/// A vote that fell after the hour by an enable before it needs no token; one released after it does; where the enable lies
/// beside the hour, or is not seen, it is open unless the tokens are enough anyway.
#[test]
fn who_was_released_before_the_hour_needs_no_token() {
    let day = |enable| {
        ["2031-05-10 06:45:07 power-on", enable, "2031-05-10 18:00:20 vote", "2031-05-10 18:03:01 close"]
    };
    let told = |lines: &[&str], tokens| {
        let papers = [
            poll(DAY, "07:00", "18:00"),
            read_at("2031-05-10 18:01:30", 2, 3),
            count("tokens", tokens, None),
        ];
        Told::of(lines, &papers)
    };
    let early = told(&day("2031-05-10 17:59:31 enable"), 0);
    assert_eq!(early.verdict("vote-after-hour"), Verdict::NotKept);
    assert_eq!(early.verdict("tokens-differ"), Verdict::Kept);
    let late = told(&day("2031-05-10 18:00:11 enable"), 0);
    assert_eq!(late.verdict("tokens-differ"), Verdict::NotKept);
    let finding = late.found("tokens-differ")[0];
    assert_eq!(finding.measured.as_deref(), Some("1 vote against 0 tokens: 1 more"));
    let premises: Vec<&str> = finding.assumptions.iter().map(|one| one.0.as_str()).collect();
    says(&premises.join("; "), &["closed at 18:00", "each vote was released by the enable before it"]);
    for (enable, tokens, verdict) in [
        ("2031-05-10 18:00:01 enable", 0, Verdict::CannotBeTold),
        ("2031-05-10 18:00:01 enable", 1, Verdict::Kept),
        ("not a record", 0, Verdict::CannotBeTold),
    ] {
        assert_eq!(told(&day(enable), tokens).verdict("tokens-differ"), verdict, "{enable} {tokens}");
    }
}

/// Tokens of two days in one stretch of memory: each day's by the clock, and each finding names its own day's.
#[test]
fn tokens_of_two_days_are_told_apart_by_the_clock() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 18:04:31 enable",
        "2031-05-10 18:05:01 vote",
        "2031-05-17 18:04:31 enable",
        "2031-05-17 18:05:01 vote",
        "2031-05-17 18:53:01 close",
    ];
    let told = |first, second| {
        let papers = [
            poll(DAY, "07:00", "18:00"),
            poll("2031-05-17", "07:00", "18:00"),
            read_at("2031-05-10 18:05:30", 3, 3),
            count("tokens", first, Some(DAY)),
            count("tokens", second, Some("2031-05-17")),
        ];
        Told::of(&lines, &papers)
    };
    let enough = told(7, 9);
    assert_eq!(enough.verdict("tokens-differ"), Verdict::Kept);
    let shows: Vec<&str> =
        enough.found("vote-after-hour").iter().map(|finding| finding.shows.as_str()).collect();
    says(shows[0], &["Tokens given out at the hour: 7"]);
    says(shows[1], &["Tokens given out at the hour: 9"]);
    assert!(!shows[0].contains("hour: 9") && !shows[1].contains("hour: 7"), "{shows:?}");
    let fewer = told(7, 0);
    assert_eq!(fewer.verdict("tokens-differ"), Verdict::NotKept);
    says(&fewer.found("tokens-differ")[0].shows, &["Record 5", "Tokens given: 0"]);
}

/// Stated minutes of the queue: surely beyond them is a departure from the paper that states them; within them nothing is;
/// beside them it cannot be told. Each part of a day has its own.
#[test]
fn votes_beyond_the_stated_minutes_of_the_queue() {
    let queue = row("setting", "queue-minutes = 30");
    let at = |enable: &str, vote: &str, close: &str, papers: &[String]| {
        let lines = [
            "2031-05-10 06:45:07 power-on".to_owned(),
            format!("2031-05-10 {enable} enable"),
            format!("2031-05-10 {vote} vote"),
            format!("2031-05-10 {close} close"),
        ];
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        let read = read_at(&format!("2031-05-10 {vote}"), 2, 3);
        Told::of(&lines, &[papers.concat(), read, queue.clone()])
    };
    let one = [poll(DAY, "07:00", "18:00")];
    let beyond = at("18:45:00", "18:45:31", "18:46:01", &one);
    assert_eq!(beyond.verdict("vote-after-queue"), Verdict::NotKept);
    says(
        &beyond.found("vote-after-queue")[0].shows,
        &["The queue may vote for 30 minutes after the hour, as stated in Diary (by Presiding officer)."],
    );
    let hour = beyond.found("vote-after-hour");
    says(
        &hour[0].shows,
        &["A vote after the hour is not irregular by itself.", "this voter was released beyond them."],
    );
    let within = at("18:20:00", "18:20:31", "18:21:01", &one);
    assert_eq!(within.verdict("vote-after-queue"), Verdict::Kept);
    says(
        &within.found("vote-after-hour")[0].shows,
        &["not irregular by itself", "this voter was released within them."],
    );
    let beside = at("18:30:00", "18:30:01", "18:31:01", &one);
    assert_eq!(beside.verdict("vote-after-queue"), Verdict::CannotBeTold);
    says(&beside.open("vote-after-queue"), &["and 18:30 lies in it"]);
    let parts = [poll(DAY, "07:00", "12:00"), poll(DAY, "14:00", "18:00")];
    for (vote, verdict) in [
        ("12:20:31", Verdict::Kept),
        ("13:20:31", Verdict::NotKept),
        ("15:20:31", Verdict::Kept),
        ("18:20:31", Verdict::Kept),
        ("18:40:31", Verdict::NotKept),
    ] {
        let told = at(&vote.replace(":31", ":09"), vote, "18:50:00", &parts);
        assert_eq!(told.verdict("vote-after-queue"), verdict, "{vote}");
    }
}

/// A vote after the first closing hour of a day is measured from that, and not from the last; a close between two of them is
/// not said to have too wide bounds.
#[test]
fn a_day_of_two_parts_is_measured_from_the_hour_that_passed() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 12:09:31 enable",
        "2031-05-10 12:10:01 vote",
        "2031-05-10 12:15:00 close",
    ];
    let papers =
        [poll(DAY, "07:00", "12:00"), poll(DAY, "14:00", "18:00"), read_at("2031-05-10 12:11:00", 2, 3)];
    let told = Told::of(&lines, &papers);
    let finding = told.found("vote-after-hour")[0];
    says(finding.measured.as_deref().unwrap(), &["9 min 57 s to 10 min 6 s after 12:00"]);
    let open = told.open("closed-early");
    says(&open, &["after one closing hour of 2031-05-10 and before another"]);
    assert!(!open.contains("too wide"), "{open}");
}

/// A vote beside the opening hour is surely not after the closing hour.
#[test]
fn a_vote_beside_the_opening_is_in_order_by_the_closing_hour() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 06:59:31 enable",
        "2031-05-10 07:00:01 vote",
        "2031-05-10 18:15:00 close",
    ];
    let told = Told::of(&lines, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 07:01:00", 6, 3)]);
    assert_eq!(told.verdict("vote-after-hour"), Verdict::Kept);
    assert_eq!(told.verdict("vote-before-opening"), Verdict::CannotBeTold);
}

/// Where no hour lies within the bounds, no reading is said to be too wide: the day is what is not told. Outside all stated
/// hours is said, and stays open where a poll may have been adjourned to a day that is not stated.
#[test]
fn a_vote_that_may_lie_on_a_day_without_a_stated_poll_says_so() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 23:58:31 enable",
        "2031-05-10 23:59:01 vote",
        "2031-05-11 00:02:00 close",
    ];
    let read = read_at("2031-05-11 00:02:30", 300, 4);
    let one = Told::of(&lines, &[poll(DAY, "07:00", "23:00"), read.clone()]);
    for id in ["vote-after-hour", "vote-before-opening", "closed-early"] {
        assert_eq!(one.verdict(id), Verdict::CannotBeTold, "{id}");
        let open = one.open(id);
        says(
            &open,
            &[
                "outside all hours that the case file states, and may lie on a day for which the case file states no poll",
                "every day and hour for which the poll was set",
            ],
        );
        assert!(!open.contains("too wide"), "{open}");
    }
    let both = Told::of(&lines, &[poll(DAY, "07:00", "23:00"), poll("2031-05-11", "07:00", "23:00"), read]);
    says(&both.open("vote-after-hour"), &["on which of these days is not told"]);
    // Only one end is known, and it lies behind the hour.
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 18:10:31 total",
        "2031-05-10 18:15:20 clock-set",
        "2031-05-10 18:20:20 enable",
        "2031-05-10 18:20:31 vote",
        "2031-05-10 18:23:01 close",
    ];
    let behind = Told::of(&lines, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 18:11:30", 2, 2)]);
    says(
        &behind.open("vote-after-hour"),
        &[
            "was made not before 2031-05-10 18:11:",
            "outside all hours that the case file states, and may lie on a day",
        ],
    );
}

/// Readings that contradict each other are the reason, and what each would say alone stands beside it.
#[test]
fn readings_that_contradict_each_other_are_named_as_the_reason() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 19:29:31 enable",
        "2031-05-10 19:30:01 vote",
        "2031-05-10 19:33:01 close",
    ];
    let other = read_at("2031-05-10 19:31:30", 3, 3)
        .replace("reference = \"2031-05-10 19:31:30", "reference = \"2031-05-10 19:31:41");
    let told = Told::of(&lines, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 19:31:00", 3, 3), other]);
    let open = told.open("vote-after-hour");
    says(
        &open,
        &[
            "the readings on lines 9 and 17 of the case file contradict each other and bind nothing, so that nothing ties",
            "by that on line 9 alone record 3 (2031-05-10 19:30:01) would have been made between 2031-05-10 19:29:56 and \
             2031-05-10 19:30:07, by that on line 17 alone between 2031-05-10 19:30:07 and 2031-05-10 19:30:18",
            "which of the readings that contradict each other is right",
        ],
    );
    assert!(!open.contains("readings of the unit's clock beside a reference clock, with how far"), "{open}");
}

/// A period stands as its paper writes it, and a missing end is what is asked for.
#[test]
fn periods_stand_as_their_paper_writes_them() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 11:29:40 enable",
        "2031-05-10 11:30:00 vote",
        "2031-05-10 18:03:03 close",
        "2031-05-10 21:04:31 power-on",
    ];
    let told = |keys: &str| {
        let papers =
            [poll(DAY, "07:00", "18:00"), read_at("2031-05-10 11:31:03", 2, 3), row("interruption", keys)];
        Told::of(&lines, &papers)
    };
    let premises = |told: &Told| {
        let found = told.found("vote-in-interruption");
        found[0].assumptions.iter().map(|one| one.0.clone()).collect::<Vec<_>>().join("; ")
    };
    let exact = told("from = \"2031-05-10 11:20:10\"\nto = \"2031-05-10 11:45:50\"");
    says(
        &premises(&exact),
        &[
            "the interruption lasted from 2031-05-10 11:20:10 to 2031-05-10 11:45:50, as stated in Diary (by Presiding officer)",
            "each end is within a second of the time written",
        ],
    );
    let minutes = told("from = \"2031-05-10 11:20\"\nto = \"2031-05-10 11:45\"");
    says(&premises(&minutes), &["each end is within a minute of the time written"]);
    let endless = told("from = \"2031-05-10 11:20\"").open("vote-in-interruption");
    says(
        &endless,
        &[
            "the case file does not state when the interruption that began at 2031-05-10 11:20 ended",
            "[[interruption]]",
        ],
    );
    assert!(!endless.contains("too wide"), "{endless}");
}

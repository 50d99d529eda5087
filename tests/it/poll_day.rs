//! The day of the poll: what the unit displayed for it, and which slips of a clock put its votes there.

use crate::hours_told::{Told, row, says};
use logassay::case::Case;
use logassay::finding::Verdict;

const RULE: &str = "poll-day-not-displayed";

/// A poll from seven to six, with more keys.
fn poll(date: &str, more: &str) -> String {
    let hours = "opens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"";
    row("poll", &format!("date = \"{date}\"\n{hours}\n{more}"))
}

fn reading(displayed: &str, reference: &str) -> String {
    let keys = format!(
        "displayed = \"{displayed}\"\nreference = \"{reference}\"\nwithin-seconds = 5\nafter-record = 1"
    );
    row("reading", &keys)
}

const ALONE: &str = "only-day = true";

/// A poll that the display puts in October.
const OCTOBER: &[&str] = &[
    "2031-10-05 06:50:00 power-on",
    "2031-10-05 07:10:05 enable",
    "2031-10-05 07:10:31 vote",
    "2031-10-05 17:50:20 enable",
    "2031-10-05 17:50:52 vote",
    "2031-10-05 18:12:40 close total=2",
];

/// One that it puts in May.
const MAY: &[&str] = &[
    "2031-05-10 06:50:00 power-on",
    "2031-05-10 07:10:05 enable",
    "2031-05-10 07:10:31 vote",
    "2031-05-10 17:50:20 enable",
    "2031-05-10 17:50:52 vote",
    "2031-05-10 18:12:40 close total=2",
];

/// A poll on each of two days, and a clock that was right before the first.
fn two_days() -> [String; 3] {
    [poll("2031-05-10", ""), poll("2031-05-11", ""), reading("2031-05-10 06:55:00", "2031-05-10 06:55:00")]
}

/// Only what says that there was no other day makes a display on another one contrary; a reading that explains it changes
/// nothing of what was displayed, and another day that is stated takes it back.
#[test]
fn a_poll_displayed_on_another_day_is_contrary_where_no_other_day_had_one() {
    let explained = reading("2031-10-05 06:55:00", "2031-05-10 06:55:00");
    for (papers, verdict) in [
        (vec![poll("2031-05-10", ALONE)], Verdict::NotKept),
        (vec![poll("2031-05-10", ALONE), explained], Verdict::NotKept),
        (vec![poll("2031-05-10", "")], Verdict::CannotBeTold),
        (vec![poll("2031-05-10", ""), poll("2031-10-05", "")], Verdict::Kept),
        (vec![poll("2031-10-05", ALONE)], Verdict::Kept),
        (vec![row("poll", "opens = \"07:00\"")], Verdict::CannotBeTold),
    ] {
        assert_eq!(Told::of(OCTOBER, &papers).verdict(RULE), verdict, "{papers:?}");
    }
    let told = Told::of(OCTOBER, &[poll("2031-05-10", ALONE)]);
    let shows = &told.found(RULE)[0].shows;
    for slip in ["swapped in setting the clock", "swapped in print"] {
        assert!(shows.contains(slip), "{shows}");
    }
    assert!(!shows.contains("year"), "{shows}");
}

/// A day that is said to be the only one, beside another: two people contradict each other.
#[test]
fn another_day_beside_the_only_one_is_contested() {
    let papers = [poll("2031-05-10", ALONE), poll("2031-10-05", "")].concat();
    let case = Case::read("case", &papers).unwrap().case;
    assert_eq!(case.versions().versions.len(), 2);
    let apart = [
        poll("2031-05-10", &format!("place = \"Station 1\"\n{ALONE}")),
        poll("2031-10-05", "place = \"Station 2\""),
    ];
    assert_eq!(Case::read("case", &apart.concat()).unwrap().case.versions().versions.len(), 1);
    let lone = Case::read("case", &row("poll", ALONE));
    assert!(lone.is_err(), "`only-day` without a day");
}

/// Slips that fit the readings are set against the day of the poll too.
#[test]
fn a_slip_that_would_move_the_poll_to_another_day_is_said_to() {
    let shows = |lines: &[&str], displayed: &str, reference: &str| {
        let told = Told::of(lines, &[poll("2031-05-10", ""), reading(displayed, reference)]);
        told.found("clock-slip")[0].shows.clone()
    };
    // The paper of the reading names the day before: then the poll would have been then too.
    let none = shows(MAY, "2031-05-10 06:55:00", "2031-05-09 06:55:00");
    assert!(
        none.contains("one day ahead")
            && none.ends_with(
                "It would not leave the votes of the poll on a day for which the case file states one."
            ),
        "{none}"
    );
    let each = shows(OCTOBER, "2031-10-05 06:55:00", "2031-05-10 06:55:00");
    assert!(each.contains("2 slips") && each.contains("each of them would leave the votes"), "{each}");
    // On the fifth of October both swaps fit a reading of the tenth of May; votes past midnight are a day later by one and a
    // month later by the other.
    let mut past_midnight = OCTOBER.to_vec();
    past_midnight.truncate(3);
    past_midnight.extend(["2031-11-05 09:00:20 enable", "2031-11-05 09:00:52 vote"]);
    let some = shows(&past_midnight, "2031-10-05 06:55:00", "2031-05-10 06:55:00");
    assert!(
        some.contains("only some would leave") && some.contains(": day and month are swapped in print"),
        "{some}"
    );
}

/// A close after midnight ends the poll of the day before, also where the next day had a poll of its own; a close in the
/// morning behind votes of that morning ends its poll early.
#[test]
fn a_close_ends_the_poll_of_the_day_on_which_votes_were_recorded() {
    let days = [poll("2031-05-10", ""), poll("2031-05-11", "")];
    let mut papers = days.to_vec();
    papers.extend([
        reading("2031-05-10 06:55:00", "2031-05-10 06:55:00"),
        row("setting", "close-within-minutes = 30"),
    ]);
    let mut night = MAY.to_vec();
    night.pop();
    night.push("2031-05-11 00:12:40 close total=2");
    for rule in ["closed-early", "closed-late"] {
        let told = Told::of(&night, &papers);
        assert_eq!(told.verdict(rule), Verdict::CannotBeTold, "{rule}");
        says(&told.open(rule), &["may be the close of a poll of the day before"]);
    }
    let mut morning = MAY.to_vec();
    morning.pop();
    morning.extend([
        "2031-05-11 08:00:20 enable",
        "2031-05-11 08:00:52 vote",
        "2031-05-11 08:12:40 close total=3",
    ]);
    assert_eq!(Told::of(&morning, &papers).verdict("closed-early"), Verdict::NotKept);
}

/// Where a poll was held on one day and on no other, a vote of it that lies surely beyond that day lies outside its hours.
#[test]
fn a_vote_beyond_the_only_day_lies_outside_its_hours() {
    let mut lines = MAY.to_vec();
    lines.pop();
    lines.extend([
        "2031-05-11 13:10:20 enable",
        "2031-05-11 13:10:52 vote",
        "2031-05-11 13:12:40 close total=3",
    ]);
    let right = reading("2031-05-10 06:55:00", "2031-05-10 06:55:00");
    let alone = Told::of(&lines, &[poll("2031-05-10", ALONE), right.clone()]);
    let finding = alone.found("vote-after-hour")[0];
    let premise = "the poll was held on 2031-05-10 and on no other day";
    assert!(finding.assumptions.iter().any(|premise_of| premise_of.0.starts_with(premise)), "{finding:?}");
    let unsaid = Told::of(&lines, &[poll("2031-05-10", ""), right]);
    assert_eq!(unsaid.verdict("vote-after-hour"), Verdict::CannotBeTold);
    // By a reading that puts the whole poll on another day, the papers do not go together: no vote is said to be late.
    let elsewhere = reading("2031-05-10 06:55:00", "2031-10-05 06:55:00");
    let apart = Told::of(&lines, &[poll("2031-05-10", ALONE), elsewhere]);
    assert_eq!(apart.verdict("vote-after-hour"), Verdict::CannotBeTold);
    says(
        &apart.open("vote-after-hour"),
        &[
            "held on 2031-05-10 and on no other day; no vote of it that this log holds lies surely on that day",
        ],
    );
    // Of a vote on the day itself that premise is not said.
    let mut queue = MAY.to_vec();
    queue.pop();
    queue.extend([
        "2031-05-10 19:10:20 enable",
        "2031-05-10 19:10:52 vote",
        "2031-05-10 19:12:40 close total=3",
    ]);
    let right = reading("2031-05-10 06:55:00", "2031-05-10 06:55:00");
    let queue = Told::of(&queue, &[poll("2031-05-10", ALONE), right]);
    let finding = queue.found("vote-after-hour")[0];
    assert!(!finding.assumptions.iter().any(|premise_of| premise_of.0.starts_with(premise)), "{finding:?}");
}

/// A night that runs on past midnight, with no close: its votes may be those of the poll of the day before, and so may its
/// close; behind a close they are not.
#[test]
fn votes_of_a_night_may_be_of_the_poll_of_the_day_before() {
    let papers = two_days();
    let mut night = MAY.to_vec();
    night.pop();
    night.extend([
        "2031-05-11 00:10:20 enable",
        "2031-05-11 00:10:52 vote",
        "2031-05-11 00:12:40 close total=3",
    ]);
    for rule in ["vote-before-opening", "vote-after-hour", "closed-early"] {
        assert_eq!(Told::of(&night, &papers).verdict(rule), Verdict::CannotBeTold, "{rule}");
        // That the next day had a poll changes nothing of it.
        let alone = [papers[0].clone(), papers[2].clone()];
        assert_eq!(Told::of(&night, &alone).verdict(rule), Verdict::CannotBeTold, "{rule}");
    }
    says(
        &Told::of(&night, &papers).open("vote-before-opening"),
        &["may be of a poll that began on the day before and was still going on: record 2 ("],
    );
    let mut closed = MAY.to_vec();
    closed.extend([
        "2031-05-10 18:20:00 result total=2",
        "2031-05-11 00:05:00 clear",
        "2031-05-11 00:10:20 enable",
        "2031-05-11 00:10:52 vote",
    ]);
    let early = Told::of(&closed, &papers);
    assert_eq!(early.verdict("vote-before-opening"), Verdict::NotKept);
    says(
        &early.found("vote-before-opening")[0].shows,
        &["The poll did not begin before record 8 (2031-05-11 00:05:00)"],
    );
    // Behind a clear of the evening it may be one of a poll that began then: whose, the papers can say, and then it is kept to
    // that day's hours.
    closed[7] = "2031-05-10 18:30:00 clear";
    let evening = Told::of(&closed, &papers);
    assert_eq!(evening.verdict("vote-before-opening"), Verdict::CannotBeTold);
    says(&evening.open("vote-before-opening"), &["began behind record 8 (", "(case file: [[phase]], poll)"]);
    for (day, before_opening, after_hour) in
        [("2031-05-11", Verdict::NotKept, Verdict::Kept), ("2031-05-10", Verdict::Kept, Verdict::NotKept)]
    {
        let said = row("phase", &format!("was = \"poll\"\nrecords = \"9-10\"\npoll = \"{day}\""));
        let told = Told::of(&closed, &[papers.concat(), said]);
        assert_eq!(told.verdict("vote-before-opening"), before_opening, "{day}");
        assert_eq!(told.verdict("vote-after-hour"), after_hour, "{day}");
        for found in [told.found("vote-before-opening"), told.found("vote-after-hour")].concat() {
            let premises: Vec<&str> = found.assumptions.iter().map(|one| one.0.as_str()).collect();
            says(&premises.join("; "), &[&format!("were the poll of {day}")]);
        }
    }
}

/// A vote that the papers give to the poll of another day than the one whose hours it lies by is neither accused by the one nor
/// cleared by the other where the two lead to different answers.
#[test]
fn a_vote_that_is_said_to_be_of_the_poll_of_another_day_stays_open_where_the_hours_differ() {
    let papers = two_days();
    let mut evening = MAY.to_vec();
    evening.extend([
        "2031-05-10 18:20:00 result total=2",
        "2031-05-10 22:30:00 clear",
        "2031-05-10 23:50:20 enable",
        "2031-05-10 23:50:52 vote",
    ]);
    let rules = ["vote-before-opening", "vote-after-hour"];
    let own = [Verdict::Kept, Verdict::NotKept];
    let open = [Verdict::CannotBeTold; 2];
    for (day, verdicts) in [("", own), ("\npoll = \"2031-05-10\"", own), ("\npoll = \"2031-05-11\"", open)] {
        let said = row("phase", &format!("was = \"poll\"\nrecords = \"9-10\"{day}"));
        let told = Told::of(&evening, &[papers.concat(), said]);
        assert_eq!(rules.map(|rule| told.verdict(rule)), verdicts, "{day}");
        if verdicts == open {
            says(
                &told.open("vote-after-hour"),
                &[
                    "on 2031-05-10, and the case file says that it was of the poll of 2031-05-11",
                    "of the poll of which day",
                ],
            );
        }
    }
    // Nor does a later day in the night, where the hours of its own do not tell.
    let mut night = MAY.to_vec();
    night.truncate(4);
    night.extend(["2031-05-11 00:10:20 enable", "2031-05-11 00:10:52 vote"]);
    let polls = ["2031-05-10", "2031-05-11", "2031-05-12"].map(|day| poll(day, "")).concat();
    let said = row("phase", "was = \"poll\"\nrecords = \"1-6\"\npoll = \"2031-05-12\"");
    let told = Told::of(&night, &[polls, papers[2].clone(), said]);
    assert_eq!(told.verdict("vote-before-opening"), Verdict::CannotBeTold);
}

/// The law of less knowledge over the beginning of a night: whatever of it the log has lost, nothing is said that the whole log
/// does not say. What was lost first is what would have shown that the poll of the day before went on.
#[test]
fn a_night_whose_beginning_is_lost_is_not_taken_for_an_early_vote() {
    const RULES: [&str; 5] =
        ["vote-before-opening", "vote-after-hour", "closed-early", "closed-late", "vote-after-queue"];
    let night: Vec<String> = [
        "2031-05-10 06:41:00 total shown=0",
        "2031-05-10 17:50:20 enable",
        "2031-05-10 17:50:52 vote",
        "2031-05-11 00:10:20 enable",
        "2031-05-11 00:10:52 vote",
        "2031-05-11 00:12:40 close total=2",
        "2031-05-11 00:13:40 result total=2",
    ]
    .iter()
    .enumerate()
    .map(|(at, line)| format!("{} {line}", at + 1))
    .collect();
    let settings = "[[setting]]\nqueue-minutes = 600\nclose-within-minutes = 15\ndrift-ppm = 100\nsource = \"Order\"\nby = \"Registrar\"\n";
    let papers = |more: &str| {
        let polls = [poll("2031-05-10", ""), poll("2031-05-11", "")];
        let read = row(
            "reading",
            "displayed = \"2031-05-11 00:14:00\"\nreference = \"2031-05-11 00:14:00\"\nwithin-seconds = 5\nafter-record = 7\nclock-not-set = true",
        );
        let label = row("phase", "was = \"poll\"\nrecords = \"1-7\"");
        format!("{}{read}{label}{settings}{more}", polls.concat())
    };
    let front = row("end", "closed = \"front\"");
    let told = |lines: &[String], more: &str| Told::read(lines, &papers(more));
    let whole = told(&night, "");
    for lost in 0..night.len() {
        for more in ["", front.as_str()] {
            // That nothing was recorded before is true of the whole log alone.
            if lost > 0 && !more.is_empty() {
                continue;
            }
            let part = told(&night[lost..], more);
            for rule in RULES {
                let (of_part, of_whole) = (part.verdict(rule), whole.verdict(rule));
                assert!(
                    of_part == of_whole || of_part == Verdict::CannotBeTold,
                    "{lost} lost, {rule}: {of_part:?}, and of the whole log {of_whole:?}"
                );
            }
        }
    }
    assert_eq!(whole.verdict("vote-before-opening"), Verdict::CannotBeTold);
    // Cut behind the votes of the evening; what was lost is asked for, and so is the day.
    says(
        &told(&night[3..], "").open("vote-before-opening"),
        &[
            "what was recorded before the first record of this log is not known",
            "of the poll of which day",
            "only-day",
        ],
    );
    // With nothing before it, it is a vote of the morning's poll, and what that rests on is said.
    let early = told(&night[3..], &front);
    let found = early.found("vote-before-opening");
    let premises: Vec<&str> = found[0].assumptions.iter().map(|one| one.0.as_str()).collect();
    says(&premises.join("; "), &["nothing was recorded before the first record of this log"]);
    assert_eq!(early.verdict("closed-early"), Verdict::NotKept);
    // Behind a total of zero too, and behind votes of the mock poll, which the case file names.
    let mut zero = night[3..].to_vec();
    zero.insert(0, "3 2031-05-11 00:09:00 total shown=0".to_owned());
    assert_eq!(told(&zero, "").verdict("vote-before-opening"), Verdict::NotKept);
    let mock = row("phase", "was = \"mock-poll\"\nrecords = \"1-3\"");
    let alone = papers(&mock).replace("records = \"1-7\"", "records = \"4-7\"");
    assert_eq!(Told::read(&night[2..], &alone).verdict("vote-before-opening"), Verdict::CannotBeTold);
    let mut behind_mock = night[2..].to_vec();
    behind_mock[0] = "3 2031-05-11 00:06:00 vote".to_owned();
    let behind_mock = Told::read(&behind_mock, &alone);
    let found = behind_mock.found("vote-before-opening");
    let premises: Vec<&str> = found[0].assumptions.iter().map(|one| one.0.as_str()).collect();
    says(&premises.join("; "), &["records 1 to 3 were the mock poll"]);
    // That there was no other day settles it, and is said with it.
    let only = papers("").replace(&poll("2031-05-10", ""), "");
    let only = only.replace(&poll("2031-05-11", ""), &poll("2031-05-11", ALONE));
    let of_its_day = Told::read(&night[3..], &only);
    let found = of_its_day.found("vote-before-opening");
    let premises: Vec<&str> = found[0].assumptions.iter().map(|one| one.0.as_str()).collect();
    says(&premises.join("; "), &["the poll was held on 2031-05-11 and on no other day"]);
}

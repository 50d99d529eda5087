//! Hours that hang on something else than the vote: on when a voter was released, on whose poll an hour was, on the last vote.

use logassay::finding::Verdict;

use crate::hours_told::{DAY, Told, poll, read_at, row, says};

/// Who was released within the minutes of the queue may vote a little later: the enable counts, not the vote.
#[test]
fn a_voter_released_within_the_minutes_of_the_queue_is_within_them() {
    let told = |enable: &str, vote: &str| {
        let lines = ["2031-05-10 06:45:07 power-on", enable, vote, "2031-05-10 18:50:01 close"];
        let queue = row("setting", "queue-minutes = 30");
        Told::of(&lines, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 18:40:00", 5, 3), queue])
    };
    let verdict = |enable, vote| told(enable, vote).verdict("vote-after-queue");
    assert_eq!(verdict("2031-05-10 18:29:31 enable", "2031-05-10 18:31:20 vote"), Verdict::Kept);
    assert_eq!(verdict("2031-05-10 18:30:31 enable", "2031-05-10 18:31:20 vote"), Verdict::NotKept);
    let beside = told("2031-05-10 18:30:01 enable", "2031-05-10 18:31:20 vote");
    assert_eq!(beside.verdict("vote-after-queue"), Verdict::CannotBeTold);
    says(&beside.open("vote-after-queue"), &["record 2 (2031-05-10 18:30:01)", "and 18:30 lies in it"]);
    let unseen = told("2031-05-10 18:3?:?? ???", "2031-05-10 18:31:20 vote");
    says(&unseen.open("vote-after-queue"), &["no record shows when the voter of record 3"]);
    let tail = told("2031-05-10 18:29:31 enable", "2031-05-10 18:31:20 vote");
    says(&tail.found("vote-after-hour")[0].shows, &["this voter was released within them"]);
}

/// The hours of a poll for which the unit recorded no vote say nothing of its count.
#[test]
fn a_result_within_the_hours_of_another_poll_is_no_result_within_the_hours() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 07:10:00 enable",
        "2031-05-10 07:10:31 vote",
        "2031-05-10 18:03:01 close",
        "2031-05-10 18:05:00 power-off",
        "2031-05-12 09:10:07 power-on",
        "2031-05-12 09:15:00 result total=1",
    ];
    let told = |date: &str| {
        let papers =
            [poll(DAY, "07:00", "18:00"), poll(date, "07:00", "18:00"), read_at("2031-05-12 09:20:00", 5, 7)];
        Told::of(&lines, &papers).verdict("result-outside-count")
    };
    assert_eq!(told("2031-05-12"), Verdict::CannotBeTold);
    // On the day of its own votes it is one.
    let same_day = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 07:10:00 enable",
        "2031-05-10 07:10:31 vote",
        "2031-05-10 12:03:01 close",
        "2031-05-10 12:05:00 result total=1",
    ];
    let papers = [poll(DAY, "07:00", "18:00"), read_at("2031-05-10 12:20:00", 5, 5)];
    assert_eq!(Told::of(&same_day, &papers).verdict("result-outside-count"), Verdict::NotKept);
}

/// A close late for the hour, and for the last vote late or not within a step of the display: that is the reason, no hour.
#[test]
fn a_close_at_the_allowed_minutes_says_how_much_passed() {
    let lines = [
        "2031-05-10 06:45:07 power-on",
        "2031-05-10 18:24:51 enable",
        "2031-05-10 18:25:15 vote",
        "2031-05-10 18:55:15 close",
    ];
    let allowed = row("setting", "close-within-minutes = 30");
    let told =
        Told::of(&lines, &[poll(DAY, "07:00", "18:00"), read_at("2031-05-10 18:40:00", 300, 3), allowed]);
    assert_eq!(told.verdict("closed-late"), Verdict::CannotBeTold);
    says(
        &told.open("closed-late"),
        &["between record 3", "the close, 29 min 58.82", "and 30 minutes are allowed"],
    );
    assert!(!told.open("closed-late").contains("no hour"), "{}", told.open("closed-late"));
}

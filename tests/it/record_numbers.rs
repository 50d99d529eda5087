//! Record numbers on whole files: what the ring may have lost, rotation, a counter that goes round, holes.

use logassay::coverage::Ring;
use logassay::finding::Verdict;
use logassay::unit::UnitDescription;

use crate::record_rules::{HEAD, closing, found, kestrane, life, verdict, with};

#[test]
fn the_ring_says_what_it_may_have_lost() {
    let table = [
        (1, 999, Ring::NothingOlder, false),
        (1, 1000, Ring::NothingOlder, false),
        (501, 1000, Ring::OlderNotKept { records: 500, still_kept: 0 }, true),
    ];
    for (first, count, ring, lost) in table {
        let body = life(first, count);
        with(format!("{HEAD}{body}{}", closing(&body)).as_bytes(), &kestrane(), |e| {
            assert_eq!(e.coverage.ring, ring);
            assert_eq!(e.findings, []);
            // A rule that needs the lost part stays open, and is kept where nothing is lost.
            let expected = if lost { Verdict::CannotBeTold } else { Verdict::Kept };
            assert_eq!(verdict(e, "two-enables"), expected, "{count} from {first}");
            assert_eq!(verdict(e, "more-records-than-kept"), Verdict::Kept);
        });
    }
}

/// Found by made-up lives (`rehearsal`): a counter of two digits had come round to 1 where the ring begins.
#[test]
fn a_number_that_comes_round_does_not_show_the_first_record() {
    let file = format!("{HEAD}1 - vote\n2 - enable\n3 - vote\n");
    let rule = "vote-without-enable";
    assert_eq!(with(file.as_bytes(), &kestrane(), |e| verdict(e, rule)), Verdict::NotKept);
    let mut round = kestrane();
    round.number_digits = Some(2);
    assert_eq!(with(file.as_bytes(), &round, |e| verdict(e, rule)), Verdict::CannotBeTold);
}

#[test]
fn a_rotated_ring_is_answered_like_the_ring_put_right() {
    let body = life(501, 40);
    let lines: Vec<&str> = body.lines().collect();
    let verdicts = |body: &str| {
        with(format!("{HEAD}{body}").as_bytes(), &kestrane(), |e| -> Vec<(&'static str, Verdict)> {
            let other = e.answers.iter().filter(|answer| answer.rule != "ring-order");
            other.map(|answer| (answer.rule, answer.verdict)).collect()
        })
    };
    let straight = verdicts(&body);
    for at in 1..lines.len() {
        let rotated: String =
            [&lines[at..], &lines[..at]].concat().iter().map(|line| format!("{line}\n")).collect();
        assert_eq!(verdicts(&rotated), straight, "rotated at {at}");
        let rules: Vec<&str> =
            found(&format!("{HEAD}{rotated}"), &kestrane()).iter().map(|(rule, ..)| *rule).collect();
        assert_eq!(rules, ["ring-order"], "rotated at {at}");
    }
}

#[test]
fn a_counter_that_goes_round_leaves_out_repeats_and_reverses_nothing() {
    let body = "9998 2031-05-10 07:00:05 enable\n9999 2031-05-10 07:00:31 vote\n\
                0000 2031-05-10 07:01:40 enable\n0001 2031-05-10 07:02:02 vote\n";
    let wraps = UnitDescription { number_digits: Some(4), first_number: None, ..kestrane() };
    assert_eq!(found(&format!("{HEAD}{body}"), &wraps), []);
    // A counter of the same width that is said never to go round: the numbers go back, and put in order they leave a
    // hole.
    let rules: Vec<&str> =
        found(&format!("{HEAD}{body}"), &kestrane()).iter().map(|(rule, ..)| *rule).collect();
    assert_eq!(rules, ["number-missing", "numbers-out-of-order"]);
    // A hole over the turn: 0000 to 0002 are missing.
    let hole = body.replace("0000", "0003").replace("0001", "0004");
    let [(rule, shows, measured)] = &found(&format!("{HEAD}{hole}"), &wraps)[..] else {
        panic!("one finding")
    };
    assert_eq!((*rule, measured.as_str()), ("number-missing", "3 missing numbers"));
    assert!(shows.starts_with("Between record 9999 (2031-05-10 07:00:31) and record 0003 "), "{shows}");
    // Whole turns of a small counter: the same numbers come again and say other things.
    let small = UnitDescription { number_digits: Some(1), ..wraps };
    let turns: String = (0..25)
        .map(|n| {
            format!("{} 2031-05-10 07:{n:02}:00 {}\n", n % 10, if n % 2 == 0 { "enable" } else { "vote" })
        })
        .collect();
    assert_eq!(found(&format!("{HEAD}{turns}"), &small), []);
}

#[test]
fn holes_are_counted_with_the_lines_that_may_fill_them() {
    let measured = |body: &str| -> Vec<(&'static str, String)> {
        found(&format!("{HEAD}{body}"), &kestrane())
            .into_iter()
            .map(|(rule, _, measured)| (rule, measured))
            .collect()
    };
    let at = |number: &str, second: u32| format!("{number} 2031-05-10 07:00:{second:02} total\n");
    let missing = |count: &str| ("number-missing", count.to_owned());
    assert_eq!(measured(&(at("5", 0) + &at("9", 1))), [missing("3 missing numbers")]);
    // One of three missing numbers is on a record without a number.
    assert_eq!(measured(&(at("5", 0) + &at("-", 1) + &at("9", 2))), [missing("2 missing numbers")]);
    assert_eq!(measured(&(at("5", 0) + &at("-", 1) + &at("-", 2) + &at("-", 3) + &at("9", 4))), []);
    // An unread line may hold several records, so only what one line for one record leaves over is counted as such.
    let unread = ("unreadable-line", String::new());
    assert_eq!(measured(&(at("5", 0) + "?\n" + &at("7", 2))), [unread.clone()]);
    assert_eq!(measured(&(at("5", 0) + "?\n" + &at("6", 2))), [unread.clone()]);
    assert_eq!(measured(&(at("5", 0) + "?\n" + &at("8", 2))), [missing("2 missing numbers"), unread.clone()]);
    assert_eq!(measured(&(at("5", 0) + "?\n; a comment\n?\n" + &at("8", 2))), [unread.clone(), unread]);
    // More records without a number than the numbers leave room for: nothing is said against them.
    assert_eq!(measured(&(at("5", 0) + &at("-", 1) + &at("-", 2) + &at("7", 3))), []);
    let every_second = UnitDescription { number_step: Some(2), first_number: None, ..kestrane() };
    let odd = format!("{HEAD}{}{}", at("5", 0), at("8", 1));
    with(odd.as_bytes(), &every_second, |e| assert_eq!(verdict(e, "number-missing"), Verdict::CannotBeTold));
    let no_step = UnitDescription { number_step: None, ..kestrane() };
    with(odd.as_bytes(), &no_step, |e| assert_eq!(verdict(e, "number-missing"), Verdict::CannotBeTold));
}

//! The rules about the export as a record, on whole files: what the short examples of the catalogue cannot show.

use std::sync::Arc;

use logassay::case::Case;
use logassay::finding::{Kind, Verdict};
use logassay::source::{Digest, Source};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine, syntax};

pub(crate) const HEAD: &str = "unit-event-log 1\nserial: CU-20417\n";

/// Examines a file's only log and hands the result on.
pub(crate) fn with<T>(file: &[u8], unit: &UnitDescription, look: impl FnOnce(&Examination<'_>) -> T) -> T {
    let logs = syntax::read(Arc::new(Source::new("test", file.to_vec())));
    assert_eq!(logs.len(), 1);
    look(&examine(&logs[0], &Case::default(), unit))
}

pub(crate) fn verdict(examination: &Examination<'_>, rule: &str) -> Verdict {
    examination.answers.iter().find(|answer| answer.rule == rule).expect("the rule exists").verdict
}

/// All findings of the family as (rule, what the record shows, what was measured).
pub(crate) fn found(file: &str, unit: &UnitDescription) -> Vec<(&'static str, String, String)> {
    with(file.as_bytes(), unit, |examination| {
        let findings = examination.findings.iter();
        findings.map(|f| (f.rule, f.shows.clone(), f.measured.clone().unwrap_or_default())).collect()
    })
}

pub(crate) fn kestrane() -> UnitDescription {
    UnitDescription::kestrane()
}

/// The closing line over some record lines, as `grammar/format.md` says: count, and SHA-256 of each line and a LF.
pub(crate) fn closing(records: &str) -> String {
    format!("end {} sha256:{}\n", records.lines().count(), Digest::of(records.as_bytes()))
}

/// `count` records from a number on, ten seconds apart: enable and vote in turn, ended by an export.
pub(crate) fn life(first: u64, count: u64) -> String {
    let line = |place: u64| {
        let (minute, second) = (place / 6, place % 6 * 10);
        let word = if place == count - 1 {
            "export"
        } else if place.is_multiple_of(2) {
            "enable"
        } else {
            "vote"
        };
        format!(
            "{:04} 2031-05-10 {:02}:{:02}:{second:02} {word}\n",
            first + place,
            7 + minute / 60,
            minute % 60
        )
    };
    (0..count).map(line).collect()
}

pub(crate) const PAIRS: &str = "1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote\n\
                     1203 2031-05-10 07:01:40 enable\n1204 2031-05-10 07:02:02 vote\n";

#[test]
fn a_file_cut_short_disagrees_with_its_closing_line() {
    let whole = format!("{HEAD}{PAIRS}{}", closing(PAIRS));
    assert_eq!(found(&whole, &kestrane()), []);
    with(whole.as_bytes(), &kestrane(), |e| assert_eq!(verdict(e, "closing-disagrees"), Verdict::Kept));

    let cut = whole.replace("1204 2031-05-10 07:02:02 vote\n", "");
    let [(rule, shows, measured)] = &found(&cut, &kestrane())[..] else { panic!("one finding") };
    assert_eq!((*rule, measured.as_str()), ("closing-disagrees", "1 line fewer than stated"));
    assert!(
        shows.starts_with("The closing line counts 4 record lines; 3 stand before it. The digest stated is "),
        "{shows}"
    );

    // No closing line: nothing says whether the file is whole.
    with(format!("{HEAD}{PAIRS}").as_bytes(), &kestrane(), |e| {
        assert_eq!(verdict(e, "closing-disagrees"), Verdict::CannotBeTold);
    });
}

#[test]
fn a_changed_character_is_seen_by_the_digest_alone() {
    let changed = format!("{HEAD}{PAIRS}{}", closing(PAIRS)).replace("07:01:40", "07:01:41");
    let [(rule, shows, measured)] = &found(&changed, &kestrane())[..] else { panic!("one finding") };
    assert_eq!((*rule, measured.as_str()), ("closing-disagrees", ""));
    assert!(shows.starts_with("The count of 4 is right. The digest stated is "), "{shows}");
    assert!(shows.contains(&Digest::of(PAIRS.as_bytes()).to_string()), "{shows}");
}

#[test]
fn a_copy_sent_by_mail_with_other_line_ends_is_intact() {
    let mailed = format!("{HEAD}{PAIRS}{}", closing(PAIRS)).replace('\n', "\r\n");
    assert_eq!(found(&mailed, &kestrane()), []);
    with(mailed.as_bytes(), &kestrane(), |e| assert_eq!(verdict(e, "closing-disagrees"), Verdict::Kept));
}

#[test]
fn no_digest_is_printed_over_what_is_covered_or_over_one_line() {
    let covered = PAIRS.replace("07:02:02 vote", "07:02:02 vote slot=4");
    let one = "1201 2031-05-10 07:00:05 total\n";
    for records in [covered.as_str(), one] {
        let stated = closing(records);
        let file = format!("{HEAD}{}{stated}", records.replace("07:00:05", "07:00:06"));
        let found = found(&file, &kestrane());
        let [(rule, shows, _)] = &found[..] else { panic!("one finding, not {found:?}") };
        assert_eq!(*rule, "closing-disagrees");
        assert!(shows.ends_with("The digest stated is not that of the lines found."), "{shows}");
    }
}

/// Record lines with chain values: h(i) = SHA-256(h(i-1) as 32 bytes, then the line before the chain field).
fn chained(records: &str) -> Vec<String> {
    let mut before = [0u8; 32];
    let chain = |line: &str| {
        let digest = Digest::of(&[&before[..], line.as_bytes()].concat());
        before = *digest.bytes();
        format!("{line} chain:{digest}\n")
    };
    records.lines().map(chain).collect()
}

#[test]
fn a_chain_breaks_where_a_record_was_changed_and_starts_anew_behind_a_gap() {
    let chain = chained(PAIRS);
    let breaks = |lines: &[String]| -> Vec<(Verdict, Vec<usize>)> {
        with(format!("{HEAD}{}", lines.concat()).as_bytes(), &kestrane(), |e| {
            let main = |finding: &logassay::finding::Finding| match finding.main {
                logassay::finding::Place::Line(line) => e.log.line_number(line),
                logassay::finding::Place::Log => 0,
            };
            vec![(verdict(e, "chain-broken"), e.findings_of("chain-broken").map(main).collect())]
        })
    };
    assert_eq!(breaks(&chain), [(Verdict::Kept, vec![])]);
    // A changed record breaks its own link; the next still follows from the value that is written.
    let mut changed = chain.clone();
    changed[1] = changed[1].replace("07:00:31", "07:00:32");
    assert_eq!(breaks(&changed), [(Verdict::NotKept, vec![4])]);
    // A record taken out leaves a hole in the numbers, and the link over it cannot be checked.
    let taken = [&chain[..1], &chain[2..]].concat();
    assert_eq!(breaks(&taken), [(Verdict::CannotBeTold, vec![])]);
    // So does a record that cannot be read.
    let mut unread = chain.clone();
    unread[1] = "?\n".to_owned();
    assert_eq!(breaks(&unread), [(Verdict::CannotBeTold, vec![])]);
    // Without numbers nothing tells of the hole, and the link is broken.
    let bare: String = PAIRS.lines().map(|line| line.replacen(&line[..4], "-", 1) + "\n").collect();
    let bare = chained(&bare);
    assert_eq!(breaks(&[&bare[..1], &bare[2..]].concat()), [(Verdict::NotKept, vec![4])]);
    // A chain over the ring as stored, or over the order of recording: both are followed.
    let rotated = [&chain[2..], &chain[..2]].concat();
    assert_eq!(breaks(&rotated), [(Verdict::Kept, vec![])]);
    let stored = chained(
        &rotated
            .iter()
            .map(|line| format!("{}\n", &line[..line.find(" chain").unwrap()]))
            .collect::<String>(),
    );
    assert_eq!(breaks(&stored), [(Verdict::Kept, vec![])]);
    // No chain value stands in a finding.
    let shows = found(&format!("{HEAD}{}", changed.concat()), &kestrane());
    assert!(
        shows.iter().all(|(_, shows, _)| !shows.contains(&chain[1][chain[1].len() - 20..chain[1].len() - 1]))
    );
}

#[test]
fn a_log_without_chain_values_is_no_subject_of_the_chain() {
    with(format!("{HEAD}{PAIRS}").as_bytes(), &kestrane(), |e| {
        assert_eq!(verdict(e, "chain-broken"), Verdict::DoesNotApply);
    });
}

#[test]
fn the_limit_is_the_greater_of_header_and_description_and_repeats_count_once() {
    let rule = "more-records-than-kept";
    let over = |head: &str, body: &str| found(&format!("{HEAD}{head}{body}"), &kestrane());
    assert_eq!(over("", &life(201, 1000)), []);
    let [(found, shows, measured)] = &over("", &life(201, 1001))[..] else { panic!("one finding") };
    assert_eq!((*found, measured.as_str()), (rule, "1 record more than the unit keeps"));
    assert!(
        shows.starts_with(
            "The log holds 1,001 different records; the unit description 'Kestrane unit' has 1,000,"
        ),
        "{shows}"
    );
    assert_eq!(over("keeps: 2000\n", &life(201, 1001)), []);
    let [(found, ..)] = &over("keeps: 500\n", &life(201, 1001))[..] else { panic!("one finding") };
    assert_eq!(*found, rule);
    // A header that cannot be read may state a greater limit.
    let unclear = format!("{HEAD}keeps: two thousand\n{}", life(201, 1001));
    with(unclear.as_bytes(), &kestrane(), |e| assert_eq!(verdict(e, rule), Verdict::CannotBeTold));
    // The 1,001st line repeats the 1,000th.
    let body = life(201, 1000);
    let last = body.lines().last().map(|line| format!("{line}\n")).unwrap_or_default();
    let rules: Vec<&str> = over("", &(body + &last)).into_iter().map(|(rule, ..)| rule).collect();
    assert_eq!(rules, ["record-repeated"]);
}

/// The ring as `VVSG 2.0` never allows it: Test Assertions to 11.1-C, item 3, say that rotation must not delete. So the
/// tool has to say what a ring may have lost. Comparable, and not binding here.
#[test]
fn runs_of_the_same_kind_are_one_finding() {
    let lines: Vec<&str> = PAIRS.lines().collect();
    let join = |lines: &[&str]| format!("{HEAD}{}\n", lines.join("\n"));
    let newest_first: Vec<&str> = lines.iter().rev().copied().collect();
    let [(rule, shows, measured)] = &found(&join(&newest_first), &kestrane())[..] else {
        panic!("one finding")
    };
    assert_eq!((*rule, measured.as_str()), ("numbers-out-of-order", "3 steps back"));
    assert!(shows.starts_with("From record 1204 (2031-05-10 07:02:02) to record 1201 "), "{shows}");

    let twice = [&lines[..], &lines[..]].concat();
    let [(rule, shows, measured)] = &found(&join(&twice), &kestrane())[..] else { panic!("one finding") };
    assert_eq!((*rule, measured.as_str()), ("record-repeated", "4 repeated records"));
    assert!(shows.starts_with("From line 7 to line 10, 4 records stand again"), "{shows}");
}

#[test]
fn a_step_back_of_time_is_measured_with_the_step_of_the_display() {
    let at = |times: [&str; 2]| {
        let file = format!("{HEAD}1201 2031-05-10 {} total\n1202 2031-05-10 {} total\n", times[0], times[1]);
        let found: Vec<(&'static str, String)> =
            found(&file, &kestrane()).into_iter().map(|(rule, _, measured)| (rule, measured)).collect();
        found
    };
    let measured = |text: &str| vec![("time-decreases", format!("the displayed times differ by {text}"))];
    assert_eq!(
        at(["07:00:32", "07:00:30"]),
        measured("2 s, give or take the display's step of 1 s; the display went back by more than 1 s")
    );
    assert_eq!(
        at(["07:00:31", "07:00:30"]),
        measured("1 s, give or take the display's step of 1 s; the display went back by more than 0 s")
    );
    assert_eq!(
        at(["07:00:31.50", "07:00:31.25"]),
        measured(
            "0.25 s, give or take the display's step of 0.01 s; the display went back by more than 0.24 s"
        )
    );
    // 07:00:31 shows every instant up to 07:00:32, so these may be in order.
    assert_eq!(at(["07:00:31.5", "07:00:31"]), []);
    assert_eq!(at(["07:00:31", "07:00:31.5"]), []);
    assert_eq!(at(["07:00:31", "07:00:31"]), []);
}

#[test]
fn what_may_have_set_the_clock_leaves_a_step_back_open() {
    let judge = |between: &str| {
        let file = format!("{HEAD}1201 2031-05-10 07:10:00 total\n{between}1203 2031-05-10 07:03:00 total\n");
        with(file.as_bytes(), &kestrane(), |e| verdict(e, "time-decreases"))
    };
    let set = |before: &str, after: &str| {
        format!("1202 - clock-set before=2031-05-10T{before} after=2031-05-10T{after}\n")
    };
    assert_eq!(judge(""), Verdict::CannotBeTold, "a missing number");
    assert_eq!(judge("1202 - paper-low\n"), Verdict::NotKept);
    assert_eq!(judge(&set("07:10:01", "07:02:59")), Verdict::Kept);
    assert_eq!(judge("1202 - clock-set\n"), Verdict::Kept, "the setting may be to any time");
    assert_eq!(
        judge(&set("07:10:01", "07:09:01")),
        Verdict::CannotBeTold,
        "a setting by one minute does not cover it"
    );
    assert_eq!(
        judge(&set("07:10:01", "07:20:01")),
        Verdict::CannotBeTold,
        "a setting forward does not cover it"
    );
    for word in ["battery-changed", "fault part=clock", "lamp-checked", "power-on"] {
        assert_eq!(judge(&format!("1202 - {word}\n")), Verdict::CannotBeTold, "{word}");
    }
    assert_eq!(judge("?\n"), Verdict::CannotBeTold, "an unread line");
}

#[test]
fn a_record_after_the_export_is_measured_and_a_clock_or_header_that_cannot_be_read_leaves_it_open() {
    let rule = "record-after-export";
    let file = |zone: &str, export: &str| {
        format!("{HEAD}{zone}{export}1201 2031-05-19 10:04:29 export\n1202 2031-05-19 10:04:33 total\n")
    };
    let zone = "clock-zone: +02:00\n";
    let judge =
        |zone: &str, export: &str| with(file(zone, export).as_bytes(), &kestrane(), |e| verdict(e, rule));
    // The end of the second shown is inside.
    assert_eq!(judge(zone, "exported-at: 2031-05-19T10:04:33+02:00\n"), Verdict::Kept);
    assert_eq!(judge(zone, "exported-at: 2031-05-19T08:04:33Z\n"), Verdict::Kept);
    let late = file(zone, "exported-at: 2031-05-19T10:04:31+02:00\n");
    let [(found, shows, measured)] = &found(&late, &kestrane())[..] else { panic!("one finding") };
    assert_eq!(
        (*found, measured.as_str()),
        (rule, "2 s later, give or take 1 s for the steps of both displays")
    );
    assert!(shows.contains("2031-05-19 10:04:31"), "{shows}");
    with(late.as_bytes(), &kestrane(), |e| {
        assert!(
            e.findings
                .iter()
                .all(|finding| finding.kind == Kind::Conditional && finding.assumptions.len() == 2)
        );
    });
    for (zone, export) in [
        // No record of this export: the unit's clock may run ahead.
        (zone, "exported-at: 2031-05-19T10:03:27+02:00\n"),
        (zone, ""),
        (zone, "exported-at: yesterday\n"),
        (zone, "exported-at: 2031-05-19T10:04:31\n"),
        ("", "exported-at: 2031-05-19T10:04:31+02:00\n"),
        ("clock-zone: summer time\n", "exported-at: 2031-05-19T10:04:31+02:00\n"),
        ("clock-zone: -00:00\n", "exported-at: 2031-05-19T10:04:31+02:00\n"),
    ] {
        assert_eq!(judge(zone, export), Verdict::CannotBeTold, "{zone}{export}");
    }
}

/// Where a file holds nothing that a rule could ask about, the rule does not apply; it is not kept by that.
#[test]
fn a_file_without_records_keeps_no_rule_about_them() {
    let of =
        |file: &str, rule: &str| with(file.as_bytes(), &kestrane(), |examination| verdict(examination, rule));
    for (file, lines) in [("", Verdict::DoesNotApply), ("\n\n", Verdict::DoesNotApply), (HEAD, Verdict::Kept)]
    {
        assert_eq!(of(file, "choice-disclosed"), Verdict::DoesNotApply, "{file:?}");
        assert_eq!(of(file, "unreadable-line"), lines, "{file:?}");
    }
    assert_eq!(of(&format!("{HEAD}{}", life(1, 4)), "choice-disclosed"), Verdict::Kept);
    // What could not be read may have been a record.
    let unread = format!("{HEAD}1 2031-05-10 0?:00:00 vote\n");
    assert_eq!(of(&unread, "choice-disclosed"), Verdict::CannotBeTold);
}

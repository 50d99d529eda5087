//! A voter's choice or identity in a record: found, and never said.

use std::sync::Arc;

use logassay::case::Case;
use logassay::finding::Verdict;
use logassay::source::Source;
use logassay::{examine, syntax};

use crate::record_rules::{HEAD, PAIRS, found, kestrane, verdict, with};

/// VVSG 2.0, 10.2.4-B, 11.1-B, 15.1-C: logs hold no selections and no voter's identity (comparable, not binding here).
#[test]
fn a_choice_or_an_identity_is_found_and_never_said() {
    let secret = "Zqx77";
    let disclosing = [
        "vote candidate=Zqx77",
        "vote bu=\"candidate Zqx77\"",
        "vote CANDIDATE",
        "vote voter-name=Zqx77",
        "vote note=\"the voter chose Zqx77\"",
        "vote note=\"The VOTER chose \\u{5a}qx77\"",
        "vote button=Zqx77 slot=Zqx77",
    ];
    for line in disclosing {
        let file = format!("{HEAD}1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 {line}\n");
        with(file.as_bytes(), &kestrane(), |e| {
            let fires = e.findings_of("choice-disclosed").count() == 1;
            // An attribute without a value is no attribute: that line is not read, and stays open.
            let unread = line.ends_with("CANDIDATE");
            assert_eq!(fires, !unread, "{line}");
            let answer = e.answers.iter().find(|answer| answer.rule == "choice-disclosed").unwrap();
            let said = format!("{:?}{:?}", e.findings, answer);
            assert!(!said.contains(secret), "{line}: {said}");
        });
    }
    // Neither the value nor its length changes a word.
    let said = |value: &str| {
        found(
            &format!(
                "{HEAD}1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote candidate={value}\n"
            ),
            &kestrane(),
        )
    };
    assert_eq!(said("1"), said("sixty-four"));
}

#[test]
fn words_beside_a_vote_that_are_no_record_stay_open() {
    let judge = |lines: &str| {
        with(format!("{HEAD}{lines}").as_bytes(), &kestrane(), |e| verdict(e, "choice-disclosed"))
    };
    assert_eq!(judge(PAIRS), Verdict::Kept);
    assert_eq!(judge(&format!("{PAIRS}; voter A chose 3\n")), Verdict::CannotBeTold);
    assert_eq!(judge(&format!("{PAIRS}?? candidate=3\n")), Verdict::CannotBeTold);
    assert_eq!(judge(&format!("{PAIRS}; noted at 07:03\n")), Verdict::Kept);
    assert_eq!(judge("1201 - total\n; names of candidates were read out\n1202 - total\n"), Verdict::Kept);
    assert_eq!(judge("1201 - total\n1202 - candidate-3-pressed\n1203 - total\n"), Verdict::CannotBeTold);
}

#[test]
fn all_records_that_tell_are_one_finding_that_says_who_called_them_the_poll() {
    let told = PAIRS.replace(" vote\n", " vote candidate=1\n");
    let stated = "[[phase]]\nwas = \"poll\"\nrecords = \"1203-1204\"\nsource = \"Diary\"\nby = \"Presiding officer\"\n";
    let logs = syntax::read(Arc::new(Source::new("test", format!("{HEAD}{told}").into_bytes())));
    let case = Case::read("case", stated).unwrap().case;
    let unit = kestrane();
    let premises = |case: &Case| -> Vec<(usize, String)> {
        let examination = examine(&logs[0], case, &unit);
        let findings = examination.findings_of("choice-disclosed");
        findings.map(|finding| (finding.others.len(), finding.assumptions[0].0.clone())).collect()
    };
    let unstated =
        "these records were part of the poll; the case file does not say what they were".to_owned();
    assert_eq!(premises(&Case::default()), [(1, unstated.clone())]);
    let said = "these records were part of the poll, as stated in Diary (by Presiding officer)".to_owned();
    assert_eq!(premises(&case), [(0, unstated), (0, said)]);
}

//! The reports as the command prints them: one schema printed from the types, no secret, the same bytes each time.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use logassay::case::Case;
use logassay::source::Source;
use logassay::unit::UnitDescription;

use crate::cli::{run, run_with};
use crate::corpus::folder;

fn schema_path() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("grammar/report.schema.json")
}

#[test]
fn the_schema_is_printed_from_the_types() {
    let now = logassay::report::json::schema();
    if std::env::var_os("LOGASSAY_BLESS").is_some() {
        fs::write(schema_path(), &now).unwrap();
    }
    assert_eq!(fs::read_to_string(schema_path()).unwrap_or_default(), now);
}

#[test]
fn a_choice_or_an_identity_appears_in_no_output() {
    let log = "unit-event-log 1\nserial: CU-20417\n\n; voter Annabel came first\n\
        1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote candidate=773311 voter-name=\"Annabel\"\n\
        1203 2031-05-10 07:00:40 slip-printed pick=773311\n1204 2031-05-10 07:01:00 enable\n\
        1205 2031-13-10 07:01:20 vote candidate=773311\nvote 773311\n1206 2031-05-10 07:01:40 vote for=Annabel\n\
        1207 2031-05-10 07:02:40 vote for=Annabel\n";
    for arguments in [
        &["examine", "-"][..],
        &["examine", "--json", "-"],
        &["walk", "-"],
        &["walk", "--json", "-"],
        &["walk", "--blank", "-"],
        &["case", "new", "-"],
        &["states", "-", "--form", "svg"],
        &["states", "-", "--form", "dot"],
    ] {
        let (out, err, _) = run_with(arguments, log.as_bytes());
        assert!(!out.is_empty(), "{arguments:?}: {err}");
        for secret in ["773311", "Annabel", "annabel"] {
            assert!(
                !out.contains(secret) && !err.contains(secret),
                "{arguments:?} says {secret}\n{out}{err}"
            );
        }
    }
}

#[test]
fn an_examination_is_the_same_bytes_each_time() {
    let bytes = fs::read(folder("demonstration").join("disputed-unit.log")).unwrap();
    let logs = logassay::syntax::read(Arc::new(Source::new("log", bytes)));
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    let once = format!("{:?}", logassay::examine(&logs[0], &case, &unit).findings);
    assert_eq!(once, format!("{:?}", logassay::examine(&logs[0], &case, &unit).findings));
    assert_eq!(run(&["examine", "--json"]).0, run(&["examine", "--json"]).0);
}

#[test]
fn no_digest_over_a_covered_line_is_printed() {
    let body = "1201 2031-05-10 07:00:31 vote candidate=7\n1202 2031-05-10 07:00:50 total shown=1\n";
    let digest = logassay::source::Digest::of(body.as_bytes()).to_string();
    let log = format!("unit-event-log 1\n{body}end 3 sha256:{digest}\n");
    let plain = log.replace(" candidate=7", "");
    for arguments in
        [&["examine", "-"][..], &["examine", "--json", "-"], &["walk", "-"], &["walk", "--json", "-"]]
    {
        let (out, err, _) = run_with(arguments, log.as_bytes());
        assert!(!out.contains(&digest) && !err.contains(&digest), "{arguments:?}\n{out}");
    }
    // Where nothing is covered, the exporter's digest is shown: the search above can find it.
    let own = logassay::source::Digest::of(body.replace(" candidate=7", "").as_bytes()).to_string();
    assert!(
        run_with(&["walk", "--width", "140", "-"], plain.replace(&digest, &own).as_bytes()).0.contains(&own)
    );
}

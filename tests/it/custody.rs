//! Custody as a person uses it: bundles, manifests that `sha256sum` accepts, what was changed, signatures by `ssh-keygen`,
//! folders and names that mean ill.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use logassay::source::Digest;

use crate::cli::run;
use crate::report_forms::folder;

/// Whether a program of the system is there; where it is not, the test says so plainly and its part is not checked.
pub(crate) fn has(program: &str) -> bool {
    let found =
        Command::new(program).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).status();
    if found.is_err() {
        println!("{program} is absent: what it would check is NOT checked here; .ci/run checks it");
    }
    found.is_ok()
}

/// What `sha256sum -c` says of a manifest: its exit code and all its output, warnings included.
pub(crate) fn sha256sum(place: &Path) -> (i32, String) {
    let mut command = Command::new("sha256sum");
    command.args(["-c", "--strict", "--warn", "MANIFEST.sha256"]).current_dir(place).env("LC_ALL", "C");
    let output = command.output().unwrap();
    let text = [output.stdout, output.stderr].concat();
    (output.status.code().unwrap(), String::from_utf8_lossy(&text).into_owned())
}

pub(crate) fn check(place: &Path) -> (String, i32) {
    let (out, err, code) = run(&["custody", "check", place.to_str().unwrap()]);
    (out + &err, code)
}

#[test]
fn a_bundle_holds_all_that_was_read_and_written() {
    let place = folder("bundle");
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus/demonstration");
    let [log, case] = ["clean-life.log", "clean-life.case.toml"].map(|name| corpus.join(name));
    let before =
        [&log, &case].map(|path| (fs::read(path).unwrap(), fs::metadata(path).unwrap().modified().unwrap()));
    let bundle = place.join("bundle");
    let arguments = |to: &Path| {
        ["examine", log.to_str().unwrap(), "--case", case.to_str().unwrap(), "--bundle", to.to_str().unwrap()]
            .map(str::to_owned)
    };
    let make = |to: &Path| run(&arguments(to).each_ref().map(String::as_str));
    let (said, err, code) = make(&bundle);
    assert_eq!((err.as_str(), code), ("", 0));
    assert!(said.contains("MANIFEST.sha256"), "{said}");
    // The originals are as they were, and their copies are the same bytes.
    for (path, (bytes, modified)) in [&log, &case].into_iter().zip(&before) {
        assert_eq!(
            (&fs::read(path).unwrap(), &fs::metadata(path).unwrap().modified().unwrap()),
            (bytes, modified)
        );
        assert_eq!(&fs::read(bundle.join("read").join(path.file_name().unwrap())).unwrap(), bytes);
    }
    let manifest = fs::read_to_string(bundle.join("MANIFEST.sha256")).unwrap();
    for name in [
        "read/clean-life.log",
        "read/clean-life.case.toml",
        "written/document.html",
        "written/report.json",
        "written/timeline.csv",
    ] {
        let digest = Digest::of(&fs::read(bundle.join(name)).unwrap());
        assert!(manifest.contains(&format!("\n{digest}  {name}\n")), "{manifest}");
    }
    // The tree head of the record lines, by the definition of RFC 6962, 2.1, over the lines of the file.
    let text = String::from_utf8(before[0].0.clone()).unwrap();
    let records: Vec<&str> =
        text.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_digit())).collect();
    let mut tree = logassay::source::Tree::new();
    records.iter().for_each(|line| tree.push(line.as_bytes()));
    let stated = format!("; {} record lines, RFC 6962 tree head {}\n", records.len(), tree.head());
    assert!(records.len() > 20 && manifest.contains(&stated), "{manifest}");
    let (said, code) = check(&bundle);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("9 unchanged, 0 changed, 0 missing, 0 new."), "{said}");
    // A second bundle has the same bytes, whatever its folder; the first is not written over.
    assert_eq!(make(&bundle).2, 2);
    assert_eq!(make(&place.join("again")).2, 0);
    assert_eq!(fs::read_to_string(place.join("again/MANIFEST.sha256")).unwrap(), manifest);
    // A demonstration makes no bundle, and leaves no folder.
    let none = place.join("none");
    assert_eq!(run(&["examine", "--bundle", none.to_str().unwrap()]).2, 2);
    assert!(!none.exists());
    if has("sha256sum") {
        let (code, said) = sha256sum(&bundle);
        assert_eq!(code, 0, "{said}");
        assert!(!said.contains("WARNING") && said.lines().all(|line| line.ends_with(": OK")), "{said}");
    }
}

/// A folder with a log and two papers, and its manifest.
fn kept(test: &str) -> std::path::PathBuf {
    let place = folder(test);
    fs::create_dir(place.join("papers")).unwrap();
    fs::write(place.join("unit.log"), "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n").unwrap();
    fs::write(place.join("papers/diary.txt"), "opened at seven").unwrap();
    fs::write(place.join("papers/slip.txt"), "a slip").unwrap();
    let (said, err, code) = run(&["custody", "make", place.to_str().unwrap()]);
    assert_eq!((err.as_str(), code), ("", 0), "{said}");
    place
}

#[test]
fn what_is_changed_missing_and_new_is_named() {
    let place = kept("changed");
    assert_eq!(check(&place).1, 0);
    let line = |word: &str, name: &str| {
        let said = check(&place).0;
        said.lines()
            .find(|line| line.starts_with(word) && line.contains(name))
            .map(str::to_owned)
            .unwrap_or_default()
    };
    // A comment more: the record lines are the same. A record changed: they differ.
    let log = place.join("unit.log");
    fs::write(&log, "unit-event-log 1\n; x\n1201 2031-05-10 07:00:05 enable\n").unwrap();
    assert!(
        line("changed", "unit.log")
            .ends_with("its record lines are the same, and something beside them differs")
    );
    fs::write(&log, "unit-event-log 1\n1201 2031-05-10 07:00:06 enable\n").unwrap();
    assert!(line("changed", "unit.log").ends_with("its record lines differ"));
    fs::remove_file(place.join("papers/diary.txt")).unwrap();
    fs::write(place.join("papers/extra.txt"), "").unwrap();
    let (said, code) = check(&place);
    assert_eq!(code, 1);
    assert!(said.contains("1 unchanged, 1 changed, 1 missing, 1 new."), "{said}");
    assert!(
        !line("missing", "papers/diary.txt").is_empty() && !line("new", "papers/extra.txt").is_empty(),
        "{said}"
    );
    if has("sha256sum") {
        let (code, said) = sha256sum(&place);
        assert_eq!(code, 1);
        assert!(said.contains("unit.log: FAILED") && said.contains("papers/slip.txt: OK"), "{said}");
    }
    // The manifest is never written over.
    assert_eq!(run(&["custody", "make", place.to_str().unwrap()]).2, 2);
}

#[test]
fn no_tree_head_stands_for_lines_that_are_covered() {
    let place = folder("covered");
    fs::write(place.join("unit.log"), "unit-event-log 1\n1201 2031-05-10 07:00:05 vote candidate=7\n")
        .unwrap();
    assert_eq!(run(&["custody", "make", place.to_str().unwrap()]).2, 0);
    assert!(!fs::read_to_string(place.join("MANIFEST.sha256")).unwrap().contains("tree head"));
}

#[cfg(unix)]
#[test]
fn names_and_links_that_mean_ill_do_nothing() {
    use std::os::unix::fs::symlink;
    let place = folder("ill");
    for name in ["new\nline", "back\\slash", "return\r", "# comment", "-c", " two  spaces ", "100%"] {
        fs::write(place.join(name), name).unwrap();
    }
    assert_eq!(run(&["custody", "make", place.to_str().unwrap()]).2, 0);
    let (said, code) = check(&place);
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("new\\u{a}line") && said.contains("return\\u{d}"), "{said}");
    if has("sha256sum") {
        assert_eq!(sha256sum(&place).0, 0, "{}", sha256sum(&place).1);
    }
    // A link in the place of a file is a change, and where it leads to is not looked at.
    fs::remove_file(place.join("100%")).unwrap();
    symlink("/etc/hostname", place.join("100%")).unwrap();
    symlink("/etc", place.join("etc")).unwrap();
    let (said, code) = check(&place);
    assert_eq!(code, 1);
    assert!(
        said.contains("100%: it is a link") && said.contains("6 unchanged, 1 changed, 0 missing, 1 new"),
        "{said}"
    );
    // No manifest lists a link, or a name that acts on a terminal.
    for ill in ["link", "\u{1b}[2J", "a\u{202e}b"] {
        let place = folder("ill-make");
        if ill == "link" {
            symlink("/etc/hostname", place.join(ill)).unwrap();
        } else {
            fs::write(place.join(ill), "x").unwrap();
        }
        let (_, err, code) = run(&["custody", "make", place.to_str().unwrap()]);
        assert_eq!(code, 2, "{ill:?}");
        assert!(!err.contains('\u{1b}') && !err.contains('\u{202e}'), "{err:?}");
        assert!(!place.join("MANIFEST.sha256").exists());
    }
}

#[test]
fn a_manifest_that_leads_elsewhere_is_refused_whole() {
    let place = kept("elsewhere");
    let path = place.join("MANIFEST.sha256");
    let good = fs::read_to_string(&path).unwrap();
    for name in ["/etc/hostname", "../elsewhere/unit.log", "papers/../../x"] {
        fs::write(&path, good.replace("  unit.log\n", &format!("  {name}\n"))).unwrap();
        let (said, code) = check(&place);
        assert_eq!(code, 2, "{said}");
        assert!(said.contains("does not lead down") && !said.contains("unchanged"), "{said}");
    }
    for spoilt in [
        "",
        "no manifest\n",
        &good[..good.len() - 1],
        &good.replace('\n', "\r\n"),
        &good.replace("kept", "held"),
    ] {
        fs::write(&path, spoilt).unwrap();
        assert_eq!(check(&place).1, 2, "{spoilt:?}");
    }
    fs::write(&path, [good.as_bytes(), b"\xff"].concat()).unwrap();
    assert_eq!(check(&place).1, 2);
    fs::remove_file(&path).unwrap();
    assert_eq!(check(&place).1, 2, "no manifest");
    assert_eq!(run(&["custody", "check", place.join("unit.log").to_str().unwrap()]).2, 2, "no folder");
}

#[test]
fn signatures_by_ssh_keygen_are_checked() {
    let place = kept("signed");
    if !has("ssh-keygen") {
        return;
    }
    let keys = folder("signed-keys");
    let keygen = |arguments: &[&str]| {
        let status =
            Command::new("ssh-keygen").args(arguments).stdin(Stdio::null()).stderr(Stdio::null()).output();
        assert!(status.unwrap().status.success(), "{arguments:?}");
    };
    let [key, other, signers, manifest] =
        [keys.join("key"), keys.join("other"), keys.join("signers"), place.join("MANIFEST.sha256")]
            .map(|path| path.to_str().unwrap().to_owned());
    for key in [&key, &other] {
        keygen(&["-q", "-t", "ed25519", "-N", "", "-C", "expert", "-f", key]);
    }
    let public = fs::read_to_string(format!("{key}.pub")).unwrap();
    fs::write(&signers, format!("expert@kestrane {public}")).unwrap();
    let check = |who: &str| {
        let arguments = ["custody", "check", place.to_str().unwrap(), "--signers", &signers, "--signer", who];
        let (out, err, code) = run(&arguments);
        (out + &err, code)
    };
    assert_eq!(check("expert@kestrane").1, 2, "no signature yet");
    let sign = |key: &str, namespace: &str| {
        let _none = fs::remove_file(format!("{manifest}.sig"));
        keygen(&["-q", "-Y", "sign", "-n", namespace, "-f", key, &manifest]);
    };
    sign(&key, "logassay-custody");
    let (said, code) = check("expert@kestrane");
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("The signature of expert@kestrane on the manifest holds."), "{said}");
    assert!(run(&["custody", "check", place.to_str().unwrap()]).0.contains("was not checked"));
    let fails = |what: &str, who: &str| {
        let (said, code) = check(who);
        assert_eq!(code, 1, "{what}: {said}");
        assert!(said.contains("does NOT hold"), "{what}: {said}");
    };
    fails("another name", "somebody@kestrane");
    sign(&other, "logassay-custody");
    fails("another key", "expert@kestrane");
    sign(&key, "file");
    fails("another namespace", "expert@kestrane");
    sign(&key, "logassay-custody");
    let listed = fs::read_to_string(&manifest).unwrap().replace("# tool: ", "# tool:  ");
    fs::write(&manifest, listed).unwrap();
    fails("another manifest", "expert@kestrane");
    // Without the program nothing is taken for checked.
    let output = Command::new(env!("CARGO_BIN_EXE_logassay"))
        .args([
            "custody",
            "check",
            place.to_str().unwrap(),
            "--signers",
            &signers,
            "--signer",
            "expert@kestrane",
        ])
        .env("PATH", keys.as_os_str())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("ssh-keygen cannot be run"));
}

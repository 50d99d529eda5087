//! What is masked in a log can be found from no output by trying: with another word of its kind in its place, every byte that
//! any command writes stays as it is. A manifest alone names length and digest of the log; see README.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use logassay::case::Case;
use logassay::examine;
use logassay::exchange::FORMATS;
use logassay::report::document::{Document, Edition};
use logassay::report::forms::FORMS;
use logassay::report::provenance::settings_digest;
use logassay::report::{Frame, Paper, html};
use logassay::source::Digest;
use logassay::unit::UnitDescription;

use crate::command::fed;
use crate::foreign::TABLE;
use crate::pages::{frame, logs};

/// A log in which `lines` stand between the third enable and its vote.
fn log(head: &str, lines: &str) -> String {
    let body = format!(
        "1201 2031-05-10 06:50:00 link-up bu=BU-50931\n{head}1203 2031-05-10 07:00:05 enable\n1204 2031-05-10 07:00:31 vote\n\
         1205 2031-05-10 07:00:50 enable\n{lines}1207 2031-05-10 07:02:02 enable\n1208 2031-05-10 07:02:20 vote\n\
         1209 2031-05-10 17:00:00 close total=3\n"
    );
    format!("unit-event-log 1\nserial: CU-20417\n{body}")
}

/// The same with a closing line, whose digest is covered with what it is made of.
fn closed(text: &str) -> String {
    let body: Vec<&str> = text.lines().skip(2).filter(|line| line.starts_with('1')).collect();
    let digest = Digest::of((body.join("\n") + "\n").as_bytes());
    format!("{text}end {} sha256:{digest}\n", body.len())
}

/// One kind of masked word: its name, the log around it, the words that may stand there.
type Kind = (&'static str, String, [&'static str; 2]);

fn kinds() -> Vec<Kind> {
    let vote = "1206 2031-05-10 07:01:40 vote";
    let two_units = "1202 2031-05-10 06:50:01 link-up bu=BU-50932\n";
    vec![
        ("a candidate", closed(&log("", &format!("{vote} candidate=$\n"))), ["3", "7"]),
        ("a candidate, of another length", log("", &format!("{vote} candidate=$\n")), ["3", "17"]),
        (
            "a value of a slip",
            log("", &format!("{vote}\n1206 2031-05-10 07:01:41 slip-printed x=$\n")),
            ["3", "7"],
        ),
        ("an unknown word", log("", &format!("{vote}\n1206 2031-05-10 07:01:41 $\n")), ["lotus", "apple"]),
        ("a comment in words", log("", &format!("{vote}\n; voter chose $\n")), ["3", "7"]),
        ("a comment beside a vote", log("", &format!("{vote}\n; $\n")), ["lotus 3", "apple 7"]),
        (
            "a header",
            log("", &format!("{vote}\n")).replace("serial", "choice-of-voter-1: $\nserial"),
            ["3", "7"],
        ),
        ("a line that cannot be read", log("", &format!("1206 vote for $\n{vote}\n")), ["3", "7"]),
        ("one of two ballot units", closed(&log(two_units, &format!("{vote} bu=BU-5093$\n"))), ["1", "2"]),
        (
            "a word of the other log of the file",
            log("", &format!("{vote}\n; voter chose $\n")) + &log("", &format!("{vote}\n")),
            ["3", "7"],
        ),
    ]
}

/// A folder of this test.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("digests").join(name.replace([' ', ','], "-"));
    let _absent = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// All files of a folder and below, with their bytes; manifests left aside.
fn files(folder: &Path, all: &mut BTreeMap<String, Vec<u8>>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, all);
        } else if !path.ends_with("MANIFEST.sha256") && !path.parent().unwrap().ends_with("read") {
            all.insert(path.display().to_string(), fs::read(&path).unwrap());
        }
    }
}

/// Everything that the commands say of a log, and the files that they write, by the command.
fn said(folder: &Path, evidence: &[&str]) -> BTreeMap<String, Vec<u8>> {
    let made = folder.join("made");
    let _absent = fs::remove_dir_all(&made);
    fs::create_dir_all(&made).unwrap();
    let place = |name: &str| made.join(name).display().to_string();
    let own = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<String>>();
    let mut commands: Vec<Vec<String>> = vec![
        own(&["walk"]),
        own(&["walk", "--json"]),
        own(&["walk", "--blank"]),
        own(&["compare"]),
        own(&["compare", "--json"]),
        own(&["states", "--form", "svg"]),
        own(&["case", "new"]),
        own(&["convert", "--try"]),
        own(&["examine", "--bundle", &place("bundle")]),
    ];
    commands.extend(FORMS.iter().map(|form| own(&["examine", "--form", form.id])));
    commands.extend(FORMATS.iter().filter(|f| f.writes.is_some()).map(|f| own(&["convert", "--to", f.id])));
    for edition in ["full", "public"] {
        let [page, set] = ["html", "typst"].map(|form| place(&format!("{edition}-{form}")));
        commands.push(own(&["document", "--edition", edition, "--out", &page]));
        commands.push(own(&[
            "document",
            "--edition",
            edition,
            "--form",
            "typst",
            "--date",
            "2031-06-02",
            "--out",
            &set,
        ]));
    }
    if evidence.len() == 1 {
        commands.push(own(&["fmt", "--out", &place("fmt")]));
    } else {
        commands.retain(|command| command[0] != "compare");
        commands.push(own(&["mapping", "new"]));
    }
    let mut all = BTreeMap::new();
    for command in commands {
        let takes = if command[0] == "mapping" { &evidence[..1] } else { evidence };
        let words: Vec<&str> = command.iter().map(String::as_str).chain(takes.iter().copied()).collect();
        let done = fed(&words, b"");
        // A bundle names its manifest with its digest.
        let out = if words.contains(&"--bundle") { Vec::new() } else { done.stdout };
        all.insert(words[..words.len() - takes.len()].join(" "), [out, done.stderr].concat());
    }
    files(&made, &mut all);
    all
}

/// Holds that no output differs, and that none names the digest of the file.
fn tells_nothing(name: &str, text: &str, words: [&str; 2], file: &str, beside: &[&str]) {
    let folder = folder(name);
    let log = folder.join(file);
    let path = log.display().to_string();
    let evidence: Vec<&str> = [path.as_str()].into_iter().chain(beside.iter().copied()).collect();
    let [one, other] = words.map(|word| {
        // What a digest is made of is closed anew with each word.
        let open = text.split_inclusive('\n').filter(|line| !line.starts_with("end ")).collect::<String>();
        let filled = open.replace('$', word);
        let filled = if open == text { filled } else { closed(&filled) };
        fs::write(&log, &filled).unwrap();
        let all = said(&folder, &evidence);
        let digest = Digest::of(filled.as_bytes()).to_string();
        for (command, bytes) in &all {
            let output: String = String::from_utf8_lossy(bytes).split_whitespace().collect();
            assert!(!output.contains(&digest), "{name}: {command} names the digest of the file");
        }
        all
    });
    assert!(one.len() > 25 && one.keys().eq(other.keys()), "{name}: {:?}", one.keys());
    for (command, bytes) in &one {
        let (one, other) = (String::from_utf8_lossy(bytes), String::from_utf8_lossy(&other[command]));
        let differs = one.lines().zip(other.lines()).find(|(one, other)| one != other);
        assert_eq!(differs, None, "{name}: {command}");
        assert_eq!(one, other, "{name}: {command}");
    }
}

#[test]
fn no_output_of_any_command_follows_from_a_masked_word() {
    for (name, text, words) in kinds() {
        tells_nothing(name, &text, words, "unit.log", &[]);
    }
}

#[test]
fn no_output_follows_from_a_column_that_the_mapping_leaves_out() {
    let folder = folder("mapping");
    let mapping = folder.join("mapping.toml");
    let left_out = TABLE.to_owned() + "[[column]]\nname = \"Key\"\nholds = \"left-out\"\n";
    fs::write(&mapping, left_out).unwrap();
    let table = "No,When,What,Key\n1,2031-05-10 07:00:00,ENABLE,\n2,2031-05-10 07:00:05,VOTE,$\n";
    let beside = ["--mapping", mapping.to_str().unwrap()];
    tells_nothing("a column left out", table, ["3", "7"], "table.csv", &beside);
}

#[test]
fn every_command_is_held_to_it_or_reads_no_log() {
    let help = String::from_utf8(fed(&["--help"], b"").stdout).unwrap();
    let list = help.split_once("Commands:\n").unwrap().1.split_once("\n\n").unwrap().0;
    let words = list.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next());
    let all: BTreeSet<&str> = words.filter(|word| !word.is_empty()).collect();
    let held = ["examine", "document", "walk", "compare", "case", "convert", "fmt", "mapping", "states"];
    // 'custody' names digests, for that is what it is for; the others read no evidence.
    let aside = ["custody", "glossary", "rules", "rehearse", "unit", "help"];
    assert_eq!(all, held.into_iter().chain(aside).collect());
}

#[test]
fn a_log_without_a_masked_word_names_its_digest() {
    let folder = folder("plain");
    let path = folder.join("unit.log");
    let text = log("", "1206 2031-05-10 07:01:40 vote bu=BU-50931\n");
    fs::write(&path, &text).unwrap();
    let digest = Digest::of(text.as_bytes()).to_string();
    let all = said(&folder, &[path.to_str().unwrap()]);
    for command in ["walk", "walk --json", "walk --blank", "compare", "compare --json", "convert --try"] {
        let output = String::from_utf8_lossy(&all[command]);
        assert!(output.contains(&digest), "{command}: {output}");
    }
}

#[test]
fn a_ballot_unit_that_is_part_of_the_choice_is_written_in_no_log() {
    let (name, text, _) = kinds().into_iter().find(|(name, ..)| *name == "one of two ballot units").unwrap();
    let folder = folder(&format!("fmt {name}"));
    let (path, out) = (folder.join("unit.log"), folder.join("out.log"));
    let filled = text.replace('$', "1");
    fs::write(&path, closed(filled.split("end ").next().unwrap())).unwrap();
    let done = fed(&["fmt", path.to_str().unwrap(), "--out", out.to_str().unwrap()], b"");
    let said: String = String::from_utf8(done.stderr).unwrap().split_whitespace().collect();
    assert!(done.status.code() == Some(2) && said.contains("theballotunitofavote"), "{said}");
    assert!(!out.exists());
    let done = fed(&["convert", "--to", "csv", path.to_str().unwrap()], b"");
    let table = String::from_utf8(done.stdout).unwrap();
    assert!(table.contains("bu=[masked]"), "{table}");
    // Written as a log of the standard and read back, it leaves the unit out and says so.
    let cdf = fed(&["convert", "--to", "cdf-json", path.to_str().unwrap()], b"").stdout;
    let cdf = String::from_utf8(cdf).unwrap();
    let left_out = "\\\"line\\\":8,\\\"attributes\\\":{";
    assert!(cdf.contains(left_out), "{cdf}");
    let cdf = cdf.replace(left_out, &format!("{left_out}\\\"bu\\\":\\\"BU-50931\\\""));
    let back = folder.join("back.json");
    fs::write(&back, cdf).unwrap();
    let done = fed(&["convert", back.to_str().unwrap()], b"");
    let again = String::from_utf8(done.stdout).unwrap();
    assert!(again.contains("The key bu of votes is left out") && !again.contains("vote bu="), "{again}");
    assert!(again.contains("length and SHA-256 withheld"), "{again}");
}

/// A case file whose one reading was taken at a second of its half hour.
fn case(second: u32) -> String {
    format!(
        "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"17:00\"\nzone = \"+02:00\"\nsource = \"Notice\"\nby = \"Returning officer\"\n\
         [[reading]]\nrecord = 1204\nreference = \"2031-05-10 07:00:{second:02}\"\nwithin-seconds = 1\nsource = \"List\"\nby = \"Agent\"\n"
    )
}

#[test]
fn the_public_edition_names_no_digest_that_follows_from_times() {
    let text = log("", "1206 2031-05-10 07:01:40 vote\n");
    let (logs, unit) = (logs("log", text.as_bytes()), UnitDescription::kestrane());
    let made = |second: u32, edition: Edition| {
        let papers = case(second);
        let read = Case::read("case", &papers).unwrap_or_else(|error| panic!("{error:?}")).case;
        let paper = Paper::of("papers.toml", papers.as_bytes());
        let digests = [paper.digest, settings_digest(&read), Digest::of(text.as_bytes())];
        let frame = Frame { case_file: Some(paper), ..frame(false) };
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &read, &unit)).collect();
        (html::page(&Document::of(&examinations, &frame, edition)), digests)
    };
    let (full, digests) = made(31, Edition::Full);
    let (public, _) = made(31, Edition::Public);
    for digest in digests {
        assert!(full.contains(&digest.to_string()), "{digest}");
        assert!(!public.contains(&digest.to_string()), "{digest}");
    }
    let length = format!("<td class=\"number\">{}</td>", case(31).len());
    assert!(!public.contains(&length), "{length}");
    assert!(public.contains("times in it could be found by trying"));
    // Nor does its id, or anything else of it, follow from the second of a reading.
    assert_eq!(public, made(32, Edition::Public).0);
    assert_ne!(full, made(32, Edition::Full).0);
    // The id is that of the words: other words have another.
    let other = Document::of(&[], &frame(false), Edition::Public).id;
    assert!(!public.contains(other.as_str()) && !public.contains("LA-id"));
}

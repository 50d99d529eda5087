//! What is named in the wrong place or grows out of bounds: logs in the place of sheets, words in the place of digests, files
//! of nothing but headings.

use std::fs;

use crate::cli::run;
use crate::report_forms::folder;

/// The planted secret; no word of the tool.
const SECRET: &str = "qzxj7";

/// Asserts that a command fails, says why, and repeats nothing of the secret.
fn refuses(arguments: &[&str]) -> String {
    let (out, err, code) = run(arguments);
    assert_eq!(code, 2, "{arguments:?}: {out}{err}");
    assert!(!(out + &err).to_lowercase().contains(SECRET), "{arguments:?}: {err}");
    err
}

#[test]
fn a_log_in_the_place_of_a_sheet_is_not_repeated() {
    let place = folder("misplaced");
    let texts = [
        ("plain.log", "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n1202 2031-05-10 07:00:31 vote $\n"),
        ("headless.log", "serial = $\n1202 2031-05-10 07:00:31 vote by=$\n"),
        ("first.log", "1202 - vote by=$\n"),
        ("export.json", "{\"vote\": \"$\"}\n"),
        ("export.xml", "<vote>$</vote>\n"),
        ("list.json", "[{\"vote\": \"$\"}]\n"),
        ("table.csv", "number;time;event;choice\n1;10.05.2031 07:00;vote;$\n"),
        ("printout.txt", "[10.05.2031 07:00] vote $\n10.05.2031 07:00 $ vote\n"),
        ("pairs.txt", "vote = $\nrow 7 = $\n"),
        ("names.toml", "[voter-$]\nx = 1\n[[poll]]\nbutton-$ = 1\n"),
        ("prose.toml", "[[fact]]\nother = the voter chose $\n[[poll]]\ndate = \"the votername was $\"\n"),
        ("key.toml", "[[poll]]\nplase = \"x\"\n$ = 5\n[unit]\n\"$\" = 1\n'$' = 2\n"),
        ("quoted.toml", "\"Anna $\" = 5\n\"$\" = [1]\n[matter]\n\"the $\" = 5\n\"poll $\" = { x = 1 }\n"),
        ("outside.toml", "$ = \"x\"\nmatter.$ = 5\nunit.\"$\" = 5\n"),
        ("table.toml", "[$]\nx = 1\n[[$s]]\nx = 2\n[matter.$]\nx = 3\n[[poll.$]]\n"),
        (
            "inline.toml",
            "matter = { title = \"x\", $ = 5 }\nunit = {$=1}\npoll = [{ date = 1, \"$\" = 2 }]\n",
        ),
        ("twice.toml", "[matter]\n$ = 1\n$ = 2\n[$]\n[$]\n"),
        ("torn.toml", "[matter]\n$ = \n$\n[$\n$ 5\ntitle $ = 5\n"),
        ("values.toml", "vote = \"$\"\n[[poll]]\nchoice = \"$\"\n"),
    ];
    let log = "corpus/demonstration/clean-life.log";
    for (name, text) in texts {
        let path = place.join(name);
        fs::write(&path, text.replace('$', SECRET)).unwrap();
        let file = path.to_str().unwrap();
        refuses(&["examine", log, "--case", file]);
        refuses(&["examine", log, "--unit", file]);
        refuses(&["examine", log, "--mapping", file]);
        refuses(&["case", "check", file]);
        refuses(&["case", "new", log, "--mapping", file]);
        refuses(&["mapping", "check", file]);
        refuses(&["unit", "--unit", file]);
        refuses(&["compare", log, "--case-after", file]);
        refuses(&["compare", log, "--unit-after", file]);
        refuses(&["document", log, "--case", file, "--out", place.join("x.html").to_str().unwrap()]);
        refuses(&["fmt", log, "--case", file]);
        refuses(&["rehearse", "life", "--unit", file]);
    }
    let said = refuses(&["examine", log, "--case", place.join("plain.log").to_str().unwrap()]);
    assert!(said.contains("this reads like a log") && said.contains("not like a case file"), "{said}");
    // What is no secret is shown, with the same search.
    let plain = place.join("plain.toml");
    fs::write(&plain, format!("[[poll]]\ndate = \"{SECRET}\"\n")).unwrap();
    let (_, err, _) = run(&["case", "check", plain.to_str().unwrap()]);
    assert!(err.contains(SECRET), "{err}");
}

#[test]
fn a_word_in_the_place_of_a_digest_is_seen_and_covered() {
    let whole = fs::read_to_string("corpus/foreign/clean-life.cdf.json").unwrap();
    // The Hash of the last vote but two of the poll.
    let votes: Vec<usize> = whole.match_indices("\"Id\":\"vote\"").map(|(at, _)| at).collect();
    let vote = votes.get(votes.len() - 3).copied().unwrap();
    let begin = whole.get(..vote).unwrap().rfind("\"Hash\":\"").unwrap() + "\"Hash\":\"".len();
    let digest = whole.get(begin..begin + 64).unwrap();
    let place = folder("digest");
    let path = place.join("x.json");
    let name = path.to_str().unwrap();
    let outputs = |text: &str| -> Vec<String> {
        fs::write(&path, text).unwrap();
        [
            &["examine", name, "--width", "300"][..],
            &["examine", name, "--json"],
            &["examine", name, "--form", "csv-timeline"],
            &["walk", name],
            &["convert", name, "--to", "cdf-json"],
            &["convert", name, "--to", "jsonl"],
            &["convert", name, "--to", "log"],
            &["convert", name, "--try"],
        ]
        .into_iter()
        .map(|arguments| {
            let (out, err, _) = run(arguments);
            out + &err
        })
        .collect()
    };
    let telling = outputs(&whole.replacen(digest, &format!("candidate {SECRET}"), 1));
    assert!(telling.iter().all(|output| !output.to_lowercase().contains(SECRET)), "{telling:#?}");
    let answer = format!("{}\n", telling.get(1).unwrap());
    let found = answer.split("\"rule\": \"choice-disclosed\"").nth(1).unwrap();
    assert!(found.get(..400).unwrap().contains("not kept"), "{}", found.get(..400).unwrap());
    // A digest beside a vote, with which a value of the line could be found by trying, is covered too.
    for output in outputs(&whole).iter().take(4) {
        assert!(!output.contains(digest), "{output}");
    }
    // That of a record which no vote is near is shown.
    let far = whole.find("\"Id\":\"power-on\"").unwrap();
    let begin = whole.get(..far).unwrap().rfind("\"Hash\":\"").unwrap() + "\"Hash\":\"".len();
    let digest = whole.get(begin..begin + 64).unwrap();
    assert!(outputs(&whole).iter().any(|output| output.contains(digest)));
}

#[test]
fn a_comment_far_from_votes_is_covered_where_a_compound_names_a_voter() {
    let text = fs::read_to_string("corpus/demonstration/clean-life.log").unwrap();
    let place = folder("compound");
    let path = place.join("x.log");
    for (said, shown) in [("votername $", false), ("$ buttonpressed", false), ("namely $", true)] {
        let comment = format!("\n; {}\n1 2031-05-03", said.replace('$', SECRET));
        fs::write(&path, text.replacen("\n1 2031-05-03", &comment, 1)).unwrap();
        let out = run(&["examine", path.to_str().unwrap(), "--json"]).0;
        assert_eq!(out.contains(SECRET), shown, "{said}");
    }
}

#[test]
fn a_file_of_nothing_but_headings_makes_a_report_of_limited_size() {
    let path = folder("headings").join("x.log");
    fs::write(&path, "unit-event-log 1\n".repeat(4000)).unwrap();
    let (out, err, code) = run(&["examine", path.to_str().unwrap(), "--json"]);
    assert_eq!((err.as_str(), code), ("", 0));
    assert!(out.len() < 32 << 20, "{} bytes", out.len());
    // What was not read is said.
    assert!(out.contains("\"not_read\": 3750"), "{}", out.get(out.len() - 3000..).unwrap());
}

#[test]
fn an_unknown_key_is_placed_and_repeated_only_where_it_is_a_slip() {
    let place = folder("unknown-key");
    let path = place.join("x.toml");
    let name = path.to_str().unwrap();
    // The key that is written, whether it may be said, and the key that the error asks about.
    for (key, is_said, meant) in [
        ("plase", true, Some("place")),
        ("palce", true, Some("place")),
        ("closse", true, Some("closes")),
        ("lotus", false, None),
        ("anna-smith", false, None),
        ("candidate-7", false, None),
        ("xy", false, Some("by")),
        ("zona", true, Some("zone")),
        ("zone7", false, Some("zone")),
        ("voter-name", true, None),
    ] {
        fs::write(&path, format!("[[poll]]\nzone = \"+02:00\"\n  {key} = 5\n")).unwrap();
        let (out, err, code) = run(&["case", "check", name]);
        let said = (out + &err).split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(code, 2, "{said}");
        assert!(said.contains("x.toml:3:3"), "{key}: {said}");
        assert!(
            said.contains("is no key of [[poll]]") && said.contains("its keys are place"),
            "{key}: {said}"
        );
        assert_eq!(said.contains(key), is_said, "{key}: {said}");
        assert_eq!(said.contains("the word is not repeated"), !is_said, "{key}: {said}");
        match meant {
            Some(meant) => assert!(said.contains(&format!("did you mean `{meant}`?")), "{key}: {said}"),
            None => assert!(!said.contains("did you mean"), "{key}: {said}"),
        }
    }
}

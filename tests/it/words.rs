//! Sentences of the reports that an opposing reader found false or misleading: what is printed must hold for every log.

use crate::cli::{run, run_with};

/// A text with every run of blanks as one.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn demonstration(name: &str) -> String {
    flat(&run(&["examine", "--demonstration", name, "--width", "200"]).0)
}

/// The log and the papers of a planted deviation, examined.
fn planted(name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("words").join(name).join("new");
    let _none = std::fs::remove_dir_all(&folder);
    let out = folder.to_str().unwrap();
    // The folder is made.
    assert_eq!(run(&["rehearse", "fault", name, "--seed", "3", "--out", out]).2, 0);
    let path = |ending: &str| folder.join(format!("{name}-3.{ending}")).to_str().unwrap().to_owned();
    flat(&run(&["examine", &path("log"), "--case", &path("case.toml"), "--width", "200"]).0)
}

#[test]
fn what_was_not_looked_at_is_not_said_to_be_absent() {
    let text = demonstration("disputed-unit");
    for false_words in [
        "no closes of the poll in this log",
        "no readings of the clock in this log",
        "no votes of the poll in this log",
        "no counts of slips in this log",
        "not examined in this version",
    ] {
        assert!(!text.contains(false_words), "{false_words}");
    }
    assert!(text.contains("not looked at: the case file does not state how many paper slips were counted"));
    assert!(!demonstration("busy-unit").contains("no records in this log"));
}

#[test]
fn an_answer_that_cannot_be_told_says_how_many_were_in_order_and_what_was_left_out() {
    let text = demonstration("disputed-unit");
    assert!(text.contains("in order: 1 of 1 seen"), "{text}");
    assert!(text.contains("1 in a conflict left out (line 82)"), "{text}");
}

#[test]
fn a_paper_is_named_by_its_line_and_not_by_a_record() {
    let text = demonstration("disputed-unit");
    assert!(text.contains("registers: line 68 of the case file"), "{text}");
    assert!(!text.contains("87 * 292"), "a night-time total is not what the register is about");
}

#[test]
fn a_conflict_is_named_where_it_is_the_reason() {
    let text = demonstration("disputed-unit");
    assert!(
        text.contains(
            "cannot be told: it lies in conflict 2, whose records contradict each other, and none of these is used."
        ),
        "{text}"
    );
    assert!(text.contains("No reading is carried across the gap between lines 57 and 58."), "{text}");
    assert!(text.contains("votes in memory behind records that contradict each other"), "{text}");
    assert!(text.contains("Votes in a conflict, not placed: 1."), "{text}");
}

/// What the ends of the chosen records hang on stands once, with a number that the brackets name.
#[test]
fn what_an_end_hangs_on_is_told_once_and_by_number() {
    let text = demonstration("disputed-unit");
    let premise =
        "the clock kept within 100 parts per million (Maker's data sheet of the unit's clock, Registrar).";
    assert_eq!(text.matches(premise).count(), 1, "{text}");
    assert!(text.contains(&format!("3. {premise}")), "{text}");
    let row = "Record 299 (2031-05-26 15:19:24) was made from 2031-05-26 15:16:45 to 2031-05-26 15:23:23 (both if 2, 3, 6, 7).";
    assert!(text.contains(row), "{text}");
    assert!(text.contains("6. the reading on line 89 of the case file (the display read"), "{text}");
}

#[test]
fn nothing_is_said_of_a_case_file_that_was_not_read() {
    let log = concat!(env!("CARGO_MANIFEST_DIR"), "/corpus/clean/hours-without-a-reading.log");
    let text = flat(&run(&["examine", log, "--width", "200"]).0);
    assert!(text.contains("No paper that was read states a reading of the unit's clock"), "{text}");
    assert!(text.contains("No paper that was read states a declared number of votes."), "{text}");
    assert!(!text.contains("The case file states no"), "{text}");
}

#[test]
fn the_walk_tells_a_finding_by_its_own_title() {
    let text = flat(&run(&["walk", "--demonstration", "disputed-unit", "--width", "200"]).0);
    assert!(
        text.contains("finding 8 Two papers do not agree: votes declared 29, voters signed 28."),
        "{text}"
    );
}

#[test]
fn a_request_that_serves_nearly_all_rules_counts_them() {
    let text = demonstration("disputed-unit");
    let said = "It serves: 34 of the 45 rules for which something is asked, all except closed-late, ";
    assert!(text.contains(said) && text.contains(" and vote-too-soon."), "{text}");
}

#[test]
fn numbers_that_begin_anew_in_a_file_whose_times_rise_are_no_hole_for_certain() {
    let text = planted("numbers-begin-anew");
    assert!(!text.contains("The log speaks from"), "{text}");
    assert!(text.contains("in the order of the file they do not"), "{text}");
    assert!(text.contains("if the counter started again, they do not follow each other"), "{text}");
}

#[test]
fn turned_dates_are_told_by_their_ends_and_by_their_reading() {
    let text = planted("dates-turned");
    assert!(!text.contains("The log speaks from"), "{text}");
    assert!(text.contains("The earliest displayed time is"), "{text}");
    assert!(text.contains("The exporter writes year-day-month"), "{text}");
    assert!(text.contains("Votes that nothing places on the line: 21."), "{text}");
    assert!(!text.contains("log       ......"), "nothing says that nothing was recorded: {text}");
    assert!(!text.contains("month-out-of-range (48 times)"), "{text}");
    assert!(!text.contains("line that show "), "{text}");
}

#[test]
fn the_first_enable_that_the_ring_still_holds_is_no_opening() {
    assert!(!demonstration("busy-unit").contains("openings of a poll: 1, at"));
}

#[test]
fn the_pace_has_its_ends() {
    let text = demonstration("clean-life");
    for words in [
        "the hour of opening is not set beside a display",
        "to the first vote that this log holds",
        "from the last vote that this log holds",
    ] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn standard_output_is_no_name_of_a_file() {
    for arguments in [
        &["rehearse", "fault", "enable-left-out", "--seed", "3", "--out", "-"][..],
        &["rehearse", "life", "--seed", "3", "--out", "-"],
        &["rehearse", "class", "--seed", "3", "--out", "-"],
    ] {
        let (_, err, code) = run_with(arguments, b"");
        assert_eq!(code, 2, "{arguments:?}");
        assert!(err.contains("'-' is no name for a file"), "{arguments:?}: {err}");
    }
    assert!(!std::path::Path::new("-").exists());
}

#[test]
fn a_case_that_names_another_unit_is_not_said_to_name_none() {
    let log = crate::corpus::folder("clean").join("replaced-unit-old.log");
    let case = log.with_extension("case.toml");
    let text = flat(&run(&["examine", log.to_str().unwrap(), "--case", case.to_str().unwrap()]).0);
    assert!(text.contains("voters who voted on the other unit of the poll"), "{text}");
    assert!(!text.contains("the case file names no other"), "{text}");
}

#[test]
fn a_number_on_paper_that_two_equations_use_is_one_row() {
    let log = crate::corpus::folder("faulted").join("lapses-differ.log");
    let paper = "source = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n";
    let case = std::fs::read_to_string(log.with_extension("case.toml")).unwrap()
        + &format!("\n[[count]]\nof = \"register\"\nvalue = 40\n{paper}");
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("words-register.case.toml");
    std::fs::write(&file, case).unwrap();
    let (out, err, _) =
        run(&["examine", log.to_str().unwrap(), "--case", file.to_str().unwrap(), "--width", "200"]);
    let row = |line: &&str| line.contains("  voters who left after the enable  ");
    assert_eq!(out.lines().filter(row).count(), 1, "{err}{out}");
}

/// The case file of the disputed unit with every number of it that is printed before a noun as one.
fn ones() -> String {
    let case =
        std::fs::read_to_string(crate::corpus::folder("demonstration").join("disputed-unit.case.toml"));
    let case = case.unwrap();
    let other =
        ["offset-tolerance-seconds", "rate-tolerance-ppm", "close-within-minutes", "seconds-per-vote"];
    let other = other.map(|key| format!("\n[[setting]]\n{key} = 1\nsource = \"Rule\"\nby = \"Registrar\"\n"));
    ["mock-votes-least = 4", "drift-ppm = 100", "queue-minutes = 30", "candidates = 5", "within-seconds = 60"]
        .iter()
        .fold(case, |case, row| {
            assert!(case.contains(row), "{row}");
            case.replace(row, &format!("{} = 1", row.split(' ').next().unwrap()))
        })
        + &other.concat()
}

#[test]
fn a_number_agrees_with_its_noun() {
    let nouns = "minutes hours seconds records votes days lines readings rules findings places times tokens slips voters \
                 papers candidates enables numbers occasions intervals parts logs units comments reasons versions requests";
    let many: Vec<&str> = nouns.split_whitespace().collect();
    let mut texts: Vec<String> =
        ["disputed-unit", "clean-life", "busy-unit"].iter().map(|name| demonstration(name)).collect();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("ones");
    std::fs::create_dir_all(&folder).unwrap();
    let case = folder.join("case.toml");
    std::fs::write(&case, ones()).unwrap();
    let log = crate::corpus::folder("demonstration").join("disputed-unit.log");
    let (log, case) = (log.to_str().unwrap(), case.to_str().unwrap());
    texts.push(flat(&run(&["examine", log, "--case", case, "--width", "200"]).0));
    for wanted in [
        "1 part per million",
        "until 1 minute after",
        "at least 1 vote,",
        "within 1 minute of",
        "1 candidate stands",
    ] {
        assert!(texts.last().unwrap().contains(wanted), "{wanted}: {}", texts.last().unwrap());
    }
    for text in texts {
        let words: Vec<&str> = text.split(' ').collect();
        for pair in words.windows(2) {
            let noun = pair[1].trim_end_matches(|c: char| !c.is_alphabetic());
            assert!(pair[0] != "1" || !many.contains(&noun), "{pair:?}");
        }
    }
}

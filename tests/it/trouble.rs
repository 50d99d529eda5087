//! What is said when a case file is wrong: place, message, right form, and nothing that acts on a terminal.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::string_slice,
    clippy::format_collect,
    clippy::too_many_lines,
    reason = "a test may stop"
)]

use logassay::case::Case;
use logassay::sheet::{LARGEST, MOST_ROWS, MOST_TROUBLES, Trouble, explain};

const SAID: &str = "source = \"Diary\"\nby = \"Officer\"\n";

fn troubles(text: &str) -> Vec<Trouble> {
    Case::read("x.case.toml", text).err().unwrap_or_default()
}

/// Each trouble as `line:column message | help`.
fn told(text: &str) -> Vec<String> {
    troubles(text).iter().map(|t| format!("{}:{} {} | {}", t.line, t.column, t.message, t.help)).collect()
}

#[test]
fn each_kind_of_trouble_has_its_place_its_message_and_the_right_form() {
    let row = |body: &str| format!("{body}\n{SAID}");
    let cases: Vec<(String, &str)> = vec![
        (
            row("[[pol]]\nx = 1"),
            "1:3 `pol` is no table of a case file | did you mean `poll`? its tables are [matter], [[poll]],",
        ),
        (
            "place = \"x\"\n".to_owned(),
            "1:1 `place` stands outside every table | write it below the header of its table; `place` is a key of [[poll]]",
        ),
        (
            row("[poll]\nplace = \"x\""),
            "1:1 `poll` may stand more than once and has two brackets | write [[poll]]",
        ),
        (
            "[[matter]]\ntitle = \"x\"\n".to_owned(),
            "1:1 `matter` stands once and has one bracket | write [matter]",
        ),
        (
            "weather = \"x\"\n".to_owned(),
            "1:1 the word here stands outside every table | its tables are [matter], [[poll]],",
        ),
        ("poll = 5\n".to_owned(), "1:1 `poll` is a table, not a value | write [[poll]] on a line of its own"),
        ("poll = [5]\n".to_owned(), "1:9 `poll` is a table, not a value | write [[poll]]"),
        (
            row("[[poll]]\nplase = \"x\"\nzone = \"+02:00\""),
            "2:1 `plase` is no key of [[poll]] | did you mean `place`? its keys are place, date,",
        ),
        (
            row("[[poll]]\nweather = \"x\"\nzone = \"+02:00\""),
            "2:1 the word here is no key of [[poll]] | its keys are place, date,",
        ),
        (
            row("[[poll]]\nplace = 5"),
            "2:9 the value of `place` is a whole number, not text | write text between quotes; for example place = ",
        ),
        (row("[[poll]]\nplace = \"  \""), "2:9 the value of `place` is empty | write text between quotes"),
        (
            row("[[poll]]\ndate = \"2031-02-29\""),
            "2:8 the value of `date` is not a day of the calendar | write a day, \"YYYY-MM-DD\"; for example date = \"2031-05-10\"",
        ),
        (
            row("[[poll]]\nopens = \"7:00\""),
            "2:9 the value of `opens` is not a time of day | write a time of day from 00:00 to 23:59:59,",
        ),
        (
            row("[[poll]]\nzone = \"Z\""),
            "2:8 the value of `zone` is not a zone: neither an offset from UTC nor a name of the zone database | write an offset from UTC from -12:00 to +14:00,",
        ),
        (
            row("[[poll]]\nzone = \"etc/gmt-2\""),
            "2:8 the value of `zone` is not a zone: neither an offset from UTC nor a name of the zone database | write",
        ),
        (
            row("[[poll]]\ndate = \"2024-03-31\"\nopens = \"02:30\"\nzone = \"Europe/Berlin\""),
            "3:9 `opens` is an hour that did not exist in this zone: the clocks went from 02:00 to 03:00 | write 02:00 or",
        ),
        (
            row("[[poll]]\nzone = \"-00:00\""),
            "2:8 the value of `zone` is not a zone: neither an offset from UTC nor a name of the zone database | write",
        ),
        (
            row("[[poll]]\nopens = \"18:00\"\ncloses = \"07:00\""),
            "3:10 `closes` is not later than `opens` | both are hours of the same day",
        ),
        (
            row("[[poll]]"),
            "1:1 this [[poll]] states nothing | give at least one of place, date, opens, closes, zone",
        ),
        (
            row("[[unit]]\nrole = \"controll\""),
            "2:8 the value of `role` is not on its list; did you mean \"control\"? | write one of \"control\", \"ballot\", \"paper-trail\"",
        ),
        (
            row("[[unit]]\ncandidates = 0"),
            "2:14 the value of `candidates` is less than 1 | write a whole number from 1 to 100000,",
        ),
        (row("[[unit]]\ncandidates = -3"), "2:14 the value of `candidates` is less than 0 | write"),
        (
            row("[[unit]]\ncandidates = \"5\""),
            "2:14 the value of `candidates` is text, not a whole number | write",
        ),
        (
            row("[[unit]]\ncandidates = 99999999999999999999"),
            "2:14 the value of `candidates` is too large a number | write",
        ),
        (
            row("[[unit]]\nballot-units = []"),
            "2:16 the value of `ballot-units` is an empty list | write a list of texts",
        ),
        (
            row("[[unit]]\nballot-units = [\"B\", 5]"),
            "2:16 the value of `ballot-units` is a list whose item 2 is a whole number, not text | write",
        ),
        (
            row("[[phase]]\nwas = \"poll\"\nrecords = \"20-5\""),
            "3:11 the value of `records` has its larger number first | write two whole numbers from 0,",
        ),
        (
            row("[[phase]]\nwas = \"poll\"\nrecords = \"5\""),
            "3:11 the value of `records` is not two whole numbers with a hyphen between | write",
        ),
        (
            row("[[phase]]\nwas = \"poll\"\nlines = \"0-5\""),
            "3:9 the value of `lines` begins before 1 | write two whole numbers from 1,",
        ),
        (
            row("[[phase]]\nwas = \"poll\""),
            "1:1 `records` or `lines` is missing in this [[phase]] | give either `records` or `lines`",
        ),
        (
            row("[[phase]]\nwas = \"poll\"\nrecords = \"1-2\"\nlines = \"1-2\""),
            "4:9 `records` and `lines` stand in one [[phase]] | give either",
        ),
        (
            row("[[phase]]\nrecords = \"1-2\""),
            "1:1 `was` is missing in this [[phase]] | add a line such as was = \"mock-poll\": What it was.",
        ),
        (
            row("[[end]]\nclosed = \"both\""),
            "2:10 the value of `closed` is not on its list | write one of \"front\", \"back\"",
        ),
        (
            row("[[fact]]\nwhat = \"unit-replaced\"\nother = \"x\""),
            "3:9 `what` and `other` stand in one [[fact]] | give either",
        ),
        (
            row("[[count]]\nof = \"slips\""),
            "1:1 the number is missing in this [[count]] | give either `value`, or `least` and `most`",
        ),
        (
            row("[[count]]\nof = \"slips\"\nleast = 5"),
            "3:9 `least` stands without `most` | give `least` and `most` together",
        ),
        (
            row("[[count]]\nof = \"slips\"\nleast = 5\nmost = 4"),
            "4:8 `most` is less than `least` | write the smaller number as `least`",
        ),
        (
            row("[[count]]\nof = \"slips\"\nvalue = 1\nleast = 5\nmost = 6"),
            "4:9 `value` and an interval stand in one [[count]] | give either",
        ),
        (
            row("[[storage]]\nnone = false"),
            "2:8 the value of `none` is false, which states nothing | write true, without quotes; leave the key out",
        ),
        (
            row("[[storage]]\nnone = true\ntext = \"x\""),
            "3:8 `text` stands beside `none` | a row states either that there was none,",
        ),
        (
            row("[[storage]]\nfrom = \"2031-05-10\""),
            "2:8 the value of `from` is not a day of the calendar with a time of day | write a day and a time of day,",
        ),
        (
            row("[[storage]]\nfrom = \"2031-05-11 07:00\"\nto = \"2031-05-11 06:59:59\""),
            "3:6 `to` is earlier than `from` | write the earlier moment",
        ),
        (
            row("[[setting]]\nrule = \"a\""),
            "2:8 `rule` stands without `clause` | give `rule` and `clause` together",
        ),
        (
            row("[[setting]]\nrule = \"A b\"\nclause = \"x\""),
            "2:8 the value of `rule` is not the id of a rule | write the id of a rule between quotes",
        ),
        (
            "[[poll]]\nplace = \"x\"\nby = \"O\"\n".to_owned(),
            "1:1 `source` is missing in this [[poll]] | add a line such as source = \"Notice of poll, page 1\"",
        ),
        ("[matter]\ntitle = x\n".to_owned(), "2:9 not TOML: string values must be quoted"),
        (
            "[matter]\ntitle = \"x\"\ntitle = \"y\"\n".to_owned(),
            "3:1 not TOML: duplicate key | a key stands once in its table; a table that may stand more than once has two brackets: [[poll]]",
        ),
        (
            "[matter\n".to_owned(),
            "1:8 not TOML: unclosed table, expected `]` | a line is a header, [table] or [[table]]",
        ),
    ];
    for (text, expected) in cases {
        let told = told(&text);
        assert_eq!(told.len(), 1, "{text}\n{told:#?}");
        assert!(told[0].starts_with(expected), "{text}\n     got {}\nexpected {expected}", told[0]);
    }
}

#[test]
fn all_troubles_of_a_file_are_told_in_its_order() {
    let told = told(
        "[matter]\ntilte = \"x\"\n[[poll]]\ndate = \"yesterday\"\nby = 5\n[[unit]]\ncandidates = 0\nsource = \"a\"\nby = \"b\"\n[[what]]\n",
    );
    let heads: Vec<&str> = told.iter().map(|line| line.split(" | ").next().unwrap()).collect();
    assert_eq!(
        heads,
        [
            "2:1 `tilte` is no key of [matter]",
            "3:1 `source` is missing in this [[poll]]",
            "4:8 the value of `date` is not a day of the calendar",
            "5:6 the value of `by` is a whole number, not text",
            "7:14 the value of `candidates` is less than 1",
            "10:3 `what` is no table of a case file",
        ]
    );
}

#[test]
fn where_the_text_is_no_toml_the_rest_is_still_read_but_nothing_is_said_to_be_missing() {
    let told = told("[[poll]]\nsource = Diary\nby = \"O\"\nzone = \"Z\"\n[[unit]]\nserial = \n");
    let places: Vec<&str> = told.iter().map(|line| line.split(' ').next().unwrap()).collect();
    assert_eq!(places, ["2:10", "4:8", "6:10"], "{told:#?}");
}

#[test]
fn columns_count_characters_and_lines_may_end_as_on_other_systems() {
    let told = told("[matter]\r\ntitle = \"é\"\r\ncourt = { e = 5 }\r\n");
    assert!(told[0].starts_with("3:9 the value of `court` is a table, not text"), "{told:#?}");
    let found = troubles("matter = { title = \"éé\", x = 1 }\n");
    assert_eq!((found[0].line, found[0].column, found[0].span.start), (1, 26, 27));
}

#[test]
fn what_acts_on_a_terminal_is_inert_in_what_is_told() {
    let name = "a\u{1b}[31m\u{202e}.toml";
    let texts = [
        "[matter]\n\"ti\\u001b[2Jt\u{202e}le\" = \"x\"\n",
        "[[poll]]\nzone = \"\u{202e}\u{200b}\\u001b]0;x\\u0007\"\nsource = \"a\"\nby = \"b\"\n",
        "\"\u{2066}x\" = 5\n",
        "[matter]\ntitle = \u{1b}[31m\n",
        "[matter]\ntitle = 5 # \u{9b}31m \u{202e}\n",
        "[matter]\n\ttitle = 5\n",
    ];
    for text in texts {
        let found = Case::read(name, text).unwrap_err();
        for trouble in &found {
            let told = format!("{}\n{}: {trouble}", trouble.render(100, false), trouble.place());
            let active = |c: char| c != '\n' && (c.is_control() || ('\u{200b}'..='\u{206f}').contains(&c));
            assert!(!told.contains(active), "{told:?}");
            assert!(told.contains("a\\u{1b}[31m\\u{202e}.toml"), "{told}");
        }
    }
    let found = Case::read(name, texts[0]).unwrap_err();
    assert!(found.iter().any(|t| t.message.as_str() == "the word here is no key of [matter]"), "{found:#?}");
}

#[test]
fn a_rendered_trouble_shows_its_line_its_place_and_the_right_form() {
    let long = format!("[[poll]]\nplace = \"{}\"\nopens = \"7:00\"\n{SAID}", "x".repeat(50));
    let page = explain(&troubles(&long), 100, false);
    for part in ["x.case.toml:3:9", "3 │ opens = \"7:00\"", "help: write a time of day", "╰── here"] {
        assert!(page.contains(part), "{part}\n{page}");
    }
    let wide = format!(
        "matter = {{ title = \"{}\", court = 5, number = \"{}\" }}\n",
        "ü".repeat(300),
        "y".repeat(300)
    );
    let page = explain(&troubles(&wide), 200, false);
    assert!(page.contains("x.case.toml:1:332"), "{page}");
    assert!(page.lines().all(|line| line.chars().count() < 140), "{page}");
}

#[test]
fn size_rows_and_troubles_are_limited() {
    let too_long = format!("#{}\n", "x".repeat(LARGEST));
    assert!(told(&too_long)[0].starts_with("1:1 the file has 1048578 bytes; at most 1048576 are read"));
    let row = format!("[[fact]]\nother = \"x\"\n{SAID}");
    assert_eq!(Case::read("x", &row.repeat(MOST_ROWS)).unwrap().case.facts.len(), MOST_ROWS);
    let told_of = told(&row.repeat(MOST_ROWS + 1));
    assert!(
        told_of[0].starts_with("8001:1 this is row 2001 of the file; at most 2000 are read"),
        "{told_of:?}"
    );
    let many = "[[end]]\n".repeat(MOST_TROUBLES + 1);
    let told_of = told(&many);
    assert_eq!(told_of.len(), MOST_TROUBLES + 1);
    assert!(
        told_of.last().unwrap().contains("203 more troubles begin here and are not listed"),
        "{told_of:#?}"
    );
}

#[test]
fn bytes_that_are_no_text_are_placed() {
    let found = Case::read_bytes("x", b"[matter]\ntitle = \"\xff\"\n").unwrap_err();
    assert_eq!((found[0].line, found[0].column), (2, 10));
    assert_eq!(found[0].message.as_str(), "the bytes from here on are not UTF-8");
}

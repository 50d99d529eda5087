//! The case file: what it states, and that no text stops its reader.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::string_slice,
    clippy::format_collect,
    clippy::too_many_lines,
    reason = "a test may stop"
)]

use logassay::case::{Case, CountOf, End, Fact};
use logassay::sheet::explain;
use proptest::prelude::*;

const SAID: &str = "source = \"Diary\"\nby = \"Officer\"\n";

fn case(text: &str) -> Case {
    Case::read("x.case.toml", text)
        .unwrap_or_else(|troubles| panic!("{}", explain(&troubles, 100, false)))
        .case
}

#[test]
fn an_empty_file_states_nothing() {
    for text in ["", "\n\n", "# only a comment\n", "[matter]\n", "\u{feff}"] {
        assert_eq!(case(text), Case::default(), "{text:?}");
    }
}

#[test]
fn every_table_is_read_into_its_place() {
    let case = case(&format!(
        "[matter]\ntitle = \"T\"\nrequested-by = \"Court\"\n\
         [[poll]]\nplace = \"Station 12\"\ndate = 2031-05-10\nopens = \"07:00\"\ncloses = 18:00:00\nzone = \"+02:00\"\n{SAID}\
         [[unit]]\nserial = \"CU-20417\"\ncandidates = 5\nballot-units = [\"BU-1\", \"BU-2\"]\n{SAID}\
         [[unit]]\nsoftware = \"4.2\"\nrole = \"control\"\ndescription = \"k.toml\"\n{SAID}\
         [[phase]]\nwas = \"mock-poll\"\nrecords = \"5-20\"\n{SAID}\
         [[phase]]\nwas = \"poll\"\nlines = \"12-40\"\n{SAID}\
         [[end]]\nclosed = \"front\"\n{SAID}\
         [[fact]]\nwhat = \"unit-replaced\"\n{SAID}\
         [[fact]]\nother = \"It rained.\"\n{SAID}\
         [[count]]\nof = \"declared\"\nvalue = 412\n{SAID}\
         [[count]]\nof = \"slips\"\nleast = 410\nmost = 414\n{SAID}\
         [[interruption]]\nfrom = \"2031-05-10 11:20\"\nto = 2031-05-10T11:45:30\ntext = \"Power\"\n{SAID}\
         [[storage]]\nnone = true\n{SAID}\
         [[custody]]\ntext = \"Registry\"\n{SAID}\
         [[setting]]\nmock-votes-least = 50\nrule = \"vote-after-close\"\nclause = \"C\"\n{SAID}"
    ));
    assert_eq!(case.matter.requested_by.as_deref(), Some("Court"));
    let poll = &case.polls[0];
    assert_eq!(
        (poll.value.date.as_deref(), poll.value.closes.as_deref()),
        (Some("2031-05-10"), Some("18:00:00"))
    );
    assert_eq!(
        (poll.basis.source.as_str(), poll.basis.by.as_str(), poll.basis.line),
        ("Diary", "Officer", 4)
    );
    assert_eq!((poll.basis.span.start, poll.basis.span.len()), (44, 8));
    assert_eq!(case.unit.serial[0].value, "CU-20417");
    assert_eq!(case.unit.candidates[0].value, 5);
    assert_eq!(case.unit.ballot_units[0].value, ["BU-1", "BU-2"]);
    assert_eq!((case.unit.software[0].value.as_str(), case.unit.role[0].value.as_str()), ("4.2", "control"));
    assert_eq!(case.unit.description[0].value, "k.toml");
    assert_eq!(case.phases[0].value.said(), "records 5 to 20 were the mock poll");
    assert_eq!(case.phases[1].value.said(), "lines 12 to 40 were the poll");
    assert_eq!(case.ends[0].value, End::Front);
    assert_eq!(case.facts[0].value, Fact::UnitReplaced);
    assert_eq!(case.facts[1].value, Fact::Other("It rained.".to_owned()));
    let counts: Vec<_> =
        case.counts.iter().map(|row| (row.value.what, row.value.least, row.value.most)).collect();
    assert_eq!(counts, [(CountOf::Declared, 412, 412), (CountOf::Slips, 410, 414)]);
    assert_eq!(case.interruptions.stated[0].value.to.as_deref(), Some("2031-05-10 11:45:30"));
    assert_eq!((case.storage.stated.len(), case.storage.none.len()), (0, 1));
    assert_eq!(case.custody.stated[0].value.text.as_deref(), Some("Registry"));
    assert_eq!(case.settings.mock_votes_least[0].value, 50);
    assert_eq!(case.settings.clauses[0].value, ("vote-after-close".to_owned(), "C".to_owned()));
}

#[test]
fn none_may_stand_beside_what_others_state() {
    let case =
        case(&format!("[[interruption]]\nnone = true\n{SAID}[[interruption]]\ntext = \"Rain\"\n{SAID}"));
    assert_eq!((case.interruptions.none.len(), case.interruptions.stated.len()), (1, 1));
}

#[test]
fn hostile_nesting_is_refused_and_not_followed() {
    for text in [
        "a.".repeat(200_000) + "a = 1",
        "x = ".to_owned() + &"[".repeat(500_000),
        format!("[{}a]", "a.".repeat(200_000)),
    ] {
        assert!(Case::read("x", &text).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_stops_the_reader(text in "\\PC*|[\\[\\]a-z=\"'\\n #.{},0-9\\\\:-]{0,120}") {
        read_and_render(&text);
    }

    #[test]
    fn no_mixture_of_right_and_wrong_lines_stops_the_reader(
        lines in proptest::collection::vec(proptest::sample::select(LINES), 0..40),
    ) {
        read_and_render(&lines.join("\n"));
    }
}

const LINES: &[&str] = &[
    "[matter]",
    "title = \"x\"",
    "[[poll]]",
    "[poll]",
    "[[poll.x]]",
    "[poll.y]",
    "date = \"2031-05-10\"",
    "opens = 07:00",
    "closes = \"18:00\"",
    "source = \"s\"",
    "by = \"b\"",
    "by = \"c\"",
    "[[unit]]",
    "candidates = 5",
    "candidates = 6",
    "[[phase]]",
    "was = \"poll\"",
    "was = \"count\"",
    "records = \"1-9\"",
    "lines = \"1-9\"",
    "[[count]]",
    "of = \"slips\"",
    "value = 4",
    "value = 5",
    "[[storage]]",
    "none = true",
    "text = \"t\"",
    "x.y.z = 1",
    "= 5",
    "\"\"\"",
    "[",
    "a = [1,",
    "k 3",
    "source.x = 1",
    "unit = [{ candidates = 3, source = \"s\", by = \"b\" }]",
    "\u{1b}",
    "é = \"é",
];

/// Reads a text; what is told lies within it and can be rendered, and what is read has a version.
fn read_and_render(text: &str) {
    match Case::read("x", text) {
        Ok(file) => assert!(!file.case.versions().versions.is_empty()),
        Err(troubles) => {
            assert!(!troubles.is_empty());
            for trouble in &troubles {
                assert!(trouble.line >= 1 && trouble.line <= text.matches('\n').count() + 1, "{trouble:?}");
                assert!(trouble.render(80, true).contains("help: "), "{trouble:?}");
            }
        }
    }
}

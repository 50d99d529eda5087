//! Secrecy of foreign exports: a choice or a name in a row, a page head or a place on the page stands in no output.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]

use logassay::case::Case;
use logassay::examine;
use logassay::exchange::{self, Leaving};
use logassay::report::{Layout, json, terminal, trial, walk};
use logassay::source::Source;
use logassay::syntax::Secrecy;
use logassay::unit::UnitDescription;

use crate::foreign::{TABLE, by, mapping};
use crate::pages::frame;

/// Stand for mappings that take several texts for a vote, one by one or by one pattern.
const SEVERAL: &str = "several";
const EITHER: &str = "either";

/// Stands for a mapping whose words are patterns that do not name all that they fit.
const PATTERN: &str = "pattern";

/// The planted secret; no word of the tool.
const SECRET: &str = "QZXJ7";

#[test]
fn a_choice_in_a_column_that_the_mapping_does_not_name_stands_in_no_output() {
    let fixed = "[mapping]\nname = \"t\"\nversion = \"1\"\n[file]\nform = \"fixed\"\n[time]\npattern = \"hh:mm:ss YYYY-MM-DD\"\n\
        [[column]]\npositions = \"1-19\"\nholds = \"time\"\n[[column]]\npositions = \"21-26\"\nholds = \"event\"\n\
        [[word]]\ntext = \"ENABLE\"\nevent = \"enable\"\n[[word]]\ntext = \"VOTE\"\nevent = \"vote\"\n";
    let tables = [
        ("No,When,What,Key\n1,2031-05-10 07:00:00,ENABLE,\n2,2031-05-10 07:00:05,VOTE,$\n", TABLE),
        (
            "No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,VOTE\n3,2031-05-10 07:00:06,$\n",
            TABLE,
        ),
        (
            "No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,VOTE $\n3,2031-05-10 07:00:09,VOTE\n",
            TABLE,
        ),
        (
            "No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,VOTE\n$,2031-05-10 07:00:09,VOTE\n",
            TABLE,
        ),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,$,VOTE\n", TABLE),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:00,VOTE,$,x\n", TABLE),
        ("07:00:00 2031-05-10 ENABLE\n07:00:05 2031-05-10 VOTE   $\n", fixed),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,VOTE $\n", PATTERN),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE $\n2,2031-05-10 07:00:05,VOTE 1\n", PATTERN),
        ("#1\nNo,When,What\n1,2031-05-10 07:00:00,ENABLE\n#$\n2,2031-05-10 07:00:05,VOTE\n", PATTERN),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\nS:$\n2,2031-05-10 07:00:05,VOTE\n", PATTERN),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,CAST $\n", SEVERAL),
        ("No,When,What\n1,2031-05-10 07:00:00,ENABLE\n2,2031-05-10 07:00:05,CAST $\n", EITHER),
        ("07:00:00 2031-05-10 ENABLE\n07:00:05 2031-05-10 $\n07:00:05 2031-05-10 VOTE\n", fixed),
    ];
    let pattern = TABLE
        .replace("text = \"VOTE\"", "pattern = '^VOTE.*$'")
        .replace("text = \"ENABLE\"", "pattern = '^ENABLE.*$'")
        .replace("column-names", "skip-matching = ['^#', '^S:']\ncolumn-names")
        + "[[header]]\nkey = \"serial\"\npattern = '^S:(.*)$'\n";
    let several = TABLE.to_owned()
        + "[[word]]\ntext = \"CAST QZXJ7\"\nevent = \"vote\"\n[[word]]\ntext = \"CAST BLUE\"\nevent = \"vote\"\n";
    let either = TABLE.replace("text = \"VOTE\"", "pattern = '^(CAST QZXJ7|CAST BLUE)$'");
    let (case, unit) = (Case::default(), UnitDescription::kestrane());
    for (text, mapping_text) in tables {
        let mapping_text = match mapping_text {
            PATTERN => pattern.as_str(),
            SEVERAL => several.as_str(),
            EITHER => either.as_str(),
            other => other,
        };
        let logs = by(&mapping(mapping_text), text.replace('$', SECRET).as_bytes()).unwrap();
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        let frame = frame(false);
        let layout = Layout { width: 100, colour: false };
        let outputs = [
            json::report(&examinations, &frame),
            walk::json(&examinations, &frame),
            terminal::report(&examinations, &frame, layout),
            walk::page(&examinations, &frame, layout),
            trial::page(&logs, layout),
        ];
        for output in outputs {
            let joined: String = output.split_whitespace().collect::<String>().to_uppercase();
            assert!(!joined.contains(SECRET), "{text}\n{output}");
        }
        let leaving: Vec<_> =
            examinations.iter().map(|e| Leaving { log: e.log, secrecy: &e.secrecy }).collect();
        for format in exchange::FORMATS {
            if let Some(write) = format.writes {
                let written = write(&leaving).unwrap_or_else(|misfit| misfit.to_string());
                assert!(!written.to_uppercase().contains(SECRET), "{}: {text}\n{written}", format.id);
            }
        }
        let starter = exchange::starter(Source::new("s", text.replace('$', SECRET).into_bytes()), None);
        assert!(!starter.contains(SECRET), "{starter}");
    }
}

#[test]
fn marks_and_their_places_in_a_printout_are_covered() {
    let fixed = "[mapping]\nname = \"t\"\nversion = \"1\"\n[file]\nform = \"fixed\"\n[time]\npattern = \"hh:mm:ss YYYY-MM-DD\"\n\
        [[column]]\npositions = \"1-19\"\nholds = \"time\"\n[[column]]\npositions = \"21-26\"\nholds = \"event\"\n\
        [[word]]\ntext = \"VOTE\"\nevent = \"vote\"\n";
    let quoted = |row: &str| {
        let logs = by(&mapping(fixed), format!("{row}\n").as_bytes()).unwrap();
        logs[0].quote(0, &Secrecy::strict()).to_string()
    };
    for row in [
        "07:00:00 2031-05-10 VOTE         .   *",
        "07:00:00 2031-05-10 VOTE   *",
        "07:00:00 2031-05-10 VOTE   \u{2602}",
    ] {
        assert_eq!(quoted(row), "07:00:00 2031-05-10 VOTE  [masked]");
    }
    // A border that cuts through a figure is no border.
    let cut = fixed.replace("1-19", "1-18");
    let error = by(&mapping(&cut), b"07:00:00 2031-05-10 VOTE\n").unwrap_err();
    assert!(error.message.as_str().contains("fits no row"), "{error}");
    // A column that the mapping leaves out is shown nowhere, and does not keep the log from being written anew.
    let left = TABLE.to_owned() + "[[column]]\nname = \"Key\"\nholds = \"left-out\"\n";
    let text = "No,When,What,Key\n1,2031-05-10 07:00:00,ENABLE,\n2,2031-05-10 07:00:05,VOTE,7\n";
    let log = &by(&mapping(&left), text.as_bytes()).unwrap()[0];
    assert_eq!(log.quote(2, &Secrecy::strict()).as_str(), "2,2031-05-10 07:00:05,VOTE,[masked]");
    let leaving = [Leaving { log, secrecy: &Secrecy::strict() }];
    let written = (exchange::format("log").unwrap().writes.unwrap())(&leaving).unwrap();
    assert!(
        written.ends_with("2 2031-05-10 07:00:05 vote\nend 2 sha256:") || written.contains("05 vote\nend 2"),
        "{written}"
    );
}

#[test]
fn a_file_of_nothing_but_page_heads_is_read_to_its_end() {
    let pages = TABLE.replace("column-names", "skip-matching = ['^PAGE']\ncolumn-names");
    let text = format!(
        "PAGE\nNo,When,What\n1,2031-05-10 07:00:00,ENABLE\n{}2,2031-05-10 07:00:05,VOTE\n",
        "PAGE\n".repeat(20_000)
    );
    let log = &by(&mapping(&pages), text.as_bytes()).unwrap()[0];
    // No line without a number is taken for the head of a page by itself.
    assert_eq!(log.quote(10_000, &Secrecy::strict()).as_str(), "[masked]");
    assert_eq!(log.quote(0, &Secrecy::strict()).as_str(), "PAGE");
}

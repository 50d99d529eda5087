//! Spreadsheets read by a mapping: in builds with the feature `spreadsheet`; without it the program says so.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]

use std::fs;

#[cfg(not(feature = "spreadsheet"))]
use crate::foreign::TABLE;
use crate::foreign::{by, mapping, root};

#[cfg(not(feature = "spreadsheet"))]
#[test]
fn a_build_without_spreadsheets_says_so() {
    let toml = fs::read_to_string(root().join("corpus/foreign/sheet.toml")).unwrap();
    let bytes = fs::read(root().join("corpus/foreign/sheet.xlsx")).unwrap();
    let misfit = by(&mapping(&toml), &bytes).unwrap_err();
    assert_eq!(misfit.message.as_str(), "this build of the program reads no spreadsheets");
    assert!(misfit.help.as_str().contains("--features spreadsheet"));
    // A text mapping does not read an archive as text.
    assert!(by(&mapping(TABLE), &bytes).unwrap_err().help.as_str().contains("form = \"spreadsheet\""));
}

#[cfg(feature = "spreadsheet")]
mod built {
    use std::io::Write as _;

    use logassay::exchange::Misfit;
    use logassay::syntax::Log;

    use super::*;
    use crate::foreign::kinds;

    /// An ods file with this table.
    fn ods(table: &str) -> Vec<u8> {
        archive(
            "content.xml",
            &format!(
                "<office:document-content xmlns:office=\"o\" xmlns:table=\"t\" xmlns:text=\"x\"><table:table table:name=\"Log\">{table}</table:table></office:document-content>"
            ),
        )
    }

    fn archive(name: &str, content: &str) -> Vec<u8> {
        let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
        writer.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(content.as_bytes()).unwrap();
        writer.finish().unwrap().into_inner()
    }

    fn read(bytes: &[u8]) -> Result<Vec<Log>, Misfit> {
        let toml = fs::read_to_string(root().join("corpus/foreign/sheet.toml")).unwrap();
        let toml = toml.replace("column-names = true", "column-names = false");
        let toml = ["Number", "Day", "Hour", "What happened", "Figure", "Ballot unit"]
            .iter()
            .enumerate()
            .fold(toml, |toml, (place, name)| {
                toml.replace(&format!("name = \"{name}\""), &format!("place = {}", place + 1))
            });
        by(&mapping(&toml), bytes)
    }

    fn row(cells: &[&str]) -> String {
        let cells: String = cells
            .iter()
            .map(|cell| {
                if cell.starts_with('<') {
                    (*cell).to_owned()
                } else {
                    format!("<table:table-cell><text:p>{cell}</text:p></table:table-cell>")
                }
            })
            .collect();
        format!("<table:table-row>{cells}</table:table-row>")
    }

    const FULL: [&str; 6] = ["1", "2031-05-10 00:00:00", "07:00:00", "Enabled", "", "BU-1"];

    #[test]
    fn a_cell_that_was_computed_is_not_taken_for_a_record() {
        let formula = "<table:table-cell table:formula=\"of:=[.A1]+1\" office:value-type=\"float\" office:value=\"2\"><text:p>2</text:p></table:table-cell>";
        let mut second = FULL;
        second[0] = formula;
        let logs = read(&ods(&(row(&FULL) + &row(&second)))).unwrap();
        assert_eq!(kinds(&logs[0]), ["record", "unread"]);
        assert_eq!(logs[0].faults()[0].code.word(), "row-number");
    }

    #[test]
    fn hostile_spreadsheets_are_named_errors_within_bounds() {
        let says = |bytes: &[u8]| read(bytes).unwrap_err().message.as_str().to_owned();
        assert!(says(b"no archive").contains("no spreadsheet"));
        assert!(says(b"PK\x03\x04 broken").contains("no spreadsheet"));
        assert!(says(&archive("other.xml", "<a/>")).contains("no spreadsheet"));
        assert!(says(&archive("content.xml", &" ".repeat(257 << 20))).contains("when unpacked"));
        assert!(says(&ods("<table:table-row><table:table-cell")).contains("no spreadsheet"));
        let wide = "<table:table-row><table:table-cell table:number-columns-repeated=\"16384\"><text:p>x</text:p></table:table-cell></table:table-row>";
        assert!(says(&ods(wide)).contains("is larger than"));
        let tall = "<table:table-row table:number-rows-repeated=\"1048576\"><table:table-cell table:number-columns-repeated=\"200\"><text:p>x</text:p></table:table-cell></table:table-row>";
        assert!(says(&ods(tall)).contains("is larger than"));
        // An entity that the file defines itself is not looked up: it names nothing.
        let bomb = archive(
            "content.xml",
            &format!(
                "<!DOCTYPE a [<!ENTITY x \"lol\"><!ENTITY y \"&x;&x;&x;\">]><office:document-content><table:table table:name=\"Log\">{}</table:table></office:document-content>",
                row(&["1", "2031-05-10 00:00:00", "07:00:00", "Enabled&y;", "1", "BU-1"])
            ),
        );
        let logs = read(&bomb).unwrap_err();
        assert!(logs.message.as_str().contains("fits no row"), "{logs}");
        let toml = fs::read_to_string(root().join("corpus/foreign/sheet.toml")).unwrap();
        let other = mapping(&toml.replace("sheet = \"Log\"", "sheet = \"Day\""));
        let misfit = by(&other, &fs::read(root().join("corpus/foreign/sheet.ods")).unwrap()).unwrap_err();
        assert_eq!(misfit.help.as_str(), "its sheets are named: Notes, Log");
    }
}

//! Pages printed from tables in the code: file and table must agree, and `LOGASSAY_BLESS=1` writes the files anew.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::string_slice,
    clippy::format_collect,
    clippy::too_many_lines,
    reason = "a test may stop"
)]

use std::fs;
use std::path::Path;

use logassay::rehearsal::key;
use logassay::{case, exchange, unit};

fn compare(file: &str, printed: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    if std::env::var_os("LOGASSAY_BLESS").is_some_and(|value| value == "1") {
        fs::write(&path, printed).unwrap();
    }
    let written = fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("{file}: {error}; LOGASSAY_BLESS=1 writes it"));
    let pairs = written.lines().zip(printed.lines()).enumerate();
    for (place, (old, new)) in pairs {
        assert_eq!(
            old,
            new,
            "{file}:{}: file (left) and code (right) differ; LOGASSAY_BLESS=1 writes the file",
            place + 1
        );
    }
    assert_eq!(written.lines().count(), printed.lines().count(), "{file} and the code differ in length");
}

#[test]
fn the_manual_of_the_case_file_is_the_one_in_the_code() {
    compare("grammar/case.md", &case::manual());
}

#[test]
fn the_manual_of_the_unit_description_is_the_one_in_the_code() {
    compare("grammar/unit.md", &unit::manual());
}

#[test]
fn the_manual_of_the_formats_is_the_one_in_the_code() {
    compare("grammar/exchange.md", &exchange::formats_manual());
}

#[test]
fn the_manual_of_the_mapping_is_the_one_in_the_code() {
    compare("grammar/mapping.md", &exchange::manual());
}

#[test]
fn the_schema_of_answer_keys_is_the_one_in_the_code() {
    compare("grammar/key.schema.json", &key::schema());
}

#[test]
fn the_schema_of_comparisons_is_the_one_in_the_code() {
    compare("grammar/comparison.schema.json", &logassay::report::comparison::schema());
}

#[test]
fn the_manuals_name_every_table_and_key() {
    for (sheet, page) in [
        (&case::SHEET, case::manual()),
        (&unit::SHEET, unit::manual()),
        (&exchange::SHEET, exchange::manual()),
    ] {
        for table in sheet.tables {
            assert!(page.contains(&format!("## `{}`", table.header())), "{}", table.name);
            for key in table.keys {
                assert!(
                    page.contains(&format!("| `{}` | {} |", key.name, key.form.right())),
                    "{} {}",
                    table.name,
                    key.name
                );
            }
        }
    }
}

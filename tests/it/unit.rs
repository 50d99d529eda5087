//! Unit descriptions: the built-in one, and what is wrong in others.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::string_slice,
    clippy::format_collect,
    clippy::too_many_lines,
    reason = "a test may stop"
)]

use logassay::source::Digest;
use logassay::unit::{SHEET, UnitDescription, Unlogged};

#[test]
fn the_kestrane_unit_is_what_its_text_says() {
    let text = UnitDescription::kestrane_text();
    let unit = UnitDescription::read("kestrane.toml", text).unwrap();
    assert_eq!(unit, UnitDescription::kestrane());
    assert_eq!(unit.digest, Digest::of(text.as_bytes()));
    assert_eq!((unit.name.as_str(), unit.version.as_str()), ("Kestrane unit", "1"));
    assert_eq!(
        (unit.keeps, unit.first_number, unit.number_step, unit.number_digits),
        (1000, Some(1), Some(1), None)
    );
    assert_eq!((unit.ballot_units, unit.buttons), (4, 16));
    assert!(unit.power_cycle_cancels_enable && unit.links_recorded && unit.export_recorded);
    assert_eq!(unit.unlogged, [Unlogged::PowerLoss]);
    assert_eq!((unit.least_ms_per_vote, unit.battery_mv, unit.clock_ppm), (None, Some(7500), None));
    assert!(unit.refusals.iter().any(|refusal| refusal.key == "result" && refusal.logged));
}

#[test]
fn every_key_of_the_built_in_text_has_a_comment_and_every_key_of_the_table_is_named_there() {
    let text = UnitDescription::kestrane_text();
    let lines: Vec<&str> = text.lines().collect();
    let table = SHEET.table("unit").unwrap();
    for key in table.keys {
        let stated = lines.iter().position(|line| line.starts_with(&format!("{} = ", key.name)));
        match stated {
            Some(place) => assert!(lines[place - 1].starts_with('#'), "{} has no comment", key.name),
            None => {
                assert!(text.contains(&format!("# {} is not given", key.name)), "{} is not named", key.name);
            }
        }
    }
}

#[test]
fn a_whole_description_with_every_key_is_read() {
    let all: String = SHEET
        .tables
        .iter()
        .map(|table| {
            let lines: Vec<String> = table.keys.iter().map(logassay::sheet::Key::line).collect();
            format!("{}\n{}\n", table.header(), lines.join("\n"))
        })
        .collect();
    let unit = UnitDescription::read("all.toml", &all).unwrap();
    assert_eq!(unit.number_digits, Some(10));
    assert_eq!(unit.least_ms_per_vote, Some(1500));
    assert_eq!(unit.clock_ppm, Some((100, "Maker's manual, page 14".to_owned())));
    assert_eq!(unit.refusals.len(), 1);
}

#[test]
fn what_is_wrong_is_said_with_its_place() {
    let text = UnitDescription::kestrane_text();
    let cases = [
        ("", 1, 1, "the table `[unit]` is missing"),
        ("[unit]\nname = \"X\"\n", 1, 1, "`version` is missing in this [unit]"),
        (&text.replace("keeps = 1000", "keeps = 0"), 10, 9, "the value of `keeps` is less than 1"),
        (&text.replace("buttons = 16", "buttons = 256"), 19, 11, "the value of `buttons` is more than 255"),
        (
            &text.replace("\"power-loss\"", "\"power-los\""),
            27,
            12,
            "the value of `unlogged` is not on its list; did you mean \"power-loss\"?",
        ),
        (&text.replace("battery-mv", "batery-mv"), 30, 1, "`batery-mv` is no key of [unit]"),
    ];
    for (text, line, column, message) in cases {
        let troubles = UnitDescription::read("x.toml", text).unwrap_err();
        let first = &troubles[0];
        assert_eq!((first.line, first.column, first.message.as_str()), (line, column, message));
    }
}

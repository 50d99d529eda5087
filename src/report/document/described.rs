//! The unit description as an annex: every fact that it states, what it leaves open, and the states that follow from it.

use crate::event::Event;
use crate::replay::State;
use crate::replay::graph::moves;
use crate::report::document::{Anchor, Block, Row, Section, Table, Text};
use crate::report::grouped;
use crate::sheet::Form;
use crate::source::Shown;
use crate::unit::{SHEET, UnitDescription, Unlogged};

/// Where the annex stands.
pub(super) fn anchor() -> Anchor {
    Anchor::new("unit-annex")
}

/// The annex.
pub(super) fn section(unit: &UnitDescription) -> Section {
    let mut section = Section::new(anchor(), "Annex: the unit description, fact by fact").answering(&[7]);
    section.on_new_page = true;
    section.say(
        Text::from("This is all that the description ")
            .plain(&format!("'{}', version {}, ", Shown::inert(&unit.name), Shown::inert(&unit.version)))
            .plain("states. The SHA-256 of its file is ")
            .code(&unit.digest.to_string())
            .plain(". Whoever doubts an answer can ask the maker of the unit about each line. The text itself is printed by ")
            .code("logassay unit")
            .plain("."),
    );
    section.push(Block::Table(facts(unit)));
    section.sections.push(refusals(unit));
    section.sections.push(states(unit));
    section
}

/// Every key of a description that stands once, with what is stated for it.
fn facts(unit: &UnitDescription) -> Table {
    let mut table =
        Table::new("What the description states", &["what it says of the unit", "stated", "its key"]);
    for sheet in SHEET.tables.iter().filter(|table| !table.many) {
        for key in sheet.keys {
            let value = value(unit, sheet.name, key.name).unwrap_or_else(|| "not stated".into());
            let name = Text::new().code(&format!("[{}] {}", sheet.name, key.name));
            table.push(vec![key.meaning.into(), value, name]);
        }
    }
    table
}

/// What a description states for a key; `None` where it leaves it out.
fn value(unit: &UnitDescription, table: &str, key: &str) -> Option<Text> {
    let yes = |flag: bool| Text::from(if flag { "yes" } else { "no" });
    let number = |number: u64| Text::from(grouped(number));
    Some(match (table, key) {
        ("unit", "name") => unit.name.as_str().into(),
        ("unit", "version") => unit.version.as_str().into(),
        ("unit", "keeps") => number(unit.keeps),
        ("unit", "first-number") => number(unit.first_number?),
        ("unit", "number-step") => number(unit.number_step?),
        ("unit", "number-digits") => match unit.number_digits {
            Some(digits) => number(digits.into()),
            None => "left out: it never starts again".into(),
        },
        ("unit", "ballot-units") => number(unit.ballot_units.into()),
        ("unit", "buttons") => number(unit.buttons.into()),
        ("unit", "power-cycle-cancels-enable") => yes(unit.power_cycle_cancels_enable),
        ("unit", "links-recorded") => yes(unit.links_recorded),
        ("unit", "export-recorded") => yes(unit.export_recorded),
        ("unit", "unlogged") => unlogged(unit),
        ("unit", "least-ms-per-vote") => number(unit.least_ms_per_vote?),
        ("unit", "battery-mv") => number(unit.battery_mv?),
        ("clock", "ppm") => number(unit.clock_ppm.as_ref()?.0.into()),
        ("clock", "source") => unit.clock_ppm.as_ref()?.1.as_str().into(),
        _ => return None,
    })
}

/// The moves that leave no record, in the words of the list of keys.
fn unlogged(unit: &UnitDescription) -> Text {
    let choices = SHEET.tables.iter().flat_map(|table| table.keys).find_map(|key| match key.form {
        Form::SomeOf(choices) if key.name == "unlogged" => Some(choices),
        _ => None,
    });
    let mut text = Text::new();
    for (place, act) in unit.unlogged.iter().enumerate() {
        let word = match act {
            Unlogged::PowerLoss => "power-loss",
            Unlogged::EnableLapse => "enable-lapse",
        };
        let meaning = choices.into_iter().flatten().find(|choice| choice.word == word);
        let meaning = meaning.map_or("", |choice| choice.meaning.trim_end_matches('.'));
        let between = if place > 0 { "; " } else { "" };
        text = text.plain(between).code(word).plain(&format!(" ({meaning})"));
    }
    if text.0.is_empty() { "none".into() } else { text }
}

/// The keys that the unit refuses, and whether a refusal leaves a record.
fn refusals(unit: &UnitDescription) -> Section {
    let mut section = Section::new(Anchor::new("unit-refusals"), "Keys that the unit refuses");
    if unit.refusals.is_empty() {
        section.say("The description states no key that the unit refuses.");
        return section;
    }
    section.say(
        "These are the description's own words. No answer rests on them: which event can follow which stands in the table of \
         states.",
    );
    let columns = ["key", "refused when", "whether that leaves a record"];
    let mut table = Table::new("Refusals that the description states", &columns);
    for refusal in &unit.refusals {
        let logged = if refusal.logged { "a record of the refusal (key-refused)" } else { "no record" };
        table.push(vec![Text::new().code(&refusal.key), refusal.when.as_str().into(), logged.into()]);
    }
    section.push(Block::Table(table));
    section
}

/// The states, and what leads from one to another.
fn states(unit: &UnitDescription) -> Section {
    let mut section = Section::new(Anchor::new("unit-states"), "The states of the unit");
    section.say(
        "What a key does in each state is part of the program and the same for every unit. What the description states of power \
         cycles, of lapses and of losses of power without a record enters it. The replay knows these states and no others. An event that no row names leaves the state as it is. A record of an event \
         in the last column contradicts the description, if that was the state. Power-on with the power on means that the power \
         went away in between, where the description lets that happen without a record.",
    );
    let columns = ["in this state", "these events lead to another", "not foreseen"];
    let mut table = Table::new("States of the unit, by their events", &columns);
    let moves = moves(unit);
    for from in State::all() {
        let (mut leads, mut never): (Vec<String>, Vec<&str>) = (Vec::new(), Vec::new());
        for event in Event::all() {
            let of_event = moves.iter().filter(|step| step.from == from && step.event == event);
            let reached: Vec<State> = of_event.map(|step| step.to).collect();
            match reached.as_slice() {
                [] => never.push(event.word()),
                [only] if *only == from => {}
                several => {
                    let words: Vec<String> = several.iter().map(|state| state.words()).collect();
                    leads.push(format!("{}: {}", event.word(), words.join(", or ")));
                }
            }
        }
        let told = |list: &[String]| if list.is_empty() { "none".to_owned() } else { list.join("; ") };
        let never: Vec<String> = match (from.on, never.len()) {
            (false, _) => vec!["every event but power-on and export".to_owned()],
            (true, _) => vec![never.join(", ")].into_iter().filter(|list| !list.is_empty()).collect(),
        };
        table.rows.push(Row {
            anchor: None,
            cells: vec![from.words().into(), told(&leads).into(), told(&never).into()],
        });
    }
    section.push(Block::Table(table));
    section
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every key that a description may state is one that the annex knows how to tell.
    #[test]
    fn no_key_of_a_description_is_left_out_of_the_annex() {
        let mut unit = UnitDescription::kestrane();
        unit.number_digits = Some(10);
        unit.least_ms_per_vote = Some(1500);
        unit.clock_ppm = Some((100, "Maker's manual, page 14".to_owned()));
        let mut told = 0;
        for sheet in SHEET.tables.iter().filter(|table| !table.many) {
            for key in sheet.keys {
                assert!(value(&unit, sheet.name, key.name).is_some(), "[{}] {}", sheet.name, key.name);
                told += 1;
            }
        }
        assert_eq!(told, 16);
        let many: Vec<&str> =
            SHEET.tables.iter().filter(|table| table.many).map(|table| table.name).collect();
        assert_eq!(many, ["refusal"]);
    }

    #[test]
    fn with_the_power_off_only_power_on_and_export_are_foreseen() {
        let unit = UnitDescription::kestrane();
        for step in moves(&unit).iter().filter(|step| !step.from.on) {
            assert!(matches!(step.event, Event::PowerOn | Event::Export), "{step:?}");
        }
    }

    #[test]
    fn acts_without_a_record_are_told_in_words() {
        let mut unit = UnitDescription::kestrane();
        assert_eq!(unlogged(&unit).words(), "power-loss (The power goes away without the switch)");
        unit.unlogged.clear();
        assert_eq!(unlogged(&unit).words(), "none");
    }
}

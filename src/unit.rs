//! The unit description: what a unit of one model and year does, as data, with its digest.

mod keys;

use crate::sheet::{Row, Sheet, Trouble, Troubles, decode, read};
use crate::source::{Digest, Span};

pub use keys::SHEET;

/// The text of the built-in description.
const KESTRANE: &str = include_str!("unit/kestrane.toml");

/// What a unit does. 'Established' always means *given this description and an export faithful to the unit*.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitDescription {
    /// Name of the unit described.
    pub name: String,
    /// Version of the description.
    pub version: String,
    /// Number of records that the unit keeps before it overwrites the oldest, from 1.
    pub keeps: u64,
    /// The first record number of a new unit; `None` where not known.
    pub first_number: Option<u64>,
    /// Step from one record number to the next, from 1; `None` where numbers follow no stated step.
    pub number_step: Option<u64>,
    /// Number of decimal digits after which the record number starts again at 0, 1 to 19; `None`: it never does.
    pub number_digits: Option<u8>,
    /// Most ballot units that can be linked.
    pub ballot_units: u8,
    /// Buttons on each ballot unit.
    pub buttons: u8,
    /// Whether switching off and on cancels an enable that waits for its vote.
    pub power_cycle_cancels_enable: bool,
    /// Whether each change of a link leaves a record (then a vote on a ballot unit that is not linked is contrary).
    pub links_recorded: bool,
    /// Whether an export ends with a record of it, so that an export record at the end shows that nothing follows.
    pub export_recorded: bool,
    /// Moves that leave no record.
    pub unlogged: Vec<Unlogged>,
    /// Keys that the unit refuses and whether the refusal leaves a record, in words.
    pub refusals: Vec<Refusal>,
    /// Least time that one vote takes, in milliseconds, where documented.
    pub least_ms_per_vote: Option<u64>,
    /// Nominal voltage of the battery in millivolts.
    pub battery_mv: Option<u64>,
    /// Bound on the rate of the clock in parts per million, with its source.
    pub clock_ppm: Option<(u32, String)>,
    /// SHA-256 of the description's TOML text.
    pub digest: Digest,
}

/// A move of the unit that leaves no record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unlogged {
    /// The power goes away without the switch.
    PowerLoss,
    /// An enable ends without a vote.
    EnableLapse,
}

/// A key that the unit refuses in some state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The key.
    pub key: String,
    /// When it is refused, in words.
    pub when: String,
    /// Whether the refusal leaves a record.
    pub logged: bool,
}

impl UnitDescription {
    /// The built-in description: the invented Kestrane unit.
    #[must_use]
    pub fn kestrane() -> UnitDescription {
        // A test reads the built-in text without a trouble; the fallback is there so that no reader can ever stop.
        UnitDescription::read("the built-in Kestrane unit", KESTRANE)
            .unwrap_or_else(|_| UnitDescription::unknown(KESTRANE))
    }

    /// Whether a record with this number can only be the first of the unit's life. A counter that starts again comes by
    /// its first number once in every round.
    #[must_use]
    pub fn is_first(&self, number: u64) -> bool {
        self.number_digits.is_none() && self.first_number == Some(number)
    }

    /// The TOML text of the built-in description, for a person who wants to write another.
    #[must_use]
    pub fn kestrane_text() -> &'static str {
        KESTRANE
    }

    /// Reads a description from its TOML text.
    ///
    /// # Errors
    /// Everything that is wrong in the text, in its order, each with its place and the right form.
    pub fn read(name: &str, text: &str) -> Result<UnitDescription, Vec<Trouble>> {
        UnitDescription::read_bytes(name, text.as_bytes())
    }

    /// Reads a description from the bytes of its file.
    ///
    /// # Errors
    /// As [`UnitDescription::read`], and where the bytes are not UTF-8 or too many.
    pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<UnitDescription, Vec<Trouble>> {
        let text = decode(&SHEET, name, bytes)?;
        let (rows, mut troubles) = read(&SHEET, name, text);
        let described = describe(&rows, Digest::of(bytes), &mut troubles);
        let troubles = troubles.finish();
        match described {
            Some(unit) if troubles.is_empty() => Ok(unit),
            _ => Err(troubles),
        }
    }

    /// A description from which nothing follows.
    fn unknown(text: &str) -> UnitDescription {
        UnitDescription {
            name: "unknown".to_owned(),
            version: "0".to_owned(),
            keeps: u64::MAX,
            first_number: None,
            number_step: None,
            number_digits: None,
            ballot_units: u8::MAX,
            buttons: u8::MAX,
            power_cycle_cancels_enable: false,
            links_recorded: false,
            export_recorded: false,
            unlogged: vec![Unlogged::PowerLoss, Unlogged::EnableLapse],
            refusals: Vec::new(),
            least_ms_per_vote: None,
            battery_mv: None,
            clock_ppm: None,
            digest: Digest::of(text.as_bytes()),
        }
    }
}

/// `grammar/unit.md`: the keys of a unit description as a page for the person who writes one.
#[must_use]
pub fn manual() -> String {
    let closing = format!("\n## The built-in description\n\n```toml\n{KESTRANE}```\n");
    Sheet::manual(&SHEET, "The unit description", "src/unit/keys.rs", &closing)
}

/// The description that the rows state; `None` where something is missing or has not its form.
fn describe(rows: &[Row], digest: Digest, troubles: &mut Troubles<'_>) -> Option<UnitDescription> {
    let of = |name: &'static str| rows.iter().filter(move |row| row.table.name == name);
    let Some(unit) = of("unit").next() else {
        // A [unit] that lacks a key is no row either, but then that was told already.
        if troubles.is_empty() {
            let help = "begin with [unit] and state its name, version and the other keys that are required";
            troubles.lack(Span::default(), "the table `[unit]` is missing", help);
        }
        return None;
    };
    if !rows.iter().all(Row::is_sound) {
        return None;
    }
    let refusals = of("refusal").map(|row| {
        Some(Refusal { key: row.text("key")?, when: row.text("when")?, logged: row.truth("logged")? })
    });
    let clock =
        of("clock").next().map(|row| Some((u32::try_from(row.whole("ppm")?).ok()?, row.text("source")?)));
    let small = |key| unit.whole(key).and_then(|number| u8::try_from(number).ok());
    Some(UnitDescription {
        name: unit.text("name")?,
        version: unit.text("version")?,
        keeps: unit.whole("keeps")?,
        first_number: unit.whole("first-number"),
        number_step: unit.whole("number-step"),
        number_digits: small("number-digits"),
        ballot_units: small("ballot-units")?,
        buttons: small("buttons")?,
        power_cycle_cancels_enable: unit.truth("power-cycle-cancels-enable")?,
        links_recorded: unit.truth("links-recorded")?,
        export_recorded: unit.truth("export-recorded")?,
        unlogged: unit
            .texts("unlogged")
            .unwrap_or_default()
            .iter()
            .filter_map(|word| Unlogged::of_word(word))
            .collect(),
        refusals: refusals.collect::<Option<_>>()?,
        least_ms_per_vote: unit.whole("least-ms-per-vote"),
        battery_mv: unit.whole("battery-mv"),
        clock_ppm: clock.flatten(),
        digest,
    })
}

impl Unlogged {
    fn of_word(word: &str) -> Option<Unlogged> {
        match word {
            "power-loss" => Some(Unlogged::PowerLoss),
            "enable-lapse" => Some(Unlogged::EnableLapse),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_the_list_of_unlogged_moves_is_understood() {
        for choice in keys::UNLOGGED {
            assert!(Unlogged::of_word(choice.word).is_some(), "{}", choice.word);
        }
    }
}

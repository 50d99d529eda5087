//! The unit description: what a unit of one model and year does, as data, with its digest.

use crate::source::Digest;

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

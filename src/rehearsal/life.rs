//! A life as a whole: its parts in their order, the log and the case file that come of it.

use std::collections::BTreeSet;

use super::acts::Act;
use super::course::Course;
use super::papers::Reading;
use super::setting::Setting;
use super::unwritten::Unwritten;

/// A made-up life of a unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Life {
    /// The log, in the neutral text format.
    pub log: String,
    /// The case file, in TOML.
    pub case: String,
    /// The acts that happened.
    pub acts: BTreeSet<Act>,
    /// The readings of the clock that the papers hold, as the case file words them too.
    pub readings: Vec<Reading>,
}

/// Makes the life of a seed: first check, preparation, storage, mock poll, poll, storage, count, what comes after it,
/// export.
#[must_use]
pub fn life(seed: u64, setting: &Setting) -> Life {
    lived(seed, setting).write().life
}

/// The same before it is written down.
pub(super) fn lived(seed: u64, setting: &Setting) -> Unwritten {
    let mut course = Course::begin(seed, setting);
    course.first_check();
    course.prepare();
    course.poll_day();
    course.after_the_poll();
    course.export()
}

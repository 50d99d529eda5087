//! Limits and cautions: what every reader of the document must know.

use crate::examination::Examination;
use crate::report::CAUTIONS;
use crate::report::document::{Anchor, Block, Section, Text};

/// The section.
pub(super) fn section(examinations: &[Examination<'_>]) -> Section {
    let mut section = Section::new(Anchor::new("limits"), "Limits and cautions").answering(&[10, 15]);
    section.push(Block::List(CAUTIONS.iter().map(|text| Text::from(*text)).collect()));
    let kept = examinations.iter().map(|examination| examination.coverage.keeps).min().unwrap_or(0);
    section.say(format!(
        "A unit of this kind keeps its last {} and writes over older ones. A log that begins in the middle of a \
         day says nothing about the hours before, for either side.",
        crate::counts::counted(kept, "record", "records")
    ));
    section
}

//! How often rules err: what was measured, by which command, for which rule book, and what that is not.

use crate::report::document::{Anchor, Block, Section, Text};
use crate::report::rehearsed::{LIMITS, PROCEDURE, told};

/// The section.
pub(super) fn section() -> Section {
    let mut section = Section::new(Anchor::new("errors"), "How often a rule errs").answering(&[16]);
    section.say(
        "On logs of real units it is not known, for any rule: nobody has a collection of such logs of which it is known what \
         happened. What can be measured is how the rules do on rehearsals.",
    );
    section.say(PROCEDURE);
    for measured in told() {
        section.say(measured.sentence);
        section.push(Block::Verbatim(measured.command));
    }
    section.push(Block::List(LIMITS.iter().map(|limit| Text::from(*limit)).collect()));
    section.say(
        "Errors may enter in three ways. The log may be incomplete: coverage and gaps say where. It may be inaccurate: \
         the export may not be faithful to the unit, or the description not fit the model. It may be misread: each \
         finding therefore quotes its lines and names its ordinary explanations.",
    );
    section
}

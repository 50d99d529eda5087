//! What only a person can state: opinion, deviations, qualification, signature. Empty until the case file gives it.

use crate::case::Case;
use crate::report::document::matter::field;
use crate::report::document::{Anchor, Section};

/// The section.
pub(super) fn section(case: &Case) -> Section {
    let matter = &case.matter;
    let mut section =
        Section::new(Anchor::new("person"), "What only a person can state").answering(&[3, 4, 10, 18]);
    section.on_new_page = true;
    section.say(
        "What stands above this section is the output of a tool: supporting material. What stands here is said by the \
         person who files it and answers for it. An empty field was left empty.",
    );
    for (label, text, lines) in [
        ("opinion, apart from the facts above", matter.opinion.as_deref(), 6),
        ("deviations from the method, irregularities met, with their reason", None, 3),
        ("amendments to an earlier report, with their reason", None, 2),
        ("examiner", matter.examiner.as_deref(), 1),
        ("qualification", matter.qualification.as_deref(), 3),
        ("place, date and signature", matter.signed.as_deref(), 2),
    ] {
        section.push(field(label, text, lines));
    }
    section
}

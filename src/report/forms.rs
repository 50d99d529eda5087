//! The forms of a report on an examination: one table, from which the command's help, the manuals and tests read.

use crate::examination::Examination;
use crate::report::{Frame, Layout, json, terminal};

/// A form of the report.
pub struct Form {
    /// Its name on the command line.
    pub id: &'static str,
    /// What it is, in one sentence.
    pub meaning: &'static str,
    /// Writes it. The layout says something to the form for a terminal only.
    pub write: fn(&[Examination<'_>], &Frame, Layout) -> String,
}

impl std::fmt::Debug for Form {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id)
    }
}

/// Every form; the first is taken where none is asked for.
pub static FORMS: &[Form] = &[
    Form { id: "text", meaning: "Pages for a terminal, in plain words", write: terminal::report },
    Form {
        id: "json",
        meaning: "JSON by grammar/report.schema.json, the same statements for programs",
        write: |examinations, frame, _| json::report(examinations, frame),
    },
];

/// The form with this name.
#[must_use]
pub fn form(id: &str) -> Option<&'static Form> {
    FORMS.iter().find(|form| form.id == id)
}

//! The forms of a report on an examination: one table, from which the command's help, the manuals and tests read.

use crate::examination::Examination;
use crate::report::{Frame, Layout, json, sarif, table, terminal};

/// A form of the report.
pub struct Form {
    /// Its name on the command line.
    pub id: &'static str,
    /// The name of its file in a bundle.
    pub file: &'static str,
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
    Form {
        id: "text",
        file: "report.txt",
        meaning: "Pages for a terminal, in plain words",
        write: terminal::report,
    },
    Form {
        id: "json",
        file: "report.json",
        meaning: "JSON by grammar/report.schema.json, the same statements for programs",
        write: |examinations, frame, _| json::report(examinations, frame),
    },
    Form {
        id: "sarif",
        file: "report.sarif",
        meaning: "SARIF 2.1.0: fail, review, open, pass, notApplicable and informational in their places",
        write: |examinations, frame, _| sarif::report(examinations, frame),
    },
    Form {
        id: "csv-findings",
        file: "findings.csv",
        meaning: "A table of the findings (RFC 4180), no cell a formula",
        write: |examinations, frame, _| table::findings(examinations, frame),
    },
    Form {
        id: "csv-answers",
        file: "answers.csv",
        meaning: "A table of every rule's answer, likewise",
        write: |examinations, frame, _| table::answers(examinations, frame),
    },
    Form {
        id: "csv-timeline",
        file: "timeline.csv",
        meaning: "A table of the log line by line, with what the rules saw there, likewise",
        write: |examinations, frame, _| table::timeline(examinations, frame),
    },
];

/// The form with this name.
#[must_use]
pub fn form(id: &str) -> Option<&'static Form> {
    FORMS.iter().find(|form| form.id == id)
}

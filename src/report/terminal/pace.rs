//! The pace of votes: measurements, behind everything that is answered.

use crate::examination::Examination;
use crate::report::pace;
use crate::report::page::{Page, Tone};

/// Prints the section.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    let measured = examination.measurements();
    let groups = pace::groups(examination, &measured);
    page.head(pace::TITLE);
    if groups.is_empty() {
        page.text(0, Tone::Plain, pace::NOTHING);
        return;
    }
    page.text(0, Tone::Plain, pace::INTRODUCTION);
    page.text(0, Tone::Plain, pace::NO_TEST);
    page.text(0, Tone::Plain, &pace::subject(examination, &measured));
    for group in groups {
        page.gap();
        page.text(0, Tone::Head, group.about);
        group.rows.iter().for_each(|row| page.item(0, "-", &format!("{}.", row.text)));
    }
}

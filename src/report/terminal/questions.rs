//! The court's questions, right behind what was examined.

use crate::examination::Examination;
use crate::report::page::{Page, Tone};
use crate::report::questions;

/// Prints the section; nothing where no question is asked.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    let told = questions::told(examination);
    if told.is_empty() {
        return;
    }
    page.head("The questions");
    page.text(
        0,
        Tone::Plain,
        "Each paragraph is put together from the answers of the rules that bear on the question, and says no more than \
         they do. Whether these rules answer the question is for whoever asked it to say.",
    );
    for one in told {
        page.gap();
        let number = one.number.map_or_else(String::new, |number| format!("{number}. "));
        page.text(0, Tone::Head, &format!("{number}{}", one.text));
        page.text(2, Tone::Quiet, &format!("{}.", one.asked));
        page.text(2, Tone::Plain, &one.paragraph);
        for (label, list) in [("left open", &one.open), ("would settle it", &one.settles)] {
            list.iter().for_each(|text| page.field(2, label, text));
        }
    }
}

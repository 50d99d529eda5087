//! Where a number of the ledger is from; of a line that shows another number than is put down: what it shows, and why.

use crate::counts::{Item, Source, figures, number_shown};
use crate::event::Event;
use crate::examination::Examination;
use crate::report::{conflict, count, listed};
use crate::source::Shown;
use crate::syntax::Record;

/// Where a number is from, in words.
pub(super) fn from(examination: &Examination<'_>, item: &Item) -> Shown {
    let words = match &item.source {
        Source::Records(steps) => {
            shown_instead(examination, item, steps).unwrap_or_else(|| of_records(examination, item, steps))
        }
        Source::RecordsBut(counted, left_out) => {
            let (counted, out) = (of_records(examination, item, counted), lines(examination, left_out));
            let (lie, are) = if out.len() == 1 { ("lies", "is") } else { ("lie", "are") };
            let of = conflict::named(examination, left_out);
            format!("{counted}; {} {lie} in {of} and {are} not counted", named(&out))
        }
        Source::Paper(_, basis) | Source::Turnout(basis) => return basis.said(),
        Source::Unseen => "not in the log".to_owned(),
        Source::NotStated => "no paper states it".to_owned(),
    };
    Shown::inert(&words)
}

fn of_records(examination: &Examination<'_>, item: &Item, steps: &[usize]) -> String {
    match lines(examination, steps).as_slice() {
        [] if item.value.only() == Some(0) => "no record".to_owned(),
        [] => "no record that shows it".to_owned(),
        [first, _, .., last] => {
            format!("{} on lines {first} to {last}", count(steps.len(), "record", "records"))
        }
        few => named(few),
    }
}

/// What the lines show, where it is not the number that is put down.
fn shown_instead(examination: &Examination<'_>, item: &Item, steps: &[usize]) -> Option<String> {
    let shown: Option<Vec<(usize, u64)>> =
        steps.iter().map(|step| Some((*step, shown(examination, *step)?))).collect();
    let shown = shown.filter(|shown| !shown.is_empty())?;
    if item.value.only().is_some() {
        return None;
    }
    let groups = shown.chunk_by(|one, next| one.1 == next.1);
    let groups: Vec<String> = groups
        .filter_map(|group| {
            let steps: Vec<usize> = group.iter().map(|(step, _)| *step).collect();
            let value = figures(group.first()?.1.into());
            Some(format!("{value} shown on {}", named(&lines(examination, &steps))))
        })
        .collect();
    let last = steps.iter().copied().max()?;
    let mut behind = last + 1..examination.replay.steps.len();
    let why = if groups.len() > 1 {
        "; they do not agree".to_owned()
    } else if conflict::holds(examination, last) {
        format!("; not used: it lies in {}", conflict::named(examination, &[last]))
    } else if let Some(step) = behind.find(|step| conflict::holds(examination, *step)) {
        format!("; not used: what follows it lies in {}", conflict::named(examination, &[step]))
    } else {
        ", and what was recorded behind it".to_owned()
    };
    Some(format!("{}{why}", listed(&groups)))
}

fn record<'e>(examination: &'e Examination<'_>, step: usize) -> Option<&'e Record> {
    examination.log.records().get(examination.replay.record(step)?)
}

/// The number of votes that a record shows.
fn shown(examination: &Examination<'_>, step: usize) -> Option<u64> {
    let record = record(examination, step)?;
    let shows = matches!(record.event, Event::Total | Event::Close | Event::Result);
    number_shown(examination.log, record).filter(|_| shows)
}

fn lines(examination: &Examination<'_>, steps: &[usize]) -> Vec<usize> {
    let line = |step: &usize| record(examination, *step).map(|r| examination.log.line_number(r.line));
    let mut lines: Vec<usize> = steps.iter().filter_map(line).collect();
    lines.sort_unstable();
    lines
}

fn named(lines: &[usize]) -> String {
    let all: Vec<String> = lines.iter().map(usize::to_string).collect();
    format!("line{} {}", if lines.len() == 1 { "" } else { "s" }, listed(&all))
}

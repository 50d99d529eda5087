//! Model answers of one exercise to the questions that every pupil's page asks: read off the log, the papers and the key.

use std::sync::Arc;

use super::fault::Rehearsed;
use super::key::{Conclusion, How, Key, Must, Said, Stand, paragraph};
use crate::case::{Case, End};
use crate::source::Source;
use crate::syntax::{self, LineKind, Log};

/// The answers as text, one for each question in their order.
pub(super) fn text(made: &Rehearsed, questions: &[&str]) -> String {
    let mut page = String::from("Model answers to the questions of the pupils' page\n");
    let logs = syntax::read(Arc::new(Source::new("log", made.life.log.clone().into_bytes())));
    let case = Case::read("case", &made.life.case).map(|file| file.case).unwrap_or_default();
    let ends = logs.first().map(|log| ends(made, log, &case)).unwrap_or_default();
    let answers =
        [ends, stretches(&case), runs(&made.key), papers(&made.key), haste(&made.key), open(&made.key)];
    for (place, (question, answer)) in (1..).zip(questions.iter().zip(answers)) {
        paragraph(&mut page, &format!("  {place}. "), question);
        paragraph(&mut page, "     ", &answer);
    }
    page
}

/// From when to when the log speaks, and how its front stands.
fn ends(made: &Rehearsed, log: &Log, case: &Case) -> String {
    let records = || log.records().iter().filter(|record| record.time.is_some());
    let Some((first, last)) = records().next().zip(records().next_back()) else {
        return "No record displays a time.".to_owned();
    };
    let display = |record: &syntax::Record| {
        let time = record.time.map_or_else(String::new, |time| time.to_string());
        format!("{time} (line {})", log.line_number(record.line))
    };
    let unread_before = log.lines().iter().take(first.line).any(|line| line.kind == LineKind::Unread);
    let least = log.records().iter().filter_map(|record| record.number).min();
    let is_first = !unread_before && first.number.is_some() && first.number == made.unit.first_number;
    let front = if case.ends.iter().any(|end| end.value == End::Front) {
        "The front is closed: a paper states that nothing was recorded before."
    } else if is_first && least == first.number {
        "The front is closed: the first record has the first number that the unit gives."
    } else {
        "The front is open: what was recorded before is not known."
    };
    format!("In the order of the file, from {} to {}, as displayed. {front}", display(first), display(last))
}

/// What the papers say of the stretches.
fn stretches(case: &Case) -> String {
    let said: Vec<String> = case
        .phases
        .iter()
        .map(|stated| format!("{} ({})", stated.value.said(), stated.basis.source))
        .collect();
    if said.is_empty() { "No paper says so.".to_owned() } else { format!("{}.", said.join("; ")) }
}

fn found(key: &Key) -> impl Iterator<Item = (&Conclusion, &[Stand])> {
    key.conclusions.iter().filter_map(|conclusion| match &conclusion.must {
        Must::Find(stands) => Some((conclusion, stands.as_slice())),
        _ => None,
    })
}

/// The runs that cannot be, whatever came before.
fn runs(key: &Key) -> String {
    let said: Vec<String> = found(key)
        .flat_map(|(conclusion, stands)| {
            let certain = stands.iter().filter(|stand| stand.how == [How::Contradiction]);
            certain.map(move |stand| {
                let lines: Vec<String> = stand.lines.iter().map(ToString::to_string).collect();
                let at = if lines.is_empty() {
                    String::new()
                } else {
                    format!(" It shows at the latest on line {}.", lines.join(" or "))
                };
                format!("{}{at}", conclusion.because)
            })
        })
        .collect();
    if said.is_empty() { "There is none that this key knows.".to_owned() } else { said.join(" ") }
}

/// Rules that set papers or shown numbers against records.
fn is_of_papers(rule: &str) -> bool {
    rule.ends_with("-differs") || rule.ends_with("-differ") || rule.ends_with("-not-the-cases")
}

fn papers(key: &Key) -> String {
    let said: Vec<&str> = found(key)
        .filter(|(conclusion, _)| is_of_papers(conclusion.rule))
        .map(|(conclusion, _)| conclusion.because.as_str())
        .collect();
    if said.is_empty() { "There are none that this key knows.".to_owned() } else { said.join(" ") }
}

fn haste(key: &Key) -> String {
    format!(
        "Done here: {} A hasty reader takes that for the act of somebody. What may be said: {}",
        key.done.join(" "),
        key.concludes.join(" ")
    )
}

fn open(key: &Key) -> String {
    let said: Vec<String> = key
        .conclusions
        .iter()
        .filter(|conclusion| matches!(&conclusion.must, Must::Answer(said) if *said == [Said::CannotBeTold]))
        .map(|conclusion| format!("{}: {}", conclusion.rule, conclusion.because))
        .collect();
    if said.is_empty() {
        "This key fixes nothing of it. The report names for every answer 'cannot be told' its reason, and whom to ask for \
         what."
            .to_owned()
    } else {
        said.join(" ")
    }
}

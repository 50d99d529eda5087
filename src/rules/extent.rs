//! How far an answer reaches, in words: what was looked at, from where to where, and what was left out.

use crate::case::Phase;
use crate::finding::Place;
use crate::rules::{Known, Rule};
use crate::syntax::LineKind;

/// What a walk looked at.
#[derive(Debug, Default)]
pub(super) struct Reach {
    /// How many occasions there were.
    occasions: usize,
    /// The first and last line of them in the file.
    lines: Option<(usize, usize)>,
    /// Each line of an occasion, where the log holds a conflict.
    each: Vec<usize>,
    /// Lines of the case file that the occasions are, where they stand there and not in the log.
    pub(super) papers: Option<Vec<usize>>,
    /// What else the answer names.
    pub(super) beside: Vec<(&'static str, Place)>,
    /// What the occasions are called here, where the rule's own word for them would say too much.
    pub(super) called: Option<&'static str>,
}

impl Reach {
    /// Whether anything was looked at.
    pub(super) fn is_any(&self) -> bool {
        self.occasions > 0
    }

    /// Takes an occasion in.
    pub(super) fn add(&mut self, known: &Known<'_>, place: Place) {
        self.occasions += 1;
        let Place::Line(line) = place else { return };
        let (first, last) = self.lines.unwrap_or((line, line));
        self.lines = Some((first.min(line), last.max(line)));
        if !known.replay.deviations.is_empty() {
            self.each.push(line);
        }
    }
}

/// How far a walk reached: how many occasions, from where to where. `in_order` where it is to be said how many of them
/// are in order.
pub(super) fn looked_at(known: &Known<'_>, rule: &Rule, reach: &Reach, in_order: Option<usize>) -> String {
    let count = reach.occasions;
    let occasions = reach.called.unwrap_or(rule.occasions);
    let left_out = left_out(known, rule, reach);
    let mut text = match (&reach.papers, reach.lines) {
        (Some(lines), _) => return on_papers(occasions, count, lines, in_order),
        (None, _) if count == 0 => return none(known, occasions, left_out),
        (None, Some((first, last))) if first != last => {
            format!("{occasions}: {count}, from {} to {}", name(known, first), name(known, last))
        }
        (None, Some((only, _))) => format!("{occasions}: {count}, at {}", name(known, only)),
        (None, None) => format!("{occasions}: {count}"),
    };
    text.push_str(&seen_in_order(in_order, count));
    for (what, at) in &reach.beside {
        if let Place::Line(line) = at {
            text.push_str(&format!("; {what}: {}", name(known, *line)));
        }
    }
    if let Some((number, lines)) = left_out {
        text.push_str(&format!("; {number} in a conflict left out ({lines})"));
    }
    text
}

fn seen_in_order(in_order: Option<usize>, count: usize) -> String {
    in_order.map_or_else(String::new, |in_order| format!("; in order: {in_order} of {count} seen"))
}

/// That there was nothing to look at, and what there was beside.
fn none(known: &Known<'_>, occasions: &str, left_out: Option<(usize, String)>) -> String {
    match left_out {
        Some((number, lines)) => format!("no {occasions} but {number} in a conflict, left out ({lines})"),
        None if occasions.starts_with("readings") => {
            format!("no {occasions} that have a place in this log")
        }
        None if known.replay.deviations.is_empty() => format!("no {occasions} in this log"),
        None => format!("no {occasions} outside the conflicts of this log"),
    }
}

fn on_papers(occasions: &str, count: usize, lines: &[usize], in_order: Option<usize>) -> String {
    let words: Vec<String> = lines.iter().map(ToString::to_string).collect();
    let noun = if lines.len() == 1 { "line" } else { "lines" };
    let at = format!("{noun} {} of the case file", words.join(", "));
    match (lines, count) {
        ([], _) => format!("no {occasions} in the case file"),
        (_, 0) => format!("{occasions}: {at}, not set against the log"),
        _ => format!("{occasions}: {at}{}", seen_in_order(in_order, count)),
    }
}

/// A line by its displayed time and number.
fn name(known: &Known<'_>, line: usize) -> String {
    let log = known.log;
    let number = log.line_number(line);
    let time = log.lines().get(line).and_then(|entry| match entry.kind {
        LineKind::Record(place) => log.records().get(place)?.time,
        _ => None,
    });
    match time {
        Some(time) => format!("{time} (line {number})"),
        None => format!("line {number}"),
    }
}

/// The records in a conflict that would be occasions and are none: how many, and their lines. They are told by the rule's
/// word for its occasions, where that is the plural of an event.
fn left_out(known: &Known<'_>, rule: &Rule, reach: &Reach) -> Option<(usize, String)> {
    if known.replay.deviations.is_empty() {
        return None;
    }
    let of_poll = rule.occasions.strip_suffix(" of the poll");
    let event = of_poll.unwrap_or(rule.occasions).strip_suffix('s')?;
    let lines: Vec<usize> = (0..known.replay.steps.len())
        .filter(|step| known.in_conflict(*step))
        .filter(|step| of_poll.is_none() || known.may_be_at(*step, Phase::Poll))
        .filter_map(|step| known.record(step))
        .filter(|record| event == "record" || record.event.word() == event)
        .map(|record| record.line)
        .filter(|line| !reach.each.contains(line))
        .collect();
    let numbers = || lines.iter().map(|line| known.log.line_number(*line));
    let words = match (numbers().min()?, numbers().max()?) {
        (only, last) if only == last => format!("line {only}"),
        (first, last) if lines.len() == 2 => format!("lines {first} and {last}"),
        (first, last) => format!("from line {first} to line {last}"),
    };
    Some((lines.len(), words))
}

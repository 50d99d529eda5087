//! The log line by line: what each line says, what the unit may have been doing, what the rules saw there; or the same
//! sheet with empty fields, for a class.

use schemars::JsonSchema;
use serde::Serialize;

use crate::clock::hours;
use crate::event::Event;
use crate::examination::Examination;
use crate::finding::{Place, Verdict};
use crate::replay::{Belief, Cause, Order, State, Step};
use crate::report::evidence::number_and_time;
use crate::report::json;
use crate::report::page::{Page, Tone};
use crate::report::{DEMONSTRATION, Frame, IDENTITY_WITHHELD, Layout, NO_EVIDENCE, count, titled};
use crate::source::Shown;
use crate::syntax::{LineKind, Log};

/// What a blank field looks like.
const FIELD: &str = "........................";

/// One line of a log, walked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Row {
    /// Number of the line in the file, from 1.
    pub line: usize,
    /// The kind of line.
    pub kind: String,
    /// Code words of the line's faults, of those kept with their place.
    pub faults: Vec<&'static str>,
    /// The record's number as written.
    pub record: Option<String>,
    /// The record's time as displayed.
    pub time: Option<String>,
    /// The event's word.
    pub event: Option<String>,
    /// The line's text, with what secrecy covers replaced.
    pub text: String,
    /// Names of the states that the unit may have been in before the line; `null` where the line is not replayed.
    pub before: Option<Vec<String>>,
    /// Names of the states after it.
    pub after: Option<Vec<String>>,
    /// Whether the line is part of a contradiction, and so taken as unreadable for other questions.
    pub in_conflict: bool,
    /// What the people at the table were doing.
    pub at_the_table: Option<String>,
    /// How many records are missing by their numbers before this line, at least.
    pub missing_before: u64,
    /// When its record was made in true time at the earliest, and what binds that; `null` where nothing does, or where
    /// versions of the case file may bind it otherwise.
    pub not_before: Option<Bound>,
    /// When it was made at the latest, and what binds that.
    pub not_after: Option<Bound>,
    /// Findings that rest on the line: number and rule.
    pub findings: Vec<(usize, String)>,
    /// Ids of rules that have an open occasion at the line; the first few occasions of each rule.
    pub open: Vec<String>,
    /// The beliefs in words, for the page.
    #[serde(skip)]
    words: Option<(String, String)>,
}

/// An end of a record's bounds in true time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Bound {
    /// Civil time of the place to the second, rounded outwards; with `UTC` behind it where the zone of the place is not known.
    pub at: String,
    /// What binds it, in short: the reading by its line in the case file, and the assumptions.
    pub by: String,
}

impl Row {
    /// What the unit can have been before and after the line, in words, where the line is replayed.
    pub(super) fn states(&self) -> Option<(&str, &str)> {
        self.words.as_ref().map(|(before, after)| (before.as_str(), after.as_str()))
    }
}

/// The walk of several logs, as JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Walk {
    #[serde(skip_serializing_if = "Option::is_none")]
    demonstration: Option<&'static str>,
    source: Shown,
    /// SHA-256 of the file; none where it could tell what is covered.
    sha256: Option<String>,
    logs: Vec<WalkedLog>,
}

/// One log of the walk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct WalkedLog {
    /// Number of minimal contradictory stretches.
    contradictions: usize,
    /// Names of the states that the unit may be in after the last record.
    states_at_end: Vec<String>,
    /// The lines, in the order of the file.
    lines: Vec<Row>,
}

impl WalkedLog {
    fn of(examination: &Examination<'_>) -> WalkedLog {
        let replay = &examination.replay;
        WalkedLog {
            contradictions: replay.deviations.len(),
            states_at_end: replay.at_end.states().map(State::name).collect(),
            lines: rows(examination),
        }
    }
}

/// The rows of a log, one per line, in the order of the file.
#[must_use]
pub fn rows(examination: &Examination<'_>) -> Vec<Row> {
    let (log, replay) = (examination.log, &examination.replay);
    let mut steps: Vec<Option<usize>> = vec![None; log.lines().len()];
    let mut missing: Vec<u64> = vec![0; log.lines().len()];
    let mut hole = 0;
    for (at, step) in replay.steps.iter().enumerate() {
        let line = match step {
            Step::Record(place) => log.records().get(*place).map(|record| record.line),
            Step::Gap(gap) => {
                if gap.cause == Cause::Hole {
                    hole += gap.least;
                }
                gap.line
            }
        };
        if let Some(slot) = line.and_then(|line| steps.get_mut(line)) {
            *slot = Some(at);
        }
        if let (Step::Record(_), Some(slot)) = (step, line.and_then(|line| missing.get_mut(line))) {
            *slot = std::mem::take(&mut hole);
        }
    }
    let seen = Seen::of(examination);
    let ends = if examination.clock_is_one { examination.clock.ends() } else { Vec::new() };
    let bound = |step: Option<usize>, late: bool| {
        let [early, last] = ends.get(step?)?;
        let end = if late { last.as_ref()? } else { early.as_ref()? };
        let at = if late { end.at.second_after() } else { end.at.second_before() };
        Some(Bound { at: hours::civil(examination.case, at), by: end.grounds.words(&examination.clock) })
    };
    let lines = log.lines().iter().zip(steps).zip(missing).enumerate();
    lines
        .map(|(index, ((line, step), missing_before))| {
            let (record, time) = number_and_time(examination, index);
            let event = match line.kind {
                LineKind::Record(place) => log.records().get(place),
                _ => None,
            };
            let beliefs = step.and_then(|step| Some((replay.before.get(step).copied()?, replay.after(step))));
            Row {
                line: log.line_number(index),
                kind: line.kind.word().to_owned(),
                faults: faults_at(log, index),
                record,
                time,
                event: event.map(|record| log.word(record).to_string()),
                text: log.quote(index, &examination.secrecy).to_string(),
                before: beliefs.map(|(before, _)| names(before)),
                after: beliefs.map(|(_, after)| names(after)),
                in_conflict: step.is_some_and(|step| replay.in_conflict.get(step).copied().unwrap_or(false)),
                at_the_table: event.map(|record| at_the_table(record.event).to_owned()),
                missing_before,
                not_before: bound(step, false),
                not_after: bound(step, true),
                findings: seen.findings_at(index),
                open: seen.open_at(index),
                words: beliefs.map(|(before, after)| (before.words(), after.words())),
            }
        })
        .collect()
}

fn faults_at(log: &Log, line: usize) -> Vec<&'static str> {
    let from = log.faults().partition_point(|fault| fault.line < line);
    let here = log.faults().iter().skip(from).take_while(|fault| fault.line == line);
    here.map(|fault| fault.code.word()).collect()
}

fn names(belief: Belief) -> Vec<String> {
    belief.states().map(State::name).collect()
}

fn at_the_table(event: Event) -> &'static str {
    event.entry().map_or("Not known: the vocabulary does not hold this event.", |entry| entry.at_the_table)
}

/// What the rules saw, by line.
struct Seen {
    findings: Vec<(usize, usize, &'static str)>,
    open: Vec<(usize, &'static str)>,
}

impl Seen {
    fn of(examination: &Examination<'_>) -> Seen {
        let index = |place: &Place| {
            if let Place::Line(line) = place { Some(*line) } else { None }
        };
        let mut findings: Vec<(usize, usize, &'static str)> = Vec::new();
        for (at, finding) in examination.findings.iter().enumerate() {
            let places = std::iter::once(&finding.main).chain(&finding.others);
            findings.extend(places.filter_map(index).map(|line| (line, at + 1, finding.rule)));
        }
        findings.sort_unstable();
        findings.dedup();
        let mut open: Vec<(usize, &'static str)> = examination
            .answers
            .iter()
            .filter(|answer| answer.verdict != Verdict::DoesNotApply)
            .flat_map(|answer| answer.open_at.iter().filter_map(index).map(|line| (line, answer.rule)))
            .collect();
        open.sort_unstable();
        open.dedup();
        Seen { findings, open }
    }

    fn findings_at(&self, line: usize) -> Vec<(usize, String)> {
        let from = self.findings.partition_point(|(at, _, _)| *at < line);
        let here = self.findings.iter().skip(from).take_while(|(at, _, _)| *at == line);
        here.map(|(_, number, rule)| (*number, (*rule).to_owned())).collect()
    }

    fn open_at(&self, line: usize) -> Vec<String> {
        let from = self.open.partition_point(|(at, _)| *at < line);
        self.open
            .iter()
            .skip(from)
            .take_while(|(at, _)| *at == line)
            .map(|(_, rule)| (*rule).to_owned())
            .collect()
    }
}

/// The walk as JSON. States are given by name, so that another program can compare them.
#[must_use]
pub fn json(examinations: &[Examination<'_>], frame: &Frame) -> String {
    let first = examinations.first();
    let identity = first.and_then(|first| first.log.file_identity(&first.secrecy));
    json::text(&Walk {
        demonstration: frame.demonstration.then_some(NO_EVIDENCE),
        source: first.map_or_else(|| Shown::inert(""), |first| first.log.source().name()),
        sha256: identity.map(|(_, digest)| digest.to_string()),
        logs: examinations.iter().map(WalkedLog::of).collect(),
    })
}

/// The walk as a page.
#[must_use]
pub fn page(examinations: &[Examination<'_>], frame: &Frame, layout: Layout) -> String {
    let mut page = Page::new(layout, frame.demonstration.then_some(DEMONSTRATION));
    if frame.demonstration {
        page.text(0, Tone::Weighty, NO_EVIDENCE);
    }
    for examination in examinations {
        head(&mut page, examination, "The log, line by line");
        page.text(
            0,
            Tone::Plain,
            "Under a record stands what people at the table usually do when such a record is made, as the vocabulary says it: the log cannot show who did it, or why; and, where it \
             changes or becomes clearer, what the unit was: before, and after. 'Not known' is the honest beginning: \
             each record narrows what the unit can have been, and so does what comes later.",
        );
        if examination.replay.order != Order::File {
            page.text(
                0,
                Tone::Plain,
                "The records are replayed in the order of their numbers, which is not that of the file.",
            );
        }
        page.gap();
        let mut last = String::new();
        for row in rows(examination) {
            print_row(&mut page, examination, &row, &last);
            // What the page did not print about a record in a conflict must be said at the next.
            match row.words {
                Some(_) if row.in_conflict => last.clear(),
                Some((_, after)) => last = after,
                None => {}
            }
        }
    }
    page.finish()
}

fn head(page: &mut Page, examination: &Examination<'_>, title: &str) {
    page.head(title);
    let log = examination.log;
    page.field(0, "log", log.source().name().as_str());
    let identity = log.file_identity(&examination.secrecy);
    let digest = identity.map_or_else(|| IDENTITY_WITHHELD.to_owned(), |(_, digest)| digest.to_string());
    page.field(0, "SHA-256", &digest);
    page.gap();
}

/// `last` is what the unit was after the last line that was replayed: it is not said again.
fn print_row(page: &mut Page, examination: &Examination<'_>, row: &Row, last: &str) {
    if row.missing_before > 0 {
        let missing = usize::try_from(row.missing_before).unwrap_or(usize::MAX);
        page.text(
            10,
            Tone::Weighty,
            &format!("(by their numbers, {} missing here)", count(missing, "record is", "records are")),
        );
    }
    page.quote(0, &row.line.to_string(), " ", Tone::Head, &row.text);
    if let Some(table) = &row.at_the_table {
        page.field(10, "usually", table);
    }
    if row.in_conflict {
        page.field(10, "the unit", "not used to narrow the state: it lies in the stretch of a contradiction");
    } else if let Some((before, after)) = row.words.as_ref().filter(|(before, after)| before != after) {
        if before != last {
            page.field(10, "the unit, before", before);
        }
        page.field(10, "the unit, after", after);
    } else if row.kind == "unread" {
        page.field(10, "the unit", "this line could not be read, and may stand for any number of records");
    }
    for (number, rule) in &row.findings {
        let finding = number.checked_sub(1).and_then(|at| examination.findings.get(at));
        let title = finding.map_or("", titled);
        page.toned_field(10, &format!("finding {number}"), Tone::Weighty, &format!("{title} ({rule})"));
    }
    if !row.open.is_empty() {
        page.field(10, "open here", &row.open.join(", "));
    }
}

/// The same sheet with empty fields, to fill in with a class. It holds no answer.
#[must_use]
pub fn blank(examinations: &[Examination<'_>], frame: &Frame, layout: Layout) -> String {
    let mut page = Page::new(layout, frame.demonstration.then_some(DEMONSTRATION));
    if frame.demonstration {
        page.text(0, Tone::Weighty, NO_EVIDENCE);
    }
    for examination in examinations {
        head(&mut page, examination, "The log, line by line: a sheet to fill in");
        page.text(
            0,
            Tone::Plain,
            "For each record: what were the people at the table doing? What can the unit have been before it, and \
             what after it? Does anything stand against it, and what else could explain it?",
        );
        page.gap();
        for (index, line) in examination.log.lines().iter().enumerate() {
            let text = examination.log.quote(index, &examination.secrecy);
            let number = examination.log.line_number(index).to_string();
            page.quote(0, &number, " ", Tone::Head, text.as_str());
            if matches!(line.kind, LineKind::Record(_) | LineKind::Unread) {
                for label in ["at the table", "the unit, before", "the unit, after", "against it", "or else"]
                {
                    page.field(10, label, FIELD);
                }
                page.gap();
            }
        }
    }
    page.finish()
}

//! The pace of votes in words: measurements without answer and without probability.

mod ends;
mod tied;

use std::collections::BTreeMap;

use crate::examination::Examination;
use crate::finding::Place;
use crate::pace::measure::{HalfHour, RUN};
use crate::pace::{Measurements, Silence, duration};
use crate::report::count;
pub(super) use tied::Tied;

/// The title of the section, in every form.
pub(super) const TITLE: &str = "The pace of votes, measured";

/// What the group of half hours is called.
pub(super) const HALF_HOURS: &str = "votes per half hour";

/// What is said where nothing can be measured.
pub(super) const NOTHING: &str = "Fewer than two votes show a time, so that there is nothing to measure.";

/// What must be read before the measurements.
pub(super) const INTRODUCTION: &str = "These are measurements and no answers: none of them has a probability, and none changes an answer or the exit code. All \
     times are as the unit displayed them, but where it is said that they are true time; that holds as far as the section on the \
     unit's clock says. Half hours without a vote are left out. A pause and a clock that jumped ahead leave the same records: the log cannot say \
     why an interval is long or short.";

/// Why the pace is not tested.
pub(super) const NO_TEST: &str = "No test of chance is used on the pace, for the usual ones call clean days unusual. At a level of 0.001 the dispersion of \
     counts and Greenwood's test did so on up to 100% of clean days, a scan of five minutes on up to 97.5%, the largest gap \
     on up to 79.7%. These shares were measured for this project's generator of clean days, 400 days of each of seven \
     kinds; no real unit's rate is known.";

/// Measurements of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Group {
    /// What was measured.
    pub(super) about: &'static str,
    /// One statement each, with the lines of the log that it rests on.
    pub(super) rows: Vec<Row>,
}

/// One measurement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// It in words.
    pub(super) text: String,
    /// The length in milliseconds, or the number of votes; none where it is no single number.
    pub(super) value: Option<i64>,
    /// Numbers of the lines that it rests on.
    pub(super) lines: Vec<usize>,
}

/// The measurements of an examination, in a fixed order; empty where fewer than two votes can be measured.
pub(super) fn groups(examination: &Examination<'_>, measured: &Measurements) -> Vec<Group> {
    if measured.votes < 2 {
        return Vec::new();
    }
    let silences = |list: &[Silence]| list.iter().map(|one| silence(examination, one)).collect();
    let mut groups = vec![
        Group { about: HALF_HOURS, rows: half_hours(examination, measured) },
        Group { about: "opening and close", rows: ends::rows(examination, measured) },
        Group { about: "longest intervals", rows: silences(&measured.longest) },
        Group { about: "shortest intervals", rows: silences(&measured.shortest) },
        Group { about: "fastest runs", rows: runs(examination, measured) },
        Group { about: "spread", rows: spread(measured) },
    ];
    groups.retain(|group| !group.rows.is_empty());
    groups
}

/// Which votes were measured, in words.
pub(super) fn subject(examination: &Examination<'_>, measured: &Measurements) -> String {
    let left_out = match measured.left_out {
        0 => String::new(),
        number => format!(
            " {} left out, {}.",
            if number == 1 {
                "1 vote is".to_owned()
            } else {
                format!("{} are", count(number, "vote", "votes"))
            },
            match (number - measured.untimed, measured.untimed) {
                (_, 0) => "which the case file calls something else than the poll".to_owned(),
                (0, _) => "which show no time".to_owned(),
                (other, untimed) => format!(
                    "{other} of them because the case file calls them something else than the poll, and {untimed} because \
                     they show no time"
                ),
            }
        ),
    };
    // A vote of which nothing says what it was is measured.
    let unlabelled = measured.half_hours.iter().flat_map(|half| &half.steps).any(|step| {
        let place = examination.replay.record(*step);
        place.and_then(|place| examination.replay.labels.get(place)).is_none_or(|label| label.is_empty())
    });
    let others = if unlabelled {
        " Of some of them no paper that was read says what they were: votes of tests and mock polls may be among them."
    } else {
        ""
    };
    format!("Measured: {}.{others}{left_out}", count(measured.votes, "vote", "votes"))
}

fn line(examination: &Examination<'_>, step: usize) -> Option<usize> {
    let log = examination.log;
    let record = log.records().get(examination.replay.record(step)?)?;
    Some(log.line_number(record.line))
}

/// A record by its displayed time and line.
fn at(examination: &Examination<'_>, step: usize) -> String {
    let record = examination.replay.record(step).and_then(|place| examination.log.records().get(place));
    let time = record.and_then(|record| record.time).map(|time| time.to_string());
    let line = line(examination, step).map_or_else(String::new, |line| format!(" (line {line})"));
    format!("{}{line}", time.unwrap_or_default())
}

fn lines(examination: &Examination<'_>, steps: &[usize]) -> Vec<usize> {
    steps.iter().filter_map(|step| line(examination, *step)).collect()
}

fn half_hours(examination: &Examination<'_>, measured: &Measurements) -> Vec<Row> {
    let tied: Vec<Tied> = measured.half_hours.iter().map(|half| Tied::of(examination, &half.steps)).collect();
    // Where no vote is bound, the clock's own section says so once. Versions of the case file may bind them otherwise.
    let is_told = examination.clock_is_one && tied.iter().any(Tied::is_bound);
    let row = |(half, tied): (&HalfHour, &Tied)| {
        let (first, last) = (half.steps.first()?, half.steps.last()?);
        let votes = half.steps.len();
        let mut text = format!("from {}: {}", half.begins, count(votes, "vote", "votes"));
        if is_told {
            let ends = |from: &str, to: &str| format!("not before {from} and not after {to}");
            text.push_str(&format!("; in true time {}", tied.words(ends)));
        }
        Some(Row { text, value: i64::try_from(votes).ok(), lines: lines(examination, &[*first, *last]) })
    };
    measured.half_hours.iter().zip(&tied).filter_map(row).collect()
}

/// The half hours with measured votes, by the moment at which they begin, each with how far its votes are tied to true time;
/// empty where no vote is. A half hour that was displayed twice stands once.
pub(super) fn true_times(examination: &Examination<'_>) -> Vec<(i64, Tied)> {
    // Versions of the case file may bind the votes otherwise.
    if !examination.clock_is_one {
        return Vec::new();
    }
    let mut displayed: BTreeMap<i64, Vec<usize>> = BTreeMap::new();
    for half in examination.measurements().half_hours {
        displayed.entry(half.begins.ms()).or_default().extend(half.steps);
    }
    let tied: Vec<(i64, Tied)> =
        displayed.into_iter().map(|(begins, steps)| (begins, Tied::of(examination, &steps))).collect();
    if tied.iter().any(|(_, tied)| tied.is_bound()) { tied } else { Vec::new() }
}

/// Records named inside an interval; the rest is counted.
const NAMED: usize = 4;

fn silence(examination: &Examination<'_>, silence: &Silence) -> Row {
    let mut text = format!(
        "{} from {} to {}",
        duration(silence.ms),
        at(examination, silence.from),
        at(examination, silence.to)
    );
    if !silence.inside.is_empty() {
        let mut inside: Vec<String> = silence
            .inside
            .iter()
            .take(NAMED)
            .map(|one| {
                let word = examination
                    .replay
                    .record(one.step)
                    .and_then(|place| examination.log.records().get(place))
                    .map_or_else(String::new, |record| examination.log.word(record).to_string());
                format!("{word} at {}", at(examination, one.step))
            })
            .collect();
        if silence.inside.len() > NAMED {
            inside.push(count(silence.inside.len() - NAMED, "further record", "further records"));
        }
        text.push_str(&format!("; inside: {}", inside.join(", ")));
    }
    if silence.hidden {
        text.push_str("; records may be missing inside, so that it may be more than one interval");
    }
    Row { text, value: Some(silence.ms), lines: lines(examination, &[silence.from, silence.to]) }
}

fn runs(examination: &Examination<'_>, measured: &Measurements) -> Vec<Row> {
    measured
        .fastest
        .iter()
        .map(|run| Row {
            text: format!(
                "{RUN} votes in {}, from {} to {}",
                duration(run.ms),
                at(examination, run.first),
                at(examination, run.last)
            ),
            value: Some(run.ms),
            lines: lines(examination, &[run.first, run.last]),
        })
        .collect()
}

fn spread(measured: &Measurements) -> Vec<Row> {
    let Some(spread) = measured.spread else { return Vec::new() };
    let text = format!(
        "{}, {} different; a quarter are at most {}, half at most {}, three quarters at most {}; least {}, greatest {}",
        count(spread.number, "interval", "intervals"),
        spread.different,
        duration(spread.lower),
        duration(spread.middle),
        duration(spread.upper),
        duration(spread.least),
        duration(spread.greatest)
    );
    let mut rows = vec![Row { text, value: Some(spread.middle), lines: Vec::new() }];
    if measured.across > 0 {
        let text = format!(
            "left out: {}, inside which a clock may have been set or may have stopped, records may be missing or lie in a conflict, the display \
             went back, or the memory was cleared",
            count(measured.across, "interval", "intervals")
        );
        rows.push(Row { text, value: i64::try_from(measured.across).ok(), lines: Vec::new() });
    }
    rows
}

/// The number of a place's line.
pub(super) fn line_of(examination: &Examination<'_>, place: Place) -> Option<usize> {
    match place {
        Place::Line(line) => Some(examination.log.line_number(line)),
        Place::Log => None,
    }
}

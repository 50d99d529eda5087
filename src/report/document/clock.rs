//! The unit's clock: its readings, how far chosen records are tied to true time and what binds each end, readings that
//! conflict, slips that fit, and what would settle what cannot be told.

use crate::examination::Examination;
use crate::finding::Verdict;
use crate::report::clock::{self, End, Records};
use crate::report::coverage::Statement;
use crate::report::document::{Block, Definition, Edition, Place, Section, Table, Text, findings};
use crate::report::{asks, count, keys};
use crate::source::Shown;

/// What the public edition says of the readings.
const READ: &str = "What was read stands, by the half hour, with the other statements of the case file. Chosen records in true \
     time and what the ends hang on, slips that fit, and what would settle it stand in the full edition.";

/// The rule that looks for a common slip.
const SLIP: &str = "clock-slip";

/// The section.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("clock"), clock::TITLE).answering(&[9, 14]);
    if !examination.clock_is_one {
        section.say(
            Text::from("Contested facts bear on the clock: what follows is said of the first version that stands under ")
                .link(place.anchor("versions"), "where the papers disagree")
                .plain("."),
        );
    }
    let mut list: Vec<Definition> = Vec::new();
    let mut statements = clock::on_readings(examination);
    if place.edition == Edition::Public {
        // Where a reading stands among the records, and whether it fits them, hangs on the seconds of what stands beside it.
        statements.retain(|statement| ["clock", "clock's rate"].contains(&statement.about));
        if !examination.clock.readings().is_empty() {
            statements.push(Statement { about: "clock reading", text: READ.to_owned() });
        }
    }
    for statement in statements {
        let (text, _) = keys::apart(&statement.text);
        match list.last_mut() {
            Some(last) if last.term.as_str() == statement.about => last.texts.push(text.into()),
            _ => list.push(Definition::new(statement.about, text)),
        }
    }
    section.push(Block::Definitions(list));
    // A record's half hour on the display and that in true time together may be a few seconds.
    if place.edition == Edition::Public {
        return section;
    }
    let records = Records::of(examination);
    if examination.clock.is_bound() && !records.rows.is_empty() {
        bounds(&mut section, records);
    }
    slips(&mut section, place, examination);
    settle(&mut section, examination);
    section
}

/// Chosen records with both ends, and what each end hangs on.
fn bounds(section: &mut Section, records: Records) {
    let mut table = Table::new(
        "Chosen records in true time",
        &["record, as displayed", "why it stands here", "not before", "not after"],
    );
    for row in &records.rows {
        let end = |end: Option<&End>| match (end, &row.untold) {
            (Some(end), _) => end.words(),
            (None, Some(_)) => "cannot be told".to_owned(),
            (None, None) => "nothing bounds it".to_owned(),
        };
        table.push(vec![
            row.name.as_str().into(),
            row.about.into(),
            end(row.from.as_ref()).into(),
            end(row.to.as_ref()).into(),
        ]);
    }
    section.push(Block::Table(table));
    for untold in records.rows.iter().filter_map(|row| row.untold.as_deref()) {
        section.say(untold);
    }
    if !records.premises.is_empty() {
        section.say(clock::HANGS_ON);
        section.push(Block::Steps(
            records.premises.into_iter().map(|words| format!("{words}.").into()).collect(),
        ));
    }
}

/// Whether one common slip explains what the readings show.
fn slips(section: &mut Section, place: Place, examination: &Examination<'_>) {
    let found: Vec<usize> = examination
        .findings
        .iter()
        .enumerate()
        .filter(|(_, finding)| finding.rule == SLIP)
        .map(|(at, _)| at)
        .collect();
    for at in &found {
        let Some(finding) = examination.findings.get(*at) else { continue };
        let text = Text::from("Slips that fit: ").plain(&finding.shows).plain(" See ");
        let link = findings::link(place, examination, *at, &format!("finding {}", at + 1));
        section.say(text.and(link).plain("."));
    }
    let answer = examination.answers.iter().find(|answer| answer.rule == SLIP);
    if let Some(answer) = answer.filter(|answer| found.is_empty() && answer.verdict != Verdict::DoesNotApply)
    {
        section.say(
            Text::from(match answer.verdict {
                Verdict::Kept => {
                    "Slips that fit: none is needed; the readings fit a clock that was right. See "
                }
                _ => {
                    "Slips that fit: it cannot be told whether the readings fit a clock that was right. See "
                }
            })
            .link(place.rule(SLIP), SLIP)
            .plain("."),
        );
    }
}

/// What would settle what the clock leaves open: the requests that ask for readings.
fn settle(section: &mut Section, examination: &Examination<'_>) {
    let requests = asks::requests(examination);
    let of_clock = |what: &str| ["[[reading]]", "drift-ppm"].iter().any(|key| what.contains(key));
    let list: Vec<Text> = requests
        .iter()
        .filter(|request| of_clock(&request.what))
        .map(|request| {
            let rules = count(request.serves.len(), "rule", "rules");
            let (what, _) = keys::apart(&request.what);
            format!("{what}, of {} (for {rules}).", asks::office(request.of)).into()
        })
        .collect();
    if list.is_empty() {
        return;
    }
    section.push(Block::Definitions(vec![Definition {
        anchor: None,
        term: Shown::inert("what would settle it"),
        texts: list,
    }]));
}

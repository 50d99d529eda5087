//! The items: what was examined, under which unit description, how far the log speaks, and how sure its times and counts are.

use crate::counts::counted;
use crate::examination::Examination;
use crate::report::document::described;
use crate::report::document::matter::field;
use crate::report::document::order::NOT_IN_PUBLIC;
use crate::report::document::{Block, Definition, Edition, Place, Section, Table, Text};
use crate::report::{FONT, Frame, NOT_EXAMINED, count, coverage, grouped, share};
use crate::source::{Digest, Shown};
use crate::syntax::Stamp;

/// What was examined.
pub(super) fn section(
    place: Place,
    examination: &Examination<'_>,
    frame: &Frame,
    digest: Result<Digest, &str>,
) -> Section {
    let log = examination.log;
    let mut section = Section::new(place.anchor("items"), "What was examined").answering(&[5]);
    let mut table = Table::new("The items and their digests", &["item", "name", "#bytes", "SHA-256"]);
    let name = Text::new().code(log.source().name().as_str());
    let identity = log.file_identity(&examination.secrecy);
    let bytes = match place.edition {
        Edition::Full => identity.map_or_else(|| "withheld".to_owned(), |(bytes, _)| grouped(bytes as u64)),
        Edition::Public => "left out".to_owned(),
    };
    table.push(vec![
        "event log".into(),
        name,
        bytes.into(),
        match digest {
            Ok(digest) => Text::new().code(&digest.to_string()),
            Err(why) => why.into(),
        },
    ]);
    for (what, paper) in frame.papers().filter(|(what, _)| *what != FONT) {
        let (bytes, digest) = if place.edition == Edition::Public && states_times(what) {
            ("left out".into(), NOT_IN_PUBLIC.into())
        } else {
            (grouped(paper.bytes as u64).into(), Text::new().code(&paper.digest.to_string()))
        };
        table.push(vec![what.into(), Text::new().code(paper.name.as_str()), bytes, digest]);
    }
    section.push(Block::Table(table));
    if frame.case_file.is_none() {
        section.say("No case file: no paper was read beside the log.");
    }
    let mut facts = Vec::new();
    if let Some(format) = log.format() {
        facts.push(Definition::new("read as", &format));
    }
    if let Some((first, last)) = log.line_range() {
        let text = format!("{} to {} of the file", grouped(first as u64), grouped(last as u64));
        facts.push(Definition::new("its lines", text));
    }
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        // A header may hold a digest of what states times: the public edition does not tell it letter by letter.
        let value = match place.edition {
            Edition::Full => Text::new().code(value.shown().as_str()),
            Edition::Public => Text::from(&value.shown()),
        };
        facts.push(Definition::new(key.shown().as_str(), value));
    }
    if log.headers().is_empty() {
        section.say(
            "The log has no header lines: it does not say which unit it comes from or who wrote it out.",
        );
    } else {
        if log.header("exported-by").is_none() {
            facts.push(Definition::new("exported by", "not stated in the log"));
        }
        section.say("What the log says about itself:");
    }
    if !facts.is_empty() {
        section.push(Block::Definitions(facts));
    }
    let custody = &examination.case.custody;
    if custody.stated.is_empty() && custody.none.is_empty() {
        section.push(field("who held the unit and the export since the poll", None, 2));
    }
    section
}

/// Whether a paper states times that the public edition tells by the half hour.
fn states_times(what: &str) -> bool {
    what == "case file"
}

/// The unit description.
pub(super) fn unit(place: Place, examination: &Examination<'_>, frame: &Frame) -> Section {
    let unit = examination.unit;
    let mut section = Section::new(place.anchor("unit-description"), "The unit description").answering(&[7]);
    section.say(
        "Units differ by model and year. What a unit does is not built into this tool: it is read from a description. \
         Everything that is said below holds for a unit that does what this description says.",
    );
    let from = match &frame.unit_file {
        Some(file) => Text::from("the file ").code(file.name.as_str()),
        None => Text::from("built into the program"),
    };
    let told = |number: Option<u64>| number.map_or_else(|| "not stated".to_owned(), grouped);
    let yes = |flag: bool| if flag { "yes" } else { "no" };
    let mut facts = vec![
        Definition::new(
            "name",
            format!("{}, version {}", Shown::inert(&unit.name), Shown::inert(&unit.version)),
        ),
        Definition::new("where from", from),
        Definition::new("SHA-256", Text::new().code(&unit.digest.to_string())),
        Definition::new("records kept before the oldest is written over", grouped(unit.keeps)),
        Definition::new("first record number of a new unit", told(unit.first_number)),
        Definition::new("step from one record number to the next", told(unit.number_step)),
        Definition::new("most ballot units", unit.ballot_units.to_string()),
        Definition::new("a power cycle cancels a waiting enable", yes(unit.power_cycle_cancels_enable)),
        Definition::new("each change of a link leaves a record", yes(unit.links_recorded)),
        Definition::new("an export ends with a record of it", yes(unit.export_recorded)),
        Definition::new("least time that one vote takes, in milliseconds", told(unit.least_ms_per_vote)),
    ];
    if let Some((ppm, source)) = &unit.clock_ppm {
        let text = format!(
            "{} ({})",
            counted((*ppm).into(), "part per million", "parts per million"),
            Shown::inert(source)
        );
        facts.push(Definition::new("bound on the rate of the clock", text));
    }
    section.push(Block::Definitions(facts));
    section.say(
        Text::from(
            "Everything that it states, the acts that leave no record and the keys that the unit refuses included, stands in \
             the ",
        )
        .link(described::anchor(), "annex on the unit description")
        .plain("; the picture of the states stands under ")
        .link(place.anchor("pictures"), "the day in pictures")
        .plain("."),
    );
    section
}

/// How far the log speaks.
pub(super) fn coverage(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("coverage"), "How far the log speaks").answering(&[6]);
    let statements = coverage::statements(examination);
    section.push(Block::Definitions(
        statements
            .iter()
            .map(|statement| match (place.edition, statement.about) {
                // With the hours it would give a time back.
                (Edition::Public, share::ABOUT) => Definition::new(
                    statement.about,
                    Text::from("For what share of them the log can speak is left out in the public edition, as lengths of time are. Where it speaks is drawn by the half hour under ")
                        .link(place.anchor("pictures"), "the day in pictures")
                        .plain("."),
                ),
                (_, about) => Definition::new(about, statement.text.as_str()),
            })
            .collect(),
    ));
    section.say("Not examined, so that silence is not taken for an answer:");
    section.push(Block::List(NOT_EXAMINED.iter().map(|text| Text::from(*text)).collect()));
    section
}

/// How sure times and counts are.
pub(super) fn uncertainty(place: Place, examination: &Examination<'_>) -> Section {
    let mut section =
        Section::new(place.anchor("uncertainty"), "How sure times and counts are").answering(&[14]);
    let log = examination.log;
    let coarsest = log.records().iter().filter_map(|record| record.time).map(Stamp::step_ms).max();
    let step = match coarsest {
        Some(60_000) => {
            "The unit's display shows minutes: a displayed minute means from its begin to before the next."
        }
        Some(1_000) => {
            "The unit's display shows seconds: a displayed second means from its begin to before the next. A difference \
             of two displayed times is what the unit's clock counted, sure to one second either way."
        }
        Some(_) => {
            "The unit's display shows parts of a second. A difference of two displayed times is what the unit's clock counted, sure to one step of the display either way."
        }
        None => "No record carries a time.",
    };
    let numbers = format!(
        "The numbers of records and votes count what stands in the log: {}. What was written over, left out or could not \
         be read is not in them.",
        count(log.records().len(), "record", "records")
    );
    section.push(Block::List(vec![
        step.into(),
        clock(place.edition, examination).into(),
        Text::from(numbers)
            .plain(" How much that may be stands under ")
            .link(place.anchor("coverage"), "how far the log speaks")
            .plain("."),
    ]));
    section
}

/// What is known of the unit's clock against true time.
fn clock(edition: Edition, examination: &Examination<'_>) -> String {
    let clock = &examination.clock;
    let readings = clock.readings().len();
    if readings == 0 {
        return "Times are those that the unit displayed. No reading of its clock against another clock is stated, so how \
                far it was from true time is not known."
            .to_owned();
    }
    let mut text = format!(
        "Times are those that the unit displayed. {} of its clock against another clock {} stated.",
        count(readings, "reading", "readings"),
        if readings == 1 { "is" } else { "are" }
    );
    if let Some(rate) = clock.rate() {
        text.push_str(&format!(
            " Between readings its rate is taken to be right within {} ({}).",
            counted(rate.ppm.into(), "part per million", "parts per million"),
            rate.source
        ));
    }
    if edition == Edition::Public {
        return text + " What follows from them for single records stands in the full edition.";
    }
    if !clock.conflicts().is_empty() {
        text.push_str(" Some readings cannot all be right together; nothing is concluded from those.");
    }
    if !clock.is_bound() {
        text.push_str(" None of them binds the time of a record.");
    }
    text
}

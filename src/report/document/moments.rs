//! What the public edition leaves to the full one: the rules that set the time of single records against another moment.
//!
//! Whether such a rule is kept, how many findings it has, and even that it cannot be told, says on which side of that moment a
//! vote lies. A unit's clock is never right to the second, and an hour need not be a whole half hour; so that side, and the
//! half hour of the vote, can together be a few seconds. No count of occasions and no half hour of a finding can be told
//! either. So the public edition is the document of another examination: of the same log, without what sets votes against
//! moments in numbers, and without the answers and findings of these rules. Nothing of them can then stand anywhere.

use crate::case::{Case, CountOf, SettingOf};
use crate::examination::{Examination, examine};
use crate::report::count;
use crate::report::document::{Anchor, Block, Edition, Place, Row, Section, Table, Text};
use crate::rules::{Family, RULES, Rule};
use crate::unit::UnitDescription;

/// Rules beside the families of hours and pace that set the time of single records against another moment: a reading of the
/// clock, the day of the poll, a number noted at a time, a time of storage, the time of the export or of the record before.
const SET_AGAINST_MOMENTS: [&str; 10] = [
    "clock-offset",
    "clock-rate",
    "clock-slip",
    "cover-opened",
    "poll-day-not-displayed",
    "readings-conflict",
    "record-after-export",
    "time-decreases",
    "tokens-differ",
    "turnout-differs",
];

/// Whether a rule sets the time of single records against another moment.
fn is_on_moments(rule: &Rule) -> bool {
    matches!(rule.family, Family::Hours | Family::Pace) || SET_AGAINST_MOMENTS.contains(&rule.id)
}

/// The rules that a document of an edition answers.
pub(super) fn answered(edition: Edition) -> impl Iterator<Item = &'static Rule> {
    RULES.iter().copied().filter(move |rule| edition == Edition::Full || !is_on_moments(rule))
}

/// How many rules it leaves to the full edition.
fn left() -> usize {
    RULES.len() - answered(Edition::Public).count()
}

/// Case and unit description of a public edition: without the numbers that hang on the moments of votes, so that no number
/// of the document does.
pub(super) struct Papers {
    case: Case,
    unit: UnitDescription,
}

impl Papers {
    /// Those of an examination.
    pub(super) fn of(examination: &Examination<'_>) -> Papers {
        let mut case = examination.case.clone();
        case.turnout.clear();
        case.counts.retain(|stated| stated.value.what != CountOf::Tokens);
        case.settings.numbers.retain(|stated| stated.value.0 != SettingOf::SecondsPerVote);
        Papers { case, unit: UnitDescription { least_ms_per_vote: None, ..examination.unit.clone() } }
    }

    /// The examination that the public edition tells. What the papers state it tells of the whole case file.
    pub(super) fn examine<'p>(&'p self, whole: &'p Examination<'_>) -> Examination<'p> {
        let mut public = examine(whole.log, &self.case, &self.unit);
        let is_told = |id: &str| answered(Edition::Public).any(|rule| rule.id == id);
        public.answers.retain(|answer| is_told(answer.rule));
        public.findings.retain(|finding| is_told(finding.rule));
        Examination { case: whole.case, unit: whole.unit, ..public }
    }
}

/// What the first lines say of them.
pub(super) fn in_short(place: Place) -> Text {
    Text::from("This is said of the rules that this edition answers. ")
        .plain(&format!("{} more, all on hours, pace and other moments, ", count(left(), "rule", "rules")))
        .plain("are answered, with their findings if there are any, in the full edition only (")
        .link(anchor(place), "they are listed below")
        .plain(").")
}

fn anchor(place: Place) -> Anchor {
    place.anchor("in-the-full-edition")
}

/// The rules that are answered in the full edition only.
pub(super) fn section(place: Place) -> Section {
    let mut section =
        Section::new(anchor(place), "Rules that are answered in the full edition only").answering(&[12, 13]);
    section.say(
        "Each of these rules sets the time of single records against another moment: a stated hour, a reading of the clock, a \
         number noted at a time, or the time of another record. Its answer would say on which side of that moment a vote \
         lies; even that it cannot be told would say that a vote lies near it. So this edition gives neither their answers nor their findings, \
         and not what they ask for. That a rule stands here says nothing for it or against it: the same rules stand here in \
         every public edition.",
    );
    section.say(
        "No other answer of this edition rests on a turnout noted at a time, on the tokens given out at the \
         closing hour, or on the least time that a vote takes. Findings are numbered here by themselves: in the full edition \
         they can have other numbers.",
    );
    let mut table = Table::new("Left to the full edition", &["rule", "asked of the record"]);
    for rule in RULES.iter().filter(|rule| is_on_moments(rule)) {
        let cells = vec![Text::new().code(rule.id), rule.asks.into()];
        table.rows.push(Row { anchor: Some(place.rule(rule.id)), cells });
    }
    section.push(Block::Table(table));
    section
}

/// Of the rules that a question names, those that are left to the full edition; `None` where it names none.
pub(super) fn of_question(place: Place, ids: &[String]) -> Option<Text> {
    if place.edition == Edition::Full {
        return None;
    }
    let mut text = Text::new();
    for rule in RULES.iter().filter(|rule| is_on_moments(rule) && ids.iter().any(|id| id == rule.id)) {
        let lead = if text.0.is_empty() {
            "Of the rules that it names, the full edition alone answers: "
        } else {
            ", "
        };
        text = text.plain(lead).link(place.rule(rule.id), rule.id);
    }
    (!text.0.is_empty()).then(|| text.plain("."))
}

//! The answer to every rule, family by family.

use comfy_table::{ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width};

use crate::examination::Examination;
use crate::finding::{Answer, Verdict};
use crate::report::page::{Page, Tone};
use crate::report::summary;
use crate::rules::{Family, RULES, Rule};

/// Prints the table of answers.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    page.head("Answers, rule by rule");
    page.text(
        0,
        Tone::Plain,
        "A rule here is a question put to the record, not a rule of law. A rule is kept when every occasion for it is in order and none can have gone unseen. It is not kept when at \
         least one occasion is contrary to it. Otherwise it cannot be told.",
    );
    let mut family: Option<Family> = None;
    let mut rows: Vec<(&Rule, &Answer)> = Vec::new();
    for (rule, answer) in RULES.iter().filter_map(|rule| Some((*rule, answer_of(examination, rule.id)?))) {
        if family != Some(rule.family) {
            print_family(page, examination, family, &rows);
            rows.clear();
            family = Some(rule.family);
        }
        rows.push((rule, answer));
    }
    print_family(page, examination, family, &rows);
    versions(page, examination);
}

/// The answer to a rule.
pub(super) fn answer_of<'e>(examination: &'e Examination<'_>, id: &str) -> Option<&'e Answer> {
    examination.answers.iter().find(|answer| answer.rule == id)
}

fn print_family(
    page: &mut Page,
    examination: &Examination<'_>,
    family: Option<Family>,
    rows: &[(&Rule, &Answer)],
) {
    let Some(family) = family else { return };
    page.gap();
    page.text(0, Tone::Head, title(family));
    if page.is_narrow() {
        for (rule, answer) in rows {
            let tone = if answer.verdict == Verdict::NotKept { Tone::Weighty } else { Tone::Plain };
            page.item(0, "-", rule.asks);
            page.text(2, tone, &format!("{}: {}", rule.id, verdict(examination, answer, ", ")));
            page.text(2, Tone::Quiet, &answer.extent);
        }
        return;
    }
    let mut table = Table::new();
    table.load_style(TableStyle::new().header_separator(LineStyle::none().fill('\u{2500}')));
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(page.width()).unwrap_or(u16::MAX));
    table.set_header(["what is asked of the record", "answer", "how far it reaches"]);
    for (rule, answer) in rows {
        let verdict = verdict(examination, answer, "\n");
        table.add_row([format!("{}\n{}", rule.asks, rule.id), verdict, answer.extent.clone()]);
    }
    // No id is cut: the first column is as wide as the longest of all, with a space on both sides.
    let longest = RULES.iter().map(|rule| rule.id.len()).max().unwrap_or(0) + 2;
    let verdict = Verdict::DoesNotApply.words().len() + 2;
    table.set_constraints([longest, verdict].map(|columns| {
        ColumnConstraint::LowerBoundary(Width::Fixed(u16::try_from(columns).unwrap_or(u16::MAX)))
    }));
    page.lines(table.lines());
}

/// An answer in words; where it is not kept, with how that follows and whether it may be lawful.
fn verdict(examination: &Examination<'_>, answer: &Answer, between: &str) -> String {
    match summary::standing(examination, answer) {
        Some(standing) => format!("NOT KEPT{between}{standing}"),
        None => answer.verdict.words().to_owned(),
    }
}

/// A family's head.
pub(in crate::report) fn title(family: Family) -> &'static str {
    match family {
        Family::Record => "The export as a record",
        Family::Procedure => "The order of events and the procedure of the poll",
        Family::Hours => "The hours of the poll",
        Family::Clock => "The unit's clock",
        Family::Counts => "Numbers that must agree",
        Family::Pace => "The time between votes",
    }
}

fn versions(page: &mut Page, examination: &Examination<'_>) {
    let differing: Vec<&Answer> =
        examination.answers.iter().filter(|answer| !answer.versions.is_empty()).collect();
    if examination.versions.len() < 2 {
        return;
    }
    page.gap();
    page.text(0, Tone::Head, "Where the papers disagree");
    page.text(
        0,
        Tone::Plain,
        "The case file states some facts in more than one version. The log was examined under each. Where the answer to \
         a rule differs between them, it cannot be told. A finding that not every version gives is conditional, and \
         names its version.",
    );
    for (place, version) in examination.versions.iter().enumerate() {
        page.item(0, &format!("{}.", place + 1), version.as_str());
    }
    if examination.versions_cut {
        page.text(0, Tone::Weighty, "There are more versions than these; the others were not examined.");
    }
    if differing.is_empty() {
        page.text(0, Tone::Plain, "Every rule has the same answer under each of them.");
    }
    for answer in differing {
        page.text(0, Tone::Plain, &format!("The answer to {} differs:", answer.rule));
        for (version, verdict) in &answer.versions {
            page.item(2, "-", &format!("{}, if this holds: {version}", verdict.words()));
        }
    }
}

//! Findings: each with its lines in place, what it rests on, its ordinary explanations and what decides them.

use crate::examination::{Examination, ONE_VERSION};
use crate::finding::{Finding, Kind, Place as At, Weight};
use crate::report::document::{Anchor, Block, Definition, Line, Mark, Place, Section, Text, annex};
use crate::report::evidence::{self, Role};
use crate::report::sums::{self, Sum};
use crate::report::terminal::basis;
use crate::report::{count, explanations, grouped, titled};
use crate::rules::Rule;
use crate::source::Shown;

/// How many findings of one rule are told in full; the rest is listed by line.
const IN_FULL: usize = 50;

/// What the marks of quoted lines mean.
const LEGEND: &str = "Before a line of the log stands its number in the file, which leads to the line in the annex. The \
     line marked 'this' is the one that the finding is about, a line marked 'also' shows it too, and lines without a mark \
     stand beside them.";

/// The section on findings.
pub(super) fn section(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("findings"), "Findings").answering(&[9, 10]);
    section.on_new_page = true;
    if examination.findings.is_empty() {
        section.say("None. That is a statement about the rules and the lines named here and no more.");
        return section;
    }
    section.say(
        "A finding is an occasion found contrary to a rule. Beside its title stands in one word how it follows, and in one what \
         it weighs:",
    );
    let (mut kinds, mut weights): (Vec<Kind>, Vec<Weight>) =
        examination.findings.iter().map(|finding| (finding.kind, finding.weight)).unzip();
    kinds.sort_unstable();
    kinds.dedup();
    weights.sort_unstable();
    weights.dedup();
    let kinds = kinds.into_iter().map(|kind| (kind.word(), kind.meaning()));
    let weights = weights.into_iter().map(|weight| (weight.word(), weight.meaning()));
    let meaning = |(word, meaning): (&str, &str)| Definition::new(word, format!("{meaning}."));
    section.push(Block::Definitions(kinds.chain(weights).map(meaning).collect()));
    section.say(LEGEND);
    section.say(
        "What would change any of them: evidence for one of its ordinary explanations, an export that differs from this \
         one, or a unit description under which these records are foreseen.",
    );
    let has_asks = |finding: &Finding| {
        examination.answers.iter().any(|answer| answer.rule == finding.rule && !answer.asks.is_empty())
    };
    if examination.findings.iter().any(has_asks) {
        section.say(
            Text::from("Further occasions for the same rules may lie where this log does not reach. What would show them stands under ")
                .link(place.anchor("requests"), "what to ask for, and of whom")
                .plain("."),
        );
    }
    let sums = sums::told(examination);
    for (rule, of_rule) in examination.findings_by_rule() {
        section.sections.extend(of_one_rule(place, examination, rule, &of_rule, &sums));
    }
    section
}

fn of_one_rule(
    place: Place,
    examination: &Examination<'_>,
    rule: &'static Rule,
    findings: &[(usize, &Finding)],
    sums: &[Sum],
) -> Vec<Section> {
    let mut sections: Vec<Section> = findings
        .iter()
        .take(IN_FULL)
        .map(|(at, finding)| finding_section(place, examination, (*at, finding), sums))
        .collect();
    let mut on_all = Section::new(
        on_rule(place, rule.id),
        &if findings.len() == 1 {
            "On this finding".to_owned()
        } else {
            format!("On each of these {} findings", grouped(findings.len() as u64))
        },
    )
    .answering(&[11]);
    if findings.len() > IN_FULL {
        let mut text = Text::from(format!(
            "{} under the same rule: ",
            count(findings.len() - IN_FULL, "further finding", "further findings")
        ));
        for (nth, (at, finding)) in findings.iter().skip(IN_FULL).enumerate() {
            let comma = if nth == 0 { "" } else { ", " };
            text = text
                .plain(&format!("{comma}{} (", at + 1))
                .and(at_place(place, examination, finding))
                .plain(")");
        }
        on_all.say(text.plain(". The JSON form holds them in full."));
    }
    let mut facts = vec![
        Definition::new("the rule asks", Text::from(rule.asks).plain(" ").link(place.rule(rule.id), rule.id)),
        Definition::new("why", rule.why),
        Definition {
            anchor: None,
            term: Shown::inert("it rests on"),
            texts: basis(examination, rule)
                .into_iter()
                .map(|(label, text)| Text::new().strong(label).plain(": ").and((&text).into()))
                .collect(),
        },
    ];
    let (open, against) = explanations::of(rule, findings);
    let open = open.iter().map(|open| {
        Text::from(open.account)
            .plain(" ")
            .strong("What decides it:")
            .plain(&format!(" {}.{}", open.decided_by, open.but))
    });
    facts.push(Definition {
        anchor: None,
        term: Shown::inert("ordinary explanations that stay open"),
        texts: open.chain([Text::from("Other explanations may exist.")]).collect(),
    });
    if !against.is_empty() {
        facts.push(Definition {
            anchor: None,
            term: Shown::inert("ordinary explanations that the record speaks against"),
            texts: against
                .iter()
                .map(|against| {
                    Text::from(against.account)
                        .plain(" ")
                        .strong("Against it:")
                        .plain(&format!(" {}", against.says.join(" ")))
                })
                .collect(),
        });
    }
    facts.push(Definition {
        anchor: None,
        term: Shown::inert("to examine next"),
        texts: rule.look_next.iter().map(|next| Text::from(*next)).collect(),
    });
    on_all.push(Block::Definitions(facts));
    // What is common to all stands below the last of them: it is read with them, and said once.
    sections.push(on_all);
    sections
}

/// Where what is common to all findings of a rule is told.
pub(super) fn on_rule(place: Place, rule: &str) -> Anchor {
    place.anchor(&format!("on-{rule}"))
}

fn finding_section(
    place: Place,
    examination: &Examination<'_>,
    (at, finding): (usize, &Finding),
    sums: &[Sum],
) -> Section {
    let mut section = Section::new(place.finding(at), &format!("Finding {}. {}", at + 1, titled(finding)));
    section.tags = [finding.kind.word(), finding.weight.word()].map(Shown::inert).to_vec();
    // A finding of one version of the contested facts must not be read as one of the log as it stands.
    if finding.assumptions.iter().any(|assumption| assumption.0.starts_with(ONE_VERSION)) {
        section.tags.push(Shown::inert("only under one version of the contested facts"));
    }
    let mut facts = vec![
        Definition::new("expected", finding.expected.as_str()),
        Definition::new("the record shows", finding.shows.as_str()),
    ];
    if let Some(measured) = &finding.measured {
        facts.push(Definition::new("measured", measured.as_str()));
    }
    let sums: Vec<Text> =
        sums::of_finding(examination, sums, finding).map(|sum| sum.text.as_str().into()).collect();
    if !sums.is_empty() {
        facts.push(Definition { anchor: None, term: Shown::inert("the sum"), texts: sums });
    }
    if !finding.assumptions.is_empty() {
        facts.push(Definition {
            anchor: None,
            term: Shown::inert("it assumes"),
            texts: finding.assumptions.iter().map(|assumption| assumption.0.as_str().into()).collect(),
        });
    }
    let seen_in = evidence::seen_in(examination, finding);
    if !seen_in.is_empty() {
        let mut text = Text::from(match finding.main {
            At::Line(_) => "The line that it is about is shown too by",
            At::Log => "Lines that show it are shown too by",
        });
        for (nth, other) in seen_in.iter().enumerate() {
            let between = if nth == 0 { " " } else { ", " };
            text =
                text.plain(between).and(link(place, examination, *other, &format!("finding {}", other + 1)));
        }
        facts.push(Definition::new("same line", text.plain(".")));
    }
    if let Some(text) = belongs_with(place, examination, at, finding) {
        facts.push(Definition::new("belongs with", text));
    }
    section.push(Block::Definitions(facts));
    let (lines, left_out) = evidence::lines(examination, finding);
    if lines.is_empty() {
        section.say("Its place is the log as a whole.");
        return section;
    }
    section.push(Block::Lines(quoted(place, examination, &lines)));
    if left_out > 0 {
        section.say(format!("And {} that show it too.", count(left_out, "line", "lines")));
    }
    section
}

/// Lines of the log with their marks, linked to the annex.
pub(super) fn quoted(place: Place, examination: &Examination<'_>, lines: &[(usize, Role)]) -> Vec<Line> {
    let mut last: Option<usize> = None;
    let quote = |(line, role): &(usize, Role)| {
        let after_gap = last.is_some_and(|last| last + 1 < *line);
        last = Some(*line);
        Line {
            anchor: None,
            link: annex::holds(examination, *line).then(|| place.line(examination.log.line_number(*line))),
            number: examination.log.line_number(*line),
            mark: match role {
                Role::Main => Mark::Main,
                Role::Other => Mark::Also,
                Role::Context => Mark::Beside,
            },
            after_gap,
            text: annex::line_text(place, examination, *line),
            notes: Vec::new(),
        }
    };
    lines.iter().map(quote).collect()
}

fn belongs_with(place: Place, examination: &Examination<'_>, at: usize, finding: &Finding) -> Option<Text> {
    let group = finding.group?;
    let findings = examination.findings.iter().enumerate();
    let others: Vec<usize> = findings
        .filter(|(other, entry)| entry.group == Some(group) && *other != at)
        .map(|(other, _)| other)
        .collect();
    if others.is_empty() {
        return None;
    }
    let mut text = Text::from(if others.len() == 1 { "finding " } else { "findings " });
    for (nth, other) in others.iter().take(IN_FULL).enumerate() {
        if nth > 0 {
            text = text.plain(", ");
        }
        text = text.and(link(place, examination, *other, &(other + 1).to_string()));
    }
    Some(text.plain(": they rest on one conflict among the records; read them as one."))
}

fn at_place(place: Place, examination: &Examination<'_>, finding: &Finding) -> Text {
    match finding.main {
        At::Line(line) => {
            let number = examination.log.line_number(line);
            let words = format!("line {number}");
            if annex::holds(examination, line) {
                Text::new().link(place.line(number), &words)
            } else {
                words.into()
            }
        }
        At::Log => "the log as a whole".into(),
    }
}

/// Words that lead to a finding, where it is told in full.
pub(super) fn link(place: Place, examination: &Examination<'_>, at: usize, words: &str) -> Text {
    let rule = examination.findings.get(at).map(|finding| finding.rule);
    let before = examination.findings.iter().take(at).filter(|finding| Some(finding.rule) == rule).count();
    if rule.is_some() && before < IN_FULL { Text::new().link(place.finding(at), words) } else { words.into() }
}

//! What else a report must hold: the papers, the rules kept and those without a subject, comments, faults, unknown words.

use crate::examination::Examination;
use crate::finding::Verdict;
use crate::report::evidence::Role;
use crate::report::page::{Page, Tone};
use crate::report::terminal::findings::print_line;
use crate::report::{count, papers, vocabulary};
use crate::rules;
use crate::syntax::{self, Fault, LineKind};

/// How many comments are printed; the rest is counted.
const COMMENTS: usize = 40;

/// How many faults are drawn; the rest is counted.
const FAULTS: usize = 6;

/// Prints the sections.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    stated(page, examination);
    kept(page, examination);
    no_subject(page, examination);
    comments(page, examination);
    faults(page, examination);
    unknown(page, examination);
}

fn stated(page: &mut Page, examination: &Examination<'_>) {
    let statements = papers::statements(examination.case);
    if statements.is_empty() {
        return;
    }
    page.head("What the case file states");
    for paper in statements {
        let unused = if paper.used { "" } else { " Printed, and used by no rule." };
        page.field(
            0,
            paper.about,
            &format!("{}, {} (line {}).{unused}", paper.text, paper.basis, paper.line),
        );
    }
}

fn kept(page: &mut Page, examination: &Examination<'_>) {
    page.head("Rules that were kept");
    let kept: Vec<_> = examination.answers.iter().filter(|answer| answer.verdict == Verdict::Kept).collect();
    if kept.is_empty() {
        page.text(0, Tone::Plain, "None can be said to have been kept on this record alone.");
        return;
    }
    page.text(
        0,
        Tone::Plain,
        "Every occasion for these rules was seen and is in order. How far each answer reaches stands in the table of \
         answers.",
    );
    for answer in kept {
        let asks = rules::rule(answer.rule).map_or("", |rule| rule.asks);
        page.item(0, "-", &format!("{asks} ({})", answer.rule));
    }
}

fn no_subject(page: &mut Page, examination: &Examination<'_>) {
    let list: Vec<_> = examination.answers.iter().filter(|a| a.verdict == Verdict::DoesNotApply).collect();
    if list.is_empty() {
        return;
    }
    page.head("Rules that do not apply");
    for answer in list {
        let asks = rules::rule(answer.rule).map_or("", |rule| rule.asks);
        page.item(0, "-", &format!("{asks} ({}) Why not: {}.", answer.rule, answer.why.join("; ")));
    }
}

fn comments(page: &mut Page, examination: &Examination<'_>) {
    let lines: Vec<usize> = lines_of(examination, |kind| kind == LineKind::Comment);
    if lines.is_empty() {
        return;
    }
    page.head("Comments in the log");
    page.text(
        0,
        Tone::Plain,
        "Somebody wrote these lines into the file. They are no records, and no rule rests on them.",
    );
    lines.iter().take(COMMENTS).for_each(|line| print_line(page, examination, *line, Role::Context));
    if lines.len() > COMMENTS {
        page.text(
            0,
            Tone::Quiet,
            &format!("and {}", count(lines.len() - COMMENTS, "further comment", "further comments")),
        );
    }
}

fn faults(page: &mut Page, examination: &Examination<'_>) {
    let log = examination.log;
    if log.faults().is_empty() {
        return;
    }
    page.head("Text that does not have the form of the format");
    let unread = lines_of(examination, |kind| kind == LineKind::Unread);
    page.text(
        0,
        Tone::Plain,
        &format!(
            "{}. {} not read as a record, and each may stand for any number of records. The excerpts show the place \
             and the form that is expected.",
            count(log.fault_counts().total(), "place", "places"),
            match unread.len() {
                0 => "No line was".to_owned(),
                1 => "1 line was".to_owned(),
                _ => format!("{} were", count(unread.len(), "line", "lines")),
            }
        ),
    );
    page.gap();
    for fault in log.faults().iter().take(FAULTS) {
        draw(page, examination, fault);
    }
    // A log may have more faults than it keeps: the counts are of all.
    for (code, all) in log.fault_counts().iter() {
        let drawn = log.faults().iter().take(FAULTS).filter(|fault| fault.code == code).count();
        if all > drawn {
            let further = count(all - drawn, "further place", "further places");
            page.item(
                0,
                "-",
                &format!("{further} of the same form: {} ({})", code.entry().message, code.word()),
            );
        }
    }
}

/// One fault: the line, the place in it, what is wrong there, and the right form.
fn draw(page: &mut Page, examination: &Examination<'_>, fault: &Fault) {
    let report = syntax::report(examination.log, fault);
    let number = examination.log.line_number(fault.line).to_string();
    page.quote(0, &number, " ", Tone::Head, report.excerpt());
    let entry = fault.code.entry();
    let mark = report.mark();
    match report.excerpt().get(mark.start..mark.end).map(str::trim).filter(|text| !text.is_empty()) {
        Some(text) if text.len() < report.excerpt().len() => {
            page.text(10, Tone::Plain, &format!("at {text} : {} ({})", entry.message, fault.code.word()));
        }
        _ => page.text(10, Tone::Plain, &format!("{} ({})", entry.message, fault.code.word())),
    }
    page.text(10, Tone::Quiet, &format!("right form: {}", entry.help));
}

fn unknown(page: &mut Page, examination: &Examination<'_>) {
    let unknown = vocabulary::unknown(examination.log);
    if unknown.is_empty() {
        return;
    }
    page.head("Words that the vocabulary does not know");
    page.text(
        0,
        Tone::Plain,
        "They are kept and counted, and nothing is guessed about them. An unknown event may have changed the unit in \
         any way.",
    );
    for word in unknown {
        let times = count(word.times, "time", "times");
        page.field(0, word.what, &format!("{}: {times}, first on line {}", word.word, word.first_line));
    }
}

fn lines_of(examination: &Examination<'_>, wanted: impl Fn(LineKind) -> bool) -> Vec<usize> {
    let lines = examination.log.lines().iter().enumerate();
    lines.filter(|(_, line)| wanted(line.kind)).map(|(index, _)| index).collect()
}

//! What cannot be told: why, what to ask for and of whom, and the occasions that stay open with their lines.

use crate::examination::Examination;
use crate::finding::{Place, Verdict};
use crate::report::evidence::Role;
use crate::report::page::{Page, Tone};
use crate::report::terminal::findings::print_line;
use crate::report::{OPEN_SHOWN, asks, count};
use crate::rules;

/// Prints the sections.
pub(super) fn print(page: &mut Page, examination: &Examination<'_>) {
    cannot_be_told(page, examination);
    requests(page, examination);
    occasions(page, examination);
}

fn cannot_be_told(page: &mut Page, examination: &Examination<'_>) {
    page.head("What cannot be told, and why");
    let by_reason = asks::by_reason(examination);
    if by_reason.is_empty() {
        page.text(0, Tone::Plain, "Nothing among these rules.");
        return;
    }
    page.text(
        0,
        Tone::Plain,
        "For these rules the answer stays open. Records in a conflict, and findings under one version of a contested fact, \
         are set apart; what may have gone unseen could be in order or contrary.",
    );
    for (why, answers) in by_reason {
        page.gap();
        page.text(0, Tone::Plain, "Not told, because:");
        why.iter().for_each(|why| page.item(2, "-", &format!("{why}.")));
        for answer in answers {
            let asks = rules::rule(answer.rule).map_or("", |rule| rule.asks);
            page.item(0, ">", &format!("{asks} ({})", answer.rule));
            if !answer.versions.is_empty() {
                let seen = "What each version of the contested facts gives stands under 'Where the papers disagree'.";
                page.text(2, Tone::Quiet, seen);
            }
        }
    }
}

fn requests(page: &mut Page, examination: &Examination<'_>) {
    page.head("What to ask for, and of whom");
    let requests = asks::requests(examination);
    if requests.is_empty() {
        page.text(0, Tone::Plain, "Nothing follows from the rules.");
    }
    let served = asks::served(&requests);
    let mut of = "";
    for request in &requests {
        if request.of != of {
            page.gap();
            page.text(0, Tone::Head, &format!("Of {}", asks::office(request.of)));
            of = request.of;
        }
        page.item(0, "-", &format!("{}.", request.what));
        page.text(2, Tone::Quiet, &format!("It serves: {}.", asks::serves(&request.serves, &served)));
    }
}

fn occasions(page: &mut Page, examination: &Examination<'_>) {
    let open: Vec<_> = examination.answers.iter().filter(|answer| answer.open > 0).collect();
    if open.is_empty() {
        return;
    }
    page.head("Occasions that stay open");
    page.text(0, Tone::Plain, "At these lines a rule has an occasion that is neither in order nor contrary.");
    for answer in open {
        page.gap();
        let title = rules::rule(answer.rule).map_or("", |rule| rule.asks);
        page.item(
            0,
            ">",
            &format!("{title} ({}) Open: {}.", answer.rule, count(answer.open, "occasion", "occasions")),
        );
        if answer.verdict == Verdict::NotKept {
            answer.why.iter().for_each(|why| page.text(2, Tone::Plain, &format!("Open, because {why}.")));
        }
        let mut lines: Vec<usize> = answer
            .open_at
            .iter()
            .take(OPEN_SHOWN)
            .filter_map(|at| if let Place::Line(line) = at { Some(*line) } else { None })
            .collect();
        lines.sort_unstable();
        lines.dedup();
        for line in &lines {
            print_line(page, examination, *line, Role::Context);
        }
        if answer.open > OPEN_SHOWN {
            page.text(9, Tone::Quiet, "and others; the command 'walk' marks the lines");
        }
    }
}

//! What cannot be told: why, what to ask for and of whom, and the occasions that stay open with their lines.

use crate::examination::Examination;
use crate::finding::{Place as At, capital};
use crate::report::document::{Block, Definition, Place, Section, Table, Text, findings};
use crate::report::evidence::Role;
use crate::report::{OPEN_SHOWN, asks, count, keys};
use crate::source::Shown;

/// What cannot be told, and why.
pub(super) fn cannot_be_told(place: Place, examination: &Examination<'_>) -> Section {
    let mut section = Section::new(place.anchor("open"), "What cannot be told, and why").answering(&[12]);
    let by_reason = asks::by_reason(examination);
    if by_reason.is_empty() {
        section.say("Nothing among these rules.");
        return section;
    }
    section.say(
        "For these rules the answer stays open. Records in a conflict, and findings under one version of a contested fact, \
         are set apart; what may have gone unseen could be in order or contrary. A rule that cannot be told is neither for one side nor for the other. Its word leads to what it asks of the record.",
    );
    for (nth, (why, answers)) in by_reason.into_iter().enumerate() {
        let mut part = Section::new(
            place.anchor(&format!("open-{}", nth + 1)),
            &format!("Reason {}: {}", nth + 1, title(&why)),
        );
        // A reason that stands whole in the title is not said again.
        if why.len() > 1 || why.first().is_some_and(|why| *why != title(&[*why])) {
            part.push(Block::List(why.iter().map(|why| Text::from(format!("{}.", capital(why)))).collect()));
        }
        let mut ids = Text::from("Open for this reason: ");
        let mut differing = Text::new();
        for (nth, answer) in answers.into_iter().enumerate() {
            let comma = if nth == 0 { "" } else { ", " };
            ids = ids.plain(comma).link(place.rule(answer.rule), answer.rule);
            if !answer.versions.is_empty() {
                let comma = if differing.0.is_empty() { "" } else { ", " };
                differing = differing.plain(comma).plain(answer.rule);
            }
        }
        part.say(ids.plain("."));
        if !differing.0.is_empty() {
            part.say(
                Text::from("What each version of the contested facts gives for ")
                    .and(differing)
                    .plain(" stands under ")
                    .link(place.anchor("versions"), "where the papers disagree")
                    .plain("."),
            );
        }
        section.sections.push(part);
    }
    section
}

/// A short title for a group of reasons: its first reason, up to where it begins to explain itself.
fn title(why: &[&str]) -> String {
    let first = why.first().copied().unwrap_or("for no stated reason");
    // A colon inside a time of day ends nothing.
    let ends = [first.find(": "), first.find("; ")];
    let end = ends.into_iter().flatten().min().unwrap_or(first.len());
    let short = first.get(..end).filter(|short| short.len() > 20).unwrap_or(first);
    if why.len() > 1 {
        format!("{short}, and {} more", count(why.len() - 1, "reason", "reasons"))
    } else {
        short.to_owned()
    }
}

/// What to ask for, and of whom.
pub(super) fn requests(place: Place, examination: &Examination<'_>) -> Section {
    let mut section =
        Section::new(place.anchor("requests"), "What to ask for, and of whom").answering(&[11, 12]);
    let requests = asks::requests(examination);
    if requests.is_empty() {
        section.say("Nothing is needed for these rules.");
        return section;
    }
    section.say(
        Text::from("With what is asked for, the answers to some rules may change. Which rules each request serves stands under ")
            .link(place.anchor("requests-for-the-examiner"), "the note for the examiner")
            .plain("."),
    );
    let served = asks::served(&requests);
    let mut list: Vec<Definition> = Vec::new();
    let mut notes = Table::new(
        "What each request serves",
        &["#request", "the rules that it serves", "key of the case file"],
    );
    for (nth, request) in (1..).zip(&requests) {
        let of = format!("Of {}", asks::office(request.of));
        let (what, keys) = keys::apart(&request.what);
        let text = Text::from(format!("{nth}. {}.", capital(&what)));
        match list.last_mut() {
            Some(last) if last.term.as_str() == of => last.texts.push(text),
            _ => list.push(Definition { anchor: None, term: Shown::inert(&of), texts: vec![text] }),
        }
        let keys = if keys.is_empty() { "none".into() } else { Text::new().code(&keys.join("; ")) };
        notes.push(vec![nth.to_string().into(), asks::serves(&request.serves, &served).into(), keys]);
    }
    section.push(Block::Definitions(list));
    // For whoever writes the case file, and for nobody else.
    let anchor = place.anchor("requests-for-the-examiner");
    let mut examiner =
        Section::new(anchor, "For the examiner: the rules that each request serves, and its key");
    examiner.push(Block::Table(notes));
    section.sections.push(examiner);
    section
}

/// The occasions that stay open, with their lines.
pub(super) fn occasions(place: Place, examination: &Examination<'_>) -> Option<Section> {
    let open: Vec<_> = examination.answers.iter().filter(|answer| answer.open > 0).collect();
    if open.is_empty() {
        return None;
    }
    let mut section = Section::new(place.anchor("occasions"), "Occasions that stay open").answering(&[12]);
    section.say("At these lines a rule has an occasion that is neither in order nor contrary.");
    for answer in open {
        let has_line = answer.open_at.iter().any(|at| matches!(at, At::Line(_)));
        let on_no_line = if has_line { "" } else { ", at no line of the log" };
        section.say(
            Text::new()
                .link(place.rule(answer.rule), answer.rule)
                .plain(&format!(": {} open{on_no_line}.", count(answer.open, "occasion", "occasions"))),
        );
        let mut lines: Vec<usize> = answer
            .open_at
            .iter()
            .take(OPEN_SHOWN)
            .filter_map(|at| if let At::Line(line) = at { Some(*line) } else { None })
            .collect();
        lines.sort_unstable();
        lines.dedup();
        let lines: Vec<(usize, Role)> = lines.into_iter().map(|line| (line, Role::Context)).collect();
        if !lines.is_empty() {
            section.push(Block::Lines(findings::quoted(place, examination, &lines)));
        }
        if answer.open > OPEN_SHOWN {
            section.say("And others; the annex names the rules that are open at a line.");
        }
    }
    Some(section)
}

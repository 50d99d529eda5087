//! The graph of states as a picture (SVG): twelve states in fixed places, and the way that a log took through them.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::examination::Examination;
use crate::replay::graph::moves;
use crate::replay::{Mode, State};
use crate::report::picture::{Drawn, Hold, Ink, Picture, length};
use crate::report::{NO_EVIDENCE, grouped};
use crate::source::{Digest, Shown};
use crate::unit::UnitDescription;

/// As wide as the other pictures of a document, so that words are as high on paper.
const WIDTH: i32 = 800;
/// Height of the graph; below it stand the words of a picture that is a file of its own.
const HEIGHT: i32 = 730;
const BOX: (i32, i32) = (118, 78);

/// Longest line of these words, in characters, and their distance in pixels.
const LINE: usize = 115;
const APART: i32 = 18;

/// How often a log moved from one state to another by an event, where both states are known to one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Way {
    moves: BTreeMap<(State, State, Event), usize>,
    /// Records before or after which the state is not known to one, or that lie in a contradiction, by their events.
    unsure: BTreeMap<Event, usize>,
    source: Option<(Shown, Option<Digest>)>,
}

impl Way {
    /// The way of a log through the states.
    #[must_use]
    pub fn of(examination: &Examination<'_>) -> Way {
        let (log, replay) = (examination.log, &examination.replay);
        let digest = log.file_identity(&examination.secrecy).map(|(_, digest)| digest);
        let mut way = Way { source: Some((log.source().name(), digest)), ..Way::default() };
        for step in 0..replay.steps.len() {
            let Some(record) = replay.record(step).and_then(|place| log.records().get(place)) else {
                continue;
            };
            let before = replay.before.get(step).and_then(|belief| belief.only());
            match (before, replay.after(step).only()) {
                (Some(from), Some(to))
                    if record.event != Event::Unknown
                        && !replay.in_conflict.get(step).copied().unwrap_or(false) =>
                {
                    *way.moves.entry((from, to, record.event)).or_default() += 1;
                }
                _ => *way.unsure.entry(record.event).or_default() += 1,
            }
        }
        way
    }

    fn between(&self, from: State, to: State) -> usize {
        self.moves.iter().filter(|((f, t, _), _)| *f == from && *t == to).map(|(_, times)| times).sum()
    }

    fn times(&self, from: State, to: State, event: Event) -> usize {
        self.moves.get(&(from, to, event)).copied().unwrap_or(0)
    }
}

/// Where a state's box has its centre.
fn centre(state: State) -> (i32, i32) {
    let (x, y, off) = match state.mode {
        Mode::Cleared => (66, 200, -150),
        Mode::EnabledFirst => (289, 200, -150),
        Mode::Between => (511, 200, -150),
        Mode::EnabledAgain => (734, 200, -150),
        Mode::Closed => (545, 500, 150),
        Mode::ResultShown => (215, 500, 150),
    };
    (x, if state.on { y } else { y + off })
}

/// How far an edge bends to its left, in pixels, so that edges in both directions lie apart.
fn bend(from: State, to: State) -> i32 {
    use Mode::{Between, Cleared, Closed, EnabledAgain, EnabledFirst, ResultShown};
    match (from.mode, to.mode) {
        (Between, EnabledAgain) | (Cleared, EnabledFirst) => 20,
        (EnabledAgain, Between) | (EnabledFirst, Cleared) if from.on && to.on => 20,
        (Cleared, Closed) => -30,
        (EnabledFirst, Closed) => 26,
        (EnabledAgain, Closed) => -26,
        (ResultShown, Cleared) | (Closed, ResultShown) => 0,
        _ if from.mode == to.mode && from.on != to.on => 22,
        _ => 0,
    }
}

/// The picture as a file of its own. With a way, what the log used stands out and carries its counts.
#[must_use]
pub fn svg(unit: &UnitDescription, way: &Way, demonstration: bool) -> String {
    let mut picture = picture(unit, way);
    caption(&mut picture, unit, way, demonstration);
    picture.standalone(TITLE)
}

/// What the picture is called.
pub const TITLE: &str = "The states of the unit, and what leads from one to another";

/// How the picture is read.
pub const READING: &str = "Dashed: power off. Events that leave the state as it is have no line; where the log stayed in a \
     state, it says so. Moves that leave no record are drawn with the event before which they are taken.";

/// The graph alone.
#[must_use]
pub fn picture(unit: &UnitDescription, way: &Way) -> Picture {
    let mut picture = Picture::new(WIDTH, HEIGHT);
    let mut edges: BTreeMap<(State, State), Vec<Event>> = BTreeMap::new();
    for step in moves(unit).into_iter().filter(|step| step.from != step.to) {
        edges.entry((step.from, step.to)).or_default().push(step.event);
    }
    // Lines first, then boxes, then labels, so that no line crosses out a text; what the log used comes last.
    let mut labels = Picture::new(WIDTH, HEIGHT);
    for used in [false, true] {
        for ((from, to), events) in
            edges.iter().filter(|((from, to), _)| (way.between(*from, *to) > 0) == used)
        {
            edge(&mut picture, &mut labels, (*from, *to), events, way);
        }
    }
    State::all().for_each(|state| node(&mut picture, state, way));
    picture.marks.extend(labels.marks);
    picture
}

impl Way {
    /// What of the log is drawn and what is not, in words.
    #[must_use]
    pub fn words(&self) -> String {
        let (moved, unsure): (usize, usize) = (self.moves.values().sum(), self.unsure.values().sum());
        let each =
            |(event, times): (&Event, &usize)| format!("{} \u{d7}{}", event.word(), grouped(*times as u64));
        let events: Vec<String> = self.unsure.iter().map(each).collect();
        let events = if events.is_empty() { String::new() } else { format!(" ({})", events.join(", ")) };
        format!(
            "Drawn strong: where the log went, with the number of records, those of tests and mock polls with those of the \
             poll. Records counted: {}. Neither drawn nor counted, because the state before or after is not known to be \
             one state, or the record lies in a contradiction: {}{events}.",
            grouped(moved as u64),
            grouped(unsure as u64)
        )
    }

    /// The ways between states that the log took, each with its events and their numbers of records, in words.
    #[must_use]
    pub fn steps(&self) -> Vec<String> {
        let mut ways: BTreeMap<(State, State), Vec<String>> = BTreeMap::new();
        for ((from, to, event), times) in &self.moves {
            let words = format!("{} \u{d7}{}", event.word(), grouped(*times as u64));
            ways.entry((*from, *to)).or_default().push(words);
        }
        let said = |((from, to), events): (&(State, State), &Vec<String>)| {
            let events = events.join(", ");
            if from == to {
                format!("staying at {}: {events}", from.words())
            } else {
                format!("from {} to {}: {events}", from.words(), to.words())
            }
        };
        ways.iter().map(said).collect()
    }
}

fn caption(picture: &mut Picture, unit: &UnitDescription, way: &Way, demonstration: bool) {
    let (name, version) = (Shown::inert(&unit.name), Shown::inert(&unit.version));
    picture.write((30, HEIGHT + 10), Hold::Start, Ink::Head, TITLE);
    let mut lines = vec![format!("Unit description: {name}, version {version}, SHA-256 {}", unit.digest)];
    if let Some((name, digest)) = &way.source {
        let digest = digest.map_or_else(|| "withheld".to_owned(), |digest| digest.to_string());
        lines.extend([format!("Log: {name}, SHA-256 {digest}"), way.words()]);
    }
    lines.push(READING.to_owned());
    lines.extend(demonstration.then(|| NO_EVIDENCE.to_owned()));
    let mut y = HEIGHT + 32;
    for line in lines.iter().flat_map(|line| broken(line)) {
        picture.write((30, y), Hold::Start, Ink::Small, &line);
        y += APART;
    }
    picture.height = y;
}

/// A text in lines that the sheet has room for.
fn broken(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut().filter(|line| line.chars().count() + word.chars().count() < LINE) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}

fn node(picture: &mut Picture, state: State, way: &Way) {
    let (x, y) = centre(state);
    let (w, h) = BOX;
    let visited = way.moves.keys().any(|(from, to, _)| *from == state || *to == state);
    let ink = if state.on { Ink::Node } else { Ink::NodeOff };
    for ink in [Some(ink), visited.then_some(Ink::NodeUsed)].into_iter().flatten() {
        picture.draw(Drawn::Box((x - w / 2, y - h / 2), (w, h), 8, ink));
    }
    let words = state.mode.words();
    // A box has room for short lines: the words part before these.
    let part = |words: &'static str, joints: &[&str]| {
        let at = joints.iter().find_map(|joint| words.find(joint)).unwrap_or(words.len());
        let (first, second) = words.split_at(at);
        (first, second.trim_start())
    };
    let (first, rest) = part(words, &[" and ", " with "]);
    let (second, third) = part(rest, &[" for ", " shown"]);
    let power = if state.on { "power on" } else { "power off" };
    let lines = [first, second, third, power];
    let lines: Vec<&str> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    let top = y + 5 - 8 * (i32::try_from(lines.len()).unwrap_or(1) - 1);
    for (place, line) in (0..).zip(&lines) {
        let ink = if *line == power { Ink::Small } else { Ink::Text };
        picture.write((x, top + 16 * place), Hold::Middle, ink, line);
    }
    let stayed = way.between(state, state);
    if stayed > 0 {
        let words = format!("stayed \u{d7}{}", grouped(stayed as u64));
        // Beside the lines that leave the box below.
        let (at, hold) = match state.mode {
            Mode::Closed | Mode::ResultShown => ((x - w / 2 - 8, y + h / 2), Hold::End),
            Mode::Between => ((x - 10, y + h / 2 + 16), Hold::End),
            Mode::EnabledAgain => ((x - 8, y + h / 2 + 16), Hold::Start),
            Mode::Cleared | Mode::EnabledFirst => ((x - w / 2 + 4, y + h / 2 + 16), Hold::Start),
        };
        picture.write(at, hold, Ink::WeightyLabel, &words);
    }
}

fn edge(
    picture: &mut Picture,
    labels: &mut Picture,
    (from, to): (State, State),
    events: &[Event],
    way: &Way,
) {
    let (start, end) = (centre(from), centre(to));
    let bend = bend(from, to);
    let (dx, dy) = (end.0 - start.0, end.1 - start.1);
    let length = length(dx, dy);
    // A point beside the middle of the line; the curve passes half as far from it.
    let middle = (i32::midpoint(start.0, end.0), i32::midpoint(start.1, end.1));
    let knee = (middle.0 + dy * 2 * bend / length, middle.1 - dx * 2 * bend / length);
    let (a, b) = (border(start, knee), border(end, knee));
    let ink = if way.between(from, to) > 0 { Ink::EdgeUsed } else { Ink::Edge };
    picture.draw(Drawn::Arrow(a, knee, b, ink));
    // The point of the curve at one third: labels of edges that meet do not fall on each other. Between boxes that stand side
    // by side there is room in the middle only.
    let at = if dy == 0 {
        ((a.0 + 2 * knee.0 + b.0) / 4, (a.1 + 2 * knee.1 + b.1) / 4)
    } else {
        ((4 * a.0 + 4 * knee.0 + b.0) / 9, (4 * a.1 + 4 * knee.1 + b.1) / 9)
    };
    let rows = i32::try_from(events.len()).unwrap_or(1) - 1;
    // Words of a line between neighbours stand outside it, on the side to which it bends.
    let first = match (dy, dx < 0 && bend != 0) {
        (0, true) => at.1 + 17,
        (0, false) => at.1 - 7 - 14 * rows,
        _ => at.1 + 4 - 7 * rows,
    };
    for (place, event) in (0..).zip(events) {
        let (ink, words) = match way.times(from, to, *event) {
            0 => (Ink::Label, event.word().to_owned()),
            times => (Ink::WeightyLabel, format!("{} \u{d7}{}", event.word(), grouped(times as u64))),
        };
        // On the sheet: a letter is at most eight pixels wide.
        let half = 4 * i32::try_from(words.chars().count()).unwrap_or(0);
        let x = at.0.clamp(half.min(WIDTH / 2), WIDTH - half.min(WIDTH / 2));
        labels.write((x, first + 14 * place), Hold::Middle, ink, &words);
    }
}

/// Where the line from a box's centre to a point leaves the box.
fn border(centre: (i32, i32), point: (i32, i32)) -> (i32, i32) {
    let (dx, dy) = (point.0 - centre.0, point.1 - centre.1);
    let (w, h) = (BOX.0 / 2 + 2, BOX.1 / 2 + 2);
    if dx == 0 && dy == 0 {
        return centre;
    }
    // The side is hit whose share of the way is shorter: compare w/|dx| with h/|dy| without dividing.
    if w * dy.abs() <= h * dx.abs() {
        (centre.0 + w * dx.signum(), centre.1 + dy * w / dx.abs().max(1))
    } else {
        (centre.0 + dx * h / dy.abs().max(1), centre.1 + h * dy.signum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_text_of_a_picture_is_escaped() {
        let mut unit = UnitDescription::kestrane();
        unit.name = "<b>&\"\u{202e}".to_owned();
        let picture = svg(&unit, &Way::default(), false);
        assert!(picture.contains("&lt;b&gt;&amp;&quot;\\u{202e}"), "{picture}");
        assert!(!picture.contains("<b>"));
    }

    #[test]
    fn no_two_boxes_touch_and_all_lie_on_the_page() {
        let centres: Vec<(i32, i32)> = State::all().map(centre).collect();
        for (place, a) in centres.iter().enumerate() {
            assert!(
                a.0 > BOX.0 / 2
                    && a.0 < WIDTH - BOX.0 / 2
                    && a.1 > BOX.1 / 2
                    && a.1 < HEIGHT - BOX.1 / 2 - 20,
                "{a:?}"
            );
            for b in centres.iter().skip(place + 1) {
                assert!((a.0 - b.0).abs() > BOX.0 + 20 || (a.1 - b.1).abs() > BOX.1 + 20, "{a:?} {b:?}");
            }
        }
    }
}

//! The graph of states as a picture (SVG): twelve states in fixed places, and the way that a log took through them.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::examination::Examination;
use crate::replay::graph::moves;
use crate::replay::{Mode, State};
use crate::report::{NO_EVIDENCE, grouped};
use crate::source::Shown;
use crate::unit::UnitDescription;

const WIDTH: i32 = 1240;
const HEIGHT: i32 = 860;
const BOX: (i32, i32) = (180, 62);

const STYLE: &str = "text{font:13px sans-serif;fill:#1b1b1b}.t{font-size:20px;font-weight:bold}.s{font-size:12px;\
fill:#444}.n{fill:#fff;stroke:#555;stroke-width:1.2}.o{fill:#eceff1;stroke:#888;stroke-dasharray:5 3}\
.w{stroke:#0b4f6c;stroke-width:2.6}.e{fill:none;stroke:#9a9a9a;stroke-width:1.2}.u{fill:none;stroke:#0b4f6c;\
stroke-width:2.8}.l{font-size:12px;fill:#555;paint-order:stroke;stroke:#fff;stroke-width:4px}\
.m{font-size:12px;font-weight:bold;fill:#0b4f6c;paint-order:stroke;stroke:#fff;stroke-width:4px}";

/// How often a log moved from one state to another by an event, where both states are known to one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Way {
    moves: BTreeMap<(State, State, Event), usize>,
    /// Records before or after which the state is not known to one.
    unsure: usize,
    source: Option<(Shown, String)>,
}

impl Way {
    /// The way of a log through the states.
    #[must_use]
    pub fn of(examination: &Examination<'_>) -> Way {
        let (log, replay) = (examination.log, &examination.replay);
        let source = log.source();
        let mut way = Way { source: Some((source.name(), source.digest().to_string())), ..Way::default() };
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
                _ => way.unsure += 1,
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
        Mode::Cleared => (120, 260, -140),
        Mode::EnabledFirst => (450, 260, -140),
        Mode::Between => (780, 260, -140),
        Mode::EnabledAgain => (1120, 260, -140),
        Mode::Closed => (830, 560, 150),
        Mode::ResultShown => (330, 560, 150),
    };
    (x, if state.on { y } else { y + off })
}

/// How far an edge bends to its left, in pixels, so that edges in both directions lie apart.
fn bend(from: State, to: State) -> i32 {
    use Mode::{Between, Cleared, Closed, EnabledAgain, EnabledFirst, ResultShown};
    match (from.mode, to.mode) {
        (Between, EnabledAgain) | (Cleared, EnabledFirst) => 13,
        (EnabledAgain, Between) | (EnabledFirst, Cleared) if from.on && to.on => 13,
        (Cleared, Closed) => -30,
        (EnabledFirst, Closed) => 26,
        (EnabledAgain, Closed) => -26,
        (ResultShown, Cleared) | (Closed, ResultShown) => 0,
        _ if from.mode == to.mode && from.on != to.on => 22,
        _ => 0,
    }
}

/// The picture. With a way, what the log used stands out and carries its counts.
#[must_use]
pub fn svg(unit: &UnitDescription, way: &Way, demonstration: bool) -> String {
    let mut out = String::new();
    let title = "The states of the unit, and what leads from one to another";
    out.push_str(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" \
         height=\"{HEIGHT}\" role=\"img\" aria-labelledby=\"title\">\n<title id=\"title\">{title}</title>\n\
         <style>{STYLE}</style>\n<defs>{}{}</defs>\n<rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n",
        arrow("a", "#9a9a9a"),
        arrow("b", "#0b4f6c")
    ));
    caption(&mut out, title, unit, way, demonstration);
    let mut edges: BTreeMap<(State, State), Vec<Event>> = BTreeMap::new();
    for step in moves(unit).into_iter().filter(|step| step.from != step.to) {
        edges.entry((step.from, step.to)).or_default().push(step.event);
    }
    // Lines first, then boxes, then labels, so that no line crosses out a text; what the log used comes last.
    let mut labels = String::new();
    for used in [false, true] {
        for ((from, to), events) in
            edges.iter().filter(|((from, to), _)| (way.between(*from, *to) > 0) == used)
        {
            edge(&mut out, &mut labels, (*from, *to), events, way);
        }
    }
    State::all().for_each(|state| node(&mut out, state, way));
    out.push_str(&labels);
    out.push_str("</svg>\n");
    out
}

fn arrow(id: &str, colour: &str) -> String {
    format!(
        "<marker id=\"{id}\" viewBox=\"0 0 10 10\" refX=\"9\" refY=\"5\" markerWidth=\"9\" markerHeight=\"9\" \
         markerUnits=\"userSpaceOnUse\" orient=\"auto\"><path d=\"M0 1L10 5L0 9z\" fill=\"{colour}\"/></marker>"
    )
}

fn text(out: &mut String, class: &str, (x, y): (i32, i32), anchor: &str, words: &str) {
    let words = escape(words);
    out.push_str(&format!(
        "<text class=\"{class}\" x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">{words}</text>\n"
    ));
}

fn caption(out: &mut String, title: &str, unit: &UnitDescription, way: &Way, demonstration: bool) {
    text(out, "t", (30, 40), "start", title);
    let (name, version) = (Shown::inert(&unit.name), Shown::inert(&unit.version));
    text(
        out,
        "s",
        (30, 62),
        "start",
        &format!("Unit description: {name}, version {version}, SHA-256 {}", unit.digest),
    );
    let mut y = HEIGHT - 74;
    let mut line = |out: &mut String, words: &str| {
        text(out, "s", (30, y), "start", words);
        y += 18;
    };
    if let Some((name, digest)) = &way.source {
        let moved: usize = way.moves.values().sum();
        line(out, &format!("Log: {name}, SHA-256 {digest}"));
        line(
            out,
            &format!(
                "Drawn strong: where the log went, with the number of records. Records counted: {}. Not drawn, because \
                 the state before or after is not known to be one state, or the record lies in a contradiction: {}.",
                grouped(moved as u64),
                grouped(way.unsure as u64)
            ),
        );
    }
    line(
        out,
        "Dashed: power off. Events that leave the state as it is have no line; where the log stayed in a state, it says so. Moves that leave no record are drawn with the event before which they are taken.",
    );
    if demonstration {
        line(out, NO_EVIDENCE);
    }
}

fn node(out: &mut String, state: State, way: &Way) {
    let (x, y) = centre(state);
    let (w, h) = BOX;
    let visited = way.moves.keys().any(|(from, to, _)| *from == state || *to == state);
    let class = format!("n{}{}", if state.on { "" } else { " o" }, if visited { " w" } else { "" });
    out.push_str(&format!(
        "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{w}\" height=\"{h}\" rx=\"8\"/>\n",
        x - w / 2,
        y - h / 2
    ));
    let words = state.mode.words();
    // A box has room for two short lines: the words part before their first "and" or "with".
    let part = [" and ", " with "].into_iter().find_map(|joint| words.find(joint));
    let (first, second) = words.split_at(part.unwrap_or(words.len()));
    let second = second.trim_start();
    let power = if state.on { "power on" } else { "power off" };
    let lines = [first, second, power];
    let lines: Vec<&str> = lines.into_iter().filter(|line| !line.is_empty()).collect();
    let top = y + 5 - 8 * (i32::try_from(lines.len()).unwrap_or(1) - 1);
    for (place, line) in (0..).zip(&lines) {
        text(out, if *line == power { "s" } else { "" }, (x, top + 16 * place), "middle", line);
    }
    let stayed = way.between(state, state);
    if stayed > 0 {
        text(
            out,
            "m",
            (x - w / 2 + 4, y + h / 2 + 16),
            "start",
            &format!("stayed \u{d7}{}", grouped(stayed as u64)),
        );
    }
}

fn edge(out: &mut String, labels: &mut String, (from, to): (State, State), events: &[Event], way: &Way) {
    let (start, end) = (centre(from), centre(to));
    let bend = bend(from, to);
    let (dx, dy) = (end.0 - start.0, end.1 - start.1);
    let length = length(dx, dy);
    // A point beside the middle of the line; the curve passes half as far from it.
    let middle = (i32::midpoint(start.0, end.0), i32::midpoint(start.1, end.1));
    let knee = (middle.0 + dy * 2 * bend / length, middle.1 - dx * 2 * bend / length);
    let (a, b) = (border(start, knee), border(end, knee));
    let used = way.between(from, to) > 0;
    let (class, marker) = if used { ("u", "b") } else { ("e", "a") };
    out.push_str(&format!(
        "<path class=\"{class}\" d=\"M{} {}Q{} {} {} {}\" marker-end=\"url(#{marker})\"/>\n",
        a.0, a.1, knee.0, knee.1, b.0, b.1
    ));
    // The point of the curve at one third: labels of edges that meet do not fall on each other.
    let at = ((4 * a.0 + 4 * knee.0 + b.0) / 9, (4 * a.1 + 4 * knee.1 + b.1) / 9);
    let first = at.1 + 4 - 7 * (i32::try_from(events.len()).unwrap_or(1) - 1);
    for (place, event) in (0..).zip(events) {
        let times = way.times(from, to, *event);
        let (class, words) = match times {
            0 => ("l", event.word().to_owned()),
            _ => ("m", format!("{} \u{d7}{}", event.word(), grouped(times as u64))),
        };
        text(labels, class, (at.0, first + 14 * place), "middle", &words);
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

/// The length of a line in whole pixels, at least 1: integers, so that every machine draws the same picture.
fn length(dx: i32, dy: i32) -> i32 {
    i32::try_from((dx * dx + dy * dy).unsigned_abs().isqrt()).unwrap_or(1).max(1)
}

/// Text as it may stand in SVG.
fn escape(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
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
            assert!(a.0 > BOX.0 / 2 && a.0 < WIDTH - BOX.0 / 2 && a.1 > 80 && a.1 < HEIGHT - 90, "{a:?}");
            for b in centres.iter().skip(place + 1) {
                assert!((a.0 - b.0).abs() > BOX.0 + 20 || (a.1 - b.1).abs() > BOX.1 + 20, "{a:?} {b:?}");
            }
        }
    }
}

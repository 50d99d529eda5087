//! Inks: how marks of a picture look, in light and in dark; one table, from which every form takes its style.

use std::fmt::Write as _;

/// How a mark looks. Nothing is said by an ink alone: each is used with a word, a number or a pattern.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// The sheet.
    Sheet,
    /// Ordinary words.
    Text,
    /// Small words beside others.
    Small,
    /// Words that name the picture or a part of it.
    Head,
    /// Words on a line, which they interrupt.
    Label,
    /// Such words that carry weight.
    WeightyLabel,
    /// The ground under words on a line.
    Ground,
    /// Axes and frames.
    Axis,
    /// Fine lines behind everything.
    Grid,
    /// What was counted: the main line of a picture.
    Main,
    /// An area that was counted.
    Area,
    /// The same, where only a part of it was seen.
    PartArea,
    /// What is not known: slanting lines.
    Unknown,
    /// A bound that a paper states.
    Stated,
    /// A finding.
    Finding,
    /// The line from a finding's mark down to its time.
    Found,
    /// Words on a finding's mark.
    OnFinding,
    /// A box with a thin border.
    Node,
    /// The same, dashed.
    NodeOff,
    /// The same, standing out.
    NodeUsed,
    /// A connection that stands behind.
    Edge,
    /// A connection that stands out.
    EdgeUsed,
    /// A band, of every second kind.
    BandOne,
    /// A band, of every other kind.
    BandTwo,
    /// From when to when something was in true time.
    TrueTime,
}

/// One ink: its class and its style in light and in dark.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// The ink.
    pub ink: Ink,
    /// Its class in SVG.
    pub class: &'static str,
    /// Declarations of its style, on light ground.
    pub light: &'static str,
    /// What differs on dark ground.
    pub dark: &'static str,
}

const fn look(ink: Ink, class: &'static str, light: &'static str, dark: &'static str) -> Look {
    Look { ink, class, light, dark }
}

/// Every ink, in the order of [`Ink`].
pub const INKS: &[Look] = &[
    look(Ink::Sheet, "k-sheet", "fill:#fff", "fill:#14181c"),
    look(Ink::Text, "k-text", "font:14px sans-serif;fill:#1b1b1b", "fill:#e8e8e8"),
    look(Ink::Small, "k-small", "font:13px sans-serif;fill:#444", "fill:#c4c8cc"),
    look(Ink::Head, "k-head", "font:bold 14px sans-serif;fill:#1b1b1b", "fill:#f2f2f2"),
    look(Ink::Label, "k-label", "font:13px sans-serif;fill:#444", "fill:#c4c8cc"),
    look(Ink::WeightyLabel, "k-weighty", "font:bold 13px sans-serif;fill:#0b4f6c", "fill:#8fd0ec"),
    look(Ink::Ground, "k-ground", "fill:#fff", "fill:#14181c"),
    look(Ink::Axis, "k-axis", "fill:none;stroke:#555;stroke-width:1.2", "stroke:#aab0b6"),
    look(Ink::Grid, "k-grid", "fill:none;stroke:#dcdfe2;stroke-width:1", "stroke:#2c3339"),
    look(Ink::Main, "k-main", "fill:none;stroke:#0b4f6c;stroke-width:2.4", "stroke:#8fd0ec"),
    look(Ink::Area, "k-area", "fill:#3f7f9b;stroke:#0b4f6c;stroke-width:1", "fill:#3b7d99;stroke:#8fd0ec"),
    look(
        Ink::PartArea,
        "k-part",
        "fill:#b9d3de;stroke:#0b4f6c;stroke-width:1.2;stroke-dasharray:4 3",
        "fill:#1f3f4d;stroke:#8fd0ec",
    ),
    look(Ink::Unknown, "k-unknown", "fill:none;stroke:#9aa0a6;stroke-width:1", "stroke:#6d757c"),
    look(
        Ink::Stated,
        "k-stated",
        "fill:none;stroke:#1b1b1b;stroke-width:1.4;stroke-dasharray:7 4",
        "stroke:#f2f2f2",
    ),
    look(
        Ink::Finding,
        "k-finding",
        "fill:#8a4b00;stroke:#5e3300;stroke-width:1",
        "fill:#f0b35a;stroke:#f7d49d",
    ),
    look(Ink::Found, "k-found", "fill:none;stroke:#8a4b00;stroke-width:1.2", "stroke:#f0b35a"),
    look(Ink::OnFinding, "k-onfinding", "font:bold 13px sans-serif;fill:#fff", "fill:#1b1200"),
    look(Ink::Node, "k-node", "fill:#fff;stroke:#555;stroke-width:1.2", "fill:#1c2126;stroke:#aab0b6"),
    look(
        Ink::NodeOff,
        "k-off",
        "fill:#eceff1;stroke:#777;stroke-width:1.2;stroke-dasharray:5 3",
        "fill:#23292e;stroke:#aab0b6",
    ),
    look(Ink::NodeUsed, "k-used", "fill:none;stroke:#0b4f6c;stroke-width:2.6", "stroke:#8fd0ec"),
    look(Ink::Edge, "k-edge", "fill:none;stroke:#8e9499;stroke-width:1.2", "stroke:#7b848b"),
    look(Ink::EdgeUsed, "k-way", "fill:none;stroke:#0b4f6c;stroke-width:2.8", "stroke:#8fd0ec"),
    look(Ink::BandOne, "k-band", "fill:#dbe8ee;stroke:#0b4f6c;stroke-width:1", "fill:#17333f;stroke:#8fd0ec"),
    look(
        Ink::BandTwo,
        "k-bandtwo",
        "fill:#f3e6d3;stroke:#5e3300;stroke-width:1",
        "fill:#3a2a14;stroke:#f0b35a",
    ),
    look(Ink::TrueTime, "k-truetime", "fill:#74b3cd", "fill:#2f6d88"),
];

impl Ink {
    /// Its class in SVG.
    #[must_use]
    pub fn class(self) -> &'static str {
        INKS.iter().find(|look| look.ink == self).map_or("", |look| look.class)
    }
}

/// The style of every ink, on light ground.
#[must_use]
pub fn style_light() -> String {
    style(|look| look.light)
}

/// What differs on dark ground.
#[must_use]
pub fn style_dark() -> String {
    style(|look| look.dark)
}

fn style(of: impl Fn(&Look) -> &'static str) -> String {
    let mut text = String::new();
    for look in INKS {
        // Writing to a String cannot fail.
        _ = write!(text, ".{}{{{}}}", look.class, of(look));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ink_stands_once_in_the_table() {
        let inks: Vec<u8> = INKS.iter().map(|look| look.ink as u8).collect();
        assert_eq!(inks, (0..=Ink::TrueTime as u8).collect::<Vec<u8>>());
        assert_eq!(Ink::Finding.class(), "k-finding");
        assert!(style_dark().contains(".k-sheet{fill:#14181c}"));
    }
}

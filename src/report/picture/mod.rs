//! Pictures: marks in fixed places on a sheet, in integers, so that every machine draws the same; and their SVG.

mod ink;
mod svg;

pub use ink::{INKS, Ink, style_dark, style_light};
pub(super) use svg::length;

use crate::report::document::Anchor;
use crate::source::Shown;

/// A point, in pixels from the left and from the top.
pub type Point = (i32, i32);

/// A picture.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Picture {
    /// Width in pixels.
    pub width: i32,
    /// Height in pixels.
    pub height: i32,
    /// What is drawn, from the back to the front.
    pub marks: Vec<Drawn>,
}

/// One mark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Drawn {
    /// A rectangle: left upper corner, width and height, radius of its corners.
    Box(Point, Point, i32, Ink),
    /// Slanting lines that fill a rectangle: what is not known.
    Hatch(Point, Point, Ink),
    /// A line from point to point.
    Line(Vec<Point>, Ink),
    /// A filled shape.
    Shape(Vec<Point>, Ink),
    /// A curve from the first point past the second to the third, with an arrowhead at its end.
    Arrow(Point, Point, Point, Ink),
    /// Words at a point, from there to the right, around it, or up to it.
    Words(Point, Hold, Ink, Shown),
    /// Marks that lead to another place of the document, with what they are called.
    Link(Anchor, Shown, Vec<Drawn>),
}

/// Where words are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// They begin at the point.
    Start,
    /// Their middle is at the point.
    Middle,
    /// They end at the point.
    End,
}

impl Picture {
    /// An empty sheet.
    #[must_use]
    pub fn new(width: i32, height: i32) -> Picture {
        Picture { width, height, marks: Vec::new() }
    }

    /// Draws a mark in front of all others.
    pub fn draw(&mut self, mark: Drawn) {
        self.marks.push(mark);
    }

    /// Writes words.
    pub fn write(&mut self, at: Point, hold: Hold, ink: Ink, words: &str) {
        self.marks.push(Drawn::Words(at, hold, ink, Shown::inert(words)));
    }

    /// Draws a line between two points.
    pub fn line(&mut self, from: Point, to: Point, ink: Ink) {
        self.marks.push(Drawn::Line(vec![from, to], ink));
    }

    /// Whether something in it leads elsewhere.
    #[must_use]
    pub fn has_links(&self) -> bool {
        self.marks.iter().any(|mark| matches!(mark, Drawn::Link(..)))
    }

    /// Every place of the document to which something in it leads.
    pub fn links(&self) -> impl Iterator<Item = &Anchor> {
        self.marks.iter().filter_map(|mark| if let Drawn::Link(to, ..) = mark { Some(to) } else { None })
    }

    /// Passes every text of the picture to a function that may change it.
    pub(super) fn each_text(&mut self, change: &mut dyn FnMut(&mut Shown)) {
        fn each(marks: &mut [Drawn], change: &mut dyn FnMut(&mut Shown)) {
            for mark in marks {
                match mark {
                    Drawn::Words(_, _, _, words) => change(words),
                    Drawn::Link(_, title, marks) => {
                        change(title);
                        each(marks, change);
                    }
                    _ => {}
                }
            }
        }
        each(&mut self.marks, change);
    }
}

//! A picture as SVG: marks with classes, to stand in a page that holds the style; or alone, with its style inside.

use std::fmt::Write as _;

use crate::report::picture::{Drawn, Hold, Ink, Picture, Point, style_light};

/// Distance of the slanting lines, in pixels.
const HATCH: i32 = 9;

/// About how wide a letter of a label is, in pixels.
const LETTER: i32 = 7;

/// Length and half width of an arrowhead, in pixels.
const HEAD: (i32, i32) = (9, 4);

impl Picture {
    /// The marks as SVG elements, without the `svg` element around them.
    #[must_use]
    pub fn elements(&self) -> String {
        let mut out = String::new();
        put(&mut out, &self.marks, true);
        out
    }

    /// The picture as a file of its own, on light ground, without links.
    #[must_use]
    pub fn standalone(&self, title: &str) -> String {
        let (width, height) = (self.width, self.height);
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
             height=\"{height}\" role=\"img\" aria-labelledby=\"title\">\n<title id=\"title\">{}</title>\n\
             <style>{}</style>\n<rect class=\"{}\" width=\"{width}\" height=\"{height}\"/>\n",
            escape(title),
            style_light(),
            Ink::Sheet.class()
        );
        put(&mut out, &self.marks, false);
        out.push_str("</svg>\n");
        out
    }
}

fn put(out: &mut String, marks: &[Drawn], with_links: bool) {
    let mut after_words = false;
    for (place, mark) in marks.iter().enumerate() {
        // Words that follow each other get their grounds first, so that no ground covers a neighbour.
        let is_words = matches!(mark, Drawn::Words(..));
        if is_words && !after_words {
            let run = marks.iter().skip(place).take_while(|mark| matches!(mark, Drawn::Words(..)));
            run.for_each(|words| ground(out, words));
        }
        after_words = is_words;
        put_one(out, mark, with_links);
        out.push('\n');
    }
}

/// Writing to a String cannot fail.
fn put_one(out: &mut String, mark: &Drawn, with_links: bool) {
    match mark {
        Drawn::Box((x, y), (width, height), radius, ink) => {
            let class = ink.class();
            _ = write!(
                out,
                "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\""
            );
            if *radius > 0 {
                _ = write!(out, " rx=\"{radius}\"");
            }
            out.push_str("/>");
        }
        Drawn::Hatch(corner, size, ink) => {
            let mut path = String::new();
            for (from, to) in slants(*corner, *size) {
                _ = write!(path, "M{} {}L{} {}", from.0, from.1, to.0, to.1);
            }
            _ = write!(out, "<path class=\"{}\" d=\"{path}\"/>", ink.class());
        }
        Drawn::Line(points, ink) => {
            _ = write!(out, "<path class=\"{}\" d=\"{}\"/>", ink.class(), way(points));
        }
        Drawn::Shape(points, ink) => {
            _ = write!(out, "<path class=\"{}\" d=\"{}Z\"/>", ink.class(), way(points));
        }
        Drawn::Arrow(from, knee, to, ink) => {
            let class = ink.class();
            _ = write!(
                out,
                "<path class=\"{class}\" d=\"M{} {}Q{} {} {} {}{}\"/>",
                from.0,
                from.1,
                knee.0,
                knee.1,
                to.0,
                to.1,
                head(*knee, *to)
            );
        }
        Drawn::Words((x, y), hold, ink, words) => {
            let hold = match hold {
                Hold::Start => "start",
                Hold::Middle => "middle",
                Hold::End => "end",
            };
            let words = escape(words.as_str());
            let class = ink.class();
            _ = write!(
                out,
                "<text class=\"{class}\" x=\"{x}\" y=\"{y}\" text-anchor=\"{hold}\">{words}</text>"
            );
        }
        Drawn::Link(to, title, marks) => {
            if with_links {
                _ = writeln!(out, "<a href=\"#{to}\" aria-label=\"{}\">", escape(title.as_str()));
            }
            put(out, marks, with_links);
            if with_links {
                out.push_str("</a>");
            }
        }
    }
}

/// What stands under words on a line, so that the line does not cross them out: a plain ground, which covers the spaces
/// between them too and leaves every word in the picture once.
fn ground(out: &mut String, mark: &Drawn) {
    let Drawn::Words((x, y), hold, Ink::Label | Ink::WeightyLabel, words) = mark else { return };
    let wide = i32::try_from(words.as_str().chars().count()).unwrap_or(0) * LETTER + 4;
    let from = match hold {
        Hold::Start => *x - 2,
        Hold::Middle => *x - wide / 2,
        Hold::End => *x - wide + 2,
    };
    let (class, top) = (Ink::Ground.class(), y - 11);
    _ = writeln!(out, "<rect class=\"{class}\" x=\"{from}\" y=\"{top}\" width=\"{wide}\" height=\"14\"/>");
}

fn way(points: &[Point]) -> String {
    let mut path = String::new();
    for (place, (x, y)) in points.iter().enumerate() {
        _ = write!(path, "{}{x} {y}", if place == 0 { 'M' } else { 'L' });
    }
    path
}

/// The slanting lines that fill a rectangle: from its left or lower side up to its right or upper side.
fn slants((x, y): Point, (width, height): Point) -> Vec<(Point, Point)> {
    if width <= 0 || height <= 0 {
        return Vec::new();
    }
    let ends = |sum: i32| {
        // The line of all points whose distance from the left side and from the upper side add up to `sum`.
        let from = ((sum - height).max(0), sum.min(height));
        let to = (sum.min(width), (sum - width).max(0));
        ((x + from.0, y + from.1), (x + to.0, y + to.1))
    };
    let sums = usize::try_from(HATCH).unwrap_or(1);
    (HATCH..width + height).step_by(sums).map(ends).collect()
}

/// Two strokes that make an arrowhead at the end of a line from `from` to `to`.
fn head(from: Point, to: Point) -> String {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = length(dx, dy);
    let (back, side) = HEAD;
    let foot = (to.0 - dx * back / length, to.1 - dy * back / length);
    let (sx, sy) = (-dy * side / length, dx * side / length);
    format!("M{} {}L{} {}L{} {}", foot.0 + sx, foot.1 + sy, to.0, to.1, foot.0 - sx, foot.1 - sy)
}

/// The length of a line in whole pixels, at least 1: integers, so that every machine draws the same picture.
pub(in crate::report) fn length(dx: i32, dy: i32) -> i32 {
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
    fn slanting_lines_stay_in_their_rectangle() {
        for (width, height) in [(100, 20), (5, 300), (9, 9), (1, 1), (0, 10)] {
            for ((x1, y1), (x2, y2)) in slants((10, 20), (width, height)) {
                for (x, y) in [(x1, y1), (x2, y2)] {
                    assert!((10..=10 + width).contains(&x) && (20..=20 + height).contains(&y), "{x} {y}");
                }
                assert_eq!(x1 + y1, x2 + y2);
            }
        }
        assert_eq!(slants((0, 0), (90, 90)).len(), 19);
    }

    #[test]
    fn words_in_a_picture_are_escaped() {
        let mut picture = Picture::new(100, 100);
        picture.write((1, 2), Hold::Start, Ink::Text, "<script>&\"\u{202e}");
        let svg = picture.standalone("a < b");
        assert!(svg.contains("&lt;script&gt;&amp;&quot;\\u{202e}") && svg.contains("a &lt; b"), "{svg}");
        assert!(!svg.contains("<script>"));
    }

    /// A second text as a halo stood in every copy of the page and of the PDF.
    #[test]
    fn every_word_stands_once_in_a_picture() {
        let mut picture = Picture::new(100, 100);
        picture.write((50, 20), Hold::Middle, Ink::Label, "closes 18:00");
        picture.write((50, 34), Hold::End, Ink::WeightyLabel, "vote 26");
        let svg = picture.standalone("name");
        for words in ["closes 18:00", "vote 26"] {
            assert_eq!(svg.matches(words).count(), 1, "{svg}");
        }
        // Both grounds stand before both words.
        assert!(svg.rfind("k-ground\" ").unwrap() < svg.find("<text").unwrap(), "{svg}");
    }
}

//! A page of plain text under construction: wrapped to a width, with hanging labels, and coloured only when asked.

use anstyle::{AnsiColor, Style};
use textwrap::{Options, WordSeparator, WordSplitter};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::report::Layout;

/// Columns of the label beside a text.
const LABEL: usize = 18;

/// Below this width labels stand above their text instead of beside it, and tables become lists.
pub(super) const NARROW: usize = 62;

/// How a piece of text stands out. Nothing is said by it alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tone {
    /// Not at all.
    Plain,
    /// A head or a title.
    Head,
    /// What needs the reader's eye.
    Weighty,
    /// A label or a context line.
    Quiet,
}

impl Tone {
    fn style(self) -> Style {
        match self {
            Tone::Plain => Style::new(),
            Tone::Head => Style::new().bold(),
            Tone::Weighty => Style::new().bold().fg_color(Some(AnsiColor::Yellow.into())),
            Tone::Quiet => Style::new().dimmed(),
        }
    }
}

/// The page.
#[derive(Debug)]
pub(super) struct Page {
    out: String,
    width: usize,
    colour: bool,
    mark: Option<&'static str>,
}

impl Page {
    /// An empty page. `mark` is repeated under every head.
    pub(super) fn new(layout: Layout, mark: Option<&'static str>) -> Page {
        Page { out: String::new(), width: layout.width.max(Layout::LEAST), colour: layout.colour, mark }
    }

    /// The finished text.
    pub(super) fn finish(self) -> String {
        self.out
    }

    /// Whether labels stand above their text.
    pub(super) fn is_narrow(&self) -> bool {
        self.width < NARROW
    }

    /// The width in columns.
    pub(super) fn width(&self) -> usize {
        self.width
    }

    /// An empty line, never two.
    pub(super) fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// The head of a section, with a line above it.
    pub(super) fn head(&mut self, title: &str) {
        self.gap();
        self.push(Tone::Quiet, &"\u{2500}".repeat(self.width));
        self.text(0, Tone::Head, title);
        if let Some(mark) = self.mark {
            self.text(0, Tone::Weighty, mark);
        }
        self.gap();
    }

    /// A paragraph.
    pub(super) fn text(&mut self, indent: usize, tone: Tone, text: &str) {
        let indent = " ".repeat(indent);
        for line in wrap(text, self.width.saturating_sub(indent.len())) {
            self.push(tone, &format!("{indent}{line}"));
        }
    }

    /// A paragraph that hangs from a short mark, as in a list.
    pub(super) fn item(&mut self, indent: usize, mark: &str, text: &str) {
        let hang = " ".repeat(indent + mark.width() + 1);
        for (place, line) in wrap(text, self.width.saturating_sub(hang.len())).into_iter().enumerate() {
            if place == 0 {
                self.push(Tone::Plain, &format!("{}{mark} {line}", " ".repeat(indent)));
            } else {
                self.push(Tone::Plain, &format!("{hang}{line}"));
            }
        }
    }

    /// A label and the text that belongs to it.
    pub(super) fn field(&mut self, indent: usize, label: &str, text: &str) {
        self.toned_field(indent, label, Tone::Plain, text);
    }

    /// A label and the text that belongs to it, the text in a tone.
    pub(super) fn toned_field(&mut self, indent: usize, label: &str, tone: Tone, text: &str) {
        let room = self.width.saturating_sub(indent + LABEL);
        // A digest is one word: it is not cut where it fits a line of its own. Nor does a label run into its text.
        let is_word = text.len() > room && text.len() + indent + 2 <= self.width && !text.contains(' ');
        if self.is_narrow() || is_word || label.width() >= LABEL {
            self.text(indent, Tone::Quiet, label);
            self.text(indent + 2, tone, text);
            return;
        }
        let column = indent + LABEL;
        for (place, line) in wrap(text, self.width.saturating_sub(column)).into_iter().enumerate() {
            let label = if place == 0 { label } else { "" };
            let room = LABEL.saturating_sub(label.width());
            self.out.push_str(&" ".repeat(indent));
            let label = self.paint(Tone::Quiet, label);
            let line = self.paint(tone, &line);
            self.out.push_str(format!("{label}{}{line}", " ".repeat(room)).trim_end());
            self.out.push('\n');
        }
    }

    /// A line of evidence with its line number and mark. Nothing of it is dropped: it is cut where the width ends and
    /// goes on below.
    pub(super) fn quote(&mut self, indent: usize, number: &str, mark: &str, tone: Tone, text: &str) {
        let head = format!("{}{number:>7} {mark} ", " ".repeat(indent));
        let room = self.width.saturating_sub(head.width() + 1).max(2);
        for (place, piece) in fold(text, room).into_iter().enumerate() {
            let lead = if place == 0 { head.clone() } else { " ".repeat(head.width() + 1) };
            self.push(tone, &format!("{lead}{piece}"));
        }
    }

    /// Lines that already fit the width, such as a table's.
    pub(super) fn lines(&mut self, lines: impl Iterator<Item = String>) {
        for line in lines {
            self.push(Tone::Plain, line.trim_end());
        }
    }

    fn push(&mut self, tone: Tone, line: &str) {
        let line = self.paint(tone, line.trim_end_matches(' '));
        self.out.push_str(&line);
        self.out.push('\n');
    }

    fn paint(&self, tone: Tone, text: &str) -> String {
        if self.colour && tone != Tone::Plain && !text.is_empty() {
            let style = tone.style();
            format!("{style}{text}{style:#}")
        } else {
            text.to_owned()
        }
    }
}

/// Hexadecimal digits of a SHA-256.
const DIGEST: usize = 64;

/// A text whose digests may be broken in their middle: a page too narrow for one is too narrow for both halves.
fn halved(text: &str) -> String {
    let is_digest = |word: &str| word.len() == DIGEST && word.bytes().all(|b| b.is_ascii_hexdigit());
    let words = text.split(' ').map(|word| match word.split_at_checked(DIGEST / 2) {
        Some((first, second)) if is_digest(word) => format!("{first} {second}"),
        _ => word.to_owned(),
    });
    words.collect::<Vec<String>>().join(" ")
}

/// Wraps prose at spaces; a word longer than the width is cut.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let options = Options::new(width.max(2))
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(true);
    let text = if width < DIGEST { halved(text) } else { text.to_owned() };
    textwrap::wrap(&text, options).into_iter().map(std::borrow::Cow::into_owned).collect()
}

/// Cuts a text into pieces of at most `width` columns, behind a space where one is near; joined, they are the text.
fn fold(text: &str, width: usize) -> Vec<String> {
    let mut pieces = Vec::new();
    let (mut piece, mut columns) = (String::new(), 0);
    for c in text.chars() {
        let wide = c.width().unwrap_or(0);
        if columns + wide > width && !piece.is_empty() {
            let cut = piece.rfind(' ').map_or(piece.len(), |space| space + 1);
            let cut = if cut * 3 < piece.len() { piece.len() } else { cut };
            let rest = piece.split_off(cut);
            columns = rest.width();
            pieces.push(std::mem::replace(&mut piece, rest));
        }
        piece.push(c);
        columns += wide;
    }
    pieces.push(piece);
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folded_text_is_whole_and_narrow() {
        for text in [
            "",
            "a",
            "one two  three",
            &"x".repeat(100),
            "\u{4e00}\u{4e8c}\u{4e09} \u{4e00}\u{4e8c}\u{4e09}",
            "a b c d e f g h i j",
        ] {
            for width in 2..12 {
                let pieces = fold(text, width);
                assert_eq!(pieces.concat(), text);
                assert!(pieces.iter().all(|piece| piece.width() <= width), "{width} {pieces:?}");
            }
        }
    }

    #[test]
    fn a_digest_is_broken_in_its_middle_where_it_does_not_fit() {
        let digest = "0123456789abcdef".repeat(4);
        let half = "0123456789abcdef".repeat(2);
        assert_eq!(wrap(&format!("SHA-256 {digest}"), 62), [format!("SHA-256 {half}"), half]);
        assert_eq!(wrap(&digest, 64), [digest]);
    }

    #[test]
    fn labels_hang_and_nothing_is_wider_than_the_page() {
        for width in [30, 40, 80, 140] {
            let mut page = Page::new(Layout::plain(width), Some("mark"));
            page.head("A head that is rather long for a narrow page, as heads may be");
            page.field(2, "label", &"word ".repeat(60));
            page.field(2, "a label that is far too long for its column", &"7".repeat(200));
            page.item(4, "-", &"word ".repeat(60));
            page.quote(2, "1234", "*", Tone::Plain, &"value=1 ".repeat(60));
            let text = page.finish();
            assert!(text.lines().all(|line| line.width() <= width), "{width}\n{text}");
        }
    }
}

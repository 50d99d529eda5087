//! Texts made fit for the fonts: what none of them covers is spelled out, and what is too long for a line may be broken.

use std::collections::BTreeSet;

use unicode_segmentation::UnicodeSegmentation as _;

use crate::report::pdf::Fonts;

/// Letters after which a word without a break may be broken, and the length of its pieces then.
const LONG: usize = 24;
const PIECE: usize = 8;

/// Signs behind which such a word is broken rather than elsewhere.
const JOINTS: &[&str] = &["-", "_", "/", ".", ":", ","];

/// What makes texts fit, and remembers what it spelled out.
#[derive(Debug)]
pub(super) struct Fitter<'f> {
    fonts: &'f Fonts<'f>,
    spelled: BTreeSet<char>,
}

impl<'f> Fitter<'f> {
    pub(super) fn new(fonts: &'f Fonts<'f>) -> Fitter<'f> {
        Fitter { fonts, spelled: BTreeSet::new() }
    }

    /// Every character that was spelled out.
    pub(super) fn spelled(&self) -> &BTreeSet<char> {
        &self.spelled
    }

    /// The text, each character that no font covers as its code point. Characters that stand together as one are covered by
    /// one font or are none: an accent from another font than its letter would stand beside it.
    pub(super) fn fit(&mut self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        for cluster in text.graphemes(true) {
            if cluster.bytes().all(|byte| matches!(byte, b' '..=b'~')) || self.fonts.cover(cluster) {
                out.push_str(cluster);
                continue;
            }
            for (place, c) in cluster.chars().enumerate() {
                // The first can stand alone; what belongs to it cannot.
                if place == 0 && self.fonts.cover(c.encode_utf8(&mut [0; 4])) {
                    out.push(c);
                } else {
                    self.spelled.insert(c);
                    out.push_str(&code_point(c));
                }
            }
        }
        out
    }

    /// The same in pieces, between which a line may be broken.
    pub(super) fn pieces(&mut self, text: &str) -> Vec<String> {
        broken(&self.fit(text))
    }
}

/// How a character is called in words (The Unicode Standard, appendix A: U+ and at least four digits).
pub(super) fn code_point(c: char) -> String {
    format!("[U+{:04X}]", u32::from(c))
}

fn broken(text: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for word in text.split_inclusive(' ') {
        let letters: Vec<&str> = word.graphemes(true).collect();
        if letters.len() <= LONG {
            pieces.last_mut().iter_mut().for_each(|last| last.push_str(word));
            continue;
        }
        // Behind a sign that joins its parts, so that a name is not cut inside one; a part that is too long itself anywhere.
        let mut is_first = true;
        for part in letters.split_inclusive(|letter| JOINTS.contains(letter)) {
            let length = if part.len() > LONG { PIECE } else { part.len() };
            for piece in part.chunks(length) {
                if !std::mem::take(&mut is_first) {
                    pieces.push(String::new());
                }
                if let Some(last) = pieces.last_mut() {
                    last.extend(piece.iter().copied());
                }
            }
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_font_covers_is_its_code_point() {
        let fonts = Fonts::with(&[]).unwrap();
        let mut fitter = Fitter::new(&fonts);
        assert_eq!(fitter.fit("a \u{928}\u{93f} b"), "a [U+0928][U+093F] b");
        assert_eq!(fitter.fit("Ash \u{1f5f3} é e\u{301}"), "Ash [U+1F5F3] é e\u{301}");
        // A mark whose letter is covered and which is not itself.
        assert_eq!(fitter.fit("a\u{93f}"), "a[U+093F]");
        let spelled: Vec<char> = fitter.spelled().iter().copied().collect();
        assert_eq!(spelled, ['\u{928}', '\u{93f}', '\u{1f5f3}']);
    }

    #[test]
    fn only_a_word_too_long_for_a_line_is_broken_and_nothing_is_lost() {
        assert_eq!(broken(""), [""]);
        assert_eq!(broken("  two  words "), ["  two  words "]);
        let hex = "0123456789abcdef".repeat(4);
        let text = format!("digest {hex} of it");
        let pieces = broken(&text);
        assert_eq!(pieces.len(), 9, "the space behind it is in a piece of its own");
        assert_eq!(pieces.concat(), text);
        assert_eq!(pieces.first().map(String::as_str), Some("digest 01234567"));
        assert_eq!(
            broken("report/votes-after-close.case.toml"),
            ["report/", "votes-", "after-", "close.", "case.", "toml"]
        );
        // Letter and mark stay together.
        let marked = "a\u{301}".repeat(30);
        assert!(broken(&marked).iter().all(|piece| piece.starts_with('a')));
    }
}

//! The evidence as it came: bytes, name, digest, places in it; and the one gate through which any of it reaches an output.
//!
//! Nothing that stems from evidence is ever formatted directly. It becomes a [`Shown`], and a `Shown` can only be made
//! here: control characters and characters that turn the direction of writing are spelled out, bytes that are no text
//! are spelled out, and what secrecy covers is replaced by [`MASK`].

use std::fmt;

use sha2::{Digest as _, Sha256};

mod disclosure;
mod encoding;
mod sheet;
mod tree;

use sheet::Sheet;

pub use disclosure::{disclosure_in, disclosure_in_prose, names_only_kinds};
pub use encoding::Encoding;
pub use tree::Tree;

/// What stands in an output where secrecy covers the original.
pub const MASK: &str = "[masked]";

/// Longest text of one line that an output shows, in characters; the rest is counted.
pub const SHOWN_LIMIT: usize = 240;

/// A SHA-256 digest (FIPS 180-4). It prints as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of some bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Digest {
        Digest(Sha256::digest(bytes).into())
    }

    /// The digest that a hasher has reached.
    #[must_use]
    pub fn finish(hasher: Sha256) -> Digest {
        Digest(hasher.finalize().into())
    }

    /// Reads 64 hexadecimal digits, of either case; `None` for anything else.
    #[must_use]
    pub fn from_hex(text: &str) -> Option<Digest> {
        Digest::from_digits(text.as_bytes().try_into().ok()?)
    }

    /// Reads 64 hexadecimal digits, of either case; `None` for anything else.
    #[must_use]
    pub fn from_digits(digits: &[u8; 64]) -> Option<Digest> {
        let mut digest = [0u8; 32];
        for (byte, pair) in digest.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = pair.iter().try_fold(0, |byte, digit| {
                let value = char::from(*digit).to_digit(16)?;
                Some(byte << 4 | u8::try_from(value).ok()?)
            })?;
        }
        Some(Digest(digest))
    }

    /// The 32 bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// A stretch of bytes in a source: `start` included, `end` not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Offset of the first byte, from 0.
    pub start: usize,
    /// Offset behind the last byte.
    pub end: usize,
}

impl Span {
    /// The span from `start` to before `end`; an `end` before `start` gives an empty span.
    #[must_use]
    pub fn new(start: usize, end: usize) -> Span {
        Span { start, end: end.max(start) }
    }

    /// Number of bytes.
    #[must_use]
    pub fn len(self) -> usize {
        self.end.saturating_sub(self.start)
    }

    /// Whether it holds no byte.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.start >= self.end
    }
}

/// Text that has passed the gate and may be printed anywhere.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shown(String);

impl Shown {
    /// Makes any text inert: control characters, direction marks and invisible characters are spelled out as `\u{..}`.
    #[must_use]
    pub fn inert(text: &str) -> Shown {
        let mut out = String::with_capacity(text.len());
        push_inert(&mut out, text);
        Shown(out)
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl serde::Serialize for Shown {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

fn push_inert(out: &mut String, text: &str) {
    // Nearly every text is plain, and is taken whole.
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        out.push_str(text);
        return;
    }
    for c in text.chars() {
        if acts_on_a_reader(c) {
            out.extend(c.escape_unicode());
        } else {
            out.push(c);
        }
    }
}

/// Whether a character acts on a terminal or on the reader's eye instead of standing there: C0 and C1 controls, line
/// and paragraph separators, direction controls (Unicode Standard Annex 9, 2.1 to 2.6), invisible characters, tags.
pub(crate) fn acts_on_a_reader(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}' | '\u{180B}'..='\u{180F}'
            | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{3164}'
            | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}'
            | '\u{E0000}'..='\u{E0FFF}')
}

/// One piece of evidence: its name, its bytes, its digest. Where the bytes are no UTF-8 text, or no text at all, a
/// *reading* of them as text stands beside them: places point into the reading, digest and length are of the bytes.
pub struct Source {
    name: String,
    bytes: Vec<u8>,
    digest: Digest,
    reading: Option<String>,
    /// Whether runs of spaces and line ends are shown as one space: in a format whose layout says nothing.
    folds_space: bool,
}

impl Source {
    /// Takes bytes into evidence and hashes them.
    #[must_use]
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Source {
        let digest = Digest::of(&bytes);
        Source { name: name.into(), bytes, digest, reading: None, folds_space: false }
    }

    /// The same evidence read as text in an encoding.
    #[must_use]
    pub fn read_in(mut self, encoding: Encoding) -> Source {
        self.reading = encoding.decode(&self.bytes);
        self
    }

    /// The same evidence with a text that was made from it, for bytes that are no text at all.
    #[must_use]
    pub fn read_as(mut self, text: String) -> Source {
        self.reading = Some(text);
        self
    }

    /// The same evidence in a format whose spaces and line ends between items say nothing.
    #[must_use]
    pub fn folding_space(mut self) -> Source {
        self.folds_space = true;
        self
    }

    fn folds_space(&self) -> bool {
        self.folds_space
    }

    /// Its name, as given by whoever brought it.
    #[must_use]
    pub fn name(&self) -> Shown {
        Shown::inert(&self.name)
    }

    /// Number of its bytes and SHA-256 over them: for `Log::file_identity` alone, which decides whether an
    /// output may know them. A test holds that nothing else calls this.
    pub(crate) fn identity(&self) -> (usize, Digest) {
        (self.bytes.len(), self.digest)
    }

    /// Whether the other has the same bytes.
    #[must_use]
    pub fn is_same(&self, other: &Source) -> bool {
        self.digest == other.digest
    }

    /// Whether it holds no byte.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.bytes.is_empty()
    }

    /// The bytes, or their reading, for the rooms that read formats. A test holds that nothing else calls this.
    pub(crate) fn raw(&self) -> &[u8] {
        self.reading.as_ref().map_or(self.bytes.as_slice(), String::as_bytes)
    }

    /// The bytes of a span for the rooms that read formats; a span outside the source gives nothing.
    pub(crate) fn raw_at(&self, span: Span) -> &[u8] {
        self.raw().get(span.start..span.end).unwrap_or_default()
    }

    /// The text of a span as an output may show it: `veils` are replaced by [`MASK`], bytes that are no text are
    /// spelled `\xNN`, what acts on a terminal is spelled out, and past `limit` characters the rest is counted.
    #[must_use]
    pub fn show(&self, span: Span, veils: &[Span], limit: usize) -> Shown {
        self.show_with_mark(span, veils, limit, Span::new(span.start, span.start)).0
    }

    /// As [`Source::show`], and where the bytes of `mark` stand in the shown text, as offsets into it. A mark under a
    /// veil becomes the mask that covers it; a mark past `limit` stands at the text's end.
    #[must_use]
    pub fn show_with_mark(&self, span: Span, veils: &[Span], limit: usize, mark: Span) -> (Shown, Span) {
        let mut veils: Vec<Span> = veils.iter().copied().filter(|veil| !veil.is_empty()).collect();
        veils.sort_unstable();
        let mut sheet = Sheet::new(limit, mark);
        let mut at = span.start;
        for veil in veils {
            if veil.end <= at || veil.start >= span.end {
                continue;
            }
            sheet.copy(self, Span::new(at, veil.start.max(at)));
            sheet.cover(Span::new(veil.start.max(at), veil.end.min(span.end)));
            at = veil.end.min(span.end);
        }
        sheet.copy(self, Span::new(at, span.end));
        sheet.finish()
    }
}

impl fmt::Debug for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Length and digest would let be found by trying what is covered.
        write!(f, "Source({})", self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sha_256_agrees_with_the_published_vectors() {
        // FIPS 180-4 examples (NIST, "Secure Hash Standard", SHA-256 example values).
        let vectors: [(&[u8], &str); 4] = [
            (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (
                b"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrstu",
                "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1",
            ),
        ];
        for (bytes, hex) in vectors {
            assert_eq!(Digest::of(bytes).to_string(), hex);
            assert_eq!(Digest::from_hex(hex), Some(Digest::of(bytes)));
        }
        assert_eq!(
            Digest::of(&vec![b'a'; 1_000_000]).to_string(),
            "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
        );
        assert_eq!(Digest::from_hex(&"+f".repeat(32)), None);
    }

    #[test]
    fn the_gate_lets_nothing_act_on_a_terminal() {
        let source = Source::new("a\u{1b}[31m\u{202e}b", b"x\x1b[2Jy\xff\xe2\x80\xaez\0".to_vec());
        assert_eq!(source.name().as_str(), "a\\u{1b}[31m\\u{202e}b");
        let shown = source.show(Span::new(0, source.raw().len()), &[], SHOWN_LIMIT);
        assert_eq!(shown.as_str(), "x\\u{1b}[2Jy\\xFF\\u{202e}z\\u{0}");
    }

    #[test]
    fn veils_hide_what_they_cover_even_when_they_overlap() {
        let source = Source::new("s", b"vote pick=secret end".to_vec());
        let veils = [Span::new(10, 16), Span::new(12, 16), Span::new(3, 3)];
        assert_eq!(source.show(Span::new(0, 20), &veils, SHOWN_LIMIT).as_str(), "vote pick=[masked] end");
        assert_eq!(source.show(Span::new(0, 20), &[], 4).as_str(), "vote [16 more characters]");
    }

    #[test]
    fn a_mark_keeps_its_place_before_under_and_behind_a_mask() {
        let source = Source::new("s", b"a\xffb pick=secret end".to_vec());
        let place = |mark: Span| {
            let (shown, at) = source.show_with_mark(Span::new(0, 20), &[Span::new(9, 15)], SHOWN_LIMIT, mark);
            shown.as_str().get(at.start..at.end).map(str::to_owned)
        };
        assert_eq!(place(Span::new(1, 2)).as_deref(), Some("\\xFF"));
        assert_eq!(place(Span::new(2, 3)).as_deref(), Some("b"));
        assert_eq!(place(Span::new(4, 8)).as_deref(), Some("pick"));
        assert_eq!(place(Span::new(11, 13)).as_deref(), Some(MASK));
        assert_eq!(place(Span::new(4, 12)).as_deref(), Some("pick=[masked]"));
        assert_eq!(place(Span::new(10, 19)).as_deref(), Some("[masked] end"));
        assert_eq!(place(Span::new(16, 19)).as_deref(), Some("end"));
        assert_eq!(place(Span::new(19, 19)).as_deref(), Some(""));
    }
}

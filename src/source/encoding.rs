//! How the bytes of an export stand for text.

/// How the bytes of a text stand for its characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Encoding {
    /// UTF-8 (RFC 3629). What is none of it is kept as bytes.
    #[default]
    Utf8,
    /// UTF-16 (RFC 2781): by its byte order mark, little-endian without one.
    Utf16,
    /// ISO/IEC 8859-1: each byte is the character of that number.
    Latin1,
}

impl Encoding {
    /// The encoding that a byte order mark at the beginning shows; UTF-8 without one.
    #[must_use]
    pub fn of_mark(bytes: &[u8]) -> Encoding {
        let is_utf16 = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
        if is_utf16 { Encoding::Utf16 } else { Encoding::Utf8 }
    }

    /// Its word in a mapping.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Encoding::Utf8 => "utf-8",
            Encoding::Utf16 => "utf-16",
            Encoding::Latin1 => "latin-1",
        }
    }

    /// The encoding of this word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Encoding> {
        [Encoding::Utf8, Encoding::Utf16, Encoding::Latin1]
            .into_iter()
            .find(|encoding| encoding.word() == word)
    }

    /// The text that bytes stand for; `None` for UTF-8, whose bytes are the text. What stands for no character becomes
    /// U+FFFD.
    pub(super) fn decode(self, bytes: &[u8]) -> Option<String> {
        match self {
            Encoding::Utf8 => None,
            Encoding::Latin1 => Some(bytes.iter().copied().map(char::from).collect()),
            Encoding::Utf16 => Some(utf16(bytes)),
        }
    }
}

fn utf16(bytes: &[u8]) -> String {
    let (big, rest) = match bytes {
        [0xFE, 0xFF, rest @ ..] => (true, rest),
        [0xFF, 0xFE, rest @ ..] | rest => (false, rest),
    };
    let (pairs, odd) = rest.as_chunks::<2>();
    let units =
        pairs.iter().map(|pair| if big { u16::from_be_bytes(*pair) } else { u16::from_le_bytes(*pair) });
    let mut text: String =
        char::decode_utf16(units).map(|unit| unit.unwrap_or(char::REPLACEMENT_CHARACTER)).collect();
    if !odd.is_empty() {
        text.push(char::REPLACEMENT_CHARACTER);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_decoded_as_the_standards_say() {
        // RFC 2781, 5: U+12345 in UTF-16 is D8 08 DF 45 with the more significant byte first.
        assert_eq!(Encoding::Utf16.decode(b"\xFE\xFF\xD8\x08\xDF\x45\x00=").as_deref(), Some("\u{12345}="));
        assert_eq!(Encoding::Utf16.decode(b"\xFF\xFE\x08\xD8\x45\xDF=\x00").as_deref(), Some("\u{12345}="));
        // Half a pair of surrogates and half a unit stand for no character.
        assert_eq!(Encoding::Utf16.decode(b"\x08\xD8=\x00x").as_deref(), Some("\u{FFFD}=\u{FFFD}"));
        // ISO/IEC 8859-1: E9 is e with acute.
        assert_eq!(Encoding::Latin1.decode(b"caf\xE9").as_deref(), Some("caf\u{E9}"));
        assert_eq!(Encoding::Utf8.decode(b"x"), None);
    }
}

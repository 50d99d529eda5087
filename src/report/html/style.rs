//! The style of the page: one sheet, allowed by its digest and by nothing else.

use crate::report::document::Document;
use crate::report::picture::{style_dark, style_light};
use crate::source::Digest;

/// The sheet, with the inks of pictures in light and dark and the running lines of printed pages.
pub(super) fn sheet(document: &Document) -> String {
    let mark = match document.demonstration {
        Some(words) => format!("{} {}", document.id, words),
        None => document.id.to_string(),
    };
    let digest = document.source_in_words();
    let state = if document.is_signed { "" } else { ", draft" };
    format!(
        "{}\n{}\n@media (prefers-color-scheme:dark){{@media screen{{{}}}}}\n\
         @page{{@top-left{{content:\"{}\\A SHA-256 of the log's file: {digest}\"}}@top-right{{content:\"{} edition{state}\"}}}}\n",
        include_str!("page.css"),
        style_light(),
        style_dark(),
        quoted(&mark),
        document.edition.word(),
    )
}

/// A text as it may stand in a string of a style sheet: letters, digits and plain punctuation.
fn quoted(text: &str) -> String {
    text.chars().filter(|c| c.is_ascii_alphanumeric() || " .,:-".contains(*c)).collect()
}

/// How a policy names the sheet: its digest in base 64 (RFC 4648, 4).
pub(super) fn allowed(sheet: &str) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let digest = Digest::of(sheet.as_bytes());
    let mut out = String::from("sha256-");
    for group in digest.bytes().chunks(3) {
        let byte = |at: usize| u32::from(group.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = (bits >> (18 - 6 * place) & 63) as usize;
            let is_padding = place > group.len();
            out.push(if is_padding { '=' } else { LETTERS.get(letter).copied().map_or('=', char::from) });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_written_in_base_64() {
        // SHA-256 of the empty text in base 64, as RFC 9530 and many content policies write it; worked out with
        // `printf '' | openssl dgst -sha256 -binary | base64`.
        assert_eq!(allowed(""), "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
        assert_eq!(quoted("LA-1 \"}</style>"), "LA-1 style");
    }
}

//! The grammar of words, keys and values.

use nom::Parser as _;
use nom::branch::alt;
use nom::bytes::complete::{tag, take_while, take_while_m_n, take_while1};
use nom::character::complete::{char, satisfy};
use nom::combinator::{map, recognize, value};
use nom::sequence::{delimited, preceded};

use super::LIMITS;
use super::wrong::{Parsed, Valued, Wrong, or_fault, token};
use crate::source::acts_on_a_reader;
use crate::syntax::FaultCode;

/// `word = lower *39( lower / decimal / "-" )`
///
/// It takes all characters of the kind, also past the limit; who calls it names the excess.
fn word(input: &str) -> Parsed<'_, &str> {
    recognize((satisfy(|c| c.is_ascii_lowercase()), take_while(in_word))).parse(input)
}

fn in_word(c: char) -> bool {
    c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'
}

/// The event: a word that ends at a space or at the line's end.
pub(super) fn event(input: &str) -> Parsed<'_, &str> {
    let name = |at| {
        let text = token(at);
        let code = if text.is_empty() {
            FaultCode::EventMissing
        } else if whole_word(&text.to_ascii_lowercase()) {
            FaultCode::EventCase
        } else {
            FaultCode::EventForm
        };
        Wrong::token(code, at)
    };
    let (rest, text) = or_fault(word(input), input, name)?;
    if !(rest.is_empty() || rest.starts_with(' ')) {
        return name(input).stop();
    }
    if text.len() > LIMITS.word_chars {
        return Wrong::token(FaultCode::WordTooLong, input).stop();
    }
    Ok((rest, text))
}

/// `attribute = key "=" value`, `key = word`; the decoded value goes behind `out`.
///
/// What is returned is the key, the value as written, and whether there can be such a value.
pub(super) fn attribute<'a>(input: &'a str, out: &mut String) -> Parsed<'a, (&'a str, &'a str, Valued<()>)> {
    let (rest, key) = or_fault(word(input), input, name_bad_key)?;
    if !rest.starts_with('=') {
        return name_bad_key(input).stop();
    }
    if key.len() > LIMITS.word_chars {
        return Wrong::first(FaultCode::KeyTooLong, input, key.len()).stop();
    }
    let (at, _) = char('=').parse(rest)?;
    let (rest, (written, valued)) = attribute_value(at, out)?;
    Ok((rest, (key, written, valued)))
}

fn name_bad_key(at: &str) -> Wrong {
    let text = token(at);
    let Some((key, _)) = text.split_once('=') else {
        return Wrong::token(FaultCode::EqualsMissing, at);
    };
    let code = if whole_word(&key.to_ascii_lowercase()) { FaultCode::KeyCase } else { FaultCode::KeyForm };
    // A key that is not there at all is marked on its equals sign.
    Wrong::first(code, at, key.len().max(1))
}

/// Whether all of a text is a word.
pub(super) fn whole_word(text: &str) -> bool {
    matches!(word(text), Ok(("", _)))
}

/// `value = quoted / bare`
fn attribute_value<'a>(input: &'a str, out: &mut String) -> Parsed<'a, (&'a str, Valued<()>)> {
    if input.is_empty() || input.starts_with(' ') {
        return Wrong { code: FaultCode::ValueEmpty, from: input.len() + 1, to: input.len() }.stop();
    }
    let (rest, valued) = if input.starts_with('"') {
        quoted(input, out)?
    } else {
        map(|at| bare(at, out), Ok).parse(input)?
    };
    Ok((rest, (input.get(..input.len() - rest.len()).unwrap_or_default(), valued)))
}

/// `bare = 1*bare-char`
fn bare<'a>(input: &'a str, out: &mut String) -> Parsed<'a, ()> {
    let refused = |at: &str| match at.chars().next() {
        Some('"') => Wrong::first(FaultCode::QuoteInValue, at, 1),
        other => Wrong::first(FaultCode::InvisibleCharacter, at, other.map_or(0, char::len_utf8)),
    };
    let (rest, text) = or_fault(take_while1(in_bare).parse(input), input, refused)?;
    if !(rest.is_empty() || rest.starts_with(' ')) {
        return refused(rest).stop();
    }
    out.push_str(text);
    Ok((rest, ()))
}

/// `bare-char`: a character that is seen, is no space and no quotation mark. The ranges stand in `log.abnf`.
pub(super) fn in_bare(c: char) -> bool {
    if c.is_ascii() { c.is_ascii_graphic() && c != '"' } else { !c.is_whitespace() && !acts_on_a_reader(c) }
}

/// `quoted = quote *( quoted-char / escape ) quote`
fn quoted<'a>(input: &'a str, out: &mut String) -> Parsed<'a, Valued<()>> {
    let (mut rest, _) = char('"').parse(input)?;
    let mut valued = Ok(());
    loop {
        if let Ok((after, _)) = char::<_, Wrong>('"').parse(rest) {
            if !(after.is_empty() || after.starts_with(' ')) {
                return Wrong::token(FaultCode::QuoteFollowed, after).stop();
            }
            return Ok((after, valued));
        }
        if rest.is_empty() {
            return Wrong { code: FaultCode::QuoteOpen, from: input.len(), to: 0 }.stop();
        }
        if rest.starts_with('\\') {
            let (after, c) = escape(rest)?;
            valued = valued.and(c.map(|c| out.push(c)));
            rest = after;
        } else {
            let piece = take_while1(in_quoted).parse(rest);
            let (after, text) = or_fault(piece, rest, |at| {
                let len = at.chars().next().map_or(0, char::len_utf8);
                Wrong::first(FaultCode::ControlCharacter, at, len)
            })?;
            out.push_str(text);
            rest = after;
        }
    }
}

/// `quoted-char = %x20-21 / %x23-5B / %x5D-7E / %xA0-D7FF / %xE000-10FFFF`
fn in_quoted(c: char) -> bool {
    c != '"' && c != '\\' && !c.is_control()
}

/// `escape = "\" ( quote / "\" / %s"n" / %s"r" / %s"t" / %s"u{" 1*6hex "}" )`
fn escape(input: &str) -> Parsed<'_, Valued<char>> {
    let letter =
        alt((char('"'), char('\\'), value('\n', char('n')), value('\r', char('r')), value('\t', char('t'))));
    let as_char = |digits| char::from_u32(u32::from_str_radix(digits, 16).ok()?);
    let number = map(delimited(tag("u{"), hex_1_to_6, char('}')), as_char);
    let shape = preceded(char('\\'), alt((map(letter, Some), number))).parse(input);
    let (rest, c) = or_fault(shape, input, |at| {
        Wrong::first(FaultCode::EscapeUnknown, at, at.chars().take(2).map(char::len_utf8).sum())
    })?;
    let written = input.len() - rest.len();
    Ok((rest, c.ok_or_else(|| Wrong::first(FaultCode::EscapeNoCharacter, input, written))))
}

fn hex_1_to_6(input: &str) -> Parsed<'_, &str> {
    take_while_m_n(1, 6, |c: char| c.is_ascii_hexdigit()).parse(input)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ranges of a production of `log.abnf` that is an alternative of ranges.
    fn ranges(production: &str) -> Vec<(u32, u32)> {
        let grammar = include_str!("../../grammar/log.abnf");
        let mut lines = grammar.lines().skip_while(|line| !line.starts_with(&format!("{production} ")));
        let mut text = lines.next().unwrap().split_once('=').unwrap().1.to_owned();
        lines.take_while(|line| line.starts_with(' ')).for_each(|line| text.push_str(line));
        let number = |hex: &str| u32::from_str_radix(hex, 16).unwrap();
        text.split('/')
            .map(|range| {
                let range = range.trim().strip_prefix("%x").unwrap();
                let (first, last) = range.split_once('-').unwrap_or((range, range));
                (number(first), number(last))
            })
            .collect()
    }

    #[test]
    fn the_grammar_and_the_reader_agree_on_every_character() {
        let (bare, quoted, text) = (ranges("bare-char"), ranges("quoted-char"), ranges("text-char"));
        let within =
            |ranges: &[(u32, u32)], c: char| ranges.iter().any(|r| (r.0..=r.1).contains(&u32::from(c)));
        for c in '\0'..=char::MAX {
            assert_eq!(in_bare(c), within(&bare, c), "{c:?} in bare-char");
            assert_eq!(in_quoted(c), within(&quoted, c), "{c:?} in quoted-char");
            assert_eq!(!c.is_control(), within(&text, c), "{c:?} in text-char");
        }
    }
}

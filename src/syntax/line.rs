//! The grammar of whole lines: heading, header, record, closing. Each takes a line without its end and its trailing spaces.

use nom::Parser as _;
use nom::bytes::complete::{tag, take_while_m_n};
use nom::character::complete::char;
use nom::combinator::{eof, map, map_opt, opt, recognize};
use nom::sequence::{preceded, terminated};

use super::wrong::{Parsed, Wrong, or_fault, token};
use super::{LIMITS, clock, words};
use crate::source::Digest;
use crate::syntax::{FaultCode, Stamp};

/// How a heading begins; a line that begins so begins a log.
pub(super) const HEADING_WORD: &str = "unit-event-log";

/// What a record line says, without its attributes: those go to the sink as they are met.
pub(super) struct RecordFields<'a> {
    pub(super) number: Option<(u64, u8)>,
    pub(super) time: Option<Stamp>,
    pub(super) word: &'a str,
    /// Bytes from the word's begin to the line's end.
    pub(super) word_from: usize,
    pub(super) chain: Option<Digest>,
    /// Bytes from the space before the chain field to the line's end; 0 without one.
    pub(super) chain_from: usize,
}

/// An attribute as it was met. Places are counted from the line's end.
pub(super) struct AttributeFields<'a> {
    pub(super) key: &'a str,
    /// Length of the decoded value, which stands at the end of the sink's text.
    pub(super) value_len: usize,
    pub(super) key_from: usize,
    pub(super) value_from: usize,
    pub(super) value_to: usize,
}

/// Takes attributes as the parser meets them, so that it needs no list of its own.
pub(super) trait Sink {
    /// Where decoded values are written.
    fn text(&mut self) -> &mut String;
    /// Takes an attribute, whose value has just been written.
    fn attribute(&mut self, attribute: &AttributeFields<'_>);
}

/// `heading = %s"unit-event-log" space version`, `version = "1"`
pub(super) fn heading(input: &str) -> Parsed<'_, ()> {
    let form = terminated((tag(HEADING_WORD), char(' '), char('1')), eof);
    let (rest, ()) = or_fault(map(form, |_| ()).parse(input), input, |at| {
        let after = at.get(HEADING_WORD.len()..).unwrap_or_default();
        let after = after.strip_prefix(' ').unwrap_or(after);
        Wrong::first(FaultCode::HeadingVersion, after, after.len())
    })?;
    Ok((rest, ()))
}

/// `header = key ":" space header-value`
///
/// Gives the key; the value is what is left. The reader takes it from the bytes, as it may hold what is no text.
pub(super) fn header(input: &str) -> Parsed<'_, &str> {
    let (rest, (key, _)) = or_fault(
        (recognize(take_while_m_n(1, LIMITS.word_chars, in_key)), tag(": ")).parse(input),
        input,
        |at| {
            let colon = at.find(':').unwrap_or(at.len());
            Wrong::first(FaultCode::HeaderForm, at, colon + 1)
        },
    )?;
    if !words::whole_word(key) {
        return Wrong::first(FaultCode::HeaderForm, input, key.len() + 2).stop();
    }
    Ok((rest, key))
}

fn in_key(c: char) -> bool {
    c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'
}

/// `record = number space time space word *32( space attribute ) [ space chain ]`
pub(super) fn record<'a>(input: &'a str, sink: &mut impl Sink) -> Parsed<'a, RecordFields<'a>> {
    let (rest, number) = number(input)?;
    let (rest, ()) = space(rest, FaultCode::TimeMissing)?;
    let (rest, time) = clock::time(rest)?;
    // The first value that cannot be, if any; what leaves the shape of the line comes before it.
    let mut valued = time.map(|_| ());
    let (rest, ()) = space(rest, FaultCode::EventMissing)?;
    let word_from = rest.len();
    let (mut rest, word) = words::event(rest)?;
    let mut fields =
        RecordFields { number, time: time.unwrap_or_default(), word, word_from, chain: None, chain_from: 0 };
    let mut met = 0;
    while !rest.is_empty() {
        let (at, ()) = space(rest, FaultCode::KeyForm)?;
        if at.starts_with("chain:") {
            fields.chain_from = rest.len();
            let (after, digest) = chain(at)?;
            fields.chain = Some(digest);
            rest = after;
            break;
        }
        if met == LIMITS.attributes {
            return Wrong::first(FaultCode::AttributesTooMany, at, at.len()).stop();
        }
        let before = sink.text().len();
        let (after, (key, written, found)) = words::attribute(at, sink.text())?;
        valued = valued.and(found);
        let value_len = sink.text().len() - before;
        let value_from = after.len() + written.len();
        let attribute =
            AttributeFields { key, value_len, key_from: at.len(), value_from, value_to: after.len() };
        sink.attribute(&attribute);
        met += 1;
        rest = after;
    }
    valued.or_else(Wrong::stop)?;
    Ok((rest, fields))
}

/// `number = "-" / 1*19decimal`
fn number(input: &str) -> Parsed<'_, Option<(u64, u8)>> {
    let text = token(input);
    if text == "-" {
        return map(char('-'), |_| None).parse(input);
    }
    let (rest, number) = or_fault(clock::whole(input), input, |at| {
        let digits = text.bytes().all(|b| b.is_ascii_digit());
        Wrong::token(if digits { FaultCode::NumberTooLong } else { FaultCode::NumberForm }, at)
    })?;
    if !(rest.is_empty() || rest.starts_with(' ')) {
        return Wrong::token(FaultCode::NumberForm, input).stop();
    }
    Ok((rest, Some(number)))
}

/// `space = %x20`, exactly one; at the line's end the next field is missing.
fn space(input: &str, missing: FaultCode) -> Parsed<'_, ()> {
    if input.is_empty() {
        return Wrong::end(missing).stop();
    }
    let (rest, _) = or_fault(char(' ').parse(input), input, |at| Wrong::token(missing, at))?;
    if rest.starts_with(' ') {
        let len = rest.len() - rest.trim_start_matches(' ').len();
        return Wrong::first(FaultCode::SpaceDoubled, input, len + 1).stop();
    }
    Ok((rest, ()))
}

/// `chain = %s"chain:" 64hex`
fn chain(input: &str) -> Parsed<'_, Digest> {
    let (rest, digest) = or_fault(preceded(tag("chain:"), hex_64).parse(input), input, |at| {
        Wrong::token(FaultCode::ChainForm, at)
    })?;
    if rest.starts_with(' ') {
        return Wrong::first(FaultCode::ChainNotLast, rest, rest.len()).stop();
    }
    if !rest.is_empty() {
        return Wrong::token(FaultCode::ChainForm, input).stop();
    }
    Ok((rest, digest))
}

/// `64hex`
fn hex_64(input: &str) -> Parsed<'_, Digest> {
    map_opt(take_while_m_n(64, 64, |c: char| c.is_ascii_hexdigit()), Digest::from_hex).parse(input)
}

/// `closing = %s"end" space count [ space %s"sha256:" 64hex ]`, `count = 1*19decimal`
pub(super) fn closing(input: &str) -> Parsed<'_, (u64, Option<Digest>)> {
    let digest = opt(preceded(tag(" sha256:"), hex_64));
    let form = terminated((preceded(tag("end "), clock::whole), digest), eof);
    or_fault(map(form, |((count, _), digest)| (count, digest)).parse(input), input, |at| {
        Wrong::first(FaultCode::ClosingForm, at, at.len())
    })
}

/// Whether a line begins with this word, and the word ends there.
pub(super) fn begins_with(line: &[u8], word: &str) -> bool {
    line.strip_prefix(word.as_bytes()).is_some_and(|rest| rest.is_empty() || rest.starts_with(b" "))
}

/// Whether a line is meant as a header: letters, digits, `-` or `_`, perhaps spaces, then a colon.
pub(super) fn looks_like_header(line: &[u8]) -> bool {
    let behind = line.iter().position(|b| !(b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_')));
    let rest = behind.and_then(|place| line.get(place..)).unwrap_or_default();
    line.first().is_some_and(u8::is_ascii_alphabetic) && rest.trim_ascii_start().starts_with(b":")
}

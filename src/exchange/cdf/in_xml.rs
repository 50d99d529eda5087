//! XML read with places. No document type, no entity but the five that XML has by itself: nothing in a file can grow in
//! reading, and nothing outside it is looked at.

use quick_xml::Error;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::reader::Reader;

use super::tree::{Field, Opened};
use super::wrong::Wrong;
use crate::exchange::json::scan::DEEPEST;
use crate::exchange::text::Text;
use crate::exchange::xml;
use crate::source::Span;

/// A reader over a stretch of a text, which knows where in the text it is.
struct Walk<'a> {
    reader: Reader<&'a [u8]>,
    base: usize,
}

impl<'a> Walk<'a> {
    fn over(all: &'a str, span: Span) -> Walk<'a> {
        let reader = Reader::from_str(all.get(span.start..span.end).unwrap_or_default());
        Walk { reader, base: span.start }
    }

    fn at(&self) -> usize {
        self.base + usize::try_from(self.reader.buffer_position()).unwrap_or(usize::MAX)
    }

    /// The next event and where it stands.
    fn step(&mut self) -> Result<(Event<'a>, Span), Wrong> {
        let start = self.at();
        match self.reader.read_event() {
            Ok(event) => Ok((event, Span::new(start, self.at()))),
            Err(error) => {
                let at = self.base + usize::try_from(self.reader.error_position()).unwrap_or_default();
                let what = match error {
                    Error::Syntax(_) => "a piece of markup that does not end",
                    Error::IllFormed(_) => "tags that do not fit each other",
                    _ => "markup in a form that XML does not have",
                };
                Err(Wrong::new(at, what))
            }
        }
    }
}

/// Looks through a whole file, and says where its one element stands.
pub(super) fn document(all: &str, from: usize) -> Result<Span, Wrong> {
    if let Some((at, _)) = all.char_indices().find(|(_, c)| !xml::may_stand(*c)) {
        return Err(Wrong::new(at, "a character that may stand in no XML"));
    }
    let mut walk = Walk::over(all, Span::new(from, all.len()));
    let mut depth = 0_usize;
    let mut root: Option<Span> = None;
    loop {
        let (event, span) = walk.step()?;
        let wrong = |what| Err(Wrong::new(span.start, what));
        match event {
            Event::Start(tag) => {
                check_tag(&tag, span)?;
                if depth == 0 && root.is_some() {
                    return wrong("a second element stands behind the first");
                }
                root = root.or(Some(span));
                depth += 1;
                if depth > DEEPEST {
                    return wrong("it is nested too deep");
                }
            }
            Event::Empty(tag) => {
                check_tag(&tag, span)?;
                if depth == 0 {
                    if root.is_some() {
                        return wrong("a second element stands behind the first");
                    }
                    root = Some(span);
                }
            }
            Event::End(_) => {
                depth = depth.saturating_sub(1);
                if let (0, Some(root)) = (depth, &mut root) {
                    root.end = span.end;
                }
            }
            Event::DocType(_) => return wrong("a document type declaration, which is not read"),
            Event::GeneralRef(reference) if character(&reference).is_none() => {
                return wrong("an entity that XML does not have by itself");
            }
            Event::Text(text) if depth == 0 && !text.trim_ascii().is_empty() => {
                return wrong("text outside of the element");
            }
            Event::CData(_) | Event::GeneralRef(_) if depth == 0 => {
                return wrong("text outside of the element");
            }
            Event::Eof if depth > 0 => return wrong("the text ends too early"),
            Event::Eof => return root.ok_or(Wrong::new(span.start, "it holds no element")),
            _ => {}
        }
    }
}

fn check_tag(tag: &BytesStart<'_>, span: Span) -> Result<(), Wrong> {
    if tag.attributes().any(|attribute| attribute.is_err()) {
        return Err(Wrong::new(span.start, "a tag whose attributes are in no form, or stand twice"));
    }
    Ok(())
}

/// The character that a reference stands for.
fn character(reference: &BytesRef<'_>) -> Option<char> {
    if reference.is_char_ref() {
        return reference.resolve_char_ref().ok().flatten().filter(|c| xml::may_stand(*c));
    }
    match &**reference {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "apos" => Some('\''),
        _ => None,
    }
}

/// A child element in the making.
struct Child {
    name: String,
    start: usize,
    inside: usize,
    text: Text,
    has_elements: bool,
}

/// The fields of an element: its attributes and the elements directly in it.
pub(super) fn open(all: &str, object: Span, many: &str) -> Opened {
    let mut opened = Opened::default();
    let mut walk = Walk::over(all, object);
    let mut depth = 0_usize;
    let mut child: Option<Child> = None;
    // The whole file has been looked through: there is no error left to meet.
    while let Ok((event, span)) = walk.step() {
        match event {
            Event::Start(tag) | Event::Empty(tag) if depth == 0 => {
                opened.is_object = true;
                opened.class = local(&tag);
                push_attributes(&mut opened, &tag, span);
                depth = 1;
            }
            Event::Start(tag) => {
                if depth == 1 {
                    child = Some(begin(&tag, span));
                } else if let Some(child) = &mut child {
                    child.has_elements = true;
                }
                depth += 1;
            }
            Event::Empty(tag) => match &mut child {
                Some(child) => child.has_elements = true,
                None => {
                    finish(&mut opened, begin(&tag, span), Span::new(span.end, span.end), span.end, all, many)
                }
            },
            Event::End(_) => {
                depth = depth.saturating_sub(1);
                if let (1, Some(child)) = (depth, child.take_if(|_| depth == 1)) {
                    let inner = Span::new(child.inside, span.start);
                    finish(&mut opened, child, inner, span.end, all, many);
                }
            }
            Event::Eof => break,
            Event::Text(text) if child.is_none() && text.trim_ascii().is_empty() => {}
            other => match &mut child {
                Some(child) => push_piece(&mut child.text, &other, span),
                // Comments and text between the fields may hold anything.
                None if depth > 0 => push_aside(&mut opened, span, all),
                None => {}
            },
        }
    }
    opened
}

/// A piece of text inside a field.
fn push_piece(text: &mut Text, piece: &Event<'_>, span: Span) {
    match piece {
        Event::Text(written) => push_lines(text, written, span.start),
        Event::CData(written) => push_lines(text, written, span.start + "<![CDATA[".len()),
        Event::GeneralRef(reference) => {
            if let Some(c) = character(reference) {
                text.skip_to(span.start);
                text.push(c.encode_utf8(&mut [0; 4]), span.len());
            }
        }
        _ => {}
    }
}

fn push_aside(opened: &mut Opened, span: Span, all: &str) {
    opened.push(|| Field {
        name: "aside".to_owned(),
        name_span: Span::default(),
        whole: span,
        value: Text::plain(all.get(span.start..span.end).unwrap_or_default(), span),
    });
}

/// Text with its line ends as XML has them in reading (XML 1.0, 2.11).
fn push_lines(text: &mut Text, mut rest: &str, at: usize) {
    text.skip_to(at);
    while let Some((before, behind)) = rest.find('\r').and_then(|at| rest.split_at_checked(at)) {
        text.push(before, before.len());
        let len = if behind.starts_with("\r\n") { 2 } else { 1 };
        text.push("\n", len);
        rest = behind.get(len..).unwrap_or_default();
    }
    text.push(rest, rest.len());
}

fn begin(tag: &BytesStart<'_>, span: Span) -> Child {
    let inner = Span::new(span.end, span.end);
    Child {
        name: local(tag),
        start: span.start,
        inside: span.end,
        text: Text::begin(inner, span.end),
        has_elements: false,
    }
}

fn finish(opened: &mut Opened, child: Child, inner: Span, end: usize, all: &str, many: &str) {
    let whole = Span::new(child.start, end);
    if child.name == many {
        return opened.push_one_of_many(whole);
    }
    let mut value = child.text;
    value.span = inner;
    if child.has_elements {
        value = Text::plain(all.get(inner.start..inner.end).unwrap_or_default(), inner);
    }
    // The name stands twice, before and behind the value.
    opened.push(|| Field { name: child.name, name_span: whole, whole, value });
}

fn local(tag: &BytesStart<'_>) -> String {
    tag.local_name().as_ref().to_owned()
}

/// Attributes of the element itself, but those that say how to read it. The standard has none: each is kept.
fn push_attributes(opened: &mut Opened, tag: &BytesStart<'_>, span: Span) {
    for attribute in tag.attributes().flatten() {
        let name = attribute.key.0;
        if name.starts_with("xmlns") || name.starts_with("xsi:") {
            continue;
        }
        // All of the tag stands for name and value: whatever covers them covers it.
        let value = Text::plain(&attribute.value, span);
        opened.push(|| Field { name: name.to_owned(), name_span: span, whole: span, value });
    }
}

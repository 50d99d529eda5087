//! The standard's `Details`, where this tool wrote them: JSON with named keys, for what the standard has no field for.

use crate::exchange::json::scan;
use crate::exchange::text::Text;
use crate::source::Span;
use crate::syntax::{LIMITS, Part};

/// What the Details of a device say.
#[derive(Debug, Default)]
pub(super) struct DeviceDetails {
    /// Headers that the standard has no field for.
    pub(super) headers: Vec<(String, Text)>,
    /// Whether the Id is of our making, for the log states no serial.
    pub(super) is_without_id: bool,
    /// Whether each Hash is of the line in the log from which the file was made.
    pub(super) hashes_lines: bool,
}

/// What the Details of an event say.
#[derive(Debug, Default)]
pub(super) struct EventDetails {
    /// The line in the log from which the file was made.
    pub(super) line: usize,
    /// Whether the display shows minutes only.
    pub(super) minutes: bool,
    pub(super) attributes: Vec<Part>,
}

/// A line that the standard cannot express.
#[derive(Debug)]
pub(super) struct LeftOut {
    /// Number of events of the device that stand before it.
    pub(super) behind: usize,
    /// Where the Details of the file name it.
    pub(super) span: Span,
    /// What it says; none where it could not be read.
    pub(super) event: Option<Untimed>,
}

/// An event without a time.
#[derive(Debug)]
pub(super) struct Untimed {
    pub(super) number: Option<String>,
    pub(super) word: Text,
    pub(super) attributes: Vec<Part>,
}

/// An object inside of Details.
struct Inner<'t> {
    text: &'t Text,
    /// Names with the places of their values in the decoded text.
    members: Vec<(String, Span)>,
}

impl<'t> Inner<'t> {
    fn whole(text: &'t Text) -> Option<Inner<'t>> {
        let all = scan::document(&text.text, 0).ok()?;
        Inner::at(text, all)
    }

    /// The object at a place, of which no name stands twice.
    fn at(text: &'t Text, object: Span) -> Option<Inner<'t>> {
        let mut members: Vec<(String, Span)> = Vec::new();
        let mut is_twice = false;
        let is_object = scan::members(&text.text, object, |name, value| {
            let name = scan::text(&text.text, name).text;
            is_twice |= members.iter().any(|(known, _)| *known == name);
            if members.len() <= 2 * LIMITS.headers {
                members.push((name, value));
            }
        });
        (is_object && !is_twice && members.len() <= 2 * LIMITS.headers).then_some(Inner { text, members })
    }

    fn span(&self, name: &str) -> Option<Span> {
        self.members.iter().find(|(known, _)| known == name).map(|(_, value)| *value)
    }

    /// A value as a text that stands in the evidence.
    fn text(&self, name: &str) -> Option<Text> {
        self.span(name).map(|value| placed(self.text, value))
    }

    fn whole_number(&self, name: &str) -> Option<usize> {
        self.text(name)?.text.parse().ok()
    }

    fn has_only(&self, names: &[&str]) -> bool {
        self.members.iter().all(|(name, _)| names.contains(&name.as_str()))
    }

    /// Keys and values of the attributes, in order; nothing where they are in no form of ours.
    fn attributes(&self) -> Option<Vec<Part>> {
        let inner = Inner::at(self.text, self.span("attributes")?)?;
        let mut parts = Vec::new();
        for (key, value) in &inner.members {
            if !is_key(key) {
                return None;
            }
            let mut push = |value: Span| {
                let value = placed(self.text, value);
                let (value, value_span) = (value.text, value.span);
                parts.push(Part { key: key.clone(), value, key_span: Span::default(), value_span });
            };
            if !scan::elements(&self.text.text, *value, &mut push) {
                push(*value);
            }
        }
        Some(parts)
    }
}

/// Whether a name is a key of the neutral format.
fn is_key(name: &str) -> bool {
    let in_key = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    name.len() <= LIMITS.word_chars
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.bytes().all(in_key)
}

/// A value inside of Details: what it says, and where it stands in the evidence.
fn placed(text: &Text, value: Span) -> Text {
    let said = scan::text(&text.text, value);
    Text::plain(&said.text, text.place(said.span.start..said.span.end))
}

/// The Details of a device, where they are ours.
pub(super) fn device(text: &Text) -> Option<DeviceDetails> {
    let inner = Inner::whole(text)?;
    inner.text("logassay")?;
    let headers = Inner::at(text, inner.span("headers")?)?;
    let keys = headers.members.iter().filter(|(key, _)| is_key(key));
    Some(DeviceDetails {
        headers: keys.map(|(key, value)| (key.clone(), placed(text, *value))).collect(),
        is_without_id: inner.span("id").is_some(),
        hashes_lines: inner.span("hash").is_some(),
    })
}

/// The Details of an event, where they are ours and say nothing that we do not write.
pub(super) fn event(text: &Text) -> Option<EventDetails> {
    let inner = Inner::whole(text)?;
    if !inner.has_only(&["line", "shows", "attributes"]) {
        return None;
    }
    let minutes = match inner.text("shows") {
        None => false,
        Some(shows) if shows.text == "minutes" => true,
        Some(_) => return None,
    };
    Some(EventDetails { line: inner.whole_number("line")?, minutes, attributes: inner.attributes()? })
}

/// Whether the Details of a file are ours.
pub(super) fn is_file(text: &Text) -> bool {
    Inner::whole(text).is_some_and(|inner| inner.span("logassay").is_some())
}

/// For each device of a file, the lines that the standard cannot express, in their order.
pub(super) fn left_out(text: &Text) -> Vec<Vec<LeftOut>> {
    let mut devices = Vec::new();
    let list = Inner::whole(text).and_then(|inner| inner.span("left-out"));
    if let Some(list) = list {
        scan::elements(&text.text, list, |device| devices.push(device_left_out(text, device)));
    }
    devices
}

fn device_left_out(text: &Text, device: Span) -> Vec<LeftOut> {
    let mut lines = Vec::new();
    let Some(inner) = Inner::at(text, device) else {
        return lines;
    };
    scan::elements(&text.text, inner.span("lines").unwrap_or_default(), |object| {
        let Some((inner, behind)) = Inner::at(text, object).and_then(|inner| {
            let behind = inner.whole_number("behind")?;
            Some((inner, behind))
        }) else {
            return;
        };
        let event = inner.text("event").map(|word| Untimed {
            number: inner.text("number").map(|number| number.text),
            word,
            attributes: inner.attributes().unwrap_or_default(),
        });
        lines.push(LeftOut { behind, span: text.place(object.start..object.end), event });
    });
    lines.sort_by_key(|left_out| left_out.behind);
    lines
}

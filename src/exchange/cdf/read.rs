//! Reading a file of the standard: each Device is one log, and what stands beside it becomes its headers.

use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

use super::entry::{self, DeviceKnown};
use super::ours::{self, DeviceDetails, LeftOut};
use super::strange;
use super::tree::{Field, Form, Opened, Tree};
use super::words;
use super::zone;
use crate::event::Event;
use crate::exchange::text::{Lines, Text};
use crate::exchange::{Misfit, as_text, slug};
use crate::source::{Source, Span};
use crate::syntax::{FaultCode, Item, LIMITS, Log, Maker, among_others};

/// Reads a file.
pub(super) fn read(form: Form, source: Source) -> Result<Vec<Log>, Misfit> {
    let source = Arc::new(as_text(source).folding_space());
    let lines = Lines::of(source.raw());
    let text = std::str::from_utf8(source.raw()).map_err(|error| {
        super::wrong::Wrong::new(error.valid_up_to(), "bytes that are no text in UTF-8")
            .misfit(form.name(), &lines)
    })?;
    let tree = Tree { form, text };
    let at = tree.document().map_err(|wrong| wrong.misfit(form.name(), &lines))?;
    let root = tree.open(at, "Device");
    if root.class != words::LOG {
        return Err(Misfit::new(
            &format!("the file holds no {}", words::LOG),
            "a documentation file names events and holds none; choose the file that holds the log",
        ));
    }
    if root.overfull || root.beyond > 0 || root.many.len() > LIMITS.logs {
        return Err(Misfit::new("the file names more devices or fields than are read", "cut it into parts"));
    }
    let of_root: usize = root.fields.iter().map(|field| field.value.text.len() + field.name.len()).sum();
    if of_root.saturating_mul(root.many.len()) > LARGEST_HEADS {
        return Err(Misfit::new(
            "the file says so much of itself that it cannot be said again of each of its devices",
            "cut it into one file for each device",
        ));
    }
    let mut reader = Reader::new(&source, tree, &lines, &root);
    if root.many.is_empty() {
        return Ok(vec![reader.without_device(at)]);
    }
    let mut logs = (0..root.many.len()).map(|place| reader.device(place)).collect::<Result<Vec<Log>, _>>()?;
    among_others(&mut logs);
    Ok(logs)
}

/// Most bytes of the file's own fields, taken once for each device.
const LARGEST_HEADS: usize = 16 << 20;

struct Reader<'a> {
    source: &'a Arc<Source>,
    tree: Tree<'a>,
    lines: &'a Lines<'a>,
    root: &'a Opened,
    /// Whether the Details of the file are ours.
    is_ours: bool,
    left_out: VecDeque<Vec<LeftOut>>,
    /// Every Sequence of the file so far.
    sequences: BTreeSet<String>,
}

impl<'a> Reader<'a> {
    fn new(source: &'a Arc<Source>, tree: Tree<'a>, lines: &'a Lines<'a>, root: &'a Opened) -> Reader<'a> {
        let details = root.field("Details").map(|field| &field.value).filter(|text| ours::is_file(text));
        Reader {
            source,
            tree,
            lines,
            root,
            is_ours: details.is_some(),
            left_out: details.map(ours::left_out).unwrap_or_default().into(),
            sequences: BTreeSet::new(),
        }
    }

    fn begin(&self) -> Maker {
        Maker::begin(
            self.source,
            &format!("{}, Election Event Logging (NIST SP 1500-101)", self.tree.form.name()),
        )
    }

    /// A file that names no device: what it says of itself.
    fn without_device(&mut self, at: Span) -> Log {
        let mut maker = self.begin();
        maker.note(FaultCode::DeviceMissing, at);
        for field in &self.root.fields {
            self.root_field(&mut maker, field);
        }
        maker.finish(false)
    }

    fn device(&mut self, place: usize) -> Result<Log, Misfit> {
        let span = self.root.many.get(place).copied().unwrap_or_default();
        let opened = self.tree.open(span, "Event");
        if opened.overfull {
            return Err(Misfit::new(
                "a device has more fields than are read",
                "ask for an export by the standard",
            ));
        }
        let details = opened.field("Details").and_then(|field| ours::device(&field.value));
        let left_out = self.left_out.pop_front().unwrap_or_default();
        let mut maker = self.begin();
        let root = self.root;
        let (before, behind): (Vec<&Field>, Vec<&Field>) =
            root.fields.iter().partition(|field| field.whole.start < span.start);
        let first = opened.many.first().map_or(span.end, |event| event.start);
        before.iter().for_each(|field| self.root_field(&mut maker, field));
        let last = opened.many.last().map_or(span.start, |event| event.end);
        let (among, around): (Vec<&Field>, Vec<&Field>) =
            opened.fields.iter().partition(|field| field.whole.start > first && field.whole.start < last);
        let (head, foot): (Vec<&Field>, Vec<&Field>) =
            around.into_iter().partition(|field| field.whole.start < first);
        head.iter().for_each(|field| self.device_field(&mut maker, field, details.as_ref()));
        self.events(&mut maker, &opened, details.as_ref(), left_out);
        // What stands between events may be about the one before it.
        for field in among {
            maker.covered_comment(field.whole, self.lines.number(field.whole.start));
        }
        foot.iter().for_each(|field| self.device_field(&mut maker, field, details.as_ref()));
        behind.iter().for_each(|field| self.root_field(&mut maker, field));
        Ok(maker.finish(false))
    }

    fn events(
        &mut self,
        maker: &mut Maker,
        opened: &Opened,
        details: Option<&DeviceDetails>,
        left_out: Vec<LeftOut>,
    ) {
        let is_said = |name: &str| opened.field(name).is_some_and(|field| !field.value.text.is_empty());
        let id = opened.field("Id").map(|field| field.value.text.as_str()).unwrap_or_default();
        let mut known =
            DeviceKnown { id, details, has_hash_type: is_said("HashType"), zone: None, has_begun: false };
        let mut left_out = VecDeque::from(left_out);
        for (place, event) in opened.many.iter().enumerate() {
            while let Some(line) = left_out.pop_front_if(|line| line.behind <= place) {
                self.left_out(maker, &line);
            }
            let (tree, number) = (self.tree, self.lines.number(event.start));
            let fields = tree.open(*event, "");
            let is_first = !known.has_begun;
            match entry::read(&fields, *event, number, &mut known) {
                Ok(mut entry) => {
                    entry.item.unnamed = strange::parts(self.source, *event, &fields, &entry.item);
                    entry.notes.iter().for_each(|(code, at)| maker.note(*code, *at));
                    let is_new = entry.sequence.is_none_or(|sequence| self.sequences.insert(sequence));
                    let stamp = fields.field("TimeStamp").map(|field| field.value.span).unwrap_or_default();
                    if !is_new {
                        let at = fields.field("Sequence").map(|field| field.value.span);
                        maker.note(FaultCode::SequenceRepeated, at.unwrap_or_default());
                    }
                    if let (true, None, Some(minutes)) = (is_first, details, known.zone) {
                        let line = maker.next_line();
                        maker.header_of_line(line, "clock-zone", (&zone::written(minutes), stamp));
                    }
                    maker.record(&entry.item);
                }
                Err((code, at, harmless)) => maker.unread(*event, number, (code, at), &harmless),
            }
        }
        left_out.iter().for_each(|line| self.left_out(maker, line));
        maker.beyond(opened.beyond);
    }

    /// A line that stands in the Details of the file, for the standard cannot express it.
    fn left_out(&self, maker: &mut Maker, line: &LeftOut) {
        let number = self.lines.number(line.span.start);
        let Some(event) = &line.event else {
            return maker.unread(line.span, number, (FaultCode::EntryLeftOut, line.span), &[line.span]);
        };
        maker.record(&Item {
            span: line.span,
            line_number: number,
            number: event.number.as_deref().and_then(entry::digits),
            time: None,
            event: Some(Event::of_word(event.word.text.as_bytes())),
            word: event.word.text.clone(),
            word_span: event.word.span,
            attributes: event.attributes.clone(),
            ..Item::default()
        });
    }

    fn root_field(&self, maker: &mut Maker, field: &Field) {
        let number = self.lines.number(field.whole.start);
        match field.name.as_str() {
            // Written by us, both say nothing of the unit.
            "Details" | "GeneratedTime" if self.is_ours => maker.comment(field.whole, number),
            "Details" => push(maker, field, number, "file-details"),
            "GeneratedTime" => push(maker, field, number, "exported-at"),
            "ElectionId" => push(maker, field, number, "election-id"),
            name => push(maker, field, number, &other(name)),
        }
    }

    fn device_field(&self, maker: &mut Maker, field: &Field, details: Option<&DeviceDetails>) {
        let number = self.lines.number(field.whole.start);
        if field.name == "Details"
            && let Some(details) = details
        {
            return headers(maker, field, number, &details.headers);
        }
        let (key, value) = words::header_of(&field.name, &field.value.text);
        let key = key.map_or_else(|| other(&field.name), str::to_owned);
        let is_ours_alone = details.is_some_and(|details| {
            details.headers.iter().any(|(known, _)| *known == key)
                || (key == "serial" && details.is_without_id)
                || (key == "hash-type" && details.hashes_lines)
        });
        // An empty field states nothing.
        if is_ours_alone || value.is_empty() {
            return maker.comment(field.whole, number);
        }
        maker.header(field.whole, number, &key, (value, field.value.span));
    }
}

/// The key of a field that the standard does not have.
fn other(name: &str) -> String {
    slug(name).unwrap_or_else(|| "field".to_owned())
}

fn push(maker: &mut Maker, field: &Field, number: usize, key: &str) {
    if field.value.text.is_empty() {
        return maker.comment(field.whole, number);
    }
    maker.header(field.whole, number, key, (&field.value.text, field.value.span));
}

/// The headers that stand together in the Details of a device.
fn headers(maker: &mut Maker, field: &Field, number: usize, headers: &[(String, Text)]) {
    let Some(((key, value), rest)) = headers.split_first() else {
        return maker.comment(field.whole, number);
    };
    let line = maker.next_line();
    maker.header(field.whole, number, key, (&value.text, value.span));
    for (key, value) in rest {
        maker.header_of_line(line, key, (&value.text, value.span));
    }
}

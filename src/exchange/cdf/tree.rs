//! A file of the standard as objects with fields, whether it is JSON or XML.

use super::{in_xml, wrong::Wrong};
use crate::exchange::json::scan;
use crate::exchange::text::Text;
use crate::source::Span;
use crate::syntax::LIMITS;

/// In which of the two ways a file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Json,
    Xml,
}

/// One field of an object.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Field {
    pub(super) name: String,
    pub(super) name_span: Span,
    /// Where name and value stand.
    pub(super) whole: Span,
    /// The value; of one that is no text, what stands there.
    pub(super) value: Text,
}

/// An object whose fields are known.
#[derive(Debug, Default)]
pub(super) struct Opened {
    /// Whether it is an object at all.
    pub(super) is_object: bool,
    /// What it says that it is: `@type` without its prefix, or the name of the element.
    pub(super) class: String,
    pub(super) fields: Vec<Field>,
    /// The objects of the field that may be there many times.
    pub(super) many: Vec<Span>,
    /// How many more of these there are.
    pub(super) beyond: usize,
    /// Whether it has more fields than are read.
    pub(super) overfull: bool,
}

/// Most fields of one object.
const FIELDS: usize = 256;

impl Opened {
    /// The first field of this name.
    pub(super) fn field(&self, name: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.name == name)
    }

    pub(super) fn push(&mut self, field: impl FnOnce() -> Field) {
        if self.fields.len() < FIELDS {
            self.fields.push(field());
        } else {
            self.overfull = true;
        }
    }

    pub(super) fn push_one_of_many(&mut self, object: Span) {
        if self.many.len() < LIMITS.lines {
            self.many.push(object);
        } else {
            self.beyond += 1;
        }
    }
}

/// What `@type` begins with.
const PREFIX: &str = "EventLogging.";

/// The text of a file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tree<'a> {
    pub(super) form: Form,
    pub(super) text: &'a str,
}

impl Tree<'_> {
    /// Where the object stands that the file is.
    pub(super) fn document(&self) -> Result<Span, Wrong> {
        let from = if self.text.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
        match self.form {
            Form::Json => scan::document(self.text, from).map_err(|wrong| Wrong::new(wrong.at, wrong.what)),
            Form::Xml => in_xml::document(self.text, from),
        }
    }

    /// The fields of an object that stands here; those called `many` as places only.
    pub(super) fn open(&self, object: Span, many: &str) -> Opened {
        match self.form {
            Form::Json => self.open_json(object, many),
            Form::Xml => in_xml::open(self.text, object, many),
        }
    }

    fn open_json(&self, object: Span, many: &str) -> Opened {
        let mut opened = Opened::default();
        let all = self.text;
        let is_object = scan::members(all, object, |name, value| {
            let text = scan::text(all, name);
            if text.text == many {
                let mut items = Vec::new();
                let is_list = scan::elements(all, value, |item| {
                    if items.len() <= LIMITS.lines {
                        items.push(item);
                    } else {
                        opened.beyond += 1;
                    }
                });
                if is_list {
                    items.into_iter().for_each(|item| opened.push_one_of_many(item));
                } else {
                    opened.push_one_of_many(value);
                }
                return;
            }
            let value_text = scan::text(all, value);
            if text.text == "@type" && value_text.text.starts_with(PREFIX) {
                value_text.text.strip_prefix(PREFIX).unwrap_or_default().clone_into(&mut opened.class);
                return;
            }
            opened.push(|| Field {
                name: text.text,
                name_span: text.span,
                whole: Span::new(name.start, value.end),
                value: value_text,
            });
        });
        opened.is_object = is_object;
        opened
    }
}

//! Writing objects of the standard, in JSON or XML, in the order of the XML schema.

use super::tree::Form;
use super::words::NAMESPACE;
use crate::exchange::{json, xml};

/// A file in the making.
pub(super) struct Pen {
    form: Form,
    out: String,
    /// Names of the lists and objects that are open, the class of the file first.
    open: Vec<&'static str>,
    /// Whether something stands before the next item of a list.
    is_behind: bool,
}

impl Pen {
    /// Begins a file that is one object of this class.
    pub(super) fn begin(form: Form, class: &'static str) -> Pen {
        let out = match form {
            Form::Json => format!("{{\"@type\":\"EventLogging.{class}\""),
            Form::Xml => {
                format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<{class} xmlns=\"{NAMESPACE}\">\n")
            }
        };
        Pen { form, out, open: vec![class], is_behind: false }
    }

    /// A field that is a text.
    pub(super) fn field(&mut self, name: &str, value: &str) {
        match self.form {
            Form::Json => {
                self.out.push(',');
                json::push_text(&mut self.out, name);
                self.out.push(':');
                json::push_text(&mut self.out, value);
            }
            Form::Xml => {
                self.out.push_str(&format!("<{name}>"));
                xml::push_text(&mut self.out, value);
                self.out.push_str(&format!("</{name}>"));
            }
        }
    }

    /// A field that is a text, where there is one.
    pub(super) fn field_if(&mut self, name: &str, value: Option<&str>) {
        if let Some(value) = value {
            self.field(name, value);
        }
    }

    /// Begins a field that may be there many times.
    pub(super) fn begin_list(&mut self, name: &'static str) {
        match self.form {
            Form::Json => self.out.push_str(&format!(",\"{name}\":[")),
            Form::Xml => self.out.push('\n'),
        }
        self.is_behind = false;
    }

    /// Ends it.
    pub(super) fn end_list(&mut self) {
        if self.form == Form::Json {
            self.out.push_str("\n]");
        }
    }

    /// Begins one of many objects: on a line of its own, so that a report can name it.
    pub(super) fn begin_object(&mut self, name: &'static str) {
        match self.form {
            Form::Json => {
                let comma = if self.is_behind { "," } else { "" };
                self.out.push_str(&format!("{comma}\n{{\"@type\":\"EventLogging.{name}\""));
            }
            Form::Xml => self.out.push_str(&format!("<{name}>")),
        }
        self.open.push(name);
    }

    /// Ends it.
    pub(super) fn end_object(&mut self) {
        let name = self.open.pop().unwrap_or_default();
        match self.form {
            Form::Json => self.out.push('}'),
            Form::Xml => self.out.push_str(&format!("</{name}>\n")),
        }
        self.is_behind = true;
    }

    /// The file.
    pub(super) fn finish(mut self) -> String {
        self.end_object();
        if self.form == Form::Json {
            self.out.push('\n');
        }
        self.out
    }
}

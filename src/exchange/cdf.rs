//! Election Event Logging (NIST SP 1500-101, version 1), as JSON and as XML: read and written, with its documentation file.

use super::{Format, Reads, beginning, zone};
use crate::source::{Encoding, Source};

mod documentation;
mod entry;
mod in_xml;
mod ours;
mod pen;
mod read;
mod time;
mod tree;
mod words;
mod write;
mod wrong;

use tree::Form;

/// How far into a file its format must show.
const HEAD: usize = 4096;

pub(super) static JSON: Format = Format {
    id: "cdf-json",
    meaning: "Election Event Logging (NIST SP 1500-101, version 1) as JSON.",
    reads: Some(Reads {
        recognises: |bytes| begins(bytes, '{', "EventLogging"),
        read: |source| read::read(Form::Json, source),
    }),
    writes: Some(|logs| write::write(Form::Json, logs)),
};

pub(super) static XML: Format = Format {
    id: "cdf-xml",
    meaning: "Election Event Logging (NIST SP 1500-101, version 1) as XML.",
    reads: Some(Reads {
        recognises: |bytes| begins(bytes, '<', words::NAMESPACE),
        read: |source| read::read(Form::Xml, source),
    }),
    writes: Some(|logs| write::write(Form::Xml, logs)),
};

pub(super) static JSON_DOCUMENTATION: Format = Format {
    id: "cdf-json-documentation",
    meaning: "What each event id and type in a cdf-json file means, by the same standard.",
    reads: None,
    writes: Some(|logs| documentation::write(Form::Json, logs)),
};

pub(super) static XML_DOCUMENTATION: Format = Format {
    id: "cdf-xml-documentation",
    meaning: "What each event id and type in a cdf-xml file means, by the same standard.",
    reads: None,
    writes: Some(|logs| documentation::write(Form::Xml, logs)),
};

impl Form {
    /// Its name in a sentence.
    fn name(self) -> &'static str {
        match self {
            Form::Json => "JSON",
            Form::Xml => "XML",
        }
    }
}

/// Whether a file begins with this character and names the standard soon.
fn begins(bytes: &[u8], first: char, word: &str) -> bool {
    let head = bytes.get(..HEAD).unwrap_or(bytes);
    let head = Source::new("", head.to_vec()).read_in(Encoding::of_mark(head));
    let text = String::from_utf8_lossy(beginning(head.raw())).into_owned();
    text.starts_with(first) && text.contains(word)
}

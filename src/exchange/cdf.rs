//! Election Event Logging (NIST SP 1500-101, version 1), as JSON and as XML: read and written, with its documentation file.

use super::{Format, Reads, beginning, zone};
use crate::source::{Encoding, Source};

mod documentation;
mod entry;
mod in_xml;
mod ours;
mod pen;
mod read;
mod strange;
mod time;
mod tree;
mod words;
mod write;
mod wrong;

use tree::Form;

/// How far into a file its format must show.
const HEAD: usize = 4096;

/// What both forms carry.
const CARRIES: &str = "Each log is one Device, and comes back from it with the same headers, records, numbers with their \
    leading zeros, times, events and attributes. What the standard has no field for stands in Details, as JSON with named \
    keys. Written: the ballot unit of a vote is masked where it is part of the choice; where a file holds several logs, \
    the Id stands before each Sequence (`CU-20417/0001`); a record without a number has the Sequence `line-` and its line; \
    records without a time, and the places of lines that could not be read, stand in the Details of the file; where the \
    log states no zone the offset is `-00:00`, and Details say that nothing is known of UTC; Hash is SHA-256 of the line \
    in the original without its end, left out where anything of the line is covered; GeneratedTime is the header \
    `exported-at`, or else the time of the last record. Comments that may be shown stand in Details, and do not come back \
    as comments; chain fields, blank lines and the closing line stay behind. Read: the clock of a log is that of its first \
    event; an event with another offset is put on it, and its TimeStamp kept as `time-written`; every other field is an \
    attribute, every field of the Device a header. A TimeStamp is read where some validator takes it and it is a time that \
    a log can hold. A file with a document type declaration, an entity of its own, or deeper than 128 levels is refused.";

/// What the documentation carries.
const DESCRIBES: &str = "Every event and class of grammar/events.md, and each further event word of the logs, which is \
    described as not known. DeviceManufacturer and DeviceModel are the headers `manufacturer` and `model`, or `not \
    stated`. No record and no time but the GeneratedDate, which is that of the log.";

pub(super) static JSON: Format = Format {
    id: "cdf-json",
    meaning: "Election Event Logging (NIST SP 1500-101, version 1) as JSON.",
    carries: CARRIES,
    reads: Some(Reads {
        recognises: |bytes| begins(bytes, '{', "EventLogging"),
        read: |source| read::read(Form::Json, source),
    }),
    writes: Some(|logs| write::write(Form::Json, logs)),
};

pub(super) static XML: Format = Format {
    id: "cdf-xml",
    meaning: "Election Event Logging (NIST SP 1500-101, version 1) as XML.",
    carries: CARRIES,
    reads: Some(Reads {
        recognises: |bytes| begins(bytes, '<', words::NAMESPACE),
        read: |source| read::read(Form::Xml, source),
    }),
    writes: Some(|logs| write::write(Form::Xml, logs)),
};

pub(super) static JSON_DOCUMENTATION: Format = Format {
    id: "cdf-json-documentation",
    meaning: "What each event id and type in a cdf-json file means, by the same standard.",
    carries: DESCRIBES,
    reads: None,
    writes: Some(|logs| documentation::write(Form::Json, logs)),
};

pub(super) static XML_DOCUMENTATION: Format = Format {
    id: "cdf-xml-documentation",
    meaning: "What each event id and type in a cdf-xml file means, by the same standard.",
    carries: DESCRIBES,
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

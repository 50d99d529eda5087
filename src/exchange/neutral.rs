//! The neutral text format, as one of the formats: what no other format recognises is read as it.

use std::sync::Arc;

use super::{Format, Leaving, Misfit, Reads, as_text};
use crate::event::Event;
use crate::source::Shown;
use crate::syntax::{self, Draft, LineKind, Refused};

pub(super) static FORMAT: Format = Format {
    id: "log",
    meaning: "The neutral text format of grammar/format.md.",
    carries: "A log of our own is written whole, or not at all: a line that could not be read, a closing line that does \
              not fit or a line that may name a choice is the reason why not. A log of another format says in \
              `made-from` which file it was made from, with length and SHA-256 unless something in it is covered. The \
              ballot unit of a vote is not written where it is part of the choice: a log of our own is then the reason why \
              not, and of a log of another format it is left out, which a comment says.",
    reads: Some(Reads {
        recognises: |bytes| super::beginning(bytes).starts_with(b"unit-event-log"),
        read: |source| Ok(syntax::read(Arc::new(as_text(source)))),
    }),
    writes: Some(write),
};

/// Logs in their canonical form, one behind the other.
fn write(logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let mut out = String::new();
    for leaving in logs {
        let text = match leaving.log.format() {
            None => syntax::write(leaving.log, leaving.secrecy),
            Some(format) => anew(leaving, &format),
        };
        out.push_str(&text.map_err(|refused| Misfit::new(&refused.to_string(), refused.help()))?);
    }
    Ok(out)
}

/// A log of another format written in ours. It says which file it was made from: that file stays the evidence.
fn anew(leaving: &Leaving<'_>, format: &Shown) -> Result<String, Refused> {
    let log = leaving.log;
    if log.lines_not_read() > 0 {
        return Err(Refused::NotReadWhole);
    }
    let mut draft = Draft::new();
    for header in log.headers() {
        let (key, value) = log.header_parts(header);
        draft = draft.header(key.shown().as_str(), value.shown().as_str());
    }
    draft = draft
        .header("made-from", &made_from(leaving))
        .header("made-by", &format!("logassay {}, {format}", env!("CARGO_PKG_VERSION")))
        .blank();
    if log.records().iter().any(|record| record.time.is_some_and(|time| !time.shows_seconds())) {
        draft = draft.comment("The original shows minutes only; the seconds :00 below are not in it.");
    }
    if (0..log.lines().len()).any(|line| log.covers_ballot_unit(line, leaving.secrecy)) {
        draft = draft
            .comment("The key bu of votes is left out, as it is covered in reports; the original has it.");
    }
    for (index, line) in log.lines().iter().enumerate() {
        let number = log.line_number(index);
        if log.withholds(index, leaving.secrecy) {
            return Err(Refused::Discloses(number));
        }
        match line.kind {
            LineKind::Unread => return Err(Refused::Unread(number)),
            LineKind::Comment => {
                let text = log.quote(index, leaving.secrecy);
                draft = draft.comment(&format!("line {number}: {text}"));
            }
            LineKind::Record(place) => {
                if let Some(record) = log.records().get(place) {
                    draft = push(draft, leaving, record);
                }
            }
            LineKind::Blank | LineKind::Heading | LineKind::Header(_) | LineKind::Closing => {}
        }
    }
    Ok(draft.close())
}

/// The file that a log was made from: its name, and length and SHA-256 unless they could tell what is covered.
fn made_from(leaving: &Leaving<'_>) -> String {
    let name = leaving.log.source().name();
    match leaving.log.file_identity(leaving.secrecy) {
        Some((bytes, digest)) => format!("{name}, {bytes} bytes, SHA-256 {digest}"),
        None => format!("{name}, length and SHA-256 withheld, as something in it is covered"),
    }
}

fn push(draft: Draft, leaving: &Leaving<'_>, record: &syntax::Record) -> Draft {
    let log = leaving.log;
    let covers_unit = log.covers_ballot_unit(record.line, leaving.secrecy);
    let time = record.time.map_or_else(|| "-".to_owned(), syntax::Stamp::written);
    let number = record.number.map_or_else(
        || "-".to_owned(),
        |number| format!("{number:0width$}", width = usize::from(record.number_digits)),
    );
    let mut attributes: Vec<(String, String)> =
        log.attributes(record).map(|(key, value)| (key.text().to_owned(), value.text().to_owned())).collect();
    attributes.retain(|(key, _)| !(covers_unit && key == "bu"));
    let word = if record.event == Event::Unknown {
        let said = log.word(record);
        // A word that ours cannot be is kept beside the one made of it.
        let word = super::slug(said.as_str()).unwrap_or_else(|| "unknown-event".to_owned());
        if word != said.as_str() {
            attributes.insert(0, ("said".to_owned(), said.to_string()));
        }
        word
    } else {
        record.event.word().to_owned()
    };
    let attributes: Vec<(&str, &str)> =
        attributes.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    draft.row(&number, &time, &word, &attributes)
}

//! The documentation file of the standard: what each event id and each type of ours means, from the one table.

use super::pen::Pen;
use super::tree::Form;
use super::words;
use super::write;
use crate::event::{Class, EVENTS, Event};
use crate::exchange::row::{self, refusal};
use crate::exchange::{Leaving, Misfit};
use crate::source::MASK;
use crate::syntax::Refused;

/// Writes the documentation of the unit whose logs these are.
pub(super) fn write(form: Form, logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let (generated, _) = write::generated(logs)?;
    let date = generated.get(..10).unwrap_or(&generated);
    let mut pen = Pen::begin(form, words::DOCUMENTATION);
    let manufacturer = agreed(logs, "manufacturer")?.unwrap_or_else(not_stated);
    let model = agreed(logs, "model")?.unwrap_or_else(not_stated);
    pen.field_if("DeviceId", agreed(logs, "serial")?.as_deref());
    pen.field("DeviceManufacturer", &manufacturer);
    pen.field("DeviceModel", &model);
    pen.field_if("DeviceVersion", agreed(logs, "software")?.as_deref());
    pen.begin_list("EventIdDescription");
    for entry in EVENTS {
        let known: Vec<String> = entry
            .attributes
            .iter()
            .map(|attribute| format!("{}: {}", attribute.key, attribute.meaning))
            .collect();
        let known = if known.is_empty() {
            String::new()
        } else {
            format!(" Attributes, in Details: {}.", known.join("; "))
        };
        described(&mut pen, "EventIdDescription", "Id", entry.word, &format!("{}{known}", entry.meaning));
    }
    for word in unknown_words(logs)? {
        described(
            &mut pen,
            "EventIdDescription",
            "Id",
            &word,
            "Not in the vocabulary; its meaning is not known.",
        );
    }
    pen.end_list();
    pen.begin_list("EventTypeDescription");
    for class in Class::ALL {
        described(&mut pen, "EventTypeDescription", "Type", class.word(), class.meaning());
    }
    let unknown = "An event that is not in the vocabulary.";
    described(&mut pen, "EventTypeDescription", "Type", Event::Unknown.class_word(), unknown);
    pen.end_list();
    pen.field("GeneratedDate", date);
    Ok(pen.finish())
}

fn not_stated() -> String {
    "not stated".to_owned()
}

/// The schema of XML has Description behind Id or Type.
fn described(pen: &mut Pen, class: &'static str, key: &str, word: &str, meaning: &str) {
    pen.begin_object(class);
    pen.field("Description", meaning);
    pen.field(key, word);
    pen.end_object();
}

/// A header that all logs state alike.
fn agreed(logs: &[Leaving<'_>], key: &str) -> Result<Option<String>, Misfit> {
    let mut found: Option<&str> = None;
    for leaving in logs {
        let headers = row::headers(leaving)?;
        let value = headers.iter().find(|(known, _)| *known == key).map(|(_, value)| *value);
        match (value, found) {
            (Some(value), None) => found = Some(value),
            (Some(value), Some(known)) if value == known => {}
            _ => return Ok(None),
        }
    }
    Ok(found.map(str::to_owned))
}

/// Words of the logs that the vocabulary does not hold, each once.
fn unknown_words(logs: &[Leaving<'_>]) -> Result<Vec<String>, Misfit> {
    let mut words = Vec::new();
    for Leaving { log, secrecy } in logs {
        for record in log.records().iter().filter(|record| record.event == Event::Unknown) {
            if log.withholds(record.line, secrecy) {
                return Err(refusal(Refused::Discloses(log.line_number(record.line))));
            }
            let word = row::word(log, record);
            if !word.contains(MASK) && !words.contains(&word) {
                words.push(word);
            }
        }
    }
    Ok(words)
}

//! Writing logs by the standard: what it has a field for stands there, the rest in its Details as JSON with named keys.

use super::entry::{disposition_of, type_of, without_number};
use super::pen::Pen;
use super::time::Written;
use super::tree::Form;
use super::words;
use super::zone;
use crate::event::Event;
use crate::exchange::json::{Object, attributes, list};
use crate::exchange::row::{self, Row, Said};
use crate::exchange::{Leaving, Misfit, xml};
use crate::source::MASK;
use crate::source::{Shown, acts_on_a_reader};
use crate::syntax::LineKind;

/// Writes logs, each as one Device.
pub(super) fn write(form: Form, logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let mut pen = Pen::begin(form, words::LOG);
    let generated = generated(logs)?;
    let election = election(logs)?;
    pen.field("Details", &file_details(logs, generated.1)?);
    pen.begin_list("Device");
    for (place, leaving) in logs.iter().enumerate() {
        device(&mut pen, leaving, place, logs.len() > 1, election.is_some())?;
    }
    pen.end_list();
    pen.field_if("ElectionId", election.as_deref());
    pen.field("GeneratedTime", &generated.0);
    Ok(pen.finish())
}

/// When the logs left their units, as far as they say so themselves, and what says it.
pub(super) fn generated(logs: &[Leaving<'_>]) -> Result<(String, &'static str), Misfit> {
    let latest = |times: Vec<(i64, String)>| times.into_iter().max().map(|(_, time)| time);
    let exported = logs.iter().filter_map(|leaving| {
        let written = Written::read(leaving.log.header("exported-at")?.text())?;
        let offset = written.offset.filter(|minutes| minutes.abs() <= zone::WIDEST)?;
        Some((written.utc()?, zone::with_offset(written.at(None)?, Some(offset))))
    });
    if let Some(time) = latest(exported.collect()) {
        return Ok((time, "the header exported-at"));
    }
    let last = logs.iter().filter_map(|leaving| {
        let time = leaving.log.records().iter().rev().find_map(|record| record.time)?;
        let offset = zone::of_log(leaving.log);
        Some((time.ms() - i64::from(offset.unwrap_or(0)) * 60_000, zone::with_offset(time, offset)))
    });
    latest(last.collect()).map(|time| (time, "the time of the last record")).ok_or_else(|| {
        Misfit::new(
            "the standard wants a GeneratedTime, and nothing in the logs has a time",
            "write them in another format, or state `exported-at` in a copy of the log",
        )
    })
}

/// The `ElectionId`, where every log states the same one.
fn election(logs: &[Leaving<'_>]) -> Result<Option<String>, Misfit> {
    let mut found: Option<String> = None;
    for (place, leaving) in logs.iter().enumerate() {
        let headers = row::headers(leaving)?;
        let stated = headers.iter().find(|(key, value)| *key == "election-id" && is_plain(value));
        match (stated, &found) {
            (Some((_, value)), None) if place == 0 => found = Some((*value).to_owned()),
            (Some((_, value)), Some(known)) if value == known => {}
            _ => return Ok(None),
        }
    }
    Ok(found)
}

/// Whether a field holds a text as it is.
fn is_plain(text: &str) -> bool {
    !text.is_empty() && !text.chars().any(|c| acts_on_a_reader(c) || !xml::may_stand(c))
}

/// The Details of the file: who wrote it, and the lines that the standard cannot express.
fn file_details(logs: &[Leaving<'_>], generated: &str) -> Result<String, Misfit> {
    let mut left_out = Vec::new();
    let mut has_any = false;
    for (place, leaving) in logs.iter().enumerate() {
        let (mut lines, mut behind) = (Vec::new(), 0);
        for row in row::rows(leaving)? {
            let row = row?;
            match &row.said {
                Some(said) if said.time.is_some() => behind += 1,
                said => lines.push(left_out_line(&row, said.as_ref(), behind)),
            }
        }
        has_any |= !lines.is_empty();
        let mut object = Object::default();
        object.text("device", &id(leaving, place)?.0).json("lines", &list(lines.into_iter()));
        left_out.push(object.finish());
    }
    let mut details = Object::default();
    details.text("logassay", env!("CARGO_PKG_VERSION")).text("generated-time", generated);
    if has_any {
        details.text(
            "note",
            "events without a time and lines that could not be read stand here, for Device can hold neither",
        );
        details.json("left-out", &list(left_out.into_iter()));
    }
    Ok(details.finish())
}

/// A line that the standard cannot express, and how many events of its device stand before it.
fn left_out_line(row: &Row, said: Option<&Said>, behind: usize) -> String {
    let mut object = Object::default();
    object.number("line", row.line).number("behind", behind);
    match said {
        None => object.text("unread", "the line could not be read, and its text is left out"),
        Some(said) => object
            .text_if("number", said.number.as_deref())
            .text("event", &said.word)
            .json("attributes", &attributes(&without_masks(said))),
    };
    object.finish()
}

/// The Id of a device, and whether it is the serial as stated.
fn id(leaving: &Leaving<'_>, place: usize) -> Result<(String, bool), Misfit> {
    let headers = row::headers(leaving)?;
    Ok(match headers.iter().find(|(key, value)| *key == "serial" && !value.is_empty()) {
        Some((_, serial)) => (Shown::inert(serial).to_string(), is_plain(serial)),
        None => (format!("log-{}", place + 1), false),
    })
}

fn device(
    pen: &mut Pen,
    leaving: &Leaving<'_>,
    place: usize,
    has_others: bool,
    has_election: bool,
) -> Result<(), Misfit> {
    let headers = row::headers(leaving)?;
    let header = |key: &str| headers.iter().find(|(known, _)| *known == key).map(|(_, value)| *value);
    let (id, is_serial) = id(leaving, place)?;
    let stated = |key: &str| header(key).filter(|value| is_plain(value));
    let hash_type = stated("hash-type").filter(|value| words::HASH_TYPES.contains(value));
    let role = stated("role").and_then(|role| words::ROLES.iter().find(|(_, word)| *word == role));
    let device_type = stated("device-type").filter(|word| words::DEVICE_TYPES.contains(word));
    let has_field = |key: &str, value: &str| match key {
        "serial" => is_serial,
        "role" => role.is_some() && device_type.is_none(),
        "device-type" => device_type.is_some(),
        "hash-type" => hash_type.is_some(),
        "election-id" => has_election,
        key => is_plain(value) && words::DEVICE.iter().any(|(_, known)| *known == key),
    };
    let mut own = Object::default();
    for (key, value) in headers.iter().filter(|(key, value)| !has_field(key, value)) {
        own.text(key, value);
    }
    let hashes_lines = header("hash-type").is_none();
    pen.begin_object("Device");
    let details = device_details(leaving, &own, header("serial").is_none(), hashes_lines);
    pen.field("Details", &details);
    pen.begin_list("Event");
    let offset = zone::of_log(leaving.log);
    for row in row::rows(leaving)? {
        let row = row?;
        if let Some(said) = &row.said {
            let before = if has_others { format!("{id}/") } else { String::new() };
            event(pen, leaving, &row, said, &before, offset, hashes_lines);
        }
    }
    pen.end_list();
    for (name, key) in words::DEVICE {
        match *key {
            "serial" => pen.field(name, &id),
            "hash-type" => pen.field_if(name, if hashes_lines { Some("sha-256") } else { hash_type }),
            "other-type" => {
                let role = role.map(|(word, _)| *word);
                pen.field_if("Type", device_type.or(role));
                pen.field_if(name, stated(key));
            }
            key => pen.field_if(name, stated(key)),
        }
    }
    pen.end_object();
    Ok(())
}

/// The Details of a device: the headers that have no field, the comments that may be shown, and the original.
fn device_details(leaving: &Leaving<'_>, own: &Object, is_without_id: bool, hashes_lines: bool) -> String {
    let Leaving { log, secrecy } = *leaving;
    let (mut comments, mut covered) = (Vec::new(), 0);
    for (index, line) in log.lines().iter().enumerate() {
        if line.kind != LineKind::Comment {
            continue;
        }
        if log.is_veiled(index, secrecy) {
            covered += 1;
            continue;
        }
        let mut comment = Object::default();
        comment.number("line", log.line_number(index)).text("text", log.quote(index, secrecy).as_str());
        comments.push(comment.finish());
    }
    let mut details = Object::default();
    details.text("logassay", env!("CARGO_PKG_VERSION")).json("headers", &own.finish());
    if is_without_id {
        details.text("id", "of our making: the log states no serial");
    }
    if zone::of_log(log).is_none() {
        details.text("zone", "not known: each time is as displayed, and -00:00 says nothing of UTC");
    }
    if hashes_lines {
        details.text(
            "hash",
            "of the line in the original, without its end; none where anything of the line is covered",
        );
    }
    if !comments.is_empty() {
        details.json("comments", &list(comments.into_iter()));
    }
    if covered > 0 {
        details.number("comments-left-out", covered);
    }
    details.json("original", &original(leaving));
    details.finish()
}

/// The file that a log was read from: it stays the evidence.
fn original(leaving: &Leaving<'_>) -> String {
    let Leaving { log, secrecy } = *leaving;
    let mut object = Object::default();
    if let Some((bytes, digest)) = log.file_identity(secrecy) {
        object.number("bytes", bytes).text("sha-256", &digest.to_string());
    }
    if let Some(closing) = log.closing() {
        object.text("closing-line", if closing.is_intact() { "fits" } else { "does not fit" });
    }
    object.text_if("format", log.format().as_ref().map(Shown::as_str));
    object.finish()
}

fn event(
    pen: &mut Pen,
    leaving: &Leaving<'_>,
    row: &Row,
    said: &Said,
    before: &str,
    offset: Option<i32>,
    hashes_lines: bool,
) {
    let Some(time) = said.time else { return };
    let said = &without_masks(said);
    let pairs = || said.attributes.iter().map(|(key, value)| (key.as_str(), value.as_str()));
    let stated =
        |key: &str| pairs().find(|(known, value)| *known == key && is_plain(value)).map(|(_, value)| value);
    let mut details = Object::default();
    details.number("line", row.line);
    if !time.shows_seconds() {
        details.text("shows", "minutes");
    }
    details.json("attributes", &attributes(said));
    let hash = if hashes_lines {
        leaving.log.line_digest(row.index, leaving.secrecy).map(|digest| digest.to_string())
    } else {
        stated("hash").map(str::to_owned)
    };
    let number = said.number.clone().unwrap_or_else(|| without_number(row.line));
    let class = type_of(Event::of_word(said.word.as_bytes()), pairs());
    pen.begin_object("Event");
    pen.field_if("Description", stated("description"));
    pen.field("Details", &details.finish());
    pen.field("Disposition", disposition_of(pairs()));
    pen.field_if("OtherDisposition", stated("other-disposition"));
    pen.field_if("Hash", hash.as_deref());
    pen.field("Id", &said.word);
    pen.field("Sequence", &format!("{before}{number}"));
    pen.field_if("Severity", stated("severity"));
    pen.field("TimeStamp", &zone::with_offset(time, offset));
    pen.field("Type", class);
    pen.field_if("UserId", stated("user-id"));
    pen.end_object();
}

/// What is covered is left out, not written as covered: whoever reads the file would take the mark for a value.
fn without_masks(said: &Said) -> Said {
    let shown = said.attributes.iter().filter(|(_, value)| value != MASK).cloned().collect();
    Said { number: said.number.clone(), time: said.time, word: said.word.clone(), attributes: shown }
}

//! XES (IEEE 1849): one trace a log, its events in the order of the file, for tools of process mining.

use std::fmt::Write as _;

use super::xml::push_value;
use super::{Format, Leaving, Misfit, row, zone};

pub(super) static FORMAT: Format = Format {
    id: "xes",
    meaning: "XES (IEEE 1849), one trace a log, for tools of process mining.",
    reads: None,
    writes: Some(write),
};

/// What stands before the traces. The version is `xs:decimal`, which `1849-2016` is not.
const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <log xes.version=\"1849.2016\" xes.features=\"\" xmlns=\"http://www.xes-standard.org/\">\n\
    <extension name=\"Concept\" prefix=\"concept\" uri=\"http://www.xes-standard.org/concept.xesext\"/>\n\
    <extension name=\"Time\" prefix=\"time\" uri=\"http://www.xes-standard.org/time.xesext\"/>\n\
    <extension name=\"Lifecycle\" prefix=\"lifecycle\" uri=\"http://www.xes-standard.org/lifecycle.xesext\"/>\n\
    <classifier name=\"Event\" keys=\"concept:name\"/>\n";

fn write(logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let mut out = String::from(HEAD);
    push(&mut out, "string", "creator", &format!("logassay {}", env!("CARGO_PKG_VERSION")));
    for (place, leaving) in logs.iter().enumerate() {
        push_trace(&mut out, leaving, place)?;
    }
    out.push_str("</log>\n");
    Ok(out)
}

fn push_trace(out: &mut String, leaving: &Leaving<'_>, place: usize) -> Result<(), Misfit> {
    let offset = zone::of_log(leaving.log);
    let unread =
        leaving.log.lines().iter().filter(|line| line.kind == crate::syntax::LineKind::Unread).count();
    out.push_str("<trace>\n");
    push(out, "string", "concept:name", &row::name(leaving.log, place));
    for (key, value) in row::headers(leaving)? {
        push(out, "string", &format!("header.{key}"), value);
    }
    // Attributes of a trace stand before its events, so these are told from the whole log.
    push(out, "int", "lines-unread", &unread.to_string());
    push(out, "boolean", "zone-known", if offset.is_some() { "true" } else { "false" });
    for row in row::rows(leaving)? {
        let row = row?;
        let Some(said) = row.said else { continue };
        out.push_str("<event>\n");
        push(out, "string", "concept:name", &said.word);
        push(out, "string", "lifecycle:transition", "complete");
        if let Some(time) = said.time {
            push(out, "date", "time:timestamp", &zone::with_offset(time, offset));
        }
        if let Some(number) = &said.number {
            push(out, "string", "record-number", number);
        }
        push(out, "int", "line-number", &row.line.to_string());
        for (key, values) in said.by_key() {
            // XES wants each key once in an event.
            push(out, "string", &format!("attribute.{key}"), &values.join("; "));
        }
        out.push_str("</event>\n");
    }
    out.push_str("</trace>\n");
    Ok(())
}

fn push(out: &mut String, kind: &str, key: &str, value: &str) {
    _ = write!(out, "<{kind} key=\"");
    push_value(out, key);
    out.push_str("\" value=\"");
    push_value(out, value);
    out.push_str("\"/>\n");
}

//! The timeline as JSON Lines: one object for each record and each unread line.

use super::json::{Object, attributes};
use super::{Format, Leaving, Misfit, row, zone};

pub(super) static FORMAT: Format = Format {
    id: "jsonl",
    meaning: "The timeline as JSON Lines, one object a record or unread line.",
    reads: None,
    writes: Some(write),
};

fn write(logs: &[Leaving<'_>]) -> Result<String, Misfit> {
    let mut out = String::new();
    for (place, leaving) in logs.iter().enumerate() {
        let name = row::name(leaving.log, place);
        let offset = zone::of_log(leaving.log).map(zone::written);
        for row in row::rows(leaving)? {
            let row = row?;
            let mut object = Object::default();
            object.text("log", &name).number("line", row.line);
            match &row.said {
                None => object.text("kind", "unread"),
                Some(said) => {
                    let time = said.time.map(|time| time.to_string().replacen(' ', "T", 1));
                    let zone = offset.as_deref().filter(|_| time.is_some());
                    object
                        .text("kind", "record")
                        // As a text: leading zeros and numbers past 2^53 - 1 stay what they are (RFC 8259, 6).
                        .text_if("number", said.number.as_deref())
                        .text_if("time", time.as_deref())
                        .text_if("zone", zone)
                        .text("event", &said.word)
                        .json("attributes", &attributes(said))
                }
            };
            out.push_str(&object.finish());
            out.push('\n');
        }
    }
    Ok(out)
}

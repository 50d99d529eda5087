//! What the public edition leaves out of texts although no time of day stands in it: what would narrow a single record down
//! within its half hour, because it sets the record against true time.
//!
//! The half hour of a displayed time and that of the true time together can be a few seconds. So no text names the record
//! beside what is said of its true time. Rules that set records against moments are not told at all (`moments.rs`).

/// What stands for bounds of true time.
const TIMES_LEFT_OUT: &str = "at times that the full edition gives";

/// What a text speaks of that sets a record against true time.
const OF_MOMENTS: [&str; 4] = ["full edition", "length left out", "true time", "By the readings"];

/// A text, with its times already by the half hour, without bounds of true time; where it speaks of moments, without the
/// names of single records.
pub(super) fn veiled(text: &str) -> String {
    let text = without_hour(&without_bounds(text));
    if OF_MOMENTS.iter().any(|phrase| text.contains(phrase)) { unnamed(&text) } else { text }
}

/// `Record 1206 (18:30\u{2013}19:00)` as `A record`.
fn unnamed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("ecord ") {
        let (before, from) = rest.split_at(at);
        let behind = from.strip_prefix("ecord ").unwrap_or_default();
        let number = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
        let time = behind.get(number..).and_then(|name| name.strip_prefix(" (")?.split_once(')'));
        let named = time.filter(|(time, _)| number > 0 && (time.contains('\u{2013}') || time.contains('[')));
        match (named, before.strip_suffix('R'), before.strip_suffix('r')) {
            (Some((_, behind)), Some(before), _) => {
                out.push_str(before);
                out.push_str("A record");
                rest = behind;
            }
            (Some((_, behind)), _, Some(before)) => {
                out.push_str(before);
                out.push_str("a record");
                rest = behind;
            }
            _ => {
                out.push_str(before);
                out.push_str("ecord ");
                rest = behind;
            }
        }
    }
    out.push_str(rest);
    out
}

/// The half hour with which a text begins, with its date where one stands before it: its length in bytes.
fn half_hour(text: &str) -> Option<usize> {
    let dated = text.get(..11).is_some_and(|date| date.ends_with(' ') && date.matches('-').count() == 2);
    let date = if dated { 11 } else { 0 };
    let clock = text.get(date..)?;
    let end =
        clock.find(|c: char| !(c.is_ascii_digit() || c == ':' || c == '\u{2013}')).unwrap_or(clock.len());
    clock.get(..end)?.contains('\u{2013}').then_some(date + end)
}

/// Bounds of true time left out, be they one half hour or two.
fn without_bounds(text: &str) -> String {
    let mut text = text.to_owned();
    for (lead, instead) in [
        ("between ", TIMES_LEFT_OUT),
        ("not before ", "not before a time that the full edition gives"),
        ("not after ", "not after a time that the full edition gives"),
    ] {
        let mut out = String::with_capacity(text.len());
        let mut rest = text.as_str();
        while let Some((before, from)) = rest.split_once(lead) {
            out.push_str(before);
            let end = half_hour(from).and_then(|first| {
                if lead != "between " {
                    return Some(first);
                }
                let other = from.get(first..)?.strip_prefix(" and ")?;
                Some(first + " and ".len() + half_hour(other)?)
            });
            match end {
                Some(_) => out.push_str(instead),
                None => out.push_str(lead),
            }
            rest = from.get(end.unwrap_or(0)..).unwrap_or_default();
        }
        out.push_str(rest);
        text = out;
    }
    text
}

/// That an hour lies within the bounds of a record left out.
fn without_hour(text: &str) -> String {
    let Some((before, behind)) = text.split_once(" lies in it") else { return text.to_owned() };
    match before.rsplit_once(", and ") {
        Some((kept, hour)) if hour.len() <= 5 => format!("{kept}{behind}"),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What sets a record against true time loses the record's name and the bounds; what does not keeps them.
    #[test]
    fn a_record_is_not_named_beside_its_true_time() {
        let half = "11:30\u{2013}12:00";
        let other = "11:00\u{2013}11:30";
        for (coarse, public) in [
            (
                format!(
                    "Record 1204 ({half}) is a vote. By the readings it was recorded between {other} and {half}."
                ),
                "A record is a vote. By the readings it was recorded at times that the full edition gives.",
            ),
            (
                format!(
                    "record 1204 (2031-05-10 {half}) was made between 2031-05-10 {other} and 2031-05-10 {half}, and 11:30 lies in it"
                ),
                "a record was made at times that the full edition gives",
            ),
            (
                format!("it was made not before {half}"),
                "it was made not before a time that the full edition gives",
            ),
            (
                format!(
                    "Record 7 ({half}) and record 9 ({other}) are votes in succession, [length left out] apart."
                ),
                "A record and a record are votes in succession, [length left out] apart.",
            ),
            ("records 3 to 5 were the poll".to_owned(), "records 3 to 5 were the poll"),
            ("between 3 and 5 votes".to_owned(), "between 3 and 5 votes"),
        ] {
            assert_eq!(veiled(&coarse), public);
        }
        let order = format!("Record 1204 ({half}) and record 1205 ({half}) are enables.");
        assert_eq!(veiled(&order), order);
    }
}

//! From the rows of a case file to the facts they state, with the checks that look at more than one key.

use super::{
    Case, Count, CountOf, End, Fact, Labelled, Period, Phase, Poll, Saying, SettingOf, Stated, Statements,
    Stretch, readings,
};
use crate::sheet::{Row, Troubles};
use crate::zone::{Instants, Zone};

/// Takes what a row states into the case.
pub(super) fn take(case: &mut Case, row: &Row, troubles: &mut Troubles<'_>) {
    match row.table.name {
        "matter" => {
            case.matter.title = row.text("title");
            case.matter.court = row.text("court");
            case.matter.number = row.text("number");
            case.matter.question = row.text("question");
            case.matter.requested_by = row.text("requested-by");
            case.matter.examiner = row.text("examiner");
            case.matter.date = row.text("date");
            case.matter.qualification = row.text("qualification");
            case.matter.opinion = row.text("opinion");
            case.matter.signed = row.text("signed");
        }
        "poll" => case.polls.extend(state(row, poll(row, troubles))),
        "unit" => unit(case, row, troubles),
        "phase" => case.phases.extend(state(row, phase(row, troubles))),
        "end" => case.ends.extend(state(row, row.text("closed").and_then(|word| End::of_word(&word)))),
        "fact" => case.facts.extend(state(row, fact(row, troubles))),
        "count" => case.counts.extend(state(row, count(row, troubles))),
        "reading" => case.readings.extend(state(row, readings::reading(row, troubles))),
        "turnout" => case.turnout.extend(state(row, readings::turnout(row, troubles))),
        "question" => case.questions.extend(state(row, readings::question(row))),
        "interruption" => period(&mut case.interruptions, row, troubles),
        "storage" => period(&mut case.storage, row, troubles),
        "custody" => period(&mut case.custody, row, troubles),
        "setting" => setting(case, row, troubles),
        _ => {}
    }
}

fn saying(row: &Row) -> Option<Saying> {
    Some(Saying { source: row.text("source")?, by: row.text("by")?, span: row.header, line: row.line })
}

fn state<T>(row: &Row, value: Option<T>) -> Option<Stated<T>> {
    Some(Stated { value: value?, basis: saying(row)? })
}

fn at_least_one(row: &Row, keys: &[&str], troubles: &mut Troubles<'_>) -> bool {
    let some = keys.iter().any(|key| row.has(key));
    if !some {
        let message = format!("this {} states nothing", row.table.header());
        troubles.lack(row.header, &message, &format!("give at least one of {}", keys.join(", ")));
    }
    some
}

/// Of two ways to say the same thing, exactly one must be taken.
pub(super) fn one_way(row: &Row, one: &str, other: &str, troubles: &mut Troubles<'_>) {
    let header = row.table.header();
    let help = format!("give either `{one}` or `{other}`");
    match (row.has(one), row.has(other)) {
        (true, true) => {
            troubles.add(row.span(other), &format!("`{one}` and `{other}` stand in one {header}"), &help);
        }
        (false, false) => {
            troubles.lack(row.header, &format!("`{one}` or `{other}` is missing in this {header}"), &help)
        }
        _ => {}
    }
}

/// A key that says nothing without another.
fn together(row: &Row, one: &str, other: &str, troubles: &mut Troubles<'_>) {
    for (here, absent) in [(one, other), (other, one)] {
        if row.has(here) && !row.has(absent) {
            let message = format!("`{here}` stands without `{absent}`");
            troubles.lack(row.span(here), &message, &format!("give `{one}` and `{other}` together"));
        }
    }
}

fn poll(row: &Row, troubles: &mut Troubles<'_>) -> Option<Poll> {
    let stated = at_least_one(row, &["place", "date", "opens", "closes", "zone"], troubles);
    if row.has("only-day") && !row.has("date") {
        let help = "give the day of the poll as `date`";
        troubles.lack(row.span("only-day"), "`only-day` stands without `date`", help);
    }
    let poll = Poll {
        place: row.text("place"),
        date: row.text("date"),
        opens: row.text("opens"),
        closes: row.text("closes"),
        zone: row.text("zone"),
        only_day: row.truth("only-day").is_some(),
    };
    if let (Some(opens), Some(closes)) = (&poll.opens, &poll.closes)
        && with_seconds(closes) <= with_seconds(opens)
    {
        troubles.add(
            row.span("closes"),
            "`closes` is not later than `opens`",
            "both are hours of the same day",
        );
    }
    for (key, hour) in [("opens", &poll.opens), ("closes", &poll.closes)] {
        if let (Some(date), Some(hour), Some(zone)) = (&poll.date, hour, &poll.zone) {
            left_out(row, key, &format!("{date} {hour}"), zone, troubles);
        }
    }
    stated.then_some(poll)
}

/// A civil time that the clocks of its zone left out is no time of any clock.
pub(super) fn left_out(row: &Row, key: &str, moment: &str, zone: &str, troubles: &mut Troubles<'_>) {
    let instants = civil_ms(moment).zip(Zone::of(zone)).and_then(|(ms, zone)| zone.instants(ms));
    if let Some(Instants::None(from, to)) = instants {
        let hour = |ms| chrono::DateTime::from_timestamp_millis(ms).map(|at| at.format("%H:%M").to_string());
        let (from, to) = (hour(from).unwrap_or_default(), hour(to).unwrap_or_default());
        troubles.add(
            row.span(key),
            &format!(
                "`{key}` is an hour that did not exist in this zone: the clocks went from {from} to {to}"
            ),
            &format!(
                "write {from} or {to}, whichever the paper means, or state the offset of the paper as `zone`"
            ),
        );
    }
}

/// A civil moment, `YYYY-MM-DD hh:mm` with optional seconds, in milliseconds since 1970-01-01 00:00:00 of its calendar.
pub(crate) fn civil_ms(moment: &str) -> Option<i64> {
    let (day, _) = moment.split_once(' ')?;
    let text = format!("{day} {}", with_seconds(moment).rsplit(' ').next()?);
    let time = chrono::NaiveDateTime::parse_from_str(&text, "%Y-%m-%d %H:%M:%S").ok()?;
    Some(time.and_utc().timestamp_millis())
}

/// An hour or a moment with its seconds, so that text compares as time does.
pub(super) fn with_seconds(text: &str) -> String {
    let short = text.rsplit(' ').next().is_some_and(|time| time.len() == 5);
    if short { format!("{text}:00") } else { text.to_owned() }
}

fn unit(case: &mut Case, row: &Row, troubles: &mut Troubles<'_>) {
    at_least_one(row, &["serial", "role", "software", "candidates", "ballot-units", "description"], troubles);
    let unit = &mut case.unit;
    unit.serial.extend(state(row, row.text("serial")));
    unit.role.extend(state(row, row.text("role")));
    unit.software.extend(state(row, row.text("software")));
    unit.candidates.extend(state(row, row.whole("candidates")));
    unit.ballot_units.extend(state(row, row.texts("ballot-units")));
    unit.description.extend(state(row, row.text("description")));
}

fn phase(row: &Row, troubles: &mut Troubles<'_>) -> Option<Labelled> {
    one_way(row, "records", "lines", troubles);
    let phase = Phase::of_word(&row.text("was")?)?;
    let lines = || {
        let (first, last) = row.range("lines")?;
        Some(Stretch::Lines(usize::try_from(first).ok()?, usize::try_from(last).ok()?))
    };
    let stretch = row.range("records").map(|(first, last)| Stretch::Records(first, last)).or_else(lines)?;
    Some(Labelled { phase, stretch, poll: row.text("poll") })
}

fn fact(row: &Row, troubles: &mut Troubles<'_>) -> Option<Fact> {
    one_way(row, "what", "other", troubles);
    row.text("what").and_then(|word| Fact::of_word(&word)).or_else(|| row.text("other").map(Fact::Other))
}

fn count(row: &Row, troubles: &mut Troubles<'_>) -> Option<Count> {
    let what = CountOf::of_word(&row.text("of")?)?;
    let (least, most) = interval(row, troubles)?;
    Some(Count { what, least, most, poll: row.text("poll") })
}

/// A number: one `value`, or from `least` to `most`.
pub(super) fn interval(row: &Row, troubles: &mut Troubles<'_>) -> Option<(u64, u64)> {
    let header = row.table.header();
    let interval = row.has("least") || row.has("most");
    let help = "give either `value`, or `least` and `most`";
    if row.has("value") && interval {
        let place = if row.has("least") { row.span("least") } else { row.span("most") };
        troubles.add(place, &format!("`value` and an interval stand in one {header}"), help);
    } else if !row.has("value") && !interval {
        troubles.lack(row.header, &format!("the number is missing in this {header}"), help);
    }
    together(row, "least", "most", troubles);
    if let Some(value) = row.whole("value") {
        return Some((value, value));
    }
    let (least, most) = (row.whole("least")?, row.whole("most")?);
    if least > most {
        troubles.add(row.span("most"), "`most` is less than `least`", "write the smaller number as `least`");
        return None;
    }
    Some((least, most))
}

fn period(statements: &mut Statements<Period>, row: &Row, troubles: &mut Troubles<'_>) {
    if row.has("none") {
        for key in ["from", "to", "text"].iter().filter(|key| row.has(key)) {
            let help = "a row states either that there was none, or what there was; write two rows where people disagree";
            troubles.add(row.span(key), &format!("`{key}` stands beside `none`"), help);
        }
        statements.none.extend(row.truth("none").and_then(|_| saying(row)));
        return;
    }
    if !at_least_one(row, &["from", "to", "text", "none"], troubles) {
        return;
    }
    let period = Period { from: row.text("from"), to: row.text("to"), text: row.text("text") };
    if let (Some(from), Some(to)) = (&period.from, &period.to)
        && with_seconds(to) < with_seconds(from)
    {
        troubles.add(row.span("to"), "`to` is earlier than `from`", "write the earlier moment as `from`");
    }
    statements.stated.extend(state(row, Some(period)));
}

fn setting(case: &mut Case, row: &Row, troubles: &mut Troubles<'_>) {
    let mut keys = vec!["mock-votes-least", "clock-line", "rule", "clause"];
    keys.extend(SettingOf::ALL.map(SettingOf::word));
    at_least_one(row, &keys, troubles);
    together(row, "rule", "clause", troubles);
    case.settings.mock_votes_least.extend(state(row, row.whole("mock-votes-least")));
    for of in SettingOf::ALL {
        case.settings.numbers.extend(state(row, row.whole(of.word()).map(|number| (of, number))));
    }
    case.settings.clock_line.extend(row.truth("clock-line").and_then(|_| saying(row)));
    case.settings.clauses.extend(state(row, row.text("rule").zip(row.text("clause"))));
}

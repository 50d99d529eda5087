//! The vocabulary of a voting unit's log: one table of event words, from which code, manual and tests read.

mod class;
mod index;

pub use class::Class;
use class::ON_EVERY_EVENT;
pub(crate) use index::Packed;

/// What a line of the log says happened. The words, attributes and meanings stand in [`EVENTS`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
#[allow(missing_docs, reason = "each member's meaning is its row of EVENTS, the one table")]
pub enum Event {
    PowerOn,
    PowerOff,
    BatteryLevel,
    BatteryLow,
    BatteryChanged,
    SelfTest,
    LinkUp,
    LinkDown,
    SoftwareVersion,
    ClockSet,
    CandidateSet,
    Enable,
    EnableLapsed,
    Vote,
    Total,
    Close,
    Result,
    Clear,
    Print,
    SlipPrinted,
    SlipNotCut,
    PaperLow,
    Fault,
    CoverOpened,
    KeyRefused,
    Export,
    /// A word that the vocabulary does not hold. It is kept and shown; it is never guessed at.
    Unknown,
}

/// One row of the vocabulary.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// The event.
    pub event: Event,
    /// The class of events that it belongs to.
    pub class: Class,
    /// Its word in the neutral format.
    pub word: &'static str,
    /// The attributes that the vocabulary knows on this event; others are kept as unknown.
    pub attributes: &'static [Attribute],
    /// What the event means, in one sentence.
    pub meaning: &'static str,
    /// Who causes it.
    pub caused_by: &'static str,
    /// Which part of the unit reports it.
    pub reported_by: &'static str,
    /// What the people at the table were doing, in one sentence for a reader who sees only this line.
    pub at_the_table: &'static str,
}

/// An attribute that the vocabulary knows on an event.
#[derive(Debug, Clone, Copy)]
pub struct Attribute {
    /// The key, as written before `=`.
    pub key: &'static str,
    /// The form of its value. A value in another form may say anything, and is not shown beside the poll.
    pub form: Form,
    /// What its value says, with unit and range.
    pub meaning: &'static str,
}

/// The form of an attribute's value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Decimal digits, at most 19.
    Whole,
    /// `YYYY-MM-DDThh:mm:ss`, with or without a fraction.
    Time,
    /// A serial, version or code: letters, digits, `-`, `.`, `/`, at most 24 characters, at least one of them a digit.
    Mark,
    /// One of these words.
    OneOf(&'static [&'static str]),
}

impl Form {
    /// Whether a value has this form.
    #[must_use]
    pub fn holds(self, value: &str) -> bool {
        let digits = |piece: &str| !piece.is_empty() && piece.bytes().all(|b| b.is_ascii_digit());
        match self {
            Form::Whole => value.len() <= 19 && digits(value),
            Form::Time => {
                let (whole, fraction) = value.split_once('.').unwrap_or((value, "0"));
                whole.len() == 19
                    && (1..=3).contains(&fraction.len())
                    && digits(fraction)
                    && whole.bytes().zip(*b"0000-00-00T00:00:00").all(|(b, form)| match form {
                        b'0' => b.is_ascii_digit(),
                        mark => b == mark,
                    })
            }
            Form::Mark => {
                value.len() <= 24
                    && value.bytes().any(|b| b.is_ascii_digit())
                    && value.bytes().all(|b| b.is_ascii_alphanumeric() || b"-./".contains(&b))
            }
            Form::OneOf(words) => words.contains(&value),
        }
    }

    /// The form in words, for the manual.
    fn words(self) -> String {
        match self {
            Form::Whole => "digits".to_owned(),
            Form::Time => "`YYYY-MM-DDThh:mm:ss`".to_owned(),
            Form::Mark => "a mark such as `BU-50931` or `4.2`".to_owned(),
            Form::OneOf(words) => {
                words.iter().map(|word| format!("`{word}`")).collect::<Vec<String>>().join(", ")
            }
        }
    }
}

const fn at(key: &'static str, form: Form, meaning: &'static str) -> Attribute {
    Attribute { key, form, meaning }
}

const BU: Attribute = at("bu", Form::Mark, "serial of the ballot unit");
const MV: Attribute = at("mv", Form::Whole, "measured voltage in millivolts");

/// What a unit prints. *Common practice*.
const PRINTS: &[&str] = &[
    "zero",
    "header",
    "result",
    "total",
    "log",
    "self-test",
    "report",
    "opening",
    "closing",
    "summary",
    "settings",
];
/// Who sets a clock, by role. *Common practice*.
const ROLES: &[&str] =
    &["official", "maker", "technician", "engineer", "operator", "administrator", "unit", "network"];
/// Parts of a set that can fail. *Common practice*.
const PARTS: &[&str] = &[
    "battery",
    "ballot-unit",
    "cable",
    "clock",
    "control-unit",
    "cutter",
    "display",
    "keypad",
    "lamp",
    "link",
    "memory",
    "paper",
    "paper-trail",
    "power",
    "printer",
    "sensor",
    "storage",
    "switch",
];
/// Sections of a unit with a cover of their own. *Common practice*.
const SECTIONS: &[&str] = &[
    "battery",
    "bottom",
    "cable",
    "candidate-set",
    "candidates",
    "connector",
    "display",
    "front",
    "keypad",
    "memory",
    "paper",
    "printer",
    "rear",
    "result",
    "top",
];
/// Keys of a control unit. A button of a ballot unit is none. *Common practice*.
const KEYS: &[&str] = &[
    "battery",
    "candidate-set",
    "clear",
    "close",
    "enable",
    "export",
    "power",
    "print",
    "result",
    "self-test",
    "set-clock",
    "total",
];

macro_rules! rows {
    ($($event:ident $class:ident $word:literal [$($attribute:expr),*] $meaning:literal, $by:literal, $part:literal, $table:literal;)*) => {
        &[$(Entry {
            event: Event::$event, class: Class::$class, word: $word, attributes: &[$($attribute),*], meaning: $meaning,
            caused_by: $by, reported_by: $part, at_the_table: $table,
        }),*]
    };
}

/// The vocabulary. The order is the order of [`Event`]; a test holds it.
pub static EVENTS: &[Entry] = rows! {
    PowerOn Power "power-on" [] "The unit was switched on and has started.",
        "official", "control unit", "The official switches the unit on.";
    PowerOff Power "power-off" [] "The unit was switched off by its switch.",
        "official", "control unit", "The official switches the unit off.";
    BatteryLevel Power "battery-level" [MV]
        "The unit measured the voltage of its battery.",
        "unit", "control unit", "Nobody does anything; the unit measures its battery.";
    BatteryLow Power "battery-low" [MV]
        "The battery's voltage fell below the level at which the unit warns.",
        "unit", "control unit", "The unit warns the official that its battery is low.";
    BatteryChanged Power "battery-changed" [] "The unit found another battery than before.",
        "official", "control unit", "The official has put in another battery.";
    SelfTest Check "self-test" [at("result", Form::OneOf(&["pass", "fail"]), "how the test ended"), at("code", Form::Mark, "the unit's own code of what failed")]
        "The unit tested itself.",
        "unit", "control unit", "The official waits while the unit tests itself.";
    LinkUp Link "link-up" [BU] "A ballot unit was found at the control unit's cable.",
        "official", "control unit", "The official connects a ballot unit, or the unit finds it after starting.";
    LinkDown Link "link-down" [BU] "A ballot unit was no longer found at the control unit's cable.",
        "official", "control unit", "A ballot unit is disconnected, or its cable works loose.";
    SoftwareVersion Check "software-version" [at("version", Form::Mark, "the version that the unit states")]
        "The unit stated the version of its software.",
        "unit", "control unit", "Nobody does anything; the unit states its software version.";
    ClockSet Clock "clock-set" [at("before", Form::Time, "the time shown before"), at("after", Form::Time, "the time shown after"), at("by", Form::OneOf(ROLES), "role of the person who set it")]
        "The unit's clock was set to another time.",
        "official", "control unit", "Somebody with access sets the unit's clock.";
    CandidateSet Setting "candidate-set" [at("count", Form::Whole, "number of candidates, from 1")]
        "The number of candidates was set.",
        "official", "control unit", "The official sets how many candidates stand on the ballot.";
    Enable Voting "enable" [] "The official released the ballot unit for one vote.",
        "official", "control unit", "The official presses enable.";
    EnableLapsed Voting "enable-lapsed" [at("after", Form::Whole, "seconds since the enable")]
        "A release for one vote ended without a vote.",
        "unit", "control unit", "No button was pressed in time, or the official withdrew the release.";
    Vote Voting "vote" [BU] "One vote was recorded, and the unit locked until the next enable.",
        "voter", "ballot unit", "A button of the ballot unit is pressed, and the unit records one vote.";
    Total Voting "total" [at("shown", Form::Whole, "number of votes shown")]
        "The number of votes recorded so far was shown; nothing changed.",
        "official", "control unit", "The number of votes is shown.";
    Close Voting "close" [at("total", Form::Whole, "number of votes shown at the close")]
        "Voting was ended; no vote can follow until the memory is cleared.",
        "official", "control unit", "The official presses close, and voting ends.";
    Result Outcome "result" [at("total", Form::Whole, "number of votes in the result shown")]
        "The totals in the memory were shown.",
        "official", "control unit", "The official has the result shown.";
    Clear Outcome "clear" [] "The memory of votes was emptied.",
        "official", "control unit", "The official clears the memory of votes.";
    Print Outcome "print" [at("what", Form::OneOf(PRINTS), "what was printed")] "The unit printed a report.",
        "official", "control unit", "The official has the unit print a report.";
    SlipPrinted Paper "slip-printed" [] "The paper-trail unit printed a slip for a vote.",
        "unit", "paper-trail unit", "The paper slip shows behind the window and drops into its box.";
    SlipNotCut Paper "slip-not-cut" [] "A paper slip was printed and did not drop.",
        "unit", "paper-trail unit", "A paper slip hangs behind the window; the official is called.";
    PaperLow Paper "paper-low" [] "The paper-trail unit's roll is nearly used up.",
        "unit", "paper-trail unit", "The unit warns that the paper roll is nearly used up.";
    Fault Fault "fault" [at("part", Form::OneOf(PARTS), "the part that failed"), at("code", Form::Mark, "the unit's own fault code")]
        "A part of the unit reported that it failed.",
        "unit", "any part", "The unit shows a fault to the official.";
    CoverOpened Access "cover-opened" [at("section", Form::OneOf(SECTIONS), "the section whose cover was opened")]
        "A cover of the unit was opened.",
        "official", "control unit", "Somebody opens a cover of the unit.";
    KeyRefused Access "key-refused" [at("key", Form::OneOf(KEYS), "the key that was pressed")]
        "A key was pressed that the unit does not accept in its state; nothing changed.",
        "official", "control unit", "The official presses a key, and the unit refuses it.";
    Export Export "export" [] "The log was written out.",
        "official", "control unit", "Somebody has the log written out.";
};

impl Event {
    /// Number of events that the vocabulary knows.
    pub const KNOWN: usize = Event::Unknown as usize;

    /// The word of its class; `unknown` for [`Event::Unknown`].
    #[must_use]
    pub fn class_word(self) -> &'static str {
        self.entry().map_or("unknown", |entry| entry.class.word())
    }

    /// The row of the vocabulary, or `None` for [`Event::Unknown`].
    #[must_use]
    pub fn entry(self) -> Option<&'static Entry> {
        EVENTS.get(self as usize)
    }

    /// The event for a word of the neutral format; [`Event::Unknown`] when the vocabulary does not hold it.
    #[must_use]
    pub fn of_word(word: &[u8]) -> Event {
        // No word of the format holds a zero byte, which would be no part of a packed word.
        Packed::of(word).filter(|_| !word.contains(&0)).map_or(Event::Unknown, Packed::event)
    }

    /// The word in the neutral format; `unknown event` for [`Event::Unknown`].
    #[must_use]
    pub fn word(self) -> &'static str {
        self.entry().map_or("unknown event", |entry| entry.word)
    }

    /// Whether the vocabulary knows this attribute on this event.
    #[must_use]
    pub fn knows(self, key: &str) -> bool {
        self.form_of(key).is_some()
    }

    /// The form in which the vocabulary knows this attribute's value on this event.
    #[must_use]
    pub fn form_of(self, key: &str) -> Option<Form> {
        let own = self.entry().map_or(&[][..], |entry| entry.attributes).iter();
        own.chain(ON_EVERY_EVENT).find(|attribute| attribute.key == key).map(|attribute| attribute.form)
    }

    /// Every event that the vocabulary knows, in the table's order.
    pub fn all() -> impl Iterator<Item = Event> {
        EVENTS.iter().map(|entry| entry.event)
    }

    /// Whether records of this event are a voter's act or go with one, so that secrecy covers their unknown attributes.
    #[must_use]
    pub fn touches_ballot(self) -> bool {
        matches!(
            self,
            Event::Vote
                | Event::Enable
                | Event::EnableLapsed
                | Event::SlipPrinted
                | Event::SlipNotCut
                | Event::KeyRefused
        )
    }
}

/// `grammar/events.md`: the vocabulary as a page for the person who writes an exporter.
#[must_use]
pub fn manual() -> String {
    let mut page = String::from(
        "# The vocabulary of events\n\n\
         Printed from the table in `src/event.rs`; a test compares. Facts about who presses what are common practice\n\
         in the trade, without a published source. A word that is not listed here is kept, shown and counted as an\n\
         *unknown event*: it may have changed the unit in any way, and nothing is guessed about it. A value in another\n\
         form than the one stated here is kept; unless it\n\
         is made of figures where figures are stated, it is not shown beside a vote.\n\n\
         | word | class | attributes | meaning | caused by | reported by |\n|---|---|---|---|---|---|\n",
    );
    for entry in EVENTS {
        let attributes: Vec<String> = entry
            .attributes
            .iter()
            .map(|a| format!("`{}`: {} ({})", a.key, a.meaning, a.form.words()))
            .collect();
        let attributes = if attributes.is_empty() { "none".to_owned() } else { attributes.join("; ") };
        page.push_str(&format!(
            "| `{}` | `{}` | {attributes} | {} | {} | {} |\n",
            entry.word,
            entry.class.word(),
            entry.meaning,
            entry.caused_by,
            entry.reported_by
        ));
    }
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_enum_and_words_are_unique() {
        for (place, entry) in EVENTS.iter().enumerate() {
            assert_eq!(entry.event as usize, place, "{}", entry.word);
            assert_eq!(Event::of_word(entry.word.as_bytes()), entry.event);
        }
        assert_eq!(EVENTS.len(), Event::KNOWN);
        assert_eq!(Event::of_word(b"ENABLE"), Event::Unknown);
    }
}

//! The vocabulary of a voting unit's log: one table of event words, from which code, manual and tests read.

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
    /// What its value says, with unit and range.
    pub meaning: &'static str,
}

const fn at(key: &'static str, meaning: &'static str) -> Attribute {
    Attribute { key, meaning }
}

const BU: Attribute = at("bu", "serial of the ballot unit");

macro_rules! rows {
    ($($event:ident $word:literal [$($attribute:expr),*] $meaning:literal, $by:literal, $part:literal, $table:literal;)*) => {
        &[$(Entry {
            event: Event::$event, word: $word, attributes: &[$($attribute),*], meaning: $meaning,
            caused_by: $by, reported_by: $part, at_the_table: $table,
        }),*]
    };
}

/// The vocabulary. The order is the order of [`Event`]; a test holds it.
pub static EVENTS: &[Entry] = rows! {
    PowerOn "power-on" [] "The unit was switched on and has started.",
        "official", "control unit", "The official switches the unit on.";
    PowerOff "power-off" [] "The unit was switched off by its switch.",
        "official", "control unit", "The official switches the unit off.";
    BatteryLevel "battery-level" [at("mv", "measured voltage in millivolts, a whole number")]
        "The unit measured the voltage of its battery.",
        "unit", "control unit", "Nobody does anything; the unit measures its battery.";
    BatteryLow "battery-low" [at("mv", "measured voltage in millivolts, a whole number")]
        "The battery's voltage fell below the level at which the unit warns.",
        "unit", "control unit", "The unit warns the official that its battery is low.";
    BatteryChanged "battery-changed" [] "The unit found another battery than before.",
        "official", "control unit", "The official has put in another battery.";
    SelfTest "self-test" [at("result", "`pass` or `fail`"), at("code", "the unit's own code of what failed")]
        "The unit tested itself.",
        "unit", "control unit", "The official waits while the unit tests itself.";
    LinkUp "link-up" [BU] "A ballot unit was found at the control unit's cable.",
        "official", "control unit", "The official connects a ballot unit, or the unit finds it after starting.";
    LinkDown "link-down" [BU] "A ballot unit was no longer found at the control unit's cable.",
        "official", "control unit", "A ballot unit is disconnected, or its cable works loose.";
    SoftwareVersion "software-version" [at("version", "the version that the unit states")]
        "The unit stated the version of its software.",
        "unit", "control unit", "Nobody does anything; the unit states its software version.";
    ClockSet "clock-set" [at("before", "the time shown before, `YYYY-MM-DDThh:mm:ss`"), at("after", "the time shown after, `YYYY-MM-DDThh:mm:ss`"), at("by", "role of the person who set it")]
        "The unit's clock was set to another time.",
        "official", "control unit", "Somebody with access sets the unit's clock.";
    CandidateSet "candidate-set" [at("count", "number of candidates, a whole number from 1")]
        "The number of candidates was set.",
        "official", "control unit", "The official sets how many candidates stand on the ballot.";
    Enable "enable" [] "The official released the ballot unit for one vote.",
        "official", "control unit", "The official presses enable.";
    EnableLapsed "enable-lapsed" [at("after", "seconds since the enable, a whole number")]
        "A release for one vote ended without a vote.",
        "unit", "control unit", "No button was pressed in time, or the official withdrew the release.";
    Vote "vote" [BU] "One vote was recorded, and the unit locked until the next enable.",
        "voter", "ballot unit", "A button of the ballot unit is pressed, and the unit records one vote.";
    Total "total" [at("shown", "number of votes shown, a whole number")]
        "The number of votes recorded so far was shown; nothing changed.",
        "official", "control unit", "The number of votes is shown.";
    Close "close" [at("total", "number of votes shown at the close, a whole number")]
        "Voting was ended; no vote can follow until the memory is cleared.",
        "official", "control unit", "The official presses close, and voting ends.";
    Result "result" [at("total", "number of votes in the result shown, a whole number")]
        "The totals in the memory were shown.",
        "official", "control unit", "The official has the result shown.";
    Clear "clear" [] "The memory of votes was emptied.",
        "official", "control unit", "The official clears the memory of votes.";
    Print "print" [at("what", "what was printed, one word")] "The unit printed a report.",
        "official", "control unit", "The official has the unit print a report.";
    SlipPrinted "slip-printed" [] "The paper-trail unit printed a slip for a vote.",
        "unit", "paper-trail unit", "The paper slip shows behind the window and drops into its box.";
    SlipNotCut "slip-not-cut" [] "A paper slip was printed and did not drop.",
        "unit", "paper-trail unit", "A paper slip hangs behind the window; the official is called.";
    PaperLow "paper-low" [] "The paper-trail unit's roll is nearly used up.",
        "unit", "paper-trail unit", "The unit warns that the paper roll is nearly used up.";
    Fault "fault" [at("part", "the part that failed, one word"), at("code", "the unit's own fault code")]
        "A part of the unit reported that it failed.",
        "unit", "any part", "The unit shows a fault to the official.";
    CoverOpened "cover-opened" [at("section", "the section whose cover was opened, one word")]
        "A cover of the unit was opened.",
        "official", "control unit", "Somebody opens a cover of the unit.";
    KeyRefused "key-refused" [at("key", "the key that was pressed, one word")]
        "A key was pressed that the unit does not accept in its state; nothing changed.",
        "official", "control unit", "The official presses a key, and the unit refuses it.";
    Export "export" [] "The log was written out.",
        "official", "control unit", "Somebody has the log written out.";
};

impl Event {
    /// Number of events that the vocabulary knows.
    pub const KNOWN: usize = Event::Unknown as usize;

    /// The row of the vocabulary, or `None` for [`Event::Unknown`].
    #[must_use]
    pub fn entry(self) -> Option<&'static Entry> {
        EVENTS.get(self as usize)
    }

    /// The event for a word of the neutral format; [`Event::Unknown`] when the vocabulary does not hold it.
    #[must_use]
    pub fn of_word(word: &[u8]) -> Event {
        EVENTS.iter().find(|entry| entry.word.as_bytes() == word).map_or(Event::Unknown, |entry| entry.event)
    }

    /// The word in the neutral format; `unknown event` for [`Event::Unknown`].
    #[must_use]
    pub fn word(self) -> &'static str {
        self.entry().map_or("unknown event", |entry| entry.word)
    }

    /// Whether the vocabulary knows this attribute on this event.
    #[must_use]
    pub fn knows(self, key: &str) -> bool {
        self.entry().is_some_and(|entry| entry.attributes.iter().any(|attribute| attribute.key == key))
    }

    /// Every event that the vocabulary knows, in the table's order.
    pub fn all() -> impl Iterator<Item = Event> {
        EVENTS.iter().map(|entry| entry.event)
    }

    /// Whether records of this event stand so close to a voter's act that secrecy covers their unknown attributes.
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
                | Event::Unknown
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
         *unknown event*: it may have changed the unit in any way, and nothing is guessed about it.\n\n\
         | word | attributes | meaning | caused by | reported by |\n|---|---|---|---|---|\n",
    );
    for entry in EVENTS {
        let attributes: Vec<String> =
            entry.attributes.iter().map(|a| format!("`{}`: {}", a.key, a.meaning)).collect();
        let attributes = if attributes.is_empty() { "none".to_owned() } else { attributes.join("; ") };
        page.push_str(&format!(
            "| `{}` | {attributes} | {} | {} | {} |\n",
            entry.word, entry.meaning, entry.caused_by, entry.reported_by
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

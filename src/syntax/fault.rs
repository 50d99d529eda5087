//! Faults: text that could not be read as the format wants, each with its place, its code and the right form.

use std::fmt::Write as _;

use crate::source::Span;

/// What could not be read, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fault {
    /// Index of the line in its log.
    pub line: usize,
    /// The bytes at fault.
    pub span: Span,
    /// Which fault it is.
    pub code: FaultCode,
}

/// What a fault is against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// The grammar of lines: the line fits none of the productions for lines of `log.abnf`.
    Line,
    /// The grammar of a log: the line fits, and stands where the production `stream` has no place for it.
    Log,
    /// What the grammar cannot say: the calendar, numbers that are characters, keys that differ, limits.
    Value,
}

impl Against {
    /// Its word in the manual.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Against::Line => "line",
            Against::Log => "log",
            Against::Value => "value",
        }
    }
}

/// What a fault does to its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// The line is unread: nothing is concluded from it but that something stands there.
    Unread,
    /// The line is read all the same.
    Noted,
    /// A comment, blank line or header value is kept all the same; any other line is unread.
    UnreadRecord,
    /// A comment or blank line is kept all the same; any other line is unread, and nothing more is said about its form.
    UnreadButComment,
}

/// One row of the table of faults.
#[derive(Debug, Clone, Copy)]
pub struct FaultEntry {
    /// The fault.
    pub code: FaultCode,
    /// Its code word.
    pub word: &'static str,
    /// What it is against.
    pub against: Against,
    /// What it does to its line.
    pub effect: Effect,
    /// What is the matter, in one sentence.
    pub message: &'static str,
    /// The right form, or how such a text comes about.
    pub help: &'static str,
}

macro_rules! faults {
    ($($code:ident $word:literal $against:ident $effect:ident $message:literal, $help:literal;)*) => {
        /// The kinds of fault; their words, effects and texts stand in [`FAULTS`].
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs, reason = "each member's meaning is its row of FAULTS, the one table")]
        pub enum FaultCode { $($code),* }

        /// Every fault that the reader can find, in the order of the manual.
        pub static FAULTS: &[FaultEntry] = &[$(FaultEntry {
            code: FaultCode::$code, word: $word, against: Against::$against, effect: Effect::$effect,
            message: $message, help: $help,
        }),*];

        impl FaultCode {
            /// The row of the table.
            #[must_use]
            pub fn entry(self) -> &'static FaultEntry {
                match self {
                    $(FaultCode::$code => const { &FaultEntry {
                        code: FaultCode::$code, word: $word, against: Against::$against, effect: Effect::$effect,
                        message: $message, help: $help,
                    } }),*
                }
            }
        }
    };
}

faults! {
    LogEmpty "log-empty" Log Noted "The file holds no line but blank ones.",
        "An export begins with the line `unit-event-log 1`.";
    HeadingMissing "heading-missing" Log Noted "The log does not begin with a heading.",
        "The first line is `unit-event-log 1`; the lines are read as if it stood there.";
    HeadingVersion "heading-version" Line Unread "The heading is not that of version 1 of the format.",
        "`unit-event-log 1`; what follows is read as version 1.";
    ByteOrderMark "byte-order-mark" Line Noted "A byte order mark stands before the first character.",
        "UTF-8 needs none; it is passed over and belongs to no digest.";
    LineEndMissing "line-end-missing" Line Noted "The last line has no line end.",
        "Every line ends with LF or CRLF; a missing end may mean that the file was cut.";
    LineEndsMixed "line-ends-mixed" Value Noted "Another line end than on the first line of the log.",
        "Write LF, or CRLF, throughout; a mixture shows that the file was joined or edited, and by no means why.";
    LineTooLong "line-too-long" Value UnreadButComment "The line is longer than 4096 bytes.",
        "A line holds one event; a missing line end may have joined many.";
    LinesTooMany "lines-too-many" Value Noted "The log has more lines than are read; the rest is counted.",
        "At most 2000000 lines a log; export in parts, each with its heading.";
    RecordsTooMany "records-too-many" Value Noted "The log has more records than are read; the rest is counted.",
        "At most 1000000 records a log; export in parts, each with its heading.";
    Utf8Broken "utf8-broken" Line UnreadRecord "Bytes that are no text in UTF-8.",
        "Write the file as UTF-8 (RFC 3629); the bytes are kept as they are.";
    NulCharacter "nul-character" Line UnreadRecord "A NUL character.",
        "A text holds none; NULs often stand where a storage block was never written.";
    CarriageReturn "carriage-return" Line UnreadRecord "A carriage return that is no part of a line end.",
        "A line ends with LF or CRLF; inside quotes write `\\r`.";
    TabCharacter "tab-character" Line UnreadRecord "A tab.",
        "Fields are separated by one space; inside quotes write `\\t`.";
    ControlCharacter "control-character" Line UnreadRecord "A control character.",
        "Inside quotes write it as `\\u{1b}`, with its own number.";
    InvisibleCharacter "invisible-character" Line Unread "A space or invisible character in a value without quotes.",
        "`key=\"value\"`: put the value in quotes.";
    SpaceLeading "space-leading" Line Unread "The line begins with a space.",
        "A line begins with its first field.";
    SpaceDoubled "space-doubled" Line Unread "More than one space between two fields.",
        "Fields are separated by exactly one space; a field without value is `-`.";
    SpaceTrailing "space-trailing" Value Noted "Spaces at the end of the line.",
        "A line ends with its last field.";
    LineUnknown "line-unknown" Line Unread "The line is none that the format knows.",
        "`number date time event key=value`, for instance `1203 2031-05-10 07:00:12 enable`.";
    HeaderForm "header-form" Line Unread "A header line not in the form `key: value`.",
        "`serial: CU-20417`: the key in lower case, a colon, one space, a value.";
    HeaderLate "header-late" Log Unread "A header line after the first record.",
        "Header lines stand between the heading and the first record.";
    HeaderRepeated "header-repeated" Value Noted "A header key that stands already above.",
        "Each key once; the first is the one that is used.";
    HeadersTooMany "headers-too-many" Value Unread "More header lines than are read.",
        "At most 64 header lines a log.";
    ClosingForm "closing-form" Line Unread "A closing line that is not in its form.",
        "`end 4 sha256:` and 64 hexadecimal digits; the digest may be left out.";
    ClosingRepeated "closing-repeated" Log Noted "A second closing line.",
        "A log has one closing line, the last; the first is the one that is compared.";
    AfterClosing "after-closing" Log Noted "A record after the closing line.",
        "The closing line is the last; the record is read, and the closing line says nothing about it.";
    NumberForm "number-form" Line Unread "The record number is not a whole number.",
        "Decimal digits, or `-` where the unit gives none: `1203 2031-05-10 07:00:12 enable`.";
    NumberTooLong "number-too-long" Line Unread "The number has more than 19 digits.",
        "1 to 19 decimal digits; leading zeros count.";
    TimeMissing "time-missing" Line Unread "The time is missing.",
        "`1203 2031-05-10 07:00:12 enable`, or `-` where the unit gives no time: `1203 - enable`.";
    TimeForm "time-form" Line Unread "The time is not in the form `YYYY-MM-DD hh:mm:ss`.",
        "`2031-05-10 07:00:12`, with up to three digits of a fraction: `07:00:12.250`.";
    TimeZone "time-zone" Line Unread "The time carries a zone.",
        "Write the time as the unit shows it, without zone; the zone stands in the header `clock-zone`.";
    FractionTooLong "fraction-too-long" Line Unread "The seconds have more than three digits of a fraction.",
        "Up to three: `07:00:12.250`.";
    YearOutOfRange "year-out-of-range" Value Unread "The year is 0000.",
        "0001 to 9999.";
    MonthOutOfRange "month-out-of-range" Value Unread "There is no such month.",
        "01 to 12, behind the year: `2031-05-10`.";
    DayOutOfRange "day-out-of-range" Value Unread "There is no such day in any month.",
        "01 to 31, behind the month: `2031-05-10`.";
    DayNotInMonth "day-not-in-month" Value Unread "That month of that year has no such day.",
        "The calendar is the Gregorian one: 29 February is in years such as 2028 and 2032.";
    HourOutOfRange "hour-out-of-range" Value Unread "There is no such hour.",
        "00 to 23; midnight is 00:00:00 of the day that begins.";
    MinuteOutOfRange "minute-out-of-range" Value Unread "There is no such minute.",
        "00 to 59.";
    SecondOutOfRange "second-out-of-range" Value Unread "There is no such second.",
        "00 to 59; a unit's clock knows no leap second.";
    EventMissing "event-missing" Line Unread "The event is missing.",
        "`1203 2031-05-10 07:00:12 enable`: behind the time, what happened.";
    EventCase "event-case" Line Unread "The event's word has capital letters.",
        "Lower case only: `vote`, `power-on`.";
    EventForm "event-form" Line Unread "That cannot be an event's word.",
        "A lower-case letter, then lower-case letters, digits and `-`: `power-on`.";
    WordTooLong "word-too-long" Line Unread "The event's word has more than 40 characters.",
        "At most 40 characters.";
    KeyForm "key-form" Line Unread "That cannot be an attribute's key.",
        "A lower-case letter, then lower-case letters, digits and `-`, then `=`: `bu=BU-50931`.";
    KeyCase "key-case" Line Unread "The attribute's key has capital letters.",
        "Lower case only: `bu=BU-50931`.";
    KeyTooLong "key-too-long" Line Unread "The attribute's key has more than 40 characters.",
        "At most 40 characters.";
    EqualsMissing "equals-missing" Line Unread "The attribute has no `=` behind its key.",
        "`key=value`; a value with spaces stands in quotes: `note=\"two words\"`.";
    ValueEmpty "value-empty" Line Unread "The attribute has no value.",
        "Leave the attribute out, or write an empty value as `key=\"\"`.";
    QuoteInValue "quote-in-value" Line Unread "A quotation mark in a value that does not begin with one.",
        "`key=\"a \\\"quoted\\\" value\"`: put the whole value in quotes.";
    QuoteOpen "quote-open" Line Unread "The quotation mark is never closed on this line.",
        "`key=\"value\"`; a line end inside is written `\\n`.";
    QuoteFollowed "quote-followed" Line Unread "Something stands directly behind the closing quotation mark.",
        "One space before the next field; a quotation mark inside is written `\\\"`.";
    EscapeUnknown "escape-unknown" Line Unread "A backslash before something it cannot stand before.",
        "`\\\"`, `\\\\`, `\\n`, `\\r`, `\\t` or `\\u{1F5F3}`.";
    EscapeNoCharacter "escape-no-character" Value Unread "The number in the escape is no character.",
        "`\\u{0}` to `\\u{10FFFF}`, without `\\u{D800}` to `\\u{DFFF}`.";
    AttributeRepeated "attribute-repeated" Value Noted "An attribute that the record has already.",
        "Each key once; where two values differ, none of them is used.";
    AttributesTooMany "attributes-too-many" Line Unread "More attributes than a record may have.",
        "At most 32 attributes a record.";
    ChainForm "chain-form" Line Unread "The chain field is not in its form.",
        "`chain:` and 64 hexadecimal digits.";
    ChainNotLast "chain-not-last" Line Unread "Something stands behind the chain field.",
        "The chain field is the last of its record.";
    RowForm "row-form" Line Unread "The row does not have the form that the mapping states.",
        "Compare row and mapping: number of columns, positions, quotation marks, pattern.";
    RowText "row-text" Line Unread "Characters that are no text in the encoding that the mapping states.",
        "State the encoding in which the file was written, under `[file]`.";
    RowNumber "row-number" Line Unread "The record number is not a whole number of at most 19 digits.",
        "Check which column holds the number; a line that is no row is named under `skip-matching`.";
    RowTime "row-time" Value Unread "The time does not fit the pattern of the mapping, or is not in the calendar.",
        "State the order of day and month, and the marks of the half days, as the file has them, under `[time]`.";
    RowEvent "row-event" Line Unread "The row names no event.",
        "Check which columns hold the event; lines that are no rows are named under `skip-matching`.";
    RowOverLines "row-over-lines" Line Noted "A cell in quotation marks holds line ends, so that one row takes several lines.",
        "Compare the row with the file: a quotation mark too many joins rows.";
    DeviceMissing "device-missing" Log Noted "The file names no device.",
        "Each Device holds the events of one unit; a file without one holds no event.";
    SequenceMissing "sequence-missing" Value Noted "The event has no Sequence, or an empty one.",
        "Sequence is the record number as the unit writes it; the event is read without a number.";
    SequenceRepeated "sequence-repeated" Log Noted "The Sequence stands already on another event of the file.",
        "Each Sequence once in a file; where a file holds several units, with the Id of the unit before it: `CU-20417/0001`.";
    DispositionUnnamed "disposition-unnamed" Value Noted "The Disposition is `other`, and no OtherDisposition says which.",
        "Write what it was in OtherDisposition.";
    HashUnnamed "hash-unnamed" Log Noted "The event has a Hash, and its Device no HashType.",
        "Write in HashType how the Hash is made; without it the Hash says nothing.";
    EntryForm "entry-form" Line Unread "The event is no object, or has Id, Sequence or TimeStamp twice.",
        "Each event is an object with each of its fields once.";
    EntryEvent "entry-event" Line Unread "The event has no Id, or an empty one.",
        "Id is what happened: `vote`, `power-on`.";
    EntryTime "entry-time" Value Unread "The TimeStamp is missing, in no form, or not in the calendar.",
        "`2031-05-10T07:00:12+02:00`; a unit's clock knows no leap second.";
    EntryZone "entry-zone" Log Noted "The TimeStamp has an offset from UTC and those before it have none, or the other way round.",
        "Each TimeStamp with its offset; this one is kept as `time-written` and not used.";
    EntryIncomplete "entry-incomplete" Line Noted "The event has no Type or no Disposition.",
        "The standard wants both; where no outcome is recorded, Disposition is `na`.";
    EntryLeftOut "entry-left-out" Line Unread "A line that could not be read in the log from which the file was made.",
        "Ask for that log: the file says where the line stands in it.";
}

impl FaultCode {
    /// Number of kinds of fault.
    pub const COUNT: usize = FAULTS.len();

    /// Whether only a log in another format than the neutral one can have it.
    #[must_use]
    pub fn is_foreign(self) -> bool {
        self >= FaultCode::RowForm
    }

    /// The code word.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.entry().word
    }

    /// The fault with this code word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<FaultCode> {
        FAULTS.iter().find(|entry| entry.word == word).map(|entry| entry.code)
    }
}

/// How many faults of each kind a log has, whether they are kept with their place or not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FaultCounts([usize; FaultCode::COUNT]);

impl FaultCounts {
    /// No fault of any kind.
    pub(crate) fn none() -> FaultCounts {
        FaultCounts([0; FaultCode::COUNT])
    }

    /// Counts one more.
    pub(crate) fn add(&mut self, code: FaultCode) {
        if let Some(count) = self.0.get_mut(code as usize) {
            *count += 1;
        }
    }

    /// Counts one less.
    pub(super) fn remove(&mut self, code: FaultCode) {
        if let Some(count) = self.0.get_mut(code as usize) {
            *count = count.saturating_sub(1);
        }
    }

    /// Number of faults of one kind.
    #[must_use]
    pub fn of(&self, code: FaultCode) -> usize {
        self.0.get(code as usize).copied().unwrap_or(0)
    }

    /// Number of faults of every kind together.
    #[must_use]
    pub fn total(&self) -> usize {
        self.0.iter().sum()
    }

    /// The kinds that occur, in the order of the table, with their numbers.
    pub fn iter(&self) -> impl Iterator<Item = (FaultCode, usize)> {
        FAULTS.iter().map(|entry| (entry.code, self.of(entry.code))).filter(|(_, count)| *count > 0)
    }
}

/// The faults of the neutral format, or those of the others, as a table for `grammar/`; a test compares.
#[must_use]
pub fn fault_manual(foreign: bool) -> String {
    let mut page = String::from(
        "| fault | against | what is the matter | the line | the right form |
|---|---|---|---|---|
",
    );
    for entry in FAULTS.iter().filter(|entry| entry.code.is_foreign() == foreign) {
        let effect = match entry.effect {
            Effect::Unread => "unread",
            Effect::Noted => "read, with a note",
            Effect::UnreadRecord => "unread; a comment or header is kept, with a note",
            Effect::UnreadButComment => "unread; a comment is kept, with a note",
        };
        let (word, against) = (entry.word, entry.against.word());
        _ = writeln!(page, "| `{word}` | {against} | {} | {effect} | {} |", entry.message, entry.help);
    }
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_finds_its_own_row_and_no_word_stands_twice() {
        for (place, entry) in FAULTS.iter().enumerate() {
            assert_eq!(entry.code as usize, place);
            assert_eq!(entry.code.word(), entry.word);
            assert_eq!(FaultCode::of_word(entry.word), Some(entry.code));
            assert!(entry.message.ends_with('.') && entry.help.ends_with('.'), "{}", entry.word);
        }
    }
}

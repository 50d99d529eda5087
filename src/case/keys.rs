//! The keys of a case file: one table, from which reader, errors, starter and manual read.

use super::words::{COUNTS, ENDS, FACTS, PHASES, REFERENCES, ROLES};
use crate::sheet::{Form, Key, Sheet, Table, free, needed};

/// The case file as a sheet.
pub static SHEET: Sheet = Sheet {
    title: "case file",
    purpose: "The case file holds what people wrote down about a unit and its poll. Every row says where it is written \
              (`source`) and who asserts it (`by`), for people disagree: a fact may stand more than once, and facts that \
              contradict each other are examined one version after the other. What is left out is *not stated*; that is \
              something else than stated to be nothing (`none = true`). Days and hours are civil times of the place.",
    tables: TABLES,
};

const fn source(example: &'static str) -> Key {
    needed("source", Form::Text, example, "The paper on which it is written, with its place there.")
}

/// The day of the poll that a row is about.
const fn of_poll(meaning: &'static str) -> Key {
    free("poll", Form::Date, "\"2031-05-10\"", meaning)
}

const fn by(example: &'static str) -> Key {
    needed("by", Form::Text, example, "Who asserts it.")
}

const WHOLE: Form = Form::Whole(0, u64::MAX);

const TABLES: &[Table] = &[
    Table {
        name: "matter",
        many: false,
        meaning: "The matter that the examination serves; printed at the head of the report.",
        keys: &[
            free(
                "title",
                Form::Text,
                "\"Election petition on the poll in Tarn Valley\"",
                "Title of the matter.",
            ),
            free("court", Form::Text, "\"High Court of Kestrane\"", "The court or body."),
            free("number", Form::Text, "\"EP 7 of 2031\"", "Its number there."),
            free(
                "question",
                Form::Text,
                "\"Does the log of the unit bear out the declared votes?\"",
                "The question that the examiner was asked.",
            ),
            free("requested-by", Form::Text, "\"Order of 2 June 2031\"", "Who asked, or the order."),
            free("examiner", Form::Text, "\"A. Examiner\"", "The examiner."),
            free("date", Form::Date, "\"2031-06-20\"", "Date of the report."),
            free(
                "qualification",
                Form::Text,
                "\"Engineer; 12 years with units of this kind\"",
                "The examiner's qualification, in the examiner's words.",
            ),
            free(
                "opinion",
                Form::Text,
                "\"In my opinion the two numbers agree.\"",
                "The examiner's opinion, in the examiner's words; never made by the tool.",
            ),
            free(
                "signed",
                Form::Text,
                "\"Tarn, 20 June 2031, A. Examiner\"",
                "Where, when and by whom the report is signed.",
            ),
        ],
        examples: &[&[
            "title",
            "court",
            "number",
            "question",
            "requested-by",
            "examiner",
            "date",
            "qualification",
            "opinion",
            "signed",
        ]],
    },
    Table {
        name: "poll",
        many: true,
        meaning: "A poll in which this unit was used, its day and its hours; a poll of another place or unit has no row here.",
        keys: &[
            free("place", Form::Text, "\"Tarn Valley, station 12\"", "Constituency, station or other place."),
            free("date", Form::Date, "\"2031-05-10\"", "Day of the poll."),
            free("opens", Form::Hour, "\"07:00\"", "Opening hour."),
            free(
                "closes",
                Form::Hour,
                "\"18:00\"",
                "Closing hour, later on the same day; the instant itself is inside.",
            ),
            free(
                "zone",
                Form::Zone,
                "\"+02:00\"",
                "Zone of the place's civil time. Where a name is used, the report says by which version of the database.",
            ),
            free(
                "only-day",
                Form::True,
                "true",
                "The poll was held on this day and on no other: neither adjourned nor ordered again. Left out where it is not \
                 stated.",
            ),
            source("\"Notice of poll, page 1\""),
            by("\"Returning Officer\""),
        ],
        examples: &[&["place", "date", "opens", "closes", "zone", "only-day", "source", "by"]],
    },
    Table {
        name: "unit",
        many: true,
        meaning: "What is stated about the unit; each row states one thing or more.",
        keys: &[
            free("serial", Form::Text, "\"CU-20417\"", "Serial of the unit whose log it is."),
            free("role", Form::OneOf(ROLES), "\"control\"", "What the unit is."),
            free("software", Form::Text, "\"4.2\"", "Version of its software."),
            free("candidates", Form::Whole(1, 100_000), "5", "Number of candidates on the ballot."),
            free("ballot-units", Form::Texts, "[\"BU-50931\"]", "Serials of the ballot units used."),
            free("description", Form::Text, "\"kestrane.toml\"", "File of the unit description to use."),
            source("\"Form of preparation, line 3\""),
            by("\"Returning Officer\""),
        ],
        examples: &[&[
            "serial",
            "role",
            "software",
            "candidates",
            "ballot-units",
            "description",
            "source",
            "by",
        ]],
    },
    Table {
        name: "phase",
        many: true,
        meaning: "What a stretch of the log is said to have been; the stretch is given by record numbers or by lines.",
        keys: &[
            needed("was", Form::OneOf(PHASES), "\"mock-poll\"", "What it was."),
            free("records", Form::Range(0), "\"5-20\"", "Record numbers of the stretch."),
            free("lines", Form::Range(1), "\"12-40\"", "Lines of the log's file instead, from 1."),
            of_poll(
                "Day of the poll that it belongs to, where that is in doubt: the votes of a night may be those of the day before. Where the hours of that day and of the day on which they were made lead to different answers, none is given.",
            ),
            source("\"Presiding officer's diary, page 2\""),
            by("\"Presiding Officer\""),
        ],
        examples: &[&["was", "records", "source", "by"], &["was", "lines", "poll", "source", "by"]],
    },
    Table {
        name: "end",
        many: true,
        meaning: "An end of the log that is said to be closed: nothing came before it, or nothing after.",
        keys: &[
            needed("closed", Form::OneOf(ENDS), "\"back\"", "Which end."),
            source("\"Record of the export, 12 June 2031\""),
            by("\"Court's expert\""),
        ],
        examples: &[&["closed", "source", "by"]],
    },
    Table {
        name: "fact",
        many: true,
        meaning: "A fact of one sentence: one of the list, or another in free words, which is shown and never interpreted.",
        keys: &[
            free("what", Form::OneOf(FACTS), "\"unit-replaced\"", "A fact of the list."),
            free(
                "other",
                Form::Text,
                "\"The hall was without power for some minutes.\"",
                "Another fact, in one sentence.",
            ),
            source("\"Presiding officer's diary, page 4\""),
            by("\"Presiding Officer\""),
        ],
        examples: &[&["what", "source", "by"], &["other", "source", "by"]],
    },
    Table {
        name: "count",
        many: true,
        meaning: "A number that a paper states: one value, or an interval from least to most.",
        keys: &[
            needed("of", Form::OneOf(COUNTS), "\"declared\"", "What was counted."),
            free("value", WHOLE, "412", "The number."),
            free("least", WHOLE, "410", "Least value instead, where the paper gives an interval."),
            free("most", WHOLE, "414", "Greatest value of the interval."),
            of_poll("Day of the poll that it is about, where there were several."),
            source("\"Form of result, part 1\""),
            by("\"Returning Officer\""),
        ],
        examples: &[&["of", "value", "poll", "source", "by"], &["of", "least", "most", "source", "by"]],
    },
    Table {
        name: "reading",
        many: true,
        meaning: "A reading of the unit's clock beside a reference clock: what the unit displayed, or which record it made, \
                  at what true time. A line of a diary that times an event is one too, with a wide bound.",
        keys: &[
            free("displayed", Form::Moment, "\"2031-05-10 06:46\"", "What the unit displayed."),
            free("record", WHOLE, "227", "Number of the record of the event that the paper times, instead."),
            free("reference", Form::Moment, "\"2031-05-10 06:50\"", "What the reference clock showed."),
            free(
                "reference-from",
                Form::OneOf(REFERENCES),
                "\"exported-at\"",
                "Where the log itself states the reference time, instead.",
            ),
            needed(
                "within-seconds",
                Form::Whole(0, 31_536_000),
                "60",
                "How far the reference time may be off, either way.",
            ),
            free(
                "zone",
                Form::Zone,
                "\"+02:00\"",
                "Offset of the reference time from UTC; left out: that of the poll.",
            ),
            free(
                "after-record",
                WHOLE,
                "226",
                "Number of the last record made before the reading. A reading of the display needs this or `clock-not-set`.",
            ),
            free(
                "clock-not-set",
                Form::True,
                "true",
                "The paper says that the clock was neither set nor reset between the reading and any record of the log.",
            ),
            free("how", Form::Text, "\"Telephone time service\"", "Which reference clock, in words."),
            source("\"Presiding officer's diary, page 1\""),
            by("\"Presiding Officer\""),
        ],
        examples: &[
            &["displayed", "reference", "within-seconds", "zone", "after-record", "how", "source", "by"],
            &["displayed", "reference", "within-seconds", "clock-not-set", "source", "by"],
            &["record", "reference", "within-seconds", "source", "by"],
            &["record", "reference-from", "within-seconds", "how", "source", "by"],
        ],
    },
    Table {
        name: "turnout",
        many: true,
        meaning: "A number of voters who had voted, noted at a time of the day.",
        keys: &[
            needed("at", Form::Moment, "\"2031-05-10 09:00\"", "When it was noted, civil time of the poll."),
            free(
                "within-seconds",
                Form::Whole(0, 86_400),
                "300",
                "How far that time may be off, either way; left out: not at all.",
            ),
            free("value", WHOLE, "112", "The number."),
            free("least", WHOLE, "110", "Least value instead, where the paper gives an interval."),
            free("most", WHOLE, "115", "Greatest value of the interval."),
            source("\"Turnout sheet, line 2\""),
            by("\"Presiding Officer\""),
        ],
        examples: &[
            &["at", "within-seconds", "value", "source", "by"],
            &["at", "least", "most", "source", "by"],
        ],
    },
    Table {
        name: "question",
        many: true,
        meaning: "A question that the examiner was asked, and the rules whose answers bear on it.",
        keys: &[
            free("number", Form::Text, "\"2\"", "Its number or letter."),
            needed("text", Form::Text, "\"Were votes recorded after the close?\"", "The question."),
            needed("rules", Form::Texts, "[\"vote-after-close\"]", "Ids of the rules that bear on it."),
            source("\"Order of 2 June 2031, paragraph 3\""),
            by("\"High Court of Kestrane\""),
        ],
        examples: &[&["number", "text", "rules", "source", "by"]],
    },
    period(
        "interruption",
        "An interruption of the poll, or the statement that there was none; all that are known have a row each, and rules ask only about these.",
        &[
            free("from", Form::Moment, "\"2031-05-10 11:20\"", "When it began."),
            free("to", Form::Moment, "\"2031-05-10 11:45\"", "When it ended."),
            free("text", Form::Text, "\"Power cut in the hall\"", "Why, in words."),
            free("none", Form::True, "true", "There was none; the row then states nothing else."),
            source("\"Presiding officer's diary, page 3\""),
            by("\"Presiding Officer\""),
        ],
    ),
    period(
        "storage",
        "Where the unit was stored, sealed and switched off, or the statement that it was not stored; all times that are known have a row each, and rules ask only about these.",
        &[
            free("from", Form::Moment, "\"2031-05-10 20:15\"", "When the storage began."),
            free("to", Form::Moment, "\"2031-05-13 07:40\"", "When it ended."),
            free("text", Form::Text, "\"Strong room of Tarn Valley\"", "The place, in words."),
            free("none", Form::True, "true", "It was never stored; the row then states nothing else."),
            source("\"Register of the strong room, page 9\""),
            by("\"Returning Officer\""),
        ],
    ),
    period(
        "custody",
        "Who held the unit or its export, or the statement that nobody is known to have held it.",
        &[
            free("from", Form::Moment, "\"2031-05-13 17:00\"", "When the custody began."),
            free("to", Form::Moment, "\"2031-06-12 10:00\"", "When it ended."),
            free("text", Form::Text, "\"Court's registry, sealed bag 18\"", "The holder, in words."),
            free("none", Form::True, "true", "No custody is known; the row then states nothing else."),
            source("\"Registry's receipt 18\""),
            by("\"Registrar\""),
        ],
    ),
    Table {
        name: "setting",
        many: true,
        meaning: "What the local law or procedure sets.",
        keys: &[
            free("mock-votes-least", Form::Whole(1, u64::MAX), "50", "Least number of votes in a mock poll."),
            free(
                "drift-ppm",
                Form::Whole(0, 999_999),
                "100",
                "Bound on the rate of the unit's clock in parts per million, either way; instead of the unit description's.",
            ),
            free(
                "clock-line",
                Form::True,
                "true",
                "The clock may be taken to run at one constant rate, also across a setting whose record states both times: a narrower assumption.",
            ),
            free(
                "offset-tolerance-seconds",
                Form::Whole(0, 31_536_000),
                "60",
                "How far the displayed time may be off, either way.",
            ),
            free(
                "rate-tolerance-ppm",
                Form::Whole(0, 1_000_000),
                "20",
                "How far the rate of the clock may be off, either way.",
            ),
            free(
                "queue-minutes",
                Form::Whole(0, 1440),
                "60",
                "Minutes after the closing hour in which those who waited may still vote.",
            ),
            free(
                "close-within-minutes",
                Form::Whole(0, 1440),
                "30",
                "Minutes after the later of closing hour and last vote within which the close is expected.",
            ),
            free("seconds-per-vote", Form::Whole(1, 3600), "12", "Documented least time of one vote."),
            free("rule", Form::Id, "\"vote-after-close\"", "Id of the rule that rests on a clause."),
            free("clause", Form::Text, "\"No vote is taken after the close.\"", "Words of that clause."),
            source("\"Handbook for presiding officers, 14.2\""),
            by("\"Electoral Office of Kestrane\""),
        ],
        examples: &[
            &["mock-votes-least", "source", "by"],
            &[
                "drift-ppm",
                "clock-line",
                "offset-tolerance-seconds",
                "rate-tolerance-ppm",
                "queue-minutes",
                "close-within-minutes",
                "seconds-per-vote",
                "source",
                "by",
            ],
            &["rule", "clause", "source", "by"],
        ],
    },
];

const fn period(name: &'static str, meaning: &'static str, keys: &'static [Key]) -> Table {
    Table {
        name,
        many: true,
        meaning,
        keys,
        examples: &[&["from", "to", "text", "source", "by"], &["none", "source", "by"]],
    }
}

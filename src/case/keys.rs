//! The keys of a case file: one table, from which reader, errors, starter and manual read.

use super::words::{COUNTS, ENDS, FACTS, PHASES, ROLES};
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
        ],
        examples: &[&["title", "court", "number", "question", "requested-by", "examiner"]],
    },
    Table {
        name: "poll",
        many: true,
        meaning: "A poll, its day and its hours.",
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
            free("zone", Form::Zone, "\"+02:00\"", "Offset of the place's civil time from UTC."),
            source("\"Notice of poll, page 1\""),
            by("\"Returning Officer\""),
        ],
        examples: &[&["place", "date", "opens", "closes", "zone", "source", "by"]],
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
            source("\"Presiding officer's diary, page 2\""),
            by("\"Presiding Officer\""),
        ],
        examples: &[&["was", "records", "source", "by"], &["was", "lines", "source", "by"]],
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
            source("\"Form of result, part 1\""),
            by("\"Returning Officer\""),
        ],
        examples: &[&["of", "value", "source", "by"], &["of", "least", "most", "source", "by"]],
    },
    period(
        "interruption",
        "An interruption of the poll, or the statement that there was none.",
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
        "Where the unit was stored, sealed and switched off, or the statement that it was not stored.",
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
            free("rule", Form::Id, "\"vote-after-close\"", "Id of the rule that rests on a clause."),
            free("clause", Form::Text, "\"No vote is taken after the close.\"", "Words of that clause."),
            source("\"Handbook for presiding officers, 14.2\""),
            by("\"Electoral Office of Kestrane\""),
        ],
        examples: &[&["mock-votes-least", "source", "by"], &["rule", "clause", "source", "by"]],
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

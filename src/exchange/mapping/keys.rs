//! The keys of a mapping: one table, from which reader, errors and manual read.

use crate::sheet::{Choice, Form, Sheet, Table, free, needed};

/// The mapping as a sheet.
pub static SHEET: Sheet = Sheet {
    title: "mapping",
    purpose: "A mapping says how a table or printout that some other program wrote is to be read as an event log: where \
              number, time and event stand, and which of its words is which event. Nothing is guessed: what the mapping \
              does not state is not assumed. The original file, its lines and bytes stay the evidence. A word that the \
              mapping does not list is kept, shown and counted as an unknown event; a column that it does not list is \
              kept as an attribute of unknown meaning; a row that it does not fit is kept as an unread line.",
    tables: TABLES,
};

pub(super) const FORMS: &[Choice] = &[
    Choice { word: "delimited", meaning: "One row a line, columns parted by a character." },
    Choice {
        word: "spreadsheet",
        meaning: "A sheet of a spreadsheet (xlsx, ods), in programs built with the feature `spreadsheet`. A date cell \
                  reads `YYYY-MM-DD hh:mm:ss`, one of less than a day `hh:mm:ss`; a cell that holds a formula reads \
                  `[formula]`, for what it shows was computed and not recorded.",
    },
    Choice { word: "fixed", meaning: "One row a line, each column at the same character positions." },
    Choice {
        word: "pattern",
        meaning: "One row a line, its parts found by a regular expression with named groups.",
    },
];

pub(super) const ENCODINGS: &[Choice] = &[
    Choice { word: "utf-8", meaning: "UTF-8 (RFC 3629)." },
    Choice {
        word: "utf-16",
        meaning: "UTF-16 (RFC 2781), by its byte order mark; little-endian without one.",
    },
    Choice { word: "latin-1", meaning: "ISO/IEC 8859-1." },
];

pub(super) const HOLDS: &[Choice] = &[
    Choice { word: "number", meaning: "The record number: decimal digits." },
    Choice {
        word: "time",
        meaning: "The time, or a part of it; several columns are joined by a space, in the order of the mapping.",
    },
    Choice {
        word: "event",
        meaning: "The event's word, or a part of it; several columns are joined by a space.",
    },
    Choice { word: "unit", meaning: "The serial of the unit; rows of several units make several logs." },
    Choice { word: "attribute", meaning: "An attribute of the event; `attribute` names it." },
    Choice {
        word: "left-out",
        meaning: "Nothing that is read: it stays in the original file, is masked where the row is quoted, and is not written anew.",
    },
];

const TABLES: &[Table] = &[
    Table {
        name: "mapping",
        many: false,
        meaning: "What the mapping is for.",
        keys: &[
            needed("name", Form::Text, "\"Table of the maker's reader\"", "Name of the kind of export."),
            needed("version", Form::Text, "\"1\"", "Version of the mapping."),
            free("source", Form::Text, "\"Maker's manual, page 31\"", "The paper that describes the export."),
        ],
        examples: &[&["name", "version", "source"]],
    },
    Table {
        name: "file",
        many: false,
        meaning: "How the file is built.",
        keys: &[
            needed("form", Form::OneOf(FORMS), "\"delimited\"", "How a row is built."),
            free(
                "encoding",
                Form::OneOf(ENCODINGS),
                "\"utf-8\"",
                "How bytes stand for characters; `utf-8` where left out.",
            ),
            free(
                "separator",
                Form::Text,
                "\"semicolon\"",
                "For `delimited`: the character between columns, or one of the words `comma`, `semicolon`, `tab`, `bar`, `space`.",
            ),
            free(
                "quote",
                Form::Text,
                "\"none\"",
                "For `delimited`: the quotation mark around a cell, doubled inside one, or `none`; `\"` where left out.",
            ),
            free(
                "pattern",
                Form::Text,
                "'^(?<number>\\d+) (?<time>\\S+ \\S+) (?<event>.+)$'",
                "For `pattern`: a regular expression that fits a whole row; a column names its group.",
            ),
            free(
                "sheet",
                Form::Text,
                "\"Log\"",
                "For `spreadsheet`: the name of the sheet; the first where left out.",
            ),
            free(
                "skip-first",
                Form::Whole(0, 10_000),
                "2",
                "Lines before the table; they are kept as comments.",
            ),
            free(
                "skip-matching",
                Form::Texts,
                "['^Page \\d+', '^-+$']",
                "Regular expressions; a line that one of them finds something in is no row, and is kept as a comment.",
            ),
            free(
                "column-names",
                Form::Truth,
                "true",
                "For `delimited` and `spreadsheet`: whether the first row names the columns; `false` where left out.",
            ),
            free(
                "newest-first",
                Form::Truth,
                "true",
                "Whether the newest record stands first; `false` where left out.",
            ),
            free(
                "ignore-case",
                Form::Truth,
                "true",
                "Whether event words are the same in capitals and small letters; `false` where left out.",
            ),
        ],
        examples: &[
            &[
                "form",
                "encoding",
                "separator",
                "quote",
                "skip-first",
                "column-names",
                "newest-first",
                "ignore-case",
            ],
            &["pattern", "skip-matching"],
            &["sheet"],
        ],
    },
    Table {
        name: "column",
        many: true,
        meaning: "One column: where it stands, and what it holds.",
        keys: &[
            free("name", Form::Text, "\"Event\"", "Its name in the row of names."),
            free("place", Form::Whole(1, 256), "3", "Its place among the columns, from 1."),
            free(
                "positions",
                Form::Range(1),
                "\"1-8\"",
                "For `fixed`: its first and last character position, from 1.",
            ),
            free("group", Form::Text, "\"event\"", "For `pattern`: its group in the expression."),
            needed("holds", Form::OneOf(HOLDS), "\"event\"", "What it holds."),
            free("attribute", Form::Id, "\"bu\"", "For `holds = \"attribute\"`: the attribute's key."),
        ],
        examples: &[
            &["name", "holds"],
            &["place", "holds", "attribute"],
            &["positions", "holds"],
            &["group", "holds"],
        ],
    },
    Table {
        name: "time",
        many: false,
        meaning: "How times are written. The order of day and month is stated here and never guessed.",
        keys: &[
            needed(
                "pattern",
                Form::Text,
                "\"MM/DD/YYYY hh:mm:ss AM\"",
                "`YYYY` or `YY`, `MM`, `M` or `MMM` (a name), `DD` or `D`, `hh` or `h`, `mm`, `ss`, `f` (digits of a fraction), \
                 `AM` (the mark of a half day); anything else stands for itself.",
            ),
            free(
                "months",
                Form::Texts,
                "[\"Jan\", \"Feb\", \"Mar\", \"Apr\", \"May\", \"Jun\", \"Jul\", \"Aug\", \"Sep\", \"Oct\", \"Nov\", \"Dec\"]",
                "For `MMM`: the twelve names, in order.",
            ),
            free(
                "half-days",
                Form::Texts,
                "[\"AM\", \"PM\"]",
                "For `AM`: the marks before and after noon; `AM` and `PM` where left out.",
            ),
            free("century", Form::Whole(0, 99), "20", "For `YY`: the first two digits of the year."),
            free(
                "none",
                Form::Texts,
                "[\"--\", \"n/a\"]",
                "What stands where a row has no time; an empty cell always does.",
            ),
        ],
        examples: &[&["pattern", "half-days", "none"], &["pattern", "months", "century"]],
    },
    Table {
        name: "word",
        many: true,
        meaning: "What stands in the event column, and which event it is (grammar/events.md).",
        keys: &[
            free("text", Form::Text, "\"SELF CHECK OK\"", "The text, as it stands there."),
            free(
                "pattern",
                Form::Text,
                "'^SELF CHECK (?<result>pass|fail)$'",
                "A regular expression instead of a text; it must fit the whole text, and each named group becomes an attribute (`_` in its name for `-`). What it does not name is masked near votes.",
            ),
            needed("event", Form::Id, "\"self-test\"", "The event's word in the neutral format."),
            free(
                "attributes",
                Form::Texts,
                "[\"result=pass\"]",
                "Attributes that the text itself says, `key=value` each.",
            ),
        ],
        examples: &[&["text", "event", "attributes"], &["pattern", "event"]],
    },
    Table {
        name: "value",
        many: true,
        meaning: "What a value of an attribute column is in the neutral format.",
        keys: &[
            needed("attribute", Form::Id, "\"result\"", "The attribute."),
            needed("text", Form::Text, "\"OK\"", "The text, as it stands there."),
            needed("value", Form::Text, "\"pass\"", "The value in the neutral format."),
        ],
        examples: &[&["attribute", "text", "value"]],
    },
    Table {
        name: "header",
        many: true,
        meaning: "A statement about the whole log that stands on a line outside the table.",
        keys: &[
            needed(
                "key",
                Form::Id,
                "\"serial\"",
                "The header's key in the neutral format; the expression sees the line as it stands, separators and quotation marks included, and only lines above the first row.",
            ),
            needed(
                "pattern",
                Form::Text,
                "'^Serial No:? *([^;,\\s]+)'",
                "A regular expression; its first group is the value.",
            ),
        ],
        examples: &[&["key", "pattern"]],
    },
];

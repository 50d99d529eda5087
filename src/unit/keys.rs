//! The keys of a unit description: one table, from which reader, errors and manual read.

use crate::sheet::{Choice, Form, Sheet, Table, free, needed};

/// The unit description as a sheet.
pub static SHEET: Sheet = Sheet {
    title: "unit description",
    purpose: "A unit description says what a unit of one model and year does. Every report prints it with its SHA-256, \
              for 'established' always means: *given this description and an export faithful to the unit*. What is not \
              known is left out, and the key says what follows from that.",
    tables: TABLES,
};

/// The moves that may leave no record.
pub(super) const UNLOGGED: &[Choice] = &[
    Choice { word: "power-loss", meaning: "The power goes away without the switch." },
    Choice { word: "enable-lapse", meaning: "An enable ends without a vote." },
];

const TABLES: &[Table] = &[
    Table {
        name: "unit",
        many: false,
        meaning: "What the unit is and keeps.",
        keys: &[
            needed("name", Form::Text, "\"Kestrane unit\"", "Name of the unit described."),
            needed("version", Form::Text, "\"1\"", "Version of the description."),
            needed(
                "keeps",
                Form::Whole(1, 1_000_000_000),
                "1000",
                "Number of records that the unit keeps before it overwrites the oldest.",
            ),
            free(
                "first-number",
                Form::Whole(0, u64::MAX),
                "1",
                "Record number of a new unit's first record; left out where not known.",
            ),
            free(
                "number-step",
                Form::Whole(1, u64::MAX),
                "1",
                "Step from one record number to the next; left out where numbers follow no stated step.",
            ),
            free(
                "number-digits",
                Form::Whole(1, 19),
                "10",
                "Number of decimal digits after which the record number starts again at 0, so that no number by itself shows \
                 the unit's first record; left out: it never does.",
            ),
            needed("ballot-units", Form::Whole(1, 255), "4", "Most ballot units that can be linked at once."),
            needed("buttons", Form::Whole(1, 255), "16", "Buttons on each ballot unit."),
            needed(
                "power-cycle-cancels-enable",
                Form::Truth,
                "true",
                "Whether switching off and on cancels an enable that waits for its vote.",
            ),
            needed("links-recorded", Form::Truth, "true", "Whether each change of a link leaves a record."),
            needed("export-recorded", Form::Truth, "true", "Whether an export ends with a record of itself."),
            needed(
                "unlogged",
                Form::SomeOf(UNLOGGED),
                "[\"power-loss\"]",
                "Moves that leave no record; [] where there is none.",
            ),
            free(
                "least-ms-per-vote",
                Form::Whole(1, 3_600_000),
                "1500",
                "Least time that one vote takes, in milliseconds, where documented.",
            ),
            free(
                "battery-mv",
                Form::Whole(1, 1_000_000),
                "7500",
                "Nominal voltage of the battery in millivolts.",
            ),
        ],
        examples: &[&[
            "name",
            "version",
            "keeps",
            "first-number",
            "number-step",
            "number-digits",
            "ballot-units",
            "buttons",
            "power-cycle-cancels-enable",
            "links-recorded",
            "export-recorded",
            "unlogged",
            "least-ms-per-vote",
            "battery-mv",
        ]],
    },
    Table {
        name: "clock",
        many: false,
        meaning: "How far the rate of the unit's clock may be off; left out where nothing is documented.",
        keys: &[
            needed(
                "ppm",
                Form::Whole(1, 999_999),
                "100",
                "Bound on the rate in parts per million, either way.",
            ),
            needed("source", Form::Text, "\"Maker's manual, page 14\"", "Where the bound is written."),
        ],
        examples: &[&["ppm", "source"]],
    },
    Table {
        name: "refusal",
        many: true,
        meaning: "A key that the unit does not accept in some state.",
        keys: &[
            needed("key", Form::Text, "\"enable\"", "The key."),
            needed("when", Form::Text, "\"an enable waits for its vote\"", "When it is refused, in words."),
            needed("logged", Form::Truth, "true", "Whether the refusal leaves a record."),
        ],
        examples: &[&["key", "when", "logged"]],
    },
];

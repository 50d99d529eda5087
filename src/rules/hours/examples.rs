//! Case files of the examples of this family: hours, labels, readings, periods.

/// Rows of a case file: a paper and who asserts it stand behind each.
macro_rules! rows {
    ($($table:literal: $keys:literal;)*) => {
        concat!($("[[", $table, "]]\n", $keys, "\nsource = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n\n"),*)
    };
}

/// The hours of the demonstration's world, and rows beside them.
macro_rules! poll {
    ($($table:literal: $keys:literal;)*) => {
        rows!(
            "poll": "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"";
            "setting": "drift-ppm = 100";
            $($table: $keys;)*
        )
    };
}

/// A clock that was right to a few seconds.
macro_rules! right {
    ($($table:literal: $keys:literal;)*) => {
        poll!(
            "reading": "displayed = \"2031-05-10 06:40:00\"\nreference = \"2031-05-10 06:40:00\"\nwithin-seconds = 5\nclock-not-set = true";
            "reading": "displayed = \"2031-05-10 18:20:00\"\nreference = \"2031-05-10 18:20:00\"\nwithin-seconds = 5\nclock-not-set = true";
            $($table: $keys;)*
        )
    };
}

pub(super) const BEFORE: &str = right!("phase": "was = \"poll\"\nrecords = \"1201-1204\"";);

pub(super) const SLOW: &str = poll!(
    "reading": "displayed = \"2031-05-10 06:40:00\"\nreference = \"2031-05-10 06:50:00\"\nwithin-seconds = 5\nclock-not-set = true";
    "phase": "was = \"poll\"\nrecords = \"1201-1204\"";
);

pub(super) const NO_READING: &str = poll!("phase": "was = \"poll\"\nrecords = \"1201-1204\"";);

pub(super) const QUEUE: &str = right!(
    "phase": "was = \"poll\"\nrecords = \"1201-1207\"";
    "count": "of = \"tokens\"\nvalue = 2";
    "setting": "queue-minutes = 30";
);

pub(super) const FAST: &str = poll!(
    "reading": "displayed = \"2031-05-10 18:20:00\"\nreference = \"2031-05-10 18:15:00\"\nwithin-seconds = 5\nclock-not-set = true";
    "phase": "was = \"poll\"\nrecords = \"1201-1205\"";
);

pub(super) const AT_THE_HOUR: &str = right!("phase": "was = \"poll\"\nrecords = \"1201-1203\"";);

pub(super) const SLOW_CLOSE: &str = poll!(
    "reading": "displayed = \"2031-05-10 18:20:00\"\nreference = \"2031-05-10 18:30:00\"\nwithin-seconds = 5\nclock-not-set = true";
    "phase": "was = \"poll\"\nrecords = \"1201-1203\"";
);

pub(super) const WITHIN_15: &str = right!(
    "phase": "was = \"poll\"\nrecords = \"1201-1203\"";
    "setting": "close-within-minutes = 15";
);

/// An adjourned poll: nobody came on the second day, and the unit was closed at its hour.
pub(super) const ADJOURNED_WITHIN_15: &str = rows!(
    "poll": "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"";
    "poll": "date = \"2031-05-11\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"";
    "setting": "drift-ppm = 100";
    "reading": "displayed = \"2031-05-11 18:20:00\"\nreference = \"2031-05-11 18:20:00\"\nwithin-seconds = 5\nclock-not-set = true";
    "phase": "was = \"poll\"\nrecords = \"1201-1203\"";
    "setting": "close-within-minutes = 15";
);

pub(super) const MOCK: &str = right!(
    "phase": "was = \"mock-poll\"\nrecords = \"1201-1205\"";
    "phase": "was = \"poll\"\nrecords = \"1206-1208\"";
);

pub(super) const MOCK_OF_ANOTHER: &str = right!(
    "phase": "was = \"mock-poll\"\nrecords = \"1201-1205\"";
    "phase": "was = \"poll\"\nrecords = \"1206-1208\"";
    "fact": "what = \"unit-took-anothers-place\"";
);

pub(super) const STORED: &str = right!(
    "phase": "was = \"poll\"\nrecords = \"1201-1204\"";
    "storage": "from = \"2031-05-10 20:15\"\nto = \"2031-05-13 07:40\"";
);

pub(super) const COUNTED: &str = right!(
    "phase": "was = \"poll\"\nrecords = \"1201-1206\"";
    "storage": "from = \"2031-05-10 20:15\"\nto = \"2031-05-13 07:40\"";
);

/// The log holds nothing of the poll but its result.
pub(super) const RESULT_ALONE: &str = right!(
    "phase": "was = \"count\"\nrecords = \"1204-1205\"";
    "storage": "from = \"2031-05-10 20:15\"\nto = \"2031-05-13 07:40\"";
);

pub(super) const INTERRUPTED: &str = right!(
    "phase": "was = \"poll\"\nrecords = \"1201-1204\"";
    "interruption": "from = \"2031-05-10 11:20\"\nto = \"2031-05-10 11:45\"";
);

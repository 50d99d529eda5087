//! Case files of the examples of this family.

/// Rows of a case file: a paper and who asserts it stand behind each.
macro_rules! rows {
    ($($table:literal: $keys:literal;)*) => {
        concat!(
            "[[poll]]\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\"\n",
            "source = \"Notice of poll\"\nby = \"Registrar\"\n\n",
            $("[[", $table, "]]\n", $keys, "\nsource = \"Presiding officer's diary\"\nby = \"Presiding officer\"\n\n"),*
        )
    };
}

pub(super) const FOUR_BEHIND: &str = rows!(
    "setting": "offset-tolerance-seconds = 60";
    "reading": "displayed = \"2031-05-10 06:31:00\"\nreference = \"2031-05-10 06:35:00\"\nwithin-seconds = 2\nafter-record = 1201";
);

pub(super) const A_MINUTE_BEHIND: &str = rows!(
    "setting": "offset-tolerance-seconds = 60";
    "reading": "displayed = \"2031-05-10 06:31:00\"\nreference = \"2031-05-10 06:32:00\"\nwithin-seconds = 2\nafter-record = 1201";
);

/// A minute and a second lost in fifteen hours, and a little more.
pub(super) const MINUTE_LOST: &str = rows!(
    "reading": "displayed = \"2031-05-10 05:00:00\"\nreference = \"2031-05-10 05:00:00\"\nwithin-seconds = 0\nafter-record = 1201";
    "reading": "displayed = \"2031-05-10 20:00:00\"\nreference = \"2031-05-10 20:01:03\"\nwithin-seconds = 0\nafter-record = 1202";
);

pub(super) const MINUTE_KEPT: &str = rows!(
    "reading": "displayed = \"2031-05-10 05:00:00\"\nreference = \"2031-05-10 05:00:00\"\nwithin-seconds = 0\nafter-record = 1201";
    "reading": "displayed = \"2031-05-10 20:00:00\"\nreference = \"2031-05-10 20:00:57\"\nwithin-seconds = 0\nafter-record = 1202";
);

pub(super) const POLL: &str = rows!("phase": "was = \"poll\"\nrecords = \"1201-1206\"";);

/// The same poll, said to have been held on no other day.
pub(super) const POLL_OF_ONE_DAY: &str = rows!(
    "poll": "date = \"2031-05-10\"\nonly-day = true";
    "phase": "was = \"poll\"\nrecords = \"1201-1206\"";
);

pub(super) const CONFLICT: &str = rows!(
    "setting": "drift-ppm = 100";
    "reading": "displayed = \"2031-05-10 06:40:00\"\nreference = \"2031-05-10 06:40:00\"\nwithin-seconds = 5\nafter-record = 1201";
    "reading": "displayed = \"2031-05-10 12:40:00\"\nreference = \"2031-05-10 13:40:00\"\nwithin-seconds = 5\nafter-record = 1201";
    "reading": "displayed = \"2031-05-10 18:40:00\"\nreference = \"2031-05-10 18:40:00\"\nwithin-seconds = 5\nafter-record = 1201";
);

pub(super) const AGREE: &str = rows!(
    "setting": "drift-ppm = 100";
    "reading": "displayed = \"2031-05-10 06:40:00\"\nreference = \"2031-05-10 06:40:00\"\nwithin-seconds = 5\nclock-not-set = true";
    "reading": "displayed = \"2031-05-10 12:40:00\"\nreference = \"2031-05-10 12:40:10\"\nwithin-seconds = 5\nclock-not-set = true";
);

pub(super) const HALF_DAY: &str = rows!(
    "reading": "displayed = \"2031-05-10 18:31:00\"\nreference = \"2031-05-10 06:31:00\"\nwithin-seconds = 5\nafter-record = 1201";
);

pub(super) const RIGHT: &str = rows!(
    "reading": "displayed = \"2031-05-10 06:31:00\"\nreference = \"2031-05-10 06:31:00\"\nwithin-seconds = 5\nafter-record = 1201";
);

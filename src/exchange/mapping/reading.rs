//! Reading a mapping: rows of its sheet become what they mean, and what they cannot mean becomes a trouble.

use regex_lite::Regex;

use super::{At, Column, Form, Holds, Mapping, Text, TimePattern, Word};
use crate::event::Event;
use crate::sheet::{Row, Troubles};
use crate::source::{Digest, Encoding, Span};

/// Turns rows of a sheet into a mapping; what they cannot mean becomes a trouble.
pub(super) struct Reader<'r, 't> {
    pub(super) rows: &'r [Row],
    pub(super) troubles: &'r mut Troubles<'t>,
}

impl<'r> Reader<'r, '_> {
    fn of(&self, table: &'static str) -> impl Iterator<Item = &'r Row> + use<'r> {
        self.rows.iter().filter(move |row| row.table.name == table)
    }

    pub(super) fn mapping(&mut self, digest: Digest) -> Option<Mapping> {
        let (Some(title), Some(file)) = (self.of("mapping").next(), self.of("file").next()) else {
            if self.troubles.is_empty() {
                let help =
                    "begin with [mapping] (name, version), [file] (form), and one [[column]] for each column";
                self.troubles.lack(Span::default(), "the tables `[mapping]` and `[file]` are needed", help);
            }
            return None;
        };
        if !self.rows.iter().all(Row::is_sound) {
            return None;
        }
        let form = self.form(file);
        let skip: Vec<Regex> = file
            .texts("skip-matching")
            .unwrap_or_default()
            .iter()
            .filter_map(|pattern| self.regex(pattern, file.span("skip-matching")))
            .collect();
        let columns: Vec<Column> =
            self.of("column").filter_map(|row| self.column(row, form.as_ref())).collect();
        let time = self.of("time").next().and_then(|row| self.time(row));
        let words: Vec<Word> = self.of("word").filter_map(|row| self.word(row)).collect();
        let values = self
            .of("value")
            .filter_map(|row| Some((row.text("attribute")?, row.text("text")?, row.text("value")?)))
            .collect();
        let headers = self
            .of("header")
            .filter_map(|row| {
                let regex = self.regex(&row.text("pattern")?, row.span("pattern"))?;
                if regex.captures_len() < 2 {
                    let help = "put the part that is the value in brackets: 'Serial: (\\S+)'";
                    self.troubles.add(row.span("pattern"), "the expression has no group", help);
                }
                Some((row.text("key")?, regex))
            })
            .collect();
        self.whole(file, &columns, &words, self.of("time").next().is_some());
        Some(Mapping {
            name: title.text("name")?,
            version: title.text("version")?,
            digest,
            form: form?,
            encoding: file.text("encoding").and_then(|word| Encoding::of_word(&word)).unwrap_or_default(),
            sheet: file.text("sheet"),
            skip_first: file.whole("skip-first").and_then(|n| usize::try_from(n).ok()).unwrap_or(0),
            skip,
            names: file.truth("column-names").unwrap_or(false),
            newest_first: file.truth("newest-first").unwrap_or(false),
            ignore_case: file.truth("ignore-case").unwrap_or(false),
            columns,
            time,
            words,
            values,
            headers,
        })
    }

    fn form(&mut self, file: &Row) -> Option<Form> {
        let stated = file.text("form")?;
        for (key, form) in [
            ("separator", "delimited"),
            ("quote", "delimited"),
            ("pattern", "pattern"),
            ("sheet", "spreadsheet"),
        ] {
            if file.has(key) && stated != form {
                let message = format!("`{key}` says nothing where the form is `{stated}`");
                self.troubles.add(
                    file.span(key),
                    &message,
                    &format!("take it out, or write form = \"{form}\""),
                );
            }
        }
        match stated.as_str() {
            "delimited" => {
                let Some(separator) = file.text("separator") else {
                    let help = "add, for instance, separator = \"semicolon\"";
                    self.troubles.lack(file.header, "`separator` is missing: the form is `delimited`", help);
                    return None;
                };
                let separator = self.character(file, "separator", &separator)?;
                let quote = match file.text("quote") {
                    None => Some(b'"'),
                    Some(none) if none == "none" => None,
                    Some(quote) => Some(self.character(file, "quote", &quote)?),
                };
                if quote == Some(separator) {
                    let help = "two different characters, or quote = \"none\"";
                    self.troubles.add(file.span("quote"), "quotation mark and separator are the same", help);
                }
                Some(Form::Delimited { separator, quote })
            }
            "fixed" => Some(Form::Fixed),
            "spreadsheet" => Some(Form::Spreadsheet),
            _ => {
                let Some(pattern) = file.text("pattern") else {
                    let help = "add pattern = '...' with named groups: (?<event>...)";
                    self.troubles.lack(file.header, "`pattern` is missing: the form is `pattern`", help);
                    return None;
                };
                self.regex(&pattern, file.span("pattern")).map(Form::Pattern)
            }
        }
    }

    fn character(&mut self, file: &Row, key: &str, text: &str) -> Option<u8> {
        let named = [("comma", b','), ("semicolon", b';'), ("tab", b'\t'), ("bar", b'|'), ("space", b' ')];
        let by_name = named.iter().find(|(name, _)| *name == text).map(|(_, byte)| *byte);
        let single = match text.as_bytes() {
            [byte] if byte.is_ascii_graphic() && !byte.is_ascii_alphanumeric() => Some(*byte),
            _ => None,
        };
        if by_name.or(single).is_none() {
            let message = format!("the value of `{key}` is no single character");
            let help =
                "write one of comma, semicolon, tab, bar, space, or the character itself, such as \";\"";
            self.troubles.add(file.span(key), &message, help);
        }
        by_name.or(single)
    }

    fn regex(&mut self, pattern: &str, span: Span) -> Option<Regex> {
        match Regex::new(pattern) {
            Ok(regex) => Some(regex),
            Err(error) => {
                let help = "the syntax is that of the crate regex-lite; between apostrophes a backslash stands for itself";
                self.troubles.add(span, &format!("not a regular expression: {error}"), help);
                None
            }
        }
    }

    fn column(&mut self, row: &Row, form: Option<&Form>) -> Option<Column> {
        let place = |number: u64| usize::try_from(number).unwrap_or(usize::MAX);
        let stated: Vec<At> = [
            row.text("name").map(At::Name),
            row.whole("place").map(|number| At::Place(place(number))),
            row.range("positions").map(|(first, last)| At::Positions(place(first), place(last))),
            row.text("group").map(At::Group),
        ]
        .into_iter()
        .flatten()
        .collect();
        let fits = |at: &At| match form {
            Some(Form::Delimited { .. } | Form::Spreadsheet) => matches!(at, At::Name(_) | At::Place(_)),
            Some(Form::Fixed) => matches!(at, At::Positions(..)),
            Some(Form::Pattern(regex)) => {
                matches!(at, At::Group(group) if regex.capture_names().flatten().any(|name| name == group))
            }
            None => true,
        };
        let at = match stated.as_slice() {
            [at] if fits(at) => at.clone(),
            _ => {
                let help = "for `delimited` and `spreadsheet`: name or place; for `fixed`: positions; for `pattern`: group, one that stands in \
                            the expression";
                self.troubles.add(
                    row.header,
                    "the column does not say once, and fittingly, where it stands",
                    help,
                );
                return None;
            }
        };
        let holds = match row.text("holds")?.as_str() {
            "number" => Holds::Number,
            "time" => Holds::Time,
            "event" => Holds::Event,
            "unit" => Holds::Unit,
            "left-out" => Holds::LeftOut,
            _ => {
                let Some(key) = row.text("attribute") else {
                    let help = "add attribute = \"bu\", with its key";
                    self.troubles.lack(row.header, "`attribute` is missing: the column holds one", help);
                    return None;
                };
                Holds::Attribute(key)
            }
        };
        if row.has("attribute") && !matches!(holds, Holds::Attribute(_)) {
            let help = "take it out, or write holds = \"attribute\"";
            self.troubles.add(
                row.span("attribute"),
                "`attribute` says nothing where the column holds something else",
                help,
            );
        }
        Some(Column { at, holds })
    }

    fn time(&mut self, row: &Row) -> Option<TimePattern> {
        let pattern = TimePattern::read(
            &row.text("pattern")?,
            row.texts("months"),
            row.texts("half-days"),
            row.whole("century"),
            row.texts("none").unwrap_or_default(),
        );
        match pattern {
            Ok(pattern) => Some(pattern),
            Err((message, help)) => {
                self.troubles.add(row.span("pattern"), message, help);
                None
            }
        }
    }

    fn word(&mut self, row: &Row) -> Option<Word> {
        let word = row.text("event")?;
        let event = Event::of_word(word.as_bytes());
        if event == Event::Unknown {
            let near = crate::sheet::near_miss(&word, crate::event::EVENTS.iter().map(|entry| entry.word));
            let help = near.map_or_else(
                || {
                    "grammar/events.md lists the words; leave a text out whose event is not among them"
                        .to_owned()
                },
                |near| format!("did you mean `{near}`? grammar/events.md lists the words"),
            );
            self.troubles.add(row.span("event"), "the vocabulary has no such event", &help);
        }
        let text = match (row.text("text"), row.text("pattern")) {
            (Some(text), None) => Text::Whole(text.trim().to_owned()),
            (None, Some(pattern)) => Text::Pattern(self.regex(&pattern, row.span("pattern"))?),
            _ => {
                self.troubles.add(
                    row.header,
                    "a word has a text or a pattern",
                    "write one of the two, not both",
                );
                return None;
            }
        };
        let mut attributes = Vec::new();
        for stated in row.texts("attributes").unwrap_or_default() {
            match stated.split_once('=') {
                Some((key, value)) if event.knows(key) && !value.is_empty() => {
                    attributes.push((key.to_owned(), value.to_owned()));
                }
                _ => {
                    let help = "write key=value with a key that grammar/events.md has on this event: \"result=pass\"";
                    self.troubles.add(row.span("attributes"), "not an attribute of this event", help);
                }
            }
        }
        Some(Word { text, event, attributes })
    }

    /// What only the whole mapping can lack.
    fn whole(&mut self, file: &Row, columns: &[Column], words: &[Word], time: bool) {
        if !columns.iter().any(|column| column.holds == Holds::Event) {
            let help = "add a [[column]] with holds = \"event\"";
            self.troubles.lack(file.header, "no column holds the event", help);
        }
        for (holds, what) in [(Holds::Number, "number"), (Holds::Unit, "unit")] {
            if columns.iter().filter(|column| column.holds == holds).count() > 1 {
                let message = format!("more than one column holds the {what}");
                self.troubles.lack(file.header, &message, "keep one of them; another may hold an attribute");
            }
        }
        for (place, column) in columns.iter().enumerate() {
            if columns.iter().take(place).any(|other| other.at == column.at) {
                let help = "each column is stated once";
                self.troubles.lack(file.header, "one column of the file is stated twice", help);
            }
        }
        let positions = columns.iter().filter_map(|column| match column.at {
            At::Positions(first, last) => Some((first, last)),
            _ => None,
        });
        let mut positions: Vec<(usize, usize)> = positions.collect();
        positions.sort_unstable();
        if positions.windows(2).any(|pair| matches!(pair, [(_, last), (first, _)] if first <= last)) {
            let help = "each position belongs to one column";
            self.troubles.lack(file.header, "the positions of two columns overlap", help);
        }
        let mut values: Vec<(Option<String>, Option<String>)> =
            self.of("value").map(|row| (row.text("attribute"), row.text("text"))).collect();
        values.sort_unstable();
        if values.windows(2).any(|pair| matches!(pair, [one, other] if one == other)) {
            let help = "each text of an attribute has one value";
            self.troubles.lack(file.header, "one text of an attribute is given two values", help);
        }
        let ignore_case = file.truth("ignore-case") == Some(true);
        for (place, word) in words.iter().enumerate() {
            let text = |word: &Word| match &word.text {
                Text::Whole(text) if ignore_case => Some(text.to_lowercase()),
                Text::Whole(text) => Some(text.clone()),
                Text::Pattern(_) => None,
            };
            if text(word)
                .is_some_and(|this| words.iter().take(place).any(|other| text(other) == Some(this.clone())))
            {
                let help = "each text has one event";
                self.troubles.lack(file.header, "one text of the event column is mapped twice", help);
            }
        }
        if time && !columns.iter().any(|column| column.holds == Holds::Time) {
            let help = "add a [[column]] with holds = \"time\", or take [time] out";
            self.troubles.lack(
                file.header,
                "[time] says how times are written, and no column holds one",
                help,
            );
        }
        let timed = columns.iter().any(|column| column.holds == Holds::Time);
        if timed && !time {
            let help = "add [time] with its pattern, such as pattern = \"DD.MM.YYYY hh:mm:ss\"";
            self.troubles.lack(
                file.header,
                "a column holds the time, and nothing says how it is written",
                help,
            );
        }
        let named = columns.iter().any(|column| matches!(column.at, At::Name(_)));
        if named && file.truth("column-names") != Some(true) {
            let help = "add column-names = true under [file], or state the columns by place";
            self.troubles.lack(file.header, "columns are stated by name, and no row names them", help);
        }
    }
}

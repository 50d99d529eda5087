//! The mapping: how a table or printout of another program is to be read, as data.

use regex_lite::Regex;

use crate::event::Event;
use crate::sheet::{Row, Sheet, Trouble, Troubles, decode, read};
use crate::source::{Digest, Encoding, Span};

mod keys;
mod time;

pub use keys::SHEET;
pub(super) use time::TimePattern;

/// How one kind of foreign export is read.
#[derive(Debug)]
pub struct Mapping {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of its file.
    pub digest: Digest,
    pub(super) form: Form,
    pub(super) encoding: Encoding,
    pub(super) sheet: Option<String>,
    pub(super) skip_first: usize,
    pub(super) skip: Vec<Regex>,
    pub(super) names: bool,
    pub(super) newest_first: bool,
    pub(super) ignore_case: bool,
    pub(super) columns: Vec<Column>,
    pub(super) time: Option<TimePattern>,
    pub(super) words: Vec<Word>,
    pub(super) values: Vec<(String, String, String)>,
    pub(super) headers: Vec<(String, Regex)>,
}

/// How a row is built.
#[derive(Debug)]
pub(super) enum Form {
    Delimited {
        separator: u8,
        quote: Option<u8>,
    },
    /// The rows of a spreadsheet, read as a text with tabs between the cells.
    Spreadsheet,
    Fixed,
    Pattern(Regex),
}

/// Where a column stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum At {
    Name(String),
    Place(usize),
    Positions(usize, usize),
    Group(String),
}

/// What a column holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Holds {
    Number,
    Time,
    Event,
    Unit,
    Attribute(String),
}

/// A column that the mapping names.
#[derive(Debug)]
pub(super) struct Column {
    pub(super) at: At,
    pub(super) holds: Holds,
}

/// A text of the event column, and what it is.
#[derive(Debug)]
pub(super) struct Word {
    pub(super) text: Text,
    pub(super) event: Event,
    pub(super) attributes: Vec<(String, String)>,
}

/// How a text of the event column is recognised.
#[derive(Debug)]
pub(super) enum Text {
    Whole(String),
    Pattern(Regex),
}

impl Mapping {
    /// Reads a mapping from the bytes of its file.
    ///
    /// # Errors
    /// Every place where the file is no TOML, or states something that a mapping does not know or cannot mean.
    pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<Mapping, Vec<Trouble>> {
        let text = decode(name, bytes)?;
        let (rows, mut troubles) = read(&SHEET, name, text);
        let mapping = Reader { rows: &rows, troubles: &mut troubles }.mapping(Digest::of(bytes));
        let troubles = troubles.finish();
        match mapping {
            Some(mapping) if troubles.is_empty() => Ok(mapping),
            _ => Err(troubles),
        }
    }

    /// Name, version and digest in words, for a report.
    #[must_use]
    pub fn words(&self) -> String {
        format!("mapping '{}', version {}, SHA-256 {}", self.name, self.version, self.digest)
    }
}

/// `grammar/mapping.md`: the keys of a mapping as a page for the person who writes one.
#[must_use]
pub fn manual() -> String {
    let faults = crate::syntax::fault_manual(true);
    let closing = format!(
        "\n## What happens to a file that the mapping does not fit\n\nA mapping that names a column that is not there, or \
         that fits no row at all, is an error, and nothing is examined. Otherwise every row is kept:\n\n{faults}"
    );
    Sheet::manual(&SHEET, "The mapping", "src/exchange/mapping/keys.rs", &closing)
}

/// Turns rows of a sheet into a mapping; what they cannot mean becomes a trouble.
struct Reader<'r, 't> {
    rows: &'r [Row],
    troubles: &'r mut Troubles<'t>,
}

impl<'r> Reader<'r, '_> {
    fn of(&self, table: &'static str) -> impl Iterator<Item = &'r Row> + use<'r> {
        self.rows.iter().filter(move |row| row.table.name == table)
    }

    fn mapping(&mut self, digest: Digest) -> Option<Mapping> {
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
        let words = self.of("word").filter_map(|row| self.word(row)).collect();
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
        self.whole(file, &columns, time.is_some());
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
        match file.text("form")?.as_str() {
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
            _ => {
                let Some(key) = row.text("attribute") else {
                    let help = "add attribute = \"bu\", with its key";
                    self.troubles.lack(row.header, "`attribute` is missing: the column holds one", help);
                    return None;
                };
                Holds::Attribute(key)
            }
        };
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
    fn whole(&mut self, file: &Row, columns: &[Column], time: bool) {
        if !columns.iter().any(|column| column.holds == Holds::Event) {
            let help = "add a [[column]] with holds = \"event\"";
            self.troubles.lack(file.header, "no column holds the event", help);
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

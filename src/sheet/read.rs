//! Reading a sheet: from TOML with spans to rows whose every value has its form, with all troubles on the way.

use toml::Spanned;
use toml::de::{DeTable, DeValue, Error};

use super::form::Content;
use super::secrecy::spoken;
use super::{Key, MOST_ROWS, Sheet, Table, Troubles, near_miss};
use crate::source::Span;

/// Why an error does not say which word it is about.
const NOT_REPEATED: &str = "the word is not repeated, for it may name a choice or a person";

/// Reads a sheet whose text [`super::decode`] has let through. Rows come in the order of the file; a row that lacks a
/// required key is left out, for it is a trouble already.
pub(crate) fn read<'t>(sheet: &'t Sheet, name: &'t str, text: &'t str) -> (Vec<Row>, Troubles<'t>) {
    let mut reader = Reader { sheet, troubles: Troubles::new(sheet, name, text), rows: Vec::new() };
    let (root, errors) = DeTable::parse_recoverable(text);
    for error in &errors {
        reader.tear(error);
    }
    for (key, value) in root.get_ref() {
        reader.table(key.get_ref(), span(key), value);
    }
    let Reader { mut troubles, mut rows, .. } = reader;
    rows.sort_by_key(|row| row.header.start);
    if let Some(row) = rows.get(MOST_ROWS) {
        let message = format!("this is row {} of the file; at most {MOST_ROWS} are read", MOST_ROWS + 1);
        troubles.add(row.header, &message, "split the file, or take out what is not meant for it");
    }
    rows.truncate(MOST_ROWS);
    (rows, troubles)
}

/// One table of a sheet as filled in.
pub(crate) struct Row {
    /// Which table.
    pub(crate) table: &'static Table,
    /// Its header.
    pub(crate) header: Span,
    /// Line of the header, from 1.
    pub(crate) line: usize,
    entries: Vec<Entry>,
}

/// One key of a row: its value is absent where it had not its form, which is a trouble already.
struct Entry {
    key: &'static str,
    span: Span,
    content: Option<Content>,
}

impl Row {
    /// Whether the key was written, with a good value or not.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|entry| entry.key == key)
    }

    /// Where the key stands, for a trouble about it.
    pub(crate) fn span(&self, key: &str) -> Span {
        self.entries.iter().find(|entry| entry.key == key).map_or(self.header, |entry| entry.span)
    }

    /// Whether every value that was written has its form.
    pub(crate) fn is_sound(&self) -> bool {
        self.entries.iter().all(|entry| entry.content.is_some())
    }

    pub(crate) fn text(&self, key: &str) -> Option<String> {
        if let Some(Content::Text(text)) = self.content(key) { Some(text.clone()) } else { None }
    }

    pub(crate) fn whole(&self, key: &str) -> Option<u64> {
        if let Some(Content::Whole(number)) = self.content(key) { Some(*number) } else { None }
    }

    pub(crate) fn truth(&self, key: &str) -> Option<bool> {
        if let Some(Content::Truth(truth)) = self.content(key) { Some(*truth) } else { None }
    }

    pub(crate) fn range(&self, key: &str) -> Option<(u64, u64)> {
        if let Some(Content::Range(first, last)) = self.content(key) { Some((*first, *last)) } else { None }
    }

    pub(crate) fn texts(&self, key: &str) -> Option<Vec<String>> {
        if let Some(Content::Texts(texts)) = self.content(key) { Some(texts.clone()) } else { None }
    }

    fn content(&self, key: &str) -> Option<&Content> {
        self.entries.iter().find(|entry| entry.key == key).and_then(|entry| entry.content.as_ref())
    }
}

struct Reader<'s, 't> {
    sheet: &'s Sheet,
    troubles: Troubles<'t>,
    rows: Vec<Row>,
}

impl Reader<'_, '_> {
    /// Takes up a place where the text is no TOML.
    fn tear(&mut self, error: &Error) {
        let place = error.span().map(|range| Span::new(range.start, range.end)).unwrap_or_default();
        let help = if error.message() == "duplicate key" {
            let many =
                self.sheet.tables.iter().find(|table| table.many).map(Table::header).unwrap_or_default();
            format!(
                "a key stands once in its table; a table that may stand more than once has two brackets: {many}"
            )
        } else if error.message().starts_with("string values must be quoted") {
            "write text between quotes: key = \"text\"".to_owned()
        } else {
            "a line is a header, [table] or [[table]], or states one key: key = \"text\", key = 5, key = true"
                .to_owned()
        };
        self.troubles.tear(place, &format!("not TOML: {}", error.message()), &help);
    }

    fn table(&mut self, name: &str, at: Span, value: &Spanned<DeValue<'_>>) {
        let Some(table) = self.sheet.table(name) else {
            return self.unknown_table(name, at, value);
        };
        match value.get_ref() {
            DeValue::Table(entries) => {
                if table.many {
                    let message = format!("`{name}` may stand more than once and has two brackets");
                    self.troubles.add(span(value), &message, &format!("write {}", table.header()));
                }
                self.row(table, span(value), entries);
            }
            DeValue::Array(items) => {
                if !table.many {
                    let message = format!("`{name}` stands once and has one bracket");
                    self.troubles.add(span(value), &message, &format!("write {}", table.header()));
                }
                for item in items {
                    match item.get_ref().as_table() {
                        Some(entries) => self.row(table, span(item), entries),
                        None => self.no_table(table, span(item)),
                    }
                }
            }
            _ => self.no_table(table, at),
        }
    }

    fn no_table(&mut self, table: &Table, at: Span) {
        let message = format!("`{}` is a table, not a value", table.name);
        self.troubles.add(
            at,
            &message,
            &format!("write {} on a line of its own, its keys below", table.header()),
        );
    }

    fn unknown_table(&mut self, name: &str, at: Span, value: &Spanned<DeValue<'_>>) {
        let holds_tables = match value.get_ref() {
            DeValue::Table(_) => true,
            DeValue::Array(items) => items.iter().any(|item| item.get_ref().is_table()),
            _ => false,
        };
        let message = if holds_tables {
            format!("is no table of a {}", self.sheet.title)
        } else {
            "stands outside every table".to_owned()
        };
        let headers = |tables: &mut dyn Iterator<Item = &Table>| {
            tables.map(Table::header).collect::<Vec<_>>().join(", ")
        };
        let homes = headers(&mut self.sheet.tables.iter().filter(|table| table.key(name).is_some()));
        let help = if !holds_tables && !homes.is_empty() {
            format!("write it below the header of its table; `{name}` is a key of {homes}")
        } else {
            let near = near_miss(name, self.sheet.tables.iter().map(|table| table.name));
            format!("{}its tables are {}", meant(near), headers(&mut self.sheet.tables.iter()))
        };
        self.unknown(name, at, &message, &help);
    }

    /// A trouble with a name that the sheet does not know: the name is repeated where it is a slip, else its place says which.
    fn unknown(&mut self, name: &str, at: Span, message: &str, help: &str) {
        match spoken(self.sheet, name) {
            Some(name) => self.troubles.add(at, &format!("`{name}` {message}"), help),
            None => {
                self.troubles.add(at, &format!("the word here {message}"), &format!("{help}; {NOT_REPEATED}"))
            }
        }
    }

    fn row(&mut self, table: &'static Table, header: Span, written: &DeTable<'_>) {
        let mut entries = Vec::new();
        for (key, value) in written {
            let name: &str = key.get_ref();
            match table.key(name) {
                Some(known) => {
                    let content = self.value(known, value);
                    entries.push(Entry { key: known.name, span: span(value), content });
                }
                None => self.unknown_key(table, name, span(key)),
            }
        }
        let mut whole = true;
        for key in table.keys.iter().filter(|key| key.required) {
            if !entries.iter().any(|entry| entry.key == key.name) {
                whole = false;
                let message = format!("`{}` is missing in this {}", key.name, table.header());
                self.troubles.lack(
                    header,
                    &message,
                    &format!("add a line such as {}: {}", key.line(), key.meaning),
                );
            }
        }
        if whole {
            let line = self.troubles.line_of(header.start);
            self.rows.push(Row { table, header, line, entries });
        }
    }

    fn value(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<Content> {
        match key.form.hold(value.get_ref(), self.troubles.text_at(span(value))) {
            Ok(content) => Some(content),
            Err(wrong) => {
                let help = format!("write {}; for example {}", key.form.right(), key.line());
                self.troubles.add(span(value), &format!("the value of `{}` {wrong}", key.name), &help);
                None
            }
        }
    }

    fn unknown_key(&mut self, table: &Table, name: &str, at: Span) {
        let near = near_miss(name, table.keys.iter().map(|key| key.name));
        let names: Vec<&str> = table.keys.iter().map(|key| key.name).collect();
        let help = format!("{}its keys are {}", meant(near), names.join(", "));
        self.unknown(name, at, &format!("is no key of {}", table.header()), &help);
    }
}

fn meant(near: Option<&str>) -> String {
    near.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default()
}

fn span<T>(spanned: &Spanned<T>) -> Span {
    let range = spanned.span();
    Span::new(range.start, range.end)
}

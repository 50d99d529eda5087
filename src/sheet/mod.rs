//! A sheet: a TOML file that people fill in, described by one table of tables and keys, from which reader, errors, starter and manual read.

mod form;
mod print;
mod read;
mod secrecy;
mod trouble;

pub use form::{Choice, Form, is_day};
pub(crate) use read::{Row, read};
pub use trouble::{Trouble, explain};
pub(crate) use trouble::{Troubles, decode};

/// Largest sheet that is read, in bytes (1 MiB): far above what people write by hand, and small enough to hold whole.
pub const LARGEST: usize = 1 << 20;

/// Most rows that one sheet may hold; the rows past it are not read, and the sheet is refused.
pub const MOST_ROWS: usize = 2_000;

/// Most troubles listed for one sheet; a last one says that the list was cut.
pub const MOST_TROUBLES: usize = 100;

/// One kind of sheet.
#[derive(Debug, Clone, Copy)]
pub struct Sheet {
    /// What the sheet is called in a sentence.
    pub title: &'static str,
    /// What it is for: the first paragraph of its manual.
    pub purpose: &'static str,
    /// Its tables, in the order of the manual.
    pub tables: &'static [Table],
}

/// A table of a sheet.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Its name, as written in the header.
    pub name: &'static str,
    /// Whether it may stand more than once: `[[name]]` instead of `[name]`.
    pub many: bool,
    /// What it states, in one sentence.
    pub meaning: &'static str,
    /// Its keys, in the order of the manual.
    pub keys: &'static [Key],
    /// Filled-in examples: each names the keys that it fills. Every key stands in one of them.
    pub examples: &'static [&'static [&'static str]],
}

/// A key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// Its name, as written before `=`.
    pub name: &'static str,
    /// The form of its value.
    pub form: Form,
    /// Whether every table of this name must have it.
    pub required: bool,
    /// What it states.
    pub meaning: &'static str,
    /// An example value, as written behind `=`.
    pub example: &'static str,
}

/// A key that every table of its name must have.
pub(crate) const fn needed(
    name: &'static str,
    form: Form,
    example: &'static str,
    meaning: &'static str,
) -> Key {
    Key { name, form, required: true, meaning, example }
}

/// A key that may be left out.
pub(crate) const fn free(
    name: &'static str,
    form: Form,
    example: &'static str,
    meaning: &'static str,
) -> Key {
    Key { name, form, required: false, meaning, example }
}

impl Sheet {
    /// The table of this name.
    #[must_use]
    pub fn table(&self, name: &str) -> Option<&'static Table> {
        self.tables.iter().find(|table| table.name == name)
    }
}

impl Table {
    /// The header line: `[name]`, or `[[name]]` where it may stand more than once.
    #[must_use]
    pub fn header(&self) -> String {
        if self.many { format!("[[{}]]", self.name) } else { format!("[{}]", self.name) }
    }

    /// The key of this name.
    #[must_use]
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

impl Key {
    /// The line that states the example: `name = value`.
    #[must_use]
    pub fn line(&self) -> String {
        format!("{} = {}", self.name, self.example)
    }
}

/// The one of `words` that a reader most likely meant: at most two letters inserted, left out or replaced, without
/// regard to case.
pub(crate) fn near_miss<'w>(written: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    if written.len() > 64 {
        return None;
    }
    let written = written.to_lowercase();
    let letters = written.chars().count();
    words
        // Lengths that differ by more are farther apart than that.
        .filter(|word| word.chars().count().abs_diff(letters) <= 2)
        .map(|word| (distance(&written, word), word))
        .filter(|(far, word)| *far <= 2 && *far < word.chars().count())
        .min_by_key(|(far, _)| *far)
        .map(|(_, word)| word)
}

/// Least number of single letters inserted, left out or replaced that turns one word into the other (Levenshtein).
fn distance(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut above: Vec<usize> = (0..=to.len()).collect();
    for (row, letter) in from.chars().enumerate() {
        let mut left = row + 1;
        let mut current = vec![left];
        for (pair, other) in above.windows(2).zip(&to) {
            if let [diagonal, up] = pair {
                left = (diagonal + usize::from(letter != *other)).min(up + 1).min(left + 1);
                current.push(left);
            }
        }
        above = current;
    }
    above.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_those_of_the_definition() {
        for (from, to, far) in
            [("", "", 0), ("", "abc", 3), ("kitten", "sitting", 3), ("by", "bye", 1), ("clsoes", "closes", 2)]
        {
            assert_eq!(distance(from, to), far, "{from} {to}");
            assert_eq!(distance(to, from), far, "{to} {from}");
        }
        assert_eq!(near_miss("sorce", ["by", "source"].into_iter()), Some("source"));
        assert_eq!(near_miss("xy", ["by", "source"].into_iter()), Some("by"));
        assert_eq!(near_miss("SOURCE", ["by", "source"].into_iter()), Some("source"));
        assert_eq!(near_miss("qq", ["by", "source"].into_iter()), None);
    }
}

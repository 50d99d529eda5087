//! A sheet in print: its manual, and its tables as commented lines that a person un-comments and fills in.

use std::fmt::Write as _;

use super::{Key, LARGEST, MOST_ROWS, Sheet, Table};

impl Sheet {
    /// The manual page of the sheet.
    #[must_use]
    pub fn manual(&self, heading: &str, origin: &str, closing: &str) -> String {
        let mut page = format!(
            "# {heading}\n\nPrinted from the table in `{origin}`; a test compares.\n\n{}\n\n",
            self.purpose
        );
        let _ = writeln!(
            page,
            "The file is TOML 1.1 (<https://toml.io/en/v1.1.0>), UTF-8, of at most {LARGEST} bytes and {MOST_ROWS} tables. \
             A table in two brackets may stand more than once. A table, key or value that is not listed here is an error, \
             never passed over. Every key is optional unless marked *required*. A day or an hour may stand with or \
             without quotes.",
        );
        for table in self.tables {
            table.print_manual(&mut page);
        }
        page.push_str(closing);
        page
    }
}

/// A value for a key of an example, and where it comes from.
pub(crate) type Filled = (String, &'static str);

impl Table {
    fn print_manual(&self, page: &mut String) {
        let _ = write!(
            page,
            "\n## `{}`\n\n{}\n\n| key | form | meaning |\n|---|---|---|\n",
            self.header(),
            self.meaning
        );
        for key in self.keys {
            let required = if key.required { " *Required.*" } else { "" };
            let _ = writeln!(page, "| `{}` | {} | {}{required} |", key.name, key.form.right(), key.meaning);
        }
        for key in self.keys.iter().filter(|key| !key.form.choices().is_empty()) {
            let _ = write!(page, "\nThe words of `{}`:\n\n| word | meaning |\n|---|---|\n", key.name);
            for choice in key.form.choices() {
                let _ = writeln!(page, "| `\"{}\"` | {} |", choice.word, choice.meaning);
            }
        }
        page.push_str("\n```toml\n");
        for (place, example) in self.examples.iter().enumerate() {
            if place > 0 {
                page.push('\n');
            }
            let _ = writeln!(page, "{}", self.header());
            for key in self.filled(example) {
                let _ = writeln!(page, "{}", key.line());
            }
        }
        page.push_str("```\n");
    }

    /// The table as commented lines. Explanations begin with `# `; a line to be un-commented begins with `#` and its
    /// text. `filled` may give a key another value than its example, with the remark that stands behind it.
    pub(crate) fn print_commented(
        &self,
        page: &mut String,
        filled: &dyn Fn(&[&str], &Key) -> Option<Filled>,
    ) {
        let often = if self.many { "May stand more than once." } else { "Stands once." };
        let _ = write!(page, "\n# {} {} {often}\n", self.header(), self.meaning);
        let mut explained: Vec<&str> = Vec::new();
        for (place, example) in self.examples.iter().enumerate() {
            if place > 0 {
                page.push_str("# Or:\n");
            }
            let _ = writeln!(page, "#{}", self.header());
            for key in self.filled(example) {
                if !explained.contains(&key.name) {
                    explained.push(key.name);
                    let required = if key.required { " Required." } else { "" };
                    let _ = writeln!(
                        page,
                        "# {}: {}{required} Form: {}.",
                        key.name,
                        key.meaning,
                        key.form.right()
                    );
                }
                match filled(example, key) {
                    Some((value, remark)) => writeln!(page, "#{} = {value} # {remark}", key.name),
                    None => writeln!(page, "#{}", key.line()),
                }
                .unwrap_or_default();
            }
        }
    }

    fn filled(&self, example: &'static [&'static str]) -> impl Iterator<Item = &'static Key> {
        example.iter().filter_map(|name| self.keys.iter().find(|key| key.name == *name))
    }
}

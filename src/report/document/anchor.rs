//! Anchors: names to which links of a document point; and the place of a log in the document, which begins them.

use std::fmt;

use crate::report::document::Edition;

/// A name in a document, of small letters, digits and hyphens, beginning with a letter: fit for every form as it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Anchor(String);

impl Anchor {
    /// Makes a name; every other character becomes a hyphen.
    #[must_use]
    pub fn new(name: &str) -> Anchor {
        let clean = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
        let name: String = name.chars().map(clean).collect();
        if name.starts_with(|c: char| c.is_ascii_lowercase()) {
            Anchor(name)
        } else {
            Anchor(format!("x{name}"))
        }
    }

    /// The name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Anchor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// Which log of the document is spoken of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Its place, from 0.
    pub log: usize,
    /// How many logs the document has.
    pub logs: usize,
    /// For which edition it is told.
    pub edition: Edition,
}

impl Place {
    /// An anchor that belongs to this log.
    #[must_use]
    pub fn anchor(self, name: &str) -> Anchor {
        if self.logs > 1 { Anchor::new(&format!("log-{}-{name}", self.log + 1)) } else { Anchor::new(name) }
    }

    /// The anchor of a line of the log in the annex.
    #[must_use]
    pub fn line(self, number: usize) -> Anchor {
        self.anchor(&format!("line-{number}"))
    }

    /// The anchor of a finding, counted from 0.
    #[must_use]
    pub fn finding(self, finding: usize) -> Anchor {
        self.anchor(&format!("finding-{}", finding + 1))
    }

    /// The anchor of what the document says on a rule.
    #[must_use]
    pub fn rule(self, id: &str) -> Anchor {
        self.anchor(&format!("rule-{id}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_anchor_holds_nothing_but_small_letters_digits_and_hyphens() {
        assert_eq!(Anchor::new("Line 7\"><script>").as_str(), "line-7---script-");
        assert_eq!(Anchor::new("7").as_str(), "x7");
        assert_eq!(Anchor::new("").as_str(), "x");
        assert_eq!(Place { log: 0, logs: 1, edition: Edition::Full }.line(7).as_str(), "line-7");
        assert_eq!(Place { log: 1, logs: 2, edition: Edition::Full }.finding(0).as_str(), "log-2-finding-1");
    }
}

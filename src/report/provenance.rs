//! What a report rests on, so that another person can make it again to the byte: tool, rule book, unit description,
//! settings, command, date.

use sha2::{Digest as _, Sha256};

use crate::case::Case;
use crate::examination::Examination;
use crate::report::{FONT, Frame, Paper, TOOL, VERSION, papers};
use crate::rules::{RULES, Rule};
use crate::source::{Digest, Shown};

/// The version of the data on time zones, which says what a zone that is named and not given as an offset means.
#[must_use]
pub fn zone_data() -> String {
    format!("IANA time zone database {}", crate::zone::DATA)
}

/// What a report rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Provenance {
    /// The tool's name.
    pub tool: &'static str,
    /// Its version.
    pub version: &'static str,
    /// Digest of the rule book; see [`rule_book`].
    pub rule_book: Digest,
    /// Number of its rules.
    pub rules: usize,
    /// Name, version and digest of the unit description.
    pub unit: (Shown, Shown, Digest),
    /// Digest of the settings in force; see [`settings_digest`].
    pub settings: Digest,
    /// Data on time zones; see [`zone_data`].
    pub zone_data: String,
    /// What else was read and is no evidence, with what it is: a mapping, fonts.
    pub others: Vec<(&'static str, Paper)>,
    /// The command that repeats the run.
    pub command: Shown,
    /// Date of the report, as stated; never that of a clock.
    pub date: Option<Shown>,
}

impl Provenance {
    /// The provenance of a report on an examination.
    #[must_use]
    pub fn of(examination: &Examination<'_>, frame: &Frame) -> Provenance {
        let unit = examination.unit;
        Provenance {
            tool: TOOL,
            version: VERSION,
            rule_book: rule_book(),
            rules: RULES.len(),
            unit: (Shown::inert(&unit.name), Shown::inert(&unit.version), unit.digest),
            settings: settings_digest(examination.case),
            zone_data: zone_data(),
            others: others(frame).map(|(what, paper)| (what, paper.clone())).collect(),
            command: frame.command.clone(),
            date: frame.date.clone(),
        }
    }

    /// The same as labels and texts, in the order in which every form of report prints them.
    #[must_use]
    pub fn statements(&self) -> Vec<(&'static str, String)> {
        let (name, version, digest) = &self.unit;
        let mut list = vec![
            ("tool", format!("{} {}", self.tool, self.version)),
            ("rule book", format!("{} rules, SHA-256 {}", self.rules, self.rule_book)),
            ("unit description", format!("{name} {version}, SHA-256 {digest}")),
            ("settings", format!("SHA-256 {}", self.settings)),
            ("zone data", self.zone_data.clone()),
        ];
        let of_paper = |(what, paper): &(&'static str, Paper)| {
            (*what, format!("{}, SHA-256 {}", paper.name, paper.digest))
        };
        list.extend(self.others.iter().map(of_paper));
        list.push(("command", self.command.to_string()));
        if let Some(date) = &self.date {
            list.push(("date of the report", date.to_string()));
        }
        list
    }
}

/// The papers by which the log was read or its document set; those that state facts are items of their own.
fn others(frame: &Frame) -> impl Iterator<Item = (&'static str, &Paper)> {
    frame.papers().filter(|(what, _)| matches!(*what, "mapping" | FONT))
}

/// One setting in force: what it is about, what is set, and where it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingInForce {
    /// What it is about.
    pub about: &'static str,
    /// What is set.
    pub text: Shown,
    /// Who set it, and where it is written.
    pub origin: Shown,
}

/// The settings that the case file makes: hours of the poll, what the local procedure sets, local clauses. What it leaves
/// out is as the unit description and the rule book have it, which have digests of their own.
#[must_use]
pub fn settings(case: &Case) -> Vec<SettingInForce> {
    papers::statements(case)
        .into_iter()
        .filter(|paper| matches!(paper.about, "poll" | "setting" | "local clause"))
        .map(|paper| SettingInForce { about: paper.about, text: paper.text, origin: paper.basis })
        .collect()
}

/// SHA-256 over the settings in force, in the order of the case file: of each what it is about, what is set and where
/// that came from. Every text stands behind its length, so that no two lists give the same bytes.
#[must_use]
pub fn settings_digest(case: &Case) -> Digest {
    let mut book = Book::new("settings");
    for setting in settings(case) {
        book.text(setting.about);
        book.text(setting.text.as_str());
        book.text(setting.origin.as_str());
    }
    book.finish()
}

/// SHA-256 over the rule book: of every rule, in the order of reports, all that is said about it, its examples included.
/// The code of a rule is not in it; the tool's version stands for that.
#[must_use]
pub fn rule_book() -> Digest {
    rule_book_of(RULES)
}

fn rule_book_of(rules: &[&Rule]) -> Digest {
    let mut book = Book::new("rule book");
    for rule in rules {
        for text in [rule.id, rule.family.word(), rule.kind.word(), rule.weight.word(), rule.title, rule.asks]
        {
            book.text(text);
        }
        book.text(&format!("{:?} {:?} {:?}", rule.basis, rule.needs, rule.scope));
        book.text(rule.why);
        for ordinary in rule.ordinary {
            book.text(ordinary.account);
            book.text(ordinary.decided_by);
        }
        rule.look_next.iter().for_each(|next| book.text(next));
        book.text(rule.occasions);
        for example in rule.examples {
            [example.title, example.log, example.case].into_iter().for_each(|text| book.text(text));
        }
        // The end of a rule: no list of one can be taken for the begin of the next.
        book.text("");
    }
    book.finish()
}

/// Texts on their way into a digest, each behind its length.
struct Book(Sha256);

impl Book {
    fn new(title: &str) -> Book {
        let mut book = Book(Sha256::new());
        book.text(title);
        book
    }

    fn text(&mut self, text: &str) {
        self.0.update((text.len() as u64).to_be_bytes());
        self.0.update(text.as_bytes());
    }

    fn finish(self) -> Digest {
        Digest::finish(self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_of_the_rule_book_tells_every_rule_and_their_order() {
        let whole = rule_book();
        assert_eq!(whole, rule_book());
        for leave_out in 0..RULES.len() {
            let mut fewer = RULES.to_vec();
            fewer.remove(leave_out);
            assert_ne!(rule_book_of(&fewer), whole, "without rule {leave_out}");
        }
        let turned: Vec<&Rule> = RULES.iter().rev().copied().collect();
        assert_ne!(rule_book_of(&turned), whole);
    }

    #[test]
    fn texts_cannot_change_places_with_their_neighbours() {
        let digest = |texts: &[&str]| {
            let mut book = Book::new("settings");
            texts.iter().for_each(|text| book.text(text));
            book.finish()
        };
        assert_ne!(digest(&["ab", "c"]), digest(&["a", "bc"]));
        assert_ne!(digest(&["a", ""]), digest(&["a"]));
    }

    #[test]
    fn a_setting_or_its_origin_changes_the_digest() {
        let of =
            |text: &str| settings_digest(&Case::read("case", text).unwrap_or_else(|e| panic!("{e:?}")).case);
        let least = |votes: u32, by: &str| {
            format!("[[setting]]\nmock-votes-least = {votes}\nsource = \"Handbook 4.2\"\nby = \"{by}\"\n")
        };
        assert_ne!(of(""), of(&least(50, "Commission")));
        assert_ne!(of(&least(50, "Commission")), of(&least(51, "Commission")));
        assert_ne!(of(&least(50, "Commission")), of(&least(50, "Registrar")));
        // What sets nothing leaves it as it is: the case file has a digest of its own.
        assert_eq!(of(""), of("[matter]\ntitle = \"A matter\"\n"));
    }
}

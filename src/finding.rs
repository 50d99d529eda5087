//! What an examination says: answers with their extent, findings with their lines, and what to ask for.

use crate::source::Shown;

/// How a finding follows from the record. The order is from strongest to weakest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// These records and the unit description cannot both be right, whatever happened before the first record.
    Contradiction,
    /// The records, if true, are themselves contrary to the stated procedure.
    Shown,
    /// It follows if a named assumption holds; the assumption is printed.
    Conditional,
}

impl Kind {
    /// The kind in plain words, one for every form of report.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Kind::Contradiction => "contradiction",
            Kind::Shown => "shown",
            Kind::Conditional => "conditional",
        }
    }

    /// What the kind means, for the reader of a finding.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Kind::Contradiction => {
                "these records and the unit description cannot both be right, whatever happened before"
            }
            Kind::Shown => "the records, if true, are themselves other than the rule asks",
            Kind::Conditional => "follows only if the assumptions named here hold",
        }
    }
}

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// The record tells of something that the stated procedure does not foresee.
    Departure,
    /// The record does not agree with its own lines, the unit description or a paper.
    Discrepancy,
    /// Lawful, and not met every day.
    Unusual,
    /// Worth knowing, without weight of its own.
    Remark,
}

impl Weight {
    /// The weight in one word, one for every form of report.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Weight::Departure => "departure",
            Weight::Discrepancy => "discrepancy",
            Weight::Unusual => "unusual",
            Weight::Remark => "remark",
        }
    }

    /// What the weight means.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Weight::Departure => "the record tells of something that the stated procedure does not foresee",
            Weight::Discrepancy => {
                "the record does not agree with what it is set against: its own lines, the unit description or a \
                 paper, or two papers do not agree, as the finding says"
            }
            Weight::Unusual => "not met every day; it may be lawful",
            Weight::Remark => "worth knowing, without weight of its own",
        }
    }
}

/// A rule's answer for one log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Some occasion is contrary to the rule.
    NotKept,
    /// Every occasion is in order, and none can have gone unseen.
    Kept,
    /// Neither: no occasion seen is contrary, and not all were seen or decided.
    CannotBeTold,
    /// The rule has no subject here.
    DoesNotApply,
}

impl Verdict {
    /// The answer in plain words, one for every form of report.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Verdict::NotKept => "not kept",
            Verdict::Kept => "kept",
            Verdict::CannotBeTold => "cannot be told",
            Verdict::DoesNotApply => "does not apply",
        }
    }
}

/// A place that a statement points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// A line of the log, as an index of its lines.
    Line(usize),
    /// The log as a whole.
    Log,
}

/// A text with a capital letter at its begin, so that what stands inside a sentence can open one.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Something that is asked for, and of whom.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ask {
    /// Who holds it, by office.
    pub of: &'static str,
    /// What is asked for.
    pub what: String,
}

/// Something that a finding rests on besides the records.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Assumption(pub String);

/// An ordinary explanation of a rule that the record itself speaks against, for one finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpokenAgainst {
    /// The explanation, word for word as the rule has it.
    pub account: &'static str,
    /// What in the record speaks against it, and what that rests on.
    pub says: String,
}

/// One occasion found contrary to a rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The rule's id.
    pub rule: &'static str,
    /// How it follows.
    pub kind: Kind,
    /// How much it weighs.
    pub weight: Weight,
    /// What it says in one sentence, where the rule's own would say more than follows here.
    pub title: Option<String>,
    /// The place it is about.
    pub main: Place,
    /// Other places that show it, in the order of the file.
    pub others: Vec<Place>,
    /// What was expected.
    pub expected: String,
    /// What the record shows.
    pub shows: String,
    /// The measured quantity with its margin, where something was measured.
    pub measured: Option<String>,
    /// What it rests on besides the records; not empty for [`Kind::Conditional`].
    pub assumptions: Vec<Assumption>,
    /// The conflict in the records that it rests on, counted from 1; findings with the same number belong together.
    /// `None` where it rests on none.
    pub group: Option<usize>,
    /// The rule's ordinary explanations that the record speaks against here; all others stay open.
    pub against: Vec<SpokenAgainst>,
}

/// What a rule answers for one log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The rule's id.
    pub rule: &'static str,
    /// The answer.
    pub verdict: Verdict,
    /// Occasions in order.
    pub in_order: usize,
    /// Occasions contrary.
    pub contrary: usize,
    /// Occasions that stay open.
    pub open: usize,
    /// How far the answer reaches: among what, from where to where.
    pub extent: String,
    /// Why it cannot be told, or does not apply; where it is not kept, why some occasions stay open beside; else empty.
    pub why: Vec<String>,
    /// What would be needed to tell.
    pub asks: Vec<Ask>,
    /// Places of the open occasions: all, or the first thousand.
    pub open_at: Vec<Place>,
    /// Where contested facts of the case file change the answer: the answer under each version.
    pub versions: Vec<(Shown, Verdict)>,
}

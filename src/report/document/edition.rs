//! Editions: the full one, and the public one, in which every time of day is given by its half hour.

use std::collections::BTreeMap;

use crate::event::Event;
use crate::examination::Examination;
use crate::report::count;
use crate::report::document::coarse::{LEFT_OUT, coarse, plain, without_digests};
use crate::report::document::veil::veiled;
use crate::report::document::{Block, Document, Section, Text};
use crate::source::Shown;

/// Which edition of a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Edition {
    /// All times as the unit displayed them: for the court and the parties.
    #[default]
    Full,
    /// Times by the half hour: times beside a list of arrivals can betray who voted when.
    Public,
}

impl Edition {
    /// The edition in one word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Edition::Full => "full",
            Edition::Public => "public",
        }
    }

    /// What the first page says about it.
    #[must_use]
    pub fn statement(self) -> &'static str {
        match self {
            Edition::Full => {
                "Full edition. It holds the times of single votes as the unit displayed them. Beside a list of who \
                 arrived when, such times can betray who voted at which moment. It is made for the court and the \
                 parties. For publication there is a public edition, in which every time of day is given by its half hour."
            }
            Edition::Public => {
                "Public edition. Every time of day is given by the half hour in which it lies, lengths and bounds of true time are left \
                 out, and lines of the log are given by number, half hour and event, because times beside a list of arrivals can \
                 betray who voted at which moment. Rules that set times of single records against an hour or another moment are \
                 not answered here, because already the answer to a rule on an hour tells on which side of that hour votes lie. The full \
                 edition has them all."
            }
        }
    }

    /// A text as this edition tells it.
    #[must_use]
    pub fn tell(self, text: &Shown) -> Shown {
        match self {
            Edition::Full => text.clone(),
            Edition::Public => {
                let coarse = coarse(&without_digests(text.as_str()));
                Shown::inert(&plain(&veiled(&coarse)))
            }
        }
    }

    /// A word letter by letter as this edition tells it: digests that stand so are those of the tool, and of files that state no times.
    fn tell_code(self, text: &Shown) -> Shown {
        match self {
            Edition::Full => text.clone(),
            Edition::Public => Shown::inert(&coarse(text.as_str())),
        }
    }
}

/// Votes that a half hour must hold so that it is not told as one that holds few.
const FEW: usize = 5;

/// A half hour in milliseconds.
const HALF_HOUR: i64 = 1_800_000;

/// In how many half hours so few votes lie that the half hour alone narrows a vote down; `None` where there is none.
pub(super) fn few_votes(examinations: &[Examination<'_>]) -> Option<Text> {
    let mut votes: BTreeMap<(usize, i64), usize> = BTreeMap::new();
    for (log, examination) in examinations.iter().enumerate() {
        let records = examination.log.records().iter().filter(|record| record.event == Event::Vote);
        for time in records.filter_map(|record| record.time) {
            *votes.entry((log, time.ms().div_euclid(HALF_HOUR))).or_default() += 1;
        }
    }
    let number = |most: usize| votes.values().filter(|votes| **votes <= most).count();
    let few = number(FEW - 1);
    (few > 0).then(|| {
        Text::from(format!(
            "Half hours with few votes. Of the {} in which the log displays a vote, {} fewer than five votes, and {} exactly \
             one. Who knows that a voter came in such a half hour can tell which few records, or which one, may be that \
             voter's; who holds a complete list of arrivals in their order can tell it without any time, because lines stand \
             here in their order. No line holds a choice; another paper in the same order may. Some agencies that publish \
             tables ask for at least five in a cell, others for three (threshold rule, Glossary of Statistical Disclosure \
             Control, UNECE/Eurostat work session, Geneva, November of 2005). Half hours are not joined here, because the \
             hours of opening and closing would then lie inside one: whoever publishes this edition has to weigh it.",
            count(votes.len(), "half hour", "half hours"),
            count(few, "holds", "hold"),
            count(number(1), "holds", "hold"),
        ))
    })
}

impl Document {
    /// Tells every text of the document as its edition does.
    pub(super) fn tell_by_edition(&mut self) {
        let edition = self.edition;
        if edition == Edition::Full {
            return;
        }
        self.each_words(&mut |shown, is_code| {
            *shown = if is_code { edition.tell_code(shown) } else { edition.tell(shown) };
        });
        self.sections.iter_mut().for_each(leave_out_what_lost_its_length);
    }
}

/// A measurement without its length says nothing.
fn leave_out_what_lost_its_length(section: &mut Section) {
    for block in &mut section.blocks {
        let Block::Definitions(definitions) = block else { continue };
        for definition in definitions.iter_mut().filter(|definition| definition.term.as_str() == "measured") {
            definition.texts.retain(|text| !text.words().contains(LEFT_OUT));
        }
        definitions.retain(|definition| !definition.texts.is_empty());
    }
    section.sections.iter_mut().for_each(leave_out_what_lost_its_length);
}

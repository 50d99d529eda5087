//! The glossary: words of the trade and of this tool that a reader without either would stumble over.

use crate::report::document::{Anchor, Block, Definition, Document, Section};

/// A word and what it means here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The word.
    pub word: &'static str,
    /// What it means, in plain words.
    pub meaning: &'static str,
}

const fn term(word: &'static str, meaning: &'static str) -> Term {
    Term { word, meaning }
}

impl Term {
    /// The words by which it is met: `digest (SHA-256)` by either.
    fn names(&self) -> impl Iterator<Item = String> {
        let names = self.word.split([',', '(', ')']).map(|name| name.trim().to_lowercase());
        names.filter(|name| !name.is_empty())
    }

    /// Whether it stands in a text of small letters: `close` also as `closes` and `closed`.
    fn stands_in(&self, text: &str) -> bool {
        self.names().any(|name| {
            text.match_indices(name.as_str()).any(|(at, _)| {
                let is_begin = !text.get(..at).unwrap_or_default().ends_with(char::is_alphanumeric);
                let behind = text.get(at + name.len()..).unwrap_or_default();
                let ending = behind.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
                is_begin && ENDINGS.contains(&ending)
            })
        })
    }
}

/// What a word may have behind it and be the same.
const ENDINGS: &[&str] = &["", "s", "es", "d", "ed"];

/// Every term, by the alphabet.
pub const GLOSSARY: &[Term] = &[
    term(
        "account",
        "One way in which the records could have come about: which of them would have to be missing or too many.",
    ),
    term(
        "assumption",
        "Something that a statement rests on besides the records. It is printed with the statement; if it does not hold, neither does the statement.",
    ),
    term("ballot unit", "The part with the buttons that the voter presses. It hangs from the control unit."),
    term(
        "base date",
        "The date from which a clock counts when it has lost its time, often the first of January of a year.",
    ),
    term(
        "cannot be told",
        "The answer to a rule where the record shows neither that it was kept nor that it was not: something may have gone unseen, records contradict each other, papers disagree, or a paper is missing. It counts for neither side.",
    ),
    term(
        "case file",
        "A file that holds what people wrote down about the unit and the poll: hours, counts, diaries, statements. Each fact names its paper and who asserts it.",
    ),
    term(
        "chain value",
        "A number that some units write beside a record, worked out from the record and the chain value before it, so that a \
         record that was changed or left out can be noticed.",
    ),
    term(
        "chi-square",
        "A number that says how far counts lie from equal ones: 0 where they are all equal, and greater the more they differ. It is printed as a measurement.",
    ),
    term(
        "clear",
        "The act that empties the unit's memory of votes. By common practice it follows the showing of the result.",
    ),
    term("close", "The act that ends voting. No vote is taken until the memory is cleared."),
    term(
        "closed end",
        "An end of the log beyond which nothing was recorded, for a stated reason. The other ends are open: what lies beyond is not known.",
    ),
    term(
        "closing line",
        "The last line of an export, which states how many lines there are and their digest, so that a file cut short can be noticed.",
    ),
    term("conditional", "A finding that follows only if the assumptions printed with it hold."),
    term(
        "conflict",
        "Records that cannot all be right, together with those that hang on them. None of them is used for another answer.",
    ),
    term(
        "contested fact",
        "A fact that the case file states in more than one version. The log is examined under each.",
    ),
    term(
        "contradiction",
        "Records that cannot all be right under the unit description, whatever happened before them. It says that the record is not as the description foresees; it does not say how that came about.",
    ),
    term(
        "control unit",
        "The part of a voting unit that an official works. It keeps the memory of votes and the log.",
    ),
    term("coverage", "From when to when a log speaks, and what it cannot see."),
    term("cycle", "What lies between two clears of the memory: a test, a mock poll, a poll."),
    term(
        "deducted",
        "Taken off the number in the memory when the votes are counted, by a written order: votes of a mock poll or tests.",
    ),
    term(
        "departure",
        "The record tells of something that the stated procedure does not foresee. It may have a good reason.",
    ),
    term(
        "digest (SHA-256)",
        "A number of 64 characters worked out from a file. If one letter of the file changes, the digest changes; so equal digests show equal files.",
    ),
    term(
        "discrepancy",
        "Two things that ought to agree do not: lines of the log with each other, with the unit description, or with a paper; or two papers.",
    ),
    term("displayed time", "The time that the unit's own clock showed. It may differ from true time."),
    term(
        "does not apply",
        "The answer to a rule that has no subject in this log, for the reason that stands with it.",
    ),
    term(
        "drift, parts per million",
        "How far a clock runs fast or slow. One part per million is a second in eleven and a half days.",
    ),
    term("enable", "The act by which an official lets the unit take one vote."),
    term(
        "export",
        "The file into which the unit's log was written out. Every answer is given for an export that is faithful to the unit.",
    ),
    term(
        "fault",
        "Text of the log that could not be read as the format wants it. It is about the file, not about the poll.",
    ),
    term("finding", "An occasion that is contrary to a rule. It is not a judgment on a person."),
    term(
        "gap",
        "A place where records are missing or could not be read. What was recorded there is not known.",
    ),
    term(
        "heads in a row",
        "A measure of how rare a thing is: so many tosses of a fair coin that all show heads. Each further toss halves the chance.",
    ),
    term("kept", "The answer to a rule when every occasion is in order and none can have gone unseen."),
    term("lapse", "The end of an enable without a vote."),
    term("link", "The connection of a ballot unit with the control unit."),
    term("log", "The list of events that the unit wrote about itself."),
    term("masked", "Replaced by [masked], because it could tell how somebody voted or who voted."),
    term(
        "mock poll",
        "Votes cast before the poll in front of the candidates' agents, to show that the unit works. They are cleared before the poll begins.",
    ),
    term(
        "not kept",
        "The answer to a rule when at least one occasion is contrary to it. It says what the record shows, and not why.",
    ),
    term("occasion", "A place where a rule has something to say: each vote, each close, the log as a whole."),
    term("open", "Not decided: neither in order nor contrary."),
    term(
        "ordinary explanation",
        "A lawful or harmless course of events that would give the same record. The record alone does not choose among explanations.",
    ),
    term("phase", "What a part of the log was: test, mock poll, poll, count, training or inspection."),
    term(
        "planted deviation",
        "Something that a rehearsal changed in an invented log on purpose, so that it can be looked for.",
    ),
    term(
        "public edition",
        "The form of this document for publication. It gives times by half hours and leaves out the answers of the rules on hours and other moments, so that no vote can be placed closer than the half hour of its display.",
    ),
    term(
        "reading",
        "A time of the unit's display that somebody wrote down beside the time of another clock.",
    ),
    term("record", "One event in the log, with its number, its displayed time and a word for what happened."),
    term(
        "record number",
        "The number that the unit gave to a record. It grows by a fixed step, which shows where records are missing.",
    ),
    term("remark", "Worth knowing, without weight of its own."),
    term(
        "replay",
        "Going through the records in order and working out what the unit can have been doing at each.",
    ),
    term("result", "The act that shows the votes of each candidate. It is taken only after a close."),
    term(
        "ring",
        "A memory of fixed length. When it is full, each new record takes the place of the oldest, so that the beginning of a long day may be lost.",
    ),
    term("rule", "What is asked of the record. Every rule is listed with what it rests on."),
    term(
        "rule book",
        "All rules of this tool with every word that is said about them. Its digest shows whether two reports rest on the same rules.",
    ),
    term("sector officer", "The official who looks after several stations and brings units and papers."),
    term(
        "shown",
        "A finding that the records give by themselves: if they are true, something was other than the rule asks.",
    ),
    term(
        "slip",
        "A paper on which a paper-trail unit prints a vote, if there is such a unit. A slip of the clock is another thing: a wrong day, month, half day or zone when a clock was set or read.",
    ),
    term(
        "state",
        "What the unit is at a moment: cleared, enabled, between votes, closed, result shown; with power on or off.",
    ),
    term("tendered ballot", "A ballot on paper for a voter in whose name somebody has voted before."),
    term("token", "A numbered paper for those who wait at the closing hour. Who has one may still vote."),
    term("total", "The act that shows how many votes are in the memory. It changes nothing."),
    term(
        "true time",
        "The time of the place, as against the time that the unit displayed. It is known only as far as readings tell.",
    ),
    term(
        "unit description",
        "A file that says what a unit of one model does: how many records it keeps, how it numbers them, which acts leave a record.",
    ),
    term(
        "unlogged move",
        "Something that the unit may do without a record, as the unit description lists it.",
    ),
    term("unread", "A line of the file that could not be read. It may stand for any number of records."),
    term("unusual", "Not met every day. It may be lawful."),
    term("vocabulary", "The list of the words for events that this tool knows, with what each means."),
];

/// Leaves in the section the terms that stand in the document, or in what is said of such a term; nobody looks up another.
pub(super) fn leave_out_what_does_not_occur(document: &mut Document) {
    let is_glossary = |section: &&mut Section| section.anchor.as_str() == ANCHOR;
    let mut blocks = match document.sections.iter_mut().find(is_glossary) {
        Some(section) => std::mem::take(&mut section.blocks),
        None => return,
    };
    let mut said = String::new();
    document.each_words(&mut |shown, _| {
        said.push_str(&shown.as_str().to_lowercase());
        said.push('\n');
    });
    let mut occurs = vec![false; GLOSSARY.len()];
    while let Some((found, term)) =
        occurs.iter_mut().zip(GLOSSARY).find(|(occurs, term)| !**occurs && term.stands_in(&said))
    {
        *found = true;
        said.push_str(&term.meaning.to_lowercase());
        said.push('\n');
    }
    for block in &mut blocks {
        if let Block::Definitions(list) = block {
            // The entries are those of the list, in its order.
            let mut occurs = occurs.iter();
            list.retain(|_| occurs.next().is_some_and(|occurs| *occurs));
        }
    }
    if let Some(section) = document.sections.iter_mut().find(is_glossary) {
        section.blocks = blocks;
    }
}

/// Where it stands.
const ANCHOR: &str = "glossary";

/// The section, with every term.
pub(super) fn section() -> Section {
    let mut section = Section::new(Anchor::new(ANCHOR), "Words explained").answering(&[20]);
    section.on_new_page = true;
    section.push(Block::Definitions(
        GLOSSARY.iter().map(|term| Definition::new(term.word, term.meaning)).collect(),
    ));
    section
}

//! The order of the document: which section stands where; its id; and the checklist of contents that the sections answer.

use crate::examination::Examination;
use crate::report::document::{
    Anchor, Block, Document, Edition, Place, Section, Table, Text, annex, answers, assumed, clock, day,
    described, edition, findings, glossary, items, ledger, limits, matter, method, moments, open, pace,
    person, repeat, stated,
};
use crate::report::{DEMONSTRATION, Frame, IDENTITY_WITHHELD, NO_EVIDENCE, VERSION};
use crate::source::{Digest, Shown};

/// The checklist of contents: what a report of an examination must hold, and the published source that asks for it.
/// Sources are those of `standards.md`, 4.1, by their short names.
pub const CHECKLIST: &[(u8, &str, &str)] = &[
    (1, "Title, id, version, draft or final, page numbers", "SWGDE 18-Q-002; ISO/IEC 17025:2017, 7.8.2.1"),
    (2, "Who asked, matter and number, authority, question", "SWGDE 18-Q-002, 5 and 5.2; NIJ 199408"),
    (3, "Examiner, qualification, signature", "NIJ 199408; SWGDE 18-Q-002, 5.7"),
    (4, "Dates: evidence received, work done, report made", "NIJ 199408"),
    (5, "Each item: name, length, SHA-256, unit, export, custody", "SWGDE 18-Q-002, 5.3; ISO/IEC 27037:2012"),
    (6, "State of each item: what it covers, lines not understood", "ASTM E3016-18; NIST SP 800-86, 3.4"),
    (7, "Tool, version, rule book, command, settings and their origin", "ISO/IEC 27042:2015, 6.3; NIST CFTT"),
    (8, "Method in lay words, each rule and what it rests on", "SWGDE 18-Q-002, 5.4"),
    (9, "Results: lines, numbers, times, rule, what was observed", "NIJ 199408"),
    (10, "Facts apart from inference and opinion", "SWGDE 18-Q-002, 5.5; ACPO guide v5, 6.5.4"),
    (11, "Other explanations, and what would decide them", "NIST SP 800-86, 3.4"),
    (12, "What could not be decided, and why", "NIST SP 800-86, 3.4"),
    (
        13,
        "Rules that were kept, and rules that could not be applied",
        "ENFSI evaluative guideline (2015): balance",
    ),
    (14, "Uncertainty of times and counts", "ISO/IEC 27042:2015, 5.5"),
    (15, "Limits: only the items examined", "ISO/IEC 17025:2017, 7.8.2.1"),
    (16, "Known error of each rule", "Daubert v. Merrell Dow, 509 U.S. 579 (1993); ASTM E3016-18"),
    (17, "How to repeat it", "ISO/IEC 27042:2015"),
    (18, "Deviations, irregularities, amendments with their reason", "SWGDE 18-Q-002; NIJ 199408"),
    (19, "What became of the evidence and of derived files", "SWGDE 18-Q-002, 5.6"),
    (20, "Words explained, and a chart of the day", "SWGDE 18-Q-002, 5.4"),
];

impl Document {
    /// Builds the document. Pure: the same examinations, frame and edition give the same document on every machine.
    #[must_use]
    pub fn of(examinations: &[Examination<'_>], frame: &Frame, edition: Edition) -> Document {
        if edition == Edition::Full {
            return Document::told(examinations, frame, edition);
        }
        let papers: Vec<moments::Papers> = examinations.iter().map(moments::Papers::of).collect();
        let public = papers.iter().zip(examinations).map(|(papers, whole)| papers.examine(whole));
        Document::told(&public.collect::<Vec<_>>(), frame, edition)
    }

    /// The document of these examinations as they are.
    fn told(examinations: &[Examination<'_>], frame: &Frame, edition: Edition) -> Document {
        let case = examinations.first().map(|examination| examination.case);
        let date = frame.date.clone();
        let source = source(examinations, edition);
        let mut document = Document {
            title: title(examinations),
            language: "en",
            id: match edition {
                Edition::Full => id(examinations, frame, source, date.as_ref()),
                Edition::Public => Shown::inert(UNNAMED),
            },
            source,
            date,
            edition,
            is_signed: case.is_some_and(matter::is_signed),
            demonstration: frame.demonstration.then_some(DEMONSTRATION),
            opening: Vec::new(),
            sections: Vec::new(),
        };
        document.opening = opening(&document);
        let few = (edition == Edition::Public).then(|| edition::few_votes(examinations)).flatten();
        document.opening.extend(few.map(Block::Notice));
        document.sections = sections(examinations, frame, &document);
        document.tell_by_edition();
        glossary::leave_out_what_does_not_occur(&mut document);
        if edition == Edition::Public {
            document.name_by_its_text();
        }
        document
    }

    /// Gives the public edition its id, which follows from its own words: it tells no more than they do.
    fn name_by_its_text(&mut self) {
        let mut text = format!("logassay {VERSION}\nedition {}\n", self.edition.word());
        self.each_words(&mut |shown, _| text.push_str(&format!("{} {shown}\n", shown.as_str().len())));
        let id = named_by(&text);
        self.each_words(&mut |shown, _| {
            if shown.as_str().contains(UNNAMED) {
                *shown = Shown::inert(&shown.as_str().replace(UNNAMED, id.as_str()));
            }
        });
        self.id = id;
    }
}

/// What stands for the id of the public edition until its text is there.
const UNNAMED: &str = "LA-id";

/// The sections in their order.
fn sections(examinations: &[Examination<'_>], frame: &Frame, document: &Document) -> Vec<Section> {
    let Some(first) = examinations.first() else { return Vec::new() };
    let mut sections = vec![matter::section(first.case, document)];
    sections.extend(of_each(examinations, document.edition, "What the log shows", |place, examination| {
        body(place, examination, frame, document.source)
    }));
    sections.push(method::section(examinations, document.edition));
    sections.push(limits::section(examinations));
    sections.push(repeat::settings(first, frame, document));
    sections.push(repeat::section(examinations, frame, document));
    sections.push(person::section(first.case));
    sections.push(glossary::section());
    let place = sections.len();
    sections.push(described::section(first.unit));
    let annexes = of_each(examinations, document.edition, "Annex", |place, examination| {
        vec![annex::section(place, examination)]
    });
    sections.extend(annexes);
    let checklist = checklist(&sections);
    sections.insert(place, checklist);
    sections
}

/// What is said of one log, before the method and behind the matter.
fn body(
    place: Place,
    examination: &Examination<'_>,
    frame: &Frame,
    source: Result<Digest, &str>,
) -> Vec<Section> {
    [
        Some(matter::in_short(place, examination)),
        answers::questions(place, examination),
        Some(items::section(place, examination, frame, source)),
        Some(items::unit(place, examination, frame)),
        Some(items::coverage(place, examination)),
        Some(day::section(place, examination)),
        stated::papers(place, examination),
        Some(findings::section(place, examination)),
        Some(assumed::section(place, examination)),
        Some(ledger::section(place, examination)),
        Some(clock::section(place, examination)),
        Some(pace::section(place, examination)),
        Some(open::cannot_be_told(place, examination)),
        Some(open::requests(place, examination)),
        open::occasions(place, examination),
        Some(answers::section(place, examination)),
        Some(answers::kept(place, examination)),
        answers::no_subject(place, examination),
        (place.edition == Edition::Public).then(|| moments::section(place)),
        answers::versions(place, examination),
        Some(items::uncertainty(place, examination)),
        Some(stated::text(place, examination)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The same sections for each log; where there are several logs, each has a section of its own around them.
fn of_each<'e>(
    examinations: &'e [Examination<'e>],
    edition: Edition,
    title: &str,
    of: impl Fn(Place, &'e Examination<'e>) -> Vec<Section>,
) -> Vec<Section> {
    let logs = examinations.len();
    let mut list = Vec::new();
    for (log, examination) in examinations.iter().enumerate() {
        let place = Place { log, logs, edition };
        let sections = of(place, examination);
        if logs == 1 {
            return sections;
        }
        let title = format!("{title}: log {} of {logs}", log + 1);
        let mut around = Section::new(place.anchor(&title), &title);
        around.on_new_page = true;
        around.sections = sections;
        list.push(around);
    }
    list
}

/// The title names the unit by the serial that the log states, if it states one.
fn title(examinations: &[Examination<'_>]) -> Shown {
    match examinations {
        [only] => match only.log.header("serial") {
            Some(serial) => Shown::inert(&format!("Examination of the event log of unit {}", serial.shown())),
            None => Shown::inert("Examination of the event log of a voting unit"),
        },
        several => Shown::inert(&format!("Examination of {} event logs", several.len())),
    }
}

/// Why the public edition names neither length nor digest of what states times: how many ways there are to fill in what it
/// leaves out depends on the file, and on what its reader knows besides, so that no number of records is enough.
pub(super) const NOT_IN_PUBLIC: &str = "left out in the public edition, as times in it could be found by trying with it; the \
    full edition or the manifest of a bundle names it";

/// The digest of the file, or why the edition may not give it.
fn source(examinations: &[Examination<'_>], edition: Edition) -> Result<Digest, &'static str> {
    let first = examinations.first().ok_or("no log was examined")?;
    if edition == Edition::Public {
        return Err(NOT_IN_PUBLIC);
    }
    let (_, digest) = first.log.file_identity(&first.secrecy).ok_or(IDENTITY_WITHHELD)?;
    Ok(digest)
}

/// The id of the full edition follows from the digests of all that was read, the version, the edition and the date.
fn id(
    examinations: &[Examination<'_>],
    frame: &Frame,
    source: Result<Digest, &'static str>,
    date: Option<&Shown>,
) -> Shown {
    let mut text = format!("logassay {VERSION}\nedition {}\n", Edition::Full.word());
    if let Ok(source) = source {
        text.push_str(&format!("log {source}\n"));
    }
    for examination in examinations.iter().take(1) {
        if source.is_err() {
            text.push_str(&format!("log {}\n", examination.log.naming_digest(&examination.secrecy)));
        }
        text.push_str(&format!("unit description {}\n", examination.unit.digest));
    }
    text.push_str(&format!("logs {}\n", examinations.len()));
    if let Some(paper) = &frame.case_file {
        text.push_str(&format!("case file {}\n", paper.digest));
    }
    if let Some(paper) = &frame.mapping_file {
        text.push_str(&format!("mapping {}\n", paper.digest));
    }
    for font in &frame.fonts {
        text.push_str(&format!("font {}\n", font.digest));
    }
    if let Some(date) = date {
        text.push_str(&format!("date {date}\n"));
    }
    named_by(&text)
}

/// An id that follows from a text.
fn named_by(text: &str) -> Shown {
    let digest = Digest::of(text.as_bytes()).to_string();
    let groups: Vec<&str> = (0..4).filter_map(|group| digest.get(group * 4..group * 4 + 4)).collect();
    Shown::inert(&format!("LA-{}", groups.join("-").to_uppercase()))
}

/// The statements of the first page.
fn opening(document: &Document) -> Vec<Block> {
    let mut blocks = Vec::new();
    if document.demonstration.is_some() {
        blocks.push(Block::Notice(Text::new().strong(NO_EVIDENCE)));
    }
    let state = if document.is_signed {
        "The case file states that this report is signed; see what only a person can state."
    } else {
        "Draft. Nobody has signed it. It becomes a report when a person answers for it; see what only a person can state."
    };
    blocks.push(Block::Notice(Text::from(state)));
    blocks.push(Block::Notice(Text::from(document.edition.statement())));
    blocks
}

/// Where each item of the checklist is answered.
fn checklist(sections: &[Section]) -> Section {
    let mut section = Section::new(Anchor::new("contents-checklist"), "Where required contents stand");
    section.say(
        "Published standards and guides on reports of examinations ask for these contents. None of them is known to bind \
         here; the court's directions come first. The table says where each stands.",
    );
    let mut all: Vec<&Section> = Vec::new();
    let mut todo: Vec<&Section> = sections.iter().rev().collect();
    while let Some(next) = todo.pop() {
        all.push(next);
        todo.extend(next.sections.iter().rev());
    }
    let mut table =
        Table::new("Contents asked for, and where they stand", &["contents", "asked for by", "where"]);
    for (item, contents, source) in CHECKLIST {
        let mut places = Text::new();
        let answering: Vec<&&Section> = all.iter().filter(|section| section.answers.contains(item)).collect();
        for (at, here) in answering.iter().enumerate() {
            // Sections of one title, such as one for each finding, are one place.
            let same = |other: &&&&Section| other.title == here.title;
            if answering.iter().take(at).any(|other| same(&other)) {
                continue;
            }
            if !places.0.is_empty() {
                places = places.plain("; ");
            }
            places = places.link(here.anchor.clone(), here.title.as_str());
            match answering.iter().filter(same).count() {
                1 => {}
                number => places = places.plain(&format!(" (the first of {number})")),
            }
        }
        table.push(vec![format!("{item}. {contents}").into(), (*source).into(), places]);
    }
    section.push(Block::Table(table));
    section
}

//! A record at a vote that carries more than the vocabulary knows, in words of a choice or an identity.

use super::{EXPORTER, MAKER, WAY_OF_THE_FILE, count, places};
use crate::case::Phase;
use crate::event::Event;
use crate::finding::{Kind, Place, Weight};
use crate::replay::cycle::covers;
use crate::rules::phases::said;
use crate::rules::{Basis, Contrary, Example, Family, Known, Ordinary, Rule, Scope, Walk, Want};
use crate::source::{MASK, disclosure_in};
use crate::syntax::{LineKind, Record, Secrecy};

pub(crate) static RULE: Rule = Rule {
    id: "choice-disclosed",
    family: Family::Record,
    kind: Kind::Conditional,
    weight: Weight::Departure,
    title: "A record at a vote carries an attribute in words of a choice or an identity.",
    asks: "In this file, no record at a vote of the poll carries a voter's choice or identity.",
    basis: &[
        Basis::Practice("the ballot is secret: no record ties a voter or a choice to a vote"),
        Basis::Comparable(
            "VVSG 2.0, 10.2.4-B: no selections in logs; 11.1-B and 15.1-C: nothing that identifies a voter",
        ),
    ],
    why: "A log gives the order and the minute of every vote. A choice or a name beside a vote would let each voter's \
          choice be found from a list of arrivals. What the attribute says is not printed here, nor how long it is, \
          and whoever holds the file should guard it likewise.",
    ordinary: &[
        Ordinary::new(
            "The attribute means something else, for instance an address in the unit's memory.",
            "the maker's description of the attribute",
        ),
        Ordinary::new(
            "The record is of a test or a mock poll, in which choices are noted on purpose.",
            "the diary with the times of tests and mock poll (case file: [[phase]])",
        ),
        Ordinary::new(
            "The export joined the log with another list that the unit does not keep.",
            "the description of the exporter, and the unit's own memory",
        ),
    ],
    look_next: &[
        "The maker's description of the attributes of a vote record.",
        "The court's directions on who may hold this file.",
        WAY_OF_THE_FILE,
    ],
    needs: &[],
    scope: Scope::Text,
    occasions: "records at a vote",
    examples: &[
        Example {
            title: "A vote record carries the candidate.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote candidate=1\n\
                  ^ choice-disclosed\n\
                  1203 2031-05-10 07:01:40 enable\n\
                  1204 2031-05-10 07:02:02 vote\n",
            case: "",
        },
        Example {
            title: "The enable before a vote carries the voter's number in the register.",
            log: "1201 2031-05-10 07:00:05 enable voter-number=17\n\
                  ^ choice-disclosed\n\
                  1202 2031-05-10 07:00:31 vote\n",
            case: "",
        },
        Example {
            title: "Near miss: the case file says that these records were a test.",
            log: "1201 2031-05-01 07:00:05 enable\n\
                  1202 2031-05-01 07:00:31 vote candidate=1\n\
                  1203 2031-05-01 07:01:40 total shown=1\n",
            case: "[[phase]]\nwas = \"test\"\nrecords = \"1201-1203\"\nsource = \"Test protocol\"\nby = \"Engineer\"\n",
        },
        Example {
            title: "Near miss: the vote names the ballot unit, and a key refused beside it names candidates.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote bu=BU-50931\n\
                  1203 2031-05-10 07:01:40 key-refused key=candidate-set\n",
            case: "",
        },
        Example {
            title: "Near miss: beside a vote stands a refused key that is none of the control unit's. This stays open.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote\n\
                  1203 2031-05-10 07:01:40 key-refused key=3\n",
            case: "",
        },
        Example {
            title: "Near miss: a vote carries an attribute of unknown meaning. This stays open.",
            log: "1201 2031-05-10 07:00:05 enable\n\
                  1202 2031-05-10 07:00:31 vote slot=4\n",
            case: "",
        },
    ],
    walk: |known, walk| {
        if known.log.records().is_empty() {
            let unread = known.log.lines().iter().any(|line| line.kind == LineKind::Unread);
            if unread || known.log.lines_not_read() > 0 {
                walk.unseen(Want::UnreadLines);
            } else {
                walk.does_not_apply("the file holds no record");
            }
            return;
        }
        // One finding for all records whose belonging to the poll rests on the same statement.
        let mut found: Vec<Telling> = Vec::new();
        for (place, record) in known.log.records().iter().enumerate() {
            // The same records whose unknown attributes are covered in every output.
            if known.log.touches_ballot(place) || record.event == Event::Unknown {
                judge(known, walk, place, record, &mut found);
            }
        }
        for telling in &found {
            if let Some((main, contrary)) = contrary(known, telling) {
                walk.contrary(main, contrary);
            }
        }
        texts_beside_votes(known, walk);
        if known.log.lines_not_read() > 0 {
            walk.unseen(Want::UnreadLines);
        }
    },
};

fn event(known: &Known<'_>, place: usize) -> Option<Event> {
    known.log.records().get(place).map(|record| record.event)
}

/// Whether the case file says of a record what it was, and that it was not the poll.
fn is_known_not_poll(known: &Known<'_>, place: usize) -> bool {
    known.replay.labels.get(place).is_some_and(|label| !label.is_empty() && !label.may_be(Phase::Poll))
}

fn judge(known: &Known<'_>, walk: &mut Walk<'_>, place: usize, record: &Record, found: &mut Vec<Telling>) {
    let at = Place::Line(record.line);
    if is_known_not_poll(known, place) {
        walk.in_order(at);
        return;
    }
    let names = |text: &str| disclosure_in(text.as_bytes(), false).is_some();
    let (mut telling, mut unknown, mut odd) = (0u64, false, false);
    for (key, value) in known.log.attributes(record) {
        match record.event.form_of(key.text()) {
            Some(form) if form.holds(value.text()) => {}
            // A known attribute of another event names a key or a part of the unit, never a voter's act.
            Some(_) if record.event != Event::Vote => odd = true,
            Some(_) if names(value.text()) => telling += 1,
            Some(_) => odd = true,
            None => {
                unknown = true;
                telling += u64::from(names(value.text()) || names(key.text()));
            }
        }
    }
    if telling > 0 {
        let poll = poll_premise(known, record);
        match found.iter_mut().find(|found| found.poll == poll) {
            Some(found) => {
                found.lines.push(record.line);
                found.attributes += telling;
            }
            None => found.push(Telling { poll, lines: vec![record.line], attributes: telling }),
        }
    } else if record.event == Event::Unknown && known.log.word(record).as_str().contains(MASK) {
        walk.open(
            at,
            Want::Other(
                "the word of an event that the vocabulary does not know is, or may be, that of a choice, a vote or an \
                 identity"
                    .to_owned(),
                MAKER,
                "what the unknown event records".to_owned(),
            ),
        );
    } else if odd {
        walk.open(
            at,
            Want::Other(
                "a record at a vote carries a value in another form than the vocabulary states".to_owned(),
                MAKER,
                "what the attribute records".to_owned(),
            ),
        );
    } else if unknown {
        walk.open(
            at,
            Want::Other(
                "a record at a vote carries an attribute that the vocabulary does not know".to_owned(),
                MAKER,
                "what the attribute records".to_owned(),
            ),
        );
    } else {
        walk.in_order(at);
    }
}

/// Records that tell something, with what their belonging to the poll rests on.
struct Telling {
    poll: String,
    lines: Vec<usize>,
    attributes: u64,
}

/// That a record was part of the poll, and who says so.
fn poll_premise(known: &Known<'_>, record: &Record) -> String {
    let stated =
        known.case.phases.iter().find(|stated| {
            stated.value.phase == Phase::Poll && covers(&stated.value.stretch, known.log, record)
        });
    match stated {
        Some(stated) => format!("these records were part of the poll, {}", said(&stated.basis)),
        None => "these records were part of the poll; the case file does not say what they were".to_owned(),
    }
}

fn contrary(known: &Known<'_>, telling: &Telling) -> Option<(Place, Contrary)> {
    let [main, rest @ ..] = telling.lines.as_slice() else {
        return None;
    };
    let first = known.log.line_number(*main);
    let many = telling.lines.len() as u64;
    let contrary = Contrary {
        others: places(rest),
        expected: "A vote record names its ballot unit and nothing else; no record beside it names a voter."
            .to_owned(),
        shows: format!(
            "{}, first on line {first}, in words of a choice or an identity. What the words say is covered in every \
             output.",
            count(many, "record at a vote carries an attribute", "records at a vote carry attributes")
        ),
        measured: Some(format!(
            "{}, {}",
            count(many, "record", "records"),
            count(telling.attributes, "attribute", "attributes")
        )),
        assumptions: vec![
            telling.poll.clone(),
            "the words mean what they say: the attribute tells a choice or an identity".to_owned(),
        ],
    };
    Some((Place::Line(*main), contrary))
}

const TELLING_COMMENT: &str = "a comment beside a vote has words of a choice, a vote or an identity";
const COVERED_LINE: &str = "a line beside a vote could not be read, and its text is covered because it may hold words of a \
                            choice or an identity";
const PART_OF_ITEM: &str = "an item beside a vote could not be read, and what is not shown of it may hold words of a choice or \
                            an identity";

/// Comments and lines that could not be read are no records, and nobody knows what they say. Where something of them
/// is covered and a vote or an enable stands beside them, the question stays open.
fn texts_beside_votes(known: &Known<'_>, walk: &mut Walk<'_>) {
    let strict = Secrecy::strict();
    let mut before: Option<usize> = None;
    let mut waiting: Vec<(usize, Option<usize>, &'static str)> = Vec::new();
    let mut settle = |waiting: &mut Vec<(usize, Option<usize>, &'static str)>, after: Option<usize>| {
        for (line, before, why) in waiting.drain(..) {
            let beside: Vec<usize> = [before, after].into_iter().flatten().collect();
            let is_near =
                beside.iter().any(|place| matches!(event(known, *place), Some(Event::Vote | Event::Enable)));
            if is_near && !beside.iter().all(|place| is_known_not_poll(known, *place)) {
                walk.open(
                    Place::Line(line),
                    Want::Other(why.to_owned(), EXPORTER, "what the line is, and who wrote it".to_owned()),
                );
            }
        }
    };
    for (index, line) in known.log.lines().iter().enumerate() {
        match line.kind {
            LineKind::Record(place) => {
                settle(&mut waiting, Some(place));
                before = Some(place);
            }
            LineKind::Comment if known.log.is_telling_comment(index) => {
                waiting.push((index, before, TELLING_COMMENT));
            }
            LineKind::Unread if known.log.is_veiled(index, &strict) => {
                waiting.push((index, before, COVERED_LINE));
            }
            // What stands in an unread item of another format is not all here.
            LineKind::Unread if known.log.format().is_some() => waiting.push((index, before, PART_OF_ITEM)),
            _ => {}
        }
    }
    settle(&mut waiting, None);
}

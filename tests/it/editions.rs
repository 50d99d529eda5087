//! The public edition: the moment of a vote stands in it in no spelling, and where in its half hour a vote lies changes
//! no byte of it.

use std::collections::{BTreeSet, HashMap};
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use logassay::case::Case;
use logassay::event::Event;
use logassay::finding::Verdict;
use logassay::rehearsal::fault::{faults, rehearse};
use logassay::rehearsal::{Setting, life};
use logassay::report::document::{Document, Edition};
use logassay::report::html;
use logassay::rules::Family;
use logassay::syntax::{Log, Stamp};
use logassay::unit::UnitDescription;
use logassay::{Examination, examine};

use crate::pages::{corpus, frame, logs};

const DAY: i64 = 86_400_000;
const HALF_HOUR: i64 = 30 * 60_000;

/// How many rehearsed lives are looked at beside the corpus.
const LIVES: u64 = 20;

fn page(examinations: &[Examination<'_>], edition: Edition) -> String {
    html::page(&Document::of(examinations, &frame(false), edition))
}

pub(crate) fn examined<'e>(
    logs: &'e [Log],
    case: &'e Case,
    unit: &'e UnitDescription,
) -> Vec<Examination<'e>> {
    logs.iter().map(|log| examine(log, case, unit)).collect()
}

/// A log with its name, its text, its case and unit.
type One = (String, String, Vec<Log>, Case, UnitDescription);

/// All that these tests look at, made once for all of them, each with its public page.
static ALL: LazyLock<Vec<(One, String)>> = LazyLock::new(|| {
    let with_page = |one: One| {
        let (_, _, logs, case, unit) = &one;
        let public = page(&examined(logs, case, unit), Edition::Public);
        (one, public)
    };
    all().into_iter().map(with_page).collect()
});

/// Logs with their case and unit: the corpus, rehearsed lives, and lives with a fault of the hours, the clock or the pace.
fn all() -> Vec<One> {
    let unit = UnitDescription::kestrane;
    let text = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name).with_extension("log");
        String::from_utf8_lossy(&fs::read(path).unwrap()).into_owned()
    };
    let mut all: Vec<_> = corpus()
        .into_iter()
        .map(|(name, logs, case)| (name.clone(), text(&name), logs, case, unit()))
        .collect();
    let case = |text: &str| Case::read("case", text).unwrap().case;
    for seed in 0..LIVES {
        let life = life(seed, &Setting::small(unit()));
        all.push((
            format!("life {seed}"),
            life.log.clone(),
            logs("life", life.log.as_bytes()),
            case(&life.case),
            unit(),
        ));
    }
    for fault in faults() {
        let size = fault.size(None).unwrap();
        let rehearsed = rehearse(&[(fault, size)], 1, None).unwrap();
        let life = rehearsed.life;
        all.push((
            fault.id.to_owned(),
            life.log.clone(),
            logs("life", life.log.as_bytes()),
            case(&life.case),
            rehearsed.unit,
        ));
    }
    all
}

/// Every spelling of a moment in which a page might tell it, each too long to stand there by chance.
fn spellings(time: Stamp) -> Vec<String> {
    let of_day = time.ms().rem_euclid(DAY);
    let (h, m, s) = (of_day / 3_600_000, of_day / 60_000 % 60, of_day / 1000 % 60);
    let epoch = time.ms().div_euclid(1000);
    let mut all = vec![
        format!("{h:02}:{m:02}:{s:02}"),
        format!("{h}:{m:02}:{s:02}"),
        format!("{h:02}.{m:02}.{s:02}"),
        format!("{h:02}-{m:02}-{s:02}"),
        format!("{h:02}h{m:02}"),
        format!("{h:02}{m:02}{s:02}"),
        format!("{h:02} h {m:02}"),
        epoch.to_string(),
        (epoch * 1000).to_string(),
        of_day.to_string(),
        // As a length behind the begin of its hour or half hour, where it has one to the second.
        format!("{m} min {s} s"),
        format!("{} min {s} s", m % 30),
    ];
    if m % 30 != 0 {
        all.extend([format!("{h:02}:{m:02}"), format!("{h}:{m:02}"), format!("{h:02}.{m:02}")]);
    }
    all
}

/// The length of the run of digits with which a text begins.
fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// The places of a text at which a run of digits begins, by that run: a word with digits in it, none beside it, has its
/// first run at one of them.
struct Runs<'t>(&'t str, HashMap<&'t str, Vec<usize>>);

impl<'t> Runs<'t> {
    fn of(text: &'t str) -> Runs<'t> {
        let mut runs: HashMap<&str, Vec<usize>> = HashMap::new();
        let mut at = 0;
        while let Some(next) = text[at..].find(|c: char| c.is_ascii_digit()) {
            let begin = at + next;
            at = begin + digits(&text[begin..]);
            runs.entry(&text[begin..at]).or_default().push(begin);
        }
        Runs(text, runs)
    }

    /// Whether a word with a digit in it stands in the text with no digit beside it.
    fn stands(&self, word: &str) -> bool {
        let lead = word.find(|c: char| c.is_ascii_digit()).unwrap();
        let run = &word[lead..lead + digits(&word[lead..])];
        let text = self.0.as_bytes();
        let digit = |at: usize| text.get(at).is_some_and(u8::is_ascii_digit);
        let places = self.1.get(run).into_iter().flatten().filter_map(|at| at.checked_sub(lead));
        places
            .filter(|at| text[*at..].starts_with(word.as_bytes()))
            .any(|at| !at.checked_sub(1).is_some_and(digit) && !digit(at + word.len()))
    }
}

#[test]
fn the_search_finds_a_word_with_no_digit_beside_it_and_no_other() {
    let runs = Runs::of("-77 x09:42:07, 109:42:08 09:42:099 12 min 5 s\u{e4}7");
    for there in
        ["-77", "77", "x09", "09:42:07", "109:42:08", "42:07", "12 min 5 s", "5 s", "7", "099", "42:099"]
    {
        assert!(runs.stands(there), "{there}");
    }
    for absent in [
        "-7",
        "--77",
        " 09:42:07",
        "09:42:08",
        "09:42:09",
        "9:42:07",
        "2 min 5 s",
        "42:0",
        "8",
        "12 min 5 min",
    ] {
        assert!(!runs.stands(absent), "{absent}");
    }
}

/// The moments of every vote of some logs.
fn moments(logs: &[Log]) -> BTreeSet<Stamp> {
    let records = logs.iter().flat_map(Log::records);
    records.filter(|record| record.event == Event::Vote).filter_map(|record| record.time).collect()
}

/// A page without its style, its digests and its id, whose figures are no times.
fn body(page: &str) -> String {
    let body = &page[page.find("<body>").unwrap()..];
    let hex = |word: &str| word.len() >= 40 && word.bytes().all(|b| b.is_ascii_hexdigit());
    let mut told = String::with_capacity(body.len());
    for piece in body.split_inclusive(|c: char| !c.is_ascii_alphanumeric()) {
        let end = piece.trim_end_matches(|c: char| !c.is_ascii_alphanumeric()).len();
        told.push_str(if hex(&piece[..end]) { &piece[end..] } else { piece });
    }
    told
}

#[test]
fn no_moment_of_a_vote_stands_in_the_public_edition_in_any_spelling() {
    let (mut looked, mut told) = (0, 0);
    for ((name, _, logs, case, unit), public) in ALL.iter() {
        let public = body(public);
        let full = page(&examined(logs, case, unit), Edition::Full);
        let (public, full) = (Runs::of(&public), Runs::of(&full));
        for moment in moments(logs) {
            looked += 1;
            told += usize::from(full.stands(&moment.time_of_day()));
            for spelling in spellings(moment) {
                assert!(
                    !public.stands(&spelling),
                    "{name}: the vote at {moment} stands there as {spelling:?}"
                );
            }
        }
    }
    // The full edition tells them, so that the search would find them.
    assert!(looked > 2000 && told * 10 > looked * 9, "{looked} votes, {told} in the full edition");
}

#[test]
fn the_public_edition_prints_no_digest_that_could_be_tried_out() {
    let rule_book = logassay::report::provenance::rule_book().to_string();
    for ((name, _, _, _, unit), text) in ALL.iter() {
        let known = [unit.digest.to_string(), rule_book.clone()];
        let body = &text[text.find("<body>").unwrap()..];
        for word in body.split(|c: char| !c.is_ascii_alphanumeric()) {
            let is_hex = word.len() >= 16 && word.bytes().all(|b| b.is_ascii_hexdigit());
            assert!(!is_hex || known.iter().any(|known| known == word), "{name}: {word}");
        }
    }
    let id = |time: &str| {
        let text = format!("unit-event-log 1\n1 2031-05-10 {time} vote\n");
        let logs = logs("log", text.as_bytes());
        let (case, unit) = (Case::default(), UnitDescription::kestrane());
        let examinations = examined(&logs, &case, &unit);
        [Edition::Full, Edition::Public].map(|edition| Document::of(&examinations, &frame(false), edition).id)
    };
    let (one, other) = (id("09:42:07"), id("09:42:08"));
    assert!(one[0] != other[0] && one[1] == other[1]);
}

/// A page as far as it tells something of a log: without digests and without its id, which follow from the bytes of the file.
pub(crate) fn told(read: &[Examination<'_>]) -> String {
    let page = body(&page(read, Edition::Public));
    let id = page.find("LA-").and_then(|at| page.get(at..at + 22)).unwrap().to_owned();
    page.replace(&id, "")
}

/// Where two pages differ: what stands around the first difference in each.
pub(crate) fn difference(one: &str, other: &str) -> Option<String> {
    let at = one.bytes().zip(other.bytes()).take_while(|(one, other)| one == other).count();
    let near = |text: &str| {
        let near = &text.as_bytes()[at.saturating_sub(200)..(at + 80).min(text.len())];
        String::from_utf8_lossy(near).into_owned()
    };
    (one != other).then(|| format!("{}\n{}", near(one), near(other)))
}

/// The answers to all rules with their counts, as the full edition tells them.
pub(crate) fn answers<'e>(read: &'e [Examination<'_>]) -> Vec<(&'e str, Verdict, usize, usize, usize)> {
    let answers = read.iter().flat_map(|one| &one.answers);
    answers.map(|one| (one.rule, one.verdict, one.in_order, one.open, one.contrary)).collect()
}

/// The same log with the displayed second of every vote and enable moved to anywhere in its half hour, the order kept.
fn moved(text: &str, logs: &[Log]) -> Option<String> {
    let log = logs.first().filter(|_| logs.len() == 1 && !text.contains("chain"))?;
    let mut times: Vec<Option<i64>> = log.records().iter().map(|one| one.time.map(Stamp::ms)).collect();
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let mut moves = 0;
    for (at, record) in log.records().iter().enumerate() {
        let (Some(time), Event::Vote | Event::Enable) = (record.time, record.event) else { continue };
        if time.step_ms() != 1000 {
            return None;
        }
        let near = |at: Option<usize>| at.and_then(|at| times.get(at).copied().flatten());
        let (Some(before), Some(after)) = (near(at.checked_sub(1)), near(Some(at + 1))) else { continue };
        let half = time.ms() - time.ms().rem_euclid(HALF_HOUR);
        let (from, to) = ((before + 1000).max(half), (after - 1000).min(half + HALF_HOUR - 1000));
        if from >= to || !(from..=to).contains(&time.ms()) {
            continue;
        }
        // Now the earliest second, now the latest, now one between: the answers on hours and pace need not stay as they are.
        let ms = [from, to, from + (to - from) / 3000 * 1000][at % 3];
        let line = &mut lines[record.line];
        let (old, new) = (time.to_string(), Stamp::new(ms, time.digits()).to_string());
        assert!(line.contains(&old), "{line}: {old}");
        *line = line.replacen(&old, &new, 1);
        times[at] = Some(ms);
        moves += 1;
    }
    (moves > 0).then(|| lines.join("\n"))
}

#[test]
fn where_in_its_half_hour_a_vote_lies_changes_no_byte_of_the_public_edition() {
    let (mut logs_moved, mut votes, mut turned, mut differing) = (0, 0, 0, Vec::new());
    for ((name, text, logs_before, case, unit), _) in ALL.iter() {
        // A closing digest would no longer agree, which is an answer of its own.
        let text: String = text.split_inclusive('\n').filter(|line| !line.starts_with("end ")).collect();
        let before = logs("log", text.as_bytes());
        let Some(changed) = moved(&text, &before) else { continue };
        let after = logs("log", changed.as_bytes());
        let (before, after) = (examined(&before, case, unit), examined(&after, case, unit));
        let found = difference(&told(&before), &told(&after));
        differing.extend(found.map(|found| format!("{name}:\n{found}")));
        turned += usize::from(answers(&before) != answers(&after));
        logs_moved += 1;
        votes += moments(logs_before).len();
    }
    assert!(differing.is_empty(), "{} differ: {}", differing.len(), differing.join("\n"));
    assert!(
        logs_moved > 100 && votes > 1000 && turned > 10,
        "{logs_moved} logs, {votes} votes, {turned} turned"
    );
}

/// The rules on moments stand in the list of what is left to the full edition, and nowhere else: no finding of theirs, no count,
/// no line.
#[test]
fn rules_on_moments_are_left_to_the_full_edition() {
    let mut seen = 0;
    for ((name, _, logs, case, unit), public) in ALL.iter() {
        let read = examined(logs, case, unit);
        let rows = public.split("id=\"rule-vote-after-hour\"").count();
        assert!(rows == 2 || logs.len() > 1, "{name}");
        for finding in read.iter().flat_map(|one| &one.findings) {
            let rule = logassay::rules::rule(finding.rule).unwrap();
            if !matches!(rule.family, Family::Hours | Family::Pace) {
                continue;
            }
            let title = finding.title.as_deref().unwrap_or(rule.title);
            assert!(!public.contains(title), "{name}: {title}");
            seen += 1;
        }
        for bound in ["recorded between 2031", "made between 2031", "recorded between 1"] {
            assert!(!public.contains(bound), "{name}: {bound}");
        }
    }
    assert!(seen > 10, "{seen} findings");
}

//! A law of findings: a row of the case file without which a finding would not stand is named in it, by its source.

use std::collections::{BTreeMap, BTreeSet};

use logassay::case::Case;
use logassay::examine;
use logassay::rehearsal::fault::{faults, rehearse};
use logassay::rules::RULES;
use logassay::unit::UnitDescription;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::{laws_of_nights, lives};

/// The rows of a case file, each with a source of its own, which no other text holds.
fn rows(case: &str) -> Vec<String> {
    let mut rows = vec![String::new()];
    for line in case.lines() {
        if line.starts_with('[') {
            rows.push(String::new());
        }
        let at = rows.len() - 1;
        let own = format!("source = \"{}\"", name(at));
        rows[at] += &format!("{}\n", if line.starts_with("source = ") { &own } else { line });
    }
    rows
}

/// The same case file, each row that says what a stretch of several records was written as two.
fn halved(case: &str) -> String {
    let mut rows = rows(case);
    for row in &mut rows {
        let Some((first, last)) = row.lines().find_map(|line| {
            let (first, last) = line.strip_prefix("records = \"")?.strip_suffix('"')?.split_once('-')?;
            Some((first.parse::<u64>().ok()?, last.parse::<u64>().ok()?))
        }) else {
            continue;
        };
        if row.starts_with("[[phase]]") && first < last {
            let of = |from: u64, to: u64| row.replace(&format!("{first}-{last}"), &format!("{from}-{to}"));
            let middle = first.midpoint(last);
            *row = of(first, middle) + &of(middle + 1, last);
        }
    }
    rows.concat()
}

fn name(row: usize) -> String {
    format!("Paper-{row}-")
}

/// What the findings of a rule show, and all that they say.
#[derive(Default)]
struct Said {
    shows: String,
    all: String,
}

fn found(log: &str, case: &str, unit: &UnitDescription) -> Option<BTreeMap<&'static str, Said>> {
    let (log, case) = (lives::log(log), Case::read("case", case).ok()?.case);
    let mut found: BTreeMap<&'static str, Said> = BTreeMap::new();
    for finding in &examine(&log, &case, unit).findings {
        let said = found.entry(finding.rule).or_default();
        said.shows += &format!("{:?} {} {:?}\n", finding.main, finding.shows, finding.measured);
        said.all += &format!("{finding:?}\n");
    }
    Some(found)
}

/// What a finding says of further occasions, counted and not told one by one.
const COUNTED: [(&str, &str); 1] = [("clock-rate", "[[reading]]")];

/// How often a row was left out without which a rule finds nothing more, or shows something else; and which of them its findings
/// do not name.
#[derive(Default)]
struct Tried {
    rests: usize,
    rules: BTreeSet<&'static str>,
    unnamed: BTreeMap<String, String>,
}

impl Tried {
    fn take(&mut self, title: &str, log: &str, case: &str, unit: &UnitDescription) {
        let rows = rows(case);
        let Some(whole) = found(log, &rows.concat(), unit) else { return };
        for (at, row) in rows.iter().enumerate().filter(|(at, row)| row.contains(&name(*at))) {
            // As many lines as before, so that every other row keeps its place.
            let empty = "#\n".repeat(row.lines().count());
            let texts = rows.iter().enumerate().map(|(other, row)| if other == at { &empty } else { row });
            let Some(less) = found(log, &texts.cloned().collect::<String>(), unit) else { continue };
            let head = row.lines().next().unwrap_or_default();
            for (rule, said) in &whole {
                let other = less.get(rule);
                if other.is_some_and(|other| other.shows == said.shows || COUNTED.contains(&(rule, head))) {
                    continue;
                }
                self.rests += 1;
                self.rules.insert(rule);
                if !said.all.contains(&name(at)) {
                    let other = other.map_or("", |other| &other.all);
                    let of_both =
                        format!("{title}: {row}{}without it: {other}\n{log}{}", said.all, rows.concat());
                    self.unnamed.entry(format!("{rule} and {head}")).or_insert(of_both);
                }
            }
        }
    }

    fn judge(self, rests: usize, rules: usize) {
        for (key, first) in &self.unnamed {
            println!("{key}\n{first}");
        }
        assert!(self.unnamed.is_empty(), "rows that findings do not name: {:?}", self.unnamed.keys());
        println!("{} rows, {} rules", self.rests, self.rules.len());
        assert!(self.rests > rests && self.rules.len() > rules, "{} {}", self.rests, self.rules.len());
    }
}

#[test]
fn findings_of_planted_deviations_name_every_row_they_rest_on() {
    let mut tried = Tried::default();
    for fault in faults() {
        let made = rehearse(&[(fault, fault.size(None).unwrap())], 1, None).unwrap();
        tried.take(fault.id, &made.life.log, &made.life.case, &made.unit);
        tried.take(fault.id, &made.life.log, &halved(&made.life.case), &made.unit);
    }
    tried.judge(200, 30);
}

#[test]
fn findings_of_examples_name_every_row_they_rest_on() {
    let mut tried = Tried::default();
    for example in RULES.iter().flat_map(|rule| rule.examples) {
        let log = crate::examples::prepare(example.log).text;
        tried.take(example.title, &log, example.case, &UnitDescription::kestrane());
        tried.take(example.title, &log, &halved(example.case), &UnitDescription::kestrane());
    }
    tried.judge(200, 30);
}

/// Papers with numbers that the records of a night do not bear out, for each day of which a poll is stated.
fn papers(rows: &[&str]) -> String {
    let days: Vec<&str> =
        rows.iter().filter_map(|row| row.split("date = \"").nth(1)?.split('"').next()).collect();
    let mut papers = String::new();
    for day in &days {
        let poll = if days.len() > 1 { format!("poll = \"{day}\"\n") } else { String::new() };
        for (of, value) in [("tokens", 0), ("declared", 9), ("mock-votes", 5), ("test-votes", 0)] {
            papers += &format!(
                "[[count]]\nof = \"{of}\"\nvalue = {value}\n{poll}source = \"form\"\nby = \"officer\"\n"
            );
        }
        for (hour, value) in [("06:00", 7), ("12:00", 0), ("19:00", 0)] {
            papers += &format!(
                "[[turnout]]\nat = \"{day} {hour}\"\nvalue = {value}\nsource = \"diary\"\nby = \"officer\"\n"
            );
        }
    }
    papers + "[[setting]]\nclock-line = true\nsource = \"diary\"\nby = \"officer\"\n"
}

/// `LOGASSAY_NIGHTS` sets how many.
#[test]
fn findings_of_nights_name_every_row_they_rest_on() {
    let mut tried = Tried::default();
    let mut runner =
        TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &[31; 32]));
    let nights = std::env::var("LOGASSAY_NIGHTS").map_or(300, |text| text.parse().unwrap());
    for _ in 0..nights {
        let world = laws_of_nights::world().new_tree(&mut runner).unwrap().current();
        let rows: Vec<&str> = world.rows.iter().map(|(_, row)| row.as_str()).collect();
        let (log, unit) = (lives::file(&world.lines, true), UnitDescription::kestrane());
        tried.take("night", &log, &rows.concat(), &unit);
        tried.take("night with papers", &log, &(halved(&rows.concat()) + &papers(&rows)), &unit);
    }
    tried.judge(100, 8);
}

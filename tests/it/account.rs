//! The least-assumption account against worked examples, brute force and optima made once by another program.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use logassay::event::Event;
use logassay::replay::account::{Account, Chart, Edit, Item, least};
use logassay::replay::{Belief, Machine, State};
use logassay::unit::UnitDescription;
use proptest::prelude::*;

/// The small automaton of the worked examples: states C E B X R, letters enable vote close result clear.
fn worked() -> Chart {
    const C: usize = 0;
    const E: usize = 1;
    const B: usize = 2;
    const X: usize = 3;
    const R: usize = 4;
    let row = |moves: &[(usize, usize)]| {
        let mut row = vec![0; 5];
        for (from, to) in moves {
            row[*from] = 1 << to;
        }
        row
    };
    let enable = row(&[(C, E), (B, E)]);
    let vote = row(&[(E, B)]);
    let close = row(&[(B, X), (C, X)]);
    let result = row(&[(X, R), (R, R)]);
    let clear = row(&[(R, C), (C, C)]);
    Chart::new(5, vec![enable, vote, close, result, clear])
}

const LETTERS: [&str; 5] = ["enable", "vote", "close", "result", "clear"];
const START: u32 = 1;
const XR: u32 = 0b11000;
const XRC: u32 = 0b11001;

fn word(text: &str) -> Vec<usize> {
    text.split(' ').map(|word| LETTERS.iter().position(|letter| *letter == word).unwrap()).collect()
}

fn items(word: &[usize]) -> Vec<Item> {
    word.iter().map(|letter| Item::Letter(*letter)).collect()
}

/// An edit in words, records counted from 1.
fn say(edit: Edit<usize>) -> String {
    match edit {
        Edit::Extra { at } => format!("extra #{}", at + 1),
        Edit::Missing { before, what } => format!("missing {} before #{}", LETTERS[what], before + 1),
    }
}

fn check(text: &str, end: u32, cost: u64, optima: u32, common: &[&str], possible: &[&str]) -> Account<usize> {
    let account = least(&worked(), &items(&word(text)), START, end).unwrap();
    assert_eq!((account.cost, account.accounts.clone()), (cost, optima.into()), "{text}");
    assert_eq!(account.common().map(say).collect::<Vec<_>>(), common, "{text}");
    assert_eq!(account.possible().map(say).collect::<Vec<_>>(), possible, "{text}");
    account
}

/// The three rows of the project's worked table (methods, section 2; measured there with pm4py and by enumeration).
#[test]
fn the_worked_rows() {
    let account = check(
        "enable vote vote enable vote close result",
        XR,
        1,
        3,
        &[],
        &["extra #2", "missing enable before #3", "extra #3"],
    );
    let [cluster] = account.clusters.as_slice() else { panic!("{account:?}") };
    let written: Vec<Vec<String>> =
        cluster.alternatives.iter().map(|edits| edits.iter().copied().map(say).collect()).collect();
    assert_eq!(written, [["extra #3"], ["missing enable before #3"], ["extra #2"]]);
    let account = check(
        "enable vote enable enable vote close vote result clear",
        XRC,
        2,
        3,
        &["extra #7"],
        &["extra #3", "missing vote before #4", "extra #4", "extra #7"],
    );
    assert_eq!(account.clusters.len(), 2, "{account:?}");
    let votes: Vec<String> = (1..=5)
        .flat_map(|at| {
            let close = format!("missing close before #{at}");
            [format!("missing enable before #{at}"), close, format!("extra #{at}")]
        })
        .chain(["missing close before #6".to_owned()])
        .collect();
    let votes: Vec<&str> = votes.iter().map(String::as_str).collect();
    check("vote vote vote vote vote", XR, 6, 144, &[], &votes);
}

/// Prices by kind: where a record too many is dearer, only the missing enable is least; nothing is common under both.
#[test]
fn prices_by_kind_stand_beside_unit_prices() {
    let items = items(&word("enable vote vote enable vote close result"));
    let chart = worked();
    let unit = least(&chart, &items, START, XR).unwrap();
    let priced = least(&chart.priced(|_| 2, |_| 1), &items, START, XR).unwrap();
    assert_eq!((priced.cost, priced.accounts.clone()), (1, 1_u32.into()));
    assert_eq!(priced.common().map(say).collect::<Vec<_>>(), ["missing enable before #3"]);
    assert_eq!(unit.common_under_both(&priced), []);
    assert_eq!(priced.common_under_both(&priced).len(), 1);
}

/// 'enable vote vote': without either vote, or with an enable more. What each costs is what its own letter costs.
#[test]
fn each_letter_has_its_own_prices() {
    let items = items(&word("enable vote vote enable vote close result"));
    let cost = |extra: [u32; 5], missing: [u32; 5]| {
        let chart = worked().priced(|letter| extra[letter], |letter| missing[letter]);
        let account = least(&chart, &items, START, XR).unwrap();
        (account.cost, account.common().map(say).collect::<Vec<_>>())
    };
    assert_eq!(cost([9, 2, 9, 9, 9], [5, 9, 9, 9, 9]), (2, vec![]));
    assert_eq!(cost([9, 7, 9, 9, 9], [5, 9, 9, 9, 9]), (5, vec!["missing enable before #3".to_owned()]));
    // Nothing is free: a price of nothing is one.
    assert_eq!(cost([0; 5], [9, 9, 9, 9, 9]), (1, vec![]));
    assert_eq!(cost([9; 5], [0; 5]), (1, vec!["missing enable before #3".to_owned()]));
}

/// Every way to change a word at a given cost, by trying all: a way is a sequence of moves, and it counts where some
/// start state can follow it to an end.
struct All<'c> {
    chart: &'c Chart,
    prices: &'c Prices,
    word: &'c [usize],
    end: u32,
    ways: BTreeSet<Vec<Edit<usize>>>,
}

impl All<'_> {
    fn reach(&self, letter: usize, states: u32) -> u32 {
        (0..self.chart.states())
            .filter(|state| states & 1 << state != 0)
            .fold(0, |sum, state| sum | self.chart.reached(letter, state))
    }

    fn go(&mut self, at: usize, states: u32, left: u32, edits: &mut Vec<Edit<usize>>) {
        if states == 0 {
            return;
        }
        if at == self.word.len() && left == 0 {
            if states & self.end != 0 {
                self.ways.insert(edits.clone());
            }
            return;
        }
        if at < self.word.len() {
            self.go(at + 1, self.reach(self.word[at], states), left, edits);
        }
        if let Some(letter) = self.word.get(at)
            && let Some(left) = left.checked_sub(self.prices.extra[*letter])
        {
            edits.push(Edit::Extra { at });
            self.go(at + 1, states, left, edits);
            edits.pop();
        }
        for what in 0..self.chart.letters() {
            let Some(left) = left.checked_sub(self.prices.missing[what]) else { continue };
            edits.push(Edit::Missing { before: at, what });
            self.go(at, self.reach(what, states), left, edits);
            edits.pop();
        }
    }
}

/// Per letter: what one too many costs, and one that is missing.
#[derive(Debug)]
struct Prices {
    extra: Vec<u32>,
    missing: Vec<u32>,
}

impl Prices {
    fn unit(chart: &Chart) -> Prices {
        let ones = vec![1; chart.letters()];
        Prices { extra: ones.clone(), missing: ones }
    }

    fn of(&self, edit: &Edit<usize>, word: &[usize]) -> u64 {
        u64::from(match edit {
            Edit::Extra { at } => self.extra[word[*at]],
            Edit::Missing { what, .. } => self.missing[*what],
        })
    }
}

fn by_trying_all(
    chart: &Chart,
    prices: &Prices,
    word: &[usize],
    start: u32,
    end: u32,
) -> (u64, BTreeSet<Vec<Edit<usize>>>) {
    for cost in 0.. {
        let mut all = All { chart, prices, word, end, ways: BTreeSet::new() };
        all.go(0, start, cost, &mut Vec::new());
        if !all.ways.is_empty() {
            return (u64::from(cost), all.ways);
        }
    }
    unreachable!()
}

fn agrees_with_all(chart: &Chart, word: &[usize], start: u32, end: u32) -> u64 {
    agrees_at_prices(chart, &Prices::unit(chart), word, start, end)
}

/// `chart` has these prices.
fn agrees_at_prices(chart: &Chart, prices: &Prices, word: &[usize], start: u32, end: u32) -> u64 {
    let account = least(chart, &items(word), start, end).unwrap();
    let (cost, ways) = by_trying_all(chart, prices, word, start, end);
    assert_eq!(
        (account.cost, account.accounts.clone()),
        (cost, ways.len().into()),
        "{word:?} {start:b} {end:b}"
    );
    let mut common: Vec<Edit<usize>> = ways.iter().next().unwrap().clone();
    common.retain(|edit| ways.iter().all(|way| way.contains(edit)));
    let sorted = |edits: &mut dyn Iterator<Item = Edit<usize>>| edits.collect::<BTreeSet<_>>();
    assert_eq!(sorted(&mut account.common()), sorted(&mut common.into_iter()), "{word:?}");
    assert_eq!(sorted(&mut account.possible()), sorted(&mut ways.iter().flatten().copied()), "{word:?}");
    // The clusters multiply out, and every alternative stands in some way.
    let product: num_bigint::BigUint = account.clusters.iter().map(|cluster| &cluster.accounts).product();
    assert_eq!(product, account.accounts);
    assert_eq!(account.clusters.iter().map(|cluster| cluster.cost).sum::<u64>(), account.cost);
    for cluster in &account.clusters {
        let shown = cluster.alternatives.iter().collect::<BTreeSet<_>>();
        assert_eq!(num_bigint::BigUint::from(shown.len()), cluster.accounts.clone().min(6_u32.into()));
        for alternative in &cluster.alternatives {
            let costs: u64 = alternative.iter().map(|edit| prices.of(edit, word)).sum();
            assert_eq!(costs, cluster.cost);
            let inside = |way: &&Vec<Edit<usize>>| alternative.iter().all(|edit| way.contains(edit));
            assert!(ways.iter().any(|way| inside(&way)), "{alternative:?} of {word:?}");
        }
    }
    cost
}

fn kestrane(events: &[Event]) -> Chart {
    let machine = Machine::of(&UnitDescription::kestrane());
    let row = |event: &Event| {
        let reached = |state| machine.after(Belief::of(state), *event);
        State::all().map(|state| reached(state).states().fold(0, |sum, to| sum | 1 << to.index())).collect()
    };
    Chart::new(State::COUNT, events.iter().map(row).collect())
}

const ALL: u32 = (1 << State::COUNT) - 1;

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_small_automaton_is_as_if_all_were_tried(word in prop::collection::vec(0_usize..5, 0..=6), end in 0_usize..3, any in any::<bool>()) {
        let end = [XR, XRC, 0b11111][end];
        let start = if any { 0b11111 } else { START };
        agrees_with_all(&worked(), &word, start, end);
    }

    /// Each letter has prices of its own, so that no price stands for another unseen.
    #[test]
    fn other_prices_are_as_if_all_were_tried(
        word in prop::collection::vec(0_usize..5, 0..=5),
        extra in prop::collection::vec(1_u32..=3, 5),
        missing in prop::collection::vec(1_u32..=3, 5),
        end in 0_usize..3,
        any in any::<bool>(),
    ) {
        let end = [XR, XRC, 0b11111][end];
        let start = if any { 0b11111 } else { START };
        let prices = Prices { extra, missing };
        let chart = worked().priced(|letter| prices.extra[letter], |letter| prices.missing[letter]);
        agrees_at_prices(&chart, &prices, &word, start, end);
    }

    #[test]
    fn the_unit_is_as_if_all_were_tried(word in prop::collection::vec(0_usize..8, 0..=6), any in any::<bool>()) {
        let events = [
            Event::Enable, Event::Vote, Event::Close, Event::Result, Event::Clear, Event::PowerOff, Event::PowerOn,
            Event::EnableLapsed,
        ];
        let start = if any { ALL } else { 1 };
        agrees_with_all(&kestrane(&events), &word, start, ALL);
    }
}

/// Optima of the built-in unit's table made once with pm4py; the file names its version and its call.
#[test]
fn optima_made_by_another_program() {
    #[derive(serde::Deserialize)]
    struct Golden {
        traces: Vec<Trace>,
    }
    #[derive(serde::Deserialize)]
    struct Trace {
        start: Vec<String>,
        events: String,
        cost: u64,
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracles/golden/account.json");
    let golden: Golden = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
    let chart = Chart::of(&Machine::of(&UnitDescription::kestrane()));
    let names: BTreeMap<String, usize> = State::all().map(|state| (state.name(), state.index())).collect();
    let mut with_cost = 0;
    for trace in &golden.traces {
        let letter = |word: &str| Item::Letter(Event::of_word(word.as_bytes()) as usize);
        let items: Vec<Item> = trace.events.split(' ').filter(|word| !word.is_empty()).map(letter).collect();
        let start = match trace.start.as_slice() {
            [] => ALL,
            some => some.iter().fold(0, |sum, name| sum | 1 << names[name]),
        };
        let account = least(&chart, &items, start, ALL).unwrap();
        assert_eq!(account.cost, trace.cost, "{}", trace.events);
        with_cost += usize::from(trace.cost > 0);
    }
    assert!(with_cost >= 1000, "only {with_cost} traces cost anything");
}

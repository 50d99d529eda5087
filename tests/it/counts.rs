//! Counts: the worked table, equations against an exact search, and the law that widening only widens.

use std::fmt::Write as _;

use logassay::counts::{Interval, Opinion, Outcome, Sign, Sum, System};
use logassay::examine;
use logassay::unit::UnitDescription;
use proptest::prelude::*;

use crate::lives::{case, log};

fn sum(plus: &[usize], minus: &[usize]) -> Sum {
    let terms = plus.iter().map(|at| (Sign::Plus, *at)).chain(minus.iter().map(|at| (Sign::Minus, *at)));
    Sum { terms: terms.collect() }
}

fn to(least: u64, most: u64) -> Interval {
    Interval::from_to(least, Some(most))
}

/// before, window, total, declared, register, refused, unsigned
#[allow(clippy::large_types_passed_by_value, reason = "a table of a test, read once")]
fn worked(values: [Interval; 7]) -> System {
    // before + window = total; declared = total; register - refused + unsigned = total.
    let sums = vec![sum(&[0, 1], &[2]), sum(&[3], &[2]), sum(&[4, 6], &[5, 2])];
    System { values: values.to_vec(), sums }
}

/// The worked table of `methods.md`, 8, whose rows were computed with scipy `milp` (`HiGHS`).
#[test]
fn the_worked_table_of_the_methods() {
    let (one, any) = (Interval::of, Interval::SOME);
    let system = worked([any, one(492), one(731), one(731), one(733), to(0, 5), one(0)]);
    let settled = system.settle();
    assert!(settled.conflicts.is_empty());
    assert_eq!((settled.values[0], settled.values[5]), (one(239), one(2)));
    assert_eq!(system.exact(), Some(Some(settled.values)));

    let system = worked([any, one(492), one(470), any, any, any, any]);
    assert_eq!(system.settle().conflicts, [0]);
    assert_eq!(system.exact(), Some(None));

    let system = worked([any, any, any, one(731), to(690, 700), any, one(0)]);
    let settled = system.settle();
    assert_eq!(settled.conflicts, [2]);
    assert_eq!(settled.values[3].exceeds_by(settled.values[4]), to(31, 41));
    assert_eq!(system.exact(), Some(None));

    let settled = worked([any, one(492), any, any, any, any, any]).settle();
    assert!(settled.conflicts.is_empty());
    assert_eq!(settled.values[0], any);
    assert_eq!(settled.values[2], Interval::from_to(492, None));
}

/// The same rows as logs with papers: 492 votes in the window of an open front.
#[test]
fn the_worked_table_as_logs() {
    let of = |what: &str, value: &str| {
        format!("[[count]]\nof = \"{what}\"\n{value}\nsource = \"paper\"\nby = \"officer\"\n")
    };
    let text = |total: u64| {
        let mut text = "unit-event-log 1\n".to_owned();
        for vote in 0..492 {
            _ = writeln!(text, "{} - enable\n{} - vote", 3000 + 2 * vote, 3001 + 2 * vote);
        }
        text + &format!("3984 - close total={total}\n")
    };
    let poll = "[[phase]]\nwas = \"poll\"\nrecords = \"3000-3984\"\nsource = \"diary\"\nby = \"officer\"\n"
        .to_owned();
    let unit = UnitDescription::kestrane();
    let rows = [
        poll.clone(),
        of("declared", "value = 731"),
        of("register", "value = 733"),
        of("refused", "least = 0\nmost = 5"),
        of("left-after-enable", "value = 0"),
        of("unsigned", "value = 0"),
    ];
    let (sound, papers) = (log(&text(731)), case(&rows));
    let examination = examine(&sound, &papers, &unit);
    let ledger = &examination.ledgers[0].1;
    let follows =
        |words: &str| ledger.items.iter().find(|item| item.words.starts_with(words)).unwrap().follows;
    assert_eq!(follows("votes in memory before"), Interval::of(239));
    assert_eq!(follows("voters who signed and refused"), Interval::of(2));
    assert_eq!(ledger.second_opinion(), Opinion::Same);
    assert!(!ledger.balances.iter().any(|balance| matches!(balance.outcome, Outcome::Differs(_))));
    assert!(examination.findings_of("register-differs").next().is_none());

    let (short, none) = (log(&text(470)), case(&[]));
    let examination = examine(&short, &none, &unit);
    let finding = examination.findings_of("total-differs").next().unwrap();
    assert_eq!(finding.kind, logassay::finding::Kind::Contradiction);
    assert!(finding.measured.as_ref().unwrap().contains("less by 22"), "{:?}", finding.measured);
}

/// An interval, bounded or not.
fn interval() -> impl Strategy<Value = Interval> {
    prop_oneof![
        4 => (0_u64..30).prop_map(Interval::of),
        4 => (0_u64..30, 0_u64..12).prop_map(|(least, more)| to(least, least + more)),
        2 => (0_u64..20).prop_map(|least| Interval::from_to(least, None)),
    ]
}

/// A system of up to seven numbers and five equations.
fn system() -> impl Strategy<Value = System> {
    let terms = prop::collection::vec((any::<bool>(), 0_usize..7), 2..5);
    (prop::collection::vec(interval(), 7), prop::collection::vec(terms, 1..5)).prop_map(|(values, sums)| {
        let sums = sums.into_iter().map(|terms| {
            let mut seen: Vec<(Sign, usize)> = Vec::new();
            for (plus, at) in terms {
                if seen.iter().all(|(_, other)| *other != at) {
                    seen.push((if plus { Sign::Plus } else { Sign::Minus }, at));
                }
            }
            Sum { terms: seen }
        });
        System { values, sums: sums.collect() }
    })
}

fn within(inner: Interval, outer: Interval) -> bool {
    inner.meet(outer) == inner
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whoever knows a number less exactly is told no more; a conflict under less knowledge is one under more.
    #[test]
    fn widening_only_widens(system in system(), at in 0_usize..7, by in 1_i128..9) {
        let mut wider = system.clone();
        let value = &mut wider.values[at];
        *value = Interval { least: value.least.map(|end| (end - by).max(0)), most: value.most.map(|end| end + by) };
        let (known, lesser) = (system.settle(), wider.settle());
        if known.conflicts.is_empty() {
            prop_assert!(lesser.conflicts.is_empty());
            for (narrow, wide) in known.values.iter().zip(&lesser.values) {
                prop_assert!(within(*narrow, *wide), "{narrow} {wide}");
            }
        }
        if !lesser.conflicts.is_empty() {
            prop_assert!(!known.conflicts.is_empty());
        }
    }

    /// What is narrowed step by step never leaves out what an exact search finds; and a conflict has no whole numbers.
    #[test]
    fn an_exact_search_finds_nothing_outside(system in system()) {
        let settled = system.settle();
        match system.exact() {
            Some(Some(exact)) => {
                prop_assert!(settled.conflicts.is_empty());
                for (exact, settled) in exact.iter().zip(&settled.values) {
                    prop_assert!(within(*exact, *settled), "{exact} {settled}");
                }
            }
            // Narrowing alone does not see every conflict; those that it sees are conflicts.
            Some(None) => {}
            None => prop_assert!(false, "the search gave up"),
        }
    }
}

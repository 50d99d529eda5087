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
        text + &format!("3984 - close total={total}\n3985 - result total={total}\n")
    };
    let poll = "[[phase]]\nwas = \"poll\"\nrecords = \"3000-3984\"\nsource = \"diary\"\nby = \"officer\"\n"
        .to_owned();
    let unit = UnitDescription::kestrane();
    let count = "[[phase]]\nwas = \"count\"\nrecords = \"3985-3985\"\nsource = \"diary\"\nby = \"officer\"\n";
    let rows = [
        poll.clone(),
        count.to_owned(),
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

fn stated(table: &str, keys: &str) -> String {
    format!("[[{table}]]\n{keys}\nsource = \"paper\"\nby = \"officer\"\n")
}

/// A log of ten votes with an open front, whose close shows a number; its first record was made at 11:24:50 at the latest.
fn ten_votes(total: u64) -> (String, Vec<String>) {
    let mut text = "unit-event-log 1\n".to_owned();
    for vote in 0..10 {
        let at = |second: u64| format!("2031-05-10 11:{:02}:{:02}", 24 + vote, second);
        _ = writeln!(text, "{} {} enable\n{} {} vote", 3000 + 2 * vote, at(40), 3001 + 2 * vote, at(55));
    }
    _ = writeln!(text, "3020 2031-05-10 18:03:00 close total={total}");
    let rows = vec![
        stated("poll", "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\""),
        stated("phase", "was = \"poll\"\nrecords = \"3000-3020\""),
        stated("reading", "record = 3000\nreference = \"2031-05-10 11:24:40\"\nwithin-seconds = 10"),
        stated("setting", "drift-ppm = 100"),
        stated("setting", "seconds-per-vote = 12"),
    ];
    (text, rows)
}

/// The example of `methods.md`, 1: from 07:00:00 to 11:24:50 there is time for floor(15,890 / 12) = 1,324 votes of 12 s.
#[test]
fn the_least_time_of_a_vote_bounds_what_came_before_an_open_front() {
    let unit = UnitDescription::kestrane();
    for (total, fires) in [(1334, false), (1335, true)] {
        let (text, rows) = ten_votes(total);
        let (log, papers) = (log(&text), case(&rows));
        let examination = examine(&log, &papers, &unit);
        let ledger = &examination.ledgers[0].1;
        let room = ledger.items.iter().find(|item| item.words.starts_with("votes for which there was time"));
        assert_eq!(room.unwrap().value, to(0, 1324));
        let findings: Vec<_> = examination.findings_of("vote-too-soon").collect();
        assert_eq!(!findings.is_empty(), fires, "{total}");
        let Some(finding) = findings.first() else { continue };
        assert_eq!(finding.kind, logassay::finding::Kind::Conditional);
        assert!(
            finding.measured.as_ref().unwrap().contains("1,325 votes against time for 1,324: 1 more"),
            "{:?}",
            finding.measured
        );
        let said: Vec<&str> = finding.assumptions.iter().map(|assumption| assumption.0.as_str()).collect();
        for premise in [
            "one vote takes at least 12 s, as stated in paper (by officer)",
            "the poll opened at 2031-05-10 07:00, as stated in paper (by officer)",
            "no vote lay in the memory at the opening, and no voter was released before it",
        ] {
            assert!(said.contains(&premise), "{premise}: {said:?}");
        }
        assert!(said.iter().any(|premise| premise.contains("is right")), "the reading: {said:?}");
    }
    // Without the reading, the opening or the least time nothing bounds it.
    for left_out in [0, 2, 4] {
        let (text, mut rows) = ten_votes(1335);
        rows.remove(left_out);
        let (log, papers) = (log(&text), case(&rows));
        let examination = examine(&log, &papers, &unit);
        assert!(examination.findings_of("vote-too-soon").next().is_none(), "{left_out}");
        let mut items = examination.ledgers[0].1.items.iter();
        assert!(!items.any(|item| item.words.starts_with("votes for which there was time")), "{left_out}");
    }
}

/// Every number that a case file can state stands in the ledger with its paper, and in an equation where there is one.
#[test]
fn every_number_on_paper_stands_in_the_ledger() {
    use logassay::case::CountOf;
    use logassay::counts::{Source, letter};
    let (text, mut rows) = ten_votes(20);
    let without_equation = [CountOf::Tendered, CountOf::Refused, CountOf::Unsigned];
    for (place, what) in CountOf::ALL.iter().enumerate() {
        rows.push(stated("count", &format!("of = \"{}\"\nvalue = {}", what.word(), 100 + place)));
    }
    rows.push(stated("turnout", "at = \"2031-05-10 11:30\"\nvalue = 15"));
    let unit = UnitDescription::kestrane();
    let register = CountOf::Register;
    for with_register in [true, false] {
        let rows: Vec<String> = rows
            .iter()
            .filter(|row| with_register || !row.contains(&format!("of = \"{}\"", register.word())))
            .cloned()
            .collect();
        let (log, papers) = (log(&text), case(&rows));
        let ledger = &examine(&log, &papers, &unit).ledgers[0].1;
        let used =
            |item: usize| ledger.balances.iter().any(|balance| balance.terms().any(|term| term.item == item));
        for what in CountOf::ALL {
            let items: Vec<usize> = (0..ledger.items.len())
                .filter(|at| matches!(ledger.items[*at].source, Source::Paper(of, _) if of == what))
                .collect();
            let stands = with_register || what != register;
            assert_eq!(!items.is_empty(), stands, "{what:?}");
            let balanced = items.iter().any(|item| used(*item));
            let expected = stands && (with_register || !without_equation.contains(&what));
            assert_eq!(
                balanced,
                expected,
                "{what:?} {:?}",
                items.iter().map(|at| letter(*at)).collect::<Vec<_>>()
            );
        }
        let turnout = ledger.items.iter().position(|item| matches!(item.source, Source::Turnout(_))).unwrap();
        assert!(used(turnout));
    }
}

/// A turnout lies between the votes surely and possibly recorded by then, by the clock's bounds; tokens are an upper end.
#[test]
fn turnouts_and_tokens_are_bounded_by_the_clock() {
    let unit = UnitDescription::kestrane();
    let mut text = "unit-event-log 1\n1 2031-05-10 06:50:00 total shown=0\n".to_owned();
    for vote in 0..10_u64 {
        // Votes at 17:54:30, 17:55:30 and so on to 18:03:30.
        let (hour, minute) = (17 + (54 + vote) / 60, (54 + vote) % 60);
        _ = writeln!(text, "{} 2031-05-10 {hour}:{minute:02}:10 enable", 2 + 2 * vote);
        _ = writeln!(text, "{} 2031-05-10 {hour}:{minute:02}:30 vote", 3 + 2 * vote);
    }
    text.push_str("22 2031-05-10 18:05:00 close total=10\n");
    let log = log(&text);
    let of = |turnout: u64, tokens: u64| {
        let rows = [
            stated("poll", "date = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"18:00\"\nzone = \"+02:00\""),
            stated("phase", "was = \"poll\"\nrecords = \"1-22\""),
            stated("reading", "record = 22\nreference = \"2031-05-10 18:05:00\"\nwithin-seconds = 60"),
            stated("setting", "drift-ppm = 0"),
            stated("turnout", &format!("at = \"2031-05-10 17:58:00\"\nvalue = {turnout}")),
            stated("count", &format!("of = \"tokens\"\nvalue = {tokens}")),
        ];
        let papers = case(&rows);
        let examination = examine(&log, &papers, &unit);
        let ledger = examination.ledgers[0].1.clone();
        let value =
            |words: &str| ledger.items.iter().find(|item| item.words.starts_with(words)).unwrap().value;
        let found = |rule: &str| examination.findings_of(rule).next().is_some();
        (
            value("votes recorded by"),
            value("votes of the poll released after"),
            found("turnout-differs"),
            found("tokens-differ"),
        )
    };
    // By 17:58 surely the votes to 17:56:30, and possibly those to 17:58:30; released
    // after 18:00 surely those from 18:01:10, and possibly those from 17:59:10: by hand, from a reading within a minute either way.
    let (by_then, after, ..) = of(4, 3);
    assert_eq!((by_then, after), (to(3, 5), to(3, 5)));
    for (turnout, tokens, turnout_differs, tokens_differ) in
        [(2, 3, true, false), (3, 2, false, true), (5, 9, false, false), (6, 3, true, false)]
    {
        let (_, _, turnout_found, tokens_found) = of(turnout, tokens);
        assert_eq!((turnout_found, tokens_found), (turnout_differs, tokens_differ), "{turnout} {tokens}");
    }
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

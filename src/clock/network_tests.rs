//! The network held to published values, to a network laid edge by edge, and to random ones.

use super::*;

fn edge(from: usize, to: usize, most: i128) -> Edge {
    Edge { from, to, most: Length::reached(most), why: Why::Order }
}

/// `t(to) - t(from)` lies from `least` to `most`.
fn between(from: usize, to: usize, least: i128, most: i128) -> [Edge; 2] {
    [edge(from, to, most), edge(to, from, -least)]
}

/// Dechter, Meiri and Pearl 1991, the commuting example, and its distance matrix.
#[test]
fn the_commuting_example() {
    let edges = [
        between(0, 1, 10, 20),
        between(1, 2, 30, 40),
        between(3, 2, 10, 20),
        between(3, 4, 40, 50),
        between(0, 4, 60, 70),
    ]
    .concat();
    let network = Network { nodes: 5, edges, rows: Vec::new() };
    let matrix: Vec<Vec<i128>> = (0..5)
        .map(|from| {
            let reach = network.reach(from).unwrap();
            reach.most.iter().map(|most| most.unwrap().split().0).collect()
        })
        .collect();
    assert_eq!(
        matrix,
        [
            [0, 20, 50, 30, 70],
            [-10, 0, 40, 20, 60],
            [-40, -30, 0, -10, 30],
            [-20, -10, 20, 0, 50],
            [-60, -50, -20, -40, 0]
        ]
    );
}

#[test]
fn a_contradiction_is_its_ring() {
    let edges =
        [between(0, 1, 10, 20), between(1, 2, 10, 20), between(0, 2, 50, 60), between(2, 3, 0, 5)].concat();
    let network = Network { nodes: 4, edges, rows: Vec::new() };
    let ring = network.reach(3).unwrap_err();
    let sum: i128 = ring
        .iter()
        .map(|(from, to, _)| {
            let of = |edge: &&Edge| (edge.from, edge.to) == (*from, *to);
            network.edges.iter().filter(of).map(|edge| edge.most.split().0).min().unwrap()
        })
        .sum();
    assert!(sum < 0, "{ring:?}");
    assert!(ring.windows(2).all(|pair| pair[0].1 == pair[1].0) && ring[0].0 == ring[ring.len() - 1].1);
    assert!(!ring.iter().any(|(from, to, _)| *from == 3 || *to == 3), "{ring:?}");
}

/// The reset example of `methods.md` 3.3 as it is there: neighbours are tied, and one reading at each end.
#[test]
fn the_reset_example_with_neighbours_tied() {
    let ns =
        |hours: i128, minutes: i128, seconds: i128| ((hours * 60 + minutes) * 60 + seconds) * 1_000_000_000;
    // Elapsed time between displays d seconds apart, each to the second, at 100 ppm.
    let tied = |from, to, d: i128| {
        let [mut most, mut least] = between(from, to, (d - 1) * 999_900_000, (d + 1) * 1_000_100_000);
        (most.why, least.why) = (Why::Rate(0), Why::Rate(0));
        [most, least]
    };
    let reading = |node, from, to| between(ORIGIN, node, from, to);
    let order = |from, to| [edge(to, from, 0)];
    let mut edges = Vec::new();
    edges.extend(reading(1, ns(6, 50, 0), ns(6, 51, 0)));
    edges.extend(tied(1, 2, 8040));
    edges.extend(order(2, 3));
    edges.extend(tied(3, 4, 1490));
    edges.extend(tied(4, 5, 9600));
    let open = Network { nodes: 6, edges: edges.clone(), rows: Vec::new() };
    edges.extend(reading(5, ns(17, 5, 0), ns(17, 6, 0)));
    let closed = Network { nodes: 6, edges, rows: Vec::new() };
    let tenths = |network: &Network, node: usize| {
        let of = |reach: &Reach| reach.most[node].map(|most| most.split().0);
        let round = |ns: i128| (ns + 50_000_000).div_euclid(100_000_000);
        let to = network.reversed().reach(ORIGIN).unwrap();
        let from = network.reach(ORIGIN).unwrap();
        (of(&to).map(|ns| round(-ns)), of(&from).map(round))
    };
    let at =
        |hours, minutes, tenths: i128| Some((i128::from(hours) * 60 + i128::from(minutes)) * 600 + tenths);
    assert_eq!(tenths(&closed, 2), (at(9, 3, 582), at(9, 5, 18)));
    assert_eq!(tenths(&closed, 3), (at(14, 0, 69), at(14, 1, 131)));
    assert_eq!(tenths(&closed, 4), (at(14, 24, 580), at(14, 26, 20)));
    assert_eq!(tenths(&open, 3), (at(9, 3, 582), None));
}

/// Every pair of a row laid as an edge of its own.
fn laid(network: &Network) -> Network {
    let mut edges = network.edges.clone();
    for (place, row) in network.rows.iter().enumerate() {
        for from in &row.shown {
            for to in &row.shown {
                let ms = to.to - from.from;
                let rate =
                    if ms >= 0 { 1_000_000 + i64::from(row.ppm) } else { 1_000_000 - i64::from(row.ppm) };
                if from.node != to.node {
                    let most = Length::of(at_rate(ms, rate), to.to > to.from);
                    edges.push(Edge { from: from.node, to: to.node, most, why: Why::Rate(place) });
                }
            }
        }
    }
    Network { nodes: network.nodes, edges, rows: Vec::new() }
}

/// Numbers from a seed, by the constants of Knuth's MMIX (The Art of Computer Programming, volume 2, 3.3.4).
pub(in crate::clock) fn draw(state: &mut u64, below: i64) -> i64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    i64::try_from(*state >> 33).unwrap() % below
}

/// A random log: records in one to three segments, displays to a random step, readings that may be wrong.
pub(in crate::clock) fn random(state: &mut u64) -> Network {
    let records = usize::try_from(2 + draw(state, 9)).unwrap();
    let readings = usize::try_from(1 + draw(state, 3)).unwrap();
    let mut network = Network { nodes: 1 + records + readings, ..Network::default() };
    let ppm = u32::try_from(draw(state, 2000)).unwrap();
    let rows = 1 + draw(state, 3);
    let mut display = 1_000_000 * (1 + draw(state, 5));
    network.rows = (0..rows).map(|_| Row { ppm, shown: Vec::new() }).collect();
    for node in 1..=records {
        display += draw(state, 4000);
        let step = [1, 10, 100, 1000, 60_000][usize::try_from(draw(state, 5)).unwrap()];
        let from = display - display.rem_euclid(step);
        let row =
            usize::try_from((i64::try_from(node).unwrap() - 1) * rows / i64::try_from(records).unwrap())
                .unwrap();
        network.rows[row].shown.push(Shown { node, from, to: from + step });
        if node > 1 {
            network.edges.push(edge(node, node - 1, 0));
        }
    }
    for node in 1 + records..network.nodes {
        let near = display - draw(state, 9000);
        let row = usize::try_from(draw(state, rows)).unwrap();
        network.rows[row].shown.push(Shown { node, from: near, to: near + 1000 });
        let at = i128::from(near + draw(state, 4000) - 2000) * 1_000_000;
        let width = i128::from(draw(state, 3000)) * 1_000_000;
        network.edges.extend(between(ORIGIN, node, at - width, at + width));
    }
    network
}

#[test]
fn the_sweep_of_a_row_is_every_pair_of_it() {
    let (mut state, mut contradictions) = (20_310_510, 0);
    for _ in 0..2000 {
        let network = random(&mut state);
        let laid = laid(&network);
        for (one, other) in [(network.clone(), laid.clone()), (network.reversed(), laid.reversed())] {
            match (one.reach(ORIGIN), other.reach(ORIGIN)) {
                (Ok(swept), Ok(paired)) => assert_eq!(swept.most, paired.most),
                (Err(ring), Err(_)) => {
                    contradictions += 1;
                    assert!(ring.iter().any(|(from, ..)| *from == ORIGIN), "{ring:?}");
                }
                (one, other) => panic!("{one:?} and {other:?}"),
            }
        }
    }
    assert!((100..3900).contains(&contradictions), "{contradictions} of 4000");
}

/// A clock that fell back 20,000 times, ten seconds after each: a lower bound passes through every segment, and one pass
/// takes it through all of them. A search of one pass a segment would not end in the time of a test.
#[test]
fn a_bound_passes_through_very_many_rows_at_once() {
    const ROWS: usize = 20_000;
    let mut network = Network { nodes: 1 + 2 * ROWS, ..Network::default() };
    for row in 0..ROWS {
        let (first, last) = (1 + 2 * row, 2 + 2 * row);
        let shown = [(first, 0), (last, 10_000)].map(|(node, at)| Shown { node, from: at, to: at });
        network.rows.push(Row { ppm: 0, shown: shown.to_vec() });
        if row > 0 {
            network.edges.push(edge(first, first - 1, 0));
        }
    }
    network.edges.extend(between(ORIGIN, 1, 5, 5));
    let least = network.reversed().reach(ORIGIN).unwrap();
    let most = least.most[2 * ROWS].unwrap().split().0;
    assert_eq!(-most, 5 + 10_000_000_000 * i128::try_from(ROWS).unwrap());
    // From the end back to the beginning it is the same.
    let mut back = network.clone();
    back.edges.truncate(ROWS - 1);
    back.edges.extend(between(ORIGIN, 2 * ROWS, 5, 5));
    let first = back.reach(ORIGIN).unwrap().most[1].unwrap().split().0;
    assert_eq!(first, 5 - 10_000_000_000 * i128::try_from(ROWS).unwrap());
}

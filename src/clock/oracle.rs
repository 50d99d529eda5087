//! Random sets of readings and networks with what is found on them, written out for the outside checks.
//!
//! `LOGASSAY_CLOCK=FILE cargo test --lib clock::oracle` writes them as JSON; `tests/oracles/clock.py` reads that file.

use super::line::{Stab, polygon};
use super::network::tests::{draw, random};
use super::network::{Network, ORIGIN, at_rate};

fn line_sets() -> Vec<serde_json::Value> {
    let mut state = 1999;
    let mut sets = Vec::new();
    for _ in 0..400 {
        let readings = 1 + draw(&mut state, 7);
        let ppm = u32::try_from(1 + draw(&mut state, 1000)).unwrap();
        let (rate, offset) = (draw(&mut state, 1600) - 800, draw(&mut state, 600_000));
        let step = [0, 1000, 60_000][usize::try_from(draw(&mut state, 3)).unwrap()];
        let stabs: Vec<Stab> = (0..readings)
            .map(|place| {
                let ms = draw(&mut state, 50_000_000);
                let from = if step > 0 { ms - ms.rem_euclid(step) } else { ms };
                let truly = i128::from(ms + offset) * 1_000_000 + at_rate(ms, rate);
                let (early, late) = (draw(&mut state, 20_000), draw(&mut state, 20_000));
                // One set in four has readings that may miss.
                let slip = if draw(&mut state, 4) == 0 { i128::from(draw(&mut state, 30_000)) } else { 0 };
                Stab {
                    reading: usize::try_from(place).unwrap(),
                    from,
                    to: from + step,
                    earliest: truly - i128::from(early) * 1_000_000 + slip * 1_000_000,
                    latest: truly + i128::from(late) * 1_000_000 + slip * 1_000_000,
                }
            })
            .collect();
        let at = draw(&mut state, 60_000_000);
        let ends = polygon(&stabs, ppm)
            .and_then(|polygon| polygon.ends(at, at + step))
            .map(|(least, most)| [least, most].map(|end| [end.over.to_string(), end.by.to_string()]));
        let rows: Vec<_> = stabs
            .iter()
            .map(|stab| (stab.from, stab.to, stab.earliest.to_string(), stab.latest.to_string()))
            .collect();
        sets.push(serde_json::json!({ "ppm": ppm, "readings": rows, "at": [at, at + step], "ends": ends }));
    }
    sets
}

fn networks() -> Vec<serde_json::Value> {
    let mut state = 1991;
    (0..300)
        .map(|_| {
            let network = random(&mut state);
            serde_json::json!({
                "nodes": network.nodes,
                "edges": network.edges.iter().map(|edge| (edge.from, edge.to, edge.most.split().0.to_string())).collect::<Vec<_>>(),
                "rows": network.rows.iter().map(|row| (row.ppm, row.shown.iter().map(|s| (s.node, s.from, s.to)).collect::<Vec<_>>())).collect::<Vec<_>>(),
                "most": found(&network),
                "least": found(&network.reversed()),
            })
        })
        .collect()
}

fn found(network: &Network) -> Option<Vec<Option<String>>> {
    let reach = network.reach(ORIGIN).ok()?;
    Some(reach.most.iter().map(|most| most.map(|most| most.split().0.to_string())).collect())
}

#[test]
fn random_sets_are_written_for_the_outside_checks() {
    let (lines, networks) = (line_sets(), networks());
    let unfit = |all: &[serde_json::Value], key: &str| all.iter().filter(|one| one[key].is_null()).count();
    assert!((20..380).contains(&unfit(&lines, "ends")), "{}", unfit(&lines, "ends"));
    assert!((10..290).contains(&unfit(&networks, "most")), "{}", unfit(&networks, "most"));
    if let Ok(path) = std::env::var("LOGASSAY_CLOCK") {
        let text = serde_json::json!({ "lines": lines, "networks": networks }).to_string();
        std::fs::write(path, text).unwrap();
    }
}

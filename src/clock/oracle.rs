//! Random sets of readings and networks with what is found on them, written out for the outside checks.
//!
//! `LOGASSAY_CLOCK=FILE cargo test --lib clock::oracle` writes them as JSON; `tests/oracles/clock.py` reads that file.

use super::line::{Chain, Stab, polygon};
use super::network::tests::{draw, random};
use super::network::{Network, ORIGIN, at_rate};
use crate::zone::{DATA, Instants, Zone};

/// Every second set runs through two or three segments that settings join, the step of each known to some milliseconds.
fn line_sets() -> Vec<serde_json::Value> {
    let mut state = 1999;
    let mut sets = Vec::new();
    for _ in 0..600 {
        let readings = 1 + draw(&mut state, 7);
        let ppm = u32::try_from(1 + draw(&mut state, 1000)).unwrap();
        let (rate, offset) = (draw(&mut state, 1600) - 800, draw(&mut state, 600_000));
        let step = [0, 1000, 60_000][usize::try_from(draw(&mut state, 3)).unwrap()];
        let (mut truly_set, mut chain) = (vec![0], Chain::single());
        for place in 0..usize::try_from((draw(&mut state, 4) - 1).max(0)).unwrap() {
            let (by, under, over) =
                (draw(&mut state, 800_000) - 400_000, draw(&mut state, 2000), draw(&mut state, 2000));
            truly_set.push(truly_set[place] + by);
            let (least, most) = chain.set[place];
            chain.set.push((least + by - under, most + by + over));
        }
        let segment =
            |state: &mut u64| usize::try_from(draw(state, i64::try_from(truly_set.len()).unwrap())).unwrap();
        let stabs: Vec<Stab> = (0..readings)
            .map(|place| {
                let (ms, segment) = (draw(&mut state, 50_000_000), segment(&mut state));
                let shown = ms + truly_set[segment];
                let from = if step > 0 { shown - shown.rem_euclid(step) } else { shown };
                let truly = i128::from(ms + offset) * 1_000_000 + at_rate(ms, rate);
                let (early, late) = (draw(&mut state, 20_000), draw(&mut state, 20_000));
                // One set in four has readings that may miss.
                let slip = if draw(&mut state, 4) == 0 { i128::from(draw(&mut state, 30_000)) } else { 0 };
                Stab {
                    reading: usize::try_from(place).unwrap(),
                    segment,
                    from,
                    to: from + step,
                    earliest: truly - i128::from(early) * 1_000_000 + slip * 1_000_000,
                    latest: truly + i128::from(late) * 1_000_000 + slip * 1_000_000,
                }
            })
            .collect();
        let (at, of) = (draw(&mut state, 60_000_000), segment(&mut state));
        let ends = polygon(&stabs, &chain, of, ppm)
            .and_then(|polygon| polygon.ends(at, at + step))
            .map(|(least, most)| [least, most].map(|end| [end.over.to_string(), end.by.to_string()]));
        let rows: Vec<_> = stabs
            .iter()
            .map(|stab| {
                (stab.from, stab.to, stab.earliest.to_string(), stab.latest.to_string(), stab.segment)
            })
            .collect();
        sets.push(serde_json::json!({
            "ppm": ppm, "readings": rows, "set": chain.set, "at": [at, at + step], "segment": of, "ends": ends
        }));
    }
    sets
}

/// Zones of the database in the years that a poll may lie in: every change of the offset with what the clocks showed about
/// it, and civil times between, each with the instants that show it.
fn zones() -> Vec<serde_json::Value> {
    let mut state = 2026;
    let mut all = Vec::new();
    for name in jiff::tz::TimeZoneDatabase::bundled().available() {
        let name = name.as_str().to_owned();
        let Some(zone) = Zone::of(&name).filter(|_| Zone::is_name(&name)) else { continue };
        let asked = |civil: i64| {
            let instants = match zone.instants(civil) {
                Some(Instants::One(at)) => vec![at],
                Some(Instants::Two(early, late)) => vec![early, late],
                Some(Instants::None(..)) | None => Vec::new(),
            };
            serde_json::json!([civil, instants])
        };
        let mut civil: Vec<i64> = Vec::new();
        // From 1970 to 2037, half a day at a time, the hours about each change; and forty times by chance.
        let (mut ahead, mut at) = (zone.ahead(0), 0_i64);
        while at < 2_145_916_800_000 {
            at += 43_200_000;
            let now = zone.ahead(at);
            if now != ahead {
                let about = at + i64::from(now.unwrap_or(0)) * 60_000;
                civil.extend((-54..=6).map(|quarter| about + quarter * 900_000));
                ahead = now;
            }
        }
        civil.extend((0..40).map(|_| draw(&mut state, 2_145_916_800) * 1000));
        let asked: Vec<_> = civil.into_iter().map(asked).collect();
        all.push(serde_json::json!({ "zone": name, "asked": asked }));
    }
    all
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
    assert!((20..580).contains(&unfit(&lines, "ends")), "{}", unfit(&lines, "ends"));
    assert!((10..290).contains(&unfit(&networks, "most")), "{}", unfit(&networks, "most"));
    if let Ok(path) = std::env::var("LOGASSAY_CLOCK") {
        let zones = serde_json::json!({ "data": DATA, "zones": zones() });
        let text = serde_json::json!({ "lines": lines, "networks": networks, "civil": zones }).to_string();
        std::fs::write(path, text).unwrap();
    }
}

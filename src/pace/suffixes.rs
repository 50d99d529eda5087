//! The suffix automaton of a sequence: every run of it that stands there more than once, in one pass.

use std::collections::BTreeMap;

/// A run that stands in a sequence twice without overlap: its length, and behind which places it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Repeat {
    pub(super) length: usize,
    pub(super) first_end: usize,
    pub(super) last_end: usize,
}

struct State {
    length: usize,
    link: Option<usize>,
    next: BTreeMap<u32, usize>,
    first_end: usize,
    last_end: usize,
}

/// For every class of runs that end at the same places, the longest that stands twice without overlap; longest first,
/// then by place. (Blumer and others 1985; the construction from memory. A test holds it to a plain comparison of all
/// pairs.)
pub(super) fn repeats(symbols: &[u32], at_least: usize) -> Vec<Repeat> {
    let mut states = build(symbols);
    spread_ends(&mut states);
    let mut repeats: Vec<Repeat> = states
        .iter()
        .skip(1)
        .filter_map(|state| {
            let length = state.length.min(state.last_end - state.first_end);
            let (first_end, last_end) = (state.first_end, state.last_end);
            (length >= at_least.max(1)).then_some(Repeat { length, first_end, last_end })
        })
        .collect();
    repeats.sort_by_key(|repeat| (std::cmp::Reverse(repeat.length), repeat.first_end, repeat.last_end));
    repeats.dedup();
    repeats
}

fn build(symbols: &[u32]) -> Vec<State> {
    let state = |length, next, end| State { length, link: None, next, first_end: end, last_end: end };
    let mut states = Vec::with_capacity(symbols.len() * 2 + 1);
    states.push(state(0, BTreeMap::new(), 0));
    let mut last = 0;
    for (place, symbol) in symbols.iter().enumerate() {
        let end = place + 1;
        let new = states.len();
        states.push(state(end, BTreeMap::new(), end));
        let mut walk = Some(last);
        let mut found = None;
        while let Some(at) = walk {
            let Some(here) = states.get_mut(at) else { break };
            if let Some(target) = here.next.get(symbol) {
                found = Some((at, *target));
                break;
            }
            here.next.insert(*symbol, new);
            walk = here.link;
        }
        let link = match found {
            None => 0,
            Some((at, target)) => split(&mut states, at, target, *symbol),
        };
        if let Some(new) = states.get_mut(new) {
            new.link = Some(link);
        }
        last = new;
    }
    states
}

/// The state for the shorter runs of a state that was reached by a longer way; makes it where it does not stand yet.
fn split(states: &mut Vec<State>, at: usize, target: usize, symbol: u32) -> usize {
    let shorter = states.get(at).map_or(0, |state| state.length) + 1;
    let Some(old) = states.get(target) else { return 0 };
    if old.length == shorter {
        return target;
    }
    let clone = State {
        length: shorter,
        link: old.link,
        next: old.next.clone(),
        first_end: old.first_end,
        last_end: old.last_end,
    };
    let place = states.len();
    states.push(clone);
    if let Some(old) = states.get_mut(target) {
        old.link = Some(place);
    }
    let mut walk = Some(at);
    while let Some(here) = walk.and_then(|at| states.get_mut(at)) {
        match here.next.get_mut(&symbol) {
            Some(next) if *next == target => *next = place,
            _ => break,
        }
        walk = here.link;
    }
    place
}

/// Shorter runs end wherever the longer ones of which they are the end do.
fn spread_ends(states: &mut [State]) {
    let mut order: Vec<usize> = (1..states.len()).collect();
    order.sort_by_key(|at| std::cmp::Reverse(states.get(*at).map_or(0, |state| state.length)));
    for at in order {
        let Some((link, first, last)) =
            states.get(at).and_then(|state| Some((state.link?, state.first_end, state.last_end)))
        else {
            continue;
        };
        if let Some(shorter) = states.get_mut(link).filter(|_| link > 0) {
            shorter.first_end = shorter.first_end.min(first);
            shorter.last_end = shorter.last_end.max(last);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The longest run that stands twice without overlap, by comparing every pair of places.
    fn by_all_pairs(symbols: &[u32]) -> usize {
        let n = symbols.len();
        let mut common = vec![vec![0_usize; n + 1]; n + 1];
        let mut longest = 0;
        for i in 1..=n {
            for j in i + 1..=n {
                if symbols[i - 1] == symbols[j - 1] {
                    common[i][j] = common[i - 1][j - 1] + 1;
                    longest = longest.max(common[i][j].min(j - i));
                }
            }
        }
        longest
    }

    #[test]
    fn the_automaton_finds_what_a_comparison_of_all_pairs_finds() {
        // Knuth's multiplier; any sequence of numbers does.
        let mut seed = 7_u64;
        let mut next = move || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            seed >> 33
        };
        let mut seen = std::collections::BTreeSet::new();
        for round in 0..600 {
            let letters = 1 + round % 7;
            let length = usize::try_from(next() % 60).unwrap();
            let text: Vec<u32> = (0..length).map(|_| u32::try_from(next() % letters).unwrap()).collect();
            let found = repeats(&text, 1);
            let longest = found.first().map_or(0, |repeat| repeat.length);
            assert_eq!(longest, by_all_pairs(&text), "{text:?}");
            for repeat in found {
                let run = |end: usize| &text[end - repeat.length..end];
                assert_eq!(run(repeat.first_end), run(repeat.last_end), "{text:?}");
                assert!(repeat.first_end <= repeat.last_end - repeat.length, "{text:?}");
            }
            seen.insert(longest);
        }
        assert!(seen.len() > 10, "the sequences were too much alike: {seen:?}");
    }
}

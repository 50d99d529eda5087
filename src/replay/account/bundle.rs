//! Bundles: the states that one and the same set of changes leaves open; by them accounts are counted, each once.

use std::collections::{BTreeMap, BTreeSet};

use num_bigint::BigUint;

use super::chart::{Mask, members};
use super::course::Course;
use super::{Account, COUNTED_TO, Cluster, Edit};

/// How many accounts of one cluster are written out.
const WRITTEN_OUT: usize = 6;

/// The states that one and the same sequence of changes may have led to, and what it has cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Bundle {
    /// Dearer bundles of one place come later: letters put in lead from one to the next.
    cost: u32,
    states: Mask,
}

/// A move on a cheapest course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Move {
    Agree,
    Extra,
    Missing(usize),
}

/// The ways that lead to a bundle.
#[derive(Debug, Default)]
struct Ways {
    /// How many, from the beginning of the cluster.
    number: BigUint,
    /// Letters that all of them put in at this very place; `None` as long as there is none.
    always: Option<BTreeSet<usize>>,
}

impl Ways {
    fn add(&mut self, number: &BigUint, letters: BTreeSet<usize>) {
        self.number += number;
        cap(&mut self.number);
        self.always = Some(match self.always.take() {
            Some(always) => always.intersection(&letters).copied().collect(),
            None => letters,
        });
    }
}

/// Counts no further than [`COUNTED_TO`], so that a file of nothing but contradictions costs no more than others.
fn cap(number: &mut BigUint) {
    if number.bits() > COUNTED_TO {
        *number = BigUint::from(1_u32) << COUNTED_TO;
    }
}

type Layer = BTreeMap<Bundle, Ways>;

/// A cluster in the making: from a bundle that every account passes.
struct Open {
    place: usize,
    bundle: Bundle,
    common: Vec<Edit<usize>>,
    possible: Vec<Edit<usize>>,
}

/// All cheapest accounts of a course, cut wherever all of them agree on what the states may be.
pub(super) fn account(course: &Course<'_>, start: Mask) -> Account<usize> {
    let first = Bundle { cost: 0, states: course.kept(0, start, 0) };
    let mut clusters = Vec::new();
    let mut open = Open::at(0, first);
    let mut layer = single(first);
    for place in 0..=course.items.len() {
        if place > 0
            && layer.len() == 1
            && let Some((bundle, ways)) = layer.first_key_value()
            && !course.has_dearer(place, bundle.cost)
        {
            let bundle = *bundle;
            let number = ways.number.clone();
            clusters.extend(open.close(course, place, bundle.cost, number));
            open = Open::at(place, bundle);
            layer = single(bundle);
        }
        layer = open.pass(course, place, layer);
    }
    let mut number = layer.values().map(|ways| &ways.number).sum();
    cap(&mut number);
    clusters.extend(open.close(course, course.items.len(), course.least, number));
    let mut accounts = BigUint::from(1_u32);
    for cluster in &clusters {
        accounts *= &cluster.accounts;
        cap(&mut accounts);
    }
    Account { cost: u64::from(course.least), accounts, clusters }
}

fn single(bundle: Bundle) -> Layer {
    let ways = Ways { number: BigUint::from(1_u32), always: Some(BTreeSet::new()) };
    Layer::from([(bundle, ways)])
}

impl Open {
    fn at(place: usize, bundle: Bundle) -> Open {
        Open { place, bundle, common: Vec::new(), possible: Vec::new() }
    }

    /// Passes one place: letters put in, then the item agreed with or taken out. Behind the last item the bundles in
    /// which the word may end are what is left.
    fn pass(&mut self, course: &Course<'_>, place: usize, mut layer: Layer) -> Layer {
        let mut next = Layer::new();
        let (mut agrees, mut drops) = (false, false);
        let mut at_exits: Option<BTreeSet<usize>> = None;
        let mut put_in = BTreeSet::new();
        while let Some((bundle, ways)) = layer.pop_first() {
            let always = ways.always.unwrap_or_default();
            let mut leaves = place == course.items.len() && ends(course, bundle);
            if leaves {
                next.entry(bundle).or_default().add(&ways.number, BTreeSet::new());
            }
            for (step, to) in moves(course, place, bundle) {
                if let Move::Missing(letter) = step {
                    put_in.insert(letter);
                    let mut letters = always.clone();
                    letters.insert(letter);
                    layer.entry(to).or_default().add(&ways.number, letters);
                } else {
                    leaves = true;
                    agrees |= step == Move::Agree;
                    drops |= step == Move::Extra;
                    next.entry(to).or_default().add(&ways.number, BTreeSet::new());
                }
            }
            if leaves {
                at_exits = Some(match at_exits {
                    Some(others) => others.intersection(&always).copied().collect(),
                    None => always,
                });
            }
        }
        let missing = |letters: BTreeSet<usize>| {
            letters.into_iter().map(move |letter| Edit::Missing { before: place, what: letter })
        };
        self.possible.extend(missing(put_in));
        self.common.extend(missing(at_exits.unwrap_or_default()));
        if drops {
            self.possible.push(Edit::Extra { at: place });
            if !agrees {
                self.common.push(Edit::Extra { at: place });
            }
        }
        next
    }

    /// The cluster up to a place, if anything changes in it.
    fn close(
        &mut self,
        course: &Course<'_>,
        to: usize,
        cost: u32,
        accounts: BigUint,
    ) -> Option<Cluster<usize>> {
        let cost = cost.saturating_sub(self.bundle.cost);
        (cost > 0).then(|| Cluster {
            cost: u64::from(cost),
            accounts,
            alternatives: written_out(course, (self.place, self.bundle), to),
            common: std::mem::take(&mut self.common),
            possible: std::mem::take(&mut self.possible),
            group: 0,
        })
    }
}

/// The first accounts from a bundle to a place, in a fixed order: agree before extra, extra before missing.
fn written_out(course: &Course<'_>, from: (usize, Bundle), to: usize) -> Vec<Vec<Edit<usize>>> {
    let at_end = to == course.items.len();
    // Changes as a tree: each knows the one before it, so that ways which begin alike share their beginning.
    let mut tree: Vec<(Option<usize>, Edit<usize>)> = Vec::new();
    let mut found = Vec::new();
    let mut todo = vec![(from.0, from.1, None)];
    while let Some((place, bundle, last)) = todo.pop() {
        if place == to && (!at_end || ends(course, bundle)) {
            found.push(way(&tree, last));
            if found.len() == WRITTEN_OUT {
                break;
            }
            continue;
        }
        for (step, next) in moves(course, place, bundle).into_iter().rev() {
            let (beyond, edit) = match step {
                Move::Agree => (place + 1, None),
                Move::Extra => (place + 1, Some(Edit::Extra { at: place })),
                Move::Missing(letter) => (place, Some(Edit::Missing { before: place, what: letter })),
            };
            let last = match edit {
                Some(edit) => {
                    tree.push((last, edit));
                    Some(tree.len() - 1)
                }
                None => last,
            };
            todo.push((beyond, next, last));
        }
    }
    found
}

/// The changes up to one of the tree.
fn way(tree: &[(Option<usize>, Edit<usize>)], last: Option<usize>) -> Vec<Edit<usize>> {
    let mut edits = Vec::new();
    let mut at = last.and_then(|last| tree.get(last));
    while let Some((before, edit)) = at {
        edits.push(*edit);
        at = before.and_then(|before| tree.get(before));
    }
    edits.reverse();
    edits
}

/// Whether the word may end in a bundle.
fn ends(course: &Course<'_>, bundle: Bundle) -> bool {
    bundle.cost == course.least && bundle.states & course.end != 0
}

/// The moves from a bundle on cheapest courses, in the fixed order.
fn moves(course: &Course<'_>, place: usize, bundle: Bundle) -> Vec<(Move, Bundle)> {
    let chart = course.chart;
    let mut moves = Vec::new();
    let mut put = |step: Move, states: Mask, cost: u32| {
        if states != 0 {
            moves.push((step, Bundle { cost, states }));
        }
    };
    if let Some(item) = course.items.get(place) {
        let reached = members(bundle.states).fold(0, |sum, state| sum | chart.passed(item, state));
        put(Move::Agree, course.kept(place + 1, reached, bundle.cost), bundle.cost);
        if let Some(price) = chart.price_extra(item) {
            let cost = bundle.cost.saturating_add(price);
            put(Move::Extra, course.kept(place + 1, bundle.states, cost), cost);
        }
    }
    if course.has_dearer(place, bundle.cost) {
        for letter in 0..chart.letters() {
            let reached = members(bundle.states).fold(0, |sum, state| sum | chart.reached(letter, state));
            let cost = bundle.cost.saturating_add(chart.price_missing(letter));
            put(Move::Missing(letter), course.kept(place, reached, cost), cost);
        }
    }
    moves
}

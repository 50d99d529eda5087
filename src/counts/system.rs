//! Equations between numbers of which only the ends are known: what follows, which cannot hold, and the exact second opinion.

use std::collections::BTreeSet;

use super::Interval;

/// One equation: numbers with signs whose sum is zero.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sum {
    /// Which numbers, as places among those of the system, each with its sign.
    pub terms: Vec<(Sign, usize)>,
}

/// The sign of a number in an equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sign {
    /// It is added.
    Plus,
    /// It is taken away.
    Minus,
}

impl Sign {
    /// A number with this sign.
    #[must_use]
    pub fn of(self, value: Interval) -> Interval {
        match self {
            Sign::Plus => value,
            Sign::Minus => value.negated(),
        }
    }
}

/// Numbers and the equations between them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct System {
    /// The numbers, as far as they are stated.
    pub values: Vec<Interval>,
    /// The equations, in the order in which they are brought to bear.
    pub sums: Vec<Sum>,
}

/// What follows from a system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settled {
    /// The numbers, narrowed by every equation that can hold beside those before it.
    pub values: Vec<Interval>,
    /// The equations that cannot hold beside those before them. They narrow nothing.
    pub conflicts: Vec<usize>,
}

/// Rounds of narrowing before it stops short: the ends reached so far are right, and may be wide.
const MOST_ROUNDS: usize = 2_000;

/// Narrowings that the exact search may take before it gives up.
const MOST_STEPS: usize = 400_000;

impl System {
    /// Brings the equations to bear one after the other, each to a fixpoint with those before it. One that leaves some
    /// number without a value is a conflict, and is set aside.
    #[must_use]
    pub fn settle(&self) -> Settled {
        let (mut values, mut conflicts) = (self.values.clone(), Vec::new());
        for part in self.parts() {
            let mut active: Vec<&Sum> = Vec::new();
            for (place, sum) in part {
                active.push(sum);
                let mut trial = values.clone();
                if narrow_all(&active, &mut trial) {
                    values = trial;
                } else {
                    active.pop();
                    conflicts.push(place);
                }
            }
        }
        conflicts.sort_unstable();
        Settled { values, conflicts }
    }

    /// The equations with their places, in parts that share no number: what follows in one says nothing of another. In
    /// each, and among the parts, they keep their order.
    fn parts(&self) -> Vec<Vec<(usize, &Sum)>> {
        let mut part_of: Vec<Option<usize>> = vec![None; self.values.len()];
        let mut parts: Vec<Vec<(usize, &Sum)>> = Vec::new();
        for (place, sum) in self.sums.iter().enumerate() {
            let part = parts.len();
            let mut joined = vec![(place, sum)];
            for (_, number) in &sum.terms {
                let old = part_of.get_mut(*number).and_then(|slot| slot.replace(part));
                if let Some(held) = old.filter(|old| *old != part).and_then(|old| parts.get_mut(old)) {
                    joined.append(held);
                }
            }
            for (_, number) in joined.iter().flat_map(|(_, sum)| &sum.terms) {
                if let Some(slot) = part_of.get_mut(*number) {
                    *slot = Some(part);
                }
            }
            joined.sort_unstable_by_key(|(place, _)| *place);
            parts.push(joined);
        }
        parts.retain(|part| !part.is_empty());
        parts.sort_by_key(|part| part.first().map(|(place, _)| *place));
        parts
    }

    /// Of equations that can hold together, the few beside which one more cannot: without any of them it could. (Leaving
    /// out one after the other; what is left is one smallest conflict, and others may exist.)
    #[must_use]
    pub fn against(&self, held: &[usize], place: usize) -> Vec<usize> {
        let fails = |chosen: &[usize]| {
            let sums: Vec<&Sum> = chosen.iter().chain([&place]).filter_map(|at| self.sums.get(*at)).collect();
            !narrow_all(&sums, &mut self.values.clone())
        };
        let mut needed = self.linked(held, place);
        for other in needed.clone() {
            let fewer: Vec<usize> = needed.iter().copied().filter(|at| *at != other).collect();
            if fails(&fewer) {
                needed = fewer;
            }
        }
        needed
    }

    /// The equations that hang together with one, by the numbers that they share.
    fn linked(&self, held: &[usize], place: usize) -> Vec<usize> {
        let numbers =
            |at: usize| self.sums.get(at).map_or(&[][..], |sum| sum.terms.as_slice()).iter().map(|(_, n)| *n);
        let mut known: BTreeSet<usize> = numbers(place).collect();
        let mut linked: BTreeSet<usize> = BTreeSet::new();
        loop {
            let touches = |at: &&usize| !linked.contains(*at) && numbers(**at).any(|n| known.contains(&n));
            let new: Vec<usize> = held.iter().filter(touches).copied().collect();
            if new.is_empty() {
                return linked.into_iter().collect();
            }
            known.extend(new.iter().flat_map(|at| numbers(*at)));
            linked.extend(new);
        }
    }

    /// Least and greatest value of each number over all whole numbers that fulfil every equation. `Some(None)`: there
    /// are none; `None`: the search gave up.
    #[must_use]
    pub fn exact(&self) -> Option<Option<Vec<Interval>>> {
        let ends = self.values.iter().flat_map(|value| [value.least, value.most]).flatten();
        let reach = ends.fold(1_i128, |sum, end| sum.saturating_add(end.saturating_abs()));
        // What lies beyond the reach of all stated ends together is without an end.
        let far = reach.saturating_mul(self.values.len() as i128 + 1);
        let cage = Interval { least: Some(-4 * far), most: Some(4 * far) };
        let caged: Vec<Interval> = self.values.iter().map(|value| value.meet(cage)).collect();
        if caged.iter().any(|value| value.is_empty()) {
            return Some(None);
        }
        // A number in no equation keeps its ends.
        let mut exact = self.values.clone();
        for part in self.parts() {
            let numbers: BTreeSet<usize> =
                part.iter().flat_map(|(_, sum)| sum.terms.iter().map(|(_, number)| *number)).collect();
            let own: Vec<Interval> =
                numbers.iter().filter_map(|number| caged.get(*number)).copied().collect();
            let renamed = |(_, sum): &(usize, &Sum)| Sum {
                terms: sum
                    .terms
                    .iter()
                    .map(|(sign, number)| (*sign, numbers.range(..*number).count()))
                    .collect(),
            };
            let sums: Vec<Sum> = part.iter().map(renamed).collect();
            let mut search = Search { sums: sums.iter().collect(), steps: 0 };
            if !search.is_possible(&own)? {
                return Some(None);
            }
            for (place, number) in numbers.iter().enumerate() {
                let most = search.greatest(&own, place, Sign::Plus)?;
                let least = -search.greatest(&own, place, Sign::Minus)?;
                if let Some(slot) = exact.get_mut(*number) {
                    *slot = Interval {
                        least: (least >= -2 * far).then_some(least),
                        most: (most <= 2 * far).then_some(most),
                    };
                }
            }
        }
        Some(Some(exact))
    }
}

/// Narrows every number by every equation until nothing changes; whether each number still has a value.
fn narrow_all(sums: &[&Sum], values: &mut [Interval]) -> bool {
    if values.iter().any(|value| value.is_empty()) {
        return false;
    }
    for _ in 0..MOST_ROUNDS {
        let mut changed = false;
        for sum in sums {
            match narrow(sum, values) {
                Some(moved) => changed |= moved,
                None => return false,
            }
        }
        if !changed {
            return true;
        }
    }
    true
}

/// Narrows each number of one equation by the others; `None` when one has no value left.
fn narrow(sum: &Sum, values: &mut [Interval]) -> Option<bool> {
    let mut moved = false;
    if sum.terms.is_empty() {
        return Some(false);
    }
    for (place, (sign, which)) in sum.terms.iter().enumerate() {
        let mut rest = Interval::ZERO;
        for (other, (sign, which)) in sum.terms.iter().enumerate() {
            if other != place {
                rest = rest.plus(sign.of(values.get(*which).copied()?));
            }
        }
        let value = values.get_mut(*which)?;
        let narrowed = value.meet(sign.of(rest.negated()));
        if narrowed.is_empty() {
            return None;
        }
        moved |= narrowed != *value;
        *value = narrowed;
    }
    Some(moved)
}

/// The search over whole numbers: narrow, then halve the shortest range that is left.
struct Search<'s> {
    sums: Vec<&'s Sum>,
    steps: usize,
}

impl Search<'_> {
    /// Whether whole numbers within these ends fulfil every equation; `None` when it gave up.
    fn is_possible(&mut self, values: &[Interval]) -> Option<bool> {
        let mut open = vec![values.to_vec()];
        while let Some(mut values) = open.pop() {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return None;
            }
            if !narrow_all(&self.sums, &mut values) {
                continue;
            }
            let width = |value: &Interval| value.most.zip(value.least).map(|(most, least)| most - least);
            let ranges = values.iter().enumerate().filter_map(|(place, value)| Some((width(value)?, place)));
            let Some((_, place)) = ranges.filter(|(width, _)| *width > 0).min() else {
                return Some(true);
            };
            let mut upper = values.clone();
            if let (Some(low), Some(high)) = (values.get_mut(place), upper.get_mut(place))
                && let (Some(least), Some(most)) = (low.least, low.most)
            {
                let middle = least + (most - least) / 2;
                low.most = Some(middle);
                high.least = Some(middle + 1);
            }
            open.push(upper);
            open.push(values);
        }
        Some(false)
    }

    /// The greatest value of a number with a sign, within ends that are possible.
    fn greatest(&mut self, values: &[Interval], place: usize, sign: Sign) -> Option<i128> {
        let range = sign.of(values.get(place).copied()?);
        let (mut least, mut most) = (range.least?, range.most?);
        while least < most {
            let middle = least + (most - least).div_euclid(2) + 1;
            let mut trial = values.to_vec();
            let upper = Interval { least: Some(middle), most: Some(most) };
            *trial.get_mut(place)? = sign.of(upper);
            if self.is_possible(&trial)? {
                least = middle;
            } else {
                most = middle - 1;
            }
        }
        Some(least)
    }
}

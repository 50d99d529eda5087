//! The straight line: a clock that runs at one constant rate, where the case file allows to assume it.
//!
//! A reading that displayed from `u` to before `u + q` at a true time from `l` to `h` says `a + b u <= h` and
//! `a + b (u + q) >= l`; the rate bounds b. What fits all of them is a convex polygon of (a, b), and the bounds on a record
//! displayed at `x` are the least `a + b x` and the greatest `a + b (x + q)` over its corners (methods.md 3.2; Moon, Skelly
//! and Towsley, INFOCOM 1999, for the linear program). Every number is a fraction of whole numbers. By Helly's theorem in
//! the plane, three half-planes at most already show that nothing fits, so at most three readings of one segment do.
//!
//! **Across a setting** that a record states the rate b stays, and the offset jumps by a step D of the display that is known
//! to the steps in which its times are written: `a` before and `a'` after it keep `b least(D) <= a - a' <= b greatest(D)`.
//! That is a linear program with one more unknown a setting. Its projection on (a, b) of one segment is a polygon again,
//! and by Fourier and Motzkin's elimination of the other offsets it is exactly this: the readings of other segments, their
//! displays moved by the settings between and widened by what these leave open, and what any two readings say of b.

use std::cmp::Ordering;

/// Most readings through which a line is laid: those of one segment and of all that settings join to it.
pub(super) const MOST_READINGS: usize = 50;

/// Most segments that one line runs through; a further setting begins another.
pub(super) const MOST_SEGMENTS: usize = 20;

/// A reading as the line sees it: milliseconds of the display, nanoseconds of true time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stab {
    /// Its place among the readings of the clock.
    pub(super) reading: usize,
    /// Its segment, by its place in the chain.
    pub(super) segment: usize,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) earliest: i128,
    pub(super) latest: i128,
}

/// Segments that settings join: per segment by how much the display has been set forward since the first of them, at
/// least and at most, in milliseconds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Chain {
    pub(super) set: Vec<(i64, i64)>,
}

impl Chain {
    /// One segment by itself.
    pub(super) fn single() -> Chain {
        Chain { set: vec![(0, 0)] }
    }

    /// By how much the display was set from one segment to another, at least and at most.
    fn between(&self, one: usize, other: usize) -> Option<(i64, i64)> {
        let (a, b) = (self.set.get(one)?, self.set.get(other)?);
        Some(if other >= one { (b.0 - a.0, b.1 - a.1) } else { (b.1 - a.1, b.0 - a.0) })
    }

    /// A reading as the display of a segment would have shown it.
    fn seen_from(&self, segment: usize, stab: &Stab) -> Option<Stab> {
        let (least, most) = self.between(segment, stab.segment)?;
        Some(Stab { from: stab.from - most, to: stab.to - least, ..*stab })
    }
}

/// `p a + q b <= r`.
#[derive(Debug, Clone)]
struct Half {
    p: i128,
    q: i128,
    r: i128,
    readings: Vec<usize>,
}

/// A corner of the polygon: a = `a` / `by` nanoseconds, b = `b` / `by` nanoseconds per millisecond, `by` > 0.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Corner {
    pub(super) a: i128,
    pub(super) b: i128,
    pub(super) by: i128,
    /// The two edges that meet in it.
    edges: [Edge; 2],
}

/// An edge of the polygon: p and q, and the readings on which it rests.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Edge {
    normal: (i128, i128),
    readings: Vec<usize>,
}

/// The polygon of all lines that fit, for the display of one segment. Displays are counted from `origin`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Polygon {
    pub(super) origin: i64,
    pub(super) corners: Vec<Corner>,
}

/// The lines that fit some readings, for the display of a segment of their chain; `None` where none does.
pub(super) fn polygon(stabs: &[Stab], chain: &Chain, segment: usize, ppm: u32) -> Option<Polygon> {
    let seen: Vec<Stab> = stabs.iter().map(|stab| chain.seen_from(segment, stab)).collect::<Option<_>>()?;
    let first = seen.first()?;
    let mut halves = halves(&seen, first.from, first.earliest, ppm);
    halves.extend(rates(stabs, chain));
    let mut corners: Vec<Corner> = Vec::new();
    for (place, one) in halves.iter().enumerate() {
        for other in halves.iter().skip(place + 1) {
            if let Some(corner) = corner(one, other)
                && halves.iter().all(|half| holds(half, &corner))
            {
                corners.push(corner);
            }
        }
    }
    // Back from the first reading's time to the count of instants.
    for corner in &mut corners {
        corner.a = first.earliest.checked_mul(corner.by)?.checked_add(corner.a)?;
    }
    (!corners.is_empty()).then_some(Polygon { origin: first.from, corners })
}

fn halves(stabs: &[Stab], origin: i64, zero: i128, ppm: u32) -> Vec<Half> {
    let (least, most) = (1_000_000 - i128::from(ppm), 1_000_000 + i128::from(ppm));
    let mut halves = vec![
        Half { p: 0, q: -1, r: -least, readings: Vec::new() },
        Half { p: 0, q: 1, r: most, readings: Vec::new() },
    ];
    for stab in stabs {
        let at = |ms: i64| i128::from(ms) - i128::from(origin);
        let readings = vec![stab.reading];
        halves.push(Half { p: 1, q: at(stab.from), r: stab.latest - zero, readings: readings.clone() });
        halves.push(Half { p: -1, q: -at(stab.to), r: zero - stab.earliest, readings });
    }
    halves
}

/// What pairs of readings of different segments say of the rate alone, by the settings between them: the tightest from
/// above and from below. Of pairs that one segment holds, the half-planes of each say as much already, but only seen from
/// that segment.
fn rates(stabs: &[Stab], chain: &Chain) -> Vec<Half> {
    let (mut above, mut below): (Option<Half>, Option<Half>) = (None, None);
    if chain.set.len() < 2 {
        return Vec::new();
    }
    let mut never = Vec::new();
    for one in stabs {
        for other in stabs.iter().filter(|other| other.reading != one.reading) {
            // The one had come to its end at its earliest or later, the other to its beginning at its latest or before.
            let Some(seen) = chain.seen_from(one.segment, other) else { continue };
            let (q, r) = (i128::from(seen.from) - i128::from(one.to), other.latest - one.earliest);
            let half = Half { p: 0, q, r, readings: vec![one.reading, other.reading] };
            match q.cmp(&0) {
                Ordering::Greater if above.as_ref().is_none_or(|most| is_tighter(&half, most)) => {
                    above = Some(half)
                }
                Ordering::Less if below.as_ref().is_none_or(|least| is_tighter(&half, least)) => {
                    below = Some(half);
                }
                Ordering::Equal if r < 0 => never.push(half),
                _ => {}
            }
        }
    }
    above.into_iter().chain(below).chain(never).collect()
}

/// Whether one bound on b is tighter than another of the same side: `r / q` is less from above, and greater from below.
fn is_tighter(one: &Half, other: &Half) -> bool {
    // |q| > 0 on both sides, so that in both cases r |q'| < r' |q| says it.
    let products = one.r.checked_mul(other.q.abs()).zip(other.r.checked_mul(one.q.abs()));
    products.is_some_and(|(one, other)| one < other)
}

/// Where two edges meet; `None` where they are parallel, or the numbers are too great.
fn corner(one: &Half, other: &Half) -> Option<Corner> {
    let minus = |x: i128, y: i128, z: i128, w: i128| x.checked_mul(y)?.checked_sub(z.checked_mul(w)?);
    let by = minus(one.p, other.q, other.p, one.q)?;
    let a = minus(one.r, other.q, other.r, one.q)?;
    let b = minus(one.p, other.r, other.p, one.r)?;
    let sign = by.signum();
    (sign != 0).then(|| {
        let edges =
            [one, other].map(|half| Edge { normal: (half.p, half.q), readings: half.readings.clone() });
        Corner { a: a * sign, b: b * sign, by: by * sign, edges }
    })
}

fn holds(half: &Half, corner: &Corner) -> bool {
    let left = half.p.checked_mul(corner.a).zip(half.q.checked_mul(corner.b));
    let sum = left.and_then(|(a, b)| a.checked_add(b));
    // What cannot be counted is not ruled out: a corner too many only widens.
    sum.zip(half.r.checked_mul(corner.by)).is_none_or(|(left, right)| left <= right)
}

/// An end of the bounds on a display: a fraction of nanoseconds, and the readings that bind it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct End {
    pub(super) over: i128,
    pub(super) by: i128,
    pub(super) readings: Vec<usize>,
}

impl Corner {
    /// The readings that bind the greatest value of `towards (a + b x)` at this corner; `None` where its edges do not bind it.
    /// They do where the direction of the value lies between the normals of the edges: the dual of the linear program. Where
    /// more than two edges meet in one point, that holds of some pairs of them only.
    fn binding(&self, x: i128, towards: i128) -> Option<Vec<usize>> {
        let [first, second] = &self.edges;
        let cross = |one: (i128, i128), other: (i128, i128)| {
            one.0.checked_mul(other.1)?.checked_sub(one.1.checked_mul(other.0)?)
        };
        let aim = (towards, towards.checked_mul(x)?);
        let turn = cross(first.normal, second.normal)?.signum();
        let one = cross(aim, second.normal)?.checked_mul(turn)?;
        let other = cross(first.normal, aim)?.checked_mul(turn)?;
        let of = |share: i128, readings: &Vec<usize>| if share > 0 { readings.clone() } else { Vec::new() };
        let mut readings = [of(one, &first.readings), of(other, &second.readings)].concat();
        readings.sort_unstable();
        readings.dedup();
        (one >= 0 && other >= 0).then_some(readings)
    }

    /// All readings of its edges.
    fn readings(&self) -> Vec<usize> {
        let mut readings = self.edges.each_ref().map(|edge| edge.readings.clone()).concat();
        readings.sort_unstable();
        readings.dedup();
        readings
    }
}

impl Polygon {
    /// The least and the greatest true time of an instant at which the display stood at `from`, or just before `to`.
    pub(super) fn ends(&self, from: i64, to: i64) -> Option<(End, End)> {
        let at = |corner: &Corner, ms: i64| {
            corner.a.checked_add(corner.b.checked_mul(i128::from(ms.checked_sub(self.origin)?))?)
        };
        // Fractions are compared by their whole parts first, so that products stay small.
        let less = |(one, by): &(i128, &Corner), (other, over): &(i128, &Corner)| {
            let (by, over) = (by.by, over.by);
            one.div_euclid(by).cmp(&other.div_euclid(over)).then_with(|| {
                match (one.rem_euclid(by).checked_mul(over), other.rem_euclid(over).checked_mul(by)) {
                    (Some(x), Some(y)) => x.cmp(&y),
                    _ => Ordering::Equal,
                }
            })
        };
        let of = |ms| {
            let ends = self.corners.iter().map(|corner| Some((at(corner, ms)?, corner)));
            ends.collect::<Option<Vec<(i128, &Corner)>>>()
        };
        let end = |(over, corner): (i128, &Corner), ms: i64, towards: i128| {
            let all = of(ms)?;
            let same = all.iter().filter(|other| less(&(over, corner), other) == Ordering::Equal);
            let x = i128::from(ms.checked_sub(self.origin)?);
            let readings = same.filter_map(|(_, corner)| corner.binding(x, towards)).min_by_key(Vec::len);
            Some(End { over, by: corner.by, readings: readings.unwrap_or_else(|| corner.readings()) })
        };
        let least = of(from)?.into_iter().min_by(less)?;
        let greatest = of(to)?.into_iter().max_by(less)?;
        Some((end(least, from, -1)?, end(greatest, to, 1)?))
    }
}

/// Every smallest set of up to three readings through which no line passes. Across settings the smallest may be larger:
/// where none of three exists, one set from which no reading can be left out.
pub(super) fn conflicts(stabs: &[Stab], chain: &Chain, ppm: u32) -> Vec<Vec<usize>> {
    let mut found: Vec<Vec<usize>> = Vec::new();
    let fits = |set: &[&Stab]| {
        let set: Vec<Stab> = set.iter().map(|stab| **stab).collect();
        set.first().is_none_or(|first| polygon(&set, chain, first.segment, ppm).is_some())
    };
    for (i, one) in stabs.iter().enumerate() {
        add(&mut found, &[one], fits);
        for second in stabs.iter().skip(i + 1) {
            add(&mut found, &[one, second], fits);
        }
    }
    for (i, one) in stabs.iter().enumerate() {
        for (j, second) in stabs.iter().enumerate().skip(i + 1) {
            for third in stabs.iter().skip(j + 1) {
                add(&mut found, &[one, second, third], fits);
            }
        }
    }
    if found.is_empty() {
        let mut set: Vec<&Stab> = stabs.iter().collect();
        for stab in stabs {
            let without: Vec<&Stab> =
                set.iter().copied().filter(|other| other.reading != stab.reading).collect();
            if !fits(&without) {
                set = without;
            }
        }
        found.push(set.iter().map(|stab| stab.reading).collect());
    }
    found
}

/// Adds a set that does not fit, unless a smaller one in it does not either.
fn add(found: &mut Vec<Vec<usize>>, set: &[&Stab], fits: impl Fn(&[&Stab]) -> bool) {
    let within =
        |small: &Vec<usize>| small.iter().all(|reading| set.iter().any(|stab| stab.reading == *reading));
    if !found.iter().any(within) && !fits(set) {
        found.push(set.iter().map(|stab| stab.reading).collect());
    }
}

#[cfg(test)]
#[path = "line_tests.rs"]
mod tests;

//! The straight line: a clock that runs at one constant rate over a segment, where the case file allows to assume it.
//!
//! A reading that displayed from `u` to before `u + q` at a true time from `l` to `h` says `a + b u <= h` and
//! `a + b (u + q) >= l`; the rate bounds b. What fits all of them is a convex polygon of (a, b), and the bounds on a record
//! displayed at `x` are the least `a + b x` and the greatest `a + b (x + q)` over its corners (methods.md 3.2; Moon, Skelly
//! and Towsley, INFOCOM 1999, for the linear program). Every number is a fraction of whole numbers. By Helly's theorem in
//! the plane, three half-planes at most already show that nothing fits, so at most three readings do.

/// Most readings of one segment through which a line is laid.
pub(super) const MOST_READINGS: usize = 50;

/// A reading as the line sees it: milliseconds of the display, nanoseconds of true time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stab {
    /// Its place among the readings of the clock.
    pub(super) reading: usize,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) earliest: i128,
    pub(super) latest: i128,
}

/// `p a + q b <= r`.
#[derive(Debug, Clone, Copy)]
struct Half {
    p: i128,
    q: i128,
    r: i128,
    reading: Option<usize>,
}

/// A corner of the polygon: a = `a` / `by` nanoseconds, b = `b` / `by` nanoseconds per millisecond, `by` > 0.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Corner {
    pub(super) a: i128,
    pub(super) b: i128,
    pub(super) by: i128,
    /// The readings on which it rests.
    pub(super) readings: Vec<usize>,
}

/// The polygon of all lines that fit. Displays are counted from `origin`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Polygon {
    pub(super) origin: i64,
    pub(super) corners: Vec<Corner>,
}

/// The lines that fit some readings; `None` where none does.
pub(super) fn polygon(stabs: &[Stab], ppm: u32) -> Option<Polygon> {
    let first = stabs.first()?;
    let halves = halves(stabs, first.from, first.earliest, ppm);
    let mut corners: Vec<Corner> = Vec::new();
    for (place, one) in halves.iter().enumerate() {
        for other in halves.iter().skip(place + 1) {
            if let Some(corner) = corner(*one, *other)
                && halves.iter().all(|half| holds(*half, &corner))
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
    let mut halves =
        vec![Half { p: 0, q: -1, r: -least, reading: None }, Half { p: 0, q: 1, r: most, reading: None }];
    for stab in stabs {
        let at = |ms: i64| i128::from(ms) - i128::from(origin);
        let reading = Some(stab.reading);
        halves.push(Half { p: 1, q: at(stab.from), r: stab.latest - zero, reading });
        halves.push(Half { p: -1, q: -at(stab.to), r: zero - stab.earliest, reading });
    }
    halves
}

/// Where two edges meet; `None` where they are parallel, or the numbers are too great.
fn corner(one: Half, other: Half) -> Option<Corner> {
    let minus = |x: i128, y: i128, z: i128, w: i128| x.checked_mul(y)?.checked_sub(z.checked_mul(w)?);
    let by = minus(one.p, other.q, other.p, one.q)?;
    let a = minus(one.r, other.q, other.r, one.q)?;
    let b = minus(one.p, other.r, other.p, one.r)?;
    let readings: Vec<usize> = one.reading.into_iter().chain(other.reading).collect();
    match by.signum() {
        0 => None,
        sign => Some(Corner { a: a * sign, b: b * sign, by: by * sign, readings }),
    }
}

fn holds(half: Half, corner: &Corner) -> bool {
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

impl Polygon {
    /// The least and the greatest true time of an instant at which the display stood at `from`, or just before `to`.
    pub(super) fn ends(&self, from: i64, to: i64) -> Option<(End, End)> {
        let at = |corner: &Corner, ms: i64| {
            let over =
                corner.a.checked_add(corner.b.checked_mul(i128::from(ms.checked_sub(self.origin)?))?)?;
            Some(End { over, by: corner.by, readings: corner.readings.clone() })
        };
        // Fractions are compared by their whole parts first, so that products stay small.
        let less = |one: &End, other: &End| {
            let (a, b) = (one.over.div_euclid(one.by), other.over.div_euclid(other.by));
            let rest = |end: &End| end.over.rem_euclid(end.by);
            a.cmp(&b).then_with(|| match (rest(one).checked_mul(other.by), rest(other).checked_mul(one.by)) {
                (Some(x), Some(y)) => x.cmp(&y),
                _ => std::cmp::Ordering::Equal,
            })
        };
        let of = |ms| self.corners.iter().map(move |corner| at(corner, ms)).collect::<Option<Vec<End>>>();
        let least = of(from)?.into_iter().min_by(less)?;
        let greatest = of(to)?.into_iter().max_by(less)?;
        Some((least, greatest))
    }
}

/// Every smallest set of readings through which no line passes: of one, two or three.
pub(super) fn conflicts(stabs: &[Stab], ppm: u32) -> Vec<Vec<usize>> {
    let mut found: Vec<Vec<usize>> = Vec::new();
    let fits = |set: &[&Stab]| {
        let set: Vec<Stab> = set.iter().map(|stab| **stab).collect();
        polygon(&set, ppm).is_some()
    };
    for (i, one) in stabs.iter().enumerate() {
        if !fits(&[one]) {
            found.push(vec![one.reading]);
        }
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

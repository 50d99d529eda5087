//! The spread of lengths of time: quartiles and how many different ones there are.

/// Quartiles and extremes of some lengths, in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// How many lengths.
    pub number: usize,
    /// How many different lengths.
    pub different: usize,
    /// The least.
    pub least: i64,
    /// A quarter of the lengths are at most this.
    pub lower: i64,
    /// Half of the lengths are at most this.
    pub middle: i64,
    /// Three quarters of the lengths are at most this.
    pub upper: i64,
    /// The greatest.
    pub greatest: i64,
}

impl Spread {
    /// Measures lengths; `None` where there is none. Each quartile is one of the lengths: the least that the stated
    /// share does not exceed.
    #[must_use]
    pub fn of(lengths: &[i64]) -> Option<Spread> {
        let mut sorted = lengths.to_vec();
        sorted.sort_unstable();
        let rank =
            |quarters: usize| sorted.get((sorted.len() * quarters).div_ceil(4).saturating_sub(1)).copied();
        let mut different = sorted.clone();
        different.dedup();
        Some(Spread {
            number: sorted.len(),
            different: different.len(),
            least: *sorted.first()?,
            lower: rank(1)?,
            middle: rank(2)?,
            upper: rank(3)?,
            greatest: *sorted.last()?,
        })
    }

    /// The distance between the outer quartiles: the middle half of the lengths lies in it.
    #[must_use]
    pub fn middle_half(&self) -> i64 {
        self.upper - self.lower
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quartiles_are_lengths_that_stand_there() {
        // Worked out by hand.
        let spread = Spread::of(&[5, 1, 3, 2, 4, 3, 9, 7]).unwrap();
        assert_eq!((spread.number, spread.different), (8, 7));
        assert_eq!(
            (spread.least, spread.lower, spread.middle, spread.upper, spread.greatest),
            (1, 2, 3, 5, 9)
        );
        assert_eq!(spread.middle_half(), 3);
        assert_eq!(Spread::of(&[]), None);
        let one = Spread::of(&[4]).unwrap();
        assert_eq!((one.lower, one.middle, one.upper), (4, 4, 4));
    }
}

//! Arrivals and waiting: when voters come, and when the desk and the booth are free for them.

use super::chance::{Chance, ms};

/// How many voters come when: the weight of each part of the polling hours, straight between its knots. The knots lie
/// at equal distances from opening to closing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate<'k> {
    /// Weights at the knots, at least two, none negative.
    pub knots: &'k [f64],
    /// Opening, in milliseconds.
    pub opens: i64,
    /// Closing, in milliseconds.
    pub closes: i64,
    /// Voters expected between the two.
    pub expected: f64,
}

impl Rate<'_> {
    /// Voters per second at a moment; none outside the hours.
    #[must_use]
    #[allow(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "milliseconds of a day and a few knots fit"
    )]
    pub fn at(&self, moment: i64) -> f64 {
        if moment < self.opens || moment >= self.closes || self.knots.len() < 2 {
            return 0.0;
        }
        let parts = (self.knots.len() - 1) as f64;
        let place = (moment - self.opens) as f64 / (self.closes - self.opens) as f64 * parts;
        let left = libm::floor(place);
        let knot = |at: usize| self.knots.get(at).copied().unwrap_or(0.0);
        let (from, to) = (knot(left as usize), knot(left as usize + 1));
        (from + (to - from) * (place - left)) * self.scale()
    }

    /// Voters per second that a weight of 1 stands for.
    #[allow(clippy::cast_precision_loss, reason = "milliseconds of a day and a few knots fit")]
    fn scale(&self) -> f64 {
        let pairs = self.knots.iter().zip(self.knots.iter().skip(1));
        let mean = pairs.map(|(a, b)| f64::midpoint(*a, *b)).sum::<f64>() / (self.knots.len() - 1) as f64;
        self.expected / mean / ((self.closes - self.opens) as f64 / 1000.0)
    }

    /// When voters come: arrivals at the highest rate, each kept as often as the rate at that moment is to the highest
    /// (Lewis and Shedler 1979).
    pub fn arrivals(&self, chance: &mut Chance) -> Vec<i64> {
        let mut arrivals = Vec::new();
        let highest = self.knots.iter().copied().fold(0.0, f64::max) * self.scale();
        // Written so that a rate that is no number ends here too.
        if !(highest > 0.0 && highest.is_finite()) {
            return arrivals;
        }
        let mut moment = self.opens;
        loop {
            moment = moment.saturating_add(ms(chance.exponential(1.0 / highest)));
            if moment >= self.closes {
                return arrivals;
            }
            if chance.unit() * highest < self.at(moment) {
                arrivals.push(moment);
            }
        }
    }
}

/// A place that serves one voter after the other: whoever comes waits until the one before is done (Lindley 1952).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Server {
    free: i64,
}

impl Server {
    /// A place that is free from a moment on.
    #[must_use]
    pub fn free_from(moment: i64) -> Server {
        Server { free: moment }
    }

    /// When the service begins of one who is ready at a moment.
    #[must_use]
    pub fn begins(self, ready: i64) -> i64 {
        ready.max(self.free)
    }

    /// Holds the place until a moment.
    pub fn hold(&mut self, until: i64) {
        self.free = self.free.max(until);
    }
}

//! Chance from a seed: the same draws on every machine.

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};

/// A stream of chance. The bits are those of `ChaCha20` (RFC 8439), which a test compares; logarithm, exponential,
/// root and cosine are those of the crate `libm`, which computes them itself and asks no system library, so that the
/// last bit is the same everywhere. Everything else is addition, multiplication and division of IEEE 754.
#[derive(Debug, Clone)]
pub struct Chance(ChaCha20Rng);

/// How often something happens, in thousandths.
pub type Permille = u32;

impl Chance {
    /// The stream with this number under a seed. The key of the cipher is the seed, little end first, then zeros.
    #[must_use]
    pub fn new(seed: u64, stream: u64) -> Chance {
        let mut key = [0_u8; 32];
        for (to, from) in key.iter_mut().zip(seed.to_le_bytes()) {
            *to = from;
        }
        let mut bits = ChaCha20Rng::from_seed(key);
        bits.set_stream(stream);
        Chance(bits)
    }

    /// 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A number from 0 to below 1, in steps of 2^-53.
    #[allow(clippy::cast_precision_loss, reason = "53 bits fit")]
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / 9_007_199_254_740_992.0
    }

    /// A whole number from `least` to `most`, each as likely as the others; `least` where `most` is less.
    pub fn whole(&mut self, least: i64, most: i64) -> i64 {
        let Some(span) = most.checked_sub(least).and_then(|span| u64::try_from(span).ok()) else {
            return least;
        };
        let Some(count) = span.checked_add(1) else {
            return least;
        };
        // Draws beyond the last full round of `count` would favour the small numbers.
        let last = u64::MAX - (u64::MAX % count + 1) % count;
        loop {
            let bits = self.bits();
            if bits <= last {
                return least.saturating_add_unsigned(bits % count);
            }
        }
    }

    /// Whether something happens that happens so often.
    pub fn happens(&mut self, often: Permille) -> bool {
        self.whole(0, 999) < i64::from(often)
    }

    /// One of some things; `None` where there is none.
    pub fn one_of<'t, T>(&mut self, things: &'t [T]) -> Option<&'t T> {
        let last = i64::try_from(things.len()).ok()?.checked_sub(1)?;
        let place = self.whole(0, last);
        things.get(usize::try_from(place).ok()?)
    }

    /// An exponential wait with this mean.
    pub fn exponential(&mut self, mean: f64) -> f64 {
        -mean * libm::log(1.0 - self.unit())
    }

    /// A lognormal number with this median and this sigma (Box and Muller 1958).
    pub fn lognormal(&mut self, median: f64, sigma: f64) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.unit()));
        let normal = radius * libm::cos(core::f64::consts::TAU * self.unit());
        median * libm::exp(sigma * normal)
    }

    /// A Poisson number with this mean: how many exponential waits of mean 1 end before it.
    pub fn poisson(&mut self, mean: f64) -> u32 {
        let (mut count, mut at) = (0, self.exponential(1.0));
        while at < mean {
            count += 1;
            at += self.exponential(1.0);
        }
        count
    }
}

/// A number of seconds in whole milliseconds.
#[allow(clippy::cast_possible_truncation, reason = "a cast of a float stops at the ends of i64")]
pub(super) fn ms(seconds: f64) -> i64 {
    libm::floor(seconds * 1000.0 + 0.5) as i64
}

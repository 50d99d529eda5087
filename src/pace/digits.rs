//! How evenly the last digits of displayed seconds are spread: Pearson's chi-square over ten digits.

use libm::{erfc, exp, lgamma, log, sqrt};

/// How many records end in each digit, 0 to 9.
pub type Digits = [u64; 10];

/// Least number of records for the comparison to be made.
pub const LEAST: u64 = 100;

/// Counts the last digits of displayed seconds; times are in milliseconds.
#[must_use]
pub fn count(times: impl Iterator<Item = i64>) -> Digits {
    let mut digits = [0; 10];
    for ms in times {
        let digit = usize::try_from(ms.div_euclid(1000).rem_euclid(10)).unwrap_or(0);
        if let Some(number) = digits.get_mut(digit) {
            *number += 1;
        }
    }
    digits
}

/// How many records were counted.
#[must_use]
pub fn number(digits: &Digits) -> u64 {
    digits.iter().sum()
}

/// Pearson's statistic against an even spread, times the number of records: 10 times the sum of squares less the square
/// of the number. Whole, so that it is the same everywhere. Counts stand for at most as many records as a log has.
#[must_use]
pub fn scaled_statistic(digits: &Digits) -> u64 {
    let number = number(digits);
    (10 * digits.iter().map(|count| count * count).sum::<u64>()).saturating_sub(number * number)
}

/// Pearson's statistic against an even spread.
#[must_use]
#[allow(clippy::cast_precision_loss, reason = "far below 2^53 for any log")]
pub fn statistic(digits: &Digits) -> f64 {
    match number(digits) {
        0 => 0.0,
        number => scaled_statistic(digits) as f64 / number as f64,
    }
}

/// The share of chi-square's distribution with 9 degrees of freedom that lies above a value.
#[must_use]
pub fn share_above(statistic: f64) -> f64 {
    upper_tail(statistic, 9)
}

/// The upper tail of chi-square's distribution: the regularised incomplete gamma function Q(df/2, x/2), by its recurrence
/// Q(a + 1, y) = Q(a, y) + y^a e^-y / Γ(a + 1) from Q(1/2, y) = erfc(√y) or Q(1, y) = e^-y (NIST Digital Library of
/// Mathematical Functions, 8.8.6, 8.4.6, 8.4.8; numbers of the sections from memory).
#[must_use]
pub fn upper_tail(x: f64, degrees: u32) -> f64 {
    if x <= 0.0 || degrees == 0 {
        return 1.0;
    }
    let y = x / 2.0;
    let odd = degrees % 2 == 1;
    let (mut a, mut tail) = if odd { (0.5, erfc(sqrt(y))) } else { (1.0, exp(-y)) };
    for _ in 0..(degrees - 1) / 2 {
        tail += exp(a * log(y) - y - lgamma(a + 1.0));
        a += 1.0;
    }
    tail.min(1.0)
}

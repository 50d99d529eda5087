//! Whole numbers of which only the ends are known: from at least so many to at most so many.

use std::fmt;

/// A whole number that lies between two ends, both included; an end that is `None` is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Interval {
    /// At least so many.
    pub least: Option<i128>,
    /// At most so many.
    pub most: Option<i128>,
}

impl Interval {
    /// Any number.
    pub const ANY: Interval = Interval { least: None, most: None };
    /// Zero or any greater number.
    pub const SOME: Interval = Interval { least: Some(0), most: None };
    /// None at all.
    pub const ZERO: Interval = Interval { least: Some(0), most: Some(0) };

    /// One number.
    #[must_use]
    pub fn of(value: u64) -> Interval {
        Interval::from_to(value, Some(value))
    }

    /// From one number to another, or without an upper end.
    #[must_use]
    pub fn from_to(least: u64, most: Option<u64>) -> Interval {
        Interval { least: Some(i128::from(least)), most: most.map(i128::from) }
    }

    /// The number, where only one is possible.
    #[must_use]
    pub fn only(self) -> Option<i128> {
        if self.least == self.most { self.least } else { None }
    }

    /// Whether no number lies in it.
    #[must_use]
    pub fn is_empty(self) -> bool {
        matches!((self.least, self.most), (Some(least), Some(most)) if least > most)
    }

    /// Whether both ends are known.
    #[must_use]
    pub fn is_bounded(self) -> bool {
        self.least.is_some() && self.most.is_some()
    }

    /// Whether a number lies in it.
    #[must_use]
    pub fn holds(self, value: i128) -> bool {
        self.least.is_none_or(|least| least <= value) && self.most.is_none_or(|most| value <= most)
    }

    /// The numbers in both.
    #[must_use]
    pub fn meet(self, other: Interval) -> Interval {
        Interval {
            least: self.least.max(other.least),
            most: match (self.most, other.most) {
                (Some(one), Some(two)) => Some(one.min(two)),
                (one, two) => one.or(two),
            },
        }
    }

    /// The least interval that holds both.
    #[must_use]
    pub fn hull(self, other: Interval) -> Interval {
        Interval {
            least: self.least.zip(other.least).map(|(one, two)| one.min(two)),
            most: self.most.zip(other.most).map(|(one, two)| one.max(two)),
        }
    }

    /// Where nothing lies below zero: negative ends are raised to it.
    #[must_use]
    pub fn not_below_zero(self) -> Interval {
        Interval { least: Some(self.least.unwrap_or(0).max(0)), most: self.most.map(|most| most.max(0)) }
    }

    /// The sum of a number of each.
    #[must_use]
    pub fn plus(self, other: Interval) -> Interval {
        Interval {
            least: self.least.zip(other.least).map(|(one, two)| one.saturating_add(two)),
            most: self.most.zip(other.most).map(|(one, two)| one.saturating_add(two)),
        }
    }

    /// The difference of a number of each.
    #[must_use]
    pub fn minus(self, other: Interval) -> Interval {
        self.plus(other.negated())
    }

    /// With the sign turned.
    #[must_use]
    pub fn negated(self) -> Interval {
        Interval { least: self.most.map(i128::saturating_neg), most: self.least.map(i128::saturating_neg) }
    }

    /// By how much this is greater than the other, at least and at most.
    #[must_use]
    pub fn exceeds_by(self, other: Interval) -> Interval {
        self.minus(other)
    }
}

/// `731`, `690 to 700`, `27 or more`, `at most 9`, `not known`.
impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.least, self.most) {
            (Some(least), Some(most)) if least == most => f.write_str(&figures(least)),
            (Some(least), Some(most)) => write!(f, "{} to {}", figures(least), figures(most)),
            (Some(0) | None, None) => f.write_str("not known"),
            (Some(least), None) => write!(f, "{} or more", figures(least)),
            (None, Some(most)) => write!(f, "at most {}", figures(most)),
        }
    }
}

/// A number with a comma between groups of three digits.
#[must_use]
pub fn figures(number: i128) -> String {
    let digits = number.unsigned_abs().to_string();
    let mut text = String::new();
    if number < 0 {
        text.push('-');
    }
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A number of things in words: `1 minute`, `30 minutes`.
#[must_use]
pub fn counted(number: u64, one: &str, many: &str) -> String {
    format!("{} {}", figures(number.into()), if number == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_that_are_not_known_stay_so() {
        let (some, two) = (Interval::SOME, Interval::from_to(2, Some(5)));
        assert_eq!(some.plus(two), Interval { least: Some(2), most: None });
        assert_eq!(two.minus(some), Interval { least: None, most: Some(5) });
        assert_eq!(some.meet(two), two);
        assert_eq!(some.hull(two), some);
        assert!(Interval::of(3).minus(two).holds(-2));
        assert!(Interval::of(6).meet(two).is_empty());
    }

    #[test]
    fn intervals_read_as_words() {
        let words: Vec<String> = [
            Interval::of(1731),
            Interval::from_to(690, Some(700)),
            Interval::from_to(27, None),
            Interval::SOME,
            Interval::of(2).minus(Interval::of(1004)),
        ]
        .iter()
        .map(Interval::to_string)
        .collect();
        assert_eq!(words, ["1,731", "690 to 700", "27 or more", "not known", "-1,002"]);
    }
}

//! The verdict on an interval of true time and two hours: outside, inside, or it cannot be told.

use super::{Instant, When};

/// Where an interval of true time lies, by the hours from an opening to a closing instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Placed {
    /// Every instant of it lies before the opening.
    Before,
    /// Every instant of it lies from the opening to the closing instant, both included.
    Inside,
    /// Every instant of it lies after the closing instant.
    After,
    /// Instants of it lie on both sides of an hour, or nothing bounds it.
    CannotBeTold,
}

impl Placed {
    /// Whether it surely lies outside.
    #[must_use]
    pub fn is_outside(self) -> bool {
        matches!(self, Placed::Before | Placed::After)
    }
}

impl When {
    /// Where it lies by the hours from `opens` to `closes`. An hour that is not given is not asked about: with the opening
    /// alone, [`Placed::Inside`] means not before it; without any, it cannot be told.
    ///
    /// The opening and the closing instant are themselves inside. An end that is not reached itself (a displayed 17:59:59
    /// means from 17:59:59 to before 18:00:00) is not counted.
    #[must_use]
    pub fn placed(&self, opens: Option<Instant>, closes: Option<Instant>) -> Placed {
        let before = |hour: Instant| {
            self.latest.as_ref().is_some_and(|end| end.at < hour || (end.at == hour && !end.reached))
        };
        let after = |hour: Instant| {
            self.earliest.as_ref().is_some_and(|end| end.at > hour || (end.at == hour && !end.reached))
        };
        let from = |hour: Instant| self.earliest.as_ref().is_some_and(|end| end.at >= hour);
        let until = |hour: Instant| self.latest.as_ref().is_some_and(|end| end.at <= hour);
        if opens.is_some_and(before) {
            Placed::Before
        } else if closes.is_some_and(after) {
            Placed::After
        } else if (opens.is_some() || closes.is_some()) && opens.is_none_or(from) && closes.is_none_or(until)
        {
            Placed::Inside
        } else {
            Placed::CannotBeTold
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Bound;

    fn bound(at: i128, reached: bool) -> Bound {
        Bound { at: Instant::of_ns(at), reached, rests_on: Vec::new() }
    }

    #[test]
    fn the_hours_themselves_are_inside_and_open_ends_do_not_count() {
        let hours = (Some(Instant::of_ns(100)), Some(Instant::of_ns(200)));
        for (earliest, latest, placed) in [
            (Some(bound(100, true)), Some(bound(200, true)), Placed::Inside),
            (Some(bound(100, false)), Some(bound(200, false)), Placed::Inside),
            (Some(bound(99, true)), Some(bound(200, true)), Placed::CannotBeTold),
            (Some(bound(100, true)), Some(bound(201, false)), Placed::CannotBeTold),
            (Some(bound(200, true)), Some(bound(201, true)), Placed::CannotBeTold),
            (Some(bound(200, false)), Some(bound(201, true)), Placed::After),
            (Some(bound(201, true)), None, Placed::After),
            (None, Some(bound(100, false)), Placed::Before),
            (None, Some(bound(100, true)), Placed::CannotBeTold),
            (Some(bound(150, true)), None, Placed::CannotBeTold),
            (None, None, Placed::CannotBeTold),
        ] {
            let when = When { earliest, latest };
            assert_eq!(when.placed(hours.0, hours.1), placed, "{when:?}");
        }
        let when = When { earliest: Some(bound(150, true)), latest: Some(bound(160, true)) };
        assert_eq!(when.placed(hours.0, None), Placed::Inside);
        assert_eq!(when.placed(None, None), Placed::CannotBeTold);
        let when = When { earliest: None, latest: Some(bound(160, true)) };
        assert_eq!(when.placed(hours.0, None), Placed::CannotBeTold);
        assert!(!Placed::Inside.is_outside() && Placed::Before.is_outside());
    }
}

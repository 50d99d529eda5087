//! How fast the clock ran between two readings, with every margin, against the limit on its rate: in whole milliseconds.

use super::Sight;
use super::bounds::{grain, runs};
use crate::rehearsal::key::{Draft, How, Said, Spot};

const RULE: &str = "clock-rate";

/// One minute in 15 hours (VVSG 1.1, volume 1, 2.1.5.1), in seconds.
const PUBLISHED: (i128, i128) = (60, 15 * 3600);

/// What two readings say of the rate.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Pace {
    Beyond,
    Within,
    Open,
}

/// A length of time, at least and at most.
type Length = (i128, i128);

/// Whether a clock that showed one length in another was surely off by more than the limit, or surely not.
fn pace(shown: Length, truly: Length, (part, of): (i128, i128)) -> Pace {
    let beyond = |more: i128, than: i128, truly: i128| (more - than) * of > part * truly;
    if beyond(shown.0, truly.1, truly.1) || beyond(truly.0, shown.1, truly.0) {
        Pace::Beyond
    } else if truly.0 > 0 && !beyond(shown.1, truly.0, truly.0) && !beyond(truly.1, shown.0, truly.1) {
        Pace::Within
    } else {
        Pace::Open
    }
}

/// Every pair of readings of one run of the clock: beyond the limit, within it, or neither for sure. `doubted`: readings do
/// not go together, so that no rate may be told from them.
pub(super) fn conclude(sight: &Sight<'_>, doubted: bool, key: &mut Draft) {
    if doubted {
        let because = "Readings of the clock do not go together, so that they tell no rate for sure.";
        key.answer(RULE, &[Said::Kept, Said::CannotBeTold], because);
        return;
    }
    let set = sight.setting("rate-tolerance-ppm");
    let limit = set.map_or(PUBLISHED, |ppm| (i128::from(ppm), 1_000_000));
    let (runs, grain) = (runs(sight), grain(sight));
    let read = super::readings(sight, &runs, grain);
    let (mut beyond, mut within, mut open) = (Vec::new(), false, false);
    for (place, one) in read.iter().enumerate() {
        for other in read.iter().skip(place + 1).filter(|other| one.run.is_some() && other.run == one.run) {
            let (early, late) = if one.shown.0 <= other.shown.0 { (one, other) } else { (other, one) };
            let length = |from: (i64, i64), to: (i64, i64)| {
                let (least, most) =
                    (i128::from(to.0) - i128::from(from.1), i128::from(to.1) - i128::from(from.0));
                (least.max(0), most.max(0))
            };
            match pace(length(early.shown, late.shown), length(early.truly, late.truly), limit) {
                Pace::Beyond => beyond.extend(sight.id(late.behind).map(Spot::Of)),
                Pace::Within => within = true,
                Pace::Open => open = true,
            }
        }
    }
    if !beyond.is_empty() {
        let because = "Between two readings the clock ran faster or slower than the limit, whatever within their margins is right.";
        key.find(RULE, &[How::Conditional], &beyond, &[], because);
    } else if within && !open {
        let because =
            "Between all readings the clock ran within the limit, whatever within their margins is right.";
        key.answer(RULE, &[Said::Kept], because);
    } else {
        let because = "No two readings without a step between show the rate well enough.";
        key.answer(RULE, &[Said::CannotBeTold], because);
    }
}

#[cfg(test)]
mod tests {
    use super::{PUBLISHED, Pace, pace};

    /// The boundary of VVSG 1.1, 2.1.5.1, to the millisecond.
    #[test]
    fn a_minute_in_fifteen_hours_is_the_limit_and_a_thousandth_more_is_beyond() {
        const HOURS: i128 = 54_000_000;
        let exact = |shown: i128| pace((shown, shown), (HOURS, HOURS), PUBLISHED) == Pace::Beyond;
        assert!(!exact(HOURS + 60_000) && exact(HOURS + 60_001));
        assert!(!exact(HOURS - 60_000) && exact(HOURS - 60_001));
    }
}

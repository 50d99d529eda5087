//! What binds each end of every record's bounds, in short: for whoever lists all records.

use std::collections::BTreeSet;

use super::network::{ORIGIN, Reach, Why};
use super::{Clock, Instant, segment};

/// An end of a record's bounds and what binds it, in short. [`Clock::when`] has the same in full.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct End {
    /// The end.
    pub at: Instant,
    /// What binds it.
    pub grounds: Grounds,
}

/// What binds an end, in short.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Grounds {
    /// The readings, by their places in [`Clock::readings`]: one, or those on which a straight line rests.
    pub readings: Vec<usize>,
    /// What it rests on besides, in a fixed order.
    pub assumed: BTreeSet<Ground>,
}

/// What an end may rest on besides readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// That the clock ran at one constant rate.
    Line,
    /// The bound on the rate, and no setting or reset without a record.
    Rate,
    /// A record of a setting, which states both times.
    Setting,
    /// The order of the records.
    Order,
}

impl Ground {
    fn words(self) -> &'static str {
        match self {
            Ground::Line => "constant rate",
            Ground::Rate => "bounded rate",
            Ground::Setting => "recorded setting",
            Ground::Order => "order of the records",
        }
    }
}

impl Grounds {
    /// In words: `reading on line 89; bounded rate; order of the records`.
    #[must_use]
    pub fn words(&self, clock: &Clock<'_>) -> String {
        let lines: Vec<String> = self
            .readings
            .iter()
            .filter_map(|reading| clock.readings().get(*reading))
            .map(|reading| reading.line.to_string())
            .collect();
        let readings = match lines.len() {
            0 => None,
            1 => Some(format!("reading on line {}", lines.concat())),
            _ => Some(format!("readings on lines {}", lines.join(", "))),
        };
        let assumed = self.assumed.iter().map(|ground| ground.words().to_owned());
        readings.into_iter().chain(assumed).collect::<Vec<_>>().join("; ")
    }
}

/// What the way to a node passes, and the row by which it came.
type Passed = Option<(Grounds, Option<usize>)>;

impl Clock<'_> {
    /// Per step: the earlier and the later end of its record's bounds, where something binds it. One pass over all.
    #[must_use]
    pub fn ends(&self) -> Vec<[Option<End>; 2]> {
        let Some((from, to)) = &self.bounds else { return vec![[None, None]; self.records.len()] };
        let passed = [self.passed(to), self.passed(from)];
        let end = |step: usize, of: &[Passed], reach: &Reach, sign: i128| {
            let node = segment::node(step);
            let (ns, _) = reach.most.get(node).copied().flatten()?.split();
            let (grounds, _) = of.get(node)?.clone()?;
            Some(End { at: Instant::of_ns(sign * ns), grounds })
        };
        let [early, late] = &passed;
        (0..self.records.len())
            .map(|step| {
                if self.is_record(step) {
                    [end(step, early, to, -1), end(step, late, from, 1)]
                } else {
                    [None, None]
                }
            })
            .collect()
    }

    /// Per node what the tightest way to it passes: each way is that to the node before it and one step more.
    fn passed(&self, reach: &Reach) -> Vec<Passed> {
        let mut passed: Vec<Passed> = vec![None; reach.most.len()];
        if let Some(origin) = passed.get_mut(ORIGIN) {
            *origin = Some((Grounds::default(), None));
        }
        for node in 0..passed.len() {
            // Back to a node that is known, and then on to this one.
            let mut way: Vec<(usize, Why)> = Vec::new();
            let mut at = node;
            while passed.get(at).is_some_and(Option::is_none)
                && let Some((from, why)) = reach.before(at)
                && way.len() < passed.len()
            {
                way.push((at, why));
                at = from;
            }
            let Some(mut here) = passed.get(at).cloned().flatten() else { continue };
            for (to, why) in way.into_iter().rev() {
                self.pass(&mut here, why);
                if let Some(slot) = passed.get_mut(to) {
                    *slot = Some(here.clone());
                }
            }
        }
        passed
    }

    fn pass(&self, (grounds, row): &mut (Grounds, Option<usize>), why: Why) {
        match why {
            Why::Reading(reading) => grounds.readings.push(reading),
            Why::Rate(by) => {
                grounds.assumed.insert(Ground::Rate);
                if row.is_some_and(|before| before != by) {
                    grounds.assumed.insert(Ground::Setting);
                }
                *row = Some(by);
            }
            Why::Order => {
                grounds.assumed.insert(Ground::Order);
                *row = None;
            }
            Why::Line(end) => {
                let (readings, settings) = self.line_rests(end);
                grounds.readings.extend(readings);
                grounds.assumed.extend([Ground::Line, Ground::Rate]);
                grounds.assumed.extend(settings.then_some(Ground::Setting));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use crate::case::Case;
    use crate::clock::{Clock, Ground, Premise};
    use crate::replay::Replay;
    use crate::source::Source;
    use crate::unit::UnitDescription;

    /// Two readings about a setting, so that ends pass a reading, the rate, a setting and the order.
    const LOG: &str = "unit-event-log 1\n1 2031-05-10 06:30:07 power-on\n2 2031-05-10 07:00:03 enable\n\
         3 2031-05-10 07:00:31 vote\n4 2031-05-10 07:10:01 clock-set before=2031-05-10T07:10:00 after=2031-05-10T07:14:00\n\
         5 2031-05-10 07:20:00 enable\n6 2031-05-10 07:20:20 vote\n7 2031-05-10 07:20:50 battery-changed\n\
         8 2031-05-10 07:30:00 enable\n9 2031-05-10 07:30:20 vote\n";
    const CASE: &str = "[[poll]]\ndate = \"2031-05-10\"\nzone = \"+02:00\"\nsource = \"Notice\"\nby = \"Returning Officer\"\n\
         [[setting]]\ndrift-ppm = 100\nsource = \"Data sheet\"\nby = \"Registrar\"\n\
         [[reading]]\nrecord = 2\nreference = \"2031-05-10 07:04:00\"\nwithin-seconds = 5\nsource = \"Diary\"\nby = \"Officer\"\n";

    #[test]
    fn the_short_grounds_of_every_record_are_those_of_the_full_ones() {
        let log = crate::syntax::read(Arc::new(Source::new("log", LOG.as_bytes().to_vec()))).remove(0);
        let (case, unit) = (Case::read("case", CASE).unwrap().case, UnitDescription::kestrane());
        let replay = Replay::of(&log, &case, &unit);
        let clock = Clock::of(&log, &case, &unit, &replay);
        let ends = clock.ends();
        for (step, [early, late]) in ends.iter().enumerate() {
            let when = clock.when(step);
            for (short, full) in [(early, &when.earliest), (late, &when.latest)] {
                assert_eq!(short.as_ref().map(|end| end.at), full.as_ref().map(|end| end.at), "{step}");
                let Some((short, full)) = short.as_ref().zip(full.as_ref()) else { continue };
                let readings: Vec<usize> = full.rests_on.iter().filter_map(Premise::reading).collect();
                assert_eq!(short.grounds.readings, readings, "{step}");
                let rests = |ground: Ground| short.grounds.assumed.contains(&ground);
                let has = |test: fn(&Premise) -> bool| full.rests_on.iter().any(test);
                assert_eq!(rests(Ground::Rate), has(|one| matches!(one, Premise::Rate { .. })), "{step}");
                assert_eq!(rests(Ground::Order), has(|one| matches!(one, Premise::Order { .. })), "{step}");
                assert_eq!(
                    rests(Ground::Setting),
                    has(|one| matches!(one, Premise::ClockSet { .. })),
                    "{step}"
                );
            }
        }
        let words = |step: usize, end: usize| ends[step][end].as_ref().map(|end| end.grounds.words(&clock));
        assert_eq!(words(1, 0).as_deref(), Some("reading on line 10"));
        assert_eq!(words(5, 1).as_deref(), Some("reading on line 10; bounded rate; recorded setting"));
        assert_eq!(
            words(8, 0).as_deref(),
            Some("reading on line 10; bounded rate; recorded setting; order of the records")
        );
        assert_eq!(words(8, 1), None);
    }
}

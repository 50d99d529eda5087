//! What a life is made by: the unit, the station, the clock, how often what happens. Every number is an assumption.

use std::collections::BTreeMap;

use super::acts::{ACTS, Act};
use super::chance::Permille;
use super::clock::ClockSetting;
use crate::unit::UnitDescription;

/// When voters come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// Evenly.
    Flat,
    /// In two peaks with a dip at lunch.
    TwoPeaks,
    /// Slowly at first, and many before closing.
    SlowStart,
}

impl Profile {
    /// All of them.
    pub const ALL: [Profile; 3] = [Profile::Flat, Profile::TwoPeaks, Profile::SlowStart];

    /// Weights at knots that divide the polling hours evenly. *Assumptions*: the shapes are named in `methods.md`, 10;
    /// the weights are this project's own.
    #[must_use]
    pub fn knots(self) -> &'static [f64] {
        match self {
            Profile::Flat => &[1.0, 1.0],
            Profile::TwoPeaks => &[0.8, 1.5, 1.5, 1.0, 0.5, 0.6, 1.0, 1.5, 1.4, 0.8],
            Profile::SlowStart => &[0.2, 0.3, 0.5, 0.8, 1.0, 1.3, 1.6, 2.0],
        }
    }
}

/// How long each stage takes. *Assumptions* of `methods.md`, 10, not measurements of any election.
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// Median time of identification, in seconds (lognormal).
    pub identified_median: f64,
    /// Its sigma.
    pub identified_sigma: f64,
    /// Seconds from a vote to the next enable, at least.
    pub between: f64,
    /// Median time from enable to vote, in seconds (lognormal).
    pub vote_median: f64,
    /// Its sigma.
    pub vote_sigma: f64,
    /// Least time from enable to vote, in seconds.
    pub vote_least: f64,
    /// Mean number of pauses (Poisson).
    pub pauses: f64,
    /// Least and greatest length of a pause, in seconds.
    pub pause: (i64, i64),
    /// Least and greatest time from the end of the queue, or the hour where that is later, to the close, in seconds.
    pub close: (i64, i64),
    /// Seconds after which an enable lapses.
    pub lapse: i64,
}

/// What a life is made by. All ranges hold both ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// What the unit does.
    pub unit: UnitDescription,
    /// Candidates on the ballot.
    pub candidates: (i64, i64),
    /// Voters expected to come between opening and closing.
    pub voters: (i64, i64),
    /// Mean number of voters who wait at the opening (Poisson).
    pub waiting: f64,
    /// Profiles, of which each poll has one.
    pub profiles: Vec<Profile>,
    /// How long each stage takes.
    pub service: Service,
    /// Least number of votes that the local procedure asks of a mock poll; a mock poll has up to as many more.
    pub mock_votes_least: (i64, i64),
    /// Least number of votes in a test of many votes.
    pub test_votes: i64,
    /// What the clock may be like.
    pub clock: ClockSetting,
    /// How often each act happens; an act that is left out does not.
    pub rates: BTreeMap<Act, Permille>,
}

impl Setting {
    /// A station of usual size with a unit of this description.
    #[must_use]
    pub fn of(unit: UnitDescription) -> Setting {
        Setting {
            unit,
            // The vocabulary of the trade: 16 buttons a ballot unit; most ballots fit on one (assumption).
            candidates: (2, 20),
            // `methods.md`, 10, gives days of 600 and 1,000 voters.
            voters: (300, 1000),
            waiting: 20.0,
            profiles: Profile::ALL.to_vec(),
            service: Service {
                identified_median: 14.0,
                identified_sigma: 0.35,
                between: 6.0,
                vote_median: 11.0,
                vote_sigma: 0.45,
                vote_least: 3.0,
                pauses: 1.0,
                pause: (120, 720),
                close: (30, 240),
                lapse: 60,
            },
            mock_votes_least: (2, 50),
            // `domain.md`: at least 1,000 test votes in a tenth of the units (common practice).
            test_votes: 1000,
            clock: ClockSetting {
                offset_s: 240,
                ppm: 60,
                bound_ppm: 100,
                steps_ms: vec![1000, 1000, 1000, 1000, 100, 10_000, 60_000],
                slip: 100,
                set: 300,
                epoch: 20,
            },
            rates: ACTS.iter().map(|entry| (entry.act, entry.often)).collect(),
        }
    }

    /// A small station, for many lives in little time: everything as usual but the number of voters and test votes.
    #[must_use]
    pub fn small(unit: UnitDescription) -> Setting {
        Setting {
            voters: (5, 25),
            waiting: 2.0,
            mock_votes_least: (1, 4),
            test_votes: 20,
            ..Setting::of(unit)
        }
    }

    /// How often an act happens.
    #[must_use]
    pub fn rate(&self, act: Act) -> Permille {
        self.rates.get(&act).copied().unwrap_or(0)
    }
}

impl Default for Setting {
    fn default() -> Setting {
        Setting::of(UnitDescription::kestrane())
    }
}

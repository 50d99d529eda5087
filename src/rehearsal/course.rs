//! The course of a life: what has been recorded so far, where the unit stands, what time it is.

use std::collections::BTreeSet;

use super::acts::Act;
use super::chance::Chance;
use super::clock::{Clock, midnight};
use super::memory::Memory;
use super::papers::{Paper, Papers, Reading};
use super::setting::Setting;
use crate::event::Event;
use crate::unit::{UnitDescription, Unlogged};

/// Saturday 10 May 2031, the day of the poll, in days since the first of January 1970.
const POLL_DAY: i64 = 22_409;

/// Streams of chance: one for each concern, so that more draws in one do not move the others.
const ACTS: u64 = 1;
const VOTERS: u64 = 2;
const CLOCK: u64 = 3;
const PEOPLE: u64 = 4;

/// Hours of the poll: 07:00 to 18:00.
const OPENS: i64 = 7 * 3_600_000;
const CLOSES: i64 = 18 * 3_600_000;

const STATIONS: &[&str] = &["Upper Tarn Ford", "Tarn Weir", "Lower Mill", "Heron Bridge"];

/// What was counted in a poll.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Tally {
    /// Votes in the unit's memory.
    pub(super) memory: i64,
    /// Mock votes that stayed in it.
    pub(super) mock_kept: i64,
    /// Test votes to deduct.
    pub(super) tests: i64,
    /// Voters who signed the register.
    pub(super) signed: i64,
    /// Voters who signed and refused.
    pub(super) refused: i64,
    /// Voters who left after the enable.
    pub(super) left: i64,
    /// Slips printed.
    pub(super) slips: i64,
}

/// A life in the making.
#[derive(Debug)]
pub(super) struct Course<'s> {
    pub(super) setting: &'s Setting,
    pub(super) unit: &'s UnitDescription,
    pub(super) acts: Chance,
    pub(super) voters: Chance,
    pub(super) people: Chance,
    clocks: Chance,
    pub(super) clock: Clock,
    pub(super) memory: Memory,
    pub(super) papers: Papers,
    pub(super) done: BTreeSet<Act>,
    /// True civil time, in milliseconds since 1970.
    pub(super) now: i64,
    /// Midnight of the day of the poll.
    pub(super) day: i64,
    pub(super) station: &'static str,
    pub(super) serial: String,
    pub(super) software: String,
    pub(super) candidates: i64,
    pub(super) mock_least: i64,
    /// Serials of the ballot units at the cables, and of all that were used in the poll.
    pub(super) linked: Vec<String>,
    pub(super) used: Vec<String>,
    pub(super) paper_trail: bool,
    /// Whether the result stands closed, and shown.
    pub(super) closed: bool,
    pub(super) tally: Tally,
}

impl<'s> Course<'s> {
    pub(super) fn begin(seed: u64, setting: &'s Setting) -> Course<'s> {
        let unit = &setting.unit;
        let (mut people, mut clocks) = (Chance::new(seed, PEOPLE), Chance::new(seed, CLOCK));
        let day = midnight(POLL_DAY);
        let now = day - midnight(people.whole(35, 50)) + people.whole(9 * 3_600_000, 14 * 3_600_000);
        let clock = Clock::drawn(&mut clocks, &setting.clock, now - midnight(people.whole(1, 300)));
        let first = unit.first_number.unwrap_or_else(|| people.whole(1, 9000).unsigned_abs());
        let most = i64::from(unit.ballot_units) * i64::from(unit.buttons);
        let candidates = people.whole(setting.candidates.0, setting.candidates.1).clamp(1, most.max(1));
        let cables = (candidates - 1) / i64::from(unit.buttons).max(1) + 1;
        let mut course = Course {
            setting,
            unit,
            acts: Chance::new(seed, ACTS),
            voters: Chance::new(seed, VOTERS),
            clocks,
            clock,
            memory: Memory::new(first),
            papers: Papers::default(),
            done: BTreeSet::new(),
            now,
            day,
            station: people.one_of(STATIONS).copied().unwrap_or_default(),
            serial: format!("CU-{}", people.whole(20_000, 29_999)),
            software: format!("4.{}", people.whole(0, 3)),
            candidates,
            mock_least: people.whole(setting.mock_votes_least.0, setting.mock_votes_least.1),
            linked: Vec::new(),
            used: Vec::new(),
            paper_trail: false,
            closed: false,
            tally: Tally::default(),
            people,
        };
        course.linked = (0..cables).map(|_| course.new_serial()).collect();
        course.used.clone_from(&course.linked);
        course.state_the_frame();
        course
    }

    /// A ballot unit that this life has not met.
    pub(super) fn new_serial(&mut self) -> String {
        loop {
            let serial = format!("BU-{}", self.people.whole(50_000, 59_999));
            if !self.used.contains(&serial) && !self.linked.contains(&serial) {
                return serial;
            }
        }
    }

    fn state_the_frame(&mut self) {
        let identity = [
            format!("serial = \"{}\"", self.serial),
            "role = \"control\"".to_owned(),
            format!("software = \"{}\"", self.software),
        ];
        self.papers.row("unit", &identity, Paper::UnitRegister);
        self.papers.row("unit", &[format!("candidates = {}", self.candidates)], Paper::CandidateList);
        self.papers.row("setting", &[format!("mock-votes-least = {}", self.mock_least)], Paper::Procedure);
        self.papers.row("setting", &["close-within-minutes = 30".to_owned()], Paper::Procedure);
        let bound = self.setting.clock.bound_ppm;
        self.papers.row("setting", &[format!("drift-ppm = {bound}")], Paper::DataSheet);
    }

    /// States a poll on the current day.
    pub(super) fn state_poll(&mut self) {
        let date: String = super::clock::civil(self.day).chars().take(10).collect();
        self.papers.day.clone_from(&date);
        // A notice seldom says so, and a second day takes it back.
        let polls = || self.papers.rows.iter().filter(|row| row.table == "poll").count();
        let only = (self.candidates % 2 == 0 && polls() == 0).then(|| "only-day = true".to_owned());
        for row in self.papers.rows.iter_mut().filter(|row| row.table == "poll") {
            row.keys.retain(|key| !key.starts_with("only-day"));
        }
        let keys = [
            format!("place = \"Tarn Valley, {}\"", self.station),
            format!("date = \"{date}\""),
            "opens = \"07:00\"".to_owned(),
            "closes = \"18:00\"".to_owned(),
            "zone = \"+02:00\"".to_owned(),
        ];
        let keys: Vec<String> = keys.into_iter().chain(only).collect();
        self.papers.row("poll", &keys, Paper::Procedure);
    }

    pub(super) fn opens(&self) -> i64 {
        self.day + OPENS
    }

    pub(super) fn closes(&self) -> i64 {
        self.day + CLOSES
    }

    /// Whether an act happens, and notes that it did.
    pub(super) fn happens(&mut self, act: Act) -> bool {
        let happens = self.acts.happens(self.setting.rate(act));
        if happens {
            self.done.insert(act);
        }
        happens
    }

    /// Lets so many seconds pass, at least and at most.
    pub(super) fn wait(&mut self, least: i64, most: i64) {
        self.now += self.people.whole(least * 1000, most * 1000);
    }

    /// Goes on to a moment, unless it has passed.
    pub(super) fn go_to(&mut self, moment: i64) {
        self.now = self.now.max(moment);
    }

    pub(super) fn record(&mut self, event: Event) {
        self.record_with(event, Vec::new());
    }

    pub(super) fn record_with(&mut self, event: Event, attributes: Vec<(&'static str, String)>) {
        self.memory.push(self.now, self.clock.shows(self.now), event, attributes);
    }

    /// Presses a key that the unit refuses in its state. Where the description does not list the key, nobody presses it.
    pub(super) fn press_in_vain(&mut self, key: &str) {
        if self.unit.refusals.iter().any(|refusal| refusal.key == key && refusal.logged) {
            self.record_with(Event::KeyRefused, vec![("key", key.to_owned())]);
        }
    }

    /// Whether the unit refuses a key in some state.
    pub(super) fn refuses(&self, key: &str) -> bool {
        self.unit.refusals.iter().any(|refusal| refusal.key == key)
    }

    /// Whether this unit may end an enable without a record of it.
    pub(super) fn lapses_unlogged(&self) -> bool {
        self.unit.unlogged.contains(&Unlogged::EnableLapse)
    }

    /// Reads the clock beside a reference clock.
    pub(super) fn read_clock(&mut self, paper: Paper) {
        let late = self.people.whole(-2, 2) * 1000;
        let displayed = self.clock.shows(self.now);
        let reading = Reading { displayed, reference: self.now + late, give_or_take_s: 3 };
        self.papers.reading(reading, self.now, paper);
    }

    /// Somebody sets the clock right, with a record that says from what to what.
    pub(super) fn set_clock(&mut self) {
        if !self.clocks.happens(self.setting.clock.set) {
            return;
        }
        let form = |clock: &Clock, now| {
            clock.shows(now).written().chars().take(19).collect::<String>().replace(' ', "T")
        };
        let before = form(&self.clock, self.now);
        let ahead = self.clocks.whole(-3000, 3000);
        self.clock.set(self.now, ahead);
        let after = form(&self.clock, self.now);
        let by = "official".to_owned();
        self.record_with(Event::ClockSet, vec![("before", before), ("after", after), ("by", by)]);
        self.wait(10, 40);
    }

    /// In storage the battery may be changed, and the clock begin again at its epoch.
    pub(super) fn may_lose_time(&mut self) -> bool {
        let loses = self.clocks.happens(self.setting.clock.epoch);
        if loses {
            self.clock.lose(self.now);
        }
        loses
    }
}
